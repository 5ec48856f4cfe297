//! What would help, and what would cure, in words.

use super::{stands, tone, work};
use crate::answer::alternatives::{Alternative, Alternatives};
use crate::answer::help::{Eased, Help};
use crate::page::{Block, Item, Tone};

/// More than that is not read; documents have all of it.
const MOST_HELPS: usize = 3;

/// Cures on a brief screen.
pub(super) const MOST_CURES: usize = 4;

/// What would help a plan: nothing where nothing is worth it.
pub(super) fn would_help(helps: &[Help], unsettled: &[Eased]) -> Vec<Block> {
    let worth = helps.iter().take(MOST_HELPS).map(|help| format!("{}: {}", help.easing.sentence, help.gains));
    Block::section("What would help, each alone", worth.chain(not_settled(unsettled)))
}

/// Single remedies, so many of them.
pub(super) fn would_cure(remedies: &[Help], unsettled: &[Eased], most: usize) -> Vec<Block> {
    let nothing = "nothing does alone; several of these limits have to be eased together";
    let none = (remedies.is_empty() && unsettled.is_empty()).then(|| nothing.to_owned());
    let remedies = remedies.iter().take(most).map(|remedy| remedy.easing.sentence.clone());
    let all = none.into_iter().chain(remedies).chain(not_settled(unsettled));
    Block::section("What would cure it, each alone", all)
}

pub(super) fn not_settled(unsettled: &[Eased]) -> Option<String> {
    match unsettled {
        [] => None,
        [one] => Some(format!("not solved to the end: {}", one.sentence)),
        several => Some(format!(
            "{} more things were not solved to the end, and nothing is said of them",
            several.len()
        )),
    }
}

/// All alternatives, then why others are missing.
pub(super) fn alternatives(alternatives: &Alternatives) -> Vec<Block> {
    let mut blocks: Vec<Block> = (1..).zip(&alternatives.found).flat_map(alternative).collect();
    let without = alternatives.without.iter().map(|missing| missing.sentence.as_str());
    if alternatives.found.is_empty() {
        blocks.push(Block::Heading("No plan of another kind is worth a look".to_owned()));
        blocks.push(Block::List(without.map(Item::from).collect()));
    } else {
        blocks.extend(Block::section("No alternative of these kinds", without));
    }
    blocks
}

fn alternative((number, found): (u32, &Alternative)) -> Vec<Block> {
    let pays =
        if found.pays.is_empty() { "nothing that can be measured".to_owned() } else { found.pays.join("; ") };
    let gives = Item::from(format!("gives: {}", found.gives.join("; "))).toned(Tone::Good);
    let missed = found.residuals.iter().filter(|residual| !residual.on_target).map(|residual| {
        let at = residual.state.map_or_else(String::new, |state| format!(" at the {}", state.word()));
        Item::from(format!("{} {}{at}", residual.target.name(), stands(residual)))
            .toned(tone(residual.verdict))
    });
    vec![
        Block::Heading(format!("Alternative {number}, {}", found.kind)),
        Block::List([gives, Item::from(format!("for: {pays}"))].into_iter().chain(missed).collect()),
        work::in_order(&work::jobs(&found.adjusters, None, &found.changes, &[], None, true)),
    ]
}
