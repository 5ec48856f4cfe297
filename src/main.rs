//! The edge: arguments and files in, streams and an exit code out.
//! Takes what was typed; every command reads, solves, reports; the only place that prints or ends the
//! program.
//! Does not know how anything is computed, nor how it is laid out.

mod cli;
mod commands;
mod files;
mod messages;
mod request;
mod screen;
mod streams;
mod typeset;
mod waiting;

use std::process::ExitCode;
use std::time::{Duration, Instant};

use kentledge::diagnosis::explained::Explanation;
use kentledge::diagnosis::{Diagnosis, Fault, Summary};
use kentledge::document::Document;
use kentledge::report::amount::Screen;
use kentledge::report::check::{CheckView, out_of_reach};
use kentledge::report::ground::GroundView;
use kentledge::report::imprint::Imprint;
use kentledge::report::plan::Status;
use kentledge::report::weigh::{WeighStatus, WeighView};
use kentledge::report::{drawing, json, sheet, text};
use kentledge::scenario::Scenario;
use kentledge::solve::Disagreement;
use kentledge::tasks::after::as_weighed;
use kentledge::units::UnitSystem;

use cli::Instead;
use messages::{Complaint, faults_worded};
use request::{Color, Command, Input, MessageFormat, Options, Refusal, Report, Request};
use screen::{columns, lay_out_plainly};
use streams::Streams;
use typeset::{Targets, Typeset};

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

impl Exit {
    /// Of a command that ends in a plan, or in none.
    fn of(status: Status, all_in_band: bool) -> Exit {
        match status {
            Status::BestPossible | Status::NotProvedBest if all_in_band => Exit::Good,
            Status::BestPossible | Status::NotProvedBest => Exit::OutOfBand,
            Status::NoLegalPlan => Exit::NoLegalPlan,
            Status::OutOfTime => Exit::NoAnswer,
        }
    }
}

/// What a command has to say, on a screen or as a document, whichever was asked for.
struct Answer {
    shown: String,
    exit: Exit,
    /// The same for people away from the screen, as far as it was asked for.
    typeset: Typeset,
}

impl Answer {
    /// An answer that has no sheet.
    fn new(shown: String, exit: Exit) -> Answer {
        Answer { shown, exit, typeset: Typeset::default() }
    }
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

impl From<Refusal> for Failure {
    fn from(refusal: Refusal) -> Failure {
        Failure::Refused(refusal)
    }
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
    imprint: Imprint,
}

fn main() -> ExitCode {
    let exit = match cli::request(std::env::args_os().collect()) {
        Ok(request) => {
            let Options { color, quiet, messages, .. } = request.options;
            let streams = Streams::new(color, quiet, messages);
            if request.options.plain {
                lay_out_plainly();
            }
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
        Command::New { file, which, units, force } => {
            return commands::new::write(file.as_deref(), *which, *units, *force, streams);
        }
        Command::Text(text) => {
            let answer = Answer::new(text.clone(), Exit::Good);
            return deliver(answer, Targets::checked(None, options)?, streams);
        }
        Command::Explain(explanation) => return explain(*explanation, options, streams),
        Command::Report(report) => report,
    };
    // Before any long work: a path that cannot be written must not cost a search.
    let targets = Targets::checked(Some(report), options)?;
    let answer = match answer(report, options, streams) {
        Ok(answer) => answer,
        Err(Failure::Refused(refusal)) => return Err(refusal),
        Err(Failure::Trouble(Trouble { complaint, document, exit })) => {
            streams.complain(&complaint.worded(options.messages));
            Answer::new(if options.json { document } else { String::new() }, exit)
        }
    };
    deliver(answer, targets, streams)
}

/// To the screen or to files. What is on the screen stays there if a file cannot be written.
fn deliver(answer: Answer, targets: Targets, streams: &Streams) -> Result<Exit, Refusal> {
    let Answer { shown, exit, typeset } = answer;
    let mut outcome = Ok(if targets.output.is_none() { streams.show(&shown, exit) } else { exit });
    for written in targets.write(&shown, typeset) {
        match written {
            Ok(target) => streams.talk(&format!("written: {target}\n")),
            Err(refusal) => outcome = outcome.and(Err(refusal)),
        }
    }
    outcome
}

fn answer(report: &Report, options: &Options, streams: &Streams) -> Result<Answer, Failure> {
    let started = Instant::now();
    let command = report.word();
    match report {
        Report::Weigh(input) => {
            let reading = Reading::of(input, command, started)?;
            streams.talk(&reading.worded_warnings(options));
            let followed = commands::after::followed(&reading, command, options, streams, started)?;
            let view = WeighView::of_steps(reading.screen(options), &reading.scenario, &followed.steps);
            let typeset = Typeset::of(options, || {
                let screen = Screen { units: reading.units(options) };
                let weighed = as_weighed(&reading.scenario, &followed.steps);
                let ground = GroundView::of_weighing(screen, &weighed);
                let view = WeighView::of_steps(screen, &reading.scenario, &followed.steps);
                (sheet::weigh(&view, Some(&ground), &reading.imprint), Some(drawing::drawing(&ground)))
            })?;
            Ok(weighed(&view, options, reading.frame(options, command, started), typeset))
        }
        Report::HowToWeigh => {
            let (display_units, elapsed) = (None, started.elapsed());
            let frame = json::Frame { command, warnings: &[], display_units, elapsed };
            let shown = if options.json { json::how_to_weigh(frame) } else { text::how_to(columns()) };
            Ok(Answer::new(shown, Exit::Good))
        }
        Report::WeighReadings { readings, chassis, units } => {
            let screen = if options.json { json::SCREEN } else { Screen { units: *units } };
            let view = WeighView::of_readings(screen, *readings, chassis.as_ref());
            let typeset = Typeset::of(options, || {
                let screen = Screen { units: *units };
                let ground =
                    chassis.as_ref().map(|chassis| GroundView::of_readings(screen, *readings, chassis));
                let view = WeighView::of_readings(screen, *readings, chassis.as_ref());
                (sheet::weigh(&view, ground.as_ref(), &Imprint::TYPED), ground.as_ref().map(drawing::drawing))
            })?;
            let (display_units, elapsed) = (Some(*units), started.elapsed());
            let frame = json::Frame { command, warnings: &[], display_units, elapsed };
            Ok(weighed(&view, options, frame, typeset))
        }
        Report::Plan { input, driver, only, alternatives } => {
            let reading = Reading::of(input, command, started)?;
            streams.talk(&reading.worded_warnings(options));
            let wish = commands::plan::Wish { driver: driver.as_deref(), only, alternatives: *alternatives };
            commands::plan::answer(&reading, wish, options, streams, started)
        }
        Report::Card { input, driver, grid, listed } => {
            let reading = Reading::of(input, command, started)?;
            streams.talk(&reading.worded_warnings(options));
            commands::card::answer(&reading, driver.as_deref(), *grid, *listed, options, streams, started)
        }
        Report::Reach { input, whom, form } => {
            let reading = Reading::of(input, command, started)?;
            streams.talk(&reading.worded_warnings(options));
            commands::reach::answer(&reading, whom, *form, options, streams, started)
        }
        Report::Check(input) => Ok(check(input, options, started)),
        Report::Learn { input, into } => {
            let reading = Reading::of(input, command, started)?;
            streams.talk(&reading.worded_warnings(options));
            commands::learn::answer(&reading, into.as_deref(), options, streams, started)
        }
        Report::Swap { input, order } => {
            let reading = Reading::of(input, command, started)?;
            streams.talk(&reading.worded_warnings(options));
            commands::swap::answer(&reading, order, options, streams, started)
        }
        Report::Pack(input) => {
            let reading = Reading::of(input, command, started)?;
            streams.talk(&reading.worded_warnings(options));
            commands::pack::answer(&reading, options, streams, started)
        }
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
        let imprint = Imprint::of_file(&file.name, &file.bytes);
        let summaries = summaries(&warnings);
        Ok(Reading { scenario, summaries, warnings, document, name: file.name, imprint })
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
            let unchosen = Diagnosis { kind: fault, place: self.document.place_of("drivers") };
            Failure::Trouble(self.wrong(&[unchosen], command, options, started))
        })
    }

    /// Something in the file that only this command cannot use.
    fn wrong(&self, faults: &[Diagnosis], command: &str, options: &Options, started: Instant) -> Trouble {
        Trouble {
            document: json::wrong_scenario(&summaries(faults), self.frame(options, command, started)),
            complaint: Complaint::Faults {
                faults: faults.to_vec(),
                file: self.name.clone(),
                source: self.document.text().to_owned(),
            },
            exit: Exit::Scenario,
        }
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

fn weighed(view: &WeighView, options: &Options, frame: json::Frame, typeset: Typeset) -> Answer {
    let exit = match view.status {
        WeighStatus::OnTarget | WeighStatus::Measured => Exit::Good,
        WeighStatus::OffTarget | WeighStatus::TooLight => Exit::OutOfBand,
    };
    let shown = if options.json { json::weigh(view, frame) } else { text::weigh(view, columns()) };
    Answer { shown, exit, typeset }
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
            Answer::new(shown, Exit::Good)
        }
        Err(Trouble { complaint, document, exit }) => {
            let shown = if options.json { document } else { complaint.worded(options.messages) };
            Answer::new(shown, exit)
        }
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
    deliver(Answer::new(shown, Exit::Good), Targets::checked(None, options)?, streams)
}
