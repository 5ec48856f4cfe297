//! Ctrl-C in every command that searches: a real signal, early, later and deep in the search.
//! Does not know how anything is solved, nor how soon an end has to be: benches measure that, here it only has to be soon.
#![cfg(target_os = "linux")]

use std::fs;
use std::path::Path;
use std::process::{Child, Command};
use std::time::{Duration, Instant};

use serde_json::Value;

#[expect(dead_code, reason = "weighed lead alone is hard enough")]
#[path = "support/cases.rs"]
mod cases;
#[expect(dead_code, reason = "runs that nobody interrupts are tested elsewhere")]
#[path = "support/run.rs"]
mod program;
#[path = "support/teams.rs"]
mod teams;
#[path = "support/trips.rs"]
mod trips;

use cases::{Family, Lead};
use program::{Run, kentledge, piped};
use teams::Team;
use trips::Trip;

/// When the signal is sent, after the program has begun to listen for it.
const AFTER_MS: [u64; 3] = [200, 1000, 3000];

/// Far more than the end takes, on a machine that others use as well.
const MOST: Duration = Duration::from_secs(5);

/// Whether a process has a handler for Ctrl-C: the third last bit of the signals that it catches is the interrupt's.
fn listens(child: &Child) -> bool {
    let status = fs::read_to_string(format!("/proc/{}/status", child.id())).unwrap_or_default();
    let caught = status.lines().find_map(|line| line.strip_prefix("SigCgt:"));
    caught.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok()).is_some_and(|mask| mask & 2 != 0)
}

/// Runs a command on a file and interrupts it; the run must still be busy then, and end soon.
fn interrupted(name: &str, arguments: &[&str], text: &str, after: Duration) -> Run {
    let file = format!("{name}-{}-{}.yaml", after.as_millis(), std::process::id());
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(file);
    fs::write(&path, text).expect("the folder for tests can be written");
    let (command, options) = arguments.split_first().expect("a command");
    let path_typed = path.to_str().expect("a plain path");
    let whole = [&[*command, path_typed, "--time", "600"], options].concat();
    let mut child = piped(&mut kentledge(&whole));
    drop(child.stdin.take());
    let begun = Instant::now();
    while !listens(&child) {
        assert!(begun.elapsed() < Duration::from_secs(60), "{name}: it does not listen");
        std::thread::sleep(Duration::from_millis(2));
    }
    std::thread::sleep(after);
    assert!(
        child.try_wait().is_ok_and(|ended| ended.is_none()),
        "{name}: it ended by itself before {after:?}"
    );
    let asked = Instant::now();
    let sent = Command::new("kill").args(["-INT", &child.id().to_string()]).status();
    assert!(sent.is_ok_and(|status| status.success()), "the signal is sent");
    let run: Run = child.wait_with_output().expect("the program ends").into();
    let took = asked.elapsed();
    fs::remove_file(&path).expect("the file is still there");
    assert!(took < MOST, "{name}: {took:?} after a Ctrl-C at {after:?}");
    assert!(!run.stderr.contains("panicked"), "{name}: {}", run.stderr);
    run
}

/// The document after each of the signals, with its exit code.
fn documents(name: &str, arguments: &[&str], text: &str) -> Vec<(Option<i32>, Value)> {
    let arguments = [arguments, &["--json"]].concat();
    let one = |after: &u64| {
        let run = interrupted(name, &arguments, text, Duration::from_millis(*after));
        let document = serde_json::from_str(&run.stdout);
        (run.code, document.unwrap_or_else(|error| panic!("{name}, {after} ms: {error}: {}", run.stdout)))
    };
    AFTER_MS.iter().map(one).collect()
}

/// What a document that was cut short may say, with the exit code that goes with it.
fn is_cut_short(code: Option<i32>, document: &Value) -> bool {
    match document["status"].as_str() {
        Some("out of time") => code == Some(5),
        Some("good, not proved best") => matches!(code, Some(0 | 1)),
        _ => false,
    }
}

/// Plans are found at once, but that the closest is the closest to a nanogram cannot be proved in an hour.
fn endless() -> String {
    let mut family = Family::rich(Lead::Weighed, 40, 14);
    family.rules = false;
    family.order = ["close", "targets", "light", "work"];
    family.exact = Some(1.0);
    cases::scenario(&family, 7)
}

/// Aims that no lead reaches. On 120 pieces the plan alone is not proved in minutes, so that nothing ends by itself.
fn out_of_reach(pieces: usize, mounts: usize) -> String {
    cases::scenario(&Family { out_of_reach: true, ..Family::rich(Lead::Weighed, pieces, mounts) }, 0)
}

#[test]
fn plan_shows_the_best_so_far() {
    for (code, document) in documents("plan", &["plan"], &endless()) {
        assert!(is_cut_short(code, &document), "{code:?} {}", document["status"]);
        assert!(document["placements"].as_array().is_some_and(|placements| !placements.is_empty()));
    }
}

#[test]
fn plan_says_which_help_was_not_looked_into() {
    for alternatives in [&["plan"][..], &["plan", "--alternatives", "6"]] {
        for (code, document) in
            documents(&format!("help{}", alternatives.len()), alternatives, &out_of_reach(120, 40))
        {
            assert!(matches!(code, Some(0 | 1)), "{code:?}");
            assert!(document["placements"].is_array());
            assert!(document["unsettled"].as_array().is_some_and(|easings| !easings.is_empty()));
        }
    }
}

/// Here the plan is proved within half a second, and the hundreds of searches for help take seven times as long as the signal waits.
#[test]
fn help_that_was_not_looked_into_leaves_the_plan_as_it_is() {
    let typed = ["plan", "--json"];
    let run = interrupted("helps", &typed, &out_of_reach(60, 20), Duration::from_secs(1));
    let document: Value = serde_json::from_str(&run.stdout).expect("a whole document");
    assert_eq!(run.code, Some(1), "{}", run.stderr);
    assert!(document["unsettled"].as_array().is_some_and(|easings| !easings.is_empty()));
}

#[test]
fn plan_says_which_remedy_was_not_looked_into() {
    let too_light = cases::scenario(&Family { scarce: true, ..Family::rich(Lead::Weighed, 25, 14) }, 1);
    for (code, document) in documents("remedies", &["plan"], &too_light) {
        let unsettled = document["unsettled"].as_array().expect("a list");
        let proved = code == Some(4) && document["status"] == "no legal plan" && !unsettled.is_empty();
        assert!(proved || is_cut_short(code, &document), "{code:?} {}", document["status"]);
    }
}

#[test]
fn swap_shows_the_best_so_far() {
    // In the first the team takes long, in the second one driver alone does.
    for (name, drivers, seed) in [("swap-8", 8, 1), ("swap-6", 6, 6)] {
        let text = teams::scenario(&Team::usual(drivers, 16, 8), seed);
        for (code, document) in documents(name, &["swap"], &text) {
            assert!(is_cut_short(code, &document), "{name}: {code:?} {}", document["status"]);
            let is_shown = document["drivers"].as_array().is_some_and(|shown| shown.len() == drivers);
            assert_eq!(is_shown, code != Some(5), "{name}");
        }
    }
}

#[test]
fn pack_shows_the_best_so_far() {
    for (code, document) in documents("pack", &["pack"], &trips::trip(&Trip::usual(8, 3, 5, 20), 1)) {
        assert!(is_cut_short(code, &document), "{code:?} {}", document["status"]);
        let is_shown = document["cases"].as_array().is_some_and(|cases| !cases.is_empty());
        assert_eq!(is_shown, code != Some(5));
    }
}

#[test]
fn card_shows_every_cell_known_or_not() {
    let wide = ["card", "--front-range", "10", "--across-range", "2.5"];
    for (name, text) in [("card-plan", endless()), ("card-cells", out_of_reach(120, 40))] {
        for (code, document) in documents(name, &wide, &text) {
            assert!(matches!(code, Some(0 | 1)), "{name}: {code:?}");
            let cells = document["cells"].as_array().expect("a list");
            assert_eq!(cells.len(), 41 * 11, "{name}");
            assert!(cells.iter().any(|cell| cell["way"] == "unsettled"), "{name}: {}", cells[0]);
        }
    }
}

#[test]
fn reach_shows_the_region_or_says_that_time_was_up() {
    for (code, document) in documents("reach", &["reach"], &endless()) {
        let [regions, without] =
            ["regions", "without"].map(|key| document[key].as_array().map_or(0, Vec::len));
        // The corners come before the plan, and take a part of the first second.
        if code == Some(5) {
            assert_eq!((regions, without), (0, 1));
        } else {
            assert_eq!((code, regions, without), (Some(0), 1, 0));
        }
    }
}

#[test]
fn export_writes_a_whole_program() {
    for after in AFTER_MS {
        let typed = ["export", "--goal", "work"];
        let run = interrupted("export", &typed, &endless(), Duration::from_millis(after));
        assert_eq!(run.code, Some(0), "{}", run.stderr);
        assert!(run.stdout.trim_end().ends_with("ENDATA"), "half a program");
        assert!(run.stderr.contains("not proved best in this time"), "{}", run.stderr);
    }
}
