//! Commands at the edge: read, solve, report; one file each. Nothing is computed or laid out here.
//! Belongs to the binary.

mod ask;
pub(crate) mod card;
mod change;
pub(crate) mod check;
pub(crate) mod done;
pub(crate) mod export;
pub(crate) mod learn;
pub(crate) mod log;
pub(crate) mod new;
pub(crate) mod pack;
pub(crate) mod page;
pub(crate) mod plan;
pub(crate) mod reach;
#[cfg(feature = "page")]
mod serve;
pub(crate) mod swap;
pub(crate) mod weigh;

use kentledge::answer::Status;
use kentledge::solve;

use crate::outcome::Failure;
use crate::run::Reading;

/// A command that starts from a legal plan has none: one sentence, with what to do.
fn no_plan(reading: &Reading, answer: &solve::Answer, so: &str) -> Failure {
    let status = match answer {
        solve::Answer::NoLegalPlan(_) => Status::NoLegalPlan,
        solve::Answer::OutOfTime | solve::Answer::Plan(_) => Status::OutOfTime,
    };
    let helps = [
        "`kentledge plan` says by how much it fails and what would cure it",
        "`--time` gives the search longer",
    ];
    reading.no_plan(status, so, helps)
}
