//! Pieces of nearly the same mass: where they are told apart last, far fewer columns are to be joined.
//! Measures nothing.
//!
//! Classes are made in levels: those of one are made of those of the level below, and at the foot every kind is a class. A
//! column of a level says how many pieces of each class a mount holds. It counts as if they were the lightest and thinnest
//! where they have to fit, and for each row as if they were those that add most; so whatever it stands for fits, and adds, no
//! more than it says.

use std::ops::Range;

use super::packed::{Pieces, Stocks};
use super::rows::{self, Rows, Sums, WIDTH, add, suffice};
use super::{Columns, MOST_APART_NG, Source};
use crate::search::Search;
use crate::search::layout::{Group, Stack};

/// What it costs to see what the columns of a plan stand for, and to choose one of those, in steps.
const STEPS_TO_DISAGGREGATE: u64 = 16;
const STEPS_TO_CHOOSE: u64 = 2;

/// Classes of a level.
#[derive(Debug)]
pub(super) struct Level {
    /// The class of each class below; at the foot there are none.
    pub(super) class_of: Vec<usize>,
    /// What there is of each class.
    pub(super) stocks: Stocks,
    /// What a mount can take, by `class * mounts + mount` and number of pieces.
    takings: Vec<Vec<Taking>>,
    mounts: usize,
}

/// So many pieces of a class on a mount.
#[derive(Clone, Copy, Debug)]
pub(super) struct Taking {
    /// As if they were the lightest and the thinnest.
    pub(super) least: Stack,
    /// As if they were those that add most, row by row.
    pub(super) most: Sums,
}

impl Level {
    /// The kinds, and all levels of classes above them.
    pub(super) fn all(search: &Search, kinds: Stocks, rows: &Rows) -> Vec<Level> {
        let mut members: Vec<Vec<usize>> = (0..kinds.kinds.len()).map(|kind| vec![kind]).collect();
        let mounts = search.model.mounts.len();
        let takings = |kinds: &Stocks, members: &[Vec<usize>]| {
            let of_class = |class: &Vec<usize>| {
                let of_mount = |mount| takings(search, kinds, rows, class, mount);
                (0..mounts).map(of_mount).collect::<Vec<_>>()
            };
            members.iter().flat_map(of_class).collect()
        };
        let foot = takings(&kinds, &members);
        let mut levels = vec![Level { class_of: Vec::new(), stocks: kinds, takings: foot, mounts }];
        for most_apart_ng in MOST_APART_NG {
            let below = &levels[levels.len() - 1].stocks;
            let Some((class_of, stocks)) = classes(below, most_apart_ng) else { continue };
            let mut joined = vec![Vec::new(); stocks.kinds.len()];
            for (members, class) in members.iter_mut().zip(&class_of) {
                joined[*class].append(members);
            }
            members = joined;
            let takings = takings(&levels[0].stocks, &members);
            levels.push(Level { class_of, stocks, takings, mounts });
        }
        levels
    }

    /// What a mount can take of a class, by the number of pieces; none is the first.
    pub(super) fn takings(&self, class: usize, mount: usize) -> &[Taking] {
        &self.takings[class * self.mounts + mount]
    }
}

/// Classes of those below in which no two are farther apart; none if that joins nothing.
fn classes(below: &Stocks, most_apart_ng: i64) -> Option<(Vec<usize>, Stocks)> {
    let mut groups: Vec<Group> = Vec::new();
    let mut firsts: Vec<usize> = Vec::new();
    let mut class_of = Vec::new();
    for stock in &below.kinds {
        let near = |class: &&mut Group| class.mass_ng - stock.like.mass_ng <= most_apart_ng;
        if let Some(class) = groups.last_mut().filter(near) {
            class.count += stock.count;
        } else {
            groups.push(Group { kind: groups.len(), count: stock.count, ..stock.like });
            firsts.push(stock.first);
        }
        class_of.push(groups.len() - 1);
    }
    let mut stocks = (groups.len() < class_of.len()).then(|| Stocks::new(&groups))??;
    stocks.kinds.iter_mut().zip(firsts).for_each(|(stock, first)| stock.first = first);
    Some((class_of, stocks))
}

/// What a mount can take of the kinds of one class.
fn takings(search: &Search, kinds: &Stocks, rows: &Rows, members: &[usize], mount: usize) -> Vec<Taking> {
    let mounts = search.model.mounts.len();
    let carrier = &search.model.mounts[mount];
    let mut taking = Taking { least: Stack::default(), most: [0; WIDTH] };
    let mut pieces: Vec<Group> = Vec::new();
    let mut values: Vec<Sums> = Vec::new();
    for member in members {
        let stock = &kinds.kinds[*member];
        let fitted = search.fitted(stock.like.kind, mount);
        let all_fitted: u32 = (0..mounts).map(|mount| search.fitted(stock.like.kind, mount)).sum();
        // No mount takes more pieces of one kind than it has room for.
        let most = (carrier.capacity_ng / stock.like.mass_ng.max(1)).clamp(0, i64::from(carrier.most_pieces));
        let is_open = search.layout.is_open(stock.like.kind, mount);
        let count = if is_open { stock.count.min(most as u32) } else { 0 };
        pieces.extend((0..count).map(|_| stock.like));
        let first = values.len();
        values.extend((0..count).map(|_| *rows.of_piece(*member, mount, mounts)));
        for (changes, mixed_leave) in rows.changes() {
            let leaves = all_fitted > 0 && (mixed_leave || all_fitted == stock.count);
            if leaves {
                taking.most[changes] -= fitted as i32;
            }
            for (taken, value) in (0..count).zip(&mut values[first..]) {
                value[changes] = i32::from(taken < fitted) - i32::from(!leaves);
            }
        }
    }
    let mut masses_ng: Vec<i64> = pieces.iter().map(|piece| piece.mass_ng).collect();
    let mut thicknesses_nm: Vec<i64> = pieces.iter().map(|piece| piece.thickness_nm).collect();
    masses_ng.sort_unstable();
    thicknesses_nm.sort_unstable();
    for row in 0..WIDTH {
        let mut of_row: Vec<i32> = values.iter().map(|sums| sums[row]).collect();
        of_row.sort_unstable_by(|a, b| b.cmp(a));
        values.iter_mut().zip(of_row).for_each(|(sums, value)| sums[row] = value);
    }
    let mut takings = Vec::with_capacity(pieces.len() + 1);
    for taken in 0..=pieces.len() as u32 {
        if let Some(last) = taken.checked_sub(1) {
            taking.least.mass_ng += masses_ng[last as usize];
            taking.least.room_nm += thicknesses_nm[last as usize];
            taking.least.pieces += 1;
            add(&mut taking.most, &values[last as usize]);
        }
        if !search.has_room(mount, &taking.least) {
            break;
        }
        takings.push(taking);
    }
    takings
}

impl Columns<'_, '_, '_> {
    /// Goes through all plans that columns of a level, one for every mount, stand for.
    pub(super) fn disaggregate(&mut self, level: usize, columns: &[u32]) {
        let Some(below) = level.checked_sub(1) else {
            self.consider(columns);
            return;
        };
        self.step(STEPS_TO_DISAGGREGATE);
        let members: Vec<Range<u32>> = columns.iter().map(|column| self.members(below, *column)).collect();
        if self.end.is_some() {
            return;
        }
        // Now that their members are known, columns add no more than these do: many a plan is refused by that alone.
        let Some(spare) = self.spare(columns.iter().map(|column| self.sums[*column as usize])) else {
            return;
        };
        let mut lists = Vec::with_capacity(columns.len());
        for (column, members) in columns.iter().zip(members) {
            self.step(members.len() as u64);
            let least = rows::less(&self.sums[*column as usize], &spare);
            let list: Vec<u32> =
                members.filter(|member| suffice(&self.sums[*member as usize], &least)).collect();
            if list.is_empty() {
                return;
            }
            lists.push(list);
        }
        if !self.narrow(&mut lists) {
            return;
        }
        // The mount of which fewest are alike is settled first.
        lists.sort_by_key(|list| std::cmp::Reverse(list.len()));
        let lists: Vec<(Sums, Vec<u32>)> =
            lists.into_iter().map(|list| (self.best_of(&list), list)).collect();
        let mut sums = [0; WIDTH];
        for (best, _) in &lists {
            add(&mut sums, best);
        }
        self.choose(below, &lists, &mut Vec::new(), 0, &sums);
    }

    /// Goes through what goes together on the lists, next to the chosen ones, which use some pieces. `sums` are of the chosen and
    /// the best on the lists.
    fn choose(
        &mut self,
        level: usize,
        lists: &[(Sums, Vec<u32>)],
        chosen: &mut Vec<u32>,
        used: Pieces,
        sums: &Sums,
    ) {
        let Some(((best, list), lists)) = lists.split_last() else {
            self.disaggregate(level, &chosen.clone());
            return;
        };
        self.step(STEPS_TO_CHOOSE * list.len() as u64);
        for one in list {
            let pieces = self.pieces[*one as usize];
            if self.end.is_some() || !self.levels[level].stocks.have_both(used, pieces) {
                continue;
            }
            let mut sums = *sums;
            let exchanged = self.sums[*one as usize].iter().zip(best);
            sums.iter_mut().zip(exchanged).for_each(|(sum, (own, most))| *sum += own - most);
            if suffice(&sums, &self.rows.demands) {
                chosen.push(*one);
                self.choose(level, lists, chosen, used + pieces, &sums);
                chosen.pop();
            }
        }
    }

    /// The columns of the level below that one stands for. They are made when they are first asked for, and from then on it
    /// promises no more than they hold.
    fn members(&mut self, below: usize, column: u32) -> Range<u32> {
        let Source::Aggregate { mount, members } = self.sources[column as usize] else {
            return column..column + 1;
        };
        if let Some((first, end)) = members {
            return first..end;
        }
        let first = self.pieces.len() as u32;
        let above = &self.levels[below + 1];
        let key = self.pieces[column as usize];
        let mut left: Vec<u32> = above.stocks.kinds.iter().map(|class| class.count_in(key)).collect();
        self.split(below, mount as usize, 0, &mut left, (self.locked[mount as usize], 0, [0; WIDTH]));
        let end = self.pieces.len() as u32;
        self.sources[column as usize] = Source::Aggregate { mount, members: Some((first, end)) };
        if first < end && self.end.is_none() {
            let held = rows::best(self.sums[first as usize..end as usize].iter());
            rows::lower(&mut self.sums[column as usize], &held);
        }
        first..end
    }

    /// Lists every way to make up what is left of each class of the level above from the classes from one on.
    fn split(
        &mut self,
        level: usize,
        mount: usize,
        from: usize,
        left: &mut Vec<u32>,
        (stack, pieces, sums): (Stack, Pieces, Sums),
    ) {
        self.step(1);
        if self.end.is_some() {
            return;
        }
        let class_of = &self.levels[level + 1].class_of;
        let Some(class) = class_of.get(from).copied() else {
            self.add_column(level, mount, pieces, sums);
            return;
        };
        let below = &self.levels[level];
        let most = below.takings(from, mount).len() - 1;
        let is_same = |other: &usize| self.levels[level + 1].class_of[*other] == class;
        let others: usize = (from + 1..class_of.len())
            .take_while(is_same)
            .map(|other| below.takings(other, mount).len() - 1)
            .sum();
        let wanted = left[class] as usize;
        for taken in wanted.saturating_sub(others)..=wanted.min(most) {
            let below = &self.levels[level];
            let taking = below.takings(from, mount)[taken];
            let (mut stack, mut sums) = (stack, sums);
            stack.join(&taking.least);
            if !self.search.has_room(mount, &stack) {
                break;
            }
            add(&mut sums, &taking.most);
            let pieces = pieces | below.stocks.kinds[from].packed(taken as u32);
            left[class] -= taken as u32;
            self.split(level, mount, from + 1, left, (stack, pieces, sums));
            left[class] += taken as u32;
        }
    }
}
