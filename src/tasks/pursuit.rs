//! Goals one after the other over one model, within limits that are already known: what variants of a plan are made of.
//! Does not judge; whoever asks hands the counts to the judge.

use crate::engine::DualPrices;
use crate::goal::Goal;
use crate::model::Model;
use crate::search::{End, Found, Guard, Limits, Objective, Search};
use crate::solve::{Judged, Patience, not_below};

/// A goal, and how near to its bound it is brought: ng, or changes for `work`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stage {
    pub(super) goal: Goal,
    pub(super) resolution: i64,
}

/// What came of it.
pub(super) enum Pursued {
    /// The best plan, every goal proved to its resolution.
    Best(Found),
    /// A plan; the search was stopped before all was proved.
    Good(Found),
    /// Proved: nothing keeps to the limits.
    Nothing,
    /// Stopped before anything was found.
    Unknown,
}

impl Pursued {
    /// The plan, if there is one.
    pub(super) fn found(self) -> Option<Found> {
        match self {
            Pursued::Best(found) | Pursued::Good(found) => Some(found),
            Pursued::Nothing | Pursued::Unknown => None,
        }
    }
}

/// The answer to a question that the search may leave open.
pub(super) enum Settled<T> {
    Yes(T),
    Never,
    Unknown,
}

/// Any plan within limits, however good: a question that is answered far sooner than which is best.
pub(super) fn any_plan(model: &Model, objective: Objective, limits: Limits, guard: &Guard) -> Settled<Found> {
    let prices = DualPrices::new(model);
    let outcome = Search::new(model, &prices).minimise(objective, limits, Limits::FREE, None, guard);
    match (outcome.best, outcome.end) {
        (Some(found), _) => Settled::Yes(found),
        (None, End::Proved) => Settled::Never,
        (None, End::Stopped) => Settled::Unknown,
    }
}

/// Solves the stages in order, each holding what the earlier ones have reached. `start` keeps to the limits.
///
/// Fails only if a goal ends below its bound.
pub(super) fn pursue(
    model: &Model,
    limits: Limits,
    stages: &[Stage],
    start: Option<Found>,
    patience: Patience,
    last_node: u64,
) -> Judged<Pursued> {
    // Pricing alone takes a moment, and there may be hundreds of variants to come.
    if patience.is_over() {
        return Ok(start.map_or(Pursued::Unknown, Pursued::Good));
    }
    let prices = DualPrices::new(model);
    let mut search = Search::new(model, &prices);
    let guard = Guard::new(patience).within_nodes(last_node);
    let (mut limits, mut best, mut is_proved) = (limits, start, true);
    for stage in stages {
        let outcome = search.minimise(stage.goal.into(), limits, stage.resolution, best.take(), &guard);
        let Some(found) = outcome.best else {
            return Ok(if outcome.end == End::Proved { Pursued::Nothing } else { Pursued::Unknown });
        };
        let value = found.values.of(stage.goal);
        not_below(stage.goal, value, outcome.bound)?;
        let at = match outcome.end {
            End::Proved => outcome.bound.saturating_add(stage.resolution),
            End::Stopped => value,
        };
        is_proved &= outcome.end == End::Proved;
        Objective::from(stage.goal).limit(&mut limits, at.saturating_add(model.rounding(stage.goal)));
        best = Some(found);
    }
    Ok(match best {
        Some(found) if is_proved => Pursued::Best(found),
        Some(found) => Pursued::Good(found),
        None => Pursued::Unknown,
    })
}
