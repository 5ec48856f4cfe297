//! What a search learns when it takes long: in which directions it should have bounded.
//! Knows no solver; a price may be wrong and the search stays exact.

use super::Limits;
use crate::model::TargetRow;

/// Which sum over the targets is to be bounded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Balance {
    /// Kilograms outside the tolerances.
    Targets,
    /// Kilograms from the targets.
    Close,
}

impl Balance {
    /// What a target is over and under without lead, ng.
    pub fn rests_ng(self, target: &TargetRow) -> (i64, i64) {
        match self {
            Balance::Targets => (target.ends.outside_over_ng, target.ends.outside_under_ng),
            Balance::Close => (target.ends.close_over_ng, target.ends.close_under_ng),
        }
    }
}

/// A sum over the targets, at the settings of the search.
#[derive(Clone, Debug, PartialEq)]
pub struct BoundedSum {
    pub balance: Balance,
    /// What each target is over and under without lead, ng.
    pub rests_ng: Vec<(i64, i64)>,
    /// The most that it may be, ng.
    pub most_ng: i64,
}

impl BoundedSum {
    /// None if there is no limit.
    pub(super) fn new(balance: Balance, targets: &[TargetRow], most_ng: i64) -> Option<BoundedSum> {
        let rests_ng = || targets.iter().map(|target| balance.rests_ng(target)).collect();
        (most_ng < Limits::FREE).then(|| BoundedSum { balance, rests_ng: rests_ng(), most_ng })
    }
}

/// A part of the search: some pieces are placed, the others are still in hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Subproblem {
    /// What is to be bounded.
    pub bounded: BoundedSum,
    /// What is limited besides.
    pub held: Option<BoundedSum>,
    /// Sum of gains of the pieces that are placed, by target, ng.
    pub x_ng: Vec<i64>,
    /// What they add to the half-width of each tolerance, ng.
    pub tau_ng: Vec<i64>,
    /// What each mount can still take, ng.
    pub free_ng: Vec<i64>,
    /// Least lead that is still to be placed, ng.
    pub least_ng: i64,
    /// Most lead that may still be placed, ng.
    pub most_ng: i64,
}

/// Finds the direction in which a subproblem is bounded best.
pub trait Pricing {
    /// One number from −1 to 1 per target; none if there is nothing to gain or no answer.
    ///
    /// The search is exact whatever comes back: directions are a matter of speed.
    fn direction(&self, subproblem: &Subproblem) -> Option<Vec<f64>>;
}

/// Subproblems kept for every depth; the first, the second, the fourth node and so on.
const MOST_PER_DEPTH: u32 = 8;

/// Depths at which subproblems are kept; deeper ones are too special to teach anything.
const MOST_DEPTH: usize = 6;

/// Subproblems met, spread over the depths.
#[derive(Clone, Debug, Default)]
pub(super) struct PricingRound {
    visits: [u32; MOST_DEPTH + 1],
    pub(super) subproblems: Vec<Subproblem>,
}

impl PricingRound {
    /// Counts a node of this depth; says whether its subproblem is to be kept.
    pub(super) fn counts(&mut self, depth: usize) -> bool {
        let Some(visits) = self.visits.get_mut(depth) else { return false };
        *visits += 1;
        visits.is_power_of_two() && *visits < 1 << MOST_PER_DEPTH
    }
}
