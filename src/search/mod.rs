//! Exact search over whole pieces: one goal at a time, within limits on all the others.
//!
//! # What is enumerated
//!
//! A plan is written as moves away from what is fitted. A *place* is a mount or the box; a move takes one
//! piece from the place where it lies to another; equal pieces at one place are a *group*, and groups come
//! heaviest piece first (`layout`). A node is a set of moves. As it stands, with every other piece staying
//! where it is, it is a plan, and it is measured in whole nanograms. Its children move one piece more, of the
//! same group or a later one (`depth_first`). Settings of adjusters are fixed before, one combination after the
//! other (`variants`, `destructive`).
//!
//! *Every plan is met, and none twice*, but for what is pruned. Take any plan and one kind. It leaves the
//! places that now hold more of the kind than the plan does and enters those that hold fewer; no place is
//! both, and as many pieces move as the plan has changes of that kind. Equal pieces are interchangeable, so
//! two multisets say it all: places left and places entered. The tree takes groups in a fixed order, which
//! fixes the first. Of the second: a node tries places in an order of its own, p₁, p₂, …, and hands down to
//! the child at pᵢ only pᵢ, pᵢ₊₁, …; so a multiset is met below the child at the first of its places in that
//! order and below no other, and by induction on its size exactly once. A place that a bound refuses need not
//! be handed down either: a plan that has another equal piece enter it is the same plan as one that has this
//! piece enter it, and that one was refused.
//!
//! # What prunes
//!
//! A branch is dropped only if something easier than the branch is impossible. Pieces from some group on are
//! undecided, and most of what is demanded of them is forgotten:
//!
//! | what is kept of it | the branch is dropped if | where |
//! |---|---|---|
//! | masses | no subset weighs what is missing and no more than is allowed | `subset_sums` |
//! | masses, changes left | no so many moves shift the mass into that range | `stays`, `cardinality` |
//! | capacities, lowered to the heaviest subset that fits | together they hold less than is missing | `subset_sums::Capacities` |
//! | capacities, balance; lead is divisible | in some direction the targets stay outside what is allowed | `region`, `support`, *fractional knapsack* |
//! | changes left, balance | in some direction the targets stay outside what is allowed | `region`, `support`, *counted* |
//!
//! What is forgotten is asked of every piece as it is placed (room, number of pieces) and of every node that
//! is kept as a plan. Tables are rounded so that a "no" stays a proof: supports up, needs down, masses to
//! grains with questions widened by as much. Directions may come from anywhere, as each gives a bound that
//! holds (the proof is in `region`); that is why the prices of [`Pricing`] need not be trusted.
//!
//! Where nodes do not end a goal soon, `columns` tries the other way round, mount by mount: it lists what each
//! mount can be filled with if no more may be lost than is to spare, and joins what goes together. That it loses
//! no plan is shown there.
//!
//! # Why the answer is exact
//!
//! [`Search::minimise`] keeps one sentence true, for every combination of settings: *no plan within the
//! limits has a value below the bound.* It begins with a relaxation, so it is true. A run then asks for
//! plans of at most some threshold. If it comes to its end with nothing found, none exists, and the bound
//! rises above the threshold. If it finds one of value v, its own threshold falls at once to just below v −
//! resolution, so its end proves that nothing lies below v − resolution. If its nodes are spent the bound
//! stays where it is. The least of these bounds bounds the goal. The search ends when value − bound ≤
//! resolution, or when the bound has passed every value that the limits allow: then there is no plan. Stopped
//! from outside, it returns the best plan and the bound so far, and the sentence still holds. Plans may
//! come from anywhere as well, since each is measured: `regroup` lays out whole places anew. A threshold of `columns`
//! that was gone through to its end says what an exhausted run says. Thresholds, directions, orders and budgets
//! decide how long this takes, never what is true. They are steered by counted nodes and steps, so the same model
//! gives the same plan every time; the clock can only stop.
//!
//! # What is hard
//!
//! Masses in whole grams make `legal` and `light` subset sums of some hundred thousand bits, which is
//! nothing. What is left can be made as hard as one likes: mounts filled to the gram are multiple-knapsack
//! packing, where divisible lead fits as long as anything does and the bounds say nothing, and columns are few
//! only while the kart has few more pieces than such mounts take; balance to the gram is a market split, where
//! the relaxation reaches every aim almost down to the leaves and plans are too many to be looked at; with
//! four targets instead of two the plans near the targets are far fewer than those that divisible lead promises. The
//! resolutions of the goals are what keeps these away: see "Known to be hard" in
//! DEVELOPERS.md, with the sources of the techniques.

use std::collections::VecDeque;

use crate::counts::Counts;
use crate::model::{Cell, Model, TargetRow, Values};
use crate::patience::Patience;

mod cardinality;
#[cfg(test)]
#[path = "../../tests/support/cases.rs"]
mod cases;
mod columns;
mod depth_first;
mod destructive;
mod layout;
mod limits;
mod pricing;
mod region;
mod regroup;
mod stays;
mod subset_sums;
mod support;
mod variants;

pub use layout::MOST_MOUNTS;
pub use limits::{Limits, Objective};
pub use pricing::{Balance, BoundedSum, Pricing, Subproblem};
pub(crate) use subset_sums::{greatest_common_divisor, lowest_bit, or_shifted};

use cardinality::CardinalitySums;
use layout::{Layout, Stack};
use pricing::PricingRound;
use region::Region;
use stays::Stays;
use subset_sums::{Capacities, SubsetSums};
use support::Supports;
use variants::Variants;

/// Directions that are kept together; each costs time at every node.
const MOST_DIRECTIONS: usize = 80;

/// Subproblems in a row that teach nothing new, for each target: then no more are priced, as each takes as long as a hundred
/// nodes.
const MOST_IN_VAIN: usize = 8;

/// Families whose tables are kept while others are searched; a seat with thousands of holes would fill gigabytes.
const MOST_IDLE: usize = 64;

/// What a search may use up.
#[derive(Clone, Copy)]
pub struct Guard<'a> {
    patience: Patience<'a>,
    last_node: u64,
}

impl<'a> Guard<'a> {
    /// Ends a search with somebody's patience.
    pub fn new(patience: Patience<'a>) -> Guard<'a> {
        Guard { patience, last_node: u64::MAX }
    }

    /// Ends it as well once the search has visited so many nodes, over all its goals: unlike time, a limit that is the same
    /// on every machine.
    #[must_use]
    pub fn within_nodes(self, last_node: u64) -> Guard<'a> {
        Guard { last_node, ..self }
    }

    /// Tells how far the search has come.
    pub(crate) fn tell(&self, value: Option<i64>, bound: i64) {
        self.patience.tell(value, bound);
    }

    /// The same for a part of the search of which nobody wants to know.
    pub(crate) fn silent(&self) -> Guard<'a> {
        Guard { patience: self.patience.silent(), last_node: self.last_node }
    }

    /// Whether the search has to end.
    pub fn is_over(&self) -> bool {
        self.patience.is_over()
    }
}

/// A plan and its values.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// Pieces on mounts.
    pub counts: Counts,
    /// Its values by the model's arithmetic.
    pub values: Values,
}

/// How far one goal was brought.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outcome {
    /// The best plan within the limits; none if none was found.
    pub best: Option<Found>,
    /// No plan within the limits has a smaller value.
    pub bound: i64,
    /// What ended the search.
    pub end: End,
}

/// Why a search ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The best plan is within the resolution of the bound, or it is proved that there is no plan.
    Proved,
    /// The guard ended it.
    Stopped,
}

/// What depends on the gains of the targets.
#[derive(Debug)]
struct Tables {
    targets: Vec<TargetRow>,
    supports: Supports,
    stays: Stays,
}

impl Tables {
    /// The tables of a family: targets with its gains, bounded in these directions.
    fn new(
        model: &Model,
        layout: &Layout,
        targets: Vec<TargetRow>,
        headroom_ng: i64,
        directions: Vec<Vec<f64>>,
    ) -> Tables {
        let supports = Supports::new(model, &targets, layout, headroom_ng, directions);
        let stays = Stays::new(model, &targets, layout, &supports);
        Tables { targets, supports, stays }
    }
}

/// A search over one model; its tables serve any number of goals and limits.
pub struct Search<'m> {
    model: &'m Model,
    pricing: &'m dyn Pricing,
    layout: Layout,
    subset_sums: SubsetSums,
    capacities: Capacities,
    variants: Variants,
    /// The combination of settings that is searched now.
    active: usize,
    /// Targets at these settings.
    targets: Vec<TargetRow>,
    supports: Supports,
    stays: Stays,
    /// Tables of families that were searched before, the latest first.
    idle: VecDeque<(usize, Tables)>,
    /// Made by the first search that turns out to need it.
    cardinality: Option<CardinalitySums>,
    round: PricingRound,
    /// A goal that takes more nodes than this is worth the milliseconds of pricing.
    pricing_nodes: u64,
    /// A run of so many nodes makes the tables of cardinality-constrained sums: they cost as much as some hundred nodes.
    cardinality_nodes: u64,
    nodes: u64,
    /// What else a plan must satisfy, beyond the model and the limits.
    accepts: Option<&'m dyn Fn(&Counts) -> bool>,
}

impl<'m> Search<'m> {
    /// Prepares the tables. `pricing` is asked for better directions to bound in when a goal takes long.
    ///
    /// The model has at most [`MOST_MOUNTS`] mounts.
    pub fn new(model: &'m Model, pricing: &'m dyn Pricing) -> Search<'m> {
        let layout = Layout::new(model);
        let subset_sums = SubsetSums::new(&layout.groups);
        let capacities_ng: Vec<i64> = model.mounts.iter().map(|mount| mount.capacity_ng).collect();
        let capacities = Capacities::new(&layout.groups, &layout.open, &capacities_ng);
        let variants = Variants::new(model);
        let directions = support::usual_directions(model.targets.len());
        // The first is the cheapest, which is as things are set now only where changes are counted from there.
        let of_first = model.targets_at(&variants.families[variants.all[0].family]).into_owned();
        let Tables { targets, supports, stays } =
            Tables::new(model, &layout, of_first, variants.headroom_ng, directions);
        let idle = VecDeque::new();
        let round = PricingRound::default();
        Search {
            model,
            pricing,
            layout,
            subset_sums,
            capacities,
            variants,
            active: 0,
            targets,
            supports,
            stays,
            idle,
            cardinality: None,
            round,
            pricing_nodes: 1 << 12,
            cardinality_nodes: 1 << 8,
            nodes: 0,
            accepts: None,
        }
    }

    /// The same, but a plan that is not accepted is none. Bounds do not know it, so that they hold all the more.
    #[must_use]
    pub fn accepting(self, accepts: &'m dyn Fn(&Counts) -> bool) -> Search<'m> {
        Search { accepts: Some(accepts), ..self }
    }

    /// Nodes visited so far.
    pub fn nodes(&self) -> u64 {
        self.nodes
    }

    /// Makes a combination of settings the one that is searched.
    fn activate(&mut self, variant: usize) {
        let (before, after) = (self.variants.all[self.active].family, self.variants.all[variant].family);
        if before != after {
            let kept = self.idle.iter().position(|(family, _)| *family == after);
            let kept = kept.and_then(|place| self.idle.remove(place));
            let made = || {
                let targets = self.model.targets_at(&self.variants.families[after]).into_owned();
                let directions = support::usual_directions(self.model.targets.len());
                Tables::new(self.model, &self.layout, targets, self.variants.headroom_ng, directions)
            };
            let mut next = kept.map_or_else(made, |(_, tables)| tables);
            std::mem::swap(&mut self.targets, &mut next.targets);
            std::mem::swap(&mut self.supports, &mut next.supports);
            std::mem::swap(&mut self.stays, &mut next.stays);
            self.idle.truncate(MOST_IDLE - 1);
            self.idle.push_front((before, next));
        }
        self.active = variant;
        self.variants.all[variant].apply(&mut self.targets);
    }

    /// Changes that the settings searched now take.
    fn work_of_settings(&self) -> i64 {
        self.variants.all[self.active].work
    }

    /// Prices the subproblems in which nodes were spent, and bounds in those directions from now on.
    ///
    /// Usual directions that have refused nothing so far make room; those along the targets always stay.
    fn price(&mut self, round: PricingRound) {
        let mut directions = self.supports.useful_directions(2 * self.targets.len());
        let known = directions.len();
        let most_in_vain = MOST_IN_VAIN * self.targets.len();
        let mut in_vain = 0;
        for subproblem in round.subproblems {
            let direction = self.pricing.direction(&subproblem);
            let news = direction.filter(|direction| !directions.contains(direction));
            in_vain = if news.is_some() { 0 } else { in_vain + 1 };
            directions.extend(news);
            if in_vain == most_in_vain || directions.len() >= MOST_DIRECTIONS {
                break;
            }
        }
        if directions.len() > known {
            let targets = std::mem::take(&mut self.targets);
            let headroom_ng = self.variants.headroom_ng;
            let tables = Tables::new(self.model, &self.layout, targets, headroom_ng, directions);
            (self.targets, self.supports, self.stays) = (tables.targets, tables.supports, tables.stays);
        }
    }

    /// A bound from the tables alone, before any piece is placed.
    fn root_bound(&self, objective: Objective, limits: &Limits) -> i64 {
        match objective {
            Objective::Mass => {
                let settled = self.settled_mass_ng();
                let lightest = self.subset_sums.lightest(0, limits.least_mass_ng - settled);
                lightest.map_or(limits.least_mass_ng, |lead| settled + lead)
            }
            Objective::Lift => -limits.most_mass_ng.min(self.settled_mass_ng() + self.in_hand_ng()),
            Objective::Work => self.work_of_settings(),
            Objective::Targets => self.balance_bound(Balance::Targets, limits),
            Objective::Close => self.balance_bound(Balance::Close, limits),
        }
    }

    /// The bound on one sum within the limit on the other, with all lead poured.
    fn balance_bound(&self, balance: Balance, limits: &Limits) -> i64 {
        let supports = &self.supports;
        let most_tau_ng = self.most_tau_ng(limits.most_mass_ng);
        let settled = supports.settled(&self.layout);
        let lead_ng = |total_ng: i64| (total_ng - self.settled_mass_ng()).max(0) as f64;
        let stacks = self.layout.locked_stacks();
        let free_ng: Vec<f64> = stacks
            .iter()
            .zip(&self.model.mounts)
            .map(|(stack, mount)| (mount.capacity_ng - stack.mass_ng).max(0) as f64)
            .collect();
        let (least, most) = (lead_ng(limits.least_mass_ng), lead_ng(limits.most_mass_ng));
        let stays = self.stays.sums(0);
        let counted = supports.counted(0, limits.work - self.work_of_settings());
        let reached = (0..supports.len).map(|v| {
            settled[v] + supports.fractional_knapsack(v, &free_ng, least, most).min(stays[v] + counted[v])
        });
        supports.bound_ng(balance, &self.region(&most_tau_ng, limits.outside_ng, limits.close_ng), reached)
    }

    /// Where sums within limits lie, at the settings that are searched now.
    fn region<'a>(&'a self, most_tau_ng: &'a [i64], outside_ng: i64, close_ng: i64) -> Region<'a> {
        Region { targets: &self.targets, most_tau_ng, outside_ng, close_ng }
    }

    /// Everything that no move can change: bare kart and locked lead.
    fn settled_mass_ng(&self) -> i64 {
        let locked: i64 = self.layout.locked.iter().map(|g| g.mass_ng * i64::from(g.count)).sum();
        self.model.bare_ng + locked
    }

    /// All lead that can be moved.
    fn in_hand_ng(&self) -> i64 {
        self.layout.groups.iter().map(|g| g.mass_ng * i64::from(g.count)).sum()
    }

    /// The most that lead can add to each target's half-width when the total is at most `most_mass_ng`.
    fn most_tau_ng(&self, most_mass_ng: i64) -> Vec<i64> {
        let lead_ng = most_mass_ng.min(self.settled_mass_ng() + self.in_hand_ng()) - self.model.bare_ng;
        let per_ng = |slack_ng: &[i64]| {
            let ratios = slack_ng.iter().zip(&self.model.kinds);
            ratios.map(|(slack, kind)| (slack + 1) as f64 / kind.mass_ng as f64).fold(0.0, f64::max)
        };
        self.targets
            .iter()
            .map(|target| (per_ng(&target.slack_ng) * lead_ng.max(0) as f64).ceil() as i64)
            .collect()
    }

    /// Whether the tables of cardinality-constrained sums are there and serve searches within these limits.
    fn has_cardinality(&self, limits: &Limits) -> bool {
        let most_ng = self.most_shift_ng(limits);
        self.cardinality.as_ref().is_some_and(|tables| tables.serves(limits.work, most_ng))
    }

    /// Makes the tables of cardinality-constrained sums for searches within these limits, unless they would be too large.
    fn tabulate_cardinality(&mut self, limits: &Limits) {
        let Layout { groups, the_box, .. } = &self.layout;
        self.cardinality = CardinalitySums::new(groups, *the_box, limits.work, self.most_shift_ng(limits));
    }

    /// The most mass that may be added to the kart as it is.
    fn most_shift_ng(&self, limits: &Limits) -> i64 {
        let most_ng = limits.most_mass_ng.min(self.settled_mass_ng() + self.in_hand_ng());
        most_ng - self.model.bare_ng - self.staying_lead_ng()
    }

    /// All lead that is on the kart now.
    fn staying_lead_ng(&self) -> i64 {
        self.settled_mass_ng() - self.model.bare_ng + self.stays.mass_ng(0, 0, &self.layout.groups)
    }

    /// Counts as a plan, if they are one within the limits.
    fn plan_within(&self, counts: Counts, limits: &Limits) -> Option<Found> {
        let values = self.model.values(&counts);
        let accepted = |counts: &Counts| self.accepts.is_none_or(|accepts| accepts(counts));
        (limits.hold(&values) && self.model.fits(&counts) && accepted(&counts))
            .then_some(Found { counts, values })
    }

    /// Pieces of a kind that are on a mount and not locked there: those neither enter nor leave.
    fn fitted(&self, kind: usize, mount: usize) -> u32 {
        match self.model.cell(kind, mount) {
            Cell::Locked(_) => 0,
            Cell::Open | Cell::Closed => self.model.fitted.get(kind, mount),
        }
    }

    /// Whether a mount takes a stack.
    fn has_room(&self, mount: usize, stack: &Stack) -> bool {
        let row = &self.model.mounts[mount];
        stack.mass_ng <= row.capacity_ng && stack.room_nm <= row.room_nm && stack.pieces <= row.most_pieces
    }
}
