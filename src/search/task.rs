//! One goal, and what a search may use up for it.

use super::{Found, Guard, Limits, Objective};

/// A goal, and within what it is to be reached.
#[derive(Clone, Copy)]
pub(super) struct Task<'g> {
    pub(super) objective: Objective,
    pub(super) limits: Limits,
    pub(super) resolution: i64,
    pub(super) guard: &'g Guard<'g>,
}

impl Task<'_> {
    pub(super) fn value(&self, found: Option<&Found>) -> Option<i64> {
        found.map(|found| self.objective.of(&found.values))
    }

    /// The largest value worth asking for: a plan that is better by no more than the resolution is not.
    pub(super) fn worth(&self, known: Option<i64>) -> i64 {
        known.map_or(self.objective.ceiling(&self.limits), |known| known - self.resolution - 1)
    }

    /// The limits, with none that allows a larger value.
    pub(super) fn limits_at(&self, most: i64) -> Limits {
        let mut limits = self.limits;
        self.objective.limit(&mut limits, most);
        limits
    }

    /// Whether a bound leaves nothing to look for.
    pub(super) fn is_proved(&self, known: Option<i64>, bound: i64) -> bool {
        known.map_or(bound > self.objective.ceiling(&self.limits), |known| known - bound <= self.resolution)
    }

    /// Keeps a plan if it is better than the best.
    pub(super) fn keep(&self, best: &mut Option<Found>, found: Found) {
        let value = self.value(Some(&found));
        if best.is_none() || value < self.value(best.as_ref()) {
            *best = Some(found);
        }
    }
}
