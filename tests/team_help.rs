//! What helps a team: every claim applied to the scenario and solved again, over drawn teams; and karts made so that the
//! cause and the cure are known.
//! Source of truth: `swap` of the eased scenario, and for known karts sums that fit on a hand.

use kentledge::goal::Goal;
use kentledge::plan::Plan;
use kentledge::scenario::{Easing, Scenario, SeatEnd};
use kentledge::solve::Patience;
use kentledge::tasks::help::WORTH_KG;
use kentledge::tasks::swap::{Answer, Swap, stints, swap};
use kentledge::tasks::team_help::{Reached, Standing, TeamHelps, team_would_help};
use kentledge::units::{Length, Mass};

#[expect(dead_code, reason = "of the cases only what draws numbers is needed here")]
#[path = "support/cases.rs"]
mod cases;
#[path = "support/teams.rs"]
mod teams;

use cases::{Draw, Lead};
use teams::Team;

const SAME_KG: f64 = 1e-6;

fn read(text: &str) -> Scenario {
    match Scenario::from_yaml(text) {
        Ok((scenario, _)) => scenario,
        Err(problems) => panic!("{problems:?}\n{text}"),
    }
}

fn answer(scenario: &Scenario, order: &[usize]) -> Answer {
    swap(scenario, order, Patience::ENDLESS).unwrap_or_else(|disagreement| panic!("{disagreement}"))
}

fn helps(scenario: &Scenario) -> (Answer, Option<TeamHelps>) {
    let order = stints(scenario, &[]).expect("a team drives");
    let found = answer(scenario, &order);
    let helps = team_would_help(scenario, &order, &found, Patience::ENDLESS);
    let helps = helps.unwrap_or_else(|disagreement| panic!("{disagreement}"));
    (found, helps)
}

fn setup(answer: Answer) -> Box<Swap> {
    match answer {
        Answer::Setup(setup) => setup,
        other => panic!("no set-up: {other:?}"),
    }
}

/// Kilograms beyond each one's own minimum and outside the tolerances, of the worst of some drivers; and the changes.
fn worst(setup: &Swap, own: &[(usize, f64)], but: Option<usize>) -> (f64, f64, i64) {
    let plans = setup.plans.iter().map(Plan::measured).filter(|plan| plan.driver != but || but.is_none());
    let (mut beyond, mut outside) = (0.0_f64, 0.0_f64);
    for plan in plans {
        let own = own.iter().find(|(driver, _)| Some(*driver) == plan.driver).expect("he drives").1;
        beyond = beyond.max(plan.worth.total.kg() - own);
        outside = outside.max(plan.worth.outside_kg);
    }
    (beyond, outside, setup.values.work)
}

/// The lightest legal total of each, alone on the kart as it is.
fn own(answer: &Answer) -> Vec<(usize, f64)> {
    let of = |solved: &kentledge::solve::Solved| {
        Mass::from_ng(solved.goals.iter().find(|goal| goal.goal == Goal::Legal).expect("it is first").bound)
            .kg()
    };
    match answer {
        Answer::Setup(setup) => setup.drivers.iter().copied().zip(setup.alone.iter().map(of)).collect(),
        Answer::NoCommonBase(found) => {
            found.drivers.iter().copied().zip(found.alone.iter().map(of)).collect()
        }
        _ => Vec::new(),
    }
}

fn assert_stands(standing: &Standing, (beyond, outside, changes): (f64, f64, i64), text: &str) {
    assert!((standing.beyond_kg - beyond.max(0.0)).abs() < SAME_KG, "{standing:?} {beyond}\n{text}");
    assert!((standing.outside_kg - outside).abs() < SAME_KG, "{standing:?} {outside}\n{text}");
    assert_eq!(standing.changes, changes, "{text}");
}

fn tiny_team(seed: u64) -> Team {
    let mut draw = Draw::new(seed ^ 0x7EA3);
    let mounts = 2 + draw.below(2);
    Team {
        drivers: 2 + draw.below(2),
        lead: if draw.chance(0.5) { Lead::Catalogue } else { Lead::Weighed },
        pieces: 4 + draw.below(2),
        mounts,
        quick: draw.below(mounts),
        apart_kg: draw.between(1.0, 6.0),
        needed_kg: (0.3, 4.0),
        capacity_kg: (1.5, 6.0),
        limits: draw.chance(0.3),
        out_of_reach: draw.chance(0.3),
        returns: draw.below(2),
        ..Team::usual(2, 4, 2)
    }
}

#[test]
fn whoever_follows_a_hint_for_a_team_gets_what_it_promised() {
    let (mut claims, mut sits, mut bigger, mut pins) = (0, 0, 0, 0);
    for seed in 0..120 {
        let text = teams::scenario(&tiny_team(seed), seed);
        let scenario = read(&text);
        let (before, Some(helps)) = helps(&scenario) else { continue };
        assert!(helps.unsettled.is_empty(), "nothing stops a solve here\n{text}");
        let own = own(&before);
        let order = stints(&scenario, &[]).expect("a team drives");
        for help in &helps.worth {
            claims += 1;
            match help.easing {
                Easing::DriverSits { .. } => sits += 1,
                Easing::MountCarries { .. } => bigger += 1,
                Easing::MountQuick { .. } | Easing::KindQuick { .. } => pins += 1,
                _ => {}
            }
            let eased = scenario.eased(help.easing).expect("what is claimed can be eased");
            let after = setup(answer(&eased, &order));
            assert_stands(&help.after, worst(&after, &own, None), &text);
            // And it is better than without.
            let spare = scenario.preferences().spare.kg();
            match (&help.before, help.goal) {
                (None, None) => assert!(matches!(before, Answer::NoCommonBase(_)), "{text}"),
                (Some(now), Some(Goal::Legal)) => {
                    assert!(now.beyond_kg - help.after.beyond_kg.max(spare) >= WORTH_KG, "{text}");
                }
                (Some(now), Some(Goal::Targets)) => {
                    assert!(now.outside_kg - help.after.outside_kg >= WORTH_KG, "{text}");
                }
                other => panic!("{other:?}\n{text}"),
            }
        }
        for cost in &helps.costs {
            if let (Answer::Setup(swap), Some(with)) = (&before, &cost.with) {
                assert_stands(with, worst(swap, &own, Some(cost.driver)), &text);
            }
            let mut rest: Vec<usize> = order.iter().copied().filter(|other| *other != cost.driver).collect();
            rest.dedup();
            match &cost.without {
                Reached::Setup(without) if rest.len() > 1 => {
                    let without_him = answer(&scenario, &rest);
                    // Where somebody cannot be legal even alone, nobody had asked the others before.
                    let own = if own.is_empty() { self::own(&without_him) } else { own.clone() };
                    assert_stands(without, worst(&setup(without_him), &own, None), &text);
                }
                Reached::NoCommonBase => {
                    assert!(matches!(answer(&scenario, &rest), Answer::NoCommonBase(_)), "{text}");
                }
                Reached::Setup(_) | Reached::NotEvenAlone { .. } | Reached::Unsettled => {}
            }
        }
    }
    assert!(claims > 100 && sits > 10 && bigger > 20 && pins > 10, "{claims} {sits} {bigger} {pins}");
}

/// Sam needs 2 kg and Alex 8: six kilograms have to come and go, and the one tray takes `tray`.
fn two_apart(tray: &str, alex: f64) -> String {
    format!(
        "units: kg-mm
kart: {{name: kart 7, wheelbase: 1040, track_front: 1080, track_rear: 1120}}
class: {{name: club, minimum: 160, margin: 0}}
targets: {{front: {{aim: 43, within: 2}}}}
weighing:
  scales: {{lf: 34, rf: 34, lr: 45, rr: 45}}
  aboard: {{driver: Sam, fuel: none, lead: none}}
drivers:
  Sam: {{mass: 76, x: 445, y: 0}}
  Alex: {{mass: {alex}, x: 445, y: 0}}
mounts:
  tray: {{x: 440, y: 200, capacity: {tray}, quick: true}}
  floor: {{x: 450, y: 0, capacity: 12}}
lead:
  puck: {{mass: 1, count: 16}}
"
    )
}

#[test]
fn where_a_bigger_insert_is_the_cure_it_is_named_with_its_size() {
    // Alex needs 8 kg. A tray of 3 kg leaves 5 on the floor, of which Sam needs 2: he carries 3 kg too many at least, and
    // one more to save a change, as the spare allows. Only with a tray of 6 kg need nobody carry more than alone.
    let text = two_apart("3", 70.0);
    let scenario = read(&text);
    let (before, found) = helps(&scenario);
    let found = found.expect("Sam carries too much");
    assert!((worst(&setup(before.clone()), &own(&before), None).0 - 4.0).abs() < SAME_KG);
    let bigger = found.worth.iter().find(|help| matches!(help.easing, Easing::MountCarries { mount: 0, .. }));
    let bigger = bigger.expect("a bigger tray helps");
    assert_eq!(bigger.easing, Easing::MountCarries { mount: 0, more: Mass::from_kg(3.0) });
    assert_eq!(bigger.goal, Some(Goal::Legal));
    // The same by hand: with a tray of 6 kg nothing is amiss, with one of 5 kg Sam still carries 2.
    assert!(helps(&read(&two_apart("6", 70.0))).1.is_none());
    let (five, _) = helps(&read(&two_apart("5", 70.0)));
    assert!((worst(&setup(five.clone()), &own(&five), None).0 - 2.0).abs() < SAME_KG);
    // And pins on the floor mount do as well.
    assert!(found.worth.iter().any(|help| help.easing == Easing::MountQuick { mount: 1 }));
}

#[test]
fn the_driver_who_makes_the_others_heavier_is_named_with_what_it_costs_them() {
    // Sam and Robin need 2 and 3 kg, Alex 12: with a tray of 3 kg he leaves nine on the floor.
    let text = two_apart("3", 66.0).replace("  Alex", "  Robin: {mass: 75, x: 445, y: 0}\n  Alex");
    let scenario = read(&text);
    let (before, found) = helps(&scenario);
    let found = found.expect("two of them carry too much");
    let names: Vec<&str> =
        found.costs.iter().map(|cost| scenario.drivers()[cost.driver].name.as_str()).collect();
    assert_eq!(names, ["Sam", "Robin", "Alex"]);
    let guilty: Vec<Option<Goal>> =
        found.costs.iter().map(|cost| cost.goal(scenario.preferences().spare.kg())).collect();
    assert_eq!(guilty, [None, None, Some(Goal::Legal)], "{:?}", found.costs);
    let (beyond, ..) = worst(&setup(before.clone()), &own(&before), None);
    let alex = &found.costs[2];
    assert!((alex.with.expect("a set-up").beyond_kg - beyond).abs() < SAME_KG && beyond > 5.0, "{alex:?}");
    let Reached::Setup(without) = &alex.without else { panic!("{alex:?}") };
    // Whatever is done: nine kilograms on the floor, and Sam needs but two.
    assert!((alex.least_beyond_kg.expect("it was asked") - 7.0).abs() < 0.05, "{alex:?}");
    assert!(without.beyond_kg <= 1.0, "Sam and Robin are a kilogram apart: {without:?}");
}

#[test]
fn a_driver_who_cannot_be_legal_alone_gets_his_cures_and_the_others_their_set_up() {
    // Sixteen pucks of 1 kg, and the mounts carry 15: Alex needs 18.
    let text = two_apart("3", 60.0).replace("  Alex", "  Robin: {mass: 75, x: 445, y: 0}\n  Alex");
    let (before, found) = helps(&read(&text));
    let found = found.expect("Alex is too light");
    assert!(matches!(before, Answer::NotEvenAlone { driver: 2, .. }), "{before:?}");
    assert!(matches!(found.costs.as_slice(), [cost] if cost.driver == 2 && cost.is_in_the_way()));
    assert!(found.alone.expect("it was asked").cures.is_empty(), "it takes lead and room: no single cure");
}

#[test]
fn a_driver_who_sits_further_forward_moves_the_balance_by_just_that() {
    let scenario = read(&two_apart("6", 70.0));
    for (driver, kg) in [(0, 76.0), (1, 70.0)] {
        let forward = Length::from_mm(30.0);
        let eased = scenario.eased(Easing::DriverSits { driver, forward }).expect("there is room");
        let front = |scenario: &Scenario, driver: usize| {
            kentledge::weighing::trunk(scenario, Some(driver)).corners.front()
        };
        let moved = front(&eased, driver) - front(&scenario, driver);
        assert!((moved - kg * 30.0 / 1040.0).abs() < 1e-6, "{moved}");
        let other = 1 - driver;
        assert!((front(&eased, other) - front(&scenario, other)).abs() < 1e-6, "the other sits where he sat");
    }
}

#[test]
fn a_hole_more_helps_a_seat_that_is_set_for_each_driver_and_no_other() {
    // Sam and Alex weigh the same and Alex sits 90 mm further back, which a seat of three holes, 20 mm apart, cannot undo.
    let kart = |quick: bool| {
        two_apart("1", 76.0)
            .replace("Alex: {mass: 76, x: 445", "Alex: {mass: 76, x: 355")
            .replace("within: 2}", "within: 0.1}")
            .replace(
                "track_rear: 1120}",
                &format!(
                    "track_rear: 1120, seat: {{mass: 4, x: 300, y: 0, pitch: 20, hole: 1, holes: {{from: 0, to: 2}}, \
                     quick: {quick}}}}}"
                ),
            )
            .replace("lead: none}", "lead: none, seat_hole: 1}")
    };
    let scenario = read(&kart(true));
    let (before, found) = helps(&scenario);
    let found = found.expect("Alex is off target");
    let end = SeatEnd::Front;
    let hole = found.worth.iter().find(|help| help.easing == Easing::SeatHole { end });
    let hole = hole.expect("a hole further forward helps");
    let order = stints(&scenario, &[]).expect("a team drives");
    let eased = scenario.eased(hole.easing).expect("there may be a hole more");
    let after = worst(&setup(answer(&eased, &order)), &own(&before), None);
    assert_stands(&hole.after, after, &kart(true));
    assert!(
        worst(&setup(before.clone()), &own(&before), None).1 - after.1 > 0.5,
        "80 kg by 20 mm are 1.5 kg"
    );
    let (_, found) = helps(&read(&kart(false)));
    let found = found.expect("Alex is off target");
    assert!(found.worth.iter().all(|help| !matches!(help.easing, Easing::SeatHole { .. })));
}
