//! Why forecast and truth differ: every single slip that could have made the difference, weighed against each other.
//! One cause at a time, as slips come one at a time.
//!
//! A slip is a change of what was aboard, so what it does to the corners is what such a weighing would have been forecast to show.
//! Its evidence is that of a normal distribution around that: `−d² /2 − ln det V/2` with `d² = (x − μ)ᵀ V⁻¹ (x − μ)`. V holds two
//! weighings of four pads, and how badly what was moved is known.

use super::forecast::{Step, forecast};
use super::learn::doubts_of;
use crate::least_squares::{chance, distance};
use crate::marks::{self, given};
use crate::orders;
use crate::scenario::{Aboard, Adjuster, Axis, Belief, Hole, Lever, Scenario, SetUp, Tank, Weighing};
use crate::statics::{Corner, Corners, FrontWheel, Point};
use crate::uncertainty::inputs::{spread_now, weighing_of};
use crate::uncertainty::{pads, standard};
use crate::units::{KG_PER_LB, Length, Mass};
use crate::weighing;

/// A difference that chance gives less often than this needs a cause.
const UNLIKELY: f64 = 0.05;
/// A cause is named only if, with it, chance gives what is left at least so often.
const EXPLAINS: f64 = 0.01;
/// Causes are named down to this part of the evidence for the best.
const NEARLY_AS_LIKELY: f64 = 0.2;
/// At most so many.
const NAMED: usize = 3;
/// Of so many exchanges of two readings, or of sides or ends, there is one mix-up of three or four. Assumed.
const MIX_UP: f64 = 8.0;
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
    /// The likeliest causes in words, the likeliest first, each with its chance among all that explain the difference; empty if
    /// none is needed, or none explains it.
    pub causes: Vec<(String, f64)>,
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
        for Cause { sentence, shift, spread, rarity } in causes(step) {
            let covariance = plus(&usual, &spread);
            if let Some((square, logarithm)) = square(&shift, &covariance)
                && chance(square, 4) >= EXPLAINS
            {
                found.push((-0.5 * (square + logarithm) - rarity.ln(), sentence));
            }
        }
    }
    // The first of equals is the one named first in the file.
    found.sort_by(|(one, _), (other, _)| other.total_cmp(one));
    let best = found.first().map_or(0.0, |(evidence, _)| *evidence);
    let all: f64 = found.iter().map(|(evidence, _)| (evidence - best).exp()).sum();
    found.retain(|(evidence, _)| *evidence >= best + NEARLY_AS_LIKELY.ln());
    let named = found.into_iter().take(NAMED);
    Comparison {
        difference_kg: difference,
        uncertainty_kg: std::array::from_fn(|corner| usual[5 * corner].sqrt()),
        chance: chance_of_nothing,
        causes: named.map(|(evidence, sentence)| (sentence, (evidence - best).exp() / all)).collect(),
    }
}

/// The weighing that the forecast rests on.
fn before(step: &Step) -> &Weighing {
    weighing_of(&step.before, step.weighing.aboard.driver)
}

/// Covariance of a difference for which there is no cause: two readings, and every number as badly known as it is.
pub(super) fn usual_covariance(step: &Step) -> Vec<f64> {
    let mut covariance = vec![0.0; 16];
    let mut add = |shift: &Four| covariance = plus(&covariance, &spread(shift, 1.0));
    let (scenario, before) = (&step.before, before(step));
    let set_up = step.weighing.set_up_since(before);
    let chassis = &scenario.kart().chassis;
    for weighing in [before, &step.weighing] {
        let errors = pads::errors(scenario, weighing, spread_now(scenario));
        for error in errors.iter().filter(|error| pads::is_anew(error.cause, set_up)) {
            add(&error.shift.kg());
        }
    }
    // As much fuel on pads that nobody has moved is the same fuel.
    let fuel_kg = standard::of_limit(scenario.within().fuel.kg());
    let fuels = before.aboard.fuel.iter().zip(&step.weighing.aboard.fuel).zip(scenario.tanks());
    for ((then, now), tank) in fuels.filter(|((then, now), _)| set_up == SetUp::New || then != now) {
        for _ in [then, now].into_iter().filter(|fuel| fuel.ng() > 0) {
            add(&(chassis.influence(tank.place) * fuel_kg).kg());
        }
    }
    for (kind, piece) in scenario.lead().iter().enumerate() {
        let pieces = |mount: usize| {
            let [now, then] = [&step.weighing, before].map(|one| one.aboard.lead.get(kind, mount));
            f64::from(now) - f64::from(then)
        };
        let mounts = scenario.mounts().iter().enumerate();
        let more = mounts
            .fold(Corners::ZERO, |sum, (mount, there)| sum + chassis.influence(there.place) * pieces(mount));
        add(&(more * standard::of_limit(piece.within.kg())).kg());
    }
    for error in independent(scenario) {
        add(&shift(step, &error));
    }
    covariance
}

/// Independent errors of what no scale shows: as learned, else number by number.
fn independent(scenario: &Scenario) -> Vec<Vec<(Belief, f64)>> {
    if scenario.taught().is_empty() {
        return doubts_of(scenario).map(|error| vec![error]).collect();
    }
    // Of whose place nobody knows, nothing depends on it.
    let known = |error: &(Belief, f64)| match error.0 {
        Belief::Driver(driver, _) => scenario.drivers()[driver].acts.is_some(),
        _ => true,
    };
    scenario.taught().iter().map(|one| one.beliefs.iter().copied().filter(known).collect()).collect()
}

/// What a change of some numbers does to the difference: to the forecast, and to what is taken off readings for the floor.
fn shift(step: &Step, error: &[(Belief, f64)]) -> Four {
    let at = |sign: f64| {
        let mut beliefs = step.before.beliefs();
        for (belief, by) in error {
            beliefs.set(*belief, beliefs.number(*belief) + sign * by);
        }
        let mut then = step.before.clone();
        then.weighings.push(step.weighing.clone());
        let then = then.believing(&beliefs);
        let Some(weighing) = then.weighings.last() else { return Corners::ZERO };
        weighing::readings(weighing).corners - forecast(&then, weighing).corners
    };
    ((at(1.0) - at(-1.0)) * 0.5).kg()
}

/// Change of the forecast per unit of a number.
pub(super) fn slope(step: &Step, belief: Belief, doubt: f64) -> Four {
    shift(step, &[(belief, doubt)]).map(|kg| -kg / doubt)
}

/// Covariance of one number of that uncertainty.
fn spread(slope: &Four, uncertainty: f64) -> Vec<f64> {
    (0..16).map(|cell| slope[cell / 4] * slope[cell % 4] * uncertainty * uncertainty).collect()
}

fn plus(one: &[f64], other: &[f64]) -> Vec<f64> {
    one.iter().zip(other).map(|(one, other)| one + other).collect()
}

/// A slip, weighed against others.
struct Cause {
    sentence: String,
    /// What it does to the difference, kg.
    shift: Four,
    /// Covariance of what is not known of it.
    spread: Vec<f64>,
    /// How many slips are as likely together as one kind of slip is: each kind is taken to be as likely as another.
    rarity: f64,
}

/// In words, with what it does to the difference, and the covariance of what is not known of it.
type Slip = (String, Four, Vec<f64>);

/// Slips of one kind, each as likely as another.
fn kind(slips: Vec<Slip>) -> impl Iterator<Item = Cause> {
    let rarity = slips.len() as f64;
    slips.into_iter().map(move |(sentence, shift, spread)| Cause { sentence, shift, spread, rarity })
}

/// Every slip.
fn causes(step: &Step) -> Vec<Cause> {
    let scenario = &step.before;
    // What the kart would have been forecast to show had that been aboard.
    let shift = |change: &dyn Fn(&mut Weighing)| -> Four {
        let mut aboard = step.weighing.clone();
        change(&mut aboard);
        (forecast(scenario, &aboard).corners - step.forecast.corners).kg()
    };
    let sure = |sentence: String, change: &dyn Fn(&mut Weighing)| (sentence, shift(change), vec![0.0; 16]);
    let piece = |kind: usize| &scenario.lead()[kind].name;
    let name = |mount: usize| marks::name(&scenario.mounts()[mount].name);
    let (lead, before) = (&step.weighing.aboard.lead, &before(step).aboard.lead);
    let (mut missing, mut elsewhere, mut left_on) = (Vec::new(), Vec::new(), Vec::new());
    for (kind, mount, count) in lead.placed() {
        let sentence = format!("`{}` is not on `{}`, nor anywhere on the kart", piece(kind), name(mount));
        missing.push(sure(sentence, &|weighing| *weighing.aboard.lead.get_mut(kind, mount) -= 1));
        for seems in (0..scenario.mounts().len()).filter(|seems| *seems != mount) {
            let sentence = format!("`{}` is on `{}`, not on `{}`", piece(kind), name(seems), name(mount));
            elsewhere.push(sure(sentence, &|weighing| {
                *weighing.aboard.lead.get_mut(kind, mount) -= count;
                *weighing.aboard.lead.get_mut(kind, seems) += count;
            }));
        }
    }
    for (kind, mount, _) in before.placed() {
        if lead.get(kind, mount) < before.get(kind, mount) {
            let sentence = format!("`{}` is still on `{}`", piece(kind), name(mount));
            left_on.push(sure(sentence, &|weighing| *weighing.aboard.lead.get_mut(kind, mount) += 1));
        }
    }
    let unsure = |(sentence, [one, other]): (String, [Vec<f64>; 2])| (sentence, [0.0; 4], plus(&one, &other));
    let places = places(step).into_iter().map(unsure).collect();
    // What washers do is as sure as the twist rate, which counts for as many of them as were moved.
    let usual = usual_covariance(step);
    let set = |(sentence, so): (String, Weighing)| {
        let (sentence, shift, _) = sure(sentence, &|weighing| *weighing = so.clone());
        let then = usual_covariance(&Step { weighing: so, ..step.clone() });
        (sentence, shift, then.iter().zip(&usual).map(|(then, usual)| then - usual).collect())
    };
    let [undone, beside] = settings(step).map(|slips| slips.into_iter().map(set).collect());
    let twist = scenario.kart().chassis.lower_wheel(FrontWheel::Left, Length::from_mm(1.0));
    let level = "nothing but twist changed: a pad out of level, a wheel not straight ahead, or a bent frame";
    let level = vec![(level.to_owned(), [0.0; 4], spread(&twist.kg(), LEVEL_SLIP_MM))];
    let (exchanged, mixed_up) = orders_of(step);
    let kinds =
        [missing, elsewhere, left_on, places, undone, beside, level, exchanged, units_of(step), fuels(step)];
    let mixed_up = kind(mixed_up).map(|slip| Cause { rarity: slip.rarity * MIX_UP, ..slip });
    kinds.into_iter().flat_map(kind).chain(mixed_up).collect()
}

/// Readings that were written down in another order: two exchanged, or a side or an end; then everything else.
fn orders_of(step: &Step) -> (Vec<Slip>, Vec<Slip>) {
    let read = weighing::readings(&step.weighing).corners;
    let slips = orders::every().filter(|order| orders::ordered(&read, *order) != read);
    let moved = |order: &orders::Order| (0..4).filter(|corner| order[*corner] != *corner).count();
    let (few, many): (Vec<_>, Vec<_>) =
        slips.partition(|order| moved(order) == 2 || orders::is_whole(*order));
    let slip = |order: orders::Order| {
        let shift = (read - orders::ordered(&read, order)).kg();
        (format!("the readings were written down with {}", orders::said(order)), shift, vec![0.0; 16])
    };
    (few.into_iter().map(slip).collect(), many.into_iter().map(slip).collect())
}

/// One reading in the other unit.
fn units_of(step: &Step) -> Vec<Slip> {
    let read = weighing::readings(&step.weighing).corners.kg();
    let slip = |corner: Corner, unit: &str, factor: f64| {
        let mut shift = [0.0; 4];
        shift[corner as usize] = read[corner as usize] * (1.0 - factor);
        (format!("{} was read in {unit}", corner.word()), shift, vec![0.0; 16])
    };
    let both =
        |corner: Corner| [slip(corner, "pounds", KG_PER_LB), slip(corner, "kilograms", 1.0 / KG_PER_LB)];
    Corner::ALL.into_iter().flat_map(both).collect()
}

/// Tanks that were empty, or as full as at the start or the finish.
fn fuels(step: &Step) -> Vec<Slip> {
    let (tanks, chassis) = (step.before.tanks().iter().enumerate(), &step.before.kart().chassis);
    let slip = |(index, tank): (usize, &Tank)| {
        let said = step.weighing.aboard.fuel[index];
        let mut seems = vec![Mass::ZERO, tank.start, tank.finish];
        seems.sort();
        seems.dedup();
        let there = chassis.influence(tank.place);
        let slip = move |seems: Mass| {
            let sentence = format!("{} of fuel was in the tank, not {}", given(seems), given(said));
            (sentence, (there * (seems - said).kg()).kg(), vec![0.0; 16])
        };
        seems.into_iter().filter(move |seems| *seems != said).map(slip)
    };
    tanks.flat_map(slip).collect()
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
            let name = marks::name(&scenario.mounts()[mount].name);
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

/// Other settings of the spindles and the seat than those the file has: as before, or as far the other way; then one beside.
fn settings(step: &Step) -> [Vec<(String, Weighing)>; 2] {
    let scenario = &step.before;
    let aboard = &step.weighing.aboard;
    let now: Vec<u16> = scenario.adjusters().iter().map(|adjuster| adjuster.now as u16).collect();
    let mut others = [Vec::new(), Vec::new()];
    for (index, adjuster) in scenario.adjusters().iter().enumerate() {
        let Lever::Spindle { .. } = adjuster.lever else { continue };
        let set = |aboard: &Aboard| aboard.lead.setting(index, adjuster.now) as i64;
        let (before, then) = (set(&before(step).aboard), set(aboard));
        let undone = [before, 2 * before - then];
        let beside = [then - 1, then + 1].into_iter().filter(|seems| !undone.contains(seems));
        let all = undone.into_iter().map(|seems| (0, seems)).chain(beside.map(|seems| (1, seems)));
        for (list, seems) in all {
            if seems != then && (0..adjuster.settings.len() as i64).contains(&seems) {
                let mut weighing = step.weighing.clone();
                weighing.aboard.lead = aboard.lead.clone().with_setting(index, seems as usize, &now);
                let sentence = washers(adjuster, before as usize, then as usize, seems as usize);
                others[list].push((sentence, weighing));
            }
        }
    }
    if let Some(hole) = aboard.seat_hole {
        for along in [hole.along - 1, hole.along + 1] {
            let mut weighing = step.weighing.clone();
            weighing.aboard.seat_hole = Some(Hole { along, ..hole });
            others[1].push((format!("the seat is at hole {along}"), weighing));
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
