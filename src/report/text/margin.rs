//! The text of the margin at inspection: chance to pass, and the budget line by line.
//! Takes the view of it; gives lines on a page.
//! Does not know the scenario.

use super::page::{Cell, Page, Table, Tone};
use crate::report::margin::Passing;

/// Lays out what stands between the plan and the officials' verdict.
pub(super) fn passing(page: &mut Page, passing: &Passing, unit: &str) {
    page.section(&format!("At inspection: chance to pass {}", passing.chance));
    let row = |what: &str, loss: &str, unsure: &str| {
        vec![Cell::word(what), Cell::number(loss), Cell::number(unsure)]
    };
    let mut rows = vec![row(&format!("between plan and scale, {unit}"), "loss", "+-")];
    rows.extend(passing.lines.iter().map(|line| {
        let loss = if line.loss.kg > 0.0 { line.loss.number.as_str() } else { "" };
        row(line.what, loss, &line.unsure.number)
    }));
    rows.push(row("together", &passing.loss.number, &passing.unsure.number));
    if !page.table(&Table::new(2, rows)) {
        for line in &passing.lines {
            let text = format!("{}: loss {}, +- {}", line.what, line.loss.number, line.unsure);
            page.paragraph(2, Tone::Plain, &text);
        }
    }
    page.paragraph(2, Tone::Plain, "+- is two standard uncertainties (k = 2), about 95 %");
}
