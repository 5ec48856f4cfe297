//! Where in the text a value or a key stands.

use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, Error, IgnoredAny, MapAccess, SeqAccess, Visitor};
use serde_yaml as yaml;

use crate::diagnosis::Place;

/// A key or a value: the n-th entry of the map (or item of the list) at each level, then which of the two.
/// Spots in order are in the order of the file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Spot {
    path: Vec<u32>,
    part: Part,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Part {
    Key,
    Value,
}

impl Spot {
    /// The key of an entry; for an item of a list, which has none, its value.
    pub(super) fn key(path: Vec<u32>) -> Spot {
        Spot { path, part: Part::Key }
    }

    /// The value of a key.
    pub(super) fn its_value(&self) -> Spot {
        Spot::value(self.path.clone())
    }

    /// A value.
    pub(super) fn value(path: Vec<u32>) -> Spot {
        Spot { path, part: Part::Value }
    }
}

/// The place of a spot. None if the text has no such spot.
pub(super) fn of(text: &str, spot: &Spot) -> Option<Place> {
    let seek = Seek { path: &spot.path, part: spot.part };
    // The library keeps a mark with every event, and gives it away only in errors: so the way to it is to
    // fail there.
    let error = seek.deserialize(yaml::Deserializer::from_str(text)).err()?;
    let location = error.location()?;
    Some(Place { line: location.line(), column: location.column() })
}

/// Walks to the spot and fails on it; what is neither a list nor settings fails by itself, being none of what is expected.
struct Seek<'a> {
    path: &'a [u32],
    part: Part,
}

/// Fails; the library adds where.
fn here<E: Error>() -> Result<(), E> {
    Err(E::custom("here"))
}

impl<'de> DeserializeSeed<'de> for Seek<'_> {
    type Value = ();
    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Seek<'_> {
    type Value = ();
    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("the value sought")
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<(), A::Error> {
        let Some((index, path)) = self.path.split_first() else { return here() };
        for _ in 0..*index {
            items.next_element::<IgnoredAny>()?;
        }
        items.next_element_seed(Seek { path, part: self.part })?;
        Ok(())
    }
    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<(), A::Error> {
        let Some((index, path)) = self.path.split_first() else { return here() };
        for _ in 0..*index {
            entries.next_entry::<IgnoredAny, IgnoredAny>()?;
        }
        if path.is_empty() && self.part == Part::Key {
            entries.next_key_seed(Seek { path, part: self.part })?;
        } else {
            entries.next_key::<IgnoredAny>()?;
            entries.next_value_seed(Seek { path, part: self.part })?;
        }
        Ok(())
    }
}
