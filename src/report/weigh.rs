//! What `weigh` has to show: what the pads say, how it stands to the targets, what mass can cure and what is
//! warp.
//! Takes a scenario, or four readings and perhaps three lengths; gives a view in the units of the screen.
//! Does not plan: where which piece goes is the job of `plan`.

use super::amount::{Screen, Weight, fixed, rounded_percent};
use super::doubts::{self, DoubtLine};
use super::forecast::ForecastLines;
use super::height::HeightLine;
use super::margin::{Passing, Required};
use super::sure::{self, SureKart};
use super::target::{Standing, Wanted};
use super::warp::WarpLines;
use crate::inspection;
use crate::plan::{Measured, Residual};
use crate::scenario::{Aboard, Figure, Hole, Pads, Scenario};
use crate::statics::{Chassis, Corners, Stiffness};
use crate::tasks::after::{Step, as_weighed};
use crate::uncertainty::kart::{self, UnsureKart};
use crate::uncertainty::verdict;
use crate::units::{Length, Mass, UnitSystem};
use crate::weighing::{self, Load};

/// Everything that `weigh` shows.
#[derive(Clone, Debug, PartialEq)]
pub struct WeighView {
    /// Units of the screen.
    pub screen: Screen,
    /// How the kart stands as weighed.
    pub status: WeighStatus,
    /// Kart, class and what was aboard, if a file told.
    pub about: Option<About>,
    /// The readings.
    pub picture: Picture,
    /// The ± of all of them.
    pub sure: SureKart,
    /// What is odd about the weighing.
    pub doubts: Vec<DoubtLine>,
    /// Height of the centre of gravity, from lifts if there are any.
    pub height: Option<HeightLine>,
    /// Where most of every ± comes from, one sentence each.
    pub origins: Vec<String>,
    /// What every ± rests on without anybody having said it, one sentence each.
    pub assumptions: Vec<String>,
    /// Centre of gravity and warp, if the three lengths are known.
    pub warp: Option<WarpLines>,
    /// Targets and how the readings stand to them.
    pub targets: Vec<(Wanted, Standing)>,
    /// What moving lead or the seat would cure.
    pub cures: Vec<Cure>,
    /// What the trade says where nobody set a target.
    pub practice: Vec<String>,
    /// Forecast and truth of every weighing after work.
    pub after: Vec<ForecastLines>,
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
}

/// What was weighed, and what the officials would say.
#[derive(Clone, Debug, PartialEq)]
pub struct About {
    /// The kart's name.
    pub kart: String,
    /// The class's name.
    pub class: String,
    /// Who sat in it.
    pub driver: Option<(String, Weight)>,
    /// Fuel in it.
    pub fuel: Weight,
    /// Lead on it: count, kind, mount.
    pub lead: Vec<(u32, String, String)>,
    /// All lead on it.
    pub lead_mass: Weight,
    /// Hole of the seat.
    pub seat_hole: Option<Hole>,
    /// What the officials want.
    pub required: Required,
    /// Who is meant to drive.
    pub official_driver: Option<String>,
    /// What the officials would weigh with what is fitted now.
    pub official: Weight,
    /// Its ±, at k = 2.
    pub official_unsure: Weight,
    /// Above (positive) or below what they want.
    pub above_required: Weight,
    /// The same without its sign, to the gram.
    pub apart: Weight,
    /// Chance to pass, and its budget.
    pub passing: Passing,
}

/// The readings with all that can be said of four numbers.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// LF RF LR RR.
    pub corners: [Weight; 4],
    /// Their sum.
    pub total: Weight,
    /// LF + RF.
    pub front: Share,
    /// LR + RR.
    pub rear: Share,
    /// LF + LR.
    pub left: Share,
    /// RF + RR.
    pub right: Share,
    /// RF + LR.
    pub cross: Share,
    /// LF - RF.
    pub front_pair: Weight,
    /// LR - RR.
    pub rear_pair: Weight,
}

/// Two corners together.
#[derive(Clone, Debug, PartialEq)]
pub struct Share {
    /// Their load.
    pub load: Weight,
    /// Percent of the total.
    pub percent: f64,
    /// The same as read on the screen.
    pub number: String,
}

/// What moving lead or the seat would cure.
#[derive(Clone, Debug, PartialEq)]
pub struct Cure {
    /// The missed target.
    pub figure: Figure,
    /// Load that must change axle or side; positive to the front or to the left.
    pub load: Weight,
    /// The ± of it, at k = 2.
    pub unsure: Weight,
    /// Mass times way that does it, kg·mm; positive forward or to the left.
    pub moment_kg_mm: f64,
    /// The ± of it, at k = 2.
    pub moment_sure_kg_mm: f64,
    /// The same as a sentence.
    pub sentence: String,
}

impl WeighView {
    /// From the main weighing of a scenario.
    pub fn of_scenario(screen: Screen, scenario: &Scenario) -> WeighView {
        let load = weighing::as_weighed(scenario);
        let aboard = &scenario.weighing().aboard;
        let official_driver = scenario.driver().or(aboard.driver);
        let official = Measured::new(scenario, official_driver, scenario.fitted().clone()).worth.total;
        let required = inspection::required(scenario, official_driver);
        let short = official < required;
        let kart = kart::weighed(scenario);
        let moment = scenario.class().weighed_at;
        let residuals: Vec<Residual> = (0..scenario.targets().len())
            .map(|target| Residual::new(scenario, target, moment, &load))
            .collect();
        let status = match residuals.iter().all(|residual| residual.in_band) {
            _ if short => WeighStatus::TooLight,
            true => WeighStatus::OnTarget,
            false => WeighStatus::OffTarget,
        };
        let chassis = &scenario.kart().chassis;
        let targets = residuals.iter().map(|residual| {
            (
                Wanted::new(screen, residual.figure, residual.aim),
                Standing::new(screen, scenario, residual, &kart),
            )
        });
        let figures: Vec<Figure> = scenario.targets().iter().map(|target| target.figure).collect();
        let driver = aboard.driver.map(|index| &scenario.drivers()[index]);
        let missed = residuals.iter().filter(|residual| !residual.in_band);
        WeighView {
            screen,
            status,
            about: Some(About {
                kart: scenario.kart().name.clone(),
                class: scenario.class().name.clone(),
                driver: driver.map(|driver| (driver.name.clone(), screen.given(driver.mass))),
                fuel: screen.plain(aboard.fuel.iter().copied().sum::<Mass>().kg()),
                lead: lead_aboard(scenario, aboard),
                lead_mass: screen.plain(weighing::lead(scenario, &aboard.lead).total.kg()),
                seat_hole: aboard.seat_hole,
                required: Required::new(screen, scenario, official_driver),
                official_driver: official_driver.map(|index| scenario.drivers()[index].name.clone()),
                official: screen.given(official),
                official_unsure: screen.column(
                    kart::state(scenario, official_driver, moment, scenario.fitted())
                        .estimate(|kart| kart.corners.total())
                        .expanded(),
                ),
                above_required: screen.given(official - required),
                apart: screen.apart(official, required),
                passing: Passing::new(screen, scenario, official_driver, scenario.fitted(), official),
            }),
            picture: Picture::new(screen, &load),
            sure: SureKart::new(screen, &kart),
            doubts: doubts::lines(screen, scenario),
            height: HeightLine::of_scenario(screen, scenario),
            origins: sure::origins(&kart),
            assumptions: assumptions(screen, scenario),
            warp: Some(WarpLines::of_scenario(screen, scenario, &load, &kart)),
            targets: targets.collect(),
            cures: missed
                .filter_map(|residual| {
                    let seated = driver.map(|driver| (driver.name.as_str(), driver.mass));
                    Cure::new(screen, chassis, &kart, residual, seated)
                })
                .collect(),
            practice: practice(screen, &load.corners, &figures),
            after: Vec::new(),
        }
    }

    /// From the last weighing after work, with every forecast on the way; from the main weighing if there was none.
    pub fn of_steps(screen: Screen, scenario: &Scenario, steps: &[Step]) -> WeighView {
        let view = WeighView::of_scenario(screen, &as_weighed(scenario, steps));
        WeighView { after: ForecastLines::of_steps(screen, steps), ..view }
    }

    /// From four readings alone, LF RF LR RR, and the lengths if they were given.
    pub fn of_readings(screen: Screen, readings: [Mass; 4], chassis: Option<&Chassis>) -> WeighView {
        let load =
            Load { corners: Corners::from_kg(readings.map(Mass::kg)), total: readings.into_iter().sum() };
        let pads = Pads::default();
        let kart = kart::of_readings(readings, &pads, chassis.unwrap_or(&usual_chassis()));
        WeighView {
            screen,
            status: WeighStatus::Measured,
            about: None,
            picture: Picture::new(screen, &load),
            sure: SureKart::new(screen, &kart),
            doubts: Vec::new(),
            height: None,
            origins: sure::origins(&kart),
            assumptions: sure::assumed_pads(screen, &pads, false, false).into_iter().collect(),
            warp: chassis.map(|_| WarpLines::of_corners(screen, &kart)),
            targets: Vec::new(),
            cures: Vec::new(),
            practice: practice(screen, &load.corners, &[]),
            after: Vec::new(),
        }
    }
}

/// What every ± of the weighing rests on without anybody having said it.
fn assumptions(screen: Screen, scenario: &Scenario) -> Vec<String> {
    let taken = &scenario.weighing().taken;
    let pads = sure::assumed_pads(screen, scenario.pads(), taken.floor.is_some(), taken.spread.is_some());
    pads.into_iter().collect()
}

/// A kart whose lengths nobody gave: only what a pad out of level does to it matters, and that differs little between karts.
/// Lot & Dal Bianco 2016 (as transcribed; paper not seen).
fn usual_chassis() -> Chassis {
    let [wheelbase, front, rear] = [1045.0, 1055.0, 1200.0].map(Length::from_mm);
    Chassis::from_stiffness(wheelbase, front, rear, Stiffness::default())
}

fn lead_aboard(scenario: &Scenario, aboard: &Aboard) -> Vec<(u32, String, String)> {
    let lines = aboard.lead.placed().map(|(kind, mount, count)| {
        (count, scenario.lead()[kind].name.clone(), scenario.mounts()[mount].name.clone())
    });
    lines.collect()
}

impl Picture {
    fn new(screen: Screen, load: &Load) -> Picture {
        let corners = &load.corners;
        let share = |kg: f64| {
            let percent = 100.0 * kg / corners.total();
            Share { load: screen.column(kg), percent: rounded_percent(percent), number: fixed(percent, 2) }
        };
        Picture {
            corners: corners.kg().map(|kg| screen.column(kg)),
            total: screen.column(load.total.kg()),
            front: share(corners.front()),
            rear: share(corners.rear()),
            left: share(corners.left()),
            right: share(corners.total() - corners.left()),
            cross: share(corners.cross()),
            front_pair: screen.signed(corners.front_pair()),
            rear_pair: screen.signed(corners.rear_pair()),
        }
    }
}

impl Cure {
    /// Front and left are what mass decides; cross and pairs belong to warp.
    fn new(
        screen: Screen,
        chassis: &Chassis,
        kart: &UnsureKart,
        residual: &Residual,
        driver: Option<(&str, Mass)>,
    ) -> Option<Cure> {
        let cg = chassis.cg(&kart.centre.corners);
        // Load that one kilogram moves to the front axle, or to the left side, per millimetre of its way.
        let (towards_kg, per_mm, more, less, from_to) = match residual.figure {
            Figure::Front | Figure::Rear => {
                let sign = if residual.figure == Figure::Front { -1.0 } else { 1.0 };
                let sides = ("forward", "back", ("rear to front", "front to rear"));
                (sign * residual.distance_kg, 1.0 / chassis.wheelbase.mm(), sides.0, sides.1, sides.2)
            }
            Figure::Left => {
                let share = chassis.roll_share_at(cg.x.mm() / chassis.wheelbase.mm());
                let per_mm = share / chassis.track_front.mm() + (1.0 - share) / chassis.track_rear.mm();
                let sides = ("to the left", "to the right", ("right to left", "left to right"));
                (-residual.distance_kg, per_mm, sides.0, sides.1, sides.2)
            }
            Figure::Cross | Figure::FrontPair | Figure::RearPair | Figure::Height => return None,
        };
        let moment_kg_mm = towards_kg / per_mm;
        let (side, from_to) = if towards_kg > 0.0 { (more, from_to.0) } else { (less, from_to.1) };
        let example = match screen.units {
            UnitSystem::KgMm => Mass::from_kg(5.0),
            UnitSystem::LbIn => Mass::from_lb(10.0),
        };
        let unsure = screen.column(verdict::distance(residual, kart).expanded());
        let moment_sure_kg_mm = (unsure.kg / per_mm).abs();
        let way = |mass: Mass| {
            let way = |moment_kg_mm: f64| screen.place(Length::from_mm((moment_kg_mm / mass.kg()).abs()));
            format!("{} +- {}", way(moment_kg_mm).number, way(moment_sure_kg_mm))
        };
        let seat = match (driver, residual.figure) {
            (Some((name, mass)), Figure::Front | Figure::Rear) => {
                format!(", or `{name}` moved {} {side}", way(mass))
            }
            _ => String::new(),
        };
        Some(Cure {
            figure: residual.figure,
            load: screen.signed(towards_kg),
            unsure: unsure.clone(),
            moment_kg_mm: (moment_kg_mm * 1e3).round() / 1e3 + 0.0,
            moment_sure_kg_mm: (moment_sure_kg_mm * 1e3).round() / 1e3,
            sentence: format!(
                "{}: {} +- {} must go from {from_to}; that is {} moved {} {side}{seat}",
                residual.figure.name(),
                screen.column(towards_kg.abs()).number,
                unsure,
                screen.given(example),
                way(example)
            ),
        })
    }
}

/// Remarks of the trade for the figures that have no target.
fn practice(screen: Screen, corners: &Corners, targeted: &[Figure]) -> Vec<String> {
    let free = |figures: &[Figure]| figures.iter().all(|figure| !targeted.contains(figure));
    let lb = |number: f64| screen.plain(Mass::from_lb(number).kg());
    let apart = |kg: f64| screen.plain(kg.abs());
    // In whole nanograms, so that 3 lb apart is within 3 lb.
    let within = |kg: f64, lb: f64| Mass::from_kg(kg).abs() <= Mass::from_lb(lb);
    let mut remarks = Vec::new();
    if free(&[Figure::Front, Figure::Rear]) {
        let front = Figure::Front.of(corners);
        let remark = match (front - 43.0).abs() {
            _ if front >= 48.0 => ": so much hides some other fault",
            far if far > 3.0 => ": more than 3 points from it is unusual",
            _ => "",
        };
        remarks.push(format!("front about 43 % is the usual start for a sprint kart{remark}"));
    }
    if free(&[Figure::FrontPair, Figure::Cross]) {
        let pair = corners.front_pair();
        let (verdict, limit) = match () {
            () if within(pair, 0.5) => ("very good", 0.5),
            () if within(pair, 1.0) => ("a baseline", 1.0),
            () => ("more than a baseline", 1.0),
        };
        remarks.push(format!("fronts {} apart: {verdict} (within {})", apart(pair), lb(limit)));
    }
    if free(&[Figure::RearPair, Figure::Cross]) {
        let pair = corners.rear_pair();
        let verdict = if within(pair, 3.0) { "as usual" } else { "more than usual" };
        remarks.push(format!("rears {} apart: {verdict} (within {})", apart(pair), lb(3.0)));
    }
    remarks
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::statics::Point;

    const KG: Screen = Screen { units: UnitSystem::KgMm };

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
        let view = WeighView::of_scenario(KG, &scenario);
        let [rear, left] = view.cures.as_slice() else { panic!("both targets are missed") };
        // One kilogram moved by as many millimetres as the moment has kilogram millimetres.
        let forward = after_moving(&scenario, Point::from_mm(rear.moment_kg_mm, 0.0));
        assert_relative_eq!(Figure::Rear.of(&forward), 56.0, epsilon = 1e-4);
        let sideways = after_moving(&scenario, Point::from_mm(0.0, left.moment_kg_mm));
        assert_relative_eq!(Figure::Left.of(&sideways), 53.0, epsilon = 1e-4);
    }

    #[test]
    fn readings_alone_say_nothing_of_targets_or_warp() {
        let view = WeighView::of_readings(KG, [30.0, 30.0, 40.0, 40.0].map(Mass::from_kg), None);
        assert_eq!(view.status, WeighStatus::Measured);
        assert!(view.warp.is_none() && view.targets.is_empty() && view.cures.is_empty());
        assert_eq!(view.picture.cross.number, "50.00");
    }

    // Common practice, no published source: within 0.5 lb very good, within 1 lb a baseline; rears within 3
    // lb.
    #[test]
    fn the_limits_of_the_trade_are_within_themselves() {
        let remarks = |front: f64, rear: f64| {
            let readings = [90.0 + front, 90.0, 120.0, 120.0 + rear].map(Mass::from_lb);
            WeighView::of_readings(KG, readings, None).practice.join("; ")
        };
        assert!(remarks(0.5, 3.0).contains("very good") && remarks(0.5, 3.0).contains("as usual"));
        assert!(remarks(1.0, 3.1).contains(": a baseline") && remarks(1.0, 3.1).contains("more than usual"));
        assert!(remarks(1.1, 0.0).contains("more than a baseline"));
    }
}
