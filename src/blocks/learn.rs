//! The page of `learn`: the weighings, what they tell, what they cannot, which to take next, and the lines to paste.

use crate::answer::learn::{Learned, Lesson, Twins};
use crate::decimals::trimmed;
use crate::marks::{MASS_UNIT, name, signed};
use crate::page::{Block, Cell, Item, Offsets, Page, Table, Tone};
use crate::quantity::{Kg, Quantity};
use crate::statics::Corner;
use crate::tasks::learn::Told;

use super::{Drawn, brief, picture};

/// The page of what was learned; `drawn` is the kart with what has moved on it.
pub fn learn(learned: &Learned, drawn: &[Drawn]) -> Page {
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
    blocks.push(misfits(learned));
    blocks.extend(told(&telling, drawn.first()));
    let silent: Vec<String> = silent.into_iter().map(|lesson| name(&lesson.called)).collect();
    let silent = (!silent.is_empty()).then(|| silent.join("; "));
    let next = learned.next_weighing.iter().flat_map(|next| {
        let teaches = next.teaches.iter().map(|teaches| Item::under(teaches.as_str()));
        std::iter::once(Item::from(next.sentence.as_str())).chain(teaches)
    });
    let beside = [
        Block::section("These weighings cannot tell", learned.cannot_tell_apart.iter().map(twins)),
        Block::section("Of these they say next to nothing", silent),
        Block::section("What to weigh next", next),
    ];
    blocks.push(Block::Beside(vec![picture(drawn.first()).into_iter().collect(), beside.concat()]));
    blocks.push(Block::Heading(
        "Lead hung on only to weigh needs a bolt too; nobody drives with it. Never reach under a kart that is lifted."
            .to_owned(),
    ));
    paste(&mut blocks, learned);
    if let Some(diff) = &learned.diff {
        blocks.extend([Block::Heading("Changes to the file".to_owned()), Block::Copy(diff.clone())]);
    }
    Page { title, brief: brief::learn(learned), blocks, status: learned.status.to_owned() }
}

/// What was told, as the file has it and as weighed.
pub(super) fn told(lessons: &[&Lesson], drawn: Option<&Drawn>) -> Vec<Block> {
    if lessons.is_empty() {
        return Vec::new();
    }
    // Mounts and drivers have letters in the picture.
    let letter =
        |lesson: &Lesson| drawn?.letters.iter().find(|(owner, _)| Some(owner) == lesson.name.as_ref());
    let called = |lesson: &Lesson| match letter(lesson).filter(|_| matches!(lesson.of, "mount" | "driver")) {
        Some((_, letter)) => format!("{letter} {}", name(&lesson.called)),
        None => name(&lesson.called),
    };
    let row = |lesson: &&Lesson| {
        let [before, after, sure, unit] = &lesson.shown;
        vec![
            Cell::words(called(lesson)),
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

/// What each weighing shows more than is computed of it: on paper as whiskers.
fn misfits(learned: &Learned) -> Block {
    let caption = format!("What each shows more than is computed after learning, {MASS_UNIT}");
    let head = Corner::ALL.map(|corner| corner.word().to_owned());
    let rows = learned.misfits.iter().map(|misfit| {
        let corners = &misfit.corners;
        let of = |(off, sure)| (off, sure, signed(Quantity::new(Kg, off, sure)).to_string());
        let cells = std::iter::zip(corners.value.each(), corners.plus_minus.each()).map(of);
        (misfit.weighing.clone(), cells.collect())
    });
    let offsets = Offsets { caption: caption.clone(), head: head.into(), rows: rows.collect() };
    let screen = offsets.rows.iter().map(|(weighing, cells)| {
        let cells = cells.iter().map(|(_, _, words)| Cell::number(words));
        std::iter::once(Cell::words(weighing)).chain(cells).collect()
    });
    let heads: Vec<&str> = std::iter::once("").chain(Corner::ALL.map(Corner::word)).collect();
    let screen = vec![Block::Table(Table::new("misfits", caption, &heads, screen.collect()))];
    let legend = "the whisker is how far that weighing may be off (95 of 100): where it does not reach the line, look at that one";
    Block::Either { screen, paper: vec![Block::Offsets(offsets), Block::Line(legend.to_owned())] }
}

fn twins(twins: &Twins) -> String {
    let way = if twins.correlation < 0.0 { "more of one is less of the other" } else { "they grow together" };
    let correlation = trimmed(twins.correlation, 2);
    format!("`{}` from `{}`: {way} (correlation {correlation})", twins.one, twins.other)
}

fn paste(blocks: &mut Vec<Block>, learned: &Learned) {
    let Some(fragment) = &learned.fragment else { return };
    blocks.push(Block::Side);
    let heading = "Paste this at the end of the file, or run `learn` again with --into";
    blocks.extend([Block::Heading(heading.to_owned()), Block::Copy(fragment.clone())]);
}
