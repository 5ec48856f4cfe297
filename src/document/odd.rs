//! Bytes that are no text, and characters that only look like the ones YAML wants.

use crate::diagnosis::{Fault, Place};

/// The bytes as text, or what they look like instead.
pub(super) fn text_of(bytes: &[u8]) -> Result<&str, Fault> {
    let looks_like = |thing| Err(Fault::NotText { looks_like: Some(thing) });
    match bytes {
        // Zip archives begin so, and with them all newer spreadsheets and word-processor files.
        [b'P', b'K', 3 | 5 | 7, ..] => return looks_like("a spreadsheet or a zip archive"),
        [0xd0, 0xcf, 0x11, 0xe0, ..] => return looks_like("an old spreadsheet"),
        [b'%', b'P', b'D', b'F', ..] => return looks_like("a PDF"),
        [0xff, 0xd8, 0xff, ..] | [0x89, b'P', b'N', b'G', ..] => return looks_like("a picture"),
        [0x1f, 0x8b, ..] => return looks_like("a compressed file"),
        [0xff, 0xfe, ..] | [0xfe, 0xff, ..] => return looks_like("UTF-16 text"),
        [b'{', b'\\', b'r', b't', b'f', ..] => return looks_like("a word-processor file"),
        [0, other, ..] | [other, 0, ..] if *other != 0 => return looks_like("UTF-16 text"),
        _ => {}
    }
    if bytes.contains(&0) {
        return Err(Fault::NotText { looks_like: None });
    }
    std::str::from_utf8(bytes).map_err(|error| {
        // Bytes above 127 alone among letters come from one-byte code pages.
        let lonely = error.valid_up_to() > 0 && bytes.iter().all(|byte| *byte >= b'\t');
        Fault::NotText { looks_like: lonely.then_some("text in an old code page") }
    })
}

/// Lines, from 1, whose indent holds a tab; remarks and empty lines may.
pub(super) fn tab_indents(text: &str) -> impl Iterator<Item = usize> + '_ {
    text.lines().enumerate().filter_map(|(index, line)| {
        let rest = line.trim_start_matches([' ', '\t']);
        let indent = &line[..line.len() - rest.len()];
        let matters = !rest.is_empty() && !rest.starts_with('#');
        (matters && indent.contains('\t')).then_some(index + 1)
    })
}

/// Where more brackets are open than any scenario has, quotes not looked at: the YAML library takes time that grows with the
/// square of their number before it gives up.
pub(super) fn too_deep(text: &str) -> Option<Place> {
    /// The library itself refuses what is deeper than 128.
    const MOST_OPEN: usize = 300;
    let mut open: usize = 0;
    for (line, words) in (1..).zip(text.lines()).filter(|(_, words)| !words.trim_start().starts_with('#')) {
        for (column, character) in (1..).zip(words.chars()) {
            match character {
                '[' | '{' => open += 1,
                ']' | '}' => open = open.saturating_sub(1),
                _ => {}
            }
            if open > MOST_OPEN {
                return Some(Place { line, column });
            }
        }
    }
    None
}

/// Where a value begins with `!!`: the YAML library reads over such words, whatever they ask for.
pub(super) fn standard_tag(text: &str) -> Option<Place> {
    (1..).zip(text.lines()).find_map(|(line, words)| {
        let mut quote = None;
        let mut before = ':';
        for (column, (start, character)) in (1..).zip(words.char_indices()) {
            let begins_value = matches!(before, ':' | '-' | ',' | '[' | '{' | '?');
            match (quote, character) {
                (Some(open), _) if open == character => quote = None,
                (None, '\'' | '"') if begins_value => quote = Some(character),
                (None, '#') if words[..start].ends_with([' ', '\t']) || start == 0 => return None,
                (None, '!') if begins_value && words[start..].starts_with("!!") => {
                    return Some(Place { line, column });
                }
                _ => {}
            }
            before = if character.is_whitespace() { before } else { character };
        }
        None
    })
}

/// The fault of the first character that only looks like one of the keyboard's, and its position in
/// characters.
pub(super) fn odd_character(text: &str) -> Option<(usize, Fault)> {
    text.chars().enumerate().find_map(|(position, character)| {
        let (name, looks_like) = look_alike(character)?;
        Some((position, Fault::OddCharacter { name, looks_like, code_point: character.into() }))
    })
}

fn look_alike(character: char) -> Option<(&'static str, &'static str)> {
    Some(match character {
        '\u{a0}' | '\u{2007}' | '\u{202f}' => ("no-break space", "a space"),
        '\u{2000}'..='\u{2006}' | '\u{2008}'..='\u{200a}' | '\u{205f}' | '\u{3000}' => {
            ("typographic space", "a space")
        }
        '\u{200b}' | '\u{2060}' | '\u{feff}' => ("zero-width space", "nothing"),
        '\u{201c}'..='\u{201f}' | '\u{2033}' | '\u{ab}' | '\u{bb}' => ("curly quote", "`\"`"),
        '\u{2018}'..='\u{201b}' | '\u{2032}' => ("curly quote", "`'`"),
        '\u{2212}' => ("minus sign", "`-`"),
        '\u{2010}'..='\u{2015}' => ("dash", "`-`"),
        '\u{ff10}'..='\u{ff19}' => ("full-width digit", "a digit"),
        '\u{660}'..='\u{669}' | '\u{6f0}'..='\u{6f9}' | '\u{966}'..='\u{96f}' => {
            ("digit of another script", "a digit")
        }
        '\u{ff1a}' => ("full-width colon", "`:`"),
        '\u{ff0c}' => ("full-width comma", "`,`"),
        '\u{ff0e}' => ("full-width dot", "`.`"),
        _ => return None,
    })
}
