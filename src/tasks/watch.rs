//! The kart itself in time: what its twist did between weighings that lead, driver, fuel and levers do not explain.
//!
//! Each weighing is held against what the first would have shown with the same aboard; what is left is projected onto the
//! direction of twist. With no change it is one number, known as well as pads, floor and the file are: level and zero err together
//! within one set-up, places and frame err together everywhere. A change after a weighing is a step; the likeliest step is that of
//! least squares, and counts if it is farther from nothing than two honest seasons in a hundred go. Both sides of it are then
//! looked at by themselves (binary segmentation: Scott & Knott 1974, Biometrics 30, from memory).

use super::forecast::{Step, forecast};
use super::learn::doubts_of;
use super::misfit::slope;
use crate::least_squares::distance;
use crate::scenario::{Scenario, SetUp, Weighing};
use crate::uncertainty::cause::Cause;
use crate::uncertainty::inputs::spread_now;
use crate::uncertainty::{Estimate, normal, pads};

/// Of a hundred honest seasons so many may be called changed; fewer are, as neighbouring steps look alike.
const ALARMS: f64 = 0.02;
/// A floor is left out of what may explain a change only if one so many times worse than stated would not.
const BAD_FLOOR: f64 = 20.0;

/// A change of the kart itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// The first weighing of the list that shows it.
    pub listed: usize,
    /// What LF and RR together gained, kg; what they lost, if negative.
    pub gained_kg: Estimate,
    /// Whether no floor explains it: the kart was turned on its pads, or stood on them as before.
    pub not_the_floor: bool,
}

/// What the weighings tell of the kart itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Watch {
    /// In time.
    pub changes: Vec<Change>,
    /// A change of LF + RR since the last weighing but one shows from so many kilograms on.
    pub shows_from_kg: f64,
}

/// Watches the weighings of the kart as raced; none if there are not two.
pub fn watch(scenario: &Scenario) -> Option<Watch> {
    let raced: Vec<usize> = scenario.raced().collect();
    if raced.len() < 2 {
        return None;
    }
    let series = Series::of(scenario, &raced);
    let threshold = normal::quantile(1.0 - ALARMS / (2.0 * (raced.len() - 1) as f64));
    let chassis = &scenario.kart().chassis;
    // LF gains one, RR so much of it.
    let both = 1.0 + chassis.track_front.mm() / chassis.track_rear.mm();
    let mut found = Vec::new();
    series.changes(0..raced.len(), threshold, &mut found);
    found.sort_by_key(|(at, ..)| *at);
    let change = |(at, gained, not_the_floor): (usize, Estimate, bool)| Change {
        listed: raced[at],
        gained_kg: Estimate { value: gained.value * both, standard: gained.standard * both },
        not_the_floor,
    };
    let last = series.step(&(0..raced.len()), raced.len() - 1, 1.0)?;
    Some(Watch {
        changes: found.into_iter().map(change).collect(),
        shows_from_kg: threshold * last.standard * both,
    })
}

/// One number a weighing, and what makes them err.
struct Series {
    /// Twist at LF against the first, kg.
    twist: Vec<f64>,
    /// One independent error after the other: what one standard uncertainty of it does to each, and whether it is of the floor.
    errors: Vec<(Vec<f64>, bool)>,
}

impl Series {
    fn of(scenario: &Scenario, raced: &[usize]) -> Series {
        let chassis = &scenario.kart().chassis;
        let direction = chassis.twist_direction().kg();
        let square: f64 = direction.iter().map(|part| part * part).sum();
        let along = |corners: [f64; 4]| {
            corners.iter().zip(direction).map(|(kg, part)| kg * part).sum::<f64>() / square
        };
        let weighings: Vec<&Weighing> = raced.iter().map(|index| &scenario.weighings()[*index]).collect();
        let before = scenario.reckoned_from(weighings[0]);
        let step = |(listed, weighing): (&usize, &&Weighing)| Step {
            listed: *listed,
            before: before.clone(),
            weighing: (*weighing).clone(),
            forecast: forecast(&before, weighing),
        };
        let steps: Vec<Step> = raced.iter().zip(&weighings).map(step).collect();
        let apart = |step: &Step| {
            let foretold = step.forecast.corners.kg();
            along(std::array::from_fn(|corner| step.weighing.readings[corner].kg() - foretold[corner]))
        };
        let mut errors = Vec::new();
        for (belief, doubt) in doubts_of(&before) {
            let slopes = steps.iter().map(|step| along(slope(step, belief, doubt)) * doubt);
            errors.push((slopes.collect(), false));
        }
        let rate = spread_now(scenario);
        // Those that stay, some until the pads are set up anew: each by its cause, and which of several with that cause it is.
        let mut standing: Vec<((Cause, usize), Vec<f64>)> = Vec::new();
        for (at, weighing) in weighings.iter().enumerate() {
            if at > 0 && weighing.set_up_since(weighings[at - 1]) == SetUp::New {
                let gone = standing.extract_if(.., |(error, _)| pads::is_anew(error.0, SetUp::New));
                errors.extend(gone.map(|((cause, _), shifts)| (shifts, is_floor(cause))));
            }
            let own = pads::errors(scenario, weighing, rate);
            for (index, error) in own.iter().enumerate() {
                let shift = along(error.shift.kg());
                if pads::is_anew(error.cause, SetUp::Same) {
                    errors.push((alone(at, shift, weighings.len()), false));
                } else {
                    let nth = own[..index].iter().filter(|other| other.cause == error.cause).count();
                    match standing.iter_mut().find(|(other, _)| *other == (error.cause, nth)) {
                        Some((_, shifts)) => shifts[at] = shift,
                        None => standing.push(((error.cause, nth), alone(at, shift, weighings.len()))),
                    }
                }
            }
        }
        errors.extend(standing.into_iter().map(|((cause, _), shifts)| (shifts, is_floor(cause))));
        Series { twist: steps.iter().map(apart).collect(), errors }
    }

    /// The likeliest step among some weighings if it is none by chance, then those on both sides of it.
    fn changes(
        &self,
        among: std::ops::Range<usize>,
        threshold: f64,
        found: &mut Vec<(usize, Estimate, bool)>,
    ) {
        let far = |step: &Estimate| step.value.abs() / step.standard;
        let steps = (among.start + 1..among.end).filter_map(|at| Some((at, self.step(&among, at, 1.0)?)));
        let Some((at, step)) = steps.max_by(|(_, one), (_, other)| far(one).total_cmp(&far(other))) else {
            return;
        };
        if far(&step) <= threshold {
            return;
        }
        let on_a_bad_floor = self.step(&among, at, BAD_FLOOR);
        found.push((at, step, on_a_bad_floor.is_some_and(|step| far(&step) > threshold)));
        self.changes(among.start..at, threshold, found);
        self.changes(at..among.end, threshold, found);
    }

    /// By how much the twist stepped before a weighing, with a floor so many times as bad as stated: generalised least squares for
    /// a level and a step.
    fn step(&self, among: &std::ops::Range<usize>, at: usize, floor: f64) -> Option<Estimate> {
        let count = among.len();
        let cell = |cell: usize| {
            let (one, other) = (among.start + cell / count, among.start + cell % count);
            let part = |(shifts, is_floor): &(Vec<f64>, bool)| {
                let times = if *is_floor { floor * floor } else { 1.0 };
                times * shifts[one] * shifts[other]
            };
            self.errors.iter().map(part).sum::<f64>()
        };
        let covariance: Vec<f64> = (0..count * count).map(cell).collect();
        // Products under the inverse of the covariance, from its squares.
        let product = |one: &[f64], other: &[f64]| {
            let square = |sign: f64| {
                let sum: Vec<f64> = one.iter().zip(other).map(|(one, other)| one + sign * other).collect();
                distance(&sum, &covariance).map(|(square, _)| square)
            };
            Some((square(1.0)? - square(-1.0)?) / 4.0)
        };
        let level = vec![1.0; count];
        let since: Vec<f64> = among.clone().map(|index| f64::from(u8::from(index >= at))).collect();
        let twist = &self.twist[among.clone()];
        let [ll, ls, ss] = [product(&level, &level)?, product(&level, &since)?, product(&since, &since)?];
        let determinant = ll * ss - ls * ls;
        let value = (ll * product(&since, twist)? - ls * product(&level, twist)?) / determinant;
        let standard = (ll / determinant).sqrt();
        (value.is_finite() && standard.is_finite()).then_some(Estimate { value, standard })
    }
}

const fn is_floor(cause: Cause) -> bool {
    matches!(cause, Cause::Level | Cause::Survey)
}

/// A shift of one weighing and of no other.
fn alone(at: usize, shift: f64, count: usize) -> Vec<f64> {
    let mut shifts = vec![0.0; count];
    shifts[at] = shift;
    shifts
}
