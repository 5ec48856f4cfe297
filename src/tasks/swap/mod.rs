//! Several drivers on one kart: a common base that stays bolted, and the least work at each change of driver.

mod base;
mod common;
mod edges;
mod handover;
mod judge;
mod minimise;
mod overlap;
mod relay;
mod settings;
mod team;

use crate::counts::Counts;
use crate::diagnosis::Fault;
use crate::goal::Goal;
use crate::plan::Plan;
use crate::scenario::{Freedom, Scenario};
use crate::search::{End, Guard, Limits, Objective};
use crate::solve::{self, GoalResult, Judged, Patience, Proof, Shortfall, not_below, solve_within};
use crate::units::Mass;

pub use judge::judged_values_kg;
pub(crate) use judge::not_denied;
pub use team::{Alone, TeamValues};

use minimise::{TeamOutcome, TeamSearch};
use team::{Team, first_stints};

/// Goals in the order in which they are solved: work comes before lightness, as it is done in a pit stop.
pub const GOALS: [Goal; 5] = [Goal::Legal, Goal::Targets, Goal::Work, Goal::Light, Goal::Close];

/// The most that each value of a set-up may be.
pub(crate) type TeamLimits = TeamValues;

/// A set-up, one table per driver, and its values.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct TeamFound {
    pub(crate) setup: Vec<Counts>,
    pub(crate) values: TeamValues,
}

impl TeamValues {
    /// As limits: none at all.
    const FREE: TeamLimits = TeamLimits {
        excess_ng: Limits::FREE,
        outside_ng: Limits::FREE,
        work: Limits::FREE,
        close_ng: Limits::FREE,
    };

    /// As limits: whether anything is limited that settings of adjusters change.
    fn balance(&self) -> bool {
        self.outside_ng < Limits::FREE || self.close_ng < Limits::FREE
    }

    fn slot(&mut self, objective: Objective) -> &mut i64 {
        match objective {
            Objective::Mass | Objective::Lift => &mut self.excess_ng,
            Objective::Targets => &mut self.outside_ng,
            Objective::Work => &mut self.work,
            Objective::Close => &mut self.close_ng,
        }
    }

    /// The value of an objective: ng, or changes for `Work`.
    fn of(mut self, objective: Objective) -> i64 {
        *self.slot(objective)
    }

    /// As limits: the same with values up to `most` and no more; one that is tighter already stays.
    fn with(mut self, objective: Objective, most: i64) -> TeamLimits {
        let limit = self.slot(objective);
        *limit = most.min(*limit);
        self
    }
}

/// How it ended.
#[derive(Clone, Debug)]
pub enum Answer {
    /// A set-up that is legal for every driver.
    Setup(Box<Swap>),
    /// Proved: one driver cannot be legal even alone on the kart.
    NotEvenAlone {
        /// Who, as an index of the scenario.
        driver: usize,
        /// By how much.
        shortfall: Box<Shortfall>,
    },
    /// Proved: everyone can be legal alone, but no base serves all of them.
    NoCommonBase(Box<NoCommonBase>),
    /// Stopped before any set-up was found, and before it was proved that there is none.
    OutOfTime,
}

/// Why no base serves all.
#[derive(Clone, Debug)]
pub struct NoCommonBase {
    /// Drivers in the order of their first stint.
    pub drivers: Vec<usize>,
    /// The plan of each alone.
    pub alone: Vec<solve::Solved>,
}

/// A set-up for all drivers.
#[derive(Clone, Debug)]
pub struct Swap {
    /// Who drives each stint, as indices of the scenario.
    pub order: Vec<usize>,
    /// Drivers in the order of their first stint.
    pub drivers: Vec<usize>,
    /// The judged plan of each.
    pub plans: Vec<Plan>,
    /// The plan of each alone on the kart, without a thought for the others.
    pub alone: Vec<solve::Solved>,
    /// The lightest legal total of each alone, ng.
    pub own_ng: Vec<i64>,
    /// What is known of each goal, in the order in which they were solved.
    pub goals: Vec<GoalResult>,
    /// What the set-up is worth.
    pub values: TeamValues,
    /// Varying parts that were completed or refuted.
    pub leaves: u64,
}

impl Swap {
    /// Whether every goal was proved to its resolution, for the team and for each driver alone.
    pub fn is_best_possible(&self) -> bool {
        self.goals.iter().all(|goal| goal.proved == Proof::Proved)
            && self.alone.iter().all(solve::Solved::is_best_possible)
    }

    /// The plan of a driver of the scenario.
    pub fn plan_of(&self, driver: usize) -> Option<&Plan> {
        self.drivers.iter().position(|known| *known == driver).map(|position| &self.plans[position])
    }

    /// The plan of whoever drives before a driver's first stint; none if it is the first of all.
    pub fn relieves(&self, driver: usize) -> Option<&Plan> {
        let pair = self.order.windows(2).find(|pair| pair[1] == driver)?;
        if self.order.first() == Some(&driver) { None } else { self.plan_of(pair[0]) }
    }
}

/// The stints that are asked for: those given, else those of the file, else every driver once in the order of the file.
///
/// Fails if nothing tells what one of all drivers weighs, if fewer than two take part, if one of them drives twice in a row, or if there are more ways to set the quick
/// adjusters than can be compared.
pub fn stints(scenario: &Scenario, given: &[usize]) -> Result<Vec<usize>, Fault> {
    let listed = scenario.pit().order.clone();
    let order = match (given.is_empty(), listed.is_empty()) {
        (false, _) => given.to_vec(),
        (true, false) => listed,
        (true, true) => match scenario.unweighed().first() {
            Some(driver) => return Err(Fault::DriverMassMissing { driver: driver.clone() }),
            None => (0..scenario.drivers().len()).collect(),
        },
    };
    if let Some(pair) = order.windows(2).find(|pair| pair[0] == pair[1]) {
        return Err(Fault::DriverTwiceInARow { driver: scenario.drivers()[pair[0]].name.clone() });
    }
    if first_stints(&order).len() < 2 {
        return Err(Fault::NobodyToSwapWith { drivers: scenario.drivers().len() });
    }
    let (found, most) = (settings::count(scenario), settings::MOST_WAYS);
    if found > most {
        return Err(Fault::TooManyWays { most, found });
    }
    Ok(order)
}

/// Finds the set-up of a team; `order` comes from [`stints`].
///
/// Fails only if the judge disagrees with a search, or a value with its bound.
pub fn swap(scenario: &Scenario, order: &[usize], patience: Patience) -> Judged<Answer> {
    // Where somebody is worse off than alone, what would help has a claim on the time.
    let course = Course { if_amiss: 0.6, ..Course::WHOLE };
    let answer = swap_so_far(scenario, order, course, patience)?;
    // Time may end while the drivers are planned alone; a moment more finds some set-up of most teams.
    match answer {
        Answer::OutOfTime => swap_so_far(scenario, order, Course::WHOLE, patience.with_overtime()),
        answer => Ok(answer),
    }
}

/// How far a team is solved.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Course {
    /// So many goals.
    pub(crate) goals: usize,
    /// The part of the time that it may take if somebody turns out to be worse off than alone.
    pub(crate) if_amiss: f64,
    /// A driver of the scenario whose own weight does not matter, as long as he is legal.
    pub(crate) may_be_heavy: Option<usize>,
}

impl Course {
    /// Every goal, for everybody.
    pub(crate) const WHOLE: Course = Course { goals: GOALS.len(), if_amiss: 1.0, may_be_heavy: None };
}

/// The same as far as a course goes.
pub(crate) fn swap_so_far(
    scenario: &Scenario,
    order: &[usize],
    course: Course,
    mut patience: Patience,
) -> Judged<Answer> {
    let if_amiss = patience.part(course.if_amiss);
    let drivers = first_stints(order);
    let mut plans_alone = Vec::new();
    for (position, driver) in drivers.iter().enumerate() {
        // Half of the time that is left goes to the drivers alone, in equal parts.
        let share = patience.silent().part(1.0 / (drivers.len() - position + 1) as f64);
        match solve_within(scenario, Some(*driver), &free_alone(scenario), share)? {
            solve::Answer::Plan(solved) => plans_alone.push(solved),
            solve::Answer::NoLegalPlan(shortfall) => {
                return Ok(Answer::NotEvenAlone { driver: *driver, shortfall: Box::new(shortfall) });
            }
            solve::Answer::OutOfTime => return Ok(Answer::OutOfTime),
        }
    }
    let alone = drivers.iter().zip(&plans_alone).map(|(driver, solved)| {
        let alone = alone_of(solved);
        let more_ng = if course.may_be_heavy == Some(*driver) { Limits::FREE / 4 } else { 0 };
        Alone { own_ng: alone.own_ng.saturating_add(more_ng), ..alone }
    });
    let team = Team::new(scenario, order, &alone.collect::<Vec<_>>());
    let mut search = TeamSearch::new(&team);
    let mut goals: Vec<GoalResult> = Vec::new();
    let mut limits = TeamLimits::FREE;
    let mut best: Option<TeamFound> = None;
    for (index, goal) in GOALS.into_iter().enumerate().take(course.goals) {
        let patience_of_goal = patience.about(goal).for_goal(index + 1 == course.goals);
        let guard = Guard::new(patience_of_goal);
        let leaves_before = search.leaves;
        let (outcome, resolution) = solve_goal(&team, &mut search, goal, limits, best.take(), &guard);
        let outcome = match (outcome.best.is_none(), outcome.end) {
            // Without a set-up nothing else can be done: any at all, however heavy, before it is given up.
            (true, End::Stopped) => any_setup(&mut search, limits, &outcome, patience),
            _ => outcome,
        };
        let TeamOutcome { best: found, bound, end } = outcome;
        let Some(found) = found else {
            return Ok(match end {
                End::Proved => Answer::NoCommonBase(Box::new(NoCommonBase { drivers, alone: plans_alone })),
                End::Stopped => Answer::OutOfTime,
            });
        };
        judge::judge(scenario, &team, &plans_alone, &found)?;
        let value = found.values.of(goal.into());
        not_below(goal, value, bound)?;
        let proved = Proof::of(end);
        let held_at = proved.held_at(team.shared(), goal, value, bound, resolution);
        limits = limits.with(goal.into(), held_at);
        let spare = team.shared().preferences.spare.ng();
        let may_be = if goal == Goal::Legal { spare } else { resolution };
        if matches!(goal, Goal::Legal | Goal::Targets) && value > may_be {
            patience = if_amiss;
        }
        goals.push(GoalResult {
            goal,
            value,
            bound,
            held_at,
            resolution,
            proved,
            nodes: search.leaves - leaves_before,
        });
        best = Some(found);
    }
    // A goal has been solved, so there is a set-up.
    let Some(found) = best else { return Ok(Answer::OutOfTime) };
    let plans = judge::judge(scenario, &team, &plans_alone, &found)?;
    for result in &mut goals {
        let last = found.values.of(result.goal.into());
        // The last set-up keeps all holds, so every bound is one of its own.
        not_below(result.goal, last, result.bound)?;
        if result.proved == Proof::Stopped {
            settle(result, last);
        }
    }
    Ok(Answer::Setup(Box::new(Swap {
        order: order.to_vec(),
        drivers,
        plans,
        alone: plans_alone,
        own_ng: team.own_ng.clone(),
        goals,
        values: found.values,
        leaves: search.leaves,
    })))
}

/// One goal, and the resolution to which it was solved.
///
/// `legal` is settled by any set-up in which everyone is within the spare of his own minimum. Where none is, the least
/// excess is looked for: the base, or too small a tray, costs somebody that much.
fn solve_goal(
    team: &Team,
    search: &mut TeamSearch,
    goal: Goal,
    limits: TeamLimits,
    start: Option<TeamFound>,
    guard: &Guard,
) -> (TeamOutcome, i64) {
    let resolution = team.shared().resolution(goal);
    if goal != Goal::Legal {
        return (search.minimise(goal.into(), limits, resolution, start, guard), resolution);
    }
    let spare = team.shared().preferences.spare.ng();
    let within_spare = TeamLimits { excess_ng: spare, ..limits };
    let outcome = search.minimise(Objective::Mass, within_spare, spare, None, guard);
    if outcome.best.is_some() || outcome.end == End::Stopped {
        return (outcome, spare);
    }
    let proved = outcome.bound.max(spare.saturating_add(1));
    let mut outcome = search.minimise(Objective::Mass, limits, resolution, None, guard);
    outcome.bound = outcome.bound.max(proved);
    (outcome, resolution)
}

/// Any legal set-up where the search for a light one was stopped, which may take all the time that is left; then lighter
/// ones, for half of what is left then. Says no more of the goal than was proved.
fn any_setup(
    search: &mut TeamSearch,
    limits: TeamLimits,
    stopped: &TeamOutcome,
    patience: Patience,
) -> TeamOutcome {
    // Within such a resolution any set-up is as good as the best.
    let any = Limits::FREE / 2;
    let guard = Guard::new(patience);
    let mut outcome = search.minimise(Objective::Mass, limits, any, None, &guard);
    let Some(found) = &outcome.best else { return outcome };
    outcome.bound = outcome.bound.max(stopped.bound);
    outcome.end = End::Stopped;
    let until = patience.part(0.5);
    let (mut low, mut high) = (outcome.bound, found.values.excess_ng);
    // What is closer than a gram is not worth the time here.
    while high - low > Mass::from_kg(0.001).ng() && !until.is_over() {
        let middle = i64::midpoint(low, high);
        let guard = Guard::new(until.part(0.5));
        let lighter = limits.with(Objective::Mass, middle);
        let TeamOutcome { best, end, .. } = search.minimise(Objective::Mass, lighter, any, None, &guard);
        if let Some(best) = best {
            high = best.values.excess_ng;
            outcome.best = Some(best);
        } else {
            low = middle;
            if end == End::Proved {
                outcome.bound = middle.saturating_add(1);
            }
        }
    }
    outcome
}

/// Later goals may have brought a goal that was stopped further than it was; the bound holds all the same.
fn settle(result: &mut GoalResult, last: i64) {
    result.value = result.value.min(last);
    if result.value - result.bound <= result.resolution {
        result.proved = Proof::Proved;
    }
}

/// What is free for each driver is free for a driver alone: lead, and adjusters that are quick.
fn free_alone(scenario: &Scenario) -> Freedom {
    Freedom { lead: true, adjusters: scenario.adjusters().iter().map(|adjuster| adjuster.quick).collect() }
}

/// What a driver's plan alone comes to.
pub(crate) fn alone_of(solved: &solve::Solved) -> Alone {
    let legal = solved.goals.iter().find(|result| result.goal == Goal::Legal);
    Alone {
        own_ng: legal.map_or_else(|| solved.plan.measured().worth.total.ng(), |legal| legal.bound),
        counts: solved.plan.measured().counts.clone(),
    }
}
