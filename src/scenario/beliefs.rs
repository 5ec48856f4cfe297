//! What no scale shows directly: where mounts and drivers act, how the kart twists.
//! Taken out of a scenario and put into one; gives the scenario as measured by hand, or as its weighings have taught.

use super::Scenario;
use crate::statics::{Chassis, Point, RollShare};
use crate::units::{Length, Mass};

/// Forward or to the left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// x
    Forward,
    /// y
    Left,
}

impl Axis {
    /// Both.
    pub const BOTH: [Axis; 2] = [Axis::Forward, Axis::Left];

    /// The coordinate of a place.
    pub fn of(self, place: Point) -> Length {
        match self {
            Axis::Forward => place.x,
            Axis::Left => place.y,
        }
    }

    /// The same, to be changed.
    pub fn of_mut(self, place: &mut Point) -> &mut Length {
        match self {
            Axis::Forward => &mut place.x,
            Axis::Left => &mut place.y,
        }
    }
}

/// A number that no scale shows directly: it may be off, and weighings can teach it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Belief {
    /// Where lead on a mount acts, mm.
    Mount(usize, Axis),
    /// Where a driver acts, mm.
    Driver(usize, Axis),
    /// Share of a roll moment above the rear axle that the front pair carries.
    RollShareRear,
    /// The same above the front axle.
    RollShareFront,
    /// Load at LF per height of its wheel, kg/mm.
    TwistRate,
}

impl Belief {
    /// All of a scenario: mounts, drivers, roll shares, twist rate.
    pub fn all(scenario: &Scenario) -> Vec<Belief> {
        let both = |of: fn(usize, Axis) -> Belief, count: usize| {
            (0..count).flat_map(move |index| Axis::BOTH.map(|axis| of(index, axis)))
        };
        let places =
            both(Belief::Mount, scenario.mounts.len()).chain(both(Belief::Driver, scenario.drivers.len()));
        places.chain([Belief::RollShareRear, Belief::RollShareFront, Belief::TwistRate]).collect()
    }
}

/// Places and twist of one kart with its drivers; lists run parallel to those of the scenario.
#[derive(Clone, Debug, PartialEq)]
pub struct Beliefs {
    /// Where lead on each mount acts.
    pub mounts: Vec<Point>,
    /// Where each driver acts, if known.
    pub drivers: Vec<Option<Point>>,
    /// How roll moments are shared.
    pub roll_share: RollShare,
    /// Load that LF gains per millimetre by which its wheel is lowered, kg/mm.
    pub twist_rate_kg_per_mm: f64,
}

impl Beliefs {
    /// One of them.
    pub fn number(&self, which: Belief) -> f64 {
        match which {
            Belief::Mount(mount, axis) => axis.of(self.mounts[mount]).mm(),
            Belief::Driver(driver, axis) => axis.of(self.drivers[driver].unwrap_or_default()).mm(),
            Belief::RollShareRear => self.roll_share.at_rear_axle,
            Belief::RollShareFront => self.roll_share.at_front_axle,
            Belief::TwistRate => self.twist_rate_kg_per_mm,
        }
    }

    /// Gives one of them another value.
    pub fn set(&mut self, which: Belief, value: f64) {
        match which {
            Belief::Mount(mount, axis) => *axis.of_mut(&mut self.mounts[mount]) = Length::from_mm(value),
            Belief::Driver(driver, axis) => {
                *axis.of_mut(self.drivers[driver].get_or_insert_default()) = Length::from_mm(value);
            }
            Belief::RollShareRear => self.roll_share.at_rear_axle = value,
            Belief::RollShareFront => self.roll_share.at_front_axle = value,
            Belief::TwistRate => self.twist_rate_kg_per_mm = value,
        }
    }
}

impl Scenario {
    /// Sets one belief to what it is in `base`, shifted by so much, and nothing that follows from it but the places of those who
    /// have borrowed a driver's: they err with him.
    pub(crate) fn shift_belief(&mut self, base: &Scenario, which: Belief, by: f64) {
        let shift = |axis: Axis, from: Point, to: &mut Point| {
            *axis.of_mut(to) = Length::from_mm(axis.of(from).mm() + by);
        };
        let (from, to) = (&base.kart.chassis, &mut self.kart.chassis);
        match which {
            Belief::Mount(mount, axis) => {
                shift(axis, base.mounts[mount].place, &mut self.mounts[mount].place);
            }
            Belief::Driver(driver, axis) => {
                for (index, (from, to)) in base.drivers.iter().zip(&mut self.drivers).enumerate() {
                    if let (Some(place), Some(acts)) = (from.acts, &mut to.acts)
                        && (index == driver || from.place_of == Some(driver))
                    {
                        shift(axis, place, acts);
                    }
                }
            }
            Belief::RollShareRear => to.roll_share.at_rear_axle = from.roll_share.at_rear_axle + by,
            Belief::RollShareFront => to.roll_share.at_front_axle = from.roll_share.at_front_axle + by,
            Belief::TwistRate => to.twist_rate_kg_per_mm = from.twist_rate_kg_per_mm + by,
        }
    }

    /// What this scenario computes with.
    pub fn beliefs(&self) -> Beliefs {
        Beliefs {
            mounts: self.mounts.iter().map(|mount| mount.place).collect(),
            drivers: self.drivers.iter().map(|driver| driver.acts).collect(),
            roll_share: self.kart.chassis.roll_share,
            twist_rate_kg_per_mm: self.kart.chassis.twist_rate_kg_per_mm,
        }
    }

    /// What was measured by hand, or assumed, before anything was learned.
    pub fn measured(&self) -> &Beliefs {
        &self.measured
    }

    /// The same scenario, computing with those beliefs, which are of this scenario's mounts and drivers. What was measured
    /// by hand stays known.
    #[must_use]
    pub fn believing(&self, beliefs: &Beliefs) -> Scenario {
        let mut scenario = self.clone();
        for (mount, place) in scenario.mounts.iter_mut().zip(&beliefs.mounts) {
            mount.place = *place;
        }
        for (driver, acts) in scenario.drivers.iter_mut().zip(&beliefs.drivers) {
            driver.acts = *acts;
            driver.place_of = None;
        }
        scenario.lend_places();
        scenario.kart.chassis.roll_share = beliefs.roll_share;
        scenario.kart.chassis.twist_rate_kg_per_mm = beliefs.twist_rate_kg_per_mm;
        scenario.level_floors(&self.kart.chassis);
        scenario
    }

    /// Corrects every weighing for the floor by the twist rate of today's chassis; so far it was done by that of another.
    fn level_floors(&mut self, before: &Chassis) {
        let now = &self.kart.chassis;
        let own = self.drivers.iter_mut().filter_map(|driver| driver.weighing.as_mut());
        let told = self.own_weighings.iter_mut().flatten().chain(&mut self.weighings);
        for weighing in std::iter::once(&mut self.weighing).chain(own).chain(told) {
            let Some(floor) = weighing.taken.floor else { continue };
            let twist = |chassis| weighing.taken.twist_of_floor(chassis, floor.heights);
            let less_kg = twist(now) - twist(before);
            let shift = (now.twist_direction() * -less_kg).kg();
            for (reading, kg) in weighing.readings.iter_mut().zip(shift) {
                *reading += Mass::from_kg(kg);
            }
        }
    }
}
