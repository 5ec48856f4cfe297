//! What `check` has to show: everything wrong at once, or what the file holds.
//! Takes a scenario or its diagnoses; gives a view in the units of the screen.
//! Does not read files and does not solve.

use super::amount::{Screen, Weight};
use super::margin::{self, Required};
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
    /// For every driver.
    pub needs: Vec<Need>,
}

/// The lead that a driver needs.
#[derive(Clone, Debug, PartialEq)]
pub struct Need {
    /// Who; none for a kart without drivers.
    pub driver: Option<String>,
    /// What the officials want of this driver: the margin depends on how well the driver is known.
    pub required: Required,
    /// To what is required, negative if none is needed.
    pub lead: Weight,
    /// The ± of it, at k = 2: that of the kart without lead, as what is required is a rule.
    pub sure: Weight,
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

impl CheckView {
    /// What the officials want of whoever drives, if it is the same for all.
    pub fn required(&self) -> Option<&Required> {
        let (first, others) = self.needs.split_first()?;
        others.iter().all(|other| other.required == first.required).then_some(&first.required)
    }

    /// Counts what a scenario holds.
    pub fn new(screen: Screen, file: String, scenario: &Scenario) -> CheckView {
        let lead = scenario.lead();
        let class = scenario.class();
        let none = no_lead(scenario);
        let needs = needs(scenario).map(|(driver, needed)| Need {
            driver: name(scenario, driver),
            required: Required::new(screen, scenario, driver),
            lead: screen.given(needed),
            sure: margin::total_sure(screen, scenario, driver, &none),
        });
        CheckView {
            screen,
            file,
            kart: scenario.kart().name.clone(),
            class: class.name.clone(),
            targets: scenario.targets().len(),
            mounts: scenario.mounts().len(),
            mounts_carry: screen
                .given(scenario.mounts().iter().map(|mount| mount.may_carry(&class.rules)).sum()),
            pieces: lead.iter().map(|kind| kind.count).sum(),
            lead: screen.given(lead.iter().map(|kind| kind.mass * kind.count).sum()),
            fitted: scenario.fitted().placed().map(|(_, _, count)| count).sum(),
            needs: needs.collect(),
        }
    }
}
