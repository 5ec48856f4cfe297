//! A first scenario from questions at a terminal, and a whole Saturday that goes on from it, one line a step.
#![cfg(target_os = "linux")]

#[path = "support/folders.rs"]
mod folders;
#[path = "support/run.rs"]
mod program;
#[path = "support/terminal.rs"]
mod terminals;

use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::Stdio;

use folders::{empty_folder, names_in, shown};
use kentledge::scenario::Scenario;
use program::{Run, kentledge, run, run_with_stdin};
use serde_json::Value;
use terminals::{seen, terminal};

/// Answers line by line; what was seen at the terminal, and how it ended. Less than all questions are answered if `ends`.
fn asked(path: &Path, options: &[&str], answers: &[&str], ends: bool) -> (Run, String) {
    let (mut ours, other_end) = terminal();
    let arguments = [&["new", shown(path), "--ask"], options].concat();
    let mut command = kentledge(&arguments);
    command.stdin(Stdio::from(other_end())).stderr(Stdio::from(other_end())).stdout(Stdio::piped());
    let child = command.spawn().expect("the program starts");
    drop(command);
    let reader = seen(ours.try_clone().expect("one more handle"));
    for answer in answers {
        writeln!(ours, "{answer}").expect("somebody reads");
    }
    if ends {
        // Ctrl-D on a line of its own.
        ours.write_all(&[4]).expect("somebody reads");
    }
    let run = Run::from(child.wait_with_output().expect("the program ends"));
    drop(ours);
    (run, reader.join().expect("the reader ends"))
}

fn on(path: &Path, command: &str, more: &[&str]) -> Run {
    run(&[&[command, shown(path), "--time", "600"], more].concat())
}

fn document(path: &Path, command: &str, more: &[&str]) -> Value {
    let run = on(path, command, &[more, &["--json"]].concat());
    assert!(matches!(run.code, Some(0 | 1)), "{command} {more:?}: {}", run.stderr);
    serde_json::from_str(&run.stdout).expect("one document")
}

fn text(path: &Path) -> String {
    fs::read_to_string(path).expect("a text")
}

#[test]
fn enter_alone_ends_in_a_file_that_solves_in_both_units() {
    for units in ["kg-mm", "lb-in"] {
        let path = empty_folder("asking", units).join("kart.yaml");
        let (run, seen) = asked(&path, &[], &[&[units], [""; 11].as_slice()].concat(), false);
        assert_eq!(run.code, Some(0), "{seen}");
        assert!(seen.contains("Wheelbase") && seen.contains("kentledge plan"), "{seen}");
        let plan = document(&path, "plan", &[]);
        assert_eq!(plan["legal"], true, "{plan}");
        let (_, warnings) = Scenario::from_yaml(&text(&path)).expect("a scenario");
        assert!(warnings.is_empty(), "{warnings:?}");
    }
}

#[test]
fn an_answer_that_will_not_do_is_asked_for_again() {
    let path = empty_folder("asking", "again").join("kart.yaml");
    let answers = ["stone", "kg-mm", "long", "1045", "", "", "", "Sam", "Sam 70,5, Jo 62", "31 32 43"];
    let answers = [&answers[..], &[""; 6]].concat();
    let (run, seen) = asked(&path, &[], &answers, false);
    assert_eq!(run.code, Some(0), "{seen}");
    assert_eq!(seen.matches("Wheelbase").count(), 2, "{seen}");
    assert!(seen.contains("found 3") && seen.contains("write kg-mm or lb-in"), "{seen}");
    let (scenario, _) = Scenario::from_yaml(&text(&path)).expect("a scenario");
    assert!((scenario.kart().chassis.wheelbase.mm() - 1045.0).abs() < 1e-9);
    assert_eq!(scenario.drivers().len(), 2);
}

#[test]
fn whoever_stops_or_has_no_terminal_is_told_in_one_sentence_and_nothing_is_written() {
    let path = empty_folder("asking", "stopped").join("kart.yaml");
    let (run, seen) = asked(&path, &["--units", "kg-mm"], &["1040", ""], true);
    assert!(run.code == Some(2) && seen.contains("ended before the questions"), "{seen}");
    let piped = run_with_stdin(&["new", shown(&path), "--ask"], "kg-mm\n");
    assert!(piped.code == Some(2) && piped.stderr.contains("terminal"), "{}", piped.stderr);
    assert!(names_in(path.parent().expect("a folder")).is_empty());
    fs::write(&path, "mine").expect("it can be written");
    let (run, seen) = asked(&path, &[], &[], true);
    // As wide as the terminal: where a line breaks depends on how long the path is.
    let said = seen.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(run.code == Some(2) && !seen.contains("Units"), "{seen}");
    assert!(said.contains("already") && said.contains("choose another name"), "{seen}");
    assert_eq!(text(&path), "mine");
}

/// Corners that the plan promises with the fuel of the start, as pads show them.
fn promised(plan: &Value) -> Vec<String> {
    let start = &plan["corners_kg"]["start"];
    ["lf", "rf", "lr", "rr"].map(|key| format!("{:.1}", start[key].as_f64().expect("a number"))).into()
}

#[test]
fn a_whole_saturday_without_an_editor() {
    let path = empty_folder("asking", "saturday").join("kart.yaml");
    let answers = [
        "kg-mm",
        "1040",
        "1080",
        "1120",
        "152",
        "Sam 70, Jo 62",
        "31 32 43 45",
        "3 4 2",
        "43",
        "50",
        "",
        "2,5 2,5 2,5 1 1 1 0,5 0,5",
    ];
    let (asked, seen) = asked(&path, &[], &answers, false);
    assert_eq!(asked.code, Some(0), "{seen}");
    let remarks: Vec<String> =
        text(&path).lines().filter(|line| line.starts_with('#')).map(str::to_owned).collect();
    let step = |command: &str, more: &[&str]| {
        let done = on(&path, command, more);
        assert!(matches!(done.code, Some(0 | 1)), "{command} {more:?}: {}{}", done.stdout, done.stderr);
        done.stdout
    };
    // Both drivers have been on the pads.
    step("weigh", &["29,7", "30.5", "40.8", "42.0", "--driver", "Jo", "--fuel", "3L", "--save"]);
    let plan = document(&path, "plan", &["--driver", "Sam"]);
    let mark = plan["mark"].as_str().expect("a plan");
    step("done", &[mark, "--driver", "Sam"]);
    let again = promised(&plan);
    let again: Vec<&str> = again.iter().map(String::as_str).collect();
    let reweighed = document(
        &path,
        "weigh",
        &[again.as_slice(), &["--driver", "Sam", "--fuel", "start", "--save"]].concat(),
    );
    assert_eq!(
        reweighed["forecasts"].as_array().and_then(|all| all.last()).map(|last| last["as_forecast"].clone()),
        Some(Value::Bool(true))
    );
    // The other driver; one mount is not done.
    let plan = document(&path, "plan", &["--driver", "Jo"]);
    let changes = plan["changes"].as_array().expect("a list");
    assert!(!changes.is_empty(), "{plan}");
    let mount = plan["placements"][0]["mount"].as_str().expect("a name");
    step("done", &[plan["mark"].as_str().expect("a plan"), "--driver", "Jo", "--except", mount]);
    let total = plan["now"]["total_kg"].as_f64().expect("a number");
    let official = format!("{:.1}", total + 0.4);
    step(
        "weigh",
        &[
            "--official",
            &official,
            "--driver",
            "Jo",
            "--fuel",
            "finish",
            "--note",
            "after the final",
            "--save",
        ],
    );
    let log = step("log", &[]);
    assert!(log.contains("as it was"), "{log}");
    let rows = step("log", &["--plain"]);
    assert_eq!(rows.lines().count(), 5, "{rows}");
    assert!(rows.starts_with("date\tweighing\tdriver\ttotal kg\t"), "{rows}");
    // As a person would have written it.
    let end = text(&path);
    let (scenario, warnings) = Scenario::from_yaml(&end).expect("a scenario");
    assert!(warnings.is_empty(), "{warnings:?}");
    assert_eq!((scenario.weighings().len(), scenario.official_totals().len()), (3, 1));
    assert!(remarks.iter().all(|remark| end.contains(remark.as_str())), "{end}");
    assert!(end.contains("note: after the final"), "{end}");
    assert_eq!(names_in(path.parent().expect("a folder")), ["kart.yaml", "kentledge.schema.json"]);
}
