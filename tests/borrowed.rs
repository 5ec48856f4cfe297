//! Drivers known only by their dressed mass: whose place they are given, what that adds to every ±, and what is said of it.
//! Source of truth: the same scenario with that place written out, and moments about the rear axle worked out by hand.

use kentledge::counts::Counts;
use kentledge::scenario::{Moment, Scenario};
use kentledge::statics::Point;
use kentledge::uncertainty::{combined, kart};
use kentledge::weighing;
use serde_json::Value;

#[path = "support/run.rs"]
#[expect(dead_code, reason = "only what is said counts here, not how the program ended")]
mod program;
#[path = "support/solving.rs"]
#[expect(dead_code, reason = "nothing is planned here but by the program itself")]
mod solving;

use solving::read;

const WHEELBASE_MM: f64 = 1040.0;
const SAM_KG: f64 = 76.0;
const ALEX_KG: f64 = 66.0;

/// Sam was on the pads, and nothing errs but places of drivers, by `within` where they are told.
fn team(alex: &str, within: f64) -> String {
    format!(
        "units: kg-mm
kart: {{name: kart 7, wheelbase: {WHEELBASE_MM}, track_front: 1080, track_rear: 1120}}
class: {{name: club, minimum: 155, margin: 0}}
targets: {{front: {{aim: 43, within: 2}}, left: {{aim: 50, within: 2}}}}
weighing:
  scales: {{lf: 34, rf: 34, lr: 45, rr: 45}}
  aboard: {{driver: Sam, fuel: none, lead: none}}
measured_within: {{lengths: 0, places: 0, driver: 0, driver_place: {within}, fuel: 0, roll_share: 0}}
drivers:
  Sam: {{mass: {SAM_KG}, x: 445, y: 12}}
  Alex: {alex}
driver: Sam
mounts:
  tray: {{x: 440, y: 200, capacity: 9, quick: true}}
  floor: {{x: 450, y: 0, capacity: 12}}
lead:
  puck: {{mass: 1, count: 16}}
"
    )
}

fn only_a_mass(within: f64) -> Scenario {
    read(&team(&format!("{{mass: {ALEX_KG}}}"), within))
}

/// One standard uncertainty of the front axle's load with a driver in the seat and no lead, kg.
fn front(scenario: &Scenario, driver: usize) -> f64 {
    let none = Counts::none(scenario.lead().len(), scenario.mounts().len());
    let state = kart::state(scenario, Some(driver), Moment::Finish, &none);
    combined(state.by_cause(|kart| kart.corners.front()).into_iter().map(|(_, standard)| standard))
}

#[test]
fn a_driver_without_a_place_acts_where_the_weighed_one_does() {
    let (borrowed, told) =
        (only_a_mass(20.0), read(&team(&format!("{{mass: {ALEX_KG}, x: 445, y: 12}}"), 20.0)));
    assert_eq!(borrowed.drivers()[1].place_of, Some(0));
    assert_eq!(told.drivers()[1].place_of, None);
    assert_eq!(weighing::trunk(&borrowed, Some(1)), weighing::trunk(&told, Some(1)));
}

#[test]
fn how_people_differ_in_one_seat_is_in_the_plus_minus_and_what_both_share_cancels() {
    // A limit of 40 mm on Alex, and where Sam acts counts only with what they differ by: the first was taken out, the other put
    // in at the same place.
    for within in [0.0, 20.0] {
        let scenario = only_a_mass(within);
        let limit_kg = |kg: f64, mm: f64| kg * mm / WHEELBASE_MM / 3.0_f64.sqrt();
        let pads_kg = front(&scenario, 0);
        let parts = [pads_kg, limit_kg(ALEX_KG, 40.0), limit_kg(SAM_KG - ALEX_KG, within)];
        let expected = parts.into_iter().map(|part| part * part).sum::<f64>().sqrt();
        approx::assert_relative_eq!(front(&scenario, 1), expected, max_relative = 1e-6);
    }
    // Told by a tape, the two places err each for itself.
    let told = read(&team(&format!("{{mass: {ALEX_KG}, x: 445, y: 12}}"), 20.0));
    assert!(front(&told, 1) < front(&only_a_mass(20.0), 1));
}

#[test]
fn with_the_seat_empty_on_the_pads_the_first_driver_of_the_file_lends_his_place() {
    let text = team(&format!("{{mass: {ALEX_KG}}}"), 20.0)
        .replace("scales: {lf: 34, rf: 34, lr: 45, rr: 45}", "scales: {lf: 18, rf: 18, lr: 23, rr: 23}")
        .replace("aboard: {driver: Sam", "aboard: {driver: none");
    let scenario = read(&text);
    assert_eq!(scenario.drivers()[1].place_of, Some(0));
    let [sam, alex] = [0, 1].map(|driver| weighing::trunk(&scenario, Some(driver)).corners.front());
    approx::assert_relative_eq!(sam - alex, (SAM_KG - ALEX_KG) * 445.0 / WHEELBASE_MM, max_relative = 1e-9);
}

#[test]
fn a_place_that_was_learned_is_the_drivers_own() {
    let scenario = only_a_mass(20.0);
    let mut beliefs = scenario.beliefs();
    beliefs.drivers[1] = Some(Point::from_mm(431.0, 3.0));
    assert_eq!(scenario.believing(&beliefs).drivers()[1].place_of, None);
    beliefs.drivers[1] = None;
    assert_eq!(scenario.believing(&beliefs).drivers()[1].place_of, Some(0));
}

/// Runs a command on a team of whom Alex is known only by mass; the document and the words for people, unbroken.
fn said(command: &[&str], text: &str) -> (Value, String) {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("borrowed");
    std::fs::create_dir_all(&folder).expect("a folder can be made");
    let file = folder.join(format!("{}-{}.yaml", command.join("-"), text.len())).display().to_string();
    std::fs::write(&file, text).expect("a file can be written");
    let [first, rest @ ..] = command else { panic!("a command") };
    let run = |more: &[&str]| {
        let all: Vec<&str> =
            [*first, &file].into_iter().chain(rest.iter().copied()).chain(more.iter().copied()).collect();
        program::run(&all)
    };
    let document = run(&["--json", "--time", "600"]);
    let document = serde_json::from_str(&document.stdout).unwrap_or_else(|_| panic!("{}", document.stderr));
    let text = run(&["--time", "600"]).stdout;
    (document, text.split_whitespace().collect::<Vec<_>>().join(" "))
}

#[test]
fn swap_plan_and_pack_state_the_place_and_its_uncertainty_and_what_would_settle_it() {
    let trip = "trip:\n  buy:\n    slab: {mass: 2, most: 2}\n";
    let commands: [(&[&str], String); 3] = [
        (&["swap"], team("{mass: 66}", 20.0)),
        (&["plan", "--driver", "Alex"], team("{mass: 66}", 20.0)),
        (&["pack"], team("{mass: 66}", 20.0) + trip),
    ];
    for (command, text) in &commands {
        let (document, words) = said(command, text);
        let entry = &document["estimated_places"][0];
        assert_eq!((&entry["driver"], &entry["taken_from"]), (&"Alex".into(), &"Sam".into()), "{document}");
        assert_eq!([&entry["x_mm"], &entry["y_mm"]], [445.0, 12.0], "{document}");
        assert_eq!([&entry["x_within_mm"], &entry["y_within_mm"]], [40.0, 20.0], "{document}");
        let sentence = "give or take 40 mm forward or back and 20 mm to a side; weighing the kart with Alex in the seat \
                        would settle it";
        assert!(words.contains(sentence), "{words}");
        // Told by the file it is no estimate.
        let (document, words) = said(command, &text.replace("{mass: 66}", "{mass: 66, x: 445, y: 12}"));
        assert_eq!(document["estimated_places"].as_array().map(Vec::len), Some(0), "{document}");
        assert!(!words.contains("would settle it"), "{words}");
    }
    // Nor does it concern a plan for somebody else.
    let (document, _) = said(&["plan", "--driver", "Sam"], &team("{mass: 66}", 20.0));
    assert_eq!(document["estimated_places"].as_array().map(Vec::len), Some(0), "{document}");
}

#[test]
fn check_tells_each_driver_what_is_required_of_him_where_the_margins_differ() {
    let text =
        team("{mass: 66}", 20.0).replace("margin: 0", "margin: 99 %").replace("driver: 0,", "driver: 0.5,");
    let (document, words) = said(&["check"], &text);
    for (index, name) in ["Sam", "Alex"].into_iter().enumerate() {
        let (plan, _) = said(&["plan", "--driver", name], &text);
        let required = &document["needs"][index]["required_kg"];
        assert_eq!(required, &plan["margin"]["required_kg"], "{name}: {document}");
        assert!(words.contains(&format!(", for {required} kg at the finish")), "{required}: {words}");
    }
    // With a fixed margin it is the same for all, and said once.
    let (document, words) = said(&["check"], &team("{mass: 66}", 20.0));
    assert!(document["needs"].as_array().expect("a list").iter().all(|need| need["required_kg"] == 155.0));
    assert_eq!(words.matches("for 155 kg at the finish").count(), 1, "{words}");
}

/// Nobody has told any place: the driver who was weighed is taken to act where drivers usually do, and the other where he does.
#[test]
fn where_nobody_has_told_any_place_a_usual_one_is_assumed_and_said() {
    let text = team("66", 20.0).replace("Sam: {mass: 76, x: 445, y: 12}", "Sam: 76");
    let scenario = read(&text);
    assert_eq!((scenario.drivers()[0].place_of, scenario.drivers()[1].place_of), (Some(0), Some(0)));
    let (document, words) = said(&["plan", "--driver", "Alex"], &text);
    let places = document["estimated_places"].as_array().expect("a list");
    assert_eq!((places[0]["driver"].as_str(), places[0]["taken_from"].as_str()), (Some("Sam"), None));
    assert_eq!(places[0]["x_within_mm"], 100.0, "{document}");
    assert_eq!((places[1]["driver"].as_str(), places[1]["taken_from"].as_str()), (Some("Alex"), Some("Sam")));
    assert!(words.contains("as is usual (assumed), give or take 100 mm"), "{words}");
    // He who was weighed needs none of that, and what is assumed of others does not touch him.
    let (document, _) = said(&["plan", "--driver", "Sam"], &text);
    assert_eq!(document["estimated_places"].as_array().map(Vec::len), Some(0), "{document}");
    approx::assert_relative_eq!(front(&scenario, 0), front(&only_a_mass(20.0), 0), max_relative = 1e-9);
    assert!(front(&scenario, 1) > front(&only_a_mass(20.0), 1));
    // A place of the other stands in for his.
    let known =
        read(&team("{mass: 66, x: 450, y: 5}", 20.0).replace("Sam: {mass: 76, x: 445, y: 12}", "Sam: 76"));
    assert_eq!((known.drivers()[0].place_of, known.drivers()[1].place_of), (Some(1), None));
}
