//! Laws of statics over drawn karts and masses: equilibrium, twist, centre of gravity.

use kentledge::statics::{Chassis, Corner, Corners, FrontWheel, Point, Stiffness};
use kentledge::units::Length;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

use super::ROUNDING_KG;

/// A chassis of any plausible size and stiffness.
fn any_chassis() -> impl Strategy<Value = Chassis> {
    let lengths = (700.0..1400.0, 700.0..1400.0, 700.0..1400.0);
    let springs = (30.0..200.0, 30.0..200.0, 30.0..1000.0);
    (lengths, springs).prop_map(|((wheelbase, front, rear), (tyre_front, tyre_rear, frame))| {
        let stiffness = Stiffness {
            tyre_front_n_per_mm: tyre_front,
            tyre_rear_n_per_mm: tyre_rear,
            frame_nm_per_deg: frame,
        };
        let [wheelbase, front, rear] = [wheelbase, front, rear].map(Length::from_mm);
        Chassis::from_stiffness(wheelbase, front, rear, stiffness)
    })
}

/// Masses anywhere on a kart, also beyond its axles.
fn any_masses() -> impl Strategy<Value = Vec<(f64, Point)>> {
    let mass = (0.01..120.0, -400.0..1900.0, -800.0..800.0);
    proptest::collection::vec(mass.prop_map(|(kg, x, y)| (kg, Point::from_mm(x, y))), 1..12)
}

fn corners_of(chassis: &Chassis, masses: &[(f64, Point)]) -> Corners {
    masses.iter().fold(Corners::ZERO, |sum, (kg, place)| sum + chassis.influence(*place) * *kg)
}

/// Fore-and-aft moment about the rear axle as the corners show it, kg·mm.
fn pitch_moment(chassis: &Chassis, corners: &Corners) -> f64 {
    corners.front() * chassis.wheelbase.mm()
}

/// The law asks for 1e-9, relative to the sum of all moments without their signs: moments left and right may cancel.
fn equal(found: f64, expected: f64, scale: f64) -> bool {
    (found - expected).abs() <= 1e-9 * scale
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 400,
        rng_seed: RngSeed::Fixed(20),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn corner_loads_satisfy_the_three_equations_of_equilibrium(
        chassis in any_chassis(),
        masses in any_masses(),
    ) {
        let corners = corners_of(&chassis, &masses);
        let sum = |term: &dyn Fn(f64, Point) -> f64| -> f64 { masses.iter().map(|(kg, at)| term(*kg, *at)).sum() };
        let total = sum(&|kg, _| kg);
        prop_assert!(equal(corners.total(), total, total));
        let (pitch, pitch_scale) = (sum(&|kg, at| kg * at.x.mm()), sum(&|kg, at| kg * at.x.mm().abs()));
        prop_assert!(equal(pitch_moment(&chassis, &corners), pitch, pitch_scale));
        // About the centre line, written out from the corners: half a track is the lever of each.
        let [lf, rf, lr, rr] = corners.kg();
        let (half_front, half_rear) = (chassis.track_front.mm() / 2.0, chassis.track_rear.mm() / 2.0);
        let found = (lf - rf) * half_front + (lr - rr) * half_rear;
        let (roll, roll_scale) = (sum(&|kg, at| kg * at.y.mm()), sum(&|kg, at| kg * at.y.mm().abs()));
        let levels = total * (half_front + half_rear);
        prop_assert!(equal(found, roll, roll_scale.max(levels)));
        prop_assert!(equal(chassis.roll_moment(&corners), roll, roll_scale.max(levels)));
    }

    #[test]
    fn twist_and_spacers_leave_total_and_both_moments_alone(
        chassis in any_chassis(),
        masses in any_masses(),
        height in -5.0..5.0,
    ) {
        let corners = corners_of(&chassis, &masses);
        let spacer = chassis.lower_wheel(FrontWheel::Left, Length::from_mm(height));
        let along = chassis.twist_direction() * spacer[Corner::Lf];
        for corner in Corner::ALL {
            prop_assert!((spacer[corner] - along[corner]).abs() < ROUNDING_KG);
        }
        let twisted = corners + spacer;
        let scale = masses.iter().map(|(kg, _)| kg).sum::<f64>() + spacer[Corner::Lf].abs();
        prop_assert!(equal(twisted.total(), corners.total(), scale));
        let levers = scale * (chassis.wheelbase.mm() + chassis.track_front.mm() + chassis.track_rear.mm());
        prop_assert!(equal(pitch_moment(&chassis, &twisted), pitch_moment(&chassis, &corners), levers));
        prop_assert!(equal(chassis.roll_moment(&twisted), chassis.roll_moment(&corners), levers));
        let (before, after) = (chassis.split(&corners), chassis.split(&twisted));
        prop_assert!((after.twist_kg - before.twist_kg - spacer[Corner::Lf]).abs() < 1e-6);
    }

    #[test]
    fn the_cg_of_corners_is_the_cg_of_the_masses(chassis in any_chassis(), masses in any_masses()) {
        let total: f64 = masses.iter().map(|(kg, _)| kg).sum();
        let mean = |term: &dyn Fn(Point) -> f64| masses.iter().map(|(kg, at)| kg * term(*at)).sum::<f64>() / total;
        let cg = chassis.cg(&corners_of(&chassis, &masses));
        prop_assert!((cg.x.mm() - mean(&|at| at.x.mm())).abs() < 1e-6);
        prop_assert!((cg.y.mm() - mean(&|at| at.y.mm())).abs() < 1e-6);
        prop_assert_eq!(chassis.split(&corners_of(&chassis, &masses)).cg, cg);
    }

    #[test]
    fn one_mass_alone_has_no_twist(chassis in any_chassis(), kg in 1.0..200.0, x in 0.0..1.0, y in -500.0..500.0) {
        let place = Point::from_mm(x * chassis.wheelbase.mm(), y);
        let split = chassis.split(&(chassis.influence(place) * kg));
        prop_assert!(split.twist_kg.abs() < 1e-6);
        prop_assert!((split.total_kg - kg).abs() < ROUNDING_KG);
    }
}
