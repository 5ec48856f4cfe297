//! Which masses a few changes can still make: subset sums once more, by the number of changes.
//! Knows nothing of mounts or balance; a "no" is proved, a "yes" is a hope.
//!
//! `shifts(i, b)`: every change of mass that at most b moves of pieces from group i on can make, as bits. A piece from the
//! box adds its mass, a piece on the kart removes it or, moved to another mount, leaves it alone. Where a plan of so many
//! changes cannot weigh what it must, this says so before any piece is placed, and no placement is ever tried in vain.

use super::layout::Group;
use super::subset_sums::{grain_ng, is_whole, lowest_bit};

/// Changes for which tables are kept; searches that allow more do without.
pub(super) const MOST_CHANGES: i64 = 16;

/// Words that all tables together may take (16 MiB); larger problems do without.
const MOST_WORDS: usize = 1 << 21;

/// Shifts of mass by suffix of the groups and number of changes.
#[derive(Clone, Debug)]
pub(super) struct CardinalitySums {
    grain_ng: i64,
    /// Grains by which bit 0 lies below no shift at all.
    zero: i64,
    words: usize,
    changes: usize,
    /// Whether all masses are whole grains.
    whole: bool,
    bits: Vec<u64>,
}

impl CardinalitySums {
    /// Tables for up to `changes` changes and shifts of the whole kart up to `most_ng`; none if they would be too large.
    ///
    /// What has left the kart may have to be added again by later groups, so a suffix may shift the mass up by `most_ng` and
    /// all that is on the kart now. A table that ends lower forgets such shifts, and its "no" would be false.
    pub(super) fn new(
        groups: &[Group],
        the_box: usize,
        changes: i64,
        most_ng: i64,
    ) -> Option<CardinalitySums> {
        let changes = usize::try_from(changes.min(MOST_CHANGES)).ok()?;
        let grain_ng = grain_ng(groups);
        let on_kart: i64 =
            groups.iter().filter(|g| g.source != the_box).map(|g| g.mass_ng * i64::from(g.count)).sum();
        let zero = on_kart / grain_ng + 1;
        let words = usize::try_from(bits_for(zero, most_ng.max(0), grain_ng) / 64 + 1).ok()?;
        let rows = (groups.len() + 1) * (changes + 1);
        if rows.checked_mul(words)? > MOST_WORDS {
            return None;
        }
        let mut tables = CardinalitySums {
            grain_ng,
            zero,
            words,
            changes,
            whole: groups.iter().all(|group| is_whole(group, grain_ng)),
            bits: vec![0; rows * words],
        };
        for changes in 0..=changes {
            tables.row_mut(groups.len(), changes)[zero as usize / 64] |= 1 << (zero % 64);
        }
        for (index, group) in groups.iter().enumerate().rev() {
            for changes in 0..=changes {
                let row = tables.start(index, changes);
                let later = tables.start(index + 1, changes);
                tables.bits.copy_within(later..later + words, row);
                for moved in 1..=changes.min(group.count as usize) {
                    let grains = group.mass_ng / grain_ng * moved as i64;
                    let shift = if group.source == the_box { grains } else { -grains };
                    tables.or_shifted(row, tables.start(index + 1, changes - moved), shift);
                }
            }
        }
        Some(tables)
    }

    /// Whether the tables serve searches of so many changes and shifts up to `most_ng`.
    pub(super) fn serves(&self, changes: i64, most_ng: i64) -> bool {
        changes <= self.changes as i64
            && bits_for(self.zero, most_ng.max(0), self.grain_ng) <= (self.words * 64) as i64
    }

    /// Whether at most `changes` moves of pieces from group `from` on may shift the mass by at least `least_ng` and at most
    /// `most_ng`.
    pub(super) fn any_between(&self, from: usize, changes: i64, least_ng: i64, most_ng: i64) -> bool {
        let changes = changes.clamp(0, self.changes as i64) as usize;
        let widened = if self.whole { 0 } else { changes as i64 };
        // The smallest whole grain not below the least, the largest not above the most.
        let first = (-(-least_ng).div_euclid(self.grain_ng) - widened + self.zero).max(0);
        let last = most_ng.div_euclid(self.grain_ng) + widened + self.zero;
        let row = &self.bits[self.start(from, changes)..][..self.words];
        lowest_bit(row, first as usize).is_some_and(|bit| bit <= last)
    }

    fn start(&self, from: usize, changes: usize) -> usize {
        (from * (self.changes + 1) + changes) * self.words
    }

    fn row_mut(&mut self, from: usize, changes: usize) -> &mut [u64] {
        let start = self.start(from, changes);
        &mut self.bits[start..][..self.words]
    }

    /// Adds the bits of the row at `source`, moved up (or down) by `shift`, to the row at `target`.
    fn or_shifted(&mut self, target: usize, source: usize, shift: i64) {
        let (words, bits) = ((shift.unsigned_abs() / 64) as usize, shift.unsigned_abs() % 64);
        for word in 0..self.words {
            let read = |offset: usize| {
                let at = if shift >= 0 { word.checked_sub(offset) } else { Some(word + offset) };
                at.filter(|at| *at < self.words).map_or(0, |at| self.bits[source + at])
            };
            let (near, far) = (read(words), if bits > 0 { read(words + 1) } else { 0 });
            let moved = match (shift >= 0, bits) {
                (_, 0) => near,
                (true, bits) => near << bits | far >> (64 - bits),
                (false, bits) => near >> bits | far << (64 - bits),
            };
            self.bits[target + word] |= moved;
        }
    }
}

/// Bits from the largest fall to the largest rise of any suffix; masses rounded to grains may lie off by one a change.
fn bits_for(zero: i64, most_ng: i64, grain_ng: i64) -> i64 {
    2 * zero + most_ng / grain_ng + 1 + MOST_CHANGES
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOX: usize = 9;
    const KG: i64 = 1_000_000_000_000;

    fn group(grams: i64, source: usize, count: u32) -> Group {
        Group { kind: 0, source, count, must_leave: 0, mass_ng: grams * 1_000_000_000, thickness_nm: 0 }
    }

    #[test]
    fn shifts_are_those_of_at_most_so_many_moves() {
        let groups = [group(2500, BOX, 1), group(1000, 0, 2), group(250, BOX, 3)];
        let sums = CardinalitySums::new(&groups, BOX, 3, 10 * KG).unwrap();
        let possible = |changes, grams: i64| {
            let shift = grams * 1_000_000_000;
            sums.any_between(0, changes, shift, shift)
        };
        assert!(possible(0, 0) && !possible(0, 250));
        assert!(possible(1, 2500) && possible(1, -1000) && possible(1, 250) && !possible(1, 500));
        assert!(possible(2, -2000) && possible(2, 1500) && possible(2, 500) && !possible(2, 750));
        assert!(possible(3, 750) && possible(3, -1750) && !possible(3, 3250));
        assert!(!sums.any_between(1, 3, KG, 5 * KG));
    }

    #[test]
    fn the_box_can_replace_what_has_left_the_kart() {
        // The whole kart may not get heavier; once three kilograms have left, the box may add three again.
        let groups = [group(3000, 0, 1), group(1500, BOX, 2)];
        let sums = CardinalitySums::new(&groups, BOX, 3, 0).unwrap();
        assert!(sums.serves(3, 0));
        assert!(sums.any_between(0, 3, 0, 0));
        assert!(sums.any_between(1, 2, 3 * KG, 3 * KG));
    }
}
