//! Everything that was weighed, and what each number that can be learned does to it.

use super::unknowns::{Guess, Unknown};
use crate::scenario::{Belief, Scenario, Weighing};
use crate::uncertainty::cause::Cause;
use crate::uncertainty::pads;
use crate::units::Mass;
use crate::weighing;

/// No reading is surer, kg; a file that lifts every bound may call a pad perfect, and nothing could be weighed against it.
const LEAST_READING_KG: f64 = 0.001;

/// A slope is taken over this part of the doubt either way: no number is far from linear over it, and rounding is nothing
/// against it.
const SLOPE_STEP: f64 = 1.0 / 16.0;

/// Standard uncertainty of each of the four readings of a weighing by itself, kg: what does not come back when the kart is rolled
/// off and on again, pad by pad.
fn readings_within(scenario: &Scenario, weighing: &Weighing) -> [f64; 4] {
    let mut variance = [LEAST_READING_KG * LEAST_READING_KG; 4];
    let errors = pads::errors(scenario, weighing, 0.0);
    for error in errors.iter().filter(|error| matches!(error.cause, Cause::Repeats | Cause::Step)) {
        for (variance, kg) in variance.iter_mut().zip(error.shift.kg()) {
            *variance += kg * kg;
        }
    }
    variance.map(f64::sqrt)
}

/// Where a weighing stands in the file; both count from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// The own weighing of a driver.
    OfDriver(usize),
    /// In the list.
    Listed(usize),
}

/// One weighing of the kart.
#[derive(Clone, Debug, PartialEq)]
pub struct Sighting {
    /// Where it stands.
    pub origin: Origin,
    /// Readings and what was aboard.
    pub weighing: Weighing,
    /// Standard uncertainty of each reading by itself, kg.
    pub within_kg: [f64; 4],
}

/// All weighings of the file: those of the list, then those of drivers.
pub(super) fn sightings(scenario: &Scenario) -> Vec<Sighting> {
    let listed = scenario.weighings().iter().enumerate();
    let listed = listed.map(|(index, weighing)| (Origin::Listed(index), weighing));
    let own = scenario.own_weighings().iter().enumerate();
    let own = own.filter_map(|(index, own)| Some((Origin::OfDriver(index), own.as_ref()?)));
    let sighting = |(origin, weighing): (Origin, &Weighing)| Sighting {
        origin,
        weighing: weighing.clone(),
        within_kg: readings_within(scenario, weighing),
    };
    listed.chain(own).map(sighting).collect()
}

impl Sighting {
    /// Whether the same things were aboard on the same pads.
    pub(super) fn is_alike(&self, other: &Sighting) -> bool {
        self.weighing.aboard == other.weighing.aboard && self.pads().eq(other.pads())
    }

    /// Which pads stood under LF RF LR RR, set by set.
    pub(super) fn pads(&self) -> impl Iterator<Item = [usize; 4]> {
        self.weighing.taken.sets.iter().map(|set| set.pads)
    }

    /// Readings in kg.
    pub(super) fn readings_kg(&self) -> [f64; 4] {
        self.weighing.readings.map(Mass::kg)
    }

    /// What was aboard, and what the pads read too much, at the four corners, kg.
    ///
    /// What was aboard is the readings less the kart without it; another twist rate takes more or less off them for the floor.
    pub(super) fn aboard_kg(&self, scenario: &Scenario, guess: &Guess) -> [f64; 4] {
        let believed = scenario.weighed_as(&self.weighing).believing(&guess.beliefs);
        let kart = weighing::trunk(&believed, None).corners;
        let aboard = (weighing::readings(&self.weighing).corners - kart).kg();
        let sets = self.weighing.taken.sets.len() as f64;
        let misread = |corner: usize| self.pads().map(|pads| guess.pads_kg[pads[corner]]).sum::<f64>() / sets;
        std::array::from_fn(|corner| aboard[corner] + misread(corner))
    }

    /// Change of [`Sighting::aboard_kg`] per unit of an unknown.
    pub(super) fn slope(&self, scenario: &Scenario, guess: &Guess, unknown: Unknown) -> [f64; 4] {
        let aboard = &self.weighing.aboard;
        let touched = match unknown {
            Unknown::Believed(Belief::Mount(mount, _)) => {
                aboard.lead.placed().any(|(_, there, _)| there == mount)
            }
            Unknown::Believed(Belief::Driver(driver, _)) => aboard.driver == Some(driver),
            _ => true,
        };
        if !touched {
            return [0.0; 4];
        }
        let step = unknown.doubt(scenario) * SLOPE_STEP;
        let at = |sign: f64| {
            let mut moved = guess.clone();
            unknown.set(&mut moved, unknown.of(guess) + sign * step);
            self.aboard_kg(scenario, &moved)
        };
        let (up, down) = (at(1.0), at(-1.0));
        std::array::from_fn(|corner| (up[corner] - down[corner]) / (2.0 * step))
    }
}
