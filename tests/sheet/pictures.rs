//! Strips, the bar of the weight and the balance on the sheet of a plan against its document: places to scale.

mod several;

use approx::assert_abs_diff_eq;
use roxmltree::{Document, Node};
use serde_json::Value;

use crate::{PLANNED, list, sheet};

/// The box of a strip takes so many hundredths of it; what lies beyond its ends stands there.
const BOX: f64 = 24.0;
const ENDS: (f64, f64) = (2.0, 98.0);

/// Every picture of a sheet, in its order.
fn pictures(html: &str) -> Vec<String> {
    let all = html.split("<svg").skip(1).map(|rest| rest.split_once("</svg>").expect("its end").0);
    all.map(|inside| format!("<svg{inside}</svg>")).collect()
}

fn number(node: Node, attribute: &str) -> f64 {
    let text = node.attribute(attribute).unwrap_or_else(|| panic!("{node:?} has no {attribute}"));
    text.trim_end_matches('%').parse().unwrap_or_else(|_| panic!("{attribute} is {text}"))
}

fn with_class<'d>(picture: &'d Document, class: &str) -> Vec<Node<'d, 'd>> {
    picture.descendants().filter(|node| node.attribute("class") == Some(class)).collect()
}

fn of(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

#[test]
fn rings_and_dots_lie_where_the_document_has_the_figures() {
    let mut seen = 0;
    for stem in PLANNED {
        let (html, document) = sheet("plan", stem);
        for text in pictures(&html) {
            let picture = Document::parse(&text).expect("well-formed");
            let Some(figure) = picture.root_element().attribute("data-of").filter(|of| *of != "weight")
            else {
                continue;
            };
            let [dot, ring] = ["dot", "ring"].map(|class| number(with_class(&picture, class)[0], "cx"));
            let is_shown = |residual: &&Value, now: &Value| {
                let at = |value: &Value| {
                    let share =
                        (of(&value["value"]) - of(&residual["aim"])) / (2.0 * of(&residual["within"]));
                    (50.0 + BOX * share).clamp(ENDS.0, ENDS.1)
                };
                (at(residual) - dot).abs() < 0.01 && (at(now) - ring).abs() < 0.01
            };
            let named = figure.trim_end_matches(" %").replace(' ', "_");
            let both = list(&document, "residuals").iter().zip(list(&document["now"], "residuals"));
            let mut own = both.filter(|(residual, _)| residual["target"] == named.as_str());
            assert!(
                own.any(|(residual, now)| is_shown(&residual, now)),
                "{stem}: {figure} at {dot} and {ring}"
            );
            seen += 1;
        }
    }
    assert!(seen >= 10, "only {seen} strips were seen");
}

#[test]
fn the_bar_of_the_weight_is_to_scale() {
    for stem in PLANNED {
        let (html, document) = sheet("plan", stem);
        let texts = pictures(&html);
        let text = texts.iter().find(|text| text.contains("data-of=\"weight\"")).expect("a bar");
        let picture = Document::parse(text).expect("well-formed");
        let [dot, ring] = ["dot", "ring"].map(|class| number(with_class(&picture, class)[0], "cx"));
        let least = number(with_class(&picture, "least")[0], "x1");
        let [planned, now] = [&document, &document["now"]].map(|kart| of(&kart["total_kg"]));
        let wanted = of(&document["margin"]["required_kg"]);
        // Written to a hundredth.
        let room = 0.02 * (now - wanted).abs().max((planned - wanted).abs());
        assert_abs_diff_eq!(
            (dot - least) * (now - wanted),
            (ring - least) * (planned - wanted),
            epsilon = room
        );
        assert!(dot >= least, "{stem} is legal");
    }
}

#[test]
fn the_balance_lies_to_its_box_as_in_the_document() {
    let mut seen = 0;
    for stem in PLANNED {
        let (html, document) = sheet("plan", stem);
        let plane = html.split_once("<figure class=\"plane\">").expect("a plane").1;
        let picture_text = &pictures(plane)[0];
        let picture = Document::parse(picture_text).expect("well-formed");
        let Some(target) = with_class(&picture, "target").first().copied() else { continue };
        let dot = with_class(&picture, "dot")[0];
        let axes = [("left", "cx", "x", "width", -1.0), ("front", "cy", "y", "height", -1.0)];
        let weighed_at = &document["margin"]["weighed_at"];
        for (figure, centre, from, long, way) in axes {
            let mut own = list(&document, "residuals")
                .iter()
                .filter(|one| one["target"] == figure && one["state"] == *weighed_at);
            let Some(residual) = own.next() else { continue };
            let (from, half) = (number(target, from), number(target, long) / 2.0);
            let off = (of(&residual["value"]) - of(&residual["aim"])) / of(&residual["within"]);
            assert_abs_diff_eq!(
                number(dot, centre),
                from + half + way * off * half,
                epsilon = 0.2 + 0.1 * off.abs()
            );
            seen += 1;
        }
    }
    assert!(seen >= 8, "only {seen} axes were seen");
}
