//! `pack`: the cheapest kit of lead that serves every driver, class and target of a trip, then the lightest, then of the fewest
//! pieces.
//! Takes a scenario and a time; gives the kit with a bound that no kit can beat, and for every case the plan that `plan` finds
//! with only the pieces of the kit; or which cases no kit can serve.
//! Does not lay anything out, and counts no bolts.
//!
//! # What serves
//!
//! A kit serves a case if the plan that `plan` finds with it is legal and, by the judge, in every band. That does not only
//! get easier with more pieces: they may make a lighter legal total possible, and the total may exceed the lightest only by
//! the spare. So there are two questions. *Could any plan be in band, whatever it weighs?* More pieces never hurt here; a kit
//! refuted so is refuted with all kits within it (`ask`). *Is the plan in band?* A kit that fails only here is excluded with
//! those that share its lightest legal plan, or alone.
//!
//! # Why the kit is the best one
//!
//! Whatever is refuted becomes a box of kits, as large as can be refuted in one go. The cheapest kit outside of all boxes is
//! asked about next (`master`), so the first one that serves every case is the best, and its price before that is a bound.
//! What could not be decided within its nodes is remembered: the bound never rises above it.

mod ask;
mod beyond;
mod forced;
mod kits;
mod lightest;
mod master;
mod programs;

use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

use crate::plan::Plan;
use crate::scenario::{Case, Scenario, Trip};
use crate::solve::{self, Disagreement, Patience, Shortfall, Solved, solve, solve_within_nodes};

pub use beyond::{Beyond, DRIVER_STEP_KG, FRONT_STEP, Probe, Probed};
pub use forced::{Forced, Left, Lost, Smaller};
pub use kits::{Kit, Worth};

use ask::{Asking, Verdict};
use kits::Pieces;
use master::Master;
use programs::Programs;

/// Of the time the search for kits may use so much; the plans, and what is told of the kit, need the rest.
const SHARE_OF_SEARCH: f64 = 0.6;

/// So much of it as long as no kit is known that serves all: then fewer cases are asked to be in band.
const SHARE_WITHOUT_KIT: f64 = 0.3;

/// Nodes for the plan of a case where the time was not enough for any.
const LAST_NODES: u64 = 200_000;

/// How far a search has come, for whoever shows it.
#[derive(Debug, Default)]
pub struct Progress {
    kits: AtomicU64,
    best: Mutex<Option<Worth>>,
    bound: Mutex<Option<Worth>>,
}

impl Progress {
    /// Kits asked about.
    pub fn kits(&self) -> u64 {
        self.kits.load(Ordering::Relaxed)
    }

    /// The best kit that serves all, and what no kit can beat; as far as they are known.
    pub fn best_and_bound(&self) -> (Option<Worth>, Option<Worth>) {
        let read = |worth: &Mutex<Option<Worth>>| worth.lock().map_or(None, |worth| *worth);
        (read(&self.best), read(&self.bound))
    }

    fn tell(&self, best: Option<Worth>, bound: Option<Worth>) {
        for (place, worth) in [(&self.best, best), (&self.bound, bound)] {
            if let (Ok(mut place), Some(worth)) = (place.lock(), worth) {
                *place = Some(worth);
            }
        }
    }
}

/// How it ended.
#[derive(Clone, Debug)]
pub enum Answer {
    /// A kit that serves every case that any kit can bring into band, and makes the others legal.
    Packed(Box<Packed>),
    /// Proved: with everything along some cases have no legal plan.
    NeverLegal {
        /// Which, and by how much.
        cases: Vec<(Case, Shortfall)>,
        /// Everything that could be along, spares left aside.
        everything: Kit,
    },
    /// Stopped before any kit was found.
    OutOfTime {
        /// No kit is worth less; none if not even that is known.
        bound: Option<Worth>,
        /// Kits asked about.
        kits: u64,
    },
}

/// A kit, and what is known of it.
#[derive(Clone, Debug)]
pub struct Packed {
    /// The trip that it is for.
    pub trip: Trip,
    /// Pieces that the cases need; spares come on top.
    pub kit: Kit,
    /// What it is worth, spares left aside.
    pub worth: Worth,
    /// No kit that does as much is worth less.
    pub bound: Worth,
    /// Whether the search ended because its memory was full: more time would not have helped.
    pub is_full: bool,
    /// Kits asked about.
    pub kits: u64,
    /// Every case, in the order of the trip.
    pub cases: Vec<Served>,
    /// What each kind is along for.
    pub forced: Vec<Forced>,
    /// What would be given up with one piece less, if any piece is along.
    pub smaller: Option<Smaller>,
    /// How far the kit reaches beyond the cases, in their order.
    pub beyond: Vec<Beyond>,
}

/// A case with the plan that the kit gives it.
#[derive(Clone, Debug)]
pub struct Served {
    /// The case.
    pub case: Case,
    /// Its scenario with only the kit's pieces.
    pub scenario: Scenario,
    /// What `plan` finds for that.
    pub solved: Solved,
    /// What was asked of it.
    pub asked: Asked,
}

/// What was asked of the plan of a case.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asked {
    /// To be legal and in every band.
    InBand,
    /// To be legal: proved that no kit serves it together with the others.
    Legal,
    /// To be legal: no kit was found in time that serves it, and it is not proved that there is none.
    GivenUp,
}

impl Served {
    /// Its plan.
    pub fn plan(&self) -> &Plan {
        &self.solved.plan
    }
}

impl Packed {
    /// Whether no kit can be better.
    pub fn is_best_possible(&self) -> bool {
        self.worth == self.bound && self.cases.iter().all(|served| served.asked != Asked::GivenUp)
    }

    /// Whether every case is in every band.
    pub fn all_in_band(&self) -> bool {
        self.cases.iter().all(|served| served.plan().measured().all_in_band())
    }
}

/// Finds the best kit for the trip of a scenario.
///
/// Fails only if the judge disagrees with a search.
pub fn pack(scenario: &Scenario, patience: Patience, progress: &Progress) -> Result<Answer, Disagreement> {
    let trip = scenario.trip();
    let pieces = Pieces::new(scenario, &trip);
    let programs = Programs::new(scenario, &trip, &pieces);
    let all_of_it = patience.part(SHARE_OF_SEARCH);
    let mut asking = Asking::new(programs, patience.part(SHARE_WITHOUT_KIT));
    let never = asking.never_legal(&pieces.most)?;
    if !never.is_empty() {
        return Ok(Answer::NeverLegal { cases: never, everything: pieces.most });
    }
    loop {
        let mut master = Master::new(&pieces, asking.least_lead_ng());
        let found = search(&pieces, &mut asking, &mut master, all_of_it, progress)?;
        match found {
            Found::Kit { kit, bound } => {
                let afterwards = patience.with_overtime();
                let plans = plans(scenario, &trip, &asking, &kit, afterwards)?;
                let Some(cases) = plans else {
                    return Ok(Answer::OutOfTime { bound: Some(bound), kits: asking.kits() });
                };
                // What was asked and what `plan` finds agree, or this kit is none and the search goes on.
                let is_refuted = |served: &Served| {
                    served.asked == Asked::InBand
                        && served.solved.is_best_possible()
                        && !served.plan().measured().all_in_band()
                };
                if cases.iter().any(is_refuted) {
                    asking.boxes.push(kits::Refuted::alone(&kit));
                    continue;
                }
                let packed = packed(
                    scenario,
                    &trip,
                    &pieces,
                    &mut asking,
                    (kit, bound, master.is_full()),
                    cases,
                    afterwards,
                )?;
                return Ok(Answer::Packed(Box::new(packed)));
            }
            Found::Nothing { bound } => {
                // Each case alone may be served, but none of the kits serves all: those that everything along does not serve
                // can only be asked to be legal.
                if !asking.is_over() && asking.demand_less(&pieces.most, Asked::Legal)? {
                    continue;
                }
                // The same where that is not known in time.
                asking.be_patient(if patience.is_over() { patience.with_overtime() } else { all_of_it });
                if asking.is_over() || !asking.demand_less(&pieces.most, Asked::GivenUp)? {
                    return Ok(Answer::OutOfTime { bound, kits: asking.kits() });
                }
            }
        }
    }
}

/// What one search over all kits has found.
enum Found {
    Kit { kit: Kit, bound: Worth },
    Nothing { bound: Option<Worth> },
}

/// The cheapest kit that the boxes allow is asked about, until one serves all cases.
fn search<'s>(
    pieces: &Pieces,
    asking: &mut Asking<'s>,
    master: &mut Master,
    all_of_it: Patience<'s>,
    progress: &Progress,
) -> Result<Found, Disagreement> {
    let mut best = descend(pieces, asking)?;
    if best.is_some() && !asking.is_over() {
        asking.be_patient(all_of_it);
    }
    let mut bound = None;
    // What could not be decided; the bound stays below it.
    let mut undecided: Option<Worth> = None;
    while !asking.is_over() {
        let worth = best.as_ref().map(|kit: &Kit| pieces.worth(kit));
        let next = master.next(&asking.boxes, worth, asking.patience());
        bound = master.bound().or(bound);
        progress.kits.store(asking.kits(), Ordering::Relaxed);
        progress.tell(worth, bound.map(|bound| undecided.map_or(bound, |worth| worth.min(bound))));
        let kit = match next {
            master::Next::Kit(kit) => kit,
            master::Next::Stopped => break,
            master::Next::NoneLeft => {
                let Some(kit) = best else { return Ok(Found::Nothing { bound: undecided }) };
                let worth = pieces.worth(&kit);
                return Ok(Found::Kit { bound: undecided.map_or(worth, |other| other.min(worth)), kit });
            }
        };
        match asking.ask(&kit)? {
            Verdict::Serves => best = Some(kit),
            Verdict::Fails => {}
            Verdict::Unknown => {
                let worth = pieces.worth(&kit);
                undecided = Some(undecided.map_or(worth, |other| other.min(worth)));
                asking.boxes.push(kits::Refuted::alone(&kit));
            }
        }
    }
    let bound = bound.map(|bound| undecided.map_or(bound, |worth| worth.min(bound)));
    Ok(match best {
        Some(kit) => {
            let worth = pieces.worth(&kit);
            Found::Kit { bound: bound.map_or(Worth::NOTHING, |bound| bound.min(worth)), kit }
        }
        None => Found::Nothing { bound },
    })
}

/// A kit that serves all and has no piece to spare, if everything along serves all: a first answer for whoever cannot wait.
fn descend(pieces: &Pieces, asking: &mut Asking) -> Result<Option<Kit>, Disagreement> {
    let mut kit = pieces.most.clone();
    if asking.ask(&kit)? != Verdict::Serves {
        return Ok(None);
    }
    for kind in pieces.dearest_first() {
        let (mut enough, mut too_few) = (kit[kind], pieces.least[kind].checked_sub(1));
        while enough > too_few.map_or(0, |few| few + 1) && !asking.is_over() {
            let middle = too_few.map_or(enough / 2, |few| few.midpoint(enough));
            let mut fewer = kit.clone();
            fewer[kind] = middle;
            if asking.ask(&fewer)? == Verdict::Serves {
                (enough, kit) = (middle, fewer);
            } else {
                too_few = Some(middle);
            }
        }
    }
    Ok(Some(kit))
}

/// The plans that `plan` finds with a kit; none if one of them was stopped before there was any.
fn plans(
    scenario: &Scenario,
    trip: &Trip,
    asking: &Asking,
    kit: &Kit,
    patience: Patience,
) -> Result<Option<Vec<Served>>, Disagreement> {
    let cases = trip.cases();
    let mut served = Vec::new();
    for (index, case) in cases.iter().copied().enumerate() {
        // One share more, for what is told of the kit.
        let share = patience.part(1.0 / (cases.len() - index + 1) as f64);
        let packed = scenario.packed(trip, case, kit);
        let answer = match solve(&packed, case.driver, share)? {
            solve::Answer::OutOfTime => solve_within_nodes(&packed, case.driver, patience, LAST_NODES)?,
            answer => answer,
        };
        let solve::Answer::Plan(solved) = answer else { return Ok(None) };
        served.push(Served { case, scenario: packed, solved, asked: asking.asked(index) });
    }
    Ok(Some(served))
}

/// The kit with everything that is told of it.
fn packed<'s>(
    scenario: &Scenario,
    trip: &Trip,
    pieces: &Pieces,
    asking: &mut Asking<'s>,
    (kit, bound, is_full): (Kit, Worth, bool),
    cases: Vec<Served>,
    patience: Patience<'s>,
) -> Result<Packed, Disagreement> {
    let kits = asking.kits();
    asking.be_patient(patience);
    let forced = forced::forced(pieces, asking, &kit)?;
    let smaller = forced::smaller(scenario, trip, pieces, &forced, &kit, patience)?;
    let beyond = beyond::beyond(scenario, trip, &kit, patience)?;
    Ok(Packed {
        trip: trip.clone(),
        worth: pieces.worth(&kit),
        bound,
        is_full,
        kits,
        cases,
        forced,
        smaller,
        beyond,
        kit,
    })
}
