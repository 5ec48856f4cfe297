//! The numbers of the jobs on the kart, each beside the mount or the adjuster where it is done.

use maud::{Markup, html};

use super::ground::GroundView;
use super::lead::side_mm;
use super::pen::{HALF_WHEEL_MM, Pen, across, down, number};

/// Radius of a numeral, and the size of its digits.
const RADIUS_PX: f64 = 9.0;
const DIGITS_PX: f64 = 13.0;
/// Half of what a wheel takes along the kart, mm.
const HALF_WHEEL_LONG_MM: f64 = 145.0;
/// Rounds in which numerals that lie over each other are pushed apart; a dozen on one spot need some thirty, forty on a small kart
/// a hundred and more.
const ROUNDS: usize = 400;

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

/// Outside of what they belong to, and apart from each other and from the wheels.
fn placed(view: &GroundView, radius: f64) -> Vec<Numeral> {
    let mounts = view
        .spots
        .iter()
        .filter_map(|spot| Some((spot.job?, spot.place, side_mm(spot.lead.max(spot.leaves)))));
    let mut all: Vec<Numeral> = mounts
        .chain(view.levers.iter().filter_map(|lever| Some((lever.job?, lever.place, 0.0))))
        .map(|(number, place, side)| {
            let (x, y) = (across(place), down(place));
            let reach = side / 2.0;
            let outward = if x < 0.0 { -1.0 } else { 1.0 };
            Numeral { number, anchor: (x, y), reach, at: (x + outward * (reach + radius), y) }
        })
        .collect();
    all.sort_by_key(|numeral| numeral.number);
    let wheels: Vec<(f64, f64)> =
        view.wheels.iter().map(|wheel| (across(wheel.place), down(wheel.place))).collect();
    for _ in 0..ROUNDS {
        for one in 0..all.len() {
            for other in one + 1..all.len() {
                let (dx, dy) = (all[other].at.0 - all[one].at.0, all[other].at.1 - all[one].at.1);
                let far = dx.hypot(dy);
                let short = 2.1 * radius - far;
                if short > 0.0 {
                    // On one spot: one goes ahead, the other back.
                    // Beside a wheel there is no way but along the kart.
                    let along = 0.3_f64.copysign(dy);
                    let (x, y) = if far > 1.0 { (dx / far, dy / far + along) } else { (0.0, 1.0) };
                    all[one].at = (all[one].at.0 - x * short / 2.0, all[one].at.1 - y * short / 2.0);
                    all[other].at = (all[other].at.0 + x * short / 2.0, all[other].at.1 + y * short / 2.0);
                }
            }
        }
        for numeral in &mut all {
            for (x, y) in &wheels {
                let inner = x.abs() - HALF_WHEEL_MM - radius;
                if (numeral.at.1 - y).abs() < HALF_WHEEL_LONG_MM + radius
                    && numeral.at.0 * x > 0.0
                    && numeral.at.0.abs() > inner
                {
                    numeral.at.0 = x.signum() * inner;
                }
            }
        }
    }
    all
}
