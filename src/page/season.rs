//! Figures from weighing to weighing, drawn for paper and phone: a ring with its whisker for each, a box for what is wanted.
//! Takes numbers in kilograms or percent; the table beside it says the same, so the pictures are hidden from who listens.

use maud::{Markup, html};

use crate::decimals::{ticks, trimmed};
use crate::units::{Mass, UnitSystem};

/// Some figures in time.
#[derive(Clone, Debug)]
pub struct Season {
    /// Every weighing in the order of time.
    pub weighings: Vec<When>,
    /// Weighings before which the kart itself changed.
    pub changed: Vec<usize>,
    pub panels: Vec<Panel>,
}

/// When a weighing was.
#[derive(Clone, Debug)]
pub struct When {
    /// Days since some day; none where nobody wrote it down.
    pub day: Option<i32>,
    /// `2 May`, or its number.
    pub label: String,
}

/// One figure in time.
#[derive(Clone, Debug)]
pub struct Panel {
    pub name: &'static str,
    /// Whether it is a mass, which is read in the units of its reader.
    pub is_mass: bool,
    pub points: Vec<Seen>,
    /// From where to where it is as wanted.
    pub wanted: Option<(f64, f64)>,
    /// Whether a change of the kart itself shows in it.
    pub shows_changes: bool,
}

/// A figure at one weighing.
#[derive(Clone, Copy, Debug)]
pub struct Seen {
    /// Which.
    pub weighing: usize,
    pub value: f64,
    pub plus_minus: f64,
    pub by: Shown,
}

/// What showed it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shown {
    /// The pads, under the kart as it is raced.
    AsRaced,
    /// The pads, under a kart that was weighed to learn.
    ToLearn,
    /// The officials' scale.
    Official,
}

/// Size of a picture, and left, top, right and bottom of the plot in it.
const SIZE: (f64, f64) = (354.0, 170.0);
const PLOT: [f64; 4] = [52.0, 20.0, 348.0, 146.0];
/// Between an end of the plot and the first or last weighing.
const PAD: f64 = 10.0;
/// Two weighings on one day are no farther apart than this.
const STEP: f64 = 18.0;
/// About so many round numbers up the edge.
const TICKS: usize = 3;
/// From the middle of one date to that of the next.
const LABEL: f64 = 52.0;
/// Width of a letter.
const LETTER: f64 = 8.0;

/// Where each weighing stands: a step from the one before, and as much more for every day between them.
fn places(weighings: &[When]) -> Vec<f64> {
    let days = weighings.windows(2).map(|pair| match (pair[0].day, pair[1].day) {
        (Some(one), Some(next)) => f64::from((next - one).max(0)),
        _ => 0.0,
    });
    let days: Vec<f64> = days.collect();
    let (all, gaps) = (days.iter().sum::<f64>(), days.len().max(1) as f64);
    let room = PLOT[2] - PLOT[0] - 2.0 * PAD;
    let step = if all > 0.0 { STEP.min(0.5 * room / gaps) } else { room / gaps };
    let per_day = if all > 0.0 { (room - step * gaps) / all } else { 0.0 };
    let mut at = PLOT[0] + PAD;
    let rest = days.into_iter().map(|days| {
        at += step + per_day * days;
        at
    });
    std::iter::once(PLOT[0] + PAD).chain(rest).collect()
}

/// A picture for each figure, and what the shapes mean.
pub(super) fn season(season: &Season, units: UnitSystem) -> Markup {
    let places = places(&season.weighings);
    let is_shown = |by: Shown| season.panels.iter().flat_map(|panel| &panel.points).any(|seen| seen.by == by);
    let legend = [
        (is_shown(Shown::AsRaced), "ring: as the pads showed it"),
        (is_shown(Shown::ToLearn), "diamond: weighed to learn"),
        (is_shown(Shown::Official), "square: the officials\u{2019} scale"),
        (true, "whisker: how well it is known (95 of 100)"),
        (season.panels.iter().any(|panel| panel.wanted.is_some()), "box: wanted"),
        (!season.changed.is_empty(), "dashed line: here the kart itself changed"),
    ];
    let legend = legend.into_iter().filter(|(is_shown, _)| *is_shown).map(|(_, words)| words);
    html! {
        div class="season" {
            @for one in &season.panels { (panel(one, season, &places, units)) }
        }
        p class="legend" { (legend.collect::<Vec<_>>().join("; ")) }
    }
}

fn panel(panel: &Panel, season: &Season, places: &[f64], units: UnitSystem) -> Markup {
    let unit = if panel.is_mass && units == UnitSystem::LbIn { Mass::from_kg(1.0).lb() } else { 1.0 };
    let [left, top, right, bottom] = PLOT;
    let ends =
        panel.points.iter().flat_map(|seen| [seen.value - seen.plus_minus, seen.value + seen.plus_minus]);
    let ends = ends.chain(panel.wanted.into_iter().flat_map(|(from, to)| [from, to])).map(|end| end * unit);
    let (least, most) =
        ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), end| (least.min(end), most.max(end)));
    let around = 0.06 * (most - least).max(0.1);
    let (least, most) = (least - around, most + around);
    let up = |value: f64| bottom - (bottom - top) * (value - least) / (most - least);
    let number = |at: f64| trimmed(at, 2);
    html! {
        figure {
            svg class="drawing" aria-hidden="true" viewBox={ "0 0 " (SIZE.0) " " (SIZE.1) } font-size="13" data-of=(panel.name) {
                text class="strong" x=(left) y="13" { (panel.name) }
                rect class="plot" x=(left) y=(top) width=(right - left) height=(bottom - top) {}
                @for tick in ticks((least, most), TICKS) {
                    line class="grid" x1=(left) x2=(right) y1=(number(up(tick))) y2=(number(up(tick))) {}
                    text text-anchor="end" x=(left - 4.0) y=(number(up(tick) + 4.5)) { (trimmed(tick, 2)) }
                }
                @if let Some((from, to)) = panel.wanted {
                    rect class="target" x=(left) width=(right - left) y=(number(up(to * unit)))
                        height=(number(up(from * unit) - up(to * unit))) {}
                }
                @for change in season.changed.iter().filter(|_| panel.shows_changes) {
                    @let at = places[change.saturating_sub(1)].midpoint(places[*change]);
                    line class="pointer change" x1=(number(at)) x2=(number(at)) y1=(top) y2=(bottom) stroke-dasharray="5 4" {}
                }
                @for seen in &panel.points {
                    @let at = places[seen.weighing];
                    @let ends = [seen.value - seen.plus_minus, seen.value + seen.plus_minus].map(|end| up(end * unit));
                    line class="whisker" x1=(number(at)) x2=(number(at)) y1=(number(ends[0])) y2=(number(ends[1])) {}
                    @for end in ends {
                        line class="whisker" x1=(number(at - 3.0)) x2=(number(at + 3.0)) y1=(number(end)) y2=(number(end)) {}
                    }
                    (shape(seen.by, at, up(seen.value * unit)))
                }
                @for (at, label) in labels(&season.weighings, places) {
                    text text-anchor="middle" x=(number(at)) y=(SIZE.1 - 6.0) { (label) }
                }
            }
        }
    }
}

fn shape(by: Shown, x: f64, y: f64) -> Markup {
    let number = |at: f64| trimmed(at, 2);
    html! {
        @match by {
            Shown::AsRaced => circle class="ring" cx=(number(x)) cy=(number(y)) r="4" {},
            Shown::ToLearn => path class="again" d={ "M" (number(x)) " " (number(y - 5.0)) "l5 5l-5 5l-5-5z" } {},
            Shown::Official => rect class="again" x=(number(x - 4.0)) y=(number(y - 4.0)) width="8" height="8" {},
        }
    }
}

/// Every date at its first weighing, as far as there is room for it.
fn labels<'w>(weighings: &'w [When], places: &[f64]) -> Vec<(f64, &'w str)> {
    let mut shown: Vec<(f64, &str)> = Vec::new();
    for (when, at) in std::iter::zip(weighings, places) {
        let has_room = shown.last().is_none_or(|(last, label)| *label != when.label && at - last >= LABEL);
        if has_room {
            let half = LETTER / 2.0 * when.label.chars().count() as f64;
            shown.push((at.min(SIZE.0 - half), &when.label));
        }
    }
    shown
}
