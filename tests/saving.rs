//! A file that commands change is whole or as it was: two at once, a read-only file, a command that was cut off.
#![cfg(unix)]

#[path = "support/folders.rs"]
mod folders;
#[path = "support/run.rs"]
#[expect(dead_code, reason = "nothing is read from stdin here")]
mod program;

use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use folders::{empty_folder, names_in, shown};
use kentledge::scenario::Scenario;
use program::{Run, kentledge, piped, run};

fn copy(test: &str) -> PathBuf {
    let path = empty_folder("saving", test).join("kart.yaml");
    fs::copy("scenarios/two-drivers.yaml", &path).expect("a shipped scenario");
    path
}

fn words<'w>(path: &'w str, reading: &'w str) -> [&'w str; 12] {
    ["weigh", path, "33.6", "33.9", "45.7", reading, "--driver", "Sam", "--fuel", "3L", "--save", "--quiet"]
}

fn weighings(path: &Path) -> usize {
    let text = fs::read_to_string(path).expect("a text");
    Scenario::from_yaml(&text).expect("a whole scenario").0.weighings().len()
}

/// One sentence and one help.
fn is_told(run: &Run, words: &str) {
    assert_eq!(run.code, Some(2), "{}", run.stdout);
    assert!(run.stderr.contains(words) && run.stderr.matches("error").count() == 1, "{}", run.stderr);
}

#[test]
fn of_commands_that_save_at_once_each_is_kept_whole_or_told() {
    let path = copy("at-once");
    let readings: Vec<String> = (0..12).map(|index| format!("46.{index:02}")).collect();
    let start = |reading: &String| piped(&mut kentledge(&words(shown(&path), reading)));
    let children: Vec<_> = readings.iter().map(start).collect();
    let runs: Vec<Run> =
        children.into_iter().map(|child| child.wait_with_output().expect("it ends").into()).collect();
    let (kept, told): (Vec<&Run>, Vec<&Run>) = runs.iter().partition(|run| run.code != Some(2));
    for run in told {
        is_told(run, "in the meantime");
    }
    assert!(!kept.is_empty());
    assert_eq!(weighings(&path), 1 + kept.len());
    assert_eq!(names_in(path.parent().expect("a folder")), ["kart.yaml"]);
}

#[test]
fn a_read_only_file_stays_as_it_is() {
    let path = copy("read-only");
    let before = fs::read_to_string(&path).expect("a text");
    let mut may = fs::metadata(&path).expect("it is there").permissions();
    may.set_readonly(true);
    fs::set_permissions(&path, may).expect("it is ours");
    is_told(&run(&words(shown(&path), "46.5")), "read-only");
    assert_eq!(fs::read_to_string(&path).expect("a text"), before);
    assert_eq!(names_in(path.parent().expect("a folder")), ["kart.yaml"]);
}

#[test]
fn what_was_cut_off_loses_nothing_and_stands_in_nobodys_way_for_long() {
    let path = copy("cut-off");
    let beside = path.with_file_name(".kart.yaml.part");
    let part = File::create(&beside).expect("it can be written");
    is_told(&run(&words(shown(&path), "46.5")), "in the meantime");
    assert_eq!(weighings(&path), 1);
    let long_ago = SystemTime::now() - Duration::from_secs(3600);
    part.set_modified(long_ago).expect("its time can be set");
    assert!(matches!(run(&words(shown(&path), "46.5")).code, Some(0 | 1)));
    assert_eq!(weighings(&path), 2);
    assert!(!beside.exists());
    // Ended at whatever moment, the file is whole.
    let mut most = 2;
    for after in 0..40_u64 {
        let reading = format!("47.{after}");
        let mut child = piped(&mut kentledge(&words(shown(&path), &reading)));
        std::thread::sleep(Duration::from_micros(700 * after));
        child.kill().expect("it is ours");
        child.wait().expect("it ends");
        fs::remove_file(&beside).ok();
        let now = weighings(&path);
        assert!((most..=most + 1).contains(&now), "{now} after {most}");
        most = now;
    }
}
