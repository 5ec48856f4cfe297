//! Base by base: what stays on the slow mounts, with the drivers independent of each other above it.
//! Does not count changes: where they are limited, `relay` goes from driver to driver instead.
//!
//! Once the slow cells are settled, nothing couples the drivers but the number of changes. So bases are built kind by kind,
//! heaviest first, and each driver is asked by the ordinary exact search whether he can still be within the limits with
//! the kinds settled so far where they are and all others free. A "no" from one driver cuts every base below. A "yes" comes
//! with a plan, and as long as the next kinds are settled the way that plan has them, it need not be asked for again.

use super::relay::Run;
use super::team::{Team, bare};
use super::{TeamFound, TeamLimits};
use crate::counts::Counts;
use crate::model::{Cell, Model};
use crate::search::{Found, Guard, Limits, Objective};
use crate::tasks::pursuit::{Settled, any_plan};

/// The state of the search.
struct Bases<'b> {
    team: &'b Team,
    limits: TeamLimits,
    guard: &'b Guard<'b>,
    /// Kinds that go on slow mounts, heaviest first.
    kinds: Vec<usize>,
    /// Slow mounts open to each of them.
    slow: Vec<Vec<usize>>,
    /// Drivers, those that said "no" most recently first.
    by_refusal: Vec<usize>,
    settled: Counts,
    /// How often a driver may still be asked.
    asks: u64,
}

/// A set-up of the team within limits on excess and misses; gives up after so many questions to a driver.
pub(super) fn find(team: &Team, limits: TeamLimits, most_asks: u64, guard: &Guard) -> Run {
    let model = team.shared();
    let open = |kind: usize| -> Vec<usize> {
        let mounts = 0..model.mounts.len();
        mounts
            .filter(|mount| model.cell(kind, *mount) == Cell::Open && !team.is_quick(kind, *mount))
            .collect()
    };
    let mut kinds: Vec<usize> = (0..model.kinds.len())
        .filter(|kind| model.kinds[*kind].count > 0 && !open(*kind).is_empty())
        .collect();
    kinds.sort_by_key(|kind| std::cmp::Reverse(model.kinds[*kind].mass_ng));
    let mut bases = Bases {
        team,
        limits,
        guard,
        slow: kinds.iter().map(|kind| open(*kind)).collect(),
        kinds,
        by_refusal: (0..team.models.len()).collect(),
        settled: Counts::none(model.kinds.len(), model.mounts.len()),
        asks: most_asks,
    };
    bases.settle(0, &vec![None; team.models.len()])
}

impl Bases<'_> {
    /// All bases in which the first `depth` kinds are where they have been settled; `plans` are each driver's last words.
    fn settle(&mut self, depth: usize, plans: &[Option<Counts>]) -> Run {
        let mut plans = plans.to_vec();
        for position in 0..self.by_refusal.len() {
            let driver = self.by_refusal[position];
            if plans[driver].as_ref().is_some_and(|plan| self.agrees(depth, plan)) {
                continue;
            }
            if self.asks == 0 {
                return Run::GaveUp;
            }
            // A question is mostly answered before its search looks at the clock, and there can be thousands.
            if depth > 0 && self.guard.is_over() {
                return Run::Stopped;
            }
            self.asks -= 1;
            match self.ask(depth, driver) {
                Settled::Yes(found) => plans[driver] = Some(found.counts),
                Settled::Never => {
                    // Who has just refused will often do so again.
                    self.by_refusal[..=position].rotate_right(1);
                    return Run::Exhausted;
                }
                Settled::Unknown => return Run::Stopped,
            }
        }
        if depth == self.kinds.len() {
            let setup: Vec<Counts> = plans.into_iter().flatten().collect();
            let values = self.team.values(&setup);
            return Run::Found(TeamFound { setup, values });
        }
        for row in self.rows(depth, &plans) {
            self.put(depth, &row);
            let found = self.settle(depth + 1, &plans);
            self.put(depth, &vec![0; row.len()]);
            if !matches!(found, Run::Exhausted) {
                return found;
            }
        }
        Run::Exhausted
    }

    /// Every way to put pieces of a kind on slow mounts; those that the drivers' plans have come first.
    fn rows(&self, depth: usize, plans: &[Option<Counts>]) -> Vec<Vec<u32>> {
        let kind = self.kinds[depth];
        let mut rows = vec![Vec::new()];
        for _ in &self.slow[depth] {
            let mut extended = Vec::new();
            for row in &rows {
                let used: u32 = row.iter().sum();
                for count in 0..=self.team.shared().kinds[kind].count - used {
                    let mut more: Vec<u32> = row.clone();
                    more.push(count);
                    extended.push(more);
                }
            }
            rows = extended;
        }
        let fits = |row: &Vec<u32>| {
            self.slow[depth].iter().zip(row).all(|(mount, count)| self.has_room(*mount, kind, *count))
        };
        rows.retain(fits);
        let votes = |row: &Vec<u32>| {
            let agree = |plan: &&Counts| {
                self.slow[depth].iter().zip(row).all(|(mount, count)| plan.get(kind, *mount) == *count)
            };
            plans.iter().flatten().filter(agree).count()
        };
        rows.sort_by_key(|row| std::cmp::Reverse(votes(row)));
        rows
    }

    fn has_room(&self, mount: usize, kind: usize, count: u32) -> bool {
        let model = self.team.shared();
        let here = self.settled.placed().filter(|(_, place, _)| *place == mount);
        let settled: i64 = here.map(|(kind, _, count)| model.kinds[kind].mass_ng * i64::from(count)).sum();
        settled + model.kinds[kind].mass_ng * i64::from(count) <= model.mounts[mount].capacity_ng
    }

    fn put(&mut self, depth: usize, row: &[u32]) {
        for (mount, count) in self.slow[depth].iter().zip(row) {
            *self.settled.get_mut(self.kinds[depth], *mount) = *count;
        }
    }

    /// Whether a plan has the kind that was settled last where it was settled.
    fn agrees(&self, depth: usize, plan: &Counts) -> bool {
        let Some(last) = depth.checked_sub(1) else { return false };
        let kind = self.kinds[last];
        self.slow[last].iter().all(|mount| plan.get(kind, *mount) == self.settled.get(kind, *mount))
    }

    /// Asks a driver for any plan within the limits that has the settled kinds where they are.
    fn ask(&self, depth: usize, driver: usize) -> Settled<Found> {
        let mut model: Model = self.team.models[driver].clone();
        bare(&mut model);
        let mounts = model.mounts.len();
        for (kind, slow) in self.kinds.iter().zip(&self.slow).take(depth) {
            for mount in slow {
                let count = self.settled.get(*kind, *mount);
                model.cells[kind * mounts + mount] = Cell::Locked(count);
                *model.fitted.get_mut(*kind, *mount) = count;
            }
        }
        if (0..model.kinds.len()).any(|kind| model.fitted.of_kind(kind) > model.kinds[kind].count) {
            return Settled::Never;
        }
        let (_, most_lead_ng) = self.team.lead_range_ng(driver, self.limits.excess_ng);
        let within = Limits {
            least_mass_ng: model.required_ng,
            most_mass_ng: most_lead_ng.saturating_add(model.bare_ng),
            outside_ng: self.limits.outside_ng,
            work: Limits::FREE,
            close_ng: Limits::FREE,
        };
        any_plan(&model, Objective::Targets, within, self.guard)
    }
}
