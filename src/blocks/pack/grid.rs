//! Cases by pieces: which of the kit each case uses, and what nobody uses.

use super::{CaseFound, Kit, grouped};
use crate::answer::pack::Pieces as Along;
use crate::blocks::work::named;
use crate::page::{Block, Fate, LeadTable, Lying, Pieces};

/// Kinds of pieces that fit beside each other on paper.
const KINDS_ABREAST: usize = 8;
/// Side of the square of a kilogram, pixels: five kilograms are as high as a line.
const SIDE_PX: f64 = 6.0;

/// Rows the cases, columns the kinds; black where one piece less is missed, hatched where it is not.
pub(super) fn grid(kit: &Kit) -> Vec<Block> {
    let along: Vec<&Along> = kit.take.iter().chain(&kit.buy).collect();
    let used = |case: &CaseFound, along: &Along| -> u32 {
        let same = case.placements.iter().filter(|placement| placement.piece == along.piece);
        same.map(|placement| placement.count).sum()
    };
    let idle = |along: &&Along| {
        let most = kit.cases.iter().map(|case| used(case, along)).max().unwrap_or(0);
        (along.count - along.spares).saturating_sub(most)
    };
    let cell = |place: usize, along: &Along| {
        let needed = kit.pieces_for.iter().find(|line| line.piece == along.piece);
        let is_lost = needed.is_some_and(|line| line.lost_with_one_less.contains(&place));
        let is_open = needed.is_some_and(|line| line.not_decided.contains(&place));
        let fate = if is_lost { Fate::Comes } else { Fate::Stays };
        let count = used(&kit.cases[place], along);
        let pieces = Pieces { kg: along.each.value, count, fate, words: String::new() };
        let text = if is_open { "?" } else { "" };
        Lying { pieces: (count > 0).then_some(pieces).into_iter().collect(), text: text.to_owned() }
    };
    let places = grouped(kit.cases.iter().enumerate(), |(_, case)| &case.case);
    let mut blocks = Vec::new();
    for (part, some) in along.chunks(KINDS_ABREAST).enumerate() {
        let head = some.iter().map(|one| named(one.count - one.spares, one.each, &one.piece));
        let row = |(name, place): &(String, Option<(usize, &CaseFound)>)| {
            let cells = place.map(|(place, _)| some.iter().map(|along| cell(place, along)).collect());
            (name.clone(), cells.unwrap_or_default())
        };
        let mut rows: Vec<_> = places.iter().map(row).collect();
        if some.iter().any(|along| idle(along) > 0) {
            let text = |along| if idle(along) > 0 { idle(along).to_string() } else { String::new() };
            let cells = some.iter().map(|along| Lying { pieces: Vec::new(), text: text(along) });
            rows.push(("nobody uses".to_owned(), cells.collect()));
        }
        let caption = if part == 0 { "Cases by pieces" } else { "" };
        blocks.push(Block::Lead(LeadTable {
            caption: caption.to_owned(),
            head: head.collect(),
            rows,
            side_px: SIDE_PX,
        }));
    }
    let open = kit.pieces_for.iter().any(|line| !line.not_decided.is_empty());
    let open = if open { " ?: not decided." } else { "" };
    blocks.push(Block::Line(format!(
        "Black: with one piece less of this kind the case is not served. Hatched: used, but something else would do.{open} A \
         square is as large as its piece."
    )));
    blocks
}
