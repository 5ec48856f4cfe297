//! What a plan does to the adjusters: how each is set now, how it is planned, what that takes.
//! Takes the scenario and the plan; gives lines for all adjusters, those that change first in the job list.
//! Does not lay anything out.

use crate::plan::Measured;
use crate::scenario::{Lever, Scenario};

/// One adjuster.
#[derive(Clone, Debug, PartialEq)]
pub struct SettingLine {
    /// Its name.
    pub adjuster: String,
    /// How it is set now.
    pub now: String,
    /// How it is planned.
    pub planned: String,
    /// Changes that it takes.
    pub changes: u32,
    /// Whether it moves washers at a spindle, after which the alignment is another.
    pub moves_washers: bool,
}

impl SettingLine {
    /// Whether anything is to be done.
    pub fn is_job(&self) -> bool {
        self.now != self.planned
    }
}

/// Lines for all adjusters, in the order of the scenario.
pub(super) fn setting_lines(scenario: &Scenario, after: &Measured) -> Vec<SettingLine> {
    let adjusters = scenario.adjusters().iter().enumerate();
    let lines = adjusters.map(|(index, adjuster)| {
        let planned = after.counts.setting(index, adjuster.now);
        SettingLine {
            adjuster: adjuster.name.clone(),
            now: adjuster.settings[adjuster.now].name.clone(),
            planned: adjuster.settings[planned].name.clone(),
            changes: adjuster.changes(adjuster.now, planned),
            moves_washers: matches!(adjuster.lever, Lever::Spindle { .. }) && planned != adjuster.now,
        }
    });
    lines.collect()
}
