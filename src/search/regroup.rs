//! A better plan near a plan: everything that lies in a few places laid out anew.
//! Proves nothing and cuts nothing; what it finds only lets the search ask for less.
//!
//! A proof has to refute everything that is better than the best plan by more than the resolution, so a plan that is a few
//! grams better can spare most of a long proof. Depth first comes upon such plans by chance. Where extreme mounts have to be
//! filled to the brim, a better column differs from a good one in several pieces at once, and no exchange of one or two leads
//! there. Two, three or four places hold few pieces, so their layouts can be gone through one by one, the box being a place
//! like any other.

use super::layout::{Group, Stack};
use super::{Found, Limits, Objective, Search};
use crate::counts::Counts;
use crate::model::{TargetRow, Values};

/// Most places that are laid out together.
const MOST_PLACES: usize = 4;

/// Steps for one set of places; the box may hold most of the lead, and then only the lightest pieces change their places.
const MOST_STEPS_OF_A_SET: u64 = 1 << 15;

/// What it costs to state a set of places, and to measure one of its layouts as a plan, in steps.
const STEPS_TO_STATE: u64 = 1 << 6;
const STEPS_TO_MEASURE: u64 = 1 << 5;

/// One piece that is laid out.
struct Piece {
    group: Group,
    /// What it adds to the sums of gains: by place of the set, then by target.
    gain_ng: Vec<i64>,
    /// Whether the piece before it is equal.
    is_repeated: bool,
}

/// The layouts of one set of places.
struct Layouts<'l, 'm> {
    search: &'l Search<'m>,
    targets: &'l [TargetRow],
    limits: &'l Limits,
    objective: Objective,
    places: &'l [usize],
    /// Heaviest first.
    pieces: Vec<Piece>,
    /// Mass of the pieces from each one on, ng.
    rest_ng: Vec<i64>,
    /// The plan without the pieces.
    without: Counts,
    /// What lies in each place of the set, and the sums of everything that lies on the kart.
    stacks: Vec<Stack>,
    mass_ng: i64,
    x_ng: Vec<i64>,
    tau_ng: Vec<i64>,
    /// The place in the set of each piece so far.
    chosen: Vec<usize>,
    /// The least value so far, and the layout that has it if it is better than the plan.
    value: i64,
    better: Option<Found>,
    steps_left: u64,
}

impl Search<'_> {
    /// The best plan that laying out a few places at a time reaches, with the settings of `found`, within `effort` steps.
    pub(super) fn regrouped(
        &self,
        mut found: Found,
        objective: Objective,
        limits: &Limits,
        effort: u64,
    ) -> Found {
        let targets = self.model.targets_at(found.counts.settings());
        let mut steps_left = effort;
        let mut set = vec![0, 1];
        while set.len() <= MOST_PLACES.min(self.layout.the_box + 1) && steps_left > STEPS_TO_STATE {
            steps_left -= STEPS_TO_STATE;
            let mut layouts = Layouts::new(self, &found, objective, limits, &targets, &set);
            let before = MOST_STEPS_OF_A_SET.min(steps_left);
            layouts.steps_left = before;
            layouts.lay(0);
            steps_left -= before - layouts.steps_left;
            if let Some(better) = layouts.better {
                found = better;
                set = vec![0, 1];
            } else {
                to_next(&mut set, self.layout.the_box + 1);
            }
        }
        found
    }
}

impl<'l, 'm> Layouts<'l, 'm> {
    fn new(
        search: &'l Search<'m>,
        found: &Found,
        objective: Objective,
        limits: &'l Limits,
        targets: &'l [TargetRow],
        places: &'l [usize],
    ) -> Layouts<'l, 'm> {
        let mut layouts = Layouts {
            search,
            targets,
            limits,
            objective,
            places,
            pieces: Vec::new(),
            rest_ng: Vec::new(),
            without: found.counts.clone(),
            stacks: vec![Stack::default(); places.len()],
            mass_ng: 0,
            x_ng: Vec::new(),
            tau_ng: Vec::new(),
            chosen: Vec::new(),
            value: objective.of(&found.values),
            better: None,
            steps_left: 0,
        };
        let mut last_kind = usize::MAX;
        for group in &search.layout.groups {
            if group.kind != last_kind {
                layouts.gather(*group);
                last_kind = group.kind;
            }
        }
        layouts.mass_ng = search.model.values(&layouts.without).mass_ng;
        for target in targets {
            let (x, tau) = target.sums(&layouts.without);
            layouts.x_ng.push(x);
            layouts.tau_ng.push(tau);
        }
        layouts.rest_ng = vec![0; layouts.pieces.len() + 1];
        for (index, piece) in layouts.pieces.iter().enumerate().rev() {
            layouts.rest_ng[index] = layouts.rest_ng[index + 1] + piece.group.mass_ng;
        }
        layouts
    }

    /// Takes the pieces of one kind out of the places of the set; those that may not move stay in their stacks.
    fn gather(&mut self, like: Group) {
        let (kind, layout) = (like.kind, &self.search.layout);
        let in_the_box = self.search.model.kinds[kind].count - self.without.of_kind(kind);
        let mut count = 0;
        for (stack, place) in self.stacks.iter_mut().zip(self.places) {
            if *place == layout.the_box {
                count += in_the_box;
            } else if layout.is_open(kind, *place) {
                count += std::mem::take(self.without.get_mut(kind, *place));
            } else {
                stack.add(&like, self.without.get(kind, *place));
            }
        }
        for taken in 0..count {
            let gains = self
                .places
                .iter()
                .flat_map(|place| self.targets.iter().map(|target| layout.gain_ng(target, kind, *place)));
            let gain_ng = gains.collect();
            self.pieces.push(Piece { group: like, gain_ng, is_repeated: taken > 0 });
        }
    }

    /// Every layout of the pieces from `index` on.
    fn lay(&mut self, index: usize) {
        if self.steps_left == 0
            || self.mass_ng > self.limits.most_mass_ng
            || self.mass_ng + self.rest_ng[index] < self.limits.least_mass_ng
        {
            return;
        }
        self.steps_left -= 1;
        if index == self.pieces.len() {
            self.measure();
            return;
        }
        // Equal pieces are interchangeable: the later one lies in the same place or a later one.
        let Piece { group, is_repeated, .. } = self.pieces[index];
        let first = if is_repeated { self.chosen[index - 1] } else { 0 };
        for to in first..self.places.len() {
            if self.search.layout.is_open(group.kind, self.places[to]) && self.put(index, to) {
                self.chosen.push(to);
                self.lay(index + 1);
                self.chosen.pop();
                self.take(index, to);
            }
        }
    }

    /// Puts a piece there, if there is room.
    fn put(&mut self, index: usize, to: usize) -> bool {
        let place = self.places[to];
        if place == self.search.layout.the_box {
            return true;
        }
        let group = self.pieces[index].group;
        self.stacks[to].add(&group, 1);
        if self.search.has_room(place, &self.stacks[to]) {
            self.add(index, to, 1);
            return true;
        }
        self.stacks[to].remove(&group, 1);
        false
    }

    fn take(&mut self, index: usize, to: usize) {
        if self.places[to] != self.search.layout.the_box {
            let group = self.pieces[index].group;
            self.stacks[to].remove(&group, 1);
            self.add(index, to, -1);
        }
    }

    fn add(&mut self, index: usize, to: usize, count: i64) {
        let piece = &self.pieces[index];
        self.mass_ng += count * piece.group.mass_ng;
        let gains = &piece.gain_ng[to * self.targets.len()..];
        for (t, target) in self.targets.iter().enumerate() {
            self.x_ng[t] += count * gains[t];
            self.tau_ng[t] += count * target.slack_ng[piece.group.kind];
        }
    }

    /// Keeps the layout if it is a better plan.
    fn measure(&mut self) {
        let (mut outside_ng, mut close_ng) = (0, 0);
        for (t, target) in self.targets.iter().enumerate() {
            outside_ng += target.outside_ng(self.x_ng[t], self.tau_ng[t]);
            close_ng += target.close_ng(self.x_ng[t]);
        }
        // Changes are counted last: most layouts are outside the other limits.
        let promised = Values { mass_ng: self.mass_ng, outside_ng, work: 0, close_ng };
        if !self.limits.hold(&promised) || self.objective.of(&promised) >= self.value {
            return;
        }
        self.steps_left = self.steps_left.saturating_sub(STEPS_TO_MEASURE);
        let mut counts = self.without.clone();
        for (piece, to) in self.pieces.iter().zip(&self.chosen) {
            let place = self.places[*to];
            if place != self.search.layout.the_box {
                *counts.get_mut(piece.group.kind, place) += 1;
            }
        }
        let found = self.search.plan_within(counts, self.limits);
        if let Some(found) = found.filter(|found| self.objective.of(&found.values) < self.value) {
            self.value = self.objective.of(&found.values);
            self.better = Some(found);
        }
    }
}

/// Makes a set of numbers below `end` the next one of its size, or the first one of the next size.
fn to_next(set: &mut Vec<usize>, end: usize) {
    let size = set.len();
    let movable = (0..size).rev().find(|position| set[*position] + size - position < end);
    if let Some(position) = movable {
        let first = set[position] + 1;
        for (offset, number) in set[position..].iter_mut().enumerate() {
            *number = first + offset;
        }
    } else {
        *set = (0..=size).collect();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sets_of_places_grow_when_their_size_is_used_up() {
        let mut set = vec![0, 1];
        let mut all = vec![set.clone()];
        while set.len() <= 4 {
            to_next(&mut set, 4);
            all.push(set.clone());
        }
        let of_size = |size| all.iter().filter(|set: &&Vec<usize>| set.len() == size).count();
        assert_eq!((of_size(2), of_size(3), of_size(4)), (6, 4, 1));
        all.dedup();
        assert_eq!(all.len(), 12);
        assert!(
            all[..11].iter().all(|set| set.is_sorted_by(|a, b| a < b) && set.iter().all(|place| *place < 4))
        );
    }
}
