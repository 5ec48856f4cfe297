//! Numbers of pictures, which are drawn in the units of their reader: a line breaks where its letters end.
//! Takes masses and lengths; gives texts.
//! Does not know what they are of.

use std::fmt::Display;

use crate::marks::{self, column, written};
use crate::quantity::kg;
use crate::units::{Length, UnitSystem};

/// A mass: in kilograms, and as it is read.
#[derive(Clone, Debug, PartialEq)]
pub struct Weight {
    /// Kilograms.
    pub kg: f64,
    /// The number in the units of the reader.
    pub number: String,
}

/// The units of a reader.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Screen {
    /// The units.
    pub units: UnitSystem,
}

impl Screen {
    fn shown(self, mark: impl Display) -> String {
        written(&mark.to_string(), self.units)
    }

    /// The unit of masses.
    pub(super) const fn mass_unit(self) -> &'static str {
        marks::mass_unit(self.units)
    }

    /// Always two decimals.
    pub(super) fn column(self, mass: f64) -> Weight {
        Weight { kg: mass, number: self.shown(column(kg(mass))) }
    }

    /// A place or a way on the kart.
    pub(super) fn place(self, length: Length) -> String {
        self.shown(marks::place(length))
    }

    /// A small length.
    pub(super) fn fine(self, length: Length) -> String {
        self.shown(marks::fine(length))
    }
}
