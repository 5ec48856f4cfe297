//! `check` and `explain`: everything wrong with a file at once, or what it holds; and what a code means.

use kentledge::answer::check::{Check, out_of_reach};
use kentledge::answer::doubts::contradictions;
use kentledge::answer::explain::Codes;
use kentledge::blocks;
use kentledge::diagnosis::explained::Explanation;

use crate::outcome::{Answer, Exit, Failure, Trouble};
use crate::request::{Input, MessageFormat};
use crate::run::Run;

/// What is wrong is what was asked for: it is the answer, not a complaint.
pub(crate) fn answer(run: &Run, input: &Input) -> Result<Answer, Failure> {
    let options = run.options;
    let mut reading = match run.read(input) {
        Ok(reading) => reading,
        Err(Trouble { complaint, document, exit }) => {
            return Ok(Answer::new(if options.json { document } else { complaint }, exit));
        }
    };
    reading.add_warnings(contradictions(&reading.scenario), "weighing");
    reading.add_warnings(out_of_reach(&reading.scenario), "lead");
    let warnings = reading.warnings.len();
    let check = Check::new(reading.name.clone(), &reading.scenario);
    let status = if warnings == 0 { "nothing wrong" } else { "no errors" };
    let answer = reading.form(Exit::Good).words(status, &check, || blocks::check(&check, warnings))?;
    let shown = match options.messages {
        _ if options.json => answer.shown,
        MessageFormat::Human => {
            let gap = if warnings == 0 { "" } else { "\n" };
            format!("{}{gap}{}", reading.worded_warnings(), answer.shown)
        }
        // Who reads messages by machine has no use for a summary between them.
        MessageFormat::Short | MessageFormat::Json => reading.worded_warnings(),
    };
    Ok(Answer { shown, ..answer })
}

/// One code explained, or all of them listed.
pub(crate) fn explain(run: &Run, explanation: Option<&Explanation>) -> Result<Answer, Failure> {
    let form = run.form(run.options.units, Exit::Good);
    if let Some(code) = explanation {
        return form.words("explained", code, || blocks::explanation(code));
    }
    let codes = Codes::all();
    form.words("explained", &codes, || blocks::explanations(&codes))
}
