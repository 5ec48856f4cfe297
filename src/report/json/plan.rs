//! The JSON document of `plan`.
//! Takes the view; gives the document, every key present whatever the outcome.
//! Does not round and does not word anything.

use serde::Serialize;

use super::alternatives::AlternativesEntry;
use super::borrowed::BorrowedEntry;
use super::changes::{AdjusterEntry, ChangeEntry, PlacementEntry};
use super::help::{BindingEntry, EasingEntry, HelpEntry};
use super::sure::SureEntry;
use super::{CornersEntry, Frame, MarginEntry, ResidualEntry};
use crate::goal::Goal;
use crate::report::plan::{GoalLine, Outcome, PlanLines, PlanView};
use crate::report::shortfall::ShortfallLines;
use crate::report::state::{CornersLine, KartLines};
use crate::report::target::TargetLines;
use crate::scenario::Moment;
use crate::solve::Proof;

#[derive(Serialize)]
struct PlanAnswer<'v> {
    driver: Option<&'v str>,
    kart: &'v str,
    class: &'v str,
    goals: Vec<GoalEntry>,
    placements: Vec<PlacementEntry<'v>>,
    adjusters: Vec<AdjusterEntry<'v>>,
    changes: Vec<ChangeEntry<'v>>,
    residuals: Vec<ResidualEntry>,
    corners_kg: Option<StatesEntry>,
    total_kg: Option<f64>,
    centre_of_gravity: Option<PlacesEntry>,
    /// Two standard uncertainties of every figure, per state.
    plus_minus: Option<SureStatesEntry>,
    /// The kart as it is, in the keys of the plan.
    now: Option<EarlierEntry>,
    assumptions: &'v [String],
    /// The driver, if known only by a dressed mass.
    estimated_places: Vec<BorrowedEntry<'v>>,
    margin: MarginEntry,
    divisible: Option<DivisibleEntry<'v>>,
    in_the_way: &'v [String],
    binds: Vec<BindingEntry<'v>>,
    would_help: Vec<HelpEntry<'v>>,
    remedies: Vec<HelpEntry<'v>>,
    unsettled: Vec<EasingEntry<'v>>,
    alternatives: Option<AlternativesEntry<'v>>,
    shortfall: Option<ShortfallEntry<'v>>,
    nodes: Option<u64>,
}

#[derive(Serialize)]
pub(super) struct GoalEntry {
    name: &'static str,
    unit: &'static str,
    value: Amount,
    bound: Amount,
    held_at: Amount,
    resolution: Amount,
    proved: bool,
}

/// Kilograms have decimals, changes have none.
#[derive(Serialize)]
#[serde(untagged)]
enum Amount {
    Kg(f64),
    Count(i64),
}

impl Amount {
    fn new(goal: Goal, number: f64) -> Amount {
        if goal == Goal::Work { Amount::Count(number as i64) } else { Amount::Kg(number) }
    }
}

#[derive(Serialize)]
pub(super) struct StatesEntry {
    start: Option<CornersEntry>,
    finish: Option<CornersEntry>,
}

/// Where the centre of gravity is, seen from above.
#[derive(Serialize)]
struct PlacesEntry {
    start: Option<PlaceEntry>,
    finish: Option<PlaceEntry>,
}

#[derive(Serialize)]
struct PlaceEntry {
    x_mm: f64,
    y_mm: f64,
}

impl PlacesEntry {
    fn new(corners: &[CornersLine]) -> PlacesEntry {
        let at = |moment: Moment| {
            let state = corners.iter().find(|state| state.moment == moment);
            state.map(|state| PlaceEntry { x_mm: state.cg[0].mm, y_mm: state.cg[1].mm })
        };
        PlacesEntry { start: at(Moment::Start), finish: at(Moment::Finish) }
    }
}

#[derive(Serialize)]
pub(super) struct SureStatesEntry {
    start: Option<SureEntry>,
    finish: Option<SureEntry>,
}

impl SureStatesEntry {
    pub(super) fn new(corners: &[CornersLine]) -> SureStatesEntry {
        let at = |moment: Moment| {
            let state = corners.iter().find(|state| state.moment == moment);
            state.map(|state| SureEntry::new(&state.sure, true))
        };
        SureStatesEntry { start: at(Moment::Start), finish: at(Moment::Finish) }
    }
}

/// A kart before anything is changed, in the keys of what it becomes.
#[derive(Serialize)]
pub(super) struct EarlierEntry {
    residuals: Vec<ResidualEntry>,
    corners_kg: StatesEntry,
    total_kg: f64,
    centre_of_gravity: PlacesEntry,
    plus_minus: SureStatesEntry,
}

impl EarlierEntry {
    pub(super) fn new(kart: &KartLines, targets: &[TargetLines]) -> EarlierEntry {
        EarlierEntry {
            residuals: ResidualEntry::of_targets_before(targets),
            corners_kg: StatesEntry::new(&kart.states),
            total_kg: kart.total.kg,
            centre_of_gravity: PlacesEntry::new(&kart.states),
            plus_minus: SureStatesEntry::new(&kart.states),
        }
    }
}

#[derive(Serialize)]
struct DivisibleEntry<'v> {
    band_kg: f64,
    close_kg: f64,
    lead: Vec<LeadEntry<'v>>,
}

#[derive(Serialize)]
struct LeadEntry<'v> {
    mount: &'v str,
    mass_kg: f64,
}

#[derive(Serialize)]
pub(super) struct ShortfallEntry<'v> {
    short_kg: f64,
    short_plus_minus_kg: f64,
    short_at_least_kg: f64,
    short_at_least_plus_minus_kg: f64,
    without_lead_kg: f64,
    without_lead_plus_minus_kg: f64,
    needed_kg: f64,
    needed_plus_minus_kg: f64,
    lead_in_stock_kg: f64,
    mounts_carry_kg: f64,
    most_lead_kg: Option<f64>,
    heaviest_lead_kg: Option<f64>,
    limits: &'v [String],
    broken: Option<&'v str>,
}

impl GoalEntry {
    pub(super) fn new(line: &GoalLine) -> GoalEntry {
        GoalEntry {
            name: line.goal.word(),
            unit: if line.goal == Goal::Work { "count" } else { "kg" },
            value: Amount::new(line.goal, line.value),
            bound: Amount::new(line.goal, line.bound),
            held_at: Amount::new(line.goal, line.held_at),
            resolution: Amount::new(line.goal, line.resolution),
            proved: line.proved == Proof::Proved,
        }
    }
}

impl StatesEntry {
    pub(super) fn new(corners: &[CornersLine]) -> StatesEntry {
        let at = |moment: Moment| {
            let state = corners.iter().find(|state| state.moment == moment);
            state.map(|state| CornersEntry::new(&state.corners))
        };
        StatesEntry { start: at(Moment::Start), finish: at(Moment::Finish) }
    }
}

/// The document of `plan`.
pub fn plan(view: &PlanView, frame: Frame) -> String {
    let mut answer = PlanAnswer {
        driver: view.driver.as_deref(),
        kart: &view.kart,
        class: &view.class,
        goals: Vec::new(),
        placements: Vec::new(),
        adjusters: Vec::new(),
        changes: Vec::new(),
        residuals: Vec::new(),
        corners_kg: None,
        total_kg: None,
        centre_of_gravity: None,
        plus_minus: None,
        now: None,
        assumptions: &[],
        estimated_places: BorrowedEntry::of(&view.borrowed),
        margin: MarginEntry::new(&view.required, None, None),
        divisible: None,
        in_the_way: &[],
        binds: Vec::new(),
        would_help: Vec::new(),
        remedies: Vec::new(),
        unsettled: Vec::new(),
        alternatives: None,
        shortfall: None,
        nodes: None,
    };
    match &view.outcome {
        Outcome::Plan(lines) => {
            answer.margin =
                MarginEntry::new(&view.required, Some(&lines.above_required), Some(&lines.passing));
            fill(&mut answer, lines);
            let entry = |found| AlternativesEntry::new(found, lines.planned.total_sure.kg);
            answer.alternatives = view.alternatives.as_ref().map(entry);
        }
        Outcome::NoLegalPlan(lines) => answer.shortfall = Some(shortfall(lines)),
        Outcome::OutOfTime => {}
    }
    if let Some(help) = &view.help {
        let lines = help.lines.iter().map(HelpEntry::new).collect();
        match &view.outcome {
            Outcome::NoLegalPlan(_) => answer.remedies = lines,
            Outcome::Plan(_) | Outcome::OutOfTime => answer.would_help = lines,
        }
        answer.unsettled = help.unsettled.iter().map(EasingEntry::new).collect();
    }
    frame.document(view.status.words(), answer)
}

fn fill<'v>(answer: &mut PlanAnswer<'v>, lines: &'v PlanLines) {
    answer.goals = lines.goals.iter().map(GoalEntry::new).collect();
    answer.placements = lines.placements.iter().map(PlacementEntry::new).collect();
    answer.adjusters = lines.settings.iter().map(AdjusterEntry::new).collect();
    answer.changes = lines.jobs.iter().map(ChangeEntry::new).collect();
    answer.residuals = ResidualEntry::of_targets(&lines.targets);
    answer.corners_kg = Some(StatesEntry::new(&lines.planned.states));
    answer.total_kg = Some(lines.planned.total.kg);
    answer.centre_of_gravity = Some(PlacesEntry::new(&lines.planned.states));
    answer.plus_minus = Some(SureStatesEntry::new(&lines.planned.states));
    answer.now = Some(EarlierEntry::new(&lines.now, &lines.targets));
    answer.assumptions = &lines.assumptions;
    answer.divisible = lines.divisible.as_ref().map(|divisible| DivisibleEntry {
        band_kg: divisible.band.0.kg,
        close_kg: divisible.close.0.kg,
        lead: divisible.lead.iter().map(|(mount, lead)| LeadEntry { mount, mass_kg: lead.kg }).collect(),
    });
    answer.in_the_way = &lines.in_the_way;
    answer.binds = lines.binds.iter().map(BindingEntry::new).collect();
    answer.nodes = Some(lines.nodes);
}

pub(super) fn shortfall(lines: &ShortfallLines) -> ShortfallEntry<'_> {
    ShortfallEntry {
        short_kg: lines.short.kg,
        short_plus_minus_kg: lines.short_sure.kg,
        short_at_least_kg: lines.short_at_least.kg,
        short_at_least_plus_minus_kg: lines.short_sure.kg,
        without_lead_kg: lines.without_lead.kg,
        without_lead_plus_minus_kg: lines.without_lead_sure.kg,
        needed_kg: lines.needed.kg,
        needed_plus_minus_kg: lines.without_lead_sure.kg,
        lead_in_stock_kg: lines.in_the_box.kg,
        mounts_carry_kg: lines.mounts_carry.kg,
        most_lead_kg: lines.most_lead.as_ref().map(|most| most.kg),
        heaviest_lead_kg: lines.heaviest.as_ref().map(|lead| lead.kg),
        limits: &lines.limits,
        broken: lines.broken.as_deref(),
    }
}
