//! What is made small, and within what.
//! Chooses no limits: goals and thresholds do.

use std::cmp::Reverse;

use super::depth_first::DepthFirst;
use super::{Found, Guard, Search};
use crate::counts::Counts;
use crate::goal::Goal;
use crate::model::{Model, Values};

/// Ranges that a plan's values must keep to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Least total, ng.
    pub least_mass_ng: i64,
    /// Most total, ng.
    pub most_mass_ng: i64,
    /// Most outside the tolerances, ng.
    pub outside_ng: i64,
    /// Most changes.
    pub work: i64,
    /// Most distance from the targets, ng.
    pub close_ng: i64,
}

impl Limits {
    /// "No limit": far above any value, far enough from overflow to be added to.
    pub const FREE: i64 = i64::MAX / 4;

    /// None on any value.
    pub const NONE: Limits = Limits {
        least_mass_ng: -Limits::FREE,
        most_mass_ng: Limits::FREE,
        outside_ng: Limits::FREE,
        work: Limits::FREE,
        close_ng: Limits::FREE,
    };

    /// Every legal plan, and no other.
    pub fn legal(model: &Model) -> Limits {
        Limits { least_mass_ng: model.required_ng, ..Limits::NONE }
    }

    /// Whether everything within other limits is within these.
    pub(super) fn cover(&self, other: &Limits) -> bool {
        self.least_mass_ng <= other.least_mass_ng
            && self.most_mass_ng >= other.most_mass_ng
            && self.outside_ng >= other.outside_ng
            && self.work >= other.work
            && self.close_ng >= other.close_ng
    }

    /// Whether values keep to the limits.
    pub fn hold(&self, values: &Values) -> bool {
        (self.least_mass_ng..=self.most_mass_ng).contains(&values.mass_ng)
            && values.outside_ng <= self.outside_ng
            && values.work <= self.work
            && values.close_ng <= self.close_ng
    }
}

/// What is made small.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Objective {
    /// Total mass.
    Mass,
    /// Kilograms outside the tolerances.
    Targets,
    /// Changes from what is fitted.
    Work,
    /// Kilograms from the targets.
    Close,
    /// Minus the total mass: the heaviest plan, where no legal one exists.
    Lift,
}

impl From<Goal> for Objective {
    fn from(goal: Goal) -> Objective {
        match goal {
            Goal::Legal | Goal::Light => Objective::Mass,
            Goal::Targets => Objective::Targets,
            Goal::Work => Objective::Work,
            Goal::Close => Objective::Close,
        }
    }
}

impl Objective {
    /// Its value in a plan.
    pub fn of(self, values: &Values) -> i64 {
        match self {
            Objective::Mass => values.mass_ng,
            Objective::Targets => values.outside_ng,
            Objective::Work => values.work,
            Objective::Close => values.close_ng,
            Objective::Lift => -values.mass_ng,
        }
    }

    /// Sets the limit that allows values up to `most` and no more; one that is tighter already stays.
    pub fn limit(self, limits: &mut Limits, most: i64) {
        match self {
            Objective::Mass => limits.most_mass_ng = limits.most_mass_ng.min(most),
            Objective::Targets => limits.outside_ng = limits.outside_ng.min(most),
            Objective::Work => limits.work = limits.work.min(most),
            Objective::Close => limits.close_ng = limits.close_ng.min(most),
            Objective::Lift => limits.least_mass_ng = limits.least_mass_ng.max(-most),
        }
    }

    /// The largest value that the limits allow.
    pub(super) fn ceiling(self, limits: &Limits) -> i64 {
        match self {
            Objective::Mass => limits.most_mass_ng,
            Objective::Targets => limits.outside_ng,
            Objective::Work => limits.work,
            Objective::Close => limits.close_ng,
            Objective::Lift => -limits.least_mass_ng,
        }
    }
}

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
