//! Who costs the others of a team what, and what would help, as lines.
//! Takes what the task has solved; gives numbers for documents and sentences for people.
//! Does not solve, and does not choose what is worth telling.

use super::amount::{Screen, Weight};
use super::help::{EasingLine, HelpLines, changes};
use crate::goal::Goal;
use crate::scenario::Scenario;
use crate::tasks::team_help::{Cost, Reached, Standing, TeamHelp, TeamHelps};

/// How drivers stand on a set-up.
#[derive(Clone, Debug, PartialEq)]
pub struct StandingLine {
    /// The most that one of them carries beyond the lightest alone.
    pub beyond: Weight,
    /// Outside the bands of whoever is farthest outside.
    pub outside: Weight,
    /// Drivers who are not in every band.
    pub out_of_band: usize,
    /// Changes over all stops.
    pub changes: i64,
    /// Stops over which they are counted.
    pub stops: usize,
    /// Whether it was proved to be the best.
    pub proved: bool,
}

/// The others without one driver.
#[derive(Clone, Debug, PartialEq)]
pub struct CostLine {
    /// Who is left out.
    pub driver: String,
    /// The others with everybody there; none if there is no set-up.
    pub with: Option<StandingLine>,
    /// The others alone; none if there is no set-up for them either, or if it is not known.
    pub without: Option<StandingLine>,
    /// `set-up`, `no set-up` or `not known`.
    pub outcome: &'static str,
    /// Proved: one of the others carries at least so much more than alone with this driver there; none if they do not.
    pub least_beyond: Option<Weight>,
    /// Whether the others are better off without, or can only then be legal.
    pub is_in_the_way: bool,
    /// The same in words.
    pub words: String,
}

/// What one easing does for the team.
#[derive(Clone, Debug, PartialEq)]
pub struct TeamHelpLine {
    /// What is eased.
    pub easing: EasingLine,
    /// The goal that gains; none where any set-up is a gain.
    pub goal: Option<Goal>,
    /// Before; none if there is no set-up.
    pub before: Option<StandingLine>,
    /// After.
    pub after: StandingLine,
    /// What is gained, in words.
    pub gains: String,
}

/// Who costs what, and what would help.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TeamHelpLines {
    /// One entry per driver who was left out.
    pub costs: Vec<CostLine>,
    /// What is worth it, best first.
    pub lines: Vec<TeamHelpLine>,
    /// Where somebody cannot be legal even alone: what would cure that.
    pub alone: Option<HelpLines>,
    /// Easings whose solve was stopped.
    pub unsettled: Vec<EasingLine>,
}

impl TeamHelpLines {
    /// From what the task has solved.
    pub fn new(screen: Screen, scenario: &Scenario, helps: &TeamHelps) -> TeamHelpLines {
        TeamHelpLines {
            costs: helps.costs.iter().map(|cost| CostLine::new(screen, scenario, cost)).collect(),
            lines: helps.worth.iter().map(|help| TeamHelpLine::new(screen, scenario, help)).collect(),
            alone: helps.alone.as_ref().map(|cures| HelpLines::of_remedies(screen, scenario, cures)),
            unsettled: helps
                .unsettled
                .iter()
                .map(|easing| EasingLine::new(screen, scenario, *easing))
                .collect(),
        }
    }

    /// Who is in the way, or that nobody is; nothing where nobody could be left out.
    pub fn who(&self) -> Vec<String> {
        let told = |line: &&CostLine| line.is_in_the_way || line.outcome == "not known";
        let words: Vec<String> = self.costs.iter().filter(told).map(|line| line.words.clone()).collect();
        match (self.costs.as_slice(), words.is_empty()) {
            ([], _) | (_, false) => words,
            ([one], true) => vec![one.words.clone()],
            (_, true) if self.costs.iter().all(|line| line.with.is_some()) => {
                vec!["nobody alone: leaving out any one driver leaves the others where they are".to_owned()]
            }
            (_, true) => {
                vec![
                    "nobody alone: leaving out any one driver still leaves no set-up for the others"
                        .to_owned(),
                ]
            }
        }
    }

    /// What would help, best first; where somebody cannot be legal alone, what would make that possible.
    pub fn would_help(&self) -> Vec<String> {
        if let Some(cures) = &self.alone {
            return cures.would_cure();
        }
        let told = self.lines.iter().map(|line| format!("{}: {}", line.easing.words, line.gains));
        let mut told: Vec<String> = told.collect();
        if told.is_empty() && self.unsettled.is_empty() {
            told.push(
                "nothing alone: no bigger insert, no seat further forward or back, no mount or piece changed \
                 with pins, no piece more"
                    .to_owned(),
            );
        }
        told.extend(match self.unsettled.as_slice() {
            [] => None,
            [one] => Some(format!("not solved to the end: {}", one.words)),
            several => Some(format!(
                "{} more things were not solved to the end; a longer `--time` may",
                several.len()
            )),
        });
        told
    }
}

impl StandingLine {
    fn new(screen: Screen, standing: &Standing) -> StandingLine {
        StandingLine {
            beyond: screen.plain(standing.beyond_kg),
            outside: screen.plain(standing.outside_kg),
            out_of_band: standing.out_of_band,
            changes: standing.changes,
            stops: standing.stops,
            proved: standing.proved,
        }
    }

    /// `at most 0.4 kg more than alone, everybody in every band, 4 changes`.
    fn words(&self) -> String {
        let bands = match self.out_of_band {
            0 => "everybody in every band".to_owned(),
            _ => format!("{} outside the bands", self.outside),
        };
        format!("at most {} more than alone, {bands}, {}", self.beyond, self.work())
    }

    fn work(&self) -> String {
        changes(u32::try_from(self.changes).unwrap_or(u32::MAX))
    }
}

impl CostLine {
    fn new(screen: Screen, scenario: &Scenario, cost: &Cost) -> CostLine {
        let name = |driver: usize| scenario.drivers()[driver].name.clone();
        let driver = name(cost.driver);
        let with = cost.with.as_ref().map(|standing| StandingLine::new(screen, standing));
        let (outcome, without) = match &cost.without {
            Reached::Setup(standing) => ("set-up", Some(StandingLine::new(screen, standing))),
            Reached::NotEvenAlone { .. } | Reached::NoCommonBase => ("no set-up", None),
            Reached::Unsettled => ("not known", None),
        };
        let goal = cost.goal(scenario.preferences().spare.kg());
        let least_beyond = cost.least_beyond_kg.map(|kg| screen.plain(kg));
        let words = match (&cost.without, &with, &without) {
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
                with.beyond,
                least_beyond.as_ref().unwrap_or(&with.beyond),
                without.beyond
            ),
            (_, Some(with), Some(without)) if goal == Some(Goal::Band) => format!(
                "{driver} takes the others off balance: {} outside the bands, without {driver} {}",
                with.outside, without.outside
            ),
            (_, Some(_), Some(_)) => format!("{driver} costs the others nothing"),
            (_, _, None) => format!("without {driver} it was not solved to the end"),
        };
        let is_in_the_way = goal.is_some() || cost.is_in_the_way();
        CostLine { driver, with, without, outcome, least_beyond, is_in_the_way, words }
    }
}

impl TeamHelpLine {
    fn new(screen: Screen, scenario: &Scenario, help: &TeamHelp) -> TeamHelpLine {
        let before = help.before.as_ref().map(|standing| StandingLine::new(screen, standing));
        let after = StandingLine::new(screen, &help.after);
        let gains = match (&before, help.goal) {
            (Some(before), Some(Goal::Legal)) => {
                format!("at most {} more than alone instead of {}", after.beyond, before.beyond)
            }
            (Some(_), _) if after.out_of_band == 0 => "everybody in every band".to_owned(),
            (Some(before), _) => format!("{} outside the bands instead of {}", after.outside, before.outside),
            (None, _) => format!("a set-up for everybody, {}", after.words()),
        };
        let gains = match &before {
            Some(before) if before.changes != after.changes => {
                format!("{gains}; {} instead of {}", after.work(), before.changes)
            }
            _ => gains,
        };
        TeamHelpLine {
            easing: EasingLine::new(screen, scenario, help.easing),
            goal: help.goal,
            before,
            after,
            gains,
        }
    }
}
