//! Chances: the normal distribution, and how unlikely a spread is.

use statrs::distribution::{ChiSquared, ContinuousCDF, Normal};

/// Chance that a standard normal number is below `z`.
pub fn chance_below(z: f64) -> f64 {
    Normal::standard().cdf(z)
}

/// The number below which a standard normal one lies with that chance; `chance` is between 0 and 1.
pub fn quantile(chance: f64) -> f64 {
    Normal::standard().inverse_cdf(chance)
}

/// Chance that pads of that standard deviation spread at least so much: both are standard deviations, the observed one
/// from so many degrees of freedom (chi-square test of a variance).
pub fn chance_of_spread(observed: f64, expected: f64, degrees_of_freedom: u32) -> f64 {
    let ratio = observed / expected;
    let squares = f64::from(degrees_of_freedom) * ratio * ratio;
    match ChiSquared::new(f64::from(degrees_of_freedom)) {
        Ok(distribution) if squares.is_finite() => distribution.sf(squares),
        // No degree of freedom says nothing; an expected spread of nothing is exceeded by any.
        Ok(_) => 0.0,
        Err(_) => 1.0,
    }
}
