//! Sets of pieces packed into one number, so that two of them are compared with the stock at once.
//!
//! A kind of which there is one piece takes one bit, and two sets go together if no such bit is set in both. A kind of which
//! there are more takes a number and a guard above it. The guard is set in the stock before both sets are taken away from it:
//! where it is gone afterwards, they hold more of that kind than there is.

use crate::search::layout::Group;

/// How many pieces of each kind, a field a kind.
pub(super) type Pieces = u64;

/// Two columns and the pieces of both, packed into one number too: it is sorted, and that much faster than three are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Pair(u128);

impl Pair {
    pub(super) fn new(pieces: Pieces, one: u32, other: u32) -> Pair {
        Pair(u128::from(pieces) << 64 | u128::from(one) << 32 | u128::from(other))
    }

    pub(super) fn pieces(self) -> Pieces {
        (self.0 >> 64) as Pieces
    }

    pub(super) fn columns(self) -> (u32, u32) {
        ((self.0 >> 32) as u32, self.0 as u32)
    }
}

/// A kind that can be moved.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stock {
    /// A group of this kind, wherever it lies.
    pub(super) like: Group,
    /// Its first group.
    pub(super) first: usize,
    /// Pieces in all groups.
    pub(super) count: u32,
    shift: u32,
    bits: u32,
}

impl Stock {
    /// Pieces of this kind in a set.
    pub(super) fn count_in(&self, pieces: Pieces) -> u32 {
        ((pieces >> self.shift) & ((1 << self.bits) - 1)) as u32
    }

    /// So many pieces of this kind.
    pub(super) fn packed(&self, count: u32) -> Pieces {
        Pieces::from(count) << self.shift
    }
}

/// All that can be moved.
#[derive(Debug)]
pub(super) struct Stocks {
    /// Heaviest first, which is also the highest field.
    pub(super) kinds: Vec<Stock>,
    /// The bits of kinds of which there is one.
    single: Pieces,
    /// The stock of all others, and their guards.
    several: Pieces,
    guards: Pieces,
}

impl Stocks {
    /// The stock of all groups; none if it takes more bits than there are.
    pub(super) fn new(groups: &[Group]) -> Option<Stocks> {
        let mut kinds: Vec<Stock> = Vec::new();
        for (first, group) in groups.iter().enumerate() {
            match kinds.last_mut().filter(|stock| stock.like.kind == group.kind) {
                Some(stock) => stock.count += group.count,
                None => kinds.push(Stock { like: *group, first, count: group.count, shift: 0, bits: 0 }),
            }
        }
        let mut stocks = Stocks { kinds, single: 0, several: 0, guards: 0 };
        let mut shift = 0;
        for stock in stocks.kinds.iter_mut().rev() {
            (stock.shift, stock.bits) = (shift, u32::BITS - stock.count.leading_zeros());
            let guard = shift + stock.bits;
            shift = if stock.count > 1 { guard + 1 } else { guard };
            if shift > Pieces::BITS {
                return None;
            }
            if stock.count > 1 {
                stocks.several |= stock.packed(stock.count);
                stocks.guards |= 1 << guard;
            } else {
                stocks.single |= stock.packed(stock.count);
            }
        }
        stocks.several |= stocks.guards;
        Some(stocks)
    }

    /// Whether there are pieces enough for both sets, each of which there are pieces for.
    pub(super) fn have_both(&self, one: Pieces, other: Pieces) -> bool {
        let left = self.several.wrapping_sub(one & !self.single).wrapping_sub(other & !self.single);
        (one & other & self.single) | (!left & self.guards) == 0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn group(kind: usize, source: usize, count: u32) -> Group {
        Group { kind, source, count, must_leave: 0, mass_ng: 0, thickness_nm: 0 }
    }

    #[test]
    fn pairs_are_sorted_by_their_pieces_first() {
        let (light, heavy) = (Pair::new(3, 9, 8), Pair::new(1 << 63, 0, u32::MAX));
        assert!(light < heavy && Pair::new(3, 8, 9) < light);
        assert_eq!((heavy.pieces(), heavy.columns()), (1 << 63, (0, u32::MAX)));
    }

    #[test]
    fn two_sets_go_together_if_there_are_pieces_enough_for_both() {
        // The second kind lies at two places: there are five of it.
        let stocks = Stocks::new(&[group(4, 9, 1), group(2, 9, 3), group(2, 0, 2), group(7, 9, 1)]).unwrap();
        let [one, five, last] = &stocks.kinds[..] else { panic!("three kinds") };
        assert_eq!((one.count, five.count, last.count), (1, 5, 1));
        for a in 0..=5 {
            for b in 0..=5 {
                assert_eq!(stocks.have_both(five.packed(a), five.packed(b)), a + b <= 5, "{a} and {b}");
                let (with_one, with_last) = (five.packed(a) | one.packed(1), five.packed(b) | last.packed(1));
                assert_eq!(stocks.have_both(with_one, with_last), a + b <= 5);
                assert!(!stocks.have_both(with_one, five.packed(b) | one.packed(1)));
                assert_eq!((five.count_in(with_one), one.count_in(with_one)), (a, 1));
            }
        }
    }

    #[test]
    fn too_many_kinds_are_not_packed() {
        let single: Vec<Group> = (0..64).map(|kind| group(kind, 99, 1)).collect();
        assert!(Stocks::new(&single).is_some());
        let more: Vec<Group> = (0..65).map(|kind| group(kind, 99, 1)).collect();
        assert!(Stocks::new(&more).is_none());
        assert!(Stocks::new(&[group(0, 99, u32::MAX), group(1, 99, u32::MAX)]).is_none());
    }
}
