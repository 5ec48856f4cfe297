//! The house rules of DEVELOPERS.md, read off the sources: who may import whom, who may print, how a file opens.
//! Source of truth: the import rules in DEVELOPERS.md.

use std::fs;
use std::path::{Path, PathBuf};

/// Longest file that can still have one job, lines.
const MOST_LINES: usize = 500;

/// Words that mean unfinished work. Written in halves, so that this list does not find itself.
const UNFINISHED: [[&str; 2]; 5] =
    [["to", "do!("], ["unimple", "mented!("], ["db", "g!("], ["FIX", "ME"], ["XX", "X"]];

fn rust_files(folder: &str) -> Vec<(String, String)> {
    fn collect(folder: &Path, found: &mut Vec<PathBuf>) {
        for entry in fs::read_dir(folder).expect("a folder of the crate") {
            let path = entry.expect("an entry of it").path();
            if path.is_dir() {
                collect(&path, found);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                found.push(path);
            }
        }
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut paths = Vec::new();
    collect(&root.join(folder), &mut paths);
    paths.sort();
    let relative = |path: &Path| path.strip_prefix(root).expect("below the root").display().to_string();
    paths
        .iter()
        .map(|path| (relative(path).replace('\\', "/"), fs::read_to_string(path).expect("a text")))
        .collect()
}

/// The source without its unit tests, which may use anything.
fn shipped(text: &str) -> &str {
    text.split("#[cfg(test)]\nmod tests").next().unwrap_or(text)
}

/// Modules of the crate that a source names after `crate::`.
fn imports(text: &str) -> Vec<String> {
    let code = shipped(text).lines().filter(|line| !line.trim_start().starts_with("//"));
    code.flat_map(|line| line.split("crate::").skip(1).map(str::to_owned).collect::<Vec<_>>())
        .map(|rest| rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect())
        .collect()
}

#[test]
fn nobody_imports_against_the_road_of_the_data() {
    // Files that begin so, and modules that they may never name.
    let forbidden: &[(&str, &[&str])] = &[
        (
            "src/least_squares.rs",
            &["scenario", "document", "statics", "weighing", "model", "search", "answer"],
        ),
        ("src/decimals.rs", &["units", "scenario", "document", "statics", "model", "search", "answer"]),
        ("src/units.rs", &["scenario", "document", "model", "search", "plan", "answer"]),
        ("src/statics.rs", &["scenario", "document", "weighing", "model", "search", "plan", "answer"]),
        ("src/document", &["scenario", "weighing", "model", "search", "engine", "solve", "plan", "answer"]),
        ("src/scenario", &["weighing", "model", "search", "engine", "solve", "plan", "answer"]),
        ("src/weighing.rs", &["document", "model", "search", "engine", "solve", "plan", "answer"]),
        ("src/model", &["document", "search", "engine", "solve", "plan", "answer"]),
        (
            "src/search/",
            &["scenario", "statics", "weighing", "document", "engine", "solve", "plan", "answer"],
        ),
        ("src/engine.rs", &["scenario", "statics", "weighing", "document", "solve", "plan", "answer"]),
        ("src/plan.rs", &["model", "search", "engine", "solve", "document", "answer"]),
        ("src/uncertainty", &["document", "model", "search", "engine", "solve", "answer"]),
        ("src/inspection.rs", &["document", "model", "search", "engine", "solve", "plan", "answer"]),
        ("src/doubts.rs", &["document", "model", "search", "engine", "solve", "plan", "answer"]),
        ("src/height.rs", &["document", "scenario", "weighing", "model", "search", "plan", "answer"]),
        ("src/scale.rs", &["document", "scenario", "weighing", "model", "search", "plan", "answer"]),
        ("src/solve.rs", &["document", "answer"]),
        ("src/tasks/", &["document", "answer"]),
        ("src/export.rs", &["scenario", "search", "engine", "solve", "plan", "answer"]),
        ("src/diagnosis", &["scenario", "model", "search", "engine", "solve", "plan", "answer"]),
    ];
    for (file, text) in rust_files("src") {
        for (_, modules) in forbidden.iter().filter(|(place, _)| file.starts_with(place)) {
            for import in imports(&text) {
                assert!(!modules.contains(&import.as_str()), "{file} imports `{import}`");
            }
        }
    }
}

#[test]
fn nobody_on_the_road_from_plan_to_page_looks_back() {
    let road = ["assess", "answer", "drawing", "blocks", "page", "phone"];
    let places: [(&str, &[&str]); 4] = [
        ("src/assess/", &["answer", "blocks", "page", "drawing", "phone"]),
        ("src/answer/", &["blocks", "page", "drawing", "phone"]),
        ("src/blocks/", &["drawing", "phone"]),
        ("src/page/", &["scenario", "plan", "answer", "blocks", "drawing", "tasks", "phone"]),
    ];
    let edge = [
        "main", "run", "outcome", "screen", "streams", "request", "files", "cli", "typeset", "messages",
        "laid_out", "module",
    ];
    for (file, text) in rust_files("src") {
        let imports = imports(&text);
        for (_, modules) in places.iter().filter(|(place, _)| file.starts_with(place)) {
            for import in &imports {
                assert!(!modules.contains(&import.as_str()), "{file} imports `{import}`");
            }
        }
        let room = file.trim_start_matches("src/").split(['/', '.']).next().unwrap_or_default();
        if room != "lib" && room != "commands" && !edge.contains(&room) && !road.contains(&room) {
            for import in &imports {
                assert!(!road.contains(&import.as_str()), "{file} imports `{import}`");
            }
        }
    }
}

#[test]
fn each_library_is_named_in_one_file() {
    for (library, home) in [
        ("good_lp", "src/engine.rs"),
        ("clap", "src/cli"),
        ("nalgebra", "src/least_squares.rs"),
        ("sha2", "src/imprint.rs"),
    ] {
        let named = |text: &str| {
            let code = shipped(text).lines().filter(|line| !line.trim_start().starts_with("//"));
            code.flat_map(|line| line.split(|c: char| !c.is_alphanumeric() && c != '_'))
                .any(|word| word == library)
        };
        for (file, text) in rust_files("src") {
            assert!(file.starts_with(home) || !named(&text), "{file} names {library}");
        }
    }
}

#[test]
fn nothing_but_the_binary_needs_a_clock_a_file_or_a_terminal() {
    let main = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/main.rs")).expect("a text");
    let modules = main.lines().filter_map(|line| line.strip_prefix("mod ")?.strip_suffix(';'));
    let mut binary: Vec<String> =
        modules.flat_map(|name| [format!("src/{name}.rs"), format!("src/{name}/")]).collect();
    assert!(binary.len() > 10, "{binary:?}");
    binary.extend(["src/main.rs", "src/module.rs"].map(str::to_owned));
    let outside = ["Instant", "SystemTime", "std::fs", "std::io", "std::env", "std::process", "std::thread"];
    for (file, text) in rust_files("src") {
        let belongs = binary.iter().any(|place| file.starts_with(place));
        for word in outside {
            assert!(belongs || !shipped(&text).contains(word), "{file} names `{word}`");
        }
    }
}

#[test]
fn nothing_is_left_unfinished() {
    for (file, text) in rust_files("src").into_iter().chain(rust_files("tests")) {
        for word in UNFINISHED.map(|halves| halves.concat()) {
            assert!(!text.contains(&word), "{file} has `{word}`");
        }
    }
}

#[test]
fn every_source_opens_with_its_job() {
    for (file, text) in rust_files("src") {
        assert!(text.starts_with("//! "), "{file} does not say what it is for");
    }
}

#[test]
fn no_file_is_longer_than_one_job() {
    for (file, text) in rust_files("src").into_iter().chain(rust_files("tests")) {
        let lines = text.lines().count();
        assert!(lines <= MOST_LINES, "{file} has {lines} lines");
    }
}
