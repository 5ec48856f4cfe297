//! Parts that sheets share: the picture beside its tables, cautions, blanks to be filled in by hand.
//! Takes views and words; gives markup.
//! Does not know which command asked.

use maud::{Markup, html};

use super::super::amount::Weight;
use super::super::drawing;
use super::super::ground::{GroundView, Spot};
use super::super::markup::{name, sentence};
use super::super::plan::{GoalLine, Status};
use super::super::shortfall::ShortfallLines;
use super::super::target::{Standing, TargetLines, Wanted};
use super::super::title::Title;
use crate::scenario::Figure;
use crate::solve::Proof;
use crate::uncertainty::verdict::Call;

/// With more lines than this everything is set smaller on paper, so that the sheet stays one page; with more than that, smaller
/// still.
const MANY_LINES: [usize; 2] = [16, 26];

/// The classes for a page of so many lines: each is one job, or one row of the longer column beside or below the picture.
pub(super) fn density(lines: usize) -> &'static str {
    match MANY_LINES {
        [_, most] if lines > most => " dense tight",
        [many, _] if lines > many => " dense",
        _ => "",
    }
}

/// How an answer stands, and what of it is proved, for the footer.
pub(super) fn proved(status: Status, goals: &[GoalLine]) -> String {
    let words = status.words();
    let of = |proof: Proof| {
        let goals = goals.iter().filter(move |goal| goal.proved == proof);
        goals.map(|goal| goal.goal.word()).collect::<Vec<_>>().join(", ")
    };
    match status {
        Status::BestPossible => format!("{words}: proved for {}", of(Proof::Proved)),
        Status::NotProvedBest => {
            format!("{words}; proved for: {}; stopped at: {}", of(Proof::Proved), of(Proof::Stopped))
        }
        Status::NoLegalPlan => format!("{words}: proved"),
        Status::OutOfTime => format!("{words}: nothing is proved"),
    }
}

/// The picture of the kart with the table that says the same, and other tables beside them.
pub(super) fn beside_picture(
    ground: Option<&GroundView>,
    id: &str,
    below: &Markup,
    beside: &Markup,
) -> Markup {
    html! {
        div class={ "beside" @if ground.is_none() { " alone" } } {
            @if let Some(ground) = ground {
                div class="tables" {
                    figure { (drawing::inline(ground, id)) }
                    (below)
                }
            }
            div class="tables" { (beside) }
        }
    }
}

/// What stands on a mount: pieces as `count, name, mass`.
pub(super) struct OnMount<'v> {
    pub(super) spot: &'v Spot,
    pub(super) pieces: Vec<(u32, &'v str, Option<&'v Weight>)>,
    /// What it may carry, and the word for what keeps more lead away.
    pub(super) limit: Option<(&'v Weight, &'static str)>,
}

/// Of more mounts than this, those that stay empty share one row.
pub(super) const MANY_MOUNTS: usize = 10;

/// The table behind the mounts of the picture; hardware where the file tells any.
pub(super) fn mounts(rows: &[OnMount], unit: &str) -> Markup {
    let bolts = rows.iter().any(|row| row.spot.bolts.is_some());
    let stacks = rows.iter().any(|row| row.spot.stack.is_some());
    let is_apart = |row: &&OnMount| rows.len() > MANY_MOUNTS && row.pieces.is_empty();
    let (empty, full): (Vec<&OnMount>, Vec<&OnMount>) = rows.iter().partition(is_apart);
    html! {
        table class="mounts" {
            caption { "Lead on the mounts, " (unit) }
            thead {
                tr {
                    th scope="col" { "Mount" }
                    th scope="col" { "Pieces" }
                    @if bolts { th scope="col" class="number" { "Bolts" } }
                    @if stacks { th scope="col" class="number" { "Stack" } }
                    th scope="col" class="number" { "Lead" }
                }
            }
            tbody {
                @for row in full {
                    tr {
                        th scope="row" { (lettered(row.spot)) }
                        td { (pieces(row)) }
                        @if bolts { td class="number" { @if let Some(bolts) = row.spot.bolts { (bolts) } } }
                        @if stacks { td class="number" { @if let Some(stack) = &row.spot.stack { (stack) } } }
                        td class="number" { (row.spot.lead.number) (limit(row)) }
                    }
                }
                @if !empty.is_empty() {
                    tr {
                        th scope="row" { "empty" }
                        td colspan=(2 + usize::from(bolts) + usize::from(stacks)) {
                            @for row in empty { span class="mount" { (lettered(row.spot)) } " " }
                        }
                    }
                }
            }
        }
    }
}

fn pieces(row: &OnMount) -> Markup {
    html! {
        @for (count, piece, each) in &row.pieces {
            span class="piece" {
                @if *count > 1 { (count) " \u{d7} " }
                @if let Some(each) = each { (each) " " }
                (name(piece))
            }
        }
        @if row.pieces.is_empty() { span class="quiet" { "empty" } }
    }
}

fn limit(row: &OnMount) -> Markup {
    html! {
        @if let Some((most, word)) = &row.limit {
            " " span class="quiet" { "of " (most.number) @if !word.is_empty() { " " (word) } }
        }
    }
}

/// A mount as its letter and its name.
pub(super) fn lettered(spot: &Spot) -> Markup {
    html! { span class="letter" { (spot.letter) } " " (name(&spot.name)) }
}

/// What there is where it is too little.
pub(super) fn there_is(lines: &ShortfallLines) -> Markup {
    html! {
        table {
            caption { "What there is" }
            tbody {
                @for (what, weight, unsure) in &lines.facts {
                    tr {
                        th scope="row" { (what) }
                        td class="number" {
                            @if let Some(unsure) = unsure { (sure(&weight.to_string(), &unsure.number)) }
                            @else { (weight) }
                        }
                    }
                }
            }
        }
    }
}

/// What is wanted of a figure, in the typography of paper.
pub(super) fn wanted(wanted: &Wanted) -> String {
    typeset(&wanted.text)
}

/// Words of the program itself, in which a screen writes `+-`.
pub(super) fn typeset(words: &str) -> String {
    words.replace("+-", "\u{b1}")
}

/// A number with its ±, which stands back.
pub(super) fn sure(number: &str, plus_minus: &str) -> Markup {
    html! { (number) " " span class="plus-minus" { "\u{b1} " (plus_minus) } }
}

/// The class of a verdict, and its mark.
pub(super) const fn called(call: Call) -> (&'static str, &'static str) {
    match call {
        Call::Met => ("met", "\u{2713}"),
        Call::Missed => ("missed", "\u{25b2}"),
        Call::TooClose => ("unsure", "\u{2248}"),
    }
}

/// `on target`, or by how much it is off; a mark of its own shape stands before it.
pub(super) fn verdict(standing: &Standing) -> Markup {
    let (class, mark) = called(standing.call);
    html! { span class=(class) { span aria-hidden="true" { (mark) } " " (standing.verdict()) } }
}

/// The class of a verdict on several targets: plain where nothing is missed, but not every one is surely met.
pub(super) fn tone<'t>(targets: impl IntoIterator<Item = &'t TargetLines>) -> &'static str {
    let calls: Vec<Call> = targets.into_iter().map(TargetLines::call).collect();
    if calls.contains(&Call::Missed) {
        "missed"
    } else if calls.contains(&Call::TooClose) {
        "close"
    } else {
        "met"
    }
}

/// What the shown figures are made of, once.
pub(super) fn definitions(figures: impl Iterator<Item = Figure>) -> Markup {
    let definitions: Vec<&str> = figures.filter_map(Figure::definition).collect();
    html! {
        @if !definitions.is_empty() { p class="note" { (definitions.join("; ")) "." } }
    }
}

/// A list of sentences under a heading; nothing if there are none.
pub(super) fn sentences<'s>(heading: &str, sentences: impl IntoIterator<Item = &'s str>) -> Markup {
    let mut sentences = sentences.into_iter().peekable();
    html! {
        @if sentences.peek().is_some() {
            section {
                h2 { (heading) }
                ul class="plain" { @for words in sentences { li { (sentence(words)) } } }
            }
        }
    }
}

/// Who is on what, each name by itself.
pub(super) fn title(title: &Title) -> Markup {
    let Title { driver, kart, class } = title;
    html! {
        @match driver {
            Some(driver) => { (name(driver)) " on " (name(kart)) }
            None => { (name(kart)) " without a driver" }
        }
        ", " (name(class))
    }
}

/// What must not be left unsaid.
pub(super) fn cautions<'s>(cautions: impl IntoIterator<Item = &'s str>) -> Markup {
    html! {
        section class="cautions" {
            h2 { "Take care" }
            ul class="plain" { @for caution in cautions { li { (caution) } } }
        }
    }
}

/// Where to write who weighed, when, and with which fuel.
pub(super) fn written_by_hand() -> Markup {
    html! {
        p class="by-hand" {
            @for what in ["Fuel", "Date", "By"] {
                span { (what) " " span class="blank" {} }
            }
        }
    }
}
