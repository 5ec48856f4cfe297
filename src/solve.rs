//! Goals in order: search, measure, pin, next.

use crate::counts::Counts;
use crate::engine::{self, Divisible, DualPrices};
use crate::goal::Goal;
use crate::model::Model;
use crate::plan::{Breach, JUDGE_TOLERANCE_KG, Measured, Plan};
use crate::scenario::{Freedom, Scenario};
use crate::search::{End, Found, Guard, Limits, Objective, Outcome, Search};
use crate::units::Mass;

pub use crate::patience::{News, Patience};

/// What is known of one goal; values and bounds in ng, or changes for `work`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GoalResult {
    pub goal: Goal,
    /// Its value when it was solved.
    pub value: i64,
    /// Under the earlier holds no plan has a smaller value.
    pub bound: i64,
    /// What later goals had to keep to.
    pub held_at: i64,
    /// Value and bound may be this far apart.
    pub resolution: i64,
    /// Whether the bound was proved to be within the resolution.
    pub proved: Proof,
    /// Nodes that the search visited for it.
    pub nodes: u64,
}

/// What a bound is worth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Proof {
    /// Value and bound are within the resolution.
    Proved,
    /// The search was stopped; the bound still holds.
    Stopped,
}

impl Proof {
    /// What the end of a search proves.
    pub(crate) fn of(end: End) -> Proof {
        if end == End::Proved { Proof::Proved } else { Proof::Stopped }
    }

    /// What later goals keep to: a resolution above the bound, where it was proved that nothing lies below; `legal` alone is
    /// held by its spare. Plans that differ from such a plan by rounding alone keep to it too.
    pub(crate) fn held_at(self, model: &Model, goal: Goal, value: i64, bound: i64, resolution: i64) -> i64 {
        match (goal, self) {
            (Goal::Legal, _) => bound.saturating_add(model.preferences.spare.ng()).max(value),
            (_, Proof::Proved) => bound.saturating_add(resolution).saturating_add(model.rounding(goal)),
            (_, Proof::Stopped) => value.saturating_add(model.rounding(goal)),
        }
    }
}

/// How a solve ended.
#[derive(Clone, Debug)]
pub enum Answer {
    /// A legal plan.
    Plan(Solved),
    /// Proved: no legal plan exists.
    NoLegalPlan(Shortfall),
    /// Stopped before any legal plan was found, and before it was proved that there is none.
    OutOfTime,
}

/// A legal plan and what is known of it.
#[derive(Clone, Debug)]
pub struct Solved {
    /// The plan, measured by the judge.
    pub plan: Plan,
    /// Goals in the order in which they were solved.
    pub goals: Vec<GoalResult>,
    /// Nodes that the search visited.
    pub nodes: u64,
    /// What the plan was allowed to change.
    pub freedom: Freedom,
}

/// By how much the minimum cannot be reached.
#[derive(Clone, Debug)]
pub struct Shortfall {
    /// Short by this much with the heaviest lead that was found to fit.
    pub short: Mass,
    /// No lead on these mounts can be short by less; equal to `short` up to the resolution of `legal` unless stopped.
    pub short_at_least: Mass,
    /// The heaviest lead that fits, with every other rule kept; none if even that is impossible.
    pub heaviest: Option<Counts>,
    /// All lead there is.
    pub lead_in_stock: Mass,
    /// What all mounts together may carry.
    pub mounts_carry: Mass,
    /// Whether lead was allowed to be changed at all.
    pub lead_is_free: bool,
    /// The rule that is broken by what is fitted, where lead was not.
    pub broken: Option<Breach>,
}

/// The judge measured something else than the search, or a bound is none; a fault of the program, never of the input.
#[derive(Clone, Debug, PartialEq)]
pub enum Disagreement {
    /// A plan of the search breaks a rule.
    Breach(Breach),
    /// A value differs.
    Value {
        goal: Goal,
        searched: f64,
        /// By the judge.
        judged: f64,
    },
    /// A goal ended below what was proved that nothing can be below, in the goal's own units.
    Bound {
        goal: Goal,
        /// Of the best that was found.
        value: i64,
        /// Proved of everything that there is.
        bound: i64,
    },
    /// It was proved that there is nothing legal, and something is known that the judge allows.
    Denied,
    /// A kit ended below what was proved that no kit can be below: cases lost, cost, mass and pieces.
    Kit {
        /// Of the best that was found.
        found: [i64; 4],
        /// Proved of all kits.
        bound: [i64; 4],
    },
}

/// What a search has come to, if it, the judge and the bounds agree.
pub type Judged<T> = Result<T, Disagreement>;

impl std::fmt::Display for Disagreement {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Disagreement::Breach(breach) => write!(f, "the judge refuses the plan of the search: {breach}"),
            Disagreement::Value { goal, searched, judged } => {
                write!(f, "the judge measures {judged} for `{}` where the search has {searched}", goal.word())
            }
            Disagreement::Bound { goal, value, bound } => {
                write!(
                    f,
                    "a value of {value} was found for `{}`, below its proved bound {bound}",
                    goal.word()
                )
            }
            Disagreement::Denied => f.write_str("no legal plan was called proved where a legal one is known"),
            Disagreement::Kit { found, bound } => write!(
                f,
                "a kit of {found:?} (cases lost, cost, mass, pieces) was found, below its proved bound {bound:?}"
            ),
        }
    }
}

/// Fails if a goal ended below its bound: then one of the two is wrong, and nothing may be called proved.
pub(crate) fn not_below(goal: Goal, value: i64, bound: i64) -> Judged<()> {
    if value < bound { Err(Disagreement::Bound { goal, value, bound }) } else { Ok(()) }
}

/// Solves a scenario for one driver.
///
/// Fails only if the judge disagrees with the search.
pub fn solve(scenario: &Scenario, driver: Option<usize>, patience: Patience) -> Judged<Answer> {
    solve_within(scenario, driver, &Freedom::all(scenario), patience)
}

/// Solves a scenario for one driver, changing no more than is allowed.
///
/// Fails only if the judge disagrees with the search.
pub fn solve_within(
    scenario: &Scenario,
    driver: Option<usize>,
    freedom: &Freedom,
    patience: Patience,
) -> Judged<Answer> {
    solve_goals(scenario, driver, freedom, Goal::ALL.len(), patience, u64::MAX)
}

/// Solves only the first `count` goals, of which there is at least one; what the others would still improve is left alone.
///
/// Fails only if the judge disagrees with the search.
pub fn solve_first(
    scenario: &Scenario,
    driver: Option<usize>,
    freedom: &Freedom,
    count: usize,
    patience: Patience,
) -> Judged<Answer> {
    solve_goals(scenario, driver, freedom, count, patience, u64::MAX)
}

/// Solves all goals, but is stopped as well after so many nodes of the search; for tasks that solve many variants, each of
/// which may take its share and no more, on every machine the same.
///
/// Fails only if the judge disagrees with the search.
pub fn solve_within_nodes(
    scenario: &Scenario,
    driver: Option<usize>,
    patience: Patience,
    last_node: u64,
) -> Judged<Answer> {
    solve_goals(scenario, driver, &Freedom::all(scenario), Goal::ALL.len(), patience, last_node)
}

fn solve_goals(
    scenario: &Scenario,
    driver: Option<usize>,
    freedom: &Freedom,
    count: usize,
    patience: Patience,
    last_node: u64,
) -> Judged<Answer> {
    let model = Model::new(scenario, driver).restricted(freedom);
    if !freedom.lead
        && let Some(shortfall) = broken_as_fitted(scenario, driver, &model)
    {
        return Ok(Answer::NoLegalPlan(shortfall));
    }
    let prices = DualPrices::new(&model);
    let mut search = Search::new(&model, &prices);
    let mut limits = Limits::legal(&model);
    let mut best: Option<Found> = None;
    let mut goals = Vec::new();
    for (index, goal) in model.goals().into_iter().enumerate().take(count) {
        let patience = patience.about(goal);
        let guard = Guard::new(patience.for_goal(index + 1 == count)).within_nodes(last_node);
        let resolution = model.resolution(goal);
        let nodes_before = search.nodes();
        let Outcome { best: found, bound, end } =
            search.minimise(goal.into(), limits, resolution, best.take(), &guard);
        // Without a legal plan nothing else can be done, so the search for one goes on to the very end.
        let (found, bound, end) = match (found, end) {
            (None, End::Stopped) => {
                let guard = Guard::new(patience).within_nodes(last_node);
                let Outcome { best, bound, end } =
                    search.minimise(goal.into(), limits, resolution, None, &guard);
                (best, bound, end)
            }
            (found, end) => (found, bound, end),
        };
        let Some(found) = found else {
            return Ok(match end {
                End::Proved => {
                    let guard = Guard::new(patience).within_nodes(last_node);
                    let shortfall = shortfall(&model, &mut search, &guard);
                    Answer::NoLegalPlan(Shortfall { lead_is_free: freedom.lead, ..shortfall })
                }
                End::Stopped => Answer::OutOfTime,
            });
        };
        judged(scenario, driver, &found)?;
        let value = found.values.of(goal);
        not_below(goal, value, bound)?;
        let proved = Proof::of(end);
        let held_at = proved.held_at(&model, goal, value, bound, resolution);
        Objective::from(goal).limit(&mut limits, held_at);
        let nodes = search.nodes() - nodes_before;
        goals.push(GoalResult { goal, value, bound, held_at, resolution, proved, nodes });
        best = Some(found);
    }
    // At least one goal has been solved, so there is a plan.
    let Some(found) = best else { return Ok(Answer::OutOfTime) };
    let guard = Guard::new(patience).within_nodes(last_node);
    let found = search.first_among_equals(found, &limits, &guard);
    let plan = judged(scenario, driver, &found)?;
    let (nodes, freedom) = (search.nodes(), freedom.clone());
    Ok(Answer::Plan(Solved { plan, goals, nodes, freedom }))
}

impl Solved {
    /// Whether every goal was proved to its resolution.
    pub fn is_best_possible(&self) -> bool {
        self.goals.iter().all(|result| result.proved == Proof::Proved)
    }

    /// What could be reached in the scenario that was solved, with adjusters as planned, if lead could be cut to any size; none
    /// if the engine has no answer. Lead keeps to all that the pieces keep to but changes, so it is never worse than they are.
    pub fn divisible(&self, scenario: &Scenario) -> Option<Divisible> {
        let Measured { driver, counts, .. } = self.plan.measured();
        let model = Model::new(scenario, *driver).restricted(&self.freedom);
        let as_planned = Model { adjusters: Vec::new(), ..model.set_so(counts.settings()) };
        engine::divisible(&as_planned, |goal| {
            let before = self.goals.iter().take_while(|result| result.goal != goal);
            let holds = before.filter(|result| result.goal != Goal::Work);
            holds.map(|result| (result.goal, result.held_at)).collect()
        })
    }
}

/// Has the judge measure what the search found, and compares the values.
fn judged(scenario: &Scenario, driver: Option<usize>, found: &Found) -> Judged<Plan> {
    let plan = Plan::judged(scenario, driver, found.counts.clone()).map_err(Disagreement::Breach)?;
    let values = &found.values;
    let worth = &plan.measured().worth;
    let kg = |ng: i64| Mass::from_ng(ng).kg();
    let pairs = [
        (Goal::Legal, kg(values.mass_ng), worth.total.kg()),
        (Goal::Targets, kg(values.outside_ng), worth.outside_kg),
        (Goal::Work, values.work as f64, f64::from(worth.work)),
        (Goal::Close, kg(values.close_ng), worth.close_kg),
    ];
    agreed(pairs).map(|()| plan)
}

/// Fails if the judge measured another value of a goal than the search has.
pub(crate) fn agreed(values: [(Goal, f64, f64); 4]) -> Judged<()> {
    // A number that is not finite agrees with nothing.
    let agree = |searched: f64, judged: f64| (searched - judged).abs() <= JUDGE_TOLERANCE_KG;
    match values.into_iter().find(|(_, searched, judged)| !agree(*searched, *judged)) {
        Some((goal, searched, judged)) => Err(Disagreement::Value { goal, searched, judged }),
        None => Ok(()),
    }
}

/// The heaviest lead that fits although it is too light.
fn shortfall(model: &Model, search: &mut Search, guard: &Guard) -> Shortfall {
    let outcome = search.minimise(Objective::Lift, Limits::NONE, model.resolution(Goal::Legal), None, guard);
    let heaviest_ng = outcome.best.as_ref().map_or(model.bare_ng, |found| found.values.mass_ng);
    let heaviest = outcome.best.map(|found| found.counts);
    Shortfall { heaviest, ..short_by(model, heaviest_ng, -outcome.bound) }
}

/// Too light at such a total, and at the most that may be possible.
fn short_by(model: &Model, total_ng: i64, most_ng: i64) -> Shortfall {
    let short = |total_ng: i64| Mass::from_ng(model.required_ng - total_ng).max(Mass::ZERO);
    Shortfall {
        short: short(total_ng),
        short_at_least: short(most_ng),
        heaviest: None,
        lead_in_stock: Mass::from_ng(model.stock_ng()),
        mounts_carry: Mass::from_ng(model.mounts.iter().map(|mount| mount.capacity_ng).sum()),
        lead_is_free: true,
        broken: None,
    }
}

/// Why there is no legal plan where lead has to stay as it is fitted, if that breaks a rule other than the minimum.
fn broken_as_fitted(scenario: &Scenario, driver: Option<usize>, model: &Model) -> Option<Shortfall> {
    let measured = Measured::new(scenario, driver, model.fitted.clone());
    let broken = measured.breach(scenario).filter(|breach| !matches!(breach, Breach::TooLight { .. }))?;
    let total_ng = measured.worth.total.ng();
    let heaviest = Some(measured.counts);
    Some(Shortfall {
        lead_is_free: false,
        broken: Some(broken),
        heaviest,
        ..short_by(model, total_ng, total_ng)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_below_its_bound_is_a_disagreement_and_one_at_its_bound_is_none() {
        let told = not_below(Goal::Targets, 3, 4).expect_err("3 is below 4");
        assert_eq!(told, Disagreement::Bound { goal: Goal::Targets, value: 3, bound: 4 });
        assert_eq!(told.to_string(), "a value of 3 was found for `targets`, below its proved bound 4");
        assert_eq!(not_below(Goal::Targets, 4, 4), Ok(()));
    }
}
