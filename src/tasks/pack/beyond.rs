//! How far a kit reaches beyond the cases it was packed for: another driver's mass, another front %.

use super::kits::Kit;
use crate::scenario::{Aim, Case, Figure, Scenario, Trip};
use crate::solve::{Answer, Judged, Patience, solve_within_nodes};
use crate::units::Mass;

/// A driver of another mass, kg: between two drivers of one class, or one driver in summer and in winter.
pub const DRIVER_STEP_KG: f64 = 5.0;

/// Points of front %, as karts are tuned.
pub const FRONT_STEP: f64 = 1.0;

/// Nodes for one plan, and for one question about one case, on every machine the same.
pub(super) const MOST_NODES: u64 = 200_000;

/// What is tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Probe {
    /// The driver by a step lighter.
    Lighter,
    /// The driver by a step heavier.
    Heavier,
    /// A point less front %.
    LessFront,
    /// A point more.
    MoreFront,
}

impl Probe {
    /// In the order in which they are shown.
    pub const ALL: [Probe; 4] = [Probe::Lighter, Probe::Heavier, Probe::LessFront, Probe::MoreFront];
}

/// What came of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Probed {
    /// Legal and on every target.
    OnTarget,
    /// Legal, but off a target.
    OffTarget,
    /// No legal plan.
    Illegal,
    /// Not decided within its nodes.
    Unknown,
    /// Nobody can tell: where the driver acts is not known, or the case has no target for front %.
    NotAsked,
}

/// One case and what came of every probe, in the order of [`Probe::ALL`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Beyond {
    pub case: Case,
    /// What came of the probes.
    pub probed: [Probed; 4],
}

/// Tries every probe on every case.
pub(super) fn beyond(scenario: &Scenario, trip: &Trip, kit: &Kit, patience: Patience) -> Judged<Vec<Beyond>> {
    let mut all = Vec::new();
    for case in trip.cases() {
        let packed = scenario.packed(trip, case, kit);
        let mut probed = [Probed::NotAsked; 4];
        for (probe, slot) in Probe::ALL.into_iter().zip(&mut probed) {
            let Some((shifted, driver)) = shifted(&packed, case, probe) else { continue };
            *slot = came_of(&shifted, driver, patience)?;
        }
        all.push(Beyond { case, probed });
    }
    Ok(all)
}

/// What the plan of a scenario comes to.
pub(super) fn came_of(scenario: &Scenario, driver: Option<usize>, patience: Patience) -> Judged<Probed> {
    // Even to state the program takes time.
    if patience.is_over() {
        return Ok(Probed::Unknown);
    }
    Ok(match solve_within_nodes(scenario, driver, patience, MOST_NODES)? {
        Answer::Plan(solved) if solved.plan.measured().all_on_target() => Probed::OnTarget,
        Answer::Plan(solved) if solved.is_best_possible() => Probed::OffTarget,
        Answer::NoLegalPlan(_) => Probed::Illegal,
        Answer::Plan(_) | Answer::OutOfTime => Probed::Unknown,
    })
}

/// The scenario of a probe and whom it is for; none where it cannot be stated.
fn shifted(packed: &Scenario, case: Case, probe: Probe) -> Option<(Scenario, Option<usize>)> {
    let driver_by = |kg: f64| {
        let (other, index) = packed.with_another_driver(case.driver?, Mass::from_kg(kg))?;
        Some((other, Some(index)))
    };
    let front_by = |points: f64| {
        let mut targets = packed.targets().to_vec();
        let front = targets.iter_mut().find_map(|target| match (target.figure, &mut target.aim) {
            (Figure::Front, Aim::Percent { aim, .. }) => Some((aim, points)),
            (Figure::Rear, Aim::Percent { aim, .. }) => Some((aim, -points)),
            _ => None,
        });
        let (aim, points) = front?;
        *aim += points;
        Some((packed.with_targets(targets)?, case.driver))
    };
    match probe {
        Probe::Lighter => driver_by(-DRIVER_STEP_KG),
        Probe::Heavier => driver_by(DRIVER_STEP_KG),
        Probe::LessFront => front_by(-FRONT_STEP),
        Probe::MoreFront => front_by(FRONT_STEP),
    }
}
