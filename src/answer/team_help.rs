//! Who costs the others of a team what, and what would help.

use schemars::JsonSchema;
use serde::Serialize;

use super::help::Eased;
use crate::decimals::counted;
use crate::goal::Goal;
use crate::marks::{Amount, plain};
use crate::quantity::{Exact, Kg, kg};
use crate::scenario::Scenario;
use crate::tasks::team_help::{self, Reached};

/// How drivers stand on a set-up.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Standing {
    /// The most that one of them carries beyond the lightest alone.
    pub most_above_own_minimum: Exact<Kg>,
    /// Of whoever is farthest outside.
    pub outside_tolerances: Exact<Kg>,
    /// Drivers who are not on every target.
    pub drivers_off_target: usize,
    /// Over all stops.
    pub changes: i64,
    /// Stops over which they are counted.
    pub stops: usize,
    /// Whether it was proved to be the best.
    pub proved: bool,
}

/// The others without one driver.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Cost {
    /// Who is left out.
    pub driver: String,
    /// The others with everybody there; none if there is no set-up.
    pub with: Option<Standing>,
    /// The others alone; none if there is no set-up for them either, or if it is not known.
    pub without: Option<Standing>,
    /// `set-up`, `no set-up` or `not known`.
    pub outcome: &'static str,
    /// Proved: one of the others carries at least so much more than alone with this driver there; none if they do not.
    pub at_least_above_own_minimum: Option<Exact<Kg>>,
    /// Whether the others are better off without, or can only then be legal.
    pub is_in_the_way: bool,
    /// The same in words.
    pub sentence: String,
}

/// What one easing does for the team.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TeamHelp {
    /// What is eased.
    #[serde(flatten)]
    pub easing: Eased,
    /// The goal that gains; none where any set-up is a gain.
    pub goal: Option<Goal>,
    /// None if there is no set-up.
    pub before: Option<Standing>,
    /// With what is eased.
    pub after: Standing,
    /// What is gained, in words.
    pub gains: String,
}

impl Standing {
    fn new(standing: &team_help::Standing) -> Standing {
        Standing {
            most_above_own_minimum: kg(standing.beyond_kg),
            outside_tolerances: kg(standing.outside_kg),
            drivers_off_target: standing.off_target,
            changes: standing.changes,
            stops: standing.stops,
            proved: standing.proved,
        }
    }

    fn beyond(&self) -> Amount {
        plain(self.most_above_own_minimum)
    }

    fn outside(&self) -> Amount {
        plain(self.outside_tolerances)
    }

    /// `at most 0.4 kg more than alone, everybody on every target, 4 changes`.
    fn words(&self) -> String {
        let tolerances = match self.drivers_off_target {
            0 => "everybody on every target".to_owned(),
            _ => format!("{} outside the tolerances", self.outside()),
        };
        format!("at most {} more than alone, {tolerances}, {}", self.beyond(), self.work())
    }

    fn work(&self) -> String {
        counted(self.changes, "change")
    }
}

impl Cost {
    /// Of one driver who was left out.
    pub fn new(scenario: &Scenario, cost: &team_help::Cost) -> Cost {
        let name = |driver: usize| scenario.drivers()[driver].name.clone();
        let driver = name(cost.driver);
        let with = cost.with.as_ref().map(Standing::new);
        let (outcome, without) = match &cost.without {
            Reached::Setup(standing) => ("set-up", Some(Standing::new(standing))),
            Reached::NotEvenAlone { .. } | Reached::NoCommonBase => ("no set-up", None),
            Reached::Unsettled => ("not known", None),
        };
        let goal = cost.goal(scenario.preferences().spare.kg());
        let least = cost.least_beyond_kg.map(kg);
        let sentence = match (&cost.without, &with, &without) {
            (Reached::NotEvenAlone { driver: other }, ..) => {
                format!(
                    "without {driver} there is no set-up either: {} cannot be legal even alone",
                    name(*other)
                )
            }
            (Reached::NoCommonBase, ..) => {
                format!("without {driver} no base serves the others either")
            }
            (_, None, Some(without)) => {
                format!("without {driver} the others have a set-up: {}", without.words())
            }
            (_, Some(with), Some(without)) if goal == Some(Goal::Legal) => format!(
                "{driver} makes the others heavier: one of them carries {} more than alone here, and at least {} \
                 whatever is done; without {driver} {}",
                with.beyond(),
                least.map_or_else(|| with.beyond(), plain),
                without.beyond()
            ),
            (_, Some(with), Some(without)) if goal == Some(Goal::Targets) => format!(
                "{driver} takes the others off balance: {} outside the tolerances, without {driver} {}",
                with.outside(),
                without.outside()
            ),
            (_, Some(_), Some(_)) => format!("{driver} costs the others nothing"),
            (_, _, None) => format!("without {driver} it was not solved to the end"),
        };
        let is_in_the_way = goal.is_some() || cost.is_in_the_way();
        let at_least_above_own_minimum = least;
        Cost { driver, with, without, outcome, at_least_above_own_minimum, is_in_the_way, sentence }
    }
}

impl TeamHelp {
    /// Of one easing.
    pub fn new(scenario: &Scenario, help: &team_help::TeamHelp) -> TeamHelp {
        let before = help.before.as_ref().map(Standing::new);
        let after = Standing::new(&help.after);
        let gains = match (&before, help.goal) {
            (Some(before), Some(Goal::Legal)) => {
                format!("at most {} more than alone instead of {}", after.beyond(), before.beyond())
            }
            (Some(_), _) if after.drivers_off_target == 0 => "everybody on every target".to_owned(),
            (Some(before), _) => {
                format!("{} outside the tolerances instead of {}", after.outside(), before.outside())
            }
            (None, _) => format!("a set-up for everybody, {}", after.words()),
        };
        let gains = match &before {
            Some(before) if before.changes != after.changes => {
                format!("{gains}; {} instead of {}", after.work(), before.changes)
            }
            _ => gains,
        };
        TeamHelp { easing: Eased::new(scenario, help.easing), goal: help.goal, before, after, gains }
    }
}
