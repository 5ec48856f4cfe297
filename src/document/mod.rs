//! The YAML as the user wrote it: a tree of values, with the place of each found again when a message needs
//! it.
//! Takes bytes or text; gives a [`Document`], or what makes the text unreadable; quantities and fields are
//! read from it.
//! Does not know what a kart is: which settings there are and what they mean is the scenario's matter.

pub(crate) mod block;
mod edit;
mod fields;
pub(crate) mod form;
pub(crate) mod line;
mod node;
mod odd;
mod other_words;
mod place;
mod quantity;
mod syntax;
mod value;

pub use edit::{Step, written_name};
pub(crate) use fields::{Fields, Given, Reading, no_such};
pub use line::Refused;
pub(crate) use quantity::{Bounds, rounded_mass};
pub use quantity::{written_length, written_mass};
pub(crate) use value::{Value, every};

use crate::diagnosis::{Diagnosis, Fault, Place, Syntax};
use crate::units::UnitSystem;
use node::Node;
use place::Spot;

/// Longest text that is read, in bytes. A scenario is two or three KiB; more is another kind of file.
pub const MOST_BYTES: usize = 64 * 1024;

/// A text that is YAML, as a tree.
#[derive(Clone, Debug)]
pub struct Document {
    text: String,
    root: Node,
}

impl Document {
    /// Reads the bytes of a file.
    ///
    /// Fails with what makes them unreadable as text or as YAML: the first such thing, or every key that is
    /// listed twice.
    pub fn from_bytes(bytes: &[u8]) -> Result<Document, Vec<Diagnosis>> {
        if bytes.len() > MOST_BYTES {
            let fault = Fault::TooLong { bytes: bytes.len(), most: MOST_BYTES };
            return Err(vec![Diagnosis::at(fault, 1, 1)]);
        }
        Document::from_text(odd::text_of(bytes).map_err(|fault| vec![Diagnosis::at(fault, 1, 1)])?)
    }

    /// Reads text; fails as [`Document::from_bytes`].
    pub fn from_text(text: &str) -> Result<Document, Vec<Diagnosis>> {
        if text.len() > MOST_BYTES {
            let fault = Fault::TooLong { bytes: text.len(), most: MOST_BYTES };
            return Err(vec![Diagnosis::at(fault, 1, 1)]);
        }
        // A byte order mark is no character of the first line.
        let text = text.trim_start_matches('\u{feff}');
        let tabs: Vec<Diagnosis> =
            odd::tab_indents(text).map(|line| Diagnosis::at(Fault::TabIndent, line, 1)).collect();
        if !tabs.is_empty() {
            return Err(tabs);
        }
        let too_deep = odd::too_deep(text).map(|place| (Syntax::TooDeep, place));
        if let Some((problem, place)) = too_deep.or_else(|| Some((Syntax::Tag, odd::standard_tag(text)?))) {
            return Err(vec![Diagnosis { kind: Fault::Syntax { problem }, place: Some(place) }]);
        }
        let root = node::tree(text).map_err(|error| vec![syntax::diagnosis(text, &error)])?;
        if matches!(root, Node::Null) {
            return Err(vec![Diagnosis::at(Fault::Empty, 1, 1)]);
        }
        let document = Document { text: text.to_owned(), root };
        let twice = document.keys_listed_twice();
        if twice.is_empty() { Ok(document) } else { Err(twice) }
    }

    /// The text in which places are counted.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The place of a setting of the scenario itself, such as `drivers`; none if the text has no such
    /// setting.
    pub fn place_of(&self, key: &str) -> Option<Place> {
        let Node::Map(entries) = &self.root else { return None };
        let index = entries.iter().position(|entry| entry.key == key)?;
        self.place(&Spot::key(vec![u32::try_from(index).ok()?]))
    }

    fn place(&self, spot: &Spot) -> Option<Place> {
        place::of(&self.text, spot)
    }

    fn letter_at(&self, place: Place) -> Option<char> {
        self.text.lines().nth(place.line - 1)?.chars().nth(place.column - 1)
    }

    fn keys_listed_twice(&self) -> Vec<Diagnosis> {
        /// A file with more repeated keys than this is not a scenario, and each costs two readings of the
        /// text.
        const MOST: usize = 50;
        let mut pairs = Vec::new();
        node::repeated_keys(&self.root, &mut Vec::new(), &mut pairs);
        pairs
            .into_iter()
            .take(MOST)
            .map(|(first, second, key)| {
                let first_line = self.place(&first).map_or(1, |place| place.line);
                Diagnosis { kind: Fault::Twice { key, first_line }, place: self.place(&second) }
            })
            .collect()
    }
}

/// Which first scenario.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Starter {
    /// A sprint kart, every line explained; nine lines are marked for the newcomer to edit.
    Sprint,
    /// The same for a kart that only turns left: left and cross bias.
    Oval,
    /// The least that a scenario needs, in eight lines.
    Minimal,
}

/// A complete scenario that solves as it is: the commented one for a sprint kart.
pub const fn starter(units: UnitSystem) -> &'static str {
    starter_of(Starter::Sprint, units)
}

/// A complete scenario that solves as it is.
pub const fn starter_of(which: Starter, units: UnitSystem) -> &'static str {
    match (which, units) {
        (Starter::Sprint, UnitSystem::KgMm) => include_str!("../starter/kg-mm.yaml"),
        (Starter::Sprint, UnitSystem::LbIn) => include_str!("../starter/lb-in.yaml"),
        (Starter::Oval, UnitSystem::KgMm) => include_str!("../starter/oval-kg-mm.yaml"),
        (Starter::Oval, UnitSystem::LbIn) => include_str!("../starter/oval-lb-in.yaml"),
        (Starter::Minimal, UnitSystem::KgMm) => include_str!("../starter/minimal-kg-mm.yaml"),
        (Starter::Minimal, UnitSystem::LbIn) => include_str!("../starter/minimal-lb-in.yaml"),
    }
}
