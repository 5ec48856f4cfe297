//! What `learn` has found: what each weighing taught, what none can tell apart, and which one to take next.

use schemars::JsonSchema;
use serde::Serialize;

use super::fragment;
use super::kart::InUnit;
use crate::decimals::trimmed;
use crate::marks::{LENGTH_UNIT, MASS_UNIT, given, place, plain, written};
use crate::quantity::{Kg, Quantity, Shape, Wheels, kg, mm};
use crate::scenario::{Axis, Belief, Scenario};
use crate::statics::Corner;
use crate::tasks::learn::{self, Lessons, Odd, Origin, Sighting, Told, Unknown, Verdict};
use crate::uncertainty::COVERAGE_FACTOR;
use crate::units::{Mass, UnitSystem};

/// Everything that `learn` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Learned {
    /// How it stands, in a word or two.
    #[serde(skip)]
    pub status: &'static str,
    /// The kart's name.
    pub kart: String,
    /// Each weighing with what sets it apart from the one before.
    pub weighings: Vec<String>,
    /// What each of them shows more than is computed of it once everything is learned; ± is how far it may be off.
    pub misfits: Vec<Misfit>,
    /// What the misfit says.
    pub verdict: String,
    /// What fits worst.
    #[serde(skip)]
    pub odd: String,
    /// Sum of squared misfits.
    pub chi_square: f64,
    /// Readings to spare.
    pub degrees_of_freedom: usize,
    /// How often chance alone gives it.
    pub chance: f64,
    /// Independent combinations that the weighings tell.
    pub independent_numbers_told: usize,
    /// Every number that can be learned.
    pub lessons: Vec<Lesson>,
    /// Numbers that cannot be told apart.
    pub cannot_tell_apart: Vec<Twins>,
    /// The weighing that would teach most.
    pub next_weighing: Option<Next>,
    /// Lines to paste; none if the weighings contradict each other, or teach nothing.
    pub fragment: Option<String>,
    /// What was changed in a file, if one was named.
    pub diff: Option<String>,
}

/// What a weighing shows more than is computed of it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Misfit {
    /// Where it stands in the file.
    pub weighing: String,
    /// At each wheel.
    pub corners: Quantity<Kg, Wheels>,
}

/// One number.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Lesson {
    /// Of what kind: `mount`, `driver`, `roll_share`, `twist_rate`, `pad`.
    pub of: &'static str,
    /// The mount, the driver or the pad.
    pub name: Option<String>,
    /// `x` or `y`, `rear_axle` or `front_axle`.
    pub part: Option<&'static str>,
    /// Of the numbers.
    pub unit: &'static str,
    /// As the file has it.
    pub before: InUnit,
    /// How sure that is.
    pub before_standard_uncertainty: InUnit,
    /// Twice that.
    pub before_plus_minus: InUnit,
    /// As weighed.
    pub estimate: InUnit,
    /// How sure that is.
    pub standard_uncertainty: InUnit,
    /// Twice that.
    pub plus_minus: InUnit,
    /// How much is known.
    pub told: &'static str,
    /// What it is.
    #[serde(skip)]
    pub called: String,
    /// Before, after, the ± and the unit as they are read.
    #[serde(skip)]
    pub shown: [String; 4],
}

/// Two numbers that cannot be told apart.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Twins {
    /// The one.
    pub one: String,
    /// The other.
    pub other: String,
    /// Between them.
    pub correlation: f64,
}

/// A weighing worth taking.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Next {
    /// What to change.
    pub sentence: String,
    /// What it would teach.
    pub teaches: Vec<String>,
    /// Of the sum of variances.
    pub part_of_variance_removed: f64,
}

impl Told {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Told::Well => "known well",
            Told::Somewhat => "known roughly",
            Told::Entangled => "not told apart",
            Told::NotAtAll => "not known",
        }
    }
}

impl Learned {
    /// From what was learned.
    pub fn new(scenario: &Scenario, lessons: &Lessons) -> Learned {
        let lines: Vec<Lesson> = lessons.lessons.iter().map(|lesson| Lesson::new(scenario, lesson)).collect();
        let of_readings = lessons.told == 0 && lessons.twins.is_empty();
        let contradict = lessons.verdict == Verdict::Contradict;
        let twins = lessons.twins.iter().map(|twins| Twins {
            one: lines[twins.one].called.clone(),
            other: lines[twins.other].called.clone(),
            correlation: twins.correlation.rounded(1e3),
        });
        let next = lessons.next.as_ref().map(|(trial, worth)| Next {
            sentence: format!("weigh once more as last time, but with {trial}"),
            teaches: worth
                .teaches
                .iter()
                .filter_map(|(index, sure)| teaching(&lessons.lessons[*index], &lines[*index], *sure))
                .collect(),
            part_of_variance_removed: worth.part.rounded(1e3),
        });
        let odd = odd(scenario, lessons, &lines);
        let fragment = if contradict { None } else { fragment::learned(scenario, lessons) };
        Learned {
            status: match lessons.verdict {
                Verdict::Contradict => "contradictory",
                _ if fragment.is_none() => "nothing learned",
                _ if of_readings => "learned of the readings alone",
                Verdict::Doubtful => "learned, but they agree badly",
                Verdict::Agree => "learned",
            },
            kart: scenario.kart().name.clone(),
            weighings: weighings(scenario, &lessons.sightings),
            misfits: misfits(scenario, lessons),
            verdict: verdict(lessons, &odd),
            odd,
            chi_square: lessons.chi_square.rounded(1e3),
            degrees_of_freedom: lessons.freedom,
            chance: lessons.chance.rounded(1e6),
            independent_numbers_told: lessons.told,
            cannot_tell_apart: twins.collect(),
            next_weighing: next,
            fragment,
            lessons: lines,
            diff: None,
        }
    }
}

impl Lesson {
    fn new(scenario: &Scenario, lesson: &learn::Lesson) -> Lesson {
        let mount = |index: usize| scenario.mounts()[index].name.clone();
        let driver = |index: usize| scenario.drivers()[index].name.clone();
        let axis = |axis: Axis| match axis {
            Axis::Forward => ("x", "forward"),
            Axis::Left => ("y", "to the left"),
        };
        let placed = |of, owner: String, way: Axis| {
            let called = format!("{owner} {}", axis(way).1);
            (of, Some(owner), Some(axis(way).0), called)
        };
        let (of, name, part, called) = match lesson.unknown {
            Unknown::Believed(Belief::Mount(index, way)) => placed("mount", mount(index), way),
            Unknown::Believed(Belief::Driver(index, way)) => placed("driver", driver(index), way),
            Unknown::Believed(Belief::RollShareRear) => {
                ("roll_share", None, Some("rear_axle"), "roll share, rear axle".to_owned())
            }
            Unknown::Believed(Belief::RollShareFront) => {
                ("roll_share", None, Some("front_axle"), "roll share, front axle".to_owned())
            }
            Unknown::Believed(Belief::TwistRate) => ("twist_rate", None, None, "twist rate".to_owned()),
            Unknown::Pad(pad) => {
                ("pad", Some((pad + 1).to_string()), None, format!("pad {} reads too much", pad + 1))
            }
        };
        let (unit, shown_unit) = match lesson.unknown {
            Unknown::Believed(Belief::Mount(..) | Belief::Driver(..)) => ("mm", LENGTH_UNIT),
            Unknown::Believed(Belief::RollShareRear | Belief::RollShareFront) => ("share", ""),
            Unknown::Believed(Belief::TwistRate) => ("kg_per_mm", "kg/mm"),
            Unknown::Pad(_) => ("kg", MASS_UNIT),
        };
        let shown = [lesson.before, lesson.estimate, COVERAGE_FACTOR * lesson.uncertainty];
        let [before, after, sure] = shown.map(|number| shown_as(lesson.unknown, number));
        Lesson {
            of,
            name,
            part,
            unit,
            before: InUnit::new(lesson.before),
            before_standard_uncertainty: InUnit::new(lesson.doubt),
            before_plus_minus: InUnit(COVERAGE_FACTOR * lesson.doubt.rounded(1e6)),
            estimate: InUnit::new(lesson.estimate),
            standard_uncertainty: InUnit::new(lesson.uncertainty),
            plus_minus: InUnit(COVERAGE_FACTOR * lesson.uncertainty.rounded(1e6)),
            told: lesson.told.word(),
            called,
            shown: [before, after, sure, shown_unit.to_owned()],
        }
    }
}

fn shown_as(unknown: Unknown, number: f64) -> String {
    match unknown {
        Unknown::Believed(Belief::Mount(..) | Belief::Driver(..)) => place(mm(number)).bare().to_string(),
        Unknown::Pad(_) => plain(kg(number)).bare().to_string(),
        Unknown::Believed(_) => trimmed(number, 2),
    }
}

/// `seat_left forward: known to ± 6 instead of 9 mm`; none where both read the same.
fn teaching(lesson: &learn::Lesson, line: &Lesson, uncertainty: f64) -> Option<String> {
    let (now, unit) = (&line.shown[2], &line.shown[3]);
    let then = shown_as(lesson.unknown, COVERAGE_FACTOR * uncertainty);
    let read = |text: &str| written(text, UnitSystem::KgMm);
    let sentence = || format!("{}: known to \u{b1} {then} instead of {now} {unit}", line.called);
    (read(now) != read(&then)).then(|| sentence().trim_end().to_owned())
}

/// Where a weighing stands in the file.
fn origin(scenario: &Scenario, origin: Origin) -> String {
    match origin {
        Origin::OfDriver(driver) => format!("the own weighing of `{}`", scenario.drivers()[driver].name),
        Origin::Listed(index) => format!("weighing {}", index + 1),
    }
}

/// Each weighing, with everything that was aboard.
fn weighings(scenario: &Scenario, sightings: &[Sighting]) -> Vec<String> {
    let one = |sighting: &Sighting| {
        let aboard = &sighting.weighing.aboard;
        let driver = aboard.driver.map_or("no driver", |driver| scenario.drivers()[driver].name.as_str());
        let fuel = plain(aboard.fuel.iter().copied().sum::<Mass>());
        let lead: Mass =
            aboard.lead.placed().map(|(kind, _, count)| scenario.lead()[kind].mass * count).sum();
        let lead = if lead == Mass::ZERO { "no lead".to_owned() } else { format!("lead {}", given(lead)) };
        format!("{}: {driver}, fuel {fuel}, {lead}", origin(scenario, sighting.origin))
    };
    sightings.iter().map(one).collect()
}

fn misfits(scenario: &Scenario, lessons: &Lessons) -> Vec<Misfit> {
    let off = std::iter::zip(&lessons.misfits_kg, &lessons.misfits_unsure_kg);
    let misfit = |(sighting, (off, unsure)): (&Sighting, (&[f64; 4], &[f64; 4]))| Misfit {
        weighing: origin(scenario, sighting.origin),
        corners: Quantity::new(Kg, (*off).into(), unsure.map(|unsure| COVERAGE_FACTOR * unsure).into()),
    };
    lessons.sightings.iter().zip(off).map(misfit).collect()
}

fn verdict(lessons: &Lessons, odd: &str) -> String {
    let chance = match lessons.chance {
        chance if chance < 0.001 => "less than once in a thousand times".to_owned(),
        chance => format!("{} times in a hundred", trimmed(100.0 * chance, 0)),
    };
    match lessons.verdict {
        Verdict::Agree => format!("they agree: chance alone gives a larger misfit {chance}"),
        Verdict::Doubtful => {
            format!("they agree badly: chance alone gives a larger misfit {chance}; most of it is {odd}")
        }
        Verdict::Contradict => {
            format!(
                "they contradict each other: chance alone gives such a misfit {chance}; most of it is {odd}"
            )
        }
    }
}

fn odd(scenario: &Scenario, lessons: &Lessons, lines: &[Lesson]) -> String {
    match lessons.odd {
        Odd::Reading { sighting, corner, misfit_kg } => {
            let place = origin(scenario, lessons.sightings[sighting].origin);
            let corner = Corner::ALL[corner].word();
            format!(
                "{corner} at {place}, {} {} than all else explains",
                plain(kg(misfit_kg.abs())),
                if misfit_kg > 0.0 { "more" } else { "less" }
            )
        }
        Odd::Number { lesson } => {
            let line = &lines[lesson];
            format!(
                "`{}`, given as {} and needed as {} {}",
                line.called, line.shown[0], line.shown[1], line.shown[3]
            )
            .trim_end()
            .to_owned()
        }
    }
}
