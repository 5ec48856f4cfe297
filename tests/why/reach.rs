//! Regions within reach: no plan lies outside, every corner is attained by lead cut to some size, real points are real.
//! Source of truth: every plan of tiny scenarios, and limits and places read from the scenario again.

use kentledge::answer::reach::Reach;
use kentledge::blocks;
use kentledge::model::{Cell, Model};
use kentledge::page::terminal;
use kentledge::plan::Measured;
use kentledge::scenario::Figure;
use kentledge::solve::Patience;
use kentledge::tasks::reach::{Dot, Reached, Region, Shares, is_within, reach};
use kentledge::uncertainty::kart;
use kentledge::units::UnitSystem;
use kentledge::weighing;

use crate::alternatives::every_plan;
use crate::cases::{self, Family, Lead};
use crate::{Case, drawn, shipped};

/// The engine's rows are good to 1e-7; shares of a kart then to this, points of percent.
const SAME_PERCENT: f64 = 1e-3;

/// Pieces that are not whole exceed a limit by no more than the engine's rows allow, kg or pieces.
const SAME: f64 = 1e-5;

fn region(case: &Case) -> Option<Region> {
    match reach(&case.scenario, case.driver, Patience::ENDLESS).expect("the judge agrees") {
        Reached::Region(region) => Some(*region),
        Reached::NoPlan(_) => None,
        Reached::EngineFailed => panic!("the engine has no answer\n{}", case.text),
        Reached::OutOfTime => panic!("no corners in time\n{}", case.text),
    }
}

fn tiny(seed: u64) -> String {
    let lead = if seed.is_multiple_of(2) { Lead::Catalogue } else { Lead::Weighed };
    let mut family = Family::rich(lead, 3 + seed as usize % 3, 2 + seed as usize % 2);
    family.needed_kg = (0.5, 8.0);
    family.locked = seed.is_multiple_of(5);
    family.nearly_full = seed.is_multiple_of(7);
    cases::scenario(&family, seed)
}

#[test]
fn no_plan_of_500_scenarios_lies_outside_its_region() {
    let (mut regions, mut plans) = (0, 0);
    for case in drawn((0..500).map(tiny)) {
        let Some(region) = region(&case) else { continue };
        regions += 1;
        let corners: Vec<Shares> = region.corners.iter().map(|corner| corner.shares).collect();
        let model = Model::new(&case.scenario, case.driver);
        let plans_of_all = every_plan(&model);
        let lightest_ng = plans_of_all.iter().map(|(_, values)| values.mass_ng).min().expect("a plan");
        let most_ng = lightest_ng + case.scenario.preferences().spare.ng();
        assert!(region.most.ng() >= most_ng, "{:?} {most_ng}\n{}", region.most, case.text);
        for (counts, values) in plans_of_all {
            if values.mass_ng > region.most.ng() {
                continue;
            }
            plans += 1;
            let measured = Measured::new(&case.scenario, case.driver, counts);
            let corners_kg = measured.state(region.moment).expect("a state").load.corners;
            let front = Figure::Front.of(&corners_kg);
            let place = Shares { front, left: Figure::Left.of(&corners_kg) };
            assert!(is_within(&corners, place, SAME_PERCENT), "{place:?} of {corners:?}\n{}", case.text);
        }
    }
    assert!(regions > 300 && plans > 2_000, "{regions} regions, {plans} plans");
}

#[test]
fn what_time_left_unanswered_is_said() {
    let case = shipped().into_iter().find(|case| region(case).is_some()).expect("a region");
    let said = |unanswered: usize| {
        let region = Region { unanswered, ..region(&case).expect("a region") };
        let mut answer = Reach::new(&case.scenario);
        answer.add(&case.scenario, case.driver, &region);
        terminal::text(
            &blocks::reach(&answer, None),
            UnitSystem::KgMm,
            terminal::PLAIN,
            terminal::Shown::Full,
        )
    };
    assert!(!said(0).contains("no answer"), "{}", said(0));
    assert!(said(1).contains("; 1 place of the grid had no answer in this time"), "{}", said(1));
    assert!(said(12).contains("; 12 places of the grid had no answer in this time"), "{}", said(12));
}

#[test]
fn every_corner_is_attained_by_lead_cut_to_some_size() {
    let mut corners = 0;
    for case in shipped().into_iter().chain(drawn((0..120).map(tiny))) {
        let Some(region) = region(&case) else { continue };
        let (scenario, model) = (&case.scenario, Model::new(&case.scenario, case.driver));
        let mounts = scenario.mounts().len();
        let rules = &scenario.class().rules;
        let none = scenario.fitted().without_pieces();
        let bare = weighing::state(scenario, case.driver, region.moment, &none);
        for corner in &region.corners {
            corners += 1;
            let count = |kind: usize, mount: usize| corner.pieces[kind * mounts + mount];
            let mut load = bare.corners;
            let mut total_kg = bare.total.kg();
            for (kind, piece) in scenario.lead().iter().enumerate() {
                let all: f64 = (0..mounts).map(|mount| count(kind, mount)).sum();
                assert!(all <= f64::from(piece.count) + SAME, "{}", case.text);
                for (mount, place) in scenario.mounts().iter().enumerate() {
                    let here = count(kind, mount);
                    let (least, most) = match model.cell(kind, mount) {
                        Cell::Open => (0.0, f64::from(piece.count)),
                        Cell::Closed => (0.0, 0.0),
                        Cell::Locked(fitted) => (f64::from(fitted), f64::from(fitted)),
                    };
                    assert!(here >= least - SAME && here <= most + SAME, "{here}\n{}", case.text);
                    total_kg += here * piece.mass.kg();
                    load += scenario.kart().chassis.influence(place.place) * (here * piece.mass.kg());
                }
            }
            for (mount, place) in scenario.mounts().iter().enumerate() {
                let sum = |of: &dyn Fn(usize) -> f64| -> f64 {
                    (0..scenario.lead().len()).map(|kind| count(kind, mount) * of(kind)).sum()
                };
                let carried = sum(&|kind| scenario.lead()[kind].mass.kg());
                assert!(carried <= place.may_carry(rules).kg() + SAME, "{}", case.text);
                let thick = sum(&|kind| scenario.lead()[kind].thickness.mm());
                assert!(place.room.is_none_or(|room| thick <= room.mm() + SAME * 1e3), "{}", case.text);
                let pieces = sum(&|_| 1.0);
                assert!(
                    place.most_pieces.is_none_or(|most| pieces <= f64::from(most) + SAME),
                    "{}",
                    case.text
                );
            }
            assert!(total_kg >= region.least.kg() - SAME, "{}", case.text);
            assert!(total_kg <= region.most.kg() + SAME, "{}", case.text);
            let place = Shares { front: Figure::Front.of(&load), left: Figure::Left.of(&load) };
            assert!(place.distance(corner.shares) <= 1e-6, "{place:?} {corner:?}\n{}", case.text);
        }
    }
    assert!(corners > 600, "{corners} corners");
}

#[test]
fn what_pieces_reach_lies_within_and_today_and_the_plan_are_where_the_judge_sees_them() {
    for case in shipped() {
        let Some(region) = region(&case) else { continue };
        let corners: Vec<Shares> = region.corners.iter().map(|corner| corner.shares).collect();
        assert!(!region.points.is_empty(), "{}", case.text);
        for point in region.points.iter().map(|dot| &dot.shares).chain([&region.plan]) {
            assert!(is_within(&corners, *point, SAME_PERCENT), "{point:?}\n{}", case.text);
        }
        let now = Measured::new(&case.scenario, case.driver, case.scenario.fitted().clone());
        let corners = now.state(region.moment).expect("a state").load.corners;
        assert!((region.today.front - Figure::Front.of(&corners)).abs() < 1e-9, "{}", case.text);
    }
}

/// Dots are plans, so their ± is that of a plan, and none is less sure than the region says.
#[test]
fn every_point_is_as_sure_as_the_plan_that_it_is() {
    let mut points = 0;
    for case in shipped() {
        let Some(region) = region(&case) else { continue };
        let mut answer = Reach::new(&case.scenario);
        answer.add(&case.scenario, case.driver, &region);
        let found = &answer.regions[0];
        assert_eq!(found.points.len(), region.points.len());
        for (Dot { shares, counts }, place_shown) in region.points.iter().zip(&found.points) {
            let kart = kart::state(&case.scenario, case.driver, region.moment, counts);
            let known =
                [Figure::Front, Figure::Left].map(|figure| kart.estimate(|kart| figure.of(&kart.corners)));
            let place = Shares { front: known[0].value, left: known[1].value };
            assert!(place.distance(*shares) <= SAME_PERCENT, "{place:?} {shares:?}\n{}", case.text);
            for ((known, shown), most) in known
                .iter()
                .zip([place_shown.front.plus_minus, place_shown.left.plus_minus])
                .zip([found.plus_minus_at_most.front.value, found.plus_minus_at_most.left.value])
            {
                assert!((known.expanded() - shown).abs() <= SAME_PERCENT, "{known:?} {shown:?}");
                // Shares are not quite linear in the lead.
                assert!(shown <= most * 1.01, "{shown:?} {most:?}\n{}", case.text);
            }
            points += 1;
        }
    }
    assert!(points > 100, "{points} points");
}
