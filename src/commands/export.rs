//! `export`: the integer program of one goal, on stdout or in a file.

use kentledge::answer::Status;
use kentledge::goal::Goal;
use kentledge::page::terminal;
use kentledge::tasks::export::{self, Exported};

use crate::outcome::{Answer, Exit, Failure};
use crate::request::Which;
use crate::run::Reading;
use crate::screen::columns;

/// The program of a goal, with earlier goals held.
pub(crate) fn answer(reading: &Reading, which: Which, driver: Option<&str>) -> Result<Answer, Failure> {
    let scenario = &reading.scenario;
    let driver = reading.driver(driver)?;
    let goal = match which {
        Which::Nth(nth) => scenario.preferences().goals()[nth - 1],
        Which::Called(goal) => goal,
    };
    let no_plan = |status| {
        let helps = [
            "`--goal 1` is the program that has no solution; `kentledge plan` says what is missing",
            "`--time` gives the search longer; `--goal 1` needs no search",
        ];
        reading.no_plan(status, "there is nothing at which earlier goals could be held", helps)
    };
    let program = match reading.search(|patience| export::program(scenario, driver, goal, patience))? {
        Exported::Program(program) => program,
        Exported::NoLegalPlan => return Err(no_plan(Status::NoLegalPlan)),
        Exported::OutOfTime => return Err(no_plan(Status::OutOfTime)),
    };
    let stopped: Vec<&str> = program.stopped().map(Goal::word).collect();
    if !stopped.is_empty() {
        let message = format!("not proved best in this time, and held as found: {}", stopped.join(", "));
        let help = "`--time` gives the search longer; the comments of the file say the same";
        reading.run.streams.talk(&terminal::complaint("warning", &message, help, columns()));
    }
    Ok(Answer::new(program.mps, Exit::Good))
}
