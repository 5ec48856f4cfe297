//! The sheet of `pack` against its document: what to tick off, every case, what goes where.

use serde_json::Value;

use crate::{close, kg, program, rows, sheet, words};

fn list<'d>(document: &'d Value, key: &str) -> &'d Vec<Value> {
    document[key].as_array().unwrap_or_else(|| panic!("{key} is no list"))
}

/// The items under a heading.
fn under(html: &str, heading: &str) -> Vec<String> {
    let section = html.split_once(&format!("<h2>{heading}")).unwrap_or_else(|| panic!("no {heading}")).1;
    let items = section.split("</ul>").next().expect("a list").split("<li>").skip(1);
    items.map(words).collect()
}

#[test]
fn everything_that_is_bought_taken_and_bolted_can_be_ticked_off() {
    let (html, document) = sheet("pack", "trip");
    for (heading, key) in [("Buy", "buy"), ("Take along", "take"), ("Leave at home", "leave")] {
        let items = under(&html, heading);
        let documented = list(&document, key);
        assert_eq!(items.len(), documented.len(), "{heading}");
        for (item, piece) in items.iter().zip(documented) {
            let (count, rest) = item.split_once(" \u{d7} ").expect("a count");
            assert_eq!(Some(count.parse::<u64>().expect("a number")), piece["count"].as_u64());
            let (each, rest) = rest.split_once(" kg ").expect("a mass");
            close(kg(each), piece["each_kg"].as_f64().expect("a mass"), 3);
            assert!(rest.starts_with(piece["piece"].as_str().expect("a name")), "{item}");
            if let Some(price) = piece["price"].as_f64() {
                assert!(rest.ends_with(&format!(", {price}")), "{item}");
            }
        }
    }
    let hardware = &document["hardware"];
    let items = under(&html, "Bolts, washers, nuts");
    let bolts = list(hardware, "bolts");
    assert_eq!(items.len(), bolts.len() + 2);
    for (item, bolt) in items.iter().zip(bolts) {
        let (count, length) =
            (bolt["count"].as_u64().expect("a count"), bolt["length_mm"].as_f64().expect("a length"));
        assert_eq!(*item, format!("{count} \u{d7} {length} mm bolts"));
    }
    assert_eq!(items[bolts.len()], format!("{} washers", hardware["washers"]));
    assert_eq!(items[bolts.len() + 1], format!("{} lock nuts", hardware["lock_nuts"]));
    assert_eq!(html.matches("type=\"checkbox\"").count(), 9 + bolts.len() + 2);
}

#[test]
fn every_case_reads_as_in_the_document() {
    let (html, document) = sheet("pack", "trip");
    let cases = list(&document, "cases");
    assert_eq!(cases.len(), 18);
    let page = html.split("<article").nth(2).expect("a side for the cases");
    let mut shown = page.split("<tbody>").skip(1);
    for case in cases {
        let body = shown.next().expect("a part for every case");
        let body = format!(
            "<table class=\"one\"><tbody>{}</tbody>",
            body.split("</tbody>").next().expect("its end")
        );
        let rows = rows(&body, "one");
        let (total, unsure) = rows[0][0].split_once(" ± ").expect("a total has its ±");
        let total = total.rsplit(' ').next().expect("a total");
        close(kg(total), case["total_kg"].as_f64().expect("a mass"), 3);
        close(kg(unsure), case["total_plus_minus_kg"].as_f64().expect("a ±"), 2);
        assert!(rows[0][0].starts_with(case["targets"].as_str().expect("a name")), "{:?}", rows[0]);
        let residuals = list(case, "residuals");
        let mut figures: Vec<&Value> = Vec::new();
        for residual in residuals {
            if !figures.contains(&&residual["target"]) {
                figures.push(&residual["target"]);
            }
        }
        for (row, figure) in rows[1..].iter().zip(&figures) {
            let of = |state: &str| {
                let mut found =
                    residuals.iter().filter(|one| one["target"] == **figure && one["state"] == state);
                found.next().expect("a state").clone()
            };
            for (cell, state) in row[1..3].iter().zip(["start", "finish"]) {
                close(kg(cell), of(state)["value"].as_f64().expect("a share"), 2);
            }
            let uncertainties =
                ["start", "finish"].map(|state| of(state)["plus_minus"].as_f64().expect("a ±"));
            assert!(uncertainties.iter().any(|one| (one - kg(&row[3])).abs() <= 0.0051), "{row:?}");
        }
        let calls: Vec<&str> = residuals.iter().filter_map(|one| one["call"].as_str()).collect();
        let worst =
            ["missed", "too close to call"].into_iter().find(|call| calls.contains(call)).unwrap_or("met");
        let word = [("missed", "off by"), ("too close to call", "too close to call"), ("met", "on target")];
        let word = word.iter().find(|(call, _)| *call == worst).expect("a word").1;
        assert!(rows[0][1].contains(word), "{:?}", rows[0]);
        let where_it_goes = &rows[1 + figures.len()][0];
        for placement in list(case, "placements") {
            for key in ["mount", "piece"] {
                assert!(where_it_goes.contains(placement[key].as_str().expect("a name")), "{where_it_goes}");
            }
        }
    }
    assert!(shown.next().is_none(), "more parts than cases");
}

#[test]
fn a_check_list_has_no_drawing_and_says_so() {
    let run = program::run(&["pack", "scenarios/trip.yaml", "--drawing", "kit.svg"]);
    assert_eq!(run.code, Some(2));
    assert!(run.stderr.contains("K025") && run.stderr.contains("no drawing"), "{}", run.stderr);
}
