//! Every scenario is a snapshot: exit code, stderr, text and JSON of `plan`, `weigh` and `check`; a few of `swap`, `card` and
//! `reach`.
//! Takes the folder `scenarios`; gives one snapshot per file and command, without what time and search effort
//! decide.
//! Does not know what is right: a person has read each snapshot before it was accepted.
//!
//! To make them again: `INSTA_UPDATE=always cargo test --test scenarios`, then read every difference.

use std::fs;
use std::path::Path;
use std::process::Command;

/// Exit code, stderr and stdout of one run.
fn run(arguments: &[&str]) -> (i32, String, String) {
    let mut command = Command::new(assert_cmd::cargo::cargo_bin!("kentledge"));
    for name in ["COLUMNS", "NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "TERM"] {
        command.env_remove(name);
    }
    // Far more time than any of them needs, so that none is stopped on a busy machine.
    let arguments = [arguments, &["--quiet", "--time", "600"]].concat();
    let output = command.current_dir(env!("CARGO_MANIFEST_DIR")).args(arguments).output();
    let output = output.expect("the program starts");
    let text = |bytes| String::from_utf8(bytes).expect("the program writes UTF-8");
    let code = output.status.code().expect("the program ends by itself");
    (code, text(output.stderr), text(output.stdout))
}

/// A document without the numbers that differ from run to run or from one search to a better one.
fn steady(document: &str) -> String {
    let lines = document.lines().map(|line| match line.split_once(": ") {
        Some((key, _)) if ["\"elapsed_ms\"", "\"nodes\""].contains(&key.trim_start()) => {
            format!("{key}: ...\n")
        }
        _ => format!("{line}\n"),
    });
    lines.collect()
}

fn snapshot(command: &str) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let mut stems: Vec<String> = fs::read_dir(folder)
        .expect("the scenarios are there")
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "yaml"))
        .filter_map(|path| Some(path.file_stem()?.to_string_lossy().into_owned()))
        .collect();
    stems.sort();
    assert!(stems.len() >= 7, "the scenarios are there: {stems:?}");
    snapshots(command, &stems);
}

fn snapshots(command: &str, stems: &[String]) {
    for stem in stems {
        let file = format!("scenarios/{stem}.yaml");
        let (code, stderr, text) = run(&[command, &file]);
        let (json_code, _, document) = run(&[command, &file, "--json"]);
        assert_eq!(code, json_code, "{file}: the form of the answer does not change it");
        let stderr = if stderr.is_empty() { String::new() } else { format!("--- stderr\n{stderr}") };
        let seen = format!("exit code {code}\n{stderr}--- text\n{text}--- json\n{}", steady(&document));
        insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
            insta::assert_snapshot!(format!("{stem}.{command}"), seen);
        });
    }
}

#[test]
fn plan_of_every_scenario_is_as_it_was_read() {
    snapshot("plan");
}

#[test]
fn weigh_of_every_scenario_is_as_it_was_read() {
    snapshot("weigh");
}

#[test]
fn check_of_every_scenario_is_as_it_was_read() {
    snapshot("check");
}

#[test]
fn swap_of_every_scenario_of_a_team_is_as_it_was_read() {
    snapshots("swap", &["seat-on-pins", "three-drivers", "two-drivers"].map(str::to_owned));
}

#[test]
fn card_and_reach_of_two_scenarios_are_as_they_were_read() {
    for command in ["card", "reach"] {
        snapshots(command, &["oval", "two-drivers"].map(str::to_owned));
    }
}

#[test]
fn pack_of_every_scenario_of_a_trip_is_as_it_was_read() {
    snapshots("pack", &["trip"].map(str::to_owned));
}
