//! Whether a target is met, missed, or too close to call.
//! Takes the judge's residual and the kart with its uncertainties; gives the call and the ± it rests on.
//! Does not measure the distance itself, nor word the call.

use schemars::JsonSchema;
use serde::Serialize;

use super::Estimate;
use super::kart::{Kart, UnsureKart};
use crate::plan::Residual;
use crate::scenario::Scenario;

/// How sure it is that a target is met.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Call {
    /// The whole of value ± lies within the tolerance.
    Met,
    /// The whole of value ± lies outside the tolerance.
    Missed,
    /// An edge of the tolerance lies within value ±.
    #[serde(rename = "too close to call")]
    TooClose,
}

impl Call {
    /// The words for it.
    pub const fn words(self) -> &'static str {
        match self {
            Call::Met => "met",
            Call::Missed => "missed",
            Call::TooClose => "too close to call",
        }
    }

    /// The call on a residual; the tolerance is as wide as the judge's, with what counts as met.
    pub fn of(scenario: &Scenario, residual: &Residual, kart: &UnsureKart) -> Call {
        let unsure_kg = distance(residual, kart).expanded();
        let line = residual.aim.line();
        let half_width_kg = line.within_share * kart.centre.corners.total() + line.within_kg;
        let beyond_kg = residual.distance_kg.abs() - half_width_kg - scenario.preferences().targets.kg();
        if beyond_kg + unsure_kg <= 0.0 {
            Call::Met
        } else if beyond_kg - unsure_kg > 0.0 {
            Call::Missed
        } else {
            Call::TooClose
        }
    }
}

/// The distance of a residual from its aim with its ±, kg.
pub fn distance(residual: &Residual, kart: &UnsureKart) -> Estimate {
    kart.estimate(|kart| distance_on(residual, kart))
}

/// The same on one kart, kg.
pub fn distance_on(residual: &Residual, kart: &Kart) -> f64 {
    let line = residual.aim.line();
    residual.figure.kg(&kart.corners) - line.share * kart.corners.total() - line.difference_kg
}

/// The figure of a residual with its ±: percent, kg for a pair, mm for a height.
pub fn figure(residual: &Residual, kart: &UnsureKart) -> Estimate {
    kart.estimate(|kart| residual.figure.read(&kart.chassis, &kart.corners))
}
