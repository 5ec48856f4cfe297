//! Forecast and truth of a weighing, corner by corner, and what the likeliest slip is where they differ.

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::{Kg, Quantity, Shape};
use crate::statics::Corner;
use crate::tasks::forecast::{Step, forecast};
use crate::tasks::misfit::compared;
use crate::uncertainty::{COVERAGE_FACTOR, kart};

/// One weighing that was not the first.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Forecast {
    /// Its number in the list, from 1.
    pub weighing: usize,
    /// Whether pads, tape and frame explain the difference.
    pub as_forecast: bool,
    /// How often chance alone gives such a difference.
    pub chance: f64,
    /// LF RF LR RR.
    pub corners: Vec<Foretold>,
    /// The likeliest causes, the likeliest first.
    pub causes: Vec<Slip>,
}

/// One cause that explains the difference.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Slip {
    /// What may have happened.
    pub sentence: String,
    /// Its chance among all single slips that explain the difference.
    pub chance: f64,
}

/// One corner.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Foretold {
    /// Its two letters.
    pub corner: &'static str,
    /// What was expected.
    pub forecast: Quantity<Kg>,
    /// What the pad shows.
    pub weighed: Quantity<Kg>,
    /// Weighed less forecast; surer than the others alone, as it is free of what they share.
    pub difference: Quantity<Kg>,
    /// Whether the difference is within its ±.
    pub within: bool,
}

fn slip((sentence, chance): (String, f64)) -> Slip {
    Slip { sentence, chance: chance.rounded(1e3) }
}

impl Forecast {
    /// Of one weighing that was not the first.
    pub fn new(step: &Step) -> Forecast {
        let comparison = compared(step);
        let foretold = step.forecast.corners;
        let driver = step.weighing.aboard.driver;
        let forecasts =
            kart::computed(&step.before, driver, |scenario| forecast(scenario, &step.weighing).corners);
        let readings = kart::weighed(&step.before.weighed_as(&step.weighing));
        let corners = Corner::ALL.into_iter().enumerate().map(|(index, corner)| {
            let difference = comparison.difference_kg[index];
            let expanded = COVERAGE_FACTOR * comparison.uncertainty_kg[index];
            let forecast = forecasts.estimate(|corners| corners[corner]).expanded();
            let weighed = readings.estimate(|kart| kart.corners[corner]).expanded();
            Foretold {
                corner: corner.word(),
                forecast: Quantity::new(Kg, foretold[corner], forecast),
                weighed: Quantity::new(Kg, foretold[corner] + difference, weighed),
                difference: Quantity::new(Kg, difference, expanded),
                within: difference.abs() <= expanded,
            }
        });
        Forecast {
            weighing: step.listed + 1,
            corners: corners.collect(),
            as_forecast: comparison.as_forecast(),
            chance: comparison.chance.rounded(1e6),
            causes: comparison.causes.into_iter().map(slip).collect(),
        }
    }
}
