//! Every column of one mount that any plan within the limits could have.

use super::packed::Pieces;
use super::rows::{Sums, WIDTH, add};
use super::{Columns, MOST_COLUMNS, Source};
use crate::search::depth_first::Finish;
use crate::search::layout::Stack;

/// Steps that a column costs when it is listed.
const STEPS_TO_LIST: u64 = 16;

/// What is asked of a mount.
struct Wanted {
    mount: usize,
    /// What a grain of divisible lead adds, and what the sums have to come to.
    asks: [(f64, f64); WIDTH],
    /// What it adds to take nothing of any class from one on.
    untaken: Vec<Sums>,
}

impl Wanted {
    /// What is left to spare in the tightest row if so much divisible lead is added.
    fn spare(&self, sums: &Sums, more: f64) -> f64 {
        let spare = |(sum, (density, ask)): (&i32, &(f64, f64))| f64::from(*sum) + density * more - ask;
        sums.iter().zip(&self.asks).map(spare).fold(f64::INFINITY, f64::min)
    }
}

impl Columns<'_, '_, '_> {
    /// Lists the columns of a mount at the highest level, if all others together add at most `others`.
    pub(super) fn list(&mut self, mount: usize, others: &[f64; WIDTH]) -> Vec<u32> {
        let wanted = self.wanted(mount, others);
        let first = self.pieces.len() as u32;
        self.fill(&wanted, 0, self.locked[mount], 0, &[0; WIDTH]);
        (first..self.pieces.len() as u32).collect()
    }

    fn wanted(&self, mount: usize, others: &[f64; WIDTH]) -> Wanted {
        let densities = self.rows.densities(self.search, &self.levels[0].stocks, mount);
        let mut asks = densities.map(|density| (density, 0.0));
        for ((cell, demand), other) in asks.iter_mut().zip(&self.rows.demands).zip(others) {
            // Two grains cover the rounding of the sums of divisible lead.
            cell.1 = f64::from(*demand) - other - 2.0;
        }
        for (changes, _) in self.rows.changes() {
            asks[changes].1 = f64::from(self.rows.demands[changes]) - others[changes];
        }
        let classes = self.top().stocks.kinds.len();
        let mut untaken = vec![[0; WIDTH]; classes + 1];
        for class in (0..classes).rev() {
            untaken[class] = untaken[class + 1];
            add(&mut untaken[class], &self.top().takings(class, mount)[0].most);
        }
        Wanted { mount, asks, untaken }
    }

    /// Lists what there is so far, if that is enough, and then with more pieces of the classes from one on.
    fn fill(&mut self, wanted: &Wanted, from: usize, stack: Stack, pieces: Pieces, sums: &Sums) {
        self.step(1);
        let (search, mount) = (self.search, wanted.mount);
        let top = self.top();
        let free_ng = search.model.mounts[mount].capacity_ng - stack.mass_ng;
        let heaviest_ng = |first| search.capacities.heaviest(&search.subset_sums, mount, first, free_ng);
        let more_ng = top.stocks.kinds.get(from).map_or(0, |next| heaviest_ng(next.first));
        let more = more_ng as f64 / search.supports.grain_ng() as f64;
        if self.end.is_some() || wanted.spare(sums, more) < 0.0 {
            return;
        }
        let mut without = *sums;
        add(&mut without, &wanted.untaken[from]);
        if wanted.spare(&without, 0.0) >= 0.0 {
            self.add_column(self.levels.len() - 1, mount, pieces, without);
        }
        let mut skipped = *sums;
        for next in from..wanted.untaken.len() - 1 {
            for taken in 1.. {
                let top = self.top();
                let Some(taking) = top.takings(next, mount).get(taken) else { break };
                let (mut stack, mut sums) = (stack, skipped);
                stack.join(&taking.least);
                if !search.has_room(mount, &stack) {
                    break;
                }
                add(&mut sums, &taking.most);
                let pieces = pieces | top.stocks.kinds[next].packed(taken as u32);
                self.fill(wanted, next + 1, stack, pieces, &sums);
            }
            add(&mut skipped, &self.top().takings(next, mount)[0].most);
        }
    }

    /// Adds a column of a level, which holds what `pieces` say.
    pub(super) fn add_column(&mut self, level: usize, mount: usize, pieces: Pieces, mut sums: Sums) {
        self.step(STEPS_TO_LIST);
        if self.pieces.len() >= MOST_COLUMNS || self.steps_left < self.listing_ends_at {
            self.end = self.end.or(Some(Finish::Spent));
            return;
        }
        let search = self.search;
        if level == 0 {
            let first = self.exact.len() as u32;
            for target in &search.targets {
                let (mut x_ng, mut tau_ng) = (0, 0);
                for stock in &self.levels[0].stocks.kinds {
                    let count = i64::from(stock.count_in(pieces));
                    x_ng += count * search.layout.gain_ng(target, stock.like.kind, mount);
                    tau_ng += count * target.slack_ng[stock.like.kind];
                }
                self.exact.push((x_ng, tau_ng));
            }
            self.sources.push(Source::Mount { mount: mount as u32, exact: first });
        } else {
            // Whatever it stands for adds no more than as much divisible lead as the mount takes.
            for (sum, poured) in sums.iter_mut().zip(&self.poured[mount]) {
                *sum = (*sum).min(poured.ceil() as i32 + 1);
            }
            self.sources.push(Source::Aggregate { mount: mount as u32, members: None });
        }
        self.pieces.push(pieces);
        self.sums.push(sums);
    }
}
