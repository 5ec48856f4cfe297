//! One goal at a time: thresholds that rise from the bound, in whichever combination of settings promises most.
//! Takes an objective, limits and a plan to start from; gives the best plan and a bound that nothing can beat.
//! Does not place pieces; a `Descent` does, within limits that are chosen here.
//!
//! Every combination of settings has a bound of its own. The one with the least is asked next, so no effort goes into
//! combinations that cannot hold the best plan any more, and the least of all bounds is a bound on the goal.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::descend::{Descent, Finish};
use super::fillings::{Fillings, Listing, Question};
use super::lesson::Lesson;
use super::{End, Found, Guard, Limits, MOST_IDLE, Objective, Outcome, Search};

/// Steps of regrouping for each node spent, when the search pauses to learn: together they cost a fraction of the nodes.
const REGROUPING_PER_NODE: u64 = 16;

/// Steps of filling mounts for each node spent: some ten times what the nodes cost, up to a tenth of a second, and as much as the
/// nodes cost beyond. Where fillings are few this ends a goal that nodes would take a hundred times as long for.
const FILLING_PER_NODE: u64 = 256;
const FILLING_AT_EASE: u64 = 1 << 23;

/// Steps of filling mounts that take as long as a node, for whom nodes are counted.
const FILLING_FOR_A_NODE: u64 = 32;

/// How much longer the next stretch of nodes is: where filling mounts was merely too long it is soon tried again.
const LONGER: u64 = 8;
const LITTLE_LONGER: u64 = 4;

/// How far the search has come in one combination of settings.
struct Climb {
    variant: usize,
    /// No plan with these settings has a smaller value.
    bound: i64,
    /// How far above the bound the next threshold lies.
    step: i64,
    /// Nodes spent here.
    spent: u64,
    /// Thresholds rise until so many are spent.
    patience: u64,
    /// From so many on there is something to learn.
    scouting: u64,
    next_lesson: u64,
    /// Whether to ask next for any plan that ends the goal.
    asks_near_next: bool,
    lesson: Lesson,
    /// Whether the bound of its tables has been asked for.
    is_bounded: bool,
}

impl Search<'_> {
    /// Makes `objective` small within `limits`, until the best plan is within `resolution` of a proved bound.
    ///
    /// `start` is a plan within the limits, if one is known. Thresholds rise from the bound: each asks for a plan that is
    /// barely better than what is proved impossible, where the bounds cut deepest, and a "no" raises the bound. Where the
    /// relaxation is far from the truth this asks often for little; so once its nodes are spent, the search asks for
    /// anything better than the best plan known instead, and proves the rest in one go.
    ///
    /// Where that takes long, the best plan is polished and regrouped, whole mounts are filled, and a quarter of the nodes go
    /// to the other way out: any plan within the resolution of the bound. A few grams less in the plan can save the proof of
    /// those grams, which costs the most.
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
        let mut climbs = self.climbs(objective, &limits, resolution);
        // The least bound first; among equals the cheapest combination.
        let mut queue: BinaryHeap<Reverse<(i64, usize)>> =
            climbs.iter().enumerate().map(|(next, climb)| Reverse((climb.bound, next))).collect();
        loop {
            let value = best.as_ref().map(|found| objective.of(&found.values));
            let Some(mut first) = queue.peek_mut() else {
                return Outcome { best, bound: objective.ceiling(&limits), end: End::Proved };
            };
            let Reverse((bound, next)) = *first;
            let is_proved =
                value.map_or(bound > objective.ceiling(&limits), |value| value - bound <= resolution);
            if is_proved {
                return Outcome { best, bound, end: End::Proved };
            }
            let climb = &mut climbs[next];
            self.activate(climb.variant);
            let finish = if climb.is_bounded {
                self.advance(climb, objective, limits, resolution, &mut best, guard)
            } else {
                climb.bound = climb.bound.max(self.root_bound(objective, &limits));
                climb.is_bounded = true;
                self.look_up(climb, objective, &limits, &mut best);
                if guard.is_over() { Finish::Stopped } else { Finish::Exhausted }
            };
            first.0.0 = climb.bound;
            if finish == Finish::Stopped {
                return Outcome { best, bound, end: End::Stopped };
            }
        }
    }

    /// A climb for every combination of settings that may hold a plan.
    fn climbs(&self, objective: Objective, limits: &Limits, resolution: i64) -> Vec<Climb> {
        // Where balance is free, settings are too: whatever they are, the same lead fits, and as things are set now it takes
        // the fewest changes.
        let balance_is_free = limits.band_ng >= Limits::FREE && limits.close_ng >= Limits::FREE;
        let asks_for_balance = matches!(objective, Objective::Band | Objective::Close);
        let count = if balance_is_free && !asks_for_balance { 1 } else { self.variants.all.len() };
        let affordable = (0..count).filter(|variant| self.variants.all[*variant].work <= limits.work);
        affordable
            .map(|variant| Climb {
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
                scouting: self.scouting_nodes,
                next_lesson: self.scouting_nodes,
                asks_near_next: false,
                lesson: Lesson::default(),
                is_bounded: false,
            })
            .collect()
    }

    /// Asks once for a plan below the next threshold, with the settings of a climb.
    fn advance(
        &mut self,
        climb: &mut Climb,
        objective: Objective,
        limits: Limits,
        resolution: i64,
        best: &mut Option<Found>,
        guard: &Guard,
    ) -> Finish {
        // A plan that is better by no more than the resolution is not worth asking for.
        let value = best.as_ref().map(|found| objective.of(&found.values));
        let worth = value.map_or(objective.ceiling(&limits), |value| value - resolution - 1);
        let patient = climb.spent < climb.patience;
        // A plan this near to the bound ends the goal, whether or not it is worth asking for.
        let enough = climb.bound.saturating_add(resolution);
        let asks_near = std::mem::take(&mut climb.asks_near_next) && value.is_some() && enough > worth;
        let most = match (asks_near, patient) {
            (true, _) => enough,
            (false, true) => worth.min(climb.bound.saturating_add(climb.step)),
            (false, false) => worth,
        };
        let mut tightened = limits;
        objective.limit(&mut tightened, most);
        let pause = climb.next_lesson.min(if patient { climb.patience } else { u64::MAX });
        let budget = if asks_near { climb.spent / 4 } else { pause - climb.spent };
        let last_node = self.nodes.saturating_add(budget).min(guard.last_node);
        let before = self.nodes;
        std::mem::swap(&mut self.lesson, &mut climb.lesson);
        let is_long = climb.spent >= self.scouting_nodes;
        let descent = Descent::new(self, objective, tightened, resolution, enough, last_node, guard);
        let (found, finish) = descent.polishing(is_long).run();
        std::mem::swap(&mut self.lesson, &mut climb.lesson);
        climb.spent += self.nodes - before;
        if asks_near {
            climb.next_lesson += self.nodes - before;
        }
        let nothing_found = found.is_none();
        *best = found.or(best.take());
        match finish {
            Finish::Enough | Finish::Stopped => {}
            Finish::Exhausted if nothing_found => {
                climb.bound = climb.bound.max(most.saturating_add(1));
                climb.step = objective.next_step(climb.step);
            }
            Finish::Exhausted => {
                let value = best.as_ref().map_or(climb.bound, |found| objective.of(&found.values));
                climb.bound = climb.bound.max(value - resolution);
            }
            Finish::Spent if self.nodes >= guard.last_node => return Finish::Stopped,
            Finish::Spent if asks_near => {}
            Finish::Spent if climb.spent >= climb.next_lesson => {
                return self.pause(climb, objective, limits, resolution, best, guard);
            }
            Finish::Spent => climb.patience = climb.spent,
        }
        finish
    }

    /// Learns where nodes were spent, betters the best plan, and tries to end the goal by filling whole mounts.
    fn pause(
        &mut self,
        climb: &mut Climb,
        objective: Objective,
        limits: Limits,
        resolution: i64,
        best: &mut Option<Found>,
        guard: &Guard,
    ) -> Finish {
        let is_first = climb.scouting == self.scouting_nodes;
        self.learn(std::mem::take(&mut climb.lesson));
        *best = best.take().map(|found| {
            let polished = self.polish(found, objective, &limits);
            self.regrouped(polished, objective, &limits, climb.spent.saturating_mul(REGROUPING_PER_NODE))
        });
        let mut is_hopeless = true;
        // All plans that are no worse are gone through first: the later goals have to choose among them. From the second
        // pause on the best plan is a good one, and the proof alone, which is easier, may end this goal.
        for lists in [true, false].into_iter().take(if is_first { 1 } else { 2 }) {
            let known = best.as_ref().map(|found| objective.of(&found.values));
            let lists_from = lists.then_some(climb.bound.saturating_add(resolution));
            let most = match (known, lists_from) {
                (None, _) => objective.ceiling(&limits),
                (Some(known), None) => known - resolution - 1,
                (Some(known), Some(from)) => known.max(from),
            };
            let mut tightened = limits;
            objective.limit(&mut tightened, most);
            let nodes_left = guard.last_node.saturating_sub(self.nodes);
            let at_par = |nodes: u64| nodes.saturating_mul(FILLING_FOR_A_NODE);
            let steps = climb.spent.saturating_mul(FILLING_PER_NODE);
            let steps =
                steps.min(FILLING_AT_EASE.saturating_add(at_par(climb.spent))).min(at_par(nodes_left));
            let question = Question { objective, limits: tightened, resolution, known, lists_from, steps };
            let Some(fillings) = Fillings::new(self, question, guard) else { break };
            let answer = fillings.run();
            self.nodes += answer.steps / FILLING_FOR_A_NODE;
            is_hopeless &= answer.is_hopeless;
            let value = answer.best.as_ref().map(|found| objective.of(&found.values));
            if value.is_some_and(|value| known.is_none_or(|known| value < known)) {
                *best = answer.best;
            }
            match answer.finish {
                Finish::Exhausted => {
                    let proved = value.map_or(most.saturating_add(1), |value| value - resolution);
                    climb.bound = climb.bound.max(proved);
                    self.keep_listing(climb.variant, answer.limits, answer.all);
                    break;
                }
                Finish::Stopped => return Finish::Stopped,
                Finish::Enough | Finish::Spent => {}
            }
        }
        climb.asks_near_next = true;
        climb.scouting *= if is_hopeless { LONGER } else { LITTLE_LONGER };
        climb.next_lesson = climb.spent + climb.scouting;
        // What has just been learned may prove more from the start.
        climb.is_bounded = false;
        Finish::Spent
    }

    /// Answers a goal from a listing of all plans, if there is one for these settings that covers the limits.
    fn look_up(&self, climb: &mut Climb, objective: Objective, limits: &Limits, best: &mut Option<Found>) {
        let covers = |listing: &&Listing| listing.variant == climb.variant && listing.limits.cover(limits);
        let Some(listing) = self.listings.iter().rev().find(covers) else { return };
        let plans = listing.plans.iter().filter(|found| limits.hold(&found.values));
        let least = plans.min_by_key(|found| objective.of(&found.values));
        let Some(found) = least else {
            climb.bound = objective.ceiling(limits).saturating_add(1);
            return;
        };
        let value = objective.of(&found.values);
        climb.bound = climb.bound.max(value);
        if best.as_ref().is_none_or(|best| value < objective.of(&best.values)) {
            *best = Some(found.clone());
        }
    }

    /// Keeps all plans within limits, so that later goals only have to choose.
    fn keep_listing(&mut self, variant: usize, limits: Limits, plans: Option<Vec<Found>>) {
        let Some(plans) = plans else { return };
        if self.listings.len() == MOST_IDLE {
            self.listings.remove(0);
        }
        self.listings.push(Listing { variant, limits, plans });
    }
}

impl Objective {
    /// Nodes that may be spent on rising thresholds. Few changes are refuted quickly and every count has to be refuted
    /// anyway; sums in kilograms are dense, and a threshold either is met at once or is one of many.
    fn patience(self) -> u64 {
        match self {
            Objective::Work => 1 << 20,
            Objective::Mass | Objective::Band | Objective::Close | Objective::Lift => 1 << 14,
        }
    }

    /// How far above the bound the next threshold lies after a "no": twice as far where values are dense, one change more
    /// where they are whole numbers.
    fn next_step(self, step: i64) -> i64 {
        if self == Objective::Work { step } else { step.max(1).saturating_mul(2) }
    }
}
