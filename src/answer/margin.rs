//! The margin at inspection: minimum, margin, chance to pass, and what stands between the plan and the officials' scale.

use schemars::JsonSchema;
use serde::Serialize;

use crate::counts::Counts;
use crate::inspection;
use crate::quantity::{Exact, Kg, Percent, Quantity, kg, percent};
use crate::scenario::{Margin as Kind, Moment, Scenario};
use crate::uncertainty::{COVERAGE_FACTOR, inputs};
use crate::units::Mass;

/// What the officials want to see.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Required {
    /// The class minimum.
    pub minimum: Exact<Kg>,
    /// Added to it.
    pub margin: Exact<Kg>,
    /// So much less than without the officials' own reading; none if there is none.
    pub spared: Option<Exact<Kg>>,
    /// Both together.
    pub required: Exact<Kg>,
    /// With which fuel they weigh.
    pub weighed_at: Moment,
    /// The chance that the margin was computed for; none if the file fixes the margin.
    pub wanted_chance: Option<Exact<Percent>>,
}

impl Required {
    /// Of the class of a scenario, for a driver.
    pub fn new(scenario: &Scenario, driver: Option<usize>) -> Required {
        let class = scenario.class();
        let margin = inspection::margin(scenario, driver);
        Required {
            minimum: class.minimum.into(),
            margin: margin.into(),
            spared: inputs::weighing_of(scenario, driver)
                .as_official
                .then(|| (inspection::margin(&scenario.as_read(), driver) - margin).into()),
            required: (class.minimum + margin).into(),
            weighed_at: class.weighed_at,
            wanted_chance: match class.margin {
                Kind::Fixed(_) => None,
                Kind::Confidence { percent: chance, .. } => Some(percent(chance)),
            },
        }
    }
}

/// What is wanted, and how a kart stands to it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Margin {
    /// What the officials want.
    #[serde(flatten)]
    pub wanted: Required,
    /// Above (positive) what is wanted; as that is a rule, all that is unsure is the total.
    pub above_required: Quantity<Kg>,
    /// Chance to pass.
    pub chance: Exact<Percent>,
    /// What would make it better, where it is not good.
    pub better: Option<Better>,
    /// What the chance rests on.
    pub budget: Budget,
}

/// More weight, and the chance to pass with it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Better {
    /// On the kart when the officials weigh it.
    pub more: Exact<Kg>,
    /// Chance to pass.
    pub chance: Exact<Percent>,
}

/// A chance to pass below this is not good; what is said to make it better makes it that good.
const GOOD_CHANCE: f64 = 0.95;
const BETTER_CHANCE: f64 = 0.99;

/// What is lost between one's own bookkeeping and the officials' scale.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Budget {
    /// Line by line.
    pub lines: Vec<BudgetLine>,
    /// All of them together.
    pub loss: Quantity<Kg>,
}

/// One line of a budget.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BudgetLine {
    /// What it is for.
    pub what: &'static str,
    /// What is lost on average.
    pub loss: Quantity<Kg>,
}

/// The ± of a total as the officials weigh it, by one's own bookkeeping.
pub fn total_sure(scenario: &Scenario, driver: Option<usize>, counts: &Counts) -> Exact<Kg> {
    kg(COVERAGE_FACTOR * inspection::unsure_total(scenario, driver, counts))
}

impl Margin {
    /// Of a kart that weighs `total` by one's own bookkeeping, with that lead on the mounts.
    pub fn new(scenario: &Scenario, driver: Option<usize>, counts: &Counts, total: Mass) -> Margin {
        let found = inspection::Budget::of_plan(scenario, driver, counts);
        let loss = |loss_kg, standard_kg: f64| Quantity::new(Kg, loss_kg, COVERAGE_FACTOR * standard_kg);
        let lines = found
            .lines
            .iter()
            .map(|line| BudgetLine { what: line.what, loss: loss(line.loss_kg, line.standard_kg) });
        let minimum = scenario.class().minimum;
        let (now, then) = (found.chance(total, minimum), found.margin(BETTER_CHANCE, scenario.units()));
        let better = (now < GOOD_CHANCE).then(|| Better {
            more: (minimum + then - total).into(),
            chance: percent(100.0 * BETTER_CHANCE),
        });
        let above = Exact::from(total - inspection::required(scenario, driver));
        Margin {
            wanted: Required::new(scenario, driver),
            above_required: above.known_to(total_sure(scenario, driver, counts)),
            chance: percent(100.0 * now),
            better,
            budget: Budget { lines: lines.collect(), loss: loss(found.loss_kg, found.standard_kg) },
        }
    }
}
