//! Where something is on the kart: `x`, `y` and `z`, and whether that can be.

use super::{bounds, keys};
use crate::diagnosis::{Fault, Side};
use crate::document::{Given, Reading, Value, written_length};
use crate::statics::{Chassis, Point};
use crate::units::Length;

impl keys::Place<'_> {
    /// `x` and `y`, both of which must be there.
    pub(super) fn point(&self) -> Option<Point> {
        Some(Point { x: self.x.read?, y: self.y.read? })
    }
}

/// `x` and `y` of a driver, both or neither.
pub(super) fn given(x: &Given<Length>, y: &Given<Length>, within: &str) -> Option<Point> {
    let half = |key| Fault::HalfAPlace { within: within.into(), key };
    match (&x.value, &y.value) {
        (Some(x), None) => x.note_key(half("y")),
        (None, Some(y)) => y.note_key(half("x")),
        _ => {}
    }
    Some(Point { x: x.read?, y: y.read? })
}

/// Refuses a place that is far from the kart.
pub(super) fn on_the_kart(reading: &Reading, value: &Value, what: &str, place: Point, chassis: &Chassis) {
    if let Some((distance, side)) = outside(reading, place, chassis, 0.0) {
        value.note_key(Fault::Outside { what: what.into(), distance, side });
    }
}

/// Refuses a mount that is far from the kart, and warns of one that is only odd.
pub(super) fn mount_on_the_kart(
    reading: &Reading,
    value: &Value,
    mount: &str,
    place: Point,
    chassis: &Chassis,
) {
    if let Some((distance, side)) = outside(reading, place, chassis, bounds::FAR_BRACKET) {
        value.note_key(Fault::Outside { what: format!("mount `{mount}`"), distance, side });
    } else if let Some((distance, side)) = outside(reading, place, chassis, 0.0) {
        value.note_key(Fault::MountOutside { mount: mount.into(), distance, side });
    }
}

/// How far outside of the kart, made larger by `farther` mm on all sides, a place lies; never, if limits are lifted.
fn outside(reading: &Reading, place: Point, chassis: &Chassis, farther: f64) -> Option<(String, Side)> {
    if reading.lifted() {
        return None;
    }
    let (x, y) = (place.x.mm(), place.y.mm());
    let half_width = chassis.track_front.mm().max(chassis.track_rear.mm()) / 2.0;
    let ahead = x - chassis.wheelbase.mm();
    let (behind_most, ahead_most) = bounds::OVERHANG;
    let (mm, side) = if -x > behind_most + farther {
        (-x, Side::Behind)
    } else if ahead > ahead_most + farther {
        (ahead, Side::Ahead)
    } else if y.abs() > half_width + bounds::SIDE + farther {
        (y.abs(), if y > 0.0 { Side::Left } else { Side::Right })
    } else {
        return None;
    };
    Some((written_length(Length::from_mm(mm), reading.units()), side))
}
