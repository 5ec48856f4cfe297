//! Alternatives to a plan that differ in kind: fewest changes or pieces, closest, lightest, lowest, most central.
//! The same plan with two equal pieces exchanged is not offered.
//!
//! Each is searched for within the limits of the plan at hand: as legal, and as well balanced. Where that leaves nothing,
//! changes, pieces and mass may cost up to [`MOST_OUTSIDE_KG`] of balance. Height and distance from the middle are no goals of
//! a scenario; here they stand in the model as one more row, `Σ share·mass` over the pieces, in the place of `close`.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

use super::pursuit::{Pursued, Stage, pursue};
use crate::counts::Counts;
use crate::goal::Goal;
use crate::inspection;
use crate::model::{Ends, Model, StateRow, TargetRow};
use crate::plan::{Measured, Plan};
use crate::quantity::{Exact, Kg, Mm, Quantity, kg, mm};
use crate::scenario::{Access, Scenario};
use crate::search::{Found, Limits};
use crate::solve::{Disagreement, Judged, Patience, Solved};
use crate::statics::Point;
use crate::uncertainty::COVERAGE_FACTOR;
use crate::units::Mass;

/// So much further outside the tolerances may an alternative be, kg: about half a point of a share.
pub const MOST_OUTSIDE_KG: f64 = 1.0;

/// Mounts that carry the same number of pieces and the same lead up to this are loaded alike, kg: pieces of one size differ
/// by less, and exchanging two of them is no other plan.
const ALIKE_KG: f64 = 0.25;

/// As for what would help: a share of the work, on every machine the same.
const MOST_NODES: u64 = 50_000;

/// The aims are counted so much less than the row that stands before them, so that they only decide between equals.
const ASIDE: i64 = 1000;

/// How an alternative differs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// Fewest changes from what is fitted now.
    FewestChanges,
    /// Fewest pieces on mounts that may be changed.
    FewestPieces,
    /// Least distance from the targets.
    Closest,
    /// Least total.
    Lightest,
    /// Lead as low as it goes.
    Lowest,
    /// Lead as near to the centre of gravity as it goes.
    MostCentral,
}

impl Kind {
    /// All of them, what saves work first.
    pub const ALL: [Kind; 6] = [
        Kind::FewestChanges,
        Kind::FewestPieces,
        Kind::Closest,
        Kind::Lightest,
        Kind::Lowest,
        Kind::MostCentral,
    ];

    /// What it makes small, read off a plan.
    pub fn of(self, measures: &Measures) -> f64 {
        match self {
            Kind::FewestChanges => f64::from(measures.changes),
            Kind::FewestPieces => f64::from(measures.pieces),
            Kind::Closest => measures.from_aims.value,
            Kind::Lightest => measures.total.value,
            // Asked for only where all heights are known.
            Kind::Lowest => measures.lead_height.map_or(0.0, |height| height.value),
            Kind::MostCentral => measures.lead_from_middle.value,
        }
    }

    /// What it has to gain to be worth a look: a change, a piece, what pads of 0.1 kg show, a finger's breadth.
    fn least_gain(self) -> f64 {
        match self {
            Kind::FewestChanges | Kind::FewestPieces => 1.0,
            Kind::Closest | Kind::Lightest => super::help::WORTH_KG,
            Kind::Lowest | Kind::MostCentral => 10.0,
        }
    }
}

/// What plans are compared by.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Measures {
    /// From what is fitted.
    pub changes: u32,
    /// On the kart.
    pub pieces: u32,
    /// As the officials weigh it.
    pub total: Quantity<Kg>,
    /// Weighted, summed over the targets.
    pub outside_tolerances: Exact<Kg>,
    /// Weighted, summed over the targets.
    pub from_aims: Exact<Kg>,
    /// Of the middle of the lead above the ground; none where a mount that carries some does not tell its own.
    pub lead_height: Option<Exact<Mm>>,
    /// Root mean square of the lead's distances from the kart's centre of gravity, seen from above.
    pub lead_from_middle: Exact<Mm>,
}

impl Measures {
    /// Of a plan; `middle` is the place that distances are taken from.
    fn new(scenario: &Scenario, measured: &Measured, middle: Point) -> Measures {
        let (mut lead_kg, mut moment, mut spread) = (0.0, Some(0.0), 0.0);
        for (kind, mount, count) in measured.counts.placed() {
            let mass_kg = (scenario.lead()[kind].mass * count).kg();
            let mount = &scenario.mounts()[mount];
            lead_kg += mass_kg;
            moment = moment.zip(mount.height).map(|(sum, height)| sum + mass_kg * height.mm());
            spread += mass_kg * squared_distance(mount.place, middle);
        }
        let per_kg = |sum: f64| if lead_kg > 0.0 { sum / lead_kg } else { 0.0 };
        let Measured { worth, driver, counts, .. } = measured;
        let unsure = kg(COVERAGE_FACTOR * inspection::unsure_total(scenario, *driver, counts));
        Measures {
            changes: worth.work,
            pieces: measured.counts.placed().map(|(_, _, count)| count).sum(),
            total: Exact::from(worth.total).known_to(unsure),
            outside_tolerances: kg(worth.outside_kg),
            from_aims: kg(worth.close_kg),
            lead_height: moment.map(|moment| mm(per_kg(moment))),
            lead_from_middle: mm(per_kg(spread).sqrt()),
        }
    }
}

/// A plan of another kind.
#[derive(Clone, Debug)]
pub struct Alternative {
    /// How it differs.
    pub kind: Kind,
    /// The plan.
    pub plan: Plan,
    /// What it measures.
    pub measures: Measures,
}

/// Why there is no alternative of a kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Without {
    /// The plan at hand is as good in this, or nearly.
    NothingBetter,
    /// An earlier alternative is already this one.
    SameAs(Kind),
    /// Some mount of the file does not say how high it is.
    NoHeights,
    /// The search was stopped.
    Stopped,
}

/// What was found.
#[derive(Clone, Debug)]
pub struct Alternatives {
    /// What the plan at hand measures.
    pub base: Measures,
    /// At most as many as were asked for.
    pub found: Vec<Alternative>,
    /// Kinds without one, as far as they were looked at.
    pub without: Vec<(Kind, Without)>,
}

/// Looks for alternatives, which change no more than the plan was allowed to, until there are as many as asked for, or all kinds have been tried.
///
/// Fails only if the judge refuses a plan of the search.
pub fn alternatives(
    scenario: &Scenario,
    driver: Option<usize>,
    solved: &Solved,
    most: usize,
    patience: Patience,
) -> Judged<Alternatives> {
    let base = Base::new(scenario, driver, solved);
    let mut alternatives = Alternatives { base: base.measures, found: Vec::new(), without: Vec::new() };
    for kind in Kind::ALL {
        if alternatives.found.len() >= most {
            break;
        }
        match base.other(kind, &alternatives.found, patience)? {
            Ok(alternative) => alternatives.found.push(alternative),
            Err(without) => alternatives.without.push((kind, without)),
        }
    }
    Ok(alternatives)
}

/// The plan at hand and everything that alternatives are measured against.
struct Base<'s> {
    scenario: &'s Scenario,
    driver: Option<usize>,
    solved: &'s Solved,
    model: Model,
    start: Found,
    middle: Point,
    measures: Measures,
}

impl<'s> Base<'s> {
    fn new(scenario: &'s Scenario, driver: Option<usize>, solved: &'s Solved) -> Base<'s> {
        let measured = solved.plan.measured();
        let model = Model::new(scenario, driver).restricted(&solved.freedom);
        let counts = measured.counts.clone();
        let values = model.values(&counts);
        let weighed = measured.state(scenario.class().weighed_at);
        let middle =
            weighed.map_or(Point::from_mm(0.0, 0.0), |state| scenario.kart().chassis.cg(&state.load.corners));
        let measures = Measures::new(scenario, measured, middle);
        Base { scenario, driver, solved, model, start: Found { counts, values }, middle, measures }
    }

    /// A plan of a kind that is better in it and unlike all others, or why there is none.
    fn other(
        &self,
        kind: Kind,
        earlier: &[Alternative],
        patience: Patience,
    ) -> Judged<Result<Alternative, Without>> {
        if kind == Kind::Lowest && self.scenario.mounts().iter().any(|mount| mount.height.is_none()) {
            return Ok(Err(Without::NoHeights));
        }
        let mut was_stopped = false;
        let mut same_as = None;
        for outside_kg in [0.0, MOST_OUTSIDE_KG] {
            if outside_kg > 0.0 && !matches!(kind, Kind::FewestChanges | Kind::FewestPieces | Kind::Lightest)
            {
                continue;
            }
            let pursued = self.pursue(kind, Mass::from_kg(outside_kg), patience)?;
            was_stopped |= matches!(pursued, Pursued::Good(_) | Pursued::Unknown);
            let Some(found) = pursued.found() else { continue };
            let plan =
                Plan::judged(self.scenario, self.driver, found.counts).map_err(Disagreement::Breach)?;
            let measures = Measures::new(self.scenario, plan.measured(), self.middle);
            let is_better = kind.of(&self.measures) - kind.of(&measures) >= kind.least_gain();
            if !is_better || are_alike(self.scenario, plan.measured(), self.solved.plan.measured()) {
                continue;
            }
            let known =
                earlier.iter().find(|other| are_alike(self.scenario, plan.measured(), other.plan.measured()));
            match known {
                Some(other) => same_as = Some(other.kind),
                None => return Ok(Ok(Alternative { kind, plan, measures })),
            }
        }
        Ok(Err(match same_as {
            Some(other) => Without::SameAs(other),
            None if was_stopped => Without::Stopped,
            None => Without::NothingBetter,
        }))
    }

    /// Searches for the best of a kind, at most so much further outside the tolerances than the plan at hand.
    fn pursue(&self, kind: Kind, outside: Mass, patience: Patience) -> Judged<Pursued> {
        let resolution = |goal: Goal| self.model.resolution(goal);
        let usual = |goal: Goal| Stage { goal, resolution: resolution(goal) };
        let fine = |goal: Goal| Stage { goal, resolution: resolution(Goal::Legal) };
        let exact = |goal: Goal| Stage { goal, resolution: 0 };
        let mut limits = Limits::legal(&self.model);
        for held in
            self.solved.goals.iter().filter(|result| matches!(result.goal, Goal::Legal | Goal::Targets))
        {
            match held.goal {
                Goal::Legal => limits.most_mass_ng = held.held_at,
                _ => limits.outside_ng = held.held_at.max(self.start.values.outside_ng) + outside.ng(),
            }
        }
        // What has to be paid is kept small before anything else is.
        let balance = (outside > Mass::ZERO).then(|| usual(Goal::Targets));
        let run = |model: &Model, limits: Limits, stages: &[Stage]| {
            let start = Found { values: model.values(&self.start.counts), ..self.start.clone() };
            pursue(model, limits, stages, Some(start), patience, MOST_NODES)
        };
        let after = |first: Stage, rest: [Stage; 2]| -> Vec<Stage> {
            std::iter::once(first).chain(balance).chain(rest).collect()
        };
        match kind {
            Kind::FewestChanges | Kind::FewestPieces => {
                let stages = after(exact(Goal::Work), [usual(Goal::Light), usual(Goal::Close)]);
                let bare = (kind == Kind::FewestPieces).then(|| self.with_nothing_fitted());
                run(bare.as_ref().unwrap_or(&self.model), limits, &stages)
            }
            Kind::Closest => run(&self.model, limits, &[fine(Goal::Close), usual(Goal::Work)]),
            Kind::Lightest => {
                let stages = after(fine(Goal::Light), [usual(Goal::Work), usual(Goal::Close)]);
                run(&self.model, limits, &stages)
            }
            Kind::Lowest => {
                let height = |mount: usize| self.scenario.mounts()[mount].height_counted().mm();
                self.by_place(height, limits, run)
            }
            Kind::MostCentral => {
                let spread =
                    |mount: usize| squared_distance(self.scenario.mounts()[mount].place, self.middle);
                self.by_place(spread, limits, run)
            }
        }
    }

    /// The model of a kart on which only locked lead is fitted: its changes are the pieces that are bolted on.
    fn with_nothing_fitted(&self) -> Model {
        let mut fitted = self.scenario.fitted().clone();
        for (mount, place) in self.scenario.mounts().iter().enumerate() {
            let is_free = place.access == Access::Open && self.solved.freedom.lead;
            for kind in (0..self.scenario.lead().len()).filter(|_| is_free) {
                *fitted.get_mut(kind, mount) = 0;
            }
        }
        let mut model = Model { fitted, ..self.model.clone() };
        // Setting an adjuster bolts no piece on.
        for setting in model.adjusters.iter_mut().flat_map(|row| &mut row.settings) {
            setting.work = 0;
        }
        model
    }

    /// Makes `Σ cost(mount)·mass` small, as one more row that stands for the goal `close`.
    ///
    /// Costs are taken relative to the largest, so that the row's sums are no larger than the lead itself.
    fn by_place(
        &self,
        cost: impl Fn(usize) -> f64,
        limits: Limits,
        run: impl Fn(&Model, Limits, &[Stage]) -> Judged<Pursued>,
    ) -> Judged<Pursued> {
        let mounts = self.model.mounts.len();
        let costs: Vec<f64> = (0..mounts).map(cost).collect();
        let largest = costs.iter().copied().max_by(f64::total_cmp).unwrap_or(0.0);
        if largest <= 0.0 {
            return Ok(Pursued::Nothing);
        }
        let shares: Vec<f64> = costs.iter().map(|cost| cost / largest).collect();
        let mut model = self.model.clone();
        for target in &mut model.targets {
            *target = aside(target);
        }
        for setting in model.adjusters.iter_mut().flat_map(|row| &mut row.settings) {
            let sums = setting.adds_ng.iter_mut().chain(&mut setting.gains_ng).flatten();
            sums.for_each(|ng| *ng = less(*ng));
            // The row to come: places count as they are with the seat where it is now.
            setting.adds_ng.push(vec![0]);
            if !setting.gains_ng.is_empty() {
                setting.gains_ng.push(vec![0; model.kinds.len() * mounts]);
            }
        }
        // Each gain and slack is rounded by up to half; so many may add up.
        let rounding: i64 = model.kinds.iter().map(|kind| i64::from(kind.count) + 2).sum();
        let limits = Limits {
            outside_ng: limits.outside_ng / ASIDE + rounding * model.targets.len() as i64,
            ..limits
        };
        let wide_ng = 2 * model.stock_ng();
        let kinds = model.kinds.iter();
        let gain_ng = kinds
            .flat_map(|kind| shares.iter().map(move |share| (kind.mass_ng as f64 * share).round() as i64));
        // So wide a tolerance is never left.
        let state = StateRow { value_ng: 0, half_width_ng: wide_ng };
        model.targets.push(TargetRow {
            gain_ng: gain_ng.collect(),
            slack_ng: vec![0; model.kinds.len()],
            states: vec![state],
            ends: Ends::of([state]),
        });
        let resolution = self.model.resolution(Goal::Legal);
        let stages = [
            Stage { goal: Goal::Close, resolution },
            Stage { goal: Goal::Work, resolution: self.model.resolution(Goal::Work) },
        ];
        run(&model, limits, &stages)
    }
}

fn less(ng: i64) -> i64 {
    (ng as f64 / ASIDE as f64).round() as i64
}

/// A target's row at a thousandth of its weight.
fn aside(target: &TargetRow) -> TargetRow {
    let states = target
        .states
        .iter()
        .map(|state| StateRow { value_ng: less(state.value_ng), half_width_ng: less(state.half_width_ng) });
    let states: Vec<StateRow> = states.collect();
    TargetRow {
        gain_ng: target.gain_ng.iter().map(|ng| less(*ng)).collect(),
        slack_ng: target.slack_ng.iter().map(|ng| less(*ng)).collect(),
        ends: Ends::of(states.iter().copied()),
        states,
    }
}

/// mm².
fn squared_distance(one: Point, other: Point) -> f64 {
    (one.x.mm() - other.x.mm()).powi(2) + (one.y.mm() - other.y.mm()).powi(2)
}

/// Whether two plans load every mount alike: as many pieces, and the same lead but for equal pieces exchanged.
pub fn are_alike(scenario: &Scenario, one: &Measured, other: &Measured) -> bool {
    let pieces_on = |counts: &Counts, mount: usize| -> u32 {
        counts.placed().filter(|(_, place, _)| *place == mount).map(|(_, _, count)| count).sum()
    };
    (0..scenario.mounts().len()).all(|mount| {
        let apart = (one.lead_on(scenario, mount) - other.lead_on(scenario, mount)).abs();
        apart.kg() <= ALIKE_KG && pieces_on(&one.counts, mount) == pieces_on(&other.counts, mount)
    })
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Kind::FewestChanges => "fewest changes",
            Kind::FewestPieces => "fewest pieces",
            Kind::Closest => "closest",
            Kind::Lightest => "lightest",
            Kind::Lowest => "lowest",
            Kind::MostCentral => "most central",
        })
    }
}
