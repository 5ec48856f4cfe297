//! Where a driver's own lead can bring each target at all, however the mounts are filled.
//! Does not enumerate anything; a team without quick adjusters does without it.
//!
//! `overlap` compares drivers with each other, whatever they share. Adjusters that move all drivers alike leave that as it is,
//! however far they move them: only what lead can do on the kart at all tells that such settings are of no use.

use super::TeamLimits;
use super::handover::MOST_SUMS;
use super::overlap::{Overlap, Settled, overlap};
use super::team::Team;
use crate::model::{Cell, Model};
use crate::tasks::fractional_knapsack::poured;

/// What lead can do on the kart at all, and the settings that are of use with it.
pub(super) struct Reach {
    /// Ranges of x by driver and target; none where nothing is limited that settings change, or there is one way to set them.
    ranges_ng: Option<Vec<Vec<(i64, i64)>>>,
    /// By driver and way: whether the driver alone could be within the limits, set so.
    of_use: Vec<Vec<bool>>,
}

impl Reach {
    /// Of all drivers of a team, each with the lead that the limits allow.
    pub(super) fn new(team: &Team, limits: &TeamLimits) -> Reach {
        let of_driver = |(driver, model): (usize, &Model)| -> Vec<(i64, i64)> {
            let lead_ng = team.lead_range_ng(driver, limits.excess_ng);
            (0..model.targets.len()).map(|target| range_ng(model, target, lead_ng)).collect()
        };
        let needed = team.settings.len() > 1 && limits.balance();
        let ranges_ng = needed.then(|| team.models.iter().enumerate().map(of_driver).collect());
        let mut reach = Reach { ranges_ng, of_use: Vec::new() };
        let ways = |driver: usize| (0..team.settings.len()).map(move |way| (driver, way));
        reach.of_use = (0..team.models.len())
            .map(|driver| ways(driver).map(|(driver, way)| reach.serves(team, driver, way, limits)).collect())
            .collect();
        reach
    }

    /// Whether settings are of any use to a driver.
    pub(super) fn may_be_set(&self, driver: usize, way: usize) -> bool {
        self.of_use[driver][way]
    }

    /// Whether some lead of a driver could be enough for what the sides of all those settled say; `times` his limit may
    /// be what the targets come to together, each at its worst driver.
    pub(super) fn suffices(&self, driver: usize, overlap: &Overlap, times: i64, limits: &TeamLimits) -> bool {
        let Some(ranges) = self.ranges_ng.as_ref().map(|ranges| &ranges[driver]) else { return true };
        let outside_ng: i64 =
            left_ng(overlap.outside.iter().copied(), ranges).map(|left_ng| left_ng.max(0)).sum();
        let close_ng: i64 = left_ng(overlap.close.iter().copied(), ranges).sum();
        outside_ng <= limits.outside_ng.saturating_mul(times) && close_ng <= limits.close_ng
    }

    /// Whether a driver alone could be within the limits with the adjusters set so. Where nothing is limited that a setting
    /// changes, that of now stands for all.
    fn serves(&self, team: &Team, driver: usize, way: usize, limits: &TeamLimits) -> bool {
        if self.ranges_ng.is_none() {
            return way == 0;
        }
        let settled = Settled { driver, ends: team.settings.ends(driver, way), sums: [0; MOST_SUMS] };
        self.suffices(driver, &overlap(team, &[settled], limits), 1, limits)
    }
}

/// What lead within ranges of x leaves at least of each target, on its larger side.
pub(super) fn left_ng(
    sides: impl Iterator<Item = (i64, i64)>,
    ranges: &[(i64, i64)],
) -> impl Iterator<Item = i64> {
    sides.zip(ranges).map(|((over, under), (lowest, highest))| {
        let x = ((under - over) / 2).clamp(*lowest, *highest);
        // One less covers the half that was rounded.
        (x + over).max(under - x) - 1
    })
}

/// The least and the most that lead of a mass within a range can add to one target, any amount of it on every mount.
pub(super) fn range_ng(model: &Model, target: usize, (least_ng, most_ng): (i64, i64)) -> (i64, i64) {
    let mounts = model.mounts.len();
    let gains = &model.targets[target].gain_ng;
    let most_ng = most_ng.min(model.stock_ng());
    let densities = |mount: usize| {
        let there_are = |kind: &usize| model.kinds[*kind].count > 0;
        let kinds = (0..model.kinds.len()).filter(there_are);
        let kinds = kinds.filter(move |kind| model.cell(*kind, mount) != Cell::Closed);
        kinds.map(move |kind| gains[kind * mounts + mount] as f64 / model.kinds[kind].mass_ng as f64)
    };
    let most = |sign: f64| {
        let places = (0..mounts).filter_map(|mount| {
            let best = densities(mount).map(|density| sign * density).reduce(f64::max)?;
            Some((best, model.mounts[mount].capacity_ng as f64))
        });
        // A milligram covers the rounding of all these sums.
        poured(places.collect(), (0.0, 0.0), (least_ng, most_ng)).ceil() as i64 + 1_000_000
    };
    let lowest = -most(-1.0);
    (lowest, most(1.0).max(lowest))
}
