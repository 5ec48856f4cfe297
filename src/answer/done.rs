//! What `done` writes into a file: the plan that somebody has bolted.

use schemars::JsonSchema;
use serde::Serialize;

use super::fragment;
use super::work::{Placement, placements_by_mount};
use crate::counts::Counts;
use crate::plan::{Action, Measured};
use crate::scenario::Scenario;

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
        let (from, to) = match job.action {
            Action::TakeOff { from } => (Some(from), None),
            Action::Move { from, to } => (Some(from), Some(to)),
            Action::PutOn { to } => (None, Some(to)),
        };
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
