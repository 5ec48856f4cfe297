//! What `check` has found in a file without errors: what it holds, and what lead each driver needs.

use schemars::JsonSchema;
use serde::Serialize;

use super::margin::{Required, total_sure};
use crate::counts::Counts;
use crate::diagnosis::{Fault, Summary};
use crate::document::written_mass;
use crate::inspection;
use crate::quantity::{Exact, Kg, Quantity};
use crate::scenario::Scenario;
use crate::units::Mass;
use crate::weighing;

/// What a file holds.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Check {
    /// The file, as the user named it.
    #[serde(skip)]
    pub file: String,
    /// The kart's name.
    pub kart: String,
    /// The class's name.
    pub class: String,
    /// Number of targets.
    pub targets: usize,
    /// Number of mounts.
    pub mounts: usize,
    /// What they may carry together.
    pub mounts_carry: Exact<Kg>,
    /// Number of pieces of lead.
    pub pieces: u32,
    /// All of them together.
    pub all_lead: Exact<Kg>,
    /// How many of them are fitted now.
    pub pieces_fitted: u32,
    /// For every driver.
    pub needs: Vec<Need>,
    /// Nothing, as there are no errors.
    pub diagnoses: Vec<Summary>,
}

/// The lead that a driver needs.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Need {
    /// Who; none for a kart without drivers.
    pub driver: Option<String>,
    /// What the officials want of this driver: the margin depends on how well the driver is known.
    #[serde(flatten)]
    pub wanted: Required,
    /// To what is required, negative if none is needed.
    pub lead: Quantity<Kg>,
}

impl Check {
    /// Counts what a scenario holds.
    pub fn new(file: String, scenario: &Scenario) -> Check {
        let (lead, mounts, class) = (scenario.lead(), scenario.mounts(), scenario.class());
        let needs = needs(scenario).map(|(driver, needed)| Need {
            driver: name(scenario, driver),
            wanted: Required::new(scenario, driver),
            lead: Exact::from(needed).known_to(total_sure(scenario, driver, &no_lead(scenario))),
        });
        Check {
            file,
            kart: scenario.kart().name.clone(),
            class: class.name.clone(),
            targets: scenario.targets().len(),
            mounts: mounts.len(),
            mounts_carry: mounts.iter().map(|mount| mount.may_carry(&class.rules)).sum::<Mass>().into(),
            pieces: lead.iter().map(|kind| kind.count).sum(),
            all_lead: lead.iter().map(|kind| kind.mass * kind.count).sum::<Mass>().into(),
            pieces_fitted: scenario.fitted().placed().map(|(_, _, count)| count).sum(),
            needs: needs.collect(),
            diagnoses: Vec::new(),
        }
    }
}

/// Drivers whom all the lead there is does not bring to the minimum, in the units of the file. Sums only: `plan` proves it.
pub fn out_of_reach(scenario: &Scenario) -> Vec<Fault> {
    let (mounts, lead, rules) = (scenario.mounts(), scenario.lead(), &scenario.class().rules);
    let lead: Mass = lead.iter().map(|kind| kind.mass * kind.count).sum();
    let carried: Mass = mounts.iter().map(|mount| mount.may_carry(rules)).sum();
    let (available, limit) = [
        Some((lead, "all lead in the box is")),
        Some((carried, "all mounts together may carry")),
        rules.most_lead.map(|most| (most, "the class allows")),
    ]
    .into_iter()
    .flatten()
    .min_by_key(|(mass, _)| *mass)
    .unwrap_or((Mass::ZERO, "there is"));
    let written = |mass| written_mass(mass, scenario.units());
    let short = |(driver, needed): (Option<usize>, Mass)| {
        (needed > available).then(|| Fault::OutOfReach {
            driver: name(scenario, driver),
            needed: written(needed),
            available: written(available),
            limit,
            short: written(needed - available),
        })
    };
    needs(scenario).filter_map(short).collect()
}

fn name(scenario: &Scenario, driver: Option<usize>) -> Option<String> {
    driver.map(|index| scenario.drivers()[index].name.clone())
}

fn no_lead(scenario: &Scenario) -> Counts {
    Counts::none(scenario.lead().len(), scenario.mounts().len())
}

/// For every driver (none for a kart without) the lead that is needed.
fn needs(scenario: &Scenario) -> impl Iterator<Item = (Option<usize>, Mass)> {
    let class = scenario.class();
    let none = no_lead(scenario);
    let drivers: Vec<Option<usize>> = match scenario.drivers().len() {
        0 => vec![None],
        several => (0..several).map(Some).collect(),
    };
    drivers.into_iter().map(move |driver| {
        let bare = weighing::state(scenario, driver, class.weighed_at, &none).total;
        (driver, inspection::required(scenario, driver) - bare)
    })
}
