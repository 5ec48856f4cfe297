//! `reach`: which front % and left % the lead on these mounts can reach, for one driver or for all.
//! Takes a scenario that was read, whom it is about and the form of the answer; gives it with its exit code.
//! Does not solve, lay out or draw.

use std::time::Instant;

use kentledge::answer::reach::Reach;
use kentledge::blocks::{self, Drawn};
use kentledge::drawing::reach::{drawing, drawn};
use kentledge::scenario::Scenario;
use kentledge::solve;
use kentledge::tasks::reach::{Reached, reach};

use super::no_plan;
use crate::request::{Form, Options, Whom};
use crate::streams::Streams;
use crate::waiting::patiently;
use crate::{Answer, Exit, Failure, Reading};

/// The region of each driver.
pub(crate) fn answer(
    reading: &Reading,
    whom: &Whom,
    form: Form,
    options: &Options,
    streams: &Streams,
    started: Instant,
) -> Result<Answer, Failure> {
    let followed = super::after::followed(reading, "reach", options, streams, started)?;
    let scenario = &followed.now;
    let drivers = match whom {
        Whom::One(name) => vec![reading.driver(name.as_deref(), "reach", options, started)?],
        Whom::All if scenario.drivers().is_empty() => vec![None],
        Whom::All => (0..scenario.drivers().len()).map(Some).collect(),
    };
    let found = patiently(streams, started, options.time, |patience| {
        let each = drivers.iter().enumerate().map(|(index, driver)| {
            let share = patience.part(1.0 / (drivers.len() - index) as f64);
            Ok((*driver, reach(scenario, *driver, share)?))
        });
        each.collect::<Result<Vec<_>, _>>()
    });
    let found = found.map_err(|disagreement| reading.disagreed(&disagreement, "reach", options, started))?;
    let mut exit = Exit::Good;
    for (_, reached) in &found {
        match reached {
            Reached::Region(_) => {}
            // The only one asked about: that is the answer.
            Reached::NoPlan(answer) if drivers.len() == 1 => {
                return Err(no_plan(reading, answer, "reach", "nothing is within reach", options, started));
            }
            Reached::NoPlan(answer) if matches!(**answer, solve::Answer::NoLegalPlan(_)) => {
                exit = Exit::NoLegalPlan;
            }
            Reached::NoPlan(_) | Reached::EngineFailed | Reached::OutOfTime => exit = Exit::NoAnswer,
        }
    }
    let reach = answer_of(scenario, &found);
    let laid_out = reading.form(options, "reach", started, exit);
    let page = |drawn: &[Drawn]| blocks::reach(&reach, drawn.first());
    let pictures = |_| (vec![drawn(&reach, "reach")], Some(drawing(&reach)));
    let answer = laid_out.answer(reach.status(), &reach, page, pictures)?;
    Ok(match form {
        Form::Drawing => Answer { shown: drawing(&reach), ..answer },
        Form::Report => answer,
    })
}

fn answer_of(scenario: &Scenario, found: &[(Option<usize>, Reached)]) -> Reach {
    let mut view = Reach::new(scenario);
    for (driver, reached) in found {
        match reached {
            Reached::Region(region) => view.add(scenario, *driver, region),
            Reached::NoPlan(answer) => {
                let sentence = match **answer {
                    solve::Answer::NoLegalPlan(_) => "no legal plan exists",
                    _ => "no legal plan was found in this time; a longer `--time` may find one",
                };
                view.add_without(scenario, *driver, sentence);
            }
            Reached::OutOfTime => {
                view.add_without(
                    scenario,
                    *driver,
                    "the corners of what is within reach were not found in this time; a longer `--time` may find them",
                );
            }
            Reached::EngineFailed => {
                view.add_without(scenario, *driver, "the linear programs of the region had no answer");
            }
        }
    }
    view
}
