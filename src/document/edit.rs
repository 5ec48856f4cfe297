//! Changes to a text that leave everything else as it was: comments, order, spaces.
//! Takes a document, where to change it and what to write there; gives the new text, or nothing where the text is laid out in a
//! way that cannot be changed safely.
//! Does not know what the settings mean; whoever changes a text reads it again before it is used.

use super::Document;
use super::node::Node;
use super::place::Spot;
use crate::diagnosis::Place;

/// One level down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step<'s> {
    /// To the value of a key.
    Key(&'s str),
    /// To an item of a list, from 0.
    Item(usize),
}

impl Document {
    /// Where the value at the end of the steps stands; none if there is no such value.
    pub fn place_at(&self, steps: &[Step]) -> Option<Place> {
        let mut node = &self.root;
        let mut path = Vec::new();
        for step in steps {
            let (index, next) = match (step, node) {
                (Step::Key(key), Node::Map(entries)) => {
                    let index = entries.iter().position(|entry| entry.key == *key)?;
                    (index, &entries[index].value)
                }
                (Step::Item(index), Node::List(items)) => (*index, items.get(*index)?),
                _ => return None,
            };
            path.push(u32::try_from(index).ok()?);
            node = next;
        }
        self.place(&Spot::value(path))
    }

    /// The text with one block of settings in place of that of the same key, or after everything else. `block` is whole lines,
    /// the first starting with the key.
    pub fn with_block(&self, key: &str, block: &str) -> Option<String> {
        let end_of_line = if self.text.contains("\r\n") { "\r\n" } else { "\n" };
        let block = block.replace('\n', end_of_line);
        // Settings in one pair of braces have no end to write behind.
        if self.text.lines().any(|line| line.starts_with(['{', '%', '-'])) {
            return None;
        }
        let Some(place) = self.place_of(key) else {
            let gap = if self.text.ends_with('\n') { "" } else { end_of_line };
            return Some(format!("{}{gap}{end_of_line}{block}", self.text));
        };
        if place.column != 1 {
            return None;
        }
        let lines: Vec<&str> = self.text.split_inclusive('\n').collect();
        let inside = |line: &&str| line.starts_with(' ') && !line.trim().is_empty();
        // Remarks and empty lines between this block and the next belong to the next.
        let below = lines[place.line..].iter().take_while(|line| {
            let bare = line.trim();
            inside(line) || bare.is_empty() || bare.starts_with('#')
        });
        let last = below
            .enumerate()
            .filter(|(_, line)| inside(line))
            .map(|(index, _)| index + 1)
            .last()
            .unwrap_or(0);
        let before: String = lines[..place.line - 1].concat();
        let after: String = lines[place.line + last..].concat();
        Some(format!("{before}{block}{after}"))
    }
}

/// A name as it may stand for a key or a value: plain if it reads back as the same text, else in quotes.
pub fn written_name(name: &str) -> String {
    let plain = name.starts_with(|first: char| first.is_ascii_alphabetic())
        && name.chars().all(|next| next.is_ascii_alphanumeric() || matches!(next, '_' | ' '))
        && !name.ends_with(' ');
    // Words that some readers of YAML take for a boolean or for nothing.
    let reserved = ["true", "false", "yes", "no", "on", "off", "y", "n", "null"];
    if plain && !reserved.contains(&name.to_lowercase().as_str()) {
        return name.to_owned();
    }
    let escaped: String = name
        .chars()
        .flat_map(|character| match character {
            '"' | '\\' => vec!['\\', character],
            _ => vec![character],
        })
        .collect();
    format!("\"{escaped}\"")
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "# first\nunits: kg-mm   # bare numbers\n\nlearned:  # old\n  twist_rate: 0.5\n\n  # within\n  \
                        weighings: 1\n\n# about the rest\nrest:\n  - {lead: none} # keep\n";

    fn document(text: &str) -> Document {
        Document::from_text(text).expect("a text that can be read")
    }

    #[test]
    fn a_block_is_replaced_and_every_other_character_stays() {
        let new =
            document(TEXT).with_block("learned", "learned:\n  twist_rate: 0.6\n").expect("it stands alone");
        let expected = "# first\nunits: kg-mm   # bare numbers\n\nlearned:\n  twist_rate: 0.6\n\n# about the rest\nrest:\n  - \
                        {lead: none} # keep\n";
        assert_eq!(new, expected);
    }

    #[test]
    fn a_block_that_is_not_there_is_written_after_everything() {
        let new = document("units: kg-mm").with_block("learned", "learned:\n  weighings: 1\n");
        assert_eq!(new.as_deref(), Some("units: kg-mm\n\nlearned:\n  weighings: 1\n"));
    }

    #[test]
    fn a_text_with_carriage_returns_keeps_them() {
        let new = document("units: kg-mm\r\n").with_block("learned", "learned:\n  weighings: 1\n");
        assert_eq!(new.as_deref(), Some("units: kg-mm\r\n\r\nlearned:\r\n  weighings: 1\r\n"));
    }

    #[test]
    fn a_text_in_braces_is_left_alone() {
        assert_eq!(document("{units: kg-mm}").with_block("learned", "learned: {}\n"), None);
    }

    #[test]
    fn a_name_reads_back_as_it_was() {
        for name in
            ["seat_left", "piece 1", "no", "7", "seat #2", "a: b", "say \"hi\"", "back\\slash", "Zoë", " x"]
        {
            let text = format!("{}: 1\n", written_name(name));
            let Node::Map(entries) = document(&text).root else { panic!("{text}") };
            assert_eq!(entries[0].key, name, "{text}");
        }
    }
}
