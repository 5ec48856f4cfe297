//! Codes explained, as `explain` says them.
//! Takes explanations; gives the answers of the command.
//! Does not know which faults have which code.

use schemars::JsonSchema;
use serde::Serialize;

use crate::diagnosis::explained::{ALL, Example, Explanation};

/// All codes.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Codes {
    /// In order.
    pub codes: Vec<Code>,
}

/// One code.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Code {
    /// `K001` and so on; stable.
    pub code: &'static str,
    /// The same in words, joined by hyphens; stable too.
    pub name: &'static str,
    /// What is wrong, in one sentence.
    pub summary: &'static str,
    /// Why that matters and what helps.
    pub reason: &'static str,
    /// One wrong way to write it.
    pub wrong: &'static str,
    /// One right way to write it.
    pub right: &'static str,
    /// Whether the examples are lines of a scenario rather than command lines.
    pub in_a_scenario: bool,
}

impl Code {
    /// Of an explanation.
    pub fn new(explanation: &Explanation) -> Code {
        let Explanation { code, name, summary, reason, example } = *explanation;
        let in_a_scenario = matches!(example, Example::Lines { .. });
        Code { code, name, summary, reason, wrong: example.wrong(), right: example.right(), in_a_scenario }
    }
}

impl Codes {
    /// All there are.
    pub fn all() -> Codes {
        Codes { codes: ALL.iter().map(Code::new).collect() }
    }
}
