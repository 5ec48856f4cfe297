//! Forecast and truth: what each weighing of the list should have shown by what was known before it.

use crate::scenario::{Scenario, Weighing};
use crate::weighing::{self, Load};

/// A weighing of the kart as raced that was not the first.
#[derive(Clone, Debug)]
pub struct Step {
    /// Its position in the list, from 0.
    pub listed: usize,
    /// The kart as it was known before.
    pub before: Scenario,
    /// Readings and what was aboard.
    pub weighing: Weighing,
    /// What the kart as known before would have shown with that aboard.
    pub forecast: Load,
}

/// All of them, in time.
pub fn steps(scenario: &Scenario) -> Vec<Step> {
    let (earlier, later) = (scenario.raced(), scenario.raced().skip(1));
    // What was learned of the pads' errors stays in both readings, where it cancels.
    let read = Scenario { misread: None, ..scenario.clone() };
    let step = |(earlier, later): (usize, usize)| {
        let (before, weighing) = (read.known_at(earlier), scenario.weighings()[later].clone());
        Step { listed: later, forecast: forecast(&before, &weighing), before, weighing }
    };
    earlier.zip(later).map(step).collect()
}

/// What a weighing would show if the kart were as `scenario` knows it.
///
/// Whatever was aboard is the readings less the kart without it; the same is added to the kart as known.
pub fn forecast(scenario: &Scenario, weighing: &Weighing) -> Load {
    let driver = weighing.aboard.driver;
    let kart_then = weighing::trunk(&scenario.weighed_as(weighing), driver);
    let aboard = weighing::readings(weighing).minus(kart_then);
    weighing::trunk(scenario, driver).plus(aboard)
}
