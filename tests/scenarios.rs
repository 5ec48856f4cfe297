//! Every scenario is a snapshot: exit code, stderr and text of `plan` and `check`; a few of the other commands. Of the
//! documents there is one shape for each command.
//! Does not know what is right: a person has read each snapshot before it was accepted. That documents, screens and sheets have
//! the same numbers is a law (`sheet`), and so is what a document must have (`answers`).
//!
//! To make them again: `INSTA_UPDATE=always cargo test --test scenarios`, then read every difference.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;

use serde_json::Value;

/// Exit code, stderr and stdout of one run.
fn run(arguments: &[&str]) -> (i32, String, String) {
    let mut command = Command::new(assert_cmd::cargo::cargo_bin!("kentledge"));
    for name in ["COLUMNS", "NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "TERM"] {
        command.env_remove(name);
    }
    // Far more time than any of them needs, so that none is stopped on a busy machine.
    let arguments = [arguments, &["--full", "--quiet", "--time", "600"]].concat();
    let output = command.current_dir(env!("CARGO_MANIFEST_DIR")).args(arguments).output();
    let output = output.expect("the program starts");
    let text = |bytes| String::from_utf8(bytes).expect("the program writes UTF-8");
    let code = output.status.code().expect("the program ends by itself");
    (code, text(output.stderr), text(output.stdout))
}

fn accept(name: String, seen: &str) {
    insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
        insta::assert_snapshot!(name, seen);
    });
}

fn snapshots_but_of(others: &[&str], command: &str) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let mut stems: Vec<String> = fs::read_dir(folder)
        .expect("the scenarios are there")
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "yaml"))
        .filter_map(|path| Some(path.file_stem()?.to_string_lossy().into_owned()))
        .filter(|stem| !others.contains(&stem.as_str()))
        .collect();
    stems.sort();
    assert!(stems.len() >= 7, "the scenarios are there: {stems:?}");
    snapshots(command, &stems.iter().map(String::as_str).collect::<Vec<_>>());
}

fn snapshots(command: &str, stems: &[&str]) {
    for stem in stems {
        let file = format!("scenarios/{stem}.yaml");
        let (code, stderr, text) = run(&[command, &file]);
        let text = without_cautions(&text);
        let stderr = if stderr.is_empty() { String::new() } else { format!("--- stderr\n{stderr}") };
        accept(format!("{stem}.{command}"), &format!("exit code {code}\n{stderr}--- text\n{text}"));
    }
}

/// A text without the cautions, which are the same everywhere; `sheet` looks that they are there.
fn without_cautions(text: &str) -> String {
    let (before, after) = text.split_once("\nTake care\n").unwrap_or((text, ""));
    let after = after.split_once("\n\n").map_or("", |(_, after)| after);
    format!("{before}\nTake care ...\n{after}")
}

/// The keys down to every value, and what it is: entries of a list are one, and so are start and finish.
fn shape(value: &Value, way: &str, found: &mut BTreeSet<String>) {
    match value {
        // The keys of the kart as it is are those of what it becomes.
        Value::Object(entries)
            if entries.contains_key("corners_kg")
                && [".now", ".before"].iter().any(|end| way.ends_with(end)) =>
        {
            found.insert(format!("{way} a kart"));
        }
        Value::Object(entries) => {
            for (key, inner) in entries {
                let key = if ["start", "finish"].contains(&key.as_str()) { "*" } else { key };
                shape(inner, &format!("{way}.{key}"), found);
            }
        }
        Value::Array(values) => values.iter().for_each(|inner| shape(inner, &format!("{way}[]"), found)),
        Value::String(_) => drop(found.insert(format!("{way} text"))),
        Value::Number(_) => drop(found.insert(format!("{way} number"))),
        Value::Bool(_) => drop(found.insert(format!("{way} truth"))),
        Value::Null => drop(found.insert(format!("{way} nothing"))),
    }
}

#[test]
fn plan_of_every_scenario_is_as_it_was_read() {
    // Those two are read as `swap` and `pack`.
    snapshots_but_of(&["seat-on-pins", "trip"], "plan");
}

#[test]
fn weigh_of_five_scenarios_is_as_it_was_read() {
    snapshots("weigh", &["club-sprint", "lifted", "oval", "season", "too-light"]);
}

#[test]
fn check_of_every_scenario_is_as_it_was_read() {
    snapshots_but_of(&[], "check");
}

#[test]
fn swap_of_every_scenario_of_a_team_is_as_it_was_read() {
    snapshots("swap", &["seat-on-pins", "three-drivers", "two-drivers"]);
}

#[test]
fn card_and_reach_of_two_scenarios_are_as_they_were_read() {
    for command in ["card", "reach"] {
        snapshots(command, &["oval", "two-drivers"]);
    }
}

#[test]
fn pack_of_every_scenario_of_a_trip_is_as_it_was_read() {
    snapshots("pack", &["trip"]);
}

#[test]
fn log_of_a_season_is_as_it_was_read() {
    snapshots("log", &["season"]);
}

#[test]
fn the_document_of_every_command_has_the_keys_that_were_read() {
    for (command, stem) in [
        ("plan", "off-target"),
        ("weigh", "lifted"),
        ("check", "two-drivers"),
        ("swap", "three-drivers"),
        ("card", "oval"),
        ("reach", "two-drivers"),
        ("pack", "trip"),
        ("log", "season"),
    ] {
        let file = format!("scenarios/{stem}.yaml");
        let (code, _, document) = run(&[command, &file, "--json"]);
        let (text_code, _, _) = run(&[command, &file]);
        assert_eq!(code, text_code, "{file}: the form of the answer does not change it");
        let document: Value = serde_json::from_str(&document).expect("a document");
        assert_eq!(document["exit_code"], code);
        let mut found = BTreeSet::new();
        shape(&document, "", &mut found);
        let lines: Vec<String> = found.into_iter().collect();
        accept(format!("keys.{command}"), &lines.join("\n"));
    }
}
