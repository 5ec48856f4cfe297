//! Sums that every plan has to reach: one number per column and row, so that columns are judged by adding them up.
//!
//! A row is an inequality that every plan within the limits obeys, `Σ value ≥ demand`, and so it stays true when some
//! columns are replaced by better ones. Most rows are directions of the support bounds with mass at a price: since the lead
//! weighs at least `least`, `v·x ≥ need` gives `v·x + λ·mass ≥ need + λ·least` for every λ ≥ 0, and likewise with `most`
//! for λ < 0. That is a Lagrangian relaxation of the limits on mass; the λ that leaves least to spare is a gain of some
//! mount with its sign changed, since what is left to spare is convex and bends only there.

use super::MOST_APART_NG;
use super::packed::Stocks;
use crate::model::TargetRow;
use crate::search::{Limits, Search};

/// Sums of one column, or of several together.
pub(super) type Sums = [i32; WIDTH];

/// Rows there can be.
pub(super) const WIDTH: usize = 2 * MOST_DIRECTIONS + 4;

/// Rows of directions with a price on mass, and as many without; the tightest serve.
const MOST_DIRECTIONS: usize = 14;

/// Largest sum of magnitudes in a row, grains; a row that can exceed it is left out, as a kart never does.
///
/// Columns that share no piece therefore come to no more either, and sums of four such terms fit 32 bits.
const MOST_SUM: i32 = 1 << 28;

/// The demand that everything meets.
const NO_DEMAND: i32 = -MOST_SUM;

/// What lists that may share pieces can add together is cut to this: it meets every demand, whatever else is there.
const MORE_THAN_ENOUGH: i64 = 4 * MOST_SUM as i64;

/// What a row adds up.
#[derive(Clone, Debug, PartialEq)]
enum Row {
    /// Gains in a direction, and mass at a price.
    Balance { direction: Vec<f64>, price: f64 },
    /// Mass, of which there is a least.
    Least,
    /// Minus the mass, of which there is a most.
    Most,
    /// Minus the changes: pieces that leave a mount, of kinds that are all on mounts, and pieces that enter one, of kinds that
    /// are all in the box. Of kinds that are here and there, those that leave or those that enter.
    Changes { mixed_leave: bool },
}

#[derive(Debug)]
pub(super) struct Rows {
    stated: Vec<Row>,
    /// By `stock * mounts + mount`.
    per_piece: Vec<Sums>,
    pub(super) demands: Sums,
}

impl Rows {
    /// The tightest rows of these limits. `free` is what each mount can be filled with, grains.
    pub(super) fn new(search: &Search, stocks: &Stocks, limits: &Limits, free: &[f64]) -> Rows {
        let mut rows = Rows { stated: Vec::new(), per_piece: Vec::new(), demands: [NO_DEMAND; WIDTH] };
        let mut candidates = candidates(search, stocks, limits, free);
        candidates.sort_by(|a, b| a.0.total_cmp(&b.0));
        for is_priced in [true, false] {
            let is_so = |(_, row): &&(f64, Row)| matches!(row, Row::Balance { price, .. } if (*price != 0.0) == is_priced);
            let tightest = candidates.iter().filter(is_so).take(MOST_DIRECTIONS);
            rows.stated.extend(tightest.map(|(_, row)| row.clone()));
        }
        rows.stated.extend([Row::Least, Row::Most]);
        if limits.work < Limits::FREE {
            rows.stated.extend([false, true].map(|mixed_leave| Row::Changes { mixed_leave }));
        }
        rows.stated.retain(|row| largest_sum(row, search, stocks) < f64::from(MOST_SUM));
        let mounts = search.model.mounts.len();
        for stock in 0..stocks.kinds.len() {
            for mount in 0..mounts {
                let mut sums = [0; WIDTH];
                for (sum, row) in sums.iter_mut().zip(&rows.stated) {
                    *sum = value(row, search, stocks, stock, mount).ceil() as i32;
                }
                rows.per_piece.push(sums);
            }
        }
        rows.renew(search, limits);
        rows
    }

    /// States the demands anew: a better plan leaves tighter limits.
    pub(super) fn renew(&mut self, search: &Search, limits: &Limits) {
        let (least, most) = lead_range(search, limits);
        let needs = Needs::new(search, limits);
        let work = (limits.work - search.work_of_settings()) as f64;
        for (demand, row) in self.demands.iter_mut().zip(&self.stated) {
            let exact = match row {
                Row::Balance { direction, price } => {
                    let bound = if *price > 0.0 { least } else { most };
                    // One grain less covers the rounding of the product.
                    needs.of(direction) + price * bound - 1.0
                }
                Row::Least => least,
                Row::Most => -most,
                Row::Changes { .. } => -work,
            };
            *demand = exact.floor().clamp(f64::from(NO_DEMAND), f64::from(MOST_SUM)) as i32;
        }
    }

    /// What a piece of a stock adds on a mount.
    pub(super) fn of_piece(&self, stock: usize, mount: usize, mounts: usize) -> &Sums {
        &self.per_piece[stock * mounts + mount]
    }

    /// The rows that count changes, and whether pieces that are here and there count as they leave.
    pub(super) fn changes(&self) -> impl Iterator<Item = (usize, bool)> + '_ {
        let mixed_leave =
            |row: &Row| if let Row::Changes { mixed_leave } = row { Some(*mixed_leave) } else { None };
        self.stated.iter().enumerate().filter_map(move |(index, row)| Some((index, mixed_leave(row)?)))
    }

    /// How much a grain of lead more or less on a mount matters to the tightest row.
    pub(super) fn weight(&self, search: &Search, stocks: &Stocks, mount: usize) -> f64 {
        self.stated.first().map_or(0.0, |row| density(row, search, stocks, mount).abs())
    }

    /// The most that a grain of divisible lead adds on a mount, row by row; nothing where mass is not what counts.
    pub(super) fn densities(&self, search: &Search, stocks: &Stocks, mount: usize) -> [f64; WIDTH] {
        let mut densities = [0.0; WIDTH];
        for (cell, row) in densities.iter_mut().zip(&self.stated) {
            *cell = density(row, search, stocks, mount).max(0.0);
        }
        densities
    }
}

/// Directions, with a price on mass or without, by the share of what the mounts can add that is left to spare.
fn candidates(search: &Search, stocks: &Stocks, limits: &Limits, free: &[f64]) -> Vec<(f64, Row)> {
    let (least, most) = lead_range(search, limits);
    let needs = Needs::new(search, limits);
    let kept = search.supports.directions();
    let mut directions = facets(search.targets.len());
    let facets = directions.len();
    directions.extend(kept.iter().cloned());
    let mut candidates = Vec::new();
    for (index, direction) in directions.iter().enumerate() {
        let row = |price| Row::Balance { direction: direction.clone(), price };
        let plain = row(0.0);
        let gains: Vec<f64> = (0..free.len()).map(|mount| density(&plain, search, stocks, mount)).collect();
        let need = needs.of(direction);
        let poured = |price: f64| -> f64 {
            gains.iter().zip(free).map(|(gain, free)| (gain + price).max(0.0) * free).sum()
        };
        let spare = |price: f64| poured(price) - need - price * if price > 0.0 { least } else { most };
        let prices = gains.iter().map(|gain| -gain).filter(|price| price.is_finite()).chain([0.0]);
        let Some(best) = prices.min_by(|a, b| spare(*a).total_cmp(&spare(*b))) else { continue };
        let share = spare(best) / poured(best).max(1.0);
        if index < facets {
            candidates.push((share, plain));
        } else if best != 0.0 {
            candidates.push((share, row(best)));
        }
    }
    candidates
}

/// What a piece adds to a row.
fn value(row: &Row, search: &Search, stocks: &Stocks, stock: usize, mount: usize) -> f64 {
    let like = stocks.kinds[stock].like;
    let grain = search.supports.grain_ng() as f64;
    let mass = like.mass_ng as f64 / grain;
    match row {
        Row::Balance { direction, price } => {
            let gains = direction.iter().zip(&search.targets);
            let gain =
                |(v, target): (&f64, &TargetRow)| v * search.layout.gain_ng(target, like.kind, mount) as f64;
            gains.map(gain).sum::<f64>() / grain + price * mass
        }
        Row::Least => mass,
        Row::Most => -mass,
        Row::Changes { .. } => 0.0,
    }
}

/// The most that any kind adds per grain of its mass on a mount; −∞ where no kind may go.
fn density(row: &Row, search: &Search, stocks: &Stocks, mount: usize) -> f64 {
    let open = |stock: &usize| search.layout.is_open(stocks.kinds[*stock].like.kind, mount);
    let per_grain = |stock: usize| {
        let mass = stocks.kinds[stock].like.mass_ng as f64 / search.supports.grain_ng() as f64;
        value(row, search, stocks, stock, mount).ceil() / mass
    };
    (0..stocks.kinds.len()).filter(open).map(per_grain).fold(f64::NEG_INFINITY, f64::max)
}

/// The largest magnitude that a row can come to, also where every piece counts as if it were the heaviest of its class.
fn largest_sum(row: &Row, search: &Search, stocks: &Stocks) -> f64 {
    let of_stock = |stock: usize| {
        let values =
            (0..search.model.mounts.len()).map(|mount| value(row, search, stocks, stock, mount).abs());
        let mass_ng = stocks.kinds[stock].like.mass_ng as f64;
        let heavier = 1.0 + MOST_APART_NG[MOST_APART_NG.len() - 1] as f64 / mass_ng;
        values.fold(0.0, f64::max) * heavier * f64::from(stocks.kinds[stock].count)
    };
    (0..stocks.kinds.len()).map(of_stock).sum()
}

/// What is needed of the columns in any direction, grains.
struct Needs<'s, 'm> {
    search: &'s Search<'m>,
    limits: Limits,
    most_tau_ng: Vec<i64>,
}

impl<'s, 'm> Needs<'s, 'm> {
    fn new(search: &'s Search<'m>, limits: &Limits) -> Needs<'s, 'm> {
        Needs { search, limits: *limits, most_tau_ng: search.most_tau_ng(limits.most_mass_ng) }
    }

    fn of(&self, direction: &[f64]) -> f64 {
        let Search { supports, targets, layout, .. } = self.search;
        let region = self.search.region(&self.most_tau_ng, self.limits.outside_ng, self.limits.close_ng);
        let settled = |(v, target): (&f64, &TargetRow)| v * layout.locked_sums_ng(target).0 as f64;
        let settled_ng: f64 = direction.iter().zip(targets).map(settled).sum();
        // The sum of locked pieces is rounded once: a grain covers it.
        f64::from(supports.need(direction, &region)) - settled_ng / supports.grain_ng() as f64 - 1.0
    }
}

/// The directions in which the regions of few targets have their faces: each target counts fully, either way, or not at all.
fn facets(targets: usize) -> Vec<Vec<f64>> {
    if targets > 4 {
        return Vec::new();
    }
    let mut facets = vec![Vec::new()];
    for _ in 0..targets {
        let extended =
            |facet: &Vec<f64>| [-1.0, 0.0, 1.0].map(|v| facet.iter().copied().chain([v]).collect());
        facets = facets.iter().flat_map(extended).collect();
    }
    facets.retain(|facet: &Vec<f64>| facet.iter().any(|v| *v != 0.0));
    facets
}

/// Least and most lead that moves may leave on the kart, grains.
fn lead_range(search: &Search, limits: &Limits) -> (f64, f64) {
    let lead =
        |total_ng: i64| (total_ng - search.settled_mass_ng()) as f64 / search.supports.grain_ng() as f64;
    (lead(limits.least_mass_ng), lead(limits.most_mass_ng))
}

/// What mounts can be filled with, grains, as if lead were divisible.
pub(super) fn free(search: &Search) -> Vec<f64> {
    let mounts = &search.model.mounts;
    let stacks = search.layout.locked_stacks();
    let free = stacks.iter().zip(mounts).enumerate().map(|(mount, (stack, row))| {
        let free_ng = (row.capacity_ng - stack.mass_ng).max(0);
        search.capacities.heaviest(&search.subset_sums, mount, 0, free_ng) as f64
            / search.supports.grain_ng() as f64
    });
    free.collect()
}

/// The sum of the bests of several lists, which may share pieces.
pub(super) fn total(bests: impl Iterator<Item = Sums>) -> Sums {
    let mut total = [0_i64; WIDTH];
    for best in bests {
        total.iter_mut().zip(&best).for_each(|(sum, best)| *sum += i64::from(*best));
    }
    total.map(|sum| sum.clamp(-MORE_THAN_ENOUGH, MORE_THAN_ENOUGH) as i32)
}

/// Adds sums to sums.
pub(super) fn add(sums: &mut Sums, more: &Sums) {
    for (sum, more) in sums.iter_mut().zip(more) {
        *sum += more;
    }
}

/// Makes sums at least as large as others, row by row.
pub(super) fn raise(sums: &mut Sums, least: &Sums) {
    for (sum, least) in sums.iter_mut().zip(least) {
        *sum = (*sum).max(*least);
    }
}

/// The largest of several, row by row.
pub(super) fn best<'s>(several: impl Iterator<Item = &'s Sums>) -> Sums {
    let mut best = [i32::MIN; WIDTH];
    for sums in several {
        raise(&mut best, sums);
    }
    best
}

/// Makes sums no larger than others, row by row.
pub(super) fn lower(sums: &mut Sums, most: &Sums) {
    for (sum, most) in sums.iter_mut().zip(most) {
        *sum = (*sum).min(*most);
    }
}

/// Sums less others, row by row.
pub(super) fn less(sums: &Sums, taken: &Sums) -> Sums {
    let mut left = *sums;
    for (left, taken) in left.iter_mut().zip(taken) {
        *left -= taken;
    }
    left
}

/// Whether sums are at least as large as others, row by row.
pub(super) fn suffice(sums: &Sums, least: &Sums) -> bool {
    // One sign bit tells of all rows at once.
    sums.iter().zip(least).fold(0, |signs, (sum, least)| signs | (sum - least)) >= 0
}

/// Whether two sums together are at least as large as what is asked, row by row.
pub(super) fn suffice_together(one: &Sums, other: &Sums, asks: &Sums) -> bool {
    let pairs = one.iter().zip(other).zip(asks);
    pairs.fold(0, |signs, ((one, other), ask)| signs | (one + other - ask)) >= 0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_many_lists_add_meets_every_demand_and_never_overflows() {
        let largest = [MOST_SUM - 1; WIDTH];
        let least = largest.map(|sum| -sum);
        let asks = |others: Sums, demand: i32| others.map(|other| demand - other);
        let plenty = total((0..60).map(|_| largest));
        assert!(suffice_together(&least, &least, &asks(plenty, MOST_SUM)));
        let nothing = total((0..60).map(|_| least));
        assert!(!suffice_together(&largest, &largest, &asks(nothing, NO_DEMAND)));
        assert_eq!(total([[3; WIDTH], [-5; WIDTH]].into_iter()), [-2; WIDTH]);
    }

    #[test]
    fn faces_count_every_target_fully_or_not_at_all() {
        assert_eq!(facets(2).len(), 8);
        assert!(facets(2).contains(&vec![0.0, -1.0]) && !facets(2).contains(&vec![0.0, 0.0]));
        assert_eq!(facets(4).len(), 80);
    }
}
