//! What is wrong, kept until it is known how it shall be told.
//! Belongs to the binary.

use kentledge::answer::trouble::{message as told, messages};
use kentledge::diagnosis::{self, Diagnosis};
use kentledge::page::terminal::complaint;

use crate::request::{MessageFormat, Refusal};
use crate::screen::columns;

/// Something wrong, or doubtful.
pub(crate) enum Complaint {
    /// Faults of a file.
    Faults {
        faults: Vec<Diagnosis>,
        /// The file as the user named it.
        file: String,
        /// The text in which their places are.
        source: String,
    },
    /// A fault of the program, already in words.
    Words(String),
}

impl Complaint {
    /// In the form asked for.
    pub(crate) fn worded(&self, format: MessageFormat) -> String {
        match self {
            Complaint::Words(words) => words.clone(),
            Complaint::Faults { faults, file, source } => faults_worded(faults, file, source, format),
        }
    }
}

/// Faults or warnings of a file, in the form asked for.
pub(crate) fn faults_worded(faults: &[Diagnosis], file: &str, source: &str, format: MessageFormat) -> String {
    match format {
        MessageFormat::Human => diagnosis::rendered_in(columns(), faults, file, source),
        MessageFormat::Short => diagnosis::short(faults, file),
        MessageFormat::Json => messages(faults, file),
    }
}

/// A refusal of the command line, in the form asked for.
pub(crate) fn refusal_worded(refusal: &Refusal, format: MessageFormat) -> String {
    let Refusal { code, message, help } = refusal;
    match format {
        MessageFormat::Human => complaint(&format!("error[{code}]"), message, help, columns()),
        MessageFormat::Short => format!("kentledge: error[{code}]: {}\n", diagnosis::visible(message)),
        MessageFormat::Json => told(None, &refusal.summary()),
    }
}
