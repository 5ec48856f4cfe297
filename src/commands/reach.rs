//! `reach`: which front % and left % the lead on these mounts can reach, for one driver or for all.

use kentledge::answer::reach::Reach;
use kentledge::blocks::{self, Drawn};
use kentledge::drawing::reach::{drawing, drawn};
use kentledge::scenario::Scenario;
use kentledge::solve;
use kentledge::tasks::reach::{Reached, reach};

use super::no_plan;
use crate::outcome::{Answer, Exit, Failure};
use crate::run::Reading;

/// Whom a report is about.
pub(crate) enum Whom {
    /// A driver by name, or today's.
    One(Option<String>),
    /// Every driver of the file.
    All,
}

/// The region of each driver; as nothing but a drawing if that is wanted.
pub(crate) fn answer(reading: &Reading, whom: &Whom, is_drawing: bool) -> Result<Answer, Failure> {
    let scenario = &reading.scenario;
    let drivers = match whom {
        Whom::One(name) => vec![reading.driver(name.as_deref())?],
        Whom::All if scenario.drivers().is_empty() => vec![None],
        Whom::All => (0..scenario.drivers().len()).map(Some).collect(),
    };
    let found = reading.search(|patience| {
        let each = drivers.iter().enumerate().map(|(index, driver)| {
            let share = patience.part(1.0 / (drivers.len() - index) as f64);
            Ok((*driver, reach(scenario, *driver, share)?))
        });
        each.collect::<Result<Vec<_>, _>>()
    })?;
    let mut exit = Exit::Good;
    for (_, reached) in &found {
        match reached {
            Reached::Region(_) => {}
            // The only one asked about: that is the answer.
            Reached::NoPlan(answer) if drivers.len() == 1 => {
                return Err(no_plan(reading, answer, "nothing is within reach"));
            }
            Reached::NoPlan(answer) if matches!(**answer, solve::Answer::NoLegalPlan(_)) => {
                exit = Exit::NoLegalPlan;
            }
            Reached::NoPlan(_) | Reached::EngineFailed | Reached::OutOfTime => exit = Exit::NoAnswer,
        }
    }
    let reach = answer_of(scenario, &found);
    let page = |drawn: &[Drawn]| blocks::reach(&reach, drawn.first());
    let pictures = |_| (vec![drawn(&reach, "reach")], Some(drawing(&reach)));
    let answer = reading.form(exit).answer(reach.status(), &reach, page, pictures)?;
    Ok(if is_drawing { Answer { shown: drawing(&reach), ..answer } } else { answer })
}

fn answer_of(scenario: &Scenario, found: &[(Option<usize>, Reached)]) -> Reach {
    let mut view = Reach::new(scenario);
    for (driver, reached) in found {
        let why_not = match reached {
            Reached::Region(region) => {
                view.add(scenario, *driver, region);
                continue;
            }
            Reached::NoPlan(answer) if matches!(**answer, solve::Answer::NoLegalPlan(_)) => {
                "no legal plan exists"
            }
            Reached::NoPlan(_) => "no legal plan was found in this time; a longer `--time` may find one",
            Reached::OutOfTime => {
                "the corners of what is within reach were not found in this time; a longer `--time` may find them"
            }
            Reached::EngineFailed => "the linear programs of the region had no answer",
        };
        view.add_without(scenario, *driver, why_not);
    }
    view
}
