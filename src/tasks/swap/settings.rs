//! Every way to set the quick adjusters: what it takes to get from one to another, and what it leaves of each target.
//!
//! Adjusters that are not quick stay as they are set now. A way adds to a driver's targets what its settings add, which is
//! another constant for another driver: so each driver has ends of his own for every way. Lead that rides on a seat which
//! is set otherwise acts otherwise as well; how much of it there will be is not known before the leaves, so the ends here are
//! slackened by the most that it can do in either direction. A bound made of them holds whatever rides there.

use crate::model::{Ends, Model, TargetRow};
use crate::scenario::Scenario;

/// Beyond so many ways a bound over all pairs of them takes longer than it spares.
const MOST_PAIRED: usize = 128;

/// More ways than this are not compared for every driver.
pub(super) const MOST_WAYS: usize = 1000;

/// All ways to set the quick adjusters; a team without any has one.
#[derive(Clone, Debug)]
pub(super) struct Settings {
    /// The setting of every adjuster of the scenario, that of now first; no settings at all if no adjuster is quick.
    ways: Vec<Vec<u16>>,
    /// Quick adjusters, each with the changes from one setting to another.
    changes: Vec<(usize, Vec<Vec<i64>>)>,
    /// By driver, way and target: what no lead on the seat makes larger than it is.
    ends: Vec<Vec<Vec<Ends>>>,
    /// By driver and target: no way has smaller ones.
    least: Vec<Vec<Ends>>,
}

impl Settings {
    /// Of a scenario and the programs of its drivers, whose tolerances are already those of the team.
    pub(super) fn new(scenario: &Scenario, models: &[Model]) -> Settings {
        let changes: Vec<(usize, Vec<Vec<i64>>)> = quick(scenario)
            .map(|index| {
                let adjuster = &scenario.adjusters()[index];
                let settings = 0..adjuster.settings.len();
                let from =
                    |from: usize| settings.clone().map(|to| i64::from(adjuster.changes(from, to))).collect();
                (index, settings.clone().map(from).collect())
            })
            .collect();
        let ways = ways(scenario, &changes);
        let of_driver = |model: &Model| ways.iter().map(|way| slackened(model, way)).collect();
        let ends: Vec<Vec<Vec<Ends>>> = models.iter().map(of_driver).collect();
        let least = ends.iter().map(|ways| least_of(ways)).collect();
        Settings { ways, changes, ends, least }
    }

    /// How many ways there are; ways are called by their number, and 0 is how everything is set now.
    pub(super) fn len(&self) -> usize {
        self.ways.len()
    }

    /// The settings of a way, as counts have them.
    pub(super) fn of(&self, way: usize) -> &[u16] {
        &self.ways[way]
    }

    /// Ends of a driver's targets: nothing on the mounts makes them larger than they are with lead as it acts now.
    pub(super) fn ends(&self, driver: usize, way: usize) -> &[Ends] {
        &self.ends[driver][way]
    }

    /// Ends that no way goes below.
    pub(super) fn least_ends(&self, driver: usize) -> &[Ends] {
        &self.least[driver]
    }

    /// Changes from one way to another.
    pub(super) fn work(&self, from: usize, to: usize) -> i64 {
        self.work_between(&self.ways[from], &self.ways[to])
    }

    /// Changes of quick adjusters between two tables; none where they say nothing of adjusters.
    pub(super) fn work_between(&self, from: &[u16], to: &[u16]) -> i64 {
        let changes = self.changes.iter().map(|(index, changes)| {
            let both = from.get(*index).zip(to.get(*index));
            both.map_or(0, |(from, to)| changes[usize::from(*from)][usize::from(*to)])
        });
        changes.sum()
    }

    /// No two ways are further apart.
    pub(super) fn most_work(&self) -> i64 {
        let most = |changes: &Vec<Vec<i64>>| changes.iter().flatten().copied().max().unwrap_or(0);
        self.changes.iter().map(|(_, changes)| most(changes)).sum()
    }

    /// Ways that are at most so many changes away from one, the nearest first; equals in the order of the ways.
    pub(super) fn near(&self, from: usize, most: i64) -> Vec<(i64, usize)> {
        let all = (0..self.len()).map(|to| (self.work(from, to), to));
        let mut near: Vec<(i64, usize)> = all.filter(|(work, _)| *work <= most).collect();
        near.sort_unstable();
        near
    }

    /// Whether all pairs of ways are few enough to be gone through.
    pub(super) fn are_paired(&self) -> bool {
        self.len() <= MOST_PAIRED
    }
}

/// Adjusters that may be set for each driver.
fn quick(scenario: &Scenario) -> impl Iterator<Item = usize> + '_ {
    (0..scenario.adjusters().len()).filter(|index| scenario.adjusters()[*index].quick)
}

/// In how many ways the quick adjusters can be set.
pub(super) fn count(scenario: &Scenario) -> usize {
    quick(scenario).map(|index| scenario.adjusters()[index].settings.len()).product()
}

/// Every choice of a setting for each quick adjuster, the cheapest to reach from now first.
fn ways(scenario: &Scenario, changes: &[(usize, Vec<Vec<i64>>)]) -> Vec<Vec<u16>> {
    if changes.is_empty() {
        return vec![Vec::new()];
    }
    let now: Vec<u16> = scenario.adjusters().iter().map(|adjuster| adjuster.now as u16).collect();
    let mut ways = vec![now.clone()];
    for (index, settings) in changes {
        let with = |way: &Vec<u16>| {
            let set_so = |setting: usize| {
                let mut way = way.clone();
                way[*index] = setting as u16;
                way
            };
            (0..settings.len()).map(set_so).collect::<Vec<_>>()
        };
        ways = ways.iter().flat_map(with).collect();
    }
    let work = |way: &Vec<u16>| -> i64 {
        changes.iter().map(|(index, from)| from[usize::from(now[*index])][usize::from(way[*index])]).sum()
    };
    // Stable: equals keep the order of the file, behind the way of now, which costs nothing.
    ways.sort_by_key(|way| (work(way), *way != now));
    ways
}

/// The ends of a driver's targets when the adjusters are set so, lowered by the most that lead riding on them can do.
fn slackened(model: &Model, way: &[u16]) -> Vec<Ends> {
    let set = model.targets_at(way);
    let mut ends: Vec<Ends> = set.iter().map(|target| target.ends).collect();
    for ((ends, now), then) in ends.iter_mut().zip(&model.targets).zip(set.iter()) {
        *ends = loosened(*ends, riding_ng(model, now, then, model.most_lead_ng));
    }
    ends
}

/// Ends that hold for every sum between the two added to x: they are lowered by the least and raised by the most of it.
pub(super) fn loosened(ends: Ends, (least_ng, most_ng): (i64, i64)) -> Ends {
    Ends {
        outside_over_ng: ends.outside_over_ng + least_ng,
        outside_under_ng: ends.outside_under_ng - most_ng,
        close_over_ng: ends.close_over_ng + least_ng,
        close_under_ng: ends.close_under_ng - most_ng,
    }
}

/// The least and the most that lead of at most so much can add to x by acting as in `then` instead of as in `now`, as if it
/// were divisible: never more than zero, and never less.
pub(super) fn riding_ng(model: &Model, now: &TargetRow, then: &TargetRow, most_lead_ng: i64) -> (i64, i64) {
    let mounts = model.mounts.len();
    let (mut lowest, mut highest) = (0.0_f64, 0.0_f64);
    let mut carry_ng = 0_i64;
    for mount in 0..mounts {
        let mut rides = false;
        for (kind, row) in model.kinds.iter().enumerate() {
            let cell = kind * mounts + mount;
            let add_ng = then.gain_ng[cell] - now.gain_ng[cell];
            if add_ng != 0 {
                rides = true;
                let per_ng = add_ng as f64 / row.mass_ng as f64;
                (lowest, highest) = (lowest.min(per_ng), highest.max(per_ng));
            }
        }
        if rides {
            carry_ng = carry_ng.saturating_add(model.mounts[mount].capacity_ng);
        }
    }
    if carry_ng == 0 {
        return (0, 0);
    }
    let lead = carry_ng.min(model.stock_ng()).min(most_lead_ng).max(0) as f64;
    // A nanogram a term covers the rounding of these products many times over.
    ((lowest * lead).floor() as i64 - 1, (highest * lead).ceil() as i64 + 1)
}

/// The smallest of every number over the ways.
fn least_of(ways: &[Vec<Ends>]) -> Vec<Ends> {
    let Some((first, rest)) = ways.split_first() else { return Vec::new() };
    rest.iter().fold(first.clone(), |least, ends| {
        least.iter().zip(ends).map(|(one, other)| one.each(*other, i64::min)).collect()
    })
}
