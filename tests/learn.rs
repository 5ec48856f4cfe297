//! `learn` as people and scripts meet it: what it says, what it writes into a file and what it leaves alone, what it refuses.
//! Does not know how anything is estimated; that is judged by true karts in `learning.rs`.

#[path = "support/run.rs"]
mod program;

use std::fs;
use std::path::{Path, PathBuf};

use program::{Run, run, run_with_stdin};
use serde_json::Value;

const KART: &str = "scenarios/second-weighing.yaml";

/// Places that were paced out and pads that repeat well, so that weighings have something to teach.
const PACED: &str = "measured_within: {places: 60, driver_place: 60}\npads: {repeatability: 0.04}\n";

fn text() -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(KART)).expect("the scenario is there")
}

/// A copy of the kart's file that a test may change.
fn copy(name: &str, text: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    fs::write(&path, text).expect("the tests' own folder can be written");
    path
}

fn learn(path: &Path, more: &[&str]) -> Run {
    run(&[&["learn", path.to_str().expect("a plain name")], more].concat())
}

fn into_itself(path: &Path) -> Run {
    learn(path, &["--into", path.to_str().expect("a plain name")])
}

fn without(text: &str, from: &str, to: &str) -> String {
    let (start, end) = (text.find(from).expect("it is there"), text.find(to).expect("it is there"));
    format!("{}{}", &text[..start], &text[end..])
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).expect("stdout is one JSON document and nothing else")
}

fn place_of<'d>(document: &'d Value, name: &str, part: &str) -> &'d Value {
    let lessons = document["lessons"].as_array().expect("a list");
    lessons.iter().find(|lesson| lesson["name"] == name && lesson["part"] == part).expect("it is listed")
}

#[test]
fn learning_changes_its_own_block_and_not_one_character_more() {
    let text = text();
    let path = copy("into-itself.yaml", &text);
    let run = into_itself(&path);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let changed = fs::read_to_string(&path).expect("it is still there");
    let (kept, block) = changed.split_at(changed.find("\nlearned:").expect("the block is written"));
    assert_eq!(kept, text);
    assert!(block.contains("  weighings: 4\n") && block.contains("    Sam: {x:"), "{block}");
    // The change was shown: lines put in, with what stands around them.
    assert!(run.stdout.contains("+learned:"), "{}", run.stdout);
}

#[test]
fn learning_twice_from_the_same_weighings_changes_nothing_more() {
    let path = copy("twice.yaml", &text());
    into_itself(&path);
    let once = fs::read_to_string(&path).expect("it is there");
    let again = into_itself(&path);
    assert_eq!(again.code, Some(0), "{}", again.stderr);
    assert_eq!(fs::read_to_string(&path).expect("it is there"), once);
}

#[test]
fn what_was_learned_is_what_the_next_plan_reckons_with() {
    let path = copy("reckons.yaml", &text());
    into_itself(&path);
    let file = path.to_str().expect("a plain name");
    let learned = run(&["plan", file, "--json"]);
    assert!(matches!(learned.code, Some(0 | 1)), "{}", learned.stderr);
    let changed = fs::read_to_string(&path).expect("it is there");
    let forgotten = changed.split("\nlearned:").next().unwrap_or_default();
    let plain = run_with_stdin(&["plan", "-", "--json"], forgotten);
    assert_ne!(json(&learned.stdout)["corners_kg"], json(&plain.stdout)["corners_kg"]);
}

#[test]
fn a_driver_who_gets_out_is_found_where_his_weight_was() {
    let document = json(&run(&["learn", KART, "--json"]).stdout);
    // By hand: with Sam in, the front gains 28.0 of his 66.8 kg: x = 1031 · 28.0/66.8 = 432; the left gains 33.6 of 66.8, so
    // y is within a few millimetres of the middle. The other weighings may move both by their uncertainty.
    let forward = place_of(&document, "Sam", "x");
    let estimate = forward["estimate"].as_f64().expect("a number");
    let uncertainty = forward["standard_uncertainty"].as_f64().expect("a number");
    assert!((estimate - 1031.0 * 28.0 / 66.8).abs() < 2.0 * uncertainty, "{forward}");
    assert_eq!((forward["told"].as_str(), forward["unit"].as_str()), (Some("known well"), Some("mm")));
}

#[test]
fn with_the_driver_always_in_the_seat_his_place_is_not_told_and_weighing_without_him_is_advised() {
    let text = text();
    let seated = without(&text, "  - scales: [16.5", "  - scales: [31.2");
    let run = run_with_stdin(&["learn", "-", "--json"], &seated);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let document = json(&run.stdout);
    assert_eq!(place_of(&document, "Sam", "x")["told"], "not known");
    let next = document["next_weighing"]["sentence"].as_str().expect("there is one");
    assert!(next.contains("the driver out of the seat"), "{next}");
}

/// Two pieces on two mounts that were only ever hung on together: more of one is less of the other.
#[test]
fn mounts_that_changed_only_together_cannot_be_told_apart() {
    let text = text();
    // By hand, for 15 kg on each: seat_left adds 2.9 0.6 8.2 3.3 kg, seat_back 0.8 0.8 6.7 6.7.
    let (start, end) =
        (text.find("  - scales: [16.5").expect("there"), text.find("\ndrivers:").expect("there"));
    let again = "  - scales: [34.4, 33, 56.6, 54.1]\n    aboard: {fuel: 2 kg, lead: {seat_left: {slab: 1}, seat_back: \
                 {slab: 1}}}\n    for: learn\n";
    let both = format!("{}{again}{}  slab: {{mass: 15, count: 2}}\n{PACED}", &text[..start], &text[end..]);
    let run = run_with_stdin(&["learn", "-", "--json"], &both);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let document = json(&run.stdout);
    let pairs = document["cannot_tell_apart"].as_array().expect("a list");
    let named = |pair: &Value| format!("{} {}", pair["one"], pair["other"]);
    assert!(
        pairs.iter().any(|pair| named(pair).contains("seat_left") && named(pair).contains("seat_back")),
        "{pairs:?}"
    );
}

#[test]
fn weighings_that_contradict_each_other_are_3_with_the_place_and_write_nothing() {
    // Ten kilograms from one side to the other: no driver sits like that.
    let wrong = text().replace("[31.2, 31.9, 43.9, 45.2]", "[36.2, 26.9, 38.9, 50.2]");
    let path = copy("contradict.yaml", &wrong);
    let run = into_itself(&path);
    assert_eq!((run.code, run.stdout.as_str()), (Some(3), ""));
    assert!(run.stderr.contains("error[K029]") && run.stderr.contains("contradict"), "{}", run.stderr);
    assert!(run.stderr.contains("--> ") && run.stderr.contains("help: "), "{}", run.stderr);
    assert_eq!(fs::read_to_string(&path).expect("it is there"), wrong);
}

#[test]
fn weighings_with_no_difference_teach_nothing_and_say_so() {
    let text = text();
    let (start, end) =
        (text.find("  - scales: [16.5").expect("there"), text.find("\ndrivers:").expect("there"));
    let with = |again: &str| format!("{}{again}{}", &text[..start], &text[end..]);
    let alike = with("  - scales: [30.7, 31.6, 41.7, 44.1]\n    aboard: {fuel: 2 kg, lead: none}\n");
    for (file, words) in [(alike, "the same was aboard"), (with(""), "one weighing alone")] {
        let run = run_with_stdin(&["learn", "-"], &file);
        assert_eq!((run.code, run.stdout.as_str()), (Some(3), ""));
        assert!(run.stderr.contains("error[K028]") && run.stderr.contains("stdin:"), "{}", run.stderr);
        assert!(run.stderr.replace("\n  ", " ").contains(words), "{}", run.stderr);
    }
}

/// Sixteen numbers of mounts, two of the driver, three of the frame; two weighings have four readings to spare.
#[test]
fn more_unknowns_than_readings_leave_what_is_not_told_as_the_file_has_it() {
    let text = text();
    let few = without(&text, "  - scales: [16.5", "  - scales: [31.2");
    let few = without(&few, "  - scales: [33.7", "\ndrivers:");
    let document = json(&run_with_stdin(&["learn", "-", "--json"], &few).stdout);
    assert_eq!(document["degrees_of_freedom"], 4);
    assert!(document["independent_numbers_told"].as_u64().is_some_and(|told| told <= 3), "{document}");
    for lesson in
        document["lessons"].as_array().expect("a list").iter().filter(|one| one["told"] == "not known")
    {
        let number = |key: &str| lesson[key].as_f64().expect("a number");
        assert!(
            (number("estimate") - number("before")).abs() < 0.5 * number("before_standard_uncertainty"),
            "{lesson}"
        );
    }
    assert!(document["lessons"].as_array().is_some_and(|lessons| lessons.len() == 21));
}

#[test]
fn a_file_in_one_pair_of_braces_is_left_alone() {
    let text = "{units: kg-mm, x-mine: 1}\n";
    let path = copy("braces.yaml", text);
    let run = run(&["learn", KART, "--into", path.to_str().expect("a plain name")]);
    assert_eq!((run.code, run.stdout.as_str()), (Some(2), ""));
    // Where a line is broken depends on how long the path is.
    let told = run.stderr.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("cannot be changed safely") && told.contains("help: "), "{told}");
    assert_eq!(fs::read_to_string(&path).expect("it is there"), text);
}

#[test]
fn a_file_that_is_no_scenario_of_this_kart_is_left_alone() {
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/oval.yaml"))
        .expect("it is there");
    let path = copy("other-kart.yaml", &text);
    let run = run(&["learn", KART, "--into", path.to_str().expect("a plain name")]);
    assert_eq!(run.code, Some(2), "{}", run.stdout);
    let told = run.stderr.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("there is no mount called"), "{told}");
    assert_eq!(fs::read_to_string(&path).expect("it is there"), text);
}

#[test]
fn on_a_phone_nothing_but_lines_to_copy_is_wider_than_45_columns() {
    let output =
        program::kentledge(&["learn", KART]).env("COLUMNS", "45").output().expect("the program starts");
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    for line in text.lines().filter(|line| !line.contains('{') && !line.starts_with("learned:")) {
        assert!(line.chars().count() <= 45, "{line}");
    }
}

#[test]
fn lessons_rest_on_what_the_file_says_of_pads_and_tape() {
    let lessons = |more: &str| {
        let path = copy("says.yaml", &format!("{}\n{more}\n", text()));
        json(&learn(&path, &["--json"]).stdout)
    };
    let number = |document: &Value, name: &str, part: &str, key: &str| {
        place_of(document, name, part)[key].as_f64().expect("a number")
    };
    let usual = lessons("");
    let fine = lessons("pads: {step: 0.05, repeatability: 0.04}");
    let coarse = lessons("pads: {step: 0.5, repeatability: 0.2}");
    let sure = |document: &Value| number(document, "Sam", "x", "standard_uncertainty");
    assert!(sure(&fine) < 0.8 * sure(&usual), "{} and {}", sure(&fine), sure(&usual));
    assert!(sure(&coarse) > 1.5 * sure(&usual), "{} and {}", sure(&coarse), sure(&usual));
    let squares = |document: &Value| document["chi_square"].as_f64().expect("a number");
    assert!(squares(&coarse) < squares(&usual) && squares(&usual) < squares(&fine));

    // A limit is as good as a standard uncertainty of its √3rd part.
    let taped = lessons("measured_within: {places: 3, driver_place: 20}");
    for (name, limit) in [("front_tube", 3.0), ("Sam", 20.0)] {
        let doubt = number(&taped, name, "y", "before_standard_uncertainty");
        assert!((doubt - limit / 3.0_f64.sqrt()).abs() < 1e-6, "{name}: {doubt}");
    }
    // What nobody can doubt is believed, whatever the weighings say, and nothing breaks.
    let exact = lessons("measured_within: {places: 0}");
    let moved = number(&exact, "seat_left", "x", "estimate") - number(&exact, "seat_left", "x", "before");
    assert!(moved.abs() < 0.1, "{moved}");
}

#[test]
fn sets_that_were_repeated_make_a_lesson_surer() {
    let text = text();
    let once = "scales: [16.5, 17.7, 22.2, 24.7]";
    let sets = "{lf: 16.5, rf: 17.7, lr: 22.2, rr: 24.7}, {lf: 16.6, rf: 17.7, lr: 22.1, rr: 24.7}, \
                {lf: 16.5, rf: 17.6, lr: 22.2, rr: 24.8}, {lf: 16.4, rf: 17.8, lr: 22.3, rr: 24.6}";
    assert!(text.contains(once), "the weighing without the driver is there");
    let repeated = copy("repeated.yaml", &text.replace(once, &format!("repeats: [{sets}]")));
    let single = copy("single.yaml", &text);
    let sure = |path: &Path| {
        let document = json(&learn(path, &["--json"]).stdout);
        place_of(&document, "Sam", "x")["standard_uncertainty"].as_f64().expect("a number")
    };
    assert!(sure(&repeated) < 0.95 * sure(&single), "{} and {}", sure(&repeated), sure(&single));
}

#[test]
fn a_weighing_is_advised_for_what_it_would_visibly_teach() {
    let document = json(&run_with_stdin(&["learn", "-", "--json"], &format!("{}{PACED}", text())).stdout);
    let teaches = document["next_weighing"]["teaches"].as_array().expect("sentences");
    assert!(!teaches.is_empty(), "{document}");
    for sentence in teaches.iter().filter_map(Value::as_str) {
        let (then, now) = sentence.split_once(" instead of ").expect("then and now");
        let then = then.rsplit(' ').next();
        assert_ne!(then, now.split(' ').next(), "{sentence}");
    }
}
