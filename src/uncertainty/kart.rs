//! How sure the corners of a kart are: as weighed, and in any other state.
//! Does not know which figures will be asked for: shares, pairs and centres of gravity are computed from every shifted kart.

use super::cause::Cause;
use super::inputs::{self, Input};
use super::propagation::{Propagation, Source};
use crate::counts::Counts;
use crate::scenario::{Moment, Scenario};
use crate::statics::{Chassis, Corners};
use crate::units::Length;
use crate::weighing;

/// Four corners on a geometry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kart {
    /// LF RF LR RR, kg.
    pub corners: Corners,
    /// Lengths and stiffness.
    pub chassis: Chassis,
}

impl Kart {
    fn of_state(scenario: &Scenario, driver: Option<usize>, moment: Moment, counts: &Counts) -> Kart {
        let corners = weighing::state(scenario, driver, moment, counts).corners;
        Kart { corners, chassis: scenario.kart().chassis }
    }

    /// Centre of gravity seen from above: ahead of the rear axle, left of the centre line.
    pub fn cg(&self) -> [Length; 2] {
        let place = self.chassis.cg(&self.corners);
        [place.x, place.y]
    }
}

/// A kart with everything that its numbers may be off by.
pub type UnsureKart = Propagation<Kart, Cause>;

/// The last weighing: what the pads said, and how sure it is.
pub fn weighed(scenario: &Scenario) -> UnsureKart {
    let mut inputs = inputs::of_pads(scenario, None);
    inputs.extend(inputs::of_lengths(scenario));
    inputs.extend(inputs::of_heights(scenario));
    propagated(scenario, None, &inputs, |scenario| Kart {
        corners: weighing::as_weighed(scenario).corners,
        chassis: scenario.kart().chassis,
    })
}

/// One state: a driver, a moment and lead on mounts.
pub fn state(scenario: &Scenario, driver: Option<usize>, moment: Moment, counts: &Counts) -> UnsureKart {
    computed(scenario, driver, |scenario| Kart::of_state(scenario, driver, moment, counts))
}

/// Two states of one kart with the errors that they share, so that what differs between them is as sure as it is: far surer
/// than either.
pub fn change(
    scenario: &Scenario,
    driver: Option<usize>,
    moment: Moment,
    counts: [&Counts; 2],
) -> Propagation<[Kart; 2], Cause> {
    computed(scenario, driver, |scenario| {
        counts.map(|counts| Kart::of_state(scenario, driver, moment, counts))
    })
}

/// One state with lead cut to any size: so many pieces, not whole, by `kind * mounts + mount`; adjusters as they are set now.
pub fn divisible(scenario: &Scenario, driver: Option<usize>, moment: Moment, pieces: &[f64]) -> UnsureKart {
    let none = scenario.fitted().without_pieces();
    computed(scenario, driver, |scenario| {
        let Kart { corners: bare, chassis } = Kart::of_state(scenario, driver, moment, &none);
        let places = scenario.lead().iter().flat_map(|kind| {
            scenario.mounts().iter().map(move |mount| chassis.influence(mount.place) * kind.mass.kg())
        });
        let lead = places.zip(pieces).fold(Corners::ZERO, |sum, (each, count)| sum + each * *count);
        Kart { corners: bare + lead, chassis }
    })
}

/// Whatever is computed from a scenario for a driver, with all that the corners of a state rest on.
pub fn computed<T: PartialEq>(
    scenario: &Scenario,
    driver: Option<usize>,
    compute: impl Fn(&Scenario) -> T,
) -> Propagation<T, Cause> {
    propagated(scenario, driver, &inputs::of_state(scenario, driver), compute)
}

fn propagated<T: PartialEq>(
    scenario: &Scenario,
    driver: Option<usize>,
    inputs: &[Input],
    kart: impl Fn(&Scenario) -> T,
) -> Propagation<T, Cause> {
    let centre = kart(scenario);
    let mut shifted = scenario.clone();
    let mut sources = Vec::new();
    for input in inputs {
        let mut at = |by: f64| {
            input.shift(scenario, &mut shifted, driver, by);
            kart(&shifted)
        };
        let (up, down) = (at(1.0), at(-1.0));
        // Back to where it was.
        at(0.0);
        if up != centre || down != centre {
            sources.push(Source { cause: input.cause, freedom: input.freedom, up, down });
        }
    }
    Propagation { centre, sources }
}
