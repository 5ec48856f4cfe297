//! What must be true of every answer, whatever the case: the independent check of the benchmarks and the cross-checks.
//! Does not solve: it measures again, compares goals with their holds, and tries every small step away from the plan.

use kentledge::counts::Counts;
use kentledge::goal::Goal;
use kentledge::model::{Model, Values};
use kentledge::plan::{JUDGE_TOLERANCE_KG, Measured};
use kentledge::scenario::Scenario;
use kentledge::solve::{Answer, GoalResult, Proof, Shortfall, Solved};

/// Fails with a sentence if the answer contradicts itself, the model or the judge.
pub(crate) fn check(scenario: &Scenario, answer: &Answer) -> Result<(), String> {
    let model = Model::new(scenario, scenario.driver());
    match answer {
        Answer::Plan(solved) => check_plan(scenario, &model, solved),
        Answer::NoLegalPlan(shortfall) => check_shortfall(&model, shortfall),
        Answer::OutOfTime => Ok(()),
    }
}

fn check_plan(scenario: &Scenario, model: &Model, solved: &Solved) -> Result<(), String> {
    let counts = &solved.plan.measured().counts;
    let measured = Measured::new(scenario, scenario.driver(), counts.clone());
    if let Some(breach) = measured.breach(scenario) {
        return Err(format!("the plan breaks a rule: {breach}"));
    }
    let values = model.values(counts);
    if !model.fits(counts) || values.mass_ng < model.required_ng {
        return Err("the plan is not legal by the model's arithmetic".into());
    }
    let apart = (measured.worth.outside_kg - values.outside_ng as f64 * 1e-12).abs();
    let apart = apart + (measured.worth.close_kg - values.close_ng as f64 * 1e-12).abs();
    // Compared so that a number that is not finite fails.
    let alike = apart <= 2.0 * JUDGE_TOLERANCE_KG
        && measured.worth.total.ng() == values.mass_ng
        && i64::from(measured.worth.work) == values.work;
    if !alike {
        return Err(format!(
            "judge and model measure the plan differently: {:?}, {values:?}",
            measured.worth
        ));
    }
    let order: Vec<Goal> = solved.goals.iter().map(|result| result.goal).collect();
    if order != model.goals() {
        return Err(format!("goals solved as {order:?}, asked for as {:?}", model.goals()));
    }
    for result in &solved.goals {
        check_goal(model, result, &values)?;
    }
    // Of equals the first is the plan, and equals may differ by what coefficients are rounded by.
    let differs =
        |result: &&GoalResult| (result.value - values.of(result.goal)).abs() > model.rounding(result.goal);
    if let Some(result) = solved.goals.last().filter(differs) {
        return Err(format!("value and plan of the last goal differ: {result:?}, {values:?}"));
    }
    for neighbour in neighbours(model, counts) {
        refuted_by(model, &solved.goals, &neighbour)?;
    }
    refuted_by(model, &solved.goals, &model.fitted)
}

fn check_goal(model: &Model, result: &GoalResult, last: &Values) -> Result<(), String> {
    let held_at = match (result.goal, result.proved) {
        (Goal::Legal, _) => (result.bound + model.preferences.spare.ng()).max(result.value),
        (_, Proof::Proved) => result.bound + result.resolution + model.rounding(result.goal),
        (_, Proof::Stopped) => result.value + model.rounding(result.goal),
    };
    let sound = result.bound <= result.value
        && result.value <= result.held_at
        && result.held_at == held_at
        && result.resolution == model.resolution(result.goal)
        && last.of(result.goal) <= result.held_at
        && last.of(result.goal) >= result.bound
        && (result.proved == Proof::Stopped || result.value - result.bound <= result.resolution);
    if sound { Ok(()) } else { Err(format!("{result:?} contradicts itself or the last plan {last:?}")) }
}

/// A legal plan that keeps the earlier holds and lies below a bound refutes that bound.
fn refuted_by(model: &Model, goals: &[GoalResult], counts: &Counts) -> Result<(), String> {
    let values = model.values(counts);
    if !model.fits(counts) || values.mass_ng < model.required_ng {
        return Ok(());
    }
    for result in goals {
        let value = values.of(result.goal);
        if value < result.bound {
            return Err(format!("{result:?} is refuted by a plan of {value}: {counts:?}"));
        }
        if value > result.held_at {
            break;
        }
    }
    Ok(())
}

/// Every plan one small step away: a piece more, a piece less, or a piece moved.
fn neighbours(model: &Model, counts: &Counts) -> Vec<Counts> {
    let mounts = model.mounts.len();
    let mut neighbours = Vec::new();
    let changed = |kind: usize, less: Option<usize>, more: Option<usize>| {
        let mut neighbour = counts.clone();
        if let Some(mount) = less {
            let count = neighbour.get_mut(kind, mount);
            *count = count.checked_sub(1)?;
        }
        if let Some(mount) = more {
            *neighbour.get_mut(kind, mount) += 1;
        }
        Some(neighbour)
    };
    for kind in 0..model.kinds.len() {
        for mount in 0..mounts {
            neighbours.extend(changed(kind, Some(mount), None));
            neighbours.extend(changed(kind, None, Some(mount)));
            let others = (0..mounts).filter(|other| *other != mount);
            neighbours.extend(others.filter_map(|other| changed(kind, Some(mount), Some(other))));
        }
    }
    neighbours
}

fn check_shortfall(model: &Model, shortfall: &Shortfall) -> Result<(), String> {
    if shortfall.short < shortfall.short_at_least {
        return Err(format!("{shortfall:?}: short by less than the least"));
    }
    let Some(heaviest) = &shortfall.heaviest else { return Ok(()) };
    let short = model.required_ng - model.values(heaviest).mass_ng;
    if !model.fits(heaviest) || short <= 0 || short != shortfall.short.ng() {
        return Err(format!("{shortfall:?}: the heaviest lead does not fit, or is short by {short} ng"));
    }
    Ok(())
}
