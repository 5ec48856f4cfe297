//! What levers do, against sums done by hand, and plans that are told which levers they may use.
//! Source of truth: statics as in DEVELOPERS.md, worked out beside each figure; the numbers of the kart are invented.

use approx::assert_abs_diff_eq;
use kentledge::counts::Counts;
use kentledge::plan::Measured;
use kentledge::scenario::{Freedom, Moment, Scenario};
use kentledge::solve::{Answer, Patience, solve_within};
use kentledge::statics::Corners;

#[path = "support/run.rs"]
#[expect(dead_code, reason = "nothing is handed on stdin here")]
mod program;

use program::run;

/// The last digit that the sums below are given to, kg.
const HAND_KG: f64 = 5e-5;

/// One kilogram a millimetre of twist rate, and a roll share of 0.4 wherever a mass is, so that sums can be done by hand.
const KART: &str = "
units: kg-mm
kart:
  name: kart 9
  wheelbase: 1040
  track_front: 1080
  track_rear: 1120
  roll_share: {rear_axle: 0.4, front_axle: 0.4}
  twist_rate: 0.5
  seat: {mass: 4.5, x: 300, y: 0, pitch: 15, hole: 2, holes: {from: 0, to: 4}}
  spindles: {washer: 2, left: {above: 2, below: 2}, right: {above: 1, below: 3}}
class: {name: club, minimum: 150, margin: 0}
targets:
  front: {aim: 43, within: 0.5}
  left: {aim: 50, within: 0.5}
  front_pair: {aim: 0, within: 0.3}
weighing:
  scales: {lf: 31.5, rf: 33.5, lr: 45, rr: 45}
  aboard: {driver: Sam, fuel: none, lead: {right_pod: {block: 1}}, seat_hole: 2,
    spindles: {left: {above: 2, below: 2}, right: {above: 1, below: 3}}, adjusters: {front bar: 1, battery: left}}
drivers: {Sam: {mass: 75.5, x: 380, y: 10}}
fuel: {x: 500, y: 0, start: 0, finish: 0}
adjusters:
  front bar: {per_step: {lf: 0.3, rf: -0.3, lr: -0.3, rr: 0.3}, from: 0, to: 3, now: 1}
  battery: {mass: 4, now: left, places: {left: {x: 208, y: 250}, right: {x: 208, y: -250}}}
mounts:
  left_pod: {x: 416, y: 250, capacity: 6}
  right_pod: {x: 416, y: -250, capacity: 6}
  seat_back: {on: seat, x: 104, y: 0, capacity: 6}
lead: {block: {mass: 5, count: 1}, slab: {mass: 2.5, count: 2}}
fitted: {right_pod: {block: 1}}
";

/// Adjusters in the order of the scenario.
const SEAT: usize = 0;
const SPINDLE_LEFT: usize = 1;
const FRONT_BAR: usize = 3;
const BATTERY: usize = 4;

fn kart() -> Scenario {
    match Scenario::from_yaml(KART) {
        Ok((scenario, warnings)) => {
            assert!(warnings.is_empty(), "{warnings:?}");
            scenario
        }
        Err(faults) => panic!("{faults:?}"),
    }
}

fn corners(scenario: &Scenario, counts: &Counts) -> Corners {
    let measured = Measured::new(scenario, Some(0), counts.clone());
    measured.state(Moment::Finish).expect("there is a finish").load.corners
}

/// What one adjuster at another setting changes, everything else staying.
fn change(adjuster: usize, setting: u16) -> [f64; 4] {
    let scenario = kart();
    let mut settings = scenario.fitted().settings().to_vec();
    settings[adjuster] = setting;
    let now = corners(&scenario, scenario.fitted());
    let then = corners(&scenario, &scenario.fitted().clone().with_settings(&settings));
    (then - now).kg()
}

fn assert_change(found: [f64; 4], by_hand: [f64; 4]) {
    for (found, by_hand) in found.into_iter().zip(by_hand) {
        assert_abs_diff_eq!(found, by_hand, epsilon = HAND_KG);
    }
}

/// A washer of 2 mm from above to below the left spindle lets that wheel up by 2 mm: LF loses 2 · 0.5 = 1 kg, RF gains it,
/// and the rear pair takes 1080/1120 of that the other way: 0.9643 kg.
#[test]
fn a_washer_from_top_to_bottom_takes_load_off_its_corner() {
    assert_change(change(SPINDLE_LEFT, 1), [-1.0, 1.0, 0.9643, -0.9643]);
    assert_change(change(SPINDLE_LEFT, 3), [1.0, -1.0, -0.9643, 0.9643]);
}

/// The seat one hole back takes 4.5 + 75.5 = 80 kg 15 mm back: 80 · 15/1040 = 1.1538 kg from the front axle to the rear.
/// The roll share is the same everywhere, so nothing goes from side to side: half of it to each wheel.
#[test]
fn a_seat_one_hole_back_takes_load_to_the_rear() {
    assert_change(change(SEAT, 1), [-0.5769, -0.5769, 0.5769, 0.5769]);
    assert_change(change(SEAT, 3), [0.5769, 0.5769, -0.5769, -0.5769]);
}

/// Five kilograms from 250 mm right to 250 mm left: a roll moment of 5 · 500 = 2500 kg·mm, of which the front pair takes
/// 0.4: 1000/1080 = 0.9259 kg from RF to LF, and the rear pair 1500/1120 = 1.3393 kg.
#[test]
fn five_kilograms_across_go_to_the_side_they_are_put_on() {
    let scenario = kart();
    let mut across = scenario.fitted().clone();
    *across.get_mut(0, 1) = 0;
    *across.get_mut(0, 0) = 1;
    let change = corners(&scenario, &across) - corners(&scenario, scenario.fitted());
    assert_change(change.kg(), [0.9259, -0.9259, 1.3393, -1.3393]);
}

/// Two steps of the bar at 0.3 kg; and a battery of 4 kg 500 mm to the right: 2000 kg·mm, 800/1080 = 0.7407 kg at the front
/// and 1200/1120 = 1.0714 kg at the rear.
#[test]
fn measured_steps_and_parts_that_move_do_what_the_file_says() {
    assert_change(change(FRONT_BAR, 3), [0.6, -0.6, -0.6, 0.6]);
    assert_change(change(BATTERY, 1), [-0.7407, 0.7407, -1.0714, 1.0714]);
}

/// Five kilograms on the seat's back: 104/1040 of it on the front axle where the seat is, (104 + 30)/1040 two holes forward.
#[test]
fn lead_on_the_seat_moves_with_it() {
    let scenario = kart();
    let mut with_lead = scenario.fitted().clone();
    *with_lead.get_mut(0, 1) = 0;
    *with_lead.get_mut(0, 2) = 1;
    let mut settings = with_lead.settings().to_vec();
    settings[SEAT] = 4;
    let moved = with_lead.clone().with_settings(&settings);
    let front = corners(&scenario, &moved).front() - corners(&scenario, &with_lead).front();
    assert_abs_diff_eq!(front, (4.5 + 75.5 + 5.0) * 30.0 / 1040.0, epsilon = HAND_KG);
}

/// A weighing with other settings is the same kart: what they did then is taken off, what they do now is put on.
#[test]
fn settings_at_the_weighing_are_part_of_the_books() {
    let then = KART.replace(
        "seat_hole: 2,\n    spindles: {left: {above: 2, below: 2}, right: {above: 1, below: 3}}, adjusters: {front bar: 1, battery: left}",
        "seat_hole: 1, spindles: {left: {above: 3, below: 1}, right: {above: 1, below: 3}}, \
         adjusters: {front bar: 0, battery: right}",
    );
    let (weighed_otherwise, _) = Scenario::from_yaml(&then).expect("a valid file");
    let scenario = kart();
    let settings = [1, 3, 1, 0, 1];
    let otherwise = corners(&scenario, &scenario.fitted().clone().with_settings(&settings));
    let now = corners(&scenario, scenario.fitted());
    // The same readings were taken with other settings, so today's corners differ from them the other way round.
    let expected = now + (now - otherwise);
    let found = corners(&weighed_otherwise, weighed_otherwise.fitted());
    for (found, expected) in found.kg().into_iter().zip(expected.kg()) {
        assert_abs_diff_eq!(found, expected, epsilon = 1e-9);
    }
}

fn solved(only: &[&str]) -> Measured {
    let scenario = kart();
    let names: Vec<String> = only.iter().map(|name| (*name).to_owned()).collect();
    let freedom = Freedom::only(&scenario, &names).expect("known names");
    match solve_within(&scenario, Some(0), &freedom, Patience::ENDLESS) {
        Ok(Answer::Plan(solved)) => solved.plan.measured().clone(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn only_what_is_named_is_changed() {
    let scenario = kart();
    let now = scenario.fitted();
    let lead = solved(&["lead"]);
    assert_eq!(lead.counts.settings(), now.settings());
    assert_ne!(lead.counts, *now);
    let spacers = solved(&["spacers"]);
    assert_eq!(spacers.counts.clone().with_settings(now.settings()), *now);
    let changed: Vec<usize> =
        (0..5).filter(|index| spacers.counts.settings()[*index] != now.settings()[*index]).collect();
    assert!(!changed.is_empty() && changed.iter().all(|index| [1, 2].contains(index)), "{changed:?}");
    let bar = solved(&["front bar"]);
    assert_ne!(bar.counts.setting(FRONT_BAR, 1), 1);
    assert_eq!(bar.worth.work, 2);
    let all = solved(&["lead", "seat", "spacers", "front bar", "battery"]);
    assert!(all.worth.outside_kg <= lead.worth.outside_kg.min(spacers.worth.outside_kg) + 0.05);
}

#[test]
fn alternatives_change_no_more_than_the_plan_may() {
    let kart = "scenarios/seat-and-spacers.yaml";
    let adjusters = |document: &serde_json::Value| document["adjusters"].to_string();
    let shown = |arguments: &[&str]| -> serde_json::Value {
        let options = ["--alternatives", "6", "--json", "--time", "60"];
        let run = run(&[&["plan", kart], arguments, &options].concat());
        serde_json::from_str(&run.stdout).unwrap_or_else(|error| panic!("{error}: {}", run.stderr))
    };
    let others = |document: &serde_json::Value| document["alternatives"]["found"].as_array().cloned();
    let lead = shown(&["--only", "lead"]);
    let found = others(&lead).expect("a list");
    assert!(!found.is_empty(), "{lead}");
    for other in &found {
        assert_eq!(adjusters(other), adjusters(&lead), "{other}");
    }
    let free = others(&shown(&[])).expect("a list");
    assert!(
        free.iter().any(|other| adjusters(other) != adjusters(&lead)),
        "with everything free they differ"
    );
}

#[test]
fn a_name_that_is_no_lever_is_refused_with_those_there_are() {
    let fault = Freedom::only(&kart(), &["seet".to_owned()]).expect_err("no such lever");
    assert!(fault.to_string().contains("there is no adjuster called `seet`"), "{fault}");
    assert!(fault.help().contains("`seat`"), "{}", fault.help());
}

/// Washers would cure it and were not to be touched: that is no case for the frame.
#[test]
fn what_was_not_to_be_changed_is_not_said_to_be_of_no_help() {
    let kart = "scenarios/seat-and-spacers.yaml";
    let frame = "tweaking a frame is never planned";
    let plan = run(&["plan", kart, "--only", "lead", "--plain"]);
    assert!(plan.stdout.contains("front pair is a matter of twist more than of lead"), "{}", plan.stdout);
    assert!(plan.stdout.contains("not everything was allowed to be changed"), "{}", plan.stdout);
    assert!(!plan.stdout.contains(frame), "{}", plan.stdout);
    let plan = run(&["plan", kart, "--only", "seat"]);
    assert_eq!(plan.code, Some(4));
    assert!(
        plan.stdout.contains("lead stays as it is: it is not among what may be changed"),
        "{}",
        plan.stdout
    );
    assert!(!plan.stdout.contains("look at capacity"), "{}", plan.stdout);
}

/// Bent far beyond what the washers can take away, which is then said with its size in kilograms.
#[test]
fn only_where_nothing_else_helps_the_frame_is_spoken_of_with_what_is_left() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/seat-and-spacers.yaml");
    let text = std::fs::read_to_string(path).expect("the scenario is there");
    let bent = "{lf: 29.9, rf: 38.7, lr: 52.8, rr: 45.1}";
    let straight = "{lf: 32.9, rf: 35.7, lr: 49.8, rr: 48.1}";
    assert!(text.contains(straight), "{text}");
    let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("bent.yaml");
    std::fs::write(&path, text.replace(straight, bent)).expect("the tests' own folder can be written");
    let plan = run(&["plan", path.to_str().expect("a plain name"), "--plain"]);
    let line = plan.stdout.lines().find(|line| line.contains("tweaking a frame is never planned"));
    let line = line.unwrap_or_else(|| panic!("{}", plan.stdout));
    assert!(
        line.contains("kg of twist is left") && line.contains("seat and washers of this kart take away"),
        "{line}"
    );
    assert!(plan.stdout.contains("tweaking a frame, can injure"), "{}", plan.stdout);
}
