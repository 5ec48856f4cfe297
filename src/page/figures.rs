//! How figures lie to what is wanted of them, drawn for paper and phone; the same shapes everywhere: a box for what is wanted, a
//! ring for now, a dot for planned, a whisker or an ellipse for how well it is known.
//! Takes numbers in one unit; what is written beside a picture says the same in words, so pictures are hidden from who listens.

use maud::{Markup, html};

use super::markup::marked;
use super::{Strip, Wanted};
use crate::decimals::{ticks, trimmed};
use crate::marks::written;
use crate::units::UnitSystem;

/// What the shapes mean.
const LEGEND: &str =
    "box: wanted; ring: now; dot: planned; whisker, ellipse: how well it is known (95 of 100)";
/// The box of a strip is so wide, percent of the strip.
const BOX_PERCENT: f64 = 24.0;

/// Front and left shares in a plane: where the kart is, where it is to be.
#[derive(Clone, Debug)]
pub struct Plane {
    /// Front and left %, each with its ±.
    pub now: Option<[(f64, f64); 2]>,
    pub planned: Option<[(f64, f64); 2]>,
    /// Aim and tolerance of either, where there is a target.
    pub wanted: [Option<(f64, f64)>; 2],
}

/// A strip from 0 to 100 %: where its values lie, as attributes.
struct Scale {
    from: f64,
    per_percent: f64,
}

impl Scale {
    fn of(strip: &Strip) -> Scale {
        match strip.wanted {
            Wanted::Between { aim, within } => {
                let per_percent = if within > 0.0 { 2.0 * within / BOX_PERCENT } else { 1.0 };
                Scale { from: aim - 50.0 * per_percent, per_percent }
            }
            Wanted::AtLeast(least) => {
                let known = strip.planned.or(strip.now).unwrap_or(least);
                let all =
                    [Some(least), strip.now, Some(known - strip.known_to), Some(known + strip.known_to)];
                let all = || all.into_iter().flatten();
                let (low, high) = (all().fold(least, f64::min), all().fold(least, f64::max));
                // Room for the ring at one end, and for what is legal at the other.
                let span = (high - low).max(1.0);
                Scale { from: low - 0.06 * span, per_percent: 1.24 * span / 100.0 }
            }
        }
    }

    /// What lies beyond its ends stands at the end.
    fn at(&self, value: f64) -> f64 {
        ((value - self.from) / self.per_percent).clamp(2.0, 98.0)
    }

    fn percent(&self, value: f64) -> String {
        format!("{}%", trimmed(self.at(value), 2))
    }

    fn rect(&self, class: &str, [from, to]: [f64; 2], top: f64, high: f64) -> Markup {
        let (left, right) = (self.at(from.min(to)), self.at(from.max(to)));
        html! {
            rect class=(class) x={ (trimmed(left, 2)) "%" } width={ (trimmed(right - left, 2)) "%" } y=(top) height=(high) {}
        }
    }

    /// Whisker, ring and dot of a strip about a line.
    fn values(&self, strip: &Strip, middle: f64) -> Markup {
        let whisker =
            strip.planned.or(strip.now).map(|known| [known - strip.known_to, known + strip.known_to]);
        html! {
            @if let Some([from, to]) = whisker {
                line class="whisker" x1=(self.percent(from)) x2=(self.percent(to)) y1=(middle) y2=(middle) {}
                @for end in [from, to] {
                    line class="whisker" x1=(self.percent(end)) x2=(self.percent(end)) y1=(middle - 5.0) y2=(middle + 5.0) {}
                }
            }
            @if let Some(now) = strip.now { circle class="ring" cx=(self.percent(now)) cy=(middle) r="5" {} }
            @if let Some(planned) = strip.planned { circle class="dot" cx=(self.percent(planned)) cy=(middle) r="5.5" {} }
        }
    }
}

/// Strips in rows, a bar for what must be no less than something; what the shapes mean under them.
pub(super) fn strips(all: &[Strip], units: UnitSystem) -> Markup {
    let bars = all.iter().filter_map(|strip| match strip.wanted {
        Wanted::AtLeast(least) => Some((strip, least)),
        Wanted::Between { .. } => None,
    });
    let rows = all.iter().filter_map(|strip| match strip.wanted {
        Wanted::Between { aim, within } => Some((strip, aim, within)),
        Wanted::AtLeast(_) => None,
    });
    let rows: Vec<_> = rows.collect();
    html! {
        @for (strip, least) in bars { (bar(strip, least, units)) }
        @if !rows.is_empty() {
            table class="strips" {
                tbody {
                    @for (strip, aim, within) in rows {
                        tr {
                            th scope="row" {
                                b { (marked(&strip.name, units)) }
                                " " (super::html::content(&strip.shown[1], units))
                            }
                            td class="strip" { (between(strip, aim, within)) }
                            td class="number" { b { (marked(&strip.shown[0].text, units)) } }
                        }
                    }
                }
            }
            p class="legend" { (LEGEND) }
        }
    }
}

fn between(strip: &Strip, aim: f64, within: f64) -> Markup {
    let scale = Scale::of(strip);
    html! {
        svg class="drawing strip" aria-hidden="true" width="100%" height="26" data-of=(strip.name) {
            line class="plot" x1="1%" x2="99%" y1="13" y2="13" {}
            (scale.rect("target", [aim - within, aim + within], 3.0, 20.0))
            line class="aim" x1=(scale.percent(aim)) x2=(scale.percent(aim)) y1="3" y2="23" {}
            (scale.values(strip, 13.0))
        }
    }
}

/// The weight on a line, and from where on it is enough.
fn bar(strip: &Strip, least: f64, units: UnitSystem) -> Markup {
    let scale = Scale::of(strip);
    let [planned, stands] = &strip.shown;
    let text = |text: &str| written(text, units);
    // Its words end at the line, or begin there if it stands far to the left.
    let anchor = if scale.at(least) > 45.0 { "end" } else { "start" };
    html! {
        svg class="drawing weight" role="img" width="100%" height="70" font-size="14" data-of=(strip.name)
            aria-label={ (strip.name) " " (text(&planned.text)) ", " (text(&stands.text)) } {
            line class="plot" x1="1%" x2="99%" y1="36" y2="36" {}
            (scale.rect("target", [least, f64::INFINITY], 24.0, 24.0))
            line class="least" x1=(scale.percent(least)) x2=(scale.percent(least)) y1="19" y2="53" {}
            @if let (Some(now), Some(planned)) = (strip.now, strip.planned) {
                (scale.rect("planned", [now, planned], 31.0, 10.0))
            }
            (scale.values(strip, 36.0))
            text class="strong" x=(scale.percent(least)) y="14" text-anchor=(anchor) { (text(&stands.text)) }
            text x="1%" y="66" class="now-words" { (text(&strip.earlier)) }
            text class="strong" x="99%" y="66" text-anchor="end" { (text(&planned.text)) }
        }
    }
}

/// How far readings are off from what is computed, row by row, all to one scale about nothing.
#[derive(Clone, Debug)]
pub struct Offsets {
    /// What stands above it, and above its columns.
    pub caption: String,
    pub head: Vec<String>,
    /// Name of a row, and its columns.
    pub rows: Vec<(String, Vec<Offset>)>,
}

/// How far off a reading is, its ±, and both in words.
pub type Offset = (f64, f64, String);

/// A whisker about each, which a line at nothing crosses where all is well.
pub(super) fn offsets(all: &Offsets, units: UnitSystem) -> Markup {
    let cells = || all.rows.iter().flat_map(|(_, cells)| cells);
    let widest = cells().map(|(off, sure, _)| off.abs() + sure).fold(f64::MIN_POSITIVE, f64::max);
    let at = |off: f64| format!("{}%", trimmed(50.0 + 46.0 * off / widest, 2));
    html! {
        table class="offsets" {
            caption { (marked(&all.caption, units)) }
            thead { tr { td {} @for head in &all.head { th scope="col" { (head) } } } }
            tbody {
                @for (name, cells) in &all.rows {
                    tr {
                        th scope="row" { (marked(name, units)) }
                        @for ((off, sure, words), head) in cells.iter().zip(&all.head) {
                            td data-head=(head) {
                                svg class="drawing strip" aria-hidden="true" width="100%" height="16" {
                                    line class="aim" x1="50%" x2="50%" y1="0" y2="16" {}
                                    line class="whisker" x1=(at(off - sure)) x2=(at(off + sure)) y1="8" y2="8" {}
                                    @for end in [off - sure, off + sure] {
                                        line class="whisker" x1=(at(end)) x2=(at(end)) y1="4" y2="12" {}
                                    }
                                    circle class="ring" cx=(at(*off)) cy="8" r="4" {}
                                }
                                (marked(words, units))
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Size of the picture of a plane, and of the plot in it.
const PLANE: (f64, f64) = (300.0, 212.0);
const PLOT: [f64; 4] = [38.0, 20.0, 244.0, 156.0];

/// One axis of a plane: what lies between two percentages, and where it is drawn.
struct Axis {
    least: f64,
    most: f64,
    from: f64,
    to: f64,
}

impl Axis {
    fn new(points: &[(f64, f64)], wanted: Option<(f64, f64)>, [from, to]: [f64; 2]) -> Axis {
        let all = || {
            points.iter().copied().chain(wanted).flat_map(|(value, around)| [value - around, value + around])
        };
        let (least, most) = (all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max));
        let around = 0.08 * (most - least).max(0.5);
        Axis { least: least - around, most: most + around, from, to }
    }

    fn at(&self, percent: f64) -> f64 {
        self.from + (self.to - self.from) * (percent - self.least) / (self.most - self.least)
    }

    fn long(&self, percent: f64) -> f64 {
        (self.at(percent) - self.at(0.0)).abs()
    }
}

/// Up is more front, left is more left, as the kart lies on the page.
pub(super) fn plane(plane: &Plane) -> Markup {
    let points: Vec<(bool, [(f64, f64); 2])> = [(true, plane.now), (false, plane.planned)]
        .into_iter()
        .filter_map(|(is_now, of)| Some((is_now, of?)))
        .collect();
    let [left, top, wide, high] = PLOT;
    let of = |axis: usize| points.iter().map(|(_, point)| point[axis]).collect::<Vec<_>>();
    let fronts = Axis::new(&of(0), plane.wanted[0], [top + high, top]);
    let lefts = Axis::new(&of(1), plane.wanted[1], [left + wide, left]);
    let number = |value: f64| trimmed(value, 1);
    let at = |[front, left]: [(f64, f64); 2]| (lefts.at(left.0), fronts.at(front.0));
    let ends = |axis: &Axis, wanted: Option<(f64, f64)>| {
        let (one, other) = wanted
            .map_or((axis.from, axis.to), |(aim, within)| (axis.at(aim - within), axis.at(aim + within)));
        (one.min(other), (one - other).abs())
    };
    let ((x, box_wide), (y, box_high)) = (ends(&lefts, plane.wanted[1]), ends(&fronts, plane.wanted[0]));
    let labels = |axis: &Axis| ticks((axis.least, axis.most), 4);
    html! {
        figure class="plane" {
            svg class="drawing" aria-hidden="true" viewBox={ "0 0 " (PLANE.0) " " (PLANE.1) } font-size="13.5" {
                rect class="plot" x=(left) y=(top) width=(wide) height=(high) {}
                @for tick in labels(&fronts) {
                    line class="grid" x1=(left) x2=(left + wide) y1=(number(fronts.at(tick))) y2=(number(fronts.at(tick))) {}
                    text text-anchor="end" x=(left - 4.0) y=(number(fronts.at(tick) + 4.5)) { (trimmed(tick, 2)) }
                }
                @for tick in labels(&lefts) {
                    line class="grid" x1=(number(lefts.at(tick))) x2=(number(lefts.at(tick))) y1=(top) y2=(top + high) {}
                    text text-anchor="middle" x=(number(lefts.at(tick))) y=(top + high + 15.0) { (trimmed(tick, 2)) }
                }
                @if plane.wanted.iter().any(Option::is_some) {
                    rect class="target" x=(number(x)) y=(number(y)) width=(number(box_wide)) height=(number(box_high)) {}
                }
                @for (is_now, point) in &points {
                    @let (x, y) = at(*point);
                    ellipse class=(if *is_now { "known now" } else { "known" }) cx=(number(x)) cy=(number(y))
                        rx=(number(lefts.long(point[1].1))) ry=(number(fronts.long(point[0].1))) {}
                }
                @if let (Some(now), Some(planned)) = (plane.now.map(at), plane.planned.map(at)) {
                    line class="leap" x1=(number(now.0)) y1=(number(now.1)) x2=(number(planned.0)) y2=(number(planned.1))
                        stroke-dasharray="4 3" {}
                }
                @for (is_now, point) in &points {
                    @let (class, radius) = if *is_now { ("ring", 5.0) } else { ("dot", 5.5) };
                    circle class=(class) cx=(number(at(*point).0)) cy=(number(at(*point).1)) r=(radius) {}
                }
                text x=(left) y="13" { "\u{2191} more front %" }
                text x=(left) y=(PLANE.1 - 4.0) { "\u{2190} more left %" }
            }
        }
    }
}
