//! After the work: what the earlier weighing foretold, and the kart as it is now.

use crate::counts::Counts;
use crate::scenario::{Fitted, Scenario, Weighing};
use crate::solve::{self, Answer, Disagreement, Patience};
use crate::weighing::{self, Load};

/// One weighing after work.
#[derive(Clone, Debug)]
pub struct Step {
    /// The kart as it was known before the work.
    pub before: Scenario,
    /// Readings and what was aboard, the lead now known.
    pub weighing: Weighing,
    /// What the kart as known before would have shown with that aboard.
    pub forecast: Load,
}

/// All of them, and where they lead.
#[derive(Clone, Debug)]
pub struct Followed {
    /// In the order in which they were taken.
    pub steps: Vec<Step>,
    /// The kart as it is known after the last.
    pub now: Scenario,
}

/// Why nobody can say what was fitted `as planned`; `after` counts from 0.
#[derive(Clone, Debug, PartialEq)]
pub enum Lost {
    /// The program's own judge refuses the plan.
    Disagreement(Disagreement),
    /// There was no legal plan to be fitted.
    NoPlan { after: usize },
    /// The plan could not be proved in the time given, so another run may have answered with another.
    NotProved { after: usize },
}

/// The kart as the last weighing showed it, without what was learned of its readings; as given if there was no work.
pub fn as_weighed(scenario: &Scenario, steps: &[Step]) -> Scenario {
    steps.last().map_or_else(|| scenario.clone(), |step| step.before.gone_on(&step.weighing))
}

/// Goes through the weighings under `after`. Plans are made again only where the file says `as planned`, for the driver who
/// sat in the kart.
pub fn followed(scenario: &Scenario, patience: Patience) -> Result<Followed, Lost> {
    let mut now = scenario.clone();
    now.after.clear();
    let misread = now.misread.take();
    // What was learned of a weighing makes it a better start, and no other forecast of itself.
    let corrected = |after: usize, weighing: &Weighing| match &misread {
        Some(misread) if misread.after == after => misread.corrected(weighing),
        _ => weighing.clone(),
    };
    now.weighing = corrected(0, &now.weighing);
    let mut steps = Vec::new();
    for (index, after) in scenario.after().iter().enumerate() {
        let mut weighing = after.weighing.clone();
        if after.fitted == Fitted::AsPlanned {
            weighing.aboard.lead = planned(&now, weighing.aboard.driver, index, patience)?;
            weighing.aboard.seat_hole = now.hole_at(&weighing.aboard.lead);
        }
        let next = now.gone_on(&corrected(index + 1, &weighing));
        steps.push(Step { forecast: forecast(&now, &weighing), before: now, weighing });
        now = next;
    }
    Ok(Followed { steps, now })
}

fn planned(
    scenario: &Scenario,
    driver: Option<usize>,
    after: usize,
    patience: Patience,
) -> Result<Counts, Lost> {
    match solve::solve(scenario, driver, patience).map_err(Lost::Disagreement)? {
        Answer::Plan(solved) if solved.is_best_possible() => Ok(solved.plan.measured().counts.clone()),
        Answer::Plan(_) | Answer::OutOfTime => Err(Lost::NotProved { after }),
        Answer::NoLegalPlan(_) => Err(Lost::NoPlan { after }),
    }
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
