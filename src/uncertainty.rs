//! How sure a number is: standard uncertainties and the law by which they are carried to whatever is computed from them.
//! Takes numbers with their spreads or limits; gives every result with its ±, at k = 2.
//! Does not know a screen; what a scenario leaves unsure is listed in `uncertainty::inputs`.
//!
//! Everything follows JCGM 100:2008, the 'Guide to the expression of uncertainty in measurement' (GUM). Inputs that are
//! unsure together, such as four pads calibrated with the same weights, are one [`propagation`] source that shifts all of
//! them; so correlations never have to be written down, and percentages that share a total keep theirs.

pub mod cause;
pub mod inputs;
pub mod kart;
pub mod normal;
pub mod pads;
pub mod propagation;
pub mod standard;
pub mod verdict;

/// Every ± that is shown is this many standard uncertainties: about 95 % of a normal distribution (GUM, 6.3.3).
pub const COVERAGE_FACTOR: f64 = 2.0;

/// A number and its standard uncertainty, both in the same unit.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Estimate {
    /// The best value.
    pub value: f64,
    /// One standard uncertainty, never negative.
    pub standard: f64,
}

impl Estimate {
    /// The number after the ±: [`COVERAGE_FACTOR`] standard uncertainties.
    pub fn expanded(&self) -> f64 {
        COVERAGE_FACTOR * self.standard
    }
}

/// The root of the sum of squares: standard uncertainties of independent causes combined (GUM, 5.1.2).
pub fn combined(standards: impl IntoIterator<Item = f64>) -> f64 {
    standards.into_iter().map(|standard| standard * standard).sum::<f64>().sqrt()
}
