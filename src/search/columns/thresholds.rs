//! Destructive bounds: which limit on the goal's value columns are joined for, one after the other.
//! Takes a question; gives its answer: the best plan and a bound.
//! Joins nothing itself.
//!
//! The columns of each mount are listed once, for plans that are better than the best that is known. Then a *threshold* climbs
//! from the bound: it asks for all plans up to a value, and a "no" raises the bound to it. Steps of a threshold grow with the
//! root of what its columns combine to, which is known beforehand.

use super::super::depth_first::Finish;
use super::{Answer, Columns, Question, Source, combinations};
use crate::search::{Limits, Objective};

/// Plans up to a value, all of which are gone through in one go.
#[derive(Debug)]
struct Threshold {
    most: i64,
    /// The columns of each mount that such plans have; none if there is no such plan.
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

impl Columns<'_, '_, '_> {
    /// Runs to the end.
    pub(in crate::search) fn run(mut self) -> Answer {
        let lists = self.list_what_pays();
        let widest = self.limits;
        let mut step = self.question.task.resolution;
        while self.end.is_none() && !self.question.is_proved() {
            match self.next_threshold(step, &widest, &lists) {
                Some(threshold) => self.prove(threshold),
                None => self.end = Some(Finish::Spent),
            }
            step = self.question.task.objective.next_threshold(step);
        }
        Answer {
            best: self.best,
            bound: self.question.bound,
            steps: self.question.steps - self.steps_left,
            end: self.end,
            intractable_below: self.intractable_below,
        }
    }

    /// The columns of plans that are better than the best that is known; if those are too many, of plans up to the first
    /// threshold.
    fn list_what_pays(&mut self) -> Vec<Vec<u32>> {
        let (widest, first) = (self.question.widest(), self.question.within(self.question.task.resolution));
        let lists = self.list_all(widest);
        if self.end != Some(Finish::Spent) || first >= widest {
            return lists;
        }
        self.end = None;
        self.list_all(first)
    }

    /// The threshold that is a step above the bound; none if it is wider than the lists, or intractable.
    fn next_threshold(&mut self, step: i64, widest: &Limits, lists: &[Vec<u32>]) -> Option<Threshold> {
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
            self.intractable_below = Some(needed);
            return None;
        }
        Some(Threshold { most, lists })
    }

    /// Goes through all plans up to a threshold.
    fn prove(&mut self, threshold: Threshold) {
        self.limit_to(threshold.most);
        let lengths = (self.pieces.len(), self.ways.len(), self.exact.len());
        if let Some(lists) = threshold.lists {
            self.join(lists);
        }
        self.forget(lengths);
        match self.end {
            None => {
                // What is known and within the threshold is the best there is, but for the resolution.
                let on_it = self.question.known.filter(|known| *known <= threshold.most);
                let resolution = self.question.task.resolution;
                let proved = on_it.map_or(threshold.most.saturating_add(1), |known| known - resolution);
                self.question.bound = self.question.bound.max(proved);
            }
            Some(Finish::Enough) => self.end = None,
            Some(_) => {}
        }
    }

    /// Forgets the columns, ways and exact sums beyond so many, and with them what any column stands for.
    pub(super) fn forget(&mut self, (columns, ways, exact): (usize, usize, usize)) {
        self.pieces.truncate(columns);
        self.sums.truncate(columns);
        self.sources.truncate(columns);
        self.ways.truncate(ways);
        self.exact.truncate(exact);
        for source in &mut self.sources {
            if let Source::Aggregate { members, .. } = source {
                *members = None;
            }
        }
    }
}

impl Objective {
    /// How far above the bound the next threshold lies after a "no": four times as far where values are dense, one change more
    /// where they are whole numbers.
    fn next_threshold(self, step: i64) -> i64 {
        if self == Objective::Work { step + 1 } else { step.max(1).saturating_mul(4) }
    }
}
