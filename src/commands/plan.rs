//! `plan`: where which piece of lead goes, on the screen, as a document, as a sheet.
//! Takes a scenario that was read and the driver; gives the plan with what would help it, or why there is none.
//! Does not search and does not lay anything out.

use std::time::Instant;

use kentledge::report::alternatives::AlternativeLines;
use kentledge::report::amount::Screen;
use kentledge::report::ground::GroundView;
use kentledge::report::help::HelpLines;
use kentledge::report::plan::PlanView;
use kentledge::report::{drawing, json, sheet, text};
use kentledge::scenario::{Freedom, Scenario};
use kentledge::solve::{self, Disagreement, Patience};
use kentledge::tasks::alternatives::{Alternatives, alternatives};
use kentledge::tasks::help::{self, Helps, Remedies};

use crate::request::{Options, Refusal};
use crate::screen::columns;
use crate::streams::Streams;
use crate::typeset::Typeset;
use crate::waiting::patiently;
use crate::{Answer, Exit, Failure, Reading};

/// What is asked for.
#[derive(Clone, Copy)]
pub(crate) struct Wish<'a> {
    /// The driver's name; none for today's.
    pub(crate) driver: Option<&'a str>,
    /// What may be changed, by name; everything if none is named.
    pub(crate) only: &'a [String],
    /// Plans of another kind, at most.
    pub(crate) alternatives: usize,
}

/// The plan, explained.
pub(crate) fn answer(
    reading: &Reading,
    wish: Wish,
    options: &Options,
    streams: &Streams,
    started: Instant,
) -> Result<Answer, Failure> {
    let followed = super::after::followed(reading, "plan", options, streams, started)?;
    let scenario = &followed.now;
    let driver = reading.driver(wish.driver, "plan", options, started)?;
    let freedom = match wish.only {
        [] => None,
        names => {
            let freedom = Freedom::only(scenario, names);
            Some(freedom.map_err(|fault| Failure::Refused(Refusal::of_fault(&fault)))?)
        }
    };
    let found = patiently(streams, started, options.time, |patience| {
        Explained::new(scenario, driver, freedom.as_ref(), wish.alternatives, patience)
    });
    let found = found.map_err(|disagreement| reading.disagreed(&disagreement, "plan", options, started))?;
    let view = found.view(reading.screen(options), scenario);
    let exit = Exit::of(view.status, view.all_in_band());
    let shown = if options.json {
        json::plan(&view, reading.frame(options, "plan", started))
    } else {
        text::plan(&view, columns())
    };
    let typeset = Typeset::of(options, || {
        // A sheet is for people, whatever the screen was asked to show.
        let screen = Screen { units: reading.units(options) };
        let ground = GroundView::of_answer(screen, scenario, driver, &found.answer);
        (
            sheet::plan(&found.view(screen, scenario), &ground, &reading.imprint),
            Some(drawing::drawing(&ground)),
        )
    })?;
    Ok(Answer { shown, exit, typeset })
}

/// A plan with what would help it, or its absence with what would cure that.
struct Explained {
    driver: Option<usize>,
    answer: solve::Answer,
    helps: Option<Helps>,
    remedies: Option<Remedies>,
    others: Option<Alternatives>,
}

impl Explained {
    fn new(
        scenario: &Scenario,
        driver: Option<usize>,
        only: Option<&Freedom>,
        most_alternatives: usize,
        patience: Patience,
    ) -> Result<Explained, Disagreement> {
        let answer = match only {
            None => solve::solve(scenario, driver, patience)?,
            Some(freedom) => solve::solve_within(scenario, driver, freedom, patience)?,
        };
        // What is asked for by name has the first claim on the time.
        let others = match &answer {
            solve::Answer::Plan(solved) if most_alternatives > 0 => {
                Some(alternatives(scenario, driver, solved, most_alternatives, patience)?)
            }
            _ => None,
        };
        let (helps, remedies) = match &answer {
            // What would help is asked of the whole kart; who wants only a part of it changed has said what is off the table.
            _ if only.is_some() => (None, None),
            solve::Answer::Plan(solved) => {
                (Some(help::would_help(scenario, driver, solved, patience)?), None)
            }
            solve::Answer::NoLegalPlan(_) => (None, Some(help::remedies(scenario, driver, patience)?)),
            solve::Answer::OutOfTime => (None, None),
        };
        Ok(Explained { driver, answer, helps, remedies, others })
    }

    /// What to show of it in the units of a screen.
    fn view(&self, screen: Screen, scenario: &Scenario) -> PlanView {
        let mut view = PlanView::new(screen, scenario, self.driver, &self.answer);
        if let Some(others) = &self.others {
            view = view.with_alternatives(AlternativeLines::new(screen, scenario, others));
        }
        match (&self.answer, &self.helps, &self.remedies) {
            (solve::Answer::Plan(solved), Some(helps), _) => {
                view.with_help(HelpLines::new(screen, scenario, solved.plan.measured(), helps))
            }
            (_, _, Some(remedies)) => view.with_help(HelpLines::of_remedies(screen, scenario, remedies)),
            _ => view,
        }
    }
}
