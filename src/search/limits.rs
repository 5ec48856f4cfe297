//! What is made small, and within what.
//! Chooses no limits: goals and thresholds do.

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
