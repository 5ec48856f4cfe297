//! Why there is no legal plan: by how much, and what limits it.

use schemars::JsonSchema;
use serde::Serialize;

use super::margin::total_sure;
use crate::counts::Counts;
use crate::inspection;
use crate::marks::{self, apart, given};
use crate::plan::Breach;
use crate::quantity::{Exact, Kg, Quantity};
use crate::scenario::Scenario;
use crate::solve;
use crate::units::Mass;
use crate::weighing;

/// By how much the minimum cannot be reached, and what limits it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Shortfall {
    /// Too light by this much with the heaviest lead that was found to fit.
    pub short: Quantity<Kg>,
    /// By no less than this with any lead.
    pub short_at_least: Quantity<Kg>,
    /// What the officials want.
    pub required: Exact<Kg>,
    /// Kart and driver without any lead, as the officials weigh it.
    pub without_lead: Quantity<Kg>,
    /// Lead that is missing to what is required.
    pub needed: Quantity<Kg>,
    /// All lead there is.
    pub lead_in_stock: Exact<Kg>,
    /// What the mounts together may carry.
    pub mounts_carry: Exact<Kg>,
    /// The most lead that the class allows.
    pub most_lead: Option<Exact<Kg>>,
    /// The heaviest lead that fits, if any does.
    pub heaviest_lead: Option<Exact<Kg>>,
    /// What limits it, one sentence each.
    pub limits: Vec<String>,
    /// The rule that is broken by what is fitted and has to stay, if one is.
    pub broken: Option<String>,
}

impl Shortfall {
    /// From what the search found to be out of reach.
    pub fn new(scenario: &Scenario, driver: Option<usize>, found: &solve::Shortfall) -> Shortfall {
        let class = scenario.class();
        let none = Counts::none(scenario.lead().len(), scenario.mounts().len());
        let without_lead = weighing::state(scenario, driver, class.weighed_at, &none).total;
        let required = inspection::required(scenario, driver);
        let needed = required - without_lead;
        let most_lead = class.rules.most_lead;
        let sure = |counts: &Counts| total_sure(scenario, driver, counts);
        let known = |mass: Mass, plus_minus| Exact::from(mass).known_to(plus_minus);
        let short_sure = found.heaviest.as_ref().map_or_else(|| sure(&none), sure);
        Shortfall {
            short: known(found.short, short_sure),
            short_at_least: known(found.short_at_least, short_sure),
            required: required.into(),
            without_lead: known(without_lead, sure(&none)),
            needed: known(needed, sure(&none)),
            lead_in_stock: found.lead_in_stock.into(),
            mounts_carry: found.mounts_carry.into(),
            most_lead: most_lead.map(Exact::from),
            // What is fitted against a rule is no lead that fits.
            heaviest_lead: found
                .heaviest
                .as_ref()
                .filter(|_| found.broken.is_none())
                .map(|counts| weighing::lead(scenario, counts).total.into()),
            limits: limits(found, needed, most_lead),
            broken: found.broken.as_ref().map(|breach| broken(scenario, breach)),
        }
    }
}

fn limits(found: &solve::Shortfall, needed: Mass, most_lead: Option<Mass>) -> Vec<String> {
    if !found.lead_is_free {
        return vec!["lead stays as it is: it is not among what may be changed".to_owned()];
    }
    let below = |what: &str, most: Mass| {
        (most < needed).then(|| format!("{what} {}, {} too little", given(most), apart(needed, most)))
    };
    let limits = [
        below("all lead in the box is", found.lead_in_stock),
        below("all mounts together may carry", found.mounts_carry),
        most_lead.and_then(|most| below("the class allows lead of at most", most)),
    ];
    let mut limits: Vec<String> = limits.into_iter().flatten().collect();
    if limits.is_empty() {
        limits.push(
            "there is lead enough, and the mounts together could carry it, but these pieces do not fit these \
             mounts: look at capacity, room, most_pieces, takes and the rules"
                .to_owned(),
        );
    }
    limits
}

/// What is fitted against a rule, in the names of the file.
fn broken(scenario: &Scenario, breach: &Breach) -> String {
    let name = |mount: &usize| marks::name(&scenario.mounts()[*mount].name);
    let rules = &scenario.class().rules;
    match breach {
        Breach::Capacity { mount, carries } => {
            let most = scenario.mounts()[*mount].may_carry(rules);
            format!("`{}` carries {} and may carry {}", name(mount), given(*carries), given(most))
        }
        Breach::Room { mount, .. } => format!("the stack on `{}` is thicker than its room", name(mount)),
        Breach::Pieces { mount } => format!("`{}` holds more pieces than it may", name(mount)),
        Breach::Kind { kind, mount } => {
            let kind = &scenario.lead()[*kind].name;
            format!("`{kind}` is on `{}`, and the mount or a rule refuses it there", name(mount))
        }
        Breach::MostLead { lead } => {
            let most = rules.most_lead.unwrap_or(Mass::ZERO);
            format!("{} of lead is fitted and the class allows {}", given(*lead), given(most))
        }
        Breach::Stock { .. } | Breach::Locked { .. } | Breach::NotQuick { .. } | Breach::TooLight { .. } => {
            breach.to_string()
        }
    }
}
