//! `reach` as a drawing: front % to the right, left % upwards, one outline per driver.
//! Tells drivers apart by dashes and shapes, so that it does without colour.

use maud::{Markup, PreEscaped, html};

use super::pen::number;
use super::{STYLE, as_file, lettering};
use crate::answer::reach::{Place, Reach, Reachable, Wish};
use crate::blocks::Drawn;
use crate::decimals::{fixed, ticks, trimmed};
use crate::page::markup::plain;
use crate::tasks::reach::span;

/// Width of the picture in its own pixels: a phone held upright, or half of a printed page.
const WIDTH: f64 = 360.0;
/// Left and right edge of the plot, and its height.
const LEFT: f64 = 46.0;
const RIGHT: f64 = 342.0;
const HEIGHT: f64 = 236.0;
/// About so many round numbers along each edge.
const TICKS: usize = 7;
/// Size of letters, from one row of the legend to the next, and where its words begin.
const LETTER: f64 = 12.0;
const ROW: f64 = 15.5;
const WORDS: f64 = 70.0;
/// Size of the letters of the title of a file.
const TITLE: f64 = 15.0;

/// Outlines differ by their dashes, symbols by their shapes; five and four of them make twenty pairs.
const DASHES: [&str; 4] = ["none", "7 3", "2 2.5", "9 3 2 3"];
const SHAPES: [&[(f64, f64)]; 5] = [
    &[],
    &[(-4.3, -4.3), (4.3, -4.3), (4.3, 4.3), (-4.3, 4.3)],
    &[(0.0, -5.6), (5.2, 4.0), (-5.2, 4.0)],
    &[(0.0, -6.0), (6.0, 0.0), (0.0, 6.0), (-6.0, 0.0)],
    &[(0.0, 5.6), (5.2, -4.0), (-5.2, -4.0)],
];
/// Radius of the shape that has no corners.
const RADIUS: f64 = 4.6;

/// The drawing as a file of its own.
pub fn drawing(view: &Reach) -> String {
    as_file(&picture(view, "reach", true))
}

/// What a page shows of it; `id` tells several on one page apart.
pub fn drawn(view: &Reach, id: &str) -> Drawn {
    Drawn { picture: picture(view, id, false), letters: Vec::new() }
}

fn picture(view: &Reach, id: &str, alone: bool) -> Markup {
    let title = plain(&format!("{}, {}: front % and left % within reach", view.kart, view.class));
    let heading = if alone { lettering::lines(&title, WIDTH - 12.0, TITLE) } else { Vec::new() };
    let top = 22.0 + 1.25 * TITLE * heading.len() as f64;
    let plot = Plot::new(view, top);
    let (legend, below) = legend(view, plot.bottom() + 46.0);
    let view_box = format!("0 0 {WIDTH} {}", number(below + 4.0));
    let (title_id, description_id) = (format!("{id}-title"), format!("{id}-description"));
    html! {
        svg xmlns="http://www.w3.org/2000/svg" class="drawing" role="img" viewBox=(view_box)
            width=[alone.then_some("720")] aria-labelledby={ (title_id) " " (description_id) }
            font-family="system-ui, sans-serif" font-size=(LETTER) stroke-linejoin="round" {
            title id=(title_id) { (title) }
            desc id=(description_id) { (plain(&description(view))) }
            @if alone {
                style { (PreEscaped(STYLE)) }
                rect class="paper" width="100%" height="100%" {}
            }
            @for (row, line) in (1..).zip(&heading) {
                text class="strong" x="6" y=(number(1.25 * TITLE * f64::from(row))) font-size=(TITLE) { (line) }
            }
            (plot.axes(view))
            (plot.tolerances(view))
            @for (index, region) in view.regions.iter().enumerate() { (plot.outline(index, region)) }
            // Symbols on top, lest an outline of another driver cross them.
            @for (index, region) in view.regions.iter().enumerate() { (plot.symbols(index, region)) }
            (legend)
        }
    }
}

/// From percent to the drawing's units.
struct Plot {
    front: (f64, f64),
    left: (f64, f64),
    top: f64,
}

impl Plot {
    fn new(view: &Reach, top: f64) -> Plot {
        let places = || {
            view.regions
                .iter()
                .flat_map(|region| region.corners.iter().copied().chain([region.now, region.planned]))
        };
        let ends = |wish: Option<&Wish>, of: &dyn Fn(Place) -> f64| {
            let wished = wish.map(Wish::ends).into_iter().flat_map(|(from, to)| [from, to]);
            let (least, most) = span(places().map(of).chain(wished)).unwrap_or((0.0, 100.0));
            let around = ((most - least) * 0.06).max(0.05);
            (least - around, most + around)
        };
        Plot {
            front: ends(view.front_wanted.as_ref(), &|place| place.front.value),
            left: ends(view.left_wanted.as_ref(), &|place| place.left.value),
            top,
        }
    }

    fn bottom(&self) -> f64 {
        self.top + HEIGHT
    }

    fn x(&self, front: f64) -> f64 {
        LEFT + (front - self.front.0) / (self.front.1 - self.front.0) * (RIGHT - LEFT)
    }

    fn y(&self, left: f64) -> f64 {
        self.bottom() - (left - self.left.0) / (self.left.1 - self.left.0) * HEIGHT
    }

    fn axes(&self, view: &Reach) -> Markup {
        let (top, bottom) = (self.top, self.bottom());
        html! {
            g class="grid" stroke-width="0.5" {
                @for front in ticks(self.front, TICKS) {
                    path d={ "M " (number(self.x(front))) " " (number(top)) " V " (number(bottom + 4.0)) } {}
                }
                @for left in ticks(self.left, TICKS) {
                    path d={ "M " (number(LEFT - 4.0)) " " (number(self.y(left))) " H " (number(RIGHT)) } {}
                }
            }
            rect class="plot" x=(number(LEFT)) y=(number(top)) width=(number(RIGHT - LEFT)) height=(number(HEIGHT))
                stroke-width="0.9" {}
            @for front in ticks(self.front, TICKS) {
                text x=(number(self.x(front))) y=(number(bottom + 16.0)) text-anchor="middle" { (trimmed(front, 2)) }
            }
            @for left in ticks(self.left, TICKS) {
                text x=(number(LEFT - 7.0)) y=(number(self.y(left) + 4.0)) text-anchor="end" { (trimmed(left, 2)) }
            }
            text x=(number(LEFT)) y=(number(top - 8.0)) { "\u{2191} left %" }
            text x=(number(RIGHT)) y=(number(bottom + 31.0)) text-anchor="end" {
                "front % at the " (view.state.word()) " \u{2192}"
            }
        }
    }

    /// The wished tolerances: a rectangle where both are wished, a strip where one is.
    fn tolerances(&self, view: &Reach) -> Markup {
        let (west, east) = view.front_wanted.as_ref().map_or(self.front, Wish::ends);
        let (south, north) = view.left_wanted.as_ref().map_or(self.left, Wish::ends);
        let (x, y) = (self.x(west), self.y(north));
        html! {
            @if view.front_wanted.is_some() || view.left_wanted.is_some() {
                rect class="target" x=(number(x)) y=(number(y)) width=(number(self.x(east) - x))
                    height=(number(self.y(south) - y)) stroke-width="2.5" {}
            }
        }
    }

    fn outline(&self, index: usize, region: &Reachable) -> Markup {
        let at = |place: &Place| {
            format!("{},{}", number(self.x(place.front.value)), number(self.y(place.left.value)))
        };
        let corners: Vec<String> = region.corners.iter().map(at).collect();
        html! {
            polygon class="outline" points=(corners.join(" ")) stroke-width="1.4" stroke-dasharray=(dashes(index)) {}
            @for point in &region.points {
                circle class="within" cx=(number(self.x(point.front.value))) cy=(number(self.y(point.left.value))) r="1.2" {}
            }
        }
    }

    fn symbols(&self, index: usize, region: &Reachable) -> Markup {
        html! {
            @for (class, place) in [("open", region.now), ("filled", region.planned)] {
                (symbol(index, class, self.x(place.front.value), self.y(place.left.value)))
            }
        }
    }
}

fn dashes(index: usize) -> &'static str {
    DASHES[index % DASHES.len()]
}

/// A driver's own shape, open for now and filled for what is planned.
fn symbol(index: usize, class: &str, x: f64, y: f64) -> Markup {
    let corners = SHAPES[index % SHAPES.len()];
    let points: Vec<String> =
        corners.iter().map(|(dx, dy)| format!("{},{}", number(x + dx), number(y + dy))).collect();
    html! {
        @if corners.is_empty() {
            circle class=(class) cx=(number(x)) cy=(number(y)) r=(RADIUS) stroke-width="1.75" {}
        } @else {
            polygon class=(class) points=(points.join(" ")) stroke-width="1.75" {}
        }
    }
}

/// What the shapes mean, from an upper edge on, and where it ends.
fn legend(view: &Reach, top: f64) -> (Markup, f64) {
    let mut rows: Vec<(Markup, String)> = Vec::new();
    for (index, region) in view.regions.iter().enumerate() {
        let shapes = html! {
            path class="outline" d="M 6 0 H 30" stroke-width="1.4" stroke-dasharray=(dashes(index)) {}
            (symbol(index, "open", 41.0, 0.0))
            (symbol(index, "filled", 57.0, 0.0))
        };
        rows.push((shapes, format!("{}: outline, now, planned", who(region.driver.as_deref()))));
    }
    for nothing in &view.without {
        rows.push((html! {}, format!("{}: {}", who(nothing.driver.as_deref()), nothing.sentence)));
    }
    if view.front_wanted.is_some() || view.left_wanted.is_some() {
        let frame = html! { rect class="target" x="29" y="-5" width="16" height="10" stroke-width="2.5" {} };
        rows.push((frame, "wanted".to_owned()));
    }
    rows.push((
        html! { path class="outline" d="M 25 0 H 49" stroke-width="1.4" {} },
        "outline: what lead cut to any size reaches".to_owned(),
    ));
    if view.regions.iter().any(|region| !region.points.is_empty()) {
        let dots = html! { @for x in [30, 37, 44] { circle class="within" cx=(x) cy="0" r="1.2" {} } };
        rows.push((dots, "what whole pieces reach, looked for near a grid: not all there are".to_owned()));
    }
    let mut middle = top;
    let mut drawn = Vec::new();
    for (shapes, words) in rows {
        let lines = lettering::lines(&plain(&words), WIDTH - WORDS - 4.0, LETTER);
        drawn.push(html! {
            g transform={ "translate(0 " (number(middle)) ")" } { (shapes) }
            @for (line, row) in lines.iter().zip(0..) {
                text x=(number(WORDS)) y=(number(middle + 4.0 + ROW * f64::from(row))) { (line) }
            }
        });
        middle += ROW * lines.len() as f64;
    }
    (html! { g class="legend" { @for row in drawn { (row) } } }, middle)
}

fn who(driver: Option<&str>) -> &str {
    driver.unwrap_or("without a driver")
}

/// What the drawing shows, in words and numbers.
fn description(view: &Reach) -> String {
    let at = |place: &Place| format!("{} and {}", fixed(place.front.value, 2), fixed(place.left.value, 2));
    let mut sentences = Vec::new();
    for (name, wish) in [("front", &view.front_wanted), ("left", &view.left_wanted)] {
        if let Some(wish) = wish {
            sentences.push(format!("{name} is wanted at {} percent", wish.text()));
        }
    }
    for region in &view.regions {
        let corners: Vec<String> = region.corners.iter().map(at).collect();
        sentences.push(format!(
            "{}: now at {}, planned at {}, corners at {} (front and left percent)",
            who(region.driver.as_deref()),
            at(&region.now),
            at(&region.planned),
            corners.join("; ")
        ));
    }
    for nothing in &view.without {
        sentences.push(format!("{}: {}", who(nothing.driver.as_deref()), nothing.sentence));
    }
    sentences.join(". ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn twenty_drivers_look_different() {
        let mut looks: Vec<(&str, usize)> =
            (0..20).map(|index| (dashes(index), index % SHAPES.len())).collect();
        looks.sort_unstable();
        looks.dedup();
        assert_eq!(looks.len(), 20);
    }
}
