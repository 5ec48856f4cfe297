//! What can be learned of a kart, and how well it is known before.

use crate::scenario::{Belief, Beliefs, Driver, Scenario};
use crate::uncertainty::inputs::twist_rate_spread;
use crate::uncertainty::standard::of_limit;
use crate::units::Mass;
use crate::weighing;

/// One pad against the others, kg: half a step of 0.1 kg, and as much again from its last zeroing.
const PAD_KG: f64 = 0.1;

// No doubt is less, whatever the file says: what is known without any doubt could not be weighed against a reading.

/// mm: a scribed line.
const LEAST_MM: f64 = 0.1;
/// As a part of one, for shares and the twist rate.
const LEAST_PART: f64 = 0.001;
/// kg
const LEAST_KG: f64 = 0.001;

/// One number that weighings can teach.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unknown {
    /// Where something acts, or how the kart twists.
    Believed(Belief),
    /// What a pad reads too much, kg; pads are numbered as they stood at the first weighing.
    Pad(usize),
}

/// What beliefs and pads are at one stage of learning.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Guess {
    pub(super) beliefs: Beliefs,
    pub(super) pads_kg: [f64; 4],
    /// Errors of the weighings themselves, each in its standard uncertainty.
    pub(super) faults: Vec<f64>,
}

impl Guess {
    /// As measured by hand, drivers without a place at a usual one, nothing at fault.
    pub(super) fn before(scenario: &Scenario, faults: usize) -> Guess {
        let mut beliefs = scenario.measured().clone();
        let usual = scenario.kart().usual_place();
        for acts in &mut beliefs.drivers {
            acts.get_or_insert(usual);
        }
        Guess { beliefs, pads_kg: [0.0; 4], faults: vec![0.0; faults] }
    }
}

impl Unknown {
    /// Its value.
    pub(super) fn of(self, guess: &Guess) -> f64 {
        match self {
            Unknown::Believed(belief) => guess.beliefs.number(belief),
            Unknown::Pad(pad) => guess.pads_kg[pad],
        }
    }

    /// Gives it another value.
    pub(super) fn set(self, guess: &mut Guess, value: f64) {
        match self {
            Unknown::Believed(belief) => guess.beliefs.set(belief, value),
            Unknown::Pad(pad) => guess.pads_kg[pad] = value,
        }
    }

    /// Standard uncertainty of what was measured by hand, or assumed: that of every ± before anything is learned.
    pub(super) fn doubt(self, scenario: &Scenario) -> f64 {
        let (within, pads) = (scenario.within(), scenario.pads());
        match self {
            Unknown::Believed(Belief::Mount(..)) => at_least(of_limit(within.places.mm()), LEAST_MM),
            Unknown::Believed(Belief::Driver(driver, axis)) => {
                let limit = match scenario.measured().drivers[driver] {
                    Some(_) => within.driver_place,
                    None => Driver::unknown_within()[axis as usize],
                };
                at_least(of_limit(limit.mm()), LEAST_MM)
            }
            Unknown::Believed(Belief::RollShareRear | Belief::RollShareFront) => {
                at_least(of_limit(within.roll_share), LEAST_PART)
            }
            Unknown::Believed(Belief::TwistRate) => {
                at_least(twist_rate_spread(within), LEAST_PART) * scenario.measured().twist_rate_kg_per_mm
            }
            Unknown::Pad(_) if pads.assumed.contains(&"accuracy") => PAD_KG,
            Unknown::Pad(_) => {
                // At the mean load of a pad: how far one is off against the others hardly depends on the load.
                let quarter = weighing::readings(scenario.weighing()).total.kg() / 4.0;
                let own_kg = of_limit(pads.accuracy.limit_kg(pads.step, Mass::from_kg(quarter)));
                at_least(own_kg, LEAST_KG)
            }
        }
    }
}

fn at_least(standard: f64, least: f64) -> f64 {
    if standard > least { standard } else { least }
}

/// Every number of which a forecast may depend, with its standard uncertainty; a driver whose place is not known is one on
/// whose place none depends.
pub(in crate::tasks) fn doubts_of(scenario: &Scenario) -> impl Iterator<Item = (Belief, f64)> {
    let known = |belief: &Belief| match belief {
        Belief::Driver(driver, _) => scenario.drivers()[*driver].acts.is_some(),
        _ => true,
    };
    let beliefs = Belief::all(scenario).into_iter().filter(known);
    beliefs.map(|belief| (belief, Unknown::Believed(belief).doubt(scenario)))
}
