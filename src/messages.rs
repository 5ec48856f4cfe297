//! What is wrong, in the form asked for.
//! Belongs to the binary.

use kentledge::answer::trouble::{message as told, messages};
use kentledge::diagnosis::{self, Diagnosis};
use kentledge::page::terminal::complaint;

use crate::request::{MessageFormat, Refusal};
use crate::screen::columns;

/// Faults or warnings of a file, in the form asked for.
pub(crate) fn faults_worded(faults: &[Diagnosis], file: &str, source: &str, format: MessageFormat) -> String {
    match format {
        MessageFormat::Human => diagnosis::coloured(columns(), faults, file, source),
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
