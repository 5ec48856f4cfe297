//! Every file under `scenarios/rejected` is refused and every one under `scenarios/doubtful` is accepted with
//! a warning, for the reason that its first line names; the words of all of them are pinned.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use kentledge::diagnosis::{Diagnosis, Place, Severity, rendered};
use kentledge::document::Document;
use kentledge::scenario::Scenario;

/// One file with what its first line expects and what came out.
struct Case {
    name: String,
    text: String,
    expected: BTreeSet<String>,
    result: Result<Vec<Diagnosis>, Vec<Diagnosis>>,
}

impl Case {
    fn diagnoses(&self) -> &[Diagnosis] {
        match &self.result {
            Ok(diagnoses) | Err(diagnoses) => diagnoses,
        }
    }
}

fn cases(folder: &str) -> Vec<Case> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios").join(folder);
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("the folder is part of the project")
        .map(|entry| entry.expect("its entries can be read").path())
        .collect();
    paths.sort();
    let case = |path: &PathBuf| {
        let text = std::fs::read_to_string(path).expect("rejected scenarios are text");
        let mut lines = text.lines();
        let codes = lines.next().and_then(|line| line.strip_prefix("# ")).unwrap_or_default();
        let reason = lines.next().unwrap_or_default();
        assert!(reason.starts_with("# ") && reason.ends_with('.'), "{}: no reason on line 2", path.display());
        Case {
            name: path.file_name().unwrap_or_default().to_string_lossy().into_owned(),
            expected: codes.split(' ').map(str::to_owned).collect(),
            result: Document::from_bytes(text.as_bytes())
                .and_then(|document| Scenario::from_document(&document))
                .map(|(_, warnings)| warnings),
            text,
        }
    };
    paths.iter().map(case).collect()
}

/// What is not as it should be with the diagnoses of one file.
fn complaint(case: &Case) -> Option<String> {
    let found: BTreeSet<String> = case.diagnoses().iter().map(|one| one.kind.code().to_owned()).collect();
    let inside = |place: Place| {
        let line = case.text.lines().nth(place.line - 1).unwrap_or_default();
        place.column >= 1 && place.column <= line.chars().count() + 1
    };
    let places: Vec<Option<Place>> = case.diagnoses().iter().map(|diagnosis| diagnosis.place).collect();
    let complaint = if found != case.expected {
        format!("expected {:?}, found {found:?}", case.expected)
    } else if !places.iter().all(|place| place.is_some_and(inside)) {
        "a place is missing or outside of the text".to_owned()
    } else if !places.is_sorted() {
        "not in the order of the file".to_owned()
    } else {
        return None;
    };
    let shown = rendered(case.diagnoses(), &case.name, &case.text);
    Some(format!("{}: {complaint}\n{shown}", case.name))
}

fn complaints(cases: &[Case]) -> String {
    cases.iter().filter_map(complaint).collect::<Vec<_>>().join("\n")
}

fn words(cases: &[Case]) -> String {
    let shown = |case: &Case| {
        let reason = case.text.lines().nth(1).unwrap_or_default();
        format!("{reason}\n{}", rendered(case.diagnoses(), &case.name, &case.text))
    };
    cases.iter().map(shown).collect::<Vec<_>>().join("\n----\n")
}

#[test]
fn every_rejected_file_is_refused_for_its_reason() {
    let cases = cases("rejected");
    assert!(cases.len() > 70);
    let accepted: Vec<&str> =
        cases.iter().filter(|case| case.result.is_ok()).map(|case| case.name.as_str()).collect();
    assert!(accepted.is_empty(), "accepted: {accepted:?}");
    let complaints = complaints(&cases);
    assert!(complaints.is_empty(), "{complaints}");
    insta::assert_snapshot!("rejected", words(&cases));
}

#[test]
fn every_doubtful_file_is_accepted_with_a_warning() {
    let cases = cases("doubtful");
    for case in &cases {
        assert!(case.result.is_ok(), "{}", rendered(case.diagnoses(), &case.name, &case.text));
        assert!(case.diagnoses().iter().all(|one| one.kind.severity() == Severity::Warning));
    }
    let complaints = complaints(&cases);
    assert!(complaints.is_empty(), "{complaints}");
    insta::assert_snapshot!("doubtful", words(&cases));
}

/// Row by row the table of ways in which an input can be bad; K001 to K003 have no file of text, and K022 and
/// K025 are not faults of a file.
#[test]
fn every_code_of_a_file_has_an_example() {
    let expected: BTreeSet<String> =
        cases("rejected").into_iter().chain(cases("doubtful")).flat_map(|case| case.expected).collect();
    for code in (4..=21).chain([2, 23, 24, 26, 30, 31, 32]) {
        assert!(expected.contains(&format!("K{code:03}")), "K{code:03} has no example");
    }
}

#[test]
fn a_sentence_fits_a_phone_wherever_the_users_words_do() {
    for case in cases("rejected").iter().chain(&cases("doubtful")) {
        for line in rendered(case.diagnoses(), &case.name, &case.text).lines() {
            // The user's own line, the name of the file, and words that cannot be broken are as long as they
            // are.
            let users_line = line.contains(" |") || line.contains("-->");
            let longest_word = line.split(' ').map(|word| word.chars().count()).max().unwrap_or(0);
            let long = line.chars().count() > 45;
            assert!(users_line || !long || longest_word > 30, "{}: {line}", case.name);
        }
    }
}
