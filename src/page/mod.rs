//! What a reader gets, as blocks: headings, sentences, tables, lists to tick, pictures.
//! Knows no karts. Every text may hold the marks of `marks`, so a page is in no units until it is laid out.

mod figures;
pub mod html;
mod lead;
pub(crate) mod markup;
mod season;
mod sketch;
mod strip;
pub mod terminal;

use maud::Markup;

pub use figures::{Offset, Offsets, Plane};
pub use lead::{Fate, LeadTable, Lying, Pieces};
pub use season::{Panel, Season, Seen, Shown, When};
pub use sketch::Sketch;
pub use strip::{Strip, Wanted, in_time};

/// A whole answer.
#[derive(Clone, Debug)]
pub struct Page {
    /// What it is called in a list of files.
    pub title: String,
    /// What of it fits one screen, the answer first; nothing where all of it does.
    pub brief: Vec<Block>,
    /// What it says, in order.
    pub blocks: Vec<Block>,
    /// How the answer stands and what of it is proved, in one line.
    pub status: String,
}

/// A part of a page.
#[derive(Clone, Debug)]
pub enum Block {
    /// The first line.
    Title(String),
    /// How it stands, in one line.
    Verdict(Tone, String),
    /// A sentence.
    Line(String),
    /// What to type next, at the end of a brief screen.
    Next(String),
    /// Begins a section.
    Heading(String),
    /// Sentences of a section.
    List(Vec<Item>),
    /// Rows and columns.
    Table(Table),
    /// How figures lie to what is wanted of them.
    Strips(Vec<Strip>),
    /// Where the balance is and where it is wanted, on paper.
    Plane(Plane),
    /// How far readings are off, on paper.
    Offsets(Offsets),
    /// Figures from weighing to weighing, on paper.
    Season(Season),
    /// Lead drawn to scale in rows and columns, on paper.
    Lead(LeadTable),
    /// What a screen shows, and the picture that paper shows instead.
    Either { screen: Vec<Block>, paper: Vec<Block> },
    /// Lines to be copied as they are.
    Copy(String),
    /// A picture made of letters for a terminal; paper has a drawing.
    Sketch(Sketch),
    /// A drawing; a terminal has the same in tables.
    Picture(Markup),
    /// What is to be written by hand; nothing on a terminal.
    ByHand(Vec<&'static str>),
    /// An empty line of a brief screen.
    Gap,
    /// What must not be left unsaid.
    Cautions(Vec<String>),
    /// Parts that stand beside each other where there is room.
    Beside(Vec<Vec<Block>>),
    /// What follows belongs on another side of paper.
    Side,
}

/// How a text stands out. The words say the same without it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tone {
    /// Not at all.
    #[default]
    Plain,
    /// As a heading.
    Strong,
    /// As wanted.
    Good,
    /// Not as wanted.
    Bad,
    /// Nobody can tell.
    Unsure,
    /// Stands back.
    Quiet,
}

/// A sentence of a list.
#[derive(Clone, Debug)]
pub struct Item {
    /// What it says.
    pub text: String,
    /// How it stands out.
    pub tone: Tone,
    /// Whether it belongs to the one before.
    pub is_under: bool,
}

impl Item {
    /// A sentence that belongs to the one before.
    pub fn under(text: impl Into<String>) -> Item {
        Item { is_under: true, ..Item::from(text) }
    }

    /// The same, standing out.
    #[must_use]
    pub fn toned(self, tone: Tone) -> Item {
        Item { tone, ..self }
    }
}

impl<T: Into<String>> From<T> for Item {
    fn from(text: T) -> Item {
        Item { text: text.into(), tone: Tone::Plain, is_under: false }
    }
}

/// Rows and columns; where a screen is too narrow, each row becomes a few lines.
#[derive(Clone, Debug, Default)]
pub struct Table {
    /// What it is called on a page, for its looks.
    pub name: &'static str,
    /// What stands above it.
    pub caption: String,
    /// What stands above its columns, if anything.
    pub head: Vec<String>,
    /// Its rows; a row whose first cell is empty goes on with the one before.
    pub rows: Vec<Vec<Cell>>,
    /// Whether each row is something to be done, with a box to tick.
    pub is_to_tick: bool,
}

/// What a cell holds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Kind {
    /// Words or a name.
    #[default]
    Words,
    /// A number, flush with those above and below.
    Number,
    /// Nothing yet: to be filled in by hand, and not there on a terminal.
    Blank,
}

/// A cell of a table.
#[derive(Clone, Debug, Default)]
pub struct Cell {
    /// What it says.
    pub text: String,
    /// How it stands out.
    pub tone: Tone,
    /// What it holds.
    pub kind: Kind,
}

impl Cell {
    /// To be filled in by hand.
    pub const BLANK: Cell = Cell { text: String::new(), tone: Tone::Plain, kind: Kind::Blank };

    /// Words or a name.
    #[expect(clippy::needless_pass_by_value, reason = "amounts, words and counts, as they come")]
    pub fn words(text: impl ToString) -> Cell {
        Cell { text: text.to_string(), ..Cell::default() }
    }

    /// A number.
    pub fn number(text: impl ToString) -> Cell {
        Cell { kind: Kind::Number, ..Cell::words(text) }
    }

    /// The same, standing out.
    #[must_use]
    pub fn toned(self, tone: Tone) -> Cell {
        Cell { tone, ..self }
    }
}

impl Table {
    /// A table of that name.
    pub fn new(name: &'static str, caption: impl Into<String>, head: &[&str], rows: Vec<Vec<Cell>>) -> Table {
        let head = head.iter().map(|&heading| heading.to_owned()).collect();
        Table { name, caption: caption.into(), head, rows, is_to_tick: false }
    }

    /// Things to be done.
    pub fn to_tick(rows: Vec<Vec<Cell>>) -> Table {
        Table { name: "ticks", rows, is_to_tick: true, ..Table::default() }
    }
}

impl Block {
    /// A heading and the sentences under it; nothing at all if there are none.
    pub fn section<T: Into<Item>>(heading: &str, sentences: impl IntoIterator<Item = T>) -> Vec<Block> {
        let items: Vec<Item> = sentences.into_iter().map(Into::into).collect();
        if items.is_empty() {
            Vec::new()
        } else {
            vec![Block::Heading(heading.to_owned()), Block::List(items)]
        }
    }
}
