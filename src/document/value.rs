//! One value under one key, read as what the scenario wants there.
//! Takes a node; gives a mass, a length, a name, a choice ..., or none after noting what is wrong with it.
//! Does not know which other settings there are.

use super::fields::{Fields, Reading};
use super::form::{Asked, Kind};
use super::node::Node;
use super::place::Spot;
use super::quantity::{self, Bounds, Quantity, Unit, written_length, written_mass};
use crate::decimals::trimmed;
use crate::diagnosis::{Dimension, Fault, Syntax};
use crate::units::{Length, Mass, UnitSystem};

/// Longest name, in characters: two fit on a line of an eighty-column screen only just.
pub(crate) const LONGEST_NAME: usize = 80;

/// A value with its key and its way through the file.
#[derive(Clone)]
pub(crate) struct Value<'r> {
    pub(super) reading: &'r Reading<'r>,
    pub(super) key: &'r str,
    pub(super) path: Vec<u32>,
    pub(super) node: &'r Node,
}

impl<'r> Value<'r> {
    /// The key, as typed.
    pub(crate) fn key(&self) -> &'r str {
        self.key
    }

    /// Whether nothing stands after the colon.
    pub(crate) fn is_null(&self) -> bool {
        matches!(self.node, Node::Null)
    }

    /// Whether it is settings.
    pub(crate) fn is_settings(&self) -> bool {
        matches!(self.node, Node::Map(_))
    }

    /// The way to it: values in order are in the order of the file.
    pub(crate) fn order(&self) -> &[u32] {
        &self.path
    }

    /// The reading that it belongs to.
    pub(crate) fn reading(&self) -> &'r Reading<'r> {
        self.reading
    }

    /// Units of bare numbers.
    pub(crate) fn units(&self) -> UnitSystem {
        self.reading.units()
    }

    /// The value of one of its keys, without reading it as settings.
    pub(crate) fn peek(&self, key: &str) -> Option<Value<'r>> {
        let Node::Map(entries) = self.node else { return None };
        let (index, entry) = (0_u32..).zip(entries).find(|(_, entry)| entry.key == key)?;
        let mut path = self.path.clone();
        path.push(index);
        Some(Value { reading: self.reading, key: &entry.key, path, node: &entry.value })
    }

    /// The text of a word or number, if it is one.
    pub(crate) fn word(&self) -> Option<&'r str> {
        match self.node {
            Node::Text(text) | Node::Number(text) | Node::Bool(_, text) => Some(text.trim()),
            Node::Null | Node::List(_) | Node::Map(_) => None,
        }
    }

    /// For messages: what stands there.
    pub(crate) fn found(&self) -> String {
        self.node.found()
    }

    /// Notes a fault of the value.
    pub(crate) fn note(&self, fault: Fault) {
        // Nothing has no place of its own: YAML puts it where the next thing begins.
        if self.is_null() {
            self.note_key(fault);
        } else {
            self.reading.note(Spot::value(self.path.clone()), fault);
        }
    }

    /// Notes a fault of the key, or of something that is missing below it.
    pub(crate) fn note_key(&self, fault: Fault) {
        self.reading.note(Spot::key(self.path.clone()), fault);
    }

    /// As settings, called `within` in messages.
    pub(crate) fn settings(&self, within: impl Into<String>, example: &'static str) -> Option<Fields<'r>> {
        match self.node {
            Node::Map(entries) => Some(Fields::new(self.clone(), within.into(), entries)),
            Node::Text(text) if self.missing_space(text) => None,
            _ => {
                self.wrong_kind(|key, found| Fault::NotSettings { key, found, example: example.into() });
                None
            }
        }
    }

    /// As a list.
    pub(crate) fn list(&self, example: &'static str) -> Option<Vec<Value<'r>>> {
        let Node::List(items) = self.node else {
            self.wrong_kind(|key, found| Fault::NotAList { key, found, example: example.into() });
            return None;
        };
        let item = |(index, node)| {
            let mut path = self.path.clone();
            path.push(index);
            Value { reading: self.reading, key: self.key, path, node }
        };
        Some((0..).zip(items).map(item).collect())
    }

    fn wrong_kind(&self, fault: impl FnOnce(String, String) -> Fault) {
        if self.is_null() {
            self.note_key(Fault::NoValue { key: self.key.into() });
        } else {
            self.note(fault(self.key.into(), self.found()));
        }
    }

    /// `kart:` followed by `wheelbase:1040` is a text to YAML; says so and gives true.
    fn missing_space(&self, text: &str) -> bool {
        let Some((key, fixed)) = super::syntax::missing_space(text) else { return false };
        self.note(Fault::Syntax { problem: Syntax::NoSpaceAfterColon { key, fixed } });
        true
    }

    /// As a name that the user chose.
    pub(crate) fn name(&self) -> Option<String> {
        self.heard(|| Asked::As(Kind::Name));
        let Some(text) = self.word() else {
            self.wrong_kind(|key, found| Fault::NotAName { key, found });
            return None;
        };
        if let Err(fault) = checked_name(text, self.key) {
            self.note(fault);
            return None;
        }
        if matches!(self.node, Node::Text(_)) {
            self.reading.warn_if_cut(Spot::value(self.path.clone()), self.key, text);
        }
        Some(text.into())
    }

    /// The key as a name that the user chose.
    pub(crate) fn key_as_name(&self, within: &str) -> Option<String> {
        let text = self.key.trim();
        match checked_name(text, within) {
            Ok(()) => Some(text.into()),
            Err(fault) => {
                self.note_key(fault);
                None
            }
        }
    }

    /// As one of several words.
    pub(crate) fn choice<T: Copy>(&self, choices: &[(&'static str, T)]) -> Option<T> {
        self.heard(|| Asked::OneOf(choices.iter().map(|(word, _)| *word).collect()));
        let chosen = self.word().and_then(|word| choices.iter().find(|(name, _)| *name == word));
        if chosen.is_none() {
            let words = choices.iter().map(|(name, _)| *name).collect();
            self.wrong_kind(|key, found| Fault::NotAChoice { key, choices: words, found });
        }
        chosen.map(|(_, value)| *value)
    }

    /// As `true` or `false`; other words for them are refused, since some programs read `no` as a name.
    pub(crate) fn boolean(&self) -> Option<bool> {
        self.heard(|| Asked::As(Kind::Boolean));
        if let Node::Bool(value, written) = self.node
            && (written == "true" || written == "false")
        {
            return Some(*value);
        }
        self.wrong_kind(|key, found| Fault::NotBoolean { key, found });
        None
    }

    /// As a whole number from `least` to `most`.
    pub(crate) fn whole(&self, least: i32, most: i32) -> Option<i32> {
        self.heard(|| Asked::As(Kind::Whole(least, most)));
        let written = self.word().unwrap_or_default();
        if let Some((_, fault)) = super::odd::odd_character(written) {
            self.note(fault);
            return None;
        }
        match written.parse::<i32>() {
            Ok(number) if (least..=most).contains(&number) => Some(number),
            Ok(number) => {
                self.note(Fault::OutOfBounds {
                    key: self.key.into(),
                    of: "",
                    wanted: format!("between {least} and {most}"),
                    found: number.to_string(),
                    lifts: false,
                    other_unit: None,
                });
                None
            }
            Err(_) => {
                let instead = whole_number_meant(written);
                self.wrong_kind(|key, found| Fault::NotWhole { key, found, instead });
                None
            }
        }
    }

    /// As a count from `least` to `most`.
    pub(crate) fn count(&self, least: u16, most: u16) -> Option<u32> {
        self.whole(least.into(), most.into()).map(i32::cast_unsigned)
    }

    /// As a mass.
    pub(crate) fn mass(&self, bounds: Bounds) -> Option<Mass> {
        self.heard(|| Asked::As(Kind::Mass(bounds)));
        let quantity = self.quantity(Dimension::Mass)?;
        self.bounded(quantity, quantity.mass().kg(), bounds, Dimension::Mass).then(|| quantity.mass())
    }

    /// As a length.
    pub(crate) fn length(&self, bounds: Bounds) -> Option<Length> {
        self.heard(|| Asked::As(Kind::Length(bounds)));
        let quantity = self.quantity(Dimension::Length)?;
        self.bounded(quantity, quantity.length().mm(), bounds, Dimension::Length).then(|| quantity.length())
    }

    /// As a plain number.
    pub(crate) fn number(&self, bounds: Bounds) -> Option<f64> {
        self.heard(|| Asked::As(Kind::Number(bounds)));
        let quantity = self.quantity(Dimension::Number)?;
        self.bounded(quantity, quantity.number, bounds, Dimension::Number).then_some(quantity.number)
    }

    /// As a plain number within bounds that no user can lift.
    pub(crate) fn number_always(&self, bounds: Bounds) -> Option<f64> {
        self.heard(|| Asked::As(Kind::Number(bounds)));
        self.always(bounds, Dimension::Number)
    }

    /// As a percentage within bounds that no user can lift.
    pub(crate) fn percent_always(&self, bounds: Bounds) -> Option<f64> {
        self.heard(|| Asked::As(Kind::Percent(bounds)));
        self.always(bounds, Dimension::Percent)
    }

    fn always(&self, bounds: Bounds, dimension: Dimension) -> Option<f64> {
        let quantity = self.quantity(dimension)?;
        if bounds.hold(quantity.number) {
            return Some(quantity.number);
        }
        self.note(Fault::OutOfBounds {
            key: self.key.into(),
            of: bounds.of,
            wanted: bounds.wanted(dimension, self.reading.units()),
            found: self.word().unwrap_or_default().into(),
            lifts: false,
            other_unit: None,
        });
        None
    }

    /// As kilograms per litre.
    pub(crate) fn density(&self, bounds: Bounds) -> Option<f64> {
        self.heard(|| Asked::As(Kind::Density(bounds)));
        let quantity = self.quantity(Dimension::Density)?;
        self.bounded(quantity, quantity.number, bounds, Dimension::Density).then_some(quantity.number)
    }

    /// As a width in percent.
    pub(crate) fn percent(&self, bounds: Bounds) -> Option<f64> {
        self.heard(|| Asked::As(Kind::Percent(bounds)));
        let quantity = self.quantity(Dimension::Percent)?;
        self.bounded(quantity, quantity.number, bounds, Dimension::Percent).then_some(quantity.number)
    }

    /// As a share of the total of `figure`, in percent; a fraction of one is refused, never guessed.
    pub(crate) fn share(&self, figure: &str, bounds: Bounds) -> Option<f64> {
        self.heard(|| Asked::As(Kind::Share(bounds)));
        let number = self.quantity(Dimension::Percent)?.number;
        let limits = if self.reading.lifted() { bounds.lifted(Dimension::Percent) } else { bounds };
        if limits.hold(number) {
            return Some(number);
        }
        let instead = [number * 100.0, number / 10.0].into_iter().find(|meant| bounds.hold(*meant));
        self.note(Fault::PercentOutOfRange {
            key: figure.into(),
            range: format!("from {} to {}", trimmed(limits.least, 1), trimmed(limits.most, 1)),
            found: self.word().unwrap_or_default().into(),
            instead: instead.map(|number| format!("{}: {}", self.key, trimmed(number, 2))),
        });
        None
    }

    /// As fuel: a mass, or a volume of `density` kilograms per litre.
    pub(crate) fn fuel(&self, bounds: Bounds, density: f64) -> Option<Mass> {
        self.heard(|| Asked::As(Kind::Fuel(bounds)));
        let quantity = self.quantity(Dimension::Fuel)?;
        let mass = match quantity.litres() {
            Some(litres) => Mass::from_kg(litres * density),
            None => quantity.mass(),
        };
        // The number itself is looked at too: a volume that is not a number makes no mass.
        let kg = if quantity.number.is_finite() { mass.kg() } else { quantity.number };
        self.bounded(quantity, kg, bounds, Dimension::Fuel).then_some(mass)
    }

    fn heard(&self, asked: impl FnOnce() -> Asked) {
        self.reading.heard(&self.path, asked);
    }

    fn quantity(&self, dimension: Dimension) -> Option<Quantity> {
        let Some(text) = self.word() else {
            self.wrong_kind(|key, found| Fault::NotAQuantity { key, dimension, found });
            return None;
        };
        match quantity::quantity(text, dimension, self.reading.units(), self.key) {
            Ok(quantity) => Some(quantity),
            Err(fault) => {
                self.note(fault);
                None
            }
        }
    }

    /// Whether `value`, in kg, mm, percent or plain, is within the bounds; notes it if not.
    fn bounded(&self, quantity: Quantity, value: f64, bounds: Bounds, dimension: Dimension) -> bool {
        // A mass that is not a number has become zero by now.
        let value = if quantity.number.is_finite() { value } else { quantity.number };
        let lifted = bounds.lifted(dimension);
        let limits = if self.reading.lifted() { lifted } else { bounds };
        if limits.hold(value) {
            return true;
        }
        let units = self.reading.units();
        let word = self.word().unwrap_or_default();
        let found = match quantity.unit {
            Some(unit) if !quantity.own_unit => format!("{word} {}", unit.word()),
            _ => word.into(),
        };
        self.note(Fault::OutOfBounds {
            key: self.key.into(),
            of: bounds.of,
            wanted: limits.wanted(dimension, units),
            found,
            lifts: lifted.hold(value) && !self.reading.lifted(),
            other_unit: other_unit(quantity, bounds, dimension, units),
        });
        false
    }
}

/// The same bare number with the unit of the other system, if that would be within the bounds.
fn other_unit(quantity: Quantity, bounds: Bounds, dimension: Dimension, units: UnitSystem) -> Option<String> {
    let other = match units {
        UnitSystem::KgMm => UnitSystem::LbIn,
        UnitSystem::LbIn => UnitSystem::KgMm,
    };
    let unit =
        Unit::of_file(other, dimension).filter(|_| !quantity.own_unit && quantity.number.is_finite())?;
    let meant = Quantity { unit: Some(unit), ..quantity };
    let (value, here) = match dimension {
        Dimension::Mass => (meant.mass().kg(), written_mass(meant.mass(), units)),
        Dimension::Length => (meant.length().mm(), written_length(meant.length(), units)),
        _ => return None,
    };
    bounds.hold(value).then(|| format!("{} {}` (= {here})", trimmed(quantity.number, 3), unit.word()))
}

/// `2.0` and `two` mean 2.
fn whole_number_meant(written: &str) -> Option<u32> {
    const WORDS: [&str; 11] =
        ["none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
    let word = written.to_lowercase();
    if let Some(number) = (0_u32..).zip(WORDS).find(|(_, name)| *name == word) {
        return Some(number.0);
    }
    let number = written.parse::<f64>().ok()?;
    (number.fract() == 0.0 && (0.0..1e6).contains(&number)).then_some(number as u32)
}

fn checked_name(text: &str, key: &str) -> Result<(), Fault> {
    let key = || key.to_owned();
    let characters = text.chars().count();
    if characters == 0 {
        return Err(Fault::NotAName { key: key(), found: "an empty text".into() });
    }
    if characters > LONGEST_NAME {
        return Err(Fault::NameTooLong { key: key(), characters, most: LONGEST_NAME });
    }
    if text.chars().any(char::is_control) {
        return Err(Fault::NameUnprintable { key: key() });
    }
    // A curly quote within a name may be an apostrophe; before and after it, it was meant to be a straight
    // one.
    match super::odd::odd_character(text) {
        Some((0, fault @ Fault::OddCharacter { name: "curly quote", .. })) => Err(fault),
        _ => Ok(()),
    }
}
