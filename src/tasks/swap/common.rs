//! The common part of a set-up: what stays for everybody, once it is settled what varies.
//!
//! What all drivers share acts on every driver alike, so drivers collapse as states do (see `model`): the need of the
//! neediest driver and the allowance of the one with the least bound the common mass, and for each target the worst driver
//! counts on either side. Limits of mounts and stock are lowered by what the varying lead takes at its most. The rest is
//! one ordinary program, and the exact search solves it.
//!
//! Only lead on a seat that is not set alike for everybody acts differently under different drivers. The program then
//! counts it as acting in the middle between them, takes off what it can do beyond that, and so forbids nothing that is
//! possible; each of its plans is accepted only if every driver's own arithmetic finds it within the limits.

use std::borrow::Cow;

use super::overlap::{left_ng, range_ng};
use super::settings::{loosened, riding_ng};
use super::team::{Team, TeamValues, bare, most_tau_ng};
use super::{TeamFound, TeamLimits};
use crate::counts::Counts;
use crate::engine::DualPrices;
use crate::model::{Ends, Model, TargetRow};
use crate::search::{End, Found, Guard, Limits, Objective, Search};
use crate::tasks::pursuit::Settled;

/// Completes `varying`, one table per driver, within `limits`; the first plan found if `resolution` is large.
pub(super) fn complete(
    team: &Team,
    varying: &[Counts],
    objective: Objective,
    limits: &TeamLimits,
    resolution: i64,
    guard: &Guard,
) -> Settled<TeamFound> {
    let drivers: Vec<Cow<[TargetRow]>> =
        team.models.iter().zip(varying).map(|(model, counts)| model.targets_at(counts.settings())).collect();
    let Some(collapsed) = collapsed(team, &drivers, varying, limits) else { return Settled::Never };
    if !collapsed.divisible_suffices(limits) {
        return Settled::Never;
    }
    let Collapsed { model, most_mass_ng, is_exact, .. } = collapsed;
    let times = varying.len().min(team.shared().targets.len()).max(1) as i64;
    let within = Limits {
        least_mass_ng: model.required_ng,
        most_mass_ng,
        // Each driver's own sum is limited; summed over the targets at their worst driver, it can be as many times that.
        outside_ng: limits.outside_ng.saturating_mul(times).min(Limits::FREE),
        work: Limits::FREE,
        close_ng: limits.close_ng,
    };
    let prices = DualPrices::new(&model);
    let accepts = |common: &Counts| {
        let (outside_ng, close_ng) = balance_ng(&drivers, varying, common);
        // Where the program is exact it has counted the distance from the targets itself.
        outside_ng <= limits.outside_ng && (is_exact || close_ng <= limits.close_ng)
    };
    let search = Search::new(&model, &prices);
    let asks = within.outside_ng < Limits::FREE || !is_exact;
    let mut search = if asks { search.accepting(&accepts) } else { search };
    let outcome = search.minimise(objective, within, resolution, None, guard);
    match (outcome.best, outcome.end) {
        (Some(found), _) => Settled::Yes(whole(team, varying, &found)),
        (None, End::Proved) => Settled::Never,
        (None, End::Stopped) => Settled::Unknown,
    }
}

/// The program of the common part.
struct Collapsed {
    model: Model,
    /// The most mass that the common part may have.
    most_mass_ng: i64,
    /// Each driver's own targets, with what varies settled.
    ends: Vec<Vec<Ends>>,
    /// Whether all its lead acts alike under every driver.
    is_exact: bool,
}

impl Collapsed {
    /// Whether lead of any size could bring every driver into the limits. Most varying parts fail here, and a search would take
    /// much longer to begin than they take to fail.
    fn divisible_suffices(&self, limits: &TeamLimits) -> bool {
        if !limits.balance() {
            return true;
        }
        let lead_ng = (self.model.required_ng, self.most_mass_ng);
        let targets = 0..self.model.targets.len();
        let ranges: Vec<(i64, i64)> =
            targets.clone().map(|target| range_ng(&self.model, target, lead_ng)).collect();
        let taus: Vec<i64> = targets.map(|target| most_tau_ng(&self.model, target, lead_ng.1)).collect();
        let close = self.model.targets.iter().map(|row| (row.ends.close_over_ng, row.ends.close_under_ng));
        let outside_ng = |ends: &Vec<Ends>| -> i64 {
            let outside = ends
                .iter()
                .zip(&taus)
                .map(|(ends, tau)| (ends.outside_over_ng - tau, ends.outside_under_ng - tau));
            left_ng(outside, &ranges).map(|left_ng| left_ng.max(0)).sum()
        };
        left_ng(close, &ranges).sum::<i64>() <= limits.close_ng
            && self.ends.iter().all(|ends| outside_ng(ends) <= limits.outside_ng)
    }
}

/// The program of the common part; none if a limit is broken already.
fn collapsed(
    team: &Team,
    drivers: &[Cow<[TargetRow]>],
    varying: &[Counts],
    limits: &TeamLimits,
) -> Option<Collapsed> {
    let shared = team.shared();
    let mut model = shared.clone();
    // They are set already.
    model.adjusters.clear();
    bare(&mut model);
    for kind in 0..shared.kinds.len() {
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
    let (ends, is_exact) = collapse_targets(&mut model, drivers, varying);
    Some(Collapsed { model, most_mass_ng: most_ng, ends, is_exact })
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
        let thickness_nm = most(&|kind| model.kinds[kind].thickness_nm);
        let pieces = u32::try_from(most(&|_| 1)).unwrap_or(u32::MAX);
        let row = &mut model.mounts[mount];
        row.capacity_ng -= mass_ng;
        row.room_nm -= thickness_nm;
        row.most_pieces = row.most_pieces.checked_sub(pieces)?;
        if row.capacity_ng < 0 || row.room_nm < 0 {
            return None;
        }
    }
    Some(())
}

/// Puts the worst driver's ends into every target; gives each driver's own, and whether lead acts alike under all of them.
fn collapse_targets(
    model: &mut Model,
    drivers: &[Cow<[TargetRow]>],
    varying: &[Counts],
) -> (Vec<Vec<Ends>>, bool) {
    let mut is_exact = true;
    let mut by_driver = vec![Vec::new(); drivers.len()];
    for t in 0..model.targets.len() {
        let mut row = model.targets[t].clone();
        row.gain_ng = middle_gains(drivers, t);
        row.ends = Ends::OF_NONE;
        for ((own, counts), by_driver) in drivers.iter().zip(varying).zip(&mut by_driver) {
            let own = &own[t];
            let (x, tau) = own.sums(counts);
            let riding = riding_ng(model, &row, own, model.most_lead_ng);
            is_exact &= riding == (0, 0);
            let ends = loosened(own.ends, riding).with_lead(x, tau);
            row.ends = row.ends.each(ends, i64::max);
            by_driver.push(ends);
        }
        model.targets[t] = row;
    }
    (by_driver, is_exact)
}

/// Gains in the middle between the least and the most that they are under any driver.
fn middle_gains(drivers: &[Cow<[TargetRow]>], target: usize) -> Vec<i64> {
    let mut gains = drivers.iter().map(|own| &own[target].gain_ng);
    let Some(first) = gains.next() else { return Vec::new() };
    let (mut least, mut most) = (first.clone(), first.clone());
    for own in gains {
        for ((least, most), gain) in least.iter_mut().zip(&mut most).zip(own) {
            (*least, *most) = ((*least).min(*gain), (*most).max(*gain));
        }
    }
    least.iter().zip(&most).map(|(least, most)| least + (most - least) / 2).collect()
}

/// The common lead added to what varies.
fn whole(team: &Team, varying: &[Counts], common: &Found) -> TeamFound {
    let setup: Vec<Counts> = varying.iter().map(|counts| sum(counts, &common.counts)).collect();
    let values: TeamValues = team.values(&setup);
    TeamFound { setup, values }
}

/// Outside the tolerances of the worst driver, and from the targets with each target at its worst driver, ng.
fn balance_ng(drivers: &[Cow<[TargetRow]>], varying: &[Counts], common: &Counts) -> (i64, i64) {
    let Some(first) = drivers.first() else { return (0, 0) };
    let mut close_ng = vec![i64::MIN; first.len()];
    let tolerances = drivers.iter().zip(varying).map(|(targets, counts)| {
        let both = sum(counts, common);
        let targets = targets.iter().zip(&mut close_ng);
        let own = targets.map(|(target, close_ng)| {
            let (x, tau) = target.sums(&both);
            *close_ng = (*close_ng).max(target.close_ng(x));
            target.outside_ng(x, tau)
        });
        own.sum::<i64>()
    });
    let outside_ng = tolerances.max().unwrap_or(0);
    (outside_ng, close_ng.iter().sum())
}

fn sum(one: &Counts, other: &Counts) -> Counts {
    let mut both = one.clone();
    for (kind, mount, count) in other.placed() {
        *both.get_mut(kind, mount) += count;
    }
    both
}
