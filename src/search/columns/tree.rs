//! Columns in a tree by the pieces they use, so that what does not go together is refused by whole branches.

use std::ops::Range;

use super::packed::Pieces;
use super::rows::{Sums, raise};

/// Columns that are compared one by one at the foot of the tree, which costs less than further branches would.
const MOST_IN_A_LEAF: usize = 8;

/// Everything below it, as if it were one column.
#[derive(Clone, Debug)]
pub(super) struct Node {
    /// Pieces that every column below uses.
    pub(super) pieces: Pieces,
    /// The largest sums, row by row.
    pub(super) best: Sums,
    /// The columns below, as positions.
    start: u32,
    end: u32,
    /// The lower and the higher half; none at the foot.
    pub(super) branches: Option<(u32, u32)>,
}

impl Node {
    /// The columns below, as positions.
    pub(super) fn positions(&self) -> Range<usize> {
        self.start as usize..self.end as usize
    }
}

/// A radix tree; the root is the last node.
#[derive(Debug)]
pub(super) struct Tree {
    nodes: Vec<Node>,
    /// Sorted by pieces, with copies of what is compared, side by side.
    pub(super) columns: Vec<u32>,
    pub(super) pieces: Vec<Pieces>,
    pub(super) sums: Vec<Sums>,
}

impl Tree {
    /// A tree of columns, of which there is at least one.
    pub(super) fn new(mut columns: Vec<u32>, pieces: &[Pieces], sums: &[Sums]) -> Tree {
        columns.sort_unstable_by_key(|column| (pieces[*column as usize], *column));
        let mut tree = Tree {
            nodes: Vec::with_capacity(columns.len() / 2 + 1),
            pieces: columns.iter().map(|column| pieces[*column as usize]).collect(),
            sums: columns.iter().map(|column| sums[*column as usize]).collect(),
            columns,
        };
        tree.grow(0..tree.columns.len());
        tree
    }

    pub(super) fn node(&self, number: u32) -> &Node {
        &self.nodes[number as usize]
    }

    /// The number of the root.
    pub(super) fn root(&self) -> u32 {
        self.nodes.len() as u32 - 1
    }

    fn grow(&mut self, range: Range<usize>) -> u32 {
        let branches = (range.len() > MOST_IN_A_LEAF).then(|| {
            // Sorted columns part at the highest bit in which the first and the last differ.
            let sorted = &self.pieces[range.clone()];
            let differ = sorted[0] ^ sorted[sorted.len() - 1];
            let middle = range.start
                + match differ.checked_ilog2() {
                    Some(highest) => sorted.partition_point(|pieces| pieces >> highest & 1 == 0),
                    None => sorted.len() / 2,
                };
            (self.grow(range.start..middle), self.grow(middle..range.end))
        });
        // What two counts have in common bit by bit is at most the smaller count.
        let (mut pieces, mut best) = (self.pieces[range.start], self.sums[range.start]);
        if let Some((low, high)) = branches {
            let (low, high) = (self.node(low), self.node(high));
            (pieces, best) = (low.pieces & high.pieces, low.best);
            raise(&mut best, &high.best);
        } else {
            for position in range.clone() {
                pieces &= self.pieces[position];
                raise(&mut best, &self.sums[position]);
            }
        }
        let (start, end) = (range.start as u32, range.end as u32);
        self.nodes.push(Node { pieces, best, start, end, branches });
        self.root()
    }
}

#[cfg(test)]
mod tests {
    use super::super::rows::WIDTH;
    use super::*;

    #[test]
    fn every_node_knows_what_all_below_it_have_in_common() {
        // Repeated sets, and sets that differ in one bit, in no order.
        let pieces: Vec<Pieces> =
            (0..97_u64).map(|n| n.wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 58 | 1 << 20).collect();
        let sums: Vec<Sums> = (0..97).map(|n| [(n * 37 % 101 - 50); WIDTH]).collect();
        let tree = Tree::new((0..97).collect(), &pieces, &sums);
        let mut open = vec![tree.root()];
        let mut at_the_foot = Vec::new();
        while let Some(number) = open.pop() {
            let node = tree.node(number);
            let below = || node.positions().map(|position| tree.columns[position] as usize);
            assert_eq!(node.pieces, below().map(|column| pieces[column]).fold(!0, |all, own| all & own));
            assert_eq!(Some(node.best[0]), below().map(|column| sums[column][0]).max());
            match node.branches {
                Some((low, high)) => open.extend([low, high]),
                None => at_the_foot.extend(below()),
            }
        }
        at_the_foot.sort_unstable();
        assert_eq!(at_the_foot, (0..97).collect::<Vec<usize>>());
    }
}
