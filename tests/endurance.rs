//! Searches that are too long and scenarios that are too large: both end in good order.
//! Memory is limited by the shell, so that too much of it ends the run.

use std::fmt::Write as _;

use serde_json::Value;

#[path = "support/cases.rs"]
mod cases;
#[path = "support/run.rs"]
mod program;

use cases::{Family, Lead};
use program::{Run, kentledge, piped, run, run_with_stdin};

fn json(text: &str) -> Value {
    serde_json::from_str(text).expect("stdout is one JSON document and nothing else")
}

/// Plans are found at once, but that the closest is the closest to a nanogram cannot be proved in an hour: there are far too
/// many of them.
fn endless(lead: Lead) -> String {
    let mut family = Family::rich(lead, 40, 14);
    family.rules = false;
    family.order = ["close", "targets", "light", "work"];
    family.exact = Some(1.0);
    cases::scenario(&family, 7)
}

#[cfg(unix)]
mod ctrl_c {
    use std::fs;
    use std::io::{BufRead, BufReader, Read, Write};
    use std::path::Path;
    use std::process::{Child, ChildStderr, Command};
    use std::time::{Duration, Instant};

    use super::{Lead, Run, endless, json, kentledge, piped};

    /// Starts a search of an hour, and returns when it says that it is still searching: a second later, deep in it.
    fn searching(arguments: &[&str]) -> (Child, BufReader<ChildStderr>) {
        let mut child = piped(&mut kentledge(&[&["plan", "-", "--time", "3600"], arguments].concat()));
        let mut stdin = child.stdin.take().expect("stdin is piped");
        stdin.write_all(endless(Lead::Weighed).as_bytes()).expect("the program reads its stdin");
        drop(stdin);
        let mut stderr = BufReader::new(child.stderr.take().expect("stderr is piped"));
        let mut line = String::new();
        while !line.starts_with("still searching") {
            line.clear();
            let read = stderr.read_line(&mut line).expect("stderr is text");
            assert!(read > 0, "it ended before it was interrupted");
        }
        (child, stderr)
    }

    fn interrupt(child: &Child) {
        let status = Command::new("kill").args(["-INT", &child.id().to_string()]).status();
        assert!(status.is_ok_and(|status| status.success()), "the signal is sent");
    }

    #[test]
    fn the_first_shows_the_best_plan_so_far_and_says_that_it_is_not_proved_best() {
        let (child, _) = searching(&["--json"]);
        let asked = Instant::now();
        interrupt(&child);
        let run: Run = child.wait_with_output().expect("the program ends").into();
        // Long enough for any machine, and far below the hour that it was given.
        assert!(asked.elapsed() < Duration::from_secs(60));
        let document = json(&run.stdout);
        assert_eq!(document["status"], "good, not proved best");
        let on_target = |residual: &serde_json::Value| residual["on_target"].as_bool().expect("a truth");
        let all_on_target = document["residuals"].as_array().expect("residuals").iter().all(on_target);
        assert_eq!(run.code, Some(i32::from(!all_on_target)));
        assert!(document["placements"].as_array().is_some_and(|placements| !placements.is_empty()));
        let goals = document["goals"].as_array().expect("goals");
        assert_eq!(goals.len(), 5);
        for goal in goals {
            let number = |key: &str| goal[key].as_f64().expect("a number");
            assert!(number("bound") <= number("value"), "{goal}");
            // Numbers of the document are rounded to milligrams.
            let within = number("value") - number("bound") <= number("resolution") + 1e-5;
            assert!(goal["proved"] == false || within, "{goal}");
        }
        assert!(goals.iter().any(|goal| goal["proved"] == false), "{goals:?}");
    }

    #[test]
    fn the_first_shows_the_same_on_the_screen_with_what_could_still_beat_it() {
        let (child, _) = searching(&[]);
        interrupt(&child);
        let run: Run = child.wait_with_output().expect("the program ends").into();
        assert!(matches!(run.code, Some(0 | 1)), "{:?}", run.code);
        let page = run.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(page.contains("good, not proved best"), "{page}");
        assert!(!page.contains("no better"), "{page}");
        assert!(page.contains("nothing can beat it by more than"), "{page}");
    }

    #[test]
    fn the_second_ends_the_program_at_once_with_130() {
        // A pipe that nobody reads holds the program at its answer, so that only the second Ctrl-C can end it.
        let pipe =
            Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("nobody-reads-{}", std::process::id()));
        fs::remove_file(&pipe).ok();
        assert!(Command::new("mkfifo").arg(&pipe).status().is_ok_and(|status| status.success()));
        let (mut child, mut stderr) = searching(&["-o", pipe.to_str().expect("a plain name")]);
        let begun = Instant::now();
        let code = loop {
            if let Some(status) = child.try_wait().expect("the child can be asked") {
                break status.code();
            }
            assert!(begun.elapsed() < Duration::from_secs(60), "it does not end");
            interrupt(&child);
            std::thread::sleep(Duration::from_millis(50));
        };
        fs::remove_file(&pipe).expect("the pipe is still there");
        assert_eq!(code, Some(130));
        let mut said = String::new();
        stderr.read_to_string(&mut said).expect("stderr is text");
        assert_eq!(said, "", "it has nothing more to say");
    }
}

/// A scenario of so many mounts and kinds; `settings` of each by its number.
fn scenario(
    mounts: usize,
    kinds: usize,
    mount: impl Fn(usize) -> String,
    kind: impl Fn(usize) -> String,
) -> String {
    let mut text = "units: kg-mm\n\
        kart: {name: k, wheelbase: 1040, track_front: 1080, track_rear: 1120}\n\
        class: {name: c, minimum: 160, margin: 0.5}\n\
        targets:\n  front: {aim: 43, within: 0.2}\n  left: {aim: 50, within: 0.2}\n  \
        cross: {aim: 50, within: 0.2}\n  front_pair: {aim: 0, within: 0.2}\n\
        weighing:\n  scales: {lf: 30.8, rf: 31.4, lr: 42.3, rr: 44.5}\n  \
        aboard: {driver: Sam, fuel: 3 L, lead: none}\n\
        drivers: {Sam: {mass: 70.5, x: 440, y: 20}}\n\
        fuel: {x: 560, y: 40, start: 5 L, finish: 2 L}\n"
        .to_owned();
    let place =
        |number: usize| format!("x: {}, y: {}", 20 * number as i64 - 100, (37 * number) as i64 % 700 - 350);
    text.push_str("mounts:\n");
    for number in 0..mounts {
        let _ = writeln!(text, "  m{number}: {{{}, {}}}", place(number), mount(number));
    }
    text.push_str("lead:\n");
    for number in 0..kinds {
        let _ = writeln!(text, "  k{number}: {{{}}}", kind(number));
    }
    text
}

#[test]
fn more_mounts_kinds_or_pieces_than_anybody_has_are_refused_with_the_limit() {
    let mount = |_| "capacity: 5".to_owned();
    let one = |_| "mass: 1.0, count: 9".to_owned();
    let weighed = |_| format!("weighed: [{}]", vec!["1.5"; 10_000].join(", "));
    let dozens = |number: usize| format!("mass: {:.2}, count: 50", 0.5 + number as f64 / 100.0);
    for (text, words) in [
        (scenario(500, 3, mount, one), ["mounts", "60", "500"]),
        (scenario(5, 1, mount, |_| "mass: 0.1, count: 10000".to_owned()), ["count", "1000", "10000"]),
        (scenario(5, 1, mount, weighed), ["pieces", "200", "10000"]),
        (scenario(5, 300, mount, dozens), ["kinds", "200", "300"]),
        (scenario(500, 300, mount, dozens), ["mounts", "60", "500"]),
    ] {
        let run = run_with_stdin(&["plan", "-"], &text);
        assert_eq!((run.code, run.stdout.as_str()), (Some(3), ""), "{}", run.stderr);
        for word in words {
            assert!(run.stderr.contains(word), "{word}: {}", run.stderr);
        }
    }
}

#[cfg(target_os = "linux")]
#[test]
fn the_largest_scenarios_that_are_accepted_end_in_time_within_500_megabytes() {
    use std::io::Write;
    use std::process::Command;

    let all_but = |number: usize, kinds: usize| {
        let taken = (0..kinds).filter(|kind| kind % 60 != number);
        let names: Vec<String> = taken.take(60).map(|kind| format!("k{kind}")).collect();
        format!("capacity: 200, takes: [{}]", names.join(", "))
    };
    let cases = [
        // 10,000 pieces of 200 kinds.
        scenario(
            60,
            200,
            |m| all_but(m, 200),
            |k| format!("mass: {:.3}, count: 50", 0.05 + 0.013 * k as f64),
        ),
        // 10,000 pieces of ten kinds.
        scenario(
            60,
            10,
            |m| all_but(m, 10),
            |k| format!("mass: {:.3}, count: 1000", 0.053 + 0.113 * k as f64),
        ),
        // A ton of lead in whole grams: the largest tables there are.
        scenario(
            60,
            200,
            |m| all_but(m, 200),
            |k| format!("mass: {:.5}, count: 5", 1.04 + 0.00013 * k as f64),
        ),
    ];
    for text in cases {
        let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("endurance.yaml");
        std::fs::File::create(&path).and_then(|mut file| file.write_all(text.as_bytes())).expect("a file");
        // All address space counts, which is more than the memory that is used.
        let program = kentledge(&[]).get_program().to_owned();
        let limited = "ulimit -v 500000 && exec \"$0\" plan \"$1\" --time 2 --json";
        let output = Command::new("sh").arg("-c").arg(limited).arg(program).arg(&path).output();
        let run: Run = output.expect("the shell starts").into();
        assert!(matches!(run.code, Some(0 | 1)), "{:?}: {}", run.code, run.stderr);
        let status = json(&run.stdout)["status"].clone();
        assert!(status == "best possible" || status == "good, not proved best", "{status}");
    }
}

#[test]
fn what_is_within_reach_of_the_largest_box_is_found_about_in_time() {
    let text = scenario(
        60,
        40,
        |_| "capacity: 4".to_owned(),
        |k| format!("mass: {:.2}, count: 8", 0.3 + 0.07 * k as f64),
    );
    let begun = std::time::Instant::now();
    let run = run_with_stdin(&["reach", "-", "--time", "5", "--json"], &text);
    // Without a bound the corners took minutes.
    assert!(begun.elapsed() < std::time::Duration::from_secs(30), "{:?}", begun.elapsed());
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let corners = json(&run.stdout)["regions"][0]["corners"].as_array().map(Vec::len);
    assert!(corners.is_some_and(|corners| corners > 3), "{corners:?}");
}

#[test]
fn a_time_limit_ends_a_search_with_the_best_plan_so_far() {
    for lead in [Lead::Catalogue, Lead::Weighed] {
        let run = run_with_stdin(&["plan", "-", "--time", "0.5", "--json"], &endless(lead));
        assert!(matches!(run.code, Some(0 | 1)), "{:?}: {}", run.code, run.stderr);
        assert_eq!(json(&run.stdout)["status"], "good, not proved best", "{lead:?}");
    }
    // The option has bounds of its own, so that no search is endless by mistake.
    assert_eq!(run(&["plan", "scenarios/club-sprint.yaml", "--time", "100000"]).code, Some(2));
}
