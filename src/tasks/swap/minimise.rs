//! One goal of a team made small within limits on the others.
//! Takes a team; gives the best set-up found, and a bound that nothing can beat.
//! Does not know the order of the goals, nor the scenario.
//!
//! Thresholds rise from the bound: each asks for a set-up barely better than what is proved impossible, and a "no" raises
//! the bound. While any number of changes is allowed, few are tried first, as nearly every good set-up has few; the proof
//! that there is none goes base by base.

use super::base::{self, Base};
use super::edges::{Edges, most_changes};
use super::handover::Moves;
use super::overlap::pair_bound_ng;
use super::relay::{Relay, Run};
use super::team::Team;
use super::{TeamFound, TeamLimits};
use crate::search::{End, Guard, Limits, Objective};

/// Handovers beyond the fewest with which a set-up is looked for from driver to driver before bases are gone through.
const MORE_CHANGES: i64 = 3;

/// Changes at each handover up to which that is tried.
const FEW_CHANGES: i64 = 4;

/// Varying parts that this may try where adjusters are quick: every way to set them is another, and most are in vain.
const MOST_LEAVES: u64 = 1 << 9;

/// What one goal came to.
#[derive(Clone, Debug)]
pub(super) struct TeamOutcome {
    /// The best set-up within the limits; none if none was found.
    pub(super) best: Option<TeamFound>,
    /// No set-up within the limits has a smaller value.
    pub(super) bound: i64,
    /// What ended the search.
    pub(super) end: End,
}

/// The fewest changes that each edge needs, each for itself.
enum Fewest {
    /// By edge.
    Of(Vec<usize>),
    /// Together they need more than was asked about.
    TooMany,
    /// The guard ended it.
    Stopped,
}

/// A search over one team.
pub(super) struct TeamSearch<'t> {
    team: &'t Team,
    moves: Moves,
    /// Varying parts completed or refuted so far.
    pub(super) leaves: u64,
}

impl<'t> TeamSearch<'t> {
    /// Prepares the moves.
    pub(super) fn new(team: &'t Team) -> TeamSearch<'t> {
        TeamSearch { team, moves: Moves::new(team), leaves: 0 }
    }

    /// Makes `objective` small within `limits`, until the best set-up is within `resolution` of a proved bound. `start` is
    /// a set-up within the limits, if one is known. For `Mass` the value is the excess over each driver's own minimum.
    pub(super) fn minimise(
        &mut self,
        objective: Objective,
        limits: TeamLimits,
        resolution: i64,
        start: Option<TeamFound>,
        guard: &Guard,
    ) -> TeamOutcome {
        let mut best = start;
        let mut bound = pair_bound_ng(self.team, &self.moves, objective, &limits);
        if objective == Objective::Work {
            match self.fewest(&limits, limits.work, guard) {
                Fewest::Of(fewest) => bound = bound.max(self.needed(&fewest)),
                Fewest::TooMany => return TeamOutcome { best, bound, end: End::Proved },
                Fewest::Stopped => return TeamOutcome { best, bound, end: End::Stopped },
            }
        }
        let mut step = resolution;
        loop {
            let value = best.as_ref().map(|found| found.values.of(objective));
            if value.is_some_and(|value| value - bound <= resolution) {
                return TeamOutcome { best, bound, end: End::Proved };
            }
            let ceiling = limits.of(objective);
            // A set-up that is better by no more than the resolution is not worth asking for.
            let worth = value.map_or(ceiling, |value| value - resolution - 1);
            let halfway = value.map_or(Limits::FREE, |value| bound + (value - bound) / 2);
            let most =
                worth.min(bound.saturating_add(step)).min(halfway.max(bound.saturating_add(resolution)));
            let fineness =
                if objective == Objective::Work { Limits::FREE } else { resolution.max(most - bound) };
            match self.ask(objective, limits.with(objective, most), fineness, guard) {
                Run::Found(found) => best = Some(found),
                Run::Stopped | Run::GaveUp => return TeamOutcome { best, bound, end: End::Stopped },
                Run::Exhausted => {
                    bound = bound.max(most.saturating_add(1));
                    // Numbers of changes are refuted one by one: each is much harder than the one before.
                    step = if objective == Objective::Work { step } else { step.max(1).saturating_mul(2) };
                    if best.is_none() && most >= ceiling {
                        return TeamOutcome { best, bound, end: End::Proved };
                    }
                }
            }
        }
    }

    /// Any set-up within limits.
    fn ask(&mut self, objective: Objective, limits: TeamLimits, fineness: i64, guard: &Guard) -> Run {
        // A set-up of few changes serves the goal at hand, whichever it is.
        let own = if objective == Objective::Work { Objective::Band } else { objective };
        if limits.work < Limits::FREE {
            return match self.fewest(&limits, limits.work, guard) {
                Fewest::Of(fewest) => self.along_the_drivers(own, limits, fineness, &fewest, guard, u64::MAX),
                Fewest::TooMany => Run::Exhausted,
                Fewest::Stopped => Run::Stopped,
            };
        }
        // No set-up has more changes: where these are few, nothing is left that bases could tell.
        let every = self.most_changes();
        let few = FEW_CHANGES * self.team.stops();
        match self.fewest(&limits, few, guard) {
            Fewest::Of(fewest) => {
                let needed = self.needed(&fewest);
                let most = every.min(needed + MORE_CHANGES);
                let mut leaves = if self.team.settings.len() > 1 { MOST_LEAVES } else { u64::MAX };
                for work in needed..=most {
                    let few = TeamLimits { work, ..limits };
                    let before = self.leaves;
                    match self.along_the_drivers(own, few, fineness, &fewest, guard, leaves) {
                        Run::Exhausted => {}
                        Run::GaveUp => {
                            leaves = 0;
                            break;
                        }
                        end => return end,
                    }
                    leaves = leaves.saturating_sub(self.leaves - before);
                }
                if most == every && leaves > 0 {
                    return Run::Exhausted;
                }
            }
            Fewest::TooMany if every <= few => return Run::Exhausted,
            Fewest::TooMany => {}
            Fewest::Stopped => return Run::Stopped,
        }
        match base::find(self.team, limits, guard) {
            Base::Found(found) => Run::Found(found),
            Base::None => Run::Exhausted,
            Base::Stopped => Run::Stopped,
        }
    }

    fn along_the_drivers(
        &mut self,
        objective: Objective,
        limits: TeamLimits,
        fineness: i64,
        fewest: &[usize],
        guard: &Guard,
        most_leaves: u64,
    ) -> Run {
        let relay = Relay::new(self.team, &self.moves, fewest, objective, limits, fineness, guard);
        let mut relay = relay.up_to(most_leaves);
        let run = relay.run();
        self.leaves += relay.leaves;
        run
    }

    /// The fewest changes of every edge within the limits, as long as all of them together are no more than `most`.
    fn fewest(&self, limits: &TeamLimits, most: i64, guard: &Guard) -> Fewest {
        let every = most_changes(self.team, &self.moves);
        let mut left = most.min(self.most_changes());
        let mut fewest = Vec::new();
        let edges = Edges { team: self.team, moves: &self.moves, limits, guard };
        for edge in &self.team.edges {
            let most = (left / edge.times.max(1)).max(0) as usize;
            match edges.fewest_changes(edge, most.min(every)) {
                None => return Fewest::Stopped,
                Some(changes) => {
                    left -= edge.times * changes as i64;
                    fewest.push(changes);
                }
            }
            if left < 0 || fewest.last().is_some_and(|last| *last > every) {
                return Fewest::TooMany;
            }
        }
        Fewest::Of(fewest)
    }

    /// No set-up has more changes.
    fn most_changes(&self) -> i64 {
        most_changes(self.team, &self.moves) as i64 * self.team.stops()
    }

    fn needed(&self, fewest: &[usize]) -> i64 {
        self.team.edges.iter().zip(fewest).map(|(edge, fewest)| edge.times * *fewest as i64).sum()
    }
}
