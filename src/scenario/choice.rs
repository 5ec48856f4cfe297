//! Which driver a command is about: the one named on the command line, else today's.
//! Takes a name or none; gives the driver's position in the file, or the fault that says which there are.
//! Does not know where the name was typed.

use super::Scenario;
use crate::diagnosis::Fault;
use crate::document::no_such;

impl Scenario {
    /// The driver of that name, in capitals or not; names that differ only by capitals are refused when a
    /// file is read.
    pub fn driver_called(&self, name: &str) -> Result<usize, Fault> {
        let wanted = name.trim().to_lowercase();
        self.drivers
            .iter()
            .position(|driver| driver.name.to_lowercase() == wanted)
            .ok_or_else(|| no_such("driver", name, self.drivers.iter().map(|driver| driver.name.as_str())))
    }

    /// Today's driver; none for a kart whose file lists no driver. Fails if there are several and none is
    /// chosen.
    pub fn driver_of_today(&self) -> Result<Option<usize>, Fault> {
        if self.driver.is_none() && !self.drivers.is_empty() {
            let drivers = self.drivers.iter().map(|driver| driver.name.clone()).collect();
            return Err(Fault::NoDriverChosen { drivers });
        }
        Ok(self.driver)
    }
}
