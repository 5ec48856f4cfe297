//! Every filling of one mount that any plan within the limits could have.
//! Takes what the mount can take, and the most that all others can add to each row; adds its fillings to the list.
//! Knows nothing of what the others are filled with, or whether that goes together.

use super::packed::Pieces;
use super::rows::{Sums, WIDTH};
use super::{Fillings, MOST_FILLINGS, Source};
use crate::model::Cell;
use crate::search::descend::Finish;
use crate::search::layout::Stack;

/// Steps that a filling costs when it is listed.
const STEPS_TO_LIST: u64 = 16;

/// What is asked of a mount.
struct Wanted {
    mount: usize,
    /// What a grain of liquid lead adds, and what the sums have to come to.
    asks: [(f64, f64); WIDTH],
    /// Mass of the stocks from each one on that may go there, grains.
    rest: Vec<f64>,
}

impl Wanted {
    /// What is left to spare in the tightest row if so much liquid lead is added.
    fn spare(&self, sums: &Sums, more: f64) -> f64 {
        let spare = |(sum, (density, ask)): (&i32, &(f64, f64))| f64::from(*sum) + density * more - ask;
        sums.iter().zip(&self.asks).map(spare).fold(f64::INFINITY, f64::min)
    }
}

impl Fillings<'_, '_, '_> {
    /// Lists the fillings of a mount, if all others together add at most `others`.
    pub(super) fn list(&mut self, mount: usize, others: &[f64; WIDTH]) -> Vec<u32> {
        let wanted = self.wanted(mount, others);
        let first = self.pieces.len() as u32;
        self.fill(&wanted, 0, self.locked[mount], 0, &[0; WIDTH]);
        (first..self.pieces.len() as u32).collect()
    }

    fn wanted(&self, mount: usize, others: &[f64; WIDTH]) -> Wanted {
        let densities = self.rows.densities(self.search, &self.stocks, mount);
        let mut asks = densities.map(|density| (density, 0.0));
        for ((cell, demand), other) in asks.iter_mut().zip(&self.rows.demands).zip(others) {
            // Two grains cover the rounding of the sums of liquid.
            cell.1 = f64::from(*demand) - other - 2.0;
        }
        let grain = self.search.supports.grain_ng() as f64;
        let mut rest = vec![0.0; self.stocks.kinds.len() + 1];
        for (index, stock) in self.stocks.kinds.iter().enumerate().rev() {
            let open = self.search.layout.is_open(stock.like.kind, mount);
            let count = if open { f64::from(stock.count) } else { 0.0 };
            rest[index] = rest[index + 1] + count * stock.like.mass_ng as f64 / grain;
        }
        Wanted { mount, asks, rest }
    }

    /// Lists what there is so far, if that is enough, and then with more pieces of the stocks from one on.
    fn fill(&mut self, wanted: &Wanted, from: usize, stack: Stack, pieces: Pieces, sums: &Sums) {
        self.step(1);
        let (search, mount) = (self.search, wanted.mount);
        let free_ng = search.model.mounts[mount].capacity_ng - stack.mass_ng;
        let free = free_ng as f64 / search.supports.grain_ng() as f64;
        if self.end.is_some() || wanted.spare(sums, free.min(wanted.rest[from])) < 0.0 {
            return;
        }
        if wanted.spare(sums, 0.0) >= 0.0 {
            self.add_filling(mount, pieces, *sums);
        }
        for next in from..self.stocks.kinds.len() {
            let stock = self.stocks.kinds[next];
            let (mut stack, mut sums) = (stack, *sums);
            let most = if search.layout.is_open(stock.like.kind, mount) { stock.count } else { 0 };
            for taken in 1..=most {
                stack.add(&stock.like, 1);
                if !search.has_room(mount, &stack) {
                    break;
                }
                super::rows::add(&mut sums, self.rows.of_piece(next, mount, search.model.mounts.len()));
                self.fill(wanted, next + 1, stack, pieces | stock.packed(taken), &sums);
            }
        }
    }

    fn add_filling(&mut self, mount: usize, pieces: Pieces, mut sums: Sums) {
        self.step(STEPS_TO_LIST);
        if self.pieces.len() == MOST_FILLINGS || self.steps_left < self.listing_ends_at {
            self.end = self.end.or(Some(Finish::Spent));
            return;
        }
        let search = self.search;
        let (mut arrivals, mut departures) = (0, 0);
        for stock in &self.stocks.kinds {
            // Locked pieces neither enter nor leave.
            let kind = stock.like.kind;
            let is_locked = matches!(search.model.cell(kind, mount), Cell::Locked(_));
            let fitted = if is_locked { 0 } else { search.model.fitted.get(kind, mount) };
            let count = stock.count_in(pieces);
            arrivals += count.saturating_sub(fitted);
            departures += fitted.saturating_sub(count);
        }
        self.rows.count_changes(&mut sums, arrivals, departures);
        for target in &search.targets {
            let (mut x_ng, mut tau_ng) = (0, 0);
            for stock in &self.stocks.kinds {
                let count = i64::from(stock.count_in(pieces));
                x_ng += count * search.layout.gain_ng(target, stock.like.kind, mount);
                tau_ng += count * target.slack_ng[stock.like.kind];
            }
            self.exact.push((x_ng, tau_ng));
        }
        self.pieces.push(pieces);
        self.sums.push(sums);
        self.sources.push(Source::Mount(mount as u32));
    }
}
