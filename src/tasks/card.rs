//! `card`: from today's plan, the least changes that bring front % and left % (or cross %) by given steps, cell by cell.
//!
//! A cell wants both figures within half a step of where the plan has them plus the cell's steps, and every other target in
//! its tolerance; a target that today's plan already misses may stay as far out as it is.

use std::sync::atomic::{AtomicUsize, Ordering};

use super::pursuit::{Pursued, Stage, pursue};
use crate::engine;
use crate::goal::Goal;
use crate::model::Model;
use crate::plan::{JUDGE_TOLERANCE_KG, Measured, Plan, work_between};
use crate::scenario::{Aim, Figure, Moment, Scenario, Target, When};
use crate::search::Limits;
use crate::solve::{Disagreement, Judged, Patience, Solved};
use crate::units::{Length, Mass};

/// Nodes that one question about one cell may take, on every machine the same.
const MOST_NODES: u64 = 20_000;

/// Nodes of the first look.
const QUICK_NODES: u64 = 2_000;

/// The engine's rows are good to 1e-7; divisible lead that misses by more than this does miss, kg.
const MISSES_KG: f64 = 1e-4;

/// The figure of the columns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Across {
    /// Left %.
    Left,
    /// Cross %.
    Cross,
}

impl Across {
    /// The figure.
    pub const fn figure(self) -> Figure {
        match self {
            Across::Left => Figure::Left,
            Across::Cross => Figure::Cross,
        }
    }
}

/// Steps of one figure to either side, in points of percent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Steps {
    /// From one cell to the next, above zero.
    pub step: f64,
    /// So many cells to either side of today's plan.
    pub each_way: u32,
}

impl Steps {
    /// From the most below to the most above.
    pub fn points(self) -> impl DoubleEndedIterator<Item = f64> {
        let most = i64::from(self.each_way);
        (-most..=most).map(move |steps| steps as f64 * self.step)
    }

    /// How many there are.
    pub const fn count(self) -> usize {
        2 * self.each_way as usize + 1
    }

    /// So near to its step is a cell's figure.
    pub fn within(self) -> f64 {
        self.step / 2.0
    }
}

/// The cells of a card.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grid {
    /// Rows.
    pub front: Steps,
    /// Columns.
    pub across: Steps,
    /// What the columns are.
    pub figure: Across,
}

impl Grid {
    /// How many cells there are.
    pub const fn cells(self) -> usize {
        self.front.count() * self.across.count()
    }
}

/// A tuning card.
#[derive(Clone, Debug)]
pub struct Card {
    /// Rows and columns.
    pub grid: Grid,
    /// In which state both figures are read.
    pub moment: Moment,
    /// Front % of today's plan.
    pub front: f64,
    /// The columns' figure of today's plan, percent.
    pub across: f64,
    /// Row by row, the most front first; in a row from the least of the columns' figure.
    pub cells: Vec<Cell>,
}

#[derive(Clone, Debug)]
pub struct Cell {
    /// Steps from today's plan, points of percent: front, then the columns' figure.
    pub steps: (f64, f64),
    /// How to get there.
    pub way: Way,
}

/// How to get to a cell.
#[derive(Clone, Debug)]
pub enum Way {
    /// The plan with the least changes from today's plan, and how many those are.
    Plan(Box<Plan>, u32),
    /// Not even lead cut to any size gets there.
    OutOfReach,
    /// These other targets would leave their tolerances, as indices; any of them alone is in the way if it is the only one.
    Others(Vec<usize>),
    /// Proved: these pieces on these mounts do not get there, whatever the other targets.
    Pieces,
    /// The search was stopped before it was known.
    Unsettled,
}

/// Works out every cell; `done` counts them for whoever shows progress.
///
/// Fails only if the judge disagrees with the search.
pub fn card(
    scenario: &Scenario,
    driver: Option<usize>,
    solved: &Solved,
    grid: Grid,
    patience: Patience,
    done: &AtomicUsize,
) -> Judged<Card> {
    let around = Around::new(scenario, driver, solved, grid);
    let mut cells = Vec::new();
    for front in grid.front.points().rev() {
        for across in grid.across.points() {
            let way = around.way_to((front, across), patience)?;
            cells.push(Cell { steps: (front, across), way });
            done.fetch_add(1, Ordering::Relaxed);
        }
    }
    Ok(Card { grid, moment: around.moment, front: around.front, across: around.across, cells })
}

/// Today's plan and what every cell starts from.
struct Around<'s> {
    scenario: &'s Scenario,
    driver: Option<usize>,
    solved: &'s Solved,
    grid: Grid,
    moment: Moment,
    front: f64,
    across: f64,
    /// Targets that a cell does not move, with their indices in the scenario.
    others: Vec<(usize, Target)>,
}

impl<'s> Around<'s> {
    fn new(scenario: &'s Scenario, driver: Option<usize>, solved: &'s Solved, grid: Grid) -> Around<'s> {
        let measured = solved.plan.measured();
        let is_moved =
            |figure: Figure| matches!(figure, Figure::Front | Figure::Rear) || figure == grid.figure.figure();
        let of_front = scenario
            .targets()
            .iter()
            .find(|target| matches!(target.figure, Figure::Front | Figure::Rear))
            .map(|target| target.when);
        let moment = match of_front {
            Some(When::At(moment)) => moment,
            Some(When::Both) | None => scenario.class().weighed_at,
        };
        let share =
            |figure: Figure| measured.state(moment).map_or(0.0, |state| figure.of(&state.load.corners));
        let others = scenario.targets().iter().enumerate().filter(|(_, target)| !is_moved(target.figure));
        Around {
            scenario,
            driver,
            solved,
            grid,
            moment,
            front: share(Figure::Front),
            across: share(grid.figure.figure()),
            others: others
                .map(|(index, target)| (index, as_wide_as_today(index, target, measured)))
                .collect(),
        }
    }

    /// The scenario of a cell: both figures moved, and of the other targets those that are given.
    fn aimed(&self, steps: (f64, f64), others: &[&(usize, Target)]) -> Option<Scenario> {
        let moved = |figure, aim, within| Target::share(figure, aim, within, self.moment);
        let mut targets = vec![
            moved(Figure::Front, self.front + steps.0, self.grid.front.within()),
            moved(self.grid.figure.figure(), self.across + steps.1, self.grid.across.within()),
        ];
        targets.extend(others.iter().map(|(_, target)| target.clone()));
        self.scenario.with_targets(targets)
    }

    /// A quick look first: most cells that can be reached are found at once. Where nothing is found, divisible lead tells
    /// whether a longer search could find anything.
    fn way_to(&self, steps: (f64, f64), patience: Patience) -> Judged<Way> {
        let all: Vec<&(usize, Target)> = self.others.iter().collect();
        let Some(cell) = self.aimed(steps, &all) else { return Ok(Way::OutOfReach) };
        let mut pursued = self.pursue(&cell, patience, QUICK_NODES)?;
        if patience.is_over() && matches!(pursued, Pursued::Unknown) {
            return Ok(Way::Unsettled);
        }
        if matches!(pursued, Pursued::Unknown | Pursued::Nothing)
            && let Some(way) = self.relaxed_why_not(steps, &all)
        {
            return Ok(way);
        }
        if matches!(pursued, Pursued::Unknown) {
            pursued = self.pursue(&cell, patience, MOST_NODES)?;
        }
        match pursued {
            Pursued::Best(found) | Pursued::Good(found) => {
                let plan = Plan::judged(&cell, self.driver, found.counts).map_err(Disagreement::Breach)?;
                let judged = plan.measured().worth.outside_kg;
                if judged > 2.0 * JUDGE_TOLERANCE_KG {
                    let searched = Mass::from_ng(found.values.outside_ng).kg();
                    return Err(Disagreement::Value { goal: Goal::Targets, searched, judged });
                }
                let today = &self.solved.plan.measured().counts;
                let changes = work_between(self.scenario, today, &plan.measured().counts);
                Ok(Way::Plan(Box::new(plan), changes))
            }
            Pursued::Unknown => Ok(Way::Unsettled),
            Pursued::Nothing => self.why_not(steps, &all, patience),
        }
    }

    /// What stands in the way of lead cut to any size and of settings between the holes; none if nothing does.
    fn relaxed_why_not(&self, steps: (f64, f64), all: &[&(usize, Target)]) -> Option<Way> {
        let misses = |others: &[&(usize, Target)]| {
            let model = Model::new(&self.aimed(steps, others)?, self.driver);
            let (outside_kg, _) =
                engine::relaxed(&model, Goal::Targets, &[(Goal::Legal, self.most_mass_ng()?)])?;
            Some(outside_kg > MISSES_KG)
        };
        if misses(&[])? {
            return Some(Way::OutOfReach);
        }
        let reached = |rest: &[&(usize, Target)]| Ok::<bool, ()>(misses(rest) == Some(false));
        misses(all)?.then(|| in_the_way(all, reached).ok().map(Way::Others))?
    }

    /// Why a cell that is proved to have no plan has none, although divisible lead might.
    fn why_not(&self, steps: (f64, f64), all: &[&(usize, Target)], patience: Patience) -> Judged<Way> {
        let pursued = |others: &[&(usize, Target)]| {
            let cell = self.aimed(steps, others);
            cell.map_or(Ok(Pursued::Nothing), |cell| self.pursue(&cell, patience, MOST_NODES))
        };
        Ok(match pursued(&[])? {
            Pursued::Nothing => Way::Pieces,
            Pursued::Unknown => Way::Unsettled,
            Pursued::Best(_) | Pursued::Good(_) => {
                Way::Others(in_the_way(all, |rest| Ok(pursued(rest)?.found().is_some()))?)
            }
        })
    }

    /// The most that a plan may weigh, as today's plan.
    fn most_mass_ng(&self) -> Option<i64> {
        self.solved.goals.first().map(|legal| legal.held_at)
    }

    /// The same program with changes counted from today's plan.
    fn with_work_from_today(&self, mut model: Model) -> Model {
        let today = &self.solved.plan.measured().counts;
        for ((index, row), adjuster) in model.adjusters.iter_mut().enumerate().zip(self.scenario.adjusters())
        {
            let here = today.setting(index, adjuster.now);
            for (setting, row) in row.settings.iter_mut().enumerate() {
                row.work = i64::from(adjuster.changes(here, setting));
            }
        }
        model.fitted = today.clone();
        model
    }

    /// The least changes within the tolerances of a cell, then closest to its aims.
    fn pursue(&self, cell: &Scenario, patience: Patience, last_node: u64) -> Judged<Pursued> {
        let model = self.with_work_from_today(Model::new(cell, self.driver));
        let mut limits = Limits::legal(&model);
        limits.most_mass_ng = self.most_mass_ng().unwrap_or(limits.most_mass_ng);
        // What rounding may leave of a miss that is none.
        limits.outside_ng = Mass::from_kg(JUDGE_TOLERANCE_KG).ng();
        // No plan takes more; without an end the search would refute one count of changes after the other.
        let pieces = model.kinds.iter().map(|kind| i64::from(kind.count));
        let settings = model.adjusters.iter().filter_map(|row| row.settings.iter().map(|s| s.work).max());
        limits.work = pieces.chain(settings).sum();
        let stages = [
            Stage { goal: Goal::Work, resolution: 0 },
            Stage { goal: Goal::Close, resolution: model.resolution(Goal::Close) },
        ];
        pursue(&model, limits, &stages, None, patience, last_node)
    }
}

/// Those without any one of which a cell can be reached: the one alone if there is one, else all.
fn in_the_way<E>(
    all: &[&(usize, Target)],
    can_be_reached: impl Fn(&[&(usize, Target)]) -> Result<bool, E>,
) -> Result<Vec<usize>, E> {
    for (index, _) in all {
        let rest: Vec<&(usize, Target)> = all.iter().copied().filter(|(other, _)| other != index).collect();
        if can_be_reached(&rest)? {
            return Ok(vec![*index]);
        }
    }
    Ok(all.iter().map(|(index, _)| *index).collect())
}

/// A target whose tolerance reaches at least to where today's plan is.
fn as_wide_as_today(index: usize, target: &Target, today: &Measured) -> Target {
    let mut target = target.clone();
    for residual in today.residuals.iter().filter(|residual| residual.target == index) {
        let total_kg = today.state(residual.moment).map_or(0.0, |state| state.load.total.kg());
        match &mut target.aim {
            Aim::Percent { within, .. } => {
                *within = within.max(100.0 * residual.distance_kg.abs() / total_kg);
            }
            Aim::Height { within, wheelbase, .. } => {
                let here = wheelbase.mm() * residual.distance_kg.abs() / total_kg;
                *within = Length::from_mm(within.mm().max(here));
            }
            Aim::Difference { within, .. } => {
                // Rounded up, or today's plan would miss by what rounding takes away.
                let here = Mass::from_kg(residual.distance_kg.abs()) + Mass::from_ng(1);
                *within = (*within).max(here);
            }
        }
    }
    target
}
