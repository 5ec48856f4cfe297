//! `plan`: where which piece of lead goes, on the screen, as a document, as a sheet.

use kentledge::answer::alternatives::Alternatives;
use kentledge::answer::help::{eased, helps, remedies};
use kentledge::answer::plan::Plan;
use kentledge::blocks::{self, Drawn};
use kentledge::drawing;
use kentledge::drawing::ground::GroundView;
use kentledge::scenario::{Freedom, Scenario};
use kentledge::solve::{self, Disagreement, Patience};
use kentledge::tasks::alternatives::alternatives;
use kentledge::tasks::help;

use crate::outcome::{Answer, Exit, Failure};
use crate::run::Reading;

/// What plan is wanted.
pub(crate) struct Asked {
    /// For whom, if not for today's driver.
    pub(crate) driver: Option<String>,
    /// Nothing else is changed, if this names anything.
    pub(crate) only: Vec<String>,
    pub(crate) most_alternatives: usize,
    /// Whether it rests on the file as it is, so that `done` finds it again.
    pub(crate) is_kept: bool,
}

/// The plan, explained.
pub(crate) fn answer(reading: &Reading, asked: &Asked) -> Result<Answer, Failure> {
    let scenario = &reading.scenario;
    // Whoever was weighed in nobody's place is planned for as usual.
    let driver = asked.driver.as_deref().filter(|name| asked.is_kept || *name != "none");
    let driver = reading.driver(driver)?;
    let freedom = if asked.only.is_empty() { None } else { Some(Freedom::only(scenario, &asked.only)?) };
    let (mut plan, answer) = reading.search(|patience| {
        explained(scenario, driver, freedom.as_ref(), asked.most_alternatives, patience)
    })?;
    if let Some(planned) = plan.plan.as_mut().filter(|_| !asked.is_kept) {
        planned.mark = None;
    }
    let form = reading.form(Exit::of(plan.status, plan.on_target));
    let page = |drawn: &[Drawn]| blocks::plan(&plan, drawn.first());
    form.answer(plan.status.words(), &plan, page, |units| {
        let ground =
            GroundView::of_answer(units, scenario, driver, &answer).numbered(&blocks::numbers(&plan));
        (vec![drawing::drawn(&ground, "plan")], Some(drawing::drawing(&ground)))
    })
}

/// A plan with what would help it, or its absence with what would cure that.
fn explained(
    scenario: &Scenario,
    driver: Option<usize>,
    only: Option<&Freedom>,
    most_alternatives: usize,
    patience: Patience,
) -> Result<(Plan, solve::Answer), Disagreement> {
    let answer = match only {
        None => solve::solve(scenario, driver, patience)?,
        Some(freedom) => solve::solve_within(scenario, driver, freedom, patience)?,
    };
    let mut plan = Plan::new(scenario, driver, &answer);
    match &answer {
        solve::Answer::Plan(solved) => {
            // What is asked for by name has the first claim on the time.
            if most_alternatives > 0 {
                let found = alternatives(scenario, driver, solved, most_alternatives, patience.silent())?;
                plan.alternatives = Some(Alternatives::new(scenario, &found));
            }
            // What would help is asked of the whole kart; who wants only a part of it changed has said what is off the table.
            if only.is_none() {
                let found = help::would_help(scenario, driver, solved, patience.silent())?;
                plan.would_help = helps(scenario, solved.plan.measured(), &found);
                plan.unsettled = eased(scenario, &found.unsettled);
            }
        }
        solve::Answer::NoLegalPlan(_) if only.is_none() => {
            let found = help::remedies(scenario, driver, patience.silent())?;
            plan.remedies = Some(remedies(scenario, &found));
            plan.unsettled = eased(scenario, &found.unsettled);
        }
        solve::Answer::NoLegalPlan(_) | solve::Answer::OutOfTime => {}
    }
    Ok((plan, answer))
}
