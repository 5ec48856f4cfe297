//! Statics of a kart: what a mass, a spacer or a pad does to the four corners, and what four corners say.
//! Does not know scenarios, drivers or lead; those are put together in `weighing`.
//!
//! Axes as ISO 8855: x forward, y left, z up; the origin lies on the ground below the middle of the rear axle.
//!
//! Total, fore-and-aft moment and roll moment are three equations for four unknown corners. The fourth number is *twist*:
//! how the frame twists and where the wheels stand. [`Chassis::twist_direction`] is the one direction in which corners can
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

/// A front wheel, whose height against the frame can be set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FrontWheel {
    Left,
    Right,
}

/// Loads or changes of load at the four corners, in kilograms, in the order LF RF LR RR; and, since pads cannot tell it, how
/// high the masses are that make them.
///
/// As `Σ m·x/L` is the load on the front axle, `Σ m·z/L` says in kilograms how high a kart carries its mass: L the wheelbase, z
/// up from the ground. Four readings know nothing of it, so it is zero until somebody adds it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Corners {
    kg: [f64; 4],
    raised_kg: f64,
}

impl Corners {
    /// No load.
    pub const ZERO: Corners = Corners { kg: [0.0; 4], raised_kg: 0.0 };

    /// From kilograms in the order LF RF LR RR.
    pub const fn from_kg(kg: [f64; 4]) -> Corners {
        Corners { kg, raised_kg: 0.0 }
    }

    /// The same corners of masses so high.
    #[must_use]
    pub const fn raised(self, raised_kg: f64) -> Corners {
        Corners { raised_kg, ..self }
    }

    /// `Σ m·z/L`, kg.
    pub const fn raised_kg(&self) -> f64 {
        self.raised_kg
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
        Corners {
            kg: std::array::from_fn(|c| self.kg[c] + other.kg[c]),
            raised_kg: self.raised_kg + other.raised_kg,
        }
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
        Corners { kg: self.kg.map(|kg| kg * factor), raised_kg: self.raised_kg * factor }
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
    /// The middle of what is on the road, as it stands: tyres of 58 to 95 N/mm that stiffen by up to 2 % per mm under their load,
    /// frames of 90 to 280 N·m per degree (ranges assumed). They have the mean twist rate and roll shares of karts drawn so.
    fn default() -> Stiffness {
        Stiffness { tyre_front_n_per_mm: 83.0, tyre_rear_n_per_mm: 83.0, frame_nm_per_deg: 178.0 }
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
    pub twist_rate_kg_per_mm: f64,
}

/// What four corners say: the three numbers of statics, and twist.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Split {
    /// Sum of the corners, kg.
    pub total_kg: f64,
    /// Centre of gravity seen from above.
    pub cg: Point,
    /// Load at LF (and, scaled by the tracks, at RR) beyond what a mass at the centre of gravity explains, kg; negative
    /// when RF and LR press harder.
    pub twist_kg: f64,
}

impl Chassis {
    /// Roll share and twist rate from stiffnesses: a torsion bar between two axles on tyre springs.
    ///
    /// `φ(s) = (1/Kr + s/kt)/C` and `twist rate = 1/(tf²·C·g)` with `C = 1/Kf + 1/Kr + 1/kt` and `K = k·t²/2` the roll
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
            twist_rate_kg_per_mm: 1e-3 / (track_front_m * track_front_m * compliance * STANDARD_GRAVITY),
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

    /// The same of one kilogram so high.
    pub fn influence_at(&self, place: Point, height: Length) -> Corners {
        self.influence(place).raised(height.mm() / self.wheelbase.mm())
    }

    /// φ at a station (0 rear axle, 1 front axle), clamped outside.
    pub fn roll_share_at(&self, station: f64) -> f64 {
        let RollShare { at_rear_axle, at_front_axle } = self.roll_share;
        at_rear_axle + (at_front_axle - at_rear_axle) * station.clamp(0.0, 1.0)
    }

    /// Load that a kilogram at a station takes to the left side for every millimetre to the left: `φ/tf + (1−φ)/tr`.
    pub fn left_per_mm(&self, station: f64) -> f64 {
        let share = self.roll_share_at(station);
        share / self.track_front.mm() + (1.0 - share) / self.track_rear.mm()
    }

    /// `(1, −1, −tf/tr, +tf/tr)`: the only change of corners that leaves total, fore-and-aft and roll moment alone.
    pub fn twist_direction(&self) -> Corners {
        let ratio = self.track_front.mm() / self.track_rear.mm();
        Corners::from_kg([1.0, -1.0, -ratio, ratio])
    }

    /// Change of corners when a front wheel is set lower against the frame by `height`, as washers do that go from below its
    /// spindle to above it; or when a pad under that wheel stands so much too high.
    ///
    /// The lower wheel, or the one on the higher pad, carries more: `LF` by `h/(tf²·C·g)`, the others along the twist
    /// direction.
    pub fn lower_wheel(&self, side: FrontWheel, height: Length) -> Corners {
        let sign = match side {
            FrontWheel::Left => 1.0,
            FrontWheel::Right => -1.0,
        };
        self.twist_direction() * (sign * self.twist_rate_kg_per_mm * height.mm())
    }

    /// Roll moment about the centre line, kg·mm, left positive: `((LF−RF)·tf + (LR−RR)·tr)/2`.
    pub fn roll_moment(&self, corners: &Corners) -> f64 {
        let (front, rear) = (self.track_front.mm(), self.track_rear.mm());
        f64::midpoint(corners.front_pair() * front, corners.rear_pair() * rear)
    }

    /// Centre of gravity seen from above: `x = L·front/total`, `y = roll moment/total`.
    ///
    /// Meaningless for a total of zero or less; weighings with such a total are refused before.
    pub fn cg(&self, corners: &Corners) -> Point {
        let total = corners.total();
        Point::from_mm(self.wheelbase.mm() * corners.front() / total, self.roll_moment(corners) / total)
    }

    /// Height of the centre of gravity above the ground: `L·raised/total`.
    pub fn cg_height(&self, corners: &Corners) -> Length {
        Length::from_mm(self.wheelbase.mm() * corners.raised_kg() / corners.total())
    }

    /// Divides corners into what statics fixes and twist.
    ///
    /// Twist is measured against one mass at the centre of gravity, whose roll moment the frame shares by φ there:
    /// `twist = (LF−RF)/2 − roll moment·φ/tf`.
    pub fn split(&self, corners: &Corners) -> Split {
        let cg = self.cg(corners);
        let share = self.roll_share_at(cg.x.mm() / self.wheelbase.mm());
        let explained = self.roll_moment(corners) * share / self.track_front.mm();
        Split { total_kg: corners.total(), cg, twist_kg: corners.front_pair() / 2.0 - explained }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::{assert_abs_diff_eq, assert_relative_eq};

    const NOTHING_KG: f64 = 1e-12; // above the rounding of a few additions

    /// Lot & Dal Bianco 2016 (as transcribed; paper not seen), with the frame that gives the twist stiffness of their model.
    const PUBLISHED: Stiffness =
        Stiffness { tyre_front_n_per_mm: 64.5, tyre_rear_n_per_mm: 61.3, frame_nm_per_deg: 140.0 };

    /// Unequal tracks, so that left % and twist are not independent.
    fn kart() -> Chassis {
        Chassis::from_stiffness(
            Length::from_mm(1045.0),
            Length::from_mm(1055.0),
            Length::from_mm(1200.0),
            PUBLISHED,
        )
    }

    fn assert_corners(found: Corners, expected: [f64; 4]) {
        assert_abs_diff_eq!(found.kg()[..], expected[..], epsilon = NOTHING_KG);
    }

    /// RECOMP from the formulas of [`Chassis::from_stiffness`]: Kf = 64500·1.055²/2, Kr = 61300·1.2²/2,
    /// kt = 140·180/π N·m/rad; 1/Kf = 2.785899e-5, 1/Kr = 2.265724e-5, 1/kt = 1.246664e-4, C = 1.751826e-4.
    #[test]
    fn the_published_stiffness_gives_the_shares_worked_by_hand() {
        let share = kart().roll_share;
        assert_abs_diff_eq!(share.at_rear_axle, 0.129_335, epsilon = 5e-7);
        assert_abs_diff_eq!(share.at_front_axle, 0.840_972, epsilon = 5e-7);
    }

    /// RECOMP: 0.001/(1.055²·1.751826e-4·9.80665) = 0.522978 kg per millimetre, the rule of thumb "half a kilogram".
    #[test]
    fn a_spacer_of_one_millimetre_moves_half_a_kilogram() {
        let change = kart().lower_wheel(FrontWheel::Left, Length::from_mm(1.0));
        assert_abs_diff_eq!(change[Corner::Lf], 0.522_978, epsilon = 5e-7);
        assert_abs_diff_eq!(change[Corner::Rr], 0.522_978 * 1.055 / 1.2, epsilon = 5e-7);
        assert_corners(change, (kart().twist_direction() * change[Corner::Lf]).kg());
        assert_corners(kart().lower_wheel(FrontWheel::Left, Length::from_mm(-1.0)), (-change).kg());
    }

    /// RECOMP with tyres of 83 N/mm and 178 N·m/deg: 1/Kf = 2.164946e-5, 1/Kr = 1.673360e-5, 1/kt = 9.805221e-5, C = 1.364353e-4.
    #[test]
    fn the_usual_kart_has_the_mean_twist_rate_of_what_is_on_the_road() {
        let [front, rear] = [1055.0, 1200.0].map(Length::from_mm);
        let usual = Chassis::from_stiffness(Length::from_mm(1045.0), front, rear, Stiffness::default());
        assert_abs_diff_eq!(usual.twist_rate_kg_per_mm, 0.671_503, epsilon = 5e-7);
        assert_abs_diff_eq!(usual.roll_share.at_rear_axle, 0.122_649, epsilon = 5e-7);
        assert_abs_diff_eq!(usual.roll_share.at_front_axle, 0.841_321, epsilon = 5e-7);
    }

    #[test]
    fn a_mass_above_a_tyre_loads_that_axle_alone() {
        for (x, axle) in [(1045.0, [0.5, 0.5, 0.0, 0.0]), (0.0, [0.0, 0.0, 0.5, 0.5])] {
            assert_corners(kart().influence(Point::from_mm(x, 0.0)), axle);
        }
    }

    /// RECOMP: a kilogram at x = 522.5, y = 100, midway: φ = (0.129335 + 0.840972)/2 = 0.485154.
    #[test]
    fn a_mass_beside_the_centre_line_loads_the_corners_worked_by_hand() {
        let share = f64::midpoint(0.129_335, 0.840_972);
        let (front, rear) = (100.0 * share / 1055.0, 100.0 * (1.0 - share) / 1200.0);
        let expected = [0.25 + front, 0.25 - front, 0.25 + rear, 0.25 - rear];
        let found = kart().influence(Point::from_mm(522.5, 100.0));
        for (found, expected) in found.kg().into_iter().zip(expected) {
            assert_abs_diff_eq!(found, expected, epsilon = 1e-7);
        }
    }

    /// Beyond an axle the fore-and-aft moment goes on growing, but no more than all of the roll moment reaches that axle
    /// through the frame.
    #[test]
    fn a_mass_ahead_of_the_front_axle_lifts_the_rear_and_rolls_as_one_above_the_axle() {
        let kart = kart();
        let ahead = kart.influence(Point::from_mm(1254.0, 100.0));
        assert_abs_diff_eq!(ahead.front(), 1.2, epsilon = NOTHING_KG);
        assert_abs_diff_eq!(ahead.rear(), -0.2, epsilon = NOTHING_KG);
        let above = kart.influence(Point::from_mm(1045.0, 100.0));
        assert_abs_diff_eq!(ahead.front_pair(), above.front_pair(), epsilon = NOTHING_KG);
        assert_abs_diff_eq!(ahead.rear_pair(), above.rear_pair(), epsilon = NOTHING_KG);
        let behind = kart.influence(Point::from_mm(-209.0, 100.0));
        assert_abs_diff_eq!(behind.front(), -0.2, epsilon = NOTHING_KG);
        assert_abs_diff_eq!(kart.roll_share_at(-0.2), kart.roll_share.at_rear_axle, epsilon = NOTHING_KG);
    }

    /// Stiffer front tyres take more of every roll moment, a stiffer frame shares it more evenly along the kart.
    #[test]
    fn stiffness_moves_the_roll_share_the_way_springs_do() {
        let share = |stiffness| {
            let track = Length::from_mm(1100.0);
            Chassis::from_stiffness(Length::from_mm(1045.0), track, track, stiffness).roll_share
        };
        let standard = share(PUBLISHED);
        let front = share(Stiffness { tyre_front_n_per_mm: 80.0, ..PUBLISHED });
        assert!(front.at_rear_axle > standard.at_rear_axle && front.at_front_axle > standard.at_front_axle);
        let frame = share(Stiffness { frame_nm_per_deg: 280.0, ..PUBLISHED });
        let spread = |share: RollShare| share.at_front_axle - share.at_rear_axle;
        assert!(spread(frame) < spread(standard));
        // With a rigid frame the pairs of tyres share as two springs side by side: Kf/(Kf + Kr).
        let rigid = share(Stiffness { frame_nm_per_deg: 1e12, ..PUBLISHED });
        assert_relative_eq!(rigid.at_front_axle, 64.5 / (64.5 + 61.3), max_relative = 1e-6);
        assert_relative_eq!(rigid.at_rear_axle, 64.5 / (64.5 + 61.3), max_relative = 1e-6);
    }

    #[test]
    fn a_spacer_is_all_that_split_finds_as_twist() {
        let kart = kart();
        let place = Point::from_mm(400.0, 30.0);
        let level = kart.influence(place) * 165.0;
        for height in [-2.0, -0.25, 0.0, 0.25, 1.0, 3.0] {
            let change = kart.lower_wheel(FrontWheel::Left, Length::from_mm(height));
            let split = kart.split(&(level + change));
            assert_abs_diff_eq!(split.twist_kg, change[Corner::Lf], epsilon = 1e-9);
            assert_abs_diff_eq!(split.total_kg, 165.0, epsilon = 1e-9);
            assert_abs_diff_eq!(split.cg.x.mm(), 400.0, epsilon = 1e-9);
            assert_abs_diff_eq!(split.cg.y.mm(), 30.0, epsilon = 1e-9);
        }
    }

    #[test]
    fn left_share_is_free_of_twist_only_when_the_tracks_are_equal() {
        let unequal = kart().twist_direction();
        assert_abs_diff_eq!(unequal.left(), 1.0 - 1055.0 / 1200.0, epsilon = NOTHING_KG);
        let equal = Chassis { track_rear: kart().track_front, ..kart() };
        assert_abs_diff_eq!(equal.twist_direction().left(), 0.0, epsilon = NOTHING_KG);
    }

    #[test]
    #[expect(clippy::float_cmp, reason = "sums of small whole numbers are exact")]
    fn sums_and_differences_of_corners_are_those_of_the_trade() {
        let corners = Corners::from_kg([30.0, 31.0, 40.0, 42.0]);
        let found = [corners.total(), corners.front(), corners.rear(), corners.left(), corners.cross()];
        assert_eq!(found, [143.0, 61.0, 82.0, 70.0, 71.0]);
        assert_eq!([corners.front_pair(), corners.rear_pair()], [-1.0, -2.0]);
        let words: Vec<&str> = Corner::ALL.into_iter().map(Corner::word).collect();
        assert_eq!(words, ["LF", "RF", "LR", "RR"]);
    }
}
