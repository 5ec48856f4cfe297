//! The text of `card`: a table to tape to the trailer, then what to do for each cell.
//! Takes the view; gives text.
//! Does not know the scenario.

use super::alternatives::to_do;
use super::definitions;
use super::page::{Cell, Page, Table, Tone};
use crate::report::card::{CardView, CellLine, CellPlan, RULES_OF_THUMB, WayLine};
use crate::report::setting::SettingLine;

/// Which cells have their jobs listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Listed {
    /// Those that change one figure only.
    OneFigure,
    /// All that can be reached.
    All,
}

/// Lays out a card for a screen of so many columns.
pub fn card(view: &CardView, listed: Listed, width: usize) -> String {
    let mut page = Page::new(width);
    page.paragraph(0, Tone::Strong, &view.title().to_string());
    let figure = view.figure.name();
    page.paragraph(0, Tone::Plain, &format!("tuning card {}", view.start()));
    if let Some(sentence) = view.how_sure_steps_are() {
        page.paragraph(0, Tone::Plain, &sentence);
    }
    definitions(&mut page, std::iter::once(view.figure));
    first(&mut page, view);
    page.section(&format!("Changes for front % (down) and {figure} (across)"));
    let mut rows =
        vec![std::iter::once("").chain(view.columns.iter().map(String::as_str)).map(Cell::number).collect()];
    for row in &view.rows {
        let cells = row.cells.iter().map(|cell| match &cell.way {
            WayLine::Plan(plan) => Cell::number(&plan.changes.to_string()),
            WayLine::None { mark, .. } => Cell::number(mark),
        });
        rows.push(std::iter::once(Cell::number(&row.step)).chain(cells).collect::<Vec<Cell>>());
    }
    let table = Table::new(2, rows);
    if !page.table(&table) {
        for row in &view.rows {
            let cells: Vec<String> = row.cells.iter().map(short).collect();
            page.paragraph(2, Tone::Plain, &format!("front {}: {}", row.step, cells.join(", ")));
        }
    }
    for (mark, sentence) in &view.marks {
        page.paragraph(2, Tone::Plain, &format!("{mark}: {sentence}"));
    }
    cells(&mut page, view, listed);
    page.section("Rules of thumb (common practice, no published source)");
    for sentence in RULES_OF_THUMB {
        page.paragraph(2, Tone::Plain, sentence);
    }
    page.paragraph(2, Tone::Plain, "the chassis maker's word counts more than any of them");
    page.into_text()
}

fn short(cell: &CellLine) -> String {
    let what = match &cell.way {
        WayLine::Plan(plan) => plan.changes.to_string(),
        WayLine::None { mark, .. } => (*mark).to_owned(),
    };
    format!("{} {what}", cell.written.1)
}

/// What has to be bolted on before the first step.
fn first(page: &mut Page, view: &CardView) {
    if view.first.is_empty() && !view.first_settings.iter().any(SettingLine::is_job) {
        return;
    }
    page.section("First carry out today's plan");
    to_do(page, 2, &view.first_settings, &view.first);
}

fn cells(page: &mut Page, view: &CardView, listed: Listed) {
    page.section("What to do, from today's plan");
    let mut left_out = 0;
    for cell in view.rows.iter().flat_map(|row| &row.cells) {
        let WayLine::Plan(plan) = &cell.way else { continue };
        if plan.changes == 0 {
            continue;
        }
        if listed == Listed::All || cell.steps.0 == 0.0 || cell.steps.1 == 0.0 {
            cell_jobs(page, view, cell, plan);
        } else {
            left_out += 1;
        }
    }
    match left_out {
        0 => {}
        1 => page.paragraph(2, Tone::Plain, "one more cell changes both figures: `--all` lists it"),
        several => {
            let sentence = format!("{several} more cells change both figures: `--all` lists them");
            page.paragraph(2, Tone::Plain, &sentence);
        }
    }
}

fn cell_jobs(page: &mut Page, view: &CardView, cell: &CellLine, plan: &CellPlan) {
    let figure = view.figure.name();
    let (front, across) = &cell.written;
    let heading = format!(
        "front {front}, {figure} {across}: to {} +- {} and {} +- {}, {} +- {}",
        plan.front.1,
        plan.sure.front.number,
        plan.across.1,
        plan.sure.across.number,
        plan.total,
        plan.sure.total.number
    );
    page.paragraph(2, Tone::Strong, &heading);
    to_do(page, 4, &plan.settings, &plan.jobs);
}
