//! The judge of a team: every driver's kart measured again, and what is slow found equal under all of them.
//! Does not use the models' arithmetic: totals and misses come from the judge of single plans.

use super::team::Team;
use super::{Answer, Swap, TeamFound};
use crate::counts::Counts;
use crate::goal::Goal;
use crate::plan::{Breach, Measured, Plan, work_between};
use crate::scenario::Scenario;
use crate::solve::{Disagreement, Judged, Solved, agreed, not_below};
use crate::units::Mass;

/// Judges every driver's plan and compares the team's values with what the search was told.
pub(super) fn judge(
    scenario: &Scenario,
    team: &Team,
    alone: &[Solved],
    found: &TeamFound,
) -> Judged<Vec<Plan>> {
    let drivers = team.drivers.iter().zip(&found.setup);
    let plans = drivers.map(|(driver, counts)| Plan::judged(scenario, Some(*driver), counts.clone()));
    let plans: Vec<Plan> = plans.collect::<Result<_, _>>().map_err(Disagreement::Breach)?;
    if let Some(mount) = slow_difference(scenario, &found.setup) {
        return Err(Disagreement::Breach(Breach::Locked { mount }));
    }
    if let Some(adjuster) = slow_setting(scenario, &found.setup) {
        return Err(Disagreement::Breach(Breach::NotQuick { adjuster }));
    }
    let measured: Vec<&Measured> = plans.iter().map(Plan::measured).collect();
    let before: Vec<&Measured> = alone.iter().map(|solved| solved.plan.measured()).collect();
    let [outside_kg, close_kg] = judged_values_kg(scenario, &measured, &before);
    let excess = measured.iter().zip(&team.own_ng);
    let excess_ng = excess.map(|(measured, own_ng)| measured.worth.total.ng() - own_ng).max().unwrap_or(0);
    let work: i64 = team
        .edges
        .iter()
        .map(|edge| {
            let (earlier, later) = (&found.setup[edge.earlier], &found.setup[edge.later]);
            edge.times * i64::from(work_between(scenario, earlier, later))
        })
        .sum();
    let kg = |ng: i64| Mass::from_ng(ng).kg();
    let pairs = [
        (Goal::Legal, kg(found.values.excess_ng), kg(excess_ng)),
        (Goal::Targets, kg(found.values.outside_ng), outside_kg),
        (Goal::Work, found.values.work as f64, work as f64),
        (Goal::Close, kg(found.values.close_ng), close_kg),
    ];
    agreed(pairs).map(|()| plans)
}

/// Fails if an answer denies what some drivers have on a set-up, or bounds the least excess above it, where the judge allows it.
pub(crate) fn not_denied(scenario: &Scenario, known: &Swap, answer: &Answer) -> Judged<()> {
    let drivers = match answer {
        Answer::Setup(swap) => swap.drivers.as_slice(),
        Answer::NotEvenAlone { driver, .. } => std::slice::from_ref(driver),
        Answer::NoCommonBase(found) => &found.drivers,
        Answer::OutOfTime => return Ok(()),
    };
    let there = drivers.iter().map(|driver| {
        let counts = known.plan_of(*driver)?.measured().counts.clone();
        Plan::judged(scenario, Some(*driver), counts).ok()
    });
    let Some(plans) = there.collect::<Option<Vec<Plan>>>() else { return Ok(()) };
    let setup: Vec<Counts> = plans.iter().map(|plan| plan.measured().counts.clone()).collect();
    if slow_difference(scenario, &setup).is_some() || slow_setting(scenario, &setup).is_some() {
        return Ok(());
    }
    let Answer::Setup(swap) = answer else { return Err(Disagreement::Denied) };
    let totals = plans.iter().map(|plan| plan.measured().worth.total.ng());
    let excess_ng = totals.zip(&swap.own_ng).map(|(total_ng, own_ng)| total_ng - own_ng).max();
    let legal = swap.goals.iter().find(|result| result.goal == Goal::Legal);
    excess_ng.zip(legal).map_or(Ok(()), |(value, legal)| not_below(Goal::Legal, value, legal.bound))
}

/// The team's kilograms outside the tolerances (the worst driver's, beyond what he misses alone) and from the targets (every target
/// at its worst driver), as measured, with the targets' weights.
pub fn judged_values_kg(scenario: &Scenario, team: &[&Measured], alone: &[&Measured]) -> [f64; 2] {
    let mut close_kg = 0.0;
    let mut outside_kg = vec![0.0; team.len()];
    for (index, target) in scenario.targets().iter().enumerate() {
        let worst = |measured: &Measured, of: &dyn Fn(&crate::plan::Residual) -> f64| {
            let here = measured.residuals.iter().filter(|residual| residual.target == index);
            here.map(of).max_by(f64::total_cmp).unwrap_or(0.0)
        };
        let beyond = |(now, before): (&&Measured, &&Measured)| {
            let miss = |measured: &Measured| worst(measured, &|residual| residual.miss_kg);
            let beyond = miss(now) - miss(before);
            // Written so that a number that is not finite is kept.
            if beyond <= 0.0 { 0.0 } else { beyond }
        };
        for (outside_kg, both) in outside_kg.iter_mut().zip(team.iter().zip(alone)) {
            *outside_kg += target.weight * beyond(both);
        }
        let apart = |measured: &&Measured| worst(measured, &|residual| residual.distance_kg.abs());
        let close = team.iter().map(apart).max_by(f64::total_cmp).unwrap_or(0.0);
        close_kg += target.weight * close;
    }
    [outside_kg.into_iter().max_by(f64::total_cmp).unwrap_or(0.0), close_kg]
}

/// A mount on which something that is not quick differs between drivers.
fn slow_difference(scenario: &Scenario, setup: &[Counts]) -> Option<usize> {
    let differs = |kind: usize, mount: usize| {
        setup.iter().any(|counts| counts.get(kind, mount) != setup[0].get(kind, mount))
    };
    (0..scenario.mounts().len()).find(|mount| {
        (0..scenario.lead().len()).any(|kind| {
            let quick = scenario.mounts()[*mount].quick && scenario.lead()[kind].quick;
            !quick && differs(kind, *mount)
        })
    })
}

/// An adjuster that is not quick and yet is set otherwise than now.
fn slow_setting(scenario: &Scenario, setup: &[Counts]) -> Option<usize> {
    let mut slow = scenario.adjusters().iter().enumerate().filter(|(_, adjuster)| !adjuster.quick);
    let moved = slow.find(|(index, adjuster)| {
        setup.iter().any(|counts| counts.setting(*index, adjuster.now) != adjuster.now)
    });
    moved.map(|(index, _)| index)
}
