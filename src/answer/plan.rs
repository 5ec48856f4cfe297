//! What `plan` has found: jobs, targets, corners, lead per mount, what was proved; or why there is no plan.

use schemars::JsonSchema;
use serde::Serialize;

use super::Status;
use super::alternatives::Alternatives;
use super::assumed::{self, Borrowed, borrowed};
use super::doubts::{Finding, contradicting};
use super::fragment;
use super::gate::Gate;
use super::help::{Eased, Help, eased, helps, remedies};
use super::kart::{Kart, verdict};
use super::margin::{Margin, Required};
use super::official::OfficialReading;
use super::shortfall::Shortfall;
use super::work::{
    Change, MountLoad, Placement, Setting, StopHere, changes, mounts, placements, settings, stops,
};
use crate::assess::in_the_way::{in_the_way, misses, worst_states};
use crate::assess::twist::is_for_twist;
use crate::doubts;
use crate::goal::Goal;
use crate::plan::Measured;
use crate::quantity::{Exact, Kg, Shape, Unit, kg};
use crate::scenario::{Freedom, Scenario};
use crate::solve::{self, Answer, Disagreement, GoalResult, Patience, Proof, Solved};
use crate::tasks::binding::{Binding, bindings};
use crate::tasks::{self, help};
use crate::uncertainty::inputs::weighing_of;
use crate::uncertainty::verdict::Verdict;
use crate::units::Mass;

/// Everything that `plan` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Plan {
    /// How it ended.
    #[serde(skip)]
    pub status: Status,
    /// Who drives; none for a kart without driver.
    pub driver: Option<String>,
    /// The kart's name.
    pub kart: String,
    /// The class's name.
    pub class: String,
    /// What the weighing contradicts itself in: said before any plan.
    pub contradictions: Vec<Finding>,
    /// What the officials read since without pads under the kart, if that is the total that this rests on.
    pub official_alone: Option<OfficialReading>,
    /// Whether there is a legal plan.
    pub legal: bool,
    /// Whether it meets every target.
    pub on_target: bool,
    /// What the officials want.
    pub wanted: Required,
    /// The plan, if there is one.
    #[serde(flatten)]
    pub plan: Option<Box<Planned>>,
    /// Why there is none, if that is proved.
    pub shortfall: Option<Shortfall>,
    /// The driver, if known only by what he weighs.
    pub estimated_places: Vec<Borrowed>,
    /// What would help the plan, best first.
    pub would_help: Vec<Help>,
    /// Every single remedy where there is no legal plan; nothing where nobody looked.
    pub remedies: Option<Vec<Help>>,
    /// What was not solved to the end, so that nothing is said of it.
    pub unsettled: Vec<Eased>,
    /// Plans of another kind, if anybody asked.
    pub alternatives: Option<Alternatives>,
}

/// A legal plan.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Planned {
    /// Four letters that stand for it: `done` writes it into the file as fitted; none of a plan for readings that are not kept.
    pub mark: Option<String>,
    /// What was proved of every goal, in order.
    pub goals: Vec<GoalFound>,
    /// What is on which mount.
    pub placements: Vec<Placement>,
    /// All adjusters; those to be set come before the lead.
    pub adjusters: Vec<Setting>,
    /// What the pads should show before any lead is touched; where seat or washers are moved.
    pub gate: Option<Gate>,
    /// What is done with lead, in order.
    pub changes: Vec<Change>,
    /// How the kart stands after each job, if somebody stops there.
    pub stops: Vec<StopHere>,
    /// The kart with the plan.
    #[serde(flatten)]
    pub kart: Kart,
    /// The kart with what is fitted now.
    pub now: Kart,
    /// How it stands to what the officials want.
    pub margin: Margin,
    /// Lead on every mount, in file order.
    pub mounts: Vec<MountLoad>,
    /// What every ± rests on without anybody having said it, one sentence each.
    pub assumptions: Vec<String>,
    /// What could be reached if lead could be cut to any size.
    pub divisible: Option<Divisible>,
    /// Targets that are missed, largest miss first, one sentence each.
    pub missed: Vec<String>,
    /// What stands in the way of the missed targets, one sentence each, the most telling first.
    pub in_the_way: Vec<String>,
    /// Everything that binds the plan, whether or not a target is missed.
    pub binds: Vec<Binding>,
    /// Whether washers are moved, or named among what stands in the way.
    pub speaks_of_washers: bool,
    /// Nodes that the search visited.
    pub nodes: u64,
}

/// What is known of one goal.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct GoalFound {
    /// The goal.
    pub name: Goal,
    /// Of the numbers.
    pub unit: &'static str,
    /// Its value when it was solved.
    pub value: GoalValue,
    /// Under the earlier holds nothing is smaller.
    pub bound: GoalValue,
    /// What later goals kept to.
    pub held_at: GoalValue,
    /// Value and bound may be this far apart.
    pub resolution: GoalValue,
    /// Whether they were proved to be.
    pub proved: bool,
}

/// What a goal comes to: kilograms have decimals, changes have none.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum GoalValue {
    Kg(f64),
    Count(i64),
}

/// What could be reached if lead could be cut to any size.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Divisible {
    /// Outside the tolerances.
    pub outside: Exact<Kg>,
    /// The same with the pieces there are.
    pub outside_with_pieces: Exact<Kg>,
    /// From the targets.
    pub close: Exact<Kg>,
    /// The same with the pieces there are.
    pub close_with_pieces: Exact<Kg>,
    /// A target whose miss is no larger counts as met.
    pub counts_as_met: Exact<Kg>,
    /// Lead on every mount, in file order.
    pub lead: Vec<DividedLead>,
}

/// Lead of any size on one mount.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DividedLead {
    /// Its name.
    pub mount: String,
    /// What it carries.
    pub mass: Exact<Kg>,
}

impl Plan {
    /// From what a solve has found.
    pub fn new(scenario: &Scenario, driver: Option<usize>, answer: &Answer) -> Plan {
        let (mut plan, mut shortfall) = (None, None);
        let status = match answer {
            Answer::Plan(solved) => {
                plan = Some(Box::new(Planned::new(scenario, driver, solved)));
                if solved.is_best_possible() { Status::BestPossible } else { Status::NotProvedBest }
            }
            Answer::NoLegalPlan(found) => {
                shortfall = Some(Shortfall::new(scenario, driver, found));
                Status::NoLegalPlan
            }
            Answer::OutOfTime => Status::OutOfTime,
        };
        Plan {
            status,
            driver: driver.map(|index| scenario.drivers()[index].name.clone()),
            kart: scenario.kart().name.clone(),
            class: scenario.class().name.clone(),
            official_alone: OfficialReading::of(weighing_of(&scenario.as_read(), driver))
                .filter(|read| read.alone),
            contradictions: if doubts::concern(scenario, driver) {
                contradicting(scenario)
            } else {
                Vec::new()
            },
            legal: plan.is_some(),
            on_target: plan.as_ref().is_some_and(|plan| plan.missed.is_empty()),
            wanted: Required::new(scenario, driver),
            plan,
            shortfall,
            estimated_places: borrowed(scenario, |index| driver == Some(index)),
            would_help: Vec::new(),
            remedies: None,
            unsettled: Vec::new(),
            alternatives: None,
        }
    }
}

impl Planned {
    fn new(scenario: &Scenario, driver: Option<usize>, solved: &Solved) -> Planned {
        let after = solved.plan.measured();
        let fitted = scenario.fitted();
        let divisible = solved.divisible(scenario);
        let adjusters = settings(scenario, fitted, after);
        let changes = changes(scenario, fitted, after);
        let missed_states = worst_states(after);
        Planned {
            mark: Some(fragment::mark(scenario, after)),
            goals: solved.goals.iter().map(GoalFound::new).collect(),
            placements: placements(scenario, &after.counts),
            speaks_of_washers: adjusters.iter().any(|setting| setting.washers_to_above != 0)
                || missed_states.iter().any(|missed| is_for_twist(missed.figure)),
            gate: Gate::after(scenario, driver, fitted, &after.counts, &adjusters),
            adjusters,
            stops: stops(scenario, driver, fitted, after, &changes),
            changes,
            kart: Kart::new(scenario, after),
            now: Kart::new(scenario, &Measured::new(scenario, driver, fitted.clone())),
            margin: Margin::new(scenario, driver, &after.counts, after.worth.total),
            mounts: mounts(scenario, after),
            assumptions: assumed::of_plan(scenario, driver),
            missed: misses(after),
            in_the_way: in_the_way(scenario, solved, divisible.as_ref()),
            divisible: divisible.map(|divisible| Divisible {
                outside: kg(divisible.outside_kg),
                outside_with_pieces: kg(after.worth.outside_kg),
                close: kg(divisible.close_kg),
                close_with_pieces: kg(after.worth.close_kg),
                counts_as_met: scenario.preferences().targets.into(),
                lead: std::iter::zip(scenario.mounts(), &divisible.lead_kg)
                    .map(|(mount, mass)| DividedLead { mount: mount.name.clone(), mass: kg(*mass) })
                    .collect(),
            }),
            binds: bindings(scenario, solved),
            nodes: solved.nodes,
        }
    }

    /// What can be said of all targets together.
    pub fn verdict(&self) -> Verdict {
        verdict(&self.kart.residuals)
    }
}

impl GoalFound {
    /// As solved.
    pub fn new(result: &GoalResult) -> GoalFound {
        let GoalResult { goal, value, bound, held_at, resolution, proved, .. } = *result;
        let number = |ng: i64| match goal {
            Goal::Work => GoalValue::Count(ng),
            _ => GoalValue::Kg(Mass::from_ng(ng).kg().rounded(Kg::STEPS)),
        };
        GoalFound {
            name: goal,
            unit: goal.unit(),
            value: number(value),
            bound: number(bound),
            held_at: number(held_at),
            resolution: number(resolution),
            proved: proved == Proof::Proved,
        }
    }
}

/// A plan with what would help it, or its absence with what would cure that.
pub fn explained(
    scenario: &Scenario,
    driver: Option<usize>,
    only: Option<&Freedom>,
    most_alternatives: usize,
    patience: Patience,
) -> Result<(Plan, Answer), Disagreement> {
    let answer = match only {
        None => solve::solve(scenario, driver, patience)?,
        Some(freedom) => solve::solve_within(scenario, driver, freedom, patience)?,
    };
    let mut plan = Plan::new(scenario, driver, &answer);
    match &answer {
        Answer::Plan(solved) => {
            // What is asked for by name has the first claim on the time.
            if most_alternatives > 0 {
                let found = tasks::alternatives::alternatives(
                    scenario,
                    driver,
                    solved,
                    most_alternatives,
                    patience.silent(),
                )?;
                plan.alternatives = Some(Alternatives::new(scenario, &found));
            }
            // What would help is asked of the whole kart; who wants only a part of it changed has said what is off the table.
            if only.is_none() {
                let found = help::would_help(scenario, driver, solved, patience.silent())?;
                plan.would_help = helps(scenario, solved.plan.measured(), &found);
                plan.unsettled = eased(scenario, &found.unsettled);
            }
        }
        Answer::NoLegalPlan(_) if only.is_none() => {
            let found = help::remedies(scenario, driver, patience.silent())?;
            plan.remedies = Some(remedies(scenario, &found));
            plan.unsettled = eased(scenario, &found.unsettled);
        }
        Answer::NoLegalPlan(_) | Answer::OutOfTime => {}
    }
    Ok((plan, answer))
}
