//! What `check` has to show: everything wrong at once, or what the file holds.
//! Takes a scenario or its diagnoses; gives a view in the units of the screen.
//! Does not read files and does not solve.

use super::amount::{Screen, Weight};
use super::margin::Required;
use crate::counts::Counts;
use crate::diagnosis::Fault;
use crate::document::written_mass;
use crate::inspection;
use crate::scenario::Scenario;
use crate::units::Mass;
use crate::weighing;

/// Everything that `check` shows of a file without errors.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckView {
    /// Units of the screen.
    pub screen: Screen,
    /// The file, as the user named it.
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
    pub mounts_carry: Weight,
    /// Number of pieces of lead.
    pub pieces: u32,
    /// All of them together.
    pub lead: Weight,
    /// How many of them are fitted now.
    pub fitted: u32,
    /// What the officials want.
    pub required: Required,
    /// For every driver (none for a kart without) the lead that is needed, negative if none is.
    pub needs: Vec<(Option<String>, Weight)>,
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
    let short = |(driver, needed): (Option<String>, Mass)| {
        (needed > available).then(|| Fault::OutOfReach {
            driver,
            needed: written(needed),
            available: written(available),
            limit,
            short: written(needed - available),
        })
    };
    needs(scenario).filter_map(short).collect()
}

/// For every driver (none for a kart without) the lead that is needed.
fn needs(scenario: &Scenario) -> impl Iterator<Item = (Option<String>, Mass)> {
    let class = scenario.class();
    let none = Counts::none(scenario.lead().len(), scenario.mounts().len());
    let drivers: Vec<Option<usize>> = match scenario.drivers().len() {
        0 => vec![None],
        several => (0..several).map(Some).collect(),
    };
    drivers.into_iter().map(move |driver| {
        let bare = weighing::state(scenario, driver, class.weighed_at, &none).total;
        let name = driver.map(|index| scenario.drivers()[index].name.clone());
        (name, inspection::required(scenario, driver) - bare)
    })
}

impl CheckView {
    /// Counts what a scenario holds.
    pub fn new(screen: Screen, file: String, scenario: &Scenario) -> CheckView {
        let lead = scenario.lead();
        let class = scenario.class();
        let needs = needs(scenario).map(|(driver, needed)| (driver, screen.given(needed)));
        CheckView {
            screen,
            file,
            kart: scenario.kart().name.clone(),
            class: class.name.clone(),
            targets: scenario.targets().len(),
            mounts: scenario.mounts().len(),
            mounts_carry: screen.given(scenario.mounts().iter().map(|mount| mount.capacity).sum()),
            pieces: lead.iter().map(|kind| kind.count).sum(),
            lead: screen.given(lead.iter().map(|kind| kind.mass * kind.count).sum()),
            fitted: scenario.fitted().placed().map(|(_, _, count)| count).sum(),
            required: Required::new(screen, scenario, scenario.driver()),
            needs: needs.collect(),
        }
    }
}
