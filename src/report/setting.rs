//! What a plan does to the adjusters: how each is set now, how it is planned, what that takes.
//! Takes the scenario and the plan; gives lines for all adjusters, those that change first in the job list.
//! Does not lay anything out.

use crate::counts::Counts;
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
    /// Minutes that it takes.
    pub minutes: f64,
    /// Whether it moves washers at a spindle, after which the alignment is another.
    pub moves_washers: bool,
}

impl SettingLine {
    /// Whether anything is to be done.
    pub fn is_job(&self) -> bool {
        self.now != self.planned
    }
}

/// One adjuster: how it is set under every driver.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SettingsLine {
    /// Its name.
    pub adjuster: String,
    /// Whether it may be set in a stop.
    pub quick: bool,
    /// How it is set, by driver.
    pub set: Vec<String>,
}

/// All adjusters of a team's kart by driver; none if none of them may differ.
pub(super) fn settings_lines(scenario: &Scenario, drivers: &[&Measured]) -> Vec<SettingsLine> {
    let adjusters = scenario.adjusters();
    if !adjusters.iter().any(|adjuster| adjuster.quick) {
        return Vec::new();
    }
    let lines = adjusters.iter().enumerate().map(|(index, adjuster)| {
        let set = |measured: &&Measured| {
            adjuster.settings[measured.counts.setting(index, adjuster.now)].name.clone()
        };
        let set = drivers.iter().map(set).collect();
        SettingsLine { adjuster: adjuster.name.clone(), quick: adjuster.quick, set }
    });
    lines.collect()
}

/// Lines for all adjusters, in the order of the scenario, from how they are set now.
pub(super) fn setting_lines(scenario: &Scenario, after: &Measured) -> Vec<SettingLine> {
    // Counts without settings mean those of now.
    setting_lines_from(scenario, &Counts::none(0, 0), after)
}

/// The same from how other counts have them set.
pub(super) fn setting_lines_from(scenario: &Scenario, before: &Counts, after: &Measured) -> Vec<SettingLine> {
    let adjusters = scenario.adjusters().iter().enumerate();
    let lines = adjusters.map(|(index, adjuster)| {
        let now = before.setting(index, adjuster.now);
        let planned = after.counts.setting(index, adjuster.now);
        SettingLine {
            adjuster: adjuster.name.clone(),
            now: adjuster.settings[now].name.clone(),
            planned: adjuster.settings[planned].name.clone(),
            changes: adjuster.changes(now, planned),
            minutes: adjuster.minutes(now, planned),
            moves_washers: matches!(adjuster.lever, Lever::Spindle { .. }) && planned != now,
        }
    });
    lines.collect()
}
