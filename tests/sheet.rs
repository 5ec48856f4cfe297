//! Sheets and screens read back: they show the numbers of the answer, names are text, nothing comes from outside.
//! Does not know how they look: that is seen in a browser, by `.ci/sheets.mjs`.

#[path = "sheet/pictures.rs"]
mod pictures;
#[path = "support/run.rs"]
#[expect(dead_code, reason = "nothing here is read from stdin")]
mod program;
#[path = "sheet/reach.rs"]
mod reach;

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use program::run;
use serde_json::Value;

const PLANNED: [&str; 7] =
    ["club-sprint", "light-junior", "odd-names", "off-target", "oval", "seat-and-spacers", "two-drivers"];
const TEAMS: [&str; 3] = ["two-drivers", "three-drivers", "seat-on-pins"];
const CARDS: [&str; 3] = ["two-drivers", "odd-names", "seat-and-spacers"];

fn folder() -> std::path::PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("sheet");
    fs::create_dir_all(&folder).expect("a folder can be made");
    folder
}

/// The sheet and the document of a command on a shipped scenario, in kilograms whatever its file has.
fn sheet_with(command: &[&str], stem: &str) -> (String, Value) {
    let file = folder().join(format!("{}.{stem}.html", command.concat()));
    let file = file.to_str().expect("test folders have plain names");
    let scenario = format!("scenarios/{stem}.yaml");
    let usual = [&scenario, "--json", "--units", "kg-mm", "--time", "600", "--sheet", file];
    let run = run(&[command, &usual].concat());
    let document = serde_json::from_str(&run.stdout).unwrap_or_else(|_| panic!("{}", run.stderr));
    (fs::read_to_string(file).expect("the sheet is there"), document)
}

fn sheet(command: &str, stem: &str) -> (String, Value) {
    sheet_with(&[command], stem)
}

/// The same command as rows, in the typography of paper.
fn rows_of(command: &[&str], stem: &str) -> String {
    let scenario = format!("scenarios/{stem}.yaml");
    let usual = [&scenario, "--plain", "--units", "kg-mm", "--time", "600", "--quiet"];
    let text = run(&[command, &usual].concat()).stdout.replace("+-", "\u{b1}").replace("->", "\u{2192}");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What a reader sees of a piece of HTML.
fn words(html: &str) -> String {
    let mut text = String::new();
    let mut inside = false;
    for character in html.chars() {
        match character {
            '<' => inside = true,
            '>' => {
                inside = false;
                text.push(' ');
            }
            _ if !inside => text.push(character),
            _ => {}
        }
    }
    let escaped = [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&amp;", "&")];
    let text = escaped.iter().fold(text, |text, (entity, character)| text.replace(entity, character));
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The rows of the table with this class, each as the words of its cells.
fn rows(html: &str, class: &str) -> Vec<Vec<String>> {
    let table =
        html.split_once(&format!("<table class=\"{class}\">")).unwrap_or_else(|| panic!("no {class}")).1;
    let body = table.split_once("<tbody>").expect("a body").1.split_once("</tbody>").expect("its end").0;
    let rows = body.split("<tr").skip(1).map(|row| {
        let cells = row.split("<t").skip(1).map(|cell| words(&format!("<t{cell}")));
        cells.collect()
    });
    rows.collect()
}

fn list<'d>(document: &'d Value, key: &str) -> &'d Vec<Value> {
    document[key].as_array().unwrap_or_else(|| panic!("{key} is no list"))
}

/// Every `number ± number` of a text.
fn known(text: &str) -> Vec<(f64, f64)> {
    let words: Vec<&str> = text.split(' ').collect();
    let number = |word: &str| {
        let bare: &str = word.trim_matches(|c: char| !c.is_ascii_digit() && !matches!(c, '-' | '+' | '.'));
        bare.trim_start_matches('+').trim_end_matches('.').parse::<f64>().ok()
    };
    let triples = words.windows(3).filter(|triple| triple[1] == "\u{b1}");
    triples.filter_map(|triple| Some((number(triple[0])?, number(triple[2])?))).collect()
}

/// What the last digit of such a ± counts.
fn last_place(plus_minus: f64) -> f64 {
    let first = 10.0_f64.powf(plus_minus.log10().floor());
    if plus_minus < 1.95 * first { first / 10.0 } else { first }
}

/// Whether a text shows a figure with its ±: this to one digit, to two where it begins with 1, the figure to the same place.
// Source: GUM (JCGM 100:2008) 7.2.6, at most two digits of an uncertainty.
fn shows(known: &[(f64, f64)], value: &Value, plus_minus: &Value) -> bool {
    let [value, plus_minus] = [value, plus_minus].map(|number| number.as_f64().expect("a figure"));
    // No coarser than whole units; documents are rounded as well.
    let half = 0.5 * last_place(plus_minus).min(1.0) + 3e-6;
    known.iter().any(|(shown, sure)| (shown - value).abs() <= half && (sure - plus_minus).abs() <= half)
}

/// Figures that a kart in a document has at some moments, each with its ±.
fn figures<'d>(kart: &'d Value, moments: &[&str]) -> Vec<(&'d Value, &'d Value)> {
    let mut figures = vec![(&kart["total_kg"], &kart["total_plus_minus_kg"])];
    for moment in moments {
        for corner in ["lf", "rf", "lr", "rr"] {
            figures
                .push((&kart["corners_kg"][moment][corner], &kart["corners_plus_minus_kg"][moment][corner]));
        }
    }
    // A height is shown to a tenth.
    let residuals = list(kart, "residuals").iter().filter(|residual| residual["unit"] != "mm");
    figures.extend(residuals.map(|residual| (&residual["value"], &residual["plus_minus"])));
    figures
}

fn all_are_shown(what: &str, text: &str, figures: &[(&Value, &Value)]) {
    let known = known(text);
    for (value, plus_minus) in figures {
        assert!(shows(&known, value, plus_minus), "{what} does not show {value} ± {plus_minus}: {text}");
    }
}

#[test]
fn screen_and_sheet_of_a_plan_show_its_figures_with_their_plus_minus() {
    for stem in PLANNED {
        let (html, document) = sheet("plan", stem);
        let weighed_at = document["margin"]["weighed_at"].as_str().expect("a state");
        let planned = figures(&document, &["start", "finish"]);
        let all = [planned, figures(&document["now"], &[weighed_at])].concat();
        all_are_shown(&format!("the sheet of {stem}"), &words(&html), &all);
        all_are_shown(&format!("the screen of {stem}"), &rows_of(&["plan"], stem), &all);
    }
}

#[test]
fn screen_and_sheet_of_a_weighing_show_its_figures_with_their_plus_minus() {
    for stem in PLANNED.into_iter().chain(["too-light"]) {
        let (html, document) = sheet("weigh", stem);
        let percent = ["front", "rear", "left", "right", "cross"]
            .map(|share| (format!("{share}_percent"), format!("{share}_plus_minus_percent")));
        let load = ["total", "front_load", "rear_load", "left_load", "right_load", "front_pair", "rear_pair"]
            .map(|load| (format!("{load}_kg"), format!("{load}_plus_minus_kg")));
        let keys = percent.iter().chain(&load);
        let corners = ["lf", "rf", "lr", "rr"]
            .map(|corner| (&document["corners_kg"][corner], &document["corners_plus_minus_kg"][corner]));
        let all: Vec<(&Value, &Value)> =
            keys.map(|(value, sure)| (&document[value], &document[sure])).chain(corners).collect();
        all_are_shown(&format!("the sheet of {stem}"), &words(&html), &all);
        all_are_shown(&format!("the screen of {stem}"), &rows_of(&["weigh"], stem), &all);
    }
}

#[test]
fn screen_and_sheet_of_a_team_show_every_drivers_figures_with_their_plus_minus() {
    for stem in TEAMS {
        let (html, document) = sheet("swap", stem);
        let screen = rows_of(&["swap"], stem);
        let sides: Vec<&str> = html.split("<article").skip(1).collect();
        let drivers = list(&document, "drivers");
        assert_eq!(sides.len(), 2 * drivers.len() + 2, "front and back for the stops and for each");
        for (sides, driver) in sides[2..].chunks(2).zip(drivers) {
            let side = sides.concat();
            let all = figures(driver, &["start", "finish"]);
            all_are_shown(&format!("the side of {}", driver["driver"]), &words(&side), &all);
            all_are_shown(&format!("the screen of {stem}"), &screen, &all);
            assert!(side.contains("<svg") && words(&side).contains("SHA-256"), "each side stands for itself");
        }
    }
}

/// The words of every line with a box to tick.
fn ticked(html: &str) -> Vec<String> {
    let items = html.split("<li><label>").skip(1);
    items.map(|item| words(item.split("</li>").next().expect("an item"))).collect()
}

/// A name as paper has it.
fn in_words(name: &str) -> String {
    name.replace('_', " ")
}

/// Whether a line says what a change is: how many of which pieces, from where, to where.
fn says(line: &str, change: &Value) -> bool {
    let each = change["each_kg"].as_f64().expect("a mass");
    let count = change["count"].as_u64().expect("a count");
    let times = if count > 1 { format!("{count} \u{d7} ") } else { String::new() };
    let piece = in_words(change["piece"].as_str().expect("a name"));
    let amount = line.split(&format!(" kg {piece}")).next().and_then(|before| before.rsplit(' ').next());
    let is_amount =
        amount.and_then(|number| number.parse::<f64>().ok()).is_some_and(|kg| (kg - each).abs() < 6e-4);
    let ends = ["from", "to"]
        .iter()
        .all(|end| change[end].as_str().is_none_or(|mount| line.contains(&in_words(mount))));
    is_amount && ends && line.contains(&times)
}

/// Whether a line says how an adjuster is set, with its minutes.
fn sets(line: &str, adjuster: &Value) -> bool {
    let name = adjuster["adjuster"].as_str().expect("a name");
    let minutes = adjuster["time_minutes"].as_f64().expect("a number");
    line.contains(&in_words(name)) && line.ends_with(&format!("{minutes} min)"))
}

/// Mounts at which something is done.
fn places(changes: &[Value]) -> BTreeSet<&str> {
    changes.iter().flat_map(|change| [&change["from"], &change["to"]]).filter_map(Value::as_str).collect()
}

#[test]
fn every_change_and_every_setting_of_a_plan_can_be_ticked_off() {
    for stem in PLANNED {
        let (html, document) = sheet("plan", stem);
        let jobs = ticked(&html);
        for change in list(&document, "changes") {
            assert!(jobs.iter().any(|job| says(job, change)), "{stem}: {change} is not in {jobs:?}");
        }
        let set: Vec<&Value> =
            list(&document, "adjusters").iter().filter(|one| one["now"] != one["planned"]).collect();
        for adjuster in &set {
            assert!(jobs.iter().any(|job| sets(job, adjuster)), "{adjuster} is not in {jobs:?}");
        }
        let looked_at = usize::from(document["gate"].is_object());
        let work = set.len() + looked_at + places(list(&document, "changes")).len();
        // What comes after any work.
        assert_eq!(jobs.len(), if work > 0 { work + 2 } else { 0 }, "{stem}");
        let mounts = rows(&html, "mounts");
        for placement in list(&document, "placements") {
            let mount = placement["mount"].as_str().expect("a name");
            let row =
                mounts.iter().find(|row| row[0].ends_with(&in_words(mount))).expect("a row for the mount");
            assert!(row.last().is_some_and(|pieces| says(pieces, placement)), "{placement}: {row:?}");
        }
    }
}

#[test]
fn the_jobs_of_every_stop_stand_in_the_order_of_the_document() {
    let mut seen = 0;
    for stem in TEAMS {
        let (html, document) = sheet("swap", stem);
        let side = html.split("<article").nth(1).expect("a side for the stops");
        let handovers = std::iter::once(&document["preparation"]).chain(list(&document, "stops"));
        let mut jobs = ticked(side).into_iter();
        for handover in handovers {
            let (set, changes) = (list(handover, "adjusters"), list(handover, "jobs"));
            for adjuster in set {
                let job = jobs.next().expect("a line for every setting");
                assert!(sets(&job, adjuster), "{job}: {adjuster}");
            }
            let lines: Vec<String> = jobs.by_ref().take(places(changes).len()).collect();
            for change in changes {
                assert!(
                    lines.iter().any(|line| says(&line.replace(" :", ""), change)),
                    "{lines:?}: {change}"
                );
            }
            seen += set.len() + lines.len();
        }
        assert_eq!(jobs.next(), None, "{stem}");
    }
    assert!(seen > 10, "only {seen} jobs were seen");
}

#[test]
fn every_cell_of_a_card_is_that_of_the_document() {
    let mut plans = 0;
    for stem in CARDS {
        let (html, document) = sheet("card", stem);
        let table = rows(&html, "card");
        let shown: Vec<&String> = table.iter().flat_map(|row| &row[1..]).collect();
        let cells = list(&document, "cells");
        assert_eq!(shown.len(), cells.len(), "{stem}");
        for (shown, cell) in shown.iter().zip(cells) {
            let mark = match cell["way"].as_str().expect("a word") {
                "plan" => cell["work"].to_string(),
                "out_of_reach" => "x".to_owned(),
                "others" => "o".to_owned(),
                "pieces" => "p".to_owned(),
                _ => "?".to_owned(),
            };
            assert_eq!(**shown, mark);
            plans += usize::from(cell["way"] == "plan");
        }
        let said = words(&html);
        let one = |cell: &&Value| cell["front_step_percent"] == 0.0 || cell["across_step_percent"] == 0.0;
        let known = known(&said);
        for cell in cells.iter().filter(one).filter(|cell| cell["work"].as_u64().is_some_and(|work| work > 0))
        {
            for [value, sure] in [
                ["front_percent", "front_plus_minus_percent"],
                ["across_percent", "across_plus_minus_percent"],
            ] {
                assert!(shows(&known, &cell[value], &cell[sure]), "{stem}: {cell}");
            }
            for change in list(cell, "changes") {
                let lines = ticked(&html);
                assert!(lines.iter().any(|line| says(&line.replace(" :", ""), change)), "{stem}: {change}");
            }
        }
    }
    assert!(plans > 50, "only {plans} cells have a plan");
}

#[test]
fn all_cells_of_a_card_are_listed_when_asked_for() {
    let (html, document) = sheet_with(&["card", "--all"], "two-drivers");
    let changed =
        list(&document, "cells").iter().filter(|cell| cell["work"].as_u64().is_some_and(|work| work > 0));
    assert_eq!(html.matches("<h2>front ").count(), changed.count());
}

#[test]
fn everything_of_a_kit_can_be_ticked_off_and_every_case_reads_as_in_the_document() {
    let (html, document) = sheet("pack", "trip");
    let lines = ticked(&html);
    let mut all = 0;
    for piece in ["buy", "take", "leave"].into_iter().flat_map(|key| list(&document, key)) {
        let (count, each) = (&piece["count"], piece["each_kg"].as_f64().expect("a mass"));
        let said = format!("{count} \u{d7} {each} kg {}", piece["piece"].as_str().expect("a name"));
        let line = lines.iter().find(|line| line.starts_with(&said)).unwrap_or_else(|| panic!("no {said}"));
        assert!(piece["price"].as_f64().is_none_or(|price| line.contains(&format!(" {price}"))), "{line}");
        all += 1;
    }
    let hardware = &document["hardware"];
    for bolts in list(hardware, "bolts") {
        let length = bolts["length_mm"].as_f64().expect("a length");
        assert!(lines.contains(&format!("{} bolts {length} mm", bolts["count"])), "{lines:?}");
    }
    assert!(lines.contains(&format!("{} washers", hardware["washers"])));
    assert!(lines.contains(&format!("{} lock nuts", hardware["lock_nuts"])));
    assert_eq!(lines.len(), all + list(hardware, "bolts").len() + 2);
    let screen = rows_of(&["pack"], "trip");
    let cases = list(&document, "cases");
    assert_eq!(cases.len(), 18);
    for text in [words(&html), screen] {
        for case in cases {
            let figures = list(case, "residuals").iter().map(|one| (&one["value"], &one["plus_minus"]));
            for (value, sure) in figures.chain([(&case["total_kg"], &case["total_plus_minus_kg"])]) {
                let decimals = usize::from(last_place(sure.as_f64().expect("a mass")) < 0.09) + 1;
                let said = format!(" {:.decimals$} ", value.as_f64().expect("a figure"));
                assert!(text.contains(&said), "{said} is not said");
            }
        }
    }
}

#[test]
fn a_kart_without_a_legal_plan_has_a_sheet_that_says_by_how_much() {
    let (html, document) = sheet("plan", "too-light");
    let said = words(&html);
    let [short, unsure] =
        ["short_kg", "short_plus_minus_kg"].map(|key| document["shortfall"][key].as_f64().expect("a mass"));
    assert!(said.contains(&format!("TOO LIGHT by {short:.1} ± {unsure:.1} kg: no legal plan")), "{said}");
}

#[test]
fn names_are_nothing_but_text() {
    for command in ["plan", "weigh", "card", "reach"] {
        let (html, document) = sheet(command, "odd-names");
        for tag in ["<b>kart", "</script", "<2 kg>"] {
            assert!(!html.contains(tag), "{tag} is there");
        }
        let said = words(&html);
        for name in ["kart", "class"].map(|key| document[key].as_str().expect("a name")) {
            assert!(said.contains(name), "{name} is lost");
        }
        let long = "the mount behind the seat, where the old battery box stood until it was sawn off";
        assert!(!["plan", "card"].contains(&command) || said.contains(long));
    }
}

/// Two drivers and a tray among names that are everything a name may be.
#[test]
fn names_of_a_team_are_nothing_but_text() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let odd = fs::read_to_string(root.join("scenarios/odd-names.yaml")).expect("the scenario is there");
    let second = "'</td><script> \"; & eighty letters of a name that does not want to end, ever.'";
    let place = "{mass: 72, x: 442, y: 16}";
    let odd = odd
        .replace(place, &format!("{place}\n  {second}: {{mass: 71, x: 442, y: 16}}"))
        .replace("y: 270, capacity: 4}", "y: 270, capacity: 4, quick: true}");
    let odd = format!("{odd}driver: \"סם ☂\"\n");
    let [scenario, sheet, drawing] = ["odd.team.yaml", "odd.team.html", "odd.team.svg"]
        .map(|name| folder().join(name).display().to_string());
    fs::write(&scenario, odd).expect("a file can be written");
    let run = run(&["swap", &scenario, "--json", "--time", "600", "--sheet", &sheet, "--drawing", &drawing]);
    let document: Value = serde_json::from_str(&run.stdout).expect("a document");
    let html = fs::read_to_string(&sheet).unwrap_or_else(|_| panic!("{}", run.stderr));
    let svg = fs::read_to_string(&drawing).expect("the drawing is there");
    assert_eq!(list(&document, "drivers").len(), 2, "{}", run.stdout);
    for markup in [&html, &svg] {
        for tag in ["<script", "</td><script", "<b>kart"] {
            assert!(!markup.contains(tag), "{tag}");
        }
    }
    let said = words(&html);
    for driver in list(&document, "drivers") {
        assert!(said.contains(driver["driver"].as_str().expect("a name")), "{said}");
    }
    assert!(roxmltree::Document::parse(&svg).is_ok(), "the drawing is well-formed");
}

#[test]
fn a_team_without_a_set_up_has_one_side_that_says_why() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = fs::read_to_string(root.join("scenarios/two-drivers.yaml")).expect("the scenario is there");
    let minimum =
        text.split_once("minimum: ").expect("a minimum").1.split(['\n', ' ', '}']).next().expect("a mass");
    let heavy = text.replacen(&format!("minimum: {minimum}"), "minimum: 300 kg", 1);
    let [scenario, sheet] =
        ["heavy.yaml", "heavy.html"].map(|name| folder().join(name).display().to_string());
    fs::write(&scenario, heavy).expect("a file can be written");
    let run = run(&["swap", &scenario, "--json", "--time", "600", "--sheet", &sheet]);
    assert_eq!(run.code, Some(4), "{}", run.stderr);
    let document: Value = serde_json::from_str(&run.stdout).expect("a document");
    let html = fs::read_to_string(&sheet).expect("the sheet is there");
    assert_eq!(html.matches("<article").count(), 1);
    let who = document["not_even_alone"].as_str().expect("a name");
    let said = words(&html);
    assert!(said.contains(&format!("no legal plan for {who} , even alone on the kart")), "{said}");
}

#[test]
fn a_sheet_needs_nothing_but_itself() {
    let others = [("swap", "three-drivers"), ("card", "odd-names"), ("reach", "odd-names"), ("pack", "trip")];
    for (command, stem) in
        PLANNED.into_iter().flat_map(|stem| [("plan", stem), ("weigh", stem)]).chain(others)
    {
        let (html, _) = sheet(command, stem);
        let without_names = html.replace("http://www.w3.org/2000/svg", "");
        for outside in ["<script", "<link", "<img", "<iframe", "src=", "href=", "http:", "https:", "@import"]
        {
            assert!(!without_names.contains(outside), "{stem}: {outside}");
        }
        // A pattern or a marker of the same page is all that may be pointed at.
        assert!(without_names.split("url(").skip(1).all(|rest| rest.starts_with('#')));
    }
}

#[test]
fn a_sheet_says_where_it_comes_from_and_what_must_not_be_left_unsaid() {
    let (html, _) = sheet("plan", "club-sprint");
    let said = words(&html);
    let version = env!("CARGO_PKG_VERSION");
    for words in [
        "Scenario scenarios/club-sprint.yaml",
        "SHA-256 ",
        &format!("kentledge {version}"),
        "no better plan exists: proved for legal, targets, light, work, close",
        "Lead is toxic",
        "Loose lead is a projectile",
        "official scale is the one that counts",
    ] {
        assert!(said.contains(words), "{words} is not said");
    }
    let (again, _) = sheet("plan", "club-sprint");
    assert_eq!(html, again, "the same scenario gives the same sheet");
}

#[test]
fn four_readings_have_a_sheet_and_with_lengths_a_drawing() {
    let [sheet, drawing] = ["four.html", "four.svg"].map(|name| folder().join(name).display().to_string());
    let readings = ["weigh", "30.1kg", "30.4kg", "40.2kg", "41.0kg", "--sheet", &sheet];
    assert_eq!(run(&readings).code, Some(0));
    let html = fs::read_to_string(&sheet).expect("the sheet is there");
    assert!(!html.contains("from above") && words(&html).contains("--wheelbase"));
    let with_drawing = [readings.as_slice(), &["--drawing", &drawing]].concat();
    let refused = run(&with_drawing);
    assert!(refused.code == Some(2) && refused.stderr.contains("lengths"), "{}", refused.stderr);
    let lengths = ["--wheelbase", "1040mm", "--track-front", "1080mm", "--track-rear", "1120mm"];
    assert_eq!(run(&[with_drawing.as_slice(), &lengths].concat()).code, Some(0));
    assert!(fs::read_to_string(&drawing).expect("the drawing is there").contains(">30.1<"));
}

#[test]
fn a_card_and_a_check_list_have_no_drawing_and_say_so() {
    for command in [["card", "scenarios/two-drivers.yaml"], ["pack", "scenarios/trip.yaml"]] {
        let run = run(&[command[0], command[1], "--drawing", "kit.svg"]);
        assert_eq!(run.code, Some(2));
        assert!(run.stderr.contains("K025") && run.stderr.contains("no drawing"), "{}", run.stderr);
        assert_eq!((run.stderr.matches("error").count(), run.stderr.matches("help: ").count()), (1, 1));
    }
}
