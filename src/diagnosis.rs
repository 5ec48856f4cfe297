//! Every way an input can be wrong: code, place, sentence, help.

pub mod explained;
mod fault;
mod syntax;
mod table;
mod terms;
mod text;

use schemars::JsonSchema;
use serde::Serialize;

pub use fault::Fault;
pub use syntax::Syntax;
pub use terms::{Dimension, Severity, Side};
pub use text::{MOST_SHOWN, coloured, rendered, short, visible};

/// Where in the file: both count from 1, columns in characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Line, the first is 1.
    pub line: usize,
    /// Character within the line, the first is 1.
    pub column: usize,
}

/// One thing that is wrong, and where.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnosis {
    /// What is wrong.
    pub kind: Fault,
    /// Where; none if the fault has no place in a text (a file that is not there), or is far behind many
    /// others.
    pub place: Option<Place>,
}

impl Diagnosis {
    /// A fault with its place.
    pub fn at(kind: Fault, line: usize, column: usize) -> Diagnosis {
        Diagnosis { kind, place: Some(Place { line, column }) }
    }

    /// A fault that has no place in a text.
    pub fn nowhere(kind: Fault) -> Diagnosis {
        Diagnosis { kind, place: None }
    }

    /// The same as data, for JSON documents.
    pub fn summary(&self) -> Summary {
        Summary {
            code: self.kind.code(),
            severity: self.kind.severity().word(),
            line: self.place.map(|place| place.line),
            column: self.place.map(|place| place.column),
            message: self.kind.to_string(),
            help: self.kind.help(),
        }
    }
}

impl std::fmt::Display for Diagnosis {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        write!(f, "{}[{}]: {}", self.kind.severity().word(), self.kind.code(), self.kind)
    }
}

/// A diagnosis as data.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Summary {
    /// `K001` and so on; stable.
    pub code: &'static str,
    /// `error` or `warning`.
    pub severity: &'static str,
    /// Line in the file, from 1.
    pub line: Option<usize>,
    /// Character in the line, from 1.
    pub column: Option<usize>,
    /// The sentence.
    pub message: String,
    /// What to do.
    pub help: String,
}

/// Why something that was typed cannot be followed.
#[derive(Debug)]
pub struct Refusal {
    /// By which `explain` finds it.
    pub code: &'static str,
    /// What is wrong with it.
    pub message: String,
    /// What to type instead.
    pub help: String,
}

impl Refusal {
    /// A refusal of the command line's own kind.
    pub fn new(message: impl Into<String>, help: impl Into<String>) -> Refusal {
        Refusal { code: "K025", message: message.into(), help: help.into() }
    }

    /// The refusal of something that a file could have held as well.
    pub fn of_fault(fault: &Fault) -> Refusal {
        Refusal { code: fault.code(), message: fault.to_string(), help: fault.help() }
    }

    /// The same as data.
    pub fn summary(&self) -> Summary {
        Summary {
            code: self.code,
            severity: "error",
            line: None,
            column: None,
            message: self.message.clone(),
            help: self.help.clone(),
        }
    }
}
