//! A trip as the file has it and as the program answers it: cases, classes, targets, exit codes, documents.
//! Does not prove a kit: `pack` does, against full enumeration.

use std::fs;
use std::path::Path;

use kentledge::scenario::{Aim, Figure, Margin, Scenario};
use kentledge::units::Mass;
use program::{Run, run_with_stdin};
use serde_json::Value;

#[expect(dead_code, reason = "of the cases only what draws numbers is needed here")]
#[path = "support/cases.rs"]
mod cases;
#[expect(dead_code, reason = "every run here has a scenario on its stdin, or a width")]
#[path = "support/run.rs"]
mod program;
#[path = "support/trips.rs"]
mod trips;

fn text() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/trip.yaml");
    fs::read_to_string(path).expect("the scenario is there")
}

fn with(old: &str, new: &str) -> String {
    let text = text();
    assert_eq!(text.matches(old).count(), 1, "`{old}` is not there once");
    text.replace(old, new)
}

fn read(text: &str) -> Scenario {
    match Scenario::from_yaml(text) {
        Ok((scenario, _)) => scenario,
        Err(problems) => panic!("{problems:?}\n{text}"),
    }
}

fn packed(text: &str, arguments: &[&str]) -> Run {
    run_with_stdin(&[&["pack", "-", "--full", "--quiet", "--time", "600"], arguments].concat(), text)
}

fn document(text: &str) -> Value {
    serde_json::from_str(&packed(text, &["--json"]).stdout).expect("stdout is one JSON document")
}

/// Aim of front % of every variation, percent.
fn fronts(scenario: &Scenario) -> Vec<(String, f64)> {
    let trip = scenario.trip();
    let front = |targets: &[kentledge::scenario::Target]| {
        targets.iter().find_map(|target| match (target.figure, target.aim) {
            (Figure::Front, Aim::Percent { aim, .. }) => Some(aim),
            (Figure::Rear, Aim::Percent { aim, .. }) => Some(100.0 - aim),
            _ => None,
        })
    };
    let variations = trip.variations.iter();
    variations
        .map(|variation| (variation.name.clone(), front(&variation.targets).expect("a front %")))
        .collect()
}

#[test]
fn cases_are_drivers_times_classes_times_targets() {
    let trip = read(&text()).trip();
    assert_eq!((trip.drivers.len(), trip.classes.len(), trip.variations.len()), (3, 2, 3));
    let cases = trip.cases();
    assert_eq!(cases.len(), 18);
    assert!(cases.is_sorted() && cases.windows(2).all(|pair| pair[0] != pair[1]));
}

#[test]
fn without_a_trip_every_driver_races_as_the_file_says_and_nothing_can_be_bought() {
    let text = text();
    let scenario = read(text.split("trip:\n").next().expect("the trip comes last"));
    let trip = scenario.trip();
    assert_eq!((trip.drivers.len(), trip.classes.len(), trip.variations.len()), (3, 1, 1));
    assert!(trip.list.is_empty() && trip.hardware.is_none());
    assert_eq!(trip.classes[0], *scenario.class());
    assert_eq!(trip.variations[0].targets, scenario.targets());
}

#[test]
fn a_class_of_the_trip_is_the_class_of_the_file_but_for_what_it_says() {
    let text = with("heavy: {minimum: 166}", "heavy: {minimum: 166, margin: 0.2, weighed_at: start}");
    let scenario = read(&text);
    let trip = scenario.trip();
    let [light, heavy] = trip.classes.as_slice() else { panic!("two classes") };
    assert_eq!((light.name.as_str(), heavy.name.as_str()), ("club senior", "heavy"));
    assert_eq!((light.margin, light.weighed_at), (scenario.class().margin, scenario.class().weighed_at));
    assert_eq!(heavy.margin, Margin::Fixed(Mass::from_kg(0.2)));
    assert_eq!(heavy.minimum, Mass::from_kg(166.0));
    assert_ne!(heavy.weighed_at, scenario.class().weighed_at);
}

#[test]
fn variations_replace_their_like_and_meet_every_aim_of_the_range() {
    let range = "  front: {from: 42, to: 44, step: 1}\n";
    let named =
        "  targets:\n    dry:\n    rain: {rear: {aim: 56, within: 0.3}, cross: {aim: 50, within: 1}}\n";
    let scenario = read(&with(range, named));
    assert_eq!(fronts(&scenario), [("dry".into(), 43.0), ("rain".into(), 44.0)]);
    let trip = scenario.trip();
    let figures = |variation: usize| {
        trip.variations[variation].targets.iter().map(|target| target.figure).collect::<Vec<_>>()
    };
    assert_eq!(figures(0), [Figure::Front, Figure::Left]);
    assert_eq!(figures(1), [Figure::Rear, Figure::Left, Figure::Cross]);
    let both = read(&with(range, &format!("{named}  front: {{from: 42, to: 43, step: 0.5, within: 0.2}}\n")));
    let aims: Vec<f64> = fronts(&both).into_iter().map(|(_, front)| front).collect();
    assert_eq!(aims, [42.0, 42.5, 43.0, 42.0, 42.5, 43.0]);
    assert_eq!(fronts(&both)[4].0, "rain, front 42.5");
}

#[test]
fn spares_come_on_top_and_are_not_there_for_any_case() {
    let plain = document(&text());
    let text = with("  hardware:\n", "  spares: {puck: 1, bar 0.25: 1}\n  hardware:\n");
    let spared = document(&text);
    let of = |document: &Value, list: &str, piece: &str| {
        let lines = document[list].as_array().expect("a list");
        lines.iter().find(|line| line["piece"] == piece).cloned()
    };
    let puck = of(&spared, "take", "puck").expect("a puck is along");
    assert_eq!(puck["spares"], 1);
    let bar = of(&spared, "buy", "bar 0.25").expect("the spare is bought");
    assert_eq!(bar["spares"], 1);
    // What is set aside cannot make a kit cheaper.
    assert!(spared["cost"].as_f64() > plain["cost"].as_f64(), "{}", spared["cost"]);
    for case in spared["cases"].as_array().expect("cases") {
        let used = |piece: &str| -> i64 {
            let placements = case["placements"].as_array().expect("placements").iter();
            placements.filter(|one| one["piece"] == piece).filter_map(|one| one["count"].as_i64()).sum()
        };
        assert!(used("puck") < puck["count"].as_i64().expect("a number"));
        assert!(used("bar 0.25") < bar["count"].as_i64().expect("a number"));
    }
}

#[test]
fn a_kit_that_serves_all_exits_with_0_and_its_document_adds_up() {
    let run = packed(&text(), &["--json"]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let document = document(&text());
    let prices = document["buy"].as_array().expect("a list").iter().filter_map(|line| line["price"].as_f64());
    approx::assert_abs_diff_eq!(
        prices.sum::<f64>(),
        document["cost"].as_f64().expect("a sum"),
        epsilon = 1e-9
    );
    let lines = ["buy", "take"].iter().flat_map(|list| document[*list].as_array().expect("a list"));
    let (mut mass_kg, mut pieces) = (0.0, 0);
    for line in lines {
        mass_kg += line["mass_kg"].as_f64().expect("a mass");
        pieces += line["count"].as_u64().expect("a number");
    }
    approx::assert_abs_diff_eq!(mass_kg, document["carried_kg"].as_f64().expect("a mass"), epsilon = 1e-9);
    assert_eq!(Some(pieces), document["pieces"].as_u64());
    assert_eq!(document["status"], "best possible");
    assert_eq!(document["beyond"].as_array().map(Vec::len), Some(18));
}

#[test]
fn a_case_out_of_every_kits_reach_is_made_legal_and_named_with_exit_code_1() {
    let text = with("front: {from: 42, to: 44, step: 1}", "front: {from: 43, to: 55, step: 12}");
    let run = packed(&text, &[]);
    assert_eq!(run.code, Some(1), "{}", run.stderr);
    assert!(run.stdout.contains("one kit makes every case legal, but 6 miss a target; no better kit exists"));
    let reason = "no kit of these pieces brings these onto target together with the other cases";
    assert!(
        run.stdout
            .contains(&format!("Off target, and why\n  {reason}\n  Sam, club senior, front 55: front % is"))
    );
    assert_eq!(run.stdout.matches(reason).count(), 1, "said once for all of them");
    let cases = document(&text);
    let cases = cases["cases"].as_array().expect("cases");
    let missed = |case: &&Value| case["asked"] == "legal";
    assert_eq!(cases.iter().filter(missed).count(), 6);
    assert!(cases.iter().filter(missed).all(|case| case["targets"] == "front 55"));
}

#[test]
fn where_no_kit_is_legal_the_answer_says_which_case_and_why_with_exit_code_4() {
    let text = with("heavy: {minimum: 166}", "heavy: {minimum: 211}");
    let run = packed(&text, &[]);
    assert_eq!(run.code, Some(4), "{}", run.stderr);
    let page = run.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "no legal plan for 9 cases, even with everything along",
        "Alex, heavy: 33.",
        "The worst of them: Alex, heavy",
        "all mounts together may carry",
        "what would help:",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
    let document = document(&text);
    assert_eq!(document["status"], "no legal plan");
    assert_eq!(document["never_legal"].as_array().map(Vec::len), Some(9));
}

#[test]
fn a_trip_without_cases_is_a_fault_of_the_file_with_exit_code_3() {
    let run = packed(&with("  classes:\n", "  drivers: []\n  classes:\n"), &[]);
    assert_eq!((run.code, run.stdout.as_str()), (Some(3), ""));
    assert!(run.stderr.contains("error[K032]") && run.stderr.contains("no case to pack"), "{}", run.stderr);
}

#[test]
fn without_prices_the_fewest_pieces_are_bought() {
    let text = text();
    let free: Vec<String> = text
        .lines()
        .map(|line| match (line.find("price: "), line.find("most: ")) {
            (Some(price), Some(most)) => format!("{}{}", &line[..price], &line[most..]),
            _ => line.to_owned(),
        })
        .collect();
    let document = document(&free.join("\n"));
    assert_eq!(document["priced"], false);
    let bought = document["buy"].as_array().expect("a list").iter().filter_map(|line| line["count"].as_u64());
    assert_eq!(Some(bought.sum::<u64>() as f64), document["cost"].as_f64());
}

#[test]
fn no_line_of_a_kit_is_wider_than_its_screen() {
    for columns in [40, 45, 60, 80, 100] {
        let mut command =
            program::kentledge(&["pack", "scenarios/trip.yaml", "--full", "-q", "--time", "600"]);
        let shown =
            Run::from(command.env("COLUMNS", columns.to_string()).output().expect("it starts")).stdout;
        assert!(shown.lines().count() > 50);
        for line in shown.lines() {
            assert!(line.chars().count() <= columns, "{columns}: {line}");
        }
    }
}

/// Heavier lead than the spare allows would bring some cases onto target, which leaves thousands of kits to be refuted.
#[cfg(unix)]
#[test]
fn ctrl_c_ends_a_long_search_with_the_best_kit_so_far() {
    use std::io::{BufRead, BufReader, Write};

    let long = trips::Trip::usual(2, 1, 3, 12);
    let mut child = program::piped(&mut program::kentledge(&["pack", "-", "--time", "3600", "--json"]));
    let mut stdin = child.stdin.take().expect("stdin is piped");
    stdin.write_all(trips::trip(&long, 3).as_bytes()).expect("the program reads its stdin");
    drop(stdin);
    let mut stderr = BufReader::new(child.stderr.take().expect("stderr is piped"));
    let mut line = String::new();
    while !line.contains("kits tried") {
        line.clear();
        let read = stderr.read_line(&mut line).expect("stderr is text");
        assert!(read > 0, "it ended before it was interrupted");
    }
    let status = std::process::Command::new("kill").args(["-INT", &child.id().to_string()]).status();
    assert!(status.is_ok_and(|status| status.success()), "the signal is sent");
    let run: Run = child.wait_with_output().expect("the program ends").into();
    assert_eq!(run.code, Some(1), "{}", run.stdout);
    let document: Value = serde_json::from_str(&run.stdout).expect("stdout is one JSON document");
    assert_eq!(document["status"], "good, not proved best");
    let cases = document["cases"].as_array().expect("cases");
    assert_eq!(cases.len(), 6);
    assert!(cases.iter().any(|case| case["asked"] == "legal, given up in time"));
    assert!(cases.iter().all(|case| case["margin"]["above_required_kg"].as_f64() >= Some(0.0)));
}
