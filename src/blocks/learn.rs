//! The page of `learn`: the weighings, what they tell, what they cannot, which to take next, and the lines to paste.

use crate::answer::learn::{Learned, Lesson, Twins};
use crate::decimals::trimmed;
use crate::marks::name;
use crate::page::{Block, Cell, Item, Page, Table, Tone};
use crate::tasks::learn::Told;

use super::brief;

/// The page of what was learned.
pub fn learn(learned: &Learned) -> Page {
    let title = format!("What {} weighings teach of {}", learned.weighings.len(), name(&learned.kart));
    let tone = if learned.fragment.is_some() { Tone::Plain } else { Tone::Bad };
    let told_by = format!(
        "chi-square {} with {} readings to spare; {} independent numbers are known",
        learned.chi_square, learned.degrees_of_freedom, learned.independent_numbers_told
    );
    let weighings = learned.weighings.iter().cloned().map(Item::from);
    let verdict = [Item::from(learned.verdict.as_str()).toned(tone), Item::from(told_by)];
    let mut blocks = vec![
        Block::Title(title.clone()),
        Block::Verdict(tone, learned.status.to_owned()),
        Block::List(weighings.chain(verdict).collect()),
    ];
    let silent = |lesson: &&Lesson| lesson.told == Told::NotAtAll.word();
    let (silent, telling): (Vec<&Lesson>, Vec<&Lesson>) = learned.lessons.iter().partition(silent);
    blocks.extend(told(&telling));
    blocks.extend(Block::section("These weighings cannot tell", learned.cannot_tell_apart.iter().map(twins)));
    let silent: Vec<String> = silent.into_iter().map(|lesson| name(&lesson.called)).collect();
    let silent = (!silent.is_empty()).then(|| silent.join("; "));
    blocks.extend(Block::section("Of these they say next to nothing", silent));
    let next = learned.next_weighing.iter().flat_map(|next| {
        let teaches = next.teaches.iter().map(|teaches| Item::under(teaches.as_str()));
        std::iter::once(Item::from(next.sentence.as_str())).chain(teaches)
    });
    blocks.extend(Block::section("What to weigh next", next));
    paste(&mut blocks, learned);
    blocks.push(Block::Heading(
        "Lead hung on only to weigh needs a bolt too; nobody drives with it. Never reach under a kart that is lifted."
            .to_owned(),
    ));
    if let Some(diff) = &learned.diff {
        blocks.extend([Block::Heading("Changes to the file".to_owned()), Block::Copy(diff.clone())]);
    }
    Page { title, brief: brief::learn(learned), blocks, status: learned.status.to_owned() }
}

/// What was told, as the file has it and as weighed.
pub(super) fn told(lessons: &[&Lesson]) -> Vec<Block> {
    if lessons.is_empty() {
        return Vec::new();
    }
    let row = |lesson: &&Lesson| {
        let [before, after, sure, unit] = &lesson.shown;
        vec![
            Cell::words(name(&lesson.called)),
            Cell::number(before),
            Cell::words("\u{2192}"),
            Cell::number(after),
            Cell::words(format!("\u{b1} {sure} {unit}").trim_end()),
            Cell::words(lesson.told),
        ]
    };
    let caption = "What they tell: as the file says \u{2192} as weighed";
    vec![
        Block::Table(Table::new("lessons", caption, &[], lessons.iter().map(row).collect())),
        Block::Line("\u{b1} holds 95 times in 100".to_owned()),
    ]
}

fn twins(twins: &Twins) -> String {
    let way = if twins.correlation < 0.0 { "more of one is less of the other" } else { "they grow together" };
    let correlation = trimmed(twins.correlation, 2);
    format!("`{}` from `{}`: {way} (correlation {correlation})", twins.one, twins.other)
}

fn paste(blocks: &mut Vec<Block>, learned: &Learned) {
    let Some(fragment) = &learned.fragment else { return };
    let heading = "Paste this at the end of the file, or run `learn` again with --into";
    blocks.extend([Block::Heading(heading.to_owned()), Block::Copy(fragment.clone())]);
}
