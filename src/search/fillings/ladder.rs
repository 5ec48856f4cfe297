//! Which limit on the goal's value whole mounts are filled for, one after the other.
//! Takes a question; gives its answer: the best plan and a bound.
//! Joins nothing itself.
//!
//! The fillings of each mount are listed once, for plans that are better than the best that is known. Then the value climbs
//! from the bound: a *rung* asks for all plans up to a value, and a "no" raises the bound to it. Steps of a rung grow with the
//! root of what its fillings combine to, which is known beforehand.

use super::super::descend::Finish;
use super::{Answer, Fillings, Question, Source, combinations};
use crate::search::{Limits, Objective};

/// Plans up to a value, all of which are gone through in one go.
#[derive(Debug)]
struct Rung {
    most: i64,
    /// The fillings of each mount that such plans have; none if there is no such plan.
    lists: Option<Vec<Vec<u32>>>,
}

impl Question<'_> {
    /// The largest value that is asked for.
    pub(super) fn widest(&self) -> i64 {
        self.task.worth(self.known)
    }

    /// The largest value worth asking for that lies no more than a step above the bound.
    fn within(&self, step: i64) -> i64 {
        self.widest().min(self.bound.saturating_add(step))
    }

    /// Whether nothing is left to look for.
    pub(super) fn is_proved(&self) -> bool {
        self.task.is_proved(self.known, self.bound)
    }
}

impl Fillings<'_, '_, '_> {
    /// Runs to the end.
    pub(in crate::search) fn run(mut self) -> Answer {
        let lists = self.list_what_pays();
        let widest = self.limits;
        let mut step = self.question.task.resolution;
        while self.end.is_none() && !self.question.is_proved() {
            match self.next_rung(step, &widest, &lists) {
                Some(rung) => self.climb(rung),
                None => self.end = Some(Finish::Spent),
            }
            step = self.question.task.objective.next_rung(step);
        }
        Answer {
            best: self.best,
            bound: self.question.bound,
            steps: self.question.steps - self.steps_left,
            end: self.end,
            hopeless_below: self.hopeless_below,
        }
    }

    /// The fillings of plans that are better than the best that is known; if those are too many, of plans on the first rung.
    fn list_what_pays(&mut self) -> Vec<Vec<u32>> {
        let (widest, first) = (self.question.widest(), self.question.within(self.question.task.resolution));
        let lists = self.list_all(widest);
        if self.end != Some(Finish::Spent) || first >= widest {
            return lists;
        }
        self.end = None;
        self.list_all(first)
    }

    /// The rung that is a step above the bound; none if it is wider than the lists, or hopeless.
    fn next_rung(&mut self, step: i64, widest: &Limits, lists: &[Vec<u32>]) -> Option<Rung> {
        let most = self.question.within(step);
        if !widest.cover(&self.question.task.limits_at(most)) {
            return None;
        }
        self.limit_to(most);
        let mut lists = lists.to_vec();
        let lists = self.narrow(&mut lists).then_some(lists);
        let combinations = lists.as_deref().map_or(f64::NEG_INFINITY, combinations);
        let needed = self.steps_needed(combinations);
        // Where nothing is left to be joined, any number of steps will do.
        if lists.is_some() && needed > self.question.steps {
            self.hopeless_below = Some(needed);
            return None;
        }
        Some(Rung { most, lists })
    }

    /// Goes through all plans on a rung.
    fn climb(&mut self, rung: Rung) {
        self.limit_to(rung.most);
        let lengths = (self.pieces.len(), self.ways.len(), self.exact.len());
        if let Some(lists) = rung.lists {
            self.join(lists);
        }
        self.forget(lengths);
        match self.end {
            None => {
                // What is known and on the rung is the best there is, but for the resolution.
                let on_it = self.question.known.filter(|known| *known <= rung.most);
                let resolution = self.question.task.resolution;
                let proved = on_it.map_or(rung.most.saturating_add(1), |known| known - resolution);
                self.question.bound = self.question.bound.max(proved);
            }
            Some(Finish::Enough) => self.end = None,
            Some(_) => {}
        }
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
