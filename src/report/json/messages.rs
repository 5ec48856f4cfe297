//! Diagnoses as one JSON object a line, for editors and scripts that read the stream of talk.
//! Takes diagnoses and the name of their file; gives lines.
//! Does not know the document of a command, which has the same objects in it without the file.

use serde::Serialize;

use crate::diagnosis::{Diagnosis, Summary};

#[derive(Serialize)]
struct Message<'a> {
    file: Option<&'a str>,
    #[serde(flatten)]
    summary: &'a Summary,
}

/// One object a line: `file`, `code`, `severity`, `line`, `column`, `message`, `help`.
pub fn messages(diagnoses: &[Diagnosis], file: &str) -> String {
    diagnoses.iter().map(|diagnosis| message(Some(file), &diagnosis.summary())).collect()
}

/// The same for what belongs to no file.
pub fn message(file: Option<&str>, summary: &Summary) -> String {
    super::written(serde_json::to_string(&Message { file, summary }))
}
