//! One value under one key, read as what the scenario wants there.

use super::fields::{Reading, is_note, no_such};
use super::node::{Entry, Node, shortened};
use super::place::Spot;
use super::quantity::{self, Bounds, Quantity, Unit, written_length, written_mass};
use crate::date::Date;
use crate::decimals::trimmed;
use crate::diagnosis::{Dimension, Fault, Syntax};
use crate::units::{Mass, UnitSystem};

/// Longest name, in characters: two fit on a line of an eighty-column screen only just.
pub(crate) const LONGEST_NAME: usize = 80;

/// A value with its key and its way through the file.
#[derive(Clone)]
pub(crate) struct Value<'r> {
    pub(super) reading: &'r Reading<'r>,
    pub(super) key: &'r str,
    /// Whether it is an item of a list, which has no key but that of the list.
    pub(super) is_item: bool,
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

    /// Whether it is a list.
    pub(crate) fn is_list(&self) -> bool {
        matches!(self.node, Node::List(_))
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
        entries.iter().position(|entry| entry.key == key).map(|index| self.child(index as u32))
    }

    /// How often a name stands in it, as a key or a word, in capitals or not.
    pub(crate) fn mentions(&self, name: &str) -> usize {
        self.node.mentions(&name.to_lowercase())
    }

    /// The value of the entry or item of that number, of which there are so many.
    pub(super) fn child(&self, index: u32) -> Value<'r> {
        let mut path = self.path.clone();
        path.push(index);
        let (key, is_item, node) = match self.node {
            Node::Map(entries) => {
                (entries[index as usize].key.as_str(), false, &entries[index as usize].value)
            }
            Node::List(items) => (self.key, true, &items[index as usize]),
            other => (self.key, self.is_item, other),
        };
        Value { reading: self.reading, key, is_item, path, node }
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

    /// Notes that a setting is missing in it.
    pub(crate) fn note_missing(&self, key: &'static str, example: String) {
        // Whether it stands in braces is seen where the places are.
        self.note_key(Fault::Missing { within: self.key.to_owned(), key, example, in_braces: false });
    }

    /// Entries of settings, which are written like `example`.
    pub(super) fn entries_of(&self, example: &str) -> Option<&'r [Entry]> {
        match self.node {
            Node::Map(entries) => Some(entries),
            Node::Text(text) if self.missing_space(text) => None,
            _ => {
                let example = self.written_like(example);
                self.wrong_kind(|key, found| Fault::NotSettings { key, found, example });
                None
            }
        }
    }

    /// As settings under names that the user chose; notes are left out.
    pub(crate) fn named(&self, example: &str) -> Option<Vec<Value<'r>>> {
        let own = |(_, entry): &(u32, &'r Entry)| !is_note(&entry.key);
        let entries = (0..).zip(self.entries_of(example)?).filter(own);
        Some(entries.map(|(index, _)| self.child(index)).collect())
    }

    /// As a list.
    pub(crate) fn list(&self, example: &str) -> Option<Vec<Value<'r>>> {
        let Node::List(items) = self.node else {
            let example = self.written_like(example);
            self.wrong_kind(|key, found| Fault::NotAList { key, found, example });
            return None;
        };
        Some((0..items.len() as u32).map(|index| self.child(index)).collect())
    }

    fn written_like(&self, example: &str) -> String {
        match self.key {
            _ if self.is_item => format!("- {example}"),
            "" => example.to_owned(),
            key => format!("{}: {example}", shortened(key)),
        }
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

    /// Which of the known ones is named here; notes that it is none of them.
    pub(crate) fn named_among<S: AsRef<str>>(&self, what: &'static str, known: &[S]) -> Option<usize> {
        let name = self.name()?;
        let found = known.iter().position(|one| one.as_ref() == name);
        if found.is_none() {
            self.note(no_such(what, &name, known.iter().map(AsRef::as_ref)));
        }
        found
    }

    /// Which of the known ones its key is; notes that it is none of them.
    pub(crate) fn key_among<S: AsRef<str>>(&self, what: &'static str, known: &[S]) -> Option<usize> {
        let found = known.iter().position(|one| one.as_ref() == self.key);
        if found.is_none() {
            self.note_key(no_such(what, self.key, known.iter().map(AsRef::as_ref)));
        }
        found
    }

    /// Whether no more were found than fit; notes it if not.
    pub(crate) fn at_most(&self, most: usize, what: &'static str, found: usize) -> bool {
        if found > most {
            self.note_key(Fault::TooMany { what, most, found });
        }
        found <= most
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
    pub(super) fn choice<T: Copy>(&self, choices: &[(&'static str, T)]) -> Option<T> {
        let chosen = self.word().and_then(|word| choices.iter().find(|(name, _)| *name == word));
        if chosen.is_none() {
            let words = choices.iter().map(|(name, _)| *name).collect();
            self.wrong_kind(|key, found| Fault::NotAChoice { key, choices: words, found });
        }
        chosen.map(|(_, value)| *value)
    }

    /// As `true` or `false`; other words for them are refused, since some programs read `no` as a name.
    pub(super) fn boolean(&self) -> Option<bool> {
        if let Node::Bool(value, written) = self.node
            && (written == "true" || written == "false")
        {
            return Some(*value);
        }
        self.wrong_kind(|key, found| Fault::NotBoolean { key, found });
        None
    }

    /// As a date.
    pub(super) fn date(&self) -> Option<Date> {
        let date = self.word().and_then(Date::from_text);
        if date.is_none() {
            self.wrong_kind(|key, found| Fault::NotADate { key, found });
        }
        date
    }

    /// As a whole number from `least` to `most`.
    pub(super) fn whole(&self, least: i32, most: i32) -> Option<i32> {
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

    /// As a quantity within bounds, which lie as they are or are lifted where the file says so.
    pub(super) fn within(&self, dimension: Dimension, bounds: Bounds, lifts: bool) -> Option<Quantity> {
        let quantity = self.quantity(dimension)?;
        self.bounded(quantity, dimension, bounds, lifts)
    }

    /// As a share of the total, in percent; a fraction of one is refused, never guessed. It is called by the key above.
    pub(super) fn share(&self, bounds: Bounds) -> Option<f64> {
        let number = self.quantity(Dimension::Percent)?.number;
        let limits = if self.reading.lifted() { bounds.lifted(Dimension::Percent) } else { bounds };
        if limits.hold(number) {
            return Some(number);
        }
        let instead = [number * 100.0, number / 10.0].into_iter().find(|meant| bounds.hold(*meant));
        self.note(Fault::PercentOutOfRange {
            key: if self.key == "aim" { self.reading.key_above(&self.path) } else { self.key }.into(),
            range: format!("from {} to {}", trimmed(limits.least, 1), trimmed(limits.most, 1)),
            found: self.word().unwrap_or_default().into(),
            instead: instead.map(|number| format!("{}: {}", self.key, trimmed(number, 2))),
        });
        None
    }

    /// As fuel: a mass, or a volume of `density` kilograms per litre.
    pub(super) fn fuel(&self, bounds: Bounds, density: f64) -> Option<Mass> {
        let quantity = self.quantity(Dimension::Fuel)?.by_weight(density);
        self.bounded(quantity, Dimension::Fuel, bounds, true).map(Quantity::mass)
    }

    fn quantity(&self, dimension: Dimension) -> Option<Quantity> {
        let Some(text) = self.word() else {
            self.wrong_kind(|key, found| Fault::NotAQuantity {
                key,
                dimension,
                found,
                example: dimension.example().to_owned(),
            });
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

    /// The quantity, if it is within the bounds; notes it if not.
    fn bounded(&self, quantity: Quantity, of: Dimension, bounds: Bounds, lifts: bool) -> Option<Quantity> {
        let (amount, lifted) = (quantity.amount(of), bounds.lifted(of));
        let limits = if lifts && self.reading.lifted() { lifted } else { bounds };
        if limits.hold(amount) {
            return Some(quantity);
        }
        let units = self.reading.units();
        let word = self.word().unwrap_or_default();
        let found = match quantity.unit {
            Some(unit) if lifts && !quantity.own_unit => format!("{word} {}", unit.word()),
            _ => word.into(),
        };
        self.note(Fault::OutOfBounds {
            key: self.key.into(),
            of: bounds.of,
            wanted: limits.wanted(of, units),
            found,
            lifts: lifts && lifted.hold(amount) && !self.reading.lifted(),
            other_unit: other_unit(quantity, bounds, of, units),
        });
        None
    }
}

/// All of them, if none is wrong. Each is read whatever the others are, so that all that is wrong is noted.
pub(crate) fn every<T>(read: impl Iterator<Item = Option<T>>) -> Option<Vec<T>> {
    read.collect::<Vec<_>>().into_iter().collect()
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
