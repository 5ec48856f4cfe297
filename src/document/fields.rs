//! Settings read key by key, so that all problems of a file are listed in one run.

use std::cell::{Cell, RefCell};
use std::collections::BTreeSet;

use super::block::{Key, Need, Short};
use super::form::Form;
use super::node::{Entry, Node, shortened};
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
}

impl<'d> Reading<'d> {
    /// Starts to read. Numbers are in kilograms and millimetres, within bounds, until told otherwise.
    pub(crate) fn new(document: &'d Document) -> Reading<'d> {
        Reading {
            document,
            units: Cell::new(UnitSystem::KgMm),
            lifted: Cell::new(false),
            notes: RefCell::new(Vec::new()),
        }
    }

    /// The whole file.
    pub(crate) fn root(&'d self) -> Value<'d> {
        Value { reading: self, key: "", is_item: false, path: Vec::new(), node: &self.document.root }
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

    pub(super) fn note(&self, spot: Spot, mut fault: Fault) {
        if let Fault::NotAQuantity { example, .. }
        | Fault::NotSettings { example, .. }
        | Fault::NotAList { example, .. }
        | Fault::Missing { example, .. }
        | Fault::HeightUnknown { example }
        | Fault::HowHigh { example, .. } = &mut fault
        {
            *example = quantity::in_units_of(self.units.get(), example);
        }
        let mut notes = self.notes.borrow_mut();
        if notes.len() < MOST_NOTES {
            notes.push((spot, fault));
        }
    }

    /// The key under which stands what has the value of that way in it; none for the file itself and for items of a list.
    pub(super) fn key_above(&self, path: &[u32]) -> &'d str {
        let (mut node, mut key) = (&self.document.root, "");
        for index in &path[..path.len().saturating_sub(1)] {
            (node, key) = match node {
                Node::Map(entries) => {
                    (&entries[*index as usize].value, entries[*index as usize].key.as_str())
                }
                Node::List(items) => (&items[*index as usize], ""),
                _ => break,
            };
        }
        key
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
        // What else was said of the 2 in `2,5` is no help.
        let is_comma = |fault: &Fault| matches!(fault, Fault::DecimalComma { .. });
        let commas: BTreeSet<Spot> =
            notes.iter().filter(|(_, fault)| is_comma(fault)).map(|(spot, _)| spot.clone()).collect();
        notes.retain(|(spot, fault)| is_comma(fault) || !commas.contains(spot));
        let root = Place { line: 1, column: 1 };
        let of = |spot: &Spot| self.document.place(spot).unwrap_or(root);
        let place = |(index, (spot, mut kind)): (usize, (Spot, Fault))| {
            let place = (index < MOST_PLACED).then(|| of(&spot));
            if let (Fault::Missing { in_braces, .. }, Some(_)) = (&mut kind, place) {
                *in_braces = self.document.letter_at(of(&spot.its_value())) == Some('{');
            }
            Diagnosis { kind, place }
        };
        let mut diagnoses: Vec<Diagnosis> = notes.into_iter().enumerate().map(place).collect();
        // Aliases stand elsewhere than where they are used; those without a place come last.
        diagnoses.sort_by_key(|diagnosis| diagnosis.place.map_or((1, None), |place| (0, Some(place))));
        diagnoses.dedup();
        diagnoses
    }
}

/// What was found under one key.
#[derive(Clone)]
pub(crate) struct Given<'r, T> {
    /// What stands there; none if the key is not there.
    pub(crate) value: Option<Value<'r>>,
    /// What it says; none if it is not there, or wrong, which has been noted.
    pub(crate) read: Option<T>,
}

impl<'r, T> Given<'r, T> {
    /// What is made of it; none after noting what is wrong with it.
    pub(crate) fn then<U>(self, made: impl FnOnce(T) -> Option<U>) -> Given<'r, U> {
        Given { value: self.value, read: self.read.and_then(made) }
    }

    /// The same where something may have to be said of the key.
    pub(crate) fn at<U>(self, made: impl FnOnce(&Value<'r>, T) -> Option<U>) -> Given<'r, U> {
        let read = self.value.as_ref().zip(self.read).and_then(|(key, read)| made(key, read));
        Given { value: self.value, read }
    }

    /// What it says, or that if nothing is said; none if it is wrong.
    pub(crate) fn or(self, standard: T) -> Option<T> {
        if self.value.is_some() { self.read } else { Some(standard) }
    }

    /// What it says, if anything; none if it is wrong.
    #[expect(
        clippy::option_option,
        reason = "whoever calls it asks with `?` whether it is wrong, then whether it is there"
    )]
    pub(crate) fn optional(self) -> Option<Option<T>> {
        if self.value.is_some() { self.read.map(Some) } else { Some(None) }
    }

    /// Notes a fault of the key, if it is there.
    pub(crate) fn note_key(&self, fault: Fault) {
        if let Some(value) = &self.value {
            value.note_key(fault);
        }
    }
}

/// A block of settings, read key by key in the order of its table.
pub(crate) struct Fields<'r> {
    value: Value<'r>,
    entries: &'r [Entry],
    keys: Vec<Key>,
    next: Cell<usize>,
    /// In which of several ways it is written.
    way: u8,
    /// How it is written in fewer words, if it is.
    short: Short,
    /// Keys that are there, but misspelt.
    meant: BTreeSet<String>,
}

impl<'r> Fields<'r> {
    /// Settings with these keys, or what is short for them; refuses all others. None, which has been noted, if it is something
    /// else.
    pub(super) fn open(value: &Value<'r>, keys: Vec<Key>, example: &str, short: Short) -> Option<Fields<'r>> {
        if let (Short::List(count), Node::List(items)) = (short, value.node)
            && !value.at_most(count, "values", items.len())
        {
            return None;
        }
        let short = match (short, value.node) {
            (Short::Value(_), Node::Text(_) | Node::Number(_)) | (Short::List(_), Node::List(_)) => short,
            _ => Short::None,
        };
        let entries = if matches!(short, Short::None) { value.entries_of(example)? } else { &[] };
        let there = |key: &Key| entries.iter().any(|entry| key.names().any(|name| name == entry.key));
        let last = keys.iter().flat_map(|key| key.ways).max().copied().unwrap_or(0);
        let first_of = |way: u8| keys.iter().find(|key| key.ways.contains(&way));
        let way = (0..last).find(|way| first_of(*way).is_some_and(there)).unwrap_or(last);
        let decided_by = first_of(way).map_or("", |key| key.name);
        let mut fields = Fields {
            value: value.clone(),
            entries,
            keys,
            next: Cell::new(0),
            way,
            short,
            meant: BTreeSet::new(),
        };
        for index in 0..entries.len() {
            fields.look_at(index as u32, decided_by);
        }
        Some(fields)
    }

    /// Notes what is wrong with a key.
    fn look_at(&mut self, index: u32, decided_by: &'static str) {
        let value = self.value.child(index);
        if is_note(value.key) {
            return;
        }
        let called: Vec<&Key> =
            self.keys.iter().filter(|key| key.names().any(|name| name == value.key)).collect();
        if called.iter().any(|key| key.is_of(self.way)) {
            return;
        }
        // A key of a later way stands beside the one that decided for this way; one of an earlier way stands alone.
        if let Some(key) = called.iter().find(|key| key.ways.iter().any(|way| *way > self.way)) {
            value.note_key(Fault::BothGiven { first: decided_by, second: key.name });
            return;
        }
        let before = index.checked_sub(1).map(|before| self.value.child(before));
        let fault = self.unknown(&value, before.as_ref());
        if let Fault::UnknownKey { similar: Some(meant), .. }
        | Fault::Syntax { problem: Syntax::NoSpaceAfterColon { key: meant, .. } } = &fault
        {
            self.meant.insert(meant.clone());
        }
        match before {
            Some(before) if matches!(fault, Fault::DecimalComma { .. }) => before.note(fault),
            _ => value.note_key(fault),
        }
    }

    /// The settings themselves.
    pub(crate) fn value(&self) -> &Value<'r> {
        &self.value
    }

    /// What the next key of the table says; notes one that must be there and is not, unless it is only misspelt.
    pub(crate) fn given<F: Form<'r>>(&self, form: &F) -> Given<'r, F::Out> {
        let nothing = Given { value: None, read: None };
        let index = self.next.replace(self.next.get() + 1);
        let key = &self.keys[index];
        if !key.is_of(self.way) {
            return nothing;
        }
        match (self.short, self.value.node) {
            (Short::Value(meant), _) if key.name == meant => {
                return Given { read: form.read(&self.value), value: Some(self.value.clone()) };
            }
            (Short::List(_), Node::List(items)) if index < items.len() => {
                let value = self.value.child(index as u32);
                return Given { read: form.read(&value), value: Some(value) };
            }
            (Short::None, _) => {}
            _ => return nothing,
        }
        let mut found = (0..)
            .zip(self.entries)
            .filter(|(_, entry)| key.names().any(|name| name == entry.key))
            .map(|(index, _)| self.value.child(index));
        let (first, second) = (found.next(), found.next());
        if let (Some(first), Some(second)) = (&first, second) {
            second.note_key(Fault::TwoNamesForOne { key: second.key.into(), other: first.key.into() });
        }
        let blank = |value: &Value| key.need == Need::blank && value.is_null();
        let Some(value) = first.filter(|value| !blank(value)) else {
            if key.need == Need::required && !self.meant.contains(key.name) {
                let like = if key.like.is_empty() { form.example() } else { key.like };
                let example = format!("{}: {like}", key.name);
                self.value.note_missing(key.name, example);
            }
            return nothing;
        };
        // Where nothing stands after its colon, whoever reads it says so at that place.
        let is_told = key.need == Need::needed && value.is_null();
        Given { read: if is_told { None } else { form.read(&value) }, value: Some(value) }
    }

    fn unknown(&self, value: &Value<'r>, before: Option<&Value<'r>>) -> Fault {
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
        let known: Vec<&str> = self.keys.iter().flat_map(Key::names).filter(|name| *name != key).collect();
        let similar = other_words::similar(key, known.into_iter());
        Fault::UnknownKey { key: shortened(key), within: self.value.key.into(), similar }
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
    Fault::NoSuch { what, name: shortened(name), known: known.map(str::to_owned).collect(), similar }
}
