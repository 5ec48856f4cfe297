//! Learning a kart from its weighings: where mounts and drivers act, how the frame shares roll moments, what spacers do.
//!
//! # The equations
//!
//! `reading = kart + what was aboard + fault of the pad`, at each corner of each weighing; the kart's four corners are unknown.
//! Every number that can be learned is also an observation: what the file says, with the uncertainty that such a number has
//! when it is measured by hand. So there are always enough equations, whatever was weighed, and a number of which the weighings
//! say nothing simply stays. The errors of the weighings themselves (`faults`) are unknowns too, that nobody asks for: each is
//! observed to be nothing, give or take its standard uncertainty. What was aboard is linear in each number while the others stay, but not in all together (a roll
//! share times a distance), so the equations are made linear at the best guess and solved again until no number moves by more
//! than [`SETTLED`] of its uncertainty (Gauss and Newton); a step that makes the squares larger is halved.

mod apart;
mod evidence;
mod faults;
mod next;
mod taught;
mod unknowns;

pub use apart::{Told, Twins};
pub use evidence::{Origin, Sighting};
pub use next::Worth;
pub(crate) use taught::taught;
pub use unknowns::Unknown;
pub(super) use unknowns::doubts_of;

use crate::least_squares::{Equations, Fit};
use crate::scenario::{Belief, Beliefs, Scenario};
use crate::statics::RollShare;
use crate::uncertainty::combined;
use faults::Fault;
use unknowns::Guess;

/// No number moves by more than this part of its uncertainty in the last step.
pub const SETTLED: f64 = 1e-6;
/// Steps until that is reached; it takes three or four, so more mean that there is nothing to be found.
const MOST_STEPS: usize = 50;
/// Halvings of one step.
const MOST_HALVINGS: usize = 20;

/// A misfit that chance gives less often than this is a contradiction.
const CONTRADICTION: f64 = 0.001;
/// A misfit that chance gives less often than this is worth a word.
const DOUBT: f64 = 0.05;

/// One number, before and after.
#[derive(Clone, Debug, PartialEq)]
pub struct Lesson {
    pub unknown: Unknown,
    /// As measured by hand or assumed; mm, share, kg/mm or kg.
    pub before: f64,
    /// Standard uncertainty of that.
    pub doubt: f64,
    /// As the weighings have it.
    pub estimate: f64,
    /// Standard uncertainty of that.
    pub uncertainty: f64,
    /// How much the weighings tell of it.
    pub told: Told,
}

/// What the misfit says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// As large as the uncertainties promise.
    Agree,
    /// Larger than it should be once in twenty times.
    Doubtful,
    /// So large that something written in the file is not so.
    Contradict,
}

/// What stands out most where weighings contradict each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Odd {
    /// A corner (LF RF LR RR) of a weighing in [`Lessons::sightings`]: the reading less what explains it.
    Reading { sighting: usize, corner: usize, misfit_kg: f64 },
    /// One of [`Lessons::lessons`] that was pulled away from what the file says.
    Number { lesson: usize },
}

/// Everything learned.
#[derive(Clone, Debug)]
pub struct Lessons {
    /// The weighings used.
    pub sightings: Vec<Sighting>,
    /// Every number that can be learned of this kart.
    pub lessons: Vec<Lesson>,
    /// What the scenario should believe.
    pub beliefs: Beliefs,
    /// What the last weighing of the kart as raced read too much by all of them together, kg.
    pub misread_kg: [f64; 4],
    /// What each weighing in [`Lessons::sightings`] shows more than is computed of it, kg.
    pub misfits_kg: Vec<[f64; 4]>,
    /// Standard uncertainty of that before anything is learned: pads, settling, fuel and lead of that weighing, kg.
    pub misfits_unsure_kg: Vec<[f64; 4]>,
    /// Sum of squared misfits, each in its uncertainty.
    pub chi_square: f64,
    /// Readings beyond the four of the kart itself.
    pub freedom: usize,
    /// How often chance gives such a misfit.
    pub chance: f64,
    /// What that means.
    pub verdict: Verdict,
    /// What stands out most.
    pub odd: Odd,
    /// Numbers of which only a combination is told.
    pub twins: Vec<Twins>,
    /// Independent combinations that the weighings tell better than the file does.
    pub told: usize,
    /// What to change for the weighing that would teach most, if any would.
    pub next: Option<(String, Worth)>,
    correlations: Vec<f64>,
}

impl Lessons {
    /// Correlation of two lessons.
    pub fn correlation(&self, one: usize, other: usize) -> f64 {
        self.correlations[one * self.lessons.len() + other]
    }
}

/// Why nothing can be learned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unlearned {
    /// There is one weighing only.
    OneWeighing,
    /// The same was aboard at all of them.
    AllAlike,
    /// No guess settles: the weighings cannot be of one kart.
    Unsettled,
}

/// Learns from every weighing of the scenario.
pub fn learn(scenario: &Scenario) -> Result<Lessons, Unlearned> {
    #[expect(clippy::redundant_closure_for_method_calls, reason = "the method is of one lifetime only")]
    settled(scenario, |learner, guess, fit| learner.lessons(guess, fit))
}

/// What becomes of the best guess at everything. Whatever was learned before is forgotten first.
fn settled<T>(scenario: &Scenario, make: impl FnOnce(&Learner, &Guess, &Fit) -> T) -> Result<T, Unlearned> {
    let scenario = &scenario.believing(scenario.measured());
    let sightings = evidence::sightings(scenario);
    let [first, others @ ..] = sightings.as_slice() else { return Err(Unlearned::OneWeighing) };
    if others.is_empty() {
        return Err(Unlearned::OneWeighing);
    }
    if others.iter().all(|other| other.is_alike(first)) {
        return Err(Unlearned::AllAlike);
    }
    let mut unknowns: Vec<Unknown> = Belief::all(scenario).into_iter().map(Unknown::Believed).collect();
    // Without pads that changed places their faults and the kart are one.
    if others.iter().any(|other| other.pads().ne(first.pads())) {
        unknowns.extend((0..4).map(Unknown::Pad));
    }
    let faults = faults::all(scenario, &sightings);
    let before = Guess::before(scenario, faults.len());
    let learner = Learner { scenario, sightings: &sightings, unknowns, faults, before };
    let (guess, fit) = learner.settled().ok_or(Unlearned::Unsettled)?;
    Ok(make(&learner, &guess, &fit))
}

/// The equations of one scenario.
struct Learner<'a> {
    scenario: &'a Scenario,
    sightings: &'a [Sighting],
    unknowns: Vec<Unknown>,
    faults: Vec<Fault>,
    before: Guess,
}

/// No kart is softer, kg/mm.
const LEAST_TWIST_RATE: f64 = 0.02;

/// Unknowns before those that are learned: the kart's own corners. After those come the faults.
const KART: usize = 4;

/// Coefficients of one corner of a weighing: the kart's own, then the slopes, then the faults.
fn row(slopes: &[[f64; 4]], faults: impl Iterator<Item = f64>, corner: usize) -> Vec<f64> {
    let kart = (0..KART).map(|own| if own == corner { 1.0 } else { 0.0 });
    kart.chain(slopes.iter().map(|slope| slope[corner])).chain(faults).collect()
}

impl Learner<'_> {
    fn doubt(&self, unknown: usize) -> f64 {
        self.unknowns[unknown].doubt(self.scenario)
    }

    fn slopes(&self, sighting: &Sighting, guess: &Guess) -> Vec<[f64; 4]> {
        self.unknowns.iter().map(|unknown| sighting.slope(self.scenario, guess, *unknown)).collect()
    }

    /// What the faults of a guess add to a corner of a weighing, kg.
    fn at_fault_kg(&self, guess: &Guess, sighting: usize, corner: usize) -> f64 {
        self.faults.iter().zip(&guess.faults).map(|(fault, by)| fault.shifts[sighting][corner] * by).sum()
    }

    /// What a guess leaves of the readings of every weighing for the kart, kg.
    fn left_kg(&self, guess: &Guess) -> Vec<[f64; 4]> {
        let left = |(index, sighting): (usize, &Sighting)| {
            let (aboard, readings) = (sighting.aboard_kg(self.scenario, guess), sighting.readings_kg());
            std::array::from_fn(|corner| {
                readings[corner] - aboard[corner] - self.at_fault_kg(guess, index, corner)
            })
        };
        self.sightings.iter().enumerate().map(left).collect()
    }

    /// The equations made linear at a guess: their unknowns are the kart's corners and the changes of the guess.
    fn equations(&self, guess: &Guess) -> Equations {
        let count = KART + self.unknowns.len() + self.faults.len();
        let mut equations = Equations::new(count);
        for (index, (sighting, left)) in self.sightings.iter().zip(self.left_kg(guess)).enumerate() {
            let slopes = self.slopes(sighting, guess);
            for (corner, left) in left.into_iter().enumerate() {
                let faults = self.faults.iter().map(|fault| fault.shifts[index][corner]);
                equations.push(&row(&slopes, faults, corner), left, sighting.within_kg[corner]);
            }
        }
        let mut observe = |column: usize, apart: f64, doubt: f64| {
            let mut row = vec![0.0; count];
            row[column] = 1.0;
            equations.push(&row, apart, doubt);
        };
        for (index, unknown) in self.unknowns.iter().enumerate() {
            observe(KART + index, unknown.of(&self.before) - unknown.of(guess), self.doubt(index));
        }
        for (index, by) in guess.faults.iter().enumerate() {
            observe(KART + self.unknowns.len() + index, -by, 1.0);
        }
        equations
    }

    /// Sum of squares at a guess, with the kart's corners at their best: the weighted mean of what the weighings leave of them.
    fn squares(&self, guess: &Guess) -> f64 {
        let left = self.left_kg(guess);
        let of_corner = |corner: usize| -> f64 {
            let within = || self.sightings.iter().map(|sighting| sighting.within_kg[corner]);
            let weights: f64 = within().map(|within| within.powi(-2)).sum();
            let weighted = left.iter().zip(within()).map(|(kart, within)| kart[corner] / within.powi(2));
            let mean = weighted.sum::<f64>() / weights;
            left.iter().zip(within()).map(|(kart, within)| ((kart[corner] - mean) / within).powi(2)).sum()
        };
        let pulls = self.unknowns.iter().enumerate().map(|(index, unknown)| {
            ((unknown.of(&self.before) - unknown.of(guess)) / self.doubt(index)).powi(2)
        });
        let faults: f64 = guess.faults.iter().map(|by| by * by).sum();
        (0..4).map(of_corner).sum::<f64>() + pulls.sum::<f64>() + faults
    }

    /// The guess at which the equations made linear there move no number, and their solution.
    fn settled(&self) -> Option<(Guess, Fit)> {
        let mut guess = self.before.clone();
        for _ in 0..MOST_STEPS {
            let fit = self.equations(&guess).solve().ok()?;
            let changes = &fit.estimates[KART..];
            let doubt = |index| if index < self.unknowns.len() { self.doubt(index) } else { 1.0 };
            let moves = changes.iter().enumerate().map(|(index, change)| (change / doubt(index)).abs());
            if moves.fold(0.0, f64::max) <= SETTLED {
                return Some((guess, fit));
            }
            guess = self.improved(&guess, changes)?;
        }
        None
    }

    /// The guess changed so, or by as much less as makes the squares no larger.
    fn improved(&self, guess: &Guess, changes: &[f64]) -> Option<Guess> {
        // A last step among rounding errors may add a few of them; readings corrected for the floor are whole nanograms.
        let most = self.squares(guess) * (1.0 + 1e-9) + 1e-9;
        let part = |halvings: usize| 0.5_f64.powi(i32::try_from(halvings).unwrap_or(i32::MAX));
        (0..MOST_HALVINGS).map(part).find_map(|part| {
            let mut next = guess.clone();
            for (unknown, change) in self.unknowns.iter().zip(changes) {
                unknown.set(&mut next, unknown.of(guess) + part * change);
            }
            for (by, change) in next.faults.iter_mut().zip(&changes[self.unknowns.len()..]) {
                *by += part * change;
            }
            (self.squares(&next) <= most).then_some(next)
        })
    }

    fn lessons(&self, guess: &Guess, fit: &Fit) -> Lessons {
        let count = self.unknowns.len();
        let learned: Vec<usize> = (KART..KART + count).collect();
        let alone = fit.alone(&learned);
        let lessons: Vec<Lesson> = (0..count)
            .map(|index| {
                let (doubt, uncertainty) = (self.doubt(index), fit.uncertainty(KART + index));
                let alone = alone.as_ref().map_or(uncertainty, |alone| alone[index].sqrt());
                Lesson {
                    unknown: self.unknowns[index],
                    before: self.unknowns[index].of(&self.before),
                    doubt,
                    estimate: self.unknowns[index].of(guess),
                    uncertainty,
                    told: Told::new(uncertainty / doubt, alone / doubt),
                }
            })
            .collect();
        let correlations: Vec<f64> = (0..count)
            .flat_map(|one| (0..count).map(move |other| (one, other)))
            .map(|(one, other)| fit.correlation(KART + one, KART + other))
            .collect();
        let doubts: Vec<f64> = (0..count).map(|index| self.doubt(index)).collect();
        let chance = crate::least_squares::chance(fit.chi_square, fit.freedom);
        Lessons {
            sightings: self.sightings.to_vec(),
            twins: apart::twins(&lessons, &correlations),
            told: apart::combinations(&fit.spreads(&learned, &doubts)),
            beliefs: self.believed(guess, &lessons),
            misread_kg: self.misread_kg(guess, fit, self.last_raced()),
            misfits_kg: (0..self.sightings.len()).map(|index| self.misread_kg(guess, fit, index)).collect(),
            misfits_unsure_kg: (0..self.sightings.len()).map(|index| self.unsure_kg(index)).collect(),
            chi_square: fit.chi_square,
            freedom: fit.freedom,
            chance,
            verdict: match chance {
                chance if chance < CONTRADICTION => Verdict::Contradict,
                chance if chance < DOUBT => Verdict::Doubtful,
                _ => Verdict::Agree,
            },
            odd: self.odd(fit, &lessons),
            next: next::best(self, guess, fit),
            lessons,
            correlations,
        }
    }

    /// The guess; drivers without a place get one only if the weighings tell it.
    fn believed(&self, guess: &Guess, lessons: &[Lesson]) -> Beliefs {
        let mut beliefs = guess.beliefs.clone();
        let told = |driver: usize| {
            let of_driver = |lesson: &&Lesson| matches!(lesson.unknown, Unknown::Believed(Belief::Driver(one, _)) if one == driver);
            lessons.iter().filter(of_driver).all(|lesson| lesson.told == Told::Well)
        };
        for (driver, acts) in beliefs.drivers.iter_mut().enumerate() {
            if self.scenario.measured().drivers[driver].is_none() && !told(driver) {
                *acts = None;
            }
        }
        // Far from the truth a straight line may lead out of what any frame can be.
        let RollShare { at_rear_axle: rear, at_front_axle: front } = beliefs.roll_share;
        let (rear, front) = (rear.clamp(0.0, 1.0), front.clamp(0.0, 1.0));
        beliefs.roll_share = RollShare { at_rear_axle: rear.min(front), at_front_axle: front };
        beliefs.twist_rate_kg_per_mm = beliefs.twist_rate_kg_per_mm.max(LEAST_TWIST_RATE);
        beliefs
    }

    /// The last weighing of the kart as raced.
    fn last_raced(&self) -> usize {
        let raced = |one: &Sighting| matches!(one.origin, Origin::Listed(_)) && one.weighing.as_raced;
        self.sightings.iter().rposition(raced).unwrap_or(0)
    }

    fn misread_kg(&self, guess: &Guess, fit: &Fit, sighting: usize) -> [f64; 4] {
        let of = |corner| fit.residuals[4 * sighting + corner] + self.at_fault_kg(guess, sighting, corner);
        std::array::from_fn(of)
    }

    /// How far a weighing may be off at each corner: each reading by itself and every fault that touches it.
    fn unsure_kg(&self, sighting: usize) -> [f64; 4] {
        let faults = |corner: usize| self.faults.iter().map(move |fault| fault.shifts[sighting][corner]);
        let within = self.sightings[sighting].within_kg;
        std::array::from_fn(|corner| combined(std::iter::once(within[corner]).chain(faults(corner))))
    }

    fn odd(&self, fit: &Fit, lessons: &[Lesson]) -> Odd {
        let within = self.sightings.iter().flat_map(|sighting| sighting.within_kg);
        let readings = fit.residuals.iter().copied().zip(within).enumerate();
        let far = |misfit: f64, within: f64| (misfit / within).abs();
        let reading =
            readings.max_by(|(_, one), (_, other)| far(one.0, one.1).total_cmp(&far(other.0, other.1)));
        let (index, (misfit_kg, within_kg)) = reading.unwrap_or((0, (0.0, 1.0)));
        let pull = |lesson: &Lesson| ((lesson.estimate - lesson.before) / lesson.doubt).abs();
        let pulls = lessons.iter().map(pull).enumerate();
        match pulls.max_by(|(_, one), (_, other)| one.total_cmp(other)) {
            Some((lesson, pull)) if pull > far(misfit_kg, within_kg) => Odd::Number { lesson },
            _ => Odd::Reading { sighting: index / 4, corner: index % 4, misfit_kg },
        }
    }
}
