//! A scenario's text to its answer, for tests: anything but a scenario and an answer is a failure that prints the text.

use kentledge::scenario::Scenario;
use kentledge::solve::{Answer, Patience, Solved, solve};

/// The scenario that a text describes; one with mistakes fails the test.
pub(crate) fn read(text: &str) -> Scenario {
    match Scenario::from_yaml(text) {
        Ok((scenario, _)) => scenario,
        Err(problems) => panic!("{problems:?}\n{text}"),
    }
}

/// The answer for today's driver, however long it takes.
pub(crate) fn answer(scenario: &Scenario) -> Answer {
    let patience = Patience::ENDLESS;
    solve(scenario, scenario.driver(), patience).unwrap_or_else(|disagreement| panic!("{disagreement}"))
}

/// The legal plan of a text; an answer without one fails the test.
pub(crate) fn planned(text: &str) -> (Scenario, Solved) {
    let scenario = read(text);
    match answer(&scenario) {
        Answer::Plan(solved) => (scenario, solved),
        other => panic!("{other:?}\n{text}"),
    }
}
