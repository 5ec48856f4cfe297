//! The sheet of `reach` against its document: places as numbers, and as points of the picture.

use std::path::Path;

use approx::assert_abs_diff_eq;
use roxmltree::{Document, Node};
use serde_json::Value;

use crate::{known, program, rows_of, shows, words};

const REGIONS: [&str; 3] = ["two-drivers", "three-drivers", "odd-names"];
/// Coordinates are written to a tenth.
const WRITTEN: f64 = 0.051;

/// Sheet, drawing and document for all drivers of a scenario.
fn reached(stem: &str) -> (String, String, Value) {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("sheet");
    std::fs::create_dir_all(&folder).expect("a folder can be made");
    let [sheet, drawing] =
        ["html", "svg"].map(|end| folder.join(format!("reach.{stem}.{end}")).display().to_string());
    let scenario = format!("scenarios/{stem}.yaml");
    let run = program::run(&[
        "reach",
        &scenario,
        "--all-drivers",
        "--json",
        "--units",
        "kg-mm",
        "--time",
        "600",
        "--sheet",
        &sheet,
        "--drawing",
        &drawing,
    ]);
    let document = serde_json::from_str(&run.stdout).unwrap_or_else(|_| panic!("{}", run.stderr));
    let [sheet, drawing] = [sheet, drawing].map(|file| std::fs::read_to_string(file).expect("it is there"));
    (sheet, drawing, document)
}

fn regions(document: &Value) -> &Vec<Value> {
    document["regions"].as_array().expect("a list")
}

fn place(entry: &Value) -> (f64, f64) {
    let of = |key: &str| entry[key].as_f64().expect("a share");
    (of("front_percent"), of("left_percent"))
}

#[test]
fn every_place_of_the_document_is_in_the_table() {
    for stem in REGIONS {
        let (html, _, document) = reached(stem);
        let screen = rows_of(&["reach", "--all-drivers"], stem);
        let known = known(&screen);
        for region in regions(&document) {
            let corners = region["corners"].as_array().expect("a list").iter();
            for entry in [&region["now"], &region["planned"]].into_iter().chain(corners) {
                for key in ["front", "left"] {
                    let [value, sure] =
                        ["percent", "plus_minus_percent"].map(|end| &entry[format!("{key}_{end}")]);
                    assert!(
                        shows(&known, value, sure),
                        "{stem}: {key} {value} ± {sure} is not on the screen"
                    );
                }
            }
            let said = words(&html);
            assert!(region["verdict"].as_str().is_none_or(|verdict| said.contains(verdict)));
            assert!(said.contains(region["driver"].as_str().expect("a name")));
        }
    }
}

fn with_class<'d>(picture: &'d Document, class: &str) -> Vec<Node<'d, 'd>> {
    picture.descendants().filter(|node| node.attribute("class") == Some(class)).collect()
}

/// The points of a polygon, or the centre of a circle.
fn points(node: Node) -> Vec<(f64, f64)> {
    let number = |text: &str| text.parse::<f64>().expect("a number");
    match node.attribute("points") {
        Some(points) => points
            .split(' ')
            .map(|point| {
                let (x, y) = point.split_once(',').expect("two numbers");
                (number(x), number(y))
            })
            .collect(),
        None => vec![(number(node.attribute("cx").expect("cx")), number(node.attribute("cy").expect("cy")))],
    }
}

/// Two corners fix the scales of both axes; every other corner and every point must then lie where they say.
#[test]
fn the_picture_is_to_scale() {
    let mut seen = 0;
    for stem in REGIONS {
        let (_, svg, document) = reached(stem);
        let picture = Document::parse(&svg).expect("well-formed");
        let outlines: Vec<Vec<(f64, f64)>> = with_class(&picture, "outline")
            .into_iter()
            .filter(|node| node.has_tag_name(("http://www.w3.org/2000/svg", "polygon")))
            .map(points)
            .collect();
        let places: Vec<Vec<(f64, f64)>> = regions(&document)
            .iter()
            .map(|region| region["corners"].as_array().expect("a list").iter().map(place).collect())
            .collect();
        assert_eq!(
            outlines.iter().map(Vec::len).collect::<Vec<_>>(),
            places.iter().map(Vec::len).collect::<Vec<_>>()
        );
        let pairs: Vec<((f64, f64), (f64, f64))> =
            places.iter().flatten().copied().zip(outlines.iter().flatten().copied()).collect();
        let scale = |of: &dyn Fn((f64, f64)) -> f64| {
            let least =
                pairs.iter().min_by(|one, other| of(one.0).total_cmp(&of(other.0))).expect("a corner");
            let most = pairs.iter().max_by(|one, other| of(one.0).total_cmp(&of(other.0))).expect("a corner");
            let per_point = (of(most.1) - of(least.1)) / (of(most.0) - of(least.0));
            (of(least.0), of(least.1), per_point)
        };
        let (across, down) = (scale(&|pair| pair.0), scale(&|pair| pair.1));
        assert!(across.2 > 0.0 && down.2 < 0.0, "front to the right, left upwards");
        let at = |(front, left): (f64, f64)| {
            (across.1 + (front - across.0) * across.2, down.1 + (left - down.0) * down.2)
        };
        let dots: Vec<(f64, f64)> = with_class(&picture, "within")
            .into_iter()
            .filter(|node| node.parent().is_some_and(|parent| parent.attribute("transform").is_none()))
            .flat_map(points)
            .collect();
        let documented = regions(&document)
            .iter()
            .flat_map(|region| region["points"].as_array().expect("a list"))
            .map(place);
        let all = pairs.into_iter().chain(documented.zip(dots));
        for (percent, (x, y)) in all {
            assert_abs_diff_eq!(at(percent).0, x, epsilon = 3.0 * WRITTEN);
            assert_abs_diff_eq!(at(percent).1, y, epsilon = 3.0 * WRITTEN);
            seen += 1;
        }
    }
    assert!(seen > 100, "only {seen} places were measured");
}

#[test]
fn a_drawing_of_its_own_is_named_and_described() {
    let (_, svg, document) = reached("odd-names");
    let picture = Document::parse(&svg).expect("well-formed");
    let named = |tag: &str| {
        let mut found = picture.descendants().filter(|node| node.tag_name().name() == tag);
        found.next().and_then(|node| node.text()).unwrap_or_default().to_owned()
    };
    assert!(named("title").contains(document["kart"].as_str().expect("a name")));
    let (front, left) = place(&regions(&document)[0]["planned"]);
    assert!(named("desc").contains(&format!("planned at {front:.2} and {left:.2}")), "{}", named("desc"));
    assert!(!svg.contains("<b>") && !svg.contains("<script"));
}
