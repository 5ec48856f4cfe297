//! The JSON document of `card`.
//! Takes the view; gives the document, every cell with its steps, its plan or why it has none.
//! Does not round and does not word anything.

use serde::Serialize;

use super::Frame;
use super::changes::{AdjusterEntry, ChangeEntry, PlacementEntry};
use super::sure::SureSharesEntry;
use crate::report::card::{CardView, CellLine, RULES_OF_THUMB, WayLine};

#[derive(Serialize)]
struct CardAnswer<'v> {
    driver: Option<&'v str>,
    kart: &'v str,
    class: &'v str,
    state: &'static str,
    front_percent: f64,
    across: &'static str,
    across_percent: f64,
    front_within_percent: f64,
    across_within_percent: f64,
    total_kg: f64,
    /// Two standard uncertainties of the three figures above.
    plus_minus: SureSharesEntry,
    placements: Vec<PlacementEntry<'v>>,
    adjusters_before_the_first_step: Vec<AdjusterEntry<'v>>,
    changes_before_the_first_step: Vec<ChangeEntry<'v>>,
    cells: Vec<CellEntry<'v>>,
    common_practice: [&'static str; 4],
}

#[derive(Serialize)]
struct CellEntry<'v> {
    front_step_percent: f64,
    across_step_percent: f64,
    /// `plan`, `out_of_reach`, `others`, `pieces` or `unsettled`.
    way: &'static str,
    blocked_by: &'v [&'static str],
    work: Option<u32>,
    front_percent: Option<f64>,
    across_percent: Option<f64>,
    total_kg: Option<f64>,
    /// Two standard uncertainties of the three figures above.
    plus_minus: Option<SureSharesEntry>,
    /// Two standard uncertainties of what differs from today's plan.
    step_plus_minus: Option<SureSharesEntry>,
    adjusters: Vec<AdjusterEntry<'v>>,
    changes: Vec<ChangeEntry<'v>>,
    placements: Vec<PlacementEntry<'v>>,
}

impl<'v> CellEntry<'v> {
    fn new(line: &'v CellLine) -> CellEntry<'v> {
        let empty = CellEntry {
            front_step_percent: line.steps.0,
            across_step_percent: line.steps.1,
            way: "plan",
            blocked_by: &[],
            work: None,
            front_percent: None,
            across_percent: None,
            total_kg: None,
            plus_minus: None,
            step_plus_minus: None,
            adjusters: Vec::new(),
            changes: Vec::new(),
            placements: Vec::new(),
        };
        match &line.way {
            WayLine::None { why, blocked_by, .. } => CellEntry { way: why, blocked_by, ..empty },
            WayLine::Plan(plan) => CellEntry {
                work: Some(plan.changes),
                front_percent: Some(plan.front.0),
                across_percent: Some(plan.across.0),
                total_kg: Some(plan.total.kg),
                plus_minus: Some(SureSharesEntry::new(&plan.sure)),
                step_plus_minus: Some(SureSharesEntry::new(&plan.sure_step)),
                adjusters: plan.settings.iter().map(AdjusterEntry::new).collect(),
                changes: plan.jobs.iter().map(ChangeEntry::new).collect(),
                placements: plan.placements.iter().map(PlacementEntry::new).collect(),
                ..empty
            },
        }
    }
}

/// The document of `card`.
pub fn card(view: &CardView, frame: Frame) -> String {
    let answer = CardAnswer {
        driver: view.driver.as_deref(),
        kart: &view.kart,
        class: &view.class,
        state: view.moment.word(),
        front_percent: view.front.0,
        across: view.figure.key(),
        across_percent: view.across.0,
        front_within_percent: view.within.0,
        across_within_percent: view.within.1,
        total_kg: view.total.kg,
        plus_minus: SureSharesEntry::new(&view.sure),
        placements: view.placements.iter().map(PlacementEntry::new).collect(),
        adjusters_before_the_first_step: view.first_settings.iter().map(AdjusterEntry::new).collect(),
        changes_before_the_first_step: view.first.iter().map(ChangeEntry::new).collect(),
        cells: view.rows.iter().flat_map(|row| &row.cells).map(CellEntry::new).collect(),
        common_practice: RULES_OF_THUMB,
    };
    frame.document(view.status.words(), answer)
}
