//! Amounts as data and as people read them: rounded once, written once, in the units of the screen.
//! Takes masses in kilograms and lengths in millimetres; gives the rounded number together with its text.
//! Does not know what an amount is of.

use std::fmt;

use crate::units::{Length, Mass, UnitSystem};

pub use crate::decimals::{fixed, trimmed};
/// Documents round masses to a milligram: below anything that is weighed, above what differs between
/// machines.
const STEPS_PER_KG: f64 = 1e6;

/// A mass: `kg` for documents, `number` and `unit` for people.
#[derive(Clone, Debug, PartialEq)]
pub struct Weight {
    /// Kilograms, to a milligram.
    pub kg: f64,
    /// The number in the units of the screen.
    pub number: String,
    /// The unit of `number`.
    pub unit: &'static str,
}

impl fmt::Display for Weight {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.number, self.unit)
    }
}

/// A length: `mm` for documents, `number` and `unit` for people.
#[derive(Clone, Debug, PartialEq)]
pub struct Distance {
    /// Millimetres, to a thousandth.
    pub mm: f64,
    /// The number in the units of the screen.
    pub number: String,
    /// The unit of `number`.
    pub unit: &'static str,
}

impl fmt::Display for Distance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.number, self.unit)
    }
}

/// The units of a screen, and how each amount is written in them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Screen {
    /// The units.
    pub units: UnitSystem,
}

impl Screen {
    /// The unit of masses.
    pub const fn mass_unit(self) -> &'static str {
        match self.units {
            UnitSystem::KgMm => "kg",
            UnitSystem::LbIn => "lb",
        }
    }

    /// The unit of lengths.
    pub const fn length_unit(self) -> &'static str {
        match self.units {
            UnitSystem::KgMm => "mm",
            UnitSystem::LbIn => "in",
        }
    }

    fn mass_number(self, kg: f64) -> f64 {
        match self.units {
            UnitSystem::KgMm => kg,
            UnitSystem::LbIn => Mass::from_kg(kg).lb(),
        }
    }

    fn weight(self, kg: f64, number: String) -> Weight {
        Weight { kg: rounded_kg(kg), number, unit: self.mass_unit() }
    }

    /// For columns: always two decimals, as fine as pads and tired eyes go.
    pub fn column(self, kg: f64) -> Weight {
        self.weight(kg, fixed(self.mass_number(kg), 2))
    }

    /// A difference, always with its sign.
    pub fn signed(self, kg: f64) -> Weight {
        let number = fixed(self.mass_number(kg), 2);
        let unsigned = number.starts_with('-') || number.bytes().all(|byte| matches!(byte, b'0' | b'.'));
        self.weight(kg, if unsigned { number } else { format!("+{number}") })
    }

    /// For sentences: at most two decimals, none that say nothing.
    pub fn plain(self, kg: f64) -> Weight {
        self.weight(kg, trimmed(self.mass_number(kg), 2))
    }

    /// A weight as somebody gave it: to the gram or the thousandth of a pound, none that say nothing.
    pub fn given(self, mass: Mass) -> Weight {
        let number = match self.units {
            UnitSystem::KgMm => mass.kg(),
            UnitSystem::LbIn => mass.lb(),
        };
        self.weight(mass.kg(), trimmed(number, 3))
    }

    /// How far two weights are apart, to the gram: what is legal hangs on it, so it is never shown as
    /// nothing.
    pub fn apart(self, one: Mass, other: Mass) -> Weight {
        let apart = (one - other).abs();
        let weight = self.given(apart);
        if weight.number == "0" && apart > Mass::ZERO {
            return Weight { number: "under 0.001".to_owned(), ..weight };
        }
        weight
    }

    /// Weights as somebody gave them, all with as many decimals as the one that needs most, so that they
    /// stand flush.
    pub fn given_flush(self, masses: impl Iterator<Item = Mass>) -> Vec<Weight> {
        let mut weights: Vec<Weight> = masses.map(|mass| self.given(mass)).collect();
        let decimals_of = |number: &str| number.split_once('.').map_or(0, |(_, decimals)| decimals.len());
        let decimals = weights.iter().map(|weight| decimals_of(&weight.number)).max().unwrap_or(0);
        for weight in &mut weights {
            let missing = decimals - decimals_of(&weight.number);
            if missing > 0 && missing == decimals {
                weight.number.push('.');
            }
            weight.number.push_str(&"0".repeat(missing));
        }
        weights
    }

    /// A place or a way on the kart: to the millimetre or the tenth of an inch.
    pub fn place(self, length: Length) -> Distance {
        let number = match self.units {
            UnitSystem::KgMm => trimmed(length.mm(), 0),
            UnitSystem::LbIn => trimmed(length.inches(), 1),
        };
        Distance { mm: rounded_mm(length.mm()), number, unit: self.length_unit() }
    }

    /// A small length, such as a spacer: to a tenth of a millimetre or the hundredth of an inch.
    pub fn fine(self, length: Length) -> Distance {
        let number = match self.units {
            UnitSystem::KgMm => trimmed(length.mm(), 1),
            UnitSystem::LbIn => trimmed(length.inches(), 2),
        };
        Distance { mm: rounded_mm(length.mm()), number, unit: self.length_unit() }
    }
}

/// Kilograms to a milligram.
pub fn rounded_kg(kg: f64) -> f64 {
    // Adding zero turns a negative zero into zero.
    (kg * STEPS_PER_KG).round() / STEPS_PER_KG + 0.0
}

/// Millimetres to a thousandth.
pub fn rounded_mm(mm: f64) -> f64 {
    (mm * 1e3).round() / 1e3 + 0.0
}

/// Percent to a millionth.
pub fn rounded_percent(percent: f64) -> f64 {
    (percent * 1e6).round() / 1e6 + 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    const KG: Screen = Screen { units: UnitSystem::KgMm };
    const LB: Screen = Screen { units: UnitSystem::LbIn };

    #[test]
    fn nothing_is_written_as_a_negative_zero() {
        assert_eq!(KG.column(-0.001).number, "0.00");
        assert_eq!(KG.signed(-0.001).number, "0.00");
        assert_eq!(KG.plain(-0.001).number, "0");
        assert!(KG.plain(-1e-9).kg.is_sign_positive());
    }

    #[test]
    fn a_difference_shows_its_direction() {
        assert_eq!(KG.signed(0.31).number, "+0.31");
        assert_eq!(KG.signed(-0.31).number, "-0.31");
    }

    // Source: international yard and pound agreement of 1959, exact.
    #[test]
    fn documents_keep_kilograms_whatever_the_screen_shows() {
        let five = LB.given(Mass::from_lb(5.0));
        assert_eq!((five.kg, five.to_string()), (2.267_962, "5 lb".to_owned()));
        assert_eq!(LB.place(Length::from_in(41.5)).to_string(), "41.5 in");
    }

    #[test]
    fn a_milligram_that_decides_is_never_shown_as_nothing() {
        let (one, other) = (Mass::from_kg(160.5), Mass::from_kg(160.499_999));
        assert_eq!(KG.apart(one, other).to_string(), "under 0.001 kg");
        assert_eq!(KG.apart(one, Mass::from_kg(160.499)).to_string(), "0.001 kg");
        assert_eq!(KG.apart(one, one).to_string(), "0 kg");
    }

    #[test]
    fn weights_in_a_column_share_their_decimals() {
        let masses = [5.0, 1.987, 0.5].map(Mass::from_kg);
        let shown: Vec<String> = KG.given_flush(masses.into_iter()).into_iter().map(|w| w.number).collect();
        assert_eq!(shown, ["5.000", "1.987", "0.500"]);
    }

    #[test]
    fn a_rounded_mass_is_the_shortest_decimal() {
        assert_eq!(serde_json::to_string(&rounded_kg(0.1 + 0.2)).ok().as_deref(), Some("0.3"));
    }
}
