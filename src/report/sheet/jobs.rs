//! Job lists with a box to tick before every line.
//! Takes lines of jobs and settings, and the ground for the letters of mounts; gives markup.
//! Does not know which command asked.

use maud::{Markup, html};

use super::super::changes::{Doing, JobLine};
use super::super::ground::{GroundView, Spot};
use super::super::headline::ALIGNMENT;
use super::super::markup::name;
use super::super::setting::SettingLine;
use super::parts;

/// The work, in the order in which it can be done: settings, then lead by what is done with it.
pub(super) fn grouped(settings: &[SettingLine], jobs: &[JobLine], ground: &GroundView) -> Markup {
    let groups = Doing::ALL.map(|doing| jobs.iter().filter(move |job| job.action == doing));
    html! {
        (to_be_set(settings))
        @if jobs.is_empty() {
            h2 { "Nothing to change: leave the lead as it is" }
        }
        @for (doing, jobs) in Doing::ALL.into_iter().zip(groups) {
            @let jobs: Vec<&JobLine> = jobs.collect();
            @if !jobs.is_empty() {
                h2 { (word(doing)) }
                ul class="ticks" { @for job in jobs { li { (ticked(&html! { (amount(job)) " " (way(job, "off", ground)) })) } } }
            }
        }
    }
}

/// Settings, then jobs in their order, each with its verb.
pub(super) fn in_order(settings: &[SettingLine], jobs: &[JobLine], ground: &GroundView) -> Markup {
    html! {
        ul class="ticks" {
            @for line in settings.iter().filter(|line| line.is_job()) {
                li { (ticked(&html! { "Set " (setting(line)) })) }
            }
            @for job in jobs {
                li { (ticked(&html! { (word(job.action)) " " (amount(job)) " " (way(job, "from", ground)) })) }
            }
        }
    }
}

/// Lines that jobs take where two stand beside each other.
pub(super) fn lines(jobs: &[JobLine]) -> usize {
    let letters = |job: &JobLine| {
        let names = [Some(&job.piece), job.from.as_ref(), job.to.as_ref()];
        names.into_iter().flatten().map(|name| name.chars().count()).sum::<usize>() + BESIDE_NAMES
    };
    jobs.iter().map(|job| letters(job).div_ceil(LETTERS_OF_A_LINE)).sum()
}

/// Letters of a line in half of a page, and those of a job that belong to no name.
const LETTERS_OF_A_LINE: usize = 38;
const BESIDE_NAMES: usize = 18;

/// What comes after any of them.
pub(super) fn then<'w>(what: impl IntoIterator<Item = &'w str>) -> Markup {
    html! {
        div class="then" {
            h2 { "Then" }
            @for after in what { (ticked(&html! { (after) })) }
        }
    }
}

/// What is to be set, before any lead is bolted to it.
fn to_be_set(all: &[SettingLine]) -> Markup {
    let to_be_set: Vec<&SettingLine> = all.iter().filter(|line| line.is_job()).collect();
    html! {
        @if !to_be_set.is_empty() {
            h2 { "Set" }
            ul class="ticks" { @for line in &to_be_set { li { (ticked(&setting(line))) } } }
            @if to_be_set.iter().any(|line| line.moves_washers) { p class="note" { (ALIGNMENT) } }
        }
    }
}

/// `seat 3 → 4`.
pub(super) fn setting(line: &SettingLine) -> Markup {
    html! { b { (name(&line.adjuster)) } " " (name(&line.now)) " \u{2192} " (name(&line.planned)) }
}

/// A box and what is to be done.
pub(super) fn ticked(what: &Markup) -> Markup {
    html! { label { input type="checkbox"; span { (what) } } }
}

/// What is done with lead.
fn word(doing: Doing) -> &'static str {
    match doing {
        Doing::TakeOff => "Take off",
        Doing::Move => "Move",
        Doing::PutOn => "Put on",
    }
}

/// `2 × 2.5 kg slab`.
fn amount(job: &JobLine) -> Markup {
    html! { b { @if job.count > 1 { (job.count) " \u{d7} " } (job.each) } " " (name(&job.piece)) }
}

/// From where to where, by letter and name; `off` is the word for what goes nowhere else.
fn way(job: &JobLine, off: &str, ground: &GroundView) -> Markup {
    from_to(job, off, ground, parts::lettered)
}

/// A job that takes few letters on paper, where the names of the mounts are left to the table that explains their letters:
/// `Move 2 × 1.5 kg puck from A → C`.
pub(super) fn short(job: &JobLine, ground: &GroundView) -> Markup {
    let letter =
        |spot: &Spot| html! { b { (spot.letter) } span class="on-screen" { " " (name(&spot.name)) } };
    html! { (word(job.action)) " " (amount(job)) " " (from_to(job, "from", ground, letter)) }
}

fn from_to(job: &JobLine, off: &str, ground: &GroundView, shown: impl Fn(&Spot) -> Markup) -> Markup {
    let mount = |called: &str| {
        let spot = ground.spots.iter().find(|spot| spot.name == called);
        html! { @if let Some(spot) = spot { (shown(spot)) } @else { (name(called)) } }
    };
    html! {
        span class="way" {
            @match (&job.from, &job.to) {
                (Some(from), Some(to)) => { "from " (mount(from)) " \u{2192} " (mount(to)) }
                (Some(from), None) => { (off) " " (mount(from)) }
                (None, Some(to)) => { "\u{2192} " (mount(to)) }
                (None, None) => {}
            }
        }
    }
}
