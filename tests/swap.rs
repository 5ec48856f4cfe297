//! Several drivers on one kart: against full enumeration, and against planning each driver alone.
//! Source of truth: all set-ups there are, measured one by one with every driver's own program.

use kentledge::counts::Counts;
use kentledge::goal::Goal;
use kentledge::model::{Cell, Model, TargetRow};
use kentledge::plan::{Measured, Plan};
use kentledge::scenario::Scenario;
use kentledge::solve::{GoalResult, Patience, Proof, Solved};
use kentledge::tasks::swap::{Answer, GOALS, Swap, judged_values_kg, stints, swap};
use std::collections::HashMap;

#[expect(dead_code, reason = "of the cases only what draws numbers is needed here")]
#[path = "support/cases.rs"]
mod cases;
#[path = "support/enumeration.rs"]
mod enumeration;
#[path = "support/teams.rs"]
mod teams;

use cases::{Draw, Lead};
use enumeration::all_counts;
use teams::{Levers, Team};

/// Enumerations beyond this many plans of one driver, or set-ups that keep `legal` and `targets`, are left to smaller seeds.
const MOST_PLANS: usize = 20_000;
const MOST_SETUPS: usize = 400_000;

/// One legal plan of one driver, with what the team's goals need of it.
struct Candidate {
    counts: Counts,
    excess_ng: i64,
    /// Summed over the targets, each beyond what the driver misses alone.
    outside_ng: i64,
    /// From the aim of each target.
    close_ng: Vec<i64>,
}

fn answer(scenario: &Scenario) -> Answer {
    let order = stints(scenario, &[]).expect("a team drives");
    let patience = Patience::ENDLESS;
    swap(scenario, &order, patience).unwrap_or_else(|disagreement| panic!("{disagreement}"))
}

fn read(text: &str) -> Scenario {
    match Scenario::from_yaml(text) {
        Ok((scenario, _)) => scenario,
        Err(problems) => panic!("{problems:?}\n{text}"),
    }
}

/// Every way to set the adjusters that may differ between drivers, all others as they are now.
fn all_ways(scenario: &Scenario) -> Vec<Vec<u16>> {
    let mut ways = vec![Vec::new()];
    for adjuster in scenario.adjusters() {
        let settings =
            if adjuster.quick { 0..adjuster.settings.len() } else { adjuster.now..adjuster.now + 1 };
        let with = |way: &Vec<u16>| -> Vec<Vec<u16>> {
            settings.clone().map(|setting| [way.as_slice(), &[setting as u16]].concat()).collect()
        };
        ways = ways.iter().flat_map(with).collect();
    }
    ways
}

/// Changes from one driver's plan to the next one's, settings included.
fn changes(scenario: &Scenario, before: &Counts, after: &Counts) -> i64 {
    let adjusters = scenario.adjusters().iter().enumerate();
    let set = adjusters.map(|(index, adjuster)| {
        adjuster.changes(before.setting(index, adjuster.now), after.setting(index, adjuster.now))
    });
    i64::from(before.changes_to(after) + set.sum::<u32>())
}

/// Sums of gains and slacks of one target.
fn sums(model: &Model, row: &TargetRow, counts: &Counts) -> (i64, i64) {
    counts.placed().fold((0, 0), |(x, tau), (kind, mount, count)| {
        let gain = row.gain_ng[kind * model.mounts.len() + mount];
        (x + gain * i64::from(count), tau + row.slack_ng[kind] * i64::from(count))
    })
}

/// Every plan that the judge allows one driver, the adjusters set as now; none if there are too many.
fn legal_plans(scenario: &Scenario, model: &Model, driver: usize) -> Option<Vec<Counts>> {
    let mut plans = all_counts(model, MOST_PLANS)?;
    plans.retain(|plan| Measured::new(scenario, Some(driver), plan.clone()).breach(scenario).is_none());
    Some(plans)
}

/// What is on the cells that may not differ between drivers.
fn slow_part(scenario: &Scenario, model: &Model, counts: &Counts) -> Vec<u32> {
    let mut slow = Vec::new();
    for kind in 0..model.kinds.len() {
        for mount in 0..model.mounts.len() {
            let quick = scenario.mounts()[mount].quick && scenario.lead()[kind].quick;
            if !quick || model.cell(kind, mount) != Cell::Open {
                slow.push(counts.get(kind, mount));
            }
        }
    }
    slow
}

/// Each driver's plans above one base, which all of them share, in the order of the team.
type Base = Vec<Vec<Candidate>>;

/// Every base above which each driver has a plan; none if there are too many plans.
fn all_bases(scenario: &Scenario, drivers: &[usize], own_ng: &[i64], alone: &[Counts]) -> Option<Vec<Base>> {
    let mut bases: HashMap<Vec<u32>, Base> = HashMap::new();
    for (position, driver) in drivers.iter().enumerate() {
        let model = Model::new(scenario, Some(*driver));
        let miss = |row: &TargetRow, counts: &Counts| {
            let (x, tau) = sums(&model, row, counts);
            row.outside_ng(x, tau)
        };
        let own = &alone[position];
        let own_misses: Vec<i64> =
            model.targets_at(own.settings()).iter().map(|row| miss(row, own)).collect();
        let plans = legal_plans(scenario, &model, *driver)?;
        for (way, lead) in all_ways(scenario).iter().flat_map(|way| plans.iter().map(move |lead| (way, lead)))
        {
            let counts = lead.clone().with_settings(way);
            let targets = model.targets_at(way);
            let misses = std::iter::zip(targets.iter(), &own_misses);
            let candidate = Candidate {
                excess_ng: model.values(&counts).mass_ng - own_ng[position],
                outside_ng: misses.map(|(row, own_ng)| (miss(row, &counts) - own_ng).max(0)).sum(),
                close_ng: targets.iter().map(|row| row.close_ng(sums(&model, row, &counts).0)).collect(),
                counts,
            };
            let base = bases.entry(slow_part(scenario, &model, &candidate.counts)).or_default();
            base.resize_with(drivers.len(), Vec::new);
            base[position].push(candidate);
        }
    }
    Some(bases.into_values().filter(|base| base.iter().all(|plans| !plans.is_empty())).collect())
}

/// The least that the worst driver comes to above any base.
fn least_of_worst(bases: &[Base], of: impl Fn(&Candidate) -> i64) -> Option<i64> {
    let least = |plans: &Vec<Candidate>| plans.iter().map(&of).min();
    bases.iter().filter_map(|base| base.iter().filter_map(least).max()).min()
}

/// Only those plans that keep a hold, and the bases above which everybody has one.
fn keep(bases: &mut Vec<Base>, of: impl Fn(&Candidate) -> i64, most: i64) {
    for plans in bases.iter_mut().flatten() {
        plans.retain(|plan| of(plan) <= most);
    }
    bases.retain(|base| base.iter().all(|plans| !plans.is_empty()));
}

/// What a whole set-up is worth in the goals for which plans of single drivers do not tell.
#[derive(Clone, Copy)]
struct Whole {
    excess_ng: i64,
    work: i64,
    close_ng: i64,
}

/// Every set-up; `stints` names drivers by their place in the team.
fn all_setups(scenario: &Scenario, bases: &[Base], stints: &[usize]) -> Vec<Whole> {
    let mut setups = Vec::new();
    for base in bases {
        combine(scenario, base, stints, &mut Vec::new(), &mut setups);
    }
    setups
}

fn combine<'c>(
    scenario: &Scenario,
    base: &'c Base,
    stints: &[usize],
    chosen: &mut Vec<&'c Candidate>,
    setups: &mut Vec<Whole>,
) {
    if chosen.len() == base.len() {
        let worst = |of: &dyn Fn(&Candidate) -> i64| chosen.iter().map(|one| of(one)).max().unwrap_or(0);
        let targets = 0..chosen[0].close_ng.len();
        let stops = stints.windows(2);
        setups.push(Whole {
            excess_ng: worst(&|plan| plan.excess_ng),
            work: stops.map(|pair| changes(scenario, &chosen[pair[0]].counts, &chosen[pair[1]].counts)).sum(),
            close_ng: targets.map(|target| worst(&|plan| plan.close_ng[target])).sum(),
        });
        return;
    }
    for candidate in &base[chosen.len()] {
        chosen.push(candidate);
        combine(scenario, base, stints, chosen, setups);
        chosen.pop();
    }
}

/// A goal's bound and value against the least of all set-ups that keep the earlier holds.
fn check_goal(result: &GoalResult, least: Option<i64>, text: &str) {
    let least = least.unwrap_or_else(|| panic!("no set-up keeps the holds before {result:?}\n{text}"));
    assert_eq!(result.proved, Proof::Proved, "{result:?}\n{text}");
    assert!(result.bound <= least && least <= result.value, "{result:?}, least {least}\n{text}");
    assert!(result.value - result.bound <= result.resolution, "{result:?}\n{text}");
    assert!(result.value <= result.held_at, "{result:?}\n{text}");
}

/// Every goal against full enumeration; false if too many set-ups keep `legal` and `targets`.
fn check_goals(scenario: &Scenario, found: &Swap, mut bases: Vec<Base>, text: &str) -> bool {
    let goals: Vec<Goal> = found.goals.iter().map(|result| result.goal).collect();
    assert_eq!(goals, GOALS);
    let [legal, targets, later @ ..] = found.goals.as_slice() else { panic!("five goals\n{text}") };
    check_goal(legal, least_of_worst(&bases, |plan| plan.excess_ng), text);
    keep(&mut bases, |plan| plan.excess_ng, legal.held_at);
    check_goal(targets, least_of_worst(&bases, |plan| plan.outside_ng), text);
    keep(&mut bases, |plan| plan.outside_ng, targets.held_at);
    if bases.iter().map(|base| base.iter().map(Vec::len).product::<usize>()).sum::<usize>() > MOST_SETUPS {
        return false;
    }
    let place = |driver: &usize| found.drivers.iter().position(|known| known == driver).expect("he drives");
    let mut setups = all_setups(scenario, &bases, &found.order.iter().map(place).collect::<Vec<_>>());
    for result in later {
        let value = |setup: &Whole| match result.goal {
            Goal::Work => setup.work,
            Goal::Close => setup.close_ng,
            Goal::Legal | Goal::Targets | Goal::Light => setup.excess_ng,
        };
        check_goal(result, setups.iter().map(value).min(), text);
        setups.retain(|setup| value(setup) <= result.held_at);
    }
    true
}

fn tiny_team(seed: u64) -> Team {
    let mut draw = Draw::new(seed ^ 0x5A5A);
    let mounts = 2 + draw.below(2);
    let drivers = if draw.chance(0.3) { 3 } else { 2 };
    Team {
        drivers,
        lead: if draw.chance(0.5) { Lead::Catalogue } else { Lead::Weighed },
        pieces: 3 + draw.below(3),
        mounts,
        quick: draw.below(mounts + 1),
        apart_kg: draw.between(0.0, 5.0),
        needed_kg: (0.3, 4.0),
        capacity_kg: (2.0, 7.0),
        limits: draw.chance(0.5),
        out_of_reach: draw.chance(0.3),
        exact: draw.chance(0.3).then(|| draw.rounded(0.0, 2.0, 1)),
        returns: draw.below(3),
        levers: Levers::default(),
        odd: false,
    }
}

/// Two to four drivers and what is easily forgotten.
fn odd_team(seed: u64) -> Team {
    let mut draw = Draw::new(seed ^ 0x0DD_7EA4);
    let drivers = 2 + draw.below(3);
    let mounts = 2 + draw.below(2);
    Team {
        drivers,
        pieces: 2 + draw.below(if drivers == 2 { 3 } else { 2 }),
        mounts,
        // With everything quick under four drivers some take many seconds.
        quick: draw.below(if drivers < 4 { mounts + 1 } else { mounts }),
        apart_kg: draw.between(0.0, 2.5),
        needed_kg: (0.3, 2.5),
        limits: false,
        levers: if draw.chance(0.2) { set_team(seed).levers } else { Levers::default() },
        odd: true,
        ..tiny_team(seed)
    }
}

/// A team whose kart has one or two quick adjusters, some beside others that are not, and lead that may ride on the seat.
fn set_team(seed: u64) -> Team {
    let mut draw = Draw::new(seed ^ 0x5E77_1465);
    let mut levers = Levers { slow: draw.chance(0.3), rides: draw.chance(0.6), ..Levers::default() };
    for _ in 0..=draw.below(2) {
        match draw.below(6) {
            0..3 => levers.holes = 2 + draw.below(3),
            3 => levers.washers = 2 + draw.below(2),
            4 => levers.steps = 2 + draw.below(2),
            _ => levers.tank = true,
        }
    }
    let mounts = 2 + draw.below(2);
    let drivers = if draw.chance(0.25) { 3 } else { 2 };
    Team {
        drivers,
        pieces: 2 + draw.below(if drivers == 2 && mounts == 2 { 3 } else { 2 }),
        mounts,
        quick: draw.below(mounts),
        needed_kg: (0.3, 3.0),
        exact: draw.chance(0.4).then(|| draw.rounded(0.0, 3.0, 1)),
        levers,
        ..tiny_team(seed)
    }
}

fn check_seed(seed: u64) -> &'static str {
    check_team(&tiny_team(seed), seed)
}

fn check_team(team: &Team, seed: u64) -> &'static str {
    let text = teams::scenario(team, seed);
    let scenario = read(&text);
    let counts = |alone: &[Solved]| -> Vec<Counts> {
        alone.iter().map(|solved| solved.plan.measured().counts.clone()).collect()
    };
    match answer(&scenario) {
        Answer::Setup(found) => {
            let bases = all_bases(&scenario, &found.drivers, &found.own_ng, &counts(&found.alone));
            if !bases.is_some_and(|bases| check_goals(&scenario, &found, bases, &text)) {
                return "too many";
            }
            let settings = |plan: &Plan| plan.measured().counts.settings().to_vec();
            let first = settings(&found.plans[0]);
            match (found.plans.iter().any(|plan| settings(plan) != first), found.goals[0].bound > 0) {
                (true, _) => "set otherwise",
                (false, true) => "heavier",
                (false, false) => "set-up",
            }
        }
        Answer::NotEvenAlone { driver, .. } => {
            let model = Model::new(&scenario, Some(driver));
            let Some(plans) = legal_plans(&scenario, &model, driver) else { return "too many" };
            assert!(plans.is_empty(), "a legal plan was denied\n{text}");
            "not alone"
        }
        Answer::NoCommonBase(found) => {
            let own = vec![0; found.drivers.len()];
            let bases = all_bases(&scenario, &found.drivers, &own, &counts(&found.alone));
            let Some(bases) = bases else { return "too many" };
            assert!(bases.is_empty(), "a common base was denied\n{text}");
            "no base"
        }
        Answer::OutOfTime => panic!("out of time without a limit\n{text}"),
    }
}

#[test]
fn every_goal_of_every_team_equals_full_enumeration() {
    let mut seen = std::collections::BTreeMap::new();
    for seed in 0..900 {
        *seen.entry(check_seed(seed)).or_insert(0) += 1;
    }
    let of = |kind: &str| seen.get(kind).copied().unwrap_or(0);
    // The families are meant to hold every kind of answer; an empty one would check nothing.
    assert!(of("set-up") >= 400 && of("heavier") >= 150 && of("not alone") >= 100, "{seen:?}");
}

/// The same where seats, washers, bars and tanks are quick: what they take counts as lead does, whatever rides on them.
#[test]
fn every_goal_of_every_team_with_quick_adjusters_equals_full_enumeration() {
    let mut seen = std::collections::BTreeMap::new();
    for seed in 0..700 {
        *seen.entry(check_team(&set_team(seed), seed)).or_insert(0) += 1;
    }
    let of = |kind: &str| seen.get(kind).copied().unwrap_or(0);
    assert!(of("set otherwise") >= 100 && of("set-up") >= 200 && of("heavier") >= 50, "{seen:?}");
    assert!(of("too many") <= 50, "{seen:?}");
}

/// The same where kinds have no pieces, mounts take nothing or are locked with what is on them, kinds weigh the same, and
/// adjusters have one setting. `KENTLEDGE_ODD_TEAMS` is how many are drawn instead, from the first seed on.
#[test]
fn every_goal_of_every_odd_team_equals_full_enumeration() {
    let asked = std::env::var("KENTLEDGE_ODD_TEAMS").ok();
    let teams: u64 = asked.map_or(400, |asked| asked.parse().expect("a number of teams"));
    let mut seen = std::collections::BTreeMap::new();
    // In the last two a pass from above gives up before it meets the set-up that is better.
    for seed in (0..teams).chain([887, 1852]) {
        *seen.entry(check_team(&odd_team(seed), seed)).or_insert(0) += 1;
    }
    println!("{seen:?}");
    let at_least = |kind: &str, percent: u64| seen.get(kind).copied().unwrap_or(0) * 100 >= teams * percent;
    assert!(at_least("set-up", 25) && at_least("heavier", 5) && at_least("not alone", 5), "{seen:?}");
    assert!(!at_least("too many", 10), "{seen:?}");
}

/// With every mount quick the plans made alone are a set-up like any other, so the team's can only be better.
#[test]
fn a_team_is_never_worse_than_planning_each_driver_alone_and_comparing_the_lists() {
    let mut better = 0;
    for seed in 0..40 {
        let team = Team {
            quick: 3,
            apart_kg: 5.0,
            needed_kg: (1.0, 4.0),
            ..Team::usual(2 + seed as usize % 2, 6, 3)
        };
        let text = teams::scenario(&team, seed);
        let scenario = read(&text);
        let Answer::Setup(found) = answer(&scenario) else { continue };
        let counts = |driver: usize| {
            let position = found.drivers.iter().position(|known| *known == driver).expect("he drives");
            &found.alone[position].plan.measured().counts
        };
        let alone: u32 = found.order.windows(2).map(|pair| counts(pair[0]).changes_to(counts(pair[1]))).sum();
        // Alone nobody exceeds his own minimum by more than the spare, nor misses more than he does alone.
        assert_eq!(found.goals[0].bound, 0, "{text}");
        assert!(found.values.outside_ng <= found.goals[1].resolution, "{text}");
        assert!(found.values.work <= i64::from(alone), "{} against {alone}\n{text}", found.values.work);
        better += i32::from(found.values.work < i64::from(alone));
    }
    assert!(better >= 15, "hardly ever better: {better} of 40");
}

#[test]
fn what_the_judge_measures_of_each_driver_is_what_the_goals_say() {
    for seed in 0..40 {
        let scenario = read(&teams::scenario(&tiny_team(seed), seed));
        let Answer::Setup(found) = answer(&scenario) else { continue };
        let measured: Vec<_> = found.plans.iter().map(Plan::measured).collect();
        let alone: Vec<_> = found.alone.iter().map(|solved| solved.plan.measured()).collect();
        let [outside_kg, close_kg] = judged_values_kg(&scenario, &measured, &alone);
        approx::assert_abs_diff_eq!(outside_kg, found.values.outside_ng as f64 * 1e-12, epsilon = 1e-6);
        approx::assert_abs_diff_eq!(close_kg, found.values.close_ng as f64 * 1e-12, epsilon = 1e-6);
        for plan in &found.plans {
            assert!(
                plan.measured().worth.total
                    >= kentledge::inspection::required(&scenario, plan.measured().driver)
            );
        }
    }
}

#[test]
fn orders_that_are_no_change_of_driver_are_refused() {
    let scenario = read(include_str!("../scenarios/three-drivers.yaml"));
    assert_eq!(stints(&scenario, &[]).expect("the file's own"), [0, 1, 2, 0]);
    assert_eq!(stints(&scenario, &[1, 2]).expect("two drivers"), [1, 2]);
    for refused in [&[0, 0][..], &[0, 1, 1], &[2]] {
        assert_eq!(stints(&scenario, refused).expect_err("refused").code(), "K021", "{refused:?}");
    }
}

#[test]
fn more_ways_to_set_quick_adjusters_than_can_be_compared_are_refused() {
    let levers = Levers { holes: 40, washers: 13, steps: 5, ..Levers::default() };
    let team = Team { levers, ..Team::usual(2, 4, 3) };
    let fault = stints(&read(&teams::scenario(&team, 1)), &[]).expect_err("refused");
    assert_eq!(fault.code(), "K013", "{fault}");
    let fewer = Team { levers: Levers { steps: 0, holes: 20, ..levers }, ..team };
    assert!(stints(&read(&teams::scenario(&fewer, 1)), &[]).is_ok());
}
