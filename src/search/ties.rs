//! Among equals: the fewest pieces, then the order of the file.

use std::cmp::Reverse;

use super::depth_first::DepthFirst;
use super::{Found, Guard, Limits, Objective, Search};
use crate::counts::Counts;
use crate::goal::Goal;
use crate::model::{Model, Values};

/// Nodes for it: some hundredths of a millisecond. Small boxes are gone through to the end; where equals are too many for
/// that, the first of those that were met is taken, the same on every machine.
const MOST_NODES: u64 = 1 << 6;

/// All plans that equal one; the first of those that were met so far is kept.
pub(super) struct Ties {
    values: Values,
    first: Found,
}

impl Ties {
    /// Keeps a plan if it is an equal that comes before all others.
    pub(super) fn meet(&mut self, model: &Model, found: Found) {
        if rank(&found.counts) < rank(&self.first.counts) && are_equal(model, &found.values, &self.values) {
            self.first = found;
        }
    }
}

/// What comes first is smaller: fewer pieces, then more of an earlier kind on an earlier mount.
fn rank(counts: &Counts) -> (u32, Reverse<&[u32]>) {
    (counts.pieces().iter().sum(), Reverse(counts.pieces()))
}

/// Whether values differ by no more than their coefficients are rounded by.
fn are_equal(model: &Model, one: &Values, other: &Values) -> bool {
    Goal::ALL.into_iter().all(|goal| (one.of(goal) - other.of(goal)).abs() <= model.rounding(goal))
}

impl Search<'_> {
    /// The first of the equals of a plan that keep within the same limits.
    pub fn first_among_equals(&mut self, found: Found, limits: &Limits, guard: &Guard) -> Found {
        let settings = found.counts.settings();
        let Some(variant) = self.variants.all.iter().position(|variant| variant.settings == settings) else {
            return found;
        };
        self.activate(variant);
        let up_to = |goal: Goal| found.values.of(goal) + self.model.rounding(goal);
        let limits = Limits {
            least_mass_ng: found.values.mass_ng,
            most_mass_ng: found.values.mass_ng,
            outside_ng: limits.outside_ng.min(up_to(Goal::Targets)),
            work: found.values.work,
            close_ng: limits.close_ng.min(up_to(Goal::Close)),
        };
        let last_node = self.nodes.saturating_add(MOST_NODES).min(guard.last_node);
        let mut ties = Ties { values: found.values, first: found };
        let run = DepthFirst::new(self, Objective::Close, limits, 0, i64::MIN, last_node, guard);
        run.handing_to(&mut ties).run();
        ties.first
    }
}
