//! Published figures of scales and of the propagation of uncertainty, worked through the library.
//! Source of truth: the printed answers, named above each test; SEEN, read in the source; MEM, from memory.

use approx::assert_abs_diff_eq;
use kentledge::scale::{Accuracy, Age, Class};
use kentledge::uncertainty::propagation::{Propagation, Source};
use kentledge::uncertainty::{COVERAGE_FACTOR, combined, combined_from_few, normal, standard};
use kentledge::units::Mass;

fn kg(kg: f64) -> Mass {
    Mass::from_kg(kg)
}

// Source: OIML R 76-1 and UK SI 1995 No. 1907, Schedule 2, Table 3 (SEEN): class III, e = 0.1 kg.
#[test]
fn a_class_iii_scale_may_err_as_oiml_r_76_says() {
    let limit = |load, age| Class::OimlIii.limit(kg(0.1), kg(load), age);
    assert_eq!(limit(50.0, Age::New), kg(0.05));
    assert_eq!(limit(50.1, Age::New), kg(0.1));
    assert_eq!(limit(165.0, Age::New), kg(0.1));
    assert_eq!(limit(165.0, Age::InService), kg(0.2));
    assert_eq!(limit(200.0, Age::New), kg(0.1));
    assert_eq!(limit(200.1, Age::New), kg(0.15));
}

// Source: NIST Handbook 44, section 2.20, Table 6 (rows 3 and 4 SEEN, the others MEM). Worked example (SEEN): 150 lb on
// divisions of 0.05 lb are 3,000 divisions, so the maintenance tolerance is 0.15 lb.
#[test]
fn a_class_iii_scale_may_err_as_handbook_44_says() {
    let limit = |load, age| Class::NistIii.limit(Mass::from_lb(0.05), Mass::from_lb(load), age);
    assert_eq!(limit(150.0, Age::InService), Mass::from_lb(0.15));
    assert_eq!(limit(150.0, Age::New), Mass::from_lb(0.075));
    // 500, 2,000 and 4,000 divisions are the last of their rows.
    for (divisions, tolerance) in [(500, 1), (501, 2), (2000, 2), (2001, 3), (4000, 3), (4001, 5)] {
        let load = Mass::from_lb(0.05) * divisions;
        assert_eq!(
            Class::NistIii.limit(Mass::from_lb(0.05), load, Age::InService),
            Mass::from_lb(0.05) * tolerance,
            "{divisions}"
        );
    }
}

#[test]
fn a_percentage_errs_with_the_load_and_a_mass_does_not() {
    assert_abs_diff_eq!(Accuracy::Percent(0.1).limit_kg(kg(0.1), kg(40.0)), 0.04, epsilon = 1e-12);
    assert_abs_diff_eq!(Accuracy::Mass(kg(0.05)).limit_kg(kg(0.1), kg(40.0)), 0.05, epsilon = 1e-12);
    assert_abs_diff_eq!(Accuracy::Class(Class::OimlIii).limit_kg(kg(0.1), kg(165.0)), 0.2, epsilon = 1e-12);
}

/// Five simultaneous readings of voltage, current and phase angle: V, A, rad.
const H_2: [[f64; 3]; 5] = [
    [5.007, 19.663e-3, 1.0456],
    [4.994, 19.639e-3, 1.0438],
    [5.005, 19.640e-3, 1.0468],
    [4.990, 19.685e-3, 1.0428],
    [4.999, 19.678e-3, 1.0433],
];

/// Sets that were read together are sources that shift all three means together: `(x_k − mean)/√(n(n−1))` each, so that the
/// sum over sets of products of shifts is the covariance of the means (GUM, 5.2.3, equation 17).
fn means_of_h_2() -> Propagation<[f64; 3], usize> {
    let column = |which: usize| H_2.map(|set| set[which]);
    let centre: [f64; 3] = std::array::from_fn(|which| standard::mean(&column(which)));
    let scale = (5.0_f64 * 4.0).sqrt();
    let sources = H_2.iter().enumerate().map(|(cause, set)| {
        let shifted = |sign: f64| {
            std::array::from_fn(|which| centre[which] + sign * (set[which] - centre[which]) / scale)
        };
        Source { cause, freedom: f64::INFINITY, up: shifted(1.0), down: shifted(-1.0) }
    });
    Propagation { centre, sources: sources.collect() }
}

// Source: JCGM 100:2008, H.2 (SEEN: inputs and printed results); the exact figures from the raw data are our own arithmetic.
#[test]
fn simultaneous_readings_give_the_resistance_reactance_and_impedance_of_the_guide() {
    let means = means_of_h_2();
    let resistance = |[v, i, phi]: &[f64; 3]| v / i * phi.cos();
    let reactance = |[v, i, phi]: &[f64; 3]| v / i * phi.sin();
    let impedance = |[v, i, _]: &[f64; 3]| v / i;
    let (r, x, z) = (means.estimate(resistance), means.estimate(reactance), means.estimate(impedance));
    // Printed digits; u(X) recomputes to 0.2956 where 0.295 is printed.
    assert_abs_diff_eq!(r.value, 127.732, epsilon = 5e-4);
    assert_abs_diff_eq!(r.standard, 0.071, epsilon = 5e-4);
    assert_abs_diff_eq!(x.value, 219.847, epsilon = 6e-4);
    assert_abs_diff_eq!(x.standard, 0.295, epsilon = 1e-3);
    assert_abs_diff_eq!(z.value, 254.260, epsilon = 5e-4);
    assert_abs_diff_eq!(z.standard, 0.236, epsilon = 5e-4);
    // From the raw data. The law is of first order; shifting by one standard uncertainty leaves less than this.
    assert_abs_diff_eq!(r.value, 127.732_169_93, epsilon = 1e-8);
    assert_abs_diff_eq!(r.standard, 0.071_071_41, epsilon = 1e-6);
    assert_abs_diff_eq!(x.value, 219.846_511_91, epsilon = 1e-8);
    assert_abs_diff_eq!(x.standard, 0.295_581_68, epsilon = 1e-6);
    assert_abs_diff_eq!(z.value, 254.259_701_95, epsilon = 1e-8);
    assert_abs_diff_eq!(z.standard, 0.236_336_13, epsilon = 1e-6);
    assert_abs_diff_eq!(means.correlation(resistance, reactance), -0.588, epsilon = 5e-4);
    assert_abs_diff_eq!(means.correlation(resistance, impedance), -0.485, epsilon = 5e-4);
    assert_abs_diff_eq!(means.correlation(reactance, impedance), 0.993, epsilon = 5e-4);
}

// Source: JCGM 100:2008, H.1 (SEEN).
#[test]
fn the_terms_of_the_end_gauge_combine_to_32_nm() {
    assert_abs_diff_eq!(combined([25.0, 9.7, 2.9, 16.6]), 32.0, epsilon = 0.5);
}

// Source: JCGM 100:2008, 4.4.3 (SEEN): twenty readings of a temperature, °C.
#[test]
fn twenty_temperatures_have_the_mean_and_spread_of_the_guide() {
    let readings = [
        96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68,
        100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72,
    ];
    assert_abs_diff_eq!(standard::mean(&readings), 100.145, epsilon = 5e-4);
    assert_abs_diff_eq!(standard::deviation(&readings), 1.489, epsilon = 5e-4);
}

// Source: EA-4/02 M:2022, S2, calibration of a 10 kg mass, in mg (SEEN).
#[test]
fn the_ten_kilogram_mass_has_the_budget_of_the_accreditation_guide() {
    let standard_mg = combined([22.5, 8.66, 14.4, 5.77, 5.77]);
    assert_abs_diff_eq!(standard_mg, 29.2, epsilon = 0.1);
    assert_abs_diff_eq!(2.0 * standard_mg, 58.0, epsilon = 0.6);
}

// Source: JCGM 100:2008, 4.3.7 and F.2.2.1: a limit is a rectangle, a step is half of one either way.
#[test]
fn limits_and_steps_are_rectangles() {
    assert_abs_diff_eq!(standard::of_limit(0.3), 0.3 / 3.0_f64.sqrt(), epsilon = 1e-12);
    assert_abs_diff_eq!(standard::of_step(0.1), 0.1 / 12.0_f64.sqrt(), epsilon = 1e-12);
}

// Source: quantiles of the normal distribution, Abramowitz & Stegun 1964, Handbook of Mathematical Functions, 26.2 (MEM).
#[test]
fn quantiles_and_chances_are_those_of_the_normal_distribution() {
    for (chance, quantile) in [(0.975, 1.959_964), (0.995, 2.575_829), (0.95, 1.644_854), (0.99, 2.326_348)] {
        assert_abs_diff_eq!(normal::quantile(chance), quantile, epsilon = 5e-7);
        assert_abs_diff_eq!(normal::chance_below(quantile), chance, epsilon = 1e-7);
    }
}

// Source: quantiles of Student's distribution, JCGM 100:2008, table G.2 (MEM): 95 % two-sided, ν 3, 8 and 20.
#[test]
fn a_spread_from_few_repeats_is_widened_and_one_from_many_is_not() {
    for (freedom, quantile) in [(3.0, 3.18), (8.0, 2.31), (20.0, 2.09)] {
        assert_abs_diff_eq!(COVERAGE_FACTOR * standard::widened(1.0, freedom), quantile, epsilon = 6e-3);
    }
    assert_abs_diff_eq!(standard::widened(1.0, 1e9), 1.0, epsilon = 1e-8);
    assert_abs_diff_eq!(standard::widened(1.0, f64::INFINITY), 1.0, epsilon = 1e-12);
}

// Source: Welch and Satterthwaite, JCGM 100:2008, H.1.6 (MEM): 25, 9.7, 2.9 and 16.6 nm with 18, 25.6, 5 and 2 have 16.7.
#[test]
fn degrees_of_freedom_of_the_gauge_block_are_those_of_the_guide() {
    let parts = [(25.0, 18.0), (9.7, 25.6), (2.9, 50.0), (16.6, 2.0)];
    let whole = combined(parts.map(|(standard, _)| standard));
    assert_abs_diff_eq!(whole, 31.7, epsilon = 0.2);
    let widened = combined_from_few(parts);
    assert_abs_diff_eq!(widened / whole, standard::widened(1.0, 16.7), epsilon = 2e-3);
}

// Source: upper 5 % point of chi-square with 6 degrees of freedom, 12.592: Abramowitz & Stegun 1964, table 26.8 (MEM).
#[test]
fn a_spread_is_as_unlikely_as_chi_square_says() {
    let observed = (12.592_f64 / 6.0).sqrt();
    assert_abs_diff_eq!(normal::chance_of_spread(observed, 1.0, 6), 0.05, epsilon = 1e-5);
}
