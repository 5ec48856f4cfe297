//! A look at the pads between two jobs, as data.

use schemars::JsonSchema;
use serde::Serialize;

use super::work::Setting;
use crate::counts::Counts;
use crate::quantity::{Exact, Kg, Minutes, Percent, kg, minutes, percent};
use crate::scenario::{Scenario, usual};
use crate::tasks::gate;

/// Within what the pads must read once seat and washers are moved and before any lead is: at least 95 of 100 karts on which that
/// was done right do. The pads stand as they stood at the weighing, and the fuel is as it was.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Gate {
    /// On all pads.
    pub total_least: Exact<Kg>,
    /// The same.
    pub total_most: Exact<Kg>,
    /// Of the total.
    pub front_least: Exact<Percent>,
    /// The same.
    pub front_most: Exact<Percent>,
    /// Of the total.
    pub left_least: Exact<Percent>,
    /// The same.
    pub left_most: Exact<Percent>,
    /// RF + LR of the total.
    pub cross_least: Exact<Percent>,
    /// The same.
    pub cross_most: Exact<Percent>,
    /// Time that it takes.
    pub time: Exact<Minutes>,
}

impl Gate {
    /// After the settings of that list, which come before the lead; none if none of them asks for it.
    pub fn after(
        scenario: &Scenario,
        driver: Option<usize>,
        before: &Counts,
        after: &Counts,
        settings: &[Setting],
    ) -> Option<Gate> {
        if !settings.iter().any(Setting::is_to_be_weighed) {
            return None;
        }
        let found =
            gate::Gate::new(scenario, driver, before, &before.clone().with_settings(after.settings()));
        let [total_least, front_least, left_least, cross_least] = found.least;
        let [total_most, front_most, left_most, cross_most] = found.most;
        Some(Gate {
            total_least: kg(total_least),
            total_most: kg(total_most),
            front_least: percent(front_least),
            front_most: percent(front_most),
            left_least: percent(left_least),
            left_most: percent(left_most),
            cross_least: percent(cross_least),
            cross_most: percent(cross_most),
            time: minutes(usual::WEIGHING),
        })
    }
}
