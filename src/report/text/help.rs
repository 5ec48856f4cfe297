//! The text of what would help, for the reports that show it.
//! Takes its lines; gives a section, the best first.
//! Does not know whether they help a plan or cure a scenario that has none.

use super::page::{Page, Tone};
use crate::report::help::HelpLines;

/// More than that is not read; documents have all of it.
const MOST_SHOWN: usize = 3;

/// What would help a plan: nothing where nothing is worth it.
pub(super) fn would_help(page: &mut Page, help: &HelpLines) {
    if help.lines.is_empty() && help.unsettled.is_empty() {
        return;
    }
    page.section("What would help, each alone");
    for line in help.lines.iter().take(MOST_SHOWN) {
        page.paragraph(2, Tone::Plain, &format!("{}: {}", line.easing.words, line.gains));
    }
    unsettled(page, help);
}

/// Every single remedy.
pub(super) fn would_cure(page: &mut Page, help: &HelpLines) {
    page.section("What would cure it, each alone");
    for line in &help.lines {
        page.paragraph(2, Tone::Plain, &line.easing.words);
    }
    if help.lines.is_empty() && help.unsettled.is_empty() {
        page.paragraph(
            2,
            Tone::Plain,
            "nothing does alone; it takes two of these: lead, mounts, locks, margin",
        );
    }
    unsettled(page, help);
}

fn unsettled(page: &mut Page, help: &HelpLines) {
    let sentence = match help.unsettled.as_slice() {
        [] => return,
        [one] => format!("not solved to the end: {}", one.words),
        several => {
            format!("{} more things were not solved to the end, and nothing is said of them", several.len())
        }
    };
    page.paragraph(2, Tone::Plain, &sentence);
}
