//! A day at the track from the command line alone: weighed, planned, bolted, weighed again, without an editor.

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
    let (bolted, twice) = (text(&path), on(&path, "done", &[&mark]));
    assert!(twice.code == Some(2) && twice.stderr.contains("already"), "{}", twice.stderr);
    assert_eq!(text(&path), bolted);
}

/// Whatever the plan moves: lead, washers, the battery and the seat with all that rides on it.
#[test]
fn what_was_bolted_stands_as_planned_and_can_be_taken_back_once() {
    for (other_words, test) in [(false, "undo"), (true, "undo-thin")] {
        let path = copy("seat-and-spacers", test);
        if other_words {
            // On other lines, with its weighings in a list, and lead that gave way on a line with a remark.
            let whole = text(&path);
            let other = whole
                .replace("weighing:\n  scales", "weighings:\n  - scales")
                .replace("  aboard: {driver: Robin", "    # all of it\n    aboard: {driver: Robin")
                .replace(
                    "{right: {x: 330, y: -330}, left: {x: 330, y: 335}}",
                    "\n      right: {x: 330, y: -330}\n      left: {x: 330, y: 335}",
                )
                + "\nfitted:  # by hand\n  # nothing on the seat\n  front_tube: {disc 1: 1}  # long bolts\n";
            fs::write(&path, other).expect("it can be written");
        }
        // A comment of somebody's own that begins alike.
        fs::write(&path, format!("# done by hand until now\n{}", text(&path))).expect("it can be written");
        let (before, words) = (read(&path), text(&path));
        let plan = document(&path, "plan", &[]);
        let moved: Vec<&str> = plan["adjusters"]
            .as_array()
            .expect("a list")
            .iter()
            .filter(|one| one["now"] != one["planned"])
            .filter_map(|one| one["adjuster"].as_str())
            .collect();
        assert!(moved.contains(&"seat") && moved.len() > 1, "{moved:?}");
        let mark = plan["mark"].as_str().expect("a plan").to_owned();
        let done = on(&path, "done", &[&mark]);
        assert_eq!(done.code, Some(0), "{}", done.stderr);
        let (after, again) = (read(&path), document(&path, "plan", &[]));
        assert_eq!(again["changes"].as_array().map(Vec::len), Some(0), "{}", again["changes"]);
        assert_ne!(
            after.kart().seat.as_ref().map(|seat| seat.hole),
            before.kart().seat.as_ref().map(|seat| seat.hole)
        );
        let told = |scenario: &Scenario| {
            (scenario.weighings()[0].readings, scenario.weighings()[0].aboard.seat_hole)
        };
        assert_eq!(told(&after), told(&before));
        for state in ["start", "finish"] {
            for corner in ["lf", "rf", "lr", "rr"] {
                let kg = |plan: &Value| plan["corners_kg"][state][corner].as_f64().expect("a number");
                assert!((kg(&again) - kg(&plan)).abs() < 1e-5, "{state} {corner}: {plan} {again}");
            }
        }
        // Its remark gives everything back, once.
        let bolted = text(&path);
        let back = on(&path, "done", &["--undo"]);
        assert!(back.code == Some(0) && back.stdout.contains("taken back"), "{}", back.stderr);
        let now = read(&path);
        assert_eq!((now.fitted(), now.weighings()), (before.fitted(), before.weighings()));
        assert_eq!(now.kart().seat, before.kart().seat.clone());
        assert_eq!((now.mounts(), now.drivers()), (before.mounts(), before.drivers()));
        let taken = text(&path);
        for line in words.lines().filter(|line| line.contains('#')) {
            assert!(taken.contains(line), "{line}");
        }
        assert!(!taken.contains("before: {"), "{taken}");
        assert_eq!(document(&path, "plan", &[])["mark"], mark);
        let twice = on(&path, "done", &["--undo"]);
        assert!(twice.code == Some(2) && twice.stderr.contains("taken back"), "{}", twice.stderr);
        // Where the kart has changed since, nobody knows what was before.
        fs::write(&path, &bolted).expect("written");
        let weighed = ["33", "35", "50", "48", "--fuel", "3L", "--date", "2026-05-02", "--save"];
        assert!(matches!(on(&path, "weigh", &weighed).code, Some(0 | 1)));
        let (since, late) = (text(&path), on(&path, "done", &["--undo"]));
        assert!(late.code == Some(2) && late.stderr.contains("changed since"), "{}", late.stderr);
        assert_eq!(text(&path), since);
    }
}

#[test]
fn remarks_in_odd_places_stay_and_what_cannot_be_changed_safely_is_refused() {
    let path = copy("two-drivers", "odd");
    let whole = text(&path);
    let (head, _) = whole.split_once("fitted:").expect("it is the last block");
    let remarks =
        ["# about what is on", "fitted:  # today", "  # first", "# long bolts", "  # last", "# the end"];
    let [about, key, first, bolts, last, end] = remarks;
    let fitted = format!(
        "{about}\n{key}\n{first}\n  seat_left: {{slab: 1}}\n  floor_front: {{slab: 1, puck: 1}}  {bolts}\n{last}\n{end}\n"
    );
    fs::write(&path, format!("{head}{fitted}")).expect("it can be written");
    let done = on(&path, "done", &[&mark(&path)]);
    assert_eq!(done.code, Some(0), "{}", done.stderr);
    let after = text(&path);
    assert!(remarks.iter().all(|remark| after.contains(remark)), "{after}");
    // In braces on one line, on several, and as an alias of what was weighed.
    for odd in [
        "fitted: {seat_left: {slab: 1}, floor_front: {slab: 1, puck: 1}}  # today\n",
        "fitted:  # today\n  seat_left:\n    slab: 1\n  floor_front: {slab: 1,\n    puck: 1}\n",
        "fitted: *on  # today\n",
    ] {
        let anchored = head.replacen("lead: {seat", "lead: &on {seat", 1);
        fs::write(&path, format!("{anchored}{odd}")).expect("it can be written");
        let done = on(&path, "done", &[&mark(&path)]);
        assert_eq!(done.code, Some(0), "{odd}: {}", done.stderr);
        assert!(text(&path).contains("# today") && text(&path).contains("&on"), "{}", text(&path));
        assert_eq!(document(&path, "plan", &[])["changes"].as_array().map(Vec::len), Some(0));
    }
    // What others hang on cannot be replaced.
    let held = "x-held: *on\n".to_owned();
    let moved =
        format!("fitted: &on {{seat_left: {{slab: 1}}, floor_front: {{slab: 1, puck: 1}}}}\n{head}{held}");
    fs::write(&path, &moved).expect("it can be written");
    let refused = on(&path, "done", &[&mark(&path)]);
    assert!(refused.code == Some(2) && refused.stderr.contains("safely"), "{}", refused.stderr);
    assert_eq!(text(&path), moved);
}

#[test]
fn what_was_not_done_stays_as_it_was() {
    let path = copy("seat-and-spacers", "except");
    let before = read(&path);
    let plan = document(&path, "plan", &[]);
    let mark = plan["mark"].as_str().expect("a plan").to_owned();
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
fn a_look_plans_for_readings_without_keeping_them() {
    let path = copy("two-drivers", "look");
    let before = text(&path);
    let readings = ["33.6", "33,9", "45.7", "46.5"];
    let options = ["--driver", "Sam", "--fuel", "3L", "--date", "2026-05-02"];
    let look = document(&path, "plan", &[&["--readings"], readings.as_slice(), &options].concat());
    assert!(look["mark"].is_null() && text(&path) == before, "{look}");
    let kept = on(&path, "weigh", &[readings.as_slice(), &options, &["--save"]].concat());
    assert!(matches!(kept.code, Some(0 | 1)), "{}", kept.stderr);
    let then = document(&path, "plan", &["--driver", "Sam"]);
    for key in ["placements", "changes", "corners_kg", "total_kg", "residuals"] {
        assert_eq!(look[key], then[key], "{key}");
    }
    let five = on(&path, "plan", &["--readings", "33", "34", "45", "46", "1", "--fuel", "3L"]);
    assert!(five.code == Some(2) && five.stderr.contains("found 5"), "{}", five.stderr);
    let none = on(&path, "plan", &["--fuel", "3L"]);
    assert!(none.code == Some(2) && none.stderr.contains("--fuel"), "{}", none.stderr);
}

#[test]
fn an_official_total_is_saved_by_one_line_and_said_by_weigh_and_plan() {
    let path = copy("two-drivers", "official");
    let command =
        ["--official", "158,2", "--driver", "Sam", "--fuel", "2L", "--lead", "{seat_left: {slab: 2}}"];
    let saved = on(&path, "weigh", &[command.as_slice(), &["--date", "2026-05-02", "--save"]].concat());
    assert!(matches!(saved.code, Some(0 | 1)), "{}", saved.stderr);
    assert!(saved.stdout.contains("officials: 158.2 kg"), "{}", saved.stdout);
    let scenario = read(&path);
    assert_eq!((scenario.weighings().len(), scenario.official_totals().len()), (1, 1));
    assert_eq!(scenario.official_totals()[0].total, Mass::from_kg(158.2));
    // What was on then is fitted now.
    let plan = document(&path, "plan", &["--driver", "Sam"]);
    assert_eq!(plan["now"]["total_kg"], 158.2, "{}", plan["now"]);
    assert_eq!(plan["official_alone"]["official_kg"], 158.2);
    assert!(
        plan["official_alone"]["above_pads_kg"].as_f64().is_some_and(|kg| (kg - 0.245).abs() < 1e-3),
        "{plan}"
    );
    let shown = on(&path, "plan", &["--driver", "Sam"]);
    assert!(shown.stdout.contains("balance is that of the pads"), "{}", shown.stdout);
    // A date before the last is refused, as is what only pads have.
    for (more, told) in [
        (vec!["--date", "2026-05-01"], "2026-05-02"),
        (vec!["--set-up", "same"], "--set-up"),
        (vec!["--turned", "left"], "turned"),
        (vec!["--note", "x"], ""),
    ] {
        let before = text(&path);
        let refused =
            on(&path, "weigh", &[&["--official", "158", "--fuel", "2L", "--save"], more.as_slice()].concat());
        if told.is_empty() {
            assert!(matches!(refused.code, Some(0 | 1)), "{}", refused.stderr);
        } else {
            assert!(
                matches!(refused.code, Some(2 | 3)) && refused.stderr.contains(told),
                "{}",
                refused.stderr
            );
            assert_eq!(text(&path), before);
        }
    }
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
        (vec!["--fuel", "3L", "--date", "1999-13-01", "--save"], "--date"),
        (vec!["68", "69", "93", "98 stone", "--fuel", "3L", "--save"], "stone"),
        (vec!["--fuel", "3L}, official: 200, x-a: {b: 1", "--save"], "error"),
    ] {
        let refused = on(&path, "weigh", &[four.as_slice(), &more].concat());
        assert!(matches!(refused.code, Some(2 | 3)), "{more:?}: {}", refused.stdout);
        assert!(refused.stderr.contains(told), "{more:?}: {}", refused.stderr);
        assert_eq!(text(&path), before, "{more:?}");
    }
    // In the other unit, and on a day before the last.
    let pounds = on(&path, "weigh", &["68", "69", "93", "98", "--fuel", "3L", "--save"]);
    assert!(pounds.code == Some(2) && pounds.stderr.contains("lb"), "{}", pounds.stderr);
    assert_eq!(text(&path), before);
    let said = on(&path, "weigh", &["68lb", "69lb", "93lb", "98lb", "--fuel", "3L", "--save", "--dry-run"]);
    assert!(matches!(said.code, Some(0 | 1)) && said.stderr.contains("would be added"), "{}", said.stderr);
    assert_eq!(text(&path), before);
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
