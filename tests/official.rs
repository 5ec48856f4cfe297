//! What the officials' own reading of a weighing changes: the total, not the shares, and the margin; where missing lead should act.

use approx::assert_abs_diff_eq;
use kentledge::answer::margin::Required;
use kentledge::assess::lead_point::lead_point;
use kentledge::doubts::{Doubt, contradictions};
use kentledge::inspection::{self, Budget, margin};
use kentledge::plan::Measured;
use kentledge::scenario::{Figure, Moment, Scenario};
use kentledge::units::Mass;
use small::accepted;

#[path = "support/small.rs"]
#[expect(dead_code, reason = "no shipped scenario is read here")]
mod small;

/// A kart without fuel or lead, whose total alone is unsure, and the officials' reading if there is one.
fn text(readings: [f64; 4], official: Option<f64>) -> String {
    let official = official.map_or_else(String::new, |total| format!("\n  official: {total}"));
    format!(
        "units: kg-mm\nkart: {{wheelbase: 1040, track_front: 1080, track_rear: 1120}}\nclass: {{minimum: 149}}\n\
         targets: {{front: {{aim: 43, within: 0.5}}}}\nweighing:\n  scales: {readings:?}\n  aboard: {{lead: none}}{official}\n\
         pads: {{step: 0.1, accuracy: 0.1 %, shared: 0.5 %, repeatability: 0.05, drift: 0.05}}\n\
         drivers: {{Sam: 70.5}}\nmounts: {{seat: {{x: 260, y: 270, capacity: 5}}}}\nlead: {{slab: {{mass: 2.5, count: 3}}}}\n"
    )
}

const READINGS: [f64; 4] = [30.8, 31.4, 42.3, 44.5];

fn as_it_is(scenario: &Scenario) -> Measured {
    Measured::new(scenario, Some(0), scenario.fitted().clone())
}

#[test]
fn theirs_is_the_total_and_the_pads_tell_the_shares() {
    let [padded, official] = [None, Some(149.8)].map(|official| accepted(&text(READINGS, official)));
    let corners = [&padded, &official].map(|scenario| {
        let measured = as_it_is(scenario);
        measured.state(Moment::Finish).expect("both moments").load.corners
    });
    assert_abs_diff_eq!(corners[1].total(), 149.8, epsilon = 1e-9);
    for figure in [Figure::Front, Figure::Left, Figure::Cross] {
        assert_abs_diff_eq!(figure.of(&corners[0]), figure.of(&corners[1]), epsilon = 1e-9);
    }
    // As the pads showed it, nothing is changed.
    assert_eq!(official.as_read().weighing().readings, padded.weighing().readings);
}

/// The same file with its weighings in a list that goes on so.
fn listed(more: &str) -> String {
    let whole = text(READINGS, None);
    let (head, rest) = whole.split_once("weighing:\n").expect("one weighing");
    let (_, tail) = rest.split_once("pads:").expect("pads");
    let tail = tail.replace("drivers: {Sam: 70.5}", "drivers: {Sam: 70.5, Jo: 60}\ndriver: Sam");
    format!(
        "{head}weighings:\n  - scales: {READINGS:?}\n    aboard: {{driver: Sam, lead: none}}\n{more}pads:{tail}"
    )
}

#[test]
fn their_total_alone_counts_as_if_they_had_read_it_over_the_pads_with_what_was_aboard_then() {
    let alone =
        accepted(&listed("  - official: 152.3\n    aboard: {driver: Sam, lead: {seat: {slab: 1}}}\n"));
    let beside =
        listed("    official: 149.8\n").replace("lead: {slab", "fitted: {seat: {slab: 1}}\nlead: {slab");
    let [alone_now, beside_now] = [alone.clone(), accepted(&beside)].map(|scenario| {
        let measured = as_it_is(&scenario);
        let load = measured.state(Moment::Finish).expect("both moments").load;
        (load.total, load.corners.kg(), margin(&scenario, Some(0)))
    });
    // What was aboard then is on the kart until the file says otherwise.
    assert_abs_diff_eq!(alone_now.0.kg(), 152.3, epsilon = 1e-9);
    assert_abs_diff_eq!(beside_now.0.kg(), 152.3, epsilon = 1e-9);
    assert_eq!(alone_now.2, beside_now.2);
    for (one, other) in alone_now.1.iter().zip(beside_now.1) {
        assert_abs_diff_eq!(*one, other, epsilon = 1e-9);
    }
    assert_eq!(alone.weighings().len(), 1);
    // Once the driver has been on the pads again, the old total says nothing more.
    let again = "  - official: 152.3\n    aboard: {driver: Sam, lead: none}\n  - scales: [30.9, 31.4, 42.3, 44.5]\n    aboard: {driver: Sam, lead: none}\n";
    assert_eq!(as_it_is(&accepted(&listed(again))).worth.total, Mass::from_kg(149.1));
}

#[test]
fn their_total_of_a_driver_who_never_sat_on_the_pads_tells_what_he_weighs_and_nothing_of_others() {
    let scenario = accepted(&listed("  - official: 140.2\n    aboard: {driver: Jo, lead: none}\n"));
    let total = |driver| Measured::new(&scenario, Some(driver), scenario.fitted().clone()).worth.total;
    assert_eq!(total(0), Mass::from_kg(149.0));
    assert_abs_diff_eq!(total(1).kg(), 140.2, epsilon = 1e-9);
}

#[test]
fn a_total_alone_is_refused_without_pads_before_it_and_with_what_only_pads_have() {
    let first = "weighings:\n  - official: 152.3\n    aboard: {driver: Sam, lead: none}\n";
    let only = listed("").replacen("weighings:\n", first, 1);
    for (text, code) in [
        (only, "K012"),
        (listed("  - aboard: {driver: Sam, lead: none}\n"), "K012"),
        (listed("  - {official: 152.3, set_up: same, aboard: {driver: Sam, lead: none}}\n"), "K008"),
        (listed("  - {official: 152.3 mm, aboard: {driver: Sam, lead: none}}\n"), "K006"),
    ] {
        let faults = Scenario::from_yaml(&text).expect_err(&text);
        let codes: Vec<&str> = faults.iter().map(|fault| fault.kind.code()).collect();
        assert_eq!(codes, [code], "{faults:?}");
    }
}

#[test]
fn the_scale_that_decides_errs_alike_both_times() {
    let [padded, official] = [None, Some(149.8)].map(|official| accepted(&text(READINGS, official)));
    let budgets = [&padded, &official].map(|scenario| Budget::of_plan(scenario, Some(0), scenario.fitted()));
    let names = |budget: &Budget| budget.lines.iter().map(|line| line.what).collect::<Vec<_>>();
    assert!(names(&budgets[0]).contains(&"error all pads share"));
    assert!(names(&budgets[0]).contains(&"official scale"));
    let left = ["steps of the official scale at the weighing", "sweat", "clothing, dirt, tyre wear"];
    assert_eq!(names(&budgets[1]), [left[0], left[1], left[2], "steps of the official scale"]);
    // By hand: steps of 0.1 kg twice, 0.1 kg of clothing as a limit, sweat of 0.4 L/h for a quarter of an hour.
    let by_hand = (2.0 * 0.01 / 12.0 + 0.01 / 3.0 + 0.1 * 0.1_f64).sqrt();
    assert_abs_diff_eq!(budgets[1].standard_kg, by_hand, epsilon = 1e-9);
    let margins = [&padded, &official].map(|scenario| margin(scenario, Some(0)));
    assert!(margins[0] > margins[1] + Mass::from_kg(0.5), "{margins:?}");
    let spared = [&padded, &official].map(|scenario| Required::new(scenario, Some(0)).spared);
    assert_eq!(spared, [None, Some((margins[0] - margins[1]).into())]);
}

/// Karts that are read by pads and officials, and by the same officials once more: the chance to pass is as told.
#[test]
fn a_chance_that_rests_on_the_officials_reading_is_true() {
    let mut seed = 20_261_130_u64;
    let mut unit = || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 11) as f64 / (1_u64 << 53) as f64
    };
    let rounded = |kg: f64| (kg * 10.0).round() / 10.0;
    let (mut told, mut passed, karts) = (0.0, 0.0, 2000);
    for _ in 0..karts {
        let truth = 149.0 + 0.8 * unit();
        let scale = 1.0 + 0.002 * (2.0 * unit() - 1.0);
        let shared = 1.0 + 0.005 * (2.0 * unit() - 1.0);
        let readings = READINGS.map(|kg| rounded(kg / 149.0 * truth * shared));
        let scenario = accepted(&text(readings, Some(rounded(truth * scale))));
        let measured = as_it_is(&scenario);
        let budget = Budget::of_plan(&scenario, Some(0), &measured.counts);
        told += budget.chance(measured.worth.total, scenario.class().minimum);
        // A sum of twelve draws has the spread of a normal one.
        let normal = (0..12).map(|_| unit()).sum::<f64>() - 6.0;
        let lost = 0.25 * (0.63 + 0.4 * normal) + 0.1 * (2.0 * unit() - 1.0);
        // The display errs by half a step at most, either way: whether it rounds or cuts off is not known.
        let step = 0.05 * (2.0 * unit() - 1.0);
        passed += f64::from(u8::from((truth - lost) * scale + step >= 149.0));
    }
    let [told, passed] = [told, passed].map(|sum| 100.0 * sum / f64::from(karts));
    assert!((told - passed).abs() < 3.0, "told {told} %, passed {passed} %");
}

#[test]
fn a_reading_that_both_scales_together_cannot_explain_is_told() {
    for (official, told) in [(148.2, 0), (149.6, 0), (155.2, 1), (140.0, 1)] {
        let scenario = accepted(&text(READINGS, Some(official)));
        let found = contradictions(&scenario);
        assert_eq!(found.len(), told, "{official}: {found:?}");
        assert!(found.iter().all(|doubt| matches!(doubt, Doubt::Official { .. })));
    }
}

#[test]
fn the_lead_that_is_missing_brings_the_kart_to_its_aims_from_its_point() {
    let wanted =
        "class: {minimum: 158}\ntargets: {front: {aim: 43, within: 0.5}, left: {aim: 50.5, within: 0.5}}";
    let whole = text(READINGS, None);
    let (before, rest) = whole.split_once("class: ").expect("a class");
    let (_, after) = rest.split_once("weighing:").expect("a weighing");
    let scenario = accepted(&format!("{before}{wanted}\nweighing:{after}"));
    let point = lead_point(&scenario, Some(0), scenario.fitted()).expect("nine kilograms are missing");
    let measured = as_it_is(&scenario);
    let load = measured.state(Moment::Finish).expect("both moments").load;
    assert_eq!(load.total + point.mass, inspection::required(&scenario, Some(0)));
    let lead = scenario.kart().chassis.influence(point.place()) * point.mass.kg();
    let corners = load.corners + lead;
    assert_abs_diff_eq!(Figure::Front.of(&corners), 43.0, epsilon = 1e-9);
    assert_abs_diff_eq!(Figure::Left.of(&corners), 50.5, epsilon = 1e-9);
    // A tenth of a point of front, as sure as these pads are, moves 158 kg by a millimetre and nine by eighteen.
    assert!(point.ahead.standard > 5.0 && point.left.is_some_and(|left| left.standard > 5.0), "{point:?}");
    // The seat alone is no mount on both sides of it; and what is not missing has no place.
    assert!(!point.is_among_mounts(&scenario));
    let light = accepted(&text(READINGS, None));
    assert_eq!(lead_point(&light, Some(0), light.fitted()), None);
}
