//! The edge: arguments and files in, streams and an exit code out.
//! Takes what was typed; every command reads, solves, reports; the only place that prints or ends the
//! program.
//! Does not know how anything is computed, nor how it is laid out.

mod cli;
mod commands;
mod files;
mod messages;
mod request;
mod streams;

use std::path::Path;
use std::process::ExitCode;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc;
use std::thread;
use std::time::{Duration, Instant};

use kentledge::diagnosis::explained::Explanation;
use kentledge::diagnosis::{Diagnosis, Fault, Summary};
use kentledge::document::{self, Document};
use kentledge::report::amount::Screen;
use kentledge::report::check::{CheckView, out_of_reach};
use kentledge::report::help::HelpLines;
use kentledge::report::plan::{PlanView, Status};
use kentledge::report::weigh::{WeighStatus, WeighView};
use kentledge::report::{json, text};
use kentledge::scenario::{Freedom, Scenario};
use kentledge::solve::{self, Disagreement, Patience};
use kentledge::tasks::help;
use kentledge::units::UnitSystem;

use cli::Instead;
use files::{Replace, Target};
use messages::{Complaint, faults_worded};
use request::{Color, Command, Input, MessageFormat, Options, Refusal, Report, Request};
use streams::{Streams, columns};

/// A search that lasts longer says so once, lest somebody think that it hangs.
const SILENCE: Duration = Duration::from_secs(1);

/// Set by the first Ctrl-C: the search ends with the best it has.
static STOP: AtomicBool = AtomicBool::new(false);

/// How the program ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Exit {
    /// Legal, and every target in band; or whatever was asked is done.
    Good = 0,
    /// Legal, but a target is out of band.
    OutOfBand = 1,
    /// The command line cannot be followed.
    CommandLine = 2,
    /// The scenario is wrong.
    Scenario = 3,
    /// Proved: there is no legal plan.
    NoLegalPlan = 4,
    /// Out of time without a plan, or the judge disagreed.
    NoAnswer = 5,
}

/// What a command has to say, on a screen or as a document, whichever was asked for.
struct Answer {
    shown: String,
    exit: Exit,
}

/// What is wrong with the input, or with the program.
struct Trouble {
    /// For people, or for their editors.
    complaint: Complaint,
    /// The same as a document.
    document: String,
    exit: Exit,
}

/// Why a command has no answer.
enum Failure {
    /// The command line asks for what cannot be done.
    Refused(Refusal),
    Trouble(Trouble),
}

impl From<Trouble> for Failure {
    fn from(trouble: Trouble) -> Failure {
        Failure::Trouble(trouble)
    }
}

/// A scenario as read, and what messages about its file need.
struct Reading {
    name: String,
    document: Document,
    scenario: Scenario,
    warnings: Vec<Diagnosis>,
    summaries: Vec<Summary>,
}

fn main() -> ExitCode {
    let exit = match cli::request(std::env::args_os().collect()) {
        Ok(request) => {
            let Options { color, quiet, messages, .. } = request.options;
            let streams = Streams::new(color, quiet, messages);
            run(&request, &streams).unwrap_or_else(|refusal| {
                streams.refuse(&refusal);
                Exit::CommandLine
            })
        }
        Err(instead) => {
            let streams = |messages| Streams::new(Color::Auto, false, messages);
            match instead {
                Instead::Text(text) => streams(MessageFormat::Human).show(&text, Exit::Good),
                Instead::Grammar(complaint) => {
                    streams(MessageFormat::Human).complain(&complaint);
                    Exit::CommandLine
                }
                Instead::Refused(refusal, messages) => {
                    streams(messages).refuse(&refusal);
                    Exit::CommandLine
                }
            }
        }
    };
    ExitCode::from(exit as u8)
}

/// Answers, and takes the answer to the screen or to a file.
fn run(request: &Request, streams: &Streams) -> Result<Exit, Refusal> {
    let options = &request.options;
    let report = match &request.command {
        Command::New { file, units, force } => return new(file.as_deref(), *units, *force, streams),
        Command::Explain(explanation) => return explain(*explanation, options, streams),
        Command::Report(report) => report,
    };
    // Before any long work: a path that cannot be written must not cost a search.
    let target = target(options, report.input())?;
    let Answer { shown, exit } = match answer(report, options, streams) {
        Ok(answer) => answer,
        Err(Failure::Refused(refusal)) => return Err(refusal),
        Err(Failure::Trouble(Trouble { complaint, document, exit })) => {
            streams.complain(&complaint.worded(options.messages));
            Answer { shown: if options.json { document } else { String::new() }, exit }
        }
    };
    deliver(&shown, exit, target.as_ref(), streams)
}

/// The file that the answer goes to, if one is named.
fn target(options: &Options, input: Option<&Input>) -> Result<Option<Target>, Refusal> {
    let path = options.output.as_ref();
    path.map(|path| Target::checked("`--output`", path, input, Replace::Reports)).transpose()
}

/// To the screen or to a file.
fn deliver(shown: &str, exit: Exit, target: Option<&Target>, streams: &Streams) -> Result<Exit, Refusal> {
    match target {
        None => Ok(streams.show(shown, exit)),
        // Without an answer an earlier file stays as it is.
        Some(_) if shown.is_empty() => Ok(exit),
        Some(target) => {
            target.write(&anstream::adapter::strip_str(shown).to_string())?;
            streams.talk(&format!("written: {target}\n"));
            Ok(exit)
        }
    }
}

fn answer(report: &Report, options: &Options, streams: &Streams) -> Result<Answer, Failure> {
    let started = Instant::now();
    let command = report.word();
    match report {
        Report::Weigh(input) => {
            let reading = Reading::of(input, command, started)?;
            streams.talk(&reading.worded_warnings(options));
            let view = WeighView::of_scenario(reading.screen(options), &reading.scenario);
            Ok(weighed(&view, options, reading.frame(options, command, started)))
        }
        Report::WeighReadings { readings, chassis, units } => {
            let screen = if options.json { json::SCREEN } else { Screen { units: *units } };
            let view = WeighView::of_readings(screen, *readings, chassis.as_ref());
            let (display_units, elapsed) = (Some(*units), started.elapsed());
            Ok(weighed(&view, options, json::Frame { command, warnings: &[], display_units, elapsed }))
        }
        Report::Plan { input, driver, only } => {
            let reading = Reading::of(input, command, started)?;
            streams.talk(&reading.worded_warnings(options));
            plan(&reading, driver.as_deref(), only, options, streams, started)
        }
        Report::Check(input) => Ok(check(input, options, started)),
        Report::Export { input, goal, driver } => {
            let reading = Reading::of(input, command, started)?;
            streams.talk(&reading.worded_warnings(options));
            commands::export::answer(&reading, *goal, driver.as_deref(), options, streams, started)
        }
    }
}

impl Reading {
    /// Reads and validates a scenario, or tells everything that is wrong with it.
    fn of(input: &Input, command: &str, started: Instant) -> Result<Reading, Trouble> {
        let wrong = |faults: &[Diagnosis], name: &str, source: &str| {
            let (summaries, elapsed) = (summaries(faults), started.elapsed());
            let frame = json::Frame { command, warnings: &[], display_units: None, elapsed };
            Trouble {
                complaint: Complaint::Faults {
                    faults: faults.to_vec(),
                    file: name.to_owned(),
                    source: source.to_owned(),
                },
                document: json::wrong_scenario(&summaries, frame),
                exit: Exit::Scenario,
            }
        };
        let file = files::read(input).map_err(|fault| wrong(&[Diagnosis::nowhere(fault)], "", ""))?;
        // What is not UTF-8 is refused as a whole; there is no line of it to show.
        let source = std::str::from_utf8(&file.bytes).unwrap_or_default();
        let document =
            Document::from_bytes(&file.bytes).map_err(|faults| wrong(&faults, &file.name, source))?;
        let read = Scenario::from_document(&document);
        let (scenario, warnings) = read.map_err(|faults| wrong(&faults, &file.name, document.text()))?;
        Ok(Reading { scenario, summaries: summaries(&warnings), warnings, document, name: file.name })
    }

    /// Tells warnings, in the form asked for.
    fn worded_warnings(&self, options: &Options) -> String {
        faults_worded(&self.warnings, &self.name, self.document.text(), options.messages)
    }

    /// Adds what only some commands warn of, at a setting of the file.
    fn add_warnings(&mut self, faults: Vec<Fault>, setting: &str) {
        let place = self.document.place_of(setting);
        self.warnings.extend(faults.into_iter().map(|kind| Diagnosis { kind, place }));
        self.warnings.sort_by_key(|warning| warning.place);
        self.summaries = summaries(&self.warnings);
    }

    fn units(&self, options: &Options) -> UnitSystem {
        options.units.unwrap_or(self.scenario.units())
    }

    fn screen(&self, options: &Options) -> Screen {
        if options.json { json::SCREEN } else { Screen { units: self.units(options) } }
    }

    /// Whom to plan for: the driver of that name, or today's.
    fn driver(
        &self,
        name: Option<&str>,
        command: &str,
        options: &Options,
        started: Instant,
    ) -> Result<Option<usize>, Failure> {
        if let Some(name) = name {
            let called = self.scenario.driver_called(name);
            return called.map(Some).map_err(|fault| Failure::Refused(Refusal::of_fault(&fault)));
        }
        self.scenario.driver_of_today().map_err(|fault| {
            let unchosen = [Diagnosis { kind: fault, place: self.document.place_of("drivers") }];
            let frame = self.frame(options, command, started);
            Failure::Trouble(Trouble {
                document: json::wrong_scenario(&summaries(&unchosen), frame),
                complaint: Complaint::Faults {
                    faults: unchosen.to_vec(),
                    file: self.name.clone(),
                    source: self.document.text().to_owned(),
                },
                exit: Exit::Scenario,
            })
        })
    }

    /// The judge disagreed with the search.
    fn disagreed(
        &self,
        disagreement: &Disagreement,
        command: &str,
        options: &Options,
        started: Instant,
    ) -> Trouble {
        let message = disagreement.to_string();
        let help = "this is a fault of the program; please report it together with the scenario file";
        Trouble {
            complaint: Complaint::Words(text::complaint("error", &message, help, columns())),
            document: json::judge_disagreed(&message, self.frame(options, command, started)),
            exit: Exit::NoAnswer,
        }
    }

    fn frame<'a>(&'a self, options: &Options, command: &'a str, started: Instant) -> json::Frame<'a> {
        json::Frame {
            command,
            warnings: &self.summaries,
            display_units: Some(self.units(options)),
            elapsed: started.elapsed(),
        }
    }
}

fn summaries(diagnoses: &[Diagnosis]) -> Vec<Summary> {
    diagnoses.iter().map(Diagnosis::summary).collect()
}

fn weighed(view: &WeighView, options: &Options, frame: json::Frame) -> Answer {
    let exit = match view.status {
        WeighStatus::OnTarget | WeighStatus::Measured => Exit::Good,
        WeighStatus::OffTarget | WeighStatus::TooLight => Exit::OutOfBand,
    };
    let shown = if options.json { json::weigh(view, frame) } else { text::weigh(view, columns()) };
    Answer { shown, exit }
}

/// What is wrong is what was asked for: it is the answer, not a complaint.
fn check(input: &Input, options: &Options, started: Instant) -> Answer {
    match Reading::of(input, "check", started) {
        Ok(mut reading) => {
            reading.add_warnings(out_of_reach(&reading.scenario), "lead");
            let view = CheckView::new(reading.screen(options), reading.name.clone(), &reading.scenario);
            let shown = match options.messages {
                _ if options.json => json::check(&view, reading.frame(options, "check", started)),
                MessageFormat::Human => {
                    let gap = if reading.warnings.is_empty() { "" } else { "\n" };
                    let summary = text::check(&view, reading.warnings.len(), columns());
                    format!("{}{gap}{summary}", reading.worded_warnings(options))
                }
                // Who reads messages by machine has no use for a summary between them.
                MessageFormat::Short | MessageFormat::Json => reading.worded_warnings(options),
            };
            Answer { shown, exit: Exit::Good }
        }
        Err(Trouble { complaint, document, exit }) => {
            let shown = if options.json { document } else { complaint.worded(options.messages) };
            Answer { shown, exit }
        }
    }
}

fn plan(
    reading: &Reading,
    name: Option<&str>,
    only: &[String],
    options: &Options,
    streams: &Streams,
    started: Instant,
) -> Result<Answer, Failure> {
    let scenario = &reading.scenario;
    let driver = reading.driver(name, "plan", options, started)?;
    let freedom = match only {
        [] => None,
        names => {
            let freedom = Freedom::only(scenario, names);
            Some(freedom.map_err(|fault| Failure::Refused(Refusal::of_fault(&fault)))?)
        }
    };
    let screen = reading.screen(options);
    let found = patiently(streams, options.time, |patience| match &freedom {
        None => explained_plan(screen, scenario, driver, patience),
        // What would help is asked of the whole kart; who wants only a part of it changed has said what is off the table.
        Some(freedom) => solve::solve_within(scenario, driver, freedom, patience)
            .map(|answer| PlanView::new(screen, scenario, driver, &answer)),
    });
    let view = found.map_err(|disagreement| reading.disagreed(&disagreement, "plan", options, started))?;
    let exit = match view.status {
        Status::BestPossible | Status::NotProvedBest if view.all_in_band() => Exit::Good,
        Status::BestPossible | Status::NotProvedBest => Exit::OutOfBand,
        Status::NoLegalPlan => Exit::NoLegalPlan,
        Status::OutOfTime => Exit::NoAnswer,
    };
    let shown = if options.json {
        json::plan(&view, reading.frame(options, "plan", started))
    } else {
        text::plan(&view, columns())
    };
    Ok(Answer { shown, exit })
}

/// A plan with what would help it, or its absence with what would cure that.
fn explained_plan(
    screen: Screen,
    scenario: &Scenario,
    driver: Option<usize>,
    patience: Patience,
) -> Result<PlanView, Disagreement> {
    let answer = solve::solve(scenario, driver, patience)?;
    let view = PlanView::new(screen, scenario, driver, &answer);
    Ok(match &answer {
        solve::Answer::Plan(solved) => {
            let helps = help::would_help(scenario, driver, solved, patience)?;
            view.with_help(HelpLines::new(screen, scenario, solved.plan.measured(), &helps))
        }
        solve::Answer::NoLegalPlan(_) => {
            let remedies = help::remedies(scenario, driver, patience)?;
            view.with_help(HelpLines::of_remedies(screen, scenario, &remedies))
        }
        solve::Answer::OutOfTime => view,
    })
}

/// Searches for at most so long; Ctrl-C ends it earlier, and after a second the user is told that it goes on.
fn patiently<T>(streams: &Streams, time: Duration, search: impl FnOnce(Patience) -> T) -> T {
    // Without a handler Ctrl-C ends the program, as it does everywhere: worse, but no reason to refuse an
    // answer.
    ctrlc::set_handler(interrupted).ok();
    let (done, waiting) = mpsc::channel::<()>();
    thread::scope(|scope| {
        scope.spawn(move || {
            if waiting.recv_timeout(SILENCE) == Err(mpsc::RecvTimeoutError::Timeout) {
                let seconds = time.as_secs_f64();
                streams
                    .talk(&format!("still searching, {seconds} s at most; Ctrl-C shows the best so far\n"));
            }
        });
        let deadline = Instant::now().checked_add(time);
        let found = search(Patience { deadline, stop: &STOP });
        drop(done);
        found
    })
}

/// The first Ctrl-C asks the search to end, the second ends the program.
#[expect(
    clippy::exit,
    reason = "the user has asked twice, and the search may not have noticed the first time"
)]
fn interrupted() {
    if STOP.swap(true, Ordering::SeqCst) {
        std::process::exit(130);
    }
}

fn explain(explanation: Option<&Explanation>, options: &Options, streams: &Streams) -> Result<Exit, Refusal> {
    let frame = json::Frame {
        command: "explain",
        warnings: &[],
        display_units: options.units,
        elapsed: Duration::ZERO,
    };
    let shown = match (explanation, options.json) {
        (Some(one), false) => text::explanation(one, columns()),
        (Some(one), true) => json::explanation(one, frame),
        (None, false) => text::explanations(columns()),
        (None, true) => json::explanations(frame),
    };
    deliver(&shown, Exit::Good, target(options, None)?.as_ref(), streams)
}

fn new(file: Option<&Path>, units: UnitSystem, force: bool, streams: &Streams) -> Result<Exit, Refusal> {
    let scenario = document::starter(units);
    let Some(path) = file else { return Ok(streams.show(scenario, Exit::Good)) };
    let replace = if force { Replace::Anything } else { Replace::Nothing };
    let target = Target::checked("`new`", path, None, replace)?;
    target.write(scenario)?;
    streams.talk(&format!(
        "written: {target}\nedit the lines marked `# <- yours`, then run `kentledge plan {target}`\n"
    ));
    Ok(Exit::Good)
}
