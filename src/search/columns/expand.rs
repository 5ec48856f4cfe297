//! From joined columns to plans: every way to make them up, each measured exactly.
//! Joins nothing, and refuses only what a row or a limit refuses.

use super::super::depth_first::Finish;
use super::rows::{WIDTH, add, suffice};
use super::{Columns, Source};
use crate::model::Cell;
use crate::search::Found;
use crate::search::limits::Task;

/// What it costs to look at a column, or at a way to make it up, in steps.
const STEPS_TO_EXPAND: u64 = 2;

/// What it costs to measure a plan, in steps.
const STEPS_TO_MEASURE: u64 = 1 << 7;

impl Columns<'_, '_, '_> {
    /// Goes through every way to make up the columns that are open, next to those of single mounts that are settled.
    pub(super) fn expand(&mut self, open: &mut Vec<u32>, settled: &mut Vec<u32>) {
        self.step(STEPS_TO_EXPAND);
        if self.end.is_some() {
            return;
        }
        let Some(column) = open.pop() else {
            self.disaggregate(self.levels.len() - 1, settled);
            return;
        };
        match self.sources[column as usize] {
            Source::Mount { .. } | Source::Aggregate { .. } => {
                settled.push(column);
                self.expand(open, settled);
                settled.pop();
            }
            Source::Ways(first, count) => {
                let mut others = [0; WIDTH];
                for other in open.iter().chain(&*settled) {
                    add(&mut others, &self.sums[*other as usize]);
                }
                self.step(STEPS_TO_EXPAND * u64::from(count));
                for way in first..first + count {
                    let (one, other) = self.ways[way as usize];
                    let mut sums = others;
                    add(&mut sums, &self.sums[one as usize]);
                    add(&mut sums, &self.sums[other as usize]);
                    if suffice(&sums, &self.rows.demands) {
                        open.extend([one, other]);
                        self.expand(open, settled);
                        open.truncate(open.len() - 2);
                    }
                }
            }
        }
        open.push(column);
    }

    /// Measures a plan and keeps it if it is within the limits.
    pub(super) fn consider(&mut self, settled: &[u32]) {
        let search = self.search;
        let limits = self.limits;
        let (mut outside_ng, mut close_ng) = (0, 0);
        for (t, target) in search.targets.iter().enumerate() {
            let (mut x_ng, mut tau_ng) = self.locked_sums_ng[t];
            for column in settled {
                let Source::Mount { exact, .. } = self.sources[*column as usize] else { continue };
                let (x, tau) = self.exact[exact as usize + t];
                x_ng += x;
                tau_ng += tau;
            }
            outside_ng += target.outside_ng(x_ng, tau_ng);
            close_ng += target.close_ng(x_ng);
        }
        if outside_ng > limits.outside_ng || close_ng > limits.close_ng {
            return;
        }
        self.step(STEPS_TO_MEASURE);
        let settings = &search.variants.all[search.active].settings;
        let mut counts = search.model.fitted.clone().with_settings(settings);
        for column in settled {
            let Source::Mount { mount, .. } = self.sources[*column as usize] else { continue };
            let mount = mount as usize;
            for stock in &self.levels[0].stocks.kinds {
                let kind = stock.like.kind;
                if !matches!(search.model.cell(kind, mount), Cell::Locked(_)) {
                    *counts.get_mut(kind, mount) = stock.count_in(self.pieces[*column as usize]);
                }
            }
        }
        if let Some(found) = search.plan_within(counts, &limits) {
            self.note(found);
        }
    }

    /// Keeps a plan, and asks only for better ones from now on.
    fn note(&mut self, found: Found) {
        let Task { objective, resolution, .. } = self.question.task;
        let value = objective.of(&found.values);
        let known = self.question.known.map_or(value, |known| known.min(value));
        self.question.known = Some(known);
        if self.best.as_ref().is_none_or(|best| value < objective.of(&best.values)) {
            self.best = Some(found);
        }
        if self.question.is_proved() {
            self.end = Some(Finish::Enough);
            return;
        }
        objective.limit(&mut self.limits, known - resolution - 1);
        self.renew();
    }
}
