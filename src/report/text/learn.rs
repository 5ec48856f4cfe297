//! The text of `learn`: the weighings, what they tell, what they cannot, which to take next, and the lines to paste.
//! Takes the view; gives text.
//! Does not know the scenario.

use super::page::{Cell, Page, Table, Tone};
use crate::report::learn::{LearnView, LessonLine};
use crate::tasks::learn::Told;

/// Lays out what was learned for a screen of so many columns. `fragment` says whether the lines to paste are shown.
pub fn learn(view: &LearnView, width: usize) -> String {
    let mut page = Page::new(width);
    page.paragraph(
        0,
        Tone::Strong,
        &format!("What {} weighings teach of {}", view.weighings.len(), view.kart),
    );
    let tone = if view.fragment.is_some() { Tone::Plain } else { Tone::Bad };
    page.paragraph(0, tone, view.status);
    for weighing in &view.weighings {
        page.paragraph(2, Tone::Plain, weighing);
    }
    page.paragraph(2, tone, &view.verdict);
    page.paragraph(
        2,
        Tone::Plain,
        &format!(
            "chi-square {} with {} readings to spare; {} independent numbers are told",
            view.chi_square, view.freedom, view.combinations
        ),
    );
    numbers(&mut page, view);
    if !view.twins.is_empty() {
        page.section("These weighings cannot tell");
        for twins in &view.twins {
            page.paragraph(2, Tone::Plain, &twins.sentence);
        }
    }
    if !view.silent.is_empty() {
        page.section("Of these they say next to nothing");
        page.paragraph(2, Tone::Plain, &view.silent.join("; "));
    }
    if let Some(next) = &view.next {
        page.section("What to weigh next");
        page.paragraph(2, Tone::Plain, &next.sentence);
        for lesson in &next.teaches {
            page.paragraph(4, Tone::Plain, lesson);
        }
    }
    paste(&mut page, view);
    page.gap();
    page.paragraph(
        0,
        Tone::Plain,
        "Lead hung on only to weigh needs a bolt too; nobody drives with it. Never reach under a kart that is lifted.",
    );
    page.into_text()
}

fn numbers(page: &mut Page, view: &LearnView) {
    let told = || view.lessons.iter().filter(|line| line.told != Told::NotAtAll);
    if told().next().is_none() {
        return;
    }
    page.section("What they tell: as the file says -> as weighed");
    let row = |line: &LessonLine| {
        let [before, after, expanded] = &line.shown;
        vec![
            Cell::word(&line.name),
            Cell::number(before),
            Cell::word("->"),
            Cell::number(after),
            Cell::word(format!("+- {expanded} {}", line.unit).trim_end()),
            Cell::word(line.told.word()),
        ]
    };
    if !page.table(&Table::new(2, told().map(row).collect())) {
        for line in told() {
            let [before, after, expanded] = &line.shown;
            page.paragraph(2, Tone::Plain, &line.name);
            let numbers = format!("{before} -> {after} +- {expanded} {}", line.unit);
            page.paragraph(4, Tone::Plain, &format!("{}, {}", numbers.trim_end(), line.told.word()));
        }
    }
    page.paragraph(2, Tone::Plain, "+- holds 95 times in 100");
}

fn paste(page: &mut Page, view: &LearnView) {
    let Some(fragment) = &view.fragment else { return };
    page.section("Paste this at the end of the file, or run `learn` again with --into");
    page.gap();
    for line in fragment.lines() {
        page.verbatim(0, line);
    }
    for pin in &view.pins {
        page.gap();
        let which = format!("and in number {} of `after`, instead of `lead: as planned`:", pin.after + 1);
        page.paragraph(0, Tone::Plain, &which);
        page.verbatim(0, &format!("lead: {}", pin.lead));
        for line in &pin.settings {
            page.verbatim(0, line);
        }
    }
}

/// A change of a file, line by line as it will be.
pub fn changes(diff: &str, width: usize) -> String {
    let mut page = Page::new(width);
    page.section("Changes to the file");
    for line in diff.lines() {
        page.verbatim(0, line);
    }
    page.into_text()
}
