//! Forecast and truth after the work, corner by corner, and what the likeliest slip is where they differ.
//! Takes weighings after work with their forecasts; gives numbers and sentences.
//! Does not find causes (`tasks::misfit`).

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::{Kg, Quantity, Shape};
use crate::scenario::Scenario;
use crate::statics::Corner;
use crate::tasks::after::{Step, forecast};
use crate::tasks::misfit::{Cause, compared};
use crate::uncertainty::{COVERAGE_FACTOR, kart};

/// One weighing after work.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Forecast {
    /// Whether pads, tape and frame explain the difference.
    pub as_forecast: bool,
    /// How often chance alone gives such a difference.
    pub chance: f64,
    /// LF RF LR RR.
    pub corners: Vec<Foretold>,
    /// The likeliest causes, the likeliest first.
    pub causes: Vec<String>,
}

/// One corner.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Foretold {
    /// Its two letters.
    pub corner: &'static str,
    /// What was foretold.
    pub forecast: Quantity<Kg>,
    /// What the pad shows.
    pub weighed: Quantity<Kg>,
    /// Weighed less forecast; surer than the others alone, as it is free of what they share.
    pub difference: Quantity<Kg>,
    /// Whether the difference is within its ±.
    pub within: bool,
}

impl Forecast {
    /// Of one weighing after work.
    pub fn new(step: &Step) -> Forecast {
        let comparison = compared(step);
        let foretold = step.forecast.corners;
        let driver = step.weighing.aboard.driver;
        let forecasts =
            kart::computed(&step.before, driver, |scenario| forecast(scenario, &step.weighing).corners);
        let readings = kart::weighed(&step.before.gone_on(&step.weighing));
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
            corners: corners.collect(),
            as_forecast: comparison.as_forecast(),
            chance: comparison.chance.rounded(1e6),
            causes: comparison.causes.iter().map(|cause| sentence(&step.before, step, *cause)).collect(),
        }
    }
}

fn sentence(scenario: &Scenario, step: &Step, cause: Cause) -> String {
    let kind = |kind: usize| &scenario.lead()[kind].name;
    let mount = |mount: usize| &scenario.mounts()[mount].name;
    match cause {
        Cause::WrongMount { kind: piece, said, seems } => {
            format!("`{}` is on `{}`, not on `{}`", kind(piece), mount(seems), mount(said))
        }
        Cause::Missing { kind: piece, mount: said } => {
            format!("`{}` is not on `{}`, nor anywhere on the kart", kind(piece), mount(said))
        }
        Cause::LeftOn { kind: piece, mount: on } => format!("`{}` is still on `{}`", kind(piece), mount(on)),
        Cause::MountCoordinate { mount: place } => {
            format!("`{}` is not where the file has it: measure its x and y again", mount(place))
        }
        Cause::Washers { adjuster, seems } => {
            let described = &scenario.adjusters()[adjuster];
            let then = step.weighing.aboard.lead.setting(adjuster, described.now);
            let (name, now) = (&described.name, described.now);
            let stand = &described.settings[seems].name;
            if seems == now && then != now {
                format!("the washers of the {name} were not moved: {stand}")
            } else if then != now && (seems > now) != (then > now) {
                format!("the washers of the {name} went the wrong way: {stand}")
            } else {
                format!("the washers of the {name} stand {stand}, not {}", described.settings[then].name)
            }
        }
        Cause::SeatHole { along } => format!("the seat is at hole {along}"),
        Cause::Posture => "the driver sat elsewhere than before".to_owned(),
        Cause::Level => {
            "nothing but twist changed: a pad out of level, a wheel not straight ahead, or a bent frame"
                .to_owned()
        }
    }
}
