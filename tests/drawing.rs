//! The drawing measured: whether what lies where on the kart lies there in the picture, and weighs what it weighs.
//! Takes drawings of the built program and the scenarios they are of; one user unit is one millimetre.
//! Does not look at them: that is done in a browser, by `.ci/sheets.mjs`.

#[path = "support/run.rs"]
#[expect(dead_code, reason = "nothing here is read from stdin")]
mod program;
#[path = "support/small.rs"]
#[expect(dead_code, reason = "only the shipped scenarios are drawn")]
mod small;

use std::fs;
use std::path::Path;

use approx::assert_abs_diff_eq;
use kentledge::scenario::{FixedTo, Scenario, Shift};
use kentledge::statics::Chassis;
use program::run;
use roxmltree::{Document, Node};
use serde_json::Value;

/// Coordinates are written to a tenth of a millimetre.
const WRITTEN_MM: f64 = 0.051;
/// 11.34 g/cm³ (usual handbook value, from memory) and the thickness that the drawing itself states, mm.
const KG_PER_MM2: f64 = 11.34e-6 * 25.0;

/// A scenario with the drawing and the document of one command.
struct Drawn {
    scenario: Scenario,
    svg: String,
    document: Value,
}

fn drawn(command: &str) -> Vec<Drawn> {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("drawing");
    fs::create_dir_all(&folder).expect("a folder can be made");
    let files = small::scenario_files();
    let all = files.into_iter().enumerate().map(|(index, (path, text))| {
        let drawing = folder.join(format!("{command}.{index}.svg"));
        let drawing = drawing.to_str().expect("test folders have plain names");
        let run = run(&[command, &path, "--json", "--time", "600", "--drawing", drawing]);
        Drawn {
            scenario: Scenario::from_yaml(&text).expect("shipped scenarios are right").0,
            svg: fs::read_to_string(drawing).unwrap_or_else(|_| panic!("{path}: {}", run.stderr)),
            document: serde_json::from_str(&run.stdout).expect("a document"),
        }
    });
    all.collect()
}

fn elements<'d>(picture: &'d Document, name: &str, class: &str) -> Vec<Node<'d, 'd>> {
    let has = |node: &Node| {
        let classes = node.attribute("class").unwrap_or_default();
        node.has_tag_name((SVG, name)) && classes.split(' ').any(|one| one == class)
    };
    picture.descendants().filter(has).collect()
}

const SVG: &str = "http://www.w3.org/2000/svg";

fn number(node: Node, attribute: &str) -> f64 {
    let text = node.attribute(attribute).unwrap_or_else(|| panic!("{node:?} has no {attribute}"));
    text.parse().unwrap_or_else(|_| panic!("{attribute} is {text}"))
}

/// The group of a wheel or a mount.
fn group<'d>(picture: &'d Document, attribute: &str, value: &str) -> Node<'d, 'd> {
    let mut found = picture.descendants().filter(|node| node.attribute(attribute) == Some(value));
    found.next().unwrap_or_else(|| panic!("nothing has {attribute} {value}"))
}

fn parts<'d>(group: Node<'d, 'd>, class: &str) -> Vec<Node<'d, 'd>> {
    group
        .children()
        .filter(|node| node.attribute("class").is_some_and(|c| c.split(' ').any(|c| c == class)))
        .collect()
}

/// LF RF LR RR of a document's corners.
fn corners(value: &Value) -> [f64; 4] {
    ["lf", "rf", "lr", "rr"].map(|corner| value[corner].as_f64().expect("a load"))
}

/// The corners that the drawing of a command shows, if there is a plan.
fn shown_corners(drawn: &Drawn) -> Option<[f64; 4]> {
    let all = &drawn.document["corners_kg"];
    match drawn.document["command"].as_str() {
        Some("weigh") => Some(corners(all)),
        _ if all.is_null() => None,
        // Whoever has done the work weighs again before he drives.
        _ => Some(corners(&all["start"])),
    }
}

#[test]
fn wheels_and_mounts_lie_where_the_kart_has_them() {
    for Drawn { scenario, svg, document } in drawn("plan") {
        let picture = Document::parse(&svg).expect("well-formed");
        let seat = seat_shift(&scenario, &document);
        let Chassis { wheelbase, track_front, track_rear, .. } = scenario.kart().chassis;
        let (front, rear) = (track_front.mm() / 2.0, track_rear.mm() / 2.0);
        // Across to the right, down to the rear.
        let places = [(-front, -wheelbase.mm()), (front, -wheelbase.mm()), (-rear, 0.0), (rear, 0.0)];
        for (corner, (x, y)) in ["LF", "RF", "LR", "RR"].into_iter().zip(places) {
            let patches = parts(group(&picture, "data-corner", corner), "patch");
            assert_abs_diff_eq!(number(patches[0], "cx"), x, epsilon = WRITTEN_MM);
            assert_abs_diff_eq!(number(patches[0], "cy"), y, epsilon = WRITTEN_MM);
        }
        let mounts = elements(&picture, "circle", "place");
        assert_eq!(mounts.len(), scenario.mounts().len());
        for (circle, mount) in mounts.into_iter().zip(scenario.mounts()) {
            let place = if mount.fixed_to == FixedTo::Seat { seat.of(mount.place) } else { mount.place };
            assert_abs_diff_eq!(number(circle, "cx"), -place.y.mm(), epsilon = WRITTEN_MM);
            assert_abs_diff_eq!(number(circle, "cy"), -place.x.mm(), epsilon = WRITTEN_MM);
        }
    }
}

/// How far the document's plan moves the seat.
fn seat_shift(scenario: &Scenario, document: &Value) -> Shift {
    let named = |name: &str| scenario.adjusters().iter().find(|adjuster| adjuster.name == name);
    let seat = document["adjusters"].as_array().into_iter().flatten().find(|one| one["adjuster"] == "seat");
    seat.zip(named("seat")).map_or_else(Shift::default, |(seat, adjuster)| {
        let mut settings = adjuster.settings.iter();
        settings.find(|setting| seat["planned"] == setting.name.as_str()).expect("a setting of it").shift
    })
}

/// Side by side in one file, each driver's kart is drawn to the same scale as alone: wheels and mounts at their places.
#[test]
fn drawings_of_several_drivers_keep_to_one_scale() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("drawing");
    fs::create_dir_all(&folder).expect("a folder can be made");
    for stem in ["two-drivers", "three-drivers"] {
        let drawing = folder.join(format!("swap.{stem}.svg"));
        let drawing = drawing.to_str().expect("test folders have plain names");
        let path = format!("scenarios/{stem}.yaml");
        let run = run(&["swap", &path, "--json", "--time", "600", "--drawing", drawing]);
        let document: Value = serde_json::from_str(&run.stdout).expect("a document");
        let svg = fs::read_to_string(drawing).expect("the drawing is there");
        let text =
            fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(&path)).expect("it is there");
        let scenario = Scenario::from_yaml(&text).expect("shipped scenarios are right").0;
        let picture = Document::parse(&svg).expect("well-formed");
        let karts: Vec<Node> =
            picture.root_element().children().filter(|node| node.has_tag_name((SVG, "svg"))).collect();
        let drivers = document["drivers"].as_array().expect("a list");
        assert_eq!(karts.len(), drivers.len());
        let mut right = 0.0;
        for (kart, driver) in karts.into_iter().zip(drivers) {
            let view_box: Vec<f64> = kart
                .attribute("viewBox")
                .expect("a view")
                .split(' ')
                .map(|number| number.parse().expect("a number"))
                .collect();
            for (attribute, extent) in [("width", view_box[2]), ("height", view_box[3])] {
                assert_eq!(number(kart, attribute).to_bits(), extent.to_bits(), "it is scaled");
            }
            // Every width is written to a tenth, the place to the left of it as well.
            assert_abs_diff_eq!(
                number(kart, "x"),
                right,
                epsilon = WRITTEN_MM * (1.0 + drivers.len() as f64)
            );
            right += view_box[2];
            let is_place = |node: &Node| {
                node.has_tag_name((SVG, "circle"))
                    && node.attribute("class").is_some_and(|class| class.split(' ').any(|one| one == "place"))
            };
            let circles: Vec<Node> = kart.descendants().filter(is_place).collect();
            assert_eq!(circles.len(), scenario.mounts().len());
            for (circle, mount) in circles.into_iter().zip(scenario.mounts()) {
                assert_abs_diff_eq!(number(circle, "cx"), -mount.place.y.mm(), epsilon = WRITTEN_MM);
                assert_abs_diff_eq!(number(circle, "cy"), -mount.place.x.mm(), epsilon = WRITTEN_MM);
            }
            let loads = &driver["corners_kg"]["start"];
            let said: Vec<&str> = kart.descendants().filter(is_load).filter_map(|node| node.text()).collect();
            let of = |corner: &str| format!("{:.1}", loads[corner].as_f64().expect("a load"));
            assert_eq!(said, ["lf", "rf", "lr", "rr"].map(of));
            let name = driver["driver"].as_str().expect("a name");
            assert!(picture.descendants().any(|node| node.attribute("class") == Some("strong driver") && node.text() == Some(name)));
        }
    }
}

#[test]
fn the_area_of_lead_is_its_mass() {
    let mut pieces = 0;
    for Drawn { scenario, svg, document } in drawn("plan") {
        let picture = Document::parse(&svg).expect("well-formed");
        for (group, mount) in elements(&picture, "g", "mount").into_iter().zip(scenario.mounts()) {
            let placed = document["placements"].as_array().into_iter().flatten();
            let here = placed.filter(|placement| placement["mount"] == mount.name.as_str());
            let kg: f64 = here.map(|placement| placement["mass_kg"].as_f64().expect("a mass")).sum();
            let strips: Vec<Node> = [parts(group, "comes"), parts(group, "stays")].concat();
            let area: f64 =
                strips.iter().map(|strip| number(*strip, "width") * number(*strip, "height")).sum();
            // A side is good to the tenth of a millimetre in which it is written, at every strip.
            let side = (kg / KG_PER_MM2).sqrt();
            let written = WRITTEN_MM * side * (1.0 + strips.len() as f64);
            assert_abs_diff_eq!(area, kg / KG_PER_MM2, epsilon = written + 1e-9);
            pieces += strips.len();
        }
    }
    assert!(pieces > 20, "only {pieces} pieces of lead were seen");
}

fn is_load(node: &Node) -> bool {
    node.attribute("class") == Some("strong load")
}

#[test]
fn the_loads_at_the_wheels_are_those_of_the_document() {
    let mut seen = 0;
    for drawn in drawn("plan").into_iter().chain(drawn("weigh")) {
        let Some(corners) = shown_corners(&drawn) else { continue };
        let picture = Document::parse(&drawn.svg).expect("well-formed");
        let pounds = drawn.svg.contains(">20 in<");
        for (corner, kg) in ["LF", "RF", "LR", "RR"].into_iter().zip(corners) {
            let load =
                group(&picture, "data-corner", corner).children().find(is_load).and_then(|node| node.text());
            let load: f64 = load.expect("a load").parse().expect("a number");
            // International yard and pound agreement of 1959, exact.
            let kg_shown = if pounds { load * 0.453_592_37 } else { load };
            assert_abs_diff_eq!(kg_shown, kg, epsilon = 0.051);
            seen += 1;
        }
    }
    assert!(seen >= 40, "only {seen} loads were seen");
}

/// A job that is done at a mount has its number beside that mount, and none is on a wheel or on another number.
#[test]
fn every_job_has_its_number_beside_its_place() {
    let mut seen = 0;
    for Drawn { svg, document, .. } in drawn("plan") {
        let picture = Document::parse(&svg).expect("well-formed");
        let discs: Vec<(f64, f64, f64)> = elements(&picture, "circle", "disc")
            .into_iter()
            .map(|disc| (number(disc, "cx"), number(disc, "cy"), number(disc, "r")))
            .collect();
        let changes = document["changes"].as_array().into_iter().flatten();
        let ends = changes.flat_map(|change| [&change["from"], &change["to"]]).filter_map(Value::as_str);
        let mut places: Vec<&str> = ends.collect();
        places.sort_unstable();
        places.dedup();
        assert!(discs.len() >= places.len(), "{} numbers for {places:?}", discs.len());
        let tyres = elements(&picture, "rect", "tyre");
        for (index, (x, y, radius)) in discs.iter().enumerate() {
            for (other_x, other_y, _) in &discs[index + 1..] {
                assert!((x - other_x).hypot(y - other_y) > 1.9 * radius, "two numbers at {x} {y}");
            }
            for tyre in &tyres {
                let [left, top, wide, high] = ["x", "y", "width", "height"].map(|name| number(*tyre, name));
                let beside = *x + radius <= left || *x - radius >= left + wide;
                assert!(beside || *y + radius <= top || *y - radius >= top + high, "a number on a wheel");
            }
            seen += 1;
        }
    }
    assert!(seen >= 20, "only {seen} numbers were seen");
}

/// `x = L·front/total`, `y = ((LF−RF)tf + (LR−RR)tr)/(2·total)`: moments about the rear axle and the centre line.
#[test]
fn the_dot_lies_at_the_centre_of_gravity_of_the_document() {
    let mut seen = 0;
    for drawn in drawn("plan").into_iter().chain(drawn("weigh")) {
        let Some([lf, rf, lr, rr]) = shown_corners(&drawn) else { continue };
        let Chassis { wheelbase, track_front, track_rear, .. } = drawn.scenario.kart().chassis;
        let total = lf + rf + lr + rr;
        let x = wheelbase.mm() * (lf + rf) / total;
        let y = ((lf - rf) * track_front.mm() + (lr - rr) * track_rear.mm()) / (2.0 * total);
        let picture = Document::parse(&drawn.svg).expect("well-formed");
        let gravity = elements(&picture, "g", "gravity")[0];
        // Planned it is a dot, as it stands on the pads a ring.
        let class = if drawn.document["command"] == "plan" { "dot" } else { "ring" };
        let dot = parts(gravity, class)[0];
        assert_abs_diff_eq!(number(dot, "cx"), -y, epsilon = WRITTEN_MM);
        assert_abs_diff_eq!(number(dot, "cy"), -x, epsilon = WRITTEN_MM);
        seen += 1;
    }
    assert!(seen >= 10, "only {seen} drawings were seen");
}

#[test]
fn the_scale_bar_is_as_long_as_it_says() {
    for Drawn { svg, .. } in drawn("weigh") {
        let picture = Document::parse(&svg).expect("well-formed");
        let bar = elements(&picture, "path", "scale-bar")[0].attribute("d").expect("a path");
        let words: Vec<&str> = bar.split(' ').collect();
        let ["M", from, _, "H", to] = words.as_slice() else { panic!("{bar}") };
        let long: f64 = to.parse::<f64>().expect("a number") - from.parse::<f64>().expect("a number");
        let mm = if svg.contains(">20 in<") { 508.0 } else { 500.0 };
        assert!(svg.contains(">500 mm<") || svg.contains(">20 in<"));
        assert_abs_diff_eq!(long, mm, epsilon = 2.0 * WRITTEN_MM);
    }
}

#[test]
fn the_same_scenario_gives_the_same_drawing_and_its_words_say_what_it_shows() {
    let (first, second) = (drawn("plan"), drawn("plan"));
    for (one, other) in first.iter().zip(&second) {
        assert_eq!(one.svg, other.svg);
        let picture = Document::parse(&one.svg).expect("well-formed");
        let root = picture.root_element();
        let labels = root.attribute("aria-labelledby").expect("it is named");
        for id in labels.split(' ') {
            let text = group(&picture, "id", id).text().expect("words");
            assert!(text.len() > 20, "{text}");
        }
        let description = elements_named(&picture, "desc");
        for placement in one.document["placements"].as_array().into_iter().flatten() {
            let mount = placement["mount"].as_str().expect("a name");
            assert!(description.contains(mount), "{description} does not name {mount}");
        }
    }
}

fn elements_named(picture: &Document, name: &str) -> String {
    picture
        .descendants()
        .filter(|node| node.has_tag_name((SVG, name)))
        .filter_map(|node| node.text())
        .collect()
}
