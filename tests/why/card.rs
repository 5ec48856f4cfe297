//! Tuning cards: every cell with a plan is legal and where it says, none takes more changes than it must, and an empty one
//! is empty.
//! Source of truth: the judge, and on tiny scenarios every plan there is.

use std::sync::atomic::AtomicUsize;

use kentledge::model::Model;
use kentledge::plan::Measured;
use kentledge::scenario::Figure;
use kentledge::solve::{Answer, Patience, Solved};
use kentledge::tasks::card::{Across, Card, Grid, Steps, Way, card};

use crate::alternatives::every_plan;
use crate::cases::{self, Family, Lead};
use crate::{Case, answer, drawn, shipped};

/// Shares are compared to this, points of percent; a nanogram of a kart is less.
const SAME_PERCENT: f64 = 1e-5;

fn made(case: &Case, solved: &Solved, grid: Grid) -> Card {
    let done = AtomicUsize::new(0);
    card(&case.scenario, case.driver, solved, grid, Patience::ENDLESS, &done)
        .unwrap_or_else(|disagreement| panic!("{disagreement}\n{}", case.text))
}

const SMALL: Grid = Grid {
    front: Steps { step: 0.5, each_way: 2 },
    across: Steps { step: 0.5, each_way: 1 },
    figure: Across::Left,
};

#[test]
fn every_cell_with_a_plan_is_legal_and_where_it_says() {
    let (mut plans, mut none) = (0, 0);
    for case in shipped() {
        let Answer::Plan(solved) = answer(&case.scenario, case.driver) else { continue };
        let card = made(&case, &solved, SMALL);
        assert_eq!(card.cells.len(), 15);
        for cell in &card.cells {
            let Way::Plan(plan, changes) = &cell.way else {
                none += 1;
                assert!(cell.steps != (0.0, 0.0), "today's plan is no way to itself\n{}", case.text);
                continue;
            };
            plans += 1;
            let measured = Measured::new(&case.scenario, case.driver, plan.measured().counts.clone());
            assert_eq!(measured.breach(&case.scenario), None, "{}", case.text);
            let state = measured.state(card.moment).expect("a state");
            let front = Figure::Front.of(&state.load.corners) - card.front;
            let left = Figure::Left.of(&state.load.corners) - card.across;
            assert!((front - cell.steps.0).abs() <= 0.25 + SAME_PERCENT, "{front}\n{}", case.text);
            assert!((left - cell.steps.1).abs() <= 0.25 + SAME_PERCENT, "{left}\n{}", case.text);
            if cell.steps == (0.0, 0.0) {
                assert_eq!(*changes, 0, "{}", case.text);
            }
            // A target that the plan meets is met in every cell, unless the cell moves it.
            let before = &solved.plan.measured().residuals;
            for (then, now) in before.iter().zip(&measured.residuals) {
                let is_moved = matches!(then.figure, Figure::Front | Figure::Rear | Figure::Left);
                assert!(is_moved || !then.on_target || now.on_target, "{:?}\n{}", now, case.text);
            }
        }
    }
    assert!(plans > 30 && none > 10, "{plans} plans, {none} without");
}

#[test]
fn no_plan_of_a_cell_takes_fewer_changes_and_an_empty_cell_has_none() {
    let texts = (0..40).map(|seed| {
        let lead = if seed % 2 == 0 { Lead::Catalogue } else { Lead::Weighed };
        let mut family = Family::plain(lead, 5, 3);
        family.needed_kg = (0.5, 8.0);
        family.fitted = seed % 3 == 0;
        cases::scenario(&family, seed)
    });
    let (mut plans, mut none) = (0, 0);
    for case in drawn(texts) {
        let Answer::Plan(solved) = answer(&case.scenario, case.driver) else { continue };
        let card = made(&case, &solved, SMALL);
        let model = Model::new(&case.scenario, case.driver);
        let most_ng = solved.goals[0].held_at;
        let today = &solved.plan.measured().counts;
        // The only targets are front % and left %, which a cell moves.
        let reached: Vec<(f64, f64, u32)> = every_plan(&model)
            .into_iter()
            .filter(|(_, values)| values.mass_ng <= most_ng)
            .map(|(counts, _)| {
                let changes = today.changes_to(&counts);
                let measured = Measured::new(&case.scenario, case.driver, counts);
                let corners = measured.state(card.moment).expect("a state").load.corners;
                let front = Figure::Front.of(&corners) - card.front;
                (front, Figure::Left.of(&corners) - card.across, changes)
            })
            .collect();
        for cell in &card.cells {
            let within = |slack: f64| {
                let near = |(front, left, _): &&(f64, f64, u32)| {
                    (front - cell.steps.0).abs() <= 0.25 + slack
                        && (left - cell.steps.1).abs() <= 0.25 + slack
                };
                reached.iter().filter(near).map(|(_, _, changes)| *changes).min()
            };
            match &cell.way {
                Way::Unsettled => panic!("not settled\n{}", case.text),
                Way::Plan(_, changes) => {
                    plans += 1;
                    assert!(within(SAME_PERCENT).is_some_and(|least| least <= *changes), "{}", case.text);
                    assert!(within(-SAME_PERCENT).is_none_or(|least| least >= *changes), "{}", case.text);
                }
                Way::OutOfReach | Way::Others(_) | Way::Pieces => {
                    none += 1;
                    assert_eq!(within(-SAME_PERCENT), None, "{:?}\n{}", cell.steps, case.text);
                }
            }
        }
    }
    assert!(plans > 60 && none > 60, "{plans} plans, {none} without");
}

/// Why a cell is empty: what is called out of reach of lead cut to any size no piece reaches, whatever the other targets; and
/// with the others no plan is there at all.
#[test]
fn no_cell_that_pieces_reach_is_called_out_of_reach_of_lead_cut_to_any_size() {
    let cards = std::env::var("CARDS").map_or(120, |cards| cards.parse().expect("a number of cards"));
    let texts = (0..cards).map(|seed| {
        let lead = if seed % 2 == 0 { Lead::Catalogue } else { Lead::Weighed };
        let mut family = Family::rich(lead, 4, 2 + seed as usize % 2);
        family.needed_kg = (0.3, 6.0);
        family.fitted = seed % 3 == 0;
        family.exact = (seed % 4 == 0).then_some(0.2);
        cases::scenario(&family, seed)
    });
    let (mut out_of_reach, mut others, mut pieces) = (0, 0, 0);
    for case in drawn(texts) {
        let Answer::Plan(solved) = answer(&case.scenario, case.driver) else { continue };
        let card = made(&case, &solved, SMALL);
        let most_ng = solved.goals[0].held_at;
        let model = Model::new(&case.scenario, case.driver);
        let plans = every_plan(&model).into_iter().filter(|(_, values)| values.mass_ng <= most_ng);
        let reached: Vec<(f64, f64)> = plans
            .map(|(counts, _)| {
                let measured = Measured::new(&case.scenario, case.driver, counts);
                let corners = measured.state(card.moment).expect("a state").load.corners;
                (Figure::Front.of(&corners) - card.front, Figure::Left.of(&corners) - card.across)
            })
            .collect();
        for cell in &card.cells {
            let is_reached = reached.iter().any(|(front, left)| {
                (front - cell.steps.0).abs() <= 0.25 - SAME_PERCENT
                    && (left - cell.steps.1).abs() <= 0.25 - SAME_PERCENT
            });
            match &cell.way {
                Way::OutOfReach => {
                    out_of_reach += 1;
                    assert!(!is_reached, "{:?} is within reach\n{}", cell.steps, case.text);
                }
                Way::Pieces => {
                    pieces += 1;
                    assert!(!is_reached, "{:?} is within reach\n{}", cell.steps, case.text);
                }
                Way::Others(_) => others += 1,
                Way::Plan(..) => {}
                Way::Unsettled => panic!("not settled\n{}", case.text),
            }
        }
    }
    assert!(
        out_of_reach > 60 && others > 60 && pieces > 20,
        "{out_of_reach} out of reach, {others} others, {pieces} pieces"
    );
}
