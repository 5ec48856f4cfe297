//! Holds what is declared of a document against what is read and what is written, in tests.
//! Takes declarations, readings and documents; gives what is not in step, in words that say what to do about it.
//! Does not know any key.

use std::collections::BTreeSet;

use super::fields::is_note;
use super::form::{Asked, Form, Key, Kind, Need};
use super::node::Node;
use super::{Document, Reading, quantity};
use crate::diagnosis::Dimension;
use crate::units::UnitSystem;

/// What a reading asked for that is not declared, or declared otherwise.
pub(crate) fn undeclared(reading: &Reading, form: &'static Form) -> Vec<String> {
    let asked = reading.all_asked();
    asked.into_iter().filter_map(|(path, asked)| one_undeclared(&path, &asked, form)).collect()
}

fn one_undeclared(path: &[Option<String>], asked: &Asked, form: &'static Form) -> Option<String> {
    let mut forms = alternatives(form);
    let mut place: Vec<&str> = Vec::new();
    for step in path {
        let named = !forms.iter().any(|form| matches!(form, Form::Settings(keys) if step.as_deref().is_some_and(|step| keys.iter().any(|key| key.is(step)))));
        place.push(match step.as_deref() {
            None => "[]",
            Some(_) if named && forms.iter().any(|form| matches!(form, Form::Named(_))) => "*",
            Some(key) => key,
        });
        forms = forms.into_iter().flat_map(|form| below(form, step.as_deref())).collect();
    }
    let place = place.join(".");
    match asked {
        Asked::Key(key) => {
            let declared =
                |form: &&Form| matches!(form, Form::Settings(keys) if keys.iter().any(|one| one.is(key)));
            (!forms.iter().any(declared))
                .then(|| format!("`{place}.{key}` is read, but not declared: add its Key"))
        }
        Asked::As(kind) => {
            let declared = |form: &&Form| matches!(form, Form::Value(one) if one == kind);
            (!forms.iter().any(declared))
                .then(|| format!("`{place}` is read as {kind:?}, but declared as {forms:?}"))
        }
        Asked::OneOf(words) => {
            let wanted: BTreeSet<&str> = words.iter().copied().collect();
            let declared = |form: &&Form| matches!(form, Form::Word(words) if words.iter().copied().collect::<BTreeSet<_>>() == wanted);
            (!forms.iter().any(declared))
                .then(|| format!("`{place}` takes {words:?}, but is declared as {forms:?}"))
        }
    }
}

fn alternatives(form: &'static Form) -> Vec<&'static Form> {
    match form {
        Form::Any(forms) => forms.iter().flat_map(alternatives).collect(),
        form => vec![form],
    }
}

/// Forms of what is under a key, or of an item of a list.
fn below(form: &'static Form, step: Option<&str>) -> Vec<&'static Form> {
    match (form, step) {
        (Form::List(item), None) => alternatives(item),
        (Form::Named(inner), Some(_)) => alternatives(inner),
        (Form::Settings(keys), Some(step)) => {
            keys.iter().find(|key| key.is(step)).map(|key| alternatives(&key.form)).unwrap_or_default()
        }
        _ => Vec::new(),
    }
}

/// Every place of a declaration with each form that it may have, as words. A block of settings is called by its keys, so that
/// one declared once and used in several places need be shown only once.
pub(crate) fn every_form(form: &'static Form) -> BTreeSet<String> {
    let mut all = BTreeSet::new();
    list_forms(form, "", &mut all);
    all
}

fn list_forms(form: &'static Form, place: &str, all: &mut BTreeSet<String>) {
    match form {
        Form::Value(kind) => drop(all.insert(of_kind(place, *kind))),
        Form::Word(words) => all.extend(words.iter().map(|word| of_word(place, word))),
        Form::Nothing => drop(all.insert(format!("{place}: nothing"))),
        Form::List(item) => list_forms(item, &format!("{place}[]"), all),
        Form::Named(inner) => list_forms(inner, &format!("{place}.*"), all),
        Form::Any(forms) => forms.iter().for_each(|form| list_forms(form, place, all)),
        Form::Settings(keys) => {
            let block = block(keys);
            for Key { name, other, form, .. } in *keys {
                [Some(*name), *other].into_iter().flatten().for_each(|key| {
                    list_forms(form, &format!("{block}.{key}"), all);
                });
            }
        }
    }
}

fn block(keys: &[Key]) -> String {
    format!("{{{}}}", keys.iter().map(|key| key.name).collect::<Vec<_>>().join(" "))
}

fn of_kind(place: &str, kind: Kind) -> String {
    let name = format!("{kind:?}");
    format!("{place}: {}", name.split('(').next().unwrap_or_default())
}

fn of_word(place: &str, word: &str) -> String {
    format!("{place}: {word}")
}

impl Document {
    /// Which forms it shows, or where it is not as declared.
    pub(crate) fn forms_shown(&self, form: &'static Form) -> Result<BTreeSet<String>, String> {
        shown(&self.root, form, "")
    }
}

impl Node {
    /// The keys on a way through the tree.
    pub(super) fn keys_on(&self, path: &[u32]) -> Vec<Option<String>> {
        let mut node = self;
        let mut keys = Vec::new();
        for index in path {
            match node {
                Node::Map(entries) => {
                    let entry = &entries[*index as usize];
                    keys.push(Some(entry.key.clone()));
                    node = &entry.value;
                }
                Node::List(items) => {
                    keys.push(None);
                    node = &items[*index as usize];
                }
                _ => break,
            }
        }
        keys
    }

    fn word(&self) -> Option<&str> {
        match self {
            Node::Text(text) | Node::Number(text) | Node::Bool(_, text) => Some(text.trim()),
            _ => None,
        }
    }
}

fn shown(node: &Node, form: &'static Form, place: &str) -> Result<BTreeSet<String>, String> {
    let mut all = BTreeSet::new();
    let otherwise = || format!("`{place}` is {}, which is not declared", node.found());
    match (form, node) {
        (Form::Any(forms), _) => {
            return forms
                .iter()
                .map(|form| shown(node, form, place))
                .find(Result::is_ok)
                .unwrap_or_else(|| Err(otherwise()));
        }
        (Form::Value(kind), _) if node.word().is_some_and(|word| takes(*kind, word)) => {
            all.insert(of_kind(place, *kind));
        }
        (Form::Word(words), _) if node.word().is_some_and(|word| words.contains(&word)) => {
            all.insert(of_word(place, node.word().unwrap_or_default()));
        }
        (Form::Nothing, Node::Null) => drop(all.insert(format!("{place}: nothing"))),
        (Form::List(form), Node::List(items)) => {
            for item in items {
                all.extend(shown(item, form, &format!("{place}[]"))?);
            }
        }
        (Form::Named(form), Node::Map(entries)) => {
            for entry in entries.iter().filter(|entry| !is_note(&entry.key)) {
                all.extend(shown(&entry.value, form, &format!("{place}.*"))?);
            }
        }
        (Form::Settings(keys), Node::Map(entries)) => {
            for entry in entries.iter().filter(|entry| !is_note(&entry.key)) {
                let place = format!("{}.{}", block(keys), entry.key);
                let key = keys.iter().find(|key| key.is(&entry.key));
                let key = key.ok_or_else(|| format!("`{place}` is accepted, but not declared"))?;
                all.extend(shown(&entry.value, &key.form, &place)?);
            }
            let there = |key: &&Key| entries.iter().any(|entry| key.is(&entry.key));
            if let Some(key) = keys.iter().filter(|key| key.need == Need::Required).find(|key| !there(key)) {
                return Err(format!("`{place}.{}` is declared as required, but may be left out", key.name));
            }
        }
        _ => return Err(otherwise()),
    }
    Ok(all)
}

/// Whether a word can be read so; whether its number is within bounds is not asked.
fn takes(kind: Kind, word: &str) -> bool {
    let is = |dimension| quantity::quantity(word, dimension, UnitSystem::KgMm, "").is_ok();
    match kind {
        Kind::Mass(_) => is(Dimension::Mass),
        Kind::Length(_) => is(Dimension::Length),
        Kind::Percent(_) | Kind::Share(_) => is(Dimension::Percent),
        Kind::Fuel(_) => is(Dimension::Fuel),
        Kind::Density(_) => is(Dimension::Density),
        Kind::Number(_) => is(Dimension::Number),
        Kind::Whole(least, most) => word.parse().is_ok_and(|number: i32| (least..=most).contains(&number)),
        Kind::Boolean => word == "true" || word == "false",
        Kind::Name => true,
    }
}
