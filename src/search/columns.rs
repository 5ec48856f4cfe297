//! Whole mounts at a time: what each mount could be filled with, and which columns go together.
//! When it is tried, and for how long, `destructive` decides.
//!
//! Piece by piece, the search learns late that two mounts cannot both be filled to the brim. Here the mount is the unit. A
//! *column* is a set of pieces with the mounts it lies on, one to begin with. Every plan is one column of each mount, and no
//! piece is used twice.
//!
//! 1. `rows` states sums that every plan has to reach, most of them directions of the support bounds with mass at a price.
//!    What a column falls short of the best for its mount is lost to the whole plan, and no more may be lost than is to
//!    spare. That leaves few columns of a mount that matters, as a reduced cost fixes a variable in integer programming;
//!    listing every column whose reduced cost is within the gap is how set partitioning is solved in vehicle routing
//!    (Baldacci, Christofides and Mingozzi 2008; from memory). `generate` finds them.
//!
//!    It does not tell pieces apart that were cast alike and differ by some grams: half a dozen quarter kilograms can be shared
//!    out in as many ways as one likes, nearly all of which are too light, or too heavy, together. Until the end they are one
//!    kind, and a column stands for all that hold as many of each (`aggregation`).
//! 2. Two short lists are joined into one of columns of the mounts of both, again and again, until two are left. The same
//!    pieces on the same mounts in another way are one column with several *ways*, which keeps the lists short. `tree` refuses
//!    most pairs of columns by whole branches.
//! 3. What goes together in the last two lists is expanded, way by way, told apart, class by class, and measured. This is
//!    meeting in the middle (Horowitz and Sahni 1974), with mounts in place of numbers.
//!
//! The lists are made once, and joined for one limit on the goal's value after the other; which, `thresholds` decides.
//!
//! *Nothing is lost*: a plan within the limits meets every row, so do its columns with the best of the others in place of
//! its own, and so no list, join or expansion drops a part of it. Sums of joined columns are the largest of their ways, those
//! of a class of its pieces, and those of a branch the largest below it. What is forgotten, the exact values, is asked of
//! every plan at the end.

mod aggregation;
mod expand;
mod generate;
mod packed;
mod rows;
mod thresholds;
mod tree;

use super::depth_first::Finish;
use super::layout::Stack;
use super::limits::Task;
use super::{Found, Limits, Search};
use aggregation::Level;
use packed::{Pair, Pieces, Stocks};
use rows::{Rows, Sums, WIDTH, add, raise, suffice, suffice_together};
use tree::Tree;

/// Ways that are kept under one column: together they promise more than each of them holds.
const MOST_WAYS: usize = 16;

/// Columns and ways that there may be, a hundred bytes each; more are no hope.
const MOST_COLUMNS: usize = 1 << 19;
const MOST_JOINED: usize = 1 << 20;

/// It is intractable if columns of each mount, one with the other, are more than this times the square of the steps: joining
/// half of the mounts with the other half takes about the square root of all combinations.
const INTRACTABLE: f64 = (1 << 16) as f64;

/// How far apart the pieces of a class may be, level by level, ng. A tenth of the usual resolution hardly matters; at the last
/// level, pieces that were cast alike are one class.
const MOST_APART_NG: [i64; 3] = [5_000_000_000, 20_000_000_000, 60_000_000_000];

/// What the columns of each mount may cost to list, as a part of the steps that are left.
const SHARE_TO_LIST: u64 = 3;

/// What it costs to keep a way, in steps.
const STEPS_TO_KEEP: u64 = 8;

/// Pairs of columns that are compared in one step.
const COMPARED_PER_STEP: usize = 4;

/// Steps between two looks at the clock.
const STEPS_PER_LOOK: u64 = 1 << 14;

/// Where a column comes from.
#[derive(Clone, Copy, Debug)]
enum Source {
    /// It fills one mount; its exact sums start there.
    Mount { mount: u32, exact: u32 },
    /// It stands for several of one mount: from the first of them to before the last, once they are known.
    Aggregate { mount: u32, members: Option<(u32, u32)> },
    /// It fills several: the first of its ways, and how many.
    Ways(u32, u32),
}

/// What a run is asked for.
#[derive(Clone, Copy)]
pub(super) struct Question<'g> {
    pub(super) task: Task<'g>,
    /// The least value that is known.
    pub(super) known: Option<i64>,
    /// No plan has a smaller value.
    pub(super) bound: i64,
    /// After so many it gives up.
    pub(super) steps: u64,
}

/// What came of a run.
#[derive(Debug)]
pub(super) struct Answer {
    /// The best plan that was met.
    pub(super) best: Option<Found>,
    /// No plan has a smaller value.
    pub(super) bound: i64,
    /// Steps taken.
    pub(super) steps: u64,
    /// Why it gave up; none if all that was asked for was done.
    pub(super) end: Option<Finish>,
    /// Where it gave up because the columns are far too many: fewer steps than these will not do either.
    pub(super) intractable_below: Option<u64>,
}

/// One run.
pub(super) struct Columns<'s, 'm, 'g> {
    search: &'s Search<'m>,
    question: Question<'g>,
    /// Within these every plan is gone through now.
    limits: Limits,
    /// The kinds, and classes of those that are nearly alike.
    levels: Vec<Level>,
    /// What as much divisible lead as fits adds on each mount, and what is locked there.
    poured: Vec<[f64; WIDTH]>,
    locked: Vec<Stack>,
    /// What the locked pieces add to the sums of gains and slacks, by target.
    locked_sums_ng: Vec<(i64, i64)>,
    rows: Rows,
    /// The best that the lists which are not joined now can add, and what that leaves to ask of those that are.
    others: Sums,
    asks: Sums,
    /// Of every column: its pieces, its sums, and where it comes from.
    pieces: Vec<Pieces>,
    sums: Vec<Sums>,
    sources: Vec<Source>,
    /// Exact sums of gains and slacks of columns of one mount, target by target.
    exact: Vec<(i64, i64)>,
    /// Two columns that make up one.
    ways: Vec<(u32, u32)>,
    best: Option<Found>,
    end: Option<Finish>,
    intractable_below: Option<u64>,
    steps_left: u64,
    /// What was left when the columns of each mount were listed, and when to give that up.
    steps_left_listed: u64,
    listing_ends_at: u64,
    steps_to_look: u64,
}

impl<'s, 'm, 'g> Columns<'s, 'm, 'g> {
    /// None if there are more kinds than can be packed.
    pub(super) fn new(search: &'s Search<'m>, question: Question<'g>) -> Option<Self> {
        let stocks = Stocks::new(&search.layout.groups)?;
        let free = rows::free(search);
        let limits = question.task.limits_at(question.widest());
        let rows = Rows::new(search, &stocks, &limits, &free);
        // To begin with every mount may hold divisible lead; what those hold that have been listed is known better.
        let pour = |(mount, free): (usize, &f64)| {
            rows.densities(search, &stocks, mount).map(|density| density * free)
        };
        let poured = free.iter().enumerate().map(pour).collect();
        let locked_sums_ng = search.targets.iter().map(|target| search.layout.locked_sums_ng(target));
        Some(Columns {
            levels: Level::all(search, stocks, &rows),
            poured,
            search,
            question,
            limits,
            locked: search.layout.locked_stacks(),
            locked_sums_ng: locked_sums_ng.collect(),
            asks: rows.demands,
            others: [0; WIDTH],
            rows,
            pieces: Vec::new(),
            sums: Vec::new(),
            sources: Vec::new(),
            exact: Vec::new(),
            ways: Vec::new(),
            best: None,
            end: None,
            intractable_below: None,
            steps_left: question.steps,
            steps_left_listed: 0,
            listing_ends_at: 0,
            steps_to_look: STEPS_PER_LOOK,
        })
    }

    /// The level at which columns are listed and joined.
    fn top(&self) -> &Level {
        &self.levels[self.levels.len() - 1]
    }

    /// The columns of each mount that plans of no larger value may have.
    fn list_all(&mut self, most: i64) -> Vec<Vec<u32>> {
        self.limit_to(most);
        self.forget((0, 0, 0));
        self.listing_ends_at = self.steps_left - self.steps_left / SHARE_TO_LIST;
        let mut most = [0.0; WIDTH];
        for poured in &self.poured {
            most.iter_mut().zip(poured).for_each(|(most, poured)| *most += poured);
        }
        // The mount first where a gram matters most: it has the fewest columns, and leaves the others the least to spare.
        let weight = |mount: usize| self.rows.weight(self.search, &self.levels[0].stocks, mount);
        let weights: Vec<f64> = (0..self.poured.len()).map(weight).collect();
        let mut mounts: Vec<usize> = (0..self.poured.len()).collect();
        mounts.sort_by(|a, b| weights[*b].total_cmp(&weights[*a]));
        let mut lists: Vec<Vec<u32>> = Vec::new();
        for mount in mounts {
            most.iter_mut().zip(&self.poured[mount]).for_each(|(most, poured)| *most -= poured);
            let list = self.list(mount, &most);
            most.iter_mut().zip(&self.best_of(&list)).for_each(|(most, best)| *most += f64::from(*best));
            lists.push(list);
        }
        (self.steps_left_listed, self.listing_ends_at) = (self.steps_left, 0);
        lists
    }

    /// Joins short lists, two at a time, and goes through what goes together in the last two.
    fn join(&mut self, mut lists: Vec<Vec<u32>>) {
        loop {
            lists.sort_by_key(|list| std::cmp::Reverse(list.len()));
            let (one, other) = (lists.pop(), lists.pop());
            self.others = rows::total(lists.iter().map(|list| self.best_of(list)));
            self.renew();
            let (one, other) = match (one, other) {
                (Some(one), Some(other)) => (one, other),
                (only, _) => {
                    // Without any mount there is one plan: nothing.
                    let alone =
                        only.map_or(vec![Vec::new()], |only| only.iter().map(|one| vec![*one]).collect());
                    for mut column in alone {
                        self.expand(&mut column, &mut Vec::new());
                    }
                    return;
                }
            };
            let one = Tree::new(one, &self.pieces, &self.sums);
            let other = Tree::new(other, &self.pieces, &self.sums);
            let roots = (one.root(), other.root());
            if lists.is_empty() {
                self.meet(&one, &other, roots, &mut |this, one, other| {
                    this.expand(&mut vec![one, other], &mut Vec::new());
                });
                return;
            }
            let mut joined: Vec<Pair> = Vec::new();
            self.meet(&one, &other, roots, &mut |this, one, other| {
                joined.push(Pair::new(this.pieces[one as usize] + this.pieces[other as usize], one, other));
                this.step(STEPS_TO_KEEP);
                if this.ways.len() + joined.len() > MOST_JOINED {
                    this.end = Some(Finish::Spent);
                }
            });
            if self.end.is_some() {
                return;
            }
            lists.push(self.keep(joined));
            if self.pieces.len() > MOST_COLUMNS {
                self.end = Some(Finish::Spent);
            }
            if self.end.is_some() || !self.narrow(&mut lists) {
                return;
            }
        }
    }

    /// The least steps that may do, if lists combine to a power of two.
    fn steps_needed(&self, combinations: f64) -> u64 {
        let to_list = self.question.steps - self.steps_left_listed;
        (2 * to_list).max(((combinations - INTRACTABLE.log2()) / 2.0).exp2() as u64)
    }

    /// Asks for plans of no larger value from now on.
    fn limit_to(&mut self, most: i64) {
        self.limits = self.question.task.limits_at(most);
        self.others = [0; WIDTH];
        self.renew();
    }

    /// States what is asked of plans anew: a better plan leaves tighter limits.
    fn renew(&mut self) {
        self.rows.renew(self.search, &self.limits);
        self.asks = rows::less(&self.rows.demands, &self.others);
    }

    /// Makes columns of what has been joined.
    fn keep(&mut self, mut joined: Vec<Pair>) -> Vec<u32> {
        joined.sort_unstable();
        let first = self.pieces.len() as u32;
        for equal in joined.chunk_by_mut(|a, b| a.pieces() == b.pieces()) {
            if equal.len() > MOST_WAYS {
                let tightest = |column: u32| self.sums[column as usize][0];
                equal.sort_unstable_by_key(|pair| {
                    let (one, other) = pair.columns();
                    (tightest(one) + tightest(other), one, other)
                });
            }
            for ways in equal.chunks(MOST_WAYS) {
                let mut best = [i32::MIN; WIDTH];
                self.sources.push(Source::Ways(self.ways.len() as u32, ways.len() as u32));
                for (one, other) in ways.iter().map(|pair| pair.columns()) {
                    let mut sums = self.sums[one as usize];
                    add(&mut sums, &self.sums[other as usize]);
                    raise(&mut best, &sums);
                    self.ways.push((one, other));
                }
                self.pieces.push(equal[0].pieces());
                self.sums.push(best);
            }
        }
        (first..self.pieces.len() as u32).collect()
    }

    /// Goes through all that is below two nodes and goes together.
    fn meet(&mut self, one: &Tree, other: &Tree, at: (u32, u32), emit: &mut dyn FnMut(&mut Self, u32, u32)) {
        self.step(1);
        let (left, right) = (one.node(at.0), other.node(at.1));
        let stocks = &self.top().stocks;
        if self.end.is_some()
            || !stocks.have_both(left.pieces, right.pieces)
            || !suffice_together(&left.best, &right.best, &self.asks)
        {
            return;
        }
        let is_wider = left.positions().len() >= right.positions().len();
        match (left.branches, right.branches) {
            (Some((low, high)), right) if is_wider || right.is_none() => {
                self.meet(one, other, (low, at.1), emit);
                self.meet(one, other, (high, at.1), emit);
            }
            (_, Some((low, high))) => {
                self.meet(one, other, (at.0, low), emit);
                self.meet(one, other, (at.0, high), emit);
            }
            (_, None) => {
                self.step((left.positions().len() * right.positions().len() / COMPARED_PER_STEP) as u64);
                for l in left.positions() {
                    for r in right.positions() {
                        if self.top().stocks.have_both(one.pieces[l], other.pieces[r])
                            && suffice_together(&one.sums[l], &other.sums[r], &self.asks)
                            && self.end.is_none()
                        {
                            emit(self, one.columns[l], other.columns[r]);
                        }
                    }
                }
            }
        }
    }

    /// Drops the columns with which some row cannot be met; false if a list is left without any.
    fn narrow(&mut self, lists: &mut [Vec<u32>]) -> bool {
        loop {
            if lists.iter().any(Vec::is_empty) {
                return false;
            }
            let bests: Vec<Sums> = lists.iter().map(|list| self.best_of(list)).collect();
            let Some(spare) = self.spare(bests.iter().copied()) else { return false };
            let before: usize = lists.iter().map(Vec::len).sum();
            self.step(before as u64);
            for (list, best) in lists.iter_mut().zip(&bests) {
                let least = rows::less(best, &spare);
                list.retain(|column| suffice(&self.sums[*column as usize], &least));
            }
            if lists.iter().map(Vec::len).sum::<usize>() == before {
                return true;
            }
        }
    }

    /// What is left to spare in every row if each of several adds its best; none if some row cannot be met.
    fn spare(&self, bests: impl Iterator<Item = Sums>) -> Option<Sums> {
        let spare = rows::less(&rows::total(bests), &self.rows.demands);
        spare.iter().all(|spare| *spare >= 0).then_some(spare)
    }

    fn best_of(&self, list: &[u32]) -> Sums {
        rows::best(list.iter().map(|column| &self.sums[*column as usize]))
    }

    fn step(&mut self, count: u64) {
        if self.steps_left < count {
            self.end = self.end.or(Some(Finish::Spent));
        }
        self.steps_left = self.steps_left.saturating_sub(count);
        self.steps_to_look = self.steps_to_look.saturating_sub(count);
        if self.steps_to_look == 0 {
            self.steps_to_look = STEPS_PER_LOOK;
            if self.question.task.guard.is_over() {
                self.end = Some(Finish::Stopped);
            }
        }
    }
}

/// How many combinations there are of one column from each list, as a power of two.
fn combinations(lists: &[Vec<u32>]) -> f64 {
    lists.iter().map(|list| (list.len() as f64).log2()).sum()
}
