//! Whether a kit serves all cases: asked case by case, the hardest first, and never twice.

use std::collections::HashMap;

use super::Asked;
use super::beyond::{MOST_NODES, Probed, came_of};
use super::kits::{Boxes, Kit, Pieces, Refuted, within};
use super::programs::{Programs, Tolerances};
use crate::counts::Counts;
use crate::engine::DualPrices;
use crate::goal::Goal;
use crate::model::Model;
use crate::plan::JUDGE_TOLERANCE_KG;
use crate::scenario::Case;
use crate::search::{End, Found, Guard, Limits, Objective, Search};
use crate::solve::{self, Judged, Patience, Shortfall, not_below, solve_within_nodes};
use crate::tasks::pursuit::{Settled, any_plan};
use crate::units::Mass;

/// Nodes for how much is missing where there is no legal plan: to the gram that can be as hard as one likes.
const SHORTFALL_NODES: u64 = 20_000;

/// Nodes for a question whose answer only makes a box larger.
const QUICK_NODES: u64 = 2_000;

/// Whether a kit serves all cases.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Verdict {
    Serves,
    Fails,
    /// Not decided within its nodes, or stopped.
    Unknown,
}

/// A plan that does what was asked: whoever has its pieces can do the same.
struct Witness {
    pieces: Kit,
    total_ng: i64,
}

impl Witness {
    fn of(found: &Found) -> Witness {
        Witness { pieces: pieces_of(&found.counts), total_ng: found.values.mass_ng }
    }
}

/// What is known of one case.
#[derive(Default)]
struct Known {
    /// On every target, as the file has it.
    witnesses: Vec<Witness>,
    /// Legal, whatever else.
    legal_witnesses: Vec<Witness>,
    /// On every target as the judge takes them, of any total.
    wide_witnesses: Vec<Kit>,
    /// Kits with which the plan is not on target.
    off_target: Vec<Refuted>,
    /// Kits with which there is no legal plan.
    illegal: Vec<Refuted>,
    /// Whether the plan that is found with a kit is on target, where it had to be found.
    planned: HashMap<Kit, bool>,
}

/// What a kit is refuted for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Question {
    OnTarget,
    Legal,
}

/// Whether a kit counts that does not serve all cases that are asked to be on target.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum May {
    BeLost,
    NotBeLost,
}

/// Everything that has been asked.
pub(super) struct Asking<'s> {
    pub(super) programs: Programs<'s>,
    /// What is asked of each case.
    pub(super) asked: Vec<Asked>,
    known: Vec<Known>,
    /// The case that failed last is asked first.
    order: Vec<usize>,
    /// Kits that could not be decided.
    pub(super) undecided: Vec<Refuted>,
    patience: Patience<'s>,
    kits: u64,
}

impl<'s> Asking<'s> {
    pub(super) fn new(programs: Programs<'s>, patience: Patience<'s>) -> Asking<'s> {
        let cases = programs.len();
        // Whoever needs the most lead is the hardest to serve.
        let mut order: Vec<usize> = (0..cases).collect();
        order.sort_by_key(|case| std::cmp::Reverse(programs.all[*case].least_lead_ng()));
        Asking {
            known: (0..cases).map(|_| Known::default()).collect(),
            asked: vec![Asked::OnTarget; cases],
            programs,
            order,
            undecided: Vec::new(),
            patience,
            kits: 0,
        }
    }

    /// Kits asked about so far.
    pub(super) fn kits(&self) -> u64 {
        self.kits
    }

    pub(super) fn patience(&self) -> Patience<'s> {
        self.patience
    }

    /// With another patience from here on.
    pub(super) fn be_patient(&mut self, patience: Patience<'s>) {
        self.patience = patience;
    }

    pub(super) fn is_over(&self) -> bool {
        self.patience.is_over()
    }

    /// The kits that are refuted. Where a case `may` be lost, its own count as soft: they lose no more than this case.
    pub(super) fn boxes(&self, may: May) -> Boxes<'_> {
        let mut boxes = Boxes { hard: self.undecided.iter().collect(), soft: Vec::new() };
        for (known, asked) in self.known.iter().zip(&self.asked) {
            boxes.hard.extend(&known.illegal);
            match (asked, may) {
                (Asked::OnTarget, May::BeLost) => boxes.soft.push(known.off_target.iter().collect()),
                (Asked::OnTarget, May::NotBeLost) => boxes.hard.extend(&known.off_target),
                (Asked::Legal | Asked::GivenUp, _) => {}
            }
        }
        boxes
    }

    /// Cases that are known not to be on target with a kit.
    pub(super) fn lost(&self, kit: &Kit) -> Vec<bool> {
        let holds = |known: &Known| known.off_target.iter().any(|refuted| refuted.holds(kit));
        self.known.iter().map(holds).collect()
    }

    pub(super) fn cases(&self) -> usize {
        self.known.len()
    }

    /// Lead that every kit needs at least, ng.
    pub(super) fn least_lead_ng(&self) -> i64 {
        self.programs.all.iter().map(super::programs::Program::least_lead_ng).max().unwrap_or(0)
    }

    /// Cases that have no legal plan with any kit, or for which `everything` along is too light: with what is missing then.
    pub(super) fn never_legal(&self, everything: &Kit, whatever: bool) -> Judged<Vec<(Case, Shortfall)>> {
        let mut never: Vec<(Case, Shortfall)> = Vec::new();
        for case in 0..self.cases() {
            let program = &self.programs.all[case];
            // Targets decide nothing about what is legal.
            let one = program.case;
            let alike = |other: &Case| other.driver == one.driver && other.class == one.class;
            if let Some((_, shortfall)) = never.iter().find(|(other, _)| alike(other)) {
                never.push((one, shortfall.clone()));
                continue;
            }
            // With less along, less may be required.
            let required_ng = if whatever {
                program.least_required_ng()
            } else {
                self.programs.required_ng(case, everything)
            };
            if !matches!(self.look_legal(case, everything, required_ng, MOST_NODES), Settled::Never) {
                continue;
            }
            let packed = self.programs.scenario.packed(self.programs.trip, one, everything);
            let answer = solve_within_nodes(&packed, one.driver, self.patience, SHORTFALL_NODES)?;
            if let solve::Answer::NoLegalPlan(shortfall) = answer {
                never.push((one, shortfall));
            }
        }
        Ok(never)
    }

    /// Asks whether a kit serves all cases; those that are known to be lost with it have to be legal if they may be lost. A kit
    /// that does not becomes part of a box.
    pub(super) fn ask(&mut self, kit: &Kit, may: May) -> Judged<Verdict> {
        self.kits += 1;
        let mut verdict = Verdict::Serves;
        let lost = if may == May::BeLost { self.lost(kit) } else { vec![false; self.cases()] };
        for place in 0..self.order.len() {
            let case = self.order[place];
            let of_case = if lost[case] {
                self.ask_legal(case, kit, true, MOST_NODES)
            } else {
                self.ask_case(case, kit, true)?
            };
            match of_case {
                Verdict::Serves => {}
                Verdict::Fails => {
                    self.order[..=place].rotate_right(1);
                    return Ok(Verdict::Fails);
                }
                Verdict::Unknown => verdict = Verdict::Unknown,
            }
        }
        Ok(verdict)
    }

    /// Whether a kit serves what is asked of one case; `enlarge` to make the box of a refuted kit as large as can be.
    pub(super) fn ask_case(&mut self, case: usize, kit: &Kit, enlarge: bool) -> Judged<Verdict> {
        match self.asked[case] {
            Asked::OnTarget if self.known[case].off_target.iter().any(|refuted| refuted.holds(kit)) => {
                Ok(Verdict::Fails)
            }
            Asked::OnTarget => self.ask_on_target(case, kit, enlarge),
            Asked::Legal | Asked::GivenUp => Ok(self.ask_legal(case, kit, enlarge, MOST_NODES)),
        }
    }

    /// Whether a kit is found to make every case legal, within so many nodes a case.
    pub(super) fn is_legal(&mut self, kit: &Kit, nodes: u64) -> bool {
        (0..self.cases()).all(|case| self.ask_legal(case, kit, false, nodes) == Verdict::Serves)
    }

    /// Whether it is proved that no kit brings a case onto target.
    pub(super) fn is_lost_with_any(&self, case: usize, pieces: &Pieces) -> bool {
        let is_all = |refuted: &Refuted| refuted.holds(&pieces.least) && refuted.holds(&pieces.most);
        self.known[case].off_target.iter().any(is_all)
    }

    fn ask_on_target(&mut self, case: usize, kit: &Kit, enlarge: bool) -> Judged<Verdict> {
        let required_ng = self.programs.required_ng(case, kit);
        let spare_ng = self.programs.scenario.preferences().spare.ng();
        let program = &self.programs.all[case];
        if program.trusts_tolerances(self.programs.trip) {
            let most_ng = required_ng.saturating_add(spare_ng);
            let serves = |witness: &Witness| {
                (required_ng..=most_ng).contains(&witness.total_ng) && within(&witness.pieces, kit)
            };
            if self.known[case].witnesses.iter().any(serves) {
                return Ok(Verdict::Serves);
            }
            let model = program.with(kit, Tolerances::Strict, required_ng);
            let limits = Limits { most_mass_ng: most_ng, ..on_target(&model) };
            if let Settled::Yes(found) = self.look(&model, Objective::Targets, limits, MOST_NODES) {
                self.known[case].witnesses.push(Witness::of(&found));
                return Ok(Verdict::Serves);
            }
        }
        if !self.known[case].wide_witnesses.iter().any(|pieces| within(pieces, kit)) {
            match self.look_wide(case, kit, Limits::FREE, MOST_NODES) {
                Settled::Never => {
                    self.refute(case, Question::OnTarget, kit, None, enlarge);
                    return Ok(Verdict::Fails);
                }
                Settled::Yes(found) => self.known[case].wide_witnesses.push(pieces_of(&found.counts)),
                Settled::Unknown => return self.planned_on_target(case, kit, false, enlarge),
            }
        }
        self.planned_on_target(case, kit, true, enlarge)
    }

    /// What `plan` finds decides; `is_refutable` where the question of any total was decided at all.
    fn planned_on_target(
        &mut self,
        case: usize,
        kit: &Kit,
        is_refutable: bool,
        enlarge: bool,
    ) -> Judged<Verdict> {
        if let Some(on_target) = self.known[case].planned.get(kit) {
            return Ok(if *on_target { Verdict::Serves } else { Verdict::Fails });
        }
        let one = self.programs.all[case].case;
        let packed = self.programs.scenario.packed(self.programs.trip, one, kit);
        let probed = came_of(&packed, one.driver, self.patience)?;
        if matches!(probed, Probed::OnTarget | Probed::OffTarget) {
            self.known[case].planned.insert(kit.clone(), probed == Probed::OnTarget);
        }
        match probed {
            Probed::OnTarget => return Ok(Verdict::Serves),
            Probed::OffTarget if is_refutable => self.refute_lightest(case, kit, enlarge)?,
            Probed::OffTarget | Probed::Illegal => {
                self.exclude(case, Question::OnTarget, Refuted::alone(kit));
            }
            Probed::Unknown | Probed::NotAsked => return Ok(Verdict::Unknown),
        }
        Ok(Verdict::Fails)
    }

    fn ask_legal(&mut self, case: usize, kit: &Kit, enlarge: bool, nodes: u64) -> Verdict {
        let known = &self.known[case];
        if known.illegal.iter().any(|refuted| refuted.holds(kit)) {
            return Verdict::Fails;
        }
        let required_ng = self.programs.required_ng(case, kit);
        let serves = |witness: &Witness| witness.total_ng >= required_ng && within(&witness.pieces, kit);
        if known.witnesses.iter().chain(&known.legal_witnesses).any(serves) {
            return Verdict::Serves;
        }
        match self.look_legal(case, kit, required_ng, nodes) {
            Settled::Yes(found) => {
                self.known[case].legal_witnesses.push(Witness::of(&found));
                Verdict::Serves
            }
            Settled::Unknown => Verdict::Unknown,
            Settled::Never => {
                let least_ng = self.programs.all[case].least_required_ng();
                let whatever = required_ng == least_ng
                    || matches!(self.look_legal(case, kit, least_ng, MOST_NODES), Settled::Never);
                if whatever {
                    self.refute(case, Question::Legal, kit, None, enlarge);
                } else {
                    self.exclude(case, Question::Legal, Refuted::alone(kit));
                }
                Verdict::Fails
            }
        }
    }

    /// Everything within a refuted kit is refuted, and everything within what else is refuted with more pieces along.
    ///
    /// `lightest`: a legal plan and the most that the total may be wherever its pieces are along.
    fn refute(
        &mut self,
        case: usize,
        question: Question,
        kit: &Kit,
        lightest: Option<(Kit, i64)>,
        enlarge: bool,
    ) {
        let most_ng = lightest.as_ref().map_or(Limits::FREE, |(_, most_ng)| *most_ng);
        let mut high = kit.clone();
        if enlarge {
            for kind in self.cheapest_first() {
                // All of a kind at once, else as many as can be.
                let mut tried = self.programs.all[case].most(kind);
                let mut too_many = tried + 1;
                while tried > high[kind] {
                    let mut more = high.clone();
                    more[kind] = tried;
                    if self.is_refuted(case, question, &more, most_ng) {
                        high = more;
                    } else {
                        too_many = tried;
                    }
                    tried = high[kind].midpoint(too_many);
                }
            }
        }
        let low = lightest.map_or_else(|| vec![0; kit.len()], |(pieces, _)| pieces);
        self.exclude(case, question, Refuted { low, high });
    }

    /// The order in which kinds are added to a box: what would be cheap to add shall not help to get out of it.
    fn cheapest_first(&self) -> Vec<usize> {
        let trip = self.programs.trip;
        let owned = self.programs.scenario.lead().len();
        let masses = self.programs.scenario.lead().iter().chain(trip.list.iter().map(|size| &size.kind));
        let mut kinds: Vec<(Option<i64>, i64, usize)> = masses
            .enumerate()
            .map(|(kind, piece)| {
                let price =
                    kind.checked_sub(owned).map(|size| trip.list[size].price.map_or(1, |price| price.0));
                (price, piece.mass.ng(), kind)
            })
            .collect();
        kinds.sort_unstable();
        kinds.into_iter().map(|(_, _, kind)| kind).collect()
    }

    fn is_refuted(&self, case: usize, question: Question, kit: &Kit, most_ng: i64) -> bool {
        match question {
            Question::OnTarget => {
                let most_known = |pieces: &Kit| most_ng >= Limits::FREE && within(pieces, kit);
                let fits = |witness: &Witness| witness.total_ng <= most_ng && within(&witness.pieces, kit);
                !self.known[case].wide_witnesses.iter().any(most_known)
                    && !self.known[case].witnesses.iter().any(fits)
                    && matches!(self.look_wide(case, kit, most_ng, QUICK_NODES), Settled::Never)
            }
            Question::Legal => {
                let least_ng = self.programs.all[case].least_required_ng();
                matches!(self.look_legal(case, kit, least_ng, QUICK_NODES), Settled::Never)
            }
        }
    }

    /// Refutes a kit whose plan is off target although others would be on target: they are too heavy. Wherever the pieces of
    /// its lightest plan are along, they are too heavy as well.
    fn refute_lightest(&mut self, case: usize, kit: &Kit, enlarge: bool) -> Judged<()> {
        let preferences = self.programs.scenario.preferences();
        let beyond_ng = preferences.spare.max(preferences.legal).ng();
        let program = &self.programs.all[case];
        let required_ng = self.programs.required_ng(case, kit);
        let is_fixed = required_ng == program.least_required_ng()
            && required_ng == self.programs.required_ng(case, &program.everything());
        let model = program.with(kit, Tolerances::Strict, required_ng);
        let lightest = if is_fixed { self.lightest(&model)? } else { None };
        let lightest = lightest.map(|(pieces, total_ng)| (pieces, total_ng.saturating_add(beyond_ng)));
        match lightest {
            Some((_, most_ng)) if self.is_refuted(case, Question::OnTarget, kit, most_ng) => {
                self.refute(case, Question::OnTarget, kit, lightest, enlarge);
            }
            _ => self.exclude(case, Question::OnTarget, Refuted::alone(kit)),
        }
        Ok(())
    }

    fn lightest(&self, model: &Model) -> Judged<Option<(Kit, i64)>> {
        let prices = DualPrices::new(model);
        let mut search = Search::new(model, &prices);
        let guard = Guard::new(self.patience).within_nodes(MOST_NODES);
        let resolution = self.programs.scenario.preferences().legal.ng();
        let outcome = search.minimise(Objective::Mass, Limits::legal(model), resolution, None, &guard);
        let Some(found) = outcome.best else { return Ok(None) };
        let total_ng = found.values.mass_ng;
        not_below(Goal::Legal, total_ng, outcome.bound)?;
        Ok((outcome.end == End::Proved).then(|| (pieces_of(&found.counts), total_ng)))
    }

    /// Counts a box of kits as refuted.
    pub(super) fn exclude(&mut self, case: usize, question: Question, refuted: Refuted) {
        let known = &mut self.known[case];
        let boxes = match question {
            Question::OnTarget => &mut known.off_target,
            Question::Legal => &mut known.illegal,
        };
        // What lies within it has become needless.
        boxes.retain(|other| !(within(&refuted.low, &other.low) && within(&other.high, &refuted.high)));
        boxes.push(refuted);
    }

    fn look_wide(&self, case: usize, kit: &Kit, most_ng: i64, nodes: u64) -> Settled<Found> {
        let program = &self.programs.all[case];
        let model = program.with(kit, Tolerances::Wide, program.least_required_ng());
        let limits = Limits { most_mass_ng: most_ng, ..on_target(&model) };
        self.look(&model, Objective::Targets, limits, nodes)
    }

    fn look_legal(&self, case: usize, kit: &Kit, required_ng: i64, nodes: u64) -> Settled<Found> {
        let model = self.programs.all[case].with(kit, Tolerances::Strict, required_ng);
        self.look(&model, Objective::Mass, Limits::legal(&model), nodes)
    }

    /// Any plan within the limits.
    fn look(&self, model: &Model, objective: Objective, limits: Limits, nodes: u64) -> Settled<Found> {
        if self.is_over() {
            return Settled::Unknown;
        }
        any_plan(model, objective, limits, &Guard::new(self.patience).within_nodes(nodes))
    }
}

/// Legal, and on every target but for what rounding may leave of a miss that is none.
fn on_target(model: &Model) -> Limits {
    Limits { outside_ng: Mass::from_kg(JUDGE_TOLERANCE_KG).ng(), ..Limits::legal(model) }
}

/// Pieces of each kind that a plan uses.
pub(super) fn pieces_of(counts: &Counts) -> Kit {
    (0..counts.kinds()).map(|kind| counts.of_kind(kind)).collect()
}
