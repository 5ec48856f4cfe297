//! A day at the track from the command line alone: weighed, planned, bolted, weighed again, without an editor.
//! Takes the built binary and a copy of a shipped scenario; every step is one line.
//! Does not know whether a plan is good.

#[path = "support/folders.rs"]
mod folders;
#[path = "support/run.rs"]
#[expect(dead_code, reason = "every step here has a file")]
mod program;

use std::fs;
use std::path::{Path, PathBuf};

use folders::{empty_folder, names_in, shown};
use kentledge::scenario::Scenario;
use kentledge::units::Mass;
use program::{Run, run};
use serde_json::Value;

/// A copy of a shipped scenario in a folder of its own.
fn copy(scenario: &str, test: &str) -> PathBuf {
    let path = empty_folder("day", test).join("kart.yaml");
    fs::copy(format!("scenarios/{scenario}.yaml"), &path).expect("a shipped scenario");
    path
}

fn text(path: &Path) -> String {
    fs::read_to_string(path).expect("a text")
}

fn read(path: &Path) -> Scenario {
    let (scenario, warnings) = Scenario::from_yaml(&text(path)).expect("a scenario");
    assert!(warnings.is_empty(), "{warnings:?}");
    scenario
}

/// A command about the file, with more words behind it.
fn on(path: &Path, command: &str, more: &[&str]) -> Run {
    let path = shown(path);
    run(&[&[command, path, "--time", "600"], more].concat())
}

fn document(path: &Path, command: &str, more: &[&str]) -> Value {
    let run = on(path, command, &[more, &["--json"]].concat());
    assert!(matches!(run.code, Some(0 | 1)), "{}", run.stderr);
    serde_json::from_str(&run.stdout).expect("one document")
}

fn mark(path: &Path) -> String {
    document(path, "plan", &[])["mark"].as_str().expect("a plan").to_owned()
}

/// The four readings that the plan promises for the fuel of the start, in the pads' steps.
fn promised(path: &Path) -> Vec<String> {
    let plan = document(path, "plan", &[]);
    let corner = |name: &str| {
        let kg = plan["corners_kg"]["start"][name].as_f64().expect("a number");
        format!("{kg:.1}")
    };
    ["lf", "rf", "lr", "rr"].into_iter().map(corner).collect()
}

#[test]
fn weighed_planned_bolted_and_weighed_again_without_an_editor() {
    let path = copy("two-drivers", "whole");
    let before = text(&path);
    // What is weighed now replaces nothing.
    let weighed = on(
        &path,
        "weigh",
        &[
            "33,6",
            "33.9",
            "45.7",
            "46.5",
            "--driver",
            "Sam",
            "--fuel",
            "3L",
            "--date",
            "2026-05-02",
            "--save",
        ],
    );
    assert!(matches!(weighed.code, Some(0 | 1)), "{}", weighed.stderr);
    let scenario = read(&path);
    assert_eq!(scenario.weighings().len(), 2);
    assert_eq!(scenario.weighings()[1].readings, [33.6, 33.9, 45.7, 46.5].map(Mass::from_kg));
    assert_eq!(scenario.weighings()[1].aboard.lead, *scenario.fitted());
    // Every remark and every other line of the file stays.
    for line in before.lines().filter(|line| line.contains('#')) {
        assert!(text(&path).contains(line.trim()), "{line}");
    }
    // Planned and bolted: what is fitted now is the plan, and nothing is left to do.
    let (promised, mark) = (promised(&path), mark(&path));
    let placed = document(&path, "plan", &[])["placements"].clone();
    let done = on(&path, "done", &[&mark]);
    assert_eq!(done.code, Some(0), "{}", done.stderr);
    let after = document(&path, "plan", &[]);
    assert_eq!(after["placements"], placed);
    assert_eq!(after["changes"].as_array().map(Vec::len), Some(0), "{}", after["changes"]);
    // Lead that was bolted after a weighing was not on its pads.
    let scenario = read(&path);
    assert_ne!(scenario.weighings()[1].aboard.lead, *scenario.fitted());
    // Weighed again with what is fitted now: as expected, and the lead is counted once.
    let again: Vec<&str> = promised.iter().map(String::as_str).collect();
    let weighed = document(
        &path,
        "weigh",
        &[again.as_slice(), &["--fuel", "start", "--date", "2026-05-02", "--save"]].concat(),
    );
    let forecasts = weighed["forecasts"].as_array().expect("a list");
    assert_eq!(forecasts.last().map(|last| last["as_forecast"].clone()), Some(Value::Bool(true)));
    let scenario = read(&path);
    assert_eq!(scenario.weighings()[2].aboard.lead, *scenario.fitted());
    assert_eq!(names_in(path.parent().expect("a folder")), ["kart.yaml"]);
}

#[test]
fn a_plan_is_written_once_and_only_as_it_is_now() {
    let path = copy("two-drivers", "once");
    let (before, mark) = (text(&path), mark(&path));
    let wrong = on(&path, "done", &["ZZZZ"]);
    assert_eq!(wrong.code, Some(2));
    assert!(wrong.stderr.contains(&mark) && text(&path) == before, "{}", wrong.stderr);
    let other = on(&path, "done", &[&mark, "--driver", "Sam"]);
    assert_eq!((other.code, text(&path) == before), (Some(2), true), "{}", other.stderr);
    let shown = on(&path, "done", &[&mark, "--dry-run"]);
    assert_eq!((shown.code, text(&path) == before), (Some(0), true), "{}", shown.stderr);
    assert!(shown.stdout.contains("+  floor_left:"), "{}", shown.stdout);
    assert_eq!(on(&path, "done", &[&mark.to_lowercase()]).code, Some(0));
    let twice = on(&path, "done", &[&mark]);
    assert_eq!(twice.code, Some(2), "{}", twice.stdout);
}

#[test]
fn what_was_not_done_stays_as_it_was() {
    let path = copy("seat-and-spacers", "except");
    let before = read(&path);
    let plan = document(&path, "plan", &[]);
    let mark = plan["mark"].as_str().expect("a plan").to_owned();
    let moves_seat = plan["adjusters"]
        .as_array()
        .expect("a list")
        .iter()
        .any(|one| one["adjuster"] == "seat" && one["now"] != one["planned"]);
    if moves_seat {
        let refused = on(&path, "done", &[&mark]);
        assert!(refused.code == Some(2) && refused.stderr.contains("seat"), "{}", refused.stderr);
    }
    let placed =
        plan["placements"].as_array().expect("a list")[0]["mount"].as_str().expect("a name").to_owned();
    let done = on(&path, "done", &[&mark, "--except", &format!("seat,{placed}")]);
    assert_eq!(done.code, Some(0), "{}", done.stderr);
    let after = read(&path);
    let mount = before.mounts().iter().position(|mount| mount.name == placed).expect("its name");
    for kind in 0..before.lead().len() {
        assert_eq!(after.fitted().get(kind, mount), before.fitted().get(kind, mount));
    }
    assert_eq!(after.kart().seat, before.kart().seat);
    assert_eq!(after.weighings(), before.weighings());
    let unknown = on(&path, "done", &[&mark, "--except", "nowhere"]);
    assert_eq!(unknown.code, Some(2), "{}", unknown.stdout);
}

#[test]
fn what_cannot_be_a_weighing_is_refused_and_the_file_kept() {
    let path = copy("club-sprint", "refused");
    let before = text(&path);
    let four = ["30.8", "31.4", "42.3", "44.5"];
    for (more, told) in [
        (vec!["--save"], "--fuel"),
        (vec!["--fuel", "3L", "--driver", "Nobody", "--save"], "Nobody"),
        (vec!["--fuel", "3L", "--date", "yesterday", "--save"], "--date"),
        (vec!["--fuel", "3 stone", "--save"], "3 stone"),
        (vec!["--fuel", "3L", "--lead", "{nowhere: {slab: 1}}", "--save"], "nowhere"),
        (vec!["--fuel", "3L", "--turned", "left", "--save"], "straight"),
        (vec!["9", "--fuel", "3L", "--save"], "readings"),
        (vec!["68", "69", "93", "98 stone", "--fuel", "3L", "--save"], "stone"),
        (vec!["--fuel", "3L}, official: 200, x-a: {b: 1", "--save"], "error"),
    ] {
        let refused = on(&path, "weigh", &[four.as_slice(), &more].concat());
        assert!(matches!(refused.code, Some(2 | 3)), "{more:?}: {}", refused.stdout);
        assert!(refused.stderr.contains(told), "{more:?}: {}", refused.stderr);
        assert_eq!(text(&path), before, "{more:?}");
    }
    // An option of such a weighing means nothing without readings.
    let alone = on(&path, "weigh", &["--save"]);
    assert!(alone.code == Some(2) && alone.stderr.contains("--save"), "{}", alone.stderr);
    // Without `--save` it is only answered.
    let looked = on(&path, "weigh", &[four.as_slice(), &["--fuel", "3L"]].concat());
    assert!(matches!(looked.code, Some(0 | 1)) && text(&path) == before, "{}", looked.stderr);
    let turned = ["31.0", "42.1", "31.2", "44.3"];
    let sets =
        [four.as_slice(), &turned, &["--turned", "left", "--fuel", "none", "--lead", "none", "--save"]]
            .concat();
    assert!(matches!(on(&path, "weigh", &sets).code, Some(0 | 1)));
    assert_eq!(read(&path).weighings().last().map(|weighing| weighing.taken.sets.len()), Some(2));
}
