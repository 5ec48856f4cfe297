//! `plan`: where which piece of lead goes, on the screen, as a document, as a sheet.

use kentledge::answer::plan::explained;
use kentledge::blocks::{self, Drawn};
use kentledge::drawing;
use kentledge::drawing::ground::GroundView;
use kentledge::scenario::Freedom;

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
