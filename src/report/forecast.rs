//! Forecast and truth after the work, corner by corner, and what the likeliest slip is where they differ.
//! Takes weighings after work with their forecasts; gives lines in the units of the screen.
//! Does not find causes (`tasks::misfit`).

use super::amount::{Screen, Weight, rounded_kg};
use crate::scenario::Scenario;
use crate::statics::Corner;
use crate::tasks::after::{Step, forecast};
use crate::tasks::misfit::{Cause, Comparison, compared};
use crate::uncertainty::kart;

/// What is shown after a +- covers about 95 of 100 (GUM, 6.3.3).
const COVERAGE: f64 = 2.0;

/// One weighing after work.
#[derive(Clone, Debug, PartialEq)]
pub struct ForecastLines {
    /// Position under `after`, from 1.
    pub after: usize,
    /// LF RF LR RR.
    pub corners: Vec<CornerLine>,
    /// Whether pads, tape and frame explain the difference.
    pub as_forecast: bool,
    /// How often chance alone gives such a difference.
    pub chance: f64,
    /// The same as a sentence.
    pub verdict: String,
    /// The likeliest causes, the likeliest first.
    pub causes: Vec<String>,
}

/// One corner.
#[derive(Clone, Debug, PartialEq)]
pub struct CornerLine {
    /// Its two letters.
    pub word: &'static str,
    /// What was foretold.
    pub forecast: Weight,
    /// The ± of it, at k = 2.
    pub forecast_sure: Weight,
    /// What the pad shows.
    pub weighed: Weight,
    /// The ± of it, at k = 2.
    pub weighed_sure: Weight,
    /// Weighed less forecast.
    pub difference: Weight,
    /// Twice the standard uncertainty of the difference.
    pub expanded: Weight,
    /// Whether the difference is within that.
    pub within: bool,
}

impl ForecastLines {
    /// To what forecast and readings are known by themselves, the least sure corner of each.
    pub fn alone(&self) -> String {
        let most = |sure: &dyn Fn(&CornerLine) -> &Weight| {
            let all = self.corners.iter().map(sure);
            all.max_by(|one, other| one.kg.total_cmp(&other.kg)).map_or_else(String::new, Weight::to_string)
        };
        format!(
            "by itself a corner is foretold to +- {} and weighed to +- {}; the difference is free of what they share",
            most(&|corner| &corner.forecast_sure),
            most(&|corner| &corner.weighed_sure)
        )
    }

    /// From all weighings after work.
    pub fn of_steps(screen: Screen, steps: &[Step]) -> Vec<ForecastLines> {
        (1..).zip(steps).map(|(after, step)| ForecastLines::new(screen, after, step)).collect()
    }

    fn new(screen: Screen, after: usize, step: &Step) -> ForecastLines {
        let comparison = compared(step);
        let foretold = step.forecast.corners;
        let driver = step.weighing.aboard.driver;
        let forecasts =
            kart::computed(&step.before, driver, |scenario| forecast(scenario, &step.weighing).corners);
        let readings = kart::weighed(&step.before.gone_on(&step.weighing));
        let corners = Corner::ALL.into_iter().enumerate().map(|(index, corner)| {
            let (difference, expanded) =
                (comparison.difference_kg[index], COVERAGE * comparison.uncertainty_kg[index]);
            CornerLine {
                word: corner.word(),
                forecast: screen.column(foretold[corner]),
                forecast_sure: screen.column(forecasts.estimate(|corners| corners[corner]).expanded()),
                weighed: screen.column(foretold[corner] + difference),
                weighed_sure: screen.column(readings.estimate(|kart| kart.corners[corner]).expanded()),
                difference: screen.signed(difference),
                expanded: screen.column(expanded),
                within: difference.abs() <= expanded,
            }
        });
        ForecastLines {
            after,
            corners: corners.collect(),
            as_forecast: comparison.as_forecast(),
            chance: rounded_kg(comparison.chance),
            verdict: verdict(&comparison),
            causes: comparison.causes.iter().map(|cause| sentence(&step.before, step, *cause)).collect(),
        }
    }
}

fn verdict(comparison: &Comparison) -> String {
    match (comparison.as_forecast(), comparison.causes.is_empty()) {
        (true, _) => "as foretold: pads, tape and frame explain the difference".to_owned(),
        (false, false) => "not as foretold; the likeliest slip:".to_owned(),
        (false, true) => {
            "not as foretold, and no single slip explains it: look at `aboard` and the readings, or \
                          weigh again"
                .to_owned()
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
            "nothing but warp changed: a pad out of level, a wheel not straight ahead, or a bent frame"
                .to_owned()
        }
    }
}
