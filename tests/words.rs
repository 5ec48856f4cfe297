//! Words that nobody should meet who only wants to bolt lead to a kart, and that none of them is left in what people read.
//! Documents are data: their keys and statuses are not read here.

#[expect(dead_code, reason = "nothing is listed here")]
#[path = "support/folders.rs"]
mod folders;
#[expect(dead_code, reason = "nothing is piped here")]
#[path = "support/run.rs"]
mod program;

use std::fs;
use std::path::{Path, PathBuf};

use folders::{empty_folder, shown};
use program::{run, run_with_stdin};
use serde_json::Value;

/// A word or words that were replaced, and by what.
const REPLACED: &[(&str, &str)] = &[
    ("foretold", "expected"),
    ("forecasted", "expected"),
    ("remark", "comment"),
    ("remarks", "comments"),
    ("remark sign", "comment"),
    ("aims", "targets"),
    ("its aim", "its target, or on target"),
    ("the aim", "the target"),
    ("band", "tolerance"),
    ("bands", "tolerances"),
    ("warp", "twist"),
    ("too close to call", "not confirmed"),
    ("told well", "known well"),
    ("told somewhat", "known roughly"),
    // `not told` was one as well; it is found in `not told apart`, which is plain.
    ("are told", "are known"),
    ("has told", "has said"),
    ("entangled", "not told apart"),
    ("best possible", "no better plan (set-up, kit) exists"),
    ("to what the pads can read", "no finer than pads read"),
    ("doubt", "what looks odd, what contradicts itself"),
    ("doubts", "what looks odd, what contradicts itself"),
    ("doubtful", "not to be relied on"),
    ("hopeless", "no plan exists"),
    ("the judge disagreed", "the plan failed its own check"),
];

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn files(folder: &str) -> Vec<PathBuf> {
    let entries = fs::read_dir(root().join(folder)).expect("the folder is there").flatten();
    let paths = entries.map(|entry| entry.path());
    paths.filter(|path| path.extension().is_some_and(|extension| extension == "yaml")).collect()
}

/// The words of a text in a row, each between spaces, so that words are found as wholes however lines break.
fn plain(text: &str) -> String {
    let words = text.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty());
    words.fold(" ".to_owned(), |row, word| row + &word.to_lowercase() + " ")
}

fn none_is_left(what: &str, text: &str) {
    let text = plain(text);
    for (old, new) in REPLACED {
        if let Some(at) = text.find(&plain(old)) {
            let near: String = text[at.saturating_sub(60)..].chars().take(140).collect();
            panic!("{what}: `{old}` should be `{new}`: ...{near}...");
        }
    }
}

/// What a page of HTML shows: nothing between angle brackets, no style.
fn text_of(page: &str) -> String {
    let body = page.split("</style>").last().unwrap_or_default();
    body.split('<')
        .map(|part| part.split_once('>').map_or(part, |(_, text)| text))
        .collect::<Vec<_>>()
        .join(" ")
}

#[test]
fn no_screen_and_no_sheet_has_a_word_that_was_replaced() {
    let folder = empty_folder("words", "sheets");
    let mut seen = 0;
    for scenario in files("scenarios") {
        for command in ["plan", "weigh", "swap", "card", "pack", "reach", "learn", "log", "check"] {
            // What is found in a short time is in the same words.
            let (sheet, usual) = (folder.join("sheet.html"), [command, shown(&scenario), "--time", "2"]);
            let full = match command {
                "learn" | "check" => [&usual[..], &["--full"]].concat(),
                _ => [&usual[..], &["--full", "--sheet", shown(&sheet)]].concat(),
            };
            for arguments in [&usual[..], &full] {
                let run = run(arguments);
                none_is_left(&format!("{arguments:?}"), &(run.stdout + &run.stderr));
                seen += 1;
            }
            if let Ok(page) = fs::read_to_string(&sheet) {
                none_is_left(&format!("the sheet of {command} {scenario:?}"), &text_of(&page));
                fs::remove_file(&sheet).expect("the sheet can be removed");
                seen += 1;
            }
        }
    }
    assert!(seen > 200, "{seen} texts");
}

#[test]
fn no_message_help_explanation_starter_or_readme_has_a_word_that_was_replaced() {
    for file in [files("scenarios/rejected"), files("scenarios/doubtful")].concat() {
        let text = fs::read(&file).expect("the file can be read");
        // What is no text has a message that the texts have too.
        let Ok(text) = String::from_utf8(text) else { continue };
        // The first lines say what is wrong with it, and are not of the program.
        let told = run_with_stdin(&["check", "-", "--message-format", "short"], &text);
        none_is_left(&format!("{file:?}"), &(told.stdout + &told.stderr));
    }
    let help = run(&["--help"]).stdout;
    let commands = help.split("Commands:").nth(1).and_then(|rest| rest.split("\n\n").next()).expect("a list");
    let commands: Vec<&str> =
        commands.lines().filter_map(|line| line.strip_prefix("  ")?.split(' ').next()).collect();
    let commands: Vec<&str> = commands.into_iter().filter(|word| !word.is_empty()).collect();
    assert!(commands.len() > 11, "{commands:?}");
    none_is_left("--help", &help);
    none_is_left("nothing typed", &run(&[]).stdout);
    for command in commands {
        for how in ["-h", "--help"] {
            none_is_left(&format!("{command} {how}"), &run(&[command, how]).stdout);
        }
    }
    let codes = run(&["explain"]).stdout;
    none_is_left("explain", &codes);
    let each = codes.split_whitespace().filter(|word| word.len() == 4 && word.starts_with('K'));
    let mut explained = 0;
    for code in each {
        none_is_left(code, &run(&["explain", code]).stdout);
        explained += 1;
    }
    assert!(explained > 25, "{explained}");
    for starter in [&["new"][..], &["new", "--units", "lb-in"], &["new", "--oval"], &["new", "--minimal"]] {
        none_is_left(&format!("{starter:?}"), &run(starter).stdout);
    }
    none_is_left("weigh --howto", &run(&["weigh", "--howto"]).stdout);
    let readme = fs::read_to_string(Path::new(&root()).join("README.md")).expect("the README is there");
    none_is_left("README.md", &readme);
}

/// What a schema says to people: its descriptions.
fn descriptions(schema: &Value, found: &mut Vec<String>) {
    match schema {
        Value::Object(entries) => {
            for (key, value) in entries {
                match value {
                    Value::String(text) if key == "description" => found.push(text.clone()),
                    _ => descriptions(value, found),
                }
            }
        }
        Value::Array(items) => items.iter().for_each(|item| descriptions(item, found)),
        _ => {}
    }
}

#[test]
fn no_description_of_a_schema_has_a_word_that_was_replaced() {
    let answers = ["plan", "weigh", "swap", "card", "pack", "reach", "learn", "log", "check"];
    let of_answers = answers.map(|command| vec!["schema", "--answer", command]);
    for arguments in std::iter::once(vec!["schema"]).chain(of_answers) {
        let schema = serde_json::from_str(&run(&arguments).stdout).expect("a schema is JSON");
        let mut found = Vec::new();
        descriptions(&schema, &mut found);
        assert!(found.len() > 10, "{arguments:?}");
        for text in found {
            none_is_left(&format!("{arguments:?}"), &text);
        }
    }
}
