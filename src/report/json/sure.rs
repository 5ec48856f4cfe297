//! The parts of JSON documents that say how sure the others are: every value is two standard uncertainties (k = 2).
//! Takes the views of uncertainties; gives entries.
//! Does not round and does not word anything.

use serde::Serialize;

use super::CornersEntry;
use crate::report::margin::Passing;
use crate::report::sure::{SureKart, SurePlace};

/// The ± of everything that four corners say.
#[derive(Serialize)]
pub(super) struct SureEntry {
    coverage_factor: f64,
    corners_kg: CornersEntry,
    total_kg: f64,
    front_percent: f64,
    rear_percent: f64,
    left_percent: f64,
    right_percent: f64,
    cross_percent: f64,
    front_pair_kg: f64,
    rear_pair_kg: f64,
    /// Null where the lengths are not known.
    centre_of_gravity: Option<SurePlaceEntry>,
    warp_kg: Option<f64>,
}

#[derive(Serialize)]
struct SurePlaceEntry {
    x_mm: f64,
    y_mm: f64,
}

impl SureEntry {
    /// `lengths_known` tells whether anybody gave wheelbase and tracks.
    pub(super) fn new(sure: &SureKart, lengths_known: bool) -> SureEntry {
        let place = SurePlaceEntry { x_mm: sure.cg_ahead.mm, y_mm: sure.cg_left.mm };
        SureEntry {
            coverage_factor: crate::uncertainty::COVERAGE_FACTOR,
            corners_kg: CornersEntry::new(&sure.corners),
            total_kg: sure.total.kg,
            front_percent: sure.front_percent.percent,
            rear_percent: sure.front_percent.percent,
            left_percent: sure.left_percent.percent,
            right_percent: sure.left_percent.percent,
            cross_percent: sure.cross_percent.percent,
            front_pair_kg: sure.front_pair.kg,
            rear_pair_kg: sure.rear_pair.kg,
            centre_of_gravity: lengths_known.then_some(place),
            warp_kg: lengths_known.then_some(sure.warp.kg),
        }
    }
}

/// The ± of two shares and the total.
#[derive(Serialize)]
pub(super) struct SureSharesEntry {
    coverage_factor: f64,
    front_percent: f64,
    across_percent: f64,
    total_kg: f64,
}

impl SureSharesEntry {
    pub(super) fn new(sure: &SurePlace) -> SureSharesEntry {
        SureSharesEntry {
            coverage_factor: crate::uncertainty::COVERAGE_FACTOR,
            front_percent: sure.front.percent,
            across_percent: sure.across.percent,
            total_kg: sure.total.kg,
        }
    }
}

/// What stands between a plan and the officials' verdict.
#[derive(Serialize)]
pub(super) struct BudgetEntry {
    lines: Vec<BudgetLineEntry>,
    loss_kg: f64,
    plus_minus_kg: f64,
}

#[derive(Serialize)]
struct BudgetLineEntry {
    what: &'static str,
    loss_kg: f64,
    plus_minus_kg: f64,
}

impl BudgetEntry {
    pub(super) fn new(passing: &Passing) -> BudgetEntry {
        let line = |line: &crate::report::margin::BudgetLine| BudgetLineEntry {
            what: line.what,
            loss_kg: line.loss.kg,
            plus_minus_kg: line.unsure.kg,
        };
        BudgetEntry {
            lines: passing.lines.iter().map(line).collect(),
            loss_kg: passing.loss.kg,
            plus_minus_kg: passing.unsure.kg,
        }
    }
}
