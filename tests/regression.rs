//! Faults that were once in the search, each with the scenario that showed it.
//! Source of truth: HiGHS on the exported program of the goal, its plan checked in exact fractions against every row.

use kentledge::goal::Goal;
use kentledge::scenario::Scenario;
use kentledge::solve::{Answer, Patience, Proof, solve};

/// Value and bound of `work`, which must be proved.
fn proved_work(text: &str) -> (i64, i64) {
    let (scenario, _) = Scenario::from_yaml(text).expect("a valid scenario");
    let answer = solve(&scenario, scenario.driver(), Patience::ENDLESS);
    let Ok(Answer::Plan(solved)) = answer else { panic!("a plan was expected, found {answer:?}") };
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
