//! Alternatives to a plan: what each gives for what, and what has to be done for it.
//! Takes what the task has found; gives sentences, numbers and job lists.
//! Does not compare anything but measures that are given.

use schemars::JsonSchema;
use serde::Serialize;

use super::help::counted;
use super::kart::{Kart, Residual};
use super::margin::total_sure;
use super::work::{Change, Placement, Setting, changes, placements, settings};
use crate::marks::{place, plain};
use crate::plan::Measured;
use crate::quantity::{Exact, Kg, Mm, Quantity, kg, mm};
use crate::scenario::Scenario;
use crate::tasks::alternatives::{self, Kind, Without};

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

/// What plans are compared by.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Measures {
    /// From what is fitted.
    pub changes: u32,
    /// On the kart.
    pub pieces: u32,
    /// As the officials weigh it.
    pub total: Quantity<Kg>,
    /// Summed over the targets.
    pub outside_tolerances: Exact<Kg>,
    /// Summed over the targets.
    pub from_aims: Exact<Kg>,
    /// Of the middle of the lead above the ground.
    pub lead_height: Option<Exact<Mm>>,
    /// Root mean square of the lead's distances from the kart's centre of gravity, seen from above.
    pub lead_from_middle: Exact<Mm>,
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

impl Measures {
    fn new(measures: &alternatives::Measures, total_sure: Exact<Kg>) -> Measures {
        Measures {
            changes: measures.changes,
            pieces: measures.pieces,
            total: kg(measures.total_kg).known_to(total_sure),
            outside_tolerances: kg(measures.outside_kg),
            from_aims: kg(measures.close_kg),
            lead_height: measures.height_mm.map(mm),
            lead_from_middle: mm(measures.from_middle_mm),
        }
    }
}

impl Alternatives {
    /// From what the task has found; `plan_sure` is the ± of the plan's own total.
    pub fn new(
        scenario: &Scenario,
        found: &alternatives::Alternatives,
        plan_sure: Exact<Kg>,
    ) -> Alternatives {
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
            plan_measures: Measures::new(&found.base, plan_sure),
            found: found.found.iter().map(one).collect(),
            without: without.collect(),
        }
    }
}

impl Alternative {
    fn new(
        scenario: &Scenario,
        base: &alternatives::Measures,
        found: &alternatives::Alternative,
    ) -> Alternative {
        let after: &Measured = found.plan.measured();
        let (gives, pays) = compared(found.kind, base, &found.measures);
        Alternative {
            kind: found.kind,
            gives,
            pays,
            measures: Measures::new(&found.measures, total_sure(scenario, after.driver, &after.counts)),
            on_target: after.all_on_target(),
            placements: placements(scenario, &after.counts),
            adjusters: settings(scenario, scenario.fitted(), after),
            changes: changes(scenario, scenario.fitted(), after),
            residuals: Kart::new(scenario, after).residuals,
        }
    }
}

/// What an alternative gives and what it costs, what it stands for first.
fn compared(
    kind: Kind,
    base: &alternatives::Measures,
    other: &alternatives::Measures,
) -> (Vec<String>, Vec<String>) {
    let count = |now: u32, then: u32, what: &str| {
        let words = format!("{} instead of {now}", counted(then, what));
        (f64::from(now) - f64::from(then), 1.0, words.clone(), words)
    };
    let mass = |gain: f64, more: &str, less: &str| {
        let mass = plain(kg(gain.abs()));
        (gain, TOLD_KG, format!("{mass} {more}"), format!("{mass} {less}"))
    };
    let way = |gain: f64, more: &str, less: &str| {
        let way = place(mm(gain.abs()));
        (gain, TOLD_MM, format!("the lead {way} {more}"), format!("the lead {way} {less}"))
    };
    let gains = |of: Kind| {
        let (gain, told, better, worse) = match of {
            Kind::FewestChanges => count(base.changes, other.changes, "change"),
            Kind::FewestPieces => count(base.pieces, other.pieces, "piece"),
            Kind::Closest => {
                mass(base.close_kg - other.close_kg, "nearer to the aims", "further from the aims")
            }
            Kind::Lightest => mass(base.total_kg - other.total_kg, "lighter", "heavier"),
            Kind::Lowest => way(base.height_mm? - other.height_mm?, "lower", "higher"),
            Kind::MostCentral => way(
                base.from_middle_mm - other.from_middle_mm,
                "nearer to the middle of the kart",
                "further from the middle of the kart",
            ),
        };
        let words = if gain > 0.0 { better } else { worse };
        (gain.abs() >= told).then_some((gain, words))
    };
    let others = Kind::ALL.into_iter().filter(|of| *of != kind);
    let (mut gives, mut pays) = (Vec::new(), Vec::new());
    for (gain, words) in std::iter::once(kind).chain(others).filter_map(gains) {
        if gain > 0.0 { &mut gives } else { &mut pays }.push(words);
    }
    let outside = other.outside_kg - base.outside_kg;
    let mass = plain(kg(outside.abs()));
    if outside >= TOLD_KG {
        pays.insert(0, format!("{mass} more outside the tolerances"));
    } else if outside <= -TOLD_KG {
        gives.push(format!("{mass} less outside the tolerances"));
    }
    (gives, pays)
}
