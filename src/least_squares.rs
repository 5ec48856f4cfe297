//! Weighted linear least squares: the unknowns that come nearest to more equations than there are unknowns.
//! Takes equations, each with the standard uncertainty of its right-hand side; gives estimates, their uncertainties and
//! correlations, what the equations leave open, and whether the misfit is what the uncertainties promise.
//! Does not know what the unknowns are.
//!
//! Every equation is divided by its uncertainty and every column by its length, so that no unit counts for more than another;
//! the matrix is then taken apart into singular values (Golub and Reinsch 1970, from memory), which neither squares the
//! condition number, as normal equations would, nor hides what is undetermined.

use nalgebra::{DMatrix, DVector, SVD};
use statrs::distribution::{ChiSquared, ContinuousCDF};

/// A singular value below this part of the largest is rounding, and its direction undetermined. Readings carry five digits and
/// places four; what is known to one part in ten thousand millions is known by accident.
const NOTHING: f64 = 1e-10;

/// The factors are found by turns, each of which halves the error or better; so many are never needed.
const MOST_TURNS: usize = 10_000;

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
    /// With `W = diag(1/u)`, `D` the column lengths and `W A D⁻¹ = U S Vᵀ`: `x = D⁻¹ V S⁻¹ Uᵀ W b`, covariance
    /// `D⁻¹ V S⁻² Vᵀ D⁻¹`.
    pub fn solve(&self) -> Result<Fit, Unsolved> {
        let (weighted, observed) = self.weighted()?;
        let lengths: Vec<f64> = weighted.column_iter().map(|column| column.norm()).collect();
        // A column of zeros keeps its unit: it is found undetermined below.
        let scales = DVector::from_iterator(
            self.unknowns,
            lengths.iter().map(|length| if *length > 0.0 { length.recip() } else { 1.0 }),
        );
        let scaled = &weighted * DMatrix::from_diagonal(&scales);
        let factors = Factors::of(scaled).ok_or(Unsolved::NotNumbers)?;
        let open = factors.open();
        if !open.is_empty() {
            return Err(Unsolved::Undetermined(open));
        }
        let in_factors = factors.left.tr_mul(&observed).component_div(&factors.values);
        let estimates = (&factors.right * in_factors).component_mul(&scales);
        let spread = DMatrix::from_diagonal(&scales)
            * &factors.right
            * DMatrix::from_diagonal(&factors.values.map(f64::recip));
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

/// `U`, the diagonal of `S`, and `V`; `S` sorted from the largest down and as long as there are unknowns.
struct Factors {
    left: DMatrix<f64>,
    values: DVector<f64>,
    right: DMatrix<f64>,
}

impl Factors {
    fn of(matrix: DMatrix<f64>) -> Option<Factors> {
        let (rows, unknowns) = matrix.shape();
        // Equations of zeros change nothing, and with as many equations as unknowns every direction has its singular value.
        let tall = if rows < unknowns { matrix.resize_vertically(unknowns, 0.0) } else { matrix };
        let SVD { u, v_t, singular_values } = SVD::try_new(tall, true, true, f64::EPSILON, MOST_TURNS)?;
        Some(Factors {
            left: u?.rows(0, rows).into_owned(),
            values: singular_values,
            right: v_t?.transpose(),
        })
    }

    /// Directions that no equation says anything of.
    fn open(&self) -> Vec<Vec<f64>> {
        let largest = self.values.iter().copied().fold(0.0, f64::max);
        let closed = |value: f64| value > largest * NOTHING;
        let columns = self.values.iter().zip(self.right.column_iter());
        columns
            .filter(|(value, _)| !closed(**value))
            .map(|(_, column)| column.iter().copied().collect())
            .collect()
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

    /// What the uncertainties of the equations must be multiplied by for the misfit to be usual; with uncertainties of 1 it is
    /// the residual standard deviation. None without equations to spare.
    pub fn residual_deviation(&self) -> Option<f64> {
        (self.freedom > 0).then(|| (self.chi_square / self.freedom as f64).sqrt())
    }

    /// How often chance alone gives a misfit at least as large, if the equations and their uncertainties are right; 1 where
    /// no equation is to spare.
    pub fn chance(&self) -> f64 {
        chance(self.chi_square, self.freedom)
    }
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
        assert_eq!(fit.residual_deviation(), None);
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

    // Upper 5 % points of chi-square, from memory, as every table has them: 3.841 (1), 5.991 (2), 18.307 (10).
    #[test]
    fn a_misfit_at_the_upper_five_percent_point_has_a_chance_of_five_percent() {
        for (freedom, point) in [(1, 3.841), (2, 5.991), (10, 18.307)] {
            assert_abs_diff_eq!(chance(point, freedom), 0.05, epsilon = 2e-5);
        }
    }
}
