//! Which totals the pieces still in hand can make: subset sums by dynamic programming over bits.
//! Knows nothing of mounts or balance; a "no" is proved, a "yes" is a hope.
//!
//! Bellman's recursion for the knapsack, one bit a sum: `sums(i) = sums(i+1) | sums(i+1) << mass(i)`. Masses are rounded down
//! to whole grains, so a subset of n pieces weighs up to n − 1 grains more than its bit says; questions are widened by that.

use super::layout::{Group, Places};

/// Grain of the sums where the masses share no coarser one, ng: a gram, a fiftieth of the finest usual resolution.
const GRAIN_NG: i64 = 1_000_000_000;

/// Bits kept for one suffix of the groups (128 KiB); beyond, the grain grows.
const MOST_BITS: i64 = 1 << 20;

/// Bits kept for all suffixes together (32 MiB); beyond, leading suffixes share the sums of the whole.
const MOST_TABLE_BITS: i64 = 1 << 28;

/// Sums that each suffix of the groups can make.
#[derive(Clone, Debug)]
pub(super) struct SubsetSums {
    grain_ng: i64,
    words: usize,
    /// Mass of each suffix, ng.
    totals_ng: Vec<i64>,
    /// Suffixes from this group on have a table of their own.
    first: usize,
    /// Pieces whose masses are no whole grains, by suffix.
    inexact: Vec<i64>,
    bits: Vec<u64>,
}

impl SubsetSums {
    /// Sums of all groups.
    pub(super) fn new(groups: &[Group]) -> SubsetSums {
        SubsetSums::up_to(groups, |_| true, i64::MAX)
    }

    /// Sums of the groups that are taken, up to `most_ng`; heavier ones are forgotten.
    fn up_to(groups: &[Group], takes: impl Fn(&Group) -> bool, most_ng: i64) -> SubsetSums {
        let total: i64 = groups.iter().map(|group| group.mass_ng * i64::from(group.count)).sum();
        let grain_ng = grain_ng(groups).max(total / MOST_BITS + 1);
        let words = (total.min(most_ng) / grain_ng / 64 + 1) as usize;
        let suffixes = (MOST_TABLE_BITS / (words as i64 * 64)).max(1) as usize;
        let first = (groups.len() + 1).saturating_sub(suffixes);
        let mut tables = SubsetSums {
            grain_ng,
            words,
            first,
            totals_ng: vec![0; groups.len() + 1],
            inexact: vec![0; groups.len() + 1],
            bits: vec![0; (groups.len() + 1 - first) * words],
        };
        let mut sums = vec![0; words];
        sums[0] = 1;
        tables.bits[(groups.len() - first) * words..].copy_from_slice(&sums);
        for (index, group) in groups.iter().enumerate().rev() {
            let count = if takes(group) { group.count } else { 0 };
            for _ in 0..count {
                or_shifted(&mut sums, (group.mass_ng / grain_ng) as usize);
            }
            tables.totals_ng[index] = tables.totals_ng[index + 1] + group.mass_ng * i64::from(count);
            let inexact = if is_whole(group, grain_ng) { 0 } else { i64::from(count) };
            tables.inexact[index] = tables.inexact[index + 1] + inexact;
            tables.bits[index.saturating_sub(first) * words..][..words].copy_from_slice(&sums);
        }
        tables
    }

    /// Whether some subset of the pieces from group `from` on may weigh at least `least_ng` and at most `most_ng`.
    pub(super) fn any_between(&self, from: usize, least_ng: i64, most_ng: i64) -> bool {
        most_ng >= 0 && self.lowest_bit(from, least_ng).is_some_and(|bit| bit * self.grain_ng <= most_ng)
    }

    /// A lower bound on the lightest subset from group `from` on that weighs at least `least_ng`; none if there is none.
    pub(super) fn lightest(&self, from: usize, least_ng: i64) -> Option<i64> {
        self.lowest_bit(from, least_ng).map(|bit| (bit * self.grain_ng).max(least_ng))
    }

    /// An upper bound on the heaviest subset from group `from` on that weighs at most `most_ng`.
    pub(super) fn heaviest(&self, from: usize, most_ng: i64) -> i64 {
        if most_ng >= self.totals_ng[from] {
            return self.totals_ng[from];
        }
        if most_ng < self.grain_ng {
            return most_ng.clamp(0, self.inexact(from) * self.grain_ng);
        }
        let end = ((most_ng / self.grain_ng) as usize).min(self.words * 64 - 1);
        let table = self.table(from);
        let mut word = end / 64;
        let mut bits = table[word] & (!0 >> (63 - end % 64));
        // The empty subset sets bit 0, so this ends.
        while bits == 0 {
            word -= 1;
            bits = table[word];
        }
        let bit = (word * 64) as i64 + 63 - i64::from(bits.leading_zeros());
        ((bit + self.inexact(from)) * self.grain_ng).min(most_ng)
    }

    fn table(&self, from: usize) -> &[u64] {
        &self.bits[from.saturating_sub(self.first) * self.words..][..self.words]
    }

    /// By how many grains a subset may weigh more than its bit says; suffixes that share the sums of the whole share this.
    fn inexact(&self, from: usize) -> i64 {
        self.inexact[if from <= self.first { 0 } else { from }]
    }

    fn lowest_bit(&self, from: usize, least_ng: i64) -> Option<i64> {
        let start = (div_ceil(least_ng, self.grain_ng) - self.inexact(from)).max(0) as usize;
        lowest_bit(self.table(from), start)
    }
}

/// The first sum of a table that is no less than `start`.
pub(crate) fn lowest_bit(table: &[u64], start: usize) -> Option<i64> {
    let mut word = start / 64;
    let mut bits = table.get(word)? & (!0 << (start % 64));
    while bits == 0 {
        word += 1;
        bits = *table.get(word)?;
    }
    Some((word * 64) as i64 + i64::from(bits.trailing_zeros()))
}

/// What each mount can be filled to with the pieces in hand that it takes.
///
/// The divisible lead of the support bounds would fill every capacity to the brim; whole pieces rarely can. Lowering each
/// capacity to its heaviest reachable subset sum keeps every plan (Pisinger 1999, multiple knapsack) and closes much of that
/// gap.
#[derive(Clone, Debug)]
pub(super) struct Capacities {
    /// One for every mount that does not take all kinds.
    own: Vec<Option<SubsetSums>>,
}

impl Capacities {
    /// Tables for the mounts that do not take all kinds; the sums of all groups serve the others.
    pub(super) fn new(groups: &[Group], open: &[Places], capacities_ng: &[i64]) -> Capacities {
        let own = capacities_ng.iter().enumerate().map(|(mount, capacity_ng)| {
            let takes = |group: &Group| open[group.kind] >> mount & 1 == 1;
            (!groups.iter().all(takes)).then(|| SubsetSums::up_to(groups, takes, *capacity_ng))
        });
        Capacities { own: own.collect() }
    }

    /// An upper bound on what pieces of groups from `from` on can add to a mount with `free_ng` free.
    pub(super) fn heaviest(&self, all: &SubsetSums, mount: usize, from: usize, free_ng: i64) -> i64 {
        self.own[mount].as_ref().unwrap_or(all).heaviest(from, free_ng)
    }
}

/// The coarsest grain in which all masses are whole, or a gram if that is finer.
pub(super) fn grain_ng(groups: &[Group]) -> i64 {
    let common = groups.iter().fold(0, |grain, group| greatest_common_divisor(grain, group.mass_ng));
    common.max(GRAIN_NG)
}

/// Whether a group's mass is a whole number of grains.
pub(super) fn is_whole(group: &Group, grain_ng: i64) -> bool {
    group.mass_ng % grain_ng == 0
}

/// Every sum of a table, and every sum with `shift` more.
pub(crate) fn or_shifted(sums: &mut [u64], shift: usize) {
    let (words, bits) = (shift / 64, shift % 64);
    for word in (words..sums.len()).rev() {
        let mut moved = sums[word - words] << bits;
        if bits > 0 && word > words {
            moved |= sums[word - words - 1] >> (64 - bits);
        }
        sums[word] |= moved;
    }
}

pub(crate) fn greatest_common_divisor(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { greatest_common_divisor(b, a % b) }
}

/// Quotient rounded up, for any sign of the dividend.
fn div_ceil(dividend: i64, divisor: i64) -> i64 {
    -(-dividend).div_euclid(divisor)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn group(grams: i64, count: u32) -> Group {
        Group { kind: 0, source: 0, count, must_leave: 0, mass_ng: grams * 1_000_000_000, thickness_nm: 0 }
    }

    #[test]
    fn sums_are_found_exactly_when_masses_are_whole_grains() {
        let groups = [group(2500, 1), group(1000, 2), group(250, 1)];
        let sums = SubsetSums::new(&groups);
        let kg = 1_000_000_000_000;
        assert!(sums.any_between(0, 3 * kg + kg / 4, 3 * kg + kg / 2));
        assert!(!sums.any_between(0, 2 * kg + kg / 4 + 1, 2 * kg + kg / 2 - 1));
        assert_eq!(sums.lightest(1, 3 * kg / 2), Some(2 * kg));
        assert_eq!(sums.lightest(1, 5 * kg / 2), None);
        assert!(sums.any_between(3, -1, 0));
        assert!(!sums.any_between(3, -2, -1));
    }

    #[test]
    fn a_subset_is_never_denied_when_masses_are_no_whole_grains() {
        let masses = [1_999_999_999_i64, 777_777_777, 1_234_567_891];
        let groups: Vec<Group> =
            masses.iter().map(|mass_ng| Group { mass_ng: *mass_ng, ..group(0, 1) }).collect();
        let sums = SubsetSums::new(&groups);
        for subset in 0..8 {
            let sum: i64 = (0..3).filter(|bit| subset >> bit & 1 == 1).map(|bit| masses[bit]).sum();
            assert!(sums.any_between(0, sum, sum));
        }
    }
}
