//! Commands at the edge: read, solve, report; one file each.
//! Takes a scenario that was read and the options; gives an answer with its exit code, or what failed.
//! Does not know how anything is computed or laid out. Belongs to the binary.

pub(crate) mod after;
pub(crate) mod card;
pub(crate) mod check;
pub(crate) mod export;
pub(crate) mod learn;
pub(crate) mod new;
pub(crate) mod pack;
pub(crate) mod plan;
pub(crate) mod reach;
pub(crate) mod swap;
pub(crate) mod weigh;

use std::time::Instant;

use kentledge::answer::Status;
use kentledge::answer::trouble::Without;
use kentledge::page::terminal;
use kentledge::solve;

use crate::messages::Complaint;
use crate::request::Options;
use crate::screen::columns;
use crate::{Exit, Failure, Reading, Trouble};

/// A command that starts from a legal plan has none: one sentence, with what to do.
fn no_plan(
    reading: &Reading,
    answer: &solve::Answer,
    command: &str,
    so: &str,
    options: &Options,
    started: Instant,
) -> Failure {
    let (status, message, help, exit) = match answer {
        solve::Answer::NoLegalPlan(_) => (
            Status::NoLegalPlan,
            format!("no legal plan exists, so {so}"),
            "`kentledge plan` says by how much it fails and what would cure it",
            Exit::NoLegalPlan,
        ),
        solve::Answer::OutOfTime | solve::Answer::Plan(_) => (
            Status::OutOfTime,
            format!("no legal plan was found in this time, so {so}"),
            "`--time` gives the search longer",
            Exit::NoAnswer,
        ),
    };
    let frame = reading.frame(options, command, started, exit);
    Failure::Trouble(Trouble {
        complaint: Complaint::Words(terminal::complaint("error", &message, help, columns())),
        document: frame.document(status.words(), Without { message, help: Some(help) }),
        exit,
    })
}
