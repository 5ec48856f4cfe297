//! Depth first through the moves: heaviest group first, most promising place first, cut by every bound there is.
//!
//! A node is a set of moves; as it stands, with all other pieces staying where they are, it is a plan and is measured. Its
//! children add one more move of a piece from the same or a later group. Equal pieces enter places in a fixed order: a child
//! hands down only its own place and the places after it in the order in which its parent tried them, so that every multiset
//! of places is met once.

mod cuts;

use super::cardinality::MOST_CHANGES;
use super::layout::{Group, Places, Stack};
use super::limits::Ties;
use super::pricing::{Balance, BoundedSum, Subproblem};
use super::{Found, Guard, Limits, Objective, Search};
use crate::counts::Counts;

/// Nodes between two looks at the clock: a few tens of microseconds.
const NODES_PER_LOOK: u64 = 1 << 8;

/// What the moves of one kind have done so far.
#[derive(Clone, Copy, Debug)]
struct Trail {
    kind: usize,
    /// Places that its next piece may enter.
    allowed: Places,
    /// Places that its pieces have entered; they may not be left again.
    entered: Places,
    /// Places that its pieces have left; they may not be entered again.
    left: Places,
}

/// A move that the bounds allow.
#[derive(Clone, Copy, Debug)]
struct Child {
    /// How far inside all needs of the aims it may still end, grains: larger is more promising.
    promise: i32,
    place: u8,
}

/// Why a run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Finish {
    /// Nothing within the limits is left that is better by the resolution than what was found.
    Exhausted,
    /// A plan was found that is good enough.
    Enough,
    /// The nodes of this run are spent.
    Spent,
    /// The guard ended it.
    Stopped,
}

/// One run within fixed limits, but for the goal's own limit, which follows the best plan found.
pub(super) struct DepthFirst<'s, 'm, 'g> {
    search: &'s mut Search<'m>,
    guard: &'g Guard<'g>,
    objective: Objective,
    limits: Limits,
    resolution: i64,
    /// A value this small ends the run.
    enough: i64,
    most_tau_ng: Vec<i64>,
    needs: Vec<i32>,
    aims: Vec<i32>,
    /// Directional sums of decided pieces, a row for every depth; and with all other pieces staying.
    decided: Vec<i32>,
    staying: Vec<i32>,
    /// Room to work in for one branch.
    /// Directions, those that refused a branch most recently first.
    by_success: Vec<usize>,
    reached: Vec<i32>,
    free_ng: Vec<f64>,
    children: Vec<Child>,
    /// Exact sums of decided pieces.
    mass_ng: i64,
    x_ng: Vec<i64>,
    tau_ng: Vec<i64>,
    stacks: Vec<Stack>,
    moves: Vec<(usize, usize)>,
    found: Option<Found>,
    /// If it is not the best that is wanted but the first of equals: all plans within the limits are handed to it.
    ties: Option<&'g mut Ties>,
    /// The run ends when the search has visited so many nodes.
    last_node: u64,
    /// From this node on, few changes are asked for subset sums by their number.
    cardinality_from: u64,
    has_cardinality: bool,
    end: Option<Finish>,
}

impl<'s, 'm, 'g> DepthFirst<'s, 'm, 'g> {
    pub(super) fn new(
        search: &'s mut Search<'m>,
        objective: Objective,
        limits: Limits,
        resolution: i64,
        enough: i64,
        last_node: u64,
        guard: &'g Guard<'g>,
    ) -> DepthFirst<'s, 'm, 'g> {
        let model = search.model;
        let len = search.supports.len;
        let mut run = DepthFirst {
            guard,
            objective,
            limits,
            resolution,
            enough,
            most_tau_ng: search.most_tau_ng(limits.most_mass_ng),
            needs: Vec::new(),
            aims: Vec::new(),
            decided: search.supports.settled(&search.layout),
            staying: Vec::new(),
            by_success: (0..len).collect(),
            reached: vec![0; len],
            free_ng: vec![0.0; model.mounts.len()],
            children: Vec::new(),
            mass_ng: model.bare_ng,
            x_ng: vec![0; model.targets.len()],
            tau_ng: vec![0; model.targets.len()],
            stacks: vec![Stack::default(); model.mounts.len()],
            moves: Vec::new(),
            found: None,
            ties: None,
            last_node,
            cardinality_from: search.nodes + search.cardinality_nodes,
            has_cardinality: search.has_cardinality(&limits),
            end: None,
            search,
        };
        for index in 0..run.search.layout.locked.len() {
            let group = run.search.layout.locked[index];
            run.put(&group, group.source, group.count);
        }
        run.aims = run.needs_within(Limits::FREE, 0);
        run.renew_needs();
        run
    }

    /// The same, but all plans within the limits are handed to `ties`.
    pub(super) fn handing_to(self, ties: &'g mut Ties) -> Self {
        DepthFirst { ties: Some(ties), ..self }
    }

    /// Runs to the end: the best plan found, and why the run ended.
    pub(super) fn run(mut self) -> (Option<Found>, Finish) {
        let trail = Trail { kind: usize::MAX, allowed: 0, entered: 0, left: 0 };
        if self.changes_left(0) >= 0 && self.limits.outside_ng >= 0 {
            self.visit(0, 0, 0, trail);
        }
        (self.found, self.end.unwrap_or(Finish::Exhausted))
    }

    fn renew_needs(&mut self) {
        let Limits { outside_ng, close_ng, .. } = self.limits;
        self.needs = self.needs_within(outside_ng, close_ng);
    }

    fn needs_within(&self, outside_ng: i64, close_ng: i64) -> Vec<i32> {
        self.search.supports.needs(&self.search.region(&self.most_tau_ng, outside_ng, close_ng))
    }

    /// A node: `taken` pieces of group `from` have moved, all earlier groups are decided.
    fn visit(&mut self, depth: usize, from: usize, taken: u32, trail: Trail) {
        self.search.nodes += 1;
        if self.search.nodes.is_multiple_of(NODES_PER_LOOK) && self.guard.is_over() {
            self.end = Some(Finish::Stopped);
        } else if self.search.nodes > self.last_node {
            self.end = Some(Finish::Spent);
        }
        if self.search.nodes == self.cardinality_from
            && self.limits.work <= MOST_CHANGES
            && !self.has_cardinality
        {
            self.search.tabulate_cardinality(&self.limits);
            self.has_cardinality = self.search.has_cardinality(&self.limits);
        }
        if self.end.is_some() {
            return;
        }
        self.consider(from, taken);
        if self.search.round.counts(depth) {
            self.keep_subproblem(depth, from);
        }
        let groups = self.search.layout.groups.len();
        if self.changes_left(depth) <= 0 || self.end.is_some() || from == groups {
            return;
        }
        let len = self.search.supports.len;
        let row = depth * len;
        self.decided.resize(row + 2 * len, 0);
        self.staying.resize(row + 2 * len, 0);
        self.tabulate_staying(row, from, taken);
        let mass_staying_ng =
            self.mass_ng + self.search.stays.mass_ng(from, taken, &self.search.layout.groups);

        let (mut index, mut moved) = (from, taken);
        loop {
            let group = self.search.layout.groups[index];
            if moved < group.count {
                // The fewer groups are left, the less they can do: once they cannot, the rest of the loop cannot either.
                let (least_ng, most_ng) =
                    (self.limits.least_mass_ng - self.mass_ng, self.limits.most_mass_ng - self.mass_ng);
                if !self.counted_suffice(depth, index, mass_staying_ng)
                    || !self.shift_exists((index, moved), self.changes_left(depth), least_ng, most_ng)
                {
                    break;
                }
                self.branch(depth, index, moved, trail);
                if self.end.is_some() {
                    break;
                }
            }
            if moved < group.must_leave {
                break;
            }
            self.settle(row, &group, group.count - moved);
            index += 1;
            moved = 0;
            if index == groups || !self.holds(&group) {
                break;
            }
        }
        // Exact sums are restored; the row of this depth is written anew by the next visit.
        for undo in from..index {
            let group = self.search.layout.groups[undo];
            let stayed = group.count - if undo == from { taken } else { 0 };
            if group.source != self.search.layout.the_box {
                self.take(&group, group.source, stayed);
            }
        }
    }

    /// Keeps what is left to do at this node, for each sum that is limited: the aims within the limit on the tolerances.
    fn keep_subproblem(&mut self, depth: usize, from: usize) {
        let least_ng = self.limits.least_mass_ng - self.mass_ng;
        let most_ng = self.limits.most_mass_ng - self.mass_ng;
        self.measure_free(from, least_ng, self.changes_left(depth));
        let outside = BoundedSum::new(Balance::Targets, &self.search.targets, self.limits.outside_ng);
        let close = BoundedSum::new(Balance::Close, &self.search.targets, self.limits.close_ng);
        let close = close.map(|close| (close, outside.clone()));
        for (bounded, held) in outside.map(|limited| (limited, None)).into_iter().chain(close) {
            self.search.round.subproblems.push(Subproblem {
                bounded,
                held,
                x_ng: self.x_ng.clone(),
                tau_ng: self.tau_ng.clone(),
                free_ng: self.free_ng.iter().map(|free| *free as i64).collect(),
                least_ng,
                most_ng,
            });
        }
    }

    /// Sums with every undecided piece staying, for this node.
    fn tabulate_staying(&mut self, row: usize, from: usize, taken: u32) {
        let len = self.search.supports.len;
        self.staying[row..row + len].copy_from_slice(&self.decided[row..row + len]);
        if !self.search.layout.all_in_box {
            let stays = self.search.stays.sums(from + 1);
            let group = &self.search.layout.groups[from];
            let left = (group.count - taken) as i32;
            let own = self.search.supports.gain(group.kind, group.source);
            for ((sum, stay), gain) in self.staying[row..row + len].iter_mut().zip(stays).zip(own) {
                *sum += stay + gain * left;
            }
        }
    }

    /// Changes that a node of this depth may still make; a better plan found meanwhile may have left fewer.
    fn changes_left(&self, depth: usize) -> i64 {
        self.limits.work - self.search.work_of_settings() - depth as i64
    }

    /// Leaves pieces of a group where they are.
    fn settle(&mut self, row: usize, group: &Group, count: u32) {
        if group.source == self.search.layout.the_box || count == 0 {
            return;
        }
        self.put(group, group.source, count);
        let len = self.search.supports.len;
        let gain = self.search.supports.gain(group.kind, group.source);
        for (sum, gain) in self.decided[row..row + len].iter_mut().zip(gain) {
            *sum += gain * count as i32;
        }
    }

    /// Whether the decided pieces on the source of a group are within what that mount takes.
    fn holds(&self, group: &Group) -> bool {
        group.source == self.search.layout.the_box
            || self.search.has_room(group.source, &self.stacks[group.source])
    }

    /// Tries every place for the next piece of a group.
    fn branch(&mut self, depth: usize, index: usize, moved: u32, trail: Trail) {
        let group = self.search.layout.groups[index];
        let the_box = self.search.layout.the_box;
        let trail = if trail.kind == group.kind {
            trail
        } else {
            let allowed = self.search.layout.open[group.kind];
            Trail { kind: group.kind, allowed, entered: 0, left: 0 }
        };
        let source_bit: Places = 1 << group.source;
        if trail.entered & source_bit != 0 {
            return;
        }
        let next = if moved + 1 < group.count { (index, moved + 1) } else { (index + 1, 0) };
        let places = trail.allowed & !source_bit & !trail.left;
        let first_child = self.children.len();
        let mounts = self.with_room(&group, places & ((1 << the_box) - 1));
        self.offer(depth, &group, next, mounts, group.mass_ng);
        self.offer(depth, &group, next, places & 1 << the_box, 0);
        let children = self.children.len();
        self.children[first_child..].sort_by(|a, b| b.promise.cmp(&a.promise).then(a.place.cmp(&b.place)));
        let mut allowed =
            self.children[first_child..].iter().fold(0, |set: Places, child| set | 1 << child.place);
        for position in first_child..children {
            let place = self.children[position].place as usize;
            let handed = Trail {
                allowed,
                entered: trail.entered | 1 << place,
                left: trail.left | source_bit,
                ..trail
            };
            self.descend(depth, &group, place, next, handed);
            allowed &= !(1 << place);
            if self.end.is_some() {
                break;
            }
        }
        self.children.truncate(first_child);
    }

    /// Makes one move, visits, and takes it back.
    fn descend(&mut self, depth: usize, group: &Group, place: usize, next: (usize, u32), trail: Trail) {
        let len = self.search.supports.len;
        let (above, below) = self.decided.split_at_mut((depth + 1) * len);
        let gain = self.search.supports.gain(group.kind, place);
        for ((sum, before), gain) in below[..len].iter_mut().zip(&above[depth * len..]).zip(gain) {
            *sum = before + gain;
        }
        let on_mount = place != self.search.layout.the_box;
        if on_mount {
            self.put(group, place, 1);
        }
        self.moves.push((group.kind, group.source));
        self.moves.push((group.kind, place));
        self.visit(depth + 1, next.0, next.1, trail);
        self.moves.truncate(self.moves.len() - 2);
        if on_mount {
            self.take(group, place, 1);
        }
    }

    fn put(&mut self, group: &Group, mount: usize, count: u32) {
        self.stacks[mount].add(group, count);
        self.add_exactly(group, mount, i64::from(count));
    }

    fn take(&mut self, group: &Group, mount: usize, count: u32) {
        self.stacks[mount].remove(group, count);
        self.add_exactly(group, mount, -i64::from(count));
    }

    fn add_exactly(&mut self, group: &Group, mount: usize, count: i64) {
        let model = self.search.model;
        self.mass_ng += group.mass_ng * count;
        for (t, target) in self.search.targets.iter().enumerate() {
            self.x_ng[t] += target.gain_ng[group.kind * model.mounts.len() + mount] * count;
            self.tau_ng[t] += target.slack_ng[group.kind] * count;
        }
    }

    /// Measures the node as a plan, with all undecided pieces staying, and keeps it if it is within the limits.
    fn consider(&mut self, from: usize, taken: u32) {
        let search = &*self.search;
        let stays = &search.stays;
        let groups = &search.layout.groups;
        let mass_ng = self.mass_ng + stays.mass_ng(from, taken, groups);
        if mass_ng < self.limits.least_mass_ng
            || mass_ng > self.limits.most_mass_ng
            || stays.someone_must_leave(from, taken, groups)
        {
            return;
        }
        let (mut outside_ng, mut close_ng) = (0, 0);
        for (t, target) in search.targets.iter().enumerate() {
            let (x, tau) = stays.target_sums(t, from, taken, groups);
            outside_ng += target.outside_ng(self.x_ng[t] + x, self.tau_ng[t] + tau);
            close_ng += target.close_ng(self.x_ng[t] + x);
        }
        if outside_ng > self.limits.outside_ng || close_ng > self.limits.close_ng {
            return;
        }
        let settings = &search.variants.all[search.active].settings;
        let mut counts = search.model.fitted.clone().with_settings(settings);
        self.apply_moves(&mut counts);
        // The stacks of undecided pieces are not kept, and the lead that rules allow is asked only here: a full check, but
        // only of plans whose values are already good enough.
        if let Some(found) = search.plan_within(counts, &self.limits) {
            self.keep(found);
        }
    }

    fn apply_moves(&self, counts: &mut Counts) {
        let the_box = self.search.layout.the_box;
        for step in self.moves.chunks_exact(2) {
            let [(kind, source), (_, place)] = [step[0], step[1]];
            if source != the_box {
                *counts.get_mut(kind, source) -= 1;
            }
            if place != the_box {
                *counts.get_mut(kind, place) += 1;
            }
        }
    }

    fn keep(&mut self, found: Found) {
        if let Some(ties) = &mut self.ties {
            ties.meet(self.search.model, found);
            return;
        }
        let value = self.objective.of(&found.values);
        self.found = Some(found);
        if value <= self.enough {
            self.end = Some(Finish::Enough);
        } else {
            self.objective.limit(&mut self.limits, value - self.resolution - 1);
            self.renew_needs();
        }
    }
}
