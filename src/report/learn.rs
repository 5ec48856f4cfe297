//! What `learn` has to show: what each weighing taught, what none can tell apart, and which one to take next.
//! Takes a scenario and lessons; gives a view in the units of the screen.
//! Does not write files: the lines to paste are made in `fragment`.

use super::amount::{Screen, rounded_kg, rounded_mm, trimmed};
use super::fragment::{self, Pin};
use crate::scenario::Scenario;
use crate::statics::Corner;
use crate::tasks::after::Step;
use crate::tasks::learn::{Axis, Lesson, Lessons, Odd, Origin, Sighting, Told, Trial, Unknown, Verdict};
use crate::units::{Length, Mass};

/// What is shown after a +- covers about 95 of 100 (GUM, 6.3.3).
const COVERAGE: f64 = 2.0;

/// Everything that `learn` shows.
#[derive(Clone, Debug, PartialEq)]
pub struct LearnView {
    /// The kart's name.
    pub kart: String,
    /// Each weighing with what sets it apart from the one before.
    pub weighings: Vec<String>,
    /// How it stands, in a word or two.
    pub status: &'static str,
    /// What the misfit says.
    pub verdict: String,
    /// What fits worst.
    pub odd: String,
    /// Sum of squared misfits.
    pub chi_square: f64,
    /// Readings to spare.
    pub freedom: usize,
    /// How often chance alone gives it.
    pub chance: f64,
    /// Independent combinations that the weighings tell.
    pub combinations: usize,
    /// Every number that can be learned.
    pub lessons: Vec<LessonLine>,
    /// Names of numbers of which nothing is told.
    pub silent: Vec<String>,
    /// Numbers that cannot be told apart.
    pub twins: Vec<TwinsLine>,
    /// The weighing that would teach most.
    pub next: Option<NextLine>,
    /// Lines to paste; none if the weighings contradict each other.
    pub fragment: Option<String>,
    /// What was fitted as planned, to be listed from now on.
    pub pins: Vec<Pin>,
}

/// One number.
#[derive(Clone, Debug, PartialEq)]
pub struct LessonLine {
    /// `seat_left forward`
    pub name: String,
    /// Of what kind: `mount`, `driver`, `roll_share`, `warp_rate`, `pad`.
    pub of: &'static str,
    /// `x` or `y`, `rear_axle` or `front_axle`.
    pub part: Option<&'static str>,
    /// The mount, the driver or the pad.
    pub owner: Option<String>,
    /// Unit of the four numbers for documents.
    pub document_unit: &'static str,
    /// Before, its standard uncertainty, after, its standard uncertainty.
    pub numbers: [f64; 4],
    /// Before, after and twice the uncertainty as read on the screen.
    pub shown: [String; 3],
    /// Unit on the screen.
    pub unit: &'static str,
    /// How much is told.
    pub told: Told,
}

/// Two numbers that cannot be told apart.
#[derive(Clone, Debug, PartialEq)]
pub struct TwinsLine {
    /// The one.
    pub one: String,
    /// The other.
    pub other: String,
    /// Their correlation.
    pub correlation: f64,
    /// The same as a sentence.
    pub sentence: String,
}

/// A weighing worth taking.
#[derive(Clone, Debug, PartialEq)]
pub struct NextLine {
    /// What to change.
    pub sentence: String,
    /// What it would teach.
    pub teaches: Vec<String>,
    /// Part of the sum of variances that it takes away.
    pub part: f64,
}

impl Told {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Told::Well => "told well",
            Told::Somewhat => "told somewhat",
            Told::Entangled => "entangled",
            Told::NotAtAll => "not told",
        }
    }
}

impl LearnView {
    /// From what was learned.
    pub fn new(screen: Screen, scenario: &Scenario, steps: &[Step], lessons: &Lessons) -> LearnView {
        let lines: Vec<LessonLine> =
            lessons.lessons.iter().map(|lesson| LessonLine::new(screen, scenario, lesson)).collect();
        let nothing = lessons.told == 0 && lessons.twins.is_empty();
        let contradict = lessons.verdict == Verdict::Contradict;
        LearnView {
            kart: scenario.kart().name.clone(),
            weighings: weighings(screen, scenario, &lessons.sightings),
            status: match lessons.verdict {
                Verdict::Contradict => "contradictory",
                _ if nothing => "nothing learned",
                Verdict::Doubtful => "learned, in doubt",
                Verdict::Agree => "learned",
            },
            verdict: verdict(screen, scenario, lessons, &lines),
            odd: odd(screen, scenario, lessons, &lines),
            chi_square: rounded_mm(lessons.chi_square),
            freedom: lessons.freedom,
            chance: rounded_kg(lessons.chance),
            combinations: lessons.told,
            silent: lines
                .iter()
                .filter(|line| line.told == Told::NotAtAll)
                .map(|line| line.name.clone())
                .collect(),
            twins: lessons
                .twins
                .iter()
                .map(|twins| {
                    let (one, other) = (lines[twins.one].name.clone(), lines[twins.other].name.clone());
                    let correlation = trimmed(twins.correlation, 2);
                    let way = if twins.correlation < 0.0 {
                        "more of one is less of the other"
                    } else {
                        "they grow together"
                    };
                    let sentence = format!("`{one}` from `{other}`: {way} (correlation {correlation})");
                    TwinsLine { one, other, correlation: rounded_mm(twins.correlation), sentence }
                })
                .collect(),
            next: lessons.next.as_ref().map(|(trial, worth)| NextLine {
                sentence: trial_sentence(screen, scenario, *trial),
                teaches: worth
                    .teaches
                    .iter()
                    .filter_map(|(index, uncertainty)| {
                        teaching(screen, &lessons.lessons[*index], &lines[*index], *uncertainty)
                    })
                    .collect(),
                part: rounded_mm(worth.part),
            }),
            fragment: (!contradict).then(|| fragment::learned(scenario, lessons)),
            pins: if contradict { Vec::new() } else { fragment::pins(scenario, steps) },
            lessons: lines,
        }
    }
}

impl LessonLine {
    fn new(screen: Screen, scenario: &Scenario, lesson: &Lesson) -> LessonLine {
        let axis = |axis: Axis| match axis {
            Axis::Forward => ("x", "forward"),
            Axis::Left => ("y", "to the left"),
        };
        let mount = |index: usize| scenario.mounts()[index].name.clone();
        let driver = |index: usize| scenario.drivers()[index].name.clone();
        let (of, owner, part, name) = match lesson.unknown {
            Unknown::Mount(index, way) => {
                ("mount", Some(mount(index)), Some(axis(way).0), format!("{} {}", mount(index), axis(way).1))
            }
            Unknown::Driver(index, way) => (
                "driver",
                Some(driver(index)),
                Some(axis(way).0),
                format!("{} {}", driver(index), axis(way).1),
            ),
            Unknown::RollShareRear => {
                ("roll_share", None, Some("rear_axle"), "roll share, rear axle".to_owned())
            }
            Unknown::RollShareFront => {
                ("roll_share", None, Some("front_axle"), "roll share, front axle".to_owned())
            }
            Unknown::WarpRate => ("warp_rate", None, None, "warp rate".to_owned()),
            Unknown::Pad(pad) => {
                ("pad", Some((pad + 1).to_string()), None, format!("pad {} reads too much", pad + 1))
            }
        };
        let numbers = [lesson.before, lesson.doubt, lesson.estimate, lesson.uncertainty];
        let shown = [lesson.before, lesson.estimate, COVERAGE * lesson.uncertainty];
        let (document_unit, unit) = units(screen, lesson.unknown);
        LessonLine {
            name,
            of,
            part,
            owner,
            document_unit,
            numbers: numbers.map(rounded_kg),
            shown: shown.map(|number| written(screen, lesson.unknown, number)),
            unit,
            told: lesson.told,
        }
    }
}

/// Units of a number in documents and on the screen.
fn units(screen: Screen, unknown: Unknown) -> (&'static str, &'static str) {
    match unknown {
        Unknown::Mount(..) | Unknown::Driver(..) => ("mm", screen.length_unit()),
        Unknown::RollShareRear | Unknown::RollShareFront => ("share", ""),
        Unknown::WarpRate => ("kg_per_mm", "kg/mm"),
        Unknown::Pad(_) => ("kg", screen.mass_unit()),
    }
}

fn written(screen: Screen, unknown: Unknown, number: f64) -> String {
    match unknown {
        Unknown::Mount(..) | Unknown::Driver(..) => screen.place(Length::from_mm(number)).number,
        Unknown::Pad(_) => screen.plain(number).number,
        Unknown::RollShareRear | Unknown::RollShareFront | Unknown::WarpRate => trimmed(number, 2),
    }
}

/// `seat_left forward: known to +- 6 instead of 9 mm`; none where both read the same.
fn teaching(screen: Screen, lesson: &Lesson, line: &LessonLine, uncertainty: f64) -> Option<String> {
    let (now, then) = (&line.shown[2], written(screen, lesson.unknown, COVERAGE * uncertainty));
    let sentence = || format!("{}: known to +- {then} instead of {now} {}", line.name, line.unit);
    (*now != then).then(|| sentence().trim_end().to_owned())
}

/// Where a weighing stands in the file.
pub(super) fn origin(scenario: &Scenario, origin: Origin) -> String {
    match origin {
        Origin::Main => "`weighing`".to_owned(),
        Origin::OfDriver(driver) => format!("the own weighing of `{}`", scenario.drivers()[driver].name),
        Origin::Further(index) => format!("number {} of `weighings`", index + 1),
        Origin::After(index) => format!("number {} of `after`", index + 1),
    }
}

/// Each weighing, with everything that was aboard.
fn weighings(screen: Screen, scenario: &Scenario, sightings: &[Sighting]) -> Vec<String> {
    let one = |sighting: &Sighting| {
        let aboard = &sighting.weighing.aboard;
        let driver = aboard.driver.map_or("no driver", |driver| scenario.drivers()[driver].name.as_str());
        let fuel = screen.plain(aboard.fuel.iter().copied().sum::<Mass>().kg());
        let lead: Mass =
            aboard.lead.placed().map(|(kind, _, count)| scenario.lead()[kind].mass * count).sum();
        let lead =
            if lead == Mass::ZERO { "no lead".to_owned() } else { format!("lead {}", screen.given(lead)) };
        format!("{}: {driver}, fuel {fuel}, {lead}", origin(scenario, sighting.origin))
    };
    sightings.iter().map(one).collect()
}

fn verdict(screen: Screen, scenario: &Scenario, lessons: &Lessons, lines: &[LessonLine]) -> String {
    let chance = match lessons.chance {
        chance if chance < 0.001 => "less than once in a thousand times".to_owned(),
        chance => format!("{} times in a hundred", trimmed(100.0 * chance, 0)),
    };
    let odd = odd(screen, scenario, lessons, lines);
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

fn odd(screen: Screen, scenario: &Scenario, lessons: &Lessons, lines: &[LessonLine]) -> String {
    match lessons.odd {
        Odd::Reading { sighting, corner, misfit_kg } => {
            let place = origin(scenario, lessons.sightings[sighting].origin);
            let corner = Corner::ALL[corner].word();
            format!(
                "{corner} at {place}, {} {} than all else explains",
                screen.plain(misfit_kg.abs()),
                if misfit_kg > 0.0 { "more" } else { "less" }
            )
        }
        Odd::Number { lesson } => {
            let line = &lines[lesson];
            format!(
                "`{}`, given as {} and needed as {} {}",
                line.name, line.shown[0], line.shown[1], line.unit
            )
            .trim_end()
            .to_owned()
        }
    }
}

fn trial_sentence(screen: Screen, scenario: &Scenario, trial: Trial) -> String {
    let piece = |kind: usize| {
        let kind = &scenario.lead()[kind];
        format!("`{}` ({})", kind.name, screen.given(kind.mass))
    };
    let mount = |mount: usize| format!("`{}`", scenario.mounts()[mount].name);
    let what = match trial {
        Trial::Hang { kind, mount: on } => format!("{} hung on {}", piece(kind), mount(on)),
        Trial::TakeOff { kind, mount: from } => format!("{} taken off {}", piece(kind), mount(from)),
        Trial::DriverOut => "the driver out of the seat".to_owned(),
        Trial::Seat { hole } => format!("the seat at hole {}", hole.along),
        Trial::Washers { adjuster, setting } => {
            let adjuster = &scenario.adjusters()[adjuster];
            format!("washers at the {}: {}", adjuster.name, adjuster.settings[setting].name)
        }
    };
    format!("weigh once more as last time, but with {what}")
}
