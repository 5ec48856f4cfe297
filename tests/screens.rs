//! Every screen from 40 columns to 200, and none: no line is wider, nothing is lost, plain rows are divided by tabs.

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

/// Rows of a screen of 80 columns, and of 45, on which an answer fits, prompt and all, however many stops there are or rows of a
/// card.
fn most_rows(command: &str, shown: &str, columns: usize) -> usize {
    let rows = match command {
        "swap" => 12 + 6 * shown.lines().filter(|line| line.starts_with("  Stop ")).count(),
        // Steps of half a point, to three points either way.
        "card" => 22 + 13,
        _ => 22,
    };
    if columns == 45 { rows * 30 / 22 } else { rows }
}

#[test]
fn the_answer_fits_one_screen_and_begins_with_the_verdict() {
    let mut seen = 0;
    for scenario in scenarios() {
        for command in ["plan", "weigh", "swap", "card", "pack", "reach", "learn", "log", "check"] {
            // A team of four takes minutes to prove; its screen is the same before.
            let time = if command == "swap" { "5" } else { "60" };
            for columns in [80, 45] {
                let output = kentledge(&[command, &scenario, "--time", time])
                    .env("COLUMNS", columns.to_string())
                    .output();
                let shown = Run::from(output.expect("the program starts"));
                // A command that this file says nothing for is refused.
                if !matches!(shown.code, Some(0 | 1 | 4)) {
                    continue;
                }
                let told = shown.stderr.lines().filter(|line| !line.contains("still searching"));
                let rows = shown.stdout.lines().count() + told.count();
                let most = most_rows(command, &shown.stdout, columns);
                assert!(rows <= most, "{command} {scenario}: {rows} rows of {columns}\n{}", shown.stdout);
                seen += 1;
                if command == "plan" && shown.code != Some(4) {
                    let top = shown.stdout.lines().take(8).collect::<Vec<_>>();
                    assert!(top[0].to_lowercase().starts_with("legal"), "{top:?}");
                    let begins = |line: &&&str| line.contains("1. ") || line.contains("Nothing to change");
                    assert!(top.iter().find(begins).is_some(), "{top:?}");
                }
            }
        }
    }
    assert!(seen > 100, "{seen} screens");
}

/// The same where there is no plan: that comes first, then by how much, what limits it and what cures it.
#[test]
fn that_there_is_no_plan_fits_one_screen_and_says_what_cures_it_or_that_nothing_does_alone() {
    let text =
        |name: &str| fs::read_to_string(format!("{}/scenarios/{name}.yaml", env!("CARGO_MANIFEST_DIR")));
    let two = text("two-drivers").expect("it is there");
    let light = text("too-light").expect("it is there");
    let cases = [
        ("plan", light.clone(), "What would cure it"),
        // More than any one remedy brings.
        ("plan", two.replace("minimum: 160", "minimum: 230"), "nothing does alone"),
        ("swap", two.replace("minimum: 160", "minimum: 230"), "even alone on the kart"),
        ("swap", two.replace("minimum: 160", "minimum: 172"), "What would cure it"),
        ("pack", two.replace("minimum: 160", "minimum: 230"), "even with everything along"),
        ("card", light.clone(), "no legal plan exists"),
        ("reach", light, "no legal plan exists"),
    ];
    for (command, text, words) in cases {
        for columns in [80, 45] {
            let mut child =
                piped(kentledge(&[command, "-", "--time", "20"]).env("COLUMNS", columns.to_string()));
            let mut stdin = child.stdin.take().expect("stdin is piped");
            std::io::Write::write_all(&mut stdin, text.as_bytes()).expect("the program reads its stdin");
            drop(stdin);
            let run = Run::from(child.wait_with_output().expect("the program ends"));
            assert_eq!(run.code, Some(4), "{command}: {}{}", run.stdout, run.stderr);
            let told = run.stderr.lines().filter(|line| !line.contains("still searching"));
            let rows = run.stdout.lines().count() + told.count();
            assert!(rows <= if columns == 45 { 30 } else { 22 }, "{command}: {rows} rows\n{}", run.stdout);
            let shown =
                format!("{}{}", run.stdout, run.stderr).split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(shown.contains(words), "{command} at {columns}: {shown}");
            let last = run.stdout.lines().last().unwrap_or("next: ");
            let is_told = last.starts_with("next: ") || columns == 45;
            assert!(is_told, "{command}: the last row says what to type next\n{}", run.stdout);
        }
    }
}

/// What is unlike what was expected, or contradicts itself, stands above all the rest.
#[test]
fn what_speaks_against_a_weighing_comes_before_what_follows_from_it() {
    let first =
        |path: &str| at(80, &["weigh", path, "--quiet"]).lines().next().unwrap_or_default().to_owned();
    for path in ["tests/regression/weighing-contradicts-mass.yaml", "scenarios/off-target.yaml"] {
        let row = first(path);
        assert!(row.starts_with("  "), "not the verdict: {row}");
    }
    assert!(!first("scenarios/second-weighing.yaml").starts_with("  "), "as expected: the verdict is first");
}

/// Short as the screen is, it has what was asked for by name, and no cure from readings that are at the wrong wheels.
#[test]
fn what_is_asked_for_by_name_is_shown_and_no_cure_where_readings_look_exchanged() {
    let two = at(80, &["plan", "scenarios/two-drivers.yaml", "--driver", "Sam", "--alternatives", "2"]);
    assert!(two.contains("Alternative 1") || two.contains("No plan of another kind"), "{two}");
    let sprint = "scenarios/club-sprint.yaml";
    let [few, all] = [at(80, &["card", sprint]), at(80, &["card", sprint, "--all"])];
    assert!(!few.contains("What to do, from") && all.contains("What to do, from"), "{all}");
    let wrong = at(80, &["weigh", "tests/regression/pads-lf-lr-exchanged.yaml", "--quiet"]);
    assert!(wrong.contains("exchanged") && !wrong.contains("must go"), "{wrong}");
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
    assert!(
        usual.lines().all(|line| line.chars().count() <= 80) && usual.lines().count() < told.lines().count()
    );
}

#[test]
fn plain_rows_are_one_line_each_divided_by_tabs_and_nothing_is_wrapped() {
    for command in ["plan", "weigh", "check"] {
        let plain = run(&[command, "scenarios/club-sprint.yaml", "--plain"]).stdout;
        let usual = run(&[command, "scenarios/club-sprint.yaml", "--full"]).stdout;
        assert!(plain.lines().count() <= usual.lines().count(), "{plain}");
        let words = |text: &str| text.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
        assert_eq!(words(&plain), words(&usual), "the words are the same");
    }
    let plan = run(&["plan", "scenarios/club-sprint.yaml", "--plain"]).stdout;
    let row = plan.lines().find(|line| line.contains("seat_back")).expect("the mount has a row");
    assert!(row.split('\t').any(|cell| cell == "seat_back"), "{row:?}");
}
