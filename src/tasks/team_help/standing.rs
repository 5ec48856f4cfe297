//! How a team, or a part of it, stands: what its drivers carry beyond their own minimum, and miss.

use std::cmp::Ordering;

use super::WORTH_KG;
use crate::goal::Goal;
use crate::plan::{Measured, Plan};
use crate::solve::{GoalResult, Solved};
use crate::tasks::swap::Swap;
use crate::units::Mass;

/// The lightest legal total of each driver alone, ng, in the order of the team.
pub(super) type Own = Vec<(usize, i64)>;

/// How drivers stand on a set-up.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Standing {
    /// The most that any of them carries beyond his own lightest legal total, kg.
    pub beyond_kg: f64,
    /// Kilograms outside the tolerances of whoever is farthest outside, with the targets' weights.
    pub outside_kg: f64,
    /// Drivers who are not on every target.
    pub off_target: usize,
    /// Changes over all stops.
    pub changes: i64,
    /// Stops over which they are counted.
    pub stops: usize,
    /// Whether every goal was proved.
    pub proved: bool,
    /// The most that later goals may make of `beyond_kg`, kg.
    may_beyond_kg: f64,
    /// Where it was not: somebody carries at least so much beyond his own lightest legal total, kg.
    least_beyond_kg: f64,
    /// And somebody is at least so far outside the tolerances, kg.
    least_outside_kg: f64,
}

/// What a set-up is better in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Gain {
    /// There was none.
    AnySetup,
    In(Goal),
}

impl Gain {
    pub(super) fn goal(self) -> Option<Goal> {
        match self {
            Gain::AnySetup => None,
            Gain::In(goal) => Some(goal),
        }
    }
}

impl Standing {
    /// Of everybody on a set-up, or of everybody but one; the changes are always those of all stops.
    pub(super) fn of_swap(swap: &Swap, own: &Own, but: Option<usize>) -> Standing {
        let others = swap.plans.iter().map(Plan::measured);
        let others = others.filter(|measured| but.is_none_or(|but| measured.driver != Some(but)));
        let standing = Standing::of(others, own);
        // Beyond what each misses alone is no more than what he misses.
        Standing {
            changes: swap.values.work,
            stops: swap.order.len().saturating_sub(1),
            proved: swap.is_best_possible(),
            least_beyond_kg: bound_kg(swap, Goal::Legal),
            least_outside_kg: bound_kg(swap, Goal::Targets),
            ..standing
        }
    }

    /// Of one driver alone.
    pub(super) fn of_alone(solved: &Solved, own: &Own) -> Standing {
        Standing {
            proved: solved.is_best_possible(),
            ..Standing::of(std::iter::once(solved.plan.measured()), own)
        }
    }

    fn of<'m>(plans: impl Iterator<Item = &'m Measured>, own: &Own) -> Standing {
        let mut standing = Standing::default();
        for measured in plans {
            let own = own.iter().find(|(driver, _)| measured.driver == Some(*driver));
            let beyond = own.map_or(0.0, |(_, own_ng)| (measured.worth.total - Mass::from_ng(*own_ng)).kg());
            standing.beyond_kg = standing.beyond_kg.max(beyond);
            standing.outside_kg = standing.outside_kg.max(measured.worth.outside_kg);
            standing.off_target += usize::from(!measured.all_on_target());
        }
        Standing { may_beyond_kg: standing.beyond_kg, ..standing }
    }

    /// Kilograms beyond what everybody may carry anyway.
    fn too_heavy_kg(&self, spare_kg: f64) -> f64 {
        (self.beyond_kg - spare_kg).max(0.0)
    }

    /// Whether somebody is worse off than a driver should be.
    pub(super) fn is_amiss(&self, spare_kg: f64) -> bool {
        self.too_heavy_kg(spare_kg) >= WORTH_KG || self.off_target > 0
    }

    /// Whether this is better than another by so much that it is worth a word, and in what.
    pub(super) fn gain_over(&self, before: Option<&Standing>, spare_kg: f64) -> Option<Gain> {
        let Some(before) = before else { return Some(Gain::AnySetup) };
        if self.is_lighter_than(before, spare_kg) {
            return Some(Gain::In(Goal::Legal));
        }
        // A gain in balance that is paid for in weight is none.
        let heavier = self.too_heavy_kg(spare_kg) - before.too_heavy_kg(spare_kg) >= WORTH_KG;
        (!heavier && self.is_nearer_than(before)).then_some(Gain::In(Goal::Targets))
    }

    /// What no set-up could beat: the set-up itself where that was proved.
    fn at_least(&self) -> Standing {
        if self.proved {
            return *self;
        }
        Standing {
            beyond_kg: self.beyond_kg.min(self.least_beyond_kg),
            outside_kg: self.outside_kg.min(self.least_outside_kg),
            ..*self
        }
    }

    /// The same where only the first goals have been solved: later ones will use what `legal` allows, and no more.
    pub(super) fn so_far(self, swap: &Swap) -> Standing {
        let legal = swap.goals.iter().find(|result| result.goal == Goal::Legal);
        let kg = |of: fn(&GoalResult) -> i64| legal.map_or(0.0, |legal| Mass::from_ng(of(legal)).kg());
        Standing { beyond_kg: kg(|legal| legal.value), may_beyond_kg: kg(|legal| legal.held_at), ..self }
    }

    /// Whether nobody carries as much as somebody certainly does there.
    pub(super) fn is_lighter_than(&self, other: &Standing, spare_kg: f64) -> bool {
        other.at_least().too_heavy_kg(spare_kg) - self.too_heavy_kg(spare_kg) >= WORTH_KG
    }

    /// Whether everybody is nearer to the tolerances than somebody certainly is there.
    pub(super) fn is_nearer_than(&self, other: &Standing) -> bool {
        other.at_least().outside_kg - self.outside_kg >= WORTH_KG
    }

    /// Whether nothing of a gain is lost against another, to what is worth a word.
    pub(super) fn does_as_much_as(&self, most: &Standing, spare_kg: f64) -> bool {
        let may_be = |one: &Standing| (one.may_beyond_kg - spare_kg).max(0.0);
        may_be(self) < may_be(most) + WORTH_KG
            && self.outside_kg < most.outside_kg + WORTH_KG
            && self.off_target <= most.off_target
    }

    /// Better ones first: weight, then balance, then changes.
    pub(super) fn compared(&self, other: &Standing, spare_kg: f64) -> Ordering {
        let in_steps = |kg: f64| (kg / WORTH_KG).round() as i64;
        let key = |one: &Standing| {
            (in_steps(one.too_heavy_kg(spare_kg)), in_steps(one.outside_kg), one.off_target, one.changes)
        };
        key(self).cmp(&key(other))
    }
}

/// What no set-up could beat in a goal, kg.
pub(super) fn bound_kg(swap: &Swap, goal: Goal) -> f64 {
    let known = swap.goals.iter().find(|result| result.goal == goal);
    known.map_or(0.0, |result| Mass::from_ng(result.bound).kg())
}
