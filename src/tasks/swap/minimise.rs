//! One goal of a team made small within limits on the others.
//!
//! Thresholds rise from the bound: each asks for a set-up barely better than what is proved impossible, and a "no" raises
//! the bound. Where a higher one meets no more varying parts than the one before, a single pass from above ends it. While any
//! number of changes is allowed, two ways take turns, each with more each time: few changes, as nearly every good set-up has
//! few, and base by base, which alone proves that there is none.

use super::base;
use super::edges::{Edges, most_changes};
use super::handover::Moves;
use super::overlap::pair_bound_ng;
use super::relay::{Relay, Run, Wanted};
use super::team::Team;
use super::{TeamFound, TeamLimits};
use crate::search::{End, Guard, Limits, Objective};

/// Handovers beyond the fewest with which a set-up is looked for from driver to driver before bases are gone through.
const MORE_CHANGES: i64 = 3;

/// Changes at each handover up to which that is tried.
const FEW_CHANGES: i64 = 4;

/// Thresholds rise by no less at first, ng: where the resolution is nothing, a gram.
const LEAST_STEP_NG: i64 = 1_000_000_000;

/// So many times the varying parts that were met from below may be met from above.
const MORE_FROM_ABOVE: u64 = 4;

/// Varying parts that this may try at first, and as many more each time as bases have been gone through in vain as well: which of
/// the two ends sooner is not known before.
const FIRST_LEAVES: u64 = 1 << 6;

/// Varying parts that take as long as it takes to ask one driver about one base.
const LEAVES_PER_ASK: u64 = 4;

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
        let (told, guard) = (guard, &guard.silent());
        let mut best = start;
        let mut bound = pair_bound_ng(self.team, &self.moves, objective, &limits);
        if objective == Objective::Work {
            match self.fewest(&limits, limits.work, guard) {
                Ok(fewest) => bound = bound.max(self.needed(&fewest)),
                Err(Run::Exhausted) => return TeamOutcome { best, bound, end: End::Proved },
                Err(_) => return TeamOutcome { best, bound, end: End::Stopped },
            }
        }
        // Numbers of changes are refuted one by one: each is much harder than the one before.
        let by_one = objective == Objective::Work;
        let mut step = if by_one { resolution } else { resolution.max(LEAST_STEP_NG) };
        // Varying parts that the last "no" took, and those of the last two if they were as many.
        let (mut refused_by, mut again) = (0, 0);
        loop {
            let value = best.as_ref().map(|found| found.values.of(objective));
            told.tell(value, bound);
            if value.is_some_and(|value| value - bound <= resolution) {
                return TeamOutcome { best, bound, end: End::Proved };
            }
            let ceiling = limits.of(objective);
            // A set-up that is better by no more than the resolution is not worth asking for.
            let worth = value.map_or(ceiling, |value| value - resolution - 1);
            let halfway = value.map_or(Limits::FREE, |value| bound + (value - bound) / 2);
            let most =
                worth.min(bound.saturating_add(step)).min(halfway.max(bound.saturating_add(resolution)));
            // Where a higher threshold has met no more varying parts, hardly any are left: one pass from above tells them apart.
            let from_above = again > 0 && best.is_some();
            let (most, fineness, leaves) = if by_one {
                (most, Limits::FREE, u64::MAX)
            } else if from_above {
                (worth, resolution, MORE_FROM_ABOVE * std::mem::take(&mut again))
            } else {
                (most, resolution.max(most - bound), u64::MAX)
            };
            let before = self.leaves;
            // A set-up of few changes serves the goal at hand, whichever it is.
            let own = if by_one { Objective::Targets } else { objective };
            let (limits, enough) = (limits.with(objective, most), bound.saturating_add(fineness));
            match self.ask(Wanted { objective: own, limits, fineness, enough, guard }, leaves) {
                Run::Found(found) => best = Some(found),
                Run::Best(found) => {
                    bound = bound.max(found.values.of(objective) - fineness);
                    best = Some(found);
                }
                Run::GaveUp if from_above => {}
                Run::Stopped | Run::GaveUp => return TeamOutcome { best, bound, end: End::Stopped },
                Run::Exhausted => {
                    bound = bound.max(most.saturating_add(1));
                    if best.is_none() && most >= ceiling {
                        return TeamOutcome { best, bound, end: End::Proved };
                    }
                    if !by_one {
                        step = step.saturating_mul(2);
                        let leaves = self.leaves - before;
                        again = if limits.work < Limits::FREE && leaves == refused_by { leaves } else { 0 };
                        refused_by = leaves;
                    }
                }
            }
        }
    }

    /// A set-up within limits, of which none is better by more than the fineness or which is enough; with changes unlimited any
    /// at all.
    fn ask(&mut self, wanted: Wanted, most_leaves: u64) -> Run {
        let Wanted { limits, guard, .. } = wanted;
        if limits.work < Limits::FREE {
            return match self.fewest(&limits, limits.work, guard) {
                Ok(fewest) => self.along_the_drivers(wanted, &fewest, most_leaves),
                Err(end) => end,
            };
        }
        // No set-up has more changes: where these are few, nothing is left that bases could tell.
        let every = self.most_changes();
        let few = FEW_CHANGES * self.team.stops();
        let mut fewest = match self.fewest(&limits, few, guard) {
            Ok(fewest) => Some(fewest),
            Err(Run::Exhausted) if every > few => None,
            Err(end) => return end,
        };
        let mut leaves = FIRST_LEAVES;
        loop {
            if let Some(few) = &fewest {
                match self.with_few_changes(wanted, few, leaves) {
                    Run::GaveUp => {}
                    // All with few changes have been met, and there are others.
                    Run::Exhausted if self.needed(few) + MORE_CHANGES < every => fewest = None,
                    end => return end,
                }
            }
            let asks = if fewest.is_some() { leaves / LEAVES_PER_ASK } else { u64::MAX };
            match base::find(self.team, limits, asks, guard) {
                Run::GaveUp => leaves = leaves.saturating_mul(4),
                end => return end,
            }
        }
    }

    /// A set-up of hardly more changes than every edge needs for itself.
    fn with_few_changes(&mut self, wanted: Wanted, fewest: &[usize], most_leaves: u64) -> Run {
        let needed = self.needed(fewest);
        let most = self.most_changes().min(needed + MORE_CHANGES);
        let last = self.leaves.saturating_add(most_leaves);
        for work in needed..=most {
            let few = Wanted { limits: TeamLimits { work, ..wanted.limits }, ..wanted };
            let left = last.saturating_sub(self.leaves);
            match self.along_the_drivers(few, fewest, left) {
                Run::Exhausted => {}
                // More changes may do better.
                Run::Best(found) => return Run::Found(found),
                end => return end,
            }
        }
        Run::Exhausted
    }

    fn along_the_drivers(&mut self, wanted: Wanted, fewest: &[usize], most_leaves: u64) -> Run {
        let mut relay = Relay::new(self.team, &self.moves, fewest, wanted, most_leaves);
        let run = relay.run();
        self.leaves += relay.leaves;
        run
    }

    /// The fewest changes that each edge needs for itself, by edge; exhausted where together they are more than `most`.
    fn fewest(&self, limits: &TeamLimits, most: i64, guard: &Guard) -> Result<Vec<usize>, Run> {
        let every = most_changes(self.team, &self.moves);
        let mut left = most.min(self.most_changes());
        let mut fewest = Vec::new();
        let edges = Edges { team: self.team, moves: &self.moves, limits, guard };
        for edge in &self.team.edges {
            let most = (left / edge.times.max(1)).max(0) as usize;
            let changes = edges.fewest_changes(edge, most.min(every)).ok_or(Run::Stopped)?;
            left -= edge.times * changes as i64;
            if left < 0 || changes > every {
                return Err(Run::Exhausted);
            }
            fewest.push(changes);
        }
        Ok(fewest)
    }

    /// No set-up has more changes.
    fn most_changes(&self) -> i64 {
        most_changes(self.team, &self.moves) as i64 * self.team.stops()
    }

    fn needed(&self, fewest: &[usize]) -> i64 {
        self.team.edges.iter().zip(fewest).map(|(edge, fewest)| edge.times * *fewest as i64).sum()
    }
}
