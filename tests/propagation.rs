//! The law of propagation against a Monte Carlo of the same statement: every input drawn 200,000 times from what the scenario
//! says of it, and every figure computed from the drawn numbers by statics alone.
//! Source of truth: the simulation, which reads the scenario's data and none of the program's functions. Seeded.

use kentledge::counts::Counts;
use kentledge::scale::Accuracy;
use kentledge::scenario::{Moment, Scenario, Weighing};
use kentledge::uncertainty::combined;
use kentledge::uncertainty::kart::{self, Kart};
use kentledge::units::{Length, Mass};

#[path = "support/simulated.rs"]
#[expect(
    dead_code,
    reason = "only frames and chance are needed here; the pads of a scenario are drawn from its data"
)]
mod simulated;
#[path = "support/solving.rs"]
mod solving;

use simulated::{Chance, Frame};
use solving::{planned, read};

const DRAWS: usize = 200_000;

/// Total, front %, left %, cross %, front pair, rear pair, LF, RR, centre of gravity forward and left.
const FIGURES: [&str; 10] =
    ["total", "front %", "left %", "cross %", "front pair", "rear pair", "LF", "RR", "cg ahead", "cg left"];

fn figures([lf, rf, lr, rr]: [f64; 4], frame: &Frame) -> [f64; 10] {
    let total = lf + rf + lr + rr;
    let percent = |kg: f64| 100.0 * kg / total;
    let roll = (lf - rf) * frame.track_front / 2.0 + (lr - rr) * frame.track_rear / 2.0;
    [
        total,
        percent(lf + rf),
        percent(lf + lr),
        percent(rf + lr),
        lf - rf,
        lr - rr,
        lf,
        rr,
        frame.wheelbase * (lf + rf) / total,
        roll / total,
    ]
}

/// One state of a scenario.
struct Case {
    name: &'static str,
    scenario: Scenario,
    driver: Option<usize>,
    moment: Moment,
    counts: Counts,
    /// Washers that go from below to above the left front spindle, mm.
    washers_mm: f64,
}

impl Case {
    fn weighing(&self) -> &Weighing {
        let own = self.driver.and_then(|driver| self.scenario.drivers()[driver].weighing.as_ref());
        own.unwrap_or(self.scenario.weighing())
    }

    fn frame(&self) -> Frame {
        let chassis = &self.scenario.kart().chassis;
        Frame {
            wheelbase: chassis.wheelbase.mm(),
            track_front: chassis.track_front.mm(),
            track_rear: chassis.track_rear.mm(),
            share_rear: chassis.roll_share.at_rear_axle,
            share_front: chassis.roll_share.at_front_axle,
            rate: chassis.twist_rate_kg_per_mm,
        }
    }

    /// Readings as they would have been with other errors, at a twist rate that is larger by this part.
    fn drawn_readings(&self, chance: &mut Chance, frame: &Frame, rate: f64) -> [f64; 4] {
        let pads = self.scenario.pads();
        let taken = &self.weighing().taken;
        let readings = self.weighing().readings.map(Mass::kg);
        let shared = chance.within(pads.shared_percent / 100.0);
        let mut drawn: [f64; 4] = std::array::from_fn(|pad| {
            let own = match pads.accuracy {
                Accuracy::Percent(percent) => chance.within(percent / 100.0 * readings[pad]),
                Accuracy::Mass(limit) => chance.within(limit.kg()),
                // OIML R 76-1, class III in service: up to 500 steps one step, up to 2,000 two.
                Accuracy::Class(_) => {
                    let steps = if readings[pad] <= 500.0 * pads.step.kg() { 1.0 } else { 2.0 };
                    chance.within(steps * pads.step.kg())
                }
            };
            let zero = match taken.zeros {
                Some([before, after]) => chance.within((after[pad].kg() - before[pad].kg()).abs() / 2.0),
                None => chance.within(pads.drift.kg()),
            };
            let noise = chance.normal(0.0, pads.repeatability.kg()) + chance.within(pads.step.kg() / 2.0);
            readings[pad] * (1.0 + shared) + own + zero + noise
        });
        let limit = taken.floor.map_or(pads.level.mm(), |floor| floor.within.mm());
        let twist = frame.twist_of(std::array::from_fn(|_| chance.within(limit))) * (1.0 + rate);
        drawn = frame.twisted(drawn, twist + chance.normal(0.0, pads.repeatability.kg()));
        if let Some(floor) = taken.floor {
            let corrected = frame.twist_of(floor.heights.map(Length::mm));
            // So much more should have been taken off.
            drawn = frame.twisted(drawn, -corrected * rate);
        }
        drawn
    }

    /// Figures of the state with every input drawn.
    fn drawn(&self, chance: &mut Chance) -> [f64; 10] {
        let (scenario, within) = (&self.scenario, self.scenario.within());
        let exact = self.frame();
        // The ± of the readings was stated for the frame as written.
        let rate = chance.within(within.twist_rate_percent / 100.0);
        let readings = self.drawn_readings(chance, &exact, rate);
        let mut frame = exact;
        for length in [&mut frame.wheelbase, &mut frame.track_front, &mut frame.track_rear] {
            *length += chance.within(within.lengths.mm());
        }
        for share in [&mut frame.share_rear, &mut frame.share_front] {
            *share += chance.within(within.roll_share);
        }
        let mut bodies: Vec<(f64, f64, f64)> = Vec::new();
        let aboard = &self.weighing().aboard;
        let place = |x: f64, y: f64, limit: f64, chance: &mut Chance| {
            (x + chance.within(limit), y + chance.within(limit))
        };
        for (tank, then) in scenario.tanks().iter().zip(&aboard.fuel) {
            let (x, y) = place(tank.place.x.mm(), tank.place.y.mm(), within.places.mm(), chance);
            let unsure = |mass: Mass, chance: &mut Chance| match mass.kg() {
                some if some > 0.0 => some + chance.within(within.fuel.kg()),
                _ => 0.0,
            };
            let now = if self.moment == Moment::Start { tank.start } else { tank.finish };
            bodies.push((unsure(now, chance) - unsure(*then, chance), x, y));
        }
        let masses: Vec<f64> =
            scenario.lead().iter().map(|kind| kind.mass.kg() + chance.within(kind.within.kg())).collect();
        for (index, mount) in scenario.mounts().iter().enumerate() {
            let (x, y) = place(mount.place.x.mm(), mount.place.y.mm(), within.places.mm(), chance);
            let kg: f64 = masses
                .iter()
                .enumerate()
                .map(|(kind, mass)| {
                    let more =
                        f64::from(self.counts.get(kind, index)) - f64::from(aboard.lead.get(kind, index));
                    more * mass
                })
                .sum();
            bodies.push((kg, x, y));
        }
        if aboard.driver != self.driver {
            for (driver, sign) in [(aboard.driver, -1.0), (self.driver, 1.0)] {
                let Some(driver) = driver.map(|index| &scenario.drivers()[index]) else { continue };
                let acts = driver.acts.expect("a driver who was not weighed has a place");
                let (x, y) = place(acts.x.mm(), acts.y.mm(), within.driver_place.mm(), chance);
                bodies.push((sign * (driver.mass.kg() + chance.within(within.driver.kg())), x, y));
            }
        }
        let added = frame.corners(&bodies);
        let settled = std::array::from_fn(|corner| readings[corner] + added[corner]);
        figures(frame.twisted(settled, self.washers_mm * exact.rate * (1.0 + rate)), &frame)
    }

    /// Mean and standard deviation of every figure.
    fn simulated(&self, seed: u64) -> [(f64, f64); 10] {
        let mut chance = Chance::new(seed);
        let first = self.drawn(&mut chance);
        let (mut sums, mut squares) = ([0.0; 10], [0.0; 10]);
        for _ in 0..DRAWS {
            for (figure, value) in self.drawn(&mut chance).into_iter().enumerate() {
                let apart = value - first[figure];
                sums[figure] += apart;
                squares[figure] += apart * apart;
            }
        }
        let draws = DRAWS as f64;
        std::array::from_fn(|figure| {
            let mean = sums[figure] / draws;
            (first[figure] + mean, (squares[figure] / draws - mean * mean).sqrt())
        })
    }

    fn assert_agrees(&self, seed: u64) {
        let unsure = kart::state(&self.scenario, self.driver, self.moment, &self.counts);
        let frame = |kart: &Kart| Frame {
            wheelbase: kart.chassis.wheelbase.mm(),
            track_front: kart.chassis.track_front.mm(),
            track_rear: kart.chassis.track_rear.mm(),
            ..self.frame()
        };
        for (figure, (mean, deviation)) in self.simulated(seed).into_iter().enumerate() {
            let estimate = unsure.estimate(|kart| figures(kart.corners.kg(), &frame(kart))[figure]);
            let (name, what) = (self.name, FIGURES[figure]);
            // Without the widening for a repeatability that is known from few readings: it is drawn as if it were known.
            let parts = unsure.by_cause(|kart| figures(kart.corners.kg(), &frame(kart))[figure]);
            let standard = combined(parts.into_iter().map(|(_, part)| part));
            assert!(
                (0.98..=1.02).contains(&(standard / deviation)),
                "{name}, {what}: {standard} and {deviation}"
            );
            // The mean of so many draws is known to a small part of their spread; the rest is what a first-order law leaves.
            let shift = (estimate.value - mean).abs() / deviation;
            assert!(shift < 0.02, "{name}, {what}: {} and {mean}", estimate.value);
        }
    }
}

fn shipped(name: &str) -> String {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios").join(name);
    std::fs::read_to_string(path).expect("a shipped scenario")
}

fn planned_case(name: &'static str, moment: Moment) -> Case {
    let (scenario, solved) = planned(&shipped(name));
    let counts = solved.plan.measured().counts.clone();
    Case { name, driver: scenario.driver(), scenario, moment, counts, washers_mm: 0.0 }
}

#[test]
fn propagation_agrees_with_monte_carlo_for_the_plan_of_a_kart_without_lead() {
    planned_case("club-sprint.yaml", Moment::Finish).assert_agrees(11);
}

#[test]
fn propagation_agrees_with_monte_carlo_where_lead_of_the_weighing_is_moved_and_the_driver_has_a_weighing_of_his_own()
 {
    planned_case("two-drivers.yaml", Moment::Start).assert_agrees(12);
}

/// A driver known by mass and place takes the seat of the one who was weighed, on pads of a class, on a surveyed floor, with
/// zeros that were looked at.
const SWAPPED: &str = "\
units: kg-mm
kart: {name: k, wheelbase: 1040, track_front: 1060, track_rear: 1190}
class: {name: c, minimum: 150}
weighing:
  scales: {lf: 33.5, rf: 31, lr: 45.5, rr: 44}
  zero_after: {lf: 0.2, rf: 0, lr: -0.1, rr: 0.1}
  floor: {lf: 0, rf: 1.4, lr: -0.8, rr: 0.3, within: 0.2}
  aboard: {driver: Sam, fuel: 3 L, lead: {seat: {slab: 1}}}
drivers:
  Sam: {mass: 74, x: 430, y: 12}
  Alex: {mass: 62, x: 455, y: 18}
driver: Alex
fuel: {x: 560, y: 40, start: 5 L, finish: 2 L}
mounts:
  seat: {x: 260, y: 270, capacity: 8}
  nose: {x: 1230, y: 0, capacity: 3}
lead:
  slab: {mass: 2.5, count: 3}
  bar: {weighed: [2.013, 1.987]}
pads: {step: 0.2, class: oiml III, shared: 0.2 %, repeatability: 0.15}
measured_within: {places: 15, fuel: 0.3}
";

#[test]
fn propagation_agrees_with_monte_carlo_for_a_driver_who_was_not_weighed() {
    let scenario = read(SWAPPED);
    let mut counts = Counts::none(scenario.lead().len(), scenario.mounts().len());
    *counts.get_mut(0, 0) = 2;
    *counts.get_mut(1, 1) = 1;
    let driver = scenario.driver();
    Case { name: "swapped", scenario, driver, moment: Moment::Finish, counts, washers_mm: 0.0 }
        .assert_agrees(13);
}

/// What washers do is as badly known as the twist rate is, and so is what was taken off for the floor: both at once.
#[test]
fn propagation_agrees_with_monte_carlo_where_washers_are_moved_on_a_kart_whose_floor_was_surveyed() {
    let lengths = "track_rear: 1190";
    let spindles = "spindles: {washer: 2, left: {above: 1, below: 4}, right: {above: 2, below: 2}}";
    let then = "lead: {seat: {slab: 1}}, spindles: {left: {above: 1, below: 4}, right: {above: 2, below: 2}}";
    let text = SWAPPED.replace(lengths, &format!("{lengths}, {spindles}"));
    let text = text.replace("lead: {seat: {slab: 1}}", then);
    let scenario = read(&text);
    let driver = scenario.driver();
    let none = Counts::none(scenario.lead().len(), scenario.mounts().len());
    let adjuster = &scenario.adjusters()[0];
    let last = adjuster.settings.len() - 1;
    let now: Vec<u16> = scenario.adjusters().iter().map(|adjuster| adjuster.now as u16).collect();
    let counts = none.with_setting(0, last, &now);
    let steps = f64::from(adjuster.settings[last].steps - adjuster.settings[adjuster.now].steps);
    let washers_mm = 2.0 * steps;
    Case { name: "washers", scenario, driver, moment: Moment::Finish, counts, washers_mm }.assert_agrees(15);
}

/// Both karts drawn with the same errors: what differs between them is far surer than either.
#[test]
fn the_step_from_one_plan_to_another_is_as_sure_as_monte_carlo_has_it() {
    let scenario = read(SWAPPED);
    let driver = scenario.driver();
    let mut counts = Counts::none(scenario.lead().len(), scenario.mounts().len());
    *counts.get_mut(0, 0) = 2;
    *counts.get_mut(1, 1) = 1;
    let mut moved = counts.clone();
    *moved.get_mut(0, 0) = 1;
    *moved.get_mut(0, 1) = 1;
    let change = kart::change(&scenario, driver, Moment::Finish, [&counts, &moved]);
    let case = |counts| Case {
        name: "step",
        scenario: scenario.clone(),
        driver,
        moment: Moment::Finish,
        counts,
        washers_mm: 0.0,
    };
    let (then, now) = (case(counts.clone()), case(moved.clone()));
    // The same numbers are drawn whatever is on the mounts, so two streams of one seed stay in step.
    let (mut chance_then, mut chance_now) = (Chance::new(14), Chance::new(14));
    let (mut sums, mut squares) = ([0.0; 10], [0.0; 10]);
    for _ in 0..DRAWS {
        let (then, now) = (then.drawn(&mut chance_then), now.drawn(&mut chance_now));
        for figure in 0..10 {
            let step = now[figure] - then[figure];
            sums[figure] += step;
            squares[figure] += step * step;
        }
    }
    let frame = |kart: &Kart| Frame {
        wheelbase: kart.chassis.wheelbase.mm(),
        track_front: kart.chassis.track_front.mm(),
        track_rear: kart.chassis.track_rear.mm(),
        ..then.frame()
    };
    let at = |kart: &Kart, figure: usize| figures(kart.corners.kg(), &frame(kart))[figure];
    let whole = kart::state(&scenario, driver, Moment::Finish, &moved);
    // Slabs of one kind err together, so the total does not change at all: nothing is left to compare.
    for figure in 1..10 {
        let step = change.estimate(|[then, now]| at(now, figure) - at(then, figure));
        let mean = sums[figure] / DRAWS as f64;
        let deviation = (squares[figure] / DRAWS as f64 - mean * mean).sqrt();
        let ratio = step.standard / deviation;
        assert!((0.98..=1.02).contains(&ratio), "{}: {} and {deviation}", FIGURES[figure], step.standard);
        let alone = change.estimate(|[_, now]| at(now, figure));
        let state = whole.estimate(|kart| at(kart, figure));
        assert!((alone.standard - state.standard).abs() < 1e-9, "{}", FIGURES[figure]);
        assert!(step.standard < alone.standard, "{}", FIGURES[figure]);
    }
    let total = change.estimate(|[then, now]| at(now, 0) - at(then, 0));
    assert!(total.standard < 1e-9, "{total:?}");
}

#[test]
fn lead_that_could_be_cut_and_is_not_is_as_sure_as_whole_pieces() {
    let Case { scenario, driver, moment, counts, .. } = planned_case("club-sprint.yaml", Moment::Finish);
    let mounts = scenario.mounts().len();
    let mut pieces = vec![0.0; scenario.lead().len() * mounts];
    for (kind, mount, count) in counts.placed() {
        pieces[kind * mounts + mount] = f64::from(count);
    }
    let cut = kart::divisible(&scenario, driver, moment, &pieces);
    let whole = kart::state(&scenario, driver, moment, &counts);
    for corner in 0..4 {
        let (cut, whole) =
            (cut.estimate(|k| k.corners.kg()[corner]), whole.estimate(|k| k.corners.kg()[corner]));
        assert!((cut.value - whole.value).abs() < 1e-9, "{cut:?} {whole:?}");
        assert!((cut.standard - whole.standard).abs() < 1e-9, "{cut:?} {whole:?}");
    }
}
