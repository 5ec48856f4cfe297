//! A starter file followed word by word: weigh bare, plan, bolt, write down, weigh again. Lead is never counted twice.

#[path = "support/run.rs"]
mod program;

use std::collections::BTreeMap;

use program::{run, run_with_stdin};
use serde_json::Value;

fn document(command: &str, text: &str) -> Value {
    let run = run_with_stdin(&[command, "-", "--json", "--time", "600"], text);
    assert!(matches!(run.code, Some(0 | 1)), "{}{text}", run.stderr);
    serde_json::from_str(&run.stdout).expect("one document")
}

/// `{seat_left: {slab: 1}}`, as the plan says.
fn placed(plan: &Value) -> String {
    let mut by_mount: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for placement in plan["placements"].as_array().expect("a list") {
        let word = |key: &str| placement[key].as_str().expect("a word");
        by_mount.entry(word("mount")).or_default().push(format!("{}: {}", word("piece"), placement["count"]));
    }
    let mounts: Vec<String> =
        by_mount.iter().map(|(mount, pieces)| format!("{mount}: {{{}}}", pieces.join(", "))).collect();
    format!("{{{}}}", mounts.join(", "))
}

/// The lines from the one that starts so up to the one that starts otherwise.
fn lines<'t>(text: &'t str, from: &str, to: &str) -> &'t str {
    let start = text.find(&format!("\n{from}")).expect("it is there") + 1;
    let end = start + text[start..].find(&format!("\n{to}")).expect("it is there") + 1;
    &text[start..end]
}

#[test]
fn a_starter_that_is_followed_word_by_word_never_counts_lead_twice() {
    for units in ["kg-mm", "lb-in"] {
        for kind in ["--oval", "--minimal", ""] {
            let words: Vec<&str> =
                ["new", "--units", units, kind].into_iter().filter(|word| !word.is_empty()).collect();
            let bare = run(&words).stdout;
            let plan = document("plan", &bare);
            let total = |document: &Value| document["total_kg"].as_f64().expect("a number");
            let lead = placed(&plan);

            // Bolted, and written down.
            let bolted = format!("{bare}fitted: {lead}\n");
            let next = document("plan", &bolted);
            assert_eq!(next["changes"].as_array().map(Vec::len), Some(0), "{units} {kind}: {next}");
            assert_eq!(next["total_kg"], plan["total_kg"], "{units} {kind}");
            assert_eq!(document("weigh", &bolted)["total_kg"], document("weigh", &bare)["total_kg"]);

            // Weighed again, which makes a list of it; nothing else says what is fitted.
            let load = &plan["corners_kg"]["start"];
            let scales = ["lf", "rf", "lr", "rr"].map(|corner| format!("{} kg", load[corner]));
            let fuel = if bare.contains("\nfuel:") { "fuel: start, " } else { "" };
            let again = format!("  - {{scales: [{}], aboard: {{{fuel}lead: {lead}}}}}\n", scales.join(", "));
            let once = lines(&bare, "weighing:", if kind == "--minimal" { "drivers:" } else { "#" });
            let first = once.trim_start_matches("weighing:").trim().replace("\n  ", "\n    ");
            let first = first.replace("\n\n", "\n");
            let twice = bare.replace(once, &format!("weighings:\n  - {first}\n{again}"));
            let weighed = document("weigh", &twice);
            assert_eq!(weighed["forecasts"][0]["as_forecast"], true, "{units} {kind}: {weighed}");
            let last = document("plan", &twice);
            assert_eq!(last["changes"].as_array().map(Vec::len), Some(0), "{units} {kind}: {last}");
            assert!((total(&last) - total(&plan)).abs() < 1e-5, "{units} {kind}: {last}");
        }
    }
}

#[test]
fn the_word_that_would_count_lead_twice_is_refused_with_what_to_write() {
    let text = run(&["new"]).stdout.replace("lead: none}", "lead: as fitted}");
    let run = run_with_stdin(&["plan", "-"], &text);
    assert_eq!((run.code, run.stdout.as_str()), (Some(3), ""));
    assert!(run.stderr.contains("error[K010]") && run.stderr.contains("`none`"), "{}", run.stderr);
}

#[test]
fn the_readme_shows_the_eight_lines() {
    let readme = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/README.md")).expect("a text");
    let shown = readme.split("```yaml\n").nth(1).and_then(|rest| rest.split("```").next());
    assert_eq!(shown, Some(run(&["new", "--minimal", "--units", "lb-in"]).stdout.as_str()));
}

#[test]
fn a_piece_that_is_called_by_what_it_weighs_is_named_once() {
    for (units, once, twice) in [("kg-mm", "2.5 kg", "2.5 kg 2.5 kg"), ("lb-in", "5.5 lb", "5.5 lb 5.5 lb")] {
        let minimal = run(&["new", "--minimal", "--units", units]).stdout;
        for more in [&[][..], &["--full"]] {
            let plan = run_with_stdin(&[&["plan", "-", "--time", "600"], more].concat(), &minimal).stdout;
            assert!(plan.contains(once) && !plan.contains(twice), "{plan}");
        }
    }
}
