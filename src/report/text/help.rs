//! The text of what would help, for the reports that show it.
//! Takes its lines; gives a section, the best first.
//! Does not know whether they help a plan or cure a scenario that has none.

use super::page::{Page, Tone};
use crate::report::help::HelpLines;
use crate::report::team_help::TeamHelpLines;

/// What would help a plan: nothing where nothing is worth it.
pub(super) fn would_help(page: &mut Page, help: &HelpLines) {
    let sentences = help.would_help();
    if !sentences.is_empty() {
        section(page, "What would help, each alone", &sentences);
    }
}

/// Every single remedy.
pub(super) fn would_cure(page: &mut Page, help: &HelpLines) {
    section(page, "What would cure it, each alone", &help.would_cure());
}

/// Who costs the others of a team what, and what would help them.
pub(super) fn team_help(page: &mut Page, help: &TeamHelpLines) {
    let who = help.who();
    if !who.is_empty() {
        section(page, "What each driver costs the others", &who);
    }
    section(page, "What would help, each alone", &help.would_help());
}

fn section(page: &mut Page, heading: &str, sentences: &[String]) {
    page.section(heading);
    for sentence in sentences {
        page.paragraph(2, Tone::Plain, sentence);
    }
}
