//! What somebody sees who waits at a terminal: one line that moves, and nothing of it left at the end.
#![cfg(target_os = "linux")]

use std::path::Path;
use std::process::Stdio;

#[expect(dead_code, reason = "weighed lead alone is hard enough")]
#[path = "support/cases.rs"]
mod cases;
#[expect(dead_code, reason = "nothing is piped here")]
#[path = "support/run.rs"]
mod program;
#[path = "support/teams.rs"]
mod teams;
#[path = "support/terminal.rs"]
mod terminals;

use cases::{Family, Lead};
use program::{Run, kentledge};
use teams::Team;
use terminals::{seen, terminal};

/// Runs a command on a file with a terminal for stderr; gives the run and everything that was written to the terminal.
fn at_a_terminal(name: &str, arguments: &[&str], text: &str) -> (Run, String) {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("waiting-{name}.yaml"));
    std::fs::write(&path, text).expect("the folder for tests can be written");
    let (terminal, other_end) = terminal();
    let stderr = other_end();
    let (command, options) = arguments.split_first().expect("a command");
    let whole = [&[*command, path.to_str().expect("a plain path")], options].concat();
    let mut command = kentledge(&whole);
    command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::from(stderr));
    let child = command.spawn().expect("the program starts");
    // The other end is closed here as well, or reading would never end.
    drop(command);
    let reader = seen(terminal);
    let run = Run::from(child.wait_with_output().expect("the program ends"));
    (run, reader.join().expect("the reader ends"))
}

/// The states of the one line, after checking that there is only one and that it is gone in the end.
fn states(seen: &str) -> Vec<&str> {
    assert!(!seen.contains('\n'), "one line only: {seen:?}");
    assert!(seen.ends_with("\r\u{1b}[K"), "nothing is left of it: {seen:?}");
    let states = seen.split('\r').map(|state| state.trim_end_matches("\u{1b}[K"));
    states.filter(|state| !state.is_empty()).collect()
}

#[test]
fn plan_shows_the_best_so_far_the_bound_and_the_time_in_one_line() {
    let mut family = Family::rich(Lead::Weighed, 40, 14);
    family.rules = false;
    family.order = ["close", "targets", "light", "work"];
    family.exact = Some(1.0);
    let (run, seen) = at_a_terminal("plan", &["plan", "--time", "4"], &cases::scenario(&family, 7));
    assert!(run.stdout.starts_with("LEGAL"), "{}", run.stdout);
    let states = states(&seen);
    assert!(states.len() > 6, "it moves: {seen:?}");
    let all = |words: &str| states.iter().all(|state| state.contains(words));
    assert!(all(" s of 4, Ctrl-C stops: ") && states.iter().all(|state| state.len() < 80), "{seen:?}");
    // A few kilograms at most, whatever is counted inside.
    let far = states.iter().filter_map(|state| state.split_once(" kg from the targets, none below "));
    let far: Vec<f64> = far.filter_map(|(so_far, _)| so_far.rsplit(' ').next()?.parse().ok()).collect();
    assert!(!far.is_empty() && far.iter().all(|kg| (0.001..20.0).contains(kg)), "{seen:?}");
}

#[test]
fn swap_shows_it_too() {
    let team = Team::usual(8, 16, 8);
    let (run, seen) = at_a_terminal("swap", &["swap", "--time", "4"], &teams::scenario(&team, 1));
    assert!(!run.stdout.is_empty(), "{seen}");
    let states = states(&seen);
    assert!(
        states.len() > 3 && states.iter().all(|state| state.contains(" s of 4, Ctrl-C stops: ")),
        "{seen:?}"
    );
}

#[test]
fn quiet_is_quiet() {
    let family = Family::rich(Lead::Weighed, 40, 14);
    let (_, seen) = at_a_terminal("quiet", &["plan", "--time", "2", "--quiet"], &cases::scenario(&family, 7));
    assert_eq!(seen, "");
}
