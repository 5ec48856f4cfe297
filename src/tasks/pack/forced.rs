//! What each piece of a kit is along for, and what one piece less would give up.

use super::ask::{Asking, Verdict};
use super::beyond::MOST_NODES;
use super::kits::{Kit, Pieces, Worth};
use super::programs::Programs;
use crate::plan::Plan;
use crate::scenario::{Case, Scenario};
use crate::solve::{self, Judged, Patience, Shortfall, solve_within_nodes};

/// A kind of the kit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Forced {
    /// Which, counted over the lead of the scenario and then the list.
    pub kind: usize,
    /// Cases, by their place in the trip, that are not served with one piece of it less.
    pub cases: Vec<usize>,
    /// Cases of which that could not be decided.
    pub unknown: Vec<usize>,
}

/// The kit with one piece less that gives up the least.
#[derive(Clone, Debug)]
pub struct Smaller {
    /// Of which kind a piece is left at home, or not bought.
    pub kind: usize,
    /// What the rest is worth.
    pub worth: Worth,
    /// What it gives up.
    pub lost: Vec<Lost>,
}

/// A case that is given up.
#[derive(Clone, Debug)]
pub struct Lost {
    pub case: Case,
    pub how: Left,
}

/// What is left of a case that is given up.
#[derive(Clone, Debug)]
pub enum Left {
    /// The nearest legal plan.
    Plan(Box<Plan>, Box<Scenario>),
    /// No legal plan: by how much.
    Illegal(Shortfall),
    /// Not known in its nodes.
    Unknown,
}

/// For every kind of which a piece could be left out, what would not be served.
pub(super) fn forced(pieces: &Pieces, asking: &mut Asking, kit: &Kit) -> Judged<Vec<Forced>> {
    let mut all = Vec::new();
    for kind in (0..pieces.len()).filter(|kind| kit[*kind] > pieces.least[*kind]) {
        let mut fewer = kit.clone();
        fewer[kind] -= 1;
        let mut forced = Forced { kind, cases: Vec::new(), unknown: Vec::new() };
        for case in 0..asking.cases() {
            match asking.ask_case(case, &fewer, false)? {
                Verdict::Serves => {}
                Verdict::Fails => forced.cases.push(case),
                Verdict::Unknown => forced.unknown.push(case),
            }
        }
        all.push(forced);
    }
    Ok(all)
}

/// Of the kits with one piece less the one that gives up the fewest cases; of those that cost less, if anything is bought.
pub(super) fn smaller(
    asking: &Asking,
    pieces: &Pieces,
    forced: &[Forced],
    kit: &Kit,
    patience: Patience,
) -> Judged<Option<Smaller>> {
    let is_bought = |forced: &&Forced| pieces.cost[forced.kind] > 0;
    let any_bought = forced.iter().any(|one| is_bought(&one));
    let candidates = forced.iter().filter(|one| !any_bought || is_bought(one));
    let least = candidates.min_by_key(|one| {
        let saved = (pieces.cost[one.kind], pieces.mass_ng[one.kind]);
        (one.cases.len() + one.unknown.len(), std::cmp::Reverse(saved))
    });
    let Some(least) = least else { return Ok(None) };
    let mut fewer = kit.clone();
    fewer[least.kind] -= 1;
    let Programs { scenario, trip, .. } = asking.programs;
    let cases = trip.cases();
    let mut lost = Vec::new();
    for case in least.cases.iter().chain(&least.unknown).map(|index| cases[*index]) {
        let packed = scenario.packed(trip, case, &fewer);
        if patience.is_over() {
            lost.push(Lost { case, how: Left::Unknown });
            continue;
        }
        let how = match solve_within_nodes(&packed, case.driver, patience, MOST_NODES)? {
            solve::Answer::Plan(solved) => Left::Plan(Box::new(solved.plan), Box::new(packed)),
            solve::Answer::NoLegalPlan(shortfall) => Left::Illegal(shortfall),
            solve::Answer::OutOfTime => Left::Unknown,
        };
        lost.push(Lost { case, how });
    }
    Ok(Some(Smaller { kind: least.kind, worth: pieces.worth(&fewer), lost }))
}
