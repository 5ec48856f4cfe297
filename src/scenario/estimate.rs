//! Drivers known only by their dressed mass: where they act is taken from another driver, or from how people sit in karts.
//!
//! Whoever sits in a seat acts about where the last one did. So the driver who was on the pads lends his place; if nobody knows
//! it, or the seat was empty then, the first driver of the file who has one; if nobody has, it is that of the seat, or the usual
//! one of a kart. What is left is how people differ in one seat: length of legs, a fuller figure, another insert. The own place
//! of the lender errs too, and whoever borrowed it errs with him.

use super::{Driver, Kart, Scenario, Seat};
use crate::statics::Point;
use crate::units::Length;

/// How far forward or back, and to a side, a driver may act from where another does in the same seat. Common practice, no
/// published source: an insert is a few centimetres thick, and nobody sits far from the middle of a seat.
const BORROWED_WITHIN_MM: [f64; 2] = [40.0, 20.0];
/// The same from where drivers usually act; assumed.
const USUAL_WITHIN_MM: [f64; 2] = [100.0, 40.0];
/// Where a driver acts of whom nothing at all is known, as a share of the wheelbase: that of the kart with driver in
/// Lot & Dal Bianco 2016 (as transcribed; paper not seen).
const USUAL_STATION: f64 = 0.4 / 1.045;

impl Driver {
    /// The limit of error of the usual place, forward and to the left.
    pub(crate) fn unknown_within() -> [Length; 2] {
        USUAL_WITHIN_MM.map(Length::from_mm)
    }

    /// The limit of error of this driver's place, forward and to the left, where nobody told it; `index` is the driver's own.
    pub fn place_within(&self, index: usize) -> Option<[Length; 2]> {
        let limits = if self.place_of? == index { USUAL_WITHIN_MM } else { BORROWED_WITHIN_MM };
        Some(limits.map(Length::from_mm))
    }
}

impl Kart {
    /// Where a driver acts of whom nobody knows anything.
    pub(crate) fn usual_place(&self) -> Point {
        let usual = Point::from_mm(USUAL_STATION * self.chassis.wheelbase.mm(), 0.0);
        self.seat.as_ref().map_or(usual, Seat::place)
    }
}

impl Scenario {
    /// Gives every driver without a place the place of another, or the usual one, if anybody's corners rest on it.
    pub(super) fn lend_places(&mut self) {
        let aboard = self.weighing.aboard.driver;
        for driver in &mut self.drivers {
            driver.acts = driver.acts.filter(|_| driver.place_of.take().is_none());
        }
        let own = |(index, driver): (usize, &Driver)| driver.weighing.is_some() || aboard == Some(index);
        if self.drivers.iter().enumerate().all(own) {
            return;
        }
        let known = |index: &usize| self.drivers[*index].acts.is_some();
        let lender = aboard.filter(known).or_else(|| (0..self.drivers.len()).find(known));
        let lender = lender.or(aboard).unwrap_or(0);
        let acts = self.drivers[lender].acts.unwrap_or_else(|| self.kart.usual_place());
        for (index, driver) in self.drivers.iter_mut().enumerate() {
            if driver.acts.is_none() && (driver.weighing.is_none() || index == lender) {
                driver.acts = Some(acts);
                driver.place_of = Some(lender);
            }
        }
    }
}
