//! Statics of a kart: what a mass, a spacer or a pad does to the four corners, and what four corners say.
//! Takes geometry, masses and places; gives corner loads in kilograms, as scales show them.
//! Does not know scenarios, drivers or lead; those are put together in `weighing`.
//!
//! Axes as ISO 8855: x forward, y left, z up; the origin lies on the ground below the middle of the rear axle.
//!
//! Total, fore-and-aft moment and roll moment are three equations for four unknown corners. The fourth number is *warp*:
//! how the frame twists and where the wheels stand. [`Chassis::warp_direction`] is the one direction in which corners can
//! change without moving any of the three.

use std::ops::{Add, AddAssign, Index, Mul, Neg, Sub};

use crate::units::{Length, STANDARD_GRAVITY};

/// A wheel; the order of declaration is the order of corners everywhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Corner {
    /// Left front.
    Lf,
    /// Right front.
    Rf,
    /// Left rear.
    Lr,
    /// Right rear.
    Rr,
}

impl Corner {
    /// All corners in order.
    pub const ALL: [Corner; 4] = [Corner::Lf, Corner::Rf, Corner::Lr, Corner::Rr];

    /// The trade's two letters for it.
    pub const fn word(self) -> &'static str {
        match self {
            Corner::Lf => "LF",
            Corner::Rf => "RF",
            Corner::Lr => "LR",
            Corner::Rr => "RR",
        }
    }
}

/// Loads or changes of load at the four corners, in kilograms, in the order LF RF LR RR.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Corners {
    kg: [f64; 4],
}

impl Corners {
    /// No load.
    pub const ZERO: Corners = Corners { kg: [0.0; 4] };

    /// From kilograms in the order LF RF LR RR.
    pub const fn from_kg(kg: [f64; 4]) -> Corners {
        Corners { kg }
    }

    /// Kilograms in the order LF RF LR RR.
    pub const fn kg(&self) -> [f64; 4] {
        self.kg
    }

    /// LF + RF + LR + RR.
    pub fn total(&self) -> f64 {
        self.front() + self.rear()
    }

    /// LF + RF.
    pub fn front(&self) -> f64 {
        self.kg[0] + self.kg[1]
    }

    /// LR + RR.
    pub fn rear(&self) -> f64 {
        self.kg[2] + self.kg[3]
    }

    /// LF + LR.
    pub fn left(&self) -> f64 {
        self.kg[0] + self.kg[2]
    }

    /// RF + LR, the diagonal as ovals use it.
    pub fn cross(&self) -> f64 {
        self.kg[1] + self.kg[2]
    }

    /// LF − RF.
    pub fn front_pair(&self) -> f64 {
        self.kg[0] - self.kg[1]
    }

    /// LR − RR.
    pub fn rear_pair(&self) -> f64 {
        self.kg[2] - self.kg[3]
    }
}

impl Index<Corner> for Corners {
    type Output = f64;
    fn index(&self, corner: Corner) -> &f64 {
        &self.kg[corner as usize]
    }
}

impl Add for Corners {
    type Output = Corners;
    fn add(self, other: Corners) -> Corners {
        Corners { kg: std::array::from_fn(|c| self.kg[c] + other.kg[c]) }
    }
}

impl AddAssign for Corners {
    fn add_assign(&mut self, other: Corners) {
        *self = *self + other;
    }
}

impl Neg for Corners {
    type Output = Corners;
    fn neg(self) -> Corners {
        self * -1.0
    }
}

impl Sub for Corners {
    type Output = Corners;
    fn sub(self, other: Corners) -> Corners {
        self + -other
    }
}

impl Mul<f64> for Corners {
    type Output = Corners;
    fn mul(self, factor: f64) -> Corners {
        Corners { kg: self.kg.map(|kg| kg * factor) }
    }
}

/// A place on the kart, seen from above.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// Forward of the rear axle.
    pub x: Length,
    /// Left of the centre line.
    pub y: Length,
}

impl Point {
    /// From millimetres forward of the rear axle and left of the centre line.
    pub const fn from_mm(x: f64, y: f64) -> Point {
        Point { x: Length::from_mm(x), y: Length::from_mm(y) }
    }
}

/// Vertical stiffness of the tyres and torsional stiffness of the frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stiffness {
    /// One front tyre, N/mm.
    pub tyre_front_n_per_mm: f64,
    /// One rear tyre, N/mm.
    pub tyre_rear_n_per_mm: f64,
    /// Frame between the axles, N·m per degree of twist.
    pub frame_nm_per_deg: f64,
}

impl Default for Stiffness {
    /// Tyres of the kart model of Lot & Dal Bianco 2016; the frame is chosen so that tyres and frame together give the warp
    /// stiffness of that model (DEVELOPERS.md, Figures).
    fn default() -> Stiffness {
        Stiffness { tyre_front_n_per_mm: 64.5, tyre_rear_n_per_mm: 61.3, frame_nm_per_deg: 140.0 }
    }
}

/// Share of a mass's roll moment that the front pair carries, for a mass above either axle; linear in between.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RollShare {
    /// For a mass above the rear axle, 0 to 1.
    pub at_rear_axle: f64,
    /// For a mass above the front axle, 0 to 1.
    pub at_front_axle: f64,
}

/// Everything about a kart that statics needs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chassis {
    /// Distance between the axles.
    pub wheelbase: Length,
    /// Between the centres of the front contact patches.
    pub track_front: Length,
    /// Between the centres of the rear contact patches.
    pub track_rear: Length,
    /// How roll moments are shared.
    pub roll_share: RollShare,
    /// Load that LF gains per millimetre of spindle spacer, or of pad standing too high, kg/mm.
    pub warp_rate_kg_per_mm: f64,
}

/// What four corners say: the three numbers of statics, and warp.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Split {
    /// Sum of the corners, kg.
    pub total_kg: f64,
    /// Centre of gravity seen from above.
    pub cg: Point,
    /// Load at LF (and, scaled by the tracks, at RR) beyond what a mass at the centre of gravity explains, kg; negative
    /// when RF and LR press harder.
    pub warp_kg: f64,
}

impl Chassis {
    /// Roll share and warp rate from stiffnesses: a torsion bar between two axles on tyre springs.
    ///
    /// `φ(s) = (1/Kr + s/kt)/C` and `warp rate = 1/(tf²·C·g)` with `C = 1/Kf + 1/Kr + 1/kt` and `K = k·t²/2` the roll
    /// stiffness of a pair of tyres of vertical stiffness k on track t, kt the frame's torsional stiffness. Assumes linear
    /// springs; a bar loaded at station s hands s of the torque to its front end. Derived in DEVELOPERS.md, Statics.
    pub fn from_stiffness(
        wheelbase: Length,
        track_front: Length,
        track_rear: Length,
        stiffness: Stiffness,
    ) -> Chassis {
        let pair_nm_per_rad = |tyre_n_per_mm: f64, track: Length| {
            let track_m = track.mm() * 1e-3;
            tyre_n_per_mm * 1e3 * track_m * track_m / 2.0
        };
        let front = 1.0 / pair_nm_per_rad(stiffness.tyre_front_n_per_mm, track_front);
        let rear = 1.0 / pair_nm_per_rad(stiffness.tyre_rear_n_per_mm, track_rear);
        // Per degree to per radian: the same factor that turns radians into degrees.
        let frame = 1.0 / stiffness.frame_nm_per_deg.to_degrees();
        let compliance = front + rear + frame;
        let track_front_m = track_front.mm() * 1e-3;
        Chassis {
            wheelbase,
            track_front,
            track_rear,
            roll_share: RollShare {
                at_rear_axle: rear / compliance,
                at_front_axle: (rear + frame) / compliance,
            },
            warp_rate_kg_per_mm: 1e-3 / (track_front_m * track_front_m * compliance * STANDARD_GRAVITY),
        }
    }

    /// Corner loads of one kilogram at `place`.
    ///
    /// `LF = x/2L + yφ/tf`, `RF = x/2L − yφ/tf`, `LR = (L−x)/2L + y(1−φ)/tr`, `RR = (L−x)/2L − y(1−φ)/tr`; x also outside
    /// the wheelbase. Moments about the rear axle and the centre line; the roll moment is shared by φ at station x/L,
    /// clamped to 0 and 1.
    pub fn influence(&self, place: Point) -> Corners {
        let station = place.x.mm() / self.wheelbase.mm();
        let share = self.roll_share_at(station);
        let front_half = station / 2.0;
        let rear_half = (1.0 - station) / 2.0;
        let front_roll = place.y.mm() * share / self.track_front.mm();
        let rear_roll = place.y.mm() * (1.0 - share) / self.track_rear.mm();
        Corners::from_kg([
            front_half + front_roll,
            front_half - front_roll,
            rear_half + rear_roll,
            rear_half - rear_roll,
        ])
    }

    /// φ at a station (0 rear axle, 1 front axle), clamped outside.
    pub fn roll_share_at(&self, station: f64) -> f64 {
        let RollShare { at_rear_axle, at_front_axle } = self.roll_share;
        at_rear_axle + (at_front_axle - at_rear_axle) * station.clamp(0.0, 1.0)
    }

    /// `(1, −1, −tf/tr, +tf/tr)`: the only change of corners that leaves total, fore-and-aft and roll moment alone.
    pub fn warp_direction(&self) -> Corners {
        let ratio = self.track_front.mm() / self.track_rear.mm();
        Corners::from_kg([1.0, -1.0, -ratio, ratio])
    }

    /// Change of corners by a spindle spacer of `height` below the left front spindle, or by a pad standing that much too
    /// high under LF; under RF it is the opposite.
    pub fn spacer(&self, height: Length) -> Corners {
        self.warp_direction() * (self.warp_rate_kg_per_mm * height.mm())
    }

    /// Roll moment about the centre line, kg·mm, left positive: `((LF−RF)·tf + (LR−RR)·tr)/2`.
    pub fn roll_moment(&self, corners: &Corners) -> f64 {
        (corners.front_pair() * self.track_front.mm() + corners.rear_pair() * self.track_rear.mm()) / 2.0
    }

    /// Centre of gravity seen from above: `x = L·front/total`, `y = roll moment/total`.
    ///
    /// Meaningless for a total of zero or less; weighings with such a total are refused before.
    pub fn cg(&self, corners: &Corners) -> Point {
        let total = corners.total();
        Point::from_mm(self.wheelbase.mm() * corners.front() / total, self.roll_moment(corners) / total)
    }

    /// Divides corners into what statics fixes and warp.
    ///
    /// Warp is measured against one mass at the centre of gravity, whose roll moment the frame shares by φ there:
    /// `warp = (LF−RF)/2 − roll moment·φ/tf`.
    pub fn split(&self, corners: &Corners) -> Split {
        let cg = self.cg(corners);
        let share = self.roll_share_at(cg.x.mm() / self.wheelbase.mm());
        let explained = self.roll_moment(corners) * share / self.track_front.mm();
        Split { total_kg: corners.total(), cg, warp_kg: corners.front_pair() / 2.0 - explained }
    }
}
