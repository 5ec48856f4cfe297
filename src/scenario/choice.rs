//! What a command is about: which driver, and what a plan may change.

use super::{Access, Adjuster, Lever, Scenario};
use crate::diagnosis::Fault;
use crate::document::no_such;

impl Scenario {
    /// The driver of that name, in capitals or not; names that differ only by capitals are refused when a
    /// file is read.
    pub fn driver_called(&self, name: &str) -> Result<usize, Fault> {
        let wanted = name.trim().to_lowercase();
        if let Some(driver) = self.unweighed.iter().find(|driver| driver.to_lowercase() == wanted) {
            return Err(Fault::DriverMassMissing { driver: driver.clone() });
        }
        self.drivers
            .iter()
            .position(|driver| driver.name.to_lowercase() == wanted)
            .ok_or_else(|| no_such("driver", name, self.drivers.iter().map(|driver| driver.name.as_str())))
    }
}

impl Scenario {
    /// The same with these mounts and adjusters left as they are, and what may then be changed.
    pub fn leaving(&self, mounts: &[usize], adjusters: &[usize]) -> (Scenario, Freedom) {
        let (mut scenario, mut freedom) = (self.clone(), Freedom::all(self));
        for mount in mounts {
            scenario.mounts[*mount].access = Access::Locked;
        }
        for adjuster in adjusters {
            freedom.adjusters[*adjuster] = false;
        }
        (scenario, freedom)
    }
}

/// What a plan may change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Freedom {
    /// Whether lead may be taken off, moved and put on.
    pub lead: bool,
    /// Whether each adjuster may be set.
    pub adjusters: Vec<bool>,
}

impl Freedom {
    /// Everything may be changed.
    pub fn all(scenario: &Scenario) -> Freedom {
        Freedom { lead: true, adjusters: vec![true; scenario.adjusters().len()] }
    }

    /// Only what is named: `lead`, `seat`, `spacers`, or an adjuster by its name.
    pub fn only(scenario: &Scenario, names: &[String]) -> Result<Freedom, Fault> {
        let adjusters = scenario.adjusters();
        let mut freedom = Freedom { lead: false, adjusters: vec![false; adjusters.len()] };
        for name in names {
            let meant = |adjuster: &Adjuster| match name.as_str() {
                SPACERS => matches!(adjuster.lever, Lever::Spindle { .. }),
                name => adjuster.name == name,
            };
            let found: Vec<usize> = (0..adjusters.len()).filter(|index| meant(&adjusters[*index])).collect();
            if name == LEAD {
                freedom.lead = true;
            } else if found.is_empty() {
                let spindles = adjusters.iter().any(|a| matches!(a.lever, Lever::Spindle { .. }));
                let known = adjusters.iter().map(|adjuster| adjuster.name.as_str());
                let known = [LEAD].into_iter().chain(spindles.then_some(SPACERS)).chain(known);
                return Err(no_such("adjuster", name, known));
            }
            for index in found {
                freedom.adjusters[index] = true;
            }
        }
        Ok(freedom)
    }
}

/// The word for lead among what may be changed.
const LEAD: &str = "lead";

/// The word for the washers of both spindles.
const SPACERS: &str = "spacers";
