//! The centre of gravity and its target: at its place on the kart, and again in a closer look.
//! The closer look is in percent, so that a point in the box is a target met.

use maud::{Markup, html};

use super::ground::GroundView;
use super::pen::{Area, Pen, across, down, number};
use crate::decimals::trimmed;
use crate::tasks::reach::{Shares, span};

/// Height of the closer look with everything around it.
pub(super) const HEIGHT_PX: f64 = 182.0;
/// The plot within the closer look: left and upper edge, width and height.
const PLOT_PX: (f64, f64, f64, f64) = (40.0, 33.0, 118.0, 98.0);
/// At least so many points of front or left are shown, percent.
const LEAST_SPAN: f64 = 1.0;
/// Half of the gap in a tolerance line at the centre of gravity.
const AROUND_SYMBOLS_PX: f64 = 9.0;
/// Labels nearer to each other would touch.
const LABEL_PX: f64 = 14.0;
const ACROSS_LABEL_PX: f64 = 36.0;

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
            (dot(across(view.cg), down(view.cg), pen))
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
    html! { polygon class="ring" points=(points.join(" ")) stroke-width=(pen.size(2.0)) {} }
}

/// Now.
pub(super) fn ring(x: f64, y: f64, pen: Pen) -> Markup {
    html! { circle class="ring" cx=(number(x)) cy=(number(y)) r=(pen.size(5.5)) stroke-width=(pen.size(2.0)) {} }
}

/// Planned, or as weighed.
pub(super) fn dot(x: f64, y: f64, pen: Pen) -> Markup {
    html! { circle class="dot" cx=(number(x)) cy=(number(y)) r=(pen.size(3.25)) {} }
}

/// Planned, with the other fuel.
pub(super) fn triangle(x: f64, y: f64, pen: Pen) -> Markup {
    let points = [(0.0, -4.5), (4.2, 3.2), (-4.2, 3.2)]
        .map(|(dx, dy)| format!("{},{}", number(x + pen.px(dx)), number(y + pen.px(dy))));
    html! { polygon class="dot" points=(points.join(" ")) {} }
}

/// An axis of the closer look: what lies between two percentages.
#[derive(Clone, Copy)]
struct Axis {
    least: f64,
    most: f64,
}

impl Axis {
    fn new(tolerance: Option<(f64, f64)>, points: impl Iterator<Item = f64> + Clone) -> Axis {
        let shown = points.chain(tolerance.into_iter().flat_map(|(least, most)| [least, most]));
        let (least, most) = span(shown).unwrap_or_default();
        let around = ((LEAST_SPAN - (most - least)) / 2.0).max((most - least) * 0.14);
        Axis { least: least - around, most: most + around }
    }

    /// From 0 to 1.
    fn share(self, percent: f64) -> f64 {
        (percent - self.least) / (self.most - self.least)
    }
}

/// Front and left shares, magnified; up is more front, left is more left, as the kart lies.
pub(super) fn closer(view: &GroundView, pen: Pen, left_edge: f64, top_edge: f64) -> Markup {
    let balance = &view.balance;
    let points: Vec<Shares> =
        balance.before.into_iter().chain(balance.states.iter().map(|(_, s)| *s)).collect();
    let fronts = Axis::new(balance.front, points.iter().map(|point| point.front));
    let lefts = Axis::new(balance.left, points.iter().map(|point| point.left));
    let (x0, y0) = (left_edge + pen.px(PLOT_PX.0), top_edge + pen.px(PLOT_PX.1));
    let (wide, high) = (pen.px(PLOT_PX.2), pen.px(PLOT_PX.3));
    let at_left = |percent: f64| x0 + wide * (1.0 - lefts.share(percent));
    let at_front = |percent: f64| y0 + high * (1.0 - fronts.share(percent));
    let at = |point: Shares| (at_left(point.left), at_front(point.front));
    let box_left = balance.left.map_or((x0, x0 + wide), |(least, most)| (at_left(most), at_left(least)));
    let box_front = balance.front.map_or((y0, y0 + high), |(least, most)| (at_front(most), at_front(least)));
    let ends = |tolerance: Option<(f64, f64)>, apart: f64| match tolerance {
        Some((least, most)) if apart >= 1.0 => vec![(least, trimmed(least, 2)), (most, trimmed(most, 2))],
        Some((least, most)) => {
            let aim = f64::midpoint(least, most);
            vec![(aim, trimmed(aim, 2))]
        }
        None => Vec::new(),
    };
    let front_labels = ends(balance.front, (box_front.1 - box_front.0) / pen.px(LABEL_PX));
    let left_labels = ends(balance.left, (box_left.1 - box_left.0) / pen.px(ACROSS_LABEL_PX));
    html! {
        g class="closer" font-size=(pen.size(11.5)) {
            text class="strong" x=(number(left_edge + pen.px(2.0))) y=(number(top_edge + pen.px(11.0))) {
                "Balance, magnified"
            }
            rect class="plot" x=(number(x0)) y=(number(y0)) width=(number(wide)) height=(number(high))
                stroke-width=(pen.size(0.9)) {}
            @if balance.front.is_some() || balance.left.is_some() {
                rect class="target" x=(number(box_left.0)) y=(number(box_front.0))
                    width=(number(box_left.1 - box_left.0)) height=(number(box_front.1 - box_front.0))
                    stroke-width=(pen.size(1.5)) {}
            }
            @for (percent, label) in front_labels {
                text text-anchor="end" x=(number(x0 - pen.px(4.0))) y=(number(at_front(percent) + pen.px(4.0))) {
                    (label)
                }
            }
            @for (percent, label) in left_labels {
                text text-anchor="middle" x=(number(at_left(percent))) y=(number(y0 + high + pen.px(13.0))) {
                    (label)
                }
            }
            text x=(number(x0)) y=(number(y0 - pen.px(5.0))) { "\u{2191} front %" }
            text x=(number(x0)) y=(number(y0 + high + pen.px(28.0))) { "\u{2190} left %" }
            (ways(view, pen, &at))
        }
    }
}

fn ways(view: &GroundView, pen: Pen, at: &impl Fn(Shares) -> (f64, f64)) -> Markup {
    let balance = &view.balance;
    let first = balance.states.first().map(|(_, shares)| at(*shares));
    html! {
        @if let (Some(before), Some(first)) = (balance.before.map(at), first) {
            line class="leap" x1=(number(before.0)) y1=(number(before.1)) x2=(number(first.0))
                y2=(number(first.1)) stroke-width=(pen.size(1.0)) stroke-dasharray=(pen.size(3.0)) {}
        }
        @if let Some(before) = balance.before {
            (ring(at(before).0, at(before).1, pen))
        }
        @for (index, (_, shares)) in balance.states.iter().enumerate() {
            @let (x, y) = at(*shares);
            @if index == 0 { (dot(x, y, pen)) } @else { (triangle(x, y, pen)) }
        }
    }
}
