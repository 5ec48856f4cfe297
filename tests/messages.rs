//! Messages as people meet them: as wide as the screen, in colour, the nearest suggestion first, advice that fits the file;
//! and help that fits a screen.

#[path = "support/run.rs"]
mod program;

use std::io::Write;

use program::{Run, kentledge, piped, run, run_with_stdin};

/// What `check` says of a text on a screen of so many columns.
fn checked(text: &str, columns: usize, more: &[&str]) -> String {
    let mut command = kentledge(&["check", "-"]);
    let mut child = piped(command.args(more).env("COLUMNS", columns.to_string()));
    child
        .stdin
        .take()
        .expect("stdin is piped")
        .write_all(text.as_bytes())
        .expect("the program reads its stdin");
    Run::from(child.wait_with_output().expect("the program ends")).stdout
}

/// A file whose class has braces and lacks its minimum; in `units`.
fn without_minimum(units: &str, class: &str) -> String {
    format!(
        "units: {units}\nkart: {{wheelbase: 1040 mm, track_front: 1080 mm, track_rear: 1120 mm}}\nclass: {class}\n\
         weighing: {{scales: [30 kg, 31 kg, 41 kg, 43 kg], aboard: {{driver: Sam, fuel: none, lead: none}}}}\n\
         drivers: {{Sam: 70 kg}}\nmounts: {{seat: {{x: 260 mm, y: 270 mm, capacity: 5 kg}}}}\nlead: [2.5 kg]\n"
    )
}

#[test]
fn a_mistyped_command_is_told_the_nearest_first() {
    for (typed, meant) in
        [("plann", "'plan'"), ("wiegh", "'weigh'"), ("chek", "'check'"), ("packk", "'pack'")]
    {
        let Run { code, stderr: told, .. } = run(&[typed, "kart.yaml"]);
        assert_eq!(code, Some(2), "{told}");
        let first = told.split("exist").nth(1).and_then(|rest| rest.split(['\'']).nth(1));
        assert_eq!(first.map(|word| format!("'{word}'")), Some(meant.to_owned()), "{typed}: {told}");
    }
}

#[test]
fn messages_are_coloured_when_asked_and_say_the_same_without() {
    let text = "units: kg-mm\nkart: {wheelbse: 1040}\n";
    let [plain, always] = ["never", "always"].map(|when| checked(text, 80, &["--color", when]));
    assert!(always.contains("\u{1b}[") && !plain.contains('\u{1b}'), "{always}");
    assert_eq!(anstream::adapter::strip_str(&always).to_string(), plain);
    // The caret as well as the sentence.
    assert!(always.lines().any(|line| line.contains('^') && line.contains('\u{1b}')), "{always}");
    let warned = run(&["check", "scenarios/too-light.yaml", "--color", "always"]);
    assert!(warned.stdout.contains("\u{1b}["), "{}", warned.stdout);
}

#[test]
fn messages_are_as_wide_as_the_screen() {
    let text = without_minimum("kg-mm", "{}");
    let rows = |columns| {
        let told = checked(&text, columns, &[]);
        assert!(told.lines().all(|line| line.chars().count() <= columns), "{told}");
        told.lines().count()
    };
    assert!(rows(100) <= rows(60) && rows(60) < rows(40));
}

#[test]
fn a_line_that_is_cut_is_cut_between_words() {
    let text = "units: kg-mm\nkart: {name: a kart with a name, wheelbase: 1040, track_front: 1080, track_rer: 1120, note: long}\n";
    let words: Vec<&str> = text.split_whitespace().collect();
    for columns in [40, 45, 60, 80] {
        let told = checked(text, columns, &[]);
        let shown = told.lines().filter_map(|line| line.split_once("2 | ")).map(|(_, shown)| shown);
        let mut seen = 0;
        for shown in shown {
            assert!(shown.contains("track_rer: 1120") || shown.contains("wheelbase"), "{told}");
            seen += 1;
            for word in shown.trim_matches('.').split_whitespace() {
                assert!(words.contains(&word), "{columns}: {word} in {told}");
            }
        }
        assert!(seen > 0, "{told}");
    }
}

#[test]
fn a_line_is_asked_for_only_where_one_can_stand() {
    let braces = checked(&without_minimum("kg-mm", "{name: club}"), 80, &[]);
    assert!(braces.contains("add `minimum: 160 kg` between its braces"), "{braces}");
    let lines = checked(&without_minimum("kg-mm", "\n  name: club"), 80, &[]);
    assert!(lines.contains("add a line such as `minimum: 160 kg`"), "{lines}");
}

#[test]
fn advice_is_in_the_units_of_the_file() {
    let told = checked(&without_minimum("lb-in", "{}"), 80, &[]);
    assert!(told.contains("`minimum: 353 lb`"), "{told}");
    let text = without_minimum("lb-in", "{minimum: 353}").replace("wheelbase: 1040 mm, ", "");
    let told = run_with_stdin(&["check", "-"], &text).stdout;
    assert!(told.contains("`wheelbase: 41 in`"), "{told}");
    // Whatever letters its names have.
    let text = without_minimum("lb-in", "{minimum: 353}")
        .replace("{seat: {x: 260 mm, y: 270 mm, capacity: 5 kg}}", "{s\u{fc}d\u{2026}: 3}");
    let told = run_with_stdin(&["check", "-"], &text).stdout;
    assert!(told.contains("s\u{fc}d\u{2026}: {x: 9.75 in, y: 10.25 in, capacity: 13.25 lb}"), "{told}");
}

#[test]
fn the_short_help_of_a_command_fits_a_screen() {
    for command in
        ["plan", "weigh", "swap", "pack", "reach", "learn", "check", "new", "explain", "schema", "export"]
    {
        let output = kentledge(&[command, "-h"]).env("COLUMNS", "80").output();
        let help = Run::from(output.expect("the program starts")).stdout;
        assert!(help.lines().count() <= 24, "{} rows\n{help}", help.lines().count());
        assert!(help.lines().all(|line| line.chars().count() <= 80), "{help}");
    }
}
