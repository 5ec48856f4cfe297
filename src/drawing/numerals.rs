//! The numbers of the jobs on the kart, each beside the mount or the adjuster where it is done.

use std::f64::consts::TAU;

use maud::{Markup, html};

use super::ground::{GroundView, Wheel};
use super::lead::side_mm;
use super::pen::{HALF_WHEEL_MM, Pen, across, down, number};
use crate::statics::Point;

/// Radius of a numeral, and the size of its digits.
const RADIUS_PX: f64 = 9.0;
const DIGITS_PX: f64 = 13.0;
/// Half of what a wheel takes along the kart, mm.
const HALF_WHEEL_LONG_MM: f64 = 145.0;
/// Places that are tried around what a numeral belongs to: so many rings, each a radius farther out, in so many directions.
const RINGS: usize = 80;
const DIRECTIONS: usize = 24;

/// A numeral: what it belongs to, and where it has room.
struct Numeral {
    number: usize,
    /// What it points at, and how far that reaches.
    anchor: (f64, f64),
    reach: f64,
    at: (f64, f64),
}

/// Black discs with white digits; a line to where the job is if the disc does not touch it.
pub(super) fn numerals(view: &GroundView, pen: Pen) -> Markup {
    let radius = pen.px(RADIUS_PX);
    let all = placed(view, radius);
    html! {
        g class="numerals" font-size=(pen.size(DIGITS_PX)) stroke-width=(pen.size(1.25)) {
            @for Numeral { anchor, at, reach, .. } in &all {
                @if (at.0 - anchor.0).hypot(at.1 - anchor.1) > 1.1 * (reach + radius) {
                    path class="pointer" d={ "M " (number(anchor.0)) " " (number(anchor.1)) " L " (number(at.0)) " " (number(at.1)) } {}
                }
            }
            @for Numeral { number: job, at, .. } in &all {
                g class="numeral" data-job=(job) {
                    circle class="disc" cx=(number(at.0)) cy=(number(at.1)) r=(number(radius)) {}
                    text class="strong" text-anchor="middle" x=(number(at.0))
                        y=(number(at.1 + pen.px(0.36 * DIGITS_PX))) { (job) }
                }
            }
        }
    }
}

/// Each at the nearest place outside of what it belongs to that no wheel and no numeral before it takes.
fn placed(view: &GroundView, radius: f64) -> Vec<Numeral> {
    let mounts = view
        .spots
        .iter()
        .filter_map(|spot| Some((spot.job?, spot.place, side_mm(spot.lead.max(spot.leaves)))));
    let mut all: Vec<(usize, Point, f64)> =
        mounts.chain(view.levers.iter().filter_map(|lever| Some((lever.job?, lever.place, 0.0)))).collect();
    all.sort_by_key(|(number, ..)| *number);
    let mut placed: Vec<Numeral> = Vec::new();
    for (number, place, side) in all {
        let (anchor, reach) = ((across(place), down(place)), side / 2.0);
        let free = |at: &(f64, f64)| {
            // Neither disc over disc nor, where letters are wide, digits over digits.
            let apart = |other: &Numeral| {
                let (across, along) = ((at.0 - other.at.0).abs(), (at.1 - other.at.1).abs());
                across.hypot(along) >= 2.1 * radius && (across >= 2.1 * radius || along >= 1.25 * radius)
            };
            placed.iter().all(apart) && !view.wheels.iter().any(|wheel| beside(wheel, *at, radius))
        };
        let mut around = places_around(anchor, reach + radius, radius);
        let at = around.find(free).unwrap_or(anchor);
        placed.push(Numeral { number, anchor, reach, at });
    }
    placed
}

/// Ring by ring, on each the way out of the kart first and then alternately ahead and back.
fn places_around((x, y): (f64, f64), nearest: f64, step: f64) -> impl Iterator<Item = (f64, f64)> {
    let outward = if x < 0.0 { -1.0 } else { 1.0 };
    (0..RINGS * DIRECTIONS).map(move |index| {
        let (ring, turn) = (index / DIRECTIONS, index % DIRECTIONS);
        let far = nearest + step * ring as f64;
        let turned = turn.div_ceil(2) as f64 * TAU / DIRECTIONS as f64;
        let angle = if turn % 2 == 0 { turned } else { -turned };
        (x + outward * far * angle.cos(), y + far * angle.sin())
    })
}

/// Over a wheel, or outside of it where its load is written.
fn beside(wheel: &Wheel, (x, y): (f64, f64), radius: f64) -> bool {
    let (wheel_x, wheel_y) = (across(wheel.place), down(wheel.place));
    (y - wheel_y).abs() < HALF_WHEEL_LONG_MM + radius
        && x * wheel_x > 0.0
        && x.abs() > wheel_x.abs() - HALF_WHEEL_MM - radius
}
