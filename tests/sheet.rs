//! The sheet read back: its numbers against the document of the same command, names as text, nothing from outside.
//! Takes sheets of the built program; reads the cells of their tables and the items of their lists.
//! Does not know how they look: that is seen in a browser, by `.ci/sheets.mjs`.

#[path = "sheet/card.rs"]
mod card;
#[path = "sheet/pack.rs"]
mod pack;
#[path = "support/run.rs"]
#[expect(dead_code, reason = "nothing here is read from stdin")]
mod program;
#[path = "sheet/reach.rs"]
mod reach;
#[path = "sheet/swap.rs"]
mod swap;

use std::fs;
use std::path::Path;

use program::run;
use serde_json::Value;

const PLANNED: [&str; 7] =
    ["club-sprint", "light-junior", "odd-names", "out-of-band", "oval", "seat-and-spacers", "two-drivers"];

/// The sheet and the document of a command on a shipped scenario, in kilograms whatever its file has.
fn sheet(command: &str, stem: &str) -> (String, Value) {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("sheet");
    fs::create_dir_all(&folder).expect("a folder can be made");
    let file = folder.join(format!("{command}.{stem}.html"));
    let file = file.to_str().expect("test folders have plain names");
    let scenario = format!("scenarios/{stem}.yaml");
    let run = run(&[command, &scenario, "--json", "--units", "kg-mm", "--time", "600", "--sheet", file]);
    let document = serde_json::from_str(&run.stdout).unwrap_or_else(|_| panic!("{}", run.stderr));
    (fs::read_to_string(file).expect("the sheet is there"), document)
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

fn kg(text: &str) -> f64 {
    text.trim_start_matches('+').parse().unwrap_or_else(|_| panic!("`{text}` is no number"))
}

/// A figure and its ± against a document that has both.
fn close_with_its_plus_minus(shown: &str, value: &Value, plus_minus: &Value) {
    let (number, unsure) = shown.split_once(" ± ").unwrap_or_else(|| panic!("`{shown}` has no ±"));
    close(kg(number), value.as_f64().expect("a figure"), 2);
    close(kg(unsure), plus_minus.as_f64().expect("a ±"), 2);
}

/// The rows of the tables of corners and of targets: before, and as planned.
fn corners_and_targets_read_as_in(html: &str, before: &Value, planned: &Value, weighed_at: &str) {
    let of_corners = [(before, weighed_at), (planned, "start"), (planned, "finish")];
    let rows = rows(html, "corners");
    assert_eq!(rows.len(), 5);
    for (row, corner) in rows.iter().zip(["lf", "rf", "lr", "rr"]) {
        let [wheel, loads @ .., blank] = row.as_slice() else { panic!("{row:?}") };
        assert_eq!((wheel.to_lowercase().as_str(), blank.as_str(), loads.len()), (corner, "", 3));
        for (shown, (kart, moment)) in loads.iter().zip(of_corners) {
            let plus_minus = &kart["plus_minus"][moment]["corners_kg"][corner];
            close_with_its_plus_minus(shown, &kart["corners_kg"][moment][corner], plus_minus);
        }
    }
    for (shown, (kart, moment)) in rows[4][1..].iter().zip(of_corners) {
        let total = ["lf", "rf", "lr", "rr"].map(|corner| kart["corners_kg"][moment][corner].as_f64());
        let total = total.into_iter().flatten().sum::<f64>();
        close_with_its_plus_minus(shown, &total.into(), &kart["plus_minus"][moment]["total_kg"]);
    }
    let mut rows = self::rows(html, "targets").into_iter();
    let residuals = |kart: &Value| kart["residuals"].as_array().expect("a list").clone();
    for (then, now) in residuals(before).iter().zip(residuals(planned)) {
        let row = rows.next().expect("a row for every residual");
        // The name spans the rows of its states.
        let [.., moment, earlier, later, stands] = row.as_slice() else { panic!("{row:?}") };
        assert_eq!(now["state"], moment.as_str());
        for (shown, residual) in [(earlier, then), (later, &now)] {
            close_with_its_plus_minus(shown, &residual["value"], &residual["plus_minus"]);
        }
        let call = now["call"].as_str().expect("a verdict");
        let words = [("met", "on target"), ("missed", "off by"), ("too close to call", "too close to call")];
        for (of, word) in words {
            assert_eq!(stands.contains(word), call == of, "{row:?}");
        }
        if call == "missed" {
            let off = stands.split("off by ").nth(1).and_then(|off| off.split(' ').next()).expect("a miss");
            close(kg(off), now["miss_kg"].as_f64().expect("a miss"), 2);
        }
    }
    // What is left has no target, and a ± all the same.
    for row in rows {
        assert!(row.iter().filter(|cell| cell.contains(" ± ")).count() == 2, "{row:?}");
    }
}

fn close(shown: f64, documented: f64, decimals: i32) {
    // Half of the last digit shown, and the milligrams of the document, of which a sum has several.
    let half = 0.5 * 10.0_f64.powi(-decimals) + 3e-6;
    assert!((shown - documented).abs() <= half, "the sheet shows {shown}, the document {documented}");
}

#[test]
fn loads_and_targets_are_those_of_the_document_with_their_plus_minus() {
    for stem in PLANNED {
        let (html, document) = sheet("plan", stem);
        let weighed_at = document["margin"]["weighed_at"].as_str().expect("a state");
        corners_and_targets_read_as_in(&html, &document["now"], &document, weighed_at);
    }
}

#[test]
fn totals_are_those_of_the_document() {
    for stem in PLANNED {
        let (html, document) = sheet("plan", stem);
        let facts = words(html.split_once("<dl").expect("facts").1.split_once("</dl>").expect("their end").0);
        let margin = &document["margin"];
        for (word, documented, decimals) in [
            ("minimum", &margin["minimum_kg"], 3),
            ("margin", &margin["margin_kg"], 3),
            ("wanted", &margin["required_kg"], 3),
            ("planned", &document["total_kg"], 3),
            ("above", &margin["above_required_kg"], 2),
        ] {
            let after = facts.split_once(word).expect("the fact").1.trim();
            let number = after.split(' ').next().expect("a number");
            close(kg(number), documented.as_f64().expect("a mass"), decimals);
        }
    }
}

#[test]
fn every_placement_and_every_change_is_on_the_sheet() {
    for stem in PLANNED {
        let (html, document) = sheet("plan", stem);
        let rows = rows(&html, "mounts");
        let said = |entry: &Value| {
            let count = entry["count"].as_u64().expect("a count");
            let each = entry["piece_kg"].as_f64().expect("a mass");
            let times = if count > 1 { format!("{count} \u{d7} ") } else { String::new() };
            (times, each, entry["piece"].as_str().expect("a name").to_owned())
        };
        for placement in document["placements"].as_array().expect("a list") {
            let mount = placement["mount"].as_str().expect("a name");
            let row = rows.iter().find(|row| row[0].ends_with(mount)).unwrap_or_else(|| panic!("no {mount}"));
            let (times, each, piece) = said(placement);
            // `5 kg block`, or `2 × 2.5 kg slab` among others.
            let before = row[1].split(&format!(" kg {piece}")).next().expect("what stands before it");
            let number = before.rsplit(' ').next().expect("its mass");
            close(kg(number), each, 3);
            assert!(row[1].contains(&format!("{times}{number} kg {piece}")), "{stem}: {row:?}");
        }
        let jobs: Vec<String> = html
            .split("<li><label>")
            .skip(1)
            .map(|item| words(item.split("</li>").next().expect("an item")))
            .collect();
        let adjusters = document["adjusters"].as_array().expect("a list");
        let set: Vec<&Value> = adjusters.iter().filter(|one| one["now"] != one["planned"]).collect();
        let changes = document["changes"].as_array().expect("a list");
        assert_eq!(jobs.len(), set.len() + changes.len(), "{stem}");
        for (job, adjuster) in jobs.iter().zip(&set) {
            let [name, now, planned] =
                ["adjuster", "now", "planned"].map(|key| adjuster[key].as_str().expect("a name"));
            assert_eq!(*job, format!("{name} {now} \u{2192} {planned}"));
        }
        for (job, change) in jobs[set.len()..].iter().zip(changes) {
            let (times, each, piece) = said(change);
            let number = job.trim_start_matches(&times).split(' ').next().expect("a number");
            close(kg(number), each, 3);
            assert!(job.contains(&format!("kg {piece}")), "{job}");
            for end in ["from", "to"] {
                assert!(change[end].as_str().is_none_or(|mount| job.contains(mount)), "{job}");
            }
        }
    }
}

#[test]
fn the_sheet_of_a_weighing_reads_as_its_document() {
    for stem in PLANNED.into_iter().chain(["too-light"]) {
        let (html, document) = sheet("weigh", stem);
        let rows = rows(&html, "corners");
        let sure = &document["plus_minus"];
        for (row, corner) in rows.iter().zip(["lf", "rf", "lr", "rr"]) {
            let [load, unsure] = [&document["corners_kg"], &sure["corners_kg"]].map(|of| &of[corner]);
            close_with_its_plus_minus(&row[1], load, unsure);
        }
        for row in &rows[4..8] {
            assert!(row[1].contains(" ± "), "{row:?}");
            let key = format!("{}_percent", row[0]);
            close_with_its_plus_minus(&row[2], &document[&key], &sure[&key]);
        }
        close_with_its_plus_minus(&rows[8][1], &document["total_kg"], &sure["total_kg"]);
        let figures = self::rows(&html, "targets");
        for (name, key) in [
            ("front %", "front_percent"),
            ("rear %", "rear_percent"),
            ("left %", "left_percent"),
            ("cross %", "cross_percent"),
            ("front pair", "front_pair_kg"),
            ("rear pair", "rear_pair_kg"),
        ] {
            let row = figures.iter().find(|row| row[0].starts_with(name)).expect("a row for every figure");
            close_with_its_plus_minus(&row[1], &document[key], &sure[key]);
        }
    }
}

#[test]
fn a_kart_without_a_legal_plan_has_a_sheet_that_says_by_how_much() {
    let (html, document) = sheet("plan", "too-light");
    let said = words(&html);
    let [short, unsure] =
        ["short_kg", "short_plus_minus_kg"].map(|key| document["shortfall"][key].as_f64().expect("a mass"));
    assert!(said.contains(&format!("no legal plan: {short} ± {unsure:.2} kg too light")), "{said}");
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
        "best possible: proved for legal, band, light, work, close",
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
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("sheet");
    fs::create_dir_all(&folder).expect("a folder can be made");
    let [sheet, drawing] = ["four.html", "four.svg"].map(|name| folder.join(name).display().to_string());
    let readings = ["weigh", "30.1kg", "30.4kg", "40.2kg", "41.0kg", "--sheet", &sheet];
    assert_eq!(run(&readings).code, Some(0));
    let html = fs::read_to_string(&sheet).expect("the sheet is there");
    assert!(!html.contains("<svg") && words(&html).contains("--wheelbase"));
    let with_drawing = [readings.as_slice(), &["--drawing", &drawing]].concat();
    let refused = run(&with_drawing);
    assert!(refused.code == Some(2) && refused.stderr.contains("lengths"), "{}", refused.stderr);
    let lengths = ["--wheelbase", "1040mm", "--track-front", "1080mm", "--track-rear", "1120mm"];
    assert_eq!(run(&[with_drawing.as_slice(), &lengths].concat()).code, Some(0));
    assert!(fs::read_to_string(&drawing).expect("the drawing is there").contains("LF 30.10"));
}
