//! What would help, and what binds, as parts of a JSON document.
//! Takes the lines; gives entries in kg, mm, percent or counts, the unit beside each number.
//! Does not choose: documents have all of it.

use serde::Serialize;

use crate::goal::Goal;
use crate::report::help::{BindingLine, EasingLine, HelpLine};

#[derive(Serialize)]
pub(super) struct BindingEntry<'v> {
    what: &'static str,
    name: Option<&'v str>,
}

impl<'v> BindingEntry<'v> {
    pub(super) fn new(line: &'v BindingLine) -> BindingEntry<'v> {
        BindingEntry { what: line.what, name: line.name.as_deref() }
    }
}

#[derive(Serialize)]
pub(super) struct EasingEntry<'v> {
    eased: &'static str,
    name: Option<&'v str>,
    by: f64,
    unit: &'static str,
    sentence: &'v str,
}

impl<'v> EasingEntry<'v> {
    pub(super) fn new(line: &'v EasingLine) -> EasingEntry<'v> {
        EasingEntry {
            eased: line.what,
            name: line.name.as_deref(),
            by: line.by,
            unit: line.unit,
            sentence: &line.words,
        }
    }
}

#[derive(Serialize)]
pub(super) struct HelpEntry<'v> {
    #[serde(flatten)]
    easing: EasingEntry<'v>,
    goal: Option<&'static str>,
    /// Of `before` and `after`.
    goal_unit: Option<&'static str>,
    before: Option<f64>,
    after: Option<f64>,
    total_kg: f64,
    total_plus_minus_kg: f64,
    all_in_band: bool,
    gains: &'v str,
}

impl<'v> HelpEntry<'v> {
    pub(super) fn new(line: &'v HelpLine) -> HelpEntry<'v> {
        HelpEntry {
            easing: EasingEntry::new(&line.easing),
            goal: line.goal.map(Goal::word),
            goal_unit: line.goal.map(|goal| if goal == Goal::Work { "count" } else { "kg" }),
            before: line.values.map(|(before, _)| before),
            after: line.values.map(|(_, after)| after),
            total_kg: line.total_kg,
            total_plus_minus_kg: line.total_sure_kg,
            all_in_band: line.all_in_band,
            gains: &line.gains,
        }
    }
}
