//! Frame, wheels and loads: the outline of a kart that is nobody's in particular.
//! Sizes of frame, seat and wheels are a sketch; only the places of axles and contact patches are measured.

use maud::{Markup, html};

use super::ground::{GroundView, Wheel};
use super::pen::{HALF_WHEEL_MM, Pen, across, down, number};
use crate::marks::column;
use crate::quantity::kg;

/// Length of the longest bar.
const LONGEST_PX: f64 = 74.0;
/// Thickness of a bar.
const BAR_PX: f64 = 8.0;
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

/// Wheels at their contact patches, their loads as bars that grow outward, and the numbers.
pub(super) fn wheels(view: &GroundView, pen: Pen) -> Markup {
    let loads = view.wheels.iter().flat_map(|wheel| [Some(wheel.load), wheel.before]);
    let heaviest = loads.flatten().fold(f64::MIN_POSITIVE, f64::max);
    html! {
        g class="wheels" {
            @for wheel in &view.wheels {
                (one_wheel(view, wheel, heaviest, pen))
            }
        }
    }
}

fn one_wheel(view: &GroundView, wheel: &Wheel, heaviest: f64, pen: Pen) -> Markup {
    let load = |mass: f64| view.shown(column(kg(mass)));
    let (x, y) = (across(wheel.place), down(wheel.place));
    let side = x.signum();
    let half = if y < 0.0 { HALF_FRONT_WHEEL_MM } else { HALF_WHEEL_MM };
    let edge = x + side * (half + pen.px(4.0));
    let anchor = if side < 0.0 { "end" } else { "start" };
    // A wheel in the air would have a negative load: no bar, and the number tells.
    let long = |kg: f64| (kg.max(0.0) / heaviest) * pen.px(LONGEST_PX);
    let bar = |class: &str, kg: f64, top: f64| {
        let long = long(kg);
        html! {
            rect class=(class) x=(number(if side < 0.0 { edge - long } else { edge })) y=(number(top))
                width=(number(long)) height=(pen.size(BAR_PX)) {}
        }
    };
    let both = wheel.before.is_some();
    let top = y - pen.px(if both { BAR_PX } else { BAR_PX / 2.0 });
    html! {
        g class="wheel" data-corner=(wheel.corner.word()) {
            rect class="tyre" x=(number(x - half)) y=(number(y - HALF_TYRE_MM)) width=(number(2.0 * half))
                height=(number(2.0 * HALF_TYRE_MM)) rx=(pen.size(4.0)) stroke-width=(pen.size(1.5)) {}
            circle class="patch" cx=(number(x)) cy=(number(y)) r=(pen.size(1.75)) {}
            @if let Some(before) = wheel.before {
                (bar("now", before, top))
            }
            (bar("planned", wheel.load, top + if both { pen.px(BAR_PX) } else { 0.0 }))
            text x=(number(edge)) y=(number(top - pen.px(4.0))) text-anchor=(anchor) class="strong" {
                (wheel.corner.word()) " " (load(wheel.load))
            }
            @if let Some(before) = wheel.before {
                text x=(number(edge)) y=(number(top + pen.px(2.0 * BAR_PX + 12.0))) text-anchor=(anchor)
                    class="now-words" font-size=(pen.size(12.0)) { (view.earlier()) " " (load(before)) }
            }
        }
    }
}
