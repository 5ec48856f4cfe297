//! What may change between two drivers: every set of moves on quick mounts that brings the difference where it has to be.
//!
//! A handover is a multiset of moves of single pieces, each from a quick mount or the box to another; its changes are the
//! number of moves, which per kind is the larger of pieces off and pieces on. A kind's places left and places entered are
//! disjoint, and both are met in ascending order, so that each difference of two set-ups is met once.

use std::ops::ControlFlow;

use super::team::Team;
use crate::search::Guard;
use crate::tasks::fractional_knapsack::poured;

/// Mass, and one sum per target; a scenario has five figures at most, as front and rear exclude each other.
pub(super) const MOST_SUMS: usize = 7;

/// What moves add up to: mass first, then x of every target (see `model`), ng.
pub(super) type Sums = [i64; MOST_SUMS];

/// Nodes between two looks at the clock.
const NODES_PER_LOOK: u64 = 1 << 10;

/// One piece that moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Move {
    /// Kind of the scenario.
    pub(super) kind: u16,
    /// Place left: position among the quick mounts, or their number for the box.
    pub(super) from: u8,
    /// Place entered.
    pub(super) to: u8,
}

/// A set of moves and what they add up to.
#[derive(Clone, Debug)]
pub(super) struct Handover {
    pub(super) moves: Vec<Move>,
    pub(super) sums: Sums,
}

/// The range in which the sums of a handover must lie.
#[derive(Clone, Copy, Debug)]
pub(super) struct Window {
    pub(super) least: Sums,
    pub(super) most: Sums,
}

impl Window {
    /// Everything.
    pub(super) const FREE: Window = Window { least: [-FAR; MOST_SUMS], most: [FAR; MOST_SUMS] };

    /// The smallest that holds all of them; none for none.
    pub(super) fn around<'w>(windows: impl IntoIterator<Item = &'w Window>) -> Option<Window> {
        windows.into_iter().copied().reduce(|one, other| Window {
            least: std::array::from_fn(|sum| one.least[sum].min(other.least[sum])),
            most: std::array::from_fn(|sum| one.most[sum].max(other.most[sum])),
        })
    }

    /// Whether sums lie in it.
    pub(super) fn holds(&self, sums: &Sums) -> bool {
        sums.iter().zip(&self.least).all(|(sum, least)| sum >= least)
            && sums.iter().zip(&self.most).all(|(sum, most)| sum <= most)
    }
}

/// Further than any sum, and far from overflow when bounds are added.
const FAR: i64 = i64::MAX / 8;

/// One way to move one piece of a kind.
#[derive(Clone, Copy, Debug)]
struct Step {
    from: u8,
    to: u8,
    sums: Sums,
}

/// A kind of which there are pieces that go on quick mounts.
#[derive(Clone, Debug)]
struct Movable {
    kind: u16,
    count: u32,
    mass_ng: i64,
    steps: Vec<Step>,
}

/// What lead does on one quick mount, whichever pieces are there: the least and the most gain per nanogram in every sum.
type Densities = [(f64, f64); MOST_SUMS];

/// All single moves, heaviest kind first, and bounds on what so many of them can add.
#[derive(Clone, Debug)]
pub(super) struct Moves {
    /// Mounts of the scenario that some piece can be put on or taken off quickly.
    pub(super) mounts: Vec<usize>,
    /// The most that such pieces can weigh on each of them together, and what they do there.
    carries_ng: Vec<i64>,
    densities: Vec<Densities>,
    movable: Vec<Movable>,
    /// Sums that are used: mass and targets.
    dimensions: usize,
    /// The most and the least that r moves of the kinds from k on can add; by `k * (MOST_COUNTED + 2) + r`.
    highest: Vec<Sums>,
    lowest: Vec<Sums>,
}

/// Moves for which bounds are kept; with more, the bound of all of them serves.
const MOST_COUNTED: usize = 12;

impl Moves {
    /// Every move that the team's quick cells allow.
    pub(super) fn new(team: &Team) -> Moves {
        let model = team.shared();
        let all_mounts = model.mounts.len();
        // A mount is a place only for pieces that there are and that it can carry: so no place is without any.
        let may = |kind: usize, mount: usize| {
            let row = &model.kinds[kind];
            team.is_quick(kind, mount) && row.count > 0 && row.mass_ng <= model.mounts[mount].capacity_ng
        };
        let kinds_of = |mount: usize| (0..model.kinds.len()).filter(move |kind| may(*kind, mount));
        let mounts: Vec<usize> = (0..all_mounts).filter(|mount| kinds_of(*mount).next().is_some()).collect();
        let gains = |kind: usize, mount: usize| -> Sums {
            let mut sums = [0; MOST_SUMS];
            sums[0] = model.kinds[kind].mass_ng;
            for (sum, target) in sums[1..].iter_mut().zip(&model.targets) {
                *sum = target.gain_ng[kind * all_mounts + mount];
            }
            sums
        };
        let density = |mount: usize, kind: usize| -> Densities {
            gains(kind, mount).map(|gain| gain as f64 / model.kinds[kind].mass_ng as f64).map(|d| (d, d))
        };
        let widest = |one: Densities, other: Densities| -> Densities {
            std::array::from_fn(|sum| (one[sum].0.min(other[sum].0), one[sum].1.max(other[sum].1)))
        };
        let carries = |mount: usize| -> i64 {
            let there_are = kinds_of(mount).map(|kind| &model.kinds[kind]);
            let mass_ng: i64 = there_are.map(|row| row.mass_ng * i64::from(row.count)).sum();
            mass_ng.min(model.mounts[mount].capacity_ng)
        };
        let the_box = mounts.len();
        let movable = |kind: usize| -> Movable {
            let row = &model.kinds[kind];
            let entered = |place: usize| may(kind, mounts[place]);
            let at = |place: usize| mounts.get(place).map_or([0; MOST_SUMS], |mount| gains(kind, *mount));
            let places: Vec<usize> =
                (0..=the_box).filter(|place| *place == the_box || entered(*place)).collect();
            let step = |from: usize, to: usize| {
                let (left, entered) = (at(from), at(to));
                let sums = std::array::from_fn(|sum| entered[sum] - left[sum]);
                Step { from: from as u8, to: to as u8, sums }
            };
            let pairs = places.iter().flat_map(|from| places.iter().map(move |to| (*from, *to)));
            let steps = pairs.filter(|(from, to)| from != to).map(|(from, to)| step(from, to)).collect();
            Movable { kind: kind as u16, count: row.count, mass_ng: row.mass_ng, steps }
        };
        let mut movable: Vec<Movable> = (0..model.kinds.len())
            .filter(|kind| mounts.iter().any(|mount| may(*kind, *mount)))
            .map(movable)
            .collect();
        movable.sort_by_key(|movable| std::cmp::Reverse(movable.mass_ng));
        let mut moves = Moves {
            carries_ng: mounts.iter().map(|mount| carries(*mount)).collect(),
            densities: mounts
                .iter()
                .filter_map(|mount| kinds_of(*mount).map(|kind| density(*mount, kind)).reduce(widest))
                .collect(),
            mounts,
            dimensions: model.targets.len() + 1,
            highest: Vec::new(),
            lowest: Vec::new(),
            movable,
        };
        moves.tabulate();
        moves
    }

    /// The box, as a place.
    pub(super) fn the_box(&self) -> usize {
        self.mounts.len()
    }

    /// The most that one driver can have more than another, ng: pieces that there are, on all quick mounts together.
    pub(super) fn most_ng(&self) -> i64 {
        let there_are = self.movable.iter().map(|movable| movable.mass_ng * i64::from(movable.count));
        self.carries_ng.iter().sum::<i64>().min(there_are.sum())
    }

    /// Pieces that could move at one handover: no handover has more changes.
    pub(super) fn most_changes(&self) -> usize {
        self.movable.iter().map(|movable| movable.count as usize).sum()
    }

    fn tabulate(&mut self) {
        let (kinds, rows) = (self.movable.len(), MOST_COUNTED + 2);
        self.highest = vec![[0; MOST_SUMS]; (kinds + 1) * rows];
        self.lowest = vec![[0; MOST_SUMS]; (kinds + 1) * rows];
        for dimension in 0..self.dimensions {
            // The largest single gains of the kinds from k on, in either direction, falling.
            let (mut rises, mut falls): (Vec<i64>, Vec<i64>) = (Vec::new(), Vec::new());
            for kind in (0..kinds).rev() {
                let movable = &self.movable[kind];
                let best = |sign: i64| movable.steps.iter().map(|step| sign * step.sums[dimension]).max();
                for (list, sign) in [(&mut rises, 1), (&mut falls, -1)] {
                    let best = best(sign).unwrap_or(0).max(0);
                    let at = list.partition_point(|gain| *gain >= best);
                    list.splice(at..at, std::iter::repeat_n(best, movable.count as usize));
                }
                for changes in 0..rows {
                    let counted = if changes <= MOST_COUNTED { changes } else { usize::MAX };
                    let sum = |list: &[i64]| list.iter().take(counted).sum::<i64>();
                    self.highest[kind * rows + changes][dimension] = sum(&rises);
                    self.lowest[kind * rows + changes][dimension] = -sum(&falls);
                }
            }
        }
    }

    /// The most and the least that `changes` moves of kinds from `kind` on can add.
    fn reach(&self, kind: usize, changes: usize) -> (&Sums, &Sums) {
        let row = kind * (MOST_COUNTED + 2) + changes.min(MOST_COUNTED + 1);
        (&self.lowest[row], &self.highest[row])
    }

    /// The most that any number of moves can add to one sum while the mass stays within a range, as if lead were a
    /// divisible: each quick mount goes from full to empty or back. None if no divisible lead brings the mass into the range.
    ///
    /// `sign` −1 asks for the least, as a negative number's magnitude. Rounded up, so that it stays a bound.
    pub(super) fn divisible_reach(
        &self,
        dimension: usize,
        sign: i64,
        least_ng: i64,
        most_ng: i64,
    ) -> Option<i64> {
        let all = self.most_ng();
        if least_ng > all || most_ng < -all || least_ng > most_ng {
            return None;
        }
        if dimension == 0 {
            return Some(if sign > 0 { most_ng.min(all) } else { (-least_ng).min(all) });
        }
        // From everything emptied to everything filled.
        let (mut mass, mut value) = (0.0, 0.0);
        let places = std::iter::zip(&self.densities, &self.carries_ng).map(|(densities, carries_ng)| {
            let (least, most) = densities[dimension];
            let (low, high) = if sign > 0 { (least, most) } else { (-most, -least) };
            let carries = *carries_ng as f64;
            (mass, value) = (mass - carries, value - low * carries);
            (high, 2.0 * carries)
        });
        let places = places.collect();
        // A grain of a milligram covers the rounding of all these sums.
        Some(poured(places, (mass, value), (least_ng, most_ng)).ceil() as i64 + 1_000_000)
    }

    /// Visits every handover of at most `most` moves whose sums lie in the window, until the visitor breaks or the guard
    /// ends it; says whether it has met them all.
    pub(super) fn each(
        &self,
        most: usize,
        window: &Window,
        guard: &Guard,
        visit: &mut dyn FnMut(&Handover) -> ControlFlow<()>,
    ) -> Visited {
        let mut walk = Walk {
            moves: self,
            window,
            guard,
            visit,
            handover: Handover { moves: Vec::with_capacity(most), sums: [0; MOST_SUMS] },
            added_ng: vec![0; self.the_box()],
            removed_ng: vec![0; self.the_box()],
            nodes: 0,
            end: Visited::All,
        };
        match walk.node(0, most) {
            ControlFlow::Continue(()) => Visited::All,
            ControlFlow::Break(()) => walk.end,
        }
    }
}

/// How a visit of all handovers ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Visited {
    /// Nothing is left.
    All,
    /// The visitor has seen enough.
    Enough,
    /// The guard ended it.
    Stopped,
}

struct Walk<'w> {
    moves: &'w Moves,
    window: &'w Window,
    guard: &'w Guard<'w>,
    visit: &'w mut dyn FnMut(&Handover) -> ControlFlow<()>,
    handover: Handover,
    /// Lead that the moves put on each quick mount, and take off it; neither can exceed what the mount carries.
    added_ng: Vec<i64>,
    removed_ng: Vec<i64>,
    nodes: u64,
    end: Visited,
}

impl Walk<'_> {
    fn node(&mut self, from_kind: usize, left: usize) -> ControlFlow<()> {
        self.nodes += 1;
        if self.nodes.is_multiple_of(NODES_PER_LOOK) && self.guard.is_over() {
            self.end = Visited::Stopped;
            return ControlFlow::Break(());
        }
        if self.window.holds(&self.handover.sums) && (self.visit)(&self.handover).is_break() {
            self.end = Visited::Enough;
            return ControlFlow::Break(());
        }
        if left == 0 {
            return ControlFlow::Continue(());
        }
        let moves = self.moves;
        for (kind, movable) in moves.movable.iter().enumerate().skip(from_kind) {
            // What the kinds from here on cannot bring into the window, fewer of them cannot either.
            if !self.can_still_reach(kind, left) {
                break;
            }
            let used = self.handover.moves.iter().rev().take_while(|m| m.kind == movable.kind).count();
            if used as u32 >= movable.count {
                continue;
            }
            for step in &movable.steps {
                if self.is_in_order(movable.kind, step, used) && self.enter(movable, step) {
                    let end = self.node(kind, left - 1);
                    self.leave(movable, step);
                    end?;
                }
            }
        }
        ControlFlow::Continue(())
    }

    fn can_still_reach(&self, kind: usize, left: usize) -> bool {
        let (lowest, highest) = self.moves.reach(kind, left);
        let sums = &self.handover.sums;
        (0..self.moves.dimensions).all(|d| {
            sums[d] + highest[d] >= self.window.least[d] && sums[d] + lowest[d] <= self.window.most[d]
        })
    }

    /// Both places no earlier than those of the kind's move before, and no place both left and entered.
    fn is_in_order(&self, kind: u16, step: &Step, used: usize) -> bool {
        let own = &self.handover.moves[self.handover.moves.len() - used..];
        debug_assert!(own.iter().all(|before| before.kind == kind), "moves of one kind are neighbours");
        own.last().is_none_or(|before| step.from >= before.from && step.to >= before.to)
            && own.iter().all(|before| step.from != before.to && step.to != before.from)
    }

    fn enter(&mut self, movable: &Movable, step: &Step) -> bool {
        let the_box = self.moves.the_box();
        let (from, to) = (usize::from(step.from), usize::from(step.to));
        let fits = |lead_ng: &[i64], place: usize| {
            place == the_box || lead_ng[place] + movable.mass_ng <= self.moves.carries_ng[place]
        };
        if !fits(&self.removed_ng, from) || !fits(&self.added_ng, to) {
            return false;
        }
        if from != the_box {
            self.removed_ng[from] += movable.mass_ng;
        }
        if to != the_box {
            self.added_ng[to] += movable.mass_ng;
        }
        for (sum, gain) in self.handover.sums.iter_mut().zip(&step.sums) {
            *sum += gain;
        }
        self.handover.moves.push(Move { kind: movable.kind, from: step.from, to: step.to });
        true
    }

    fn leave(&mut self, movable: &Movable, step: &Step) {
        let the_box = self.moves.the_box();
        let (from, to) = (usize::from(step.from), usize::from(step.to));
        if from != the_box {
            self.removed_ng[from] -= movable.mass_ng;
        }
        if to != the_box {
            self.added_ng[to] -= movable.mass_ng;
        }
        for (sum, gain) in self.handover.sums.iter_mut().zip(&step.sums) {
            *sum -= gain;
        }
        self.handover.moves.pop();
    }
}
