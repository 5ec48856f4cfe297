//! `export`: what is written is read back as the very same program, and says what plan says of its goals.
//! Sources of truth: the rows and columns of the model; good_lp's engine on programs it can close; the JSON of `plan`.

use kentledge::engine::{Opinion, second_opinion};
use kentledge::export::mps;
use kentledge::goal::Goal;
use kentledge::model::Model;
use kentledge::model::linear::{Column, Linear, ONE, Quantity, Row};
use kentledge::scenario::Scenario;
use kentledge::solve::{Answer, Patience, solve};
use kentledge::tasks::export::{Exported, Program, program};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

#[path = "support/cases.rs"]
mod cases;
#[path = "support/mps.rs"]
mod format;
#[path = "support/run.rs"]
mod process;

use cases::{Family, Lead};
use process::{run, run_with_stdin};

const SPRINT: &str = "scenarios/club-sprint.yaml";

fn text_of(path: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).expect("the scenario is there")
}

fn scenario_of(text: &str) -> Scenario {
    match Scenario::from_yaml(text) {
        Ok((scenario, _)) => scenario,
        Err(problems) => panic!("{problems:?}\n{text}"),
    }
}

/// The program as the reader should understand it.
fn expected(linear: &Linear) -> format::Read {
    let wide = |number: i64| i128::from(number);
    let mut read = format::Read { constant: wide(linear.constant), ..format::Read::default() };
    for column in &linear.columns {
        let name = column.quantity.to_string();
        read.column_names.push(name.clone());
        let (least, most) = (wide(column.least), column.most.map(wide));
        let (whole, objective) = (column.whole, wide(column.objective));
        read.columns.insert(name, format::Column { whole, objective, least, most, factors: BTreeMap::new() });
    }
    for row in &linear.rows {
        read.row_names.push(row.name.clone());
        read.rows.insert(row.name.clone(), (row.least.map(wide), row.most.map(wide)));
        for (column, factor) in row.terms.iter().filter(|(_, factor)| *factor != 0) {
            let column = read.columns.get_mut(&read.column_names[*column]).expect("a column of the program");
            column.factors.insert(row.name.clone(), wide(*factor));
        }
    }
    read
}

fn exported(scenario: &Scenario, goal: Goal) -> Exported {
    let patience = Patience::ENDLESS;
    program(scenario, scenario.driver(), goal, patience).expect("judge and search agree")
}

fn exported_program(scenario: &Scenario, goal: Goal) -> Program {
    match exported(scenario, goal) {
        Exported::Program(program) => program,
        other => panic!("{goal:?}: {other:?}"),
    }
}

/// Small scenarios of every kind of row: rules, rooms, fitted and locked lead, four targets, any order.
fn drawn(seed: u64) -> Scenario {
    let lead = if seed.is_multiple_of(2) { Lead::Catalogue } else { Lead::Weighed };
    let mut family = Family::rich(lead, 5 + seed as usize % 3, 3);
    family.locked = seed.is_multiple_of(3);
    family.rules = !family.locked;
    family.needed_kg = (1.0, 5.0);
    family.order.rotate_left(seed as usize % 4);
    scenario_of(&cases::scenario(&family, seed))
}

#[test]
fn every_goal_of_every_scenario_is_read_back_as_the_same_program() {
    let folder = fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios"));
    let mut paths: Vec<PathBuf> =
        folder.expect("the scenarios are there").flatten().map(|entry| entry.path()).collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "yaml"));
    paths.sort();
    let shipped = paths.iter().map(|path| scenario_of(&fs::read_to_string(path).expect("a text")));
    let mut kinds_of_rows = BTreeSet::new();
    let mut programs = 0;
    for scenario in shipped.chain((0..40).map(drawn)) {
        for goal in Goal::ALL {
            let Exported::Program(program) = exported(&scenario, goal) else { continue };
            let read = format::read(&program.mps);
            let held: Vec<(Goal, i64)> = program.held.iter().map(|held| (held.goal, held.held_at)).collect();
            assert_eq!(program.linear, Linear::new(&Model::new(&scenario, scenario.driver()), goal, &held));
            let comments = read.comments.clone();
            assert_eq!(read, format::Read { comments, ..expected(&program.linear) }, "{}", program.mps);
            programs += 1;
            kinds_of_rows.extend(read.row_names.iter().map(|name| {
                name.split(|letter: char| letter.is_ascii_digit()).next().expect("a name").to_owned()
            }));
        }
    }
    assert!(programs >= 100, "{programs}");
    let wanted = ["capacity_m", "close_t", "held_close", "held_legal", "held_light", "held_targets"];
    let wanted = wanted.into_iter().chain(["held_work", "minimum", "most_lead", "off_k", "on_k", "pieces_m"]);
    let wanted = wanted.chain(["room_m", "stock_k", "work_k"]);
    for wanted in wanted {
        assert!(kinds_of_rows.contains(wanted), "no program has a row `{wanted}`");
    }
}

#[test]
fn equations_and_ranges_are_written_so_that_they_are_read_back() {
    let column = |kind, least, most| Column {
        quantity: Quantity::Work { kind },
        objective: ONE,
        least,
        most,
        whole: kind == 1,
    };
    let row =
        |name: &str, least, most| Row { name: name.to_owned(), terms: vec![(0, ONE), (1, -3)], least, most };
    let linear = Linear {
        columns: vec![
            column(0, -ONE, None),
            column(1, 2 * ONE, Some(2 * ONE)),
            column(2, ONE, Some(5 * ONE / 2)),
        ],
        rows: vec![
            row("equal", Some(7), Some(7)),
            row("between", Some(-ONE), Some(ONE)),
            row("least", Some(ONE), None),
            row("most", None, Some(0)),
        ],
        constant: -ONE / 2,
    };
    let text = mps(&linear, &["two\nlines".to_owned()]);
    let read = format::read(&text);
    assert_eq!(read.comments, ["two lines"]);
    assert_eq!(read, format::Read { comments: read.comments.clone(), ..expected(&linear) }, "{text}");
}

/// Rows and columns of a program that was read back.
fn linear(read: &format::Read) -> Linear {
    let narrow = |number: i128| i64::try_from(number).expect("a number of the model");
    // Names do not matter to an engine.
    let columns = read.column_names.iter().enumerate().map(|(number, name)| {
        let column = &read.columns[name];
        Column {
            quantity: Quantity::Work { kind: number },
            objective: narrow(column.objective),
            least: narrow(column.least),
            most: column.most.map(narrow),
            whole: column.whole,
        }
    });
    let rows = read.row_names.iter().map(|name| {
        let factors = read.column_names.iter().enumerate();
        let terms = factors.filter_map(|(number, column)| {
            read.columns[column].factors.get(name).map(|factor| (number, narrow(*factor)))
        });
        let (least, most) = read.rows[name];
        Row { name: name.clone(), terms: terms.collect(), least: least.map(narrow), most: most.map(narrow) }
    });
    Linear { columns: columns.collect(), rows: rows.collect(), constant: narrow(read.constant) }
}

#[test]
fn another_engine_finds_in_every_file_a_least_value_between_bound_and_value() {
    let mut closed = 0;
    for seed in 0..12 {
        let scenario = drawn(seed);
        let answer = solve(&scenario, scenario.driver(), Patience::ENDLESS);
        let Ok(Answer::Plan(solved)) = answer else { continue };
        for result in &solved.goals {
            let program = exported_program(&scenario, result.goal);
            let unit = if result.goal == Goal::Work { 1.0 } else { 1e-12 };
            let (bound, value) = (result.bound as f64 * unit, result.value as f64 * unit);
            match second_opinion(&linear(&format::read(&program.mps)), 20.0) {
                Opinion::Value(least) => {
                    // The engine lets rows be broken by 1e-7.
                    assert!(
                        (bound - 1e-5..=value + 1e-5).contains(&least),
                        "{result:?}: {least}\n{}",
                        program.mps
                    );
                    closed += 1;
                }
                Opinion::NoPlan => panic!("{result:?}: the engine finds no plan\n{}", program.mps),
                Opinion::None => {}
            }
        }
    }
    assert!(closed >= 30, "only {closed} programs were closed");
}

#[test]
fn the_holds_in_the_file_are_those_that_plan_reports() {
    let path = "scenarios/two-drivers.yaml";
    let plan = run(&["plan", path, "--driver", "Sam", "--json"]).stdout;
    let plan: serde_json::Value = serde_json::from_str(&plan).expect("one document");
    let text = run(&["export", path, "--driver", "Sam", "--goal", "5"]).stdout;
    let read = format::read(&text);
    let goals = plan["goals"].as_array().expect("goals");
    let held: Vec<&String> = read
        .comments
        .iter()
        .filter(|comment| comment.contains("at most ") && comment.contains("found"))
        .collect();
    assert_eq!(held.len(), 4, "{text}");
    for (goal, comment) in goals.iter().zip(held) {
        let word = goal["name"].as_str().expect("a name");
        assert!(comment.starts_with(&format!("{word}: at most ")), "{comment}");
        let at = comment
            .split_whitespace()
            .nth(3)
            .and_then(|number| number.parse::<f64>().ok())
            .expect("a number");
        let reported = goal["held_at"].as_f64().expect("a number");
        assert!((at - reported).abs() < 1e-5, "{comment}, but plan says {reported}");
    }
}

#[test]
fn a_goal_is_named_by_its_place_in_the_files_order_or_by_its_word() {
    let text = format!("{}\ngoals: {{order: [work, close, targets, light]}}\n", text_of(SPRINT));
    let by = |goal: &str| run_with_stdin(&["export", "-", "--goal", goal], &text).stdout;
    for (nth, word) in ["legal", "work", "close", "targets", "light"].into_iter().enumerate() {
        let exported = by(word);
        assert!(exported.contains(&format!("* goal {} of 5, `{word}`", nth + 1)), "{exported}");
        assert_eq!(by(&(nth + 1).to_string()), exported);
    }
}

#[test]
fn every_column_is_explained_with_the_names_of_the_file() {
    let text = run(&["export", "scenarios/odd-names.yaml", "--goal", "close"]).stdout;
    let read = format::read(&text);
    for name in &read.column_names {
        let about = read.comments.iter().filter(|comment| comment.starts_with(&format!("{name}: ")));
        assert_eq!(about.count(), 1, "{name}");
    }
    let scenario = scenario_of(&text_of("scenarios/odd-names.yaml"));
    for mount in scenario.mounts() {
        let shown = kentledge::diagnosis::visible(&mount.name);
        assert!(read.comments.iter().any(|comment| comment.contains(&format!("on `{shown}`"))), "{shown}");
    }
}

#[test]
fn a_file_holds_what_stdout_would_show_and_no_scenario_is_overwritten() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("export");
    fs::create_dir_all(&folder).expect("a folder");
    let path = folder.join("legal.mps");
    let path = path.to_str().expect("a plain name");
    let arguments = ["export", SPRINT, "--goal", "1"];
    let run_to_file = run(&[&arguments[..], &["-o", path]].concat());
    assert_eq!((run_to_file.code, run_to_file.stdout.as_str()), (Some(0), ""));
    assert_eq!(fs::read_to_string(path).expect("it was written"), run(&arguments).stdout);
    let onto_itself = run(&[&arguments[..], &["-o", arguments[1]]].concat());
    assert_eq!(onto_itself.code, Some(2), "{}", onto_itself.stderr);
}

#[test]
fn what_cannot_be_exported_is_said_in_one_sentence() {
    let path = "scenarios/too-light.yaml";
    assert_eq!(run(&["export", path, "--goal", "legal"]).code, Some(0), "the first goal needs no plan");
    let unwrapped = |text: &str| text.replace("\n  ", " ");
    for (arguments, code, words) in [
        (&[path, "--goal", "2"][..], 4, "no legal plan exists"),
        (
            &[path, "--goal", "0"],
            2,
            "`--goal` must be 1 to 5 or one of legal, targets, light, work, close; found `0`",
        ),
        (&[path, "--goal", "6"], 2, "found `6`"),
        (&[path, "--goal", "lightest"], 2, "found `lightest`"),
        (&[path, "--goal", ""], 2, "found ``"),
        (&[path, "--goal", "1", "--json"], 2, "`--json` means nothing to it"),
        (&[path, "--goal", "1", "--driver", "Nobody"], 2, "there is no driver called `Nobody`"),
        (&[path], 2, "--goal"),
        (&["scenarios", "--goal", "1"], 3, "it is a folder"),
    ] {
        let run = run(&[&["export"][..], arguments].concat());
        assert_eq!((run.code, run.stdout.as_str()), (Some(code), ""), "{arguments:?}: {}", run.stderr);
        assert!(unwrapped(&run.stderr).contains(words), "{arguments:?}: {}", run.stderr);
    }
}
