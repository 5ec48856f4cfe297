//! Where sheets and drawings go: whole or not at all, never over what somebody typed.

#[path = "support/run.rs"]
#[expect(dead_code, reason = "nothing here is read from stdin")]
mod program;

#[path = "support/folders.rs"]
mod folders;

use std::fs;
use std::path::PathBuf;

use folders::{empty_folder, names_in, shown};
use program::run;

const SPRINT: &str = "scenarios/club-sprint.yaml";

/// An empty folder of that test alone.
fn folder(test: &str) -> PathBuf {
    empty_folder("typeset", test)
}

/// One sentence with its code, then what to do.
fn assert_refused(run: &program::Run, with: &str) {
    assert_eq!(run.code, Some(2), "{}", run.stderr);
    // Wrapped for the screen, perhaps within the words looked for.
    let said = run.stderr.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("K025") && said.contains(with), "{}", run.stderr);
    assert_eq!(run.stderr.matches("error").count(), 1, "{}", run.stderr);
    assert_eq!(run.stderr.matches("help: ").count(), 1, "{}", run.stderr);
}

/// Every command that has a sheet, on a scenario that it has an answer for.
const SHEETS: [[&str; 2]; 6] = [
    ["plan", SPRINT],
    ["weigh", SPRINT],
    ["swap", "scenarios/two-drivers.yaml"],
    ["card", "scenarios/odd-names.yaml"],
    ["reach", "scenarios/odd-names.yaml"],
    ["pack", "scenarios/trip.yaml"],
];

#[test]
fn every_sheet_is_written_whole_beside_the_same_answer() {
    let folder = folder("all");
    for command in SHEETS {
        let sheet = folder.join(format!("{}.html", command[0]));
        let with = run(&[command.as_slice(), &["--time", "600", "--sheet", shown(&sheet)]].concat());
        let without = run(&[command.as_slice(), &["--time", "600"]].concat());
        assert_eq!((with.code, &with.stdout), (without.code, &without.stdout), "{command:?}");
        let html = fs::read_to_string(&sheet).expect("the sheet is there");
        assert!(html.starts_with("<!DOCTYPE html>") && html.ends_with("</html>\n"), "{command:?}");
    }
    assert_eq!(
        names_in(&folder),
        ["card.html", "pack.html", "plan.html", "reach.html", "swap.html", "weigh.html"]
    );
}

/// Where no sheet can go, with the words that say so; nothing may be left behind there.
#[test]
fn every_command_refuses_what_cannot_be_written_before_it_searches() {
    let folder = folder("refused");
    let page = folder.join("team.html");
    fs::write(&page, "<!DOCTYPE html><p>our team</p>").expect("a file can be written");
    for command in SHEETS {
        let scenario = folder.join("kart.yaml");
        fs::copy(command[1], &scenario).expect("a scenario can be copied");
        let text = fs::read(&scenario).expect("it is there");
        let nowhere = folder.join("nowhere").join("sheet.html");
        for (to, why) in [
            (shown(&scenario), "scenario file itself"),
            (shown(&folder), "it is a folder"),
            (shown(&page), "was not written by"),
            (shown(&nowhere), "the folder is not there"),
            ("-", "needs a file"),
        ] {
            let refused = run(&[command[0], shown(&scenario), "--sheet", to]);
            assert_refused(&refused, why);
            assert_eq!(refused.stdout, "", "{command:?} searched before it looked");
        }
        assert_eq!(fs::read(&scenario).ok(), Some(text), "{command:?}");
        assert_eq!(names_in(&folder), ["kart.yaml", "team.html"], "{command:?}");
    }
}

#[test]
fn a_sheet_and_a_drawing_are_written_beside_the_answer_on_the_screen() {
    let folder = folder("both");
    let (sheet, drawing) = (folder.join("plan.html"), folder.join("plan.svg"));
    let both = ["plan", SPRINT, "--sheet", shown(&sheet), "--drawing", shown(&drawing)];
    let run_with = run(&both);
    assert_eq!((run_with.code, &run_with.stdout), (Some(0), &run(&["plan", SPRINT]).stdout));
    assert!(run_with.stderr.contains("written: "), "{}", run_with.stderr);
    assert_eq!(names_in(&folder), ["plan.html", "plan.svg"]);
    // What it wrote itself it may write again.
    assert_eq!(run(&both).code, Some(0));
    assert_eq!(names_in(&folder), ["plan.html", "plan.svg"]);
}

#[test]
fn a_file_of_somebody_else_is_never_replaced() {
    let folder = folder("foreign");
    let page = folder.join("team.html");
    fs::write(&page, "<!DOCTYPE html><p>our team</p>").expect("a file can be written");
    for option in ["--sheet", "--drawing"] {
        assert_refused(&run(&["plan", SPRINT, option, shown(&page)]), "was not written by");
        assert_eq!(fs::read_to_string(&page).ok().as_deref(), Some("<!DOCTYPE html><p>our team</p>"));
    }
    assert_eq!(names_in(&folder), ["team.html"]);
}

#[test]
fn the_scenario_itself_is_refused_by_any_name() {
    let folder = folder("itself");
    let scenario = folder.join("kart.yaml");
    let text = run(&["new"]).stdout;
    fs::write(&scenario, &text).expect("a file can be written");
    let other_name = folder.join("..").join("itself").join("kart.yaml");
    for option in ["--sheet", "--drawing"] {
        for name in [&scenario, &other_name] {
            assert_refused(&run(&["plan", shown(&scenario), option, shown(name)]), "scenario file itself");
        }
    }
    assert_eq!(fs::read_to_string(&scenario).ok(), Some(text));
}

#[test]
fn another_scenario_is_refused() {
    let folder = folder("another");
    let other = folder.join("other.yaml");
    fs::write(&other, "# kentledge\n").expect("a file can be written");
    assert_refused(&run(&["plan", SPRINT, "--sheet", shown(&other)]), "may be a scenario");
    assert_eq!(fs::read_to_string(&other).ok().as_deref(), Some("# kentledge\n"));
}

#[test]
fn a_folder_and_a_folder_that_is_not_there_are_refused() {
    let folder = folder("folders");
    assert_refused(&run(&["plan", SPRINT, "--sheet", shown(&folder)]), "it is a folder");
    let nowhere = folder.join("nowhere").join("plan.html");
    assert_refused(&run(&["plan", SPRINT, "--sheet", shown(&nowhere)]), "the folder is not there");
    assert_eq!(names_in(&folder), [""; 0]);
}

#[test]
fn two_parts_of_an_answer_never_share_a_file() {
    let folder = folder("shared");
    let one = folder.join("plan.html");
    let same = folder.join("..").join("shared").join("plan.html");
    assert_refused(&run(&["plan", SPRINT, "--sheet", shown(&one), "--drawing", shown(&same)]), "same file");
    assert_refused(&run(&["plan", SPRINT, "--sheet", shown(&one), "-o", shown(&one)]), "same file");
    assert_eq!(names_in(&folder), [""; 0]);
}

#[test]
fn stdout_takes_no_sheet() {
    assert_refused(&run(&["plan", SPRINT, "--sheet", "-"]), "needs a file");
}

#[test]
fn without_an_answer_an_earlier_sheet_stays_as_it_is() {
    let folder = folder("kept");
    let sheet = folder.join("plan.html");
    assert_eq!(run(&["plan", SPRINT, "--sheet", shown(&sheet)]).code, Some(0));
    let earlier = fs::read_to_string(&sheet).expect("the sheet is there");
    let wrong = run(&["plan", "scenarios/rejected/no-value.yaml", "--sheet", shown(&sheet)]);
    assert_eq!(wrong.code, Some(3));
    assert_eq!(fs::read_to_string(&sheet).ok(), Some(earlier));
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_one_sentence_after_the_answer() {
    for (command, option) in
        SHEETS.into_iter().flat_map(|command| [(command, "--sheet"), (command, "--drawing")])
    {
        if ["card", "pack"].contains(&command[0]) && option == "--drawing" {
            continue;
        }
        let run = run(&[command.as_slice(), &["--quiet", "--time", "600", option, "/dev/full"]].concat());
        assert_refused(&run, "the disk is full");
        assert!(run.stdout.len() > 300, "the answer is on the screen all the same: {}", run.stdout);
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_may_not_be_written_is_one_sentence() {
    use std::os::unix::fs::PermissionsExt;
    let own = folder("locked");
    fs::set_permissions(&own, fs::Permissions::from_mode(0o555)).expect("it is ours");
    // Root may write even there, as in many containers; the kernel's own folder refuses everybody.
    let locked = if fs::write(own.join("trial"), "").is_ok() { PathBuf::from("/sys") } else { own };
    let sheet = locked.join("plan.html");
    for command in SHEETS {
        assert_refused(&run(&[command.as_slice(), &["--sheet", shown(&sheet)]].concat()), "cannot write");
        assert!(!sheet.exists());
    }
}
