//! What the shapes mean, and how long half a metre is.

use maud::{Markup, html};

use super::ground::{GroundView, Origin, Subject};
use super::pen::{Pen, number};
use super::{lead, lens};
use crate::marks::{fine, place, plain};
use crate::units::{Length, UnitSystem};

/// From one row to the next.
const ROW_PX: f64 = 15.0;
/// Width of a shape before its words.
const SHAPE_PX: f64 = 16.0;

/// Two columns of it fit beside each other.
const COLUMN_PX: f64 = 176.0;
/// The scale bar and what it says of lead.
const SCALE_PX: f64 = 40.0;

/// Shapes with their words in two columns, from an upper left corner on; the scale bar below.
pub(super) struct Legend {
    rows: Vec<(Markup, String)>,
    pub(super) height: f64,
}

impl Legend {
    pub(super) fn new(view: &GroundView, pen: Pen, id: &str) -> Legend {
        let rows = rows(view, pen, id);
        let height = pen.px(ROW_PX * rows.len().div_ceil(2) as f64 + SCALE_PX);
        Legend { rows, height }
    }

    pub(super) fn drawn(&self, view: &GroundView, pen: Pen, [left, top]: [f64; 2]) -> Markup {
        html! {
            g class="legend" font-size=(pen.size(11.5)) {
                @for (index, (shape, words)) in self.rows.iter().enumerate() {
                    @let middle = top + pen.px(7.0 + ROW_PX * (index / 2) as f64);
                    @let left = left + pen.px(COLUMN_PX) * (index % 2) as f64;
                    g transform={ "translate(" (number(left + pen.px(SHAPE_PX / 2.0))) " " (number(middle)) ")" } { (shape) }
                    text x=(number(left + pen.px(SHAPE_PX + 3.0))) y=(number(middle + pen.px(4.0))) { (words) }
                }
                (scale_bar(view, pen, left, top + self.height))
            }
        }
    }
}

fn rows(view: &GroundView, pen: Pen, id: &str) -> Vec<(Markup, String)> {
    let Subject { what, moment, .. } = view.subject;
    let earlier = view.earlier();
    let at = moment.map(|moment| format!(", {}", moment.word())).unwrap_or_default();
    let block = |class: &str, fill: Option<String>| {
        html! {
            rect class=(class) fill=[fill] x=(pen.size(-5.5)) y=(pen.size(-5.5)) width=(pen.size(11.0))
                height=(pen.size(11.0)) stroke-width=(pen.size(1.0))
                stroke-dasharray=[(class == "gone").then(|| pen.size(2.5))] {}
        }
    };
    let pieces = || view.spots.iter().flat_map(|spot| &spot.pieces);
    let mut rows = Vec::new();
    if let Some(moment) = moment {
        let blank = html! {
            rect class="again" x=(pen.size(-7.0)) y=(pen.size(-4.5)) width=(pen.size(14.0)) height=(pen.size(9.0)) {}
        };
        rows.push((blank, format!("loads at the {}", moment.word())));
    }
    if view.compares() {
        rows.push((lens::ring(0.0, 0.0, pen), format!("balance {earlier}{at}")));
    }
    let shape = if what == "planned" { lens::dot(0.0, 0.0, pen) } else { lens::ring(0.0, 0.0, pen) };
    rows.push((shape, format!("balance {what}{at}")));
    if let Some((_, mass)) = view.missing {
        rows.push((lens::diamond(0.0, 0.0, pen), format!("missing {}", view.shown(plain(mass)))));
    }
    if view.compares() && pieces().any(|piece| piece.origin == Origin::Comes) {
        rows.push((block("comes", None), "lead put on or moved".to_owned()));
    }
    if pieces().any(|piece| piece.origin == Origin::Stays) {
        let words = if view.compares() { "lead that stays" } else { "lead" };
        rows.push((block("stays", Some(format!("url(#{id}-hatch)"))), words.to_owned()));
    }
    if view.spots.iter().any(|spot| spot.leaves > 0.0) {
        rows.push((block("gone", None), "lead that leaves".to_owned()));
    }
    rows
}

/// A length to lay a ruler on.
fn scale_bar(view: &GroundView, pen: Pen, left: f64, foot: f64) -> Markup {
    let length = match view.units {
        UnitSystem::KgMm => Length::from_mm(500.0),
        UnitSystem::LbIn => Length::from_in(20.0),
    };
    let y = foot - pen.px(25.0);
    let tick = pen.px(3.5);
    let thick = view.shown(fine(lead::DRAWN_THICKNESS));
    html! {
        g class="scale" fill="none" stroke-width=(pen.size(1.25)) {
            path class="scale-bar" d={ "M " (number(left)) " " (number(y)) " H " (number(left + length.mm())) } {}
            @for x in [left, left + length.mm()] {
                path d={ "M " (number(x)) " " (number(y - tick)) " V " (number(y + tick)) } {}
            }
        }
        text x=(number(left + length.mm() + pen.px(6.0))) y=(number(y + pen.px(4.0))) { (view.shown(place(length))) }
        @if view.spots.iter().any(|spot| !spot.pieces.is_empty()) {
            text x=(number(left)) y=(number(foot - pen.px(4.0))) { "lead is drawn to scale, as blocks " (thick) " thick" }
        }
    }
}
