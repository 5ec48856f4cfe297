//! Destructive bounds, one goal at a time: thresholds that rise from the bound, in whichever combination of settings promises
//! most. Takes an objective, limits and a plan to start from; gives the best plan and a bound that nothing can beat. Does not
//! place pieces; a `DepthFirst` does, within limits that are chosen here.
//!
//! Every combination of settings has a bound of its own. The one with the least is asked next, so no effort goes into
//! combinations that cannot hold the best plan any more, and the least of all bounds is a bound on the goal.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::columns::{Columns, Question};
use super::depth_first::{DepthFirst, Finish};
use super::limits::Task;
use super::pricing::PricingRound;
use super::{End, Found, Guard, Limits, Objective, Outcome, Search};

/// Steps of regrouping for each node spent, when the search pauses to price: together they cost a fraction of the nodes.
const REGROUPING_PER_NODE: u64 = 4;

/// Steps on columns for each node spent: some ten times what the nodes cost, up to a tenth of a second, and as much as the
/// nodes cost beyond. Where columns are few this ends a goal that nodes would take a hundred times as long for.
const COLUMN_STEPS_PER_NODE: u64 = 256;
const COLUMN_STEPS_AT_EASE: u64 = 1 << 23;

/// Steps on columns that take as long as a node, where nodes are counted.
const COLUMN_STEPS_FOR_A_NODE: u64 = 32;

/// How much longer the next stretch of nodes is: where the first attempt to join columns was merely too long it is soon tried
/// again.
const LONGER: u64 = 8;
const LITTLE_LONGER: u64 = 4;

/// How far the search has come in one combination of settings.
struct Progress {
    variant: usize,
    /// No plan with these settings has a smaller value.
    bound: i64,
    /// How far above the bound the next threshold lies.
    step: i64,
    /// Nodes spent here.
    spent: u64,
    /// Thresholds rise until so many are spent.
    patience: u64,
    /// Nodes until directions are priced next, and when that is.
    pricing_step: u64,
    next_pricing: u64,
    round: PricingRound,
    /// Best value when the estimate said that columns are intractable, and the step budget below which that still holds.
    intractable: Option<(Option<i64>, u64)>,
    /// Whether the bound of its tables has been asked for.
    is_bounded: bool,
}

/// How far joining columns came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Joined {
    /// The goal has ended, or the columns were too many to begin with.
    Over,
    /// The steps were spent on the way.
    TooLong,
    /// The guard ended it.
    Stopped,
}

impl Search<'_> {
    /// Makes `objective` small within `limits`, until the best plan is within `resolution` of a proved bound.
    ///
    /// `start` is a plan within the limits, if one is known. Thresholds rise from the bound: each asks for a plan that is
    /// barely better than what is proved impossible, where the bounds cut deepest, and a "no" raises the bound. Where the
    /// relaxation is far from the truth this asks often for little; so once its nodes are spent, the search asks for
    /// anything better than the best plan known instead, and proves the rest in one go.
    ///
    /// Where that takes long, the best plan is regrouped and columns are joined: a few grams less in the plan can save the
    /// proof of those grams, which costs the most.
    pub fn minimise(
        &mut self,
        objective: Objective,
        limits: Limits,
        resolution: i64,
        start: Option<Found>,
        guard: &Guard,
    ) -> Outcome {
        let mut limits = limits;
        limits.most_mass_ng =
            limits.most_mass_ng.min(self.model.bare_ng.saturating_add(self.model.most_lead_ng));
        let mut best = start;
        let task = Task { objective, limits, resolution, guard };
        let mut all = self.beginnings(&task);
        let is_alone = all.len() == 1;
        // The least bound first; among equals the cheapest combination.
        let mut queue: BinaryHeap<Reverse<(i64, usize)>> =
            all.iter().enumerate().map(|(next, at)| Reverse((at.bound, next))).collect();
        loop {
            let value = task.value(best.as_ref());
            let Some(mut first) = queue.peek_mut() else {
                return Outcome { best, bound: objective.ceiling(&limits), end: End::Proved };
            };
            let Reverse((bound, next)) = *first;
            guard.tell(value, bound);
            if task.is_proved(value, bound) {
                return Outcome { best, bound, end: End::Proved };
            }
            let at = &mut all[next];
            self.activate(at.variant);
            let finish = if at.is_bounded {
                self.advance(at, &task, &mut best)
            } else {
                at.bound = at.bound.max(self.root_bound(objective, &limits));
                at.is_bounded = true;
                // Where all settings are one, the nodes before the first look at the clock find some plan of most karts.
                if guard.is_over() && (best.is_some() || !is_alone) {
                    Finish::Stopped
                } else {
                    Finish::Exhausted
                }
            };
            first.0.0 = at.bound;
            if finish == Finish::Stopped {
                return Outcome { best, bound, end: End::Stopped };
            }
        }
    }

    /// Where to begin, for every combination of settings that may hold a plan.
    fn beginnings(&self, task: &Task) -> Vec<Progress> {
        let Task { objective, limits, resolution, .. } = *task;
        // Where balance is free, settings are too: whatever they are, the same lead fits, and as things are set now it takes
        // the fewest changes.
        let balance_is_free = limits.outside_ng >= Limits::FREE && limits.close_ng >= Limits::FREE;
        let asks_for_balance = matches!(objective, Objective::Targets | Objective::Close);
        let count = if balance_is_free && !asks_for_balance { 1 } else { self.variants.all.len() };
        let affordable = (0..count).filter(|variant| self.variants.all[*variant].work <= limits.work);
        affordable
            .map(|variant| Progress {
                variant,
                bound: if objective == Objective::Work {
                    self.variants.all[variant].work
                } else if asks_for_balance {
                    0
                } else {
                    -Limits::FREE
                },
                step: resolution,
                spent: 0,
                patience: objective.patience(),
                pricing_step: self.pricing_nodes,
                next_pricing: self.pricing_nodes,
                round: PricingRound::default(),
                intractable: None,
                is_bounded: false,
            })
            .collect()
    }

    /// Asks once for a plan below the next threshold, with the settings of a at.
    fn advance(&mut self, at: &mut Progress, task: &Task, best: &mut Option<Found>) -> Finish {
        let Task { objective, resolution, guard, .. } = *task;
        let value = task.value(best.as_ref());
        let worth = task.worth(value);
        let patient = at.spent < at.patience;
        // A plan this near to the bound ends the goal, whether or not it is worth asking for.
        let enough = at.bound.saturating_add(resolution);
        let most = if patient { worth.min(at.bound.saturating_add(at.step)) } else { worth };
        let pause = at.next_pricing.min(if patient { at.patience } else { u64::MAX });
        let last_node = self.nodes.saturating_add(pause - at.spent).min(guard.last_node);
        let before = self.nodes;
        std::mem::swap(&mut self.round, &mut at.round);
        let run =
            DepthFirst::new(self, objective, task.limits_at(most), resolution, enough, last_node, guard);
        let (found, finish) = run.run();
        std::mem::swap(&mut self.round, &mut at.round);
        at.spent += self.nodes - before;
        let nothing_found = found.is_none();
        *best = found.or(best.take());
        match finish {
            Finish::Enough | Finish::Stopped => {}
            Finish::Exhausted if nothing_found => {
                at.bound = at.bound.max(most.saturating_add(1));
                at.step = objective.next_step(at.step);
            }
            Finish::Exhausted => {
                let value = task.value(best.as_ref()).unwrap_or(at.bound);
                at.bound = at.bound.max(value - resolution);
            }
            Finish::Spent if self.nodes >= guard.last_node => return Finish::Stopped,
            Finish::Spent if at.spent >= at.next_pricing => {
                return self.pause(at, task, best);
            }
            Finish::Spent => at.patience = at.spent,
        }
        finish
    }

    /// Learns where nodes were spent, betters the best plan, and tries to end the goal by joining columns.
    fn pause(&mut self, at: &mut Progress, task: &Task, best: &mut Option<Found>) -> Finish {
        self.price(std::mem::take(&mut at.round));
        // What has just been learned may prove more from the start.
        at.bound = at.bound.max(self.root_bound(task.objective, &task.limits));
        let effort = at.spent.saturating_mul(REGROUPING_PER_NODE);
        *best = best.take().map(|found| self.regrouped(found, task.objective, &task.limits, effort));
        let joined = self.join_columns(at, task, best);
        if joined == Joined::Stopped {
            return Finish::Stopped;
        }
        let is_first = at.pricing_step == self.pricing_nodes;
        at.pricing_step *= if is_first && joined == Joined::TooLong { LITTLE_LONGER } else { LONGER };
        at.next_pricing = at.spent + at.pricing_step;
        Finish::Spent
    }

    /// Joins columns until the goal has ended.
    fn join_columns(&mut self, at: &mut Progress, task: &Task, best: &mut Option<Found>) -> Joined {
        let guard = task.guard;
        let known = task.value(best.as_ref());
        let at_par = |nodes: u64| nodes.saturating_mul(COLUMN_STEPS_FOR_A_NODE);
        let at_ease = at.spent.saturating_mul(COLUMN_STEPS_PER_NODE);
        let steps = at_ease
            .min(COLUMN_STEPS_AT_EASE.saturating_add(at_par(at.spent)))
            .min(at_par(guard.last_node.saturating_sub(self.nodes)));
        if at.intractable.is_some_and(|(value, below)| value == known && steps < below) {
            return Joined::Over;
        }
        let question = Question { task: *task, known, bound: at.bound, steps };
        let Some(columns) = Columns::new(self, question) else { return Joined::Over };
        let answer = columns.run();
        self.nodes += answer.steps / COLUMN_STEPS_FOR_A_NODE;
        at.bound = at.bound.max(answer.bound);
        if let Some(found) = answer.best {
            task.keep(best, found);
        }
        let value = task.value(best.as_ref());
        at.intractable = answer.intractable_below.map(|below| (value, below));
        match answer.end {
            Some(Finish::Stopped) => Joined::Stopped,
            _ if task.is_proved(value, at.bound) || answer.intractable_below.is_some() => Joined::Over,
            _ => Joined::TooLong,
        }
    }
}

impl Objective {
    /// Nodes that may be spent on rising thresholds. Few changes are refuted quickly and every count has to be refuted
    /// anyway; sums in kilograms are dense, and a threshold either is met at once or is one of many.
    fn patience(self) -> u64 {
        match self {
            Objective::Work => 1 << 20,
            Objective::Mass | Objective::Targets | Objective::Close | Objective::Lift => 1 << 14,
        }
    }

    /// How far above the bound the next threshold lies after a "no": twice as far where values are dense, one change more
    /// where they are whole numbers.
    fn next_step(self, step: i64) -> i64 {
        if self == Objective::Work { step } else { step.max(1).saturating_mul(2) }
    }
}

/// The search against full enumeration with every table and price made from the first node on, and regrouping and whole
/// mounts likewise.
/// Tiny programs end before the tables that only long runs make; here they are made at once, so that enumeration reaches them.
/// The box and at most three mounts are four places, so laying out four places anew has to find the best plan from any other.
/// Source of truth: all plans there are, measured one by one by the model.
#[cfg(test)]
mod tests {
    use super::super::cases::{self, Draw, Family, Lead};
    use super::super::columns::{Columns, Question};
    use super::super::limits::Task;
    use super::super::{End, Found, Guard, Limits, Objective, Search};
    use crate::counts::Counts;
    use crate::engine::DualPrices;
    use crate::goal::Goal;
    use crate::model::Model;
    use crate::patience::Patience;
    use crate::scenario::Scenario;

    /// Every way to put pieces on mounts that the model's limits allow, the minimum aside.
    fn all_plans(model: &Model) -> Vec<Found> {
        let mut plans = vec![Counts::none(model.kinds.len(), model.mounts.len())];
        for cell in 0..model.cells.len() {
            let (kind, mount) = (cell / model.mounts.len(), cell % model.mounts.len());
            let with_more = |plan: &Counts| {
                let left = model.kinds[kind].count - plan.of_kind(kind);
                (0..=left)
                    .filter(|count| model.cell(kind, mount).allows(*count))
                    .map(|count| {
                        let mut more = plan.clone();
                        *more.get_mut(kind, mount) = count;
                        more
                    })
                    .collect::<Vec<_>>()
            };
            plans = plans.iter().flat_map(with_more).collect();
        }
        let fitting = plans.into_iter().filter(|plan| model.fits(plan));
        fitting.map(|counts| Found { values: model.values(&counts), counts }).collect()
    }

    fn family(draw: &mut Draw, seed: u64) -> Family {
        let lead = if draw.chance(0.4) { Lead::Catalogue } else { Lead::Weighed };
        let (pieces, mounts) = (5 + draw.below(3), 2 + draw.below(2));
        let mut family = if draw.chance(0.5) {
            Family::rich(lead, pieces, mounts)
        } else {
            Family { fitted: true, ..Family::plain(lead, pieces, mounts) }
        };
        family.locked = draw.chance(0.3);
        family.out_of_reach = seed.is_multiple_of(3);
        family.nearly_full = seed % 3 == 1;
        family.needed_kg = (1.0, 9.0);
        for place in (1..4).rev() {
            family.order.swap(place, draw.below(place + 1));
        }
        family
    }

    /// Solves the goals one after the other, each exactly, holding each at its least; gives whether there was a plan at all.
    fn check(seed: u64) -> bool {
        let mut draw = Draw::new(seed ^ 0x7AB1);
        let text = cases::scenario(&family(&mut draw, seed), seed);
        let (scenario, _) = Scenario::from_yaml(&text).expect("a valid scenario");
        let model = Model::new(&scenario, scenario.driver());
        let mut plans = all_plans(&model);
        let prices = DualPrices::new(&model);
        let mut search = Search::new(&model, &prices);
        (search.pricing_nodes, search.cardinality_nodes) = (4, 1);
        let mut limits = Limits::legal(&model);
        let guard = Guard::new(Patience::ENDLESS);
        let mut start = None;
        for goal in model.goals() {
            let objective = Objective::from(goal);
            plans.retain(|plan| limits.hold(&plan.values));
            let least = plans.iter().map(|plan| objective.of(&plan.values)).min();
            if !plans.is_empty() {
                let any = plans[draw.below(plans.len())].clone();
                let regrouped = search.regrouped(any, objective, &limits, u64::MAX);
                assert!(plans.contains(&regrouped), "{goal:?}\n{text}");
                assert_eq!(Some(objective.of(&regrouped.values)), least, "{goal:?}\n{text}");
            }
            check_columns(&search, &plans, objective, limits, &mut draw, &text);
            let outcome = search.minimise(objective, limits, 0, start, &guard);
            assert_eq!(outcome.end, End::Proved, "{text}");
            let found = outcome.best.as_ref().map(|found| objective.of(&found.values));
            assert_eq!(found, least, "{goal:?}\n{text}");
            let Some(least) = least else { return false };
            // Room to the heavier side, as the spare gives it, so that lead may leave and return; all else exactly.
            let held_at = if goal == Goal::Legal { least + model.preferences.spare.ng() } else { least };
            objective.limit(&mut limits, held_at);
            start = outcome.best;
        }
        true
    }

    /// Filling whole mounts must find a plan within the resolution of the least value and prove a bound that no plan is below;
    /// whether a plan is known or none, and how near the bound is to begin with.
    fn check_columns(
        search: &Search,
        plans: &[Found],
        objective: Objective,
        limits: Limits,
        draw: &mut Draw,
        text: &str,
    ) {
        let guard = Guard::new(Patience::ENDLESS);
        let value = |found: &Found| objective.of(&found.values);
        let least = plans.iter().map(value).min();
        let resolution =
            if objective == Objective::Work { 0 } else { draw.below(3) as i64 * 100_000_000_000 };
        let below = if objective == Objective::Work { 1 } else { 150_000_000_000 } * draw.below(4) as i64;
        let bound = least.unwrap_or(0) - below;
        let known = (!plans.is_empty() && draw.below(2) == 0).then(|| value(&plans[draw.below(plans.len())]));
        let task = Task { objective, limits, resolution, guard: &guard };
        let answer =
            Columns::new(search, Question { task, known, bound, steps: 1 << 40 }).expect("few kinds").run();
        assert_eq!(answer.end, None, "{text}");
        assert!(answer.best.iter().all(|best| plans.contains(best)), "{objective:?}\n{text}");
        let best = answer.best.as_ref().map(value).into_iter().chain(known).min();
        assert!(task.is_proved(best, answer.bound), "{objective:?}\n{text}");
        assert!(least.is_none_or(|least| answer.bound <= least), "{objective:?}\n{text}");
        assert_eq!(best.is_some(), least.is_some(), "{objective:?}\n{text}");
    }

    #[test]
    fn tables_made_at_once_lose_no_plan() {
        let plans = (0..1500).filter(|seed| check(*seed)).count();
        assert!(plans >= 1000, "only {plans} of the seeds have a plan");
    }
}
