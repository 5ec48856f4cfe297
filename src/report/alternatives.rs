//! Alternatives to a plan, as lines: what each gives for what, and what has to be done for it.
//! Takes what the task has found; gives sentences, numbers and job lists in the units of the screen.
//! Does not compare anything but measures that are given.

use super::amount::{Screen, rounded_kg, rounded_mm};
use super::changes::{JobLine, Placement, job_lines, placements};
use super::help::changes;
use super::margin::total_sure;
use super::setting::{SettingLine, setting_lines};
use super::state::Known;
use super::target::{TargetLines, target_lines};
use crate::plan::Measured;
use crate::scenario::Scenario;
use crate::tasks::alternatives::{Alternatives, Kind, Measures, Without};
use crate::units::Length;

/// Differences of mass below this are not told, kg.
const TOLD_KG: f64 = 0.05;
/// Differences of place below this are not told, mm.
const TOLD_MM: f64 = 10.0;

/// One alternative.
#[derive(Clone, Debug, PartialEq)]
pub struct AlternativeLine {
    /// `fewest_changes`.
    pub key: &'static str,
    /// `fewest changes`.
    pub name: String,
    /// What it gives, its own kind first.
    pub gives: Vec<String>,
    /// What it costs.
    pub pays: Vec<String>,
    /// What it measures.
    pub measures: Measures,
    /// The ± of its total, at k = 2, kg.
    pub total_sure_kg: f64,
    /// How every adjuster is set for it.
    pub settings: Vec<SettingLine>,
    /// What is done with lead for it.
    pub jobs: Vec<JobLine>,
    /// What is on which mount.
    pub placements: Vec<Placement>,
    /// Targets now and with it.
    pub targets: Vec<TargetLines>,
    /// Whether every target is met.
    pub all_in_band: bool,
}

/// What was asked for, and what there is.
#[derive(Clone, Debug, PartialEq)]
pub struct AlternativeLines {
    /// What the plan itself measures.
    pub base: Measures,
    /// At most as many as were asked for.
    pub lines: Vec<AlternativeLine>,
    /// Kinds without one: key and sentence.
    pub without: Vec<(&'static str, String)>,
}

impl Measures {
    /// Rounded as documents show them.
    fn rounded(self) -> Measures {
        Measures {
            total_kg: rounded_kg(self.total_kg),
            outside_kg: rounded_kg(self.outside_kg),
            close_kg: rounded_kg(self.close_kg),
            height_mm: self.height_mm.map(rounded_mm),
            from_middle_mm: rounded_mm(self.from_middle_mm),
            ..self
        }
    }
}

/// The key of a kind in documents.
const fn key(kind: Kind) -> &'static str {
    match kind {
        Kind::FewestChanges => "fewest_changes",
        Kind::FewestPieces => "fewest_pieces",
        Kind::Closest => "closest",
        Kind::Lightest => "lightest",
        Kind::Lowest => "lowest",
        Kind::MostCentral => "most_central",
    }
}

impl AlternativeLines {
    /// From what the task has found.
    pub fn new(screen: Screen, scenario: &Scenario, found: &Alternatives) -> AlternativeLines {
        let lines = found.found.iter().map(|alternative| {
            let after = alternative.plan.measured();
            let before = Measured::new(scenario, after.driver, scenario.fitted().clone());
            let (now, then) = (Known::new(scenario, &before), Known::new(scenario, after));
            let (gives, pays) = compared(screen, alternative.kind, &found.base, &alternative.measures);
            AlternativeLine {
                key: key(alternative.kind),
                name: alternative.kind.to_string(),
                gives,
                pays,
                measures: alternative.measures.rounded(),
                total_sure_kg: total_sure(screen, scenario, after.driver, &after.counts).kg,
                settings: setting_lines(scenario, after),
                jobs: job_lines(screen, scenario, after),
                placements: placements(screen, scenario, &after.counts),
                targets: target_lines(screen, scenario, &now, &then),
                all_in_band: after.all_in_band(),
            }
        });
        let without = found.without.iter().map(|(kind, why)| {
            let because = match why {
                Without::NothingBetter => "this plan is already as good in that".to_owned(),
                Without::SameAs(other) => format!("the same as {other}"),
                Without::NoHeights => "not every mount says how high it is (`z`)".to_owned(),
                Without::Stopped => "nothing was found before the search was stopped".to_owned(),
            };
            (key(*kind), format!("{kind}: {because}"))
        });
        AlternativeLines { base: found.base.rounded(), lines: lines.collect(), without: without.collect() }
    }
}

/// What an alternative gives and what it costs, what it stands for first.
fn compared(screen: Screen, kind: Kind, base: &Measures, other: &Measures) -> (Vec<String>, Vec<String>) {
    let words = |of: Kind, gain: f64| {
        let kg = screen.plain(gain.abs());
        let mm = screen.place(Length::from_mm(gain.abs()));
        match (of, gain > 0.0) {
            (Kind::FewestChanges, _) => format!("{} instead of {}", changes(other.changes), base.changes),
            (Kind::FewestPieces, _) => {
                let pieces = if other.pieces == 1 { "piece" } else { "pieces" };
                format!("{} {pieces} instead of {}", other.pieces, base.pieces)
            }
            (Kind::Closest, true) => format!("{kg} nearer to the aims"),
            (Kind::Closest, false) => format!("{kg} further from the aims"),
            (Kind::Lightest, true) => format!("{kg} lighter"),
            (Kind::Lightest, false) => format!("{kg} heavier"),
            (Kind::Lowest, true) => format!("the lead {mm} lower"),
            (Kind::Lowest, false) => format!("the lead {mm} higher"),
            (Kind::MostCentral, true) => format!("the lead {mm} nearer to the middle of the kart"),
            (Kind::MostCentral, false) => format!("the lead {mm} further from the middle of the kart"),
        }
    };
    let gains = |of: Kind| {
        let (gain, told) = match of {
            Kind::FewestChanges => (f64::from(base.changes) - f64::from(other.changes), 1.0),
            Kind::FewestPieces => (f64::from(base.pieces) - f64::from(other.pieces), 1.0),
            Kind::Closest => (base.close_kg - other.close_kg, TOLD_KG),
            Kind::Lightest => (base.total_kg - other.total_kg, TOLD_KG),
            Kind::Lowest => (base.height_mm? - other.height_mm?, TOLD_MM),
            Kind::MostCentral => (base.from_middle_mm - other.from_middle_mm, TOLD_MM),
        };
        (gain.abs() >= told).then_some((of, gain))
    };
    let others = Kind::ALL.into_iter().filter(|of| *of != kind);
    let (mut gives, mut pays) = (Vec::new(), Vec::new());
    for (of, gain) in std::iter::once(kind).chain(others).filter_map(gains) {
        if gain > 0.0 { &mut gives } else { &mut pays }.push(words(of, gain));
    }
    let outside = other.outside_kg - base.outside_kg;
    if outside.abs() >= TOLD_KG {
        let kg = screen.plain(outside.abs());
        if outside > 0.0 {
            pays.insert(0, format!("{kg} more outside the bands"));
        } else {
            gives.push(format!("{kg} less outside the bands"));
        }
    }
    (gives, pays)
}
