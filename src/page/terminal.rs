//! A page as text for a screen, from 40 columns up, readable without colour, in ASCII except for the user's own names.
//! Pictures and blanks are for paper.

use anstyle::{AnsiColor, Style};
use unicode_width::UnicodeWidthChar;

use super::strip::LEGEND;
use super::{Block, Cell, Kind, Page, Strip, Table, Tone};
use crate::diagnosis::visible;
use crate::marks::{Piece, pieces};
use crate::units::UnitSystem;
use crate::wrapping;

/// A page is never narrower than a phone held upright, nor so wide that the eye loses the line.
const NARROWEST: usize = 40;
const WIDEST: usize = 100;

/// Instead of a number of columns: no screen at all, one line for each sentence and row, cells divided by tabs. No screen is so
/// wide.
pub const PLAIN: usize = usize::MAX;

/// Columns of a picture where there is no screen.
const USUAL: usize = 80;

/// Letters of a strip, and of one on a phone.
const STRIP: usize = 29;
const NARROW_STRIP: usize = 21;

/// From so many columns on there is room for empty lines.
const ROOMY: usize = 60;

/// Under a heading.
const INDENT: usize = 2;
/// Under a line that it belongs to.
const UNDER: usize = 4;

/// What the program writes on paper, and what every terminal shows for it.
const IN_ASCII: [(char, &str); 8] = [
    ('\u{b1}', "+-"),
    ('\u{2192}', "->"),
    ('\u{d7}', "x"),
    ('\u{2212}', "-"),
    ('\u{2019}', "'"),
    ('\u{b7}', "-"),
    ('\u{25cf}', "*"),
    ('\u{2013}', "-"),
];

impl Tone {
    fn style(self) -> Style {
        match self {
            Tone::Plain | Tone::Unsure | Tone::Quiet => Style::new(),
            Tone::Strong => Style::new().bold(),
            Tone::Good => AnsiColor::Green.on_default(),
            Tone::Bad => AnsiColor::Yellow.on_default().bold(),
        }
    }
}

/// How much of a page is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shown {
    /// What fits one screen.
    Brief,
    /// Everything.
    Full,
}

/// Lays out a page for a screen of so many columns.
pub fn text(page: &Page, units: UnitSystem, width: usize, shown: Shown) -> String {
    let mut screen = Screen::new(units, width);
    let is_brief = shown == Shown::Brief && width != PLAIN && !page.brief.is_empty();
    screen.blocks(if is_brief { &page.brief } else { &page.blocks });
    screen.cautions();
    screen.text
}

/// A complaint that belongs to no line of a file: `kind: message`, then what to do.
pub fn complaint(kind: &str, message: &str, help: &str, width: usize) -> String {
    let mut screen = Screen::new(UnitSystem::KgMm, width);
    screen.paragraph(0, Tone::Bad, &format!("{kind}: {message}"));
    screen.paragraph(0, Tone::Plain, &format!("help: {help}"));
    screen.text
}

/// Text that grows line by line.
struct Screen {
    units: UnitSystem,
    /// Columns; none for one line a sentence and cells divided by tabs.
    width: Option<usize>,
    text: String,
    /// Said at the end, each once; paper has them on every side that somebody works by.
    cautions: Vec<String>,
}

impl Screen {
    fn new(units: UnitSystem, width: usize) -> Screen {
        let width = (width != PLAIN).then(|| width.clamp(NARROWEST, WIDEST));
        Screen { units, width, text: String::new(), cautions: Vec::new() }
    }

    fn blocks(&mut self, blocks: &[Block]) {
        for block in blocks {
            match block {
                Block::Title(text) if self.text.is_empty() => self.paragraph(0, Tone::Strong, text),
                Block::Verdict(tone, text) => self.paragraph(0, *tone, text),
                Block::Line(text) => self.paragraph(INDENT, Tone::Plain, text),
                // Not indented, so that it stands apart without costing a row.
                Block::Next(text) => self.paragraph(0, Tone::Strong, &format!("next: {text}")),
                Block::Title(text) | Block::Heading(text) => self.section(text),
                Block::List(items) => {
                    for item in items {
                        self.paragraph(if item.is_under { UNDER } else { INDENT }, item.tone, &item.text);
                    }
                }
                Block::Table(table) => self.table(table),
                Block::Gap if self.is_roomy() => self.text.push('\n'),
                Block::Strips(strips) => self.strips(strips),
                Block::Sketch(sketch) => {
                    self.text.push('\n');
                    let room = self.width.unwrap_or(USUAL);
                    sketch.drawn(room).iter().for_each(|line| self.verbatim(line));
                    self.paragraph(INDENT, Tone::Plain, &sketch.legend);
                }
                Block::Copy(lines) => lines.lines().for_each(|line| self.verbatim(line)),
                Block::Cautions(cautions) => {
                    let new = cautions.iter().filter(|caution| !self.cautions.contains(caution));
                    let new: Vec<String> = new.cloned().collect();
                    self.cautions.extend(new);
                }
                Block::Beside(parts) => parts.iter().for_each(|part| self.blocks(part)),
                Block::Either { screen, .. } => self.blocks(screen),
                Block::Picture(_)
                | Block::Plane(_)
                | Block::Lead(_)
                | Block::Season(_)
                | Block::Offsets(_)
                | Block::ByHand(_)
                | Block::Side
                | Block::Gap => {}
            }
        }
    }

    fn is_roomy(&self) -> bool {
        self.width.is_none_or(|width| width >= ROOMY)
    }

    fn cautions(&mut self) {
        let cautions = std::mem::take(&mut self.cautions);
        if !cautions.is_empty() {
            self.section("Take care");
        }
        for caution in &cautions {
            self.paragraph(INDENT, Tone::Plain, caution);
        }
    }

    /// A text as this screen shows it.
    fn shown(&self, text: &str) -> String {
        let ascii = |words: &str| {
            IN_ASCII.iter().fold(visible(words), |words, (character, ascii)| words.replace(*character, ascii))
        };
        let pieces = pieces(text, self.units).into_iter().map(|piece| match piece {
            Piece::Words(words) => ascii(words),
            Piece::Name(name) => visible(name),
            Piece::Amount { number, plus_minus, unit } => {
                let sure = plus_minus.map_or_else(String::new, |sure| format!(" +- {sure}"));
                let gap = if unit.is_empty() { "" } else { " " };
                format!("{number}{sure}{gap}{unit}")
            }
        });
        pieces.collect()
    }

    /// A heading after an empty line.
    fn section(&mut self, heading: &str) {
        self.text.push('\n');
        self.paragraph(0, Tone::Strong, heading);
    }

    /// A sentence, wrapped; every line but the first is indented by two more.
    fn paragraph(&mut self, indent: usize, tone: Tone, sentence: &str) {
        let shown = self.shown(sentence);
        let lines = match self.width {
            Some(width) => wrapped(&shown, width, indent, indent + 2),
            None => vec![shown],
        };
        for (index, line) in lines.into_iter().enumerate() {
            self.spaces(if index == 0 { indent } else { indent + 2 });
            self.styled(tone, &line);
            self.text.push('\n');
        }
    }

    /// A line as it is, to be copied: neither wrapped nor cut. A tab is shown as a word, since it looks like spaces.
    fn verbatim(&mut self, line: &str) {
        self.text.push_str(&visible(&line.replace('\t', "<tab>")));
        self.text.push('\n');
    }

    fn spaces(&mut self, count: usize) {
        self.text.extend(std::iter::repeat_n(' ', count));
    }

    fn styled(&mut self, tone: Tone, text: &str) {
        let style = tone.style();
        let styled = format!("{style}{text}{style:#}");
        self.text.push_str(&styled);
    }

    /// A table under its caption, flush if it is no wider than the screen; else each row as lines.
    fn table(&mut self, table: &Table) {
        if !table.caption.is_empty() {
            self.section(&table.caption);
        }
        let shown = |cell: &Cell| Cell { text: self.shown(&cell.text), ..cell.clone() };
        let is_shown = |column: &usize| {
            table.rows.iter().any(|row| row.get(*column).is_some_and(|cell| cell.kind != Kind::Blank))
        };
        let columns: Vec<usize> =
            (0..table.rows.iter().map(Vec::len).max().unwrap_or(0)).filter(is_shown).collect();
        let of = |row: &[Cell]| -> Vec<Cell> {
            columns.iter().map(|column| row.get(*column).map_or_else(Cell::default, shown)).collect()
        };
        let is_blank = |row: &&Vec<Cell>| row.iter().any(|cell| cell.kind == Kind::Blank) && row.len() == 2;
        let mut rows: Vec<Vec<Cell>> =
            table.rows.iter().filter(|row| !is_blank(row)).map(|row| of(row)).collect();
        let side = |column: usize| {
            table.rows.first().and_then(|row| row.get(column)).map_or(Kind::Words, |cell| cell.kind)
        };
        let head = table.head.iter().enumerate().map(|(column, text)| Cell {
            text: text.clone(),
            tone: Tone::Plain,
            kind: side(column),
        });
        let head: Vec<Cell> = of(&head.collect::<Vec<_>>());
        if table.is_to_tick {
            for row in &mut rows {
                let texts: Vec<&str> =
                    row.iter().map(|cell| cell.text.as_str()).filter(|text| !text.is_empty()).collect();
                *row = vec![Cell::words("[ ]"), Cell::words(texts.join(" "))];
            }
        }
        let has_head = !table.head.is_empty();
        let all: Vec<&Vec<Cell>> = has_head.then_some(&head).into_iter().chain(&rows).collect();
        let widths = widths(&all);
        let wide = INDENT + widths.iter().sum::<usize>() + 2 * widths.len().saturating_sub(1);
        let fits = self.width.is_none_or(|width| wide <= width);
        for row in if fits { all } else { rows.iter().collect() } {
            match table.is_to_tick {
                _ if fits => self.row(row, &widths),
                true => {
                    let texts: Vec<&str> =
                        row.iter().map(|cell| cell.text.as_str()).filter(|text| !text.is_empty()).collect();
                    self.paragraph(INDENT, Tone::Plain, &texts.join(" "));
                }
                false => self.stacked(&head, row),
            }
        }
    }

    /// Strips below each other: a row each where it fits, else each below its own words.
    fn strips(&mut self, strips: &[Strip]) {
        let shown = |cell: &Cell| Cell { text: self.shown(&cell.text), ..cell.clone() };
        let mut rows: Vec<Vec<Cell>> =
            strips.iter().map(|strip| strip.row(STRIP).iter().map(shown).collect()).collect();
        rows.insert(0, vec![Cell::default(), Cell::words(LEGEND)]);
        let widths = widths(&rows.iter().collect::<Vec<_>>());
        let wide = INDENT + widths.iter().sum::<usize>() + 2 * widths.len().saturating_sub(1);
        if self.width.is_none_or(|width| wide <= width) {
            return rows.iter().for_each(|row| self.row(row, &widths));
        }
        // An odd number of letters, so that the aim has one of its own.
        let room = self.width.map_or(NARROW_STRIP, |width| width.saturating_sub(widths[0] + 14));
        let letters = room.clamp(7, NARROW_STRIP) - usize::from(room.is_multiple_of(2));
        for (strip, row) in strips.iter().zip(rows.iter().skip(1)) {
            let [.., known, stands] = row.as_slice() else { continue };
            let number = known.text.split(" +- ").next().unwrap_or_default();
            let word = match stands.tone {
                Tone::Good => "ok",
                Tone::Bad => "off",
                _ => "?",
            };
            let named = format!("{:width$}", strip.name, width = widths[0]);
            self.spaces(INDENT);
            self.styled(stands.tone, &format!("{named} {} {number:>6} {word}", strip.drawn(letters)));
            self.text.push('\n');
        }
        self.paragraph(INDENT, Tone::Plain, &format!("{LEGEND}, ? not sure"));
    }

    /// One flush row of a table.
    fn row(&mut self, row: &[Cell], widths: &[usize]) {
        if self.width.is_none() {
            for (index, cell) in row.iter().enumerate() {
                self.text.push_str(if index == 0 { "" } else { "\t" });
                self.styled(cell.tone, &cell.text);
            }
            self.text.push('\n');
            return;
        }
        // Spaces wait until something follows, so that no line ends in them.
        let mut pending = INDENT;
        for (cell, width) in row.iter().zip(widths) {
            if cell.text.is_empty() {
                pending += width + 2;
                continue;
            }
            let room = width - columns_of(&cell.text);
            let (before, after) = if cell.kind == Kind::Number { (room, 0) } else { (0, room) };
            self.spaces(pending + before);
            self.styled(cell.tone, &cell.text);
            pending = after + 2;
        }
        self.text.push('\n');
    }

    /// A row as a line of its first cell, and one of the others under it, each number after what stands above its column.
    fn stacked(&mut self, head: &[Cell], row: &[Cell]) {
        let Some((first, others)) = row.split_first() else { return };
        if !first.text.is_empty() {
            self.paragraph(INDENT, first.tone, &first.text);
        }
        let headed =
            others.iter().zip(1..).filter(|(cell, _)| !cell.text.is_empty()).map(|(cell, column)| match head
                .get(column)
                .filter(|head| !head.text.is_empty())
            {
                Some(head) if cell.kind == Kind::Number => format!("{} {}", head.text, cell.text),
                _ => cell.text.clone(),
            });
        let text = headed.collect::<Vec<_>>().join(", ");
        if !text.is_empty() {
            let tone =
                others.iter().map(|cell| cell.tone).find(|tone| matches!(tone, Tone::Good | Tone::Bad));
            self.paragraph(UNDER, tone.unwrap_or_default(), &text);
        }
    }
}

fn widths(rows: &[&Vec<Cell>]) -> Vec<usize> {
    let columns = rows.iter().map(|row| row.len()).max().unwrap_or(0);
    let widest = |column: usize| {
        let cells = rows.iter().filter_map(|row| row.get(column));
        cells.map(|cell| columns_of(&cell.text)).max().unwrap_or(0)
    };
    (0..columns).map(widest).collect()
}

/// Lines of at most `width` columns including their indents.
fn wrapped(text: &str, width: usize, first: usize, rest: usize) -> Vec<String> {
    let room = |line: usize| (width - if line == 0 { first } else { rest }) as f64;
    wrapping::lines(text, room, |letter| columns_of_char(letter) as f64)
}

/// Columns that a text takes on a terminal.
fn columns_of(text: &str) -> usize {
    text.chars().map(columns_of_char).sum()
}

/// By Unicode's tables: none for marks that join the character before, two for the wide scripts and pictures, else one. A
/// terminal that disagrees shifts the rest of one line, nothing worse.
fn columns_of_char(character: char) -> usize {
    character.width().unwrap_or(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn laid_out(table: Table, width: usize) -> String {
        let blocks = vec![Block::Table(table)];
        let page = Page { title: String::new(), brief: Vec::new(), blocks, status: String::new() };
        let shown = text(&page, UnitSystem::KgMm, width, Shown::Brief);
        anstream::adapter::strip_str(&shown).to_string()
    }

    #[test]
    fn no_line_is_wider_than_the_page_not_even_with_a_name_of_80_letters() {
        let name = "x".repeat(80);
        for line in wrapped(&format!("put `{name}` on the mount"), 45, 2, 4) {
            assert!(columns_of(&line) <= 43, "{line}");
        }
    }

    #[test]
    fn nothing_of_a_broken_word_is_lost() {
        let name: String = ('a'..='z').cycle().take(100).collect();
        assert_eq!(wrapped(&name, 45, 0, 2).concat(), name);
    }

    #[test]
    fn a_wide_script_takes_two_columns_and_a_combining_mark_none() {
        assert_eq!(columns_of("e\u{301}"), 1);
        assert_eq!(columns_of("\u{8eca}"), 2);
    }

    #[test]
    fn a_table_keeps_columns_flush_and_leaves_no_trailing_space() {
        let rows = vec![
            vec![Cell::words("a"), Cell::number("1.00"), Cell::BLANK, Cell::words("")],
            vec![Cell::words("bcd"), Cell::number("10.00"), Cell::BLANK, Cell::words("x")],
        ];
        assert_eq!(laid_out(Table::new("t", "", &[], rows), 45), "  a     1.00\n  bcd  10.00  x\n");
    }

    #[test]
    fn a_table_that_does_not_fit_is_stacked_with_its_headings_and_loses_nothing() {
        let rows = vec![vec![Cell::words("m".repeat(30)), Cell::number("1.00"), Cell::words("full")]];
        let table = Table::new("t", "Lead", &["mount", "carries", ""], rows);
        assert_eq!(laid_out(table, 40), format!("\nLead\n  {}\n    carries 1.00, full\n", "m".repeat(30)));
    }
}
