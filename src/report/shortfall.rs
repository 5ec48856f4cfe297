//! Why there is no legal plan: by how much, and what limits it.
//! Takes the scenario and what the search found to be out of reach; gives numbers and sentences in the units
//! of the screen.
//! Does not look for remedies: what would help is another question.

use super::amount::{Screen, Weight};
use super::margin::total_sure;
use crate::counts::Counts;
use crate::inspection;
use crate::plan::Breach;
use crate::scenario::Scenario;
use crate::solve::Shortfall;
use crate::units::Mass;
use crate::weighing;

/// By how much the minimum cannot be reached, and what limits it.
#[derive(Clone, Debug, PartialEq)]
pub struct ShortfallLines {
    /// Too light by this much with the heaviest lead that was found to fit.
    pub short: Weight,
    /// The ± of it, at k = 2.
    pub short_sure: Weight,
    /// By no less than this with any lead.
    pub short_at_least: Weight,
    /// Kart and driver without any lead, as the officials weigh it.
    pub without_lead: Weight,
    /// The ± of it, and of the lead that is missing, as what is required is a rule.
    pub without_lead_sure: Weight,
    /// Lead that is missing to the required mass.
    pub needed: Weight,
    /// All lead there is.
    pub in_the_box: Weight,
    /// What the mounts together may carry.
    pub mounts_carry: Weight,
    /// The most lead that the class allows.
    pub most_lead: Option<Weight>,
    /// The heaviest lead that fits, if any does.
    pub heaviest: Option<Weight>,
    /// The same as a table for people, flush, with what is wanted; the ± of what was weighed.
    pub facts: Vec<(&'static str, Weight, Option<Weight>)>,
    /// What limits it, one sentence each.
    pub limits: Vec<String>,
    /// The rule that is broken by what is fitted and has to stay.
    pub broken: Option<String>,
}

const LEAD_STAYS: &str = "lead stays as it is: it is not among what may be changed";

/// What is fitted against a rule, in the names of the file.
fn broken(screen: Screen, scenario: &Scenario, breach: &Breach) -> String {
    let name = |mount: &usize| &scenario.mounts()[*mount].name;
    let rules = &scenario.class().rules;
    match breach {
        Breach::Capacity { mount, carries } => {
            let most = scenario.mounts()[*mount].may_carry(rules);
            format!(
                "`{}` carries {} and may carry {}",
                name(mount),
                screen.given(*carries),
                screen.given(most)
            )
        }
        Breach::Room { mount, .. } => format!("the stack on `{}` is thicker than its room", name(mount)),
        Breach::Pieces { mount } => format!("`{}` holds more pieces than it may", name(mount)),
        Breach::Kind { kind, mount } => {
            let kind = &scenario.lead()[*kind].name;
            format!("`{kind}` is on `{}`, and the mount or a rule refuses it there", name(mount))
        }
        Breach::MostLead { lead } => {
            let most = rules.most_lead.unwrap_or(Mass::ZERO);
            format!("{} of lead is fitted and the class allows {}", screen.given(*lead), screen.given(most))
        }
        Breach::Stock { .. } | Breach::Locked { .. } | Breach::NotQuick { .. } | Breach::TooLight { .. } => {
            breach.to_string()
        }
    }
}

impl ShortfallLines {
    /// From what the search found to be out of reach.
    pub fn new(
        screen: Screen,
        scenario: &Scenario,
        driver: Option<usize>,
        shortfall: &Shortfall,
    ) -> ShortfallLines {
        let class = scenario.class();
        let none = Counts::none(scenario.lead().len(), scenario.mounts().len());
        let without_lead = weighing::state(scenario, driver, class.weighed_at, &none).total;
        let required = inspection::required(scenario, driver);
        let needed = required - without_lead;
        let most_lead = class.rules.most_lead;
        let heaviest = shortfall.heaviest.as_ref().map(|counts| weighing::lead(scenario, counts).total);
        let below = |what: &str, most: Mass| {
            (most < needed).then(|| {
                let gap = screen.apart(needed, most);
                format!("{what} {}, {gap} too little", screen.given(most))
            })
        };
        let mut limits: Vec<String> = [
            below("all lead in the box is", shortfall.lead_in_stock),
            below("all mounts together may carry", shortfall.mounts_carry),
            most_lead.and_then(|most| below("the class allows lead of at most", most)),
        ]
        .into_iter()
        .flatten()
        .collect();
        if !shortfall.lead_is_free {
            limits = vec![LEAD_STAYS.to_owned()];
        }
        if limits.is_empty() {
            limits.push(
                "there is lead enough, and the mounts together could carry it, but these pieces do not fit \
                 these mounts: look at capacity, room, most_pieces, takes and the rules"
                    .to_owned(),
            );
        }
        let sure = |counts: &Counts| total_sure(screen, scenario, driver, counts);
        let without_lead_sure = sure(&none);
        let weighed = Some(&without_lead_sure);
        let facts: Vec<(&str, Mass, Option<&Weight>)> = [
            ("wanted", Some(required), None),
            ("without lead", Some(without_lead), weighed),
            ("lead needed", Some(needed), weighed),
            ("all lead in the box", Some(shortfall.lead_in_stock), None),
            ("mounts may carry", Some(shortfall.mounts_carry), None),
            ("the class allows", most_lead, None),
            ("heaviest that fits", heaviest, None),
        ]
        .into_iter()
        .filter_map(|(what, mass, sure)| Some((what, mass?, sure)))
        .collect();
        let flush = screen.given_flush(facts.iter().map(|(_, mass, _)| *mass));
        let facts =
            facts.iter().zip(flush).map(|((what, _, sure), mass)| (*what, mass, sure.cloned())).collect();
        ShortfallLines {
            short: screen.given(shortfall.short),
            short_sure: shortfall.heaviest.as_ref().map_or_else(|| without_lead_sure.clone(), sure),
            short_at_least: screen.given(shortfall.short_at_least),
            without_lead: screen.given(without_lead),
            without_lead_sure,
            needed: screen.given(needed),
            in_the_box: screen.given(shortfall.lead_in_stock),
            mounts_carry: screen.given(shortfall.mounts_carry),
            most_lead: most_lead.map(|most| screen.given(most)),
            heaviest: heaviest.map(|lead| screen.given(lead)),
            facts,
            limits,
            broken: shortfall.broken.as_ref().map(|breach| broken(screen, scenario, breach)),
        }
    }
}
