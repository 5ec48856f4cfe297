//! The text of `explain`: one code with its examples, or the list of all.
//! Takes explanations; gives text.
//! Does not know which faults have which code.

use super::page::{Cell, Page, Table, Tone};
use crate::diagnosis::explained::{ALL, Example, Explanation};

/// Spaces before a line of an example.
const EXAMPLE_INDENT: usize = 2;

/// Lays out one explanation for a screen of so many columns.
pub fn explanation(explanation: &Explanation, width: usize) -> String {
    let Explanation { code, name, summary, reason, example } = explanation;
    let mut page = Page::new(width);
    page.paragraph(0, Tone::Strong, &format!("{code} {name}"));
    page.paragraph(0, Tone::Plain, summary);
    page.gap();
    page.paragraph(0, Tone::Plain, reason);
    let of = match example {
        Example::Lines { .. } => "in a scenario",
        Example::Commands { .. } => "as typed",
    };
    for (word, lines) in [("Wrong", example.wrong()), ("Right", example.right())] {
        page.section(&format!("{word}, {of}"));
        lines.lines().for_each(|line| page.verbatim(EXAMPLE_INDENT, line));
    }
    page.into_text()
}

/// Lays out the list of all codes.
pub fn explanations(width: usize) -> String {
    let mut page = Page::new(width);
    let row = |one: &Explanation| vec![Cell::word(one.code), Cell::word(one.name), Cell::word(one.summary)];
    let table = Table::new(0, ALL.iter().map(row).collect());
    if !page.table(&table) {
        for one in ALL {
            page.paragraph(0, Tone::Strong, &format!("{} {}", one.code, one.name));
            page.paragraph(2, Tone::Plain, one.summary);
        }
    }
    page.section("More of one: kentledge explain K005, or kentledge explain decimal-comma");
    page.into_text()
}
