//! What the program says about a plan: hints, remedies, alternatives, cards, regions within reach.
//! Source of truth: plans that the library makes when it is told what was claimed, and the judge.

use kentledge::scenario::Scenario;
use kentledge::solve::{Answer, Patience, solve};
use std::path::Path;

#[path = "support/adjusting.rs"]
mod adjusting;
#[path = "why/alternatives.rs"]
mod alternatives;
#[path = "why/card.rs"]
mod card;
#[path = "support/cases.rs"]
mod cases;
#[path = "why/divisible.rs"]
mod divisible;
#[path = "support/enumeration.rs"]
mod enumeration;
#[path = "why/help.rs"]
mod help;
#[path = "why/reach.rs"]
mod reach;

/// What is measured twice agrees to this, kg.
const SAME_KG: f64 = 1e-9;

/// Never over, so that no answer depends on the machine.
fn read(text: &str) -> Scenario {
    match Scenario::from_yaml(text) {
        Ok((scenario, _)) => scenario,
        Err(problems) => panic!("{problems:?}\n{text}"),
    }
}

fn answer(scenario: &Scenario, driver: Option<usize>) -> Answer {
    solve(scenario, driver, Patience::ENDLESS).unwrap_or_else(|disagreement| panic!("{disagreement}"))
}

/// A scenario, one of its drivers, and what to print when a test fails.
struct Case {
    text: String,
    scenario: Scenario,
    driver: Option<usize>,
}

/// The shipped scenarios, each with every driver.
fn shipped() -> Vec<Case> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let paths = std::fs::read_dir(folder).expect("the scenarios are there").flatten();
    let mut paths: Vec<_> = paths.map(|entry| entry.path()).collect();
    paths.retain(|path| path.extension().is_some_and(|extension| extension == "yaml"));
    paths.sort();
    let texts = paths.iter().map(|path| std::fs::read_to_string(path).expect("scenarios are text"));
    let cases: Vec<Case> = texts
        .flat_map(|text| {
            let scenario = read(&text);
            (0..scenario.drivers().len()).map(move |driver| Case {
                text: text.clone(),
                scenario: scenario.clone(),
                driver: Some(driver),
            })
        })
        .collect();
    assert!(cases.len() >= 7, "the scenarios are there");
    cases
}

/// Drawn scenarios of one family after the other, with today's driver.
fn drawn(texts: impl Iterator<Item = String>) -> impl Iterator<Item = Case> {
    texts.map(|text| {
        let scenario = read(&text);
        let driver = scenario.driver();
        Case { text, scenario, driver }
    })
}
