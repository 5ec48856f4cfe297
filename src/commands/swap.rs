//! `swap`: several drivers on one kart, a common base and the least work at each change of driver.
//! Takes a scenario that was read and the names of the stints; gives the set-up, or one sentence that says why there is none.
//! Does not search and does not lay anything out.

use std::time::Instant;

use kentledge::answer::help::{eased, remedies};
use kentledge::answer::swap::Swap;
use kentledge::answer::team_help::{Cost, TeamHelp};
use kentledge::blocks;
use kentledge::diagnosis::{Diagnosis, Fault};
use kentledge::drawing::amount::Screen;
use kentledge::drawing::ground::GroundView;
use kentledge::drawing::{drawings, drawn};
use kentledge::scenario::{Lever, Scenario};
use kentledge::tasks::swap::{self, stints};
use kentledge::tasks::team_help::{TeamHelps, team_would_help};

use crate::request::{Options, Refusal};
use crate::streams::Streams;
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
    let mut swap = Swap::new(scenario, &order, &found);
    if let Some(helps) = &helps {
        add_help(&mut swap, scenario, helps);
    }
    let exit = Exit::of(swap.status, swap.on_target);
    let form = reading.form(options, "swap", started, exit);
    Ok(form.answer(
        swap.status.words(),
        &swap,
        |drawn| blocks::swap(&swap, drawn),
        |units| {
            let screen = Screen { units };
            let grounds = match &found {
                swap::Answer::Setup(setup) => GroundView::of_swap(screen, scenario, setup),
                swap::Answer::NotEvenAlone { driver, .. } => {
                    vec![GroundView::of_now(screen, scenario, Some(*driver))]
                }
                swap::Answer::NoCommonBase(_) | swap::Answer::OutOfTime => {
                    vec![GroundView::of_now(screen, scenario, order.first().copied())]
                }
            };
            let pictures =
                (1..).zip(&grounds).map(|(number, ground)| drawn(ground, &format!("driver-{number}")));
            (pictures.collect(), Some(drawings(&grounds)))
        },
    )?)
}

fn add_help(swap: &mut Swap, scenario: &Scenario, helps: &TeamHelps) {
    swap.costs = helps.costs.iter().map(|cost| Cost::new(scenario, cost)).collect();
    swap.would_help = Some(helps.worth.iter().map(|help| TeamHelp::new(scenario, help)).collect());
    swap.would_cure = helps.alone.as_ref().map(|cures| remedies(scenario, cures));
    let alone = helps.alone.iter().flat_map(|cures| eased(scenario, &cures.unsettled));
    swap.unsettled = eased(scenario, &helps.unsettled).into_iter().chain(alone).collect();
}

/// The setting of a file under which its quick adjusters stand.
fn place_of_quick_adjusters(scenario: &Scenario) -> &'static str {
    let on_the_kart = |lever: Lever| matches!(lever, Lever::Seat | Lever::Spindle { .. });
    let quick = scenario.adjusters().iter().filter(|adjuster| adjuster.quick);
    if quick.into_iter().all(|adjuster| on_the_kart(adjuster.lever)) { "kart" } else { "adjusters" }
}
