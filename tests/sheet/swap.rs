//! The sheet of `swap` against its document: every stop's jobs, every driver's side.

use std::path::Path;

use roxmltree::Document;
use serde_json::Value;

use crate::{close, corners_and_targets_read_as_in, kg, program, rows, sheet, words};

const TEAMS: [&str; 3] = ["two-drivers", "three-drivers", "seat-on-pins"];

/// The pages of a sheet; the first is that of the stops.
fn pages(html: &str) -> Vec<&str> {
    html.split("<article").skip(1).collect()
}

/// The items of the lists with boxes, as words.
fn ticked(html: &str) -> Vec<String> {
    let items = html.split("<li><label>").skip(1);
    items.map(|item| words(item.split("</li>").next().expect("an item"))).collect()
}

fn list<'d>(document: &'d Value, key: &str) -> &'d Vec<Value> {
    document[key].as_array().unwrap_or_else(|| panic!("{key} is no list"))
}

fn assert_says(job: &str, change: &Value) {
    if let Some(adjuster) = change["adjuster"].as_str() {
        let [now, planned] = ["now", "planned"].map(|key| change[key].as_str().expect("a setting"));
        assert_eq!(job, format!("Set {adjuster} {now} \u{2192} {planned}"));
        return;
    }
    let verb = match (change["from"].as_str(), change["to"].as_str()) {
        (Some(_), Some(_)) => "Move",
        (Some(_), None) => "Take off",
        _ => "Put on",
    };
    let rest = job.strip_prefix(verb).unwrap_or_else(|| panic!("{job} is not `{verb}`")).trim();
    let count = change["count"].as_u64().expect("a count");
    let rest =
        if count > 1 { rest.strip_prefix(&format!("{count} \u{d7} ")).expect("the count") } else { rest };
    let (number, rest) = rest.split_once(" kg ").expect("a mass");
    close(kg(number), change["piece_kg"].as_f64().expect("a mass"), 3);
    assert!(rest.starts_with(change["piece"].as_str().expect("a name")), "{job}");
    for end in ["from", "to"] {
        assert!(change[end].as_str().is_none_or(|mount| rest.contains(mount)), "{job} and {change}");
    }
}

/// What is done at a change of driver: settings, then lead.
fn done(handover: &Value) -> impl Iterator<Item = &Value> {
    list(handover, "adjusters").iter().chain(list(handover, "jobs"))
}

#[test]
fn there_is_a_side_for_the_stops_and_one_for_every_driver() {
    for stem in TEAMS {
        let (html, document) = sheet("swap", stem);
        let pages = pages(&html);
        let drivers = list(&document, "drivers");
        assert_eq!(pages.len(), drivers.len() + 1);
        for (page, driver) in pages[1..].iter().zip(drivers) {
            let title =
                words(page.split_once("<h1>").expect("a title").1.split_once("</h1>").expect("its end").0);
            assert!(title.starts_with(driver["driver"].as_str().expect("a name")), "{title}");
            assert!(page.contains("<svg") && words(page).contains("SHA-256"), "each side stands for itself");
        }
    }
}

#[test]
fn the_jobs_of_every_stop_stand_in_the_order_of_the_document() {
    let mut seen = 0;
    for stem in TEAMS {
        let (html, document) = sheet("swap", stem);
        let pages = pages(&html);
        let stops = list(&document, "stops");
        let all: Vec<&Value> =
            std::iter::once(&document["preparation"]).chain(stops).flat_map(done).collect();
        let jobs = ticked(pages[0]);
        assert_eq!(jobs.len(), all.len(), "{stem}");
        for (job, change) in jobs.iter().zip(&all) {
            assert_says(job, change);
            seen += 1;
        }
        // A driver's own side has the jobs before each of his stints, a stop that comes again once.
        for (page, driver) in pages[1..].iter().zip(list(&document, "drivers")) {
            let name = &driver["driver"];
            let mut own: Vec<&Value> = Vec::new();
            if document["order"][0] == *name {
                own.extend(done(&document["preparation"]));
            }
            let mut before: Vec<&Value> = Vec::new();
            for stop in stops.iter().filter(|stop| stop["to"] == *name) {
                if !before.contains(&&stop["from"]) {
                    before.push(&stop["from"]);
                    own.extend(done(stop));
                }
            }
            let jobs = ticked(page);
            assert_eq!(jobs.len(), own.len(), "{stem}, {name}");
            jobs.iter().zip(own).for_each(|(job, change)| assert_says(job, change));
        }
    }
    assert!(seen > 10, "only {seen} jobs were seen");
}

#[test]
fn every_driver_reads_as_in_the_document() {
    for stem in TEAMS {
        let (html, document) = sheet("swap", stem);
        for (page, driver) in pages(&html)[1..].iter().zip(list(&document, "drivers")) {
            let weighed_at = driver["margin"]["weighed_at"].as_str().expect("a state");
            corners_and_targets_read_as_in(page, &driver["before"], driver, weighed_at);
            assert_eq!(rows(page, "targets").len(), list(driver, "residuals").len());
            for placement in list(driver, "placements") {
                let mount = placement["mount"].as_str().expect("a name");
                let rows = rows(page, "mounts");
                let row = rows.iter().find(|row| row[0].ends_with(mount)).expect("the mount has a row");
                let piece = placement["piece"].as_str().expect("a name");
                assert!(row[1].contains(&format!(" kg {piece}")), "{row:?} has no {piece}");
            }
            let said = words(page);
            let total = driver["total_kg"].as_f64().expect("a mass");
            assert!(said.contains(&format!("{total} ± ")), "{total} is not said: {said}");
            let margin = driver["margin"]["required_kg"].as_f64().expect("a mass");
            assert!(said.contains(&format!("wanted {margin} kg")), "{margin} is not said");
        }
    }
}

/// What a driver finds on the kart is what the one before leaves: the loads before add up to his kart with that lead.
#[test]
fn before_a_stop_is_what_the_driver_before_leaves() {
    let (html, document) = sheet("swap", "three-drivers");
    let drivers = list(&document, "drivers");
    let lead = |driver: &Value| -> f64 {
        list(driver, "placements").iter().map(|placed| placed["mass_kg"].as_f64().expect("a mass")).sum()
    };
    for (index, page) in pages(&html).into_iter().enumerate().skip(2) {
        let rows = rows(page, "corners");
        let loads = |column: usize| -> f64 {
            let shown = rows[..4].iter().map(|row| row[column].split(" ± ").next().map_or(f64::NAN, kg));
            shown.sum()
        };
        let (before, planned) = (loads(1), loads(3));
        let (own, relieved) = (lead(&drivers[index - 1]), lead(&drivers[index - 2]));
        assert!((planned - before - (own - relieved)).abs() < 0.05, "{planned} {before} {own} {relieved}");
        assert!(words(page).contains("Before: what "));
    }
}

/// Two drivers and a tray among names that are everything a name may be.
#[test]
fn names_of_a_team_are_nothing_but_text() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let odd = std::fs::read_to_string(root.join("scenarios/odd-names.yaml")).expect("the scenario is there");
    let second = "'</td><script> \"; & eighty letters of a name that does not want to end, ever.'";
    let odd = odd
        .replace(
            "{mass: 72, x: 442, y: 16}",
            &format!("{{mass: 72, x: 442, y: 16}}\n  {second}: {{mass: 71, x: 442, y: 16}}"),
        )
        .replace("y: 270, capacity: 4}", "y: 270, capacity: 4, quick: true}");
    let odd = format!("{odd}driver: \"סם ☂\"\n");
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("sheet");
    std::fs::create_dir_all(&folder).expect("a folder can be made");
    let [scenario, sheet, drawing] = ["odd.team.yaml", "odd.team.html", "odd.team.svg"]
        .map(|name| folder.join(name).display().to_string());
    std::fs::write(&scenario, odd).expect("a file can be written");
    let run = program::run(&[
        "swap",
        &scenario,
        "--json",
        "--time",
        "600",
        "--sheet",
        &sheet,
        "--drawing",
        &drawing,
    ]);
    let document: Value = serde_json::from_str(&run.stdout).expect("a document");
    let html = std::fs::read_to_string(&sheet).unwrap_or_else(|_| panic!("{}", run.stderr));
    let svg = std::fs::read_to_string(&drawing).expect("the drawing is there");
    assert_eq!(list(&document, "drivers").len(), 2, "{}", run.stdout);
    for markup in [&html, &svg] {
        assert!(
            !markup.contains("<script") && !markup.contains("</td><script") && !markup.contains("<b>kart")
        );
    }
    let said = words(&html);
    for driver in list(&document, "drivers") {
        assert!(said.contains(driver["driver"].as_str().expect("a name")), "{said}");
    }
    assert!(Document::parse(&svg).is_ok(), "the drawing is well-formed");
}

#[test]
fn a_team_without_a_set_up_has_one_side_that_says_why() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text =
        std::fs::read_to_string(root.join("scenarios/two-drivers.yaml")).expect("the scenario is there");
    let minimum =
        text.split_once("minimum: ").expect("a minimum").1.split(['\n', ' ', '}']).next().expect("a mass");
    let heavy = text.replacen(&format!("minimum: {minimum}"), "minimum: 300 kg", 1);
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("sheet");
    std::fs::create_dir_all(&folder).expect("a folder can be made");
    let [scenario, sheet] = ["heavy.yaml", "heavy.html"].map(|name| folder.join(name).display().to_string());
    std::fs::write(&scenario, heavy).expect("a file can be written");
    let run = program::run(&["swap", &scenario, "--json", "--time", "600", "--sheet", &sheet]);
    assert_eq!(run.code, Some(4), "{}", run.stderr);
    let document: Value = serde_json::from_str(&run.stdout).expect("a document");
    let html = std::fs::read_to_string(&sheet).expect("the sheet is there");
    assert_eq!(html.matches("<article").count(), 1);
    let who = document["not_even_alone"].as_str().expect("a name");
    assert!(
        words(&html).contains(&format!("no legal plan for {who} , even alone on the kart")),
        "{}",
        words(&html)
    );
}
