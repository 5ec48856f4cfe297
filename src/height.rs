//! Height of the centre of gravity, from lifting one axle.
//! Does not know scenarios, and lifts nothing: lifting a kart with a driver aboard can injure.
//!
//! With the rear raised by θ the front carries `W_F`. Moments about the front contact, wheels of unequal loaded radii:
//! `h = R_R + (W_F·L/W − b)/t − (W_F/W)(R_R − R_F)` with t = tan θ, b the centre of gravity ahead of the rear axle. Multiplied
//! by t it is a straight line, `W_F·L/W − t·(W_F/W)(R_R − R_F) + t·R_R = b + t·h`; with the front raised the same holds from
//! the other end, with −t. So any number of lifts of either axle, and the level weighing at t = 0, lie on one line whose slope
//! is the height. With equal radii it becomes Milliken and Milliken's form (from memory); the method is that of ISO 10392:2011,
//! clause 6.2.

use crate::uncertainty::propagation::{Propagation, Source};
use crate::uncertainty::{Estimate, standard};

/// Which axle is off level ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axle {
    /// The front axle.
    Front,
    /// The rear axle.
    Rear,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lift {
    pub raised: Axle,
    /// How far the frame is turned from level, degrees; more than 0 and less than 90.
    pub angle_deg: f64,
    /// Load on the other axle, kg.
    pub other_axle_kg: f64,
}

/// Everything that a height is computed from.
#[derive(Clone, Debug, PartialEq)]
pub struct Lifting {
    /// Distance between the axles, mm.
    pub wheelbase_mm: f64,
    /// Loaded radius of the front wheels, mm.
    pub radius_front_mm: f64,
    /// Loaded radius of the rear wheels, mm.
    pub radius_rear_mm: f64,
    /// Total of the level weighing, kg.
    pub total_kg: f64,
    /// Load on the front axle at the level weighing, kg.
    pub front_kg: f64,
    /// Lifts at two angles at least.
    pub lifts: Vec<Lift>,
}

/// Limits of what a height is computed from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Of the load on an axle, kg.
    pub axle_kg: f64,
    /// Of each angle, degrees.
    pub angle_deg: f64,
    /// Of wheelbase and radii, mm.
    pub length_mm: f64,
}

/// The height that fits, and how well.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Height {
    /// Above the ground, mm.
    pub height_mm: Estimate,
    /// Standard deviation of the points about their line, mm of centre of gravity.
    pub scatter_mm: f64,
}

impl Lift {
    /// The point of this lift on the line `b + s·h`: s and the value there, mm.
    fn point(&self, lifting: &Lifting) -> (f64, f64) {
        let tangent = self.angle_deg.to_radians().tan();
        let share = self.other_axle_kg / lifting.total_kg;
        let Lifting { wheelbase_mm, radius_front_mm, radius_rear_mm, .. } = lifting;
        match self.raised {
            Axle::Rear => {
                let way = share * wheelbase_mm - tangent * share * (radius_rear_mm - radius_front_mm);
                (tangent, way + tangent * radius_rear_mm)
            }
            Axle::Front => {
                let way = share * wheelbase_mm - tangent * share * (radius_front_mm - radius_rear_mm);
                (-tangent, wheelbase_mm - way - tangent * radius_front_mm)
            }
        }
    }

    /// The height that this lift alone gives together with the level weighing, mm.
    pub fn height_mm(&self, lifting: &Lifting) -> f64 {
        let (tangent, value) = self.point(lifting);
        let ahead_mm = lifting.wheelbase_mm * lifting.front_kg / lifting.total_kg;
        (value - ahead_mm) / tangent
    }
}

impl Lifting {
    /// Slope of the line through all points by least squares, and the scatter about it, mm.
    fn line(&self) -> (f64, f64) {
        let level = (0.0, self.wheelbase_mm * self.front_kg / self.total_kg);
        let points: Vec<(f64, f64)> =
            std::iter::once(level).chain(self.lifts.iter().map(|lift| lift.point(self))).collect();
        let count = points.len() as f64;
        let mean = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / count;
        let (mean_s, mean_y) = (mean(|point| point.0), mean(|point| point.1));
        let (mut across, mut squares) = (0.0, 0.0);
        for (s, y) in &points {
            across += (s - mean_s) * (y - mean_y);
            squares += (s - mean_s) * (s - mean_s);
        }
        let slope = across / squares;
        let rest: f64 = points.iter().map(|(s, y)| (y - mean_y - slope * (s - mean_s)).powi(2)).sum();
        let freedom = count - 2.0;
        (slope, if freedom > 0.0 { (rest / freedom).sqrt() } else { 0.0 })
    }

    /// The height that fits best, mm.
    pub fn height_mm(&self) -> f64 {
        self.line().0
    }

    /// The height with its ±: what the limits leave, or what the points scatter, whichever is more.
    pub fn height(&self, limits: Limits) -> Height {
        let (_, scatter_mm) = self.line();
        let carried = self.unsure(limits).estimate(|lifting| lifting.line().0);
        let squares = self.spread_of_angles();
        let seen = scatter_mm / squares.sqrt();
        let standard = if seen > carried.standard { seen } else { carried.standard };
        Height { height_mm: Estimate { standard, ..carried }, scatter_mm }
    }

    /// Sum of squares of the points' s about their mean.
    fn spread_of_angles(&self) -> f64 {
        let mut all: Vec<f64> = self.lifts.iter().map(|lift| lift.point(self).0).collect();
        all.push(0.0);
        let mean = standard::mean(&all);
        all.iter().map(|s| (s - mean) * (s - mean)).sum()
    }

    /// Every number that may be off, one at a time.
    fn unsure(&self, limits: Limits) -> Propagation<Lifting, ()> {
        let mut sources = Vec::new();
        let mut source = |by: f64, change: &dyn Fn(&mut Lifting, f64)| {
            let shifted = |by: f64| {
                let mut lifting = self.clone();
                change(&mut lifting, by);
                lifting
            };
            sources.push(Source { cause: (), freedom: f64::INFINITY, up: shifted(by), down: shifted(-by) });
        };
        let length = standard::of_limit(limits.length_mm);
        source(length, &|lifting, by| lifting.wheelbase_mm += by);
        source(length, &|lifting, by| lifting.radius_front_mm += by);
        source(length, &|lifting, by| lifting.radius_rear_mm += by);
        let axle = standard::of_limit(limits.axle_kg);
        // The front axle's error is in the total as well, the rear's in the total alone.
        source(axle, &|lifting, by| {
            lifting.front_kg += by;
            lifting.total_kg += by;
        });
        source(axle, &|lifting, by| lifting.total_kg += by);
        let angle = standard::of_limit(limits.angle_deg);
        for index in 0..self.lifts.len() {
            source(axle, &|lifting, by| lifting.lifts[index].other_axle_kg += by);
            source(angle, &|lifting, by| lifting.lifts[index].angle_deg += by);
        }
        Propagation { centre: self.clone(), sources }
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;

    use super::*;

    const LIMITS: Limits = Limits { axle_kg: 0.1, angle_deg: 0.2, length_mm: 2.0 };

    /// The synthetic kart of the sources: 165 kg, wheelbase 1.045 m, centre of gravity 0.400 m ahead of the rear axle and 0.250 m
    /// high, loaded radii 0.125 m and 0.140 m.
    fn kart(lifts: Vec<Lift>) -> Lifting {
        Lifting {
            wheelbase_mm: 1045.0,
            radius_front_mm: 125.0,
            radius_rear_mm: 140.0,
            total_kg: 165.0,
            front_kg: 165.0 * 400.0 / 1045.0,
            lifts,
        }
    }

    fn rear(angle_deg: f64, other_axle_kg: f64) -> Lift {
        Lift { raised: Axle::Rear, angle_deg, other_axle_kg }
    }

    // Source: synthetic check, exact for unequal radii, derived for this project (RECOMP).
    #[test]
    fn each_lift_of_the_synthetic_kart_gives_back_its_height() {
        let lifts = vec![rear(10.0, 66.388_445_753_8), rear(20.0, 69.844_381_714_4)];
        let kart = kart(lifts.clone());
        for lift in lifts {
            assert_abs_diff_eq!(lift.height_mm(&kart), 250.0, epsilon = 1e-6);
        }
        let height = kart.height(LIMITS);
        assert_abs_diff_eq!(height.height_mm.value, 250.0, epsilon = 1e-6);
        assert_abs_diff_eq!(height.scatter_mm, 0.0, epsilon = 1e-6);
    }

    /// Load on the axle that stays down, by moments about its contact in the tilted frame: an independent derivation, with the
    /// axle line turned by θ and the radii upright.
    fn stays_down(raised: Axle, angle_deg: f64) -> f64 {
        let kart = kart(Vec::new());
        let (sin, cos) = angle_deg.to_radians().sin_cos();
        let ahead = kart.wheelbase_mm * kart.front_kg / kart.total_kg;
        // Places in the kart's own frame, origin at the rear axle: x along the ground line, z up.
        let turn = |x: f64, z: f64, sign: f64| x * cos + sign * z * sin;
        let (rear_hub, front_hub) = ((0.0, kart.radius_rear_mm), (kart.wheelbase_mm, kart.radius_front_mm));
        let sign = if raised == Axle::Rear { 1.0 } else { -1.0 };
        let [cg, rear, front] = [(ahead, 250.0), rear_hub, front_hub].map(|(x, z)| turn(x, z, sign));
        match raised {
            Axle::Rear => kart.total_kg * (cg - rear) / (front - rear),
            Axle::Front => kart.total_kg * (front - cg) / (front - rear),
        }
    }

    #[test]
    fn lifts_of_either_axle_lie_on_one_line() {
        let angles = [8.0, 14.0, 20.0];
        let lift = |raised| {
            move |angle_deg| Lift { raised, angle_deg, other_axle_kg: stays_down(raised, angle_deg) }
        };
        let lifts: Vec<Lift> =
            angles.map(lift(Axle::Rear)).into_iter().chain(angles.map(lift(Axle::Front))).collect();
        let height = kart(lifts).height(LIMITS);
        assert_abs_diff_eq!(height.height_mm.value, 250.0, epsilon = 1e-6);
        assert_abs_diff_eq!(height.scatter_mm, 0.0, epsilon = 1e-6);
    }

    #[test]
    fn larger_angles_and_more_lifts_make_a_height_surer() {
        let unsure = |angles: &[f64]| {
            let lift = |angle: &f64| rear(*angle, stays_down(Axle::Rear, *angle));
            kart(angles.iter().map(lift).collect()).height(LIMITS).height_mm.standard
        };
        assert!(unsure(&[15.0, 25.0]) < unsure(&[5.0, 10.0]));
        assert!(unsure(&[10.0, 20.0, 10.0, 20.0]) < unsure(&[10.0, 20.0]));
    }

    #[test]
    fn points_that_scatter_make_a_height_less_sure_than_the_limits_do() {
        let lifts = vec![rear(10.0, 66.4), rear(15.0, 69.0), rear(20.0, 69.8)];
        let height = kart(lifts).height(Limits { axle_kg: 0.0, angle_deg: 0.0, length_mm: 0.0 });
        assert!(height.scatter_mm > 1.0 && height.height_mm.standard > 5.0, "{height:?}");
    }
}
