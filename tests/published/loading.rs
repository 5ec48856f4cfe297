//! Loading schedules of FAA AC 43.13-1B, by the bookkeeping of `weighing`: one weighing, then any other load.

use std::fmt::Write as _;

use approx::assert_abs_diff_eq;
use kentledge::counts::Counts;
use kentledge::scenario::{Moment, Scenario};
use kentledge::units::Mass;
use kentledge::weighing::{self, Load};

use super::solving;

/// FAA AC 43.13-1B ch. 10 (SEEN), loading schedules: empty 1169 lb at +10.6 in (moment 12391), oil 17 at −49 (−833), each
/// front seat 170 at +16 (2720), each rear seat 170 at +48 (8160), fuel at +22, baggage 100 at +75.5 (7550).
///
/// The aeroplane as a kart with its rear axle on the datum: the pilot is the driver, everything else that comes and goes is
/// lead on mounts, so that only the empty aeroplane remains as the trunk without a driver.
fn loading(weighed: &Schedule, fuel_start: f64, fuel_finish: f64) -> Scenario {
    /// Any length ahead of every centre of gravity, in.
    const WHEELBASE: f64 = 100.0;
    let front = weighed.moment / WHEELBASE / 2.0;
    let rear = weighed.total_lb / 2.0 - front;
    let text = format!(
        "units: lb-in\n\
         kart: {{name: schedule, wheelbase: {WHEELBASE}, track_front: 40, track_rear: 40, limits: off}}\n\
         class: {{name: none, minimum: 1169, margin: 0}}\n\
         weighing:\n  scales: {{lf: {front:.4}, rf: {front:.4}, lr: {rear:.4}, rr: {rear:.4}}}\n  \
         aboard: {{driver: pilot, fuel: {} lb, lead: {{{}}}}}\n\
         drivers: {{pilot: {{mass: 170, x: 16, y: 0}}}}\n\
         fuel: {{x: 22, y: 0, start: {fuel_start} lb, finish: {fuel_finish} lb}}\n\
         mounts:\n  sump: {{x: -49, y: 0, capacity: 100}}\n  front_seat: {{x: 16, y: 0, capacity: 200}}\n  \
         rear_seats: {{x: 48, y: 0, capacity: 400}}\n  hold: {{x: 75.5, y: 0, capacity: 200}}\n\
         lead:\n  oil: {{mass: 17, count: 1}}\n  person: {{mass: 170, count: 4}}\n  baggage: {{mass: 100, count: 1}}\n",
        weighed.fuel_lb,
        weighed.aboard_text(),
    );
    solving::read(&text)
}

/// One figure of the circular.
struct Schedule {
    front_passengers: u32,
    rear_passengers: u32,
    baggage: u32,
    fuel_lb: f64,
    total_lb: f64,
    /// Pound-inches, as the circular adds them: each row rounded to a whole number.
    moment: f64,
}

impl Schedule {
    fn aboard_text(&self) -> String {
        let mut text = String::from("sump: {oil: 1}");
        for (mount, kind, count) in [
            ("front_seat", "person", self.front_passengers),
            ("rear_seats", "person", self.rear_passengers),
            ("hold", "baggage", self.baggage),
        ] {
            if count > 0 {
                let _ = write!(text, ", {mount}: {{{kind}: {count}}}");
            }
        }
        text
    }

    fn counts(&self, scenario: &Scenario) -> Counts {
        let mut counts = Counts::none(scenario.lead().len(), scenario.mounts().len());
        *counts.get_mut(0, 0) = 1;
        *counts.get_mut(1, 1) = self.front_passengers;
        *counts.get_mut(1, 2) = self.rear_passengers;
        *counts.get_mut(2, 3) = self.baggage;
        counts
    }

    /// Total to the nanogram, moment and centre of gravity to a billionth.
    fn assert_is(&self, scenario: &Scenario, load: &Load, cg_in: f64, digits: f64) {
        assert_eq!(load.total, Mass::from_lb(self.total_lb));
        let cg = scenario.kart().chassis.cg(&load.corners).x.inches();
        assert_abs_diff_eq!(cg * self.total_lb, self.moment, epsilon = 1e-6);
        assert_abs_diff_eq!(cg, cg_in, epsilon = digits);
    }
}

/// Empty, oil, pilot, fuel 83: 1439 lb, 16104.
const FIGURE_10_10: Schedule = Schedule {
    front_passengers: 0,
    rear_passengers: 0,
    baggage: 0,
    fuel_lb: 83.0,
    total_lb: 1439.0,
    moment: 16104.0,
};
/// Empty, oil, pilot, two rear, fuel 240, baggage: 2036 lb, 43428.
const FIGURE_10_11: Schedule = Schedule {
    front_passengers: 0,
    rear_passengers: 2,
    baggage: 1,
    fuel_lb: 240.0,
    total_lb: 2036.0,
    moment: 43428.0,
};
/// Empty, oil, pilot, one front, two rear, fuel 234: 2100 lb, 38466.
const FIGURE_10_13: Schedule = Schedule {
    front_passengers: 1,
    rear_passengers: 2,
    baggage: 0,
    fuel_lb: 234.0,
    total_lb: 2100.0,
    moment: 38466.0,
};
/// Empty, oil, pilot, one front, one rear, fuel 240, baggage: 2036 lb, 37988.
const FIGURE_10_14: Schedule = Schedule {
    front_passengers: 1,
    rear_passengers: 1,
    baggage: 1,
    fuel_lb: 240.0,
    total_lb: 2036.0,
    moment: 37988.0,
};

// AC 43.13-1B figures 10-10 to 10-14 (SEEN): weighed as 10-10, every other load follows. CG of 10-11 21.33006 and of 10-13
// 18.31714 (RECOMP from the circular's own totals; its printed 18.6 for 10-13 contradicts them), of 10-14 +18.7 printed,
// 18.65815 RECOMP.
#[test]
fn from_the_lightest_loading_every_other_loading_follows() {
    let scenario = loading(&FIGURE_10_10, 240.0, 234.0);
    let pilot = scenario.driver();
    let state =
        |moment, figure: &Schedule| weighing::state(&scenario, pilot, moment, &figure.counts(&scenario));
    FIGURE_10_11.assert_is(&scenario, &state(Moment::Start, &FIGURE_10_11), 21.330_06, 0.000_005);
    FIGURE_10_13.assert_is(&scenario, &state(Moment::Finish, &FIGURE_10_13), 18.317_14, 0.000_005);
    FIGURE_10_14.assert_is(&scenario, &state(Moment::Start, &FIGURE_10_14), 18.658_15, 0.000_005);
    FIGURE_10_14.assert_is(&scenario, &state(Moment::Start, &FIGURE_10_14), 18.7, 0.05);
}

// The same the other way (SEEN; 11.19110 RECOMP, printed +11.2): weighed as any of the heavy figures, figure 10-10 follows.
#[test]
fn from_every_heavier_loading_the_lightest_follows() {
    for weighed in [&FIGURE_10_11, &FIGURE_10_13, &FIGURE_10_14] {
        let scenario = loading(weighed, 240.0, 83.0);
        let counts = FIGURE_10_10.counts(&scenario);
        let load = weighing::state(&scenario, scenario.driver(), Moment::Finish, &counts);
        FIGURE_10_10.assert_is(&scenario, &load, 11.191_10, 0.000_01);
        FIGURE_10_10.assert_is(&scenario, &load, 11.2, 0.05);
    }
}

// AC 43.13-1B (SEEN): whatever was aboard, without it the empty aeroplane is left: 1169 lb at +10.6 in, moment 12391.
#[test]
fn taking_everything_off_any_loading_leaves_the_empty_weight() {
    for weighed in [&FIGURE_10_10, &FIGURE_10_11, &FIGURE_10_13, &FIGURE_10_14] {
        let scenario = loading(weighed, 240.0, 83.0);
        let empty = weighing::trunk(&scenario, None);
        assert_eq!(empty.total, Mass::from_lb(1169.0));
        let cg = scenario.kart().chassis.cg(&empty.corners).x.inches();
        assert_abs_diff_eq!(cg * 1169.0, 12391.0, epsilon = 1e-6);
        assert_abs_diff_eq!(cg, 10.6, epsilon = 0.05);
    }
}
