//! What no scale shows directly: where mounts and drivers act, how the kart twists.
//! Taken out of a scenario and put into one; gives the scenario as measured by hand, or as its weighings have taught.
//! Does not know how anything is learned, nor how it is written in a file.

use super::{Scenario, twist_of_floor};
use crate::statics::{Chassis, Point, RollShare};
use crate::units::Mass;

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

impl Scenario {
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
        let further = self.further.iter_mut().map(|further| &mut further.weighing);
        let after = self.after.iter_mut().map(|after| &mut after.weighing);
        for weighing in std::iter::once(&mut self.weighing).chain(own).chain(further).chain(after) {
            let Some(floor) = weighing.taken.floor else { continue };
            let less_kg = twist_of_floor(now, floor.heights) - twist_of_floor(before, floor.heights);
            let shift = (now.twist_direction() * -less_kg).kg();
            for (reading, kg) in weighing.readings.iter_mut().zip(shift) {
                *reading += Mass::from_kg(kg);
            }
        }
    }
}
