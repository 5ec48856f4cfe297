//! Kits: how many pieces of each kind go along, what that is worth, and boxes of kits that were refuted.
//!
//! The lightest of all kits between two: which masses their pieces can add up to.
//! Subset sums over bits as in `search::subset_sums`, but for one question of many kits, so equal pieces go in powers of two.

use crate::scenario::{Scenario, Trip};
use crate::search::{greatest_common_divisor, lowest_bit, or_shifted};

/// Pieces of each kind that go along.
pub type Kit = Vec<u32>;

/// What is made small: the price of what is bought, then mass, then pieces.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Worth {
    /// Thousandths of the money of the file, or pieces bought where the list has no prices.
    pub cost: i64,
    /// All lead that goes along, ng.
    pub mass_ng: i64,
    /// Pieces that go along.
    pub pieces: i64,
}

impl Worth {
    /// Of an empty box.
    pub const NOTHING: Worth = Worth { cost: 0, mass_ng: 0, pieces: 0 };
}

/// Every piece that may go along.
#[derive(Clone, Debug)]
pub(super) struct Pieces {
    /// Mass of one, ng.
    pub(super) mass_ng: Vec<i64>,
    /// What one costs; nothing for what is owned.
    pub(super) cost: Vec<i64>,
    /// Pieces that are always along, as they are locked onto the kart.
    pub(super) least: Kit,
    /// Pieces that there are or can be had, spares left aside.
    pub(super) most: Kit,
}

impl Pieces {
    pub(super) fn new(scenario: &Scenario, trip: &Trip) -> Pieces {
        let sizes = || trip.list.iter();
        let own = scenario.lead().iter();
        let least = scenario.locked_pieces(trip);
        let all = scenario.all_pieces(trip);
        let spared = all.iter().zip(&trip.spares).map(|(all, spare)| all.saturating_sub(*spare));
        Pieces {
            mass_ng: own.map(|kind| kind.mass.ng()).chain(sizes().map(|size| size.kind.mass.ng())).collect(),
            cost: std::iter::repeat_n(0, scenario.lead().len())
                .chain(sizes().map(|size| size.price.map_or(1, |price| price.0)))
                .collect(),
            // A spare that is locked on is none.
            most: spared.zip(&least).map(|(most, least)| most.max(*least)).collect(),
            least,
        }
    }

    /// Number of kinds.
    pub(super) fn len(&self) -> usize {
        self.mass_ng.len()
    }

    /// What a kit is worth.
    pub(super) fn worth(&self, kit: &[u32]) -> Worth {
        let sum = |of: &[i64]| of.iter().zip(kit).map(|(each, count)| each * i64::from(*count)).sum();
        Worth {
            cost: sum(&self.cost),
            mass_ng: sum(&self.mass_ng),
            pieces: kit.iter().map(|n| i64::from(*n)).sum(),
        }
    }

    /// Kinds in the order in which one would rather leave them at home.
    pub(super) fn dearest_first(&self) -> Vec<usize> {
        let mut kinds: Vec<usize> = (0..self.len()).collect();
        kinds.sort_by_key(|kind| std::cmp::Reverse((self.cost[*kind], self.mass_ng[*kind])));
        kinds
    }
}

/// Kits that do not serve all cases: everything from `low` to `high`, kind by kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Refuted {
    pub(super) low: Kit,
    pub(super) high: Kit,
}

impl Refuted {
    /// One kit.
    pub(super) fn alone(kit: &Kit) -> Refuted {
        Refuted { low: kit.clone(), high: kit.clone() }
    }

    /// Whether it holds a kit.
    pub(super) fn holds(&self, kit: &[u32]) -> bool {
        within(&self.low, kit) && within(kit, &self.high)
    }
}

/// Everything that is refuted.
#[derive(Clone, Debug, Default)]
pub(super) struct Boxes<'a> {
    /// Kits that do not count.
    pub(super) hard: Vec<&'a Refuted>,
    /// For every case that may be lost, the kits that lose it.
    pub(super) soft: Vec<Vec<&'a Refuted>>,
}

/// What a kit amounts to: the cases that it does not bring onto target, then what it is worth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Rank {
    pub(super) lost: usize,
    pub(super) worth: Worth,
}

impl Rank {
    /// Of an empty box that serves all cases.
    pub(super) const BEST: Rank = Rank { lost: 0, worth: Worth::NOTHING };
}

/// Whether one kit has no more of anything than another.
pub(super) fn within(one: &[u32], other: &[u32]) -> bool {
    one.iter().zip(other).all(|(one, other)| one <= other)
}

/// Grains that a table has at most; beyond it masses are rounded.
const MOST_GRAINS: i64 = 1 << 16;

/// Masses in grains.
#[derive(Clone, Debug)]
pub(super) struct Grains {
    /// Of one grain, ng.
    grain_ng: i64,
    /// By kind, rounded down.
    masses: Vec<i64>,
    /// Whether every mass is whole grains.
    is_exact: bool,
}

impl Grains {
    /// Grains for kits of up to so much.
    pub(super) fn new(masses_ng: &[i64], most_ng: i64) -> Grains {
        let common = masses_ng.iter().fold(0, |one, other| greatest_common_divisor(one, *other)).max(1);
        let is_exact = most_ng / common <= MOST_GRAINS;
        let grain_ng = if is_exact { common } else { most_ng / MOST_GRAINS + 1 };
        Grains { grain_ng, masses: masses_ng.iter().map(|mass| mass / grain_ng).collect(), is_exact }
    }

    /// At least `missing_ng` made of up to so many pieces of each kind: no such sum is less than this; none if there is none.
    pub(super) fn lightest(
        &self,
        missing_ng: i64,
        counts: impl Iterator<Item = (usize, u32)>,
    ) -> Option<i64> {
        if missing_ng <= 0 {
            return Some(0);
        }
        let counts: Vec<(usize, u32)> =
            counts.filter(|(kind, count)| *count > 0 && self.masses[*kind] > 0).collect();
        // Every piece may have lost up to a grain when it was rounded.
        let lost = if self.is_exact { 0 } else { counts.iter().map(|(_, count)| i64::from(*count)).sum() };
        let wanted = (missing_ng + self.grain_ng - 1) / self.grain_ng - lost;
        let heaviest = counts.iter().map(|(kind, _)| self.masses[*kind]).max()?;
        let all: i64 = counts.iter().map(|(kind, count)| self.masses[*kind] * i64::from(*count)).sum();
        if all < wanted {
            return None;
        }
        if wanted <= 0 {
            return Some(missing_ng);
        }
        // The least sum that is enough is less than one piece too much.
        let last = (wanted + heaviest) as usize;
        let mut sums = vec![0_u64; last / 64 + 1];
        sums[0] = 1;
        for (kind, count) in counts {
            let mut left = count;
            let mut bundle = 1;
            while left > 0 {
                let pieces = bundle.min(left);
                or_shifted(&mut sums, self.masses[kind] as usize * pieces as usize);
                left -= pieces;
                bundle *= 2;
            }
        }
        let first = lowest_bit(&sums, wanted as usize)?;
        Some((first * self.grain_ng).max(missing_ng))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against all sums, for masses that fall on grains and for masses that do not.
    #[test]
    fn the_lightest_sum_is_found_or_bounded() {
        let mut state = 7_u64;
        let mut draw = |end: u64| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) % end
        };
        for round in 0..2000 {
            let kinds = 1 + draw(4) as usize;
            let unit = if round % 2 == 0 { 1_000 } else { 1 };
            let masses: Vec<i64> = (0..kinds).map(|_| (1 + draw(200_000) as i64) * unit).collect();
            let counts: Vec<u32> = (0..kinds).map(|_| draw(4) as u32).collect();
            let most: i64 = masses.iter().zip(&counts).map(|(mass, count)| mass * i64::from(*count)).sum();
            let missing = draw(most.max(1) as u64 + 1000) as i64;
            let mut sums = vec![0];
            for (mass, count) in masses.iter().zip(&counts) {
                sums = sums
                    .iter()
                    .flat_map(|sum| (0..=*count).map(move |pieces| sum + mass * i64::from(pieces)))
                    .collect();
            }
            let truth = sums.into_iter().filter(|sum| *sum >= missing).min();
            let grains = Grains::new(&masses, most.max(1));
            let found = grains.lightest(missing, counts.iter().copied().enumerate());
            match (truth, found) {
                (Some(truth), Some(found)) => {
                    assert!(found <= truth, "{found} {truth}");
                    assert!(!grains.is_exact || found == truth, "{found} {truth}");
                }
                (Some(truth), None) => panic!("{truth} was denied"),
                (None, _) => {}
            }
        }
    }
}
