//! A better plan near a plan: one piece put elsewhere, or two at once, as long as that helps.
//! Takes a plan within limits and an objective; gives a plan that is at least as good, within the same limits.
//! Proves nothing and cuts nothing; what it finds only lets the search ask for less.
//!
//! A proof has to refute everything that is better than the best plan by more than the resolution, so a plan that is a few
//! grams better can spare most of a long proof. Depth first comes upon such plans by chance; exchanging pieces finds them.

use super::layout::{Layout, Stack};
use super::{Found, Limits, Objective, Search};
use crate::counts::Counts;
use crate::model::{Model, TargetRow, Values};

/// Plans that are looked at in one round: pairs of steps grow with the fourth power of the size of the kart.
const MOST_PAIRS: usize = 1 << 18;

/// One piece of a kind from a mount or the box to another; the box is the place after the last mount.
struct Step {
    kind: usize,
    from: usize,
    to: usize,
    piece: Stack,
    /// What it adds to the mass on the kart.
    mass_ng: i64,
    /// What it adds to the sums of gains and of slacks, target by target.
    sums_ng: Vec<(i64, i64)>,
}

impl Search<'_> {
    /// The best plan that steps towards smaller values reach, with the settings of `found`.
    ///
    /// Steps cost changes, so where changes are counted nothing is tried.
    pub(super) fn polish(&self, mut found: Found, objective: Objective, limits: &Limits) -> Found {
        if objective == Objective::Work {
            return found;
        }
        let targets = self.model.targets_at(found.counts.settings());
        while let Some(better) = self.polish_once(&found, objective, limits, &targets) {
            found = better;
        }
        found
    }

    /// The best of all plans that are one or two steps away, if it is better.
    fn polish_once(
        &self,
        found: &Found,
        objective: Objective,
        limits: &Limits,
        targets: &[TargetRow],
    ) -> Option<Found> {
        let sums_ng: Vec<(i64, i64)> = targets.iter().map(|target| target.sums(&found.counts)).collect();
        let stacks = self.stacks(&found.counts);
        let steps = steps(self.model, &self.layout, &found.counts, targets);
        let mut better: Option<Found> = None;
        let mut value = objective.of(&found.values);
        let mut look = |chosen: &[&Step]| {
            let mass_ng = found.values.mass_ng + chosen.iter().map(|step| step.mass_ng).sum::<i64>();
            let (mut outside_ng, mut close_ng) = (0, 0);
            for (t, target) in targets.iter().enumerate() {
                let (mut x, mut tau) = sums_ng[t];
                for step in chosen {
                    x += step.sums_ng[t].0;
                    tau += step.sums_ng[t].1;
                }
                outside_ng += target.outside_ng(x, tau);
                close_ng += target.close_ng(x);
            }
            let promised = Values { mass_ng, outside_ng, close_ng, ..found.values };
            let is_better = limits.hold(&promised) && objective.of(&promised) < value;
            if !is_better || !self.have_room(&stacks, chosen) {
                return;
            }
            if let Some(next) = self.taken(found, chosen, limits) {
                value = objective.of(&next.values);
                better = Some(next);
            }
        };
        for (index, step) in steps.iter().enumerate() {
            look(&[step]);
            for other in steps[..index].iter().take(MOST_PAIRS / steps.len()) {
                look(&[other, step]);
            }
        }
        better
    }

    /// What every mount carries.
    fn stacks(&self, counts: &Counts) -> Vec<Stack> {
        let mut stacks = vec![Stack::default(); self.model.mounts.len()];
        for (kind, mount, count) in counts.placed() {
            let row = &self.model.kinds[kind];
            stacks[mount].join(&Stack::of(row.mass_ng, row.thickness_nm, count));
        }
        stacks
    }

    /// Whether each mount that some steps lead to takes what it then carries: most exchanges fail here, before a plan is made of
    /// them.
    fn have_room(&self, stacks: &[Stack], steps: &[&Step]) -> bool {
        let mut entered = steps.iter().map(|step| step.to).filter(|place| *place != self.layout.the_box);
        entered.all(|mount| {
            let mut stack = stacks[mount];
            steps.iter().filter(|step| step.to == mount).for_each(|step| stack.join(&step.piece));
            steps.iter().filter(|step| step.from == mount).for_each(|step| stack.part(&step.piece));
            self.has_room(mount, &stack)
        })
    }

    /// The plan after some steps, if there is such a plan within the limits.
    fn taken(&self, found: &Found, steps: &[&Step], limits: &Limits) -> Option<Found> {
        let mut counts = found.counts.clone();
        let the_box = self.layout.the_box;
        for step in steps {
            if step.from != the_box {
                let count = counts.get_mut(step.kind, step.from);
                *count = count.checked_sub(1)?;
            }
            if step.to != the_box {
                *counts.get_mut(step.kind, step.to) += 1;
            }
        }
        self.plan_within(counts, limits)
    }
}

/// Every step that cells and stock allow.
fn steps(model: &Model, layout: &Layout, counts: &Counts, targets: &[TargetRow]) -> Vec<Step> {
    let the_box = layout.the_box;
    let mut steps = Vec::new();
    for (kind, row) in model.kinds.iter().enumerate() {
        let piece = Stack::of(row.mass_ng, row.thickness_nm, 1);
        let lies = |place: usize| {
            if place < the_box { counts.get(kind, place) > 0 } else { counts.of_kind(kind) < row.count }
        };
        let places: Vec<usize> = (0..=the_box).filter(|place| layout.is_open(kind, *place)).collect();
        for from in places.iter().copied().filter(|place| lies(*place)) {
            for to in places.iter().copied().filter(|to| *to != from) {
                let mass_ng = row.mass_ng * (i64::from(from == the_box) - i64::from(to == the_box));
                let sums = targets.iter().map(|target| {
                    let x = layout.gain_ng(target, kind, to) - layout.gain_ng(target, kind, from);
                    let slack_ng = target.slack_ng[kind];
                    (x, slack_ng * (i64::from(from == the_box) - i64::from(to == the_box)))
                });
                steps.push(Step { kind, from, to, piece, mass_ng, sums_ng: sums.collect() });
            }
        }
    }
    steps
}
