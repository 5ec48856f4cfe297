//! Standard uncertainties from what people know: limits, display steps, repeated readings.

use statrs::distribution::{ContinuousCDF, StudentsT};

use super::COVERAGE_FACTOR;

/// Of a number that lies anywhere within ±`limit` alike: limit/√3 (GUM, 4.3.7).
pub fn of_limit(limit: f64) -> f64 {
    limit.abs() / 3.0_f64.sqrt()
}

/// Of a display that moves in steps: step/√12, half a step either way (GUM, F.2.2.1).
pub fn of_step(step: f64) -> f64 {
    of_limit(step / 2.0)
}

/// Arithmetic mean; not a number for no readings.
pub fn mean(readings: &[f64]) -> f64 {
    readings.iter().sum::<f64>() / readings.len() as f64
}

/// Experimental standard deviation, `√(Σ(x − mean)²/(n − 1))` (GUM, 4.2.2); zero for fewer than two readings.
pub fn deviation(readings: &[f64]) -> f64 {
    if readings.len() < 2 {
        return 0.0;
    }
    let mean = mean(readings);
    let squares: f64 = readings.iter().map(|reading| (reading - mean) * (reading - mean)).sum();
    (squares / (readings.len() - 1) as f64).sqrt()
}

/// A spread that is known from a few readings only, widened so that [`COVERAGE_FACTOR`] of it still hold 95 %: the quantile of
/// Student's distribution in place of the normal one (GUM, table G.2).
pub fn widened(deviation: f64, degrees_of_freedom: f64) -> f64 {
    /// Beyond, Student's quantile is the normal one to a ten-thousandth.
    const MANY: f64 = 20_000.0;
    match StudentsT::new(0.0, 1.0, degrees_of_freedom) {
        Ok(student) if degrees_of_freedom < MANY => deviation * student.inverse_cdf(0.975) / COVERAGE_FACTOR,
        _ => deviation,
    }
}
