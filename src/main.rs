//! The edge: arguments in, streams and an exit code out; the only place that prints or ends the program.
//! Every command reads, solves, reports.

mod cli;
mod commands;
mod files;
mod laid_out;
mod messages;
mod request;
mod run;
mod screen;
mod streams;
mod typeset;
mod waiting;

use std::process::ExitCode;
use std::time::Instant;

use cli::{Instead, Request};
use request::{Color, MessageFormat, Refusal};
use run::{Answer, Exit, Failure, Run, Trouble};
use screen::lay_out_plainly;
use streams::Streams;
use typeset::Targets;

fn main() -> ExitCode {
    let exit = match cli::request(std::env::args_os().collect()) {
        Ok(request) => {
            let options = &request.options;
            let streams = Streams::new(options.color, options.quiet, options.messages);
            if options.plain {
                lay_out_plainly();
            }
            carried_out(request, &streams).unwrap_or_else(|refusal| {
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
fn carried_out(request: Request, streams: &Streams) -> Result<Exit, Refusal> {
    let Request { command, options, input, work } = request;
    // Before any long work: a path that cannot be written must not cost a search.
    let targets = Targets::checked(input.as_ref(), &options)?;
    let run = Run { command, options: &options, streams, started: Instant::now() };
    let answer = match work(&run) {
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
