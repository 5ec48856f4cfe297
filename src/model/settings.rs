//! Adjusters as numbers: what each setting costs, and what it adds to every target.

use std::borrow::Cow;

use super::{Cell, Ends, Model, StateRow, TargetRow};
use crate::scenario::{Cost, Freedom, Lever, Moment, Scenario, Shift, Target};
use crate::statics::Corners;
use crate::units::Mass;
use crate::weighing;

#[derive(Clone, Debug)]
pub struct AdjusterRow {
    /// Its setting now, as an index.
    pub now: usize,
    /// Whether a plan may set it otherwise.
    pub is_free: bool,
    pub settings: Vec<SettingRow>,
}

impl AdjusterRow {
    /// Whether pieces in this cell, `kind * mounts + mount`, ride on it.
    pub fn carries(&self, cell: usize) -> bool {
        self.settings.iter().any(|setting| setting.gains_ng.iter().any(|gains| gains[cell] != 0))
    }
}

/// One setting of an adjuster, against its setting now.
#[derive(Clone, Debug)]
pub struct SettingRow {
    /// Changes that it takes.
    pub work: i64,
    /// What it adds to `r`, ng: by target, then by state where the target counts.
    pub adds_ng: Vec<Vec<i64>>,
    /// What it adds to gains, ng: by target, then by `kind * mounts + mount`; empty if it changes none.
    pub gains_ng: Vec<Vec<i64>>,
}

impl Model {
    /// Targets when the adjusters are set so; those of now if no settings are given.
    pub fn targets_at(&self, settings: &[u16]) -> Cow<'_, [TargetRow]> {
        if self.others(settings).next().is_none() {
            return Cow::Borrowed(&self.targets);
        }
        let mut targets = self.targets.clone();
        for setting in self.others(settings) {
            for (target, row) in targets.iter_mut().enumerate() {
                for (state, add_ng) in row.states.iter_mut().zip(&setting.adds_ng[target]) {
                    state.value_ng += add_ng;
                }
                for (gain_ng, add_ng) in
                    row.gain_ng.iter_mut().zip(setting.gains_ng.get(target).into_iter().flatten())
                {
                    *gain_ng += add_ng;
                }
            }
        }
        for target in &mut targets {
            target.ends = Ends::of(target.states.iter().copied());
        }
        Cow::Owned(targets)
    }

    /// What the states of each target leave of it when the adjusters are set so: all that a setting changes but gains.
    pub fn ends_at(&self, settings: &[u16]) -> Vec<Ends> {
        if self.others(settings).next().is_none() {
            return self.targets.iter().map(|row| row.ends).collect();
        }
        let ends = |(target, row): (usize, &TargetRow)| {
            Ends::of(row.states.iter().enumerate().map(|(state, at_now)| {
                let adds_ng: i64 = self.others(settings).map(|setting| setting.adds_ng[target][state]).sum();
                StateRow { value_ng: at_now.value_ng + adds_ng, ..*at_now }
            }))
        };
        self.targets.iter().enumerate().map(ends).collect()
    }

    /// The settings that are not those of now.
    fn others<'m>(&'m self, settings: &'m [u16]) -> impl Iterator<Item = &'m SettingRow> {
        let rows = self.adjusters.iter().zip(settings);
        rows.filter(|(row, setting)| row.now != **setting as usize)
            .map(|(row, setting)| &row.settings[*setting as usize])
    }

    /// The same program with less left to decide. What is fitted against a rule stays as well: whoever may not change lead has
    /// asked before whether it can.
    #[must_use]
    pub fn restricted(mut self, freedom: &Freedom) -> Model {
        if !freedom.lead {
            let mounts = self.mounts.len();
            for (index, cell) in self.cells.iter_mut().enumerate() {
                *cell = Cell::Locked(self.fitted.get(index / mounts, index % mounts));
            }
        }
        for (row, free) in self.adjusters.iter_mut().zip(&freedom.adjusters) {
            row.is_free = *free;
        }
        self
    }

    /// The same program with the targets of these settings.
    #[must_use]
    pub fn set_so(&self, settings: &[u16]) -> Model {
        Model { targets: self.targets_at(settings).into_owned(), ..self.clone() }
    }

    /// Changes that it takes to set the adjusters so; none if no settings are given.
    pub fn work_of(&self, settings: &[u16]) -> i64 {
        let rows = self.adjusters.iter().zip(settings);
        rows.map(|(row, setting)| row.settings[*setting as usize].work).sum()
    }
}

/// States the adjusters of a scenario for one driver.
pub(super) fn rows(scenario: &Scenario, driver: Option<usize>) -> Vec<AdjusterRow> {
    (0..scenario.adjusters().len()).map(|adjuster| row(scenario, driver, adjuster)).collect()
}

fn row(scenario: &Scenario, driver: Option<usize>, index: usize) -> AdjusterRow {
    let adjuster = &scenario.adjusters()[index];
    let setting = |setting: usize| {
        let steps = adjuster.settings[setting].steps - adjuster.settings[adjuster.now].steps;
        // Rounded once a step, so that settings of equal effect have equal numbers.
        let steps =
            if matches!(adjuster.cost, Cost::PerStep(_)) && steps != 0 { i64::from(steps) } else { 1 };
        let adds_ng = |target: &Target| -> Vec<i64> {
            let counted = Moment::ALL.into_iter().filter(|moment| target.when.includes(*moment));
            counted
                .map(|moment| {
                    let fuel: Vec<Mass> = scenario.tanks().iter().map(|tank| tank.fuel(moment)).collect();
                    let effect = weighing::effect(scenario, driver, &fuel, index, setting);
                    // An adjuster adds no mass, so a share of the total stays what it is.
                    let step_kg = target.figure.kg(&effect) / steps as f64;
                    (step_kg * 1e12 * target.weight).round() as i64 * steps
                })
                .collect()
        };
        SettingRow {
            work: i64::from(adjuster.changes(adjuster.now, setting)),
            adds_ng: scenario.targets().iter().map(adds_ng).collect(),
            gains_ng: added_gains(scenario, index, setting),
        }
    };
    let settings = (0..adjuster.settings.len()).map(setting).collect();
    AdjusterRow { now: adjuster.now, is_free: true, settings }
}

/// What moving the seat adds to the gains of the mounts that ride on it.
fn added_gains(scenario: &Scenario, adjuster: usize, setting: usize) -> Vec<Vec<i64>> {
    let adjuster = &scenario.adjusters()[adjuster];
    let shift = adjuster.settings[setting].shift;
    let moved: Vec<(Corners, Corners)> = scenario
        .mounts()
        .iter()
        .enumerate()
        .map(|(index, _)| {
            let at = |shift: Shift| weighing::mount_influence(scenario, index, shift);
            (at(Shift::default()), at(shift))
        })
        .collect();
    if adjuster.lever != Lever::Seat || setting == adjuster.now || moved.iter().all(|(now, then)| now == then)
    {
        return Vec::new();
    }
    let gains = |target: &Target| {
        let share = target.aim.line().share;
        let rounded = |influence: &Corners, mass_kg: f64| {
            ((target.figure.kg(influence) - share) * mass_kg * 1e12 * target.weight).round() as i64
        };
        let kinds = scenario.lead().iter().map(|kind| kind.mass.kg());
        kinds
            .flat_map(|mass_kg| moved.iter().map(move |(now, then)| (now, then, mass_kg)))
            .map(|(now, then, mass_kg)| rounded(then, mass_kg) - rounded(now, mass_kg))
            .collect()
    };
    scenario.targets().iter().map(gains).collect()
}
