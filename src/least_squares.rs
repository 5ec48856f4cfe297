//! Weighted linear least squares: the unknowns that come nearest to more equations than there are unknowns.
//!
//! Every equation is divided by its uncertainty and every column by its length, so that no unit counts for more than another;
//! the matrix is then turned into a triangle by reflections, its columns in an order that leaves what is undetermined to the
//! end (Businger and Golub 1965, from memory). That does not square the condition number, as normal equations would.
//! (Singular values would do as well, but those of the library are wrong for some of our matrices, by up to a per cent.)

use nalgebra::{Cholesky, ColPivQR, DMatrix, DVector, Dyn, PermutationSequence, SymmetricEigen};
use statrs::distribution::{ChiSquared, ContinuousCDF};

/// An entry on the diagonal below this part of the largest is rounding, and its direction undetermined. Readings carry five digits and
/// places four; what is known to one part in ten thousand millions is known by accident.
const NOTHING: f64 = 1e-10;

/// Equations of one set of unknowns.
#[derive(Clone, Debug)]
pub struct Equations {
    unknowns: usize,
    /// Row after row, as given.
    coefficients: Vec<f64>,
    observed: Vec<f64>,
    uncertainties: Vec<f64>,
}

/// Why there are no estimates.
#[derive(Clone, Debug, PartialEq)]
pub enum Unsolved {
    /// The equations leave these directions open: unit vectors over the unknowns, in the scale of their columns.
    Undetermined(Vec<Vec<f64>>),
    /// A coefficient, an observation or an uncertainty is no number, or an uncertainty is not above zero.
    NotNumbers,
}

/// Estimates and what is known of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// The unknowns, in order.
    pub estimates: Vec<f64>,
    /// Their covariance, if the uncertainties of the equations are right: row after row.
    covariance: Vec<f64>,
    /// Observed minus explained, equation by equation, in the units of the observation.
    pub residuals: Vec<f64>,
    /// Sum of the squares of the residuals, each divided by its uncertainty.
    pub chi_square: f64,
    /// Equations beyond the number of unknowns.
    pub freedom: usize,
}

impl Equations {
    /// No equation yet.
    pub fn new(unknowns: usize) -> Equations {
        Equations { unknowns, coefficients: Vec::new(), observed: Vec::new(), uncertainties: Vec::new() }
    }

    /// Adds `coefficients · unknowns = observed`, of standard uncertainty `uncertainty`, in one unit.
    ///
    /// # Panics
    /// If there are not as many coefficients as unknowns.
    pub fn push(&mut self, coefficients: &[f64], observed: f64, uncertainty: f64) {
        assert_eq!(coefficients.len(), self.unknowns, "one coefficient for each unknown");
        self.coefficients.extend_from_slice(coefficients);
        self.observed.push(observed);
        self.uncertainties.push(uncertainty);
    }

    /// How many equations there are.
    pub fn len(&self) -> usize {
        self.observed.len()
    }

    /// Whether there is no equation.
    pub fn is_empty(&self) -> bool {
        self.observed.is_empty()
    }

    /// The unknowns for which the weighted squares of the residuals have the smallest sum.
    ///
    /// With `W = diag(1/u)`, `D` the column lengths and `W A D⁻¹ P = Q R`: `x = D⁻¹ P R⁻¹ Qᵀ W b`, covariance `S Sᵀ` with
    /// `S = D⁻¹ P R⁻¹`.
    pub fn solve(&self) -> Result<Fit, Unsolved> {
        let (weighted, observed) = self.weighted()?;
        let lengths: Vec<f64> = weighted.column_iter().map(|column| column.norm()).collect();
        // A column of zeros keeps its unit: it is found undetermined below.
        let scales = DVector::from_iterator(
            self.unknowns,
            lengths.iter().map(|length| if *length > 0.0 { length.recip() } else { 1.0 }),
        );
        let scaled = &weighted * DMatrix::from_diagonal(&scales);
        let factors = Factors::of(scaled, observed.clone());
        let open = factors.open();
        if !open.is_empty() {
            return Err(Unsolved::Undetermined(open));
        }
        let column = DMatrix::from_column_slice(self.unknowns, 1, factors.right_hand_side.as_slice());
        let identity = DMatrix::identity(self.unknowns, self.unknowns);
        // A triangle without a zero on its diagonal can be solved.
        let (Some(estimates), Some(spread)) = (factors.solved(&column), factors.solved(&identity)) else {
            return Err(Unsolved::NotNumbers);
        };
        let estimates = estimates.column(0).component_mul(&scales);
        let spread = DMatrix::from_diagonal(&scales) * spread;
        let covariance = &spread * spread.transpose();
        let misfit = observed - &weighted * &estimates;
        Ok(Fit {
            estimates: estimates.iter().copied().collect(),
            covariance: covariance.iter().copied().collect(),
            chi_square: misfit.norm_squared(),
            residuals: misfit.iter().zip(&self.uncertainties).map(|(misfit, one)| misfit * one).collect(),
            freedom: self.len() - self.unknowns,
        })
    }

    /// Coefficients and observations, each divided by the equation's uncertainty.
    fn weighted(&self) -> Result<(DMatrix<f64>, DVector<f64>), Unsolved> {
        let finite = |numbers: &[f64]| numbers.iter().all(|number| number.is_finite());
        let positive = self.uncertainties.iter().all(|uncertainty| *uncertainty > 0.0);
        if !(positive && finite(&self.uncertainties) && finite(&self.coefficients) && finite(&self.observed))
        {
            return Err(Unsolved::NotNumbers);
        }
        let weights = DVector::from_iterator(self.len(), self.uncertainties.iter().map(|one| one.recip()));
        let mut matrix = DMatrix::from_row_slice(self.len(), self.unknowns, &self.coefficients);
        for (mut row, weight) in matrix.row_iter_mut().zip(&weights) {
            row *= *weight;
        }
        Ok((matrix, DVector::from_column_slice(&self.observed).component_mul(&weights)))
    }
}

/// `A P = Q R`: an upper triangle, what is left of the right-hand side above it, and the order of the columns.
struct Factors {
    triangle: DMatrix<f64>,
    right_hand_side: DVector<f64>,
    order: PermutationSequence<Dyn>,
}

impl Factors {
    fn of(matrix: DMatrix<f64>, observed: DVector<f64>) -> Factors {
        let (rows, unknowns) = matrix.shape();
        // Equations of zeros change nothing, and with at least as many equations as unknowns the triangle is whole.
        let tall = matrix.resize_vertically(rows.max(unknowns), 0.0);
        let mut turned = observed.resize_vertically(rows.max(unknowns), 0.0);
        let factors = ColPivQR::new(tall);
        factors.q_tr_mul(&mut turned);
        let right_hand_side = turned.rows(0, unknowns).into_owned();
        Factors { triangle: factors.r(), right_hand_side, order: factors.p().clone() }
    }

    /// Directions of which no equation says anything, as unit vectors; none if every unknown is determined.
    ///
    /// Columns are taken in such an order that what is undetermined comes last: `R = (R₁ R₂; 0 0)`, and the columns of
    /// `(−R₁⁻¹ R₂; 1)` change no equation.
    fn open(&self) -> Vec<Vec<f64>> {
        let diagonal = self.triangle.diagonal().abs();
        let least = diagonal.max() * NOTHING;
        let unknowns = diagonal.len();
        let rank = diagonal.iter().position(|entry| *entry <= least).unwrap_or(unknowns);
        let closed = self.triangle.view((0, 0), (rank, rank));
        let rest = self.triangle.view((0, rank), (rank, unknowns - rank));
        let Some(solved) = closed.solve_upper_triangular(&rest) else { return Vec::new() };
        let mut directions = DMatrix::zeros(unknowns, unknowns - rank);
        directions.view_mut((0, 0), (rank, unknowns - rank)).copy_from(&-solved);
        directions.view_mut((rank, 0), (unknowns - rank, unknowns - rank)).fill_with_identity();
        self.order.inv_permute_rows(&mut directions);
        directions.column_iter().map(|column| column.normalize().iter().copied().collect()).collect()
    }

    /// `R⁻¹` of something, in the order of the unknowns.
    fn solved(&self, right: &DMatrix<f64>) -> Option<DMatrix<f64>> {
        let mut solved = self.triangle.solve_upper_triangular(right)?;
        self.order.inv_permute_rows(&mut solved);
        Some(solved)
    }
}

impl Fit {
    /// Covariance of two unknowns.
    pub fn covariance(&self, one: usize, other: usize) -> f64 {
        self.covariance[one * self.estimates.len() + other]
    }

    /// Standard uncertainty of an unknown, if those of the equations are right.
    pub fn uncertainty(&self, unknown: usize) -> f64 {
        self.covariance(unknown, unknown).sqrt()
    }

    /// Correlation of two unknowns, from −1 to 1.
    pub fn correlation(&self, one: usize, other: usize) -> f64 {
        self.covariance(one, other) / (self.uncertainty(one) * self.uncertainty(other))
    }

    /// The same fit with the covariance that it would have if these equations were added; what they would say is not known
    /// yet, so the estimates stay. Each equation is its coefficients and its uncertainty.
    ///
    /// `C − C a aᵀ C/(u² + aᵀ C a)` for every equation `a` of uncertainty `u` (Sherman and Morrison 1950, from memory).
    #[must_use]
    pub fn foreseeing(&self, equations: &[(Vec<f64>, f64)]) -> Fit {
        let unknowns = self.estimates.len();
        let mut covariance = DMatrix::from_column_slice(unknowns, unknowns, &self.covariance);
        for (coefficients, uncertainty) in equations {
            let along = &covariance * DVector::from_column_slice(coefficients);
            let spread = uncertainty * uncertainty + along.dot(&DVector::from_column_slice(coefficients));
            covariance -= &along * along.transpose() / spread;
        }
        Fit { covariance: covariance.iter().copied().collect(), ..self.clone() }
    }

    /// How well combinations of some unknowns are known, each unknown counted in its own `scale`: variances of independent
    /// combinations, from the least known down.
    pub fn spreads(&self, unknowns: &[usize], scales: &[f64]) -> Vec<f64> {
        let block = DMatrix::from_fn(unknowns.len(), unknowns.len(), |row, column| {
            self.covariance(unknowns[row], unknowns[column]) / (scales[row] * scales[column])
        });
        let mut variances: Vec<f64> = SymmetricEigen::new(block).eigenvalues.iter().copied().collect();
        variances.sort_by(|one, other| other.total_cmp(one));
        variances
    }

    /// Independent errors that together are those of some unknowns: each is what one standard uncertainty of it does to all of
    /// them, in order, and the n-th leaves those before the n-th alone (columns of Cholesky's factor). None if the covariance
    /// has lost its inverse to rounding.
    pub fn independent(&self, unknowns: &[usize]) -> Option<Vec<Vec<f64>>> {
        let factor = Cholesky::new(self.block(unknowns))?.l();
        Some(factor.column_iter().map(|column| column.iter().copied().collect()).collect())
    }

    /// Variance of each of some unknowns if the others of them were known: the reciprocal of its own entry in the inverse of
    /// their covariance. None if that has lost its inverse to rounding.
    pub fn alone(&self, unknowns: &[usize]) -> Option<Vec<f64>> {
        let inverse = Cholesky::new(self.block(unknowns))?.inverse();
        Some(inverse.diagonal().iter().map(|variance| variance.recip()).collect())
    }

    fn block(&self, unknowns: &[usize]) -> DMatrix<f64> {
        let size = unknowns.len();
        DMatrix::from_fn(size, size, |row, column| self.covariance(unknowns[row], unknowns[column]))
    }

    /// How often chance alone gives a misfit at least as large, if the equations and their uncertainties are right; 1 where
    /// no equation is to spare.
    pub fn chance(&self) -> f64 {
        chance(self.chi_square, self.freedom)
    }
}

/// How far a difference is from nothing, given its covariance (row after row): `dᵀ V⁻¹ d`, and the logarithm of the determinant
/// of V. None if V is no covariance.
pub fn distance(difference: &[f64], covariance: &[f64]) -> Option<(f64, f64)> {
    let size = difference.len();
    let factor = Cholesky::new(DMatrix::from_row_slice(size, size, covariance))?;
    let difference = DVector::from_column_slice(difference);
    let square = difference.dot(&factor.solve(&difference));
    let logarithm: f64 = factor.l_dirty().diagonal().iter().map(|root| 2.0 * root.ln()).sum();
    square.is_finite().then_some((square, logarithm))
}

/// How often a chi-square of so many degrees of freedom is at least `chi_square`.
pub fn chance(chi_square: f64, freedom: usize) -> f64 {
    // Without freedom there is no misfit, and no distribution.
    ChiSquared::new(freedom as f64).map_or(1.0, |distribution| distribution.sf(chi_square))
}

#[cfg(test)]
mod tests {
    use approx::{assert_abs_diff_eq, assert_relative_eq};

    use super::*;

    fn equations(rows: &[(&[f64], f64, f64)]) -> Equations {
        let mut equations = Equations::new(rows[0].0.len());
        for (coefficients, observed, uncertainty) in rows {
            equations.push(coefficients, *observed, *uncertainty);
        }
        equations
    }

    // By hand: the weighted mean of 1 and 4 with uncertainties 1 and 2 is (1/1 + 4/4)/(1/1 + 1/4) = 1.6, its uncertainty
    // 1/sqrt(1.25), chi-square 0.36 + 1.44.
    #[test]
    fn the_weighted_mean_of_two_readings_is_the_one_worked_by_hand() {
        let fit =
            equations(&[(&[1.0], 1.0, 1.0), (&[1.0], 4.0, 2.0)]).solve().expect("one unknown, two equations");
        assert_relative_eq!(fit.estimates[0], 1.6, max_relative = 1e-14);
        assert_relative_eq!(fit.uncertainty(0), 1.25_f64.sqrt().recip(), max_relative = 1e-14);
        assert_relative_eq!(fit.chi_square, 1.8, max_relative = 1e-14);
        assert_eq!(fit.freedom, 1);
        assert_abs_diff_eq!(fit.residuals[0], -0.6, epsilon = 1e-14);
        assert_abs_diff_eq!(fit.residuals[1], 2.4, epsilon = 1e-14);
    }

    // By hand: x + y = 3 (u 1) and x − y = 1 (u 1): x and y are independent; x alone observed too, they are not.
    #[test]
    fn unknowns_that_share_an_equation_are_correlated() {
        let fit = equations(&[(&[1.0, 1.0], 3.0, 1.0), (&[1.0, 0.0], 2.0, 1.0)]).solve().expect("two of two");
        assert_abs_diff_eq!(fit.correlation(0, 1), -(0.5_f64.sqrt()), epsilon = 1e-14);
        assert_eq!(fit.freedom, 0);
        assert_abs_diff_eq!(fit.chance(), 1.0, epsilon = 0.0);
    }

    #[test]
    fn what_no_equation_tells_apart_is_named_as_a_direction() {
        let unsolved = equations(&[(&[1.0, 1.0], 3.0, 1.0), (&[2.0, 2.0], 6.0, 1.0)]).solve();
        let Err(Unsolved::Undetermined(open)) = unsolved else { panic!("{unsolved:?}") };
        assert_eq!(open.len(), 1);
        assert_abs_diff_eq!(open[0][0], -open[0][1], epsilon = 1e-12);
    }

    #[test]
    fn fewer_equations_than_unknowns_leave_the_rest_open() {
        let unsolved = equations(&[(&[1.0, 0.0, 0.0], 3.0, 1.0)]).solve();
        let Err(Unsolved::Undetermined(open)) = unsolved else { panic!("{unsolved:?}") };
        assert_eq!(open.len(), 2);
        assert!(open.iter().all(|direction| direction[0].abs() < 1e-12), "{open:?}");
    }

    #[test]
    fn what_is_not_a_number_is_refused_instead_of_spreading() {
        for (coefficient, observed, uncertainty) in
            [(f64::NAN, 1.0, 1.0), (1.0, f64::INFINITY, 1.0), (1.0, 1.0, 0.0), (1.0, 1.0, f64::NAN)]
        {
            let unsolved = equations(&[(&[coefficient], observed, uncertainty)]).solve();
            assert_eq!(unsolved, Err(Unsolved::NotNumbers));
        }
    }

    // By hand: a known to 1 and observed again to 1 is known to sqrt(1/2).
    #[test]
    fn what_more_equations_would_teach_is_foreseen_as_they_then_teach_it() {
        let rows: [(&[f64], f64, f64); 3] =
            [(&[1.0, 0.0], 3.0, 1.0), (&[0.0, 1.0], 2.0, 2.0), (&[1.0, 1.0], 5.5, 0.5)];
        let foreseen =
            equations(&rows[..2]).solve().expect("two of two").foreseeing(&[(vec![1.0, 1.0], 0.5)]);
        let then = equations(&rows).solve().expect("three of two");
        for (one, other) in [(0, 0), (0, 1), (1, 1)] {
            assert_relative_eq!(
                foreseen.covariance(one, other),
                then.covariance(one, other),
                max_relative = 1e-12
            );
        }
        let once = equations(&[(&[1.0], 0.0, 1.0)]).solve().expect("one of one");
        assert_relative_eq!(
            once.foreseeing(&[(vec![1.0], 1.0)]).uncertainty(0),
            0.5_f64.sqrt(),
            max_relative = 1e-14
        );
    }

    // By hand: x + y known to 1, x − y known to 3: half the sum has variance 1/4, half the difference 9/4; rotated by 45°
    // the variances along the axes of the pair are 1/2 and 9/2. With y known, x is known to 1/(1 + 1/9) of variance.
    #[test]
    fn a_pair_known_only_by_its_sum_has_one_wide_direction() {
        let fit =
            equations(&[(&[1.0, 1.0], 0.0, 1.0), (&[1.0, -1.0], 0.0, 3.0)]).solve().expect("two of two");
        let spreads = fit.spreads(&[0, 1], &[1.0, 1.0]);
        assert_relative_eq!(spreads[0], 4.5, max_relative = 1e-12);
        assert_relative_eq!(spreads[1], 0.5, max_relative = 1e-12);
        let alone = fit.alone(&[0, 1]).expect("a covariance");
        assert_relative_eq!(alone[0], 0.9, max_relative = 1e-12);
        assert_relative_eq!(fit.covariance(0, 0), 2.5, max_relative = 1e-12);
    }

    // By hand: variances 4 and 9, difference (2, 3): 1 + 1; ln 36.
    #[test]
    fn a_difference_is_measured_in_its_own_uncertainty() {
        let (square, logarithm) = distance(&[2.0, 3.0], &[4.0, 0.0, 0.0, 9.0]).expect("a covariance");
        assert_relative_eq!(square, 2.0, max_relative = 1e-14);
        assert_relative_eq!(logarithm, 36.0_f64.ln(), max_relative = 1e-14);
        assert_eq!(distance(&[1.0, 1.0], &[1.0, 2.0, 2.0, 1.0]), None);
    }

    // The invariants of a symmetric matrix: its variances must add up to its trace, their squares to its own squares.
    #[test]
    fn spreads_keep_trace_and_squares_of_every_covariance() {
        let mut state = 1_u64;
        let mut draw = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 11) as f64 / (1_u64 << 53) as f64 - 0.5
        };
        for case in 0..500 {
            let unknowns = 2 + case % 12;
            let mut equations = Equations::new(unknowns);
            for unknown in 0..unknowns {
                let row: Vec<f64> =
                    (0..unknowns).map(|other| f64::from(u8::from(other == unknown))).collect();
                equations.push(&row, 0.0, 1.0);
            }
            // Few further equations with many zeros: most variances stay exactly 1.
            for _ in 0..case % 5 {
                let row: Vec<f64> =
                    (0..unknowns).map(|_| if draw() > 0.2 { 10.0 * draw() } else { 0.0 }).collect();
                equations.push(&row, draw(), 0.1);
            }
            let fit = equations.solve().expect("each unknown has an equation of its own");
            let all: Vec<usize> = (0..unknowns).collect();
            let spreads = fit.spreads(&all, &vec![1.0; unknowns]);
            let trace: f64 = all.iter().map(|one| fit.covariance(*one, *one)).sum();
            let squares: f64 =
                all.iter().flat_map(|one| all.iter().map(|other| fit.covariance(*one, *other).powi(2))).sum();
            assert_relative_eq!(spreads.iter().sum::<f64>(), trace, max_relative = 1e-10);
            assert_relative_eq!(
                spreads.iter().map(|one| one * one).sum::<f64>(),
                squares,
                max_relative = 1e-10
            );
        }
    }

    // Upper 5 % points of chi-square, from memory, as every table has them: 3.841 (1), 5.991 (2), 18.307 (10).
    #[test]
    fn a_misfit_at_the_upper_five_percent_point_has_a_chance_of_five_percent() {
        for (freedom, point) in [(1, 3.841), (2, 5.991), (10, 18.307)] {
            assert_abs_diff_eq!(chance(point, freedom), 0.05, epsilon = 2e-5);
        }
    }
}
