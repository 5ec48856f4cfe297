//! How large letters and lines are beside a kart: the picture is so many letters wide, whatever the kart is.
//! Across is to the right, down is to the rear: the driver looks up the page.

use super::ground::GroundView;
use crate::decimals::trimmed;
use crate::statics::Point;

/// Width of the picture in its own pixels: a phone held upright, or half of a printed page.
const WIDTH_PX: f64 = 360.0;
/// Beside the kart on either side, for loads and letters.
const BESIDE_PX: f64 = 88.0;
/// The kart of the drawing ends so far ahead of the front axle and behind the rear axle, mm.
const OVERHANG_MM: (f64, f64) = (430.0, 300.0);
/// Half the width of a rear wheel as drawn, mm.
pub(super) const HALF_WHEEL_MM: f64 = 105.0;
/// Room around a mount, mm.
const AROUND_MOUNT_MM: f64 = 90.0;

/// The size of a pixel, mm on the kart.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pen {
    mm: f64,
}

impl Pen {
    /// So many pixels as millimetres on the kart.
    pub(super) fn px(self, px: f64) -> f64 {
        px * self.mm
    }

    /// The same as an attribute.
    pub(super) fn size(self, px: f64) -> String {
        number(self.px(px))
    }
}

/// What the kart takes of the picture.
#[derive(Clone, Copy, Debug)]
pub(super) struct Area {
    pub(super) pen: Pen,
    /// From the centre line to either edge of the picture.
    pub(super) half_width: f64,
    /// Upper edge, negative.
    pub(super) front: f64,
    /// Lower edge of the kart.
    pub(super) rear: f64,
}

impl Area {
    /// Whether a place is in the picture, with its words.
    pub(super) fn holds(&self, place: Point) -> bool {
        across(place).abs() <= 0.75 * self.half_width && (self.front..=self.rear).contains(&down(place))
    }

    /// Everything of the kart fits in, mounts far out as well.
    pub(super) fn around(view: &GroundView) -> Area {
        let mounts = || view.spots.iter().map(|spot| spot.place);
        let wheels = view.wheels.iter().map(|wheel| across(wheel.place).abs() + HALF_WHEEL_MM);
        let half_kart =
            wheels.chain(mounts().map(|place| across(place).abs() + AROUND_MOUNT_MM)).fold(0.0, f64::max);
        let front_end = view.chassis.wheelbase.mm() + OVERHANG_MM.0;
        let front = mounts().map(|place| down(place) - AROUND_MOUNT_MM).fold(-front_end, f64::min);
        let rear = mounts().map(|place| down(place) + AROUND_MOUNT_MM).fold(OVERHANG_MM.1, f64::max);
        let pen = Pen { mm: 2.0 * half_kart / (WIDTH_PX - 2.0 * BESIDE_PX) };
        Area { pen, half_width: pen.px(WIDTH_PX / 2.0), front, rear }
    }
}

/// To the right, mm.
pub(super) fn across(place: Point) -> f64 {
    -place.y.mm()
}

/// To the rear, mm.
pub(super) fn down(place: Point) -> f64 {
    -place.x.mm()
}

/// A coordinate as an attribute: to a tenth of a millimetre on the kart.
pub(super) fn number(mm: f64) -> String {
    trimmed(mm, 1)
}
