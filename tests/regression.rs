//! Faults that were once in a search, each with the scenario that showed it.
//! Source of truth: HiGHS on the exported program of the goal, its plan checked in exact fractions against every row. For teams
//! what is plain to see, and the bound itself.

use std::sync::atomic::AtomicBool;
use std::time::{Duration, Instant};

use kentledge::goal::Goal;
use kentledge::scenario::Scenario;
use kentledge::solve::{Answer, Patience, Proof, solve};
use kentledge::tasks::swap::{self, Swap, stints};

/// Value and bound of `work`, which must be proved.
fn proved_work(text: &str) -> (i64, i64) {
    let (scenario, _) = Scenario::from_yaml(text).expect("a valid scenario");
    let stop = AtomicBool::new(false);
    let answer = solve(&scenario, scenario.driver(), Patience { deadline: None, stop: &stop });
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

/// The set-up of a team, found within the usual time.
fn set_up(text: &str) -> Swap {
    let (scenario, _) = Scenario::from_yaml(text).expect("a valid scenario");
    let order = stints(&scenario, &[]).expect("a team drives");
    let answer =
        swap::swap(&scenario, &order, Patience::until(Some(Instant::now() + Duration::from_secs(5))));
    match answer {
        Ok(swap::Answer::Setup(found)) => *found,
        other => panic!("a set-up was expected, found {other:?}"),
    }
}

// The tray is quick, but of the only kind that it takes there is no piece. What nothing can do there counted as infinitely much:
// a set-up with nobody in band was called the best.
#[test]
fn a_quick_mount_for_which_there_is_no_piece_bounds_nothing() {
    let found = set_up(include_str!("regression/swap-bound-9223359.yaml"));
    assert!(found.is_best_possible(), "{:?}", found.goals);
    assert!(found.goals.iter().all(|result| result.bound <= result.value), "{:?}", found.goals);
    // The slab on the nose for both.
    for plan in &found.plans {
        let measured = plan.measured();
        assert_eq!(measured.counts.placed().collect::<Vec<_>>(), [(0, 0, 1)]);
        assert!(measured.all_in_band(), "{:?}", measured.residuals);
    }
}

// A weight of 100 makes values large beside their resolution. For one threshold after the other the same few thousand varying
// parts were gone through, and bases, of which there are sixteen, came last.
#[test]
fn a_tiny_team_is_proved_although_one_target_weighs_a_hundredfold() {
    let found = set_up(include_str!("regression/swap-tiny-team-unproved.yaml"));
    assert!(found.is_best_possible(), "{:?}", found.goals);
}
