//! The law of propagation of uncertainty, by shifting each source and computing everything again.

use super::{Estimate, by_cause, combined, combined_from_few};

/// What one independent source of error does to everything that is known.
#[derive(Clone, Debug)]
pub struct Source<T, C> {
    pub cause: C,
    /// How many degrees of freedom its standard uncertainty has; those of one cause share them.
    pub freedom: f64,
    /// Everything, with the source one standard uncertainty higher.
    pub up: T,
    /// Everything, with the source one standard uncertainty lower.
    pub down: T,
}

/// Something known, with all independent sources of its errors.
#[derive(Clone, Debug)]
pub struct Propagation<T, C> {
    /// As known best.
    pub centre: T,
    /// Independent of each other. What is unsure together is one source that shifts several things.
    pub sources: Vec<Source<T, C>>,
}

impl<T, C: Copy + PartialEq> Propagation<T, C> {
    /// Change of `figure` per standard uncertainty of each source: `(f(x + u) − f(x − u))/2` (GUM, 5.1.3, note 2).
    fn shifts<'a>(&'a self, figure: &'a impl Fn(&T) -> f64) -> impl Iterator<Item = f64> + 'a {
        self.sources.iter().map(move |source| f64::midpoint(figure(&source.up), -figure(&source.down)))
    }

    /// What can be computed from it, with the same sources.
    pub fn map<U>(&self, compute: impl Fn(&T) -> U) -> Propagation<U, C> {
        let sources = self.sources.iter().map(|source| Source {
            cause: source.cause,
            freedom: source.freedom,
            up: compute(&source.up),
            down: compute(&source.down),
        });
        Propagation { centre: compute(&self.centre), sources: sources.collect() }
    }

    /// A figure with its standard uncertainty, `u² = Σ (∂f/∂x)² u²(x)` (GUM, equation 10), as far as it is known from few
    /// readings widened for that.
    pub fn estimate(&self, figure: impl Fn(&T) -> f64) -> Estimate {
        let parts = self.parts(&figure).into_iter().map(|(_, standard, freedom)| (standard, freedom));
        Estimate { value: figure(&self.centre), standard: combined_from_few(parts) }
    }

    /// Correlation coefficient of two figures, `u(y,z)/(u(y)u(z))` (GUM, equation 14); zero if one of them is sure.
    pub fn correlation(&self, one: impl Fn(&T) -> f64, other: impl Fn(&T) -> f64) -> f64 {
        let covariance: f64 =
            self.shifts(&one).zip(self.shifts(&other)).map(|(one, other)| one * other).sum();
        let scale = combined(self.shifts(&one)) * combined(self.shifts(&other));
        if scale > 0.0 { covariance / scale } else { 0.0 }
    }

    /// Standard uncertainty of a figure by cause, in order of first mention.
    pub fn by_cause(&self, figure: impl Fn(&T) -> f64) -> Vec<(C, f64)> {
        self.parts(&figure).into_iter().map(|(cause, standard, _)| (cause, standard)).collect()
    }

    /// The same with degrees of freedom.
    fn parts(&self, figure: &impl Fn(&T) -> f64) -> Vec<(C, f64, f64)> {
        let shifts = self.sources.iter().zip(self.shifts(figure));
        by_cause(shifts.map(|(source, shift)| (source.cause, shift, source.freedom)))
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;

    use super::*;

    fn sum_and_difference() -> Propagation<[f64; 2], u8> {
        // Each has an error of its own, and one is common to both.
        let shifted = |cause, by: [f64; 2]| Source {
            cause,
            freedom: f64::INFINITY,
            up: [10.0 + by[0], 20.0 + by[1]],
            down: [10.0 - by[0], 20.0 - by[1]],
        };
        let sources = vec![shifted(0, [3.0, 0.0]), shifted(0, [0.0, 4.0]), shifted(1, [12.0, 12.0])];
        Propagation { centre: [10.0, 20.0], sources }
    }

    #[test]
    fn what_is_unsure_together_cancels_in_a_difference_and_doubles_in_a_sum() {
        let known = sum_and_difference();
        assert_abs_diff_eq!(known.estimate(|[a, b]| b - a).standard, 5.0, epsilon = 1e-12);
        assert_abs_diff_eq!(known.estimate(|[a, b]| a + b).standard, 601.0_f64.sqrt(), epsilon = 1e-12);
    }

    #[test]
    fn causes_add_up_to_the_whole_by_squares() {
        let known = sum_and_difference();
        let parts = known.by_cause(|[a, b]| a + b);
        assert_eq!(parts.iter().map(|(cause, _)| *cause).collect::<Vec<_>>(), [0, 1]);
        assert_abs_diff_eq!(parts[0].1, 5.0, epsilon = 1e-12);
        assert_abs_diff_eq!(parts[1].1, 24.0, epsilon = 1e-12);
        assert_abs_diff_eq!(combined(parts.iter().map(|(_, part)| *part)), 601.0_f64.sqrt(), epsilon = 1e-12);
    }

    #[test]
    fn a_figure_is_wholly_correlated_with_itself_and_not_with_what_is_sure() {
        let known = sum_and_difference();
        assert_abs_diff_eq!(known.correlation(|[a, _]| *a, |[a, _]| -a), -1.0, epsilon = 1e-12);
        assert_abs_diff_eq!(known.correlation(|[a, _]| *a, |_| 7.0), 0.0);
    }
}
