//! `card`: the tuning card around today's plan.

use std::sync::atomic::{AtomicUsize, Ordering};

use kentledge::answer::card;
use kentledge::blocks::{self, Listed};
use kentledge::drawing::drawn;
use kentledge::drawing::ground::GroundView;
use kentledge::solve;
use kentledge::tasks::card::{self as task, Grid};

use super::no_plan;
use crate::outcome::{Answer, Exit, Failure};
use crate::run::Reading;

/// The card.
pub(crate) fn answer(
    reading: &Reading,
    driver: Option<&str>,
    grid: Grid,
    listed: Listed,
) -> Result<Answer, Failure> {
    let scenario = &reading.scenario;
    let driver = reading.driver(driver)?;
    let (done, all) = (AtomicUsize::new(0), grid.cells());
    let progress = || {
        let done = done.load(Ordering::Relaxed);
        format!("{done} of {all} cells are done")
    };
    let found = reading.search_telling(progress, |patience| {
        Ok(match solve::solve(scenario, driver, patience)? {
            solve::Answer::Plan(solved) => {
                let card = task::card(scenario, driver, &solved, grid, patience, &done)?;
                Ok((solved, card))
            }
            none => Err(none),
        })
    });
    let (solved, card) = found?.map_err(|none| no_plan(reading, &none, "there is nothing to tune from"))?;
    let card = card::Card::new(scenario, driver, &solved, &card);
    let exit = if card.on_target { Exit::Good } else { Exit::OffTarget };
    let page = |drawn: &[_]| blocks::card(&card, listed, drawn.first());
    reading.form(exit).answer(card.status.words(), &card, page, |units| {
        let ground = GroundView::of_plan(units, scenario, solved.plan.measured());
        (vec![drawn(&ground, "card")], None)
    })
}
