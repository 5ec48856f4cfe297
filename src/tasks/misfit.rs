//! Why forecast and truth differ: every single slip that could have made the difference, weighed against each other.
//! One cause at a time, as slips come one at a time.
//!
//! A slip is a change of what was aboard, so what it does to the corners is what such a weighing would have been forecast to show.
//! Its evidence is that of a normal distribution around that: `−d² /2 − ln det V/2` with `d² = (x − μ)ᵀ V⁻¹ (x − μ)`. V holds two
//! weighings of four pads, and how badly what was moved is known.

use super::forecast::{Step, forecast};
use super::learn::doubts_of;
use crate::least_squares::{chance, distance};
use crate::scenario::{Aboard, Adjuster, Axis, Belief, Hole, Lever, Weighing};
use crate::statics::{FrontWheel, Point};
use crate::uncertainty::inputs::{twist_rate_spread, weighing_of};
use crate::uncertainty::pads;
use crate::units::Length;
use crate::weighing;

/// A difference that chance gives less often than this needs a cause.
const UNLIKELY: f64 = 0.05;
/// A cause is named only if, with it, chance gives what is left at least so often.
const EXPLAINS: f64 = 0.05;
/// Causes are named down to this part of the evidence for the best.
const NEARLY_AS_LIKELY: f64 = 0.2;
/// At most so many.
const NAMED: usize = 3;
/// A mount's coordinate may be wrong by so much, as a slip of the tape or the pen, mm.
const COORDINATE_SLIP_MM: f64 = 100.0;
/// A pad may have been set down out of level by so much, mm.
const LEVEL_SLIP_MM: f64 = 2.0;
/// The driver may have sat so far from where he sat before, mm.
const POSTURE_SLIP_MM: f64 = 30.0;

/// Forecast and truth compared.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// LF RF LR RR: readings less forecast, kg.
    pub difference_kg: [f64; 4],
    /// Standard uncertainties of those, kg.
    pub uncertainty_kg: [f64; 4],
    /// How often chance alone gives such a difference.
    pub chance: f64,
    /// The likeliest causes in words, the likeliest first; empty if none is needed, or none explains it.
    pub causes: Vec<String>,
}

impl Comparison {
    /// Whether the difference is what pads, tape and frame explain.
    pub fn as_forecast(&self) -> bool {
        self.chance >= UNLIKELY
    }
}

type Four = [f64; 4];

/// Compares one weighing with its forecast.
pub fn compared(step: &Step) -> Comparison {
    let readings = weighing::readings(&step.weighing).corners.kg();
    let foretold = step.forecast.corners.kg();
    let difference: Four = std::array::from_fn(|corner| readings[corner] - foretold[corner]);
    let usual = usual_covariance(step);
    let square = |shift: &Four, covariance: &[f64]| {
        let left: Vec<f64> = (0..4).map(|corner| difference[corner] - shift[corner]).collect();
        distance(&left, covariance)
    };
    let chance_of_nothing = square(&[0.0; 4], &usual).map_or(0.0, |(square, _)| chance(square, 4));
    let mut found: Vec<(f64, String)> = Vec::new();
    if chance_of_nothing < UNLIKELY {
        for (cause, shift, spread) in causes(step) {
            let covariance = plus(&usual, &spread);
            if let Some((square, logarithm)) = square(&shift, &covariance)
                && chance(square, 4) >= EXPLAINS
            {
                found.push((-0.5 * (square + logarithm), cause));
            }
        }
    }
    // The first of equals is the one named first in the file.
    found.sort_by(|(one, _), (other, _)| other.total_cmp(one));
    let best = found.first().map_or(0.0, |(evidence, _)| *evidence);
    found.retain(|(evidence, _)| *evidence >= best + NEARLY_AS_LIKELY.ln());
    Comparison {
        difference_kg: difference,
        uncertainty_kg: std::array::from_fn(|corner| usual[5 * corner].sqrt()),
        chance: chance_of_nothing,
        causes: found.into_iter().map(|(_, cause)| cause).take(NAMED).collect(),
    }
}

/// The weighing that the forecast rests on.
fn before(step: &Step) -> &Weighing {
    weighing_of(&step.before, step.weighing.aboard.driver)
}

/// Covariance of a difference for which there is no cause: two readings, and every number as badly known as a tape and a frame.
pub(super) fn usual_covariance(step: &Step) -> Vec<f64> {
    let mut covariance = vec![0.0; 16];
    let set_up = step.weighing.set_up_since(before(step));
    let (scenario, twist_rate) = (&step.before, twist_rate_spread(step.before.within()));
    for weighing in [before(step), &step.weighing] {
        let chassis = &scenario.kart().chassis;
        let errors =
            pads::errors(weighing.readings, scenario.pads(), Some(&weighing.taken), chassis, twist_rate);
        for error in errors.iter().filter(|error| pads::is_anew(error.cause, set_up)) {
            covariance = plus(&covariance, &spread(&error.shift.kg(), 1.0));
        }
    }
    for (belief, doubt) in doubts_of(&step.before) {
        let slope = slope(step, belief, doubt);
        covariance = plus(&covariance, &spread(&slope, doubt));
    }
    covariance
}

/// Change of the forecast per unit of a number.
pub(super) fn slope(step: &Step, belief: Belief, doubt: f64) -> Four {
    let at = |sign: f64| {
        let mut beliefs = step.before.beliefs();
        beliefs.set(belief, beliefs.number(belief) + sign * doubt);
        forecast(&step.before.believing(&beliefs), &step.weighing).corners.kg()
    };
    let (up, down) = (at(1.0), at(-1.0));
    std::array::from_fn(|corner| (up[corner] - down[corner]) / (2.0 * doubt))
}

/// Covariance of one number of that uncertainty.
fn spread(slope: &Four, uncertainty: f64) -> Vec<f64> {
    (0..16).map(|cell| slope[cell / 4] * slope[cell % 4] * uncertainty * uncertainty).collect()
}

fn plus(one: &[f64], other: &[f64]) -> Vec<f64> {
    one.iter().zip(other).map(|(one, other)| one + other).collect()
}

/// Every slip with the shift that it makes, and the covariance of what is not known of it.
fn causes(step: &Step) -> Vec<(String, Four, Vec<f64>)> {
    let scenario = &step.before;
    let none = vec![0.0; 16];
    // What the kart would have been forecast to show had that been aboard.
    let shift = |change: &dyn Fn(&mut Weighing)| -> Four {
        let mut aboard = step.weighing.clone();
        change(&mut aboard);
        let then = forecast(scenario, &aboard).corners.kg();
        let foretold = step.forecast.corners.kg();
        std::array::from_fn(|corner| then[corner] - foretold[corner])
    };
    let piece = |kind: usize| &scenario.lead()[kind].name;
    let name = |mount: usize| &scenario.mounts()[mount].name;
    let mut causes = Vec::new();
    let lead = &step.weighing.aboard.lead;
    for (kind, mount, count) in lead.placed() {
        let off = |weighing: &mut Weighing| *weighing.aboard.lead.get_mut(kind, mount) -= 1;
        let missing = format!("`{}` is not on `{}`, nor anywhere on the kart", piece(kind), name(mount));
        causes.push((missing, shift(&off), none.clone()));
        for seems in (0..scenario.mounts().len()).filter(|seems| *seems != mount) {
            let moved = |weighing: &mut Weighing| {
                *weighing.aboard.lead.get_mut(kind, mount) -= count;
                *weighing.aboard.lead.get_mut(kind, seems) += count;
            };
            let elsewhere = format!("`{}` is on `{}`, not on `{}`", piece(kind), name(seems), name(mount));
            causes.push((elsewhere, shift(&moved), none.clone()));
        }
    }
    let before = &before(step).aboard.lead;
    for (kind, mount, _) in before.placed() {
        if lead.get(kind, mount) < before.get(kind, mount) {
            let on = |weighing: &mut Weighing| *weighing.aboard.lead.get_mut(kind, mount) += 1;
            let left_on = format!("`{}` is still on `{}`", piece(kind), name(mount));
            causes.push((left_on, shift(&on), none.clone()));
        }
    }
    for (cause, spreads) in places(step) {
        causes.push((cause, [0.0; 4], plus(&spreads[0], &spreads[1])));
    }
    for (cause, set_so) in settings(step) {
        causes.push((cause, shift(&|weighing: &mut Weighing| *weighing = set_so.clone()), none.clone()));
    }
    let twist = scenario.kart().chassis.lower_wheel(FrontWheel::Left, Length::from_mm(1.0));
    let level = "nothing but twist changed: a pad out of level, a wheel not straight ahead, or a bent frame";
    causes.push((level.to_owned(), [0.0; 4], spread(&twist.kg(), LEVEL_SLIP_MM)));
    causes
}

/// Mounts whose lead was changed, each with both of its coordinates, and the driver's place: how far a slip may put them.
fn places(step: &Step) -> Vec<(String, [Vec<f64>; 2])> {
    let scenario = &step.before;
    let (before, then) = (&before(step).aboard, &step.weighing.aboard);
    let changed = |mount: usize| {
        (0..scenario.lead().len()).any(|kind| before.lead.get(kind, mount) != then.lead.get(kind, mount))
    };
    let mut places: Vec<(String, [Vec<f64>; 2])> = (0..scenario.mounts().len())
        .filter(|mount| changed(*mount))
        .map(|mount| {
            let slip = |axis| {
                spread(&slope(step, Belief::Mount(mount, axis), COORDINATE_SLIP_MM), COORDINATE_SLIP_MM)
            };
            let name = &scenario.mounts()[mount].name;
            let cause = format!("`{name}` is not where the file has it: measure its x and y again");
            (cause, Axis::BOTH.map(slip))
        })
        .collect();
    // At both weighings he sat in the seat, so where the file has him does not matter, but how far he moved.
    let driver = then.driver.filter(|driver| before.driver == Some(*driver));
    if let Some(driver) = driver {
        let chassis = &scenario.kart().chassis;
        let usual = scenario.drivers()[driver].acts.unwrap_or_else(|| chassis.cg(&step.forecast.corners));
        let mass = scenario.drivers()[driver].mass.kg();
        let slip = |(x, y): (f64, f64)| {
            let there = Point::from_mm(usual.x.mm() + x, usual.y.mm() + y);
            let per_mm = (chassis.influence(there) - chassis.influence(usual)) * mass;
            spread(&per_mm.kg(), POSTURE_SLIP_MM)
        };
        let cause = "the driver sat elsewhere than before".to_owned();
        places.push((cause, [(1.0, 0.0), (0.0, 1.0)].map(slip)));
    }
    places
}

/// Other settings of the spindles and the seat than those the file has: as before, as far the other way, one beside.
fn settings(step: &Step) -> Vec<(String, Weighing)> {
    let scenario = &step.before;
    let aboard = &step.weighing.aboard;
    let now: Vec<u16> = scenario.adjusters().iter().map(|adjuster| adjuster.now as u16).collect();
    let mut others = Vec::new();
    for (index, adjuster) in scenario.adjusters().iter().enumerate() {
        let Lever::Spindle { .. } = adjuster.lever else { continue };
        let set = |aboard: &Aboard| aboard.lead.setting(index, adjuster.now) as i64;
        let (before, then) = (set(&before(step).aboard), set(aboard));
        let mut seems = vec![before, 2 * before - then, then - 1, then + 1];
        seems.retain(|seems| *seems != then && (0..adjuster.settings.len() as i64).contains(seems));
        seems.sort_unstable();
        seems.dedup();
        for seems in seems.into_iter().map(|seems| seems as usize) {
            let mut weighing = step.weighing.clone();
            weighing.aboard.lead = aboard.lead.clone().with_setting(index, seems, &now);
            others.push((washers(adjuster, before as usize, then as usize, seems), weighing));
        }
    }
    if let Some(hole) = aboard.seat_hole {
        for along in [hole.along - 1, hole.along + 1] {
            let mut weighing = step.weighing.clone();
            weighing.aboard.seat_hole = Some(Hole { along, ..hole });
            others.push((format!("the seat is at hole {along}"), weighing));
        }
    }
    others
}

/// What happened to washers that the file has at `then` and that seem to stand otherwise.
fn washers(adjuster: &Adjuster, before: usize, then: usize, seems: usize) -> String {
    let Adjuster { name, settings, .. } = adjuster;
    let stand = &settings[seems].name;
    if then != before && seems == before {
        format!("the washers of the {name} were not moved: {stand}")
    } else if then != before && (seems > before) != (then > before) {
        format!("the washers of the {name} went the wrong way: {stand}")
    } else {
        format!("the washers of the {name} stand {stand}, not {}", settings[then].name)
    }
}
