//! Driver by driver: every way in which what varies can go from one to the next within a number of changes.
//!
//! A node is a prefix of the drivers, in the order of their first stints, with the way in which the quick adjusters are set
//! for each, and the difference of each one's lead from the first one's. What all of them share is not yet chosen; but
//! whatever it is, the needs and allowances of all drivers must overlap, in mass and in each target, and that cuts most
//! handovers before the next driver is met. A leaf is a varying part; `common` completes it.

use std::ops::ControlFlow;

use super::common::complete;
use super::edges::{Edges, Source, most_changes};
use super::handover::{Handover, MOST_SUMS, Moves, Sums, Visited, Window};
use super::overlap::Reach;
use super::overlap::{Overlap, Settled, halves, overlap, window};
use super::team::{Edge, Team};
use super::{TeamFound, TeamLimits};
use crate::counts::Counts;
use crate::search::{Guard, Objective};
use crate::tasks::pursuit;

/// How a run from driver to driver ended, or one from base to base.
#[derive(Clone, Debug)]
pub(super) enum Run {
    /// A set-up within the limits; better ones may be left.
    Found(TeamFound),
    /// A set-up within the limits, and none is better by more than the fineness.
    Best(TeamFound),
    /// There is none.
    Exhausted,
    /// So much was tried in vain that another way may be better.
    GaveUp,
    /// The guard ended it.
    Stopped,
}

/// What is asked for.
#[derive(Clone, Copy)]
pub(super) struct Wanted<'r> {
    pub(super) objective: Objective,
    /// Those asked for; once something is found, what is better by more than the fineness.
    pub(super) limits: TeamLimits,
    /// Set-ups are told apart down to this.
    pub(super) fineness: i64,
    /// Nothing better than this is wanted.
    pub(super) enough: i64,
    pub(super) guard: &'r Guard<'r>,
}

/// One run: limits that stay, and the state of the walk.
pub(super) struct Relay<'r> {
    team: &'r Team,
    moves: &'r Moves,
    wanted: Wanted<'r>,
    /// Fewest changes of each edge.
    fewest: &'r [usize],
    /// Where each driver's own lead can bring him.
    reach: Reach,
    /// Varying parts after which it gives up.
    most_leaves: u64,
    /// How the quick adjusters are set for each assigned driver.
    ways: Vec<usize>,
    /// Sums of each assigned driver beyond the first one's.
    sums: Vec<Sums>,
    /// What each assigned driver has more (or less) of than the first: by `kind * places + place`.
    beyond: Vec<Vec<i32>>,
    found: Option<TeamFound>,
    stopped: bool,
    /// Varying parts that were completed or refuted.
    pub(super) leaves: u64,
}

impl<'r> Relay<'r> {
    pub(super) fn new(
        team: &'r Team,
        moves: &'r Moves,
        fewest: &'r [usize],
        wanted: Wanted<'r>,
        most_leaves: u64,
    ) -> Relay<'r> {
        Relay {
            team,
            moves,
            wanted,
            fewest,
            reach: Reach::new(team, &wanted.limits),
            most_leaves,
            ways: Vec::new(),
            sums: vec![[0; MOST_SUMS]],
            beyond: vec![vec![0; team.shared().kinds.len() * moves.the_box()]],
            found: None,
            stopped: false,
            leaves: 0,
        }
    }

    /// Runs to the end.
    pub(super) fn run(&mut self) -> Run {
        let fewest: i64 = self.team.edges.iter().zip(self.fewest).map(|(e, f)| e.times * *f as i64).sum();
        if fewest > self.wanted.limits.work {
            return Run::Exhausted;
        }
        let Relay { team, moves, wanted: Wanted { limits, guard, .. }, .. } = *self;
        // What is found later only makes the limits tighter, so these lists hold all that is needed.
        let edges = Edges { team, moves, limits: &limits, guard };
        let mut sources = Vec::new();
        for driver in 1..self.team.models.len() {
            let edge = self.team.edges[driver - 1];
            let most = self.most_changes(&edge, driver - 1, self.wanted.limits.work - fewest);
            match edges.list(&edge, most) {
                Some(source) => sources.push(source),
                None => return Run::Stopped,
            }
        }
        let mut end = ControlFlow::Continue(());
        for way in 0..self.team.settings.len() {
            if !self.reach.may_be_set(0, way) {
                continue;
            }
            self.ways = vec![way];
            end = self.driver(&sources, 1, 0);
            if end.is_break() {
                break;
            }
        }
        match (self.found.take(), end) {
            (Some(found), ControlFlow::Continue(())) => Run::Best(found),
            (Some(found), ControlFlow::Break(())) => Run::Found(found),
            (None, ControlFlow::Break(())) if self.stopped => Run::Stopped,
            (None, ControlFlow::Break(())) => Run::GaveUp,
            (None, ControlFlow::Continue(())) => Run::Exhausted,
        }
    }

    /// Changes that an edge may have when `slack` changes are left over after the fewest of every edge.
    fn most_changes(&self, edge: &Edge, index: usize, slack: i64) -> usize {
        let more = usize::try_from(slack / edge.times.max(1)).unwrap_or(usize::MAX);
        self.fewest[index].saturating_add(more).min(most_changes(self.team, self.moves))
    }

    /// Tries every way to set the adjusters for a driver and every handover to him; `spent` changes are certain.
    fn driver(&mut self, sources: &[Source], driver: usize, spent: i64) -> ControlFlow<()> {
        if driver == self.team.models.len() {
            return self.complete();
        }
        let edge = self.team.edges[driver - 1];
        let slack = self.wanted.limits.work - spent - self.fewest_from(driver);
        if slack < 0 {
            return ControlFlow::Continue(());
        }
        let most = self.most_changes(&edge, driver - 1, slack);
        for (settings, way) in self.team.settings.near(self.ways[edge.earlier], most as i64) {
            if !self.reach.may_be_set(driver, way) {
                continue;
            }
            let Some(window) = self.window(driver, way) else { continue };
            let most = most - settings as usize;
            let spent = spent + edge.times * settings;
            self.ways.push(way);
            let end = self.set_so(sources, &edge, (most, &window), spent);
            self.ways.pop();
            end?;
        }
        ControlFlow::Continue(())
    }

    /// Tries every handover of at most `most` moves within a window, the adjusters being set.
    fn set_so(
        &mut self,
        sources: &[Source],
        edge: &Edge,
        (most, window): (usize, &Window),
        spent: i64,
    ) -> ControlFlow<()> {
        match &sources[edge.later - 1] {
            Source::Listed(listed) => listed
                .iter()
                .take_while(|handover| handover.moves.len() <= most)
                .filter(|handover| window.holds(&handover.sums))
                .try_for_each(|handover| self.hand_over(sources, edge, handover, spent)),
            Source::TooMany => {
                let (moves, guard) = (self.moves, self.wanted.guard);
                let mut end = ControlFlow::Continue(());
                let visited = moves.each(most, window, guard, &mut |handover| {
                    end = self.hand_over(sources, edge, handover, spent);
                    end
                });
                self.stopped |= visited == Visited::Stopped;
                if self.stopped { ControlFlow::Break(()) } else { end }
            }
        }
    }

    /// The fewest changes of all edges that are not settled before a driver is met.
    fn fewest_from(&self, driver: usize) -> i64 {
        let edges = self.team.edges.iter().zip(self.fewest);
        edges.filter(|(edge, _)| edge.later >= driver).map(|(edge, fewest)| edge.times * *fewest as i64).sum()
    }

    fn hand_over(
        &mut self,
        sources: &[Source],
        edge: &Edge,
        handover: &Handover,
        spent: i64,
    ) -> ControlFlow<()> {
        if self.wanted.guard.is_over() {
            self.stopped = true;
            return ControlFlow::Break(());
        }
        let before = self.sums[edge.earlier];
        let sums = std::array::from_fn(|sum| before[sum] + handover.sums[sum]);
        let places = self.moves.the_box();
        let mut beyond = self.beyond[edge.earlier].clone();
        for moved in &handover.moves {
            let row = usize::from(moved.kind) * places;
            if usize::from(moved.from) != places {
                beyond[row + usize::from(moved.from)] -= 1;
            }
            if usize::from(moved.to) != places {
                beyond[row + usize::from(moved.to)] += 1;
            }
        }
        let driver = edge.later;
        let back = self.changes_back(driver, &beyond);
        let spent = spent + edge.times * handover.moves.len() as i64 + back;
        if spent + self.fewest_from(driver + 1) > self.wanted.limits.work {
            return ControlFlow::Continue(());
        }
        self.sums.push(sums);
        self.beyond.push(beyond);
        let end = if self.can_overlap() && self.stock_and_mounts_suffice() {
            self.driver(sources, driver + 1, spent)
        } else {
            ControlFlow::Continue(())
        };
        self.sums.pop();
        self.beyond.pop();
        end
    }

    /// Changes between a driver and earlier ones whom the order meets again beside him.
    fn changes_back(&self, driver: usize, beyond: &[i32]) -> i64 {
        let places = self.moves.the_box();
        let back = self.team.edges.iter().enumerate();
        let back = back.filter(|(index, edge)| edge.later == driver && *index + 1 != driver);
        back.map(|(_, edge)| {
            let earlier = &self.beyond[edge.earlier];
            let settings = self.team.settings.work(self.ways[edge.earlier], self.ways[driver]);
            let kinds = earlier.chunks(places.max(1)).zip(beyond.chunks(places.max(1)));
            let changes = kinds.map(|(one, other)| {
                let (off, on) = one.iter().zip(other).fold((0, 0), |(off, on), (one, other)| {
                    (off + (one - other).max(0), on + (other - one).max(0))
                });
                i64::from(off.max(on))
            });
            edge.times * (settings + changes.sum::<i64>())
        })
        .sum()
    }

    /// Where the sums of the next driver's handover must lie, the adjusters being set so for him; none if no handover serves.
    fn window(&self, driver: usize, way: usize) -> Option<Window> {
        let overlap = self.overlap();
        let before = self.sums[self.team.edges[driver - 1].earlier];
        let ends = self.team.settings.ends(driver, way);
        let window = window(self.team, driver, ends, &overlap, &self.wanted.limits)?;
        let shifted = |bound: &Sums| std::array::from_fn(|sum| bound[sum].saturating_sub(before[sum]));
        Some(Window { least: shifted(&window.least), most: shifted(&window.most) })
    }

    fn overlap(&self) -> Overlap {
        let settled = self.sums.iter().zip(&self.ways).enumerate().map(|(driver, (sums, way))| Settled {
            driver,
            ends: self.team.settings.ends(driver, *way),
            sums: *sums,
        });
        overlap(self.team, &settled.collect::<Vec<_>>(), &self.wanted.limits)
    }

    fn can_overlap(&self) -> bool {
        let overlap = self.overlap();
        // Two drivers share what is between them over all targets; of more, each target may have its own worst two.
        let targets = self.team.shared().targets.len();
        let times = if self.sums.len() > 2 { targets as i64 } else { 1 };
        // Against what lead can do at all, one driver is the worst in a target and not half of two.
        let alone = self.sums.len().min(targets) as i64;
        overlap.mass_ng.0 <= overlap.mass_ng.1
            && halves(&overlap.outside).map(|half| half.max(0)).sum::<i64>()
                <= self.wanted.limits.outside_ng.saturating_mul(times)
            && halves(&overlap.close).sum::<i64>() <= self.wanted.limits.close_ng
            && self.reach.suffices(0, &overlap, alone, &self.wanted.limits)
    }

    /// What all drivers at least share of each quick cell so that nobody has less than nothing there.
    fn offsets(&self) -> Vec<i32> {
        let mut offsets = vec![0; self.beyond[0].len()];
        for beyond in &self.beyond {
            for (offset, beyond) in offsets.iter_mut().zip(beyond) {
                *offset = (*offset).max(-beyond);
            }
        }
        offsets
    }

    /// Whether what varies alone is within stock and mounts for every driver so far.
    fn stock_and_mounts_suffice(&self) -> bool {
        let places = self.moves.the_box();
        let model = self.team.shared();
        let offsets = self.offsets();
        self.beyond.iter().all(|beyond| {
            let mut mass_ng = vec![0_i64; places];
            let cells = offsets.chunks(places.max(1)).zip(beyond.chunks(places.max(1))).zip(&model.kinds);
            let in_stock = cells.into_iter().all(|((offsets, beyond), kind)| {
                let mut used = 0;
                for (place, (offset, beyond)) in offsets.iter().zip(beyond).enumerate() {
                    used += offset + beyond;
                    mass_ng[place] += kind.mass_ng * i64::from(offset + beyond);
                }
                i64::from(used) <= i64::from(kind.count)
            });
            let mounts = mass_ng.iter().zip(&self.moves.mounts);
            in_stock
                && mounts.into_iter().all(|(mass_ng, mount)| *mass_ng <= model.mounts[*mount].capacity_ng)
        })
    }

    /// Completes what varies between all drivers.
    fn complete(&mut self) -> ControlFlow<()> {
        let places = self.moves.the_box();
        let model = self.team.shared();
        let offsets = self.offsets();
        let varying: Vec<Counts> = self
            .beyond
            .iter()
            .zip(&self.ways)
            .map(|(beyond, way)| {
                let counts = Counts::none(model.kinds.len(), model.mounts.len());
                let mut counts = counts.with_settings(self.team.settings.of(*way));
                for (cell, (offset, beyond)) in offsets.iter().zip(beyond).enumerate() {
                    let mount = self.moves.mounts[cell % places];
                    // An offset makes every sum zero or more.
                    *counts.get_mut(cell / places, mount) = (offset + beyond).unsigned_abs();
                }
                counts
            })
            .collect();
        if self.leaves >= self.most_leaves {
            return ControlFlow::Break(());
        }
        self.leaves += 1;
        match complete(
            self.team,
            &varying,
            self.wanted.objective,
            &self.wanted.limits,
            self.wanted.fineness,
            self.wanted.guard,
        ) {
            pursuit::Settled::Yes(found) => {
                let value = found.values.of(self.wanted.objective);
                self.found = Some(found);
                self.wanted.limits = self
                    .wanted
                    .limits
                    .with(self.wanted.objective, value.saturating_sub(self.wanted.fineness + 1));
                if value <= self.wanted.enough { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
            }
            pursuit::Settled::Never => ControlFlow::Continue(()),
            pursuit::Settled::Unknown => {
                self.stopped = true;
                ControlFlow::Break(())
            }
        }
    }
}
