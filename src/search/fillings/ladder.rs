//! Which limit on the goal's value whole mounts are filled for, one after the other.
//! Takes a question; gives its answer: the best plan, a bound, and if they are few all plans that end the goal.
//! Joins nothing itself.
//!
//! The fillings of each mount are listed once, for plans that are no worse than the best that is known. Then the value climbs
//! from the bound: a *rung* asks for all plans up to a value, and a "no" raises the bound to it. Steps of a rung grow with the
//! root of what its fillings combine to. That can be known beforehand, so where a wider rung is hardly more work it is taken at
//! once; and where listing plans is hardly more work than finding the best, they are listed.

use super::super::descend::Finish;
use super::{Answer, Fillings, Question, Source, combinations};
use crate::search::{Found, Limits, Objective};

/// Where fillings combine to no more than this power of two times as many, plans are hardly more work.
const HARDLY_MORE: f64 = 3.0;

/// What may be spent to list the plans that end a goal, as a part of all steps, even if ending it has cost less; and if it has
/// cost nothing.
const SHARE_FOR_PLANS: u64 = 2;
const SHARE_FOR_PLANS_ALONE: u64 = 4;

/// Plans up to a value, all of which are gone through in one go.
#[derive(Debug)]
struct Rung {
    most: i64,
    /// Whether plans are listed that are no better than others.
    lists_plans: bool,
    /// The fillings of each mount that such plans have; none if there is no such plan.
    lists: Option<Vec<Vec<u32>>>,
    /// What they combine to, as a power of two.
    combinations: f64,
}

impl Question<'_> {
    /// Any plan of so small a value ends the goal.
    pub(super) fn enough(&self) -> i64 {
        self.bound.saturating_add(self.task.resolution)
    }

    /// The largest value that is asked for.
    pub(super) fn widest(&self) -> i64 {
        match self.known {
            Some(known) if self.lists => known.max(self.enough()),
            _ => self.task.worth(self.known),
        }
    }

    /// The largest value worth asking for that lies no more than a step above the bound.
    fn within(&self, step: i64) -> i64 {
        self.task.worth(self.known).min(self.bound.saturating_add(step))
    }

    /// Whether nothing is left to look for.
    pub(super) fn is_proved(&self) -> bool {
        self.task.is_proved(self.known, self.bound)
    }
}

impl Fillings<'_, '_, '_> {
    /// Runs to the end.
    pub(in crate::search) fn run(mut self) -> Answer {
        if self.question.is_proved() {
            self.question.steps /= SHARE_FOR_PLANS_ALONE;
            self.steps_left = self.question.steps;
        }
        let lists = self.list_what_pays();
        let widest = self.limits;
        let mut step = self.question.task.resolution;
        let mut all = None;
        while self.end.is_none() && !self.question.is_proved() {
            if let Some(rung) = self.next_rung(step, &widest, &lists) {
                all = self.climb(rung);
                step = self.question.task.objective.next_rung(step);
            } else {
                self.end = Some(Finish::Spent);
            }
        }
        let enough = self.question.enough();
        if self.question.lists
            && self.question.known.is_some()
            && all.is_none()
            && !self.are_too_many
            && self.end.is_none()
            && widest.cover(&self.question.task.limits_at(enough))
        {
            let spent = self.question.steps - self.steps_left;
            let affordable = spent.max(self.question.steps / SHARE_FOR_PLANS).min(self.steps_left);
            let kept = self.steps_left - affordable;
            self.steps_left -= kept;
            let ends = self.rung(enough, true, &lists);
            if self.is_affordable(&ends) && self.steps_foreseen(&ends) <= affordable {
                all = self.climb(ends);
            }
            self.steps_left += kept;
        }
        Answer {
            best: self.best,
            bound: self.question.bound,
            all,
            steps: self.question.steps - self.steps_left,
            end: self.end,
            hopeless_below: self.hopeless_below,
        }
    }

    /// The fillings that plans have which are no worse than the best that is known; if those are too many, the fillings of
    /// plans on the first rung.
    fn list_what_pays(&mut self) -> Vec<Vec<u32>> {
        let (widest, first) = (self.question.widest(), self.question.within(self.question.task.resolution));
        let lists = self.list_all(widest);
        if self.end != Some(Finish::Spent) || first >= widest {
            return lists;
        }
        self.end = None;
        self.list_all(first)
    }

    /// The widest rung that takes hardly longer than one that is a step above the bound; none if that one is wider than the
    /// lists, or hopeless.
    fn next_rung(&mut self, step: i64, widest: &Limits, lists: &[Vec<u32>]) -> Option<Rung> {
        let Question { task, known, lists: may_list, .. } = self.question;
        let is_covered = |most: i64| widest.cover(&task.limits_at(most));
        let narrowest = self.question.within(step);
        if !is_covered(narrowest) {
            return None;
        }
        let narrowest = self.rung(narrowest, false, lists);
        if !self.is_affordable(&narrowest) {
            self.hopeless_below = Some(self.steps_needed(narrowest.combinations));
            return None;
        }
        let further = self.question.within(task.objective.next_rung(task.objective.next_rung(step)));
        let no_worse = known.filter(|_| may_list).map(|known| (known.max(self.question.enough()), true));
        let better = (task.worth(known) > further).then_some((task.worth(known), false));
        let wider = no_worse.into_iter().chain(better).chain([(further, false)]);
        for (most, lists_plans) in wider.filter(|(most, _)| *most > narrowest.most && is_covered(*most)) {
            let rung = self.rung(most, lists_plans, lists);
            if rung.combinations <= narrowest.combinations + HARDLY_MORE && self.is_affordable(&rung) {
                return Some(rung);
            }
        }
        Some(narrowest)
    }

    /// The fillings that plans of no larger value may have.
    fn rung(&mut self, most: i64, lists_plans: bool, lists: &[Vec<u32>]) -> Rung {
        self.limit_to(most);
        let mut lists = lists.to_vec();
        let lists = self.narrow(&mut lists).then_some(lists);
        let combinations = lists.as_deref().map_or(f64::NEG_INFINITY, combinations);
        Rung { most, lists_plans, lists, combinations }
    }

    /// Whether the steps may do; where nothing is left to be joined they do.
    fn is_affordable(&self, rung: &Rung) -> bool {
        rung.lists.is_none() || self.steps_needed(rung.combinations) <= self.question.steps
    }

    /// How many steps a rung takes if they grow with the root of what its fillings combine to; none if nothing was climbed yet.
    fn steps_foreseen(&self, rung: &Rung) -> u64 {
        let (steps, combinations) = self.last_climb;
        (steps as f64 * ((rung.combinations - combinations) / 2.0).exp2()) as u64
    }

    /// Goes through all plans on a rung; gives them if they were listed, and the limits within which they are all.
    fn climb(&mut self, rung: Rung) -> Option<(Limits, Vec<Found>)> {
        self.limit_to(rung.most);
        self.all = rung.lists_plans.then(Vec::new);
        let lengths = (self.pieces.len(), self.ways.len(), self.exact.len());
        let left = self.steps_left;
        if let Some(lists) = rung.lists {
            self.join(lists);
            self.last_climb = (left - self.steps_left, rung.combinations);
        }
        self.forget(lengths);
        let all = self.all.take();
        match self.end {
            None => {
                // What is known and on the rung is the best there is, but for the resolution.
                let on_it = self.question.known.filter(|known| *known <= rung.most);
                let resolution = self.question.task.resolution;
                let proved = on_it.map_or(rung.most.saturating_add(1), |known| known - resolution);
                self.question.bound = self.question.bound.max(proved);
            }
            Some(Finish::Enough) => self.end = None,
            Some(_) => return None,
        }
        all.map(|all| (self.limits, all))
    }

    /// Forgets the fillings, ways and exact sums beyond so many, and with them what any filling stands for.
    pub(super) fn forget(&mut self, (fillings, ways, exact): (usize, usize, usize)) {
        self.pieces.truncate(fillings);
        self.sums.truncate(fillings);
        self.sources.truncate(fillings);
        self.ways.truncate(ways);
        self.exact.truncate(exact);
        for source in &mut self.sources {
            if let Source::Alike { members, .. } = source {
                *members = None;
            }
        }
    }
}

impl Objective {
    /// How far above the bound the next rung lies after a "no": four times as far where values are dense, one change more where
    /// they are whole numbers.
    fn next_rung(self, step: i64) -> i64 {
        if self == Objective::Work { step + 1 } else { step.max(1).saturating_mul(4) }
    }
}
