//! `log`: every weighing of a file in time, and what has changed on the kart itself.

use kentledge::answer::log::Log;
use kentledge::blocks;

use crate::outcome::{Answer, Exit, Failure};
use crate::run::Reading;

/// All weighings; for a spreadsheet one row each and nothing else.
pub(crate) fn answer(reading: &Reading) -> Result<Answer, Failure> {
    let log = Log::new(&reading.scenario);
    let status = if log.changes.is_empty() { "as before" } else { "changed" };
    let for_spreadsheet = reading.run.options.plain;
    let page = || if for_spreadsheet { blocks::log_rows(&log) } else { blocks::log(&log) };
    reading.form(Exit::Good).words(status, &log, page)
}
