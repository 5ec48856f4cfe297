//! Every figure that was weighed or is foretold has its ± in every document, and the one before a plan is known as any other.
//! Takes the documents of the built program on all shipped scenarios; every test says in its name what must hold.
//! Does not know how large a ± should be: that is compared with simulations in `propagation.rs` and `coverage.rs`.

#[path = "support/run.rs"]
#[expect(dead_code, reason = "nothing here is read from stdin")]
mod program;

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use program::run;
use serde_json::Value;

/// Ends of keys whose numbers are figures; `lf` to `rr` stand under such a key, and a residual has a `value`.
const UNITS: [&str; 4] = ["kg", "mm", "percent", "kg_mm"];

/// Keys of numbers without a ±, some with the key above them: nothing but what is listed here is let through.
const EXACT: [&str; 48] = [
    // Written by the user: pieces of lead, what is aboard, steps that were asked for, bolts.
    "piece_kg",
    "mass_kg",
    "each_kg",
    "carried_kg",
    "lead_in_stock_kg",
    "heaviest_lead_kg",
    "aboard driver_kg",
    "aboard fuel_kg",
    "aboard lead_kg",
    "check lead_kg",
    "front_step_percent",
    "across_step_percent",
    "hardware diameter_mm",
    "bolts length_mm",
    "mounts length_mm",
    "mounts stack_mm",
    "mounts needed_mm",
    // Rules and bands.
    "minimum_kg",
    "margin_kg",
    "required_kg",
    "mounts_carry_kg",
    "most_lead_kg",
    "least_total_kg",
    "most_total_kg",
    "aim_percent",
    "within_percent",
    "front_within_percent",
    "across_within_percent",
    // What goals of the program come to, and measures by which plans are compared.
    "goals value",
    "band_kg",
    "close_kg",
    "outside_bands_kg",
    "from_aims_kg",
    "lead_height_mm",
    "lead_from_middle_mm",
    "above_own_minimum_kg",
    "most_above_own_minimum_kg",
    "at_least_above_own_minimum_kg",
    "gap_median_percent",
    "gap_most_percent",
    // Chances, and what is itself a statement about a spread.
    "chance_percent",
    "wanted_chance_percent",
    "scatter_mm",
    // These are the ±.
    "coverage_factor",
    "plus_minus",
    "step_plus_minus",
    "plus_minus_at_most",
    "expanded_uncertainty_kg",
];

const TEAMS: [&str; 3] = ["two-drivers", "three-drivers", "seat-on-pins"];

fn shipped(stem: &str) -> String {
    format!("{}/scenarios/{stem}.yaml", env!("CARGO_MANIFEST_DIR"))
}

fn scenarios() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let folders = [folder.clone(), folder.join("forms")];
    let entries =
        folders.iter().flat_map(|folder| fs::read_dir(folder).expect("scenarios are there").flatten());
    let files =
        entries.map(|entry| entry.path()).filter(|path| path.extension().is_some_and(|end| end == "yaml"));
    files.map(|path| path.to_str().expect("scenarios have plain names").to_owned()).collect()
}

/// The document of a command; none where the command is not for such a scenario.
fn document(command: &[&str], scenario: &str) -> Option<Value> {
    let run = run(&[command, &[scenario, "--json", "--quiet", "--time", "600"]].concat());
    matches!(run.code, Some(0 | 1 | 4)).then(|| serde_json::from_str(&run.stdout).expect("a document"))
}

/// The keys down to every number below a value; `start` and `finish` say when, not what.
fn ways(value: &Value) -> Vec<BTreeSet<String>> {
    match value {
        Value::Number(_) => vec![BTreeSet::new()],
        Value::Object(entries) => {
            let ways = entries.iter().flat_map(|(key, below)| {
                ways(below).into_iter().map(move |mut way| {
                    if !["start", "finish"].contains(&key.as_str()) {
                        way.insert(key.clone());
                    }
                    way
                })
            });
            ways.collect()
        }
        _ => Vec::new(),
    }
}

/// Whether one of the objects on the way holds a ± of the number at its end.
fn has_plus_minus(way: &[(&str, &Value)], key: &str) -> bool {
    // Objects from the document inwards, each with the key under which the next one stands.
    let (_, holder) = way.last().expect("a number stands in a document");
    let beside = match UNITS.iter().rev().find(|unit| key.ends_with(&format!("_{unit}"))) {
        Some(unit) => {
            let stem = key.strip_suffix(unit).expect("the key ends so");
            vec![format!("{stem}plus_minus_{unit}"), format!("plus_minus_{unit}")]
        }
        None => vec!["plus_minus".to_owned()],
    };
    if beside.iter().any(|name| holder[name.as_str()].is_number()) {
        return true;
    }
    (0..way.len()).any(|depth| {
        let mut wanted: BTreeSet<String> =
            way[depth + 1..].iter().map(|(key, _)| (*key).to_owned()).collect();
        wanted.insert(key.to_owned());
        wanted.retain(|key| !["start", "finish"].contains(&key.as_str()));
        ways(&way[depth].1["plus_minus"]).contains(&wanted)
    })
}

fn is_exact(way: &[(&str, &Value)], key: &str) -> bool {
    let above = way.last().map_or("", |(above, _)| above);
    EXACT.iter().any(|exact| match exact.split_once(' ') {
        Some((holder, only)) => above == holder && key == only,
        // A key alone is meant wherever it stands, and what stands below it with it.
        None => key == *exact || way.iter().any(|(one, _)| one == exact),
    })
}

/// Every figure below a value: those without a ± go into `bare`; gives how many there are.
fn figures<'d>(way: &mut Vec<(&'d str, &'d Value)>, value: &'d Value, bare: &mut BTreeSet<String>) -> usize {
    match value {
        Value::Array(entries) => entries.iter().map(|entry| figures_of(way, entry, bare)).sum(),
        _ => figures_of(way, value, bare),
    }
}

fn figures_of<'d>(
    way: &mut Vec<(&'d str, &'d Value)>,
    value: &'d Value,
    bare: &mut BTreeSet<String>,
) -> usize {
    let Value::Object(entries) = value else { return 0 };
    // An entry of a list stands in the place of the list.
    let outer = way.last().copied();
    if let Some((_, last)) = way.last_mut() {
        *last = value;
    }
    let mut found = 0;
    for (key, below) in entries {
        if below.is_number() {
            let corner = ["lf", "rf", "lr", "rr"].contains(&key.as_str());
            let named = key == "value" || UNITS.iter().any(|unit| key.ends_with(&format!("_{unit}")));
            let is_plus_minus = key.contains("plus_minus");
            if (corner || named) && !is_plus_minus && !is_exact(way, key) {
                found += 1;
                if !has_plus_minus(way, key) {
                    let keys: Vec<&str> = way.iter().map(|(key, _)| *key).chain([key.as_str()]).collect();
                    bare.insert(keys.join("."));
                }
            }
        } else {
            way.push((key, below));
            found += figures(way, below, bare);
            way.pop();
        }
    }
    if let (Some(last), Some(outer)) = (way.last_mut(), outer) {
        *last = outer;
    }
    found
}

fn all_have_their_plus_minus(command: &[&str], scenarios: &[String]) {
    let mut found = 0;
    let mut bare = BTreeSet::new();
    for document in scenarios.iter().filter_map(|scenario| document(command, scenario)) {
        found += figures(&mut vec![(command[0], &document)], &document, &mut bare);
    }
    assert!(bare.is_empty(), "{command:?} has figures without a ±: {bare:#?}");
    assert!(found > 0, "{command:?} has no figures");
}

#[test]
fn every_figure_of_a_plan_has_its_plus_minus() {
    all_have_their_plus_minus(&["plan", "--alternatives", "3"], &scenarios());
}

#[test]
fn every_figure_of_weighings_cards_and_regions_has_its_plus_minus() {
    let commands: [&[&str]; 4] = [&["weigh"], &["check"], &["card"], &["reach", "--all-drivers"]];
    for command in commands {
        all_have_their_plus_minus(command, &scenarios());
    }
}

#[test]
fn every_figure_of_teams_and_trips_has_its_plus_minus() {
    all_have_their_plus_minus(&["swap"], &TEAMS.map(shipped));
    all_have_their_plus_minus(&["pack"], &["trip", "too-light"].map(shipped));
}

#[test]
fn a_figure_without_a_plus_minus_is_found() {
    let document = serde_json::json!({
        "total_kg": 160.0, "plus_minus": {"start": {"total_kg": 0.5}, "finish": {"corners_kg": {"lf": 0.6}}},
        "corners_kg": {"start": {"lf": 35.0, "rf": 34.0}},
        "needs": [{"lead_kg": 3.0, "plus_minus_kg": 0.5}, {"lead_kg": 4.0}],
        "residuals": [{"value": 43.0, "plus_minus": 0.2}, {"value": 44.0}],
        "goals": [{"value": 160.0}], "margin": {"minimum_kg": 160.0},
    });
    let mut bare = BTreeSet::new();
    let found = figures(&mut vec![("plan", &document)], &document, &mut bare);
    let bare: Vec<&str> = bare.iter().map(String::as_str).collect();
    assert_eq!(bare, ["plan.corners_kg.start.rf", "plan.needs.lead_kg", "plan.residuals.value"]);
    assert_eq!(found, 7);
}

/// What the officials would weigh with what is fitted now is the same question to `weigh` and to `plan`.
#[test]
fn now_is_as_sure_as_weigh_says() {
    let mut compared = 0;
    for scenario in scenarios() {
        let [Some(weighed), Some(planned)] =
            [["weigh"], ["plan"]].map(|command| document(&command, &scenario))
        else {
            continue;
        };
        let (official, now) = (&weighed["official"], &planned["now"]);
        if now.is_null() {
            continue;
        }
        let moment = planned["margin"]["weighed_at"].as_str().expect("a state");
        assert_eq!(now["total_kg"], official["total_kg"], "{scenario}");
        assert_eq!(now["plus_minus"][moment]["total_kg"], official["plus_minus_kg"], "{scenario}");
        assert_eq!(
            official["margin"]["above_required_plus_minus_kg"], official["plus_minus_kg"],
            "{scenario}"
        );
        compared += 1;
    }
    assert!(compared >= 10, "only {compared} were compared");
}

/// With nothing to change the kart is the same before and after, and so is its ±.
#[test]
fn now_and_planned_are_alike_where_nothing_changes() {
    let plan = document(&["plan"], &shipped("second-weighing")).expect("a plan");
    assert_eq!(plan["changes"].as_array().map(Vec::len), Some(0));
    for key in ["residuals", "corners_kg", "total_kg", "centre_of_gravity", "plus_minus"] {
        assert_eq!(plan["now"][key], plan[key], "{key}");
    }
}

/// The karts of a document that have targets.
fn karts(document: &Value) -> Vec<&Value> {
    let drivers = document["drivers"].as_array().into_iter().flatten();
    let before = drivers.clone().map(|driver| &driver["before"]);
    let karts = drivers.chain(before).chain([document, &document["now"]]);
    karts.filter(|kart| kart["residuals"].is_array()).collect()
}

#[test]
fn every_target_before_and_after_is_met_missed_or_too_close_to_call() {
    let mut called = BTreeSet::new();
    let plans = scenarios().into_iter().filter_map(|scenario| document(&["plan"], &scenario));
    let teams = TEAMS.iter().filter_map(|team| document(&["swap"], &shipped(team)));
    for document in plans.chain(teams) {
        for residual in karts(&document).into_iter().filter_map(|kart| kart["residuals"].as_array()).flatten()
        {
            let number = |key: &str| residual[key].as_f64().expect("a number");
            let (miss, unsure) = (number("miss_kg"), number("plus_minus_kg"));
            match residual["call"].as_str() {
                // What counts as met is at most a twentieth of a kilogram outside.
                Some("met") => assert!(miss <= 0.05, "{residual}"),
                Some("missed") => assert!(miss > unsure, "{residual}"),
                Some("too close to call") => assert!(miss <= unsure + 0.05, "{residual}"),
                other => panic!("{other:?} is no call"),
            }
            called.insert(residual["call"].to_string());
        }
    }
    assert_eq!(called.len(), 3, "{called:?}");
}
