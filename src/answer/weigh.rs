//! What `weigh` has found: what the pads say, how it stands to the targets, what mass can cure and what is twist.

mod bare;
mod twist;

pub use twist::{Correction, LeadAcross, Twist};

use schemars::JsonSchema;
use serde::Serialize;

use super::Exit;
use super::assumed::of_pads;
use super::doubts::{EXCHANGED, Finding, findings};
use super::forecast::Forecast;
use super::kart::{Figures, Residual, corners};
use super::official::Official;
use super::work::{MountLoad, Placement, mounts, placements};
use crate::assess::practice::{is_for_oval, practice};
use crate::decimals::fixed;
use crate::marks::{MASS_UNIT, column, given, place, plain, share};
use crate::plan::{self, Measured};
use crate::quantity::{Exact, Kg, KgMm, Mm, Quantity, Wheels, kg, mm, percent};
use crate::scenario::{Figure, Means, Scenario, Set, Turned};
use crate::tasks::forecast::steps;
use crate::uncertainty::cause::Cause;
use crate::uncertainty::kart::{self, Kart, UnsureKart};
use crate::uncertainty::verdict::Verdict;
use crate::uncertainty::{COVERAGE_FACTOR, inputs, verdict};
use crate::units::{Mass, UnitSystem};
use crate::weighing;

/// A share of the cause with the largest part below which it is not worth naming alone.
const MOSTLY: f64 = 0.5;

/// Everything that `weigh` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Weighing {
    /// How the kart stands as weighed.
    #[serde(skip)]
    pub status: WeighStatus,
    /// Kart, class and what was aboard, if a file said so.
    #[serde(flatten)]
    pub about: Option<About>,
    /// LF RF LR RR.
    pub corners: Quantity<Kg, Wheels>,
    /// What they say.
    #[serde(flatten)]
    pub figures: Figures,
    /// Where most of every ± comes from, one sentence each.
    pub most_of_plus_minus: Vec<String>,
    /// What another set with the kart turned a quarter would bring, where a verdict hangs on it.
    pub turned_would_bring: Option<String>,
    /// Height of the centre of gravity, from lifts if there are any.
    pub height: Option<Height>,
    /// What is odd about the weighing.
    pub doubts: Vec<Finding>,
    /// What every ± rests on without anybody having said it, one sentence each.
    pub assumptions: Vec<String>,
    /// How the readings stand to the targets.
    pub residuals: Vec<Residual>,
    /// What moving lead or the seat would cure.
    pub cures: Vec<Cure>,
    /// What the centre of gravity does not explain, if the readings are at their wheels.
    pub twist: Option<Twist>,
    /// What the trade says where nobody set a target.
    pub common_practice: Vec<String>,
    /// Forecast and truth of every weighing that was not the first.
    pub forecasts: Vec<Forecast>,
}

/// How a kart stands as weighed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WeighStatus {
    /// Heavy enough, and every target is met.
    OnTarget,
    /// Heavy enough, but a target is missed.
    OffTarget,
    /// With what is fitted now it is too light when the officials weigh.
    TooLight,
    /// Nobody said what is wanted.
    Measured,
}

impl WeighStatus {
    /// The words for it.
    pub const fn words(self) -> &'static str {
        match self {
            WeighStatus::OnTarget => "on target",
            WeighStatus::OffTarget => "off target",
            WeighStatus::TooLight => "too light",
            WeighStatus::Measured => "measured",
        }
    }

    /// How the program ends after it.
    pub const fn exit(self) -> Exit {
        match self {
            WeighStatus::OnTarget | WeighStatus::Measured => Exit::Good,
            WeighStatus::OffTarget | WeighStatus::TooLight => Exit::OffTarget,
        }
    }
}

/// What was weighed, and what the officials would say.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct About {
    /// The kart's name.
    pub kart: String,
    /// The class's name.
    pub class: String,
    /// What was on it.
    pub aboard: Aboard,
    /// With what is fitted now.
    pub official: Official,
}

/// What was on a kart.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Aboard {
    /// Who sat in it.
    pub driver: Option<String>,
    /// In full gear.
    pub driver_mass: Option<Exact<Kg>>,
    /// In all tanks.
    pub fuel: Exact<Kg>,
    /// Piece by piece.
    pub lead: Vec<Placement>,
    /// Lead on every mount, in file order.
    pub mounts: Vec<MountLoad>,
    /// All of it.
    pub lead_mass: Exact<Kg>,
    /// Hole of the seat along the kart.
    pub seat_hole: Option<i32>,
    /// The same across it.
    pub seat_across: Option<i32>,
}

/// Height of the kart as weighed.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Height {
    /// Above the ground.
    pub z: Quantity<Mm>,
    /// Standard deviation of the lifts about their line; none for a height that the file gives.
    pub scatter: Option<Exact<Mm>>,
    /// How many lifts.
    pub lifts: Option<usize>,
}

/// What moving lead or the seat would cure.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Cure {
    /// The missed target.
    pub target: Figure,
    /// Load that must change axle or side; positive to the front or to the left.
    pub load: Quantity<Kg>,
    /// Mass times way that does it; positive forward or to the left.
    pub moment: Quantity<KgMm>,
    /// The same as a sentence.
    pub sentence: String,
}

impl Weighing {
    /// From the last weighing of a scenario as the pads showed it, with every forecast on the way.
    pub fn of_scenario(scenario: &Scenario) -> Weighing {
        let forecasts = steps(scenario).iter().map(Forecast::new).collect();
        let counted = scenario;
        let scenario = &scenario.as_read();
        let load = weighing::as_weighed(scenario);
        let about = About::new(scenario, counted);
        let kart = kart::weighed(scenario);
        let moment = scenario.class().weighed_at;
        let judged: Vec<plan::Residual> = (0..scenario.targets().len())
            .map(|target| plan::Residual::new(scenario, target, moment, &load))
            .collect();
        let status = match judged.iter().all(|residual| residual.on_target) {
            _ if about.official.margin.above_required.value < 0.0 => WeighStatus::TooLight,
            true => WeighStatus::OnTarget,
            false => WeighStatus::OffTarget,
        };
        let residual = |judged| Residual { state: None, ..Residual::new(judged, &kart) };
        let figures: Vec<Figure> = scenario.targets().iter().map(|target| target.figure).collect();
        let missed = judged.iter().filter(|residual| !residual.on_target);
        let taken = &scenario.weighing().taken;
        let assumed = of_pads(scenario.pads(), taken.floor.is_some(), taken.spread.is_some());
        let doubts = findings(scenario);
        // Nothing is worked out from readings that stand at the wrong wheels.
        let readable = doubts.iter().all(|doubt| doubt.name != EXCHANGED);
        let cures = missed.filter_map(|residual| Cure::new(scenario, &kart, residual)).filter(|_| readable);
        Weighing {
            status,
            about: Some(about),
            corners: corners(&kart),
            figures: Figures::new(&kart, true),
            most_of_plus_minus: origins(&kart),
            turned_would_bring: turned_would_bring(scenario, &judged, &kart),
            height: Height::of(scenario),
            doubts,
            assumptions: assumed.into_iter().collect(),
            residuals: judged.iter().map(residual).collect(),
            cures: cures.collect(),
            twist: readable.then(|| Twist::new(scenario, &load, &kart)),
            common_practice: practice(&kart, &figures, is_for_oval(scenario)),
            forecasts,
        }
    }
}

/// A set of the kart turned a quarter must leave no more than this part of a ± to be worth the work.
const WORTH_TURNING: f64 = 0.7;

/// How sure a set of the kart turned a quarter would make the first target that twist decides and the pads cannot.
fn turned_would_bring(scenario: &Scenario, judged: &[plan::Residual], kart: &UnsureKart) -> Option<String> {
    let twisted = [Figure::FrontPair, Figure::RearPair, Figure::Cross];
    let unclear = |residual: &&plan::Residual| {
        let half_kg = verdict::half_width_kg(residual, kart);
        let verdict = Verdict::new(verdict::distance(residual, kart), half_kg, residual.on_target);
        twisted.contains(&residual.figure) && !matches!(verdict, Verdict::OnTarget | Verdict::Off)
    };
    let residual = judged.iter().find(unclear)?;
    let mut weighing = scenario.weighing().clone();
    let sets = &mut weighing.taken.sets;
    if sets.iter().any(|set| set.pads != sets[0].pads) {
        return None;
    }
    let turned = Set { pads: Turned::Left.pads().map(|pad| sets[0].pads[pad]), ..sets[0].clone() };
    sets.push(turned);
    let then = kart::weighed(&scenario.weighed_as(&weighing));
    let [now, then] = [kart, &then].map(|kart| verdict::figure(residual, kart).expanded());
    let shown = |by: f64| {
        if residual.figure.is_share() {
            format!("{} %", share(percent(by)).as_plus_minus())
        } else {
            plain(kg(by)).as_plus_minus().to_string()
        }
    };
    (then <= WORTH_TURNING * now).then(|| {
        format!(
            "one more set with the kart turned a quarter on the same pads would tell {} to \u{b1} {} instead of \u{b1} {}: \
             `kentledge weigh --howto`",
            residual.figure.name(),
            shown(then),
            shown(now)
        )
    })
}

impl About {
    /// What was aboard as the pads showed it, and how the officials would read it as far as that is known.
    fn new(scenario: &Scenario, counted: &Scenario) -> About {
        let aboard = &scenario.weighing().aboard;
        let driver = aboard.driver.map(|index| &scenario.drivers()[index]);
        About {
            kart: scenario.kart().name.clone(),
            class: scenario.class().name.clone(),
            aboard: Aboard {
                driver: driver.map(|driver| driver.name.clone()),
                driver_mass: driver.map(|driver| driver.mass.into()),
                fuel: aboard.fuel.iter().copied().sum::<Mass>().into(),
                lead: placements(scenario, &aboard.lead),
                mounts: mounts(scenario, &Measured::new(scenario, aboard.driver, aboard.lead.clone())),
                lead_mass: weighing::lead(scenario, &aboard.lead).total.into(),
                seat_hole: aboard.seat_hole.map(|hole| hole.along),
                seat_across: aboard.seat_hole.map(|hole| hole.across),
            },
            official: Official::new(scenario, counted),
        }
    }
}

impl Height {
    fn of(scenario: &Scenario) -> Option<Height> {
        let known = inputs::height(scenario)?;
        let lifted = match &scenario.heights()?.means {
            Means::Lifted(lifts) => Some((mm(known.scatter_mm), lifts.lifts.len())),
            Means::Given { .. } => None,
        };
        Some(Height {
            z: Quantity::new(Mm, known.height_mm.value, COVERAGE_FACTOR * known.height_mm.standard),
            scatter: lifted.map(|(scatter, _)| scatter),
            lifts: lifted.map(|(_, lifts)| lifts),
        })
    }
}

/// A figure with its name.
type Named<'a> = (&'static str, &'a dyn Fn(&Kart) -> f64);

/// What makes up most of the ± of the total, of front % and of the front pair, one sentence each.
fn origins(kart: &UnsureKart) -> Vec<String> {
    let figures: [Named; 3] = [
        ("total", &|kart| kart.corners.total()),
        ("front %", &|kart| Figure::Front.of(&kart.corners)),
        ("front pair", &|kart| kart.corners.front_pair()),
    ];
    let sentence = |(name, figure): Named| {
        let mut parts: Vec<(Cause, f64)> =
            kart.by_cause(figure).into_iter().map(|(cause, part)| (cause, part * part)).collect();
        let whole: f64 = parts.iter().map(|(_, part)| part).sum();
        parts.sort_by(|(_, one), (_, other)| other.total_cmp(one));
        let told = if parts.first()?.1 > MOSTLY * whole { 1 } else { 2 };
        let told = parts
            .iter()
            .take(told)
            .map(|(cause, part)| format!("{} ({} %)", cause.words(), fixed(100.0 * part / whole, 0)));
        (whole > 0.0).then(|| format!("{name}: {}", told.collect::<Vec<_>>().join(", ")))
    };
    figures.into_iter().filter_map(sentence).collect()
}

impl Cure {
    /// Front and left are what mass decides; cross and pairs belong to twist.
    fn new(scenario: &Scenario, kart: &UnsureKart, residual: &plan::Residual) -> Option<Cure> {
        let chassis = &scenario.kart().chassis;
        let cg = chassis.cg(&kart.centre.corners);
        // Load that one kilogram moves to the front axle, or to the left side, per millimetre of its way.
        let (towards_kg, per_mm, sides, from_to) = match residual.figure {
            Figure::Front | Figure::Rear => {
                let sign = if residual.figure == Figure::Front { -1.0 } else { 1.0 };
                let sides = (["forward", "back"], ["rear to front", "front to rear"]);
                (sign * residual.distance_kg, 1.0 / chassis.wheelbase.mm(), sides.0, sides.1)
            }
            Figure::Left => {
                let per_mm = chassis.left_per_mm(cg.x.mm() / chassis.wheelbase.mm());
                let sides = (["to the left", "to the right"], ["right to left", "left to right"]);
                (-residual.distance_kg, per_mm, sides.0, sides.1)
            }
            Figure::Cross | Figure::FrontPair | Figure::RearPair | Figure::Height => return None,
        };
        let which = usize::from(towards_kg <= 0.0);
        let (side, from_to) = (sides[which], from_to[which]);
        let load = Quantity::new(Kg, towards_kg, verdict::distance(residual, kart).expanded());
        let moment = Quantity::new(KgMm, towards_kg / per_mm, (load.plus_minus / per_mm).abs());
        let way = |mass: Mass| {
            let way = moment.part(|moment| (moment / mass.kg()).abs());
            place(Quantity::new(Mm, way.value, way.plus_minus))
        };
        let example = example(scenario.units());
        let driver = scenario.weighing().aboard.driver.map(|index| &scenario.drivers()[index]);
        let seat = match (driver, residual.figure) {
            (Some(driver), Figure::Front | Figure::Rear) => {
                format!(", or `{}` moved {} {side}", driver.name, way(driver.mass))
            }
            _ => String::new(),
        };
        let must = format!(
            "{}: {} {} must go from {from_to}",
            residual.figure.name(),
            column(Quantity::new(Kg, towards_kg.abs(), load.plus_minus)),
            MASS_UNIT,
        );
        // Lead goes no farther than the kart is long or wide.
        let most_mm =
            if residual.figure == Figure::Left { chassis.track_rear } else { chassis.wheelbase }.mm();
        let sentence = if (moment.value / example.kg()).abs() <= most_mm {
            format!("{must}; that is {} moved {} {side}{seat}", given(example), way(example))
        } else {
            format!("{must}: more than {} moved within the kart does", given(example))
        };
        Some(Cure { target: residual.figure, load, moment, sentence })
    }
}

/// A mass that people have in mind.
fn example(units: UnitSystem) -> Mass {
    match units {
        UnitSystem::KgMm => Mass::from_kg(5.0),
        UnitSystem::LbIn => Mass::from_lb(10.0),
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::statics::{Corners, Point};

    fn scenario() -> Scenario {
        let text = "units: kg-mm\n\
            kart: {name: k, wheelbase: 1040, track_front: 1080, track_rear: 1150}\n\
            class: {name: c, minimum: 150}\n\
            targets:\n  rear: {aim: 56, within: 0.5}\n  left: {aim: 53, within: 0.3}\n\
            weighing:\n  scales: {lf: 33, rf: 29, lr: 41, rr: 47}\n  \
            aboard: {driver: Sam, fuel: none, lead: none}\n\
            drivers: {Sam: {mass: 70}}\n\
            mounts: {seat: {x: 200, y: 200, capacity: 5}}\n";
        let (scenario, _) = Scenario::from_yaml(text).expect("the scenario is right");
        scenario
    }

    // Moving m from (x, y) to (x', y') changes the corners by m times the difference of the two influences.
    fn after_moving(scenario: &Scenario, way: Point) -> Corners {
        let chassis = &scenario.kart().chassis;
        let now = weighing::readings(scenario.weighing()).corners;
        let here = chassis.cg(&now);
        let there = Point::from_mm(here.x.mm() + way.x.mm(), here.y.mm() + way.y.mm());
        now + chassis.influence(there) - chassis.influence(here)
    }

    #[test]
    fn the_moment_of_a_cure_brings_its_figure_to_its_aim() {
        let scenario = scenario();
        let view = Weighing::of_scenario(&scenario);
        let [rear, left] = view.cures.as_slice() else { panic!("both targets are missed") };
        // One kilogram moved by as many millimetres as the moment has kilogram millimetres.
        let forward = after_moving(&scenario, Point::from_mm(rear.moment.value, 0.0));
        assert_relative_eq!(Figure::Rear.of(&forward), 56.0, epsilon = 1e-4);
        let sideways = after_moving(&scenario, Point::from_mm(0.0, left.moment.value));
        assert_relative_eq!(Figure::Left.of(&sideways), 53.0, epsilon = 1e-4);
    }
}
