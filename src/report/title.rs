//! Who is on what: the line over every report.
//! Takes names; gives one line.
//! Does not know what is reported of them.

use std::fmt;

/// Who is on what.
#[derive(Clone, Copy, Debug)]
pub struct Title<'v> {
    /// Who drives; none for a kart without driver.
    pub driver: Option<&'v str>,
    /// The kart's name.
    pub kart: &'v str,
    /// The class's name.
    pub class: &'v str,
}

impl fmt::Display for Title<'_> {
    /// `Sam on kart 7, club senior`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Title { driver, kart, class } = self;
        match driver {
            Some(driver) => write!(f, "{driver} on {kart}, {class}"),
            None => write!(f, "{kart} without a driver, {class}"),
        }
    }
}
