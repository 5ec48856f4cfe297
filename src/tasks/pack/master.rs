//! The cheapest kit of those that lose the fewest cases, best first.
//!
//! A node is all kits between two; its cheapest is the lower one. If that lies in a box, a kit of the node has to leave the
//! box upwards: by more of some kind than the box holds. Each such kind makes a child, and a later child may not leave by the
//! kinds of the earlier ones, so that no kit is met twice. Where the box only loses a case, what stays in it is a child as
//! well, with one case lost. The node that promises most is opened next. What it promises is the number of cases that are lost
//! with all of its kits, then the least price and mass with which the lead that every kit needs can be made, and all boxes can
//! be left whose exits have no kind in common: a kit that stays in one of them loses one case more, and ranks behind.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::kits::Grains;
use super::kits::{Boxes, Kit, Pieces, Rank, Refuted, Worth};
use crate::search::Guard;
use crate::solve::Patience;
use crate::tasks::fractional_knapsack::poured;

/// Nodes between two looks at the clock.
const NODES_PER_LOOK: u64 = 256;

/// Memory that open nodes may take, bytes; beyond it the search ends. The program promises half a gigabyte for all that it does.
const MOST_OPEN_BYTES: usize = 320 << 20;

/// What the allocator keeps beside each of a node's two kits, bytes.
const BESIDE_A_KIT: usize = 16;

/// What comes next.
pub(super) enum Next {
    /// No kit outside of the boxes is worth less.
    Kit(Kit),
    /// No kit outside of the boxes is better than the best known, or there is none at all.
    NoneLeft,
    /// The time is over, or the memory is full.
    Stopped,
}

/// All kits between two.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Node {
    /// No kit of it outside of the boxes ranks before this.
    promise: Rank,
    /// Among equals the one whose kits are nearly complete; then the one that was made first.
    missing_ng: i64,
    number: u64,
    low: Kit,
    high: Kit,
}

/// The search over kits.
pub(super) struct Master<'p> {
    pieces: &'p Pieces,
    grains: Grains,
    /// Lead that every kit needs, ng.
    least_ng: i64,
    open: BinaryHeap<Reverse<Node>>,
    most_open: usize,
    bound: Rank,
    /// Nothing from here on is better than what is known.
    best: Option<Rank>,
    made: u64,
}

/// So many nodes may be open at once; with many kinds of lead a node is larger.
const fn most_open(kinds: usize) -> usize {
    // While the heap grows, the old and the doubled one are there together.
    let in_the_heap = 3 * size_of::<Node>();
    MOST_OPEN_BYTES / (in_the_heap + 2 * (kinds * size_of::<u32>() + BESIDE_A_KIT))
}

/// How a box can be left: by so many of a kind.
#[derive(Clone, Copy, Debug)]
struct Exit {
    kind: usize,
    count: u32,
}

/// How a node goes on.
struct Ways {
    exits: Vec<Exit>,
    /// Whether what takes none of the exits counts as well.
    inside: bool,
}

impl<'a> Boxes<'a> {
    /// The boxes that hold the lower kit of a node; of those cases only that are not lost with all of it.
    fn holding(&self, node: &Node) -> Boxes<'a> {
        let hold = |boxes: &[&'a Refuted]| -> Vec<&'a Refuted> {
            boxes.iter().copied().filter(|refuted| refuted.holds(&node.low)).collect()
        };
        let soft = self.soft.iter().map(|boxes| hold(boxes));
        Boxes {
            hard: hold(&self.hard),
            soft: soft.filter(|held| held.iter().all(|refuted| !refuted.holds(&node.high))).collect(),
        }
    }

    /// Cases that are lost with all kits of a node.
    fn lost(&self, node: &Node) -> usize {
        let whole = |refuted: &&Refuted| refuted.holds(&node.low) && refuted.holds(&node.high);
        self.soft.iter().filter(|boxes| boxes.iter().any(whole)).count()
    }
}

impl<'p> Master<'p> {
    /// A search over all kits of at least so much lead.
    pub(super) fn new(pieces: &'p Pieces, least_ng: i64) -> Master<'p> {
        let everything = pieces.worth(&pieces.most).mass_ng;
        let mut master = Master {
            pieces,
            grains: Grains::new(&pieces.mass_ng, everything.max(1)),
            least_ng,
            open: BinaryHeap::new(),
            most_open: most_open(pieces.len()),
            bound: Rank::BEST,
            best: None,
            made: 0,
        };
        master.push(pieces.least.clone(), pieces.most.clone(), &Boxes::default());
        if let Some(Reverse(all)) = master.open.peek() {
            master.bound = all.promise;
        }
        master
    }

    /// No kit outside of the boxes ranks before this.
    pub(super) fn bound(&self) -> Rank {
        self.bound
    }

    /// Whether what is still to be looked at fills the memory that it may take.
    pub(super) fn is_full(&self) -> bool {
        self.open.len() > self.most_open
    }

    /// The best kit outside of the boxes, if it is better than `best`.
    pub(super) fn next(&mut self, boxes: &Boxes, best: Option<Rank>, patience: Patience) -> Next {
        self.best = best;
        let guard = Guard::new(patience);
        for visited in 0_u64.. {
            if (visited % NODES_PER_LOOK == 0 && guard.is_over()) || self.is_full() {
                return Next::Stopped;
            }
            let Some(Reverse(node)) = self.open.pop() else { break };
            if best.is_some_and(|best| node.promise >= best) {
                // What is left promises no more.
                self.open.clear();
                break;
            }
            self.bound = node.promise;
            // Boxes may have come since it was made.
            let Some(node) = self.bounded(node, boxes) else { continue };
            if node.promise > self.bound {
                self.open.push(Reverse(node));
                continue;
            }
            let Some(Ways { exits, inside }) = self.ways(&node, boxes) else {
                let kit = node.low.clone();
                // It is met again, and left behind if a box holds it by then.
                self.open.push(Reverse(node));
                return Next::Kit(kit);
            };
            let mut high = node.high.clone();
            for Exit { kind, count } in exits {
                let mut low = node.low.clone();
                low[kind] = count;
                self.push(low, high.clone(), boxes);
                high[kind] = count - 1;
            }
            if inside {
                self.push(node.low, high, boxes);
            }
        }
        Next::NoneLeft
    }

    fn node(&mut self, low: Kit, high: Kit) -> Node {
        self.made += 1;
        Node { promise: Rank::BEST, missing_ng: 0, number: self.made, low, high }
    }

    fn push(&mut self, low: Kit, high: Kit, boxes: &Boxes) {
        let node = self.node(low, high);
        let node = self.bounded(node, boxes);
        self.open_if_better(node);
    }

    fn open_if_better(&mut self, node: Option<Node>) {
        let better = node.filter(|node| self.best.is_none_or(|best| node.promise < best));
        self.open.extend(better.map(Reverse));
    }

    /// The ways on from a node whose lower kit is not allowed, or loses more than all of its kits do; none if it is fine.
    fn ways(&self, node: &Node, boxes: &Boxes) -> Option<Ways> {
        // The fewest children first, then those that cost most.
        let least = |ways: &Ways| {
            let cheapest = ways.exits.iter().map(|exit| self.price_of(node, *exit)).min();
            (ways.exits.len(), Reverse(cheapest))
        };
        if let Some(ways) = self.ways_out(node, boxes).min_by_key(least) {
            return Some(ways);
        }
        (node.missing_ng > 0).then(|| {
            let mut open: Vec<usize> =
                (0..self.pieces.len()).filter(|kind| node.low[*kind] < node.high[*kind]).collect();
            // The heaviest leave the least to be decided.
            open.sort_by_key(|kind| Reverse(self.pieces.mass_ng[*kind]));
            let exits = open.into_iter().map(|kind| Exit { kind, count: node.low[kind] + 1 }).collect();
            Ways { exits, inside: false }
        })
    }

    /// The ways out of each box that holds the lower kit of a node.
    fn ways_out(&self, node: &Node, boxes: &Boxes) -> impl Iterator<Item = Ways> {
        let Boxes { hard, soft } = boxes.holding(node);
        let hard = hard.into_iter().map(|refuted| (refuted, false));
        let all = hard.chain(soft.into_iter().flatten().map(|refuted| (refuted, true)));
        all.map(|(refuted, inside)| Ways { exits: self.exits_of(node, refuted), inside })
    }

    fn exits_of(&self, node: &Node, refuted: &Refuted) -> Vec<Exit> {
        let kinds = (0..self.pieces.len()).filter(|kind| node.high[*kind] > refuted.high[*kind]);
        let mut exits: Vec<Exit> = kinds.map(|kind| Exit { kind, count: refuted.high[kind] + 1 }).collect();
        exits.sort_by_key(|exit| (self.price_of(node, *exit), exit.kind));
        exits
    }

    /// What leaving by an exit adds.
    fn price_of(&self, node: &Node, exit: Exit) -> (i64, i64) {
        let more = i64::from(exit.count - node.low[exit.kind]);
        (more * self.pieces.cost[exit.kind], more * self.pieces.mass_ng[exit.kind])
    }

    /// The node with what boxes force on it and with what it promises; none if no kit is left in it.
    fn bounded(&mut self, mut node: Node, boxes: &Boxes) -> Option<Node> {
        // What one box forces may bring the lower kit into or out of another.
        let mut held: Vec<Vec<Exit>> = loop {
            let ways: Vec<Ways> = self.ways_out(&node, boxes).collect();
            if ways.iter().any(|ways| ways.exits.is_empty()) {
                return None;
            }
            // What must be left is left first: then nothing stays inside.
            let single = ways.iter().filter(|ways| ways.exits.len() == 1).min_by_key(|ways| ways.inside);
            let Some(Ways { exits, inside }) = single else {
                break ways.into_iter().map(|ways| ways.exits).collect();
            };
            let Exit { kind, count } = exits[0];
            if *inside {
                let mut high = node.high.clone();
                high[kind] = count - 1;
                // What loses one case more is bounded when its turn comes: with many cases it would be for each set of them.
                let mut other = self.node(node.low.clone(), high);
                other.promise.lost = boxes.lost(&other);
                self.open_if_better(Some(other));
            }
            node.low[kind] = count;
        };
        let here = self.pieces.worth(&node.low);
        node.missing_ng = (self.least_ng - here.mass_ng).max(0);
        // Boxes that have no exit in common each cost something.
        let (mut cost, mut mass_ng, mut pieces) = (0, 0, 0);
        let mut taken = vec![false; self.pieces.len()];
        held.sort_by_key(|exits| {
            let cheapest = exits.iter().map(|exit| self.price_of(&node, *exit)).min();
            (Reverse(cheapest.map(|(cost, _)| cost)), exits.len())
        });
        for exits in &held {
            if exits.iter().any(|exit| taken[exit.kind]) {
                continue;
            }
            for exit in exits {
                taken[exit.kind] = true;
            }
            let of = |which: &dyn Fn(&Exit) -> i64| exits.iter().map(which).min().unwrap_or(0);
            cost += of(&|exit| self.price_of(&node, *exit).0);
            mass_ng += of(&|exit| self.price_of(&node, *exit).1);
            pieces += of(&|exit| i64::from(exit.count - node.low[exit.kind]));
        }
        let (lead_cost, lead_ng) = self.lead(&node, here.cost + cost)?;
        let worth = Worth {
            cost: lead_cost,
            mass_ng: (here.mass_ng + lead_ng).max(here.mass_ng + mass_ng),
            pieces: here.pieces + pieces.max(i64::from(node.missing_ng > 0)),
        };
        let promise = Rank { lost: boxes.lost(&node), worth };
        node.promise = promise.max(node.promise);
        Some(node)
    }

    /// The least price, at least `least_cost`, with which enough lead can be made, and the least lead that must be added at that
    /// price; none if there is not enough.
    fn lead(&self, node: &Node, least_cost: i64) -> Option<(i64, i64)> {
        let here = self.pieces.worth(&node.low);
        let left = |kind: usize| node.high[kind] - node.low[kind];
        let mut cost = least_cost.max(here.cost + self.cheapest(node)?);
        loop {
            let affordable = (0..self.pieces.len()).map(|kind| {
                let price = self.pieces.cost[kind];
                // With many dear sizes the money buys more cheap pieces than 32 bits count.
                let affordable = (cost - here.cost).checked_div(price).unwrap_or(i64::MAX);
                (kind, affordable.min(i64::from(left(kind))) as u32)
            });
            if let Some(lead_ng) = self.grains.lightest(node.missing_ng, affordable) {
                return Some((cost, lead_ng));
            }
            // The next price at which anything more can be bought.
            let dearer = (0..self.pieces.len()).filter_map(|kind| {
                let price = self.pieces.cost[kind];
                let affordable = (cost - here.cost).checked_div(price)?;
                (affordable < i64::from(left(kind))).then(|| here.cost + price * (affordable + 1))
            });
            cost = dearer.min()?;
        }
    }

    /// What the lead that is missing costs at least, if sizes could be cut; none if there is not enough of it.
    fn cheapest(&self, node: &Node) -> Option<i64> {
        let mass_ng = &self.pieces.mass_ng;
        let left = |kind: usize| i64::from(node.high[kind] - node.low[kind]) * mass_ng[kind];
        let kinds = 0..self.pieces.len();
        if kinds.clone().map(left).sum::<i64>() < node.missing_ng {
            return None;
        }
        let saved = |kind: usize| -(self.pieces.cost[kind] as f64) / mass_ng[kind] as f64;
        let places = kinds.map(|kind| (saved(kind), left(kind) as f64)).collect();
        let cost = -poured(places, (0.0, 0.0), (node.missing_ng, node.missing_ng));
        // A hair less than it is, lest rounding make it more.
        Some((cost - 1e-6).ceil().max(0.0) as i64)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn open_nodes_of_many_kinds_keep_within_the_memory_that_is_promised() {
        for kinds in [1, 40, 200] {
            let node = size_of::<Node>() + 2 * kinds * size_of::<u32>();
            assert!(most_open(kinds) * node < 400_000_000, "{kinds} kinds: {} nodes", most_open(kinds));
            assert!(most_open(kinds) > 100_000, "{kinds} kinds");
        }
    }

    #[test]
    fn a_search_whose_memory_is_full_ends_and_says_so() {
        let kg = 1_000_000_000_000;
        let pieces =
            Pieces { mass_ng: vec![kg, 3 * kg], cost: vec![1, 2], least: vec![0, 0], most: vec![9, 9] };
        let mut master = Master::new(&pieces, 10 * kg);
        let none = Boxes::default();
        let patience = Patience::ENDLESS;
        assert!(matches!(master.next(&none, None, patience), Next::Kit(_)) && !master.is_full());
        let mut master = Master::new(&pieces, 10 * kg);
        master.most_open = 0;
        assert!(matches!(master.next(&none, None, patience), Next::Stopped) && master.is_full());
    }

    #[test]
    fn a_bound_counts_cheap_pieces_right_however_much_money_there_is() {
        let kg = 1_000_000_000_000;
        let pieces =
            Pieces { mass_ng: vec![kg, kg], cost: vec![1, 68_174_084], least: vec![0, 0], most: vec![4, 70] };
        let master = Master::new(&pieces, 67 * kg);
        // Four cheap ones and 63 dear ones cost 2^32, a remainder of nothing, and no 67 pieces cost less.
        assert_eq!(4 + 63 * pieces.cost[1], 1 << 32);
        let promises: Vec<i64> = master.open.iter().map(|Reverse(node)| node.promise.worth.cost).collect();
        assert_eq!(promises, [1 << 32]);
    }
}
