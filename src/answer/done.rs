//! What `done` writes into a file: the plan that somebody has bolted.

use schemars::JsonSchema;
use serde::Serialize;

use super::fragment;
use super::work::{Placement, placements_by_mount};
use crate::counts::Counts;
use crate::plan::Measured;
use crate::scenario::{Adjuster, Scenario};

/// A plan that has been carried out.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Done {
    /// Its mark.
    pub mark: String,
    /// Whose plan it was.
    pub driver: Option<String>,
    /// What is on which mount now.
    pub placements: Vec<Placement>,
    /// Mounts and adjusters at which nothing was done.
    pub except: Vec<String>,
    /// Whether it was taken back instead.
    pub taken_back: bool,
    /// What changes in the file.
    pub diff: String,
}

impl Done {
    /// With `counts` on the kart now.
    pub fn new(scenario: &Scenario, plan: &Measured, counts: &Counts, except: &[String]) -> Done {
        Done {
            mark: fragment::mark(scenario, plan),
            driver: plan.driver.map(|index| scenario.drivers()[index].name.clone()),
            placements: placements_by_mount(scenario, counts),
            except: except.to_vec(),
            taken_back: false,
            diff: String::new(),
        }
    }

    /// The plan of that mark taken back, which leaves `counts` on the kart.
    pub fn taken_back(scenario: &Scenario, mark: String, counts: &Counts) -> Done {
        let placements = placements_by_mount(scenario, counts);
        Done { mark, driver: None, placements, except: Vec::new(), taken_back: true, diff: String::new() }
    }
}

/// What is on the kart once a plan is carried out but for all that touches certain mounts and adjusters.
pub fn carried_out(scenario: &Scenario, plan: &Measured, except: &[String]) -> Counts {
    let left = |name: &str| except.iter().any(|other| other == name);
    let is_left = |mount: usize| left(&scenario.mounts()[mount].name);
    let mut counts = scenario.fitted().clone();
    for job in plan.jobs(scenario) {
        let (from, to) = job.action.ends();
        if from.into_iter().chain(to).any(is_left) {
            continue;
        }
        if let Some(mount) = from {
            *counts.get_mut(job.kind, mount) -= job.count;
        }
        if let Some(mount) = to {
            *counts.get_mut(job.kind, mount) += job.count;
        }
    }
    let settings = scenario.adjusters().iter().enumerate().map(|(index, adjuster)| {
        let setting = plan.counts.setting(index, adjuster.now);
        if left(&adjuster.name) { adjuster.now as u16 } else { setting as u16 }
    });
    let settings: Vec<u16> = settings.collect();
    counts.with_settings(&settings)
}

/// What is on the kart once the work is done at these mounts and adjusters, in whatever order: a piece that has left its mount and
/// is not where it goes yet is in the box.
pub fn partly(scenario: &Scenario, plan: &Measured, mounts: &[usize], adjusters: &[usize]) -> Counts {
    let mut counts = scenario.fitted().clone();
    for job in plan.jobs(scenario) {
        let (from, to) = job.action.ends();
        let is_done = |end: Option<usize>| end.is_some_and(|mount| mounts.contains(&mount));
        if let Some(from) = from.filter(|from| is_done(Some(*from)) || is_done(to)) {
            *counts.get_mut(job.kind, from) -= job.count;
        }
        if let Some(to) = to.filter(|to| is_done(Some(*to))) {
            *counts.get_mut(job.kind, to) += job.count;
        }
    }
    let setting = |(index, adjuster): (usize, &Adjuster)| {
        if adjusters.contains(&index) {
            plan.counts.setting(index, adjuster.now) as u16
        } else {
            adjuster.now as u16
        }
    };
    let settings: Vec<u16> = scenario.adjusters().iter().enumerate().map(setting).collect();
    counts.with_settings(&settings)
}
