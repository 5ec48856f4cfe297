//! What comes of a command: an answer, or why there is none; and how the program ends.
//! Belongs to the binary.

use kentledge::answer::Status;
use kentledge::diagnosis::Fault;

use crate::request::Refusal;
use crate::typeset::Typeset;

/// How the program ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Exit {
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
    pub(crate) fn of(status: Status, all_on_target: bool) -> Exit {
        match status {
            Status::BestPossible | Status::NotProvedBest if all_on_target => Exit::Good,
            Status::BestPossible | Status::NotProvedBest => Exit::OffTarget,
            Status::NoLegalPlan => Exit::NoLegalPlan,
            Status::OutOfTime => Exit::NoAnswer,
        }
    }
}

/// What a command has to say, on a screen or as a document, whichever was asked for.
pub(crate) struct Answer {
    pub(crate) shown: String,
    pub(crate) exit: Exit,
    /// The same for people away from the screen, as far as it was asked for.
    pub(crate) typeset: Typeset,
}

impl Answer {
    /// An answer that has no sheet.
    pub(crate) fn new(shown: impl Into<String>, exit: Exit) -> Answer {
        Answer { shown: shown.into(), exit, typeset: Typeset::default() }
    }
}

/// What is wrong with the input, or with the program.
pub(crate) struct Trouble {
    /// For people, or for their editors, in the form asked for.
    pub(crate) complaint: String,
    /// The same as a document.
    pub(crate) document: String,
    pub(crate) exit: Exit,
}

/// Why a command has no answer.
pub(crate) enum Failure {
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

impl From<Fault> for Failure {
    fn from(fault: Fault) -> Failure {
        Failure::Refused(Refusal::of_fault(&fault))
    }
}
