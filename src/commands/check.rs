//! `check` and `explain`: everything wrong with a file at once, or what it holds; and what a code means.
//! Takes a file or a code; gives the answer with its exit code.
//! Does not solve and does not lay anything out.

use std::time::Instant;

use kentledge::answer::check::{Check, out_of_reach};
use kentledge::answer::explain::{Code, Codes};
use kentledge::blocks;
use kentledge::diagnosis::explained::Explanation;

use super::weigh::without_file;
use crate::request::{Input, MessageFormat, Options, Refusal};
use crate::{Answer, Exit, Reading, Trouble};

/// What is wrong is what was asked for: it is the answer, not a complaint.
pub(crate) fn answer(input: &Input, options: &Options, started: Instant) -> Result<Answer, Refusal> {
    let mut reading = match Reading::of(input, "check", started) {
        Ok(reading) => reading,
        Err(Trouble { complaint, document, exit }) => {
            let shown = if options.json { document } else { complaint.worded(options.messages) };
            return Ok(Answer::new(shown, exit));
        }
    };
    reading.add_warnings(out_of_reach(&reading.scenario), "lead");
    let check = Check::new(reading.name.clone(), &reading.scenario);
    let status = if reading.warnings.is_empty() { "nothing wrong" } else { "no errors" };
    let form = reading.form(options, "check", started, Exit::Good);
    let page = |_: &[_]| blocks::check(&check, reading.warnings.len());
    let answer = form.answer(status, &check, page, |_| (Vec::new(), None))?;
    let shown = match options.messages {
        _ if options.json => answer.shown,
        MessageFormat::Human => {
            let gap = if reading.warnings.is_empty() { "" } else { "\n" };
            format!("{}{gap}{}", reading.worded_warnings(options), answer.shown)
        }
        // Who reads messages by machine has no use for a summary between them.
        MessageFormat::Short | MessageFormat::Json => reading.worded_warnings(options),
    };
    Ok(Answer { shown, ..answer })
}

/// One code explained, or all of them listed.
pub(crate) fn explain(explanation: Option<&Explanation>, options: &Options) -> Result<Answer, Refusal> {
    let form = without_file(options, "explain", options.units, Instant::now(), Exit::Good);
    if let Some(code) = explanation.map(Code::new) {
        return form.answer("explained", &code, |_| blocks::explanation(&code), |_| (Vec::new(), None));
    }
    let codes = Codes::all();
    form.answer("explained", &codes, |_| blocks::explanations(&codes), |_| (Vec::new(), None))
}
