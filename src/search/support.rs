//! Support bounds: how far the pieces still in hand can push the targets in a given direction.
//! Does not search; every bound holds whatever the direction, so directions are a matter of speed only.
//!
//! # The bound
//!
//! Let x be the vector of the targets' sums of gains and v a direction. Limits on what lies outside the tolerances and on the
//! distance from the targets leave a convex region for x, and v·x is at least the need of v in it: `region` says how much that is,
//! and why. It is linear-programming duality written out: v is a dual solution, the best v gives the value of the relaxation, any
//! v a bound.
//!
//! Against that need stands the support of what is still possible, the most that v·x can grow:
//! - *fractional knapsack*: the mass still to be placed, as if lead were divisible, runs into the free capacities of the
//!   mounts, the mount of the largest v·gain per kilogram first (fractional knapsack; exact for the relaxation while only
//!   capacity binds);
//! - *counted*: with b changes left, at most the b largest single gains.
//!
//! Sums are kept as 32-bit integers in *grains* (a milligram, or more for very heavy karts), supports rounded up and needs
//! rounded down, so that a bound may be weak by a few grains but never wrong.

use super::layout::{Group, Layout};
use super::pricing::Balance;
use super::region::Region;
use crate::model::{Model, TargetRow};

/// Grain of directional sums unless the kart is so heavy that 32 bits would overflow, ng.
const GRAIN_NG: i64 = 1_000_000;

/// Largest sum of magnitudes that a directional sum may reach, grains: a quarter of the range, as sums of four terms occur.
const MOST_GRAINS: i64 = 1 << 29;

/// Counted bounds are kept for so many changes; with more left, the bound of this many is no bound and the sum of all
/// gains serves.
const MOST_COUNTED: usize = 16;

/// A need that everything meets.
const NO_NEED: i32 = i32::MIN / 2;

/// Directions in the space of the targets, with all tables that bounds are read from.
#[derive(Clone, Debug)]
pub(super) struct Supports {
    /// Number of directions; tables are rows of this length.
    pub(super) len: usize,
    grain_ng: i64,
    directions: Vec<Vec<f64>>,
    /// How often each direction was the one that left no place for a piece.
    refusals: Vec<u32>,
    /// What a piece adds in each direction; by `(kind * places + place)`, rows of `len`; the box adds nothing.
    gains: Vec<i32>,
    places: usize,
    /// Mounts in falling order of gain per mass; by direction.
    order: Vec<u8>,
    /// Gain per mass, grains per ng, −∞ where no kind may go; parallel to `order`.
    density: Vec<f64>,
    /// Largest sum of at most b single gains of the groups from g on; by `(g * (MOST_COUNTED + 2) + b)`, rows of `len`.
    counted: Vec<i32>,
}

impl Supports {
    pub(super) fn new(
        model: &Model,
        targets: &[TargetRow],
        layout: &Layout,
        headroom_ng: i64,
        directions: Vec<Vec<f64>>,
    ) -> Supports {
        let places = layout.the_box + 1;
        let grain_ng = GRAIN_NG.max(largest_sum(model, targets, headroom_ng) / MOST_GRAINS + 1);
        let mut supports = Supports {
            len: directions.len(),
            refusals: vec![0; directions.len()],
            grain_ng,
            directions,
            gains: Vec::new(),
            places,
            order: Vec::new(),
            density: Vec::new(),
            counted: Vec::new(),
        };
        supports.tabulate_gains(model, targets);
        supports.tabulate_pouring(model, layout);
        supports.tabulate_counted(layout);
        supports
    }

    fn tabulate_gains(&mut self, model: &Model, targets: &[TargetRow]) {
        let mounts = model.mounts.len();
        self.gains = vec![0; model.kinds.len() * self.places * self.len];
        for kind in 0..model.kinds.len() {
            for mount in 0..mounts {
                let start = (kind * self.places + mount) * self.len;
                for (cell, direction) in self.gains[start..][..self.len].iter_mut().zip(&self.directions) {
                    let gain: f64 = direction
                        .iter()
                        .zip(targets)
                        .map(|(v, target)| v * target.gain_ng[kind * mounts + mount] as f64)
                        .sum();
                    *cell = (gain / self.grain_ng as f64).ceil() as i32;
                }
            }
        }
    }

    fn tabulate_pouring(&mut self, model: &Model, layout: &Layout) {
        let mounts = model.mounts.len();
        for direction in 0..self.len {
            // Gain per mass is the same for every kind up to rounding; the largest is a bound for all.
            let density = |mount: usize| {
                (0..model.kinds.len())
                    .filter(|kind| layout.open[*kind] >> mount & 1 == 1)
                    .map(|kind| {
                        let gain = self.gains[(kind * self.places + mount) * self.len + direction];
                        f64::from(gain) / model.kinds[kind].mass_ng as f64
                    })
                    .fold(f64::NEG_INFINITY, f64::max)
            };
            let mut row: Vec<(f64, u8)> = (0..mounts).map(|mount| (density(mount), mount as u8)).collect();
            row.sort_by(|a, b| b.0.total_cmp(&a.0));
            self.order.extend(row.iter().map(|(_, mount)| mount));
            self.density.extend(row.iter().map(|(density, _)| density));
        }
    }

    fn tabulate_counted(&mut self, layout: &Layout) {
        let (rows, len) = (MOST_COUNTED + 2, self.len);
        self.counted = vec![0; (layout.groups.len() + 1) * rows * len];
        if len == 0 {
            return;
        }
        // The largest single gains of the suffix, the largest first, and all of them together, by direction.
        let mut largest = vec![0; MOST_COUNTED * len];
        let mut all = vec![0_i32; len];
        for (index, group) in layout.groups.iter().enumerate().rev() {
            let best = self.best_moves(layout, group);
            for (all, best) in all.iter_mut().zip(&best) {
                *all = all.saturating_add(best.saturating_mul(group.count as i32));
            }
            for _ in 0..group.count.min(MOST_COUNTED as u32) {
                // Each takes the place of a smaller one, which takes the next.
                let mut best = best.clone();
                for rank in largest.chunks_exact_mut(len) {
                    for (ranked, best) in rank.iter_mut().zip(&mut best) {
                        (*ranked, *best) = ((*ranked).max(*best), (*ranked).min(*best));
                    }
                }
            }
            let counted = &mut self.counted[index * rows * len..][..rows * len];
            for (changes, rank) in largest.chunks_exact(len).enumerate() {
                let (fewer, more) = counted.split_at_mut((changes + 1) * len);
                let sums = more.iter_mut().zip(&fewer[changes * len..]).zip(rank);
                sums.for_each(|((sum, fewer), gain)| *sum = fewer + gain);
            }
            let unbounded = counted[(MOST_COUNTED + 1) * len..].iter_mut().zip(&all);
            unbounded.for_each(|(sum, all)| *sum = (*all).min(MOST_GRAINS as i32));
        }
    }

    /// The most that moving one piece of a group adds, by direction.
    fn best_moves(&self, layout: &Layout, group: &Group) -> Vec<i32> {
        let mut best = vec![0; self.len];
        let source = self.gain(group.kind, group.source);
        let open = |place: &usize| *place != group.source && layout.open[group.kind] >> *place & 1 == 1;
        for place in (0..self.places).filter(open) {
            let gains = self.gain(group.kind, place).iter().zip(source);
            best.iter_mut().zip(gains).for_each(|(best, (gain, source))| *best = (*best).max(gain - source));
        }
        best
    }

    /// What a piece of `kind` at `place` adds, by direction.
    pub(super) fn gain(&self, kind: usize, place: usize) -> &[i32] {
        &self.gains[(kind * self.places + place) * self.len..][..self.len]
    }

    /// The most that `changes` moves of pieces from group `from` on can add, by direction.
    pub(super) fn counted(&self, from: usize, changes: i64) -> &[i32] {
        let row = changes.clamp(0, MOST_COUNTED as i64 + 1) as usize;
        &self.counted[(from * (MOST_COUNTED + 2) + row) * self.len..][..self.len]
    }

    /// The most that between `least_ng` and `most_ng` of divisible lead can add in one direction, in the free capacities.
    ///
    /// If the capacities cannot hold `least_ng`, what they hold is poured; the caller asks for room first.
    pub(super) fn fractional_knapsack(
        &self,
        direction: usize,
        free_ng: &[f64],
        least_ng: f64,
        most_ng: f64,
    ) -> i32 {
        let mounts = self.places - 1;
        let order = &self.order[direction * mounts..][..mounts];
        let density = &self.density[direction * mounts..][..mounts];
        let (mut value, mut poured) = (0.0, 0.0);
        for (mount, density) in order.iter().zip(density) {
            if *density == f64::NEG_INFINITY {
                break;
            }
            // Lead that adds nothing is poured only as far as the minimum demands.
            let wanted = if *density > 0.0 { most_ng } else { least_ng } - poured;
            if wanted <= 0.0 {
                break;
            }
            let taken = free_ng[*mount as usize].min(wanted);
            value += density * taken;
            poured += taken;
        }
        // Two grains more than the truncated sum: one rounds up, one covers the rounding of the sum itself.
        (value as i32).min(MOST_GRAINS as i32) + 2
    }

    pub(super) fn directions(&self) -> &[Vec<f64>] {
        &self.directions
    }

    pub(super) fn grain_ng(&self) -> i64 {
        self.grain_ng
    }

    /// Notes that a direction has refused a branch.
    pub(super) fn count_refusal(&mut self, direction: usize) {
        self.refusals[direction] += 1;
    }

    /// The first `always` directions and those that have refused something.
    pub(super) fn useful_directions(&self, always: usize) -> Vec<Vec<f64>> {
        let useful = self.directions.iter().zip(&self.refusals).enumerate();
        useful
            .filter(|(position, (_, refusals))| *position < always || **refusals > 0)
            .map(|(_, (direction, _))| direction.clone())
            .collect()
    }

    /// The sums at which everything that is locked leaves the targets, by direction; moving pieces add to it.
    pub(super) fn settled(&self, layout: &Layout) -> Vec<i32> {
        let mut sums = vec![0; self.len];
        for group in &layout.locked {
            for (sum, gain) in sums.iter_mut().zip(self.gain(group.kind, group.source)) {
                *sum += gain * group.count as i32;
            }
        }
        sums
    }

    /// Least v·x of any plan within limits, by direction.
    pub(super) fn needs(&self, region: &Region) -> Vec<i32> {
        self.directions.iter().map(|direction| self.need(direction, region)).collect()
    }

    /// The same in one direction, which need not be among those that are kept.
    pub(super) fn need(&self, direction: &[f64], region: &Region) -> i32 {
        let grains = (region.need_ng(direction) / self.grain_ng as f64).floor();
        (grains as i64).max(i64::from(NO_NEED)) as i32
    }

    /// A lower bound in ng on one of the two sums that a region limits, if v·x can be at most `reached`.
    pub(super) fn bound_ng(
        &self,
        balance: Balance,
        region: &Region,
        reached: impl Iterator<Item = i32>,
    ) -> i64 {
        let grain = self.grain_ng as f64;
        let least = |(direction, reached): (&Vec<f64>, i32)| {
            (region.least_ng(balance, direction, f64::from(reached) * grain) / grain).floor() as i64
        };
        self.directions.iter().zip(reached).map(least).max().unwrap_or(0) * self.grain_ng
    }
}

/// The largest magnitude that a sum of gains can reach, ng.
///
/// `headroom_ng` is the most that the targets add up to without lead, whatever the settings.
fn largest_sum(model: &Model, targets: &[TargetRow], headroom_ng: i64) -> i64 {
    let mounts = model.mounts.len();
    let target_sum = |target: &TargetRow| -> i64 {
        model
            .kinds
            .iter()
            .enumerate()
            .map(|(kind, row)| {
                let largest = (0..mounts).map(|mount| target.gain_ng[kind * mounts + mount].abs()).max();
                largest.unwrap_or(0) * i64::from(row.count)
            })
            .sum()
    };
    targets.iter().map(target_sum).sum::<i64>() + headroom_ng
}

/// Directions that serve most scenarios: along each target, along each pair, and every corner of the cube.
///
/// With two targets these are sixteen around the square, a step of half a side apart.
pub(super) fn usual_directions(targets: usize) -> Vec<Vec<f64>> {
    let mut directions: Vec<Vec<f64>> = Vec::new();
    let mut add = |direction: Vec<f64>| {
        if !directions.contains(&direction) {
            directions.push(direction);
        }
    };
    let along = |target: usize, sign: f64| {
        let mut direction = vec![0.0; targets];
        direction[target] = sign;
        direction
    };
    for target in 0..targets {
        add(along(target, 1.0));
        add(along(target, -1.0));
    }
    for first in 0..targets {
        for sign in [1.0, -1.0] {
            for second in (0..targets).filter(|second| *second != first) {
                let tilts: &[f64] = if targets == 2 { &[1.0, 0.5, -0.5, -1.0] } else { &[1.0, -1.0] };
                for tilt in tilts {
                    let mut tilted = along(first, sign);
                    tilted[second] = *tilt;
                    add(tilted);
                }
            }
        }
    }
    // Corners of the cube double with every target; beyond five targets the learned directions must do.
    if (3..=5).contains(&targets) {
        for corner in 0..1_u32 << targets {
            add((0..targets).map(|t| if corner >> t & 1 == 1 { 1.0 } else { -1.0 }).collect());
        }
    }
    directions
}
