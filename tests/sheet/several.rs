//! Pictures of trays, kits, seasons and of what was learned against their documents: what they show, and to scale.

use approx::assert_abs_diff_eq;
use roxmltree::{Document, Node};
use serde_json::Value;

use super::{number, of, pictures, with_class};
use crate::{TEAMS, list, sheet, words};

/// The first table of that class with this text in it.
fn table<'h>(html: &'h str, class: &str, text: &str) -> &'h str {
    let begin = format!("<table class=\"{class}\">");
    let tables = html.match_indices(&begin).map(|(start, _)| {
        let stop = html[start..].find("</table>").expect("its end") + "</table>".len();
        &html[start..start + stop]
    });
    tables.into_iter().find(|table| table.contains(text)).unwrap_or_else(|| panic!("no {class} with {text}"))
}

fn text_of(node: Node) -> String {
    let all = node.descendants().filter(Node::is_text).filter_map(|text| text.text());
    all.collect::<String>().split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Squares of one kind in a cell: how many, what becomes of them, the area of each, what is said of them.
type Squares = (u64, String, f64, String);

fn squares(cell: Node) -> Vec<Squares> {
    let kinds = cell.children().filter(|child| child.attribute("class") == Some("pieces"));
    let kind = |kind: Node| {
        let all: Vec<Node> = kind.descendants().filter(|node| node.has_tag_name("rect")).collect();
        let sides = [number(all[0], "width"), number(all[0], "height")];
        let fate = all[0].attribute("class").expect("a class").to_owned();
        (all.len() as u64, fate, sides[0] * sides[1], text_of(kind))
    };
    kinds.map(kind).collect()
}

/// Rows of a table of lead: the name, then the squares of each cell.
fn rows_of_lead(table: &str) -> Vec<(String, Vec<Vec<Squares>>)> {
    let document = Document::parse(table).expect("well-formed");
    let body = document.descendants().find(|node| node.has_tag_name("tbody")).expect("a body");
    let rows = body.children().map(|row| {
        let name = row.children().find(|cell| cell.has_tag_name("th")).map(text_of).expect("a name");
        let cells = row.children().filter(|cell| cell.has_tag_name("td")).map(squares);
        (name, cells.collect())
    });
    rows.collect()
}

/// How many of a piece a driver of the document has on a mount.
fn lies(driver: &Value, mount: &str, piece: &str) -> u64 {
    let here = list(driver, "placements").iter().filter(|one| one["mount"] == mount && one["piece"] == piece);
    here.map(|one| one["count"].as_u64().expect("a count")).sum()
}

/// How many of a piece leave or enter a mount before the first stint.
fn moved(document: &Value, piece: &str, end: &str, mount: &str) -> u64 {
    let jobs = list(&document["preparation"], "jobs").iter();
    jobs.filter(|job| job["piece"] == piece && job[end] == mount)
        .map(|job| job["count"].as_u64().expect("a count"))
        .sum()
}

#[test]
fn trays_hold_at_every_stint_what_the_document_puts_there_to_scale() {
    let mut seen = 0;
    for stem in TEAMS {
        let (html, document) = sheet("swap", stem);
        let drivers = list(&document, "drivers");
        let order: Vec<&Value> = list(&document, "order")
            .iter()
            .map(|name| drivers.iter().find(|driver| driver["driver"] == *name).expect("he drives"))
            .collect();
        let all = drivers.iter().flat_map(|driver| list(driver, "placements"));
        let all = all.chain(list(&document["preparation"], "jobs"));
        let kinds: std::collections::BTreeMap<&str, f64> =
            all.map(|one| (one["piece"].as_str().expect("a name"), of(&one["each_kg"]))).collect();
        let table = table(&html, "lead", "In the trays, stint by stint");
        let rows = rows_of_lead(table);
        let quick = list(&drivers[0], "mounts").iter().filter(|mount| mount["quick"] == true);
        let quick: Vec<&str> = quick.map(|mount| mount["mount"].as_str().expect("a name")).collect();
        assert_eq!(rows.len(), quick.len(), "{stem}");
        for (tray, (name, cells)) in quick.iter().zip(&rows) {
            assert!(name.ends_with(&tray.replace('_', " ")), "{stem}: {name} is {tray}");
            assert_eq!(cells.len(), order.len().min(4));
            for (stint, drawn) in cells.iter().enumerate() {
                let mut expected = Vec::new();
                for (piece, kg) in &kinds {
                    let now = lies(order[stint], tray, piece);
                    let before = match stint {
                        0 => {
                            now + moved(&document, piece, "from", tray) - moved(&document, piece, "to", tray)
                        }
                        _ => lies(order[stint - 1], tray, piece),
                    };
                    let fates = [
                        ("outline", now.min(before)),
                        ("comes", now.saturating_sub(before)),
                        ("gone", before.saturating_sub(now)),
                    ];
                    expected.extend(
                        fates
                            .into_iter()
                            .filter(|(_, count)| *count > 0)
                            .map(|(fate, count)| (count, fate, *kg, *piece)),
                    );
                }
                assert_eq!(drawn.len(), expected.len(), "{stem}: {tray} at stint {}: {drawn:?}", stint + 1);
                for (count, fate, kg, piece) in expected {
                    let is_it = |(drawn, as_drawn, area, said): &Squares| {
                        (*drawn, as_drawn.as_str()) == (count, fate)
                            && said.ends_with(piece)
                            && (area / kg / 289.0 - 1.0).abs() < 0.01
                    };
                    assert!(
                        drawn.iter().any(is_it),
                        "{stem}: {tray}, stint {}: {count} {piece} {fate}: {drawn:?}",
                        stint + 1
                    );
                    seen += 1;
                }
            }
        }
    }
    assert!(seen >= 15, "only {seen} squares were seen");
}

#[test]
fn what_is_always_on_the_kart_is_what_all_drivers_have_there() {
    for stem in TEAMS {
        let (html, document) = sheet("swap", stem);
        let table = table(&html, "lead", "");
        let drawn: u64 =
            rows_of_lead(table).iter().flat_map(|(_, cells)| cells).flatten().map(|squares| squares.0).sum();
        let base = list(&document, "base");
        assert_eq!(
            drawn,
            base.iter().map(|one| one["count"].as_u64().expect("a count")).sum::<u64>(),
            "{stem}"
        );
        for one in base {
            assert!(words(table).contains(one["piece"].as_str().expect("a name")), "{stem}: {one}");
        }
    }
}

#[test]
fn cases_by_pieces_are_the_placements_of_the_document() {
    let (html, document) = sheet("pack", "trip");
    let rows = rows_of_lead(table(&html, "lead", "Cases by pieces"));
    let cases = list(&document, "cases");
    let rows: Vec<_> = rows.iter().filter(|(_, cells)| !cells.is_empty()).take(cases.len()).collect();
    assert_eq!(rows.len(), cases.len());
    let kinds: Vec<&Value> = list(&document, "take").iter().chain(list(&document, "buy")).collect();
    let mut black = 0;
    for (place, (case, (_, cells))) in cases.iter().zip(rows).enumerate() {
        assert_eq!(cells.len(), kinds.len());
        for (kind, cell) in kinds.iter().zip(cells) {
            let here = list(case, "placements").iter().filter(|one| one["piece"] == kind["piece"]);
            let used: u64 = here.map(|one| one["count"].as_u64().expect("a count")).sum();
            assert_eq!(cell.iter().map(|squares| squares.0).sum::<u64>(), used, "{}: {kind}", case["driver"]);
            let needed = list(&document, "pieces_for").iter().find(|line| line["piece"] == kind["piece"]);
            let lost = needed.is_some_and(|line| list(line, "lost_with_one_less").contains(&place.into()));
            for (_, fate, area, _) in cell {
                assert_eq!(fate == "comes", lost, "{}: {kind}", case["driver"]);
                assert_abs_diff_eq!(area / of(&kind["each_kg"]) / 36.0, 1.0, epsilon = 0.01);
                black += u32::from(lost);
            }
        }
    }
    assert!(black > 10);
}

#[test]
fn a_season_is_to_scale_of_time_and_of_its_figures() {
    let (html, document) = sheet("log", "season");
    let weighings = list(&document, "weighings");
    let mut gaps = Vec::new();
    for (panel, key) in [
        ("total", "total_kg"),
        ("front %", "front_percent"),
        ("left %", "left_percent"),
        ("cross %", "cross_percent"),
        ("twist at LF", "twist_at_lf_kg"),
    ] {
        let all = pictures(&html);
        let text = all.iter().find(|text| text.contains(&format!("data-of=\"{panel}\""))).expect("a panel");
        let picture = Document::parse(text).expect("well-formed");
        let shown: Vec<&Value> = weighings.iter().filter(|one| !one[key].is_null()).collect();
        let mut whiskers: Vec<[f64; 3]> = with_class(&picture, "whisker")
            .into_iter()
            .filter(|line| line.attribute("x1") == line.attribute("x2"))
            .map(|line| [number(line, "x1"), number(line, "y1"), number(line, "y2")])
            .collect();
        whiskers.sort_by(|one, other| one[0].total_cmp(&other[0]));
        assert_eq!(whiskers.len(), shown.len(), "{panel}");
        // Pixels to a unit from the first whisker, then every middle and every length.
        let sure = |one: &Value| {
            of(&one[key.replace("_percent", "_plus_minus_percent").replace("_kg", "_plus_minus_kg").as_str()])
        };
        let scale = (whiskers[0][1] - whiskers[0][2]) / (2.0 * sure(shown[0]));
        for (one, [_, least, most]) in shown.iter().zip(&whiskers) {
            assert_abs_diff_eq!((least - most) / scale, 2.0 * sure(one), epsilon = 0.02);
            let up = (whiskers[0][1] + whiskers[0][2] - least - most) / 2.0 / scale;
            assert_abs_diff_eq!(up, of(&one[key]) - of(&shown[0][key]), epsilon = 0.02);
        }
        if key == "total_kg" {
            gaps = whiskers.windows(2).map(|pair| pair[1][0] - pair[0][0]).collect();
        }
        if let Some(target) = list(&document, "targets")
            .iter()
            .find(|share| panel.starts_with(share["target"].as_str().expect("a name")))
        {
            let wanted = with_class(&picture, "target")[0];
            assert_abs_diff_eq!(
                number(wanted, "height") / scale,
                2.0 * of(&target["within_percent"]),
                epsilon = 0.02
            );
            let middle = number(wanted, "y") + number(wanted, "height") / 2.0;
            let up = (whiskers[0][1].midpoint(whiskers[0][2]) - middle) / scale;
            assert_abs_diff_eq!(up, of(&target["aim_percent"]) - of(&shown[0][key]), epsilon = 0.02);
        }
    }
    // 14 March, 11 April, 2 May, and twice 23 May: 28, 21, 21 and no days between them.
    let step = gaps[3];
    let per_day = [(gaps[0] - step) / 28.0, (gaps[1] - step) / 21.0, (gaps[2] - step) / 21.0];
    assert!(step > 5.0 && per_day[0] > 0.5, "{gaps:?}");
    assert_abs_diff_eq!(per_day[0], per_day[1], epsilon = 0.01);
    assert_abs_diff_eq!(per_day[1], per_day[2], epsilon = 0.01);
    assert_eq!(html.matches("pointer change").count(), 2, "in cross % and in twist");
}

#[test]
fn whiskers_of_what_is_computed_are_those_of_the_document() {
    let (html, document) = sheet("learn", "second-weighing");
    let table = Document::parse(table(&html, "offsets", "")).expect("well-formed");
    let strips: Vec<Node> = table.descendants().filter(|node| node.has_tag_name("svg")).collect();
    let misfits = list(&document, "misfits");
    assert_eq!(strips.len(), 4 * misfits.len());
    let corners = ["lf", "rf", "lr", "rr"];
    let each = misfits.iter().flat_map(|misfit| {
        corners.map(|at| (of(&misfit["corners_kg"][at]), of(&misfit["corners_plus_minus_kg"][at])))
    });
    let each: Vec<(f64, f64)> = each.collect();
    let widest = each.iter().map(|(off, sure)| off.abs() + sure).fold(0.0, f64::max);
    for (strip, (off, sure)) in strips.iter().zip(each) {
        let at = |off: f64| 50.0 + 46.0 * off / widest;
        let drawn = |class: &str, attribute: &str| {
            number(
                strip.descendants().find(|node| node.attribute("class") == Some(class)).expect("it is there"),
                attribute,
            )
        };
        assert_abs_diff_eq!(drawn("ring", "cx"), at(off), epsilon = 0.01);
        assert_abs_diff_eq!(drawn("whisker", "x1"), at(off - sure), epsilon = 0.01);
        assert_abs_diff_eq!(drawn("whisker", "x2"), at(off + sure), epsilon = 0.01);
    }
}

#[test]
fn what_has_moved_lies_where_the_file_has_it_and_goes_as_far_as_was_learned() {
    let (html, document) = sheet("learn", "second-weighing");
    let all = pictures(&html);
    let text = all.iter().find(|text| text.contains("class=\"way\"")).expect("a kart");
    let picture = Document::parse(text).expect("well-formed");
    let note = words(text);
    let times: f64 = note
        .split("enlarged ")
        .nth(1)
        .and_then(|rest| rest.split(' ').next()?.parse().ok())
        .expect("how much larger");
    let ways = with_class(&picture, "way");
    for way in &ways {
        let lesson = |part: &str| {
            let mut all = list(&document, "lessons").iter();
            all.find(|one| one["name"] == way.attribute("data-of").expect("a name") && one["part"] == part)
                .expect("a lesson")
        };
        let (x, y) = (lesson("x"), lesson("y"));
        let find = |class: &str| {
            way.descendants().find(|node| node.attribute("class") == Some(class)).expect("it is there")
        };
        let (ring, dot) = (find("ring"), find("dot"));
        // Up the page is forward, to the left of it is left.
        for (lesson, centre, half) in [(x, "cy", "ry"), (y, "cx", "rx")] {
            assert_abs_diff_eq!(-number(ring, centre), of(&lesson["before"]), epsilon = 0.06);
            let gone = number(ring, centre) - number(dot, centre);
            assert_abs_diff_eq!(
                gone,
                times * (of(&lesson["estimate"]) - of(&lesson["before"])),
                epsilon = 0.11
            );
            assert_abs_diff_eq!(
                number(find("known"), half),
                times * of(&lesson["plus_minus"]),
                epsilon = 0.06
            );
            assert_abs_diff_eq!(
                number(find("known now"), half),
                times * of(&lesson["before_plus_minus"]),
                epsilon = 0.06
            );
        }
    }
    assert!(!ways.is_empty());
}
