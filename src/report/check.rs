//! What `check` has to show: everything wrong at once, or what the file holds.
//! Takes a scenario or its diagnoses; gives a view in the units of the screen.
//! Does not read files and does not solve.

use super::amount::{Screen, Weight};
use super::plan::Required;
use crate::counts::Counts;
use crate::scenario::Scenario;
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

impl CheckView {
    /// Counts what a scenario holds.
    pub fn new(screen: Screen, file: String, scenario: &Scenario) -> CheckView {
        let lead = scenario.lead();
        let none = Counts::none(lead.len(), scenario.mounts().len());
        let class = scenario.class();
        let drivers: Vec<Option<usize>> = match scenario.drivers().len() {
            0 => vec![None],
            several => (0..several).map(Some).collect(),
        };
        let needs = drivers.into_iter().map(|driver| {
            let bare = weighing::state(scenario, driver, class.weighed_at, &none).total;
            let name = driver.map(|index| scenario.drivers()[index].name.clone());
            (name, screen.given(class.required() - bare))
        });
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
            required: Required::new(screen, scenario),
            needs: needs.collect(),
        }
    }
}
