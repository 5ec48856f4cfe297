//! The edge: arguments and files in, streams and an exit code out.
//! Takes what was typed; every command reads, solves, reports; the only place that prints or ends the
//! program.
//! Does not know how anything is computed, nor how it is laid out.

mod cli;
mod commands;
mod files;
mod laid_out;
mod messages;
mod request;
mod screen;
mod streams;
mod typeset;
mod waiting;

use std::process::ExitCode;
use std::time::Instant;

use kentledge::answer::trouble::{Without, Wrong};
use kentledge::answer::{Frame, Status};
use kentledge::diagnosis::{Diagnosis, Fault, Summary};
use kentledge::document::Document;
use kentledge::imprint::Imprint;
use kentledge::page::terminal;
use kentledge::scenario::Scenario;
use kentledge::solve::Disagreement;
use kentledge::units::UnitSystem;

use cli::Instead;
use laid_out::Form;
use messages::{Complaint, faults_worded};
use request::{Color, Command, Input, MessageFormat, Options, Refusal, Report, Request};
use screen::{columns, lay_out_plainly};
use streams::Streams;
use typeset::{Targets, Typeset};

/// How the program ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Exit {
    /// Legal, and on every target; or whatever was asked is done.
    Good = 0,
    /// Legal, but off a target.
    OffTarget = 1,
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
    fn of(status: Status, all_on_target: bool) -> Exit {
        match status {
            Status::BestPossible | Status::NotProvedBest if all_on_target => Exit::Good,
            Status::BestPossible | Status::NotProvedBest => Exit::OffTarget,
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
        Command::Explain(explanation) => {
            let targets = Targets::checked(None, options)?;
            return deliver(commands::check::explain(*explanation, options)?, targets, streams);
        }
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
    let read = |input| -> Result<Reading, Trouble> {
        let reading = Reading::of(input, report.word(), started)?;
        streams.talk(&reading.worded_warnings(options));
        Ok(reading)
    };
    match report {
        Report::Weigh(input) => commands::weigh::answer(&read(input)?, options, streams, started),
        Report::HowToWeigh => commands::weigh::how_to(options, started),
        Report::WeighReadings { readings, chassis, units } => {
            commands::weigh::of_readings(*readings, chassis.as_ref(), *units, options, started)
        }
        Report::Plan { input, driver, only, alternatives } => {
            let reading = read(input)?;
            let wish = commands::plan::Wish { driver: driver.as_deref(), only, alternatives: *alternatives };
            commands::plan::answer(&reading, wish, options, streams, started)
        }
        Report::Card { input, driver, grid, listed } => commands::card::answer(
            &read(input)?,
            driver.as_deref(),
            *grid,
            *listed,
            options,
            streams,
            started,
        ),
        Report::Reach { input, whom, form } => {
            commands::reach::answer(&read(input)?, whom, *form, options, streams, started)
        }
        Report::Check(input) => Ok(commands::check::answer(input, options, started)?),
        Report::Learn { input, into } => {
            commands::learn::answer(&read(input)?, into.as_deref(), options, streams, started)
        }
        Report::Swap { input, order } => {
            commands::swap::answer(&read(input)?, order, options, streams, started)
        }
        Report::Pack(input) => commands::pack::answer(&read(input)?, options, streams, started),
        Report::Export { input, goal, driver } => {
            commands::export::answer(&read(input)?, *goal, driver.as_deref(), options, streams, started)
        }
    }
}

impl Reading {
    /// Reads and validates a scenario, or tells everything that is wrong with it.
    fn of(input: &Input, command: &str, started: Instant) -> Result<Reading, Trouble> {
        let wrong = |faults: &[Diagnosis], name: &str, source: &str| {
            let (diagnoses, elapsed, exit_code) =
                (summaries(faults), started.elapsed(), Exit::Scenario as u8);
            let frame = Frame { command, exit_code, warnings: &[], display_units: None, elapsed };
            Trouble {
                complaint: Complaint::Faults {
                    faults: faults.to_vec(),
                    file: name.to_owned(),
                    source: source.to_owned(),
                },
                document: frame.document(Wrong::STATUS, Wrong { diagnoses }),
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
            document: self
                .frame(options, command, started, Exit::Scenario)
                .document(Wrong::STATUS, Wrong { diagnoses: summaries(faults) }),
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
        let frame = self.frame(options, command, started, Exit::NoAnswer);
        Trouble {
            complaint: Complaint::Words(terminal::complaint("error", &message, help, columns())),
            document: frame.document("the judge disagreed", Without { message, help: None }),
            exit: Exit::NoAnswer,
        }
    }

    /// How an answer about this scenario is laid out.
    fn form<'a>(&'a self, options: &'a Options, command: &'a str, started: Instant, exit: Exit) -> Form<'a> {
        let frame = self.frame(options, command, started, exit);
        Form { options, units: self.units(options), imprint: &self.imprint, frame, exit }
    }

    fn frame<'a>(&'a self, options: &Options, command: &'a str, started: Instant, exit: Exit) -> Frame<'a> {
        Frame {
            command,
            exit_code: exit as u8,
            warnings: &self.summaries,
            display_units: Some(self.units(options)),
            elapsed: started.elapsed(),
        }
    }
}

fn summaries(diagnoses: &[Diagnosis]) -> Vec<Summary> {
    diagnoses.iter().map(Diagnosis::summary).collect()
}
