//! The cases of a trip for reports: what they are called, and how each comes out.
//! Takes cases with their plans; gives names and lines in the units of the screen.
//! Does not lay anything out.

use crate::inspection;
use crate::plan::Measured;
use crate::report::amount::{Screen, Weight};
use crate::report::changes::{Placement, placements};
use crate::report::hurdle;
use crate::report::margin::{Passing, Required};
use crate::report::setting::{SettingLine, setting_lines};
use crate::report::state::Known;
use crate::report::target::{TargetLines, target_lines};
use crate::scenario::{Case, Scenario, Trip};
use crate::tasks::pack::{Asked, Served};
use crate::uncertainty::verdict::Call;

/// What a case is called; what all cases share is left out of `short`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CaseName {
    /// Who drives; none for a kart without drivers.
    pub driver: Option<String>,
    /// The class.
    pub class: String,
    /// The targets; empty for those of the file.
    pub variation: String,
    /// `Sam, heavy, front 42`.
    pub short: String,
    /// `Sam, heavy`: what cases side by side have in common; empty where each stands for itself.
    pub group: String,
    /// `front 42`: what is left of the name under that heading.
    pub within: String,
}

/// How a case comes out.
#[derive(Clone, Debug, PartialEq)]
pub struct CaseLines {
    /// Which.
    pub case: CaseName,
    /// What the officials want.
    pub required: Required,
    /// Total as the officials weigh it.
    pub total: Weight,
    /// Above minimum and margin.
    pub above_required: Weight,
    /// The chance to pass.
    pub passing: Passing,
    /// Targets, with an empty kart and with the plan.
    pub targets: Vec<TargetLines>,
    /// Adjusters, in the order of the scenario.
    pub settings: Vec<SettingLine>,
    /// What is on which mount, by mount.
    pub placements: Vec<Placement>,
    /// Targets that are missed, one sentence each.
    pub misses: Vec<String>,
    /// What stands in the way of them, one sentence each.
    pub in_the_way: Vec<String>,
    /// What was asked of it.
    pub asked: Asked,
}

impl CaseName {
    pub(super) fn new(scenario: &Scenario, trip: &Trip, case: Case) -> CaseName {
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
        CaseName { driver, class, variation, short, group, within }
    }
}

/// Several cases in one phrase: whoever has all targets of a class is named once.
pub(super) fn named(scenario: &Scenario, trip: &Trip, cases: &[Case]) -> String {
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

impl CaseLines {
    pub(super) fn new(screen: Screen, scenario: &Scenario, trip: &Trip, served: &Served) -> CaseLines {
        let packed = &served.scenario;
        let driver = served.case.driver;
        let measured = served.plan().measured();
        let before = Measured::new(packed, driver, packed.fitted().clone());
        let (empty, with_kit) = (Known::new(packed, &before), Known::new(packed, measured));
        let total = measured.worth.total;
        let mut on_mounts = placements(screen, packed, &measured.counts);
        let place =
            |placement: &Placement| packed.mounts().iter().position(|mount| mount.name == placement.mount);
        on_mounts.sort_by_key(place);
        let divisible = served.solved.divisible(packed);
        CaseLines {
            case: CaseName::new(scenario, trip, served.case),
            required: Required::new(screen, packed, driver),
            total: screen.given(total),
            above_required: screen.plain((total - inspection::required(packed, driver)).kg()),
            passing: Passing::new(screen, packed, driver, &measured.counts, total),
            targets: target_lines(screen, packed, &empty, &with_kit),
            settings: setting_lines(packed, measured).into_iter().filter(SettingLine::is_job).collect(),
            placements: on_mounts,
            misses: hurdle::misses(screen, measured),
            in_the_way: hurdle::in_the_way(screen, packed, &served.solved, divisible.as_ref()),
            asked: served.asked,
        }
    }

    /// The worst that can be said of any target: by how much it is off, too close to call, or on target.
    pub fn verdict(&self) -> (Call, String) {
        let standings =
            || self.targets.iter().flat_map(|target| target.states.iter().map(|(_, _, after)| after));
        let worst = |call: Call| {
            let called = standings().filter(move |standing| standing.call == call);
            called.max_by(|one, other| one.miss.kg.total_cmp(&other.miss.kg))
        };
        [Call::Missed, Call::TooClose]
            .into_iter()
            .find_map(|call| worst(call).map(|standing| (call, standing.verdict())))
            .unwrap_or_else(|| {
                (Call::Met, if self.targets.is_empty() { "legal" } else { "on target" }.to_owned())
            })
    }

    /// What goes where, mount by mount: `seat_left: slab + 2 puck`.
    pub fn where_it_goes(&self) -> Vec<String> {
        let mut mounts: Vec<(&str, Vec<String>)> = Vec::new();
        for Placement { mount, piece, count, .. } in &self.placements {
            let words = if *count == 1 { piece.clone() } else { format!("{count} {piece}") };
            match mounts.last_mut() {
                Some((last, pieces)) if *last == mount => pieces.push(words),
                _ => mounts.push((mount, vec![words])),
            }
        }
        let set = self.settings.iter().map(|setting| format!("{}: {}", setting.adjuster, setting.planned));
        set.chain(mounts.into_iter().map(|(mount, pieces)| format!("{mount}: {}", pieces.join(" + "))))
            .collect()
    }
}
