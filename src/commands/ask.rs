//! `new --ask`: a dozen questions at a terminal, each asked again until its answer will do.

use std::io::{self, BufRead, IsTerminal};

use kentledge::questions::{QUESTIONS, file, wrong};
use kentledge::units::UnitSystem;

use crate::request::Refusal;
use crate::run::Run;
use crate::streams::Streams;
use crate::waiting::today;

/// The file that the answers make.
pub(super) fn asked(run: &Run, units: Option<UnitSystem>) -> Result<String, Refusal> {
    if !io::stdin().is_terminal() || !Streams::are_watched() {
        return Err(Refusal::new(
            "`new --ask` asks at a terminal, and there is none",
            "without `--ask` it writes a commented file to edit",
        ));
    }
    run.streams
        .complain("Enter alone takes what stands in brackets; Ctrl-C ends it, and nothing is written.\n");
    let units = match units {
        Some(units) => units,
        None => loop {
            match answer(run, "Units: kg-mm or lb-in", "kg-mm")?.as_str() {
                "kg-mm" | "kg" => break UnitSystem::KgMm,
                "lb-in" | "lb" => break UnitSystem::LbIn,
                _ => run.streams.complain("  write kg-mm or lb-in\n"),
            }
        },
    };
    let mut answers: Vec<String> = Vec::new();
    for question in QUESTIONS {
        loop {
            answers.push(answer(run, &question.asks(units), question.usual(units))?);
            let Some(why) = wrong(units, &answers) else { break };
            answers.pop();
            run.streams.complain(&format!("  {why}\n"));
        }
    }
    Ok(file(units, &answers, Some(&today())))
}

/// What somebody types, or the usual answer.
fn answer(run: &Run, asks: &str, usual: &str) -> Result<String, Refusal> {
    run.streams.complain(&format!("{asks} [{usual}]: "));
    let mut line = String::new();
    match io::stdin().lock().read_line(&mut line) {
        Ok(1..) if line.trim().is_empty() => Ok(usual.to_owned()),
        Ok(1..) => Ok(line.trim().to_owned()),
        Ok(0) => {
            run.streams.complain("\n");
            Err(Refusal::new("the answers ended before the questions", "nothing was written; run it again"))
        }
        Err(error) => Err(Refusal::new(
            format!("an answer could not be read: {}", crate::files::in_words(&error)),
            "nothing was written; run it again",
        )),
    }
}
