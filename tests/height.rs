//! Height as a target: a plan is as high as its parts are, worked by hand, for the driver who was weighed and for another; its ±
//! is that of its parts.
//! Source of truth: sums of mass times height over mass, written out in the test. All data is invented.

use kentledge::counts::Counts;
use kentledge::plan::{Measured, Residual};
use kentledge::scenario::{Moment, Scenario};
use kentledge::uncertainty::{kart, verdict};

/// Weighed with Sam, 2 kg of fuel and a slab on the floor: 150 kg, 250 mm high.
const TEXT: &str = "\
units: kg-mm
kart: {name: k, wheelbase: 1040, track_front: 1060, track_rear: 1190}
class: {name: c, minimum: 140, margin: 0}
targets: {height: {aim: 245, within: 2}}
weighing:
  scales: {lf: 31.5, rf: 31, lr: 43.5, rr: 44}
  aboard: {driver: Sam, fuel: 2 kg, lead: {floor: {slab: 1}}}
height: {given: 250, within: 6}
drivers:
  Sam: {mass: 70, x: 430, y: 12, z: 310}
  Alex: {mass: 60, x: 455, y: 18, z: 290}
driver: Sam
fuel: {x: 560, y: 40, z: 200, start: 4 kg, finish: 1 kg}
mounts:
  floor: {x: 560, y: 190, z: 40, capacity: 10}
  back: {x: 120, y: 0, z: 500, capacity: 10}
lead: {slab: {mass: 2.5, count: 4}}
measured_within: {places: 9, fuel: 0, driver: 0, driver_place: 15, lengths: 0, weighed_lead: 0, nominal_lead: 0 %}
pads: {step: 0.0001, accuracy: 0 %, shared: 0 %, repeatability: 0.001, drift: 0, level: 0}
";

/// The kart with Sam, 145.5 kg without fuel and lead: kg·mm.
const BARE: f64 = 150.0 * 250.0 - 2.0 * 200.0 - 2.5 * 40.0;
/// A slab on the floor, two on the back: kg·mm.
const LEAD: f64 = 2.5 * 40.0 + 5.0 * 500.0;

fn read(text: &str) -> Scenario {
    match Scenario::from_yaml(text) {
        Ok((scenario, _)) => scenario,
        Err(problems) => panic!("{problems:?}\n{text}"),
    }
}

/// A slab on the floor, two on the back.
fn counts() -> Counts {
    let mut counts = Counts::none(1, 2);
    *counts.get_mut(0, 0) = 1;
    *counts.get_mut(0, 1) = 2;
    counts
}

fn measured(scenario: &Scenario, driver: usize) -> Measured {
    Measured::new(scenario, Some(driver), counts())
}

fn at(measured: &Measured, moment: Moment) -> &Residual {
    measured.residuals.iter().find(|residual| residual.moment == moment).expect("it counts at both")
}

#[test]
fn a_plan_is_as_high_as_its_parts() {
    let scenario = read(TEXT);
    let with_sam = measured(&scenario, 0);
    for (moment, fuel) in [(Moment::Start, 4.0), (Moment::Finish, 1.0)] {
        let total = 145.5 + fuel + 7.5;
        let height = (BARE + fuel * 200.0 + LEAD) / total;
        let residual = at(&with_sam, moment);
        approx::assert_abs_diff_eq!(residual.value, height, epsilon = 1e-9);
        // A millimetre counts as a millimetre forward does: a 1040th of the total.
        approx::assert_abs_diff_eq!(residual.distance_kg, (height - 245.0) / 1040.0 * total, epsilon = 1e-9);
        let miss = ((height - 245.0).abs() - 2.0).max(0.0) / 1040.0 * total;
        approx::assert_abs_diff_eq!(residual.miss_kg, miss, epsilon = 1e-9);
    }
    // Alex takes Sam's place.
    let with_alex = measured(&scenario, 1);
    let height = (BARE - 70.0 * 310.0 + 60.0 * 290.0 + 200.0 + LEAD) / (135.5 + 1.0 + 7.5);
    approx::assert_abs_diff_eq!(at(&with_alex, Moment::Finish).value, height, epsilon = 1e-9);
}

#[test]
fn a_weighing_of_ones_own_is_as_high_as_the_kart_where_it_is_heavier() {
    // 136 kg without fuel where bookkeeping has 135.5.
    let own = "{mass: 60, z: 290, weighing: {scales: {lf: 29, rf: 28.5, lr: 40, rr: 40.5}, \
               aboard: {driver: Alex, fuel: 2 kg, lead: none}}}";
    let scenario = read(&TEXT.replace("{mass: 60, x: 455, y: 18, z: 290}", own));
    let raised = BARE - 70.0 * 310.0 + 60.0 * 290.0 + 0.5 * 250.0 + 200.0 + LEAD;
    let with_alex = measured(&scenario, 1);
    approx::assert_abs_diff_eq!(at(&with_alex, Moment::Finish).value, raised / 144.5, epsilon = 1e-9);
}

#[test]
fn a_height_is_as_sure_as_what_it_is_made_of() {
    let scenario = read(TEXT);
    let finish = |driver: usize| {
        let kart = kart::state(&scenario, Some(driver), Moment::Finish, &counts());
        verdict::figure(at(&measured(&scenario, driver), Moment::Finish), &kart).standard
    };
    let by_hand = |limits: &[f64], total: f64| {
        limits.iter().map(|limit| (limit / 3.0_f64.sqrt() / total).powi(2)).sum::<f64>().sqrt()
    };
    // The kart's 6 mm, of 150 kg; the 9 mm of the fuel that is burnt, a kilogram, and of two slabs that went on the back. The
    // slab on the floor was there before, so where that is cancels.
    let with_sam = [150.0 * 6.0, 9.0, 5.0 * 9.0];
    approx::assert_relative_eq!(finish(0), by_hand(&with_sam, 154.0), max_relative = 1e-3);
    // Sam out and Alex in, each 15 mm.
    let with_alex = [150.0 * 6.0, 9.0, 5.0 * 9.0, 70.0 * 15.0, 60.0 * 15.0];
    approx::assert_relative_eq!(finish(1), by_hand(&with_alex, 144.0), max_relative = 1e-3);
}

#[test]
fn a_kart_that_was_weighed_again_is_reckoned_from_the_height_it_was_lifted_to_have() {
    // The slab went from the floor to the back: the kart is higher, and nobody lifted it again.
    let scenario = read(TEXT);
    let (start, end) = (TEXT.find("weighing:").expect("there"), TEXT.find("\nheight:").expect("there") + 1);
    let once = TEXT[start..end].trim_start_matches("weighing:\n  ").trim_end().replace("\n  ", "\n    ");
    let again = "{scales: [31, 30.5, 44, 44.5], aboard: {driver: Sam, fuel: 2 kg, lead: {back: {slab: 1}}}}";
    let both = format!("weighings:\n  - {once}\n  - {again}\n");
    let now = read(&TEXT.replace(&TEXT[start..end], &both));
    let weighed = kart::weighed(&now).estimate(|kart| kart.chassis.cg_height(&kart.corners).mm()).value;
    let raised = 150.0 * 250.0 - 2.5 * 40.0 + 2.5 * 500.0;
    approx::assert_abs_diff_eq!(weighed, raised / 150.0, epsilon = 1e-9);
    let (before, after) = (measured(&scenario, 0), measured(&now, 0));
    let height = |measured: &Measured| at(measured, Moment::Finish).value;
    approx::assert_abs_diff_eq!(height(&before), height(&after), epsilon = 1e-9);
}
