//! `reach`: which front % and left % the lead on these mounts can reach, for one driver or for all.
//! Takes a scenario that was read, whom it is about and the form of the answer; gives it with its exit code.
//! Does not solve, lay out or draw.

use std::time::Instant;

use kentledge::report::amount::Screen;
use kentledge::report::reach::ReachView;
use kentledge::report::{json, reach_drawing, sheet, text};
use kentledge::scenario::Scenario;
use kentledge::solve;
use kentledge::tasks::reach::{Reached, reach, share};

use super::no_plan;
use crate::request::{Form, Options, Whom};
use crate::screen::columns;
use crate::streams::Streams;
use crate::typeset::Typeset;
use crate::{Answer, Exit, Failure, Reading, patiently};

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
    let mut exit = Exit::Good;
    let mut found = Vec::new();
    let all = patiently(streams, options.time, |patience| {
        // The time is for all drivers; what one leaves over is for the others.
        let among = (1..=drivers.len() as u32).rev();
        let each = drivers.iter().zip(among);
        each.map(|(driver, among)| reach(scenario, *driver, share(patience, among)))
            .collect::<Result<Vec<_>, _>>()
    });
    let all = all.map_err(|disagreement| reading.disagreed(&disagreement, "reach", options, started))?;
    for (driver, reached) in drivers.iter().zip(all) {
        match &reached {
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
        found.push((*driver, reached));
    }
    let view = view_of(reading.screen(options), scenario, &found);
    let shown = match form {
        Form::Drawing => reach_drawing::drawing(&view),
        Form::Report if options.json => json::reach(&view, reading.frame(options, "reach", started)),
        Form::Report => text::reach(&view, columns()),
    };
    let typeset = Typeset::of(options, || {
        // A sheet is for people, whatever the screen was asked to show.
        let view = view_of(Screen { units: reading.units(options) }, scenario, &found);
        (sheet::reach(&view, &reading.imprint), Some(reach_drawing::drawing(&view)))
    })?;
    Ok(Answer { shown, exit, typeset })
}

fn view_of(screen: Screen, scenario: &Scenario, found: &[(Option<usize>, Reached)]) -> ReachView {
    let mut view = ReachView::new(screen, scenario);
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
