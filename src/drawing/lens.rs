//! The centre of gravity and its target, at their places on the kart.

use maud::{Markup, html};

use super::ground::GroundView;
use super::pen::{Area, Pen, across, down, number};

/// Half of the gap in a tolerance line at the centre of gravity.
const AROUND_SYMBOLS_PX: f64 = 9.0;

/// Ring and dot at their places, tolerance lines across and along the kart.
pub(super) fn on_the_kart(view: &GroundView, area: &Area) -> Markup {
    let pen = area.pen;
    let ends = view.chassis.track_front.mm().min(view.chassis.track_rear.mm()) * 0.34;
    let along = (-view.chassis.wheelbase.mm() * 0.84, -view.chassis.wheelbase.mm() * 0.06);
    // Around the centre of gravity the lines leave room for its symbols.
    let room = pen.px(AROUND_SYMBOLS_PX);
    let (x, y) = (across(view.cg), down(view.cg));
    let rows = view.wanted.ahead.map_or([None; 2], |(from, to)| [Some(-from), Some(-to)]);
    let columns = view.wanted.left.map_or([None; 2], |(from, to)| [Some(-from), Some(-to)]);
    html! {
        g class="wanted" stroke-width=(pen.size(0.6)) {
            @for row in rows.into_iter().flatten() {
                path class="ahead" d={ "M " (number(-ends)) " " (number(row)) " H " (number(x - room)) " M "
                    (number(x + room)) " " (number(row)) " H " (number(ends)) } {}
            }
            @for column in columns.into_iter().flatten() {
                path class="left" d={ "M " (number(column)) " " (number(along.0)) " V " (number(y - room)) " M "
                    (number(column)) " " (number(y + room)) " V " (number(along.1)) } {}
            }
        }
        g class="gravity" {
            @if let Some(before) = view.cg_before {
                (ring(across(before), down(before), pen))
            }
            @if view.subject.what == "planned" { (dot(across(view.cg), down(view.cg), pen)) }
            @else { (ring(across(view.cg), down(view.cg), pen)) }
            @if let Some((place, _)) = view.missing.filter(|(place, _)| area.holds(*place)) {
                (diamond(across(place), down(place), pen))
            }
        }
    }
}

/// Where missing lead should act.
pub(super) fn diamond(x: f64, y: f64, pen: Pen) -> Markup {
    let half = pen.px(6.0);
    let points = [(0.0, -half), (half, 0.0), (0.0, half), (-half, 0.0)]
        .map(|(dx, dy)| format!("{},{}", number(x + dx), number(y + dy)));
    html! { polygon class="ring" points=(points.join(" ")) {} }
}

/// Now.
pub(super) fn ring(x: f64, y: f64, pen: Pen) -> Markup {
    html! { circle class="ring" cx=(number(x)) cy=(number(y)) r=(pen.size(5.5)) {} }
}

/// Planned, or as weighed.
pub(super) fn dot(x: f64, y: f64, pen: Pen) -> Markup {
    html! { circle class="dot" cx=(number(x)) cy=(number(y)) r=(pen.size(3.25)) {} }
}
