//! How sure a number is: standard uncertainties and the law by which they are carried to whatever is computed from them.
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

/// Every ± that is shown is this many standard uncertainties: 95 % of a normal distribution (GUM, table G.1).
pub const COVERAGE_FACTOR: f64 = 1.96;

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

/// The same of causes each known with so many degrees of freedom, widened so that [`COVERAGE_FACTOR`] of it is Student's 95 %.
///
/// Welch and Satterthwaite: the whole has `u⁴/Σ(uᵢ⁴/νᵢ)` degrees of freedom (GUM, G.4.1).
pub fn combined_from_few(causes: impl IntoIterator<Item = (f64, f64)>) -> f64 {
    let (mut squares, mut spent) = (0.0, 0.0);
    for (standard, freedom) in causes {
        let square = standard * standard;
        squares += square;
        spent += square * square / freedom;
    }
    let whole = squares.sqrt();
    if spent > 0.0 { standard::widened(whole, squares * squares / spent) } else { whole }
}

/// Shifts with their degrees of freedom, those of one cause combined, in order of first mention.
pub fn by_cause<C: PartialEq>(shifts: impl IntoIterator<Item = (C, f64, f64)>) -> Vec<(C, f64, f64)> {
    let mut parts: Vec<(C, f64, f64)> = Vec::new();
    for (cause, shift, freedom) in shifts {
        match parts.iter_mut().find(|(other, ..)| *other == cause) {
            Some((_, part, _)) => *part = part.hypot(shift),
            None => parts.push((cause, shift.abs(), freedom)),
        }
    }
    parts
}
