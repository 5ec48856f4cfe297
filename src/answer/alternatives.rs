//! Alternatives to a plan: what each gives for what, and what has to be done for it.

use schemars::JsonSchema;
use serde::Serialize;

use super::kart::{Kart, Residual};
use super::work::{Change, Placement, Setting, changes, placements, settings};
use crate::decimals::counted;
use crate::marks::{place, plain};
use crate::plan::Measured;
use crate::quantity::{kg, mm};
use crate::scenario::Scenario;
use crate::tasks::alternatives::{self, Kind, Measures, Without};

/// Differences of mass below this are not told, kg.
const TOLD_KG: f64 = 0.05;
/// Differences of place below this are not told, mm.
const TOLD_MM: f64 = 10.0;

/// What was asked for, and what there is.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Alternatives {
    /// What the plan itself measures.
    pub plan_measures: Measures,
    /// At most as many as were asked for.
    pub found: Vec<Alternative>,
    /// Kinds without one.
    pub without: Vec<Missing>,
}

/// A kind of which there is no alternative.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Missing {
    /// Which.
    pub kind: Kind,
    /// Why.
    pub sentence: String,
}

/// One alternative.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Alternative {
    /// How it differs.
    pub kind: Kind,
    /// What it gives, its own kind first.
    pub gives: Vec<String>,
    /// What it costs.
    pub pays: Vec<String>,
    /// What it measures.
    pub measures: Measures,
    /// Whether every target is met.
    pub on_target: bool,
    /// What is on which mount.
    pub placements: Vec<Placement>,
    /// How every adjuster is set for it.
    pub adjusters: Vec<Setting>,
    /// What is done with lead for it.
    pub changes: Vec<Change>,
    /// How it stands to the targets.
    pub residuals: Vec<Residual>,
}

impl Alternatives {
    /// From what the task has found.
    pub fn new(scenario: &Scenario, found: &alternatives::Alternatives) -> Alternatives {
        let without = found.without.iter().map(|(kind, why)| {
            let because = match why {
                Without::NothingBetter => "this plan is already as good in that".to_owned(),
                Without::SameAs(other) => format!("the same as {other}"),
                Without::NoHeights => "not every mount says how high it is (`z`)".to_owned(),
                Without::Stopped => "nothing was found before the search was stopped".to_owned(),
            };
            Missing { kind: *kind, sentence: format!("{kind}: {because}") }
        });
        let one = |found_one| Alternative::new(scenario, &found.base, found_one);
        Alternatives {
            plan_measures: found.base,
            found: found.found.iter().map(one).collect(),
            without: without.collect(),
        }
    }
}

impl Alternative {
    fn new(scenario: &Scenario, base: &Measures, found: &alternatives::Alternative) -> Alternative {
        let after: &Measured = found.plan.measured();
        let (gives, pays) = compared(found.kind, base, &found.measures);
        Alternative {
            kind: found.kind,
            gives,
            pays,
            measures: found.measures,
            on_target: after.all_on_target(),
            placements: placements(scenario, &after.counts),
            adjusters: settings(scenario, scenario.fitted(), after),
            changes: changes(scenario, scenario.fitted(), after),
            residuals: Kart::new(scenario, after).residuals,
        }
    }
}

/// What an alternative gives and what it costs, what it stands for first.
fn compared(kind: Kind, base: &Measures, other: &Measures) -> (Vec<String>, Vec<String>) {
    let gains = |of: Kind| {
        if of == Kind::Lowest {
            base.lead_height.zip(other.lead_height)?;
        }
        let gain = of.of(base) - of.of(other);
        let (mass, way) = (plain(kg(gain.abs())), place(mm(gain.abs())));
        let nearer = if gain > 0.0 { "nearer to" } else { "further from" };
        let (told, words) = match of {
            Kind::FewestChanges => {
                (1.0, format!("{} instead of {}", counted(other.changes, "change"), base.changes))
            }
            Kind::FewestPieces => {
                (1.0, format!("{} instead of {}", counted(other.pieces, "piece"), base.pieces))
            }
            Kind::Closest => (TOLD_KG, format!("{mass} {nearer} the targets")),
            Kind::Lightest => (TOLD_KG, format!("{mass} {}", if gain > 0.0 { "lighter" } else { "heavier" })),
            Kind::Lowest => {
                (TOLD_MM, format!("the lead {way} {}", if gain > 0.0 { "lower" } else { "higher" }))
            }
            Kind::MostCentral => (TOLD_MM, format!("the lead {way} {nearer} the middle of the kart")),
        };
        (gain.abs() >= told).then_some((gain, words))
    };
    let others = Kind::ALL.into_iter().filter(|of| *of != kind);
    let (mut gives, mut pays) = (Vec::new(), Vec::new());
    for (gain, words) in std::iter::once(kind).chain(others).filter_map(gains) {
        if gain > 0.0 { &mut gives } else { &mut pays }.push(words);
    }
    let outside = other.outside_tolerances.value - base.outside_tolerances.value;
    let mass = plain(kg(outside.abs()));
    if outside >= TOLD_KG {
        pays.insert(0, format!("{mass} more outside the tolerances"));
    } else if outside <= -TOLD_KG {
        gives.push(format!("{mass} less outside the tolerances"));
    }
    (gives, pays)
}
