//! Several drivers on one kart as plain data: a program for each, what may differ between them, which changes are counted.
//!
//! # Drivers are states
//!
//! A set-up is one table of counts per driver. In *slow* cells (mount or kind is not quick) the tables are equal; that and
//! what all drivers share of the quick cells is the *common* part. Lead acts alike under every driver, so for a given
//! varying part the drivers collapse into one program exactly as start and finish do: two numbers per target stand for all
//! of them (see `model`).
//!
//! # Goals
//!
//! | goal | value |
//! |---|---|
//! | legal, light | the most by which any driver's total exceeds that driver's own lightest legal one |
//! | targets | kilograms outside the tolerances, summed over the targets, of the worst driver; beyond what each misses alone |
//! | work | changes summed over the stops of the order |
//! | close | kilograms from the targets, each target at its worst driver and state |
//!
//! A driver whom no lead brings onto target even alone would otherwise allow every other driver the same miss for nothing;
//! so each miss is counted beyond what the plan for that driver alone leaves over. Where everybody can be on target alone,
//! that is nothing, and `targets` is the worst driver's own.

use super::TeamLimits;
use super::settings::Settings;
use crate::counts::Counts;
use crate::model::{Cell, Model};
use crate::scenario::Scenario;

/// Two drivers between whom the kart is changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Edge {
    /// The earlier one to appear, by position in the team.
    pub(super) earlier: usize,
    pub(super) later: usize,
    /// How often the order changes between them, either way.
    pub(super) times: i64,
}

/// A team on one kart.
#[derive(Clone, Debug)]
pub(super) struct Team {
    /// Drivers of the scenario in the order of their first stint.
    pub(super) drivers: Vec<usize>,
    /// The program of each; they differ only in what the drivers themselves weigh, and in what each misses alone.
    pub(super) models: Vec<Model>,
    /// The lightest legal total of each, alone on the kart, ng.
    pub(super) own_ng: Vec<i64>,
    /// Pairs that follow each other. The first `drivers − 1` lead to each driver's first stint: edge i to driver i + 1.
    pub(super) edges: Vec<Edge>,
    /// How the quick adjusters can be set.
    pub(super) settings: Settings,
    /// Cells that may differ between drivers, by `kind * mounts + mount`.
    quick: Vec<bool>,
}

/// What a set-up of the whole team is worth; see the module documentation.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TeamValues {
    /// The most that any driver carries beyond his own lightest legal total, ng.
    pub excess_ng: i64,
    /// Weighted kilograms outside the tolerances of the worst driver, beyond what he misses alone, ng.
    pub outside_ng: i64,
    /// Changes over the order.
    pub work: i64,
    /// Weighted kilograms from the targets, ng.
    pub close_ng: i64,
}

/// What one driver reaches alone.
#[derive(Clone, Debug)]
pub struct Alone {
    /// The lightest legal total that was proved possible or not proved impossible, ng.
    pub own_ng: i64,
    /// The plan for this driver alone.
    pub counts: Counts,
}

impl Team {
    /// The team of an order of stints; `alone` holds one entry per driver in the order of their first stint.
    pub(super) fn new(scenario: &Scenario, order: &[usize], alone: &[Alone]) -> Team {
        let drivers = first_stints(order);
        let mut models: Vec<Model> =
            drivers.iter().map(|driver| Model::new(scenario, Some(*driver))).collect();
        for (model, alone) in models.iter_mut().zip(alone) {
            forgive_what_is_missed_alone(model, &alone.counts);
            free_what_is_quick(model, scenario);
        }
        let settings = Settings::new(scenario, &models);
        let cells = models.first().map_or(&[][..], |model| &model.cells);
        let mounts = scenario.mounts().len();
        let quick = cells.iter().enumerate().map(|(cell, may)| {
            let (kind, mount) = (&scenario.lead()[cell / mounts], &scenario.mounts()[cell % mounts]);
            *may == Cell::Open && kind.quick && mount.quick
        });
        let quick = quick.collect();
        let edges = edges(order, &drivers);
        Team {
            quick,
            settings,
            models,
            own_ng: alone.iter().map(|alone| alone.own_ng).collect(),
            edges,
            drivers,
        }
    }

    /// Whether what is on a mount of this kind may differ between drivers.
    pub(super) fn is_quick(&self, kind: usize, mount: usize) -> bool {
        self.quick[kind * self.models[0].mounts.len() + mount]
    }

    /// How often the order changes drivers.
    pub(super) fn stops(&self) -> i64 {
        self.edges.iter().map(|edge| edge.times).sum()
    }

    /// The numbers that are the same for every driver: kinds, mounts, cells, gains, goals.
    pub(super) fn shared(&self) -> &Model {
        &self.models[0]
    }

    /// Lead that a driver needs at least, and may carry at most when `excess_ng` is allowed, ng.
    pub(super) fn lead_range_ng(&self, driver: usize, excess_ng: i64) -> (i64, i64) {
        let model = &self.models[driver];
        let most = self.own_ng[driver].saturating_add(excess_ng) - model.bare_ng;
        (model.required_ng - model.bare_ng, most.min(model.most_lead_ng))
    }

    /// The most that a driver's lead can add to the half-width of a target's tolerance, ng.
    pub(super) fn most_tau_ng(&self, driver: usize, target: usize, limits: &TeamLimits) -> i64 {
        most_tau_ng(&self.models[driver], target, self.lead_range_ng(driver, limits.excess_ng).1)
    }

    /// The values of a set-up, one table per driver, by the models' own arithmetic.
    pub(super) fn values(&self, setup: &[Counts]) -> TeamValues {
        let mut values = TeamValues { excess_ng: i64::MIN, outside_ng: 0, work: 0, close_ng: 0 };
        let targets = self.shared().targets.len();
        let mut close = vec![i64::MIN; targets];
        for ((model, own_ng), counts) in self.models.iter().zip(&self.own_ng).zip(setup) {
            let own = model.values(counts);
            values.excess_ng = values.excess_ng.max(own.mass_ng - own_ng);
            values.outside_ng = values.outside_ng.max(own.outside_ng);
            for (t, target) in model.targets_at(counts.settings()).iter().enumerate() {
                close[t] = target.close_ng(target.sums(counts).0).max(close[t]);
            }
        }
        values.close_ng = close.iter().sum();
        let work = |edge: &Edge| {
            let (one, other) = (&setup[edge.earlier], &setup[edge.later]);
            let settings = self.settings.work_between(one.settings(), other.settings());
            edge.times * (i64::from(one.changes_to(other)) + settings)
        };
        values.work = self.edges.iter().map(work).sum();
        values
    }
}

/// The most that so much lead can add to the half-width of a target's tolerance, ng.
pub(super) fn most_tau_ng(model: &Model, target: usize, most_lead_ng: i64) -> i64 {
    let kinds = model.targets[target].slack_ng.iter().zip(&model.kinds);
    let per_ng = kinds.map(|(slack, kind)| (slack + 1) as f64 / kind.mass_ng as f64).fold(0.0, f64::max);
    (per_ng * most_lead_ng.clamp(0, model.stock_ng()) as f64).ceil() as i64
}

/// Drivers in the order of their first stint.
pub(super) fn first_stints(order: &[usize]) -> Vec<usize> {
    let mut drivers = Vec::new();
    for driver in order {
        if !drivers.contains(driver) {
            drivers.push(*driver);
        }
    }
    drivers
}

/// Pairs of neighbours in the order; those that lead to a first stint come first, in the order of the drivers.
fn edges(order: &[usize], drivers: &[usize]) -> Vec<Edge> {
    let position = |driver: usize| drivers.iter().position(|known| *known == driver).unwrap_or(0);
    let stints: Vec<usize> = order.iter().map(|driver| position(*driver)).collect();
    let mut edges: Vec<Edge> = (1..drivers.len())
        .map(|later| {
            let first = stints.iter().position(|stint| *stint == later).unwrap_or(0);
            Edge { earlier: stints[first.saturating_sub(1)], later, times: 0 }
        })
        .collect();
    for pair in stints.windows(2) {
        let (earlier, later) = (pair[0].min(pair[1]), pair[0].max(pair[1]));
        match edges.iter_mut().find(|edge| (edge.earlier, edge.later) == (earlier, later)) {
            Some(edge) => edge.times += 1,
            None => edges.push(Edge { earlier, later, times: 1 }),
        }
    }
    edges
}

/// Widens each tolerance by what the plan for this driver alone, adjusters set as it has them, leaves outside of it.
fn forgive_what_is_missed_alone(model: &mut Model, alone: &Counts) {
    let set = model.targets_at(alone.settings()).into_owned();
    for (target, then) in model.targets.iter_mut().zip(set) {
        let (x, tau) = then.sums(alone);
        target.widen(then.outside_ng(x, tau));
    }
}

/// Adjusters that are not quick stay as they are set now, for everybody.
fn free_what_is_quick(model: &mut Model, scenario: &Scenario) {
    for (row, adjuster) in model.adjusters.iter_mut().zip(scenario.adjusters()) {
        row.is_free = adjuster.quick;
    }
    if !model.adjusters.iter().any(|row| row.is_free) {
        model.adjusters.clear();
    }
}

/// Takes off everything but what is locked.
pub(super) fn bare(model: &mut Model) {
    let (kinds, mounts) = (model.kinds.len(), model.mounts.len());
    model.fitted = Counts::none(kinds, mounts);
    for (kind, mount) in (0..kinds).flat_map(|kind| (0..mounts).map(move |mount| (kind, mount))) {
        if let Cell::Locked(count) = model.cell(kind, mount) {
            *model.fitted.get_mut(kind, mount) = count;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_driver_who_returns_is_changed_to_as_often_as_the_order_says() {
        let order = [4, 2, 4, 7, 2];
        let drivers = first_stints(&order);
        assert_eq!(drivers, [4, 2, 7]);
        let edges = edges(&order, &drivers);
        let expected = [(0, 1, 2), (0, 2, 1), (1, 2, 1)];
        assert_eq!(edges.iter().map(|e| (e.earlier, e.later, e.times)).collect::<Vec<_>>(), expected);
    }
}
