//! Where the needs of several drivers overlap: in mass, in each target's tolerance, in the distance from each aim.
//!
//! Whatever the drivers share adds the same to all of them, so what one needs at least and another may have at most must meet
//! somewhere, and half of what lies between two of them is a bound that no common lead can beat.
//!
//! [`Reach`] is where a driver's own lead can bring each target at all, however the mounts are filled: `overlap` compares drivers
//! with each other, whatever they share. Adjusters that move all drivers alike leave that as it is,
//! however far they move them: only what lead can do on the kart at all tells that such settings are of no use.

use super::TeamLimits;
use super::handover::{MOST_SUMS, Moves, Sums, Window};
use super::team::Team;
use crate::model::{Cell, Ends, Model};
use crate::search::{Limits, Objective};
use crate::tasks::fractional_knapsack::poured;

/// A driver whose part is settled: his targets as the adjusters are set for him, and what he has beyond the first.
#[derive(Clone, Copy)]
pub(super) struct Settled<'e> {
    pub(super) driver: usize,
    pub(super) ends: &'e [Ends],
    pub(super) sums: Sums,
}

/// Where the first driver's sums may lie when those of every assigned driver are in range.
pub(super) struct Overlap {
    pub(super) mass_ng: (i64, i64),
    /// Per target: the largest of `over + X` and of `under − X`, for tolerances (their half-widths at most) and for aims.
    pub(super) outside: Vec<(i64, i64)>,
    pub(super) close: Vec<(i64, i64)>,
}

/// Half of the sum of both sides of each target: what any common lead leaves.
pub(super) fn halves(sides: &[(i64, i64)]) -> impl Iterator<Item = i64> + '_ {
    sides.iter().map(|(over, under)| (over + under) / 2)
}

/// Of some drivers, each with what he has beyond the first.
pub(super) fn overlap(team: &Team, settled: &[Settled], limits: &TeamLimits) -> Overlap {
    let targets = team.shared().targets.len();
    let mut overlap = Overlap {
        mass_ng: (i64::MIN, i64::MAX),
        outside: vec![(i64::MIN / 4, i64::MIN / 4); targets],
        close: vec![(i64::MIN / 4, i64::MIN / 4); targets],
    };
    for Settled { driver, ends, sums } in settled {
        let (least, most) = team.lead_range_ng(*driver, limits.excess_ng);
        overlap.mass_ng.0 = overlap.mass_ng.0.max(least - sums[0]);
        overlap.mass_ng.1 = overlap.mass_ng.1.min(most - sums[0]);
        for t in 0..targets {
            let own = ends[t].with_lead(sums[t + 1], team.most_tau_ng(*driver, t, limits));
            let (outside, close) = (&mut overlap.outside[t], &mut overlap.close[t]);
            *outside = (outside.0.max(own.outside_over_ng), outside.1.max(own.outside_under_ng));
            *close = (close.0.max(own.close_over_ng), close.1.max(own.close_under_ng));
        }
    }
    overlap
}

/// Where a driver's sums beyond the first one's must lie, so that the ranges of all settled drivers and his overlap; `ends` are
/// those of his targets.
pub(super) fn window(
    team: &Team,
    driver: usize,
    ends: &[Ends],
    overlap: &Overlap,
    limits: &TeamLimits,
) -> Option<Window> {
    let (least, most) = team.lead_range_ng(driver, limits.excess_ng);
    let mut window = Window::FREE;
    window.least[0] = least.saturating_sub(overlap.mass_ng.1);
    window.most[0] = most.saturating_sub(overlap.mass_ng.0);
    if window.least[0] > window.most[0] || overlap.mass_ng.0 > overlap.mass_ng.1 {
        return None;
    }
    let floors: Vec<i64> = halves(&overlap.close).collect();
    let all_floors: i64 = floors.iter().sum();
    for t in 0..floors.len() {
        let own = &ends[t];
        let tau = team.most_tau_ng(driver, t, limits);
        let mut narrow = |twice: i64, own: (i64, i64), others: (i64, i64)| {
            // x + over + (−x' + under') ≤ twice the allowance, from either side.
            let most = twice.saturating_sub(others.1).saturating_sub(own.0);
            let least = others.0.saturating_add(own.1).saturating_sub(twice);
            window.most[t + 1] = window.most[t + 1].min(most);
            window.least[t + 1] = window.least[t + 1].max(least);
        };
        if limits.outside_ng < Limits::FREE {
            narrow(
                2 * limits.outside_ng,
                (own.outside_over_ng - tau, own.outside_under_ng - tau),
                overlap.outside[t],
            );
        }
        if limits.close_ng < Limits::FREE {
            // The other targets take at least what is apart already; one more covers halves that were rounded down.
            let others = all_floors - floors[t];
            let allowance = limits.close_ng - others + floors.len() as i64;
            narrow(2 * allowance + 1, (own.close_over_ng, own.close_under_ng), overlap.close[t]);
        }
        if window.least[t + 1] > window.most[t + 1] {
            return None;
        }
    }
    Some(window)
}

/// A bound on a goal from every pair of drivers, with lead of any size on the quick mounts and any number of changes.
pub(super) fn pair_bound_ng(team: &Team, moves: &Moves, objective: Objective, limits: &TeamLimits) -> i64 {
    let drivers = team.models.len();
    let pairs = (0..drivers).flat_map(|one| (0..drivers).map(move |other| (one, other)));
    let bounds = pairs.filter(|(one, other)| one != other).map(|(one, other)| match objective {
        Objective::Mass => {
            // The other needs lead; what he has beyond this one can only lie on the quick mounts.
            let (needs, _) = team.lead_range_ng(other, 0);
            let own = team.own_ng[one] - team.models[one].bare_ng;
            needs - moves.most_ng() - own
        }
        Objective::Targets | Objective::Close => {
            apart_at_least_ng(team, moves, (one, other), objective, limits)
        }
        Objective::Work | Objective::Lift => 0,
    });
    bounds.max().unwrap_or(0).max(0)
}

/// Half of what is between two drivers in the sum over the targets, however the quick mounts are filled and the adjusters set.
fn apart_at_least_ng(
    team: &Team,
    moves: &Moves,
    (one, other): (usize, usize),
    objective: Objective,
    limits: &TeamLimits,
) -> i64 {
    let (needs, allows) =
        (team.lead_range_ng(one, limits.excess_ng), team.lead_range_ng(other, limits.excess_ng));
    let (least_ng, most_ng) = (allows.0.saturating_sub(needs.1), allows.1.saturating_sub(needs.0));
    if least_ng > most_ng || needs.0 > needs.1 {
        return 0;
    }
    let reach = |t: usize| {
        let highest = moves.divisible_reach(t + 1, 1, least_ng, most_ng).unwrap_or(0);
        let lowest = moves.divisible_reach(t + 1, -1, least_ng, most_ng).unwrap_or(0);
        let taus = [one, other].map(|driver| team.most_tau_ng(driver, t, limits));
        (-lowest, highest.max(-lowest), taus)
    };
    let reaches: Vec<(i64, i64, [i64; 2])> = (0..team.shared().targets.len()).map(reach).collect();
    let apart = |mine: &[Ends], others: &[Ends]| -> i64 {
        let targets = mine.iter().zip(others).zip(&reaches);
        targets.map(|((mine, own), reach)| side_by_side_ng(mine, own, *reach, objective)).sum()
    };
    if !team.settings.are_paired() {
        return apart(team.settings.least_ends(one), team.settings.least_ends(other));
    }
    let ways = 0..team.settings.len();
    let pairs = ways.clone().flat_map(|mine| ways.clone().map(move |others| (mine, others)));
    let apart =
        pairs.map(|(mine, others)| apart(team.settings.ends(one, mine), team.settings.ends(other, others)));
    apart.min().unwrap_or(0)
}

/// The same in one target: the second driver's sum is from `lowest` to `highest` beyond the first one's, and each one's lead
/// adds to the half-width of the tolerance what `taus` say.
fn side_by_side_ng(
    mine: &Ends,
    own: &Ends,
    (lowest, highest, taus): (i64, i64, [i64; 2]),
    objective: Objective,
) -> i64 {
    let ends = |ends: &Ends, tau: i64| {
        if objective == Objective::Targets {
            (ends.outside_over_ng - tau, ends.outside_under_ng - tau)
        } else {
            (ends.close_over_ng, ends.close_under_ng)
        }
    };
    let (mine, own) = (ends(mine, taus[0]), ends(own, taus[1]));
    // The sum of both sides is convex in the difference x: its least over the range is at a breakpoint or an end.
    let apart = |x: i64| {
        let over = mine.0.max(own.0.saturating_add(x));
        let under = mine.1.max(own.1.saturating_sub(x));
        over.saturating_add(under) / 2
    };
    let points = [lowest, highest, mine.0 - own.0, own.1 - mine.1];
    let least = points.into_iter().map(|x| apart(x.clamp(lowest, highest))).min().unwrap_or(0);
    if objective == Objective::Targets { least.max(0) } else { least }
}

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
