//! A page as one file of HTML that needs nothing but itself: for the wall, the phone and the scrutineer.
//! How it looks on paper and where sides break is in `style.css`.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::markup::{marked, name, plain};
use super::{Block, Cell, Item, Kind, Page, Table, Tone};
use super::{figures, lead, season};
use crate::imprint::{Imprint, generator};
use crate::marks::written;
use crate::units::UnitSystem;

/// How the page looks, on a screen and on paper.
pub const STYLE: &str = include_str!("style.css");

/// Lays out a page; `drawing` is the style of its pictures.
pub fn sheet(page: &Page, units: UnitSystem, drawing: &str, imprint: &Imprint) -> String {
    let sides = page.blocks.split(|block| matches!(block, Block::Side));
    let document = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content=(generator());
                meta name="color-scheme" content="light dark";
                title { (plain(&written(&page.title, units))) }
                style { (PreEscaped(drawing)) (PreEscaped(STYLE)) }
            }
            body {
                main {
                    @for side in sides {
                        article class="page" {
                            (blocks(side, units))
                            footer {
                                @match &imprint.scenario {
                                    Some((file, digest)) => { "Scenario " (name(file)) ", SHA-256 " (digest) "\u{2026}" }
                                    None => { "Readings typed on the command line" }
                                }
                                " \u{b7} " (generator())
                                @if !page.status.is_empty() { " \u{b7} " (marked(&page.status, units)) }
                            }
                        }
                    }
                }
            }
        }
    };
    document.into_string() + "\n"
}

/// A part of a page that somebody else lays out.
pub fn fragment(all: &[Block], units: UnitSystem) -> Markup {
    blocks(all, units)
}

/// The sides of a page without what stands around them.
pub fn sides(page: &Page, units: UnitSystem) -> Markup {
    html! {
        @for side in page.blocks.split(|block| matches!(block, Block::Side)) { article class="page" { (blocks(side, units)) } }
    }
}

/// Blocks in order; what follows a heading is a section with it.
fn blocks(all: &[Block], units: UnitSystem) -> Markup {
    let goes_on = |before: &Block, next: &Block| match next {
        Block::Heading(_)
        | Block::Beside(_)
        | Block::Either { .. }
        | Block::Cautions(_)
        | Block::Title(_) => false,
        Block::Strips(_) => matches!(before, Block::Heading(_) | Block::Plane(_)),
        _ => !matches!(before, Block::Strips(_)),
    };
    html! {
        @for section in all.chunk_by(goes_on) {
            @match section.first() {
                Some(Block::Title(_)) => header { (each(section, units)) },
                Some(Block::Heading(_)) => section { (each(section, units)) },
                _ => (each(section, units)),
            }
        }
    }
}

fn each(all: &[Block], units: UnitSystem) -> Markup {
    html! { @for block in all { (one(block, units)) } }
}

fn one(block: &Block, units: UnitSystem) -> Markup {
    let shown = |text: &str| marked(text, units);
    html! {
        @match block {
            Block::Title(text) => h1 { (shown(text)) },
            Block::Verdict(tone, text) => (stamp(*tone, text, units)),
            Block::Line(text) => p { (shown(text)) },
            Block::Heading(text) => h2 { (shown(text)) },
            Block::List(items) => ul class="plain" { @for item in items { (listed(item, units)) } },
            Block::Table(table) if table.is_to_tick => (to_tick(table, units)),
            Block::Table(table) => (rows(table, units)),
            Block::Copy(lines) => pre { (lines) },
            Block::Picture(picture) => figure { (picture) },
            Block::ByHand(what) => p class="by-hand" { @for what in what { span { (what) " " span class="blank" {} } } },
            Block::Cautions(cautions) => section class="cautions" {
                h2 { "Take care" }
                ul class="plain" { @for caution in cautions { li { (shown(caution)) } } }
            },
            Block::Beside(parts) => {
                // The kart is as wide as its letters need; what stands beside it takes the rest.
                @let has_kart = matches!(parts.first().map(Vec::as_slice), Some([Block::Picture(_)]));
                div class=(if has_kart { "beside kart" } else { "beside" }) {
                    @for part in parts.iter().filter(|part| !part.is_empty()) { div class="tables" { (blocks(part, units)) } }
                }
            },
            // What only a brief screen has: paper has the drawing and the tables.
            Block::Side | Block::Sketch(..) | Block::Gap | Block::Next(_) => {},
            Block::Strips(strips) => (figures::strips(strips, units)),
            Block::Plane(plane) => (figures::plane(plane)),
            Block::Offsets(offsets) => (figures::offsets(offsets, units)),
            Block::Season(season) => (season::season(season, units)),
            Block::Lead(table) => (lead::table(table, units)),
            Block::Either { paper, .. } => (blocks(paper, units)),
        }
    }
}

/// How it stands, large, as it is read from where one stands; what qualifies it under it.
fn stamp(tone: Tone, text: &str, units: UnitSystem) -> Markup {
    let (said, qualified) = text.split_once("; ").unwrap_or((text, ""));
    html! {
        p class={ "verdict " (class(tone)) } {
            strong { (marked(said, units)) }
            @if !qualified.is_empty() { span class="gap" { "; " } span class="qualified" { (marked(qualified, units)) } }
        }
    }
}

const fn class(tone: Tone) -> &'static str {
    match tone {
        Tone::Plain => "",
        Tone::Strong => "strong",
        Tone::Good => "met",
        Tone::Bad => "missed",
        Tone::Unsure => "unsure",
        Tone::Quiet => "quiet",
    }
}

fn listed(item: &Item, units: UnitSystem) -> Markup {
    let tone = class(item.tone);
    let under = if item.is_under { "under-it" } else { "" };
    let class = [tone, under].join(" ");
    html! { li class=[(class != " ").then_some(class.trim())] { (marked(&item.text, units)) } }
}

/// A box before each row.
fn to_tick(table: &Table, units: UnitSystem) -> Markup {
    html! {
        @if !table.caption.is_empty() { h2 { (marked(&table.caption, units)) } }
        ul class="ticks" {
            @for row in &table.rows {
                li {
                    label {
                        input type="checkbox";
                        span {
                            @for cell in row.iter().filter(|cell| !cell.text.is_empty()) {
                                @let text = marked(&cell.text, units);
                                @match (cell.kind, cell.tone) {
                                    (Kind::Number, _) if cell.text.ends_with('.') => b class="numeral" { (cell.text.trim_end_matches('.')) },
                                    (Kind::Number, _) | (_, Tone::Strong) => b { (text) },
                                    (_, Tone::Quiet) => small { (text) },
                                    _ => (text),
                                }
                                " "
                            }
                        }
                    }
                }
            }
        }
    }
}

fn rows(table: &Table, units: UnitSystem) -> Markup {
    let kind = |column: usize| {
        table.rows.first().and_then(|row| row.get(column)).map_or(Kind::Words, |cell| cell.kind)
    };
    // A narrow screen has no room for a row of headings: each number then follows its own.
    let heading = |column: usize, cell: &Cell| {
        let heading =
            table.head.get(column).filter(|heading| cell.kind != Kind::Words && !heading.is_empty());
        heading.map(|heading| written(heading, units))
    };
    html! {
        table class=(table.name) {
            @if !table.caption.is_empty() { caption { (marked(&table.caption, units)) } }
            @if !table.head.is_empty() {
                thead {
                    tr {
                        @for (column, heading) in table.head.iter().enumerate() {
                            // A heading that says nothing is none.
                            @if heading.is_empty() { td {} }
                            @else { th scope="col" class=[(kind(column) == Kind::Number).then_some("number")] { (marked(heading, units)) } }
                        }
                    }
                }
            }
            tbody {
                @for row in &table.rows {
                    tr {
                        @for (column, cell) in row.iter().enumerate() {
                            @if column == 0 && !cell.text.is_empty() { th scope="row" { (content(cell, units)) } }
                            @else {
                                td class=[cell_class(cell)] data-head=[heading(column, cell)] { (content(cell, units)) }
                            }
                        }
                    }
                }
            }
        }
    }
}

const fn cell_class(cell: &Cell) -> Option<&'static str> {
    match cell.kind {
        Kind::Words => None,
        Kind::Number => Some("number"),
        Kind::Blank => Some("blank"),
    }
}

/// What a cell holds; a mark of its own shape stands before what is wanted or not, as print may have no colour.
pub(super) fn content(cell: &Cell, units: UnitSystem) -> Markup {
    let text = marked(&cell.text, units);
    let mark = match cell.tone {
        Tone::Good => "\u{2713} ",
        Tone::Bad => "\u{25b2} ",
        Tone::Unsure => "\u{2248} ",
        Tone::Plain => return text,
        Tone::Strong | Tone::Quiet => "",
    };
    html! { span class=(class(cell.tone)) { @if !mark.is_empty() { span aria-hidden="true" { (mark) } } (text) } }
}
