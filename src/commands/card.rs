//! `card`: the tuning card around today's plan.
//! Takes a scenario that was read, the driver and the grid; gives the card with its exit code, or why there is none.
//! Does not solve and does not lay anything out.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Instant;

use kentledge::answer::card;
use kentledge::blocks::{self, Listed};
use kentledge::drawing::amount::Screen;
use kentledge::drawing::drawn;
use kentledge::drawing::ground::GroundView;
use kentledge::solve::{self, Solved};
use kentledge::tasks::{
    self,
    card::{Card, Grid},
};

use super::no_plan;
use crate::request::Options;
use crate::streams::Streams;
use crate::waiting::patiently_telling;
use crate::{Answer, Exit, Failure, Reading};

/// The card.
pub(crate) fn answer(
    reading: &Reading,
    driver: Option<&str>,
    grid: Grid,
    listed: Listed,
    options: &Options,
    streams: &Streams,
    started: Instant,
) -> Result<Answer, Failure> {
    let followed = super::after::followed(reading, "card", options, streams, started)?;
    let scenario = &followed.now;
    let driver = reading.driver(driver, "card", options, started)?;
    let (done, all) = (AtomicUsize::new(0), grid.cells());
    let progress = || {
        let done = done.load(Ordering::Relaxed);
        format!("{done} of {all} cells are done; Ctrl-C shows the card as far as it is known\n")
    };
    let found = patiently_telling(streams, started, options.time, progress, |patience| {
        let answer = solve::solve(scenario, driver, patience)?;
        let cells: Option<(Solved, Card)> = match &answer {
            solve::Answer::Plan(solved) => {
                let card = tasks::card::card(scenario, driver, solved, grid, patience, &done)?;
                Some((solved.clone(), card))
            }
            solve::Answer::NoLegalPlan(_) | solve::Answer::OutOfTime => None,
        };
        Ok((answer, cells))
    });
    let (answer, cells) =
        found.map_err(|disagreement| reading.disagreed(&disagreement, "card", options, started))?;
    let Some((solved, card)) = cells else {
        return Err(no_plan(reading, &answer, "card", "there is nothing to tune from", options, started));
    };
    let card = card::Card::new(scenario, driver, &solved, &card);
    let exit = if card.on_target { Exit::Good } else { Exit::OffTarget };
    let form = reading.form(options, "card", started, exit);
    Ok(form.answer(
        card.status.words(),
        &card,
        |drawn| blocks::card(&card, listed, drawn.first()),
        |units| {
            let ground = GroundView::of_plan(Screen { units }, scenario, solved.plan.measured());
            (vec![drawn(&ground, "card")], None)
        },
    )?)
}
