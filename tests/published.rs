//! Published figures, worked through the library: ballast and shifts by `solve`, centres of gravity by what `weigh` shows,
//! loading schedules by the bookkeeping of `weighing`.
//! Source of truth: the printed answers. Each test names its source and how that is known:
//! SEEN, read in the source; MEM, from memory; RECOMP, our own arithmetic from the source's inputs.
//!
//! An aeroplane's centre of gravity is a kart's front share: `x = L·front/total`. So each example becomes a kart whose rear
//! axle stands on the example's datum and whose wheelbase is long enough for its centre of gravity; `limits: off` lifts the
//! plausibility bounds that an aeroplane breaks.

use std::fmt::Write as _;

use approx::assert_abs_diff_eq;
use kentledge::answer::weigh::Weighing;
use kentledge::counts::Counts;
use kentledge::goal::Goal;
use kentledge::marks::{column, fine, written};
use kentledge::plan::{Action, Measured};
use kentledge::scenario::{Moment, Scenario};
use kentledge::solve::{GoalResult, Proof, Solved};
use kentledge::statics::{Chassis, Corners, Point, Stiffness};
use kentledge::units::{Length, Mass, UnitSystem};
use kentledge::weighing;

#[path = "published/loading.rs"]
mod loading;
#[path = "support/solving.rs"]
mod solving;

use solving::planned;

/// Half of the last digit of a RECOMP figure that has at least nine decimals.
const RECOMP_DIGITS: f64 = 1e-9;

/// An example of the handbooks: a known load on two axles, mounts along the centre line.
struct Example {
    total_lb: f64,
    /// Ahead of the datum, which is the rear axle.
    cg_in: f64,
    wheelbase_in: f64,
    /// Name and arm.
    mounts: &'static [(&'static str, f64)],
    /// Name, mass of a piece in pounds, how many.
    lead: &'static [(&'static str, f64, u32)],
    /// Pieces that are on the kart when it is weighed: mount, kind, how many.
    fitted: Option<(&'static str, &'static str, u32)>,
    limit: Limit,
    /// Resolution of `targets` in pounds; all other resolutions are zero.
    resolution_lb: f64,
}

/// A limit of the centre of gravity is one edge of a tolerance that reaches this far to its legal side, in percent points.
const HALF_TOLERANCE: f64 = 5.0;

/// Which edge of the tolerance is the limit that the example asks for, in inches ahead of the datum.
enum Limit {
    AtLeast(f64),
    AtMost(f64),
}

impl Example {
    fn text(&self) -> String {
        let percent = |inches: f64| 100.0 * inches / self.wheelbase_in;
        let aim = match self.limit {
            Limit::AtLeast(limit) => percent(limit) + HALF_TOLERANCE,
            Limit::AtMost(limit) => percent(limit) - HALF_TOLERANCE,
        };
        let front = self.total_lb * self.cg_in / self.wheelbase_in / 2.0;
        let rear = self.total_lb / 2.0 - front;
        let then = self.fitted.map_or_else(
            || "none".to_owned(),
            |(mount, kind, count)| format!("{{{mount}: {{{kind}: {count}}}}}"),
        );
        let mut text = format!(
            "units: lb-in\n\
             kart: {{name: beam, wheelbase: {}, track_front: 40, track_rear: 40, limits: off}}\n\
             class: {{name: example, minimum: {}, margin: 0}}\n\
             targets: {{front: {{aim: {aim:.4}, within: {HALF_TOLERANCE}}}}}\n\
             weighing:\n  scales: {{lf: {front:.4}, rf: {front:.4}, lr: {rear:.4}, rr: {rear:.4}}}\n  \
             aboard: {{lead: {then}}}\n\
             drivers: {{Sam: 150}}\n",
            self.wheelbase_in, self.total_lb
        );
        let _ = writeln!(text, "mounts:");
        for (name, arm) in self.mounts {
            let _ = writeln!(text, "  {name}: {{x: {arm}, y: 0, capacity: 1000}}");
        }
        let _ = writeln!(text, "lead:");
        for (name, mass, count) in self.lead {
            let _ = writeln!(text, "  {name}: {{mass: {mass}, count: {count}}}");
        }
        let _ = writeln!(
            text,
            "goals:\n  order: [targets, light, work, close]\n  spare: 400\n  \
             resolution: {{legal: 0, targets: {}, light: 0, work: 0, close: 0}}",
            self.resolution_lb
        );
        text
    }
}

/// Tenths of a pound up to 333 lb, without a thousand single pieces.
const TENTHS: &[(&str, f64, u32)] =
    &[("tenth", 0.1, 10), ("pound", 1.0, 10), ("ten", 10.0, 10), ("hundred", 100.0, 2)];
/// Thousandths of a pound up to 333 lb.
const THOUSANDTHS: &[(&str, f64, u32)] = &[
    ("thousandth", 0.001, 10),
    ("hundredth", 0.01, 10),
    ("tenth", 0.1, 10),
    ("pound", 1.0, 10),
    ("ten", 10.0, 10),
    ("hundred", 100.0, 2),
];

/// FAA-H-8083-1 Aircraft Weight and Balance Handbook, permanent ballast. Weight and CG SEEN; limit, arm and answer MEM.
const HANDBOOK: Example = Example {
    total_lb: 1876.0,
    cg_in: 32.2,
    wheelbase_in: 100.0,
    mounts: &[("ballast", 228.0)],
    lead: TENTHS,
    fitted: None,
    limit: Limit::AtLeast(33.0),
    resolution_lb: 0.0,
};

/// An item of the FAA's knowledge tests; its number and where it was read were not noted: MEM.
const KNOWLEDGE_TEST: Example = Example {
    total_lb: 2900.0,
    cg_in: 115.0,
    wheelbase_in: 200.0,
    mounts: &[("added", 130.0)],
    lead: TENTHS,
    fitted: None,
    limit: Limit::AtLeast(116.0),
    resolution_lb: 0.0,
};

/// Centre of gravity of today's driver, finish fuel and lead, in inches ahead of the datum.
fn cg_in(scenario: &Scenario, counts: &Counts) -> f64 {
    let state = weighing::state(scenario, scenario.driver(), Moment::Finish, counts);
    scenario.kart().chassis.cg(&state.corners).x.inches()
}

/// What is known of one goal.
fn goal(solved: &Solved, goal: Goal) -> &GoalResult {
    let found = solved.goals.iter().find(|result| result.goal == goal);
    found.unwrap_or_else(|| panic!("{goal:?} was not solved"))
}

/// Solved to the end, on target, and proved the lightest: the pounds that the plan adds to the example.
fn least_ballast(example: &Example) -> (Scenario, Solved, Mass) {
    let (scenario, solved) = planned(&example.text());
    assert!(solved.is_best_possible(), "{:?}", solved.goals);
    assert_eq!(goal(&solved, Goal::Targets).value, 0);
    let light = goal(&solved, Goal::Light);
    assert_eq!((light.bound, light.proved), (light.value, Proof::Proved));
    let added = solved.plan.measured().worth.total - Mass::from_lb(example.total_lb);
    assert_eq!(light.value, (Mass::from_lb(example.total_lb) + added).ng());
    (scenario, solved, added)
}

/// FAA-H-8083-30 (SEEN): ballast = loaded weight × distance out of limits / (ballast arm − limit). The divisor runs to the
/// limit, not to the old centre of gravity, because ballast changes the total.
fn ballast_lb(total_lb: f64, cg_in: f64, limit_in: f64, arm_in: f64) -> f64 {
    total_lb * (limit_in - cg_in) / (arm_in - limit_in)
}

/// A single mount's lead made of tenths, so many in all.
fn tenths(scenario: &Scenario, mut tenths: u32) -> Counts {
    let mut counts = Counts::none(scenario.lead().len(), scenario.mounts().len());
    for (kind, (_, mass, _)) in TENTHS.iter().enumerate().rev() {
        let each = (mass * 10.0).round() as u32;
        *counts.get_mut(kind, 0) = tenths / each;
        tenths %= each;
    }
    counts
}

// FAA-H-8083-1, permanent ballast: 1,876 lb at +32.2 in (SEEN), limit +33.0, ballast at +228, 7.7 lb (MEM);
// 7.696410256 lb RECOMP.
#[test]
fn the_handbooks_permanent_ballast_is_7_7_pounds() {
    let exact = ballast_lb(1876.0, 32.2, 33.0, 228.0);
    assert_abs_diff_eq!(exact, 7.696_410_256, epsilon = RECOMP_DIGITS);
    let (scenario, solved, added) = least_ballast(&HANDBOOK);
    assert_eq!(added, Mass::from_lb(7.7));
    assert!(solved.plan.measured().all_on_target());
    // Exactly the formula's mass brings the centre of gravity to the limit, not beyond.
    let chassis = &scenario.kart().chassis;
    let base = weighing::trunk(&scenario, scenario.driver());
    let ballast = chassis.influence(scenario.mounts()[0].place) * Mass::from_lb(exact).kg();
    assert_abs_diff_eq!(chassis.cg(&(base.corners + ballast)).x.inches(), 33.0, epsilon = RECOMP_DIGITS);
}

// The same example: with 7.6 lb the CG is (60407.2 + 1732.8) / 1883.6 = 32.990019 in (RECOMP), still out.
#[test]
fn a_tenth_of_a_pound_less_than_the_permanent_ballast_is_still_out() {
    let scenario = solving::read(&HANDBOOK.text());
    let counts = tenths(&scenario, 76);
    assert_eq!(weighing::lead(&scenario, &counts).total, Mass::from_lb(7.6));
    assert_abs_diff_eq!(cg_in(&scenario, &counts), 32.990_019, epsilon = 0.000_000_5);
    assert!(!Measured::new(&scenario, scenario.driver(), counts).all_on_target());
    let counts = tenths(&scenario, 77);
    assert!(Measured::new(&scenario, scenario.driver(), counts).all_on_target());
}

// The same item (MEM): 2,900 lb at 115.0, target 116.0, weight added at 130, 207.1 lb;
// 207.142857 lb RECOMP. The printed figure is rounded down: in whole tenths 207.2 lb is the least that gets there.
#[test]
fn the_knowledge_tests_ballast_is_207_142857_pounds() {
    let exact = ballast_lb(2900.0, 115.0, 116.0, 130.0);
    assert_abs_diff_eq!(exact, 207.142_857, epsilon = 0.000_000_5);
    assert_abs_diff_eq!(exact, 207.1, epsilon = 0.05);
    let (scenario, _, added) = least_ballast(&KNOWLEDGE_TEST);
    assert_eq!(added, Mass::from_lb(207.2));
    let printed = tenths(&scenario, 2071);
    assert_eq!(weighing::lead(&scenario, &printed).total, Mass::from_lb(207.1));
    assert!(!Measured::new(&scenario, scenario.driver(), printed).all_on_target());
}

// Both examples again; 7.696410256 lb and 207.142857 lb (RECOMP), rounded up to the next thousandth.
#[test]
fn finer_pieces_come_closer_to_the_exact_ballast() {
    for (example, ballast) in [(HANDBOOK, 7.697), (KNOWLEDGE_TEST, 207.143)] {
        let example = Example { lead: THOUSANDTHS, ..example };
        let (_, _, added) = least_ballast(&example);
        assert_eq!(added, Mass::from_lb(ballast));
    }
}

/// A shift of one kind from the first mount to the second: the plan, and how many pieces it moves.
fn least_shift(example: &Example) -> (Scenario, Solved, u32) {
    let (scenario, solved) = planned(&example.text());
    assert!(solved.is_best_possible(), "{:?}", solved.goals);
    let measured = solved.plan.measured();
    assert!(measured.all_on_target());
    assert_eq!(measured.worth.total, Mass::from_lb(example.total_lb), "a shift changes no total");
    let work = goal(&solved, Goal::Work);
    assert_eq!(work.bound, work.value);
    let jobs = measured.jobs(&scenario);
    let [job] = jobs.as_slice() else { panic!("more than one job: {jobs:?}") };
    assert_eq!(job.action, Action::Move { from: 0, to: 1 });
    assert_eq!(i64::from(job.count), work.value);
    let moved = job.count;
    (scenario, solved, moved)
}

/// A shift whose answer lands on the limit itself: the last bits of a binary fraction must not ask for one more piece.
const ON_THE_LIMIT_LB: f64 = 0.0001;

// FAA-H-8083-25, weight shift (SEEN): 8,000 lb at 77.0 in, 100 lb moved from 30 to 150: CG 78.5.
#[test]
fn a_hundred_pounds_moved_from_30_to_150_bring_8000_pounds_from_77_to_78_5() {
    let example = Example {
        total_lb: 8000.0,
        cg_in: 77.0,
        wheelbase_in: 200.0,
        mounts: &[("front", 30.0), ("aft", 150.0)],
        lead: &[("cargo", 100.0, 1)],
        fitted: Some(("front", "cargo", 1)),
        limit: Limit::AtLeast(78.5),
        resolution_lb: ON_THE_LIMIT_LB,
    };
    let (scenario, solved, moved) = least_shift(&example);
    assert_eq!(moved, 1);
    assert_abs_diff_eq!(cg_in(&scenario, scenario.fitted()), 77.0, epsilon = RECOMP_DIGITS);
    assert_abs_diff_eq!(cg_in(&scenario, &solved.plan.measured().counts), 78.5, epsilon = RECOMP_DIGITS);
}

// FAA-H-8083-25, weight shift (SEEN, quoted): 7,800 lb, CG 81.5 to 80.5, from 150 to 30: 65 lb.
#[test]
fn sixty_five_pounds_moved_from_150_to_30_bring_7800_pounds_from_81_5_to_80_5() {
    let example = Example {
        total_lb: 7800.0,
        cg_in: 81.5,
        wheelbase_in: 200.0,
        mounts: &[("aft", 150.0), ("front", 30.0)],
        lead: &[("pound", 1.0, 100)],
        fitted: Some(("aft", "pound", 100)),
        limit: Limit::AtMost(80.5),
        resolution_lb: ON_THE_LIMIT_LB,
    };
    let (scenario, solved, moved) = least_shift(&example);
    assert_eq!(moved, 65);
    assert_abs_diff_eq!(cg_in(&scenario, &solved.plan.measured().counts), 80.5, epsilon = RECOMP_DIGITS);
}

// A teaching example whose work was not noted (MEM): 2,700 lb, 180 lb from 110 to 142: +2.13 in; 2.133333 RECOMP.
// It gives no CG: any
// will do, here 110 in.
#[test]
fn a_hundred_and_eighty_pounds_from_110_to_142_shift_2700_pounds_by_2_13_inches() {
    let example = Example {
        total_lb: 2700.0,
        cg_in: 110.0,
        wheelbase_in: 200.0,
        mounts: &[("from", 110.0), ("to", 142.0)],
        lead: &[("cargo", 180.0, 1)],
        fitted: Some(("from", "cargo", 1)),
        limit: Limit::AtLeast(112.13),
        resolution_lb: 0.0,
    };
    let (scenario, solved, moved) = least_shift(&example);
    assert_eq!(moved, 1);
    let shift = cg_in(&scenario, &solved.plan.measured().counts) - cg_in(&scenario, scenario.fitted());
    assert_abs_diff_eq!(shift, 2.13, epsilon = 0.005);
    assert_abs_diff_eq!(shift, 2.133_333, epsilon = 0.000_000_5);
}

// A teaching example whose work was not noted (MEM): 3,200 lb, 1.5 in, from 167 to 142: 192 lb. It
// gives no CG: any will do, here 150 in.
#[test]
fn a_hundred_and_ninety_two_pounds_from_167_to_142_shift_3200_pounds_by_1_5_inches() {
    let example = Example {
        total_lb: 3200.0,
        cg_in: 150.0,
        wheelbase_in: 200.0,
        mounts: &[("from", 167.0), ("to", 142.0)],
        lead: &[("pound", 1.0, 300)],
        fitted: Some(("from", "pound", 300)),
        limit: Limit::AtMost(148.5),
        resolution_lb: ON_THE_LIMIT_LB,
    };
    let (scenario, solved, moved) = least_shift(&example);
    assert_eq!(moved, 192);
    assert_abs_diff_eq!(cg_in(&scenario, &solved.plan.measured().counts), 148.5, epsilon = RECOMP_DIGITS);
}

/// A chassis of that wheelbase; tracks do not matter to a centre of gravity on the centre line.
fn chassis(wheelbase: Length) -> Chassis {
    let track = Length::from_mm(1100.0);
    Chassis::from_stiffness(wheelbase, track, track, Stiffness::default())
}

/// What `weigh` says of a nose wheel, as two front wheels with half of its load each, and two main wheels: the place of the
/// centre of gravity ahead of the mains, and the whole view.
fn three_wheels(units: UnitSystem, nose: f64, mains: [f64; 2], nose_ahead: f64) -> (Length, Weighing) {
    let chassis = chassis(units.length(nose_ahead));
    let readings = [nose / 2.0, nose / 2.0, mains[0], mains[1]].map(|reading| units.mass(reading));
    let view = Weighing::of_readings(readings, Some(&chassis), units).expect("a kart");
    let cg = chassis.cg(&Corners::from_kg(readings.map(Mass::kg)));
    let shown = view.figures.centre_of_gravity.as_ref().map(|place| place.x.value);
    // The view rounds to a thousandth of a millimetre.
    assert_abs_diff_eq!(
        shown.expect("the report shows the place"),
        cg.x.mm(),
        epsilon = 0.000_5 + RECOMP_DIGITS
    );
    (cg.x, view)
}

// FAA-H-8083-1B ch. 10 (SEEN): nose wheel 340 lb, 78 in ahead of the mains, total 2,006 lb: 13.2 in ahead of the mains;
// 13.220338983 RECOMP.
#[test]
fn a_nose_wheel_of_340_pounds_puts_the_cg_13_2_inches_ahead_of_the_mains() {
    let (cg, view) = three_wheels(UnitSystem::LbIn, 340.0, [833.0, 833.0], 78.0);
    assert_eq!(written(&column(view.figures.total.alone()).to_string(), UnitSystem::LbIn), "2006.00");
    assert_abs_diff_eq!(cg.inches(), 13.220_338_983, epsilon = RECOMP_DIGITS);
    // On the screen one digit more than the handbook prints.
    let place = view.figures.centre_of_gravity.expect("the lengths are known").x.alone();
    assert_eq!(written(&fine(place).to_string(), UnitSystem::LbIn), "13.22 in");
}

// A question of the ECQB, EASA's bank for pilots, whose number was not noted (MEM): nose jack at 161 in
// 6,488 kg, two main jacks at 775 in 17,783 kg each: 42,054 kg, CG 680.3 in;
// 680.27341 RECOMP.
#[test]
fn three_jacks_of_42_tonnes_put_the_cg_at_680_3_inches() {
    let nose_ahead = Length::from_in(775.0 - 161.0).mm();
    let (cg, view) = three_wheels(UnitSystem::KgMm, 6488.0, [17783.0, 17783.0], nose_ahead);
    assert_eq!(written(&column(view.figures.total.alone()).to_string(), UnitSystem::KgMm), "42054.00");
    let station = 775.0 - cg.inches();
    assert_abs_diff_eq!(station, 680.3, epsilon = 0.05);
    assert_abs_diff_eq!(station, 680.273_41, epsilon = 0.000_005);
}

// Another of them (MEM): nose 285 kg, left main 1,465, right main 1,395, 92 in apart: 83.7 in aft of the nose;
// 83.66295707 RECOMP; left share of the mains 51.224 % RECOMP.
#[test]
fn a_nose_wheel_of_285_kilograms_puts_the_cg_83_7_inches_aft_of_it() {
    let (cg, view) = three_wheels(UnitSystem::KgMm, 285.0, [1465.0, 1395.0], Length::from_in(92.0).mm());
    let aft = 92.0 - cg.inches();
    assert_abs_diff_eq!(aft, 83.7, epsilon = 0.05);
    assert_abs_diff_eq!(aft, 83.662_957_07, epsilon = 0.000_000_005);
    let corners = Corners::from_kg(view.corners.value.each());
    let left_of_mains = 100.0 * (corners.left() - corners.front() / 2.0) / corners.rear();
    assert_abs_diff_eq!(left_of_mains, 51.224, epsilon = 0.000_5);
}

// Lot & Dal Bianco 2016, kart with driver (parameters as transcribed; paper not seen): 165 kg, CG 0.400 m ahead of the rear
// axle, wheelbase 1.045 m. RECOMP: 38.2775 % front, 63.158 / 101.842 kg; with 10 kg at x = 0.2 m 65.0718 kg, 37.1839 %.
#[test]
fn the_kart_of_lot_and_dal_bianco_has_38_2775_percent_at_the_front() {
    let chassis = chassis(Length::from_mm(1045.0));
    let kart = chassis.influence(Point::from_mm(400.0, 0.0)) * 165.0;
    assert_abs_diff_eq!(kart.front(), 63.158, epsilon = 0.000_5);
    assert_abs_diff_eq!(kart.rear(), 101.842, epsilon = 0.000_5);
    assert_abs_diff_eq!(100.0 * kart.front() / kart.total(), 38.2775, epsilon = 0.000_05);
    assert_abs_diff_eq!(chassis.cg(&kart).x.mm(), 400.0, epsilon = RECOMP_DIGITS);
}

// The same kart, weighed and planned: 10 kg are missing, and the only mount is at x = 0.2 m.
#[test]
fn ten_kilograms_at_0_2_metres_leave_37_1839_percent_at_the_front() {
    let front = 165.0 * 400.0 / 1045.0 / 2.0;
    let rear = 165.0 / 2.0 - front;
    let text = format!(
        "units: kg-mm\n\
         kart: {{name: model, wheelbase: 1045, track_front: 1055, track_rear: 1200}}\n\
         class: {{name: model, minimum: 175, margin: 0}}\n\
         targets: {{front: {{aim: 37.2, within: 0.1}}}}\n\
         weighing:\n  scales: {{lf: {front:.9}, rf: {front:.9}, lr: {rear:.9}, rr: {rear:.9}}}\n  \
         aboard: {{driver: Sam, fuel: none, lead: none}}\n\
         drivers: {{Sam: {{mass: 75}}}}\n\
         mounts: {{seat: {{x: 200, y: 0, capacity: 20}}}}\n\
         lead: {{block: {{mass: 5, count: 4}}}}\n"
    );
    let (_, solved) = planned(&text);
    let measured = solved.plan.measured();
    assert_eq!(measured.worth.total, Mass::from_kg(175.0));
    for residual in &measured.residuals {
        assert_abs_diff_eq!(residual.value, 37.1839, epsilon = 0.000_05);
    }
    for state in &measured.states {
        assert_abs_diff_eq!(state.load.corners.front(), 65.0718, epsilon = 0.000_05);
    }
}
