//! Alternatives: legal, better in their own measure, unlike each other, and as good as enumeration says they can be.
//! Source of truth: the judge, and on tiny scenarios every plan there is.

use kentledge::counts::Counts;
use kentledge::goal::Goal;
use kentledge::model::{Model, Values};
use kentledge::plan::{Measured, Plan};
use kentledge::scenario::{Access, Scenario};
use kentledge::solve::{Answer, Patience, Solved};
use kentledge::statics::Point;
use kentledge::tasks::alternatives::{
    Alternatives, Kind, MOST_OUTSIDE_KG, Measures, Without, alternatives, are_alike,
};
use kentledge::units::Mass;

use crate::cases::{self, Family, Lead};
use crate::enumeration::all_counts;
use crate::{Case, SAME_KG, answer, drawn, read, shipped};

fn all(case: &Case, solved: &Solved) -> Alternatives {
    alternatives(&case.scenario, case.driver, solved, Kind::ALL.len(), Patience::ENDLESS)
        .unwrap_or_else(|disagreement| panic!("{disagreement}\n{}", case.text))
}

fn measure(kind: Kind, measures: &Measures) -> f64 {
    match kind {
        Kind::FewestChanges => f64::from(measures.changes),
        Kind::FewestPieces => f64::from(measures.pieces),
        Kind::Closest => measures.from_aims.value,
        Kind::Lightest => measures.total.value,
        Kind::Lowest => measures.lead_height.map_or(0.0, |height| height.value),
        Kind::MostCentral => measures.lead_from_middle.value,
    }
}

#[test]
fn every_alternative_is_legal_better_in_its_kind_and_unlike_all_others() {
    let texts = (0..30).map(|seed| {
        let lead = if seed % 2 == 0 { Lead::Catalogue } else { Lead::Weighed };
        cases::scenario(&Family::rich(lead, 10, 5), seed)
    });
    let mut seen = [0; 6];
    for case in shipped().into_iter().chain(drawn(texts)) {
        let Answer::Plan(solved) = answer(&case.scenario, case.driver) else { continue };
        let found = all(&case, &solved);
        let mut plans = vec![solved.plan.measured()];
        for alternative in &found.found {
            let measured = alternative.plan.measured();
            let again = Plan::judged(&case.scenario, case.driver, measured.counts.clone());
            assert_eq!(again.as_ref(), Ok(&alternative.plan), "{}", case.text);
            let kind = alternative.kind;
            assert!(
                measure(kind, &alternative.measures) < measure(kind, &found.base),
                "{kind}\n{}",
                case.text
            );
            let most = found.base.outside_tolerances.value
                + MOST_OUTSIDE_KG
                + case.scenario.preferences().targets.kg();
            assert!(alternative.measures.outside_tolerances.value <= most + SAME_KG, "{kind}\n{}", case.text);
            assert!(!plans.iter().any(|other| are_alike(&case.scenario, measured, other)), "{}", case.text);
            plans.push(measured);
            seen[Kind::ALL.iter().position(|k| *k == kind).expect("a kind")] += 1;
        }
        assert_eq!(found.found.len() + found.without.len(), Kind::ALL.len(), "{}", case.text);
    }
    assert!(seen.iter().all(|count| *count > 0), "not all kinds were seen: {seen:?}");
}

/// Every legal plan of a tiny scenario with its values.
pub(crate) fn every_plan(model: &Model) -> Vec<(Counts, Values)> {
    let plans = all_counts(model, usize::MAX).expect("there is no limit");
    let legal = plans.into_iter().filter(|plan| model.fits(plan)).map(|plan| (model.values(&plan), plan));
    legal.filter(|(v, _)| v.mass_ng >= model.required_ng).map(|(values, plan)| (plan, values)).collect()
}

/// What the search makes small for a kind: changes, movable pieces, kg, or kg·mm².
fn cost(kind: Kind, scenario: &Scenario, middle: Point, plan: &Counts, values: &Values) -> f64 {
    match kind {
        Kind::FewestChanges => values.work as f64,
        Kind::FewestPieces => {
            let open = |mount: usize| scenario.mounts()[mount].access == Access::Open;
            plan.placed().filter(|(_, mount, _)| open(*mount)).map(|(_, _, n)| f64::from(n)).sum()
        }
        Kind::Closest => Mass::from_ng(values.close_ng).kg(),
        Kind::Lightest => Mass::from_ng(values.mass_ng).kg(),
        Kind::Lowest | Kind::MostCentral => plan
            .placed()
            .map(|(piece, mount, count)| {
                let mount = &scenario.mounts()[mount];
                let (x, y) = (mount.place.x.mm() - middle.x.mm(), mount.place.y.mm() - middle.y.mm());
                let per_kg = if kind == Kind::Lowest { mount.height_counted().mm() } else { x * x + y * y };
                (scenario.lead()[piece].mass * count).kg() * per_kg
            })
            .sum(),
    }
}

#[test]
fn no_plan_of_the_same_balance_beats_an_alternative_in_its_kind() {
    let texts = (0..80).map(|seed| {
        let lead = if seed % 2 == 0 { Lead::Catalogue } else { Lead::Weighed };
        let mut family = Family::rich(lead, 5, 3);
        family.needed_kg = (0.5, 8.0);
        family.locked = seed % 4 == 0;
        let text = cases::scenario(&family, seed);
        // Heights, so that the lowest plan is not the one on the ground.
        let lines = text.lines().map(|line| match line.find("capacity:") {
            Some(place) => {
                format!("{}z: {}, {}\n", &line[..place], 40 + 7 * (line.len() % 40), &line[place..])
            }
            None => format!("{line}\n"),
        });
        lines.collect()
    });
    let (mut compared, mut nothing) = (0, 0);
    for case in drawn(texts) {
        let Answer::Plan(solved) = answer(&case.scenario, case.driver) else { continue };
        let found = all(&case, &solved);
        let model = Model::new(&case.scenario, case.driver);
        let held = |goal: Goal| solved.goals.iter().find(|result| result.goal == goal).map(|r| r.held_at);
        let (Some(mass), Some(tolerance)) = (held(Goal::Legal), held(Goal::Targets)) else { panic!("goals") };
        let measured = solved.plan.measured();
        let weighed = measured.state(case.scenario.class().weighed_at).expect("it is weighed");
        let middle = case.scenario.kart().chassis.cg(&weighed.load.corners);
        let plans: Vec<(Counts, Values)> = every_plan(&model)
            .into_iter()
            .filter(|(_, values)| values.mass_ng <= mass && values.outside_ng <= tolerance)
            .collect();
        for kind in Kind::ALL {
            let costs = plans.iter().map(|(plan, v)| cost(kind, &case.scenario, middle, plan, v));
            let best = costs.min_by(f64::total_cmp).expect("the plan at hand is one");
            let cost_of = |measured: &Measured| {
                cost(kind, &case.scenario, middle, &measured.counts, &model.values(&measured.counts))
            };
            let resolution = resolution(kind, &case.scenario, middle);
            if let Some(alternative) = found.found.iter().find(|other| other.kind == kind) {
                compared += 1;
                let reached = cost_of(alternative.plan.measured());
                assert!(reached <= best + resolution, "{kind}: {reached}, best {best}\n{}", case.text);
            } else if found.without.contains(&(kind, Without::NothingBetter))
                && matches!(kind, Kind::FewestChanges | Kind::FewestPieces)
            {
                nothing += 1;
                let here = cost_of(measured);
                // The only better ones load every mount alike.
                let unlike = |plan: &Counts| {
                    let other = Measured::new(&case.scenario, case.driver, plan.clone());
                    !are_alike(&case.scenario, &other, measured)
                };
                let better = plans
                    .iter()
                    .any(|(plan, v)| cost(kind, &case.scenario, middle, plan, v) < here && unlike(plan));
                assert!(!better, "{kind} was left out\n{}", case.text);
            }
        }
    }
    assert!(compared > 60 && nothing > 40, "{compared} compared, {nothing} without");
}

/// How near to its best a kind is brought: exactly for counts, 0.05 kg for masses, 0.05 kg at the costliest mount for places
/// with what the aims, counted a thousandth, may outweigh.
fn resolution(kind: Kind, scenario: &Scenario, middle: Point) -> f64 {
    let most = |cost: &dyn Fn(usize) -> f64| {
        (0..scenario.mounts().len()).map(cost).max_by(f64::total_cmp).unwrap_or(0.0)
    };
    let legal_kg = scenario.preferences().legal.kg();
    // No plan is further from the aims than this, kg.
    let aims_kg = 0.2;
    match kind {
        Kind::FewestChanges | Kind::FewestPieces => 0.0,
        Kind::Closest | Kind::Lightest => legal_kg + SAME_KG,
        Kind::Lowest => (legal_kg + aims_kg) * most(&|mount| scenario.mounts()[mount].height_counted().mm()),
        Kind::MostCentral => {
            let spread = |mount: usize| {
                let place = scenario.mounts()[mount].place;
                (place.x.mm() - middle.x.mm()).powi(2) + (place.y.mm() - middle.y.mm()).powi(2)
            };
            (legal_kg + aims_kg) * most(&spread)
        }
    }
}

#[test]
fn two_equal_pieces_exchanged_are_no_other_plan() {
    let scenario = read(
        "units: kg-mm\nkart: {name: k, wheelbase: 1040, track_front: 1080, track_rear: 1120}\n\
         class: {name: c, minimum: 144, margin: 0}\n\
         weighing:\n  scales: {lf: 30, rf: 30, lr: 42, rr: 42}\n  aboard: {driver: Sam, fuel: none, lead: none}\n\
         drivers: {Sam: {mass: 70, x: 440, y: 20}}\n\
         mounts: {seat: {x: 260, y: 270, capacity: 5}, nose: {x: 1230, y: 0, capacity: 5}}\n\
         lead: {disc: {weighed: [1.004, 0.993, 0.512]}}\n",
    );
    let plan = |places: [Option<usize>; 3]| {
        let mut counts = scenario.fitted().clone();
        for (kind, mount) in places.into_iter().enumerate() {
            if let Some(mount) = mount {
                *counts.get_mut(kind, mount) = 1;
            }
        }
        Measured::new(&scenario, scenario.driver(), counts)
    };
    let here = plan([Some(0), Some(1), None]);
    assert!(are_alike(&scenario, &here, &plan([Some(1), Some(0), None])));
    assert!(!are_alike(&scenario, &here, &plan([Some(0), Some(0), None])));
    assert!(!are_alike(&scenario, &here, &plan([Some(0), Some(1), Some(1)])));
}
