//! The sheet of `pack`: one side to tick off while packing and shopping, one with every case and what goes where in it.
//! Takes the view; gives the file.
//! Does not know the scenario.

use maud::{Markup, html};

use super::super::changes::Placement;
use super::super::headline::{LEAD_CAUTIONS, NOTHING_FOUND, probed_legend, probed_word, probes};
use super::super::imprint::Imprint;
use super::super::markup::{name, plain, sentence};
use super::super::pack::{
    BeyondLine, CaseLines, CaseName, HardwareLines, KitLines, MountBolts, PackOutcome, PackView, PieceLine,
    ShortCase,
};
use super::super::plan::Status;
use super::{Page, jobs, parts};

/// Lines that one side of lists and of cases has at the usual size besides what [`parts::density`] counts with.
const LISTS: usize = 22;
const CASES: usize = 30;

/// The sheet of a kit, or of why there is none.
pub fn pack(view: &PackView, imprint: &Imprint) -> String {
    let title = format!("Trip with {}: {}", view.kart, view.trip);
    let pages = match &view.outcome {
        PackOutcome::Kit(lines) => vec![check_list(view, lines), cases(view, lines)],
        PackOutcome::NeverLegal(short) => vec![never_legal(view, short)],
        PackOutcome::OutOfTime { bound, tried } => vec![Page {
            density: "",
            body: html! {
                header {
                    (heading(view))
                    p class="verdict missed" { (view.status.words()) }
                    p { (tried) " kits were tried; " (sentence(NOTHING_FOUND)) }
                    @if let Some(bound) = bound { p { (bound) } }
                }
            },
        }],
    };
    let status = match view.status {
        Status::BestPossible => "best possible: price, then mass, then pieces proved".to_owned(),
        status => status.words().to_owned(),
    };
    super::file(&title, &pages, imprint, &status)
}

fn heading(view: &PackView) -> Markup {
    html! { h1 { "Trip with " (name(&view.kart)) ": " (view.trip) } }
}

fn verdict(view: &PackView, lines: &KitLines) -> Markup {
    let targets = lines.cases.iter().flat_map(|case| &case.targets);
    html! { p class={ "verdict " (parts::tone(targets)) } { (view.verdict(lines)) } }
}

/// What to buy, to take and to leave, with what it is bolted on with; and what every piece is for.
fn check_list(view: &PackView, lines: &KitLines) -> Page {
    let hardware = lines.hardware.as_ref();
    let borrowed = view.borrowed.iter().map(|line| &line.words);
    let bolts = hardware.map_or(0, |list| list.bolts.len() + list.mounts.len() + list.remarks.len() + 5);
    let left = 2 * (lines.buy.len() + lines.take.len()) + lines.leave.len() + bolts;
    let lost = lines.smaller.as_ref().map_or(0, |smaller| 2 * smaller.lost.len() + 2);
    let right =
        2 * lines.forced.len() + lost + lines.beyond.len() + groups(&lines.beyond, |line| &line.case).count();
    let body = html! {
        header {
            (heading(view))
            (verdict(view, lines))
            p { (view.to_carry(lines)) }
        }
        div class="beside" {
            div class="tables" {
                (pieces("Buy", &lines.buy))
                (pieces("Take along", &lines.take))
                @if let Some(list) = hardware { (to_bolt(list)) }
                (pieces("Leave at home", &lines.leave))
                @if let Some(list) = hardware { (bolts_by_mount(&list.mounts)) }
                (parts::sentences("How sure this is", lines.proof.iter().chain(borrowed).map(String::as_str)))
                (parts::sentences("Not as it should be", hardware.iter().flat_map(|list| &list.remarks).map(String::as_str)))
            }
            div class="tables" {
                (forced(lines))
                (smaller(lines))
                (beyond(view, &lines.beyond))
            }
        }
        (parts::cautions(LEAD_CAUTIONS))
    };
    Page { density: parts::density(left.max(right).saturating_sub(LISTS)), body }
}

fn pieces(title: &str, lines: &[PieceLine]) -> Markup {
    html! {
        @if !lines.is_empty() {
            section class="to-pack" {
                h2 { (title) }
                ul class="ticks" {
                    @for line in lines {
                        li {
                            (jobs::ticked(&html! {
                                b { (line.count) " \u{d7} " (line.each) } " " (name(&line.piece))
                                @if let Some((price, _)) = &line.price { ", " (price) }
                                @match line.spares {
                                    0 => {}
                                    1 => ", 1 of them spare",
                                    several => { ", " (several) " of them spare" }
                                }
                            }))
                        }
                    }
                }
            }
        }
    }
}

fn to_bolt(list: &HardwareLines) -> Markup {
    html! {
        section class="to-pack" {
            h2 {
                "Bolts, washers, nuts: diameter " (list.diameter)
                @if list.spares > 0 { ", " (list.spares) " spare of each" }
            }
            ul class="ticks" {
                @for (length, count) in &list.bolts {
                    li { (jobs::ticked(&html! { b { (count) " \u{d7} " (length) } " bolts" })) }
                }
                li { (jobs::ticked(&html! { b { (list.washers) } " washers" })) }
                li { (jobs::ticked(&html! { b { (list.nuts) } " lock nuts" })) }
            }
        }
    }
}

fn bolts_by_mount(mounts: &[MountBolts]) -> Markup {
    html! {
        @if !mounts.is_empty() {
            div {
                table class="bolts" {
                    caption { "Bolts by mount" }
                    thead {
                        tr {
                            th scope="col" { "Mount" }
                            th scope="col" class="number" { "bolts" }
                            th scope="col" class="number" { "length" }
                            th scope="col" class="number" { "lead" }
                            th scope="col" class="number" { "cases" }
                        }
                    }
                    tbody {
                        @for mount in mounts {
                            tr {
                                th scope="row" { (name(&mount.mount)) }
                                td class="number" { (mount.bolts) }
                                td class="number" {
                                    @match &mount.length { Some(length) => (length), None => "too long" }
                                }
                                td class="number" { (mount.stack) }
                                td class="number" { (mount.cases) }
                            }
                        }
                    }
                }
                p class="note" {
                    "For one case at a time; by your own rules, not by a rulebook: look there too."
                }
            }
        }
    }
}

fn forced(lines: &KitLines) -> Markup {
    html! {
        @if !lines.forced.is_empty() {
            section {
                h2 { "What each piece is needed for" }
                ul class="plain" {
                    @for line in &lines.forced {
                        li {
                            b { (name(&line.piece)) }
                            @if line.count > 1 { " (the last of " (line.count) ")" }
                            ": " (plain(&line.sentence))
                        }
                    }
                }
            }
        }
    }
}

fn smaller(lines: &KitLines) -> Markup {
    html! {
        @if let Some(smaller) = &lines.smaller {
            section {
                h2 { (parts::typeset(&smaller.heading())) }
                ul class="plain" {
                    @for (case, how) in &smaller.lost { li { (name(&case.short)) ": " (sentence(how)) } }
                    @if smaller.lost.is_empty() { li { "nothing" } }
                }
            }
        }
    }
}

/// Lines side by side that share a heading.
fn groups<T>(lines: &[T], name: impl Fn(&T) -> &CaseName) -> impl Iterator<Item = &[T]> {
    let alike = move |one: &T, other: &T| !name(one).group.is_empty() && name(one).group == name(other).group;
    lines.chunk_by(alike)
}

fn beyond(view: &PackView, lines: &[BeyondLine]) -> Markup {
    html! {
        @if !lines.is_empty() {
            div {
                table class="beyond" {
                    caption { "Beyond the cases: still in band?" }
                    thead {
                        tr {
                            th scope="col" { "Case" }
                            @for probe in probes(view.screen) { th scope="col" { (probe.replace('-', "\u{2212}")) } }
                        }
                    }
                    @for group in groups(lines, |line| &line.case) {
                        tbody {
                            @if let Some(first) = group.first().filter(|first| !first.case.group.is_empty()) {
                                tr { th scope="rowgroup" colspan="5" { b { (name(&first.case.group)) } } }
                            }
                            @for line in group {
                                tr {
                                    th scope="row" { (name(&line.case.within)) }
                                    @for probed in line.probed { td { (probed_word(probed)) } }
                                }
                            }
                        }
                    }
                }
                p class="note" { (probed_legend(lines)) "." }
            }
        }
    }
}

/// How every case comes out, and what goes where in it.
fn cases(view: &PackView, lines: &KitLines) -> Page {
    let rows = |case: &CaseLines| 2 + case.targets.len() + case.placements.len() / 2 + 2 * case.misses.len();
    let all: usize =
        lines.cases.iter().map(rows).sum::<usize>() + 2 * groups(&lines.cases, |case| &case.case).count();
    let targets = || lines.cases.first().into_iter().flat_map(|case| &case.targets);
    let body = html! {
        header {
            (heading(view))
            (verdict(view, lines))
            p { "Each plan with only the pieces of the kit; totals as the officials weigh, in " (view.screen.mass_unit()) "." }
        }
        section class="lists" {
            @for group in groups(&lines.cases, |case| &case.case) { (group_of(group)) }
        }
        (parts::definitions(targets().map(|target| target.wanted.figure)))
    };
    Page { density: parts::density(all.div_ceil(2).saturating_sub(CASES)), body }
}

fn group_of(group: &[CaseLines]) -> Markup {
    let shared = group.first().map_or("", |first| first.case.group.as_str());
    html! {
        section {
            table class="cases" {
                @if !shared.is_empty() { caption { (name(shared)) } }
                thead {
                    tr {
                        th scope="col" { "Figure" }
                        th scope="col" class="number" { "start" }
                        th scope="col" class="number" { "finish" }
                        th scope="col" class="number" { "\u{b1}" }
                    }
                }
                @for case in group { (case_of(case)) }
            }
        }
    }
}

fn case_of(case: &CaseLines) -> Markup {
    let (call, words) = case.verdict();
    let (class, mark) = parts::called(call);
    html! {
        tbody {
            tr class="case" {
                th scope="rowgroup" colspan="2" { b { (name(&case.case.within)) } ": " (parts::sure(&case.total.number, &case.passing.total_sure.number)) }
                td colspan="2" class={ "number " (class) } { span aria-hidden="true" { (mark) } " " (words) }
            }
            @for target in &case.targets {
                tr {
                    th scope="row" { (target.wanted.figure.name()) " " span class="quiet" { (parts::wanted(&target.wanted)) } }
                    @for (_, _, after) in &target.states { td class="number" { (after.number) } }
                    td class="number quiet" { @if let Some(after) = target.unsure_after() { (after.plus_minus) } }
                }
            }
            tr {
                td colspan="4" {
                    @for setting in &case.settings { (jobs::setting(setting)) "; " }
                    (where_it_goes(&case.placements))
                }
            }
            @for miss in &case.misses { tr { td colspan="4" class="missed" { (sentence(miss)) } } }
        }
    }
}

/// Mount by mount: `seat_left slab + 2 × puck`.
fn where_it_goes(placements: &[Placement]) -> Markup {
    html! {
        @if placements.is_empty() { span class="quiet" { "no lead" } }
        @for (index, on_mount) in placements.chunk_by(|one, other| one.mount == other.mount).enumerate() {
            @if index > 0 { "; " }
            @for (index, piece) in on_mount.iter().enumerate() {
                @if index == 0 { b { (name(&piece.mount)) } " " } @else { " + " }
                @if piece.count > 1 { (piece.count) " \u{d7} " }
                (name(&piece.piece))
            }
        }
    }
}

fn never_legal(view: &PackView, cases: &[ShortCase]) -> Page {
    let worst = cases.iter().max_by(|one, other| one.shortfall.short.kg.total_cmp(&other.shortfall.short.kg));
    let count = cases.len();
    let body = html! {
        header {
            (heading(view))
            p class="verdict missed" {
                (view.status.words()) " for " (count) @if count == 1 { " case" } @else { " cases" }
                ", even with everything along"
            }
        }
        section {
            ul class="plain" {
                @for short in cases { li { (name(&short.case.short)) ": " (parts::typeset(&short.shortfall.too_light())) " too light" } }
            }
        }
        @if let Some(worst) = worst {
            section {
                h2 { "The worst of them: " (name(&worst.case.short)) }
                (parts::there_is(&worst.shortfall))
            }
            (parts::sentences("What limits it", worst.shortfall.limits.iter().map(String::as_str)))
        }
        (parts::cautions(LEAD_CAUTIONS))
    };
    Page { density: "", body }
}
