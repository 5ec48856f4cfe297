//! `reach`: which front % and left % the lead on these mounts can reach, for one driver or for all.
//! Takes a scenario that was read, whom it is about and the form of the answer; gives it with its exit code.
//! Does not solve, lay out or draw.

use std::time::Instant;

use kentledge::report::reach::ReachView;
use kentledge::report::{json, reach_drawing, text};
use kentledge::solve;
use kentledge::tasks::reach::{Reached, reach};

use super::no_plan;
use crate::request::{Form, Options, Whom};
use crate::streams::{Streams, columns};
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
    let mut view = ReachView::new(reading.screen(options), scenario);
    let mut exit = Exit::Good;
    for driver in &drivers {
        let found = patiently(streams, options.time, |patience| reach(scenario, *driver, patience));
        let found =
            found.map_err(|disagreement| reading.disagreed(&disagreement, "reach", options, started))?;
        match found {
            Reached::Region(region) => view.add(scenario, *driver, &region),
            // The only one asked about: that is the answer.
            Reached::NoPlan(answer) if drivers.len() == 1 => {
                return Err(no_plan(reading, &answer, "reach", "nothing is within reach", options, started));
            }
            Reached::NoPlan(answer) => {
                let (sentence, worse) = match *answer {
                    solve::Answer::NoLegalPlan(_) => ("no legal plan exists", Exit::NoLegalPlan),
                    _ => ("no legal plan was found in this time", Exit::NoAnswer),
                };
                view.add_without(scenario, *driver, sentence);
                exit = worse;
            }
            Reached::EngineFailed => {
                view.add_without(scenario, *driver, "the linear programs of the region had no answer");
                exit = Exit::NoAnswer;
            }
        }
    }
    let shown = match form {
        Form::Drawing => reach_drawing::drawing(&view),
        Form::Report if options.json => json::reach(&view, reading.frame(options, "reach", started)),
        Form::Report => text::reach(&view, columns()),
    };
    Ok(Answer::new(shown, exit))
}
