//! Published figures of least squares, worked by the library.
//! Source of truth: NIST Statistical Reference Datasets, linear regression, sets Norris, `NoInt1` and Longley: data and certified
//! values to fifteen digits.
//! Digits are counted as NIST does: minus the decimal logarithm of the relative error.

use kentledge::least_squares::{Equations, Fit};

fn fit(rows: impl Iterator<Item = (Vec<f64>, f64)>) -> Fit {
    let rows: Vec<(Vec<f64>, f64)> = rows.collect();
    let mut equations = Equations::new(rows[0].0.len());
    for (coefficients, observed) in &rows {
        equations.push(coefficients, *observed, 1.0);
    }
    equations.solve().expect("the published sets determine their unknowns")
}

/// Correct decimal digits of `found`.
fn digits(found: f64, certified: f64) -> f64 {
    -((found - certified) / certified).abs().log10()
}

#[track_caller]
fn assert_digits(found: f64, certified: f64, least: f64) {
    assert!(
        digits(found, certified) >= least,
        "{found} has {:.1} digits of {certified}",
        digits(found, certified)
    );
}

/// Estimates and their deviations, both as certified; the uncertainties of the equations are not known, so the residual
/// deviation takes their place.
#[track_caller]
fn assert_certified(fit: &Fit, certified: &[(f64, f64)], residual_deviation: f64, least: f64) {
    let deviation = (fit.chi_square / fit.freedom as f64).sqrt();
    assert_digits(deviation, residual_deviation, least);
    for (unknown, (estimate, uncertainty)) in certified.iter().enumerate() {
        assert_digits(fit.estimates[unknown], *estimate, least);
        assert_digits(fit.uncertainty(unknown) * deviation, *uncertainty, least);
    }
}

/// Observed, then what it is observed at.
const NORRIS: [[f64; 2]; 36] = [
    [0.1, 0.2],
    [338.8, 337.4],
    [118.1, 118.2],
    [888.0, 884.6],
    [9.2, 10.1],
    [228.1, 226.5],
    [668.5, 666.3],
    [998.5, 996.3],
    [449.1, 448.6],
    [778.9, 777.0],
    [559.2, 558.2],
    [0.3, 0.4],
    [0.1, 0.6],
    [778.1, 775.5],
    [668.8, 666.9],
    [339.3, 338.0],
    [448.9, 447.5],
    [10.8, 11.6],
    [557.7, 556.0],
    [228.3, 228.1],
    [998.0, 995.8],
    [888.8, 887.6],
    [119.6, 120.2],
    [0.3, 0.3],
    [0.6, 0.3],
    [557.6, 556.8],
    [339.3, 339.1],
    [888.0, 887.2],
    [998.5, 999.0],
    [778.9, 779.0],
    [10.2, 11.1],
    [117.6, 118.3],
    [228.9, 229.2],
    [668.4, 669.1],
    [449.2, 448.9],
    [0.2, 0.5],
];

/// Source: NIST reference data set Norris (lower difficulty).
#[test]
fn a_straight_line_through_36_points_has_the_certified_figures() {
    let fit = fit(NORRIS.iter().map(|[y, x]| (vec![1.0, *x], *y)));
    let certified =
        [(-0.262_323_073_774_029, 0.232_818_234_301_152), (1.002_116_818_020_45, 0.429_796_848_199_937e-3)];
    assert_certified(&fit, &certified, 0.884_796_396_144_373, 9.0);
    let mean = NORRIS.iter().map(|[y, _]| y).sum::<f64>() / 36.0;
    let spread: f64 = NORRIS.iter().map(|[y, _]| (y - mean).powi(2)).sum();
    assert_digits(1.0 - fit.chi_square / spread, 0.999_993_745_883_712, 9.0);
}

/// Source: NIST reference data set `NoInt1` (average difficulty): a line through the origin.
#[test]
fn a_line_through_the_origin_has_the_certified_figures() {
    let fit = fit((0..=10).map(|step| (vec![60.0 + f64::from(step)], 130.0 + f64::from(step))));
    // RECOMP: the residual deviation from the certified slope and deviation, s = sd·sqrt(Σx²) with Σx² = 46585.
    let deviation = 0.016_528_925_619_834_7 * 46_585.0_f64.sqrt();
    assert_certified(&fit, &[(2.074_380_165_289_26, 0.016_528_925_619_834_7)], deviation, 9.0);
}

/// Observed, then six columns that all but follow from each other.
const LONGLEY: [[f64; 7]; 16] = [
    [60_323.0, 83.0, 234_289.0, 2_356.0, 1_590.0, 107_608.0, 1_947.0],
    [61_122.0, 88.5, 259_426.0, 2_325.0, 1_456.0, 108_632.0, 1_948.0],
    [60_171.0, 88.2, 258_054.0, 3_682.0, 1_616.0, 109_773.0, 1_949.0],
    [61_187.0, 89.5, 284_599.0, 3_351.0, 1_650.0, 110_929.0, 1_950.0],
    [63_221.0, 96.2, 328_975.0, 2_099.0, 3_099.0, 112_075.0, 1_951.0],
    [63_639.0, 98.1, 346_999.0, 1_932.0, 3_594.0, 113_270.0, 1_952.0],
    [64_989.0, 99.0, 365_385.0, 1_870.0, 3_547.0, 115_094.0, 1_953.0],
    [63_761.0, 100.0, 363_112.0, 3_578.0, 3_350.0, 116_219.0, 1_954.0],
    [66_019.0, 101.2, 397_469.0, 2_904.0, 3_048.0, 117_388.0, 1_955.0],
    [67_857.0, 104.6, 419_180.0, 2_822.0, 2_857.0, 118_734.0, 1_956.0],
    [68_169.0, 108.4, 442_769.0, 2_936.0, 2_798.0, 120_445.0, 1_957.0],
    [66_513.0, 110.8, 444_546.0, 4_681.0, 2_637.0, 121_950.0, 1_958.0],
    [68_655.0, 112.6, 482_704.0, 3_813.0, 2_552.0, 123_366.0, 1_959.0],
    [69_564.0, 114.2, 502_601.0, 3_931.0, 2_514.0, 125_368.0, 1_960.0],
    [69_331.0, 115.7, 518_173.0, 4_806.0, 2_572.0, 127_852.0, 1_961.0],
    [70_551.0, 116.9, 554_894.0, 4_007.0, 2_827.0, 130_081.0, 1_962.0],
];

/// Source: NIST reference data set Longley (higher difficulty): the columns are so alike that the condition number is five thousand
/// millions.
#[test]
fn seven_nearly_dependent_columns_have_the_certified_figures() {
    let row = |row: &[f64; 7]| ([&[1.0], &row[1..]].concat(), row[0]);
    let fit = fit(LONGLEY.iter().map(row));
    let certified = [
        (-3_482_258.634_595_82, 890_420.383_607_373),
        (15.061_872_271_373_3, 84.914_925_774_766_9),
        (-0.035_819_179_292_591_0, 0.033_491_007_772_243_2),
        (-2.020_229_803_816_83, 0.488_399_681_651_699),
        (-1.033_226_867_173_59, 0.214_274_163_161_675),
        (-0.051_104_105_653_580_7, 0.226_073_200_069_370),
        (1_829.151_464_613_55, 455.478_499_142_212),
    ];
    assert_certified(&fit, &certified, 304.854_073_561_965, 9.0);
}
