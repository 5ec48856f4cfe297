//! Quantities as typed on a command line: with a unit of their own, or in the units that an option names.

use super::quantity::{Bounds, Quantity, Unit, quantity};
use crate::diagnosis::{Dimension, Fault, Refusal};
use crate::units::UnitSystem;

/// What can be wrong with a quantity on a command line.
#[derive(Clone, Debug, PartialEq)]
pub enum Refused {
    /// A bare number, and no option says in which units it is.
    NoUnit,
    /// The same faults as in a file.
    Wrong(Box<Fault>),
}

impl Refused {
    /// The same for whoever typed it, with the units that it could have had.
    pub fn refusal(&self, typed: &str, [metric, customary]: [&str; 2]) -> Refusal {
        match self {
            Refused::NoUnit => Refusal {
                code: "K007",
                message: format!("`{typed}` does not say whether it is {metric} or {customary}"),
                help: format!(
                    "write `{typed}{metric}` or `{typed}{customary}`, or add `--units kg-mm` or `--units lb-in`"
                ),
            },
            Refused::Wrong(fault) => match fault.as_ref() {
                // A file's help speaks of lines, which nothing that is typed has.
                Fault::DecimalComma { instead, .. } => {
                    Refusal { help: format!("write `{instead}`"), ..Refusal::of_fault(fault) }
                }
                _ => Refusal::of_fault(fault),
            },
        }
    }
}

/// A quantity, and the units it was written in; `units` are those of a bare number.
pub(crate) fn read(
    text: &str,
    key: &str,
    units: Option<UnitSystem>,
    (dimension, bounds): (Dimension, Bounds),
) -> Result<(Quantity, UnitSystem), Refused> {
    let wrong = |fault| Refused::Wrong(Box::new(fault));
    let quantity = quantity(text, dimension, units.unwrap_or(UnitSystem::KgMm), key).map_err(wrong)?;
    if !quantity.own_unit && units.is_none() {
        return Err(Refused::NoUnit);
    }
    let written_in = match quantity.unit {
        Some(Unit::Pound | Unit::Ounce | Unit::Inch | Unit::Foot) => UnitSystem::LbIn,
        _ => UnitSystem::KgMm,
    };
    if bounds.hold(quantity.amount(dimension)) {
        return Ok((quantity, written_in));
    }
    Err(wrong(Fault::OutOfBounds {
        key: key.to_owned(),
        of: bounds.of,
        wanted: bounds.wanted(dimension, written_in),
        found: text.trim().to_owned(),
        lifts: false,
        other_unit: None,
    }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Mass;

    fn mass(text: &str, units: Option<UnitSystem>) -> Result<(Mass, UnitSystem), Refused> {
        read(text, "LF", units, (Dimension::Mass, READING)).map(|(read, units)| (read.mass(), units))
    }

    const READING: Bounds = Bounds::new("", 0.5, 300.0);

    #[test]
    fn a_bare_number_needs_units_from_somewhere() {
        assert_eq!(mass("91", None), Err(Refused::NoUnit));
        assert_eq!(mass("91", Some(UnitSystem::LbIn)), Ok((Mass::from_lb(91.0), UnitSystem::LbIn)));
    }

    #[test]
    fn a_unit_of_its_own_beats_the_option() {
        let read = mass("91 lb", Some(UnitSystem::KgMm));
        assert_eq!(read, Ok((Mass::from_lb(91.0), UnitSystem::LbIn)));
    }

    #[test]
    fn what_no_pad_can_show_is_refused() {
        for odd in ["-3 kg", "0 kg", ".nan kg", "nan", ".inf", "1e9 kg", "2,5 kg", "3 stone", "41 in", ""] {
            assert!(mass(odd, Some(UnitSystem::KgMm)).is_err(), "{odd}");
        }
    }
}
