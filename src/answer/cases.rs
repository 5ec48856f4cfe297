//! What the cases of a trip are called.

use schemars::JsonSchema;
use serde::Serialize;

use crate::scenario::{Case, Scenario, Trip};

/// What a case is called.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct CaseName {
    /// Who drives; none for a kart without drivers.
    pub driver: Option<String>,
    /// The class.
    pub class: String,
    /// The targets; empty for those of the file.
    pub targets: String,
    /// `Sam, heavy, front 42`: without what all cases share.
    #[serde(skip)]
    pub short: String,
    /// `Sam, heavy`: what cases side by side have in common; empty where each stands for itself.
    #[serde(skip)]
    pub group: String,
    /// `front 42`: what is left of the name under that heading.
    #[serde(skip)]
    pub within: String,
}

impl CaseName {
    /// Of one case.
    pub fn new(scenario: &Scenario, trip: &Trip, case: Case) -> CaseName {
        let driver = case.driver.map(|driver| scenario.drivers()[driver].name.clone());
        let class = trip.classes[case.class].name.clone();
        let variation = trip.variations[case.variation].name.clone();
        let parts = [
            driver.clone().filter(|_| trip.drivers.len() > 1),
            Some(class.clone()).filter(|_| trip.classes.len() > 1),
            Some(variation.clone()).filter(|_| trip.variations.len() > 1),
        ];
        let [who, in_class, targets] = &parts;
        let joined = |parts: &[&Option<String>]| {
            parts.iter().copied().flatten().cloned().collect::<Vec<_>>().join(", ")
        };
        let mut short = joined(&[who, in_class, targets]);
        if short.is_empty() {
            short = driver.clone().unwrap_or_else(|| class.clone());
        }
        let group = if targets.is_some() { joined(&[who, in_class]) } else { String::new() };
        let within = if group.is_empty() { short.clone() } else { variation.clone() };
        CaseName { driver, class, targets: variation, short, group, within }
    }
}

/// Several cases in one phrase: whoever has all targets of a class is named once.
pub fn named(scenario: &Scenario, trip: &Trip, cases: &[Case]) -> String {
    let mut phrases = Vec::new();
    for driver in &trip.drivers {
        for class in 0..trip.classes.len() {
            let own: Vec<&Case> =
                cases.iter().filter(|case| case.driver == *driver && case.class == class).collect();
            let Some(first) = own.first() else { continue };
            let targets: Vec<&str> =
                own.iter().map(|case| trip.variations[case.variation].name.as_str()).collect();
            let who = [
                driver
                    .map(|driver| scenario.drivers()[driver].name.as_str())
                    .filter(|_| trip.drivers.len() > 1),
                Some(trip.classes[class].name.as_str()).filter(|_| trip.classes.len() > 1),
            ];
            let who: Vec<&str> = who.into_iter().flatten().collect();
            let all = targets.len() == trip.variations.len();
            phrases.push(match (who.join(", "), all) {
                (who, _) if who.is_empty() && trip.variations.len() > 1 => targets.join(" and "),
                (who, _) if who.is_empty() => CaseName::new(scenario, trip, **first).short,
                (who, true) => who,
                (who, false) => format!("{who}, {}", targets.join(" and ")),
            });
        }
    }
    phrases.join("; ")
}
