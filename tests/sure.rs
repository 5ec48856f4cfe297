//! Every figure that was weighed or is foretold has its ±, and the one before a plan is known as any other.
//! Does not know how large a ± should be: that is compared with simulations in `propagation.rs` and `coverage.rs`.

#[path = "support/run.rs"]
#[expect(dead_code, reason = "nothing here is read from stdin")]
mod program;

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use kentledge::answer::SCHEMAS;
use program::run;
use serde_json::Value;

/// Ends of keys whose numbers have a unit.
const UNITS: [&str; 6] = ["_kg", "_mm", "_percent", "_kg_mm", "_kg_per_mm", "_minutes"];

/// Bare numbers of answers, none of which is measured: money, statistics, and numbers whose unit stands beside them.
const BARE: [&str; 12] = [
    "pub struct InUnit(pub f64);",
    "Kg(f64),",
    "pub cost: f64,",
    "pub price: Option<f64>,",
    "pub chance: f64,",
    "pub chi_square: f64,",
    "pub correlation: f64,",
    "pub part_of_variance_removed: f64,",
    "coverage_factor: f64,",
    "pub lf: f64,",
    "pub value: f64,",
    "pub plus_minus: f64,",
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

/// A field of an answer is a quantity, which has its ±, or an exact number, or one of the few that are listed here.
#[test]
fn no_answer_has_a_number_of_which_nobody_says_whether_it_is_measured() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/answer");
    let mut fields = 0;
    let listed = |folder: &Path| -> Vec<_> {
        fs::read_dir(folder).expect("the answers are there").flatten().map(|entry| entry.path()).collect()
    };
    let (folders, mut files): (Vec<_>, Vec<_>) = listed(&folder).into_iter().partition(|path| path.is_dir());
    files.extend(folders.iter().flat_map(|folder| listed(folder)));
    for path in files {
        let text = fs::read_to_string(&path).expect("a source is text");
        let declared = text.lines().map(str::trim).filter(|line| line.contains("f64"));
        let declared = declared
            .filter(|line| line.starts_with("pub ") && !line.contains("fn ") || line.ends_with("(f64),"));
        for line in declared {
            assert!(BARE.contains(&line), "{path:?} declares `{line}`");
            fields += 1;
        }
    }
    assert!(fields >= 5, "only {fields} were looked at");
}

/// The objects of a schema or of a document.
fn objects<'v>(value: &'v Value, found: &mut Vec<&'v serde_json::Map<String, Value>>) {
    match value {
        Value::Object(entries) => {
            found.push(entries);
            entries.values().for_each(|inner| objects(inner, found));
        }
        Value::Array(values) => values.iter().for_each(|inner| objects(inner, found)),
        _ => {}
    }
}

#[test]
fn every_plus_minus_of_a_schema_stands_beside_what_it_is_of() {
    let mut quantities = 0;
    for (command, schema) in SCHEMAS {
        let schema: Value = serde_json::from_str(&schema()).expect("a schema is JSON");
        let mut found = Vec::new();
        objects(&schema, &mut found);
        for properties in found.iter().filter_map(|object| object.get("properties")?.as_object()) {
            for key in properties.keys() {
                let Some((stem, unit)) = key.split_once("_plus_minus_") else { continue };
                if unit == "at_most" {
                    continue;
                }
                assert!(properties.contains_key(&format!("{stem}_{unit}")), "{command}: {key} stands alone");
                quantities += 1;
            }
        }
    }
    assert!(quantities > 100, "only {quantities} quantities");
}

#[test]
fn every_key_of_a_measured_number_ends_in_its_unit() {
    let mut units = BTreeSet::new();
    for command in ["plan", "weigh", "check"] {
        for document in scenarios().iter().filter_map(|scenario| document(&[command], scenario)) {
            let mut found = Vec::new();
            objects(&document, &mut found);
            for (key, value) in found.into_iter().flatten() {
                let unit = UNITS.into_iter().find(|unit| key.ends_with(unit));
                let is_whole = value
                    .as_f64()
                    .is_none_or(|number| value.is_u64() || value.is_i64() || number.fract() == 0.0);
                // Wheels and states stand below a key with a unit; the numbers of goals and targets have it beside them.
                let beside =
                    ["lf", "rf", "lr", "rr", "value", "bound", "held_at", "resolution", "plus_minus"];
                let others = ["aim", "within", "by", "before", "after", "coverage_factor", "chance"];
                let named = beside.contains(&key.as_str()) || others.contains(&key.as_str());
                assert!(unit.is_some() || is_whole || named, "{command}: {key} {value} has no unit");
                units.extend(unit);
            }
        }
    }
    assert!(units.len() >= 4, "{units:?}");
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
        assert_eq!(now["total_plus_minus_kg"], official["total_plus_minus_kg"], "{scenario}");
        assert_eq!(now["states"][moment]["total_plus_minus_kg"], now["total_plus_minus_kg"], "{scenario}");
        let above = &official["margin"]["above_required_plus_minus_kg"];
        // Where the officials have read the total, their scale's own error is the same at inspection and cancels.
        let total = &official["total_plus_minus_kg"];
        if official["read"].is_null() {
            assert_eq!(above, total, "{scenario}");
        } else {
            assert!(above.as_f64() < total.as_f64(), "{scenario}");
        }
        compared += 1;
    }
    assert!(compared >= 10, "only {compared} were compared");
}

/// With nothing to change the kart is the same before and after, and so is its ±.
#[test]
fn now_and_planned_are_alike_where_nothing_changes() {
    let plan = document(&["plan"], &shipped("second-weighing")).expect("a plan");
    assert_eq!(plan["changes"].as_array().map(Vec::len), Some(0));
    for key in ["residuals", "corners_kg", "corners_plus_minus_kg", "total_kg", "states"] {
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
fn every_target_before_and_after_has_a_chance_and_the_verdict_that_goes_with_it() {
    let mut said = BTreeSet::new();
    let plans = scenarios().into_iter().filter_map(|scenario| document(&["plan"], &scenario));
    let teams = TEAMS.iter().filter_map(|team| document(&["swap"], &shipped(team)));
    for document in plans.chain(teams) {
        for residual in karts(&document).into_iter().filter_map(|kart| kart["residuals"].as_array()).flatten()
        {
            let number = |key: &str| residual[key].as_f64().expect("a number");
            let (chance, inside) = (number("chance"), residual["on_target"] == true);
            let verdict = residual["verdict"].as_str().expect("a verdict");
            match verdict {
                "on_target" => assert!(inside && chance > 0.9, "{residual}"),
                // A figure outside by less than the pads' resolution counts as inside.
                "near_edge" => assert!(inside && chance > 0.3, "{residual}"),
                "cannot_confirm" => assert!(inside && chance < 0.951, "{residual}"),
                "just_off" => assert!(!inside && chance < 0.5, "{residual}"),
                "off" => assert!(!inside && chance < 0.06, "{residual}"),
                other => panic!("{other} is no verdict"),
            }
            said.insert(verdict.to_owned());
        }
    }
    assert_eq!(said.len(), 5, "{said:?}");
}

/// A poor chance to pass comes with what makes it good, and a good one with nothing.
#[test]
fn what_makes_a_poor_chance_to_pass_better_is_said() {
    let mut poor = 0;
    for plan in scenarios().into_iter().filter_map(|scenario| document(&["plan"], &scenario)) {
        let margin = &plan["margin"];
        let Some(chance) = margin["chance_percent"].as_f64() else { continue };
        assert_eq!(margin["better"].is_null(), chance >= 95.0, "{margin}");
        if chance < 95.0 {
            assert!(margin["better"]["more_kg"].as_f64().is_some_and(|more| more > 0.0), "{margin}");
            poor += 1;
        }
    }
    assert!(poor > 0, "no plan has a poor chance");
}
