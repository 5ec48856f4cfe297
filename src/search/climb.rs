//! One goal at a time: thresholds that rise from the bound, in whichever combination of settings promises most.
//! Takes an objective, limits and a plan to start from; gives the best plan and a bound that nothing can beat.
//! Does not place pieces; a `Descent` does, within limits that are chosen here.
//!
//! Every combination of settings has a bound of its own. The one with the least is asked next, so no effort goes into
//! combinations that cannot hold the best plan any more, and the least of all bounds is a bound on the goal.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::descend::{Descent, Finish};
use super::fillings::{Fillings, Question};
use super::lesson::Lesson;
use super::task::Task;
use super::{End, Found, Guard, Limits, Objective, Outcome, Search};

/// Steps of regrouping for each node spent, when the search pauses to learn: together they cost a fraction of the nodes.
const REGROUPING_PER_NODE: u64 = 4;

/// Steps of filling mounts for each node spent: some ten times what the nodes cost, up to a tenth of a second, and as much as the
/// nodes cost beyond. Where fillings are few this ends a goal that nodes would take a hundred times as long for.
const FILLING_PER_NODE: u64 = 256;
const FILLING_AT_EASE: u64 = 1 << 23;

/// Steps of filling mounts that take as long as a node, for whom nodes are counted.
const FILLING_FOR_A_NODE: u64 = 32;

/// How much longer the next stretch of nodes is: where the first attempt to fill mounts was merely too long it is soon tried
/// again.
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
    lesson: Lesson,
    /// Value of the best plan when filling mounts was hopeless, and with fewer steps than how many it will stay so.
    hopeless: Option<(Option<i64>, u64)>,
    /// Whether the bound of its tables has been asked for.
    is_bounded: bool,
}

/// How far filling whole mounts came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Filled {
    /// The goal has ended.
    Wholly,
    /// The steps were spent on the way.
    TooLong,
    /// The fillings were too many to begin with.
    Hopeless,
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
    /// Where that takes long, the best plan is regrouped and whole mounts are filled: a few grams less in the plan can save the
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
        let mut climbs = self.climbs(&task);
        let is_alone = climbs.len() == 1;
        // The least bound first; among equals the cheapest combination.
        let mut queue: BinaryHeap<Reverse<(i64, usize)>> =
            climbs.iter().enumerate().map(|(next, climb)| Reverse((climb.bound, next))).collect();
        loop {
            let value = task.value(best.as_ref());
            let Some(mut first) = queue.peek_mut() else {
                return Outcome { best, bound: objective.ceiling(&limits), end: End::Proved };
            };
            let Reverse((bound, next)) = *first;
            if task.is_proved(value, bound) {
                return Outcome { best, bound, end: End::Proved };
            }
            let climb = &mut climbs[next];
            self.activate(climb.variant);
            let finish = if climb.is_bounded {
                self.advance(climb, &task, &mut best)
            } else {
                climb.bound = climb.bound.max(self.root_bound(objective, &limits));
                climb.is_bounded = true;
                // Where all settings are one, the nodes before the first look at the clock find some plan of most karts.
                if guard.is_over() && (best.is_some() || !is_alone) {
                    Finish::Stopped
                } else {
                    Finish::Exhausted
                }
            };
            first.0.0 = climb.bound;
            if finish == Finish::Stopped {
                return Outcome { best, bound, end: End::Stopped };
            }
        }
    }

    /// A climb for every combination of settings that may hold a plan.
    fn climbs(&self, task: &Task) -> Vec<Climb> {
        let Task { objective, limits, resolution, .. } = *task;
        // Where balance is free, settings are too: whatever they are, the same lead fits, and as things are set now it takes
        // the fewest changes.
        let balance_is_free = limits.outside_ng >= Limits::FREE && limits.close_ng >= Limits::FREE;
        let asks_for_balance = matches!(objective, Objective::Targets | Objective::Close);
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
                lesson: Lesson::default(),
                hopeless: None,
                is_bounded: false,
            })
            .collect()
    }

    /// Asks once for a plan below the next threshold, with the settings of a climb.
    fn advance(&mut self, climb: &mut Climb, task: &Task, best: &mut Option<Found>) -> Finish {
        let Task { objective, resolution, guard, .. } = *task;
        let value = task.value(best.as_ref());
        let worth = task.worth(value);
        let patient = climb.spent < climb.patience;
        // A plan this near to the bound ends the goal, whether or not it is worth asking for.
        let enough = climb.bound.saturating_add(resolution);
        let most = if patient { worth.min(climb.bound.saturating_add(climb.step)) } else { worth };
        let pause = climb.next_lesson.min(if patient { climb.patience } else { u64::MAX });
        let last_node = self.nodes.saturating_add(pause - climb.spent).min(guard.last_node);
        let before = self.nodes;
        std::mem::swap(&mut self.lesson, &mut climb.lesson);
        let descent =
            Descent::new(self, objective, task.limits_at(most), resolution, enough, last_node, guard);
        let (found, finish) = descent.run();
        std::mem::swap(&mut self.lesson, &mut climb.lesson);
        climb.spent += self.nodes - before;
        let nothing_found = found.is_none();
        *best = found.or(best.take());
        match finish {
            Finish::Enough | Finish::Stopped => {}
            Finish::Exhausted if nothing_found => {
                climb.bound = climb.bound.max(most.saturating_add(1));
                climb.step = objective.next_step(climb.step);
            }
            Finish::Exhausted => {
                let value = task.value(best.as_ref()).unwrap_or(climb.bound);
                climb.bound = climb.bound.max(value - resolution);
            }
            Finish::Spent if self.nodes >= guard.last_node => return Finish::Stopped,
            Finish::Spent if climb.spent >= climb.next_lesson => {
                return self.pause(climb, task, best);
            }
            Finish::Spent => climb.patience = climb.spent,
        }
        finish
    }

    /// Learns where nodes were spent, betters the best plan, and tries to end the goal by filling whole mounts.
    fn pause(&mut self, climb: &mut Climb, task: &Task, best: &mut Option<Found>) -> Finish {
        self.learn(std::mem::take(&mut climb.lesson));
        // What has just been learned may prove more from the start.
        climb.bound = climb.bound.max(self.root_bound(task.objective, &task.limits));
        let effort = climb.spent.saturating_mul(REGROUPING_PER_NODE);
        *best = best.take().map(|found| self.regrouped(found, task.objective, &task.limits, effort));
        let filled = self.fill_mounts(climb, task, best);
        if filled == Filled::Stopped {
            return Finish::Stopped;
        }
        let is_first = climb.scouting == self.scouting_nodes;
        climb.scouting *= if is_first && filled == Filled::TooLong { LITTLE_LONGER } else { LONGER };
        climb.next_lesson = climb.spent + climb.scouting;
        Finish::Spent
    }

    /// Fills whole mounts until the goal has ended.
    fn fill_mounts(&mut self, climb: &mut Climb, task: &Task, best: &mut Option<Found>) -> Filled {
        let guard = task.guard;
        let known = task.value(best.as_ref());
        let at_par = |nodes: u64| nodes.saturating_mul(FILLING_FOR_A_NODE);
        let at_ease = climb.spent.saturating_mul(FILLING_PER_NODE);
        let steps = at_ease
            .min(FILLING_AT_EASE.saturating_add(at_par(climb.spent)))
            .min(at_par(guard.last_node.saturating_sub(self.nodes)));
        if climb.hopeless.is_some_and(|(value, below)| value == known && steps < below) {
            return Filled::Hopeless;
        }
        let question = Question { task: *task, known, bound: climb.bound, steps };
        let Some(fillings) = Fillings::new(self, question) else { return Filled::Hopeless };
        let answer = fillings.run();
        self.nodes += answer.steps / FILLING_FOR_A_NODE;
        climb.bound = climb.bound.max(answer.bound);
        if let Some(found) = answer.best {
            task.keep(best, found);
        }
        let value = task.value(best.as_ref());
        climb.hopeless = answer.hopeless_below.map(|below| (value, below));
        match answer.end {
            Some(Finish::Stopped) => Filled::Stopped,
            _ if task.is_proved(value, climb.bound) => Filled::Wholly,
            _ if answer.hopeless_below.is_some() => Filled::Hopeless,
            _ => Filled::TooLong,
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
