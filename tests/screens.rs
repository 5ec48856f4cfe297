//! Every screen from 40 columns to 200, and none: no line is wider, nothing is lost, plain rows are divided by tabs.
//! Takes the built program and the shipped scenarios; every test says in its name what must hold.
//! Does not know what the reports say.

#[path = "support/run.rs"]
mod program;

use std::fs;
use std::path::Path;

use program::{Run, kentledge, piped, run, run_with_stdin};

fn scenarios() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let entries = fs::read_dir(folder).expect("the scenarios are there").flatten();
    let files =
        entries.map(|entry| entry.path()).filter(|path| path.extension().is_some_and(|e| e == "yaml"));
    files.map(|path| path.to_str().expect("scenarios have plain names").to_owned()).collect()
}

fn at(columns: usize, arguments: &[&str]) -> String {
    let output = kentledge(arguments).env("COLUMNS", columns.to_string()).output();
    let run = Run::from(output.expect("the program starts"));
    assert!(matches!(run.code, Some(0 | 1 | 4)), "{}", run.stderr);
    run.stdout
}

#[test]
fn no_line_is_wider_than_its_screen_from_40_columns_to_200() {
    for scenario in scenarios() {
        for columns in [40, 45, 49, 50, 60, 80, 120, 200] {
            // Solving costs more than laying out: the widest and the usual screens need no plan of their own.
            let commands: &[&str] =
                if columns <= 50 { &["plan", "weigh", "check"] } else { &["weigh", "check"] };
            for command in commands {
                let shown = at(columns, &[command, &scenario, "--time", "60"]);
                assert!(!shown.is_empty(), "{command} {scenario}");
                // The user's own line, and where it stands, are as long as they are.
                let laid_out = |line: &&str| !line.contains("-->") && !line.contains(" | ");
                for line in shown.lines().filter(laid_out) {
                    assert!(line.chars().count() <= columns, "{command} {scenario} at {columns}: {line}");
                }
            }
        }
    }
    let shown = at(40, &["weigh", "91lb", "89lb", "118lb", "121lb"]);
    assert!(shown.lines().all(|line| line.chars().count() <= 40), "{shown}");
}

#[test]
fn a_screen_narrower_than_40_columns_is_taken_for_40() {
    let narrow = at(40, &["weigh", "91lb", "89lb", "118lb", "121lb"]);
    assert_eq!(at(1, &["weigh", "91lb", "89lb", "118lb", "121lb"]), narrow);
}

#[test]
fn the_same_words_stand_on_every_screen() {
    let words = |columns| {
        let shown = at(columns, &["check", "scenarios/club-sprint.yaml"]);
        shown.split_whitespace().map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(words(40), words(200));
}

#[test]
fn a_narrow_screen_gets_narrow_messages() {
    let mut child = piped(kentledge(&["check", "-"]).env("COLUMNS", "40"));
    drop(child.stdin.take());
    let told = Run::from(child.wait_with_output().expect("the program ends")).stdout;
    assert!(told.contains("K002") && told.lines().all(|line| line.chars().count() <= 40), "{told}");
    let usual = run_with_stdin(&["check", "-"], "").stdout;
    assert!(usual.lines().all(|line| line.chars().count() <= 45), "{usual}");
}

#[test]
fn plain_rows_are_one_line_each_divided_by_tabs_and_nothing_is_wrapped() {
    for command in ["plan", "weigh", "check"] {
        let plain = run(&[command, "scenarios/club-sprint.yaml", "--plain"]).stdout;
        let usual = run(&[command, "scenarios/club-sprint.yaml"]).stdout;
        assert!(plain.lines().count() <= usual.lines().count(), "{plain}");
        let words = |text: &str| text.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
        assert_eq!(words(&plain), words(&usual), "the words are the same");
    }
    let plan = run(&["plan", "scenarios/club-sprint.yaml", "--plain"]).stdout;
    let row = plan.lines().find(|line| line.contains("seat_back")).expect("the mount has a row");
    assert!(row.split('\t').any(|cell| cell == "seat_back"), "{row:?}");
}
