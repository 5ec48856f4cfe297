//! Changes to a text that leave everything else as it was: comments, order, spaces.
//! Does not know what the settings mean; whoever changes a text reads it again before it is used.

use std::ops::Range;

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
        let block = block.replace('\n', self.end_of_line());
        if self.place_of(key).is_none() && self.is_laid_out_in_lines() {
            let gap = if self.text.ends_with('\n') { "" } else { self.end_of_line() };
            return Some(format!("{}{gap}{}{block}", self.text, self.end_of_line()));
        }
        let (lines, here) = self.block(key)?;
        Some(format!("{}{block}{}", lines[..here.start].concat(), lines[here.end..].concat()))
    }

    /// The text with one item more at the end of a list, which has the first name while it is a single value and the second
    /// with several. `item` is whole lines, without indent.
    pub fn with_item(&self, [one, several]: [&str; 2], item: &str) -> Option<String> {
        let key = [one, several].into_iter().find(|key| self.place_of(key).is_some())?;
        let (lines, here) = self.block(key)?;
        let (_, beside) = lines[here.start].split_once(':')?;
        let below = &lines[here.start + 1..here.end];
        let eol = self.end_of_line();
        let is_first = |line: &str| !line.trim().is_empty() && !line.trim_start().starts_with('#');
        let first = below.iter().position(|line| is_first(line));
        let indent_of = |line: &str| line.len() - line.trim_start().len();
        let (mut block, indent) = match (beside.trim_start().chars().next(), first) {
            // One value in braces, the rest of it perhaps on the next lines.
            (Some('{'), _) => {
                let below: String = below.iter().flat_map(|line| ["  ", line]).collect();
                (format!("{several}:{eol}  - {}{below}", beside.trim_start()), 2)
            }
            (None | Some('#'), Some(first)) if below[first].trim_start().starts_with('-') => {
                (lines[here.clone()].concat(), indent_of(below[first]))
            }
            // One value, line by line: each moves to the right, and the first gets the mark of an item.
            (None | Some('#'), Some(first)) => {
                let indent = indent_of(below[first]);
                let moved = below.iter().enumerate().map(|(index, line)| match index == first {
                    true => format!("{}- {}", " ".repeat(indent), line.trim_start()),
                    false if line.trim().is_empty() => (*line).to_owned(),
                    false => format!("  {line}"),
                });
                (format!("{several}:{beside}{}", moved.collect::<String>()), indent)
            }
            _ => return None,
        };
        if !block.ends_with('\n') {
            block.push_str(eol);
        }
        for (index, line) in item.lines().enumerate() {
            let mark = if index == 0 { "- " } else { "  " };
            block.extend([&" ".repeat(indent), mark, line, eol]);
        }
        Some(format!("{}{block}{}", lines[..here.start].concat(), lines[here.end..].concat()))
    }

    /// The text with another word or number at the end of the steps.
    pub fn with_word(&self, steps: &[Step], word: &str) -> Option<String> {
        let place = self.place_at(steps)?;
        let mut lines: Vec<String> = self.text.split_inclusive('\n').map(str::to_owned).collect();
        let line = lines.get_mut(place.line - 1)?;
        let from = line.char_indices().nth(place.column - 1).map(|(index, _)| index)?;
        let old = &line[from..];
        let quote = old.chars().next().filter(|first| ['"', '\''].contains(first));
        let long = match quote {
            Some(quote) => old[1..].find(quote)? + 2,
            None => old.find([',', '}', ']', '#', '\r', '\n']).unwrap_or(old.len()),
        };
        let kept = old[..long].trim_end().len();
        line.replace_range(from..from + kept, word);
        Some(lines.concat())
    }

    /// The text with one setting more, before the first of the settings at the end of the steps.
    pub fn with_first(&self, steps: &[Step], setting: &str) -> Option<String> {
        let place = self.place_at(steps)?;
        let mut lines: Vec<String> = self.text.split_inclusive('\n').map(str::to_owned).collect();
        let line = lines.get_mut(place.line - 1)?;
        let at = line.char_indices().nth(place.column - 1).map(|(index, _)| index)?;
        if line[at..].starts_with('{') {
            line.insert_str(at + 1, &format!("{setting}, "));
        } else {
            // The mark of an item stays before the first.
            let rest = format!("{setting}{}{}", self.end_of_line(), " ".repeat(place.column - 1));
            line.insert_str(at, &rest);
        }
        Some(lines.concat())
    }

    /// The text with another value, or none, for one name of a block that has each on a line of its own.
    pub fn with_entry(&self, key: &str, name: &str, value: Option<&str>) -> Option<String> {
        let (lines, here) = self.block(key)?;
        let mut lines: Vec<String> = lines.into_iter().map(str::to_owned).collect();
        match (self.place_at(&[Step::Key(key), Step::Key(name)]), value) {
            (None, None) => {}
            (None, Some(value)) => {
                let is_first =
                    |line: &&String| !line.trim().is_empty() && !line.trim_start().starts_with('#');
                let first = lines[here.start + 1..here.end].iter().find(is_first)?;
                let indent = " ".repeat(first.len() - first.trim_start().len());
                if !lines[here.end - 1].ends_with('\n') {
                    lines[here.end - 1].push_str(self.end_of_line());
                }
                let line = format!("{indent}{}: {value}{}", written_name(name), self.end_of_line());
                lines.insert(here.end, line);
            }
            (Some(place), value) => {
                let line = lines.get_mut(place.line - 1)?;
                let at = line.char_indices().nth(place.column - 1).map(|(index, _)| index)?;
                let (before, old) = line.split_at(at);
                let old = old.split(" #").next()?.trim_end();
                // A value that goes on below has no end in sight, and one in braces with others is no line of its own.
                if before.contains('{')
                    || !before.trim_end().ends_with(':')
                    || old.contains('{') != old.ends_with('}')
                {
                    return None;
                }
                let range = at..at + old.len();
                match value {
                    Some(value) => line.replace_range(range, value),
                    None => drop(lines.remove(place.line - 1)),
                }
            }
        }
        Some(lines.concat())
    }

    /// Every word and number of the text under the keys that lead to it, in order; none of those in lists.
    pub fn leaves(&self) -> Vec<(Vec<&str>, &str)> {
        fn under<'d>(node: &'d Node, path: &[&'d str], leaves: &mut Vec<(Vec<&'d str>, &'d str)>) {
            match node {
                Node::Map(entries) => {
                    for entry in entries {
                        under(&entry.value, &[path, &[&*entry.key]].concat(), leaves);
                    }
                }
                Node::Bool(_, word) | Node::Number(word) | Node::Text(word) => {
                    leaves.push((path.to_vec(), word));
                }
                Node::Null | Node::List(_) => {}
            }
        }
        let mut leaves = Vec::new();
        under(&self.root, &[], &mut leaves);
        leaves
    }

    fn end_of_line(&self) -> &'static str {
        if self.text.contains("\r\n") { "\r\n" } else { "\n" }
    }

    /// Whether every setting begins a line: settings in one pair of braces have no end to write behind.
    fn is_laid_out_in_lines(&self) -> bool {
        !self.text.lines().any(|line| line.starts_with(['{', '%']) || line.starts_with("---"))
    }

    /// All lines of the text, and which of them are those of a setting. Remarks and empty lines between it and the next belong
    /// to the next.
    fn block(&self, key: &str) -> Option<(Vec<&str>, Range<usize>)> {
        let place = self.place_of(key).filter(|place| place.column == 1 && self.is_laid_out_in_lines())?;
        let lines: Vec<&str> = self.text.split_inclusive('\n').collect();
        let inside = |line: &str| line.starts_with(' ') && !line.trim().is_empty() || line.starts_with("- ");
        let below = lines[place.line..].iter().take_while(|line| {
            let bare = line.trim();
            inside(line) || bare.is_empty() || bare.starts_with('#')
        });
        let last =
            below.enumerate().filter(|(_, line)| inside(line)).last().map_or(0, |(index, _)| index + 1);
        let here = place.line - 1..place.line + last;
        Some((lines, here))
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
    fn an_item_more_makes_one_value_a_list_and_every_remark_stays() {
        let cases = [
            ("one: {a: 1}  # why\nrest: 2\n", "several:\n  - {a: 1}  # why\n  - a: 3\n    b: 4\nrest: 2\n"),
            (
                "one: {a: 1,\n  b: 2}\n\n# of the rest\nrest: 2\n",
                "several:\n  - {a: 1,\n    b: 2}\n  - a: 3\n    b: 4\n\n# of the rest\nrest: 2\n",
            ),
            (
                "one: # why\n  # first\n  a: 1 # one\n\n  b: {c: 2}\n# of the rest\nrest: 2\n",
                "several: # why\n    # first\n  - a: 1 # one\n\n    b: {c: 2}\n  - a: 3\n    b: 4\n# of the rest\nrest: 2\n",
            ),
            ("several:\n- a: 1\n  b: 2\nrest: 2\n", "several:\n- a: 1\n  b: 2\n- a: 3\n  b: 4\nrest: 2\n"),
            ("several:\r\n    - {a: 1}", "several:\r\n    - {a: 1}\r\n    - a: 3\r\n      b: 4\r\n"),
        ];
        for (before, after) in cases {
            let new = document(before).with_item(["one", "several"], "a: 3\nb: 4\n");
            assert_eq!(new.as_deref(), Some(after), "{before}");
            document(after);
        }
        for odd in ["several: [{a: 1}]\n", "{one: {a: 1}}\n", "one: &name\n  a: 1\n", "rest: 2\n"] {
            assert_eq!(document(odd).with_item(["one", "several"], "a: 3\n"), None, "{odd}");
        }
    }

    #[test]
    fn one_line_of_a_block_is_changed_and_the_others_stay() {
        let text = "all:  # now\n  # first\n  a: {x: 1} # why\n  b: {y: 1}\n# rest\nrest: 2";
        for (name, value, after) in [
            ("a", Some("{x: 2}"), text.replace("{x: 1}", "{x: 2}")),
            ("b", None, text.replace("  b: {y: 1}\n", "")),
            ("c d", Some("{z: 1}"), text.replace("{y: 1}\n", "{y: 1}\n  c d: {z: 1}\n")),
            ("e", None, text.to_owned()),
        ] {
            assert_eq!(document(text).with_entry("all", name, value), Some(after), "{name}");
        }
        for odd in
            ["all: {a: {x: 1}}\n", "all:\n  a:\n    x: 1\n", "all:\n  a: {x: 1,\n    y: 2}\n", "all: none\n"]
        {
            assert_eq!(document(odd).with_entry("all", "a", Some("{}")), None, "{odd}");
        }
    }

    #[test]
    fn a_setting_more_stands_before_the_others_and_every_remark_stays() {
        let steps = [Step::Key("all"), Step::Item(0), Step::Key("one")];
        for (before, after) in [
            ("all:\n  - one: {a: 1} # why\n", "all:\n  - one: {z: 0, a: 1} # why\n"),
            ("all:\n  - one: # why\n      a: 1\n", "all:\n  - one: # why\n      z: 0\n      a: 1\n"),
            ("all: [{one: {\n  a: 1}}]\n", "all: [{one: {z: 0, \n  a: 1}}]\n"),
        ] {
            assert_eq!(document(before).with_first(&steps, "z: 0").as_deref(), Some(after), "{before}");
        }
        let item = document("all:\r\n- a: 1\r\n").with_first(&[Step::Key("all"), Step::Item(0)], "z: 0");
        assert_eq!(item.as_deref(), Some("all:\r\n- z: 0\r\n  a: 1\r\n"));
        assert_eq!(document("all: 1\n").with_first(&steps, "z: 0"), None);
        let all = document("{a: {b: 1, c: x y}, d: [2], e: 'no'}");
        assert_eq!(all.leaves(), [(vec!["a", "b"], "1"), (vec!["a", "c"], "x y"), (vec!["e"], "no")]);
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
