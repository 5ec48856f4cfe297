//! What `card` has to show: a table of changes by steps, the jobs of every cell, why cells are empty, rules of thumb.
//! Takes the scenario and the card; gives a view, rounded and in the units of the screen.
//! Does not lay anything out.

use super::amount::{Screen, Weight, fixed, rounded_percent, trimmed};
use super::changes::{JobLine, Placement, job_lines, job_lines_from, placements};
use super::plan::Status;
use super::setting::{SettingLine, setting_lines, setting_lines_from};
use super::sure::SurePlace;
use super::title::Title;
use crate::plan::Measured;
use crate::scenario::{Figure, Moment, Scenario};
use crate::solve::Solved;
use crate::tasks::card::{Card, Cell, Way};
use crate::uncertainty::kart;

/// What people do with front %; common practice, no published source, and printed as such.
pub const RULES_OF_THUMB: [&str; 4] = [
    "about 43 % front is the usual start for a sprint kart where the chassis maker gives no figure",
    "more front, towards 45 %, for less rear grip; less front for more",
    "more than about 3 points from the start is unusual",
    "about 50 % front means that some other fault is being hidden",
];

/// Everything that `card` shows.
#[derive(Clone, Debug, PartialEq)]
pub struct CardView {
    /// Units of the screen.
    pub screen: Screen,
    /// How today's plan stands.
    pub status: Status,
    /// Whether it meets every target.
    pub all_in_band: bool,
    /// Who drives.
    pub driver: Option<String>,
    /// The kart's name.
    pub kart: String,
    /// The class's name.
    pub class: String,
    /// In which state the figures are read.
    pub moment: Moment,
    /// Front % of today's plan: number and text.
    pub front: (f64, String),
    /// The figure of the columns.
    pub figure: Figure,
    /// That figure of today's plan: number and text.
    pub across: (f64, String),
    /// How near to its step a cell is: front, then the columns' figure, points of percent.
    pub within: (f64, f64),
    /// Total of today's plan.
    pub total: Weight,
    /// The ± of these three.
    pub sure: SurePlace,
    /// What the kart carries before any step.
    pub placements: Vec<Placement>,
    /// How every adjuster is set for today's plan.
    pub first_settings: Vec<SettingLine>,
    /// Jobs from what is fitted now to today's plan; empty if it is already carried out.
    pub first: Vec<JobLine>,
    /// Steps of the columns as written.
    pub columns: Vec<String>,
    /// Rows, the most front first.
    pub rows: Vec<CardRow>,
    /// What the marks in this table mean: mark and sentence, only those that occur.
    pub marks: Vec<(&'static str, String)>,
}

/// One row of the table.
#[derive(Clone, Debug, PartialEq)]
pub struct CardRow {
    /// Its step as written.
    pub step: String,
    /// Its cells.
    pub cells: Vec<CellLine>,
}

/// One cell.
#[derive(Clone, Debug, PartialEq)]
pub struct CellLine {
    /// Steps, points of percent: front, then the columns' figure.
    pub steps: (f64, f64),
    /// The same as written.
    pub written: (String, String),
    /// How to get there.
    pub way: WayLine,
}

/// How to get to a cell.
#[derive(Clone, Debug, PartialEq)]
pub enum WayLine {
    /// By these jobs.
    Plan(Box<CellPlan>),
    /// Not at all: a mark for the table, a word for documents, and the targets that are in the way.
    None {
        /// One letter.
        mark: &'static str,
        /// `out_of_reach`, `others`, `pieces` or `unsettled`.
        why: &'static str,
        /// Keys of targets.
        blocked_by: Vec<&'static str>,
    },
}

/// A cell that can be reached.
#[derive(Clone, Debug, PartialEq)]
pub struct CellPlan {
    /// Changes from today's plan.
    pub changes: u32,
    /// How every adjuster is set.
    pub settings: Vec<SettingLine>,
    /// What is done with lead.
    pub jobs: Vec<JobLine>,
    /// What the kart then carries.
    pub placements: Vec<Placement>,
    /// Front % then: number and text.
    pub front: (f64, String),
    /// The columns' figure then.
    pub across: (f64, String),
    /// Total then.
    pub total: Weight,
    /// The ± of these three.
    pub sure: SurePlace,
    /// The ± of the steps from today's plan, which share most errors with it and so are surer.
    pub sure_step: SurePlace,
}

impl CardView {
    /// Who is on what.
    pub fn title(&self) -> Title<'_> {
        Title { driver: self.driver.as_deref(), kart: &self.kart, class: &self.class }
    }

    /// The ± that no cell exceeds.
    pub fn least_sure(&self) -> SurePlace {
        let cells = self.rows.iter().flat_map(|row| &row.cells);
        let places = cells.filter_map(|cell| match &cell.way {
            WayLine::Plan(plan) => Some(plan.sure.clone()),
            WayLine::None { .. } => None,
        });
        places.fold(self.sure.clone(), SurePlace::or_worse)
    }

    /// The least sure steps of all cells: what a step is known to, whatever the figures themselves are; none without cells.
    pub fn least_sure_step(&self) -> Option<SurePlace> {
        let cells = self.rows.iter().flat_map(|row| &row.cells);
        let steps = cells.filter_map(|cell| match &cell.way {
            WayLine::Plan(plan) if plan.changes > 0 => Some(plan.sure_step.clone()),
            _ => None,
        });
        steps.reduce(SurePlace::or_worse)
    }

    /// From a card.
    pub fn new(
        screen: Screen,
        scenario: &Scenario,
        driver: Option<usize>,
        solved: &Solved,
        card: &Card,
    ) -> CardView {
        let measured = solved.plan.measured();
        let figure = card.grid.figure.figure();
        let is_best = solved.is_best_possible();
        let columns: Vec<String> = card.grid.across.points().map(written).collect();
        let line = |cell: &Cell| CellLine {
            steps: (rounded_percent(cell.steps.0), rounded_percent(cell.steps.1)),
            written: (written(cell.steps.0), written(cell.steps.1)),
            way: way_line(screen, scenario, measured, card, &cell.way),
        };
        let rows = card.cells.chunks(columns.len()).map(|cells| CardRow {
            step: cells.first().map_or_else(String::new, |cell| written(cell.steps.0)),
            cells: cells.iter().map(line).collect(),
        });
        let rows: Vec<CardRow> = rows.collect();
        CardView {
            screen,
            status: if is_best { Status::BestPossible } else { Status::NotProvedBest },
            all_in_band: measured.all_in_band(),
            driver: driver.map(|index| scenario.drivers()[index].name.clone()),
            kart: scenario.kart().name.clone(),
            class: scenario.class().name.clone(),
            moment: card.moment,
            front: percent(card.front),
            figure,
            across: percent(card.across),
            within: (rounded_percent(card.grid.front.within()), rounded_percent(card.grid.across.within())),
            total: screen.given(measured.worth.total),
            sure: SurePlace::new(
                screen,
                &kart::state(scenario, driver, card.moment, &measured.counts),
                figure,
                |kart, of| of(kart),
            ),
            placements: placements(screen, scenario, &measured.counts),
            first_settings: setting_lines(scenario, measured),
            first: job_lines(screen, scenario, measured),
            marks: marks(card, scenario),
            columns,
            rows,
        }
    }
}

fn percent(value: f64) -> (f64, String) {
    (rounded_percent(value), fixed(value, 2))
}

/// `+0.5`, `-1`, `0`.
fn written(step: f64) -> String {
    let number = trimmed(step, 3);
    if step > 0.0 && number != "0" { format!("+{number}") } else { number }
}

fn way_line(screen: Screen, scenario: &Scenario, today: &Measured, card: &Card, way: &Way) -> WayLine {
    match way {
        Way::Plan(plan, changes) => {
            let measured = plan.measured();
            let share = |figure| share(measured, card.moment, figure);
            let figure = card.grid.figure.figure();
            let both = [&today.counts, &measured.counts];
            let change = kart::change(scenario, today.driver, card.moment, both);
            WayLine::Plan(Box::new(CellPlan {
                changes: *changes,
                settings: setting_lines_from(scenario, &today.counts, measured),
                jobs: job_lines_from(screen, scenario, &today.counts, measured),
                placements: placements(screen, scenario, &measured.counts),
                front: percent(share(Figure::Front)),
                across: percent(share(figure)),
                total: screen.given(measured.worth.total),
                sure: SurePlace::new(screen, &change, figure, |[_, then], of| of(then)),
                sure_step: SurePlace::new(screen, &change, figure, |[now, then], of| of(then) - of(now)),
            }))
        }
        Way::OutOfReach => WayLine::None { mark: "x", why: "out_of_reach", blocked_by: Vec::new() },
        Way::Pieces => WayLine::None { mark: "p", why: "pieces", blocked_by: Vec::new() },
        Way::Others(targets) => {
            let keys = targets.iter().map(|target| scenario.targets()[*target].figure.key());
            WayLine::None { mark: "o", why: "others", blocked_by: keys.collect() }
        }
        Way::Unsettled => WayLine::None { mark: "?", why: "unsettled", blocked_by: Vec::new() },
    }
}

fn share(measured: &Measured, moment: Moment, figure: Figure) -> f64 {
    measured.state(moment).map_or(0.0, |state| figure.of(&state.load.corners))
}

/// What the marks that occur mean.
fn marks(card: &Card, scenario: &Scenario) -> Vec<(&'static str, String)> {
    let any = |wanted: &dyn Fn(&Way) -> bool| card.cells.iter().any(|cell| wanted(&cell.way));
    let mut marks = Vec::new();
    if any(&|way| matches!(way, Way::OutOfReach)) {
        marks.push(("x", "not even lead cut to any size gets there with these mounts".to_owned()));
    }
    if any(&|way| matches!(way, Way::Others(_))) {
        let in_the_way = |target: &usize| {
            card.cells
                .iter()
                .any(|cell| matches!(&cell.way, Way::Others(targets) if targets.contains(target)))
        };
        let names: Vec<&str> = (0..scenario.targets().len())
            .filter(in_the_way)
            .map(|target| scenario.targets()[target].figure.name())
            .collect();
        marks.push(("o", format!("another target would leave its band: {}", names.join(", "))));
    }
    if any(&|way| matches!(way, Way::Pieces)) {
        marks.push(("p", "no set of these pieces on these mounts comes so near".to_owned()));
    }
    if any(&|way| matches!(way, Way::Unsettled)) {
        marks.push(("?", "not settled before the search was stopped".to_owned()));
    }
    marks
}
