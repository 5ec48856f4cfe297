//! The tree of values as written, and how YAML becomes one.

use std::cell::Cell;
use std::fmt;

use serde::de::{
    Deserialize, DeserializeSeed, Deserializer, EnumAccess, Error, MapAccess, SeqAccess, Visitor,
};
use serde_yaml as yaml;

use super::place::Spot;

/// A value.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Node {
    /// Nothing, `~` or `null`.
    Null,
    /// `true` or `false`, with the letters typed.
    Bool(bool, String),
    /// Something YAML takes for a number, as typed: `1040`, `5.50`, `1e3`, `.nan`.
    Number(String),
    /// Words, or anything in quotes.
    Text(String),
    /// `[a, b]` or lines that start with `- `.
    List(Vec<Node>),
    /// Settings, in the order of the file.
    Map(Vec<Entry>),
}

/// One setting.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Entry {
    pub(super) key: String,
    pub(super) value: Node,
}

impl Node {
    /// For "found ...": the characters typed, or what kind of thing it is.
    pub(super) fn found(&self) -> String {
        match self {
            Node::Null => "nothing".into(),
            Node::Bool(_, written) | Node::Number(written) => format!("`{written}`"),
            Node::Text(text) if text.is_empty() => "an empty text".into(),
            Node::Text(text) => format!("`{}`", shortened(text)),
            Node::List(_) => "a list".into(),
            Node::Map(_) => "settings".into(),
        }
    }

    /// How often a word in small letters stands in it, as a key or a value.
    pub(super) fn mentions(&self, word: &str) -> usize {
        let same = |text: &str| usize::from(text.trim().to_lowercase() == word);
        match self {
            Node::Null => 0,
            Node::Bool(_, text) | Node::Number(text) | Node::Text(text) => same(text),
            Node::List(items) => items.iter().map(|item| item.mentions(word)).sum(),
            Node::Map(entries) => {
                entries.iter().map(|entry| same(&entry.key) + entry.value.mentions(word)).sum()
            }
        }
    }
}

/// The start of a text, for messages.
pub(super) fn shortened(text: &str) -> String {
    /// Longer texts are recognised by their first words.
    const MOST: usize = 40;
    let first_line = text.lines().next().unwrap_or_default();
    if text.chars().count() <= MOST && first_line.len() == text.len() {
        return text.into();
    }
    format!("{}...", first_line.chars().take(MOST - 3).collect::<String>())
}

/// Words by which `syntax` recognises the refusals of this reader among the errors of the YAML library.
pub(super) mod refusal {
    pub(in super::super) const TAG: &str = "kentledge: tag";
    pub(in super::super) const UNFOLDS: &str = "kentledge: unfolds";
    pub(in super::super) const KEY: &str = "kentledge: key";
}

/// Values in one tree. A text of 64 KiB holds fewer, so only aliases that multiply each other come here; the
/// library limits how often it follows them, but not how much each brings.
const MOST_VALUES: usize = super::MOST_BYTES;

/// The tree of a text. Two readings: the first learns what YAML takes each value for, the second asks for the
/// characters of those it takes for numbers or booleans.
pub(super) fn tree(text: &str) -> Result<Node, yaml::Error> {
    let left = Cell::new(MOST_VALUES);
    let mut root = Shape { left: &left }.deserialize(yaml::Deserializer::from_str(text))?;
    Letters { node: &mut root }.deserialize(yaml::Deserializer::from_str(text))?;
    Ok(root)
}

/// First reading.
#[derive(Clone, Copy)]
struct Shape<'a> {
    left: &'a Cell<usize>,
}

impl<'de> DeserializeSeed<'de> for Shape<'_> {
    type Value = Node;
    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Node, D::Error> {
        let Some(left) = self.left.get().checked_sub(1) else {
            return Err(D::Error::custom(refusal::UNFOLDS));
        };
        self.left.set(left);
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Shape<'_> {
    type Value = Node;
    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("any value")
    }
    fn visit_unit<E: Error>(self) -> Result<Node, E> {
        Ok(Node::Null)
    }
    // A text without any value.
    fn visit_none<E: Error>(self) -> Result<Node, E> {
        Ok(Node::Null)
    }
    fn visit_bool<E: Error>(self, value: bool) -> Result<Node, E> {
        Ok(Node::Bool(value, String::new()))
    }
    fn visit_i64<E: Error>(self, _: i64) -> Result<Node, E> {
        Ok(Node::Number(String::new()))
    }
    fn visit_u64<E: Error>(self, _: u64) -> Result<Node, E> {
        Ok(Node::Number(String::new()))
    }
    fn visit_i128<E: Error>(self, _: i128) -> Result<Node, E> {
        Ok(Node::Number(String::new()))
    }
    fn visit_u128<E: Error>(self, _: u128) -> Result<Node, E> {
        Ok(Node::Number(String::new()))
    }
    fn visit_f64<E: Error>(self, _: f64) -> Result<Node, E> {
        Ok(Node::Number(String::new()))
    }
    fn visit_str<E: Error>(self, text: &str) -> Result<Node, E> {
        Ok(Node::Text(text.into()))
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Node, A::Error> {
        let mut list = Vec::new();
        while let Some(item) = items.next_element_seed(self)? {
            list.push(item);
        }
        Ok(Node::List(list))
    }
    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Node, A::Error> {
        let mut map = Vec::new();
        while let Some(Key(key)) = entries.next_key()? {
            map.push(Entry { key, value: entries.next_value_seed(self)? });
        }
        Ok(Node::Map(map))
    }
    fn visit_enum<A: EnumAccess<'de>>(self, _: A) -> Result<Node, A::Error> {
        Err(A::Error::custom(refusal::TAG))
    }
}

/// A key with the characters typed, whatever YAML would take it for.
struct Key(String);

impl<'de> Deserialize<'de> for Key {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Key, D::Error> {
        deserializer.deserialize_str(Typed { refusal: refusal::KEY }).map(Key)
    }
}

/// Asks for characters; anything without them is refused with the words of `refusal`.
struct Typed {
    refusal: &'static str,
}

impl Visitor<'_> for Typed {
    type Value = String;
    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(self.refusal)
    }
    fn visit_str<E: Error>(self, text: &str) -> Result<String, E> {
        Ok(text.into())
    }
}

/// Second reading, along the tree of the first.
struct Letters<'a> {
    node: &'a mut Node,
}

impl<'de> DeserializeSeed<'de> for Letters<'_> {
    type Value = ();
    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        match self.node {
            Node::Number(written) | Node::Bool(_, written) => {
                *written = deserializer.deserialize_str(Typed { refusal: "" })?;
                Ok(())
            }
            Node::List(_) | Node::Map(_) => deserializer.deserialize_any(self),
            Node::Null | Node::Text(_) => {
                deserializer.deserialize_ignored_any(serde::de::IgnoredAny)?;
                Ok(())
            }
        }
    }
}

impl<'de> Visitor<'de> for Letters<'_> {
    type Value = ();
    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a list or settings")
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<(), A::Error> {
        if let Node::List(list) = self.node {
            for node in list {
                items.next_element_seed(Letters { node })?;
            }
        }
        Ok(())
    }
    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<(), A::Error> {
        if let Node::Map(map) = self.node {
            for entry in map {
                entries.next_key::<serde::de::IgnoredAny>()?;
                entries.next_value_seed(Letters { node: &mut entry.value })?;
            }
        }
        Ok(())
    }
}

/// Every key that its map holds before: spot of the first, spot of the later one, the key.
pub(super) fn repeated_keys(node: &Node, path: &mut Vec<u32>, found: &mut Vec<(Spot, Spot, String)>) {
    match node {
        Node::Map(entries) => {
            let mut first = std::collections::HashMap::new();
            for (index, entry) in (0_u32..).zip(entries) {
                path.push(index);
                // `{x: 2,5, y: 3,5}` has the key `5` twice, but that is not what is wrong with it.
                let comma =
                    matches!(entry.value, Node::Null) && entry.key.starts_with(|c: char| c.is_ascii_digit());
                if let Some(earlier) = first.get(entry.key.as_str()).filter(|_| !comma) {
                    let mut before = path.clone();
                    before.pop();
                    before.push(*earlier);
                    found.push((Spot::key(before), Spot::key(path.clone()), entry.key.clone()));
                } else {
                    first.insert(entry.key.as_str(), index);
                    repeated_keys(&entry.value, path, found);
                }
                path.pop();
            }
        }
        Node::List(items) => {
            for (index, item) in (0_u32..).zip(items) {
                path.push(index);
                repeated_keys(item, path, found);
                path.pop();
            }
        }
        _ => {}
    }
}
