//! Changes, settings and placements as documents have them.
//! Takes lines; gives entries.
//! Does not know which document they go into.

use serde::Serialize;

use crate::report::changes::{Doing, JobLine, Placement};
use crate::report::setting::SettingLine;

#[derive(Serialize)]
pub(super) struct PlacementEntry<'v> {
    mount: &'v str,
    piece: &'v str,
    count: u32,
    piece_kg: f64,
    mass_kg: f64,
}

#[derive(Serialize)]
pub(super) struct AdjusterEntry<'v> {
    adjuster: &'v str,
    now: &'v str,
    planned: &'v str,
    changes: u32,
}

impl<'v> AdjusterEntry<'v> {
    pub(super) fn new(line: &'v SettingLine) -> AdjusterEntry<'v> {
        AdjusterEntry {
            adjuster: &line.adjuster,
            now: &line.now,
            planned: &line.planned,
            changes: line.changes,
        }
    }
}

#[derive(Serialize)]
pub(super) struct ChangeEntry<'v> {
    action: &'static str,
    piece: &'v str,
    count: u32,
    from: Option<&'v str>,
    to: Option<&'v str>,
    piece_kg: f64,
    mass_kg: f64,
}

impl<'v> PlacementEntry<'v> {
    pub(super) fn new(placement: &'v Placement) -> PlacementEntry<'v> {
        PlacementEntry {
            mount: &placement.mount,
            piece: &placement.piece,
            count: placement.count,
            piece_kg: placement.each.kg,
            mass_kg: placement.mass.kg,
        }
    }
}

impl<'v> ChangeEntry<'v> {
    pub(super) fn new(job: &'v JobLine) -> ChangeEntry<'v> {
        ChangeEntry {
            action: match job.action {
                Doing::TakeOff => "take_off",
                Doing::Move => "move",
                Doing::PutOn => "put_on",
            },
            piece: &job.piece,
            count: job.count,
            from: job.from.as_deref(),
            to: job.to.as_deref(),
            piece_kg: job.each.kg,
            mass_kg: job.mass.kg,
        }
    }
}
