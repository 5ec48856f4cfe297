//! Job lists, a box to tick before every line; and what lies where when they are done.

use super::{Drawn, mount};
use crate::answer::work::{Change, Doing, MountLoad, MountState, Placement, Setting};
use crate::marks::{MASS_UNIT, column, fine, given, name};
use crate::page::{Block, Cell, Table, Tone};
use crate::quantity::{Exact, Kg};

/// Said under washers to be moved; common practice, no published source.
pub(super) const ALIGNMENT: &str =
    "Washers at a spindle change caster and camber: check the alignment, then weigh again.";

impl Doing {
    const ALL: [Doing; 3] = [Doing::TakeOff, Doing::Move, Doing::PutOn];

    const fn words(self) -> (&'static str, &'static str) {
        match self {
            Doing::TakeOff => ("Take off", "take off"),
            Doing::Move => ("Move", "move"),
            Doing::PutOn => ("Put on", "put on"),
        }
    }
}

/// `5 kg`, or `2 × 5 kg`.
pub(super) fn pieces(count: u32, each: Exact<Kg>) -> String {
    if count == 1 { given(each).to_string() } else { format!("{count} \u{d7} {}", given(each)) }
}

/// The mount, or both for a move.
fn way(change: &Change, drawn: Option<&Drawn>) -> String {
    let ends: Vec<String> =
        [&change.from, &change.to].into_iter().flatten().map(|end| mount(end, drawn)).collect();
    ends.join(" \u{2192} ")
}

/// `3 → 4`.
pub(super) fn set(setting: &Setting) -> String {
    format!("{} \u{2192} {}", name(&setting.now), name(&setting.planned))
}

/// The work, in the order in which it can be done: settings, then lead by what is done with it.
pub(super) fn grouped(settings: &[Setting], changes: &[Change], drawn: Option<&Drawn>) -> Vec<Block> {
    let to_be_set: Vec<&Setting> = settings.iter().filter(|setting| setting.is_job()).collect();
    let mut blocks = Vec::new();
    if !to_be_set.is_empty() {
        let row = |setting: &&Setting| vec![Cell::words(name(&setting.adjuster)), Cell::words(set(setting))];
        blocks.push(Block::Heading("Set".to_owned()));
        blocks.push(Block::Table(Table::to_tick(to_be_set.iter().map(row).collect())));
        if to_be_set.iter().any(|setting| setting.moves_washers) {
            blocks.push(Block::Line(ALIGNMENT.to_owned()));
        }
    }
    if changes.is_empty() {
        blocks.push(Block::Heading("Nothing to change: leave the lead as it is".to_owned()));
    }
    for doing in Doing::ALL {
        let here: Vec<&Change> = changes.iter().filter(|change| change.action == doing).collect();
        let row = |change: &&Change| {
            vec![
                Cell::number(pieces(change.count, change.each)),
                Cell::words(name(&change.piece)),
                Cell::words(way(change, drawn)),
            ]
        };
        if !here.is_empty() {
            blocks.push(Block::Heading(doing.words().0.to_owned()));
            blocks.push(Block::Table(Table::to_tick(here.iter().map(row).collect())));
        }
    }
    blocks
}

/// Settings, then changes in their order, each a sentence of its own.
pub(super) fn in_order(settings: &[Setting], changes: &[Change], drawn: Option<&Drawn>) -> Block {
    let settings = settings.iter().filter(|setting| setting.is_job());
    let set = settings.map(|setting| format!("set {}: {}", name(&setting.adjuster), set(setting)));
    let changes = changes.iter().map(|change| {
        let (amount, piece) = (pieces(change.count, change.each), name(&change.piece));
        format!("{} {amount} {piece}: {}", change.action.words().1, way(change, drawn))
    });
    let sentences: Vec<Vec<Cell>> = set.chain(changes).map(|sentence| vec![Cell::words(sentence)]).collect();
    if sentences.is_empty() {
        return Block::Line("nothing to change".to_owned());
    }
    Block::Table(Table::to_tick(sentences))
}

/// What comes after any work.
pub(super) fn then(what: [&str; 2]) -> Vec<Block> {
    let rows = what.map(|sentence| vec![Cell::words(sentence)]);
    vec![Block::Heading("Then".to_owned()), Block::Table(Table::to_tick(rows.to_vec()))]
}

/// Pieces on a mount: `2 × 2.5 kg slab, 1 kg puck`.
pub(super) fn on(mount: &str, placements: &[Placement]) -> String {
    let here = placements.iter().filter(|placement| placement.mount == mount);
    let pieces = here.map(|place| format!("{} {}", pieces(place.count, place.each), name(&place.piece)));
    pieces.collect::<Vec<_>>().join(", ")
}

/// What is on which mount, with what it is held by as far as the file tells; empty ones only where it matters that they are.
pub(super) fn mounts(
    caption: &str,
    mounts: &[MountLoad],
    placements: &[Placement],
    drawn: Option<&Drawn>,
) -> Block {
    let (bolts, stacks) =
        (mounts.iter().any(|load| load.bolts.is_some()), mounts.iter().any(|load| load.stack.is_some()));
    let head = ["", "lead", "may carry", "", "bolts", "stack", "pieces"];
    let is_shown = |column: usize| (column != 4 || bolts) && (column != 5 || stacks);
    let rows = mounts.iter().map(|load| {
        let state = match load.state {
            MountState::Open => "",
            MountState::Full => "full",
            MountState::Locked => "locked",
        };
        let cells = [
            Cell::words(mount(&load.mount, drawn)),
            Cell::number(column(load.carried)),
            Cell::number(given(load.may_carry).bare()),
            Cell::words(state),
            Cell::number(load.bolts.map_or_else(String::new, |bolts| bolts.to_string())),
            Cell::number(load.stack.map_or_else(String::new, |stack| fine(stack).to_string())),
            Cell::words(on(&load.mount, placements)).toned(Tone::Quiet),
        ];
        (0..).zip(cells).filter(|(column, _)| is_shown(*column)).map(|(_, cell)| cell).collect()
    });
    let head: Vec<&str> =
        (0..).zip(head).filter(|(column, _)| is_shown(*column)).map(|(_, head)| head).collect();
    Block::Table(Table::new("mounts", format!("{caption}, {MASS_UNIT}"), &head, rows.collect()))
}
