//! Lines of a narrow screen: wrapped paragraphs, tables that fit or are not written, styles that carry no
//! meaning alone.
//! Takes sentences and cells; gives text in which no line is wider than the page.
//! Does not know karts, units or streams.

use anstyle::{AnsiColor, Style};

use crate::diagnosis::visible;

/// A page is never narrower than a phone held upright, nor so wide that the eye loses the line.
const NARROWEST: usize = 40;
const WIDEST: usize = 100;

/// Instead of a number of columns: no screen at all, one line for each sentence and row, cells divided by tabs. No screen is so
/// wide.
pub const PLAIN: usize = usize::MAX;

/// How a piece of text stands out. The words say the same without it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tone {
    /// Not at all.
    Plain,
    /// A heading.
    Strong,
    /// As wanted.
    Good,
    /// Not as wanted.
    Bad,
}

impl Tone {
    fn style(self) -> Style {
        match self {
            Tone::Plain => Style::new(),
            Tone::Strong => Style::new().bold(),
            Tone::Good => AnsiColor::Green.on_default(),
            Tone::Bad => AnsiColor::Yellow.on_default().bold(),
        }
    }
}

/// Where a cell's text stands within its column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Side {
    Left,
    Right,
}

/// One cell of a table.
#[derive(Clone, Debug)]
pub(super) struct Cell {
    text: String,
    tone: Tone,
    side: Side,
}

impl Cell {
    /// A word or a name.
    pub(super) fn word(text: &str) -> Cell {
        Cell { text: visible(text), tone: Tone::Plain, side: Side::Left }
    }

    /// A number, flush with those above and below.
    pub(super) fn number(text: &str) -> Cell {
        Cell { text: visible(text), tone: Tone::Plain, side: Side::Right }
    }

    /// The same, standing out.
    pub(super) fn toned(self, tone: Tone) -> Cell {
        Cell { tone, ..self }
    }
}

/// How lines end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Layout {
    /// Sentences are wrapped and columns flush, within so many columns.
    Columns(usize),
    /// A sentence or a row is one line; cells are divided by tabs.
    Plain,
}

/// Text that grows line by line.
pub(super) struct Page {
    layout: Layout,
    text: String,
}

impl Page {
    /// An empty page of so many columns.
    pub(super) fn new(width: usize) -> Page {
        let layout = match width {
            PLAIN => Layout::Plain,
            columns => Layout::Columns(columns.clamp(NARROWEST, WIDEST)),
        };
        Page { layout, text: String::new() }
    }

    /// All lines.
    pub(super) fn into_text(self) -> String {
        self.text
    }

    /// An empty line.
    pub(super) fn gap(&mut self) {
        self.text.push('\n');
    }

    /// A heading after an empty line.
    pub(super) fn section(&mut self, heading: &str) {
        self.gap();
        self.paragraph(0, Tone::Strong, heading);
    }

    /// A sentence, wrapped; every line but the first is indented by two more.
    pub(super) fn paragraph(&mut self, indent: usize, tone: Tone, sentence: &str) {
        let lines = match self.layout {
            Layout::Columns(width) => wrapped(&visible(sentence), width, indent, indent + 2),
            Layout::Plain => vec![visible(sentence)],
        };
        for (index, line) in lines.into_iter().enumerate() {
            self.spaces(if index == 0 { indent } else { indent + 2 });
            self.styled(tone, &line);
            self.text.push('\n');
        }
    }

    /// A line as it is, to be copied: neither wrapped nor cut. A tab is shown as a word, since it looks like spaces.
    pub(super) fn verbatim(&mut self, indent: usize, line: &str) {
        self.spaces(indent);
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

    /// Whether a table is no wider than the page.
    pub(super) fn fits(&self, table: &Table) -> bool {
        match self.layout {
            Layout::Columns(width) => table.width() <= width,
            Layout::Plain => true,
        }
    }

    /// One row of a table.
    pub(super) fn row(&mut self, table: &Table, row: usize) {
        if self.layout == Layout::Plain {
            for (index, cell) in table.rows[row].iter().enumerate() {
                self.text.push_str(if index == 0 { "" } else { "\t" });
                self.styled(cell.tone, &cell.text);
            }
            self.text.push('\n');
            return;
        }
        self.spaces(table.indent);
        // Spaces wait until something follows, so that no line ends in them.
        let mut pending = 0;
        for (cell, width) in table.rows[row].iter().zip(&table.widths) {
            if cell.text.is_empty() {
                pending += width + 2;
                continue;
            }
            let room = width - columns_of(&cell.text);
            let (before, after) = match cell.side {
                Side::Left => (0, room),
                Side::Right => (room, 0),
            };
            self.spaces(pending + before);
            self.styled(cell.tone, &cell.text);
            pending = after + 2;
        }
        self.text.push('\n');
    }

    /// All rows of a table; false, and nothing written, if it is wider than the page.
    #[must_use]
    pub(super) fn table(&mut self, table: &Table) -> bool {
        let fits = self.fits(table);
        if fits {
            (0..table.rows.len()).for_each(|row| self.row(table, row));
        }
        fits
    }
}

/// Rows whose columns are flush, two spaces apart.
pub(super) struct Table {
    indent: usize,
    rows: Vec<Vec<Cell>>,
    widths: Vec<usize>,
}

impl Table {
    /// A table of those rows.
    pub(super) fn new(indent: usize, rows: Vec<Vec<Cell>>) -> Table {
        let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
        let widest = |column: usize| {
            let cells = rows.iter().filter_map(|row| row.get(column));
            cells.map(|cell| columns_of(&cell.text)).max().unwrap_or(0)
        };
        let widths = (0..columns).map(widest).collect();
        Table { indent, rows, widths }
    }

    fn width(&self) -> usize {
        self.indent + self.widths.iter().sum::<usize>() + 2 * self.widths.len().saturating_sub(1)
    }
}

/// Lines of at most `width` columns including their indents; breaks at spaces, within a word only if it is
/// too long alone.
fn wrapped(text: &str, width: usize, first: usize, rest: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    let mut used = 0;
    let mut room = width - first;
    for word in text.split(' ') {
        let wide = columns_of(word);
        if used > 0 && used + 1 + wide > room {
            lines.push(String::new());
            used = 0;
            room = width - rest;
        }
        let mut line = lines.pop().unwrap_or_default();
        if used > 0 {
            line.push(' ');
            used += 1;
        }
        for character in word.chars() {
            let wide = columns_of_char(character);
            if used + wide > room {
                lines.push(std::mem::take(&mut line));
                used = 0;
                room = width - rest;
            }
            line.push(character);
            used += wide;
        }
        lines.push(line);
    }
    lines
}

/// Columns that a text takes on a terminal.
pub(super) fn columns_of(text: &str) -> usize {
    text.chars().map(columns_of_char).sum()
}

/// None for marks that join the character before, two for the wide scripts and pictures, else one. A terminal
/// that disagrees shifts the rest of one line, nothing worse.
fn columns_of_char(character: char) -> usize {
    match u32::from(character) {
        0x0300..=0x036F
        | 0x0483..=0x0489
        | 0x0591..=0x05BD
        | 0x0610..=0x061A
        | 0x064B..=0x065F
        | 0x1AB0..=0x1AFF
        | 0x1DC0..=0x1DFF
        | 0x20D0..=0x20FF
        | 0xFE00..=0xFE0F
        | 0xFE20..=0xFE2F => 0,
        0x1100..=0x115F
        | 0x2E80..=0x303E
        | 0x3041..=0xA4CF
        | 0xAC00..=0xD7A3
        | 0xF900..=0xFAFF
        | 0xFE30..=0xFE6F
        | 0xFF00..=0xFF60
        | 0xFFE0..=0xFFE6
        | 0x1F300..=0x1F64F
        | 0x1F680..=0x1F6FF
        | 0x1F900..=0x1F9FF
        | 0x20000..=0x3FFFD => 2,
        _ => 1,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
    fn a_table_that_does_not_fit_writes_nothing() {
        let mut page = Page::new(45);
        assert!(!page.table(&Table::new(0, vec![vec![Cell::word(&"x".repeat(46))]])));
        assert_eq!(page.into_text(), "");
    }

    #[test]
    fn a_wide_script_takes_two_columns_and_a_combining_mark_none() {
        assert_eq!(columns_of("e\u{301}"), 1);
        assert_eq!(columns_of("\u{8eca}"), 2);
    }

    #[test]
    fn a_table_keeps_columns_flush_and_leaves_no_trailing_space() {
        let mut page = Page::new(45);
        let rows = vec![
            vec![Cell::word("a"), Cell::number("1.00"), Cell::word("")],
            vec![Cell::word("bcd"), Cell::number("10.00"), Cell::word("x")],
        ];
        assert!(page.table(&Table::new(2, rows)));
        assert_eq!(page.into_text(), "  a     1.00\n  bcd  10.00  x\n");
    }
}
