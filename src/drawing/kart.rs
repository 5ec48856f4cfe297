//! Frame, wheels and loads: the outline of a kart that is nobody's in particular.
//! Sizes of frame, seat and wheels are a sketch; only the places of axles and contact patches are measured.

use maud::{Markup, html};

use super::ground::{GroundView, Wheel};
use super::pen::{HALF_WHEEL_MM, Pen, across, down, number};
use crate::marks::plain;
use crate::quantity::{Exact, Kg, kg};

/// Size of the load at a wheel.
const LOAD_PX: f64 = 23.0;
/// The blank below it, to write in.
const BLANK_PX: (f64, f64) = (72.0, 25.0);
/// A tenth, as pads show it.
const AS_PADS_READ: Exact<Kg> = kg(0.5);
/// Half the width of a front wheel as drawn, mm.
const HALF_FRONT_WHEEL_MM: f64 = 68.0;
/// The nose begins and ends so far ahead of the front axle, mm.
const NOSE_MM: (f64, f64) = (60.0, 340.0);
/// Half the height of a wheel seen from above, mm.
const HALF_TYRE_MM: f64 = 135.0;

/// Frame, axles, seat and steering wheel, in thin lines.
pub(super) fn frame(view: &GroundView, pen: Pen) -> Markup {
    let length = view.chassis.wheelbase.mm();
    let (front, rear) = (view.chassis.track_front.mm() / 2.0, view.chassis.track_rear.mm() / 2.0);
    let (narrow, wide) = (0.40 * front, 0.54 * rear);
    let at = |share: f64| -share * length;
    // A path as points to the right of the centre line and to the rear of the rear axle.
    let line = |points: &[(f64, f64)]| {
        let parts: Vec<String> =
            points.iter().map(|(x, y)| format!("{} {}", number(*x), number(*y))).collect();
        format!("M {}", parts.join(" L "))
    };
    let rail = |side: f64| {
        line(&[
            (side * 0.62 * wide, 130.0),
            (side * wide, 20.0),
            (side * wide, at(0.5)),
            (side * narrow, at(0.86)),
            (side * narrow, at(1.0) - NOSE_MM.0),
        ])
    };
    let across_at = |share: f64, half: f64| line(&[(-half, at(share)), (half, at(share))]);
    // Points of a curve are shares of half the front track and millimetres ahead of the front axle.
    let ahead = |points: &[(f64, f64)]| {
        let parts = points.iter().map(|(x, y)| format!("{} {}", number(x * front), number(at(1.0) - y)));
        parts.collect::<Vec<_>>().join(" ")
    };
    let (back, tip) = NOSE_MM;
    let nose = format!(
        "M {} C {} L {} C {} Z",
        ahead(&[(-0.52, back)]),
        ahead(&[(-0.58, 0.6 * tip), (-0.46, 0.95 * tip), (-0.24, tip)]),
        ahead(&[(0.24, tip)]),
        ahead(&[(0.46, 0.95 * tip), (0.58, 0.6 * tip), (0.52, back)])
    );
    let (pod_inner, pod_outer) = (wide + 45.0, 0.96 * front.min(rear));
    let pod = |left: f64| {
        html! {
            rect x=(number(left)) y=(number(at(0.74))) width=(number((pod_outer - pod_inner).max(0.0)))
                height=(number(at(0.30) - at(0.74))) rx="55" {}
        }
    };
    let bumper = (0.78 * rear, 172.0, 60.0);
    let seat = [
        (-175.0, at(0.44)),
        (-240.0, at(0.12)),
        (-200.0, at(0.04)),
        (0.0, at(0.04)),
        (200.0, at(0.04)),
        (240.0, at(0.12)),
        (175.0, at(0.44)),
    ]
    .map(|(x, y)| format!("{} {}", number(x), number(y)));
    let seat = format!(
        "M {} C {} {} {} C {} {} {} Z",
        seat[0], seat[1], seat[2], seat[3], seat[4], seat[5], seat[6]
    );
    html! {
        g class="frame" fill="none" stroke-width=(pen.size(1.25)) {
            path d=(rail(-1.0)) {}
            path d=(rail(1.0)) {}
            (pod(-pod_outer))
            (pod(pod_inner))
            path d=(across_at(0.12, wide)) {}
            path d=(across_at(0.5, wide)) {}
            path d=(across_at(0.86, narrow)) {}
            path d=(nose) {}
            rect x=(number(-bumper.0)) y=(number(bumper.1)) width=(number(2.0 * bumper.0))
                height=(number(bumper.2)) rx="30" {}
            path d=(seat) {}
            ellipse cx="0" cy=(number(at(0.66))) rx="125" ry="60" {}
        }
        g class="axle" fill="none" stroke-width=(pen.size(1.75)) {
            path d=(across_at(0.0, rear)) {}
            path d=(line(&[(-front, at(1.0)), (-narrow, at(1.0))])) {}
            path d=(line(&[(narrow, at(1.0)), (front, at(1.0))])) {}
        }
    }
}

fn half_width(wheel: &Wheel) -> f64 {
    if down(wheel.place) < 0.0 { HALF_FRONT_WHEEL_MM } else { HALF_WHEEL_MM }
}

fn tyre(wheel: &Wheel, pen: Pen) -> Markup {
    let (x, y, half) = (across(wheel.place), down(wheel.place), half_width(wheel));
    html! {
        rect class="tyre" x=(number(x - half)) y=(number(y - HALF_TYRE_MM)) width=(number(2.0 * half))
            height=(number(2.0 * HALF_TYRE_MM)) rx=(pen.size(4.0)) stroke-width=(pen.size(1.5)) {}
        circle class="patch" cx=(number(x)) cy=(number(y)) r=(pen.size(1.75)) {}
    }
}

/// Wheels without their loads.
pub(super) fn tyres(view: &GroundView, pen: Pen) -> Markup {
    html! { g class="wheels" { @for wheel in &view.wheels { (tyre(wheel, pen)) } } }
}

/// Wheels at their contact patches with their loads, and a blank for what the pads say when the work is done.
pub(super) fn wheels(view: &GroundView, pen: Pen) -> Markup {
    html! {
        g class="wheels" {
            @for wheel in &view.wheels { (one_wheel(view, wheel, pen)) }
        }
    }
}

fn one_wheel(view: &GroundView, wheel: &Wheel, pen: Pen) -> Markup {
    let load = |mass: f64| view.shown(plain(kg(mass).known_to(AS_PADS_READ)).without_plus_minus().bare());
    let (x, y) = (across(wheel.place), down(wheel.place));
    let side = x.signum();
    let edge = x + side * (half_width(wheel) + pen.px(5.0));
    let anchor = if side < 0.0 { "end" } else { "start" };
    let (wide, high) = BLANK_PX;
    html! {
        g class="wheel" data-corner=(wheel.corner.word()) {
            (tyre(wheel, pen))
            text class="quiet strong" x=(number(edge)) y=(number(y - pen.px(24.0))) text-anchor=(anchor) { (wheel.corner.word()) }
            text class="strong load" x=(number(edge)) y=(number(y + pen.px(1.0))) text-anchor=(anchor)
                font-size=(pen.size(LOAD_PX)) { (load(wheel.load)) }
            @if let Some(before) = wheel.before {
                text class="now-words" x=(number(edge)) y=(number(y + pen.px(16.0))) text-anchor=(anchor) {
                    (view.earlier()) " " (load(before))
                }
            }
            rect class="again" x=(number(if side < 0.0 { edge - pen.px(wide) } else { edge }))
                    y=(number(y + pen.px(21.0))) width=(pen.size(wide)) height=(pen.size(high)) stroke-width=(pen.size(1.25)) {}
        }
    }
}
