//! The kart from above as a picture: SVG to scale, one user unit to the millimetre.
//! Takes the view of the ground; gives an `svg` element for a page, or a file of its own.
//! Does not know the page around it; says by shape and words what its colours only repeat.

mod callouts;
mod kart;
mod lead;
mod legend;
mod lens;
mod pen;

use maud::{Markup, PreEscaped, html};

use super::ground::{GroundView, Origin, Subject};
use super::imprint::generator;
use super::markup::plain;
use crate::scenario::Moment;
use pen::{Area, number};

/// Colours and lines of the drawing, for the file and for the page around it.
pub const STYLE: &str = include_str!("style.css");

/// The drawing as a file of its own.
pub fn drawing(view: &GroundView) -> String {
    let declared = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
    format!("{declared}<!-- {} -->\n{}\n", generator(), picture(view, "drawing", Some(STYLE)).into_string())
}

/// The drawing as a part of a page; `id` tells several on one page apart.
pub fn inline(view: &GroundView, id: &str) -> Markup {
    picture(view, id, None)
}

fn picture(view: &GroundView, id: &str, style: Option<&str>) -> Markup {
    let area = Area::around(view);
    let pen = area.pen;
    let callouts = callouts::place(view, &area);
    let foot = callouts.iter().map(|callout| callout.down + pen.px(12.0)).fold(area.rear, f64::max);
    let closer = foot + pen.px(10.0);
    let bottom = closer + pen.px(lens::HEIGHT_PX);
    let (title, description) = (format!("{id}-title"), format!("{id}-description"));
    let view_box = [-area.half_width, area.front, 2.0 * area.half_width, bottom - area.front].map(number);
    html! {
        svg xmlns="http://www.w3.org/2000/svg" class="drawing" role="img"
            viewBox=(view_box.join(" "))
            width=[style.is_some().then_some("720")]
            aria-labelledby={ (title) " " (description) }
            font-family="system-ui, sans-serif" font-size=(pen.size(13.0))
            stroke-width=(pen.size(1.0)) stroke-linecap="round" stroke-linejoin="round" {
            title id=(title) { (plain(&heading(view))) }
            desc id=(description) { (plain(&in_words(view))) }
            @if let Some(style) = style {
                style { (PreEscaped(style)) }
                rect class="paper" x=(number(-area.half_width)) y=(number(area.front))
                    width=(number(2.0 * area.half_width)) height=(number(bottom - area.front)) {}
            }
            defs {
                pattern id={ (id) "-hatch" } patternUnits="userSpaceOnUse" patternTransform="rotate(45)"
                    width=(pen.size(4.0)) height=(pen.size(4.0)) {
                    rect class="paper" width=(pen.size(4.0)) height=(pen.size(4.0)) {}
                    line class="hatch" x1="0" y1="0" x2="0" y2=(pen.size(4.0)) stroke-width=(pen.size(2.0)) {}
                }
                marker id={ (id) "-arrow" } viewBox="0 0 8 8" refX="7" refY="4" markerWidth="7"
                    markerHeight="7" orient="auto" {
                    path class="solid" d="M 0 0 L 8 4 L 0 8 z" {}
                }
            }
            (kart::frame(view, pen))
            (callouts::leaders(&callouts, &area))
            (lead::lead(view, pen, id))
            (kart::wheels(view, pen))
            (lens::on_the_kart(view, &area))
            (callouts::words(&callouts, view, &area))
            (lens::closer(view, pen, -area.half_width, closer))
            (legend::legend(view, pen, id, pen.px(12.0), closer))
        }
    }
}

/// Which state the loads belong to.
fn heading(view: &GroundView) -> String {
    let kart = view.kart.as_deref().unwrap_or("The kart");
    match view.subject {
        Subject::Plan(moment) => format!("{kart} from above: planned, {}", at(moment)),
        Subject::Now(moment) => format!("{kart} from above: as it is now, {}", at(moment)),
        Subject::Weighing => format!("{kart} from above: as weighed"),
    }
}

fn at(moment: Moment) -> String {
    format!("with the fuel of the {}", moment.word())
}

/// The picture in words, for whoever cannot see it.
fn in_words(view: &GroundView) -> String {
    let unit = view.screen.mass_unit();
    let wheels = view.wheels.each_ref().map(|wheel| match &wheel.before {
        Some(before) => {
            format!("{} {} {unit}, now {}", wheel.corner.word(), wheel.load.number, before.number)
        }
        None => format!("{} {} {unit}", wheel.corner.word(), wheel.load.number),
    });
    let spots = view.spots.iter().filter(|spot| !spot.pieces.is_empty() || spot.leaves.kg > 0.0);
    let lead: Vec<String> = spots
        .map(|spot| {
            let comes = spot.pieces.iter().any(|piece| piece.origin == Origin::Comes);
            let news = match (view.compares() && comes, spot.leaves.kg > 0.0) {
                (true, true) => ", some of it new, some taken away",
                (true, false) => ", some or all of it new",
                (false, true) => ", some taken away",
                (false, false) => "",
            };
            format!("{} {}, {} {unit}{news}", spot.letter, spot.name, spot.lead.number)
        })
        .collect();
    let lead = if lead.is_empty() { "none".to_owned() } else { lead.join("; ") };
    let place = |cg: &crate::statics::Point| {
        let side = if cg.y.mm() < 0.0 { "right" } else { "left" };
        let beside = crate::units::Length::from_mm(cg.y.mm().abs());
        format!(
            "{} ahead of the rear axle and {} {side} of the centre line",
            view.screen.place(cg.x),
            view.screen.fine(beside)
        )
    };
    let now = view.cg_before.as_ref().map(|cg| format!("; now {}", place(cg))).unwrap_or_default();
    format!(
        "Front is up. Wheels: {}. Lead on the mounts: {lead}. Centre of gravity: {}{now}.",
        wheels.join("; "),
        place(&view.cg)
    )
}
