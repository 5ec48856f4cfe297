//! Settings read one by one, so that all problems of a file are listed in one run.
//! Takes a document; gives values by key, keeps a note of each problem with its spot, and refuses keys nobody
//! asked for.
//! Does not know what the values are read as (`value`).

use std::cell::{Cell, RefCell};

use super::form::Asked;
use super::node::{Entry, Node};
use super::place::Spot;
use super::value::Value;
use super::{Document, odd, other_words, quantity, syntax};
use crate::diagnosis::{Diagnosis, Dimension, Fault, Place, Severity, Syntax};
use crate::units::UnitSystem;

/// Places are looked up by reading the text again, once for each: beyond this many a file is not a scenario.
const MOST_PLACED: usize = 100;
/// Notes kept; a file with more is not a scenario either, and each costs memory.
const MOST_NOTES: usize = 2000;

/// One reading of a document: its units, and what was found wrong so far.
pub(crate) struct Reading<'d> {
    document: &'d Document,
    units: Cell<UnitSystem>,
    lifted: Cell<bool>,
    notes: RefCell<Vec<(Spot, Fault)>>,
    #[cfg(test)]
    asked: RefCell<Vec<(Vec<u32>, Asked)>>,
}

impl<'d> Reading<'d> {
    /// Starts to read. Numbers are in kilograms and millimetres, within bounds, until told otherwise.
    pub(crate) fn new(document: &'d Document) -> Reading<'d> {
        Reading {
            document,
            units: Cell::new(UnitSystem::KgMm),
            lifted: Cell::new(false),
            notes: RefCell::new(Vec::new()),
            #[cfg(test)]
            asked: RefCell::default(),
        }
    }

    /// The whole file as settings.
    pub(crate) fn root(&'d self) -> Option<Fields<'d>> {
        let root = Value { reading: self, key: "", path: Vec::new(), node: &self.document.root };
        root.settings("", "units: kg-mm")
    }

    /// Units of bare numbers from here on.
    pub(crate) fn set_units(&self, units: UnitSystem) {
        self.units.set(units);
    }

    /// Units of bare numbers.
    pub(crate) fn units(&self) -> UnitSystem {
        self.units.get()
    }

    /// From here on only the bounds hold without which nothing can be computed.
    pub(crate) fn lift_limits(&self) {
        self.lifted.set(true);
    }

    /// Whether the bounds that catch slips are lifted.
    pub(crate) fn lifted(&self) -> bool {
        self.lifted.get()
    }

    /// Whether anything noted so far forbids to use the file.
    pub(crate) fn failed(&self) -> bool {
        self.notes.borrow().iter().any(|(_, fault)| fault.severity() == Severity::Error)
    }

    pub(super) fn note(&self, spot: Spot, fault: Fault) {
        let mut notes = self.notes.borrow_mut();
        if notes.len() < MOST_NOTES {
            notes.push((spot, fault));
        }
    }

    /// Remembers what was asked of a place, in tests only: they hold it against what is declared.
    #[cfg_attr(
        not(test),
        expect(unused_variables, clippy::unused_self, reason = "a shipped reading remembers nothing")
    )]
    pub(super) fn heard(&self, path: &[u32], asked: impl FnOnce() -> Asked) {
        #[cfg(test)]
        self.asked.borrow_mut().push((path.to_vec(), asked()));
    }

    /// Everything that was asked, with the keys on the way to each place; an item of a list has none.
    #[cfg(test)]
    pub(crate) fn all_asked(&self) -> Vec<(Vec<Option<String>>, Asked)> {
        let asked = self.asked.borrow();
        asked.iter().map(|(path, asked)| (self.document.root.keys_on(path), asked.clone())).collect()
    }

    fn forget(&self, spot: &Spot) {
        self.notes.borrow_mut().retain(|(noted, _)| noted != spot);
    }

    /// Warns if YAML took the rest of a name for a remark: `seat #2` is read as `seat`.
    pub(super) fn warn_if_cut(&self, spot: Spot, key: &str, read: &str) {
        if !self.document.text.contains(" #") {
            return;
        }
        let Some(Place { line, column }) = self.document.place(&spot) else { return };
        let Some(line) = self.document.text.lines().nth(line - 1) else { return };
        let written: String = line.chars().skip(column - 1).collect();
        let Some(rest) = written.strip_prefix(read) else { return };
        let remark = rest.trim_start().strip_prefix('#');
        if rest.starts_with(' ')
            && remark.is_some_and(|remark| remark.starts_with(|next: char| next.is_alphanumeric()))
        {
            let whole = written.trim_end().to_owned();
            self.note(spot, Fault::NameCut { key: key.into(), read: read.into(), whole });
        }
    }

    /// Everything noted, in the order of the file.
    pub(crate) fn diagnoses(&self) -> Vec<Diagnosis> {
        let mut notes = self.notes.borrow().clone();
        // Without units every number is suspect: nothing is gained by listing them all.
        notes.sort_by(|(one, _), (other, _)| one.cmp(other));
        notes.dedup();
        let place = |(index, (spot, kind)): (usize, (Spot, Fault))| {
            let root = Place { line: 1, column: 1 };
            let place = (index < MOST_PLACED).then(|| self.document.place(&spot).unwrap_or(root));
            Diagnosis { kind, place }
        };
        let mut diagnoses: Vec<Diagnosis> = notes.into_iter().enumerate().map(place).collect();
        // Aliases stand elsewhere than where they are used; those without a place come last.
        diagnoses.sort_by_key(|diagnosis| diagnosis.place.map_or((1, None), |place| (0, Some(place))));
        diagnoses.dedup();
        diagnoses
    }
}

/// A value is wrong, and that has been noted.
pub(crate) struct Noted;

/// Settings under one key.
pub(crate) struct Fields<'r> {
    value: Value<'r>,
    within: String,
    entries: &'r [Entry],
    asked: RefCell<Vec<&'static str>>,
    missing: RefCell<Vec<(&'static str, &'static str)>>,
}

impl<'r> Fields<'r> {
    pub(super) fn new(value: Value<'r>, within: String, entries: &'r [Entry]) -> Fields<'r> {
        Fields { value, within, entries, asked: RefCell::default(), missing: RefCell::default() }
    }

    /// The reading that this belongs to.
    pub(crate) fn reading(&self) -> &'r Reading<'r> {
        self.value.reading
    }

    /// Notes a fault of these settings as a whole.
    pub(crate) fn note(&self, fault: Fault) {
        self.value.note_key(fault);
    }

    /// The value of a key; none if the key is not there.
    pub(crate) fn value(&self, key: &'static str) -> Option<Value<'r>> {
        self.asked.borrow_mut().push(key);
        self.reading().heard(&self.value.path, || Asked::Key(key));
        (0..)
            .zip(self.entries)
            .find(|(_, entry)| entry.key == key)
            .map(|(index, entry)| self.child(index, entry))
    }

    /// The word that stands as the value of a key, without asking for it.
    pub(crate) fn peek(&self, key: &str) -> Option<&'r str> {
        self.value.peek(key)?.word()
    }

    /// The value of a key that has several names; two of them at once are refused.
    pub(crate) fn value_of(&self, keys: &[&'static str]) -> Option<Value<'r>> {
        let mut given = keys.iter().filter_map(|key| self.value(key));
        let first = given.next();
        if let (Some(first), Some(second)) = (&first, given.next()) {
            second.note_key(Fault::TwoNamesForOne { key: second.key.into(), other: first.key.into() });
        }
        first
    }

    /// The value of a key that must be there; `example` is a line to add.
    pub(crate) fn required(&self, key: &'static str, example: &'static str) -> Option<Value<'r>> {
        let value = self.value(key);
        if value.is_none() {
            self.missing.borrow_mut().push((key, example));
        }
        value
    }

    /// A setting that may be absent, but must be right if it is there.
    pub(crate) fn optional<T>(
        &self,
        key: &'static str,
        read: impl FnOnce(&Value<'r>) -> Option<T>,
    ) -> Result<Option<T>, Noted> {
        self.value(key).map(|value| read(&value).ok_or(Noted)).transpose()
    }

    /// All settings whose names the user chose; notes are left out.
    pub(crate) fn entries(&self) -> Vec<Value<'r>> {
        let own = |(_, entry): &(u32, &'r Entry)| !is_note(&entry.key);
        (0..).zip(self.entries).filter(own).map(|(index, entry)| self.child(index, entry)).collect()
    }

    /// Refuses every key that was not asked for, and notes those that must be there and are not; one that is
    /// only misspelt is not missing too.
    pub(crate) fn finish(self) {
        let asked = self.asked.borrow();
        let mut missing = self.missing.borrow_mut();
        for (index, entry) in (0_u32..).zip(self.entries) {
            if asked.contains(&entry.key.as_str()) || is_note(&entry.key) {
                continue;
            }
            let value = self.child(index, entry);
            let before =
                index.checked_sub(1).map(|before| self.child(before, &self.entries[before as usize]));
            let fault = self.unknown(&value, before.as_ref(), &asked);
            if let Fault::UnknownKey { similar: Some(meant), .. }
            | Fault::Syntax { problem: Syntax::NoSpaceAfterColon { key: meant, .. } } = &fault
            {
                missing.retain(|(key, _)| key != meant);
            }
            match (&fault, before) {
                (Fault::DecimalComma { .. }, Some(before)) => {
                    // What was said of the 2 alone is no help.
                    self.reading().forget(&Spot::value(before.path.clone()));
                    before.note(fault);
                }
                _ => value.note_key(fault),
            }
        }
        for (key, example) in missing.drain(..) {
            self.note(Fault::Missing { within: self.within.clone(), key, example: example.into() });
        }
    }

    fn unknown(&self, value: &Value<'r>, before: Option<&Value<'r>>, asked: &[&'static str]) -> Fault {
        let key = value.key;
        if let Some((_, fault)) = odd::odd_character(key) {
            return fault;
        }
        if key == "<<" {
            return Fault::MergeKey;
        }
        if value.is_null() {
            // `{mass: 2,5}`: to YAML the comma ends the 2, and the 5 is the next key.
            let digits = key.starts_with(|first: char| first.is_ascii_digit());
            if let (true, Some(Node::Number(whole))) = (digits, before.map(|before| before.node)) {
                return quantity::decimal_comma(&format!("{whole},{key}"), Dimension::Number);
            }
            if let Some((key, fixed)) = syntax::missing_space(key) {
                return Fault::Syntax { problem: Syntax::NoSpaceAfterColon { key, fixed } };
            }
        }
        let similar = other_words::similar(key, asked.iter().copied());
        Fault::UnknownKey { key: super::node::shortened(key), within: self.within.clone(), similar }
    }

    fn child(&self, index: u32, entry: &'r Entry) -> Value<'r> {
        let mut path = self.value.path.clone();
        path.push(index);
        Value { reading: self.value.reading, key: &entry.key, path, node: &entry.value }
    }
}

/// Whether a key is the user's own remark.
pub(super) fn is_note(key: &str) -> bool {
    key == "note" || key.starts_with("x-")
}

/// The fault of a name that is not among the known ones.
pub(crate) fn no_such<'a>(
    what: &'static str,
    name: &str,
    known: impl Iterator<Item = &'a str> + Clone,
) -> Fault {
    let similar = other_words::similar(name, known.clone());
    Fault::NoSuch {
        what,
        name: super::node::shortened(name),
        known: known.map(str::to_owned).collect(),
        similar,
    }
}
