//! The bounds that cut a branch: whether what is left can still meet every need, and which places may be tried.
//! Visits nothing and changes no sum.

use super::{Child, DepthFirst};
use crate::search::layout::{Group, Places};

impl DepthFirst<'_, '_, '_> {
    /// Whether the changes left can meet every need and the range of the mass from group `index` on.
    pub(super) fn counted_suffice(&self, depth: usize, index: usize, mass_staying_ng: i64) -> bool {
        let len = self.search.supports.len;
        let (row, budget) = (depth * len, self.changes_left(depth));
        let counted = self.search.supports.counted(index, budget);
        let staying = &self.staying[row..row + len];
        let (lift_ng, drop_ng) = self.search.stays.lift_and_drop(index, budget);
        mass_staying_ng + lift_ng >= self.limits.least_mass_ng
            && mass_staying_ng - drop_ng <= self.limits.most_mass_ng
            && staying.iter().zip(counted).zip(&self.needs).all(|((sum, more), need)| sum + more >= *need)
    }

    /// Whether so many changes can bring the undecided lead into a range of mass, as far as is known.
    pub(super) fn shift_exists(&self, next: (usize, u32), changes: i64, least_ng: i64, most_ng: i64) -> bool {
        let Some(tables) = self.search.cardinality.as_ref().filter(|_| self.has_cardinality) else {
            return true;
        };
        let staying_ng = self.search.stays.mass_ng(next.0, next.1, &self.search.layout.groups);
        tables.any_between(next.0, changes, least_ng - staying_ng, most_ng - staying_ng)
    }

    /// The mounts among `places` that can take one more piece of a group.
    pub(super) fn with_room(&self, group: &Group, places: Places) -> Places {
        let mut with_room = 0;
        for mount in bits(places) {
            let mut stack = self.stacks[mount];
            stack.add(group, 1);
            if self.search.has_room(mount, &stack) {
                with_room |= 1 << mount;
            }
        }
        with_room
    }

    /// Adds those of the places to the children that every bound allows, for a piece that then weighs `mass_ng` on the kart.
    pub(super) fn offer(
        &mut self,
        depth: usize,
        group: &Group,
        next: (usize, u32),
        places: Places,
        mass_ng: i64,
    ) {
        let least_ng = self.limits.least_mass_ng - self.mass_ng - mass_ng;
        let most_ng = self.limits.most_mass_ng - self.mass_ng - mass_ng;
        let budget = self.changes_left(depth) - 1;
        if places == 0
            || !self.search.subset_sums.any_between(next.0, least_ng, most_ng)
            || !self.shift_exists(next, budget, least_ng, most_ng)
            || self.measure_free(next.0, least_ng, budget) < least_ng
        {
            return;
        }
        let supports = &self.search.supports;
        let len = supports.len;
        let rows = depth * len..(depth + 1) * len;
        let decided = &self.decided[rows.clone()];
        let staying = &self.staying[rows];
        let leaves = supports.gain(group.kind, group.source);
        let counted = supports.counted(next.0, budget);
        let (least, most) = (least_ng.max(0) as f64, most_ng as f64);
        let mut alive = places;
        for position in 0..len {
            let v = self.by_success[position];
            let poured = supports.fractional_knapsack(v, &self.free_ng, least, most);
            let reached = (decided[v] + poured).min(staying[v] - leaves[v] + counted[v]);
            self.reached[v] = reached;
            let margin = reached - self.needs[v];
            for place in bits(alive) {
                if margin + supports.gain(group.kind, place)[v] < 0 {
                    alive &= !(1 << place);
                }
            }
            if alive == 0 {
                // What has just refused every place will often do so again.
                self.by_success[..=position].rotate_right(1);
                self.search.supports.count_refusal(v);
                return;
            }
        }
        for place in bits(alive) {
            let gain = supports.gain(group.kind, place);
            let sums = self.reached.iter().zip(gain).zip(&self.aims);
            let promise = sums.map(|((reached, gain), aim)| reached + gain - aim).min().unwrap_or(0);
            self.children.push(Child { promise, place: place as u8 });
        }
    }

    /// Fills `free_ng` with what each mount can still take of the groups from `next` on, and gives the sum.
    ///
    /// With few changes left and much mass still needed, light pieces cannot be afforded: if the heaviest `budget − 1`
    /// pieces lack m to the need, every further piece weighs at least m. A mount with less than m free takes nothing more,
    /// and n pieces of at least m fill it to at most n times the heaviest.
    pub(super) fn measure_free(&mut self, next: usize, least_ng: i64, budget: i64) -> i64 {
        let search = &*self.search;
        let heaviest_ng = search.layout.groups.get(next).map_or(0, |group| group.mass_ng);
        let (others_ng, _) = search.stays.lift_and_drop(next, budget - 1);
        let lightest_ng = if search.layout.all_in_box { (least_ng - others_ng).max(1) } else { 1 };
        let mut room_ng = 0;
        let mounts = self.stacks.iter().zip(&search.model.mounts).enumerate();
        for (free, (mount, (stack, row))) in self.free_ng.iter_mut().zip(mounts) {
            let mut free_ng = (row.capacity_ng - stack.mass_ng).max(0);
            if lightest_ng > 1 {
                free_ng = free_ng.min(free_ng / lightest_ng * heaviest_ng);
            }
            free_ng = search.capacities.heaviest(&search.subset_sums, mount, next, free_ng);
            room_ng += free_ng;
            *free = free_ng as f64;
        }
        room_ng
    }
}

/// The places of a set, in order.
fn bits(mut places: Places) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let place = (places != 0).then(|| places.trailing_zeros() as usize)?;
        places &= places - 1;
        Some(place)
    })
}
