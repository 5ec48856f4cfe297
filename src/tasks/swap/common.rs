//! The common part of a set-up: what stays for everybody, once it is settled what varies.
//! Takes a team and the varying lead of each driver; gives a whole set-up within limits, or the proof that there is none.
//! Does not choose what varies.
//!
//! What all drivers share acts on every driver alike, so drivers collapse as states do (see `model`): the need of the
//! neediest driver and the allowance of the one with the least bound the common mass, and for each target the worst driver
//! counts on either side. Limits of mounts and stock are lowered by what the varying lead takes at its most. The rest is
//! one ordinary program, and the exact search solves it.

use super::team::{Team, TeamValues};
use super::{TeamFound, TeamLimits};
use crate::counts::Counts;
use crate::engine::DualPrices;
use crate::model::{Cell, Model};
use crate::search::{End, Found, Guard, Limits, Objective, Search};

/// What was found of one varying part.
#[derive(Clone, Debug)]
pub(super) enum Completion {
    /// A set-up within the limits.
    Found(TeamFound),
    /// Proved: no common part completes it within the limits.
    None,
    /// The guard ended the search.
    Stopped,
}

/// Completes `varying`, one table per driver, within `limits`; the first plan found if `resolution` is large.
pub(super) fn complete(
    team: &Team,
    varying: &[Counts],
    objective: Objective,
    limits: &TeamLimits,
    resolution: i64,
    guard: &Guard,
) -> Completion {
    let Some((model, most_mass_ng)) = collapsed(team, varying, limits) else { return Completion::None };
    let times = varying.len().min(team.shared().targets.len()).max(1) as i64;
    let within = Limits {
        least_mass_ng: model.required_ng,
        most_mass_ng,
        // Each driver's own sum is limited; summed over the targets at their worst driver, it can be as many times that.
        band_ng: limits.band_ng.saturating_mul(times).min(Limits::FREE),
        work: Limits::FREE,
        close_ng: limits.close_ng,
    };
    let prices = DualPrices::new(&model);
    let accepts = |common: &Counts| worst_band_ng(team, varying, common) <= limits.band_ng;
    let search = Search::new(&model, &prices);
    let mut search = if within.band_ng < Limits::FREE { search.accepting(&accepts) } else { search };
    let outcome = search.minimise(objective, within, resolution, None, guard);
    match (outcome.best, outcome.end) {
        (Some(found), _) => Completion::Found(whole(team, varying, &found)),
        (None, End::Proved) => Completion::None,
        (None, End::Stopped) => Completion::Stopped,
    }
}

/// The program of the common part, and the most mass that it may have; none if a limit is broken already.
fn collapsed(team: &Team, varying: &[Counts], limits: &TeamLimits) -> Option<(Model, i64)> {
    let shared = team.shared();
    let mut model = shared.clone();
    model.fitted = Counts::none(shared.kinds.len(), shared.mounts.len());
    for kind in 0..shared.kinds.len() {
        for mount in 0..shared.mounts.len() {
            if let Cell::Locked(count) = shared.cell(kind, mount) {
                *model.fitted.get_mut(kind, mount) = count;
            }
        }
        let taken = varying.iter().map(|counts| counts.of_kind(kind)).max().unwrap_or(0);
        model.kinds[kind].count = shared.kinds[kind].count.checked_sub(taken)?;
        if model.fitted.of_kind(kind) > model.kinds[kind].count {
            return None;
        }
    }
    lower_mounts(&mut model, varying)?;
    let lead_ng = |counts: &Counts| -> i64 {
        counts.placed().map(|(kind, _, count)| shared.kinds[kind].mass_ng * i64::from(count)).sum()
    };
    let (mut least_ng, mut most_ng) = (i64::MIN, i64::MAX);
    for (driver, counts) in varying.iter().enumerate() {
        let (least, most) = team.lead_range_ng(driver, limits.excess_ng);
        least_ng = least_ng.max(least - lead_ng(counts));
        most_ng = most_ng.min(most - lead_ng(counts));
    }
    if most_ng < least_ng.max(0) {
        return None;
    }
    // The common lead alone is weighed: the kart and what varies are part of what is required.
    model.bare_ng = 0;
    model.required_ng = least_ng;
    // The range above keeps each driver's lead within what the rules allow.
    model.most_lead_ng = most_ng;
    collapse_targets(&mut model, team, varying);
    Some((model, most_ng))
}

fn lower_mounts(model: &mut Model, varying: &[Counts]) -> Option<()> {
    for mount in 0..model.mounts.len() {
        let most = |of: &dyn Fn(usize) -> i64| {
            let taken = |counts: &Counts| -> i64 {
                let here = counts.placed().filter(|(_, place, _)| *place == mount);
                here.map(|(kind, _, count)| of(kind) * i64::from(count)).sum()
            };
            varying.iter().map(taken).max().unwrap_or(0)
        };
        let mass_ng = most(&|kind| model.kinds[kind].mass_ng);
        let thickness_um = most(&|kind| model.kinds[kind].thickness_um);
        let pieces = u32::try_from(most(&|_| 1)).unwrap_or(u32::MAX);
        let row = &mut model.mounts[mount];
        row.capacity_ng -= mass_ng;
        row.room_um -= thickness_um;
        row.most_pieces = row.most_pieces.checked_sub(pieces)?;
        if row.capacity_ng < 0 || row.room_um < 0 {
            return None;
        }
    }
    Some(())
}

fn collapse_targets(model: &mut Model, team: &Team, varying: &[Counts]) {
    for (t, row) in model.targets.iter_mut().enumerate() {
        let (mut band, mut close) = ((i64::MIN, i64::MIN), (i64::MIN, i64::MIN));
        for (own, counts) in team.models.iter().zip(varying) {
            let own = &own.targets[t];
            let (x, tau) = own.sums(counts);
            band.0 = band.0.max(own.ends.band_over_ng + x - tau);
            band.1 = band.1.max(own.ends.band_under_ng - x - tau);
            close.0 = close.0.max(own.ends.close_over_ng + x);
            close.1 = close.1.max(own.ends.close_under_ng - x);
        }
        (row.ends.band_over_ng, row.ends.band_under_ng) = band;
        (row.ends.close_over_ng, row.ends.close_under_ng) = close;
    }
}

/// The common lead added to what varies.
fn whole(team: &Team, varying: &[Counts], common: &Found) -> TeamFound {
    let setup: Vec<Counts> = varying.iter().map(|counts| sum(counts, &common.counts)).collect();
    let values: TeamValues = team.values(&setup);
    TeamFound { setup, values }
}

/// Outside the bands of the worst driver, ng.
fn worst_band_ng(team: &Team, varying: &[Counts], common: &Counts) -> i64 {
    let drivers = team.models.iter().zip(varying);
    drivers.map(|(model, counts)| model.values(&sum(counts, common)).band_ng).max().unwrap_or(0)
}

fn sum(one: &Counts, other: &Counts) -> Counts {
    let mut both = one.clone();
    for (kind, mount, count) in other.placed() {
        *both.get_mut(kind, mount) += count;
    }
    both
}
