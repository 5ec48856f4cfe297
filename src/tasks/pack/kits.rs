//! Kits: how many pieces of each kind go along, what that is worth, and boxes of kits that were refuted.

use crate::scenario::{Scenario, Trip};

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
