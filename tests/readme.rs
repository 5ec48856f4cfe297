//! What README says, run: its outputs, its options, its commands.
//! Does not know whether the outputs are right; the other tests do.

#[expect(dead_code, reason = "no folder is an argument here")]
#[path = "support/folders.rs"]
mod folders;
#[path = "support/run.rs"]
mod program;

use std::fs;
use std::path::{Path, PathBuf};

use folders::{empty_folder, names_in};
use program::{Run, kentledge, run, run_with_stdin};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn readme() -> String {
    fs::read_to_string(root().join("README.md")).expect("the README is there")
}

#[test]
fn the_readme_shows_what_the_program_prints_and_names_only_options_that_exist() {
    let readme = readme();
    let block = |nth: usize| readme.split("```text\n").nth(nth).and_then(|rest| rest.split("```").next());
    assert_eq!(block(1), Some(run(&["plan", "scenarios/club-sprint.yaml"]).stdout.as_str()));
    let swapped = run(&["swap", "scenarios/three-drivers.yaml", "--time", "600", "-q"]).stdout;
    assert!(swapped.contains(block(2).expect("a stop is shown")), "{swapped}");
    let full = run(&["swap", "scenarios/three-drivers.yaml", "--time", "600", "-q", "--full"]).stdout;
    for words in
        ["10 changes over 3 stops", "alone it would be 22 changes", "no better set-up exists: proved"]
    {
        assert!(full.contains(words), "{words}: {full}");
    }
    let packed = run(&["pack", "scenarios/trip.yaml", "--time", "600", "-q"]).stdout;
    assert!(packed.contains(block(3).expect("what to buy is shown")), "{packed}");
    let help = [
        "plan", "done", "card", "reach", "weigh", "new", "export", "learn", "swap", "pack", "page", "schema",
    ]
    .map(|command| run(&[command, "--help"]).stdout)
    .concat();
    let words = readme.split(|next: char| !(next.is_alphanumeric() || next == '-'));
    // `--release` and `--path` belong to cargo.
    let is_option =
        |word: &&str| word.strip_prefix("--").is_some_and(|option| option.starts_with(char::is_alphabetic));
    for option in words.filter(|word| is_option(word) && !["--release", "--path"].contains(word)) {
        assert!(help.contains(option), "{option}");
    }
}

/// Several drivers and a trip, as README shows them, on a kart that goes with them.
#[test]
fn the_drivers_and_the_trip_of_the_readme_are_read_without_a_complaint() {
    let readme = readme();
    let shown = |nth: usize| readme.split("```yaml\n").nth(nth).and_then(|rest| rest.split("```").next());
    let [drivers, trip] = [2, 3].map(|nth| shown(nth).expect("a fragment is shown"));
    assert!(drivers.contains("quick: true") && drivers.contains("weighing:") && trip.starts_with("trip:"));
    let kart = "units: kg-mm\nkart: {wheelbase: 1040, track_front: 1080, track_rear: 1120}\nclass: {minimum: 150}\n\
                targets: {front: 43, left: 50}\nlead: [5, 5, 2.5, 2.5, 1, 1]\n\
                weighing: {scales: [31, 32, 41, 43], aboard: {driver: Sam, lead: none}}\n";
    let text = format!("{kart}{drivers}{trip}");
    let told = run_with_stdin(&["check", "-"], &text);
    assert!(told.stdout.starts_with("nothing wrong"), "{}", told.stdout);
    for command in ["plan", "swap", "pack"] {
        let run = run_with_stdin(&[command, "-", "--time", "20"], &text);
        assert!(matches!(run.code, Some(0 | 1)), "{command}: {}{}", run.stdout, run.stderr);
    }
}

/// Lines that show a command of the program, without what explains them.
fn commands(readme: &str) -> Vec<Vec<&str>> {
    let shown = readme.lines().filter_map(|line| line.strip_prefix("    kentledge "));
    let bare = shown.map(|line| line.split("  ").next().unwrap_or_default());
    bare.map(|line| line.split(' ').collect()).collect()
}

/// A scenario of ours in the place of the reader's own file.
fn lend(scenario: &str, folder: &Path) {
    fs::copy(root().join("scenarios").join(scenario), folder.join("kart.yaml"))
        .expect("a scenario can be copied");
}

/// The reader starts with `new`; for a team and for learning his file has to say more, so ours stands in.
#[test]
fn every_command_of_the_readme_runs_in_a_folder_with_the_scenarios_and_the_starter() {
    let folder = empty_folder("readme", "commands");
    fs::create_dir(folder.join("scenarios")).expect("a folder can be made");
    for name in names_in(&root().join("scenarios")) {
        let path = root().join("scenarios").join(&name);
        if path.is_file() {
            fs::copy(path, folder.join("scenarios").join(name)).expect("a scenario can be copied");
        }
    }
    let readme = readme();
    let commands = commands(&readme);
    assert!(commands.len() > 20 && commands[0][..2] == ["new", "kart.yaml"], "{commands:?}");
    let mut starter = String::new();
    for command in &commands {
        let own = command.contains(&"kart.yaml");
        match command[0] {
            "swap" if own => lend("three-drivers.yaml", &folder),
            "learn" if own => lend("second-weighing.yaml", &folder),
            _ if !starter.is_empty() => {
                fs::write(folder.join("kart.yaml"), &starter).expect("a file can be written");
            }
            _ => {}
        }
        // On a busy machine the usual time may end a search, and then the answer is another.
        let patient = if command.contains(&"--time") { &[][..] } else { &["--time", "600"] };
        let run = kentledge(command).args(patient).current_dir(&folder).output();
        let run: Run = run.expect("the program starts").into();
        // The page needs a build step of its own, and whoever left it out is told which.
        if command[0] == "page" && cfg!(not(feature = "page")) {
            assert!(run.code == Some(2) && run.stderr.contains("src/page/phone/build.sh"), "{}", run.stderr);
            continue;
        }
        // That goes on until somebody ends it.
        if command.contains(&"--serve") {
            continue;
        }
        // A target that is off target, as it is on the pads of the starter, is an answer too.
        let is_answer = run.code == Some(0) || (run.code == Some(1) && command[0] == "weigh");
        assert!(is_answer, "{command:?} ends with {:?}: {}", run.code, run.stderr);
        if command[0] == "new" {
            starter = fs::read_to_string(folder.join("kart.yaml")).expect("`new` writes it");
        }
        let files =
            command.iter().filter(|word| [".html", ".svg", ".mps"].iter().any(|end| word.ends_with(end)));
        for file in files {
            assert!(folder.join(file).exists(), "{command:?} does not write {file}");
        }
    }
}
