//! What is odd about a weighing is found, and a good weighing is left in peace: 1,000 simulated good ones, and one bad one for
//! every finding.
//! Source of truth: what the test did to the readings; the simulation is written from statics (`support/simulated.rs`).

use kentledge::doubts::{self, Doubt, Exchange, Like};
use kentledge::scenario::Scenario;
use kentledge::statics::Corner;

#[path = "support/simulated.rs"]
mod simulated;

use simulated::{Chance, Frame, Pads, Stated, readings_text, true_corners};

const STATED: Stated =
    Stated { step: 0.1, accuracy: 0.15, shared: 0.1, repeatability: 0.1, drift: 0.1, level: 0.5 };
const SET: [f64; 4] = [31.0, 31.4, 43.0, 43.9];

/// The findings on sets of readings; `kart` adds to the kart's settings.
fn found(sets: &[[f64; 4]], kart: &str, fuel: &str) -> Vec<Doubt> {
    found_aimed(sets, kart, fuel, 50)
}

/// The same where so many percent are wanted on the left.
fn found_aimed(sets: &[[f64; 4]], kart: &str, fuel: &str, left: u32) -> Vec<Doubt> {
    let text = format!(
        "units: kg-mm\n\
         kart: {{name: k, wheelbase: 1040, track_front: 1080, track_rear: 1120{kart}}}\n\
         class: {{name: c, minimum: 150}}\n\
         targets: {{left: {{aim: {left}, within: 1}}}}\n\
         weighing:\n  aboard: {{driver: Sam, fuel: {fuel}, lead: none}}\n{}\
         drivers: {{Sam: {{mass: 70}}}}\n\
         fuel: {{x: 560, y: 40, start: 4, finish: 1.5}}\n\
         mounts: {{seat: {{x: 260, y: 0, capacity: 60}}}}\n\
         lead: {{slab: {{mass: 2.2, count: 3}}}}\n{}",
        readings_text(sets),
        STATED.text()
    );
    match Scenario::from_yaml(&text) {
        Ok((scenario, _)) => doubts::of(&scenario),
        Err(problems) => panic!("{problems:?}\n{text}"),
    }
}

fn changed(set: [f64; 4], by: [f64; 4]) -> [f64; 4] {
    std::array::from_fn(|pad| set[pad] + by[pad])
}

/// Three sets that differ as good pads do.
fn three() -> [[f64; 4]; 3] {
    [SET, changed(SET, [0.1, 0.0, -0.1, 0.1]), changed(SET, [-0.1, 0.1, 0.1, 0.0])]
}

#[test]
fn good_weighings_are_left_in_peace() {
    let mut chance = Chance::new(21);
    let frame = Frame::usual();
    let mut doubted = 0;
    for _ in 0..1000 {
        let truth = true_corners(&mut chance, &frame);
        let pads = Pads::drawn(&mut chance, STATED);
        let sets: Vec<[f64; 4]> = (0..3).map(|_| pads.read(&mut chance, &frame, truth)).collect();
        doubted += u32::from(!found(&sets, "", "2").is_empty());
    }
    // Two tests at 1 % each, and five standard deviations for twelve readings.
    assert!(doubted <= 40, "{doubted} of 1000");
}

#[test]
fn three_good_sets_raise_no_doubt() {
    assert_eq!(found(&three(), "", "2"), []);
}

#[test]
fn pads_that_spread_too_much_are_found() {
    let sets = [SET, changed(SET, [0.4, 0.3, -0.3, 0.4]), changed(SET, [-0.4, 0.3, 0.4, 0.3])];
    let doubts = found(&sets, "", "2");
    assert!(matches!(doubts.first(), Some(Doubt::Spread { seen_kg, .. }) if *seen_kg > 0.2), "{doubts:?}");
}

#[test]
fn a_frame_that_settles_differently_is_found() {
    let along = |kg: f64| changed(SET, [kg, -kg, -kg * 1080.0 / 1120.0, kg * 1080.0 / 1120.0]);
    let doubts = found(&[along(0.0), along(0.4), along(-0.3)], "", "2");
    assert!(matches!(doubts.as_slice(), [Doubt::Settling { .. }]), "{doubts:?}");
}

#[test]
fn exchanged_readings_of_one_set_are_found() {
    let spread: [f64; 4] = [30.0, 33.0, 42.0, 45.0];
    let exchange = |[lf, rf, lr, rr]: [f64; 4]| {
        [
            (Exchange::Fronts, [rf, lf, lr, rr]),
            (Exchange::Rears, [lf, rf, rr, lr]),
            (Exchange::Sides, [rf, lf, rr, lr]),
            (Exchange::Ends, [lr, rr, lf, rf]),
        ]
    };
    for (exchange, set) in exchange(spread) {
        let doubts = found(&[spread, set, changed(spread, [0.1, 0.0, 0.0, -0.1])], "", "2");
        let Some(Doubt::SetExchanged { set: 2, exchange: found, apart_kg, left_kg }) = doubts.first() else {
            panic!("{doubts:?}")
        };
        assert_eq!(*found, exchange);
        assert!(*apart_kg > 2.5 && *left_kg < 0.15, "{doubts:?}");
    }
}

#[test]
fn a_set_in_the_other_unit_is_found() {
    let [one, two, three] = three();
    for factor in [0.453_592_37, 1.0 / 0.453_592_37] {
        let doubts = found(&[one, three.map(|kg| kg * factor), two], "", "2");
        let [Doubt::SetUnit { set: 2, sum_kg, meant_kg }] = doubts.as_slice() else { panic!("{doubts:?}") };
        assert!((meant_kg - 149.4).abs() < 0.1 && (sum_kg - 149.4 * factor).abs() < 0.2, "{doubts:?}");
    }
}

#[test]
fn fuel_that_was_forgotten_in_one_set_is_found_and_named() {
    let [one, two, three] = three();
    // Two kilograms of fuel at x = 560 mm, nearly in the middle.
    let without = changed(three, [-0.54, -0.54, -0.46, -0.46]);
    let doubts = found(&[one, two, without], "", "2");
    let [Doubt::SetTotal { set: 3, more_kg, like: Some(Like::Fuel) }] = doubts.as_slice() else {
        panic!("{doubts:?}")
    };
    // The scatter of four readings is in it.
    assert!((more_kg + 2.0).abs() < 0.4, "{more_kg}");
}

#[test]
fn a_wheel_that_was_turned_for_one_set_is_found() {
    let [one, two, three] = three();
    let turned = changed(two, [1.5, -1.5, -1.45, 1.45]);
    let doubts = found(&[one, turned, three], "", "2");
    let [Doubt::SetTwist { set: 2, more_kg }] = doubts.as_slice() else { panic!("{doubts:?}") };
    assert!((more_kg - 1.5).abs() < 0.2);
}

#[test]
fn a_sum_that_does_not_fit_the_known_parts_is_found_and_named() {
    // 149.3 on the pads: driver 70, fuel 2, kart 77.3 would fit.
    assert_eq!(found(&[SET], ", mass: 77.3", "2"), []);
    let fuel = found(&[SET], ", mass: 79.3", "2");
    assert!(matches!(fuel.as_slice(), [Doubt::Sum { like: Some(Like::Fuel), .. }]), "{fuel:?}");
    let piece = found(&[SET], ", mass: 75.1", "none");
    assert!(matches!(piece.as_slice(), [Doubt::Sum { like: Some(_), .. }]), "{piece:?}");
    let unknown = found(&[SET], ", mass: 70", "2");
    assert!(matches!(unknown.as_slice(), [Doubt::Sum { like: None, .. }]), "{unknown:?}");
}

#[test]
fn much_twist_is_found_with_what_would_explain_it() {
    let twisted = changed(SET, [3.5, -3.5, -3.4, 3.4]);
    let doubts = found(&[twisted], "", "2");
    assert!(
        matches!(doubts.as_slice(), [Doubt::MuchTwist { height_mm, .. }] if *height_mm > 5.0),
        "{doubts:?}"
    );
    // A kart set up to turn left, 38 and 29 on the front, 45 and 36 on the rear, fronts written down the wrong way round.
    let exchanged = found_aimed(&[[29.0, 38.0, 45.0, 36.0]], "", "2", 56);
    assert!(matches!(exchanged.as_slice(), [Doubt::Exchanged { order: [1, 0, 2, 3] }]), "{exchanged:?}");
    let pounds = found(&[[31.0, 69.2, 43.0, 43.9]], "", "2");
    let [Doubt::OtherUnit { corner: Corner::Rf, meant_kg, .. }] = pounds.as_slice() else {
        panic!("{pounds:?}")
    };
    assert!((meant_kg - 31.4).abs() < 0.1);
}
