//! Adjusters among rows and columns: which setting is chosen, and what rides on it.

use super::{Fixed, Linear, ONE, Quantity};
use crate::model::Model;

/// Columns of the settings: one that is 1 for the setting chosen, and the pieces that move with it.
pub(super) struct Settings {
    /// By adjuster and setting.
    chosen: Vec<Vec<usize>>,
    /// Pieces in one cell while an adjuster is at one of its settings: adjuster, setting, cell, column.
    moved: Vec<(usize, usize, usize, usize)>,
}

impl Linear {
    /// Of every adjuster exactly one setting is chosen. Where a setting changes the gain of a cell, the pieces in that cell
    /// are counted once for each setting, and all but those of the chosen one are zero: the product of two unknowns, made
    /// linear.
    pub(super) fn add_settings(&mut self, model: &Model, pieces: &[usize]) -> Settings {
        let mut settings = Settings { chosen: Vec::new(), moved: Vec::new() };
        for (k, adjuster) in model.adjusters.iter().enumerate() {
            let chosen: Vec<usize> = (0..adjuster.settings.len())
                .map(|s| {
                    let most = if adjuster.is_free || s == adjuster.now { ONE } else { 0 };
                    self.add_column(Quantity::Chosen { adjuster: k, setting: s }, 0, Some(most), true)
                })
                .collect();
            let terms: Vec<(usize, Fixed)> = chosen.iter().map(|column| (*column, ONE)).collect();
            self.at_most(format!("setting_a{k}_most"), terms.clone(), ONE);
            self.at_least(format!("setting_a{k}_least"), terms, ONE);
            for (cell, column) in pieces.iter().enumerate() {
                if !adjuster.carries(cell) {
                    continue;
                }
                let most = i64::from(model.kinds[cell / model.mounts.len()].count) * ONE;
                let mut all = vec![(*column, -ONE)];
                for (s, chosen) in chosen.iter().enumerate() {
                    let (kind, mount) = (cell / model.mounts.len(), cell % model.mounts.len());
                    let quantity = Quantity::Riding { kind, mount, adjuster: k, setting: s };
                    let moved = self.add_column(quantity, 0, Some(most), true);
                    all.push((moved, ONE));
                    let only_then = vec![(moved, ONE), (*chosen, -most)];
                    self.at_most(format!("riding_{quantity}"), only_then, 0);
                    settings.moved.push((k, s, cell, moved));
                }
                self.at_most(
                    format!("riding_k{}_m{}_most", cell / model.mounts.len(), cell % model.mounts.len()),
                    all.clone(),
                    0,
                );
                self.at_least(
                    format!("riding_k{}_m{}_least", cell / model.mounts.len(), cell % model.mounts.len()),
                    all,
                    0,
                );
            }
            settings.chosen.push(chosen);
        }
        settings
    }
}

impl Settings {
    /// What the settings add to one side of a target in a state.
    pub(super) fn terms(
        &self,
        model: &Model,
        target: usize,
        state: Option<usize>,
        sign: Fixed,
    ) -> Vec<(usize, Fixed)> {
        let Some(state) = state else { return Vec::new() };
        let row = |k: usize, s: usize| &model.adjusters[k].settings[s];
        let chosen = self.chosen.iter().enumerate().flat_map(|(k, columns)| {
            columns
                .iter()
                .enumerate()
                .map(move |(s, column)| (*column, sign * row(k, s).adds_ng[target][state]))
        });
        let moved = self.moved.iter().filter_map(|(k, s, cell, column)| {
            Some((*column, sign * row(*k, *s).gains_ng.get(target)?[*cell]))
        });
        chosen.chain(moved).collect()
    }

    /// Changes of the settings chosen.
    pub(super) fn work(&self, model: &Model) -> Vec<(usize, Fixed)> {
        let rows = model.adjusters.iter().zip(&self.chosen);
        rows.flat_map(|(row, columns)| {
            columns.iter().zip(&row.settings).map(|(column, setting)| (*column, setting.work * ONE))
        })
        .collect()
    }
}
