//! Drivers known only by their dressed mass: where they act is taken from another driver.
//! Takes a scenario whose drivers have been read; gives those without a place of their own that of somebody who has one.
//! Does not know what that makes of a plan, and does not guess where nobody is known.
//!
//! Whoever sits in a seat acts about where the last one did. So the driver who was on the pads lends his place; if the seat
//! was empty then, the first driver of the file who has one. What is left is how people differ in one seat: length of legs,
//! a fuller figure, another insert. The own place of the lender errs too, and whoever borrowed it errs with him.

use super::{Driver, Scenario};
use crate::statics::Point;
use crate::units::Length;

/// How far forward or back, and to a side, a driver may act from where another does in the same seat. Common practice, no
/// published source: an insert is a few centimetres thick, and nobody sits far from the middle of a seat.
const WITHIN_MM: [f64; 2] = [40.0, 20.0];

impl Driver {
    /// The limit of error of a place that was taken from another driver: forward and to the left.
    pub fn borrowed_within() -> [Length; 2] {
        WITHIN_MM.map(Length::from_mm)
    }
}

impl Scenario {
    /// Gives every driver without a place the place of another, where one is needed and known.
    pub(super) fn lend_places(&mut self) {
        let aboard = self.weighing.aboard.driver;
        let lender = lender(aboard, self.drivers.iter().map(|driver| driver.acts));
        let Some((lender, acts)) = lender else { return };
        for (index, driver) in self.drivers.iter_mut().enumerate() {
            if driver.acts.is_none() && driver.weighing.is_none() && aboard != Some(index) {
                driver.acts = Some(acts);
                driver.place_of = Some(lender);
            }
        }
    }
}

/// Who lends a place, and which: the driver on the pads, if his own is known; whoever is first known, if the seat was empty.
pub(super) fn lender(
    aboard: Option<usize>,
    mut places: impl Iterator<Item = Option<Point>>,
) -> Option<(usize, Point)> {
    match aboard {
        // Were somebody else's place to stand in for that of the driver on the pads, it would have to be told first.
        Some(aboard) => Some((aboard, places.nth(aboard)??)),
        None => places.enumerate().find_map(|(index, acts)| Some((index, acts?))),
    }
}
