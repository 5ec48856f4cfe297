//! The scenario of one case with one kit: that driver's class and targets, and only the pieces that were packed.

use super::{Case, Trip, Variation};
use crate::counts::Counts;
use crate::scenario::{Access, Driver, Scenario, consistency};
use crate::units::Mass;

impl Scenario {
    /// The trip of the file; without one, every driver in the class and with the targets of the file, and nothing to buy.
    pub fn trip(&self) -> Trip {
        self.trip.clone().unwrap_or_else(|| Trip {
            drivers: self.all_drivers(),
            classes: vec![self.class.clone()],
            variations: vec![Variation { name: String::new(), targets: self.targets.clone() }],
            list: Vec::new(),
            spares: vec![0; self.lead.len()],
            hardware: None,
        })
    }

    pub(super) fn all_drivers(&self) -> Vec<Option<usize>> {
        match self.drivers.len() {
            0 => vec![None],
            count => (0..count).map(Some).collect(),
        }
    }

    /// Pieces of each kind that there are or can be had: the lead of the scenario, then the list.
    pub fn all_pieces(&self, trip: &Trip) -> Vec<u32> {
        let owned = self.lead.iter().map(|kind| kind.count);
        owned.chain(trip.list.iter().map(|size| size.kind.count)).collect()
    }

    /// Pieces of each kind that are locked onto the kart and so always along.
    pub fn locked_pieces(&self, trip: &Trip) -> Vec<u32> {
        let locked = self.locked();
        (0..self.lead.len() + trip.list.len())
            .map(|kind| if kind < self.lead.len() { locked.of_kind(kind) } else { 0 })
            .collect()
    }

    /// What is on locked mounts, and nothing else; adjusters as they are set now.
    fn locked(&self) -> Counts {
        let mut locked = self.fitted.without_pieces();
        for (kind, mount, count) in self.fitted.placed() {
            if self.mounts[mount].access == Access::Locked {
                *locked.get_mut(kind, mount) = count;
            }
        }
        locked
    }

    /// The scenario of a case with so many pieces of each kind along. Nothing is fitted but what is locked, so that plans do
    /// not hang on what the kart carries at home.
    ///
    /// Every kind keeps its place and its mass, so that earlier weighings can still be told.
    #[must_use]
    pub fn packed(&self, trip: &Trip, case: Case, kit: &[u32]) -> Scenario {
        let mut packed = Scenario {
            class: trip.classes[case.class].clone(),
            targets: trip.variations[case.variation].targets.clone(),
            driver: case.driver,
            fitted: self.locked(),
            weighings: Vec::new(),
            own_weighings: Vec::new(),
            trip: None,
            ..self.clone()
        };
        packed.lead.extend(trip.list.iter().map(|size| size.kind.clone()));
        for (kind, count) in packed.lead.iter_mut().zip(kit) {
            kind.count = *count;
        }
        for (index, mount) in packed.mounts.iter_mut().enumerate() {
            mount.takes.extend(trip.list.iter().map(|size| size.takes[index]));
        }
        let kinds = packed.lead.len();
        let longer =
            |counts: &mut Counts| *counts = std::mem::replace(counts, Counts::none(0, 0)).with_kinds(kinds);
        longer(&mut packed.fitted);
        let own = packed.drivers.iter_mut().filter_map(|driver| driver.weighing.as_mut());
        for weighing in std::iter::once(&mut packed.weighing).chain(own) {
            longer(&mut weighing.aboard.lead);
            weighing.taken.sets.iter_mut().for_each(|set| longer(&mut set.aboard.lead));
        }
        packed
    }

    /// The same with one more driver, who is like a known one but for the mass; with the new one's index. None if nobody knows
    /// where the known one acts, or if the new one would weigh nothing.
    ///
    /// Weighings stay what they were: with the known driver in the seat, the new one takes his place afterwards.
    pub fn with_another_driver(&self, like: usize, heavier: Mass) -> Option<(Scenario, usize)> {
        let known = self.drivers.get(like)?;
        if known.acts.is_none() && self.kart.seat.is_none() {
            return None;
        }
        let other = Driver { mass: known.mass + heavier, ..known.clone() };
        let mut scenario = self.clone();
        scenario.drivers.push(other);
        let index = scenario.drivers.len() - 1;
        (scenario.drivers[index].mass > Mass::ZERO && consistency::sums_fit(&scenario))
            .then_some((scenario, index))
    }

    /// Whether the integer program can hold the sums of every case with everything along.
    pub(in crate::scenario) fn trip_fits(&self, trip: &Trip) -> bool {
        let everything = self.all_pieces(trip);
        let variations =
            (0..trip.variations.len()).map(|variation| Case { driver: None, class: 0, variation });
        variations
            .map(|case| self.packed(trip, case, &everything))
            .all(|packed| consistency::sums_fit(&packed))
    }
}
