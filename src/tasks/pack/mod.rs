//! `pack`: the cheapest kit of lead that serves every driver, class and target of a trip, then the lightest, then of the fewest
//! pieces.
//! Takes a scenario and a time; gives the kit with a bound that no kit can beat, and for every case the plan that `plan` finds
//! with only the pieces of the kit; or which cases no kit can serve.
//!
//! # What serves
//!
//! A kit serves a case if the plan that `plan` finds with it is legal and, by the judge, on every target. That does not only
//! get easier with more pieces: they may make a lighter legal total possible, and the total may exceed the lightest only by
//! the spare. So there are two questions. *Could any plan be on target, whatever it weighs?* More pieces never hurt here; a kit
//! refuted so is refuted with all kits within it (`ask`). *Is the plan on target?* A kit that fails only here is excluded with
//! those that share its lightest legal plan, or alone.
//!
//! A case that everything along does not serve may be served by less, so it is lost only where no kit serves it together with
//! as many others: of the kits with which every case is legal those count that lose the fewest cases, and of these the cheapest.
//!
//! # Why the kit is the best one
//!
//! Whatever is refuted becomes a box of kits, as large as can be refuted in one go. The kit that loses the fewest cases by what
//! is known, and the cheapest of these, is asked about next (`master`), so the first one that serves all the others is the
//! best, and its rank before that is a bound. What could not be decided within its nodes is remembered: the bound never rises
//! above it.

mod ask;
mod beyond;
mod forced;
mod hunt;
mod kits;
mod master;
mod programs;

use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

use crate::plan::Plan;
use crate::scenario::{Case, Scenario, Trip};
use crate::solve::{self, Judged, Patience, Shortfall, Solved, solve, solve_within_nodes};

pub use beyond::{Beyond, DRIVER_STEP_KG, FRONT_STEP, Probe, Probed};
pub use forced::{Forced, Left, Lost, Smaller};
pub use kits::{Kit, Worth};

use ask::{Asking, Question};
use beyond::MOST_NODES;
use hunt::Hunt;
use kits::{Pieces, Refuted};
use programs::Programs;

/// Of the time the search for kits may use so much; the plans, and what is told of the kit, need the rest.
const SHARE_OF_SEARCH: f64 = 0.6;

/// So much of it as long as no kit is known that serves all: then fewer cases are asked to be on target.
const SHARE_WITHOUT_KIT: f64 = 0.3;

/// To tell of another kit may take so many times as long as to tell of the first.
const TELLING_AGAIN: f64 = 1.5;

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
    /// A kit that brings as many cases onto target as any kit can, and makes the others legal.
    Packed(Box<Packed>),
    /// Proved: no kit makes every case legal, and with everything along these have no legal plan.
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
    /// To be legal and on every target.
    OnTarget,
    /// To be legal: proved that no kit serves it together with as many others.
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

    /// Whether every case is on every target.
    pub fn all_on_target(&self) -> bool {
        self.cases.iter().all(|served| served.plan().measured().all_on_target())
    }
}

/// Finds the best kit for the trip of a scenario.
///
/// Fails only if the judge disagrees with a search, or a kit ends below its bound.
pub fn pack(scenario: &Scenario, patience: Patience, progress: &Progress) -> Judged<Answer> {
    let trip = scenario.trip();
    let pieces = Pieces::new(scenario, &trip);
    let programs = Programs::new(scenario, &trip, &pieces);
    let all_of_it = patience.part(SHARE_OF_SEARCH);
    let mut asking = Asking::new(programs, patience.part(SHARE_WITHOUT_KIT));
    let never_legal = |cases| Ok(Answer::NeverLegal { cases, everything: pieces.most.clone() });
    let never = asking.never_legal(&pieces.most, true)?;
    if !never.is_empty() {
        return never_legal(never);
    }
    loop {
        let mut hunt = Hunt::new(&pieces, &mut asking)?;
        if hunt.lost() == Some(0) {
            asking.be_patient(all_of_it);
        }
        hunt.go_on(&mut asking, progress)?;
        if hunt.lost().is_none() {
            asking.be_patient(if patience.is_over() { patience.with_overtime() } else { patience });
            if hunt.has_none() {
                // As no kit makes every case legal, everything along does not.
                let never = asking.never_legal(&pieces.most, false)?;
                if !never.is_empty() {
                    return never_legal(never);
                }
            }
            if !asking.is_legal(&pieces.most, u64::MAX) {
                let bound = Some(hunt.bound()).filter(|bound| bound.lost == 0).map(|bound| bound.worth);
                return Ok(Answer::OutOfTime { bound, kits: asking.kits() });
            }
            hunt.take_everything(&mut asking)?;
        }
        // Where fewer cases may be lost, but it is not known how: the best kit that serves as many.
        if !hunt.settle(&mut asking) {
            asking.be_patient(all_of_it);
            hunt.go_on(&mut asking, progress)?;
        }
        let begun = patience.used();
        let out_of_time = |asking: &Asking| Answer::OutOfTime { bound: None, kits: asking.kits() };
        let mut packed = match told(&pieces, &mut asking, &hunt, patience)? {
            Told::Packed(packed) => packed,
            Told::Refuted => continue,
            Told::NoPlan => return Ok(out_of_time(&asking)),
        };
        // What is left of the time is used as well, but for telling of another kit.
        asking.be_patient(patience.keeping(TELLING_AGAIN * (patience.used() - begun)));
        if !packed.is_best_possible() && !asking.is_over() {
            hunt.go_on(&mut asking, progress)?;
            hunt.settle(&mut asking);
            if hunt.kit() == Some(&packed.kit) {
                (packed.bound, packed.is_full) = (hunt.bound().worth, hunt.is_full());
                packed.kits = asking.kits();
            } else {
                match told(&pieces, &mut asking, &hunt, patience)? {
                    Told::Packed(better) => packed = better,
                    Told::Refuted => continue,
                    Told::NoPlan => {}
                }
            }
        }
        return Ok(Answer::Packed(packed));
    }
}

/// What came of telling of a kit.
enum Told {
    Packed(Box<Packed>),
    /// A plan is off target that was asked to be on target: the kit is none, and the search goes on.
    Refuted,
    /// A case has no plan in this time.
    NoPlan,
}

/// The best kit with the plans that `plan` finds with it, and everything that is told of it.
fn told<'s>(pieces: &Pieces, asking: &mut Asking<'s>, hunt: &Hunt, patience: Patience<'s>) -> Judged<Told> {
    let patience = patience.with_overtime();
    let Some(kit) = hunt.kit().cloned() else { return Ok(Told::NoPlan) };
    let Some(cases) = plans(asking, &kit, patience)? else { return Ok(Told::NoPlan) };
    let mut is_refuted = false;
    for (case, served) in cases.iter().enumerate() {
        let is_proved = served.asked == Asked::OnTarget && served.solved.is_best_possible();
        if is_proved && !served.plan().measured().all_on_target() {
            asking.exclude(case, Question::OnTarget, Refuted::alone(&kit));
            is_refuted = true;
        }
    }
    if is_refuted {
        return Ok(Told::Refuted);
    }
    let kits = asking.kits();
    asking.be_patient(patience);
    let forced = forced::forced(pieces, asking, &kit)?;
    let Programs { scenario, trip, .. } = asking.programs;
    Ok(Told::Packed(Box::new(Packed {
        trip: trip.clone(),
        worth: pieces.worth(&kit),
        bound: hunt.bound().worth,
        is_full: hunt.is_full(),
        kits,
        cases,
        smaller: forced::smaller(asking, pieces, &forced, &kit, patience)?,
        forced,
        beyond: beyond::beyond(scenario, trip, &kit, patience)?,
        kit,
    })))
}

/// The plans that `plan` finds with a kit; none if one of them was stopped before there was any.
fn plans(asking: &Asking, kit: &Kit, patience: Patience) -> Judged<Option<Vec<Served>>> {
    let Programs { scenario, trip, .. } = asking.programs;
    let cases = trip.cases();
    let mut served = Vec::new();
    for (index, case) in cases.iter().copied().enumerate() {
        // One share more, for what is told of the kit.
        let share = patience.part(1.0 / (cases.len() - index + 1) as f64);
        let packed = scenario.packed(trip, case, kit);
        let answer = match solve(&packed, case.driver, share)? {
            solve::Answer::OutOfTime => solve_within_nodes(&packed, case.driver, patience, MOST_NODES)?,
            answer => answer,
        };
        let solve::Answer::Plan(solved) = answer else { return Ok(None) };
        served.push(Served { case, scenario: packed, solved, asked: asking.asked[index] });
    }
    Ok(Some(served))
}
