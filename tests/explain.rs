//! Every code is explained, and every explanation is true: its wrong example yields the code, its right one does not.
//! Does not judge the words; a person has read them.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use kentledge::diagnosis::explained::{ALL, Explanation, explained};
use kentledge::document::starter;
use kentledge::units::UnitSystem;
use serde_json::Value;

use program::{kentledge, run, run_with_stdin};

#[path = "support/run.rs"]
mod program;

/// What an example stands for in the scenario of `new`, where that is not the right example itself.
const STANDS_FOR: &[(&str, &str)] = &[
    ("K005", "  minimum: 156"),
    ("K006", "  Sam: {mass: 69.9, x: 442, y: 18}"),
    ("K009", FLOOR),
    ("K010", "  puck: {mass: 1, count: 5}"),
    ("K011", "  name: my kart"),
    ("K012", SCALES),
    ("K014", SCALES),
    ("K015", "  Sam: {mass: 69.9, x: 442, y: 18}"),
    ("K018", FLOOR),
    ("K019", "  aboard: {driver: Sam, fuel: start, lead: none}"),
    ("K020", FLOOR),
    ("K021", "  Sam: {mass: 69.9, x: 442, y: 18}"),
    ("K023", "# fitted:\n#   seat_left: {slab: 1, disc: 2}"),
    ("K026", SCALES),
    ("K030", SCALES),
    ("K031", "# What the tyres should carry:"),
    ("K032", "# What the tyres should carry:"),
];
const FLOOR: &str = "  floor_front: {x: 819, y: 57, z: 38, capacity: 5}";
const SCALES: &str = "  scales: {lf: 30.6, rf: 31.7, lr: 42.0, rr: 44.0}";

/// A folder with what the command lines of the examples speak of; written once by each process, so that no test reads what
/// another is writing.
fn folder() -> &'static Path {
    static FOLDER: OnceLock<PathBuf> = OnceLock::new();
    FOLDER.get_or_init(written_folder)
}

fn written_folder() -> PathBuf {
    let name = format!("explain-{}", std::process::id());
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    fs::create_dir_all(&folder).expect("a folder can be made");
    let write =
        |name: &str, bytes: &[u8]| fs::write(folder.join(name), bytes).expect("a file can be written");
    write("kart.yaml", starter(UnitSystem::KgMm).as_bytes());
    write("empty.yaml", b"# nothing yet\n");
    let kart = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/second-weighing.yaml");
    let weighed = fs::read_to_string(kart).expect("the scenario is there");
    let changed = |old: &str, new: &str| {
        assert_eq!(weighed.matches(old).count(), 1, "`{old}` is not there once");
        weighed.replace(old, new)
    };
    write("four-weighings.yaml", weighed.as_bytes());
    let swapped = changed("[31.2, 31.9, 43.9, 45.2]", "[36.3, 26.8, 39, 50.1]");
    write("swapped.yaml", swapped.as_bytes());
    write("kart.ods", b"PK\x03\x04 and more");
    folder
}

/// Codes told as JSON objects on either stream.
fn codes_of(told: &str) -> BTreeSet<String> {
    let code = |line: &str| Some(serde_json::from_str::<Value>(line).ok()?["code"].as_str()?.to_owned());
    told.lines().filter_map(code).collect()
}

const AS_JSON: [&str; 2] = ["--message-format", "json"];

/// Codes that one side of an example yields.
fn codes(explanation: &Explanation, side: &'static str) -> BTreeSet<String> {
    if !explanation.example.in_a_scenario {
        let words: Vec<&str> = side.split(' ').skip(1).chain(AS_JSON).collect();
        let output = kentledge(&words).current_dir(folder()).output().expect("the program starts");
        return codes_of(&String::from_utf8_lossy(&[output.stdout, output.stderr].concat()));
    }
    let stands_for = STANDS_FOR.iter().find(|(code, _)| *code == explanation.code);
    let lines = stands_for.map_or(explanation.example.right, |(_, lines)| lines);
    let text = starter(UnitSystem::KgMm);
    assert_eq!(text.matches(lines).count(), 1, "{}: `{lines}` is not there once", explanation.code);
    let run = run_with_stdin(&["check", "-", AS_JSON[0], AS_JSON[1]], &text.replace(lines, side));
    codes_of(&(run.stdout + &run.stderr))
}

#[test]
fn every_wrong_example_yields_its_code_and_no_other() {
    for explanation in ALL {
        let found = codes(explanation, explanation.example.wrong);
        assert_eq!(found, BTreeSet::from([explanation.code.to_owned()]), "{}", explanation.name);
    }
}

#[test]
fn every_right_example_is_accepted_without_a_warning() {
    for explanation in ALL {
        let found = codes(explanation, explanation.example.right);
        assert_eq!(found, BTreeSet::new(), "{} {}", explanation.code, explanation.name);
    }
}

/// Codes are told by faults and by the command line; both are looked for in the sources, so that a new one cannot be forgotten.
#[test]
fn every_code_in_the_sources_is_explained() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let sources = ["src/diagnosis/fault.rs", "src/diagnosis.rs"];
    let mut found = BTreeSet::new();
    for source in sources {
        let text = fs::read_to_string(root.join(source)).expect("a source is text");
        let quoted = text.split('"').skip(1).step_by(2).map(str::to_owned);
        found.extend(quoted.filter(|word| {
            word.len() == 4 && word.starts_with('K') && word[1..].bytes().all(|byte| byte.is_ascii_digit())
        }));
    }
    let known: BTreeSet<String> = ALL.iter().map(|one| one.code.to_owned()).collect();
    let unexplained: Vec<&String> = found.difference(&known).collect();
    assert!(
        unexplained.is_empty(),
        "add {unexplained:?} to ALL in src/diagnosis/explained.rs, with a wrong and a right example"
    );
    let unused: Vec<&String> = known.difference(&found).collect();
    assert!(unused.is_empty(), "explained, but no fault has them: {unused:?}");
}

#[test]
fn codes_and_names_are_unique_and_in_order() {
    assert!(ALL.is_sorted_by(|one, next| one.code < next.code));
    let names: BTreeSet<&str> = ALL.iter().map(|one| one.name).collect();
    assert_eq!(names.len(), ALL.len());
}

#[test]
fn a_code_is_found_by_itself_or_by_its_name_whatever_its_capitals() {
    for word in ["K005", "k005", "decimal-comma", "Decimal comma", " decimal_comma "] {
        assert_eq!(explained(word).map(|one| one.code), Ok("K005"), "{word}");
    }
}

#[test]
fn an_unknown_code_is_2_and_the_nearest_name_is_told() {
    let near = run(&["explain", "decimal-coma"]);
    assert_eq!((near.code, near.stdout.as_str()), (Some(2), ""));
    assert!(near.stderr.contains("K025") && near.stderr.contains("`decimal-comma`"), "{}", near.stderr);
    let far = run(&["explain", "K999"]);
    assert_eq!(far.code, Some(2));
    assert!(far.stderr.contains("`kentledge explain` lists them all"), "{}", far.stderr);
}

#[test]
fn an_explanation_fits_a_phone_and_shows_a_tab() {
    for explanation in ALL {
        let output = kentledge(&["explain", explanation.code]).env("COLUMNS", "40").output();
        let text = String::from_utf8(output.expect("the program starts").stdout).expect("UTF-8");
        assert!(text.contains(explanation.name) && text.is_ascii(), "{text}");
        assert!(text.lines().all(|line| line.chars().count() <= 44), "{text}");
    }
    assert!(run(&["explain", "odd-character"]).stdout.contains("<tab>wheelbase"));
}

#[test]
fn without_a_code_all_are_listed_on_any_screen() {
    for columns in ["40", "100"] {
        let output = kentledge(&["explain"]).env("COLUMNS", columns).output().expect("the program starts");
        let text = String::from_utf8(output.stdout).expect("UTF-8");
        assert!(ALL.iter().all(|one| text.contains(one.code) && text.contains(one.name)), "{text}");
    }
}

#[test]
fn an_explanation_is_also_a_document() {
    let one: Value = serde_json::from_str(&run(&["explain", "K005", "--json"]).stdout).expect("JSON");
    assert_eq!((&one["code"], &one["name"]), (&"K005".into(), &"decimal-comma".into()));
    assert_eq!((&one["wrong"], &one["right"]), (&"  minimum: 156,5".into(), &"  minimum: 156.5".into()));
    let all: Value = serde_json::from_str(&run(&["explain", "--json"]).stdout).expect("JSON");
    assert_eq!(all["codes"].as_array().map(Vec::len), Some(ALL.len()));
}
