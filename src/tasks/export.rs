//! `export`: the integer program of one goal, with earlier goals held where our own solve leaves them.

use crate::diagnosis::visible;
use crate::export::{self, Decimal};
use crate::goal::Goal;
use crate::model::Model;
use crate::model::linear::{Linear, ONE, Quantity};
use crate::scenario::{Freedom, Scenario};
use crate::solve::{Answer, GoalResult, Judged, Patience, Proof, solve_first};

/// What rows are, by how their names begin; only those that a program has are told.
const ROWS: [(&str, &str); 18] = [
    ("stock_k", "pieces of a kind on all mounts: at most those there are"),
    ("capacity_m", "lead on a mount, kg: at most what it may carry"),
    ("room_m", "thickness on a mount, mm: at most its room"),
    ("pieces_m", "pieces on a mount: at most so many"),
    ("most_lead", "all lead, kg: at most what the rules allow"),
    ("minimum", "all lead, kg: at least what the minimum with its margin demands"),
    ("held_legal", "all lead, kg: legal is held"),
    ("held_targets", "sum of the misses, kg: targets is held"),
    ("held_light", "all lead, kg: light is held"),
    ("held_work", "sum of the changes: work is held"),
    ("held_close", "sum of the distances, kg: close is held"),
    (
        "targets_t",
        "a target's miss is at least what the worst state lies above (below) its tolerance, kg times weight",
    ),
    (
        "close_t",
        "a target's distance is at least what the worst state lies above (below) its target, kg times weight",
    ),
    ("setting_a", "of every adjuster exactly one setting is chosen"),
    ("riding_", "pieces that ride on an adjuster are counted at the setting that is chosen, and at no other"),
    ("on_k", "pieces put on are at least those there beyond what is fitted"),
    ("off_k", "pieces taken off are at least those fitted that are no longer there"),
    ("work_k", "changes of a kind are at least its pieces put on, and at least its pieces taken off"),
];

/// What came of the wish for a program.
#[derive(Clone, Debug, PartialEq)]
pub enum Exported {
    Program(Program),
    /// Proved: no plan is legal, so that there is nothing to hold for a later goal.
    NoLegalPlan,
    /// Stopped before any legal plan was found.
    OutOfTime,
}

/// A program, and what it stands on.
#[derive(Clone, Debug, PartialEq)]
pub struct Program {
    /// The same in free MPS.
    pub mps: String,
    /// Rows and columns.
    pub linear: Linear,
    /// Earlier goals, in order, with what they are held at.
    pub held: Vec<GoalResult>,
}

impl Program {
    /// Earlier goals whose search was stopped: they are held at the best that was found.
    pub fn stopped(&self) -> impl Iterator<Item = Goal> {
        self.held.iter().filter(|result| result.proved == Proof::Stopped).map(|result| result.goal)
    }
}

/// States the program of `goal` for one driver, with earlier goals solved and held; the first goal needs no solve.
///
/// Fails only if the judge disagrees with the search.
pub fn program(
    scenario: &Scenario,
    driver: Option<usize>,
    goal: Goal,
    patience: Patience,
) -> Judged<Exported> {
    let earlier = scenario.preferences().goals().into_iter().take_while(|other| *other != goal).count();
    let held = match earlier {
        0 => Vec::new(),
        count => match solve_first(scenario, driver, &Freedom::all(scenario), count, patience)? {
            Answer::Plan(solved) => solved.goals,
            Answer::NoLegalPlan(_) => return Ok(Exported::NoLegalPlan),
            Answer::OutOfTime => return Ok(Exported::OutOfTime),
        },
    };
    let model = Model::new(scenario, driver);
    let holds: Vec<(Goal, i64)> = held.iter().map(|result| (result.goal, result.held_at)).collect();
    let linear = Linear::new(&model, goal, &holds);
    let comments = comments(scenario, driver, goal, &held, &linear);
    Ok(Exported::Program(Program { mps: export::mps(&linear, &comments), linear, held }))
}

fn comments(
    scenario: &Scenario,
    driver: Option<usize>,
    goal: Goal,
    held: &[GoalResult],
    linear: &Linear,
) -> Vec<String> {
    let driver = driver.map_or(String::new(), |driver| format!("{} on ", scenario.drivers()[driver].name));
    let (kart, class) = (&scenario.kart().name, &scenario.class().name);
    let mut comments = vec![
        format!("kentledge {}: {driver}{kart}, {class}", env!("CARGO_PKG_VERSION")),
        format!(
            "goal {} of {}, `{}`: make small {}",
            held.len() + 1,
            Goal::ALL.len(),
            goal.word(),
            sum_of(goal)
        ),
        "kg and mm; every number is exact; the right-hand side of `value` is minus the constant of its sum"
            .into(),
        "kinds (k), mounts (m) and targets (t) are numbered from 0 in the order of the scenario".into(),
    ];
    if !held.is_empty() {
        comments.push("held from earlier goals".into());
    }
    comments.extend(held.iter().map(hold));
    comments.push("columns".into());
    let named = |quantity: Quantity| format!("  {quantity}: {}", meaning(scenario, quantity));
    comments.extend(linear.columns.iter().map(|column| named(column.quantity)));
    comments.push("rows".into());
    let is_there = |start: &str| linear.rows.iter().any(|row| row.name.starts_with(start));
    let told = ROWS.iter().filter(|(start, _)| is_there(start));
    let numbered = |start: &str| ["_k", "_m", "_t"].iter().any(|end| start.ends_with(end));
    let shown = |start: &str| if numbered(start) { format!("{start}*") } else { start.to_owned() };
    comments.extend(told.map(|(start, meaning)| format!("  {}: {meaning}", shown(start))));
    comments.iter().map(|comment| visible(comment)).collect()
}

fn sum_of(goal: Goal) -> &'static str {
    match goal {
        Goal::Legal | Goal::Light => "the total as the officials weigh it, kg",
        Goal::Targets => "what lies outside the tolerances, kg times weight, summed over the targets",
        Goal::Work => "the changes from what is fitted",
        Goal::Close => "the distance from the targets, kg times weight, summed over the targets",
    }
}

fn hold(result: &GoalResult) -> String {
    let unit = if result.goal == Goal::Work { "changes" } else { "kg" };
    let number = |value: i64| Decimal(if result.goal == Goal::Work { value * ONE } else { value });
    let known = match result.proved {
        Proof::Proved => "proved to its resolution",
        Proof::Stopped => "not proved best: the search was stopped",
    };
    format!(
        "  {}: at most {} {unit}; found {}, nothing below {}; {known}",
        result.goal.word(),
        number(result.held_at),
        number(result.value),
        number(result.bound),
    )
}

fn meaning(scenario: &Scenario, quantity: Quantity) -> String {
    let kind = |kind: usize| &scenario.lead()[kind].name;
    let mount = |mount: usize| &scenario.mounts()[mount].name;
    let target = |target: usize| scenario.targets()[target].figure.key();
    match quantity {
        Quantity::Pieces { kind: k, mount: m } => format!("pieces of `{}` on `{}`", kind(k), mount(m)),
        Quantity::Miss { target: t } => {
            format!("what `{}` lies outside its tolerance, kg times weight", target(t))
        }
        Quantity::Distance { target: t } => {
            format!("what `{}` lies off its target, kg times weight", target(t))
        }
        Quantity::Work { kind: k } => format!("changes of `{}`", kind(k)),
        Quantity::PutOn { kind: k, mount: m } => format!("pieces of `{}` put on `{}`", kind(k), mount(m)),
        Quantity::TakenOff { kind: k, mount: m } => {
            format!("pieces of `{}` taken off `{}`", kind(k), mount(m))
        }
        Quantity::Chosen { adjuster, setting } => {
            let adjuster = &scenario.adjusters()[adjuster];
            format!("1 if `{}` is at `{}`, else 0", adjuster.name, adjuster.settings[setting].name)
        }
        Quantity::Riding { kind: k, mount: m, adjuster, setting } => {
            let adjuster = &scenario.adjusters()[adjuster];
            let at = format!("`{}` is at `{}`", adjuster.name, adjuster.settings[setting].name);
            format!("pieces of `{}` on `{}` if {at}, else 0", kind(k), mount(m))
        }
    }
}
