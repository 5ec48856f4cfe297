//! Why a text is not YAML, in words about the user's line instead of the library's.

use serde_yaml as yaml;

use super::node::refusal;
use super::odd;
use crate::diagnosis::{Diagnosis, Fault, Place, Syntax};

/// The first thing that keeps the text from being YAML.
pub(super) fn diagnosis(text: &str, error: &yaml::Error) -> Diagnosis {
    let library = error.to_string();
    let place = error.location().map_or(Place { line: 1, column: 1 }, |location| Place {
        line: location.line().clamp(1, text.lines().count().max(1)),
        column: location.column().max(1),
    });
    let problem = |problem, place: Place| Diagnosis { kind: Fault::Syntax { problem }, place: Some(place) };

    let refused = [
        (refusal::TAG, Syntax::Tag),
        (refusal::UNFOLDS, Syntax::Unfolds),
        ("repetition limit", Syntax::Unfolds),
        ("recursion limit", Syntax::TooDeep),
        (refusal::KEY, Syntax::KeyNotText),
        ("unknown anchor", Syntax::NoSuchAnchor),
        ("control characters", Syntax::ControlCharacter),
    ];
    let control = |place| control_character(text).unwrap_or(place);
    if let Some((_, syntax)) = refused.into_iter().find(|(words, _)| library.contains(words)) {
        // The library gives bytes instead of lines for characters it cannot even read.
        let place = if syntax == Syntax::ControlCharacter { control(place) } else { place };
        return problem(syntax, place);
    }
    if library.contains("more than one document") {
        return problem(Syntax::SecondDocument, second_document(text));
    }
    let opened = opening_place(&library);
    if library.contains("quoted scalar") {
        return problem(Syntax::OpenQuote, opened.unwrap_or(place));
    }
    if let Some((kind, place)) = near_the_line(text, place, opened) {
        return Diagnosis { kind, place: Some(place) };
    }
    if library.contains("flow mapping") || library.contains("flow sequence") {
        let (open, close) = if library.contains("flow mapping") { ('{', '}') } else { ('[', ']') };
        return problem(Syntax::OpenBracket { open, close }, opened.unwrap_or(place));
    }
    match on_the_line(text, place, &library) {
        // YAML notices the missing colon where the next one stands.
        Syntax::NoColon => problem(Syntax::NoColon, opened.unwrap_or(place)),
        indented @ (Syntax::Indent { .. } | Syntax::ListAmongSettings) => {
            let line = text.lines().nth(place.line - 1).unwrap_or_default();
            problem(indented, Place { column: indent(line) + 1, ..place })
        }
        other => problem(other, place),
    }
}

/// The first control character that is neither a line's end nor a tab.
fn control_character(text: &str) -> Option<Place> {
    let in_line = |line: &str| line.chars().position(|character| character.is_control() && character != '\t');
    let mut lines = (1..).zip(text.lines());
    lines
        .find_map(|(number, line)| in_line(line).map(|position| Place { line: number, column: position + 1 }))
}

/// Spaces before a line.
fn indent(line: &str) -> usize {
    line.len() - line.trim_start_matches(' ').len()
}

/// Faults of a line that make YAML stumble on it or on the next one.
fn near_the_line(text: &str, place: Place, opened: Option<Place>) -> Option<(Fault, Place)> {
    /// A value that runs on makes YAML notice only a line later, or two if one is a remark.
    const LINES_BEFORE: usize = 3;
    let first = opened.map_or(place.line, |opened| opened.line.min(place.line));
    let from = place.line.saturating_sub(LINES_BEFORE).max(1).min(first.max(1));
    let from = from.max(place.line.saturating_sub(50));
    let lines: Vec<(usize, &str)> = text
        .lines()
        .enumerate()
        .map(|(index, line)| (index + 1, line))
        .skip(from.max(1) - 1)
        .take(place.line + 1 - from.max(1))
        .collect();
    for (number, line) in lines.iter().rev() {
        let at = |column| Place { line: *number, column };
        if let Some((position, fault)) = odd::odd_character(without_remark(line)) {
            return Some((fault, at(position + 1)));
        }
        if let Some((key, fixed)) = missing_space(line) {
            return Some((
                Fault::Syntax { problem: Syntax::NoSpaceAfterColon { key, fixed } },
                at(indent(line) + 1),
            ));
        }
        if let Some((read, remark)) = line.split_once(" #")
            && !read.trim().is_empty()
            && !read.contains(':')
            && remark.contains(':')
        {
            return Some((Fault::Syntax { problem: Syntax::CutByComment }, at(indent(line) + 1)));
        }
    }
    None
}

/// What is left: read off the line itself and its neighbour.
fn on_the_line(text: &str, place: Place, library: &str) -> Syntax {
    let lines: Vec<&str> = text.lines().collect();
    let line = lines.get(place.line - 1).copied().unwrap_or_default();
    let neighbour = lines[..(place.line - 1).min(lines.len())]
        .iter()
        .rev()
        .find(|line| !line.trim().is_empty() && !line.trim_start().starts_with('#'));
    let content = line.trim();
    let starts_value = line.chars().nth(place.column - 1);
    if library.contains("cannot start any token")
        && let Some(character) = starts_value
    {
        return Syntax::ReservedStart { character };
    }
    if content.starts_with("- ") && neighbour.is_some_and(|above| !above.trim().starts_with("- ")) {
        return Syntax::ListAmongSettings;
    }
    if library.contains("alias") || library.contains("anchor") {
        return Syntax::ReservedStart {
            character: starts_value.filter(|c| "*&".contains(*c)).unwrap_or('*'),
        };
    }
    if content.contains(": ") && content.matches(": ").count() > 1 && !content.contains(['{', '"', '\'']) {
        return Syntax::TwoColons;
    }
    if let Some(above) = neighbour
        && indent(above) != indent(line)
        && (content.contains(": ") || content.ends_with(':'))
        && (library.contains("expected key")
            || library.contains("mapping values")
            || library.contains("block"))
    {
        return Syntax::Indent { found: indent(line), neighbour: indent(above) };
    }
    if library.contains("expected ':'") || !content.contains(':') {
        return Syntax::NoColon;
    }
    if library.contains("mapping values") {
        return Syntax::TwoColons;
    }
    Syntax::Other
}

/// `wheelbase:1040`: the key, and the line as it should be. Only where what stands before the colon looks
/// like a setting.
pub(super) fn missing_space(line: &str) -> Option<(String, String)> {
    let line = without_remark(line).trim();
    let (key, value) = line.split_once(':')?;
    let key_like = key.starts_with(|first: char| first.is_alphabetic())
        && key.chars().all(|character| character.is_alphanumeric() || "_- ".contains(character));
    // `10:30` is a time and `http://` an address; neither begins like a setting or goes on like its value.
    let value_like = value.starts_with(|first: char| first.is_alphanumeric() || "-+.{[\"'".contains(first));
    (key_like && value_like).then(|| (key.into(), format!("{key}: {value}")))
}

fn without_remark(line: &str) -> &str {
    if line.trim_start().starts_with('#') {
        return "";
    }
    line.split_once(" #").map_or(line, |(before, _)| before)
}

/// Where the library says that something was opened: "... while scanning a quoted scalar at line 3 column 7".
fn opening_place(library: &str) -> Option<Place> {
    let (_, after) = library.rsplit_once(" at line ")?;
    let (line, column) = after.split_once(" column ")?;
    let digits = |text: &str| text.chars().take_while(char::is_ascii_digit).collect::<String>().parse().ok();
    Some(Place { line: digits(line)?, column: digits(column)? })
}

/// The line that begins the second document.
fn second_document(text: &str) -> Place {
    let mut content = false;
    for (index, line) in text.lines().enumerate() {
        let divides = line == "---" || line.starts_with("--- ") || line == "..." || line.starts_with("... ");
        if divides && content {
            return Place { line: index + 1, column: 1 };
        }
        content |= !divides && !line.trim().is_empty() && !line.starts_with('#') && !line.starts_with('%');
    }
    Place { line: 1, column: 1 }
}
