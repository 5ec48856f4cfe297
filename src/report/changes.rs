//! What a plan changes and what then lies where, piece by piece.
//! Takes a scenario and counts; gives lines with their amounts in the units of the screen.
//! Does not lay them out, and does not say what they are good for.

use super::amount::{Screen, Weight};
use crate::counts::Counts;
use crate::plan::{Action, Measured};
use crate::scenario::Scenario;

/// One line of the job list.
#[derive(Clone, Debug, PartialEq)]
pub struct JobLine {
    /// What is done.
    pub action: Doing,
    /// Name of the kind.
    pub piece: String,
    /// How many.
    pub count: u32,
    /// Mass of one.
    pub each: Weight,
    /// Mass of all of them.
    pub mass: Weight,
    /// The mount they leave.
    pub from: Option<String>,
    /// The mount they enter.
    pub to: Option<String>,
}

/// What is done with pieces.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doing {
    /// From a mount into the box.
    TakeOff,
    /// From mount to mount.
    Move,
    /// From the box onto a mount.
    PutOn,
}

impl Doing {
    /// In the order in which it is done.
    pub const ALL: [Doing; 3] = [Doing::TakeOff, Doing::Move, Doing::PutOn];
}

/// Pieces of one kind on one mount.
#[derive(Clone, Debug, PartialEq)]
pub struct Placement {
    /// The mount.
    pub mount: String,
    /// The kind.
    pub piece: String,
    /// How many.
    pub count: u32,
    /// Mass of one.
    pub each: Weight,
    /// Mass of all of them.
    pub mass: Weight,
}

/// What is on which mount.
pub(super) fn placements(screen: Screen, scenario: &Scenario, counts: &Counts) -> Vec<Placement> {
    counts.placed().map(|placed| Placement::new(screen, scenario, placed)).collect()
}

impl Placement {
    /// Of a kind, a mount and a number, as counts list them.
    pub(super) fn new(
        screen: Screen,
        scenario: &Scenario,
        (kind, mount, count): (usize, usize, u32),
    ) -> Placement {
        let piece = &scenario.lead()[kind];
        Placement {
            mount: scenario.mounts()[mount].name.clone(),
            piece: piece.name.clone(),
            count,
            each: screen.given(piece.mass),
            mass: screen.given(piece.mass * count),
        }
    }
}

/// What is done, in order, from what is fitted now.
pub(super) fn job_lines(screen: Screen, scenario: &Scenario, after: &Measured) -> Vec<JobLine> {
    job_lines_from(screen, scenario, scenario.fitted(), after)
}

/// What is done, in order, from any other lead on the mounts.
pub(super) fn job_lines_from(
    screen: Screen,
    scenario: &Scenario,
    before: &Counts,
    after: &Measured,
) -> Vec<JobLine> {
    let name = |mount: usize| Some(scenario.mounts()[mount].name.clone());
    let jobs = after.jobs_from(scenario, before);
    let each = screen.given_flush(jobs.iter().map(|job| scenario.lead()[job.kind].mass));
    let lines = jobs.into_iter().zip(each).map(|(job, each)| {
        let kind = &scenario.lead()[job.kind];
        let (action, from, to) = match job.action {
            Action::TakeOff { from } => (Doing::TakeOff, name(from), None),
            Action::Move { from, to } => (Doing::Move, name(from), name(to)),
            Action::PutOn { to } => (Doing::PutOn, None, name(to)),
        };
        let mass = screen.given(kind.mass * job.count);
        JobLine { action, piece: kind.name.clone(), count: job.count, each, mass, from, to }
    });
    lines.collect()
}
