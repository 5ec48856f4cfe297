//! Mass, length and the two unit systems.

use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Neg, Sub, SubAssign};

/// One pound in kilograms, exact by definition (international yard and pound agreement, 1959).
pub const KG_PER_LB: f64 = 0.453_592_37;
/// One inch in millimetres, exact by definition (same agreement).
pub const MM_PER_IN: f64 = 25.4;
/// Standard gravity in m/s², exact by definition (3rd CGPM, 1901).
pub const STANDARD_GRAVITY: f64 = 9.806_65;
const NG_PER_KG: f64 = 1e12;

/// A mass in whole nanograms.
///
/// Nanograms because a ten-thousandth of a pound is 45 359 237 ng exactly: sums of catalogue weights in either unit are
/// exact, so that "at the minimum" and "one gram below" never depend on rounding. The range is ±9 million kilograms.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Mass(i64);

impl Mass {
    /// No mass.
    pub const ZERO: Mass = Mass(0);

    /// The nearest nanogram to `kg` kilograms. A value that is not finite gives zero or the end of the range; documents
    /// refuse those before they get here.
    pub fn from_kg(kg: f64) -> Mass {
        Mass((kg * NG_PER_KG).round() as i64)
    }

    /// The nearest nanogram to `lb` pounds.
    pub fn from_lb(lb: f64) -> Mass {
        // 453 592 370 000 ng to the pound: one multiplication by an exactly representable whole number, one rounding.
        Mass((lb * 453_592_370_000.0).round() as i64)
    }

    /// Whole nanograms.
    pub const fn from_ng(ng: i64) -> Mass {
        Mass(ng)
    }

    /// In kilograms.
    pub fn kg(self) -> f64 {
        self.0 as f64 / NG_PER_KG
    }

    /// In pounds.
    pub fn lb(self) -> f64 {
        self.0 as f64 / 453_592_370_000.0
    }

    /// In whole nanograms.
    pub const fn ng(self) -> i64 {
        self.0
    }

    /// Magnitude.
    #[must_use]
    pub const fn abs(self) -> Mass {
        Mass(self.0.abs())
    }
}

impl Add for Mass {
    type Output = Mass;
    fn add(self, other: Mass) -> Mass {
        Mass(self.0 + other.0)
    }
}

impl AddAssign for Mass {
    fn add_assign(&mut self, other: Mass) {
        self.0 += other.0;
    }
}

impl Sub for Mass {
    type Output = Mass;
    fn sub(self, other: Mass) -> Mass {
        Mass(self.0 - other.0)
    }
}

impl SubAssign for Mass {
    fn sub_assign(&mut self, other: Mass) {
        self.0 -= other.0;
    }
}

impl Neg for Mass {
    type Output = Mass;
    fn neg(self) -> Mass {
        Mass(-self.0)
    }
}

impl Mul<u32> for Mass {
    type Output = Mass;
    fn mul(self, count: u32) -> Mass {
        Mass(self.0 * i64::from(count))
    }
}

impl Sum for Mass {
    fn sum<I: Iterator<Item = Mass>>(masses: I) -> Mass {
        masses.fold(Mass::ZERO, Add::add)
    }
}

/// A length in millimetres.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Length(f64);

impl Length {
    /// No length.
    pub const ZERO: Length = Length(0.0);

    /// From millimetres.
    pub const fn from_mm(mm: f64) -> Length {
        Length(mm)
    }

    /// From inches.
    pub fn from_in(inches: f64) -> Length {
        Length(inches * MM_PER_IN)
    }

    /// In millimetres.
    pub const fn mm(self) -> f64 {
        self.0
    }

    /// In inches.
    pub fn inches(self) -> f64 {
        self.0 / MM_PER_IN
    }

    /// In whole nanometres, in which stacks add up: a sixteenth of an inch is 1,587,500 of them exactly.
    pub fn nm(self) -> i64 {
        (self.0 * 1e6).round() as i64
    }
}

/// The units in which a file's bare numbers are meant and in which a screen is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnitSystem {
    /// Kilograms and millimetres.
    KgMm,
    /// Pounds and inches.
    LbIn,
}

impl UnitSystem {
    /// The word for it in files and on the command line.
    pub const fn word(self) -> &'static str {
        match self {
            UnitSystem::KgMm => "kg-mm",
            UnitSystem::LbIn => "lb-in",
        }
    }

    /// A bare number of this system's mass unit.
    pub fn mass(self, number: f64) -> Mass {
        match self {
            UnitSystem::KgMm => Mass::from_kg(number),
            UnitSystem::LbIn => Mass::from_lb(number),
        }
    }

    /// A bare number of this system's length unit.
    pub fn length(self, number: f64) -> Length {
        match self {
            UnitSystem::KgMm => Length::from_mm(number),
            UnitSystem::LbIn => Length::from_in(number),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Source: international yard and pound agreement of 1959, exact.
    #[test]
    fn a_ten_thousandth_of_a_pound_is_a_whole_number_of_nanograms() {
        assert_eq!(Mass::from_lb(0.0001).ng(), 45_359_237);
        assert_eq!(Mass::from_lb(320.0).ng(), 145_149_558_400_000);
        assert_eq!(Mass::from_lb(0.1) * 10, Mass::from_lb(1.0));
    }

    #[test]
    fn tenths_of_a_kilogram_add_up_exactly() {
        let tenths: Mass = std::iter::repeat_n(Mass::from_kg(0.1), 10).sum();
        assert_eq!(tenths, Mass::from_kg(1.0));
    }

    #[test]
    fn an_inch_is_25_4_millimetres() {
        approx::assert_relative_eq!(Length::from_in(40.0).mm(), 1016.0);
        approx::assert_relative_eq!(Length::from_mm(1016.0).inches(), 40.0);
    }
}
