//! `export`: the integer program of one goal, on stdout or in a file.
//! Takes a scenario that was read, the goal and the driver; gives the program, or one sentence that says why there is none.
//! Does not state programs and does not write their format.

use std::time::Instant;

use kentledge::goal::Goal;
use kentledge::page::terminal;
use kentledge::tasks::export::{self, Exported};

use crate::messages::Complaint;
use crate::request::{Options, Which};
use crate::screen::columns;
use crate::streams::Streams;
use crate::waiting::patiently;
use crate::{Answer, Exit, Failure, Reading, Trouble};

/// The program of a goal, with earlier goals held.
pub(crate) fn answer(
    reading: &Reading,
    which: Which,
    driver: Option<&str>,
    options: &Options,
    streams: &Streams,
    started: Instant,
) -> Result<Answer, Failure> {
    let followed = super::after::followed(reading, "export", options, streams, started)?;
    let scenario = &followed.now;
    let driver = reading.driver(driver, "export", options, started)?;
    let goal = match which {
        Which::Nth(nth) => scenario.preferences().goals()[nth - 1],
        Which::Called(goal) => goal,
    };
    let found = patiently(streams, started, options.time, |patience| {
        export::program(scenario, driver, goal, patience)
    });
    let found = found.map_err(|disagreement| reading.disagreed(&disagreement, "export", options, started))?;
    match found {
        Exported::Program(program) => {
            let stopped: Vec<&str> = program.stopped().map(Goal::word).collect();
            if !stopped.is_empty() {
                let message =
                    format!("not proved best in this time, and held as found: {}", stopped.join(", "));
                let help = "`--time` gives the search longer; the comments of the file say the same";
                streams.talk(&terminal::complaint("warning", &message, help, columns()));
            }
            Ok(Answer::new(program.mps, Exit::Good))
        }
        Exported::NoLegalPlan => Err(nothing_to_hold(
            "no legal plan exists, so there is nothing at which earlier goals could be held",
            "`--goal 1` is the program that has no solution; `kentledge plan` says what is missing",
            Exit::NoLegalPlan,
        )),
        Exported::OutOfTime => Err(nothing_to_hold(
            "no legal plan was found in this time, so there is nothing at which earlier goals could be held",
            "`--time` gives the search longer; `--goal 1` needs no search",
            Exit::NoAnswer,
        )),
    }
}

fn nothing_to_hold(message: &str, help: &str, exit: Exit) -> Failure {
    // There is no document: `--json` is refused before anything is read.
    let complaint = terminal::complaint("error", message, help, columns());
    Failure::Trouble(Trouble { complaint: Complaint::Words(complaint), document: String::new(), exit })
}
