//! What `card` has found: what every step takes from today's plan, or why it cannot be had.

use schemars::JsonSchema;
use serde::Serialize;

use super::Status;
use super::work::{Change, MountLoad, Placement, Setting, changes, mounts, placements, settings};
use crate::assess::practice::rules_of_thumb;
use crate::plan::Measured;
use crate::quantity::{Exact, Kg, Percent, Quantity, percent};
use crate::scenario::{Figure, Moment, Scenario};
use crate::solve::Solved;
use crate::tasks::card::{self, Way};
use crate::uncertainty::cause::Cause;
use crate::uncertainty::kart::{self, Kart};
use crate::uncertainty::propagation::Propagation;

/// Everything that `card` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Card {
    /// How today's plan stands.
    #[serde(skip)]
    pub status: Status,
    /// Who drives.
    pub driver: Option<String>,
    /// The kart's name.
    pub kart: String,
    /// The class's name.
    pub class: String,
    /// Whether today's plan meets every target.
    pub on_target: bool,
    /// In which state the figures are read.
    pub state: Moment,
    /// The figure of the columns.
    pub across_figure: Figure,
    /// Where today's plan stands.
    #[serde(flatten)]
    pub start: Shares,
    /// How near to its step in front % a cell is.
    pub front_within: Exact<Percent>,
    /// The same for the columns' figure.
    pub across_within: Exact<Percent>,
    /// What the kart carries before any step.
    pub placements: Vec<Placement>,
    /// Lead on every mount before any step, in file order.
    pub mounts: Vec<MountLoad>,
    /// How every adjuster is set for today's plan.
    pub adjusters_before_the_first_step: Vec<Setting>,
    /// From what is fitted now to today's plan; empty if it is already carried out.
    pub changes_before_the_first_step: Vec<Change>,
    /// Cells in each row.
    pub columns: usize,
    /// Row by row, the most front first.
    pub cells: Vec<Cell>,
    /// Rules of thumb, no published source.
    pub common_practice: [&'static str; 5],
}

/// Where a kart stands.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Shares {
    /// Of the total.
    pub front: Quantity<Percent>,
    /// The columns' figure.
    pub across: Quantity<Percent>,
    /// In the state in which the figures are read.
    pub total: Quantity<Kg>,
}

/// One cell.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Cell {
    /// Points of front %.
    pub front_step: Exact<Percent>,
    /// Points of the columns' figure.
    pub across_step: Exact<Percent>,
    /// `plan`, `out_of_reach`, `others`, `pieces` or `unsettled`.
    pub way: &'static str,
    /// Targets that are in the way.
    pub blocked_by: Vec<Figure>,
    /// How to get there, if it can be reached.
    #[serde(flatten)]
    pub plan: Option<CellPlan>,
}

/// A cell that can be reached.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CellPlan {
    /// Changes from today's plan.
    pub work: u32,
    /// Where the kart then stands.
    #[serde(flatten)]
    pub shares: Shares,
    /// How far that is from today's plan, which shares most errors with it.
    pub step: Shares,
    /// How every adjuster is set.
    pub adjusters: Vec<Setting>,
    /// What is done with lead.
    pub changes: Vec<Change>,
    /// What the kart then carries.
    pub placements: Vec<Placement>,
}

impl Shares {
    /// Of whatever is made of the karts of `known`, such as their difference.
    pub fn new<T>(
        known: &Propagation<T, Cause>,
        across: Figure,
        of: impl Fn(&T, &dyn Fn(&Kart) -> f64) -> f64,
    ) -> Shares {
        let share = |figure: Figure| {
            let estimate = known.estimate(|karts| of(karts, &|kart| figure.of(&kart.corners)));
            Quantity::estimated(Percent, estimate)
        };
        let total = known.estimate(|karts| of(karts, &|kart| kart.corners.total()));
        Shares { front: share(Figure::Front), across: share(across), total: Quantity::estimated(Kg, total) }
    }

    /// The larger of each ±, on the first one's values.
    #[must_use]
    pub fn or_worse(self, other: Shares) -> Shares {
        fn worse<U: Copy>(mut one: Quantity<U>, other: Quantity<U>) -> Quantity<U> {
            one.plus_minus = one.plus_minus.max(other.plus_minus);
            one
        }
        Shares {
            front: worse(self.front, other.front),
            across: worse(self.across, other.across),
            total: worse(self.total, other.total),
        }
    }
}

impl Card {
    /// From what the task has found around a plan.
    pub fn new(scenario: &Scenario, driver: Option<usize>, solved: &Solved, found: &card::Card) -> Card {
        let measured = solved.plan.measured();
        let figure = found.grid.figure.figure();
        let best = solved.is_best_possible();
        let known = kart::state(scenario, driver, found.moment, &measured.counts);
        Card {
            status: if best { Status::BestPossible } else { Status::NotProvedBest },
            driver: driver.map(|index| scenario.drivers()[index].name.clone()),
            kart: scenario.kart().name.clone(),
            class: scenario.class().name.clone(),
            on_target: measured.all_on_target(),
            state: found.moment,
            across_figure: figure,
            start: Shares::new(&known, figure, |kart, of| of(kart)),
            front_within: percent(found.grid.front.within()),
            across_within: percent(found.grid.across.within()),
            placements: placements(scenario, &measured.counts),
            mounts: mounts(scenario, measured),
            adjusters_before_the_first_step: settings(scenario, scenario.fitted(), measured),
            changes_before_the_first_step: changes(scenario, scenario.fitted(), measured),
            columns: found.grid.across.points().count(),
            cells: found.cells.iter().map(|cell| Cell::new(scenario, measured, found, cell)).collect(),
            common_practice: rules_of_thumb(scenario),
        }
    }
}

impl Cell {
    fn new(scenario: &Scenario, today: &Measured, card: &card::Card, cell: &card::Cell) -> Cell {
        let (way, blocked_by, plan) = match &cell.way {
            Way::Plan(plan, work) => {
                let plan = CellPlan::new(scenario, today, card, plan.measured(), *work);
                ("plan", Vec::new(), Some(plan))
            }
            Way::OutOfReach => ("out_of_reach", Vec::new(), None),
            Way::Pieces => ("pieces", Vec::new(), None),
            Way::Others(targets) => {
                ("others", targets.iter().map(|target| scenario.targets()[*target].figure).collect(), None)
            }
            Way::Unsettled => ("unsettled", Vec::new(), None),
        };
        let (front, across) = cell.steps;
        Cell { front_step: percent(front), across_step: percent(across), way, blocked_by, plan }
    }
}

impl CellPlan {
    fn new(
        scenario: &Scenario,
        today: &Measured,
        card: &card::Card,
        measured: &Measured,
        work: u32,
    ) -> CellPlan {
        let figure = card.grid.figure.figure();
        let both = [&today.counts, &measured.counts];
        let change = kart::change(scenario, today.driver, card.moment, both);
        CellPlan {
            work,
            shares: Shares::new(&change, figure, |[_, then], of| of(then)),
            step: Shares::new(&change, figure, |[now, then], of| of(then) - of(now)),
            adjusters: settings(scenario, &today.counts, measured),
            changes: changes(scenario, &today.counts, measured),
            placements: placements(scenario, &measured.counts),
        }
    }
}
