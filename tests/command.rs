//! The program as people and scripts meet it: exit codes, streams, units, narrow screens.
//! Does not know how anything is solved; files that are written are in `files.rs`.

#[path = "support/run.rs"]
mod program;

use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use program::{Run, kentledge, piped, run, run_with_stdin};
use serde_json::Value;

fn json(text: &str) -> Value {
    serde_json::from_str(text).expect("stdout is one JSON document and nothing else")
}

const SPRINT: &str = "scenarios/club-sprint.yaml";

/// Pieces that fill their mounts to the gram only if each lies on the right one: no search finds that in a
/// second, and none proves in a second that it cannot be found.
fn packing_puzzle() -> String {
    const MOUNTS: usize = 8;
    let mut state = 7_u64;
    let mut masses = Vec::new();
    for _ in 0..5 * MOUNTS {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        masses.push(900 + (state >> 33) % 1100);
    }
    let gram = |grams: u64| format!("{}.{:03}", grams / 1000, grams % 1000);
    let pieces: Vec<String> = masses.iter().map(|mass| gram(*mass)).collect();
    let mounts: Vec<String> = (0..MOUNTS)
        .map(|mount| {
            let capacity = masses.iter().skip(mount).step_by(MOUNTS).sum();
            format!("  m{mount}: {{x: {}, y: 0, capacity: {}}}\n", 100 * mount, gram(capacity))
        })
        .collect();
    format!(
        "units: kg-mm\nkart: {{name: k, wheelbase: 1040, track_front: 1080, track_rear: 1120}}\n\
         class: {{name: c, minimum: {}, margin: 0}}\n\
         weighing:\n  scales: {{lf: 21, rf: 21, lr: 29, rr: 29}}\n  \
         aboard: {{driver: Sam, fuel: none, lead: none}}\n\
         drivers: {{Sam: {{mass: 60, x: 400, y: 0}}}}\nmounts:\n{}lead: {{piece: {{weighed: [{}]}}}}\n",
        gram(100_000 + masses.iter().sum::<u64>()),
        mounts.concat(),
        pieces.join(", ")
    )
}

#[test]
fn a_plan_with_every_target_on_target_is_0() {
    assert_eq!(run(&["plan", SPRINT]).code, Some(0));
}

#[test]
fn a_legal_plan_with_a_target_off_target_is_1_and_names_the_miss() {
    let run = run(&["plan", "scenarios/off-target.yaml", "--full"]);
    assert_eq!(run.code, Some(1));
    assert!(run.stdout.contains("off by") && run.stdout.contains("What stands in the way"), "{}", run.stdout);
}

#[test]
fn a_minimum_out_of_reach_is_4_and_says_by_how_much() {
    let run = run(&["plan", "scenarios/too-light.yaml"]);
    assert_eq!(run.code, Some(4));
    assert!(run.stdout.contains("no legal plan") && run.stdout.contains("TOO LIGHT by"), "{}", run.stdout);
}

#[test]
fn a_search_without_an_answer_in_its_time_is_5_and_says_so_in_both_forms() {
    let puzzle = packing_puzzle();
    let text = run_with_stdin(&["plan", "-", "--time", "0.3"], &puzzle);
    assert_eq!(text.code, Some(5), "{}", text.stdout);
    assert!(text.stdout.contains("out of time"), "{}", text.stdout);
    let document = run_with_stdin(&["plan", "-", "--time", "0.3", "--json"], &puzzle);
    assert_eq!(document.code, Some(5));
    assert_eq!(json(&document.stdout)["status"], "out of time");
}

#[test]
fn a_wrong_scenario_is_3_with_the_reason_on_stderr_and_nothing_on_stdout() {
    let run = run_with_stdin(&["plan", "-"], "units: kg-mm\nkart: {wheelbse: 1040}\n");
    assert_eq!((run.code, run.stdout.as_str()), (Some(3), ""));
    assert!(run.stderr.contains("error[K008]") && run.stderr.contains("stdin:2:8"), "{}", run.stderr);
}

#[test]
fn check_answers_with_what_is_wrong_on_stdout() {
    let run = run_with_stdin(&["check", "-"], "units: kg-mm\nkart: {wheelbse: 1040}\n");
    assert_eq!((run.code, run.stderr.as_str()), (Some(3), ""));
    assert!(run.stdout.contains("error[K008]"), "{}", run.stdout);
}

#[test]
fn check_of_a_right_file_says_so_in_one_line_and_what_it_holds() {
    let run = run(&["check", SPRINT]);
    assert_eq!(run.code, Some(0));
    assert!(run.stdout.starts_with(&format!("nothing wrong in {SPRINT}\n")), "{}", run.stdout);
    assert!(run.stdout.contains("8 mounts") && run.stdout.contains("17 pieces"), "{}", run.stdout);
}

#[test]
fn every_wrong_command_line_is_2_and_prints_nothing_on_stdout() {
    let wrong: &[&[&str]] = &[
        &["plan"],
        &["plna", SPRINT],
        &["plan", SPRINT, "--jsn"],
        &["--json"],
        &["plan", SPRINT, "--units", "stone"],
        &["plan", SPRINT, "--driver", "Nobody"],
        &["swap", "scenarios/two-drivers.yaml", "--order", "Sam,,Alex"],
        &["swap", "scenarios/two-drivers.yaml", "--order", "Sam,"],
        &["plan", SPRINT, "-o", "scenarios"],
        &["plan", SPRINT, "-o", "no/such/folder/plan.txt"],
        &["weigh", "30", "30", "40"],
        &["weigh", "30", "30", "40", "40"],
        &["weigh", "-3", "30", "40", "40", "--units", "kg-mm"],
        &["weigh", "30kg", "30kg", "40kg", "1e9kg"],
        &["weigh", "30kg", "30kg", "40kg", "nan"],
        &["weigh", "30kg", "30kg", "40kg", "40in"],
        &["weigh", "30kg", "30kg", "40kg", "40kg", "--wheelbase", "1040mm"],
        &["weigh", SPRINT, "--wheelbase", "1040mm"],
        &["new", "--json"],
    ];
    for arguments in wrong {
        let run = run(arguments);
        assert_eq!((run.code, run.stdout.as_str()), (Some(2), ""), "{arguments:?}: {}", run.stderr);
        assert!(run.stderr.contains("error"), "{arguments:?}: {}", run.stderr);
    }
}

#[test]
fn a_time_that_is_none_is_refused_with_its_limits() {
    for time in ["-1", "0", "0.09", "3601", "nan", "inf", "-inf", "soon", "", "1e99"] {
        let run = run(&["plan", SPRINT, "--time", time]);
        assert_eq!(run.code, Some(2), "{time}");
        let words = format!("`--time` must be 0.1 to 3600 seconds, found {time}");
        let stderr = run.stderr.replace("\n  ", " ");
        assert!(stderr.contains("error[K025]") && stderr.contains(words.trim_end()), "{time}: {stderr}");
    }
}

#[test]
fn options_work_before_and_after_the_command() {
    let before = run(&["--json", "--units", "lb-in", "weigh", SPRINT]);
    let after = run(&["weigh", SPRINT, "--json", "--units", "lb-in"]);
    assert_eq!(json(&before.stdout)["corners_kg"], json(&after.stdout)["corners_kg"]);
    assert_eq!(json(&before.stdout)["display_units"], "lb-in");
}

#[test]
fn json_is_one_document_for_every_command_and_outcome() {
    for (arguments, command, status) in [
        (["plan", SPRINT], "plan", "best possible"),
        (["plan", "scenarios/too-light.yaml"], "plan", "no legal plan"),
        (["weigh", SPRINT], "weigh", "too light"),
        (["check", SPRINT], "check", "nothing wrong"),
        (["check", "no-such-file.yaml"], "check", "the scenario is wrong"),
        (["plan", "no-such-file.yaml"], "plan", "the scenario is wrong"),
    ] {
        let run = run(&[arguments[0], arguments[1], "--json", "--time", "60"]);
        let document = json(&run.stdout);
        assert_eq!(document["schema"], 3, "{arguments:?}");
        assert_eq!(document["command"], command, "{arguments:?}");
        assert_eq!(document["status"], status, "{arguments:?}");
        assert!(document["elapsed_ms"].is_u64(), "{arguments:?}");
    }
}

#[test]
fn json_is_the_same_whatever_units_the_screen_shows_and_however_often_it_is_asked_for() {
    let document = |units: &str| {
        let mut document =
            json(&run(&["plan", "scenarios/oval.yaml", "--json", "--units", units, "--time", "60"]).stdout);
        let fields = document.as_object_mut().expect("a document is an object");
        fields.remove("elapsed_ms");
        (fields.remove("display_units"), document)
    };
    let (kg, lb) = (document("kg-mm"), document("lb-in"));
    assert_eq!((kg.0, lb.0), (Some("kg-mm".into()), Some("lb-in".into())));
    assert_eq!(kg.1, lb.1);
}

#[test]
fn the_judge_totals_of_the_document_add_up() {
    let document = json(&run(&["plan", SPRINT, "--json"]).stdout);
    let number = |value: &Value| value.as_f64().expect("a number");
    let finish = &document["corners_kg"]["finish"];
    let corners: f64 = ["lf", "rf", "lr", "rr"].iter().map(|corner| number(&finish[corner])).sum();
    assert!((corners - number(&document["total_kg"])).abs() < 5e-6, "{document}");
    let above = number(&document["total_kg"]) - number(&document["margin"]["required_kg"]);
    assert!((above - number(&document["margin"]["above_required_kg"])).abs() < 5e-6, "{document}");
}

#[cfg(unix)]
#[test]
fn one_ctrl_c_ends_the_search_politely() {
    let mut child = piped(&mut kentledge(&["plan", "-", "--time", "600", "--json"]));
    let mut stdin = child.stdin.take().expect("stdin is piped");
    stdin.write_all(packing_puzzle().as_bytes()).expect("the program reads its stdin");
    drop(stdin);
    // Long enough for the handler to be set and the search to be deep in it.
    std::thread::sleep(Duration::from_millis(700));
    let asked = Instant::now();
    let killed = Command::new("kill").args(["-INT", &child.id().to_string()]).status();
    assert!(killed.is_ok_and(|status| status.success()), "the signal is sent");
    let run: Run = child.wait_with_output().expect("the program ends").into();
    assert_eq!(run.code, Some(5), "{}", run.stderr);
    assert_eq!(json(&run.stdout)["status"], "out of time");
    assert!(asked.elapsed() < Duration::from_secs(30), "it ended because it was asked to");
}

#[test]
fn what_is_wrong_is_told_in_full_or_one_line_each_or_as_data() {
    let of = |format: &str| {
        let text = "units: kg-mm\nkart: {wheelbse: 1040}\n";
        run_with_stdin(&["plan", "-", "--message-format", format], text)
    };
    assert_eq!(
        of("human").stderr,
        run_with_stdin(&["plan", "-"], "units: kg-mm\nkart: {wheelbse: 1040}\n").stderr
    );
    let short = of("short");
    assert_eq!((short.code, short.stdout.as_str()), (Some(3), ""));
    let wanted = "stdin:2:8: error[K008]: `wheelbse` is not a setting of `kart`";
    assert!(short.stderr.lines().any(|line| line == wanted), "{}", short.stderr);
    let objects: Vec<Value> = of("json").stderr.lines().map(json).collect();
    assert_eq!(objects.len(), short.stderr.lines().count());
    let misspelt = objects.iter().find(|one| one["code"] == "K008").expect("it is told");
    assert_eq!(
        (&misspelt["file"], &misspelt["line"], &misspelt["column"]),
        (&"stdin".into(), &2.into(), &8.into())
    );
    assert_eq!(misspelt["help"], "a similar one is `wheelbase`");
}

#[test]
fn a_refused_command_line_is_told_in_the_form_asked_for() {
    let short = run(&["plan", SPRINT, "--time", "0", "--message-format", "short"]);
    assert!(short.stderr.starts_with("kentledge: error[K025]: `--time`"), "{}", short.stderr);
    let short = run(&["plan", SPRINT, "--driver", "Nobody", "--message-format", "short"]);
    assert!(short.stderr.starts_with("kentledge: error[K019]: "), "{}", short.stderr);
    let object = json(&run(&["plan", SPRINT, "--driver", "Nobody", "--message-format", "json"]).stderr);
    assert_eq!((&object["code"], &object["severity"]), (&"K019".into(), &"error".into()));
}

#[test]
fn an_option_that_means_nothing_beside_another_is_refused() {
    for (arguments, word) in [
        (&["card", SPRINT, "--all", "--json"][..], "`--all`"),
        (&["check", SPRINT, "--json", "--message-format", "short"], "`--message-format`"),
        (&["completions", "bash", "--json"], "`completions`"),
        (&["export", SPRINT, "--goal", "1", "--json"], "`export`"),
        (&["new", "--force"], "`--force`"),
    ] {
        let run = run(arguments);
        assert_eq!((run.code, run.stdout.as_str()), (Some(2), ""), "{arguments:?}");
        assert!(run.stderr.contains(word), "{}", run.stderr);
    }
    let cells = json(&run(&["card", SPRINT, "--json"]).stdout)["cells"].as_array().map_or(0, Vec::len);
    assert!(cells > 9, "every cell is there without `--all`");
}

#[test]
fn check_warns_of_a_minimum_that_all_lead_does_not_reach() {
    let check = run(&["check", "scenarios/too-light.yaml"]);
    assert_eq!(check.code, Some(0));
    assert!(
        check.stdout.contains("warning[K022]") && check.stdout.contains("4.645 kg short"),
        "{}",
        check.stdout
    );
}

#[test]
fn one_piece_too_many_is_told_in_the_singular() {
    let text = std::fs::read_to_string(SPRINT).expect("the scenario is there");
    let text = format!("{text}\nfitted: {{front_tube: {{spare: 1}}}}\n").replacen(
        "lead:\n",
        "lead:\n  spare: {mass: 1, count: 0, thickness: 10}\n",
        1,
    );
    let run = run_with_stdin(&["check", "-"], &text);
    assert!(run.stdout.contains("1 of `spare` is listed on mounts, but there are 0"), "{}", run.stdout);
}

#[test]
fn a_screen_of_no_columns_is_taken_for_80() {
    let of = |columns: &str| {
        let output = kentledge(&["plan", SPRINT]).env("COLUMNS", columns).output();
        Run::from(output.expect("the program starts")).stdout
    };
    let usual = run(&["plan", SPRINT]).stdout;
    assert_eq!(of("0"), usual);
    assert_eq!(of("wide"), usual);
    assert_ne!(of("45"), usual);
}

#[test]
fn colour_is_never_the_only_sign_and_obeys_option_and_environment() {
    let styled = |arguments: &[&str], environment: &[(&str, &str)]| {
        let output = kentledge(arguments).envs(environment.iter().copied()).output();
        Run::from(output.expect("the program starts")).stdout
    };
    let plain = styled(&["plan", SPRINT], &[]);
    assert!(!plain.contains('\u{1b}'), "a pipe has no colour");
    let always = styled(&["plan", SPRINT, "--color", "always"], &[]);
    assert!(always.contains('\u{1b}'));
    assert_eq!(anstream::adapter::strip_str(&always).to_string(), plain, "the words are the same");
    assert!(styled(&["plan", SPRINT], &[("CLICOLOR_FORCE", "1")]).contains('\u{1b}'));
    assert_eq!(styled(&["plan", SPRINT], &[("CLICOLOR_FORCE", "1"), ("NO_COLOR", "1")]), plain);
    assert_eq!(styled(&["plan", SPRINT, "--color", "never"], &[("CLICOLOR_FORCE", "1")]), plain);
}

#[test]
fn the_programs_own_words_are_ascii() {
    for command in ["plan", "weigh", "check"] {
        assert!(run(&[command, SPRINT]).stdout.is_ascii(), "{command}");
    }
    for help in [&["--help"][..], &["plan", "--help"], &["weigh", "-h"], &[]] {
        assert!(run(help).stdout.is_ascii(), "{help:?}");
    }
}

#[test]
fn a_name_cannot_steer_a_terminal_but_reaches_the_document_unchanged() {
    let sly = "up\u{202e}side\u{2066}";
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(SPRINT))
        .expect("the scenario is there");
    let text = text.replace("floor_front", &format!("\"{sly}\"")).replace("club senior", sly);
    let run_of = |arguments: &[&str]| run_with_stdin(arguments, &text);
    let screen = run_of(&["plan", "-"]);
    assert_eq!(screen.code, Some(0), "{}", screen.stderr);
    assert!(!screen.stdout.contains(['\u{202e}', '\u{2066}']), "{}", screen.stdout);
    assert!(screen.stdout.contains("up\\u{202e}side\\u{2066}"), "{}", screen.stdout);
    assert_eq!(json(&run_of(&["plan", "-", "--json"]).stdout)["class"], sly);
}

#[test]
fn a_driver_is_found_whatever_its_capitals_and_changes_the_plan() {
    let driver = |name: &str| {
        json(&run(&["plan", "scenarios/two-drivers.yaml", "--driver", name, "--json"]).stdout)["driver"]
            .clone()
    };
    assert_eq!(driver("sam"), "Sam");
    assert_eq!(driver("Alex"), "Alex");
}

#[test]
fn several_drivers_and_none_chosen_is_for_the_last_in_the_seat_or_3_with_the_list() {
    let unchosen = include_str!("../scenarios/two-drivers.yaml").replace("\ndriver: ", "\nx-driver: ");
    let plan = run_with_stdin(&["plan", "-", "--json"], &unchosen);
    assert_eq!(json(&plan.stdout)["driver"], "Sam", "{}", plan.stderr);
    let nobody = include_str!("../scenarios/rejected/nobody-chosen.yaml");
    let line = nobody.lines().position(|line| line.starts_with("drivers:")).expect("they are listed") + 1;
    for command in ["plan", "check"] {
        let run = run_with_stdin(&[command, "-", "--message-format", "short"], nobody);
        assert_eq!(run.code, Some(3), "{command}");
        assert!((run.stdout + &run.stderr).contains(&format!("stdin:{line}:1: error[K021]")), "{command}");
    }
}

#[test]
fn four_readings_give_the_same_figures_in_either_unit() {
    let figure =
        |arguments: &[&str], key: &str| json(&run(arguments).stdout)[key].as_f64().expect("a number");
    let pounds = ["weigh", "91lb", "89lb", "118lb", "121lb", "--json"];
    // Source: international yard and pound agreement of 1959, exact.
    let kilograms =
        ["weigh", "41.27690567", "40.36972093", "53.52389966", "54.88467677", "-u", "kg-mm", "--json"];
    for key in ["total_kg", "front_percent", "left_percent", "cross_percent", "front_pair_kg"] {
        assert!((figure(&pounds, key) - figure(&kilograms, key)).abs() < 2e-6, "{key}");
    }
}

#[test]
fn four_readings_without_lengths_say_what_lengths_would_add() {
    let without = run(&["weigh", "91lb", "89lb", "118lb", "121lb", "--full"]);
    assert_eq!(without.code, Some(0));
    assert!(without.stdout.contains("--wheelbase"), "{}", without.stdout);
    let lengths = ["--wheelbase", "41 1/2 in", "--track-front", "43in", "--track-rear", "44in"];
    let with = run(&[&["weigh", "91lb", "89lb", "118lb", "121lb", "--full"][..], &lengths].concat());
    assert!(with.stdout.contains("centre of gravity:") && with.stdout.contains("washers"), "{}", with.stdout);
}

#[test]
fn no_arguments_give_the_short_help_and_help_lists_examples_and_exit_codes() {
    let short = run(&[]);
    assert_eq!(short.code, Some(0));
    assert!(short.stdout.lines().count() <= 12, "{}", short.stdout);
    let help = run(&["--help"]);
    assert_eq!(help.code, Some(0));
    assert!(help.stdout.starts_with("Examples:"), "{}", help.stdout);
    for code in 0..=5 {
        assert!(help.stdout.contains(&format!("\n  {code}  ")), "{code}: {}", help.stdout);
    }
    let version = run(&["--version"]).stdout;
    assert!(version.starts_with(concat!("kentledge ", env!("CARGO_PKG_VERSION"))), "{version}");
    assert!(version.contains("microlp"), "{version}");
}

#[test]
fn completions_of_every_shell_say_how_to_install_them() {
    for (shell, first) in [
        ("bash", "# kentledge completions bash > "),
        ("zsh", "#compdef kentledge\n# kentledge completions zsh > "),
        ("fish", "# kentledge completions fish > "),
        ("powershell", "# kentledge completions powershell | "),
    ] {
        let run = run(&["completions", shell]);
        assert_eq!((run.code, run.stderr.as_str()), (Some(0), ""));
        assert!(
            run.stdout.starts_with(first),
            "{}",
            run.stdout.lines().take(2).collect::<Vec<_>>().join("\n")
        );
        for command in ["weigh", "plan", "check", "explain", "--message-format"] {
            assert!(
                run.stdout.contains(command.trim_start_matches('-')),
                "{shell} does not complete {command}"
            );
        }
    }
    assert_eq!(run(&["completions", "tcsh"]).code, Some(2));
}

#[test]
fn every_command_shows_examples_before_its_options() {
    for command in ["weigh", "plan", "pack", "check", "explain", "export", "new", "schema", "completions"] {
        let help = run(&[command, "--help"]);
        assert_eq!(help.code, Some(0));
        let examples =
            help.stdout.starts_with("Example") && help.stdout.contains(&format!("\n  kentledge {command}"));
        assert!(examples, "{}", help.stdout);
    }
}

#[test]
fn alternatives_are_asked_for_by_a_number_from_1_to_6() {
    for count in ["0", "7", "-1", "1.5", "many", "99999999999999999999"] {
        let run = run(&["plan", SPRINT, "--alternatives", count]);
        assert_eq!((run.code, run.stdout.as_str()), (Some(2), ""), "{count}");
        let sentence = format!("`--alternatives` must be 1 to 6, as many as there are kinds, found {count}");
        let told = run.stderr.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(told.contains(&sentence), "{told}");
    }
    let document = json(&run(&["plan", SPRINT, "--alternatives", "2", "--json"]).stdout);
    assert_eq!(document["alternatives"]["found"].as_array().map(Vec::len), Some(2));
}

#[test]
fn a_card_without_steps_or_with_too_many_is_refused_in_one_sentence() {
    for (arguments, sentence) in [
        (["--front-step", "0"], "`--front-step` must be 0.1 to 5 points of percent, found 0"),
        (["--across-step", "-1"], "`--across-step` must be 0.1 to 5 points of percent, found -1"),
        (["--front-step", "nan"], "`--front-step` must be 0.1 to 5 points of percent, found nan"),
        (["--front-range", "11"], "`--front-range` must be 0 to 10 points of percent, found 11"),
        (["--front-step", "0.1"], "3 points by 0.1 are 30 steps to either side; a card has 20 at most"),
    ] {
        let run = run(&["card", SPRINT, arguments[0], arguments[1]]);
        assert_eq!((run.code, run.stdout.as_str()), (Some(2), ""), "{arguments:?}");
        let told = run.stderr.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(told.contains(sentence), "{told}");
    }
}

#[test]
fn without_a_legal_plan_there_is_no_card_and_no_region_and_one_sentence_says_so() {
    for (command, so) in [("card", "there is nothing to tune from"), ("reach", "nothing is within reach")] {
        let run = run(&[command, "scenarios/too-light.yaml"]);
        assert_eq!((run.code, run.stdout.as_str()), (Some(4), ""), "{command}");
        let told = run.stderr.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(told.contains(&format!("no legal plan exists, so {so}")), "{told}");
    }
}

#[test]
fn a_region_is_drawn_with_names_that_cannot_leave_their_place() {
    let run = run(&["reach", "scenarios/odd-names.yaml", "--all-drivers", "--svg"]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    assert!(run.stdout.starts_with("<?xml ") && run.stdout.ends_with("</svg>\n"), "{}", run.stdout);
    assert!(run.stdout.contains("<desc id=") && !run.stdout.contains("<script"), "{}", run.stdout);
    assert_eq!(run.stdout.matches("<polygon ").count(), 1, "{}", run.stdout);
}

#[test]
fn the_short_help_names_commands_that_there_are_and_ends_its_list() {
    let help = run(&[]).stdout;
    let list =
        help.split_once("Also: ").and_then(|(_, rest)| rest.split_once("; all:")).expect("a whole list").0;
    let names: Vec<&str> = list.split(',').map(str::trim).collect();
    assert!(names.len() > 7, "{names:?}");
    for name in names {
        assert_eq!(run(&[name, "--help"]).code, Some(0), "{name}");
    }
}
