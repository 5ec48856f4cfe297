//! What errs at weighings and is not asked for: pads set down out of level, zeros, a frame that settles, fuel, lead.
//!
//! What two weighings have in common errs together: level and zero as long as the pads stand where they stood, fuel as long as the
//! file has as much of it on the same set-up (nobody has filled up in between), a piece of lead wherever it hangs.

use super::evidence::{Origin, Sighting};
use crate::scenario::{Scenario, SetUp};
use crate::uncertainty::cause::Cause;
use crate::uncertainty::inputs::twist_rate_spread;
use crate::uncertainty::{pads, standard};

/// Where an error comes from; equal ones are one error.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Source {
    /// Something that comes anew at each weighing, such as a frame that settles otherwise.
    Anew { cause: Cause, sighting: usize, number: usize },
    /// A pad, by level or zero, in one set-up; as `uncertainty::pads` counts them.
    Pad { cause: Cause, set_up: usize, number: usize },
    /// So much fuel in a tank, in one set-up.
    Fuel { tank: usize, set_up: usize, ng: i64 },
    /// A kind of lead.
    Kind(usize),
}

/// One independent error.
#[derive(Clone, Debug)]
pub(super) struct Fault {
    pub(super) source: Source,
    /// What one standard uncertainty of it adds to LF RF LR RR, weighing by weighing, kg.
    pub(super) shifts: Vec<[f64; 4]>,
    /// One standard uncertainty of fuel or of one piece, kg.
    pub(super) unit_kg: f64,
}

/// All of them.
pub(super) fn all(scenario: &Scenario, sightings: &[Sighting]) -> Vec<Fault> {
    let chassis = &scenario.kart().chassis;
    let spread = twist_rate_spread(scenario.within());
    let mut faults: Vec<Fault> = Vec::new();
    let set_ups = set_ups(sightings);
    for (index, sighting) in sightings.iter().enumerate() {
        let mut add = |source: Source, unit_kg: f64, shift: [f64; 4]| {
            let known = faults.iter().position(|fault| fault.source == source).unwrap_or_else(|| {
                faults.push(Fault { source, shifts: vec![[0.0; 4]; sightings.len()], unit_kg });
                faults.len() - 1
            });
            for (sum, kg) in faults[known].shifts[index].iter_mut().zip(shift) {
                *sum += kg;
            }
        };
        let (weighing, set_up) = (&sighting.weighing, set_ups[index]);
        let errors = pads::errors(scenario, weighing, spread);
        for (number, error) in errors.iter().enumerate() {
            let shift = error.shift.kg();
            let number = errors[..number].iter().filter(|other| other.cause == error.cause).count();
            match error.cause {
                cause @ (Cause::Settling | Cause::Driver) => {
                    add(Source::Anew { cause, sighting: index, number }, 1.0, shift);
                }
                cause @ (Cause::Drift | Cause::Level | Cause::Tops | Cause::Survey) => {
                    add(Source::Pad { cause, set_up, number }, 1.0, shift);
                }
                // Of one reading, or always the same.
                _ => {}
            }
        }
        let fuel_kg = standard::of_limit(scenario.within().fuel.kg());
        for (tank, fuel) in weighing.aboard.fuel.iter().enumerate().filter(|(_, fuel)| fuel.ng() > 0) {
            let there = chassis.influence(scenario.tanks()[tank].place);
            add(Source::Fuel { tank, set_up, ng: fuel.ng() }, fuel_kg, (there * fuel_kg).kg());
        }
        for (kind, mount, count) in weighing.aboard.lead.placed() {
            let each_kg = standard::of_limit(scenario.lead()[kind].within.kg());
            let there = chassis.influence(scenario.mounts()[mount].place);
            add(Source::Kind(kind), each_kg, (there * (each_kg * f64::from(count))).kg());
        }
    }
    faults
}

/// A number for each weighing, equal where the pads stood as they had stood.
fn set_ups(sightings: &[Sighting]) -> Vec<usize> {
    let mut set_ups: Vec<usize> = Vec::new();
    for (index, sighting) in sightings.iter().enumerate() {
        // A driver's own weighing stands in no list: it may be of the same day as one of it.
        let before = match sighting.origin {
            Origin::Listed(_) => index.saturating_sub(1)..index,
            Origin::OfDriver(_) => 0..index,
        };
        let same =
            |earlier: &usize| sighting.weighing.set_up_since(&sightings[*earlier].weighing) == SetUp::Same;
        set_ups.push(before.rev().find(same).map_or(index, |earlier| set_ups[earlier]));
    }
    set_ups
}
