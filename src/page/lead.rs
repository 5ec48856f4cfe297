//! Lead in rows and columns, every piece a square beside its words: as large as its mass, black where it is put on, hatched where it
//! stays, an outline where it leaves. The same shapes as on the kart.
//! Takes kilograms; a screen without pictures has the same in its own table.

use maud::{Markup, html};

use super::markup::marked;
use crate::decimals::trimmed;
use crate::units::UnitSystem;

/// What lies where, row by row.
#[derive(Clone, Debug, Default)]
pub struct LeadTable {
    /// What stands above it.
    pub caption: String,
    /// What stands above its columns after the first, if anything.
    pub head: Vec<String>,
    /// Name of a row, and what lies in each of its columns; a heading where it has no columns.
    pub rows: Vec<(String, Vec<Lying>)>,
    /// Side of a square of a kilogram, pixels: areas compare as masses do.
    pub side_px: f64,
}

/// What lies in one place.
#[derive(Clone, Debug, Default)]
pub struct Lying {
    /// Pieces, each kind with its words.
    pub pieces: Vec<Pieces>,
    /// What is said of all of it, or that there is nothing.
    pub text: String,
}

/// Pieces of one kind.
#[derive(Clone, Debug)]
pub struct Pieces {
    /// Mass of one.
    pub kg: f64,
    pub count: u32,
    pub fate: Fate,
    /// What they are called.
    pub words: String,
}

/// What becomes of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    Comes,
    Stays,
    Leaves,
}

/// From one line of a hatch to the next, pixels.
const HATCH: f64 = 4.0;
/// A row of squares is no wider, unless one alone is, pixels.
const ROW: f64 = 64.0;
/// Room for the line around a square, pixels.
const LINE: f64 = 1.0;

/// The table.
pub(super) fn table(table: &LeadTable, units: UnitSystem) -> Markup {
    html! {
        table class="lead" {
            @if !table.caption.is_empty() { caption { (marked(&table.caption, units)) } }
            @if !table.head.is_empty() {
                thead { tr { td {} @for head in &table.head { th scope="col" { (marked(head, units)) } } } }
            }
            tbody {
                @for (name, columns) in &table.rows {
                    tr {
                        @if columns.is_empty() { th class="strong" colspan=(table.head.len() + 1) { (marked(name, units)) } }
                        @else { th scope="row" { (marked(name, units)) } }
                        @for (column, lying) in columns.iter().enumerate() {
                            td class=[(lying.pieces.is_empty() && lying.text.is_empty()).then_some("none")] {
                                @if let Some(head) = table.head.get(column) { span class="head" { (marked(head, units)) } }
                                @for pieces in &lying.pieces { (row(pieces, table.side_px, units)) }
                                (marked(&lying.text, units))
                            }
                        }
                    }
                }
            }
        }
    }
}

fn row(pieces: &Pieces, side_px: f64, units: UnitSystem) -> Markup {
    html! {
        span class="pieces" {
            (squares(pieces, side_px * pieces.kg.sqrt()))
            @if !pieces.words.is_empty() { span { (marked(&pieces.words, units)) } }
        }
    }
}

/// So many squares, in rows that leave room for their words.
fn squares(pieces: &Pieces, side: f64) -> Markup {
    let number = |px: f64| trimmed(px, 2);
    let step = side + 2.0 * LINE;
    let abreast = ((ROW / step) as u32).max(1);
    let class = match pieces.fate {
        Fate::Comes => "comes",
        Fate::Stays => "outline",
        Fate::Leaves => "gone",
    };
    html! {
        svg class="drawing squares" aria-hidden="true" width=(number(step * f64::from(pieces.count.min(abreast))))
            height=(number(step * f64::from(pieces.count.div_ceil(abreast)))) {
            @for index in 0..pieces.count {
                @let corner = [index % abreast, index / abreast].map(|steps| LINE + step * f64::from(steps));
                rect class=(class) x=(number(corner[0])) y=(number(corner[1])) width=(number(side)) height=(number(side))
                    stroke-dasharray=[(pieces.fate == Fate::Leaves).then_some("3 2.5")] {}
                @if pieces.fate == Fate::Stays { path class="outline" d=(hatch(corner, side)) {} }
            }
        }
    }
}

/// Lines across a square, from lower left to upper right.
fn hatch([left, top]: [f64; 2], side: f64) -> String {
    let lines = (1..).map(|line| HATCH * f64::from(line)).take_while(|far| *far < 2.0 * side).map(|far| {
        let (near, beyond) = (far.min(side), (far - side).max(0.0));
        let points = [left + beyond, top + near, left + near, top + beyond].map(|px| trimmed(px, 2));
        format!("M{} {}L{} {}", points[0], points[1], points[2], points[3])
    });
    lines.collect()
}
