//! What comes of a command: an answer, or why there is none.
//! Belongs to the binary.

pub(crate) use kentledge::answer::Exit;
use kentledge::diagnosis::Fault;

use crate::request::Refusal;
use crate::typeset::Typeset;

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
