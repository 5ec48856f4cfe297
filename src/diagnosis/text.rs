//! Diagnoses as text for a screen: sentence, place, the user's own line with carets, help.

use anstyle::{AnsiColor, Style};

use super::{Diagnosis, Place, Severity};

/// So many diagnoses are shown in full; the rest are counted.
pub const MOST_SHOWN: usize = 20;
/// Columns of a phone held upright.
const PHONE: usize = 45;
/// Lines are never narrower, nor so wide that the eye loses them.
const NARROWEST: usize = 40;
const WIDEST: usize = 100;
/// A word of the user's line is shown whole up to here, however narrow the screen.
const LONGEST_WORD: usize = 72;

/// All diagnoses as plain text for a phone: errors and warnings in the order of the file, the first 20 in full.
///
/// `file` is the name as the user gave it, `source` the text in which the places are.
pub fn rendered(diagnoses: &[Diagnosis], file: &str, source: &str) -> String {
    laid_out(PHONE, |_| Style::new(), diagnoses, file, source)
}

/// The same for a screen of so many columns, in colours.
pub fn coloured(columns: usize, diagnoses: &[Diagnosis], file: &str, source: &str) -> String {
    let color = |severity| match severity {
        Severity::Error => AnsiColor::Red.on_default().bold(),
        Severity::Warning => AnsiColor::Yellow.on_default().bold(),
    };
    laid_out(columns, color, diagnoses, file, source)
}

fn laid_out(
    columns: usize,
    color: impl Fn(Severity) -> Style,
    diagnoses: &[Diagnosis],
    file: &str,
    source: &str,
) -> String {
    let width = columns.clamp(NARROWEST, WIDEST);
    let shown = diagnoses
        .iter()
        .take(MOST_SHOWN)
        .map(|diagnosis| one(diagnosis, file, source, width, color(diagnosis.kind.severity())).join("\n"));
    let hidden = &diagnoses[diagnoses.len().min(MOST_SHOWN)..];
    let rest = (!hidden.is_empty()).then(|| format!("and {} more {}", hidden.len(), noun(hidden)));
    let blocks: Vec<String> = shown.chain(rest).map(|block| block + "\n").collect();
    blocks.join("\n")
}

/// One line for each diagnosis, as editors and log readers like it: `file:line:column: error[K005]: sentence`.
pub fn short(diagnoses: &[Diagnosis], file: &str) -> String {
    let line = |diagnosis: &Diagnosis| {
        let place =
            diagnosis.place.map(|place| format!(":{}:{}", place.line, place.column)).unwrap_or_default();
        format!("{}{place}: {}\n", visible(file), visible(&diagnosis.to_string()))
    };
    diagnoses.iter().map(line).collect()
}

fn noun(hidden: &[Diagnosis]) -> &'static str {
    let errors = hidden.iter().filter(|one| one.kind.severity() == Severity::Error).count();
    match (errors, hidden.len() - errors) {
        (1, 0) => "error",
        (_, 0) => "errors",
        (0, 1) => "warning",
        (0, _) => "warnings",
        _ => "errors and warnings",
    }
}

fn one(diagnosis: &Diagnosis, file: &str, source: &str, width: usize, style: Style) -> Vec<String> {
    let styled = |line: String| format!("{style}{line}{style:#}");
    let mut lines: Vec<String> =
        wrapped(&visible(&diagnosis.to_string()), width).into_iter().map(styled).collect();
    if let Some(place) = diagnosis.place {
        lines.push(format!(" --> {}:{}:{}", visible(file), place.line, place.column));
        if let Some(line) = source.trim_start_matches('\u{feff}').lines().nth(place.line - 1) {
            let [above, line, gutter, carets] = excerpt(line, place, width);
            lines.extend([above, line, gutter + &styled(carets)]);
        }
    }
    lines.extend(wrapped(&format!("help: {}", visible(&diagnosis.kind.help())), width));
    lines
}

/// A sentence in lines: broken at spaces, two spaces before every line but the first.
fn wrapped(sentence: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words(sentence, width) {
        let letters = word.chars().count();
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + letters <= width => {
                line.push(' ');
                line.push_str(word);
            }
            Some(_) => lines.push(format!("  {word}")),
            None => lines.push(word.to_owned()),
        }
    }
    lines
}

/// The words of a sentence; what stands in backticks is one word, so that it can be copied, unless it is
/// longer than a line.
fn words(sentence: &str, width: usize) -> impl Iterator<Item = &str> {
    let mut rest = sentence;
    std::iter::from_fn(move || {
        if rest.is_empty() {
            return None;
        }
        let plain = rest.find(' ').unwrap_or(rest.len());
        let quoted = rest[..plain].contains('`').then(|| {
            let mut open = false;
            let outside = |character| {
                open ^= character == '`';
                character == ' ' && !open
            };
            rest.find(outside).unwrap_or(rest.len())
        });
        let end = quoted.filter(|end| rest[..*end].chars().count() + 2 <= width).unwrap_or(plain);
        let word = &rest[..end];
        rest = rest[end..].strip_prefix(' ').unwrap_or(&rest[end..]);
        Some(word)
    })
}

/// The user's line between rulers, and carets below the place.
fn excerpt(line: &str, place: Place, width: usize) -> [String; 4] {
    let line: Vec<char> = line.trim_end().chars().collect();
    let start = (place.column - 1).min(line.len());
    let length = marked(&line[start..]).max(1);
    let number = place.line.to_string();
    let gutter = " ".repeat(number.len());
    let (from, to) = window(&line, start, length, width - gutter.len() - " | ".len());
    let before = if from > 0 { "..." } else { "" };
    let after = if to < line.len() { "..." } else { "" };
    let shown: String = line[from..to].iter().map(|character| one_column(*character)).collect();
    let indent = " ".repeat(before.len() + start - from);
    let carets = "^".repeat(length.min(to.saturating_sub(start).max(1)));
    [
        format!("{gutter} |"),
        format!("{number} | {before}{shown}{after}"),
        format!("{gutter} | {indent}"),
        carets,
    ]
}

/// From where to where a line is shown that may be longer than the room: around what is marked, cut between words.
fn window(line: &[char], start: usize, length: usize, room: usize) -> (usize, usize) {
    if line.len() <= room {
        return (0, line.len());
    }
    let dots = "...".len();
    let is_space = |index: usize| line.get(index).is_none_or(|letter| *letter == ' ');
    let marked = (start + length).min(line.len()).min(start + LONGEST_WORD);
    let starts = (0..=start).filter(|index| *index == 0 || is_space(index - 1));
    // Most of what comes before is known to whoever wrote it; what follows shows how the line goes on.
    let (from, room) = if marked + dots <= room {
        (0, room - dots)
    } else {
        (starts.filter(|index| marked - index <= room * 2 / 3).min().unwrap_or(start), room - 2 * dots)
    };
    let end = (marked..=line.len()).filter(|index| is_space(*index) && index - from <= room).max();
    (from, end.unwrap_or(marked))
}

/// Characters of the value or name that starts here: up to its closing quote, or to what ends a plain word.
fn marked(rest: &[char]) -> usize {
    match rest.first() {
        None => 0,
        Some(quote @ ('"' | '\'')) => match rest.iter().skip(1).position(|character| character == quote) {
            Some(inner) => inner + 2,
            None => 1,
        },
        Some('{' | '[' | '*' | '&' | '!') => 1,
        Some(_) => {
            let ends = |index: usize| {
                let next = rest.get(index + 1);
                let space_follows = next.is_none_or(|character| *character == ' ');
                match rest[index] {
                    '}' | ']' => true,
                    ':' => space_follows,
                    // A comma between digits is most likely a decimal comma, and belongs to the number.
                    ',' => !next.is_some_and(char::is_ascii_digit),
                    ' ' => next == Some(&'#'),
                    _ => false,
                }
            };
            let end = (0..rest.len()).find(|index| ends(*index)).unwrap_or(rest.len());
            rest[..end].iter().rposition(|character| *character != ' ').map_or(0, |last| last + 1)
        }
    }
}

/// Keeps the carets below their character: what would move the cursor is shown as one dot or space.
fn one_column(character: char) -> char {
    match character {
        '\t' => ' ',
        unseen if is_unseen(unseen) => '.',
        seen => seen,
    }
}

/// Control characters, and the invisible ones that reorder or hide the text around them.
fn is_unseen(character: char) -> bool {
    let reorders = matches!(
        character,
        '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'
    );
    let hides = matches!(
        character,
        '\u{ad}' | '\u{180e}' | '\u{200b}'..='\u{200d}' | '\u{2060}'..='\u{2065}' | '\u{feff}'
            | '\u{e0000}'..='\u{e0fff}'
    );
    let breaks_the_line = matches!(character, '\u{2028}' | '\u{2029}');
    character.is_control() || reorders || hides || breaks_the_line
}

/// The same text, safe for a terminal: control characters and characters that reorder text are written out as
/// `\u{..}`.
pub fn visible(text: &str) -> String {
    text.chars().fold(String::with_capacity(text.len()), |mut safe, character| {
        if is_unseen(character) {
            safe.extend(character.escape_unicode());
        } else {
            safe.push(character);
        }
        safe
    })
}
