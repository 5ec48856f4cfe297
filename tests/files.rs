//! Files and streams at the edge: what is read, what is written, and what is never touched.

#[path = "support/run.rs"]
mod program;

#[path = "support/folders.rs"]
mod folders;

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use folders::{empty_folder, names_in, shown};
use program::{Run, kentledge, piped, run, run_with_stdin};

const SPRINT: &str = "scenarios/club-sprint.yaml";

/// An empty folder of that test alone.
fn folder(test: &str) -> PathBuf {
    empty_folder("command", test)
}

#[test]
fn a_missing_file_is_3_and_offers_the_similar_name() {
    let run = run(&["plan", "scenarios/club-sprnit.yaml"]);
    assert_eq!(run.code, Some(3));
    assert!(run.stderr.contains("K001") && run.stderr.contains("`club-sprint.yaml`"), "{}", run.stderr);
}

#[test]
fn a_folder_is_no_scenario() {
    let run = run(&["check", "scenarios"]);
    assert_eq!(run.code, Some(3));
    assert!(run.stdout.contains("K001") && run.stdout.contains("folder"), "{}", run.stdout);
}

#[test]
fn stdin_is_read_like_a_file() {
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(SPRINT))
        .expect("the scenario is there");
    let (piped, named) = (run_with_stdin(&["plan", "-"], &text), run(&["plan", SPRINT]));
    assert_eq!((piped.code, piped.stdout), (named.code, named.stdout));
}

#[test]
fn an_endless_stdin_is_refused_not_read() {
    let text = "# \n".repeat(2_000_000);
    let mut child = piped(&mut kentledge(&["check", "-"]));
    let mut stdin = child.stdin.take().expect("stdin is piped");
    // More than any pipe holds: the writing fails only if the program stops reading.
    let written = stdin.write_all(text.as_bytes());
    drop(stdin);
    let run: Run = child.wait_with_output().expect("the program ends").into();
    assert!(written.is_err(), "it read everything");
    assert_eq!(run.code, Some(3));
    assert!(run.stdout.contains("K003"), "{}", run.stdout);
}

#[test]
fn an_output_file_holds_what_the_screen_would_show() {
    let folder = folder("output");
    let path = folder.join("plan.txt");
    fs::write(&path, "an earlier and much longer report\n".repeat(1000)).expect("a file can be written");
    let to_file = run(&["plan", SPRINT, "--color", "always", "-o", shown(&path)]);
    assert_eq!((to_file.code, to_file.stdout.as_str()), (Some(0), ""));
    let written = fs::read_to_string(&path).expect("the report is there");
    assert_eq!(written, run(&["plan", SPRINT]).stdout);
    assert_eq!(names_in(&folder), ["plan.txt"], "nothing else is left in the folder");
}

#[test]
fn a_failed_run_leaves_an_earlier_output_alone() {
    let folder = folder("kept");
    let path = folder.join("plan.txt");
    fs::write(&path, "earlier").expect("a file can be written");
    let run = run(&["plan", "no-such-file.yaml", "-o", shown(&path)]);
    assert_eq!(run.code, Some(3));
    assert_eq!(fs::read_to_string(&path).ok().as_deref(), Some("earlier"));
    assert_eq!(names_in(&folder), ["plan.txt"]);
}

#[test]
fn an_output_that_is_the_input_is_refused_by_any_name_and_the_input_kept() {
    let folder = folder("same");
    let scenario = folder.join("kart.yaml");
    let text = run(&["new"]).stdout;
    fs::write(&scenario, &text).expect("a file can be written");
    let other_name = folder.join("..").join("same").join("kart.yaml");
    #[cfg(unix)]
    std::os::unix::fs::symlink(&scenario, folder.join("link.txt")).expect("a link can be made");
    let mut names = vec![scenario.clone(), other_name];
    if cfg!(unix) {
        names.push(folder.join("link.txt"));
    }
    for name in names {
        let run = run(&["plan", shown(&scenario), "-o", shown(&name)]);
        assert_eq!(run.code, Some(2), "{}", name.display());
        assert!(run.stderr.contains("K025") && run.stderr.contains("itself"), "{}", run.stderr);
        assert_eq!(fs::read_to_string(&scenario).ok().as_ref(), Some(&text));
    }
}

#[test]
fn a_report_never_replaces_another_scenario() {
    let folder = folder("other");
    let other = folder.join("other.yaml");
    fs::write(&other, "typed by hand").expect("a file can be written");
    let run = run(&["plan", SPRINT, "-o", shown(&other)]);
    assert_eq!(run.code, Some(2));
    assert_eq!(fs::read_to_string(&other).ok().as_deref(), Some("typed by hand"));
}

#[test]
fn new_then_plan_works_for_every_kind_in_both_units() {
    let folder = folder("new");
    for units in ["kg-mm", "lb-in"] {
        for kind in ["", "--oval", "--minimal"] {
            let path = folder.join(format!("{units}{kind}.yaml"));
            let kind: &[&str] = if kind.is_empty() { &[] } else { &[kind] };
            let new = run(&[&["new", shown(&path), "--units", units], kind].concat());
            assert_eq!((new.code, new.stdout.as_str()), (Some(0), ""), "{}", new.stderr);
            assert!(new.stderr.contains("kentledge plan"), "{}", new.stderr);
            let text = fs::read_to_string(&path).expect("the scenario is there");
            let editors = "# yaml-language-server: $schema=./kentledge.schema.json\n";
            let on_stdout = run(&[&["new", "--units", units], kind].concat()).stdout;
            assert_eq!(text.strip_prefix(editors), Some(on_stdout.as_str()));
            let plan = run(&["plan", shown(&path)]);
            assert_eq!((plan.code, plan.stderr.as_str()), (Some(0), ""), "{units}: {}", plan.stdout);
        }
    }
    assert_eq!(run(&["new", "--minimal"]).stdout.lines().count(), 8);
    assert_eq!(run(&["new", "--minimal", "--oval"]).code, Some(2));
}

#[test]
fn new_writes_the_schema_beside_the_scenario_but_not_over_somebody_elses_file() {
    let folder = folder("schema");
    let schema = folder.join("kentledge.schema.json");
    let new = |name: &str| run(&["new", shown(&folder.join(name))]);
    assert!(new("one.yaml").stderr.contains("kentledge.schema.json"));
    assert_eq!(fs::read_to_string(&schema).ok(), Some(run(&["schema"]).stdout));
    assert!(!new("two.yaml").stderr.contains("kentledge.schema.json"), "it is there already");
    fs::write(&schema, "{\"title\": \"kentledge scenario\"}").expect("a file can be written");
    new("three.yaml");
    assert_eq!(fs::read_to_string(&schema).ok(), Some(run(&["schema"]).stdout), "an older one is replaced");
    fs::write(&schema, "mine").expect("a file can be written");
    let kept = new("four.yaml");
    assert!(kept.stderr.contains("not ours"), "{}", kept.stderr);
    assert_eq!((kept.code, fs::read_to_string(&schema).ok().as_deref()), (Some(0), Some("mine")));
}

#[test]
fn new_replaces_nothing_unless_forced() {
    let folder = folder("force");
    let path = folder.join("kart.yaml");
    fs::write(&path, "mine").expect("a file can be written");
    assert_eq!(run(&["new", shown(&path)]).code, Some(2));
    assert_eq!(fs::read_to_string(&path).ok().as_deref(), Some("mine"));
    assert_eq!(run(&["new", shown(&path), "--force"]).code, Some(0));
    assert_ne!(fs::read_to_string(&path).ok().as_deref(), Some("mine"));
}

#[test]
fn a_reader_who_closes_the_pipe_is_no_fault() {
    // The scenario comes late, so the pipe is closed before anything is written.
    let mut child = piped(&mut kentledge(&["plan", "-"]));
    drop(child.stdout.take());
    let text = fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/off-target.yaml"));
    let mut stdin = child.stdin.take().expect("stdin is piped");
    stdin.write_all(&text.expect("the scenario is there")).expect("the program reads its stdin");
    drop(stdin);
    let run: Run = child.wait_with_output().expect("the program ends").into();
    assert_eq!((run.code, run.stderr.as_str()), (Some(0), ""));
}

#[test]
fn quiet_silences_talk_but_not_what_is_wrong() {
    let folder = folder("quiet");
    let path = folder.join("plan.txt");
    assert_ne!(run(&["plan", SPRINT, "-o", shown(&path)]).stderr, "");
    assert_eq!(run(&["plan", SPRINT, "-q", "-o", shown(&path)]).stderr, "");
    assert_ne!(run(&["plan", "no-such-file.yaml", "-q"]).stderr, "");
}

#[cfg(unix)]
#[test]
fn what_never_ends_is_refused_as_too_long_and_not_as_empty() {
    let run = run(&["plan", "/dev/zero"]);
    assert_eq!(run.code, Some(3));
    assert!(
        run.stderr.contains("this file is 65 KiB; scenarios") && run.stderr.contains("64 KiB"),
        "{}",
        run.stderr
    );
}
