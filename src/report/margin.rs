//! The margin at inspection as a report shows it: minimum, margin, budget line by line, chance to pass.
//! Takes the budget; gives numbers and words in the units of the screen.
//! Does not compute a margin itself.

use super::amount::{Screen, Weight, rounded_percent, trimmed};
use crate::counts::Counts;
use crate::inspection::{self, Budget};
use crate::scenario::{Margin, Moment, Scenario};
use crate::uncertainty::COVERAGE_FACTOR;
use crate::units::Mass;

/// What the officials want to see.
#[derive(Clone, Debug, PartialEq)]
pub struct Required {
    /// The class minimum.
    pub minimum: Weight,
    /// Added to it.
    pub margin: Weight,
    /// Both together.
    pub required: Weight,
    /// With which fuel they weigh.
    pub weighed_at: Moment,
    /// The chance that the margin was computed for, percent; none if the file fixes the margin.
    pub wanted_chance: Option<f64>,
}

impl Required {
    /// Of the class of a scenario, for a driver.
    pub fn new(screen: Screen, scenario: &Scenario, driver: Option<usize>) -> Required {
        let class = scenario.class();
        let margin = inspection::margin(scenario, driver);
        Required {
            minimum: screen.given(class.minimum),
            margin: screen.given(margin),
            required: screen.given(class.minimum + margin),
            weighed_at: class.weighed_at,
            wanted_chance: match class.margin {
                Margin::Fixed(_) => None,
                Margin::Confidence { percent, .. } => Some(percent),
            },
        }
    }

    /// `160.84 kg: 160 minimum + 0.84 margin`.
    pub fn sentence(&self) -> String {
        let why = match self.wanted_chance {
            Some(percent) => format!(" for {} %", trimmed(percent, 2)),
            None => String::new(),
        };
        format!("{}: {} minimum + {} margin{why}", self.required, self.minimum.number, self.margin.number)
    }
}

/// One line of the budget.
#[derive(Clone, Debug, PartialEq)]
pub struct BudgetLine {
    /// What it is for.
    pub what: &'static str,
    /// What is lost on average.
    pub loss: Weight,
    /// Its ±, at k = 2.
    pub unsure: Weight,
}

/// Chance to pass and what it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Passing {
    /// Chance to pass, percent.
    pub chance_percent: f64,
    /// The same as read on the screen.
    pub chance: String,
    /// Line by line.
    pub lines: Vec<BudgetLine>,
    /// What is lost on average.
    pub loss: Weight,
    /// The ± of all lines together, at k = 2.
    pub unsure: Weight,
    /// The ± of the kart's total by one's own bookkeeping, at k = 2: of those lines that are one's own.
    pub total_sure: Weight,
}

/// The ± of a total as the officials weigh it, by one's own bookkeeping.
pub(super) fn total_sure(
    screen: Screen,
    scenario: &Scenario,
    driver: Option<usize>,
    counts: &Counts,
) -> Weight {
    screen.column(COVERAGE_FACTOR * inspection::unsure_total(scenario, driver, counts))
}

impl Passing {
    /// Of a kart that weighs `total` by one's own bookkeeping, with that lead on the mounts.
    pub fn new(
        screen: Screen,
        scenario: &Scenario,
        driver: Option<usize>,
        counts: &Counts,
        total: Mass,
    ) -> Passing {
        let budget = Budget::of_plan(scenario, driver, counts);
        let chance_percent = 100.0 * budget.chance(total, scenario.class().minimum);
        let unsure = |standard_kg: f64| screen.column(COVERAGE_FACTOR * standard_kg);
        Passing {
            chance_percent: rounded_percent(chance_percent),
            chance: chance_words(chance_percent),
            lines: budget
                .lines
                .iter()
                .map(|line| BudgetLine {
                    what: line.reason.words(),
                    loss: screen.column(line.loss_kg),
                    unsure: unsure(line.standard_kg),
                })
                .collect(),
            loss: screen.column(budget.loss_kg),
            unsure: unsure(budget.standard_kg),
            total_sure: total_sure(screen, scenario, driver, counts),
        }
    }
}

/// `99.3 %`; nothing is ever called certain, nor impossible.
fn chance_words(percent: f64) -> String {
    match percent {
        high if high > 99.95 => "over 99.9 %".to_owned(),
        low if low < 0.05 => "under 0.1 %".to_owned(),
        middle => format!("{} %", trimmed(middle, 1)),
    }
}
