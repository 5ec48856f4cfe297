//! `swap`: several drivers on one kart, a common base and the least work at each change of driver.
//! Takes a scenario that was read and the names of the stints; gives the set-up, or one sentence that says why there is none.
//! Does not search and does not lay anything out.

use std::time::Instant;

use kentledge::diagnosis::{Diagnosis, Fault};
use kentledge::report::amount::Screen;
use kentledge::report::ground::GroundView;
use kentledge::report::swap::SwapView;
use kentledge::report::team_help::TeamHelpLines;
use kentledge::report::{drawing, json, sheet, text};
use kentledge::scenario::{Lever, Scenario};
use kentledge::tasks::swap::{self, stints};
use kentledge::tasks::team_help::team_would_help;

use crate::request::{Options, Refusal};
use crate::screen::columns;
use crate::streams::Streams;
use crate::typeset::Typeset;
use crate::waiting::patiently;
use crate::{Answer, Exit, Failure, Reading};

/// The set-up for the stints named, or for those of the file.
pub(crate) fn answer(
    reading: &Reading,
    names: &[String],
    options: &Options,
    streams: &Streams,
    started: Instant,
) -> Result<Answer, Failure> {
    let followed = super::after::followed(reading, "swap", options, streams, started)?;
    let scenario = &followed.now;
    let named = names.iter().map(|name| scenario.driver_called(name));
    let named = named.collect::<Result<Vec<usize>, _>>();
    let named = named.map_err(|fault| Failure::Refused(Refusal::of_fault(&fault)))?;
    let order = stints(scenario, &named).map_err(|fault| {
        let in_the_file = match fault {
            Fault::TooManyWays { .. } => Some(place_of_quick_adjusters(scenario)),
            _ => names.is_empty().then_some("drivers"),
        };
        match in_the_file {
            Some(key) => {
                let place = reading.document.place_of(key);
                let faults = [Diagnosis { kind: fault, place }];
                Failure::Trouble(reading.wrong(&faults, "swap", options, started))
            }
            None => Failure::Refused(Refusal::of_fault(&fault)),
        }
    })?;
    let found = patiently(streams, started, options.time, |patience| {
        let found = swap::swap(scenario, &order, patience)?;
        let helps = team_would_help(scenario, &order, &found, patience)?;
        Ok((found, helps))
    });
    let (found, helps) =
        found.map_err(|disagreement| reading.disagreed(&disagreement, "swap", options, started))?;
    let view_in = |screen: Screen| {
        let help = helps.as_ref().map(|helps| TeamHelpLines::new(screen, scenario, helps));
        SwapView::new(screen, scenario, &order, &found).with_help(help)
    };
    let view = view_in(reading.screen(options));
    let exit = Exit::of(view.status, view.all_in_band());
    let shown = if options.json {
        json::swap(&view, reading.frame(options, "swap", started))
    } else {
        text::swap(&view, columns())
    };
    let typeset = Typeset::of(options, || {
        // A sheet is for people, whatever the screen was asked to show.
        let screen = Screen { units: reading.units(options) };
        let grounds = match &found {
            swap::Answer::Setup(setup) => GroundView::of_swap(screen, scenario, setup),
            swap::Answer::NotEvenAlone { driver, .. } => {
                vec![GroundView::of_now(screen, scenario, Some(*driver))]
            }
            swap::Answer::NoCommonBase(_) | swap::Answer::OutOfTime => {
                vec![GroundView::of_now(screen, scenario, order.first().copied())]
            }
        };
        let view = view_in(screen);
        (sheet::swap(&view, &grounds, &reading.imprint), Some(drawing::drawings(&grounds)))
    })?;
    Ok(Answer { shown, exit, typeset })
}

/// The setting of a file under which its quick adjusters stand.
fn place_of_quick_adjusters(scenario: &Scenario) -> &'static str {
    let on_the_kart = |lever: Lever| matches!(lever, Lever::Seat | Lever::Spindle { .. });
    let quick = scenario.adjusters().iter().filter(|adjuster| adjuster.quick);
    if quick.into_iter().all(|adjuster| on_the_kart(adjuster.lever)) { "kart" } else { "adjusters" }
}
