//! Documents of commands that have no answer: what is wrong, or why there is nothing to start from.

use schemars::JsonSchema;
use serde::Serialize;

use super::line;
use crate::diagnosis::{Diagnosis, Summary};

/// A scenario that cannot be used.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Wrong {
    /// Everything that is wrong with it.
    pub diagnoses: Vec<Summary>,
}

impl Wrong {
    /// How such a command stands.
    pub const STATUS: &'static str = "the scenario is wrong";
}

/// A command that starts from a plan and has none, or whose plan the judge refuses.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Without {
    /// What happened.
    pub message: String,
    /// What to do.
    pub help: Option<&'static str>,
}

/// A diagnosis with the file that it is about.
#[derive(Serialize)]
struct Message<'a> {
    file: Option<&'a str>,
    #[serde(flatten)]
    summary: &'a Summary,
}

/// Diagnoses as one JSON object a line, for editors and scripts: `file`, `code`, `severity`, `line`, `column`, `message`, `help`.
pub fn messages(diagnoses: &[Diagnosis], file: &str) -> String {
    diagnoses.iter().map(|diagnosis| message(Some(file), &diagnosis.summary())).collect()
}

/// The same for what belongs to no file.
pub fn message(file: Option<&str>, summary: &Summary) -> String {
    line(&Message { file, summary })
}
