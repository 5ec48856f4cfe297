//! Alternatives as a part of the JSON document of `plan`.
//! Takes their lines; gives entries whose keys are those of the plan itself.
//! Does not round and does not word anything.

use serde::Serialize;

use super::ResidualEntry;
use super::changes::{AdjusterEntry, ChangeEntry, PlacementEntry};
use crate::report::alternatives::{AlternativeLine, AlternativeLines};
use crate::tasks::alternatives::Measures;

#[derive(Serialize)]
pub(super) struct AlternativesEntry<'v> {
    plan_measures: MeasuresEntry,
    found: Vec<AlternativeEntry<'v>>,
    without: Vec<WithoutEntry<'v>>,
}

#[derive(Serialize)]
struct AlternativeEntry<'v> {
    kind: &'static str,
    gives: &'v [String],
    pays: &'v [String],
    measures: MeasuresEntry,
    all_in_band: bool,
    placements: Vec<PlacementEntry<'v>>,
    adjusters: Vec<AdjusterEntry<'v>>,
    changes: Vec<ChangeEntry<'v>>,
    residuals: Vec<ResidualEntry>,
}

#[derive(Serialize)]
struct MeasuresEntry {
    changes: u32,
    pieces: u32,
    total_kg: f64,
    total_plus_minus_kg: f64,
    outside_bands_kg: f64,
    from_aims_kg: f64,
    lead_height_mm: Option<f64>,
    lead_from_middle_mm: f64,
}

#[derive(Serialize)]
struct WithoutEntry<'v> {
    kind: &'static str,
    sentence: &'v str,
}

impl MeasuresEntry {
    fn new(measures: &Measures, total_plus_minus_kg: f64) -> MeasuresEntry {
        MeasuresEntry {
            changes: measures.changes,
            pieces: measures.pieces,
            total_kg: measures.total_kg,
            total_plus_minus_kg,
            outside_bands_kg: measures.outside_kg,
            from_aims_kg: measures.close_kg,
            lead_height_mm: measures.height_mm,
            lead_from_middle_mm: measures.from_middle_mm,
        }
    }
}

impl<'v> AlternativesEntry<'v> {
    /// `plan_sure_kg` is the ± of the plan's own total.
    pub(super) fn new(lines: &'v AlternativeLines, plan_sure_kg: f64) -> AlternativesEntry<'v> {
        let entry = |line: &'v AlternativeLine| AlternativeEntry {
            kind: line.key,
            gives: &line.gives,
            pays: &line.pays,
            measures: MeasuresEntry::new(&line.measures, line.total_sure_kg),
            all_in_band: line.all_in_band,
            placements: line.placements.iter().map(PlacementEntry::new).collect(),
            adjusters: line.settings.iter().map(AdjusterEntry::new).collect(),
            changes: line.jobs.iter().map(ChangeEntry::new).collect(),
            residuals: ResidualEntry::of_targets(&line.targets),
        };
        AlternativesEntry {
            plan_measures: MeasuresEntry::new(&lines.base, plan_sure_kg),
            found: lines.lines.iter().map(entry).collect(),
            without: lines.without.iter().map(|(kind, sentence)| WithoutEntry { kind, sentence }).collect(),
        }
    }
}
