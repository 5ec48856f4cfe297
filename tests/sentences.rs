//! Sentences that a race engineer reads, each beside the number that makes it true.
//! Source of truth: statics as in `support/simulated.rs`, which uses nothing of the library; what the trade says is common
//! practice, no published source.

use approx::assert_abs_diff_eq;
use kentledge::answer::weigh::{LeadAcross, Weighing};
use kentledge::blocks;
use kentledge::page::terminal::{self, Shown};
use kentledge::scenario::Scenario;
use kentledge::statics::{Chassis, Stiffness};
use kentledge::units::{KG_PER_LB, Length, Mass, UnitSystem};
use serde_json::Value;

#[path = "support/run.rs"]
#[expect(dead_code, reason = "nothing is handed on stdin here")]
mod program;
#[path = "support/simulated.rs"]
#[expect(dead_code, reason = "no pads are drawn here")]
mod simulated;

use program::run;
use simulated::Frame;

/// A page as one line.
fn page(arguments: &[&str]) -> String {
    let shown = run(arguments);
    assert!(matches!(shown.code, Some(0 | 1)), "{}", shown.stderr);
    shown.stdout.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn document(arguments: &[&str]) -> Value {
    serde_json::from_str(&run(arguments).stdout).expect("a document")
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

/// What `weigh` says of readings on that kart.
fn weighed(kart: &str, targets: &str, scales: [f64; 4]) -> (Weighing, String) {
    let [lf, rf, lr, rr] = scales;
    // Washers were then as they are now.
    let then = kart.replace("washer: 1, ", "");
    let text = format!(
        "units: kg-mm\nkart: {{wheelbase: 1040, track_front: 1080, track_rear: 1120{kart}}}\n\
         class: {{minimum: 100, margin: 0}}\ntargets: {targets}\n\
         weighing: {{scales: {{lf: {lf}, rf: {rf}, lr: {lr}, rr: {rr}, sure: true}}, aboard: {{lead: none{then}}}}}\n\
         drivers: {{Sam: 70}}\nmounts: {{seat: {{x: 260, y: 0, capacity: 5}}}}\nlead: [1]\n"
    );
    let (scenario, _) = Scenario::from_yaml(&text).unwrap_or_else(|faults| panic!("{faults:?}\n{text}"));
    let weighing = Weighing::of_scenario(&scenario);
    let page = blocks::weigh(&weighing, None);
    let shown = terminal::text(&page, UnitSystem::KgMm, 200, Shown::Full);
    let plain = anstream::adapter::strip_str(&shown).to_string();
    (weighing, plain.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// Five kilograms from left to right over the front axle and five back over the rear one, 267 mm off the middle; and a millimetre
/// of washers, which takes the rate off LF and gives it to RF.
#[test]
fn lead_set_diagonally_changes_twist_by_what_the_sentence_says() {
    let frame = Frame::usual();
    let pair = |bodies: &[(f64, f64, f64)]| {
        let [lf, rf, ..] = frame.corners(bodies);
        lf - rf
    };
    let (front, side) = (frame.wheelbase, 267.0);
    let change =
        pair(&[(5.0, front, side), (5.0, 0.0, -side)]) - pair(&[(5.0, front, -side), (5.0, 0.0, side)]);
    let washers = change / (2.0 * frame.rate);
    let lengths = [frame.wheelbase, frame.track_front, frame.track_rear].map(Length::from_mm);
    let chassis = Chassis::from_stiffness(lengths[0], lengths[1], lengths[2], Stiffness::default());
    let across = LeadAcross::new(&chassis, Mass::from_kg(5.0));
    assert_abs_diff_eq!(across.front_pair.value, change, epsilon = 1e-9);
    assert_abs_diff_eq!(across.washers.value, washers, epsilon = 1e-9);
    let sentence = format!("LF - RF by about {change:.1} kg, as {washers:.1} mm of washers do");
    let page = page(&["weigh", "scenarios/off-target.yaml", "--full"]);
    assert!(page.contains(&sentence), "{sentence}: {page}");
    assert!(!page.contains("no lead and no seat"), "{page}");
}

/// A pad a millimetre too high lifts its wheel as a tyre does whose radius is a millimetre more: 2π mm around.
#[test]
fn a_tyre_larger_around_does_what_a_pad_too_high_does() {
    let (weighing, page) = weighed("", "{front_pair: {aim: 0, within: 0.3}}", [33.0, 29.0, 41.0, 43.0]);
    let rate = weighing.twist.expect("readable").rate;
    assert_abs_diff_eq!(rate.value, Frame::usual().rate, epsilon = 1e-9);
    assert!(page.contains(&format!("a tyre {:.1} mm larger around", std::f64::consts::TAU)), "{page}");
    assert!(page.contains(&format!("moves each corner by {:.1} ", rate.value)), "{page}");
}

/// Four kilograms between the fronts are 2 kg of twist at LF: 2 / rate millimetres in all, half of it on each side.
#[test]
fn washers_are_half_on_each_side_and_no_more_than_the_stacks_hold() {
    let (target, needed) = ("{front_pair: {aim: 0, within: 0.1}}", 2.0 / Frame::usual().rate);
    let readings = [33.0, 29.0, 41.0, 43.0];
    let spindles = |left: (u32, u32), right: (u32, u32)| {
        format!(
            ", spindles: {{washer: 1, left: {{above: {}, below: {}}}, right: {{above: {}, below: {}}}}}",
            left.0, left.1, right.0, right.1
        )
    };
    let said = |kart: &str| weighed(kart, target, readings).1;
    let half = "half of it from below to above the RF spindle, half from above to below at LF";
    for kart in [String::new(), spindles((2, 0), (0, 2))] {
        let page = said(&kart);
        assert!(page.contains(half) && page.contains(&format!("{needed:.0} +-")), "{needed}: {page}");
    }
    // Three at one side and one at the other hold it, but not by halves.
    let uneven = said(&spindles((1, 3), (0, 3)));
    assert!(uneven.contains("of washers in all") && !uneven.contains(half), "{uneven}");
    // Two of a millimetre hold less than it takes.
    let few = said(&spindles((1, 1), (1, 1)));
    assert!(few.contains("the stacks hold 2 mm that way") && !few.contains("half of it"), "{few}");
}

/// Left at half and even fronts leave nothing between the rears: LR = W/2 − LF and RR = W/2 − RF.
#[test]
fn the_rears_come_even_by_themselves_once_left_and_the_fronts_are_right() {
    let targets =
        "{front: {aim: 43, within: 0.5}, left: {aim: 50, within: 0.3}, front_pair: {aim: 0, within: 0.1}}";
    let (weighing, page) = weighed("", targets, [33.0, 29.0, 41.0, 46.0]);
    let rears = weighing.twist.and_then(|twist| twist.rear_pair_then).expect("the fronts have an aim");
    assert_abs_diff_eq!(rears.value, 0.0, epsilon = 1e-9);
    assert!(page.contains("the rears are 0 kg apart by themselves"), "{page}");
    let (weighing, _) = weighed("", "{front_pair: {aim: 0, within: 0.1}}", [33.0, 29.0, 41.0, 46.0]);
    let rears = weighing.twist.and_then(|twist| twist.rear_pair_then).expect("the fronts have an aim");
    // Twist moves tf/tr of what it moves in front: 4 kg less in front are 4 · 1080/1120 more behind.
    assert_abs_diff_eq!(rears.value, -5.0 + 4.0 * 1080.0 / 1120.0, epsilon = 1e-9);
}

/// What the trade calls very good is within half a pound; it is said only of what is known to be.
#[test]
fn nothing_is_called_very_good_that_the_pads_cannot_tell() {
    let remark = |weighing: &Weighing| {
        let said = weighing.common_practice.iter().find(|remark| remark.starts_with("fronts"));
        said.expect("nobody set a target for them").split(" (").next().unwrap_or_default().to_owned()
    };
    // Known to about 1.6 kg: nothing near a pound can be told, and 4 kg can.
    let [near, far] = [[31.0, 30.8, 42.0, 42.2], [33.0, 29.0, 41.0, 43.0]]
        .map(|scales| remark(&weighed("", "{front: {aim: 43, within: 0.5}}", scales).0));
    assert!(near.ends_with("these pads cannot tell"), "{near}");
    assert!(far.ends_with("more than a baseline"), "{far}");
    let limit = 0.5 * KG_PER_LB;
    let mut seen = 0;
    for entry in
        std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios")).expect("a folder").flatten()
    {
        let path = entry.path();
        if path.extension().is_none_or(|ending| ending != "yaml") {
            continue;
        }
        let found = document(&["weigh", path.to_str().expect("a plain name"), "--json", "--quiet"]);
        let remarks = found["common_practice"].as_array().expect("a list");
        if remarks.iter().any(|remark| remark.as_str().is_some_and(|text| text.contains(": very good"))) {
            let (pair, sure) = (&found["front_pair_kg"], &found["front_pair_plus_minus_kg"]);
            assert!(number(pair).abs() + number(sure) <= limit, "{}: {pair} {sure}", path.display());
        }
        seen += 1;
    }
    assert!(seen > 10, "{seen} scenarios");
}

/// 48.3 % on the front.
#[test]
fn much_front_asks_for_another_fault_before_lead() {
    let (weighing, _) = weighed("", "{left: {aim: 50, within: 0.3}}", [36.0, 36.0, 38.5, 38.5]);
    assert!(weighing.figures.front.value > 48.0);
    let said = weighing.common_practice.join("; ");
    assert!(said.contains("look for another fault before moving more lead"), "{said}");
}

#[test]
fn an_oval_gets_an_ovals_rules_of_thumb_and_a_sprint_kart_those_of_sprints() {
    let rules = |scenario: &str| {
        let found = document(&["card", scenario, "--json", "--quiet", "--time", "60"]);
        found["common_practice"].as_array().expect("a list").iter().map(Value::to_string).collect::<String>()
    };
    let (oval, sprint) = (rules("scenarios/oval.yaml"), rules("scenarios/two-drivers.yaml"));
    assert!(oval.contains("inside the turns") && !oval.contains("43 %"), "{oval}");
    assert!(sprint.contains("43 % front") && !sprint.contains("inside"), "{sprint}");
    let said = page(&["weigh", "scenarios/oval.yaml", "--full"]);
    assert!(!said.contains("baseline") && !said.contains("as usual"), "{said}");
}

/// Minutes of the trade: a spindle 10 to 15 whatever the count, a seat 20 to 40, a weighing between.
#[test]
fn every_job_has_its_minutes_and_what_is_moved_is_looked_at() {
    let file = "scenarios/seat-and-spacers.yaml";
    let found = document(&["plan", file, "--json", "--quiet", "--time", "60"]);
    let minutes = |job: &Value| number(&job["time_minutes"]);
    let (mut all, mut seen) = (minutes(&found["gate"]), [false; 2]);
    for job in
        found["adjusters"].as_array().expect("a list").iter().filter(|job| job["now"] != job["planned"])
    {
        all += minutes(job);
        if job["washers_to_above"] != 0 {
            assert!((10.0..=15.0).contains(&minutes(job)), "{job}");
            seen[0] = true;
        }
        if let Some(goes) = job.get("seat_goes") {
            assert!((20.0..=40.0).contains(&minutes(job)), "{job}");
            let holes =
                |at: &str| job[at].as_str().and_then(|at| at[5..6].parse::<f64>().ok()).expect("a hole");
            // Holes are 15 mm apart.
            assert_abs_diff_eq!(number(&goes["forward_mm"]), 15.0 * (holes("planned") - holes("now")));
            seen[1] = true;
        }
    }
    all += found["changes"].as_array().expect("a list").iter().map(minutes).sum::<f64>();
    assert_eq!(seen, [true; 2], "{found}");
    let said = page(&["plan", file, "--time", "60"]);
    for words in [
        &format!("about {all:.0} min"),
        "mm forward, 10 mm left, hole 3 -> ",
        "check pedals, lock, clearance (30 min)",
        "check toe, caster, camber (12 min)",
        "go on only at",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let full = page(&["plan", file, "--time", "60", "--full"]);
    assert!(full.contains("pedals reached with knees bent") && full.contains("After washers"), "{full}");
}

/// Nothing that is shipped bolts lead further ahead than the frame goes, as on bumpers and fairings, or lifts anybody.
#[test]
fn no_shipped_file_bolts_lead_to_the_nose_or_lifts_a_driver() {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/");
    let mut files: Vec<std::path::PathBuf> = Vec::new();
    for folder in ["scenarios", "src/starter"] {
        let entries = std::fs::read_dir(format!("{root}{folder}")).expect("a folder").flatten();
        files.extend(
            entries.map(|entry| entry.path()).filter(|path| path.extension().is_some_and(|e| e == "yaml")),
        );
    }
    assert!(files.len() > 15, "{files:?}");
    for path in files {
        let text = std::fs::read_to_string(&path).expect("a text");
        let (scenario, warnings) = Scenario::from_yaml(&text).unwrap_or_else(|faults| panic!("{faults:?}"));
        assert!(!warnings.iter().any(|one| one.kind.code() == "K031"), "{}", path.display());
        let frame_ends = scenario.kart().chassis.wheelbase.mm() + 50.0;
        for mount in scenario.mounts() {
            assert!(mount.place.x.mm() <= frame_ends, "{}: {}", path.display(), mount.name);
        }
    }
}
