//! Wrong answers that were once given, each with the scenario that showed it.
//! Source of truth: HiGHS on the exported program of the goal, its plan checked in exact fractions against every row; or all
//! plans there are.

use std::sync::atomic::AtomicUsize;

use kentledge::goal::Goal;
use kentledge::scenario::{Figure, Scenario};
use kentledge::solve::{Answer, Patience, Proof, Solved, solve};
use kentledge::tasks::card::{Across, Grid, Steps, Way, card};
use kentledge::tasks::pack::{self, Asked, Progress, pack};

fn planned(text: &str) -> (Scenario, Solved) {
    let (scenario, _) = Scenario::from_yaml(text).expect("a valid scenario");
    let answer = solve(&scenario, scenario.driver(), Patience::until(None));
    let Ok(Answer::Plan(solved)) = answer else { panic!("a plan was expected, found {answer:?}") };
    (scenario, solved)
}

/// Value and bound of `work`, which must be proved.
fn proved_work(text: &str) -> (i64, i64) {
    let (_, solved) = planned(text);
    let work = solved.goals.iter().find(|result| result.goal == Goal::Work).expect("work is a goal");
    assert_eq!(work.proved, Proof::Proved);
    (work.value, work.bound)
}

// The table of rationed shifts ended at the most that may be added to the kart as it is. When fitted lead had left, what the
// box had to add again fell off its top, and one change too many was called proved.
#[test]
fn lead_may_leave_and_as_much_return() {
    let text = include_str!("regression/lead-that-leaves-and-returns.yaml");
    assert_eq!(proved_work(text), (12, 12));
}

#[test]
fn lead_may_leave_and_as_much_return_with_four_targets() {
    let text = include_str!("regression/lead-that-leaves-and-returns-four-targets.yaml");
    assert_eq!(proved_work(text), (11, 11));
}

// What everything along does not serve was given up, although one piece alone would have served it: the small ones make a lighter
// total legal, and `spare` then leaves no room for the large one.
#[test]
fn a_case_may_be_served_by_less_than_everything() {
    let text = include_str!("regression/pack-gives-up-a-case-a-kit-serves.yaml");
    let (scenario, _) = Scenario::from_yaml(text).expect("a valid scenario");
    let answer = pack(&scenario, Patience::until(None), &Progress::default());
    let Ok(pack::Answer::Packed(packed)) = answer else { panic!("a kit was expected, found {answer:?}") };
    assert_eq!(packed.kit, [0, 1], "no puck and one of the shop");
    assert!(packed.is_best_possible());
    let asked: Vec<Asked> = packed.cases.iter().map(|served| served.asked).collect();
    assert_eq!(asked, [Asked::InBand, Asked::Legal]);
    assert!(packed.cases[0].plan().measured().all_in_band());
}

// Lead that could be cut was held to the required total and the spare, whole pieces to the lightest legal total and the spare.
#[test]
fn lead_cut_to_any_size_may_weigh_what_the_pieces_may() {
    let (scenario, solved) = planned(include_str!("regression/divisible-worse-than-pieces.yaml"));
    let worth = &solved.plan.measured().worth;
    let divisible = solved.divisible(&scenario).expect("the engine has an answer");
    assert!(divisible.band_kg <= worth.band_kg + 1e-6, "{divisible:?} {worth:?}");
    assert!((worth.band_kg - 0.21).abs() < 0.01, "{worth:?}");
}

// The cell half a point up was called out of reach of lead cut to any size: pieces reach it but for the front pair.
#[test]
fn what_stands_in_the_way_of_a_cell_is_the_other_target() {
    let (scenario, solved) = planned(include_str!("regression/card-wrong-reason.yaml"));
    let grid = Grid {
        front: Steps { step: 0.5, each_way: 1 },
        across: Steps { step: 0.5, each_way: 0 },
        figure: Across::Left,
    };
    let done = AtomicUsize::new(0);
    let card = card(&scenario, scenario.driver(), &solved, grid, Patience::until(None), &done);
    let card = card.expect("the judge agrees");
    let up = card.cells.iter().find(|cell| cell.steps == (0.5, 0.0)).expect("a cell");
    let Way::Others(others) = &up.way else { panic!("{:?}", up.way) };
    let figures: Vec<Figure> = others.iter().map(|target| scenario.targets()[*target].figure).collect();
    assert_eq!(figures, [Figure::FrontPair]);
}
