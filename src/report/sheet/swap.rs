//! The sheet of `swap`: one side for the stops, then one for every driver, or one that says why there is no set-up.
//! Takes the view and a ground for every driver; gives the file.
//! Does not know the scenario.

use maud::{Markup, html};

use super::super::changes::Placement;
use super::super::ground::{GroundView, Subject};
use super::super::headline::{ALIGNMENT, LEAD_CAUTIONS, NOTHING_FOUND};
use super::super::imprint::Imprint;
use super::super::markup::{name, sentence};
use super::super::swap::{DriverLines, HandoverLines, MatrixLine, SetupLines, SwapOutcome, SwapView};
use super::{Page, figures, jobs, parts};

/// So many lines stand where the side of a driver has the picture.
const INSTEAD_OF_PICTURE: usize = 22;

/// The sheet of a set-up for several drivers, or of why there is none.
///
/// `grounds` are those of the drivers in the order of the view; without a set-up the first is the kart as it is now.
pub fn swap(view: &SwapView, grounds: &[GroundView], imprint: &Imprint) -> String {
    let (pages, status) = match &view.outcome {
        SwapOutcome::Setup(lines) => (setup(view, lines, grounds), parts::proved(view.status, &lines.goals)),
        _ => (vec![no_setup(view, grounds.first())], parts::proved(view.status, &[])),
    };
    let title = format!("{} on {}, {}: swap", view.order.join(" \u{2192} "), view.kart, view.class);
    super::file(&title, &pages, imprint, &status)
}

fn title(view: &SwapView) -> Markup {
    html! {
        h1 { (arrows(view.order.iter().map(String::as_str))) " on " (name(&view.kart)) ", " (name(&view.class)) }
    }
}

fn arrows<'n>(names: impl Iterator<Item = &'n str>) -> Markup {
    html! {
        @for (index, driver) in names.enumerate() {
            @if index > 0 { " \u{2192} " }
            (name(driver))
        }
    }
}

fn setup(view: &SwapView, lines: &SetupLines, grounds: &[GroundView]) -> Vec<Page> {
    let stops = grounds.first().map(|ground| stops(view, lines, ground));
    let drivers = std::iter::zip(&lines.drivers, grounds).enumerate();
    let drivers = drivers.map(|(index, (driver, ground))| {
        let id = format!("driver-{}", index + 1);
        of_driver(view, lines, driver, ground, &id)
    });
    stops.into_iter().chain(drivers).collect()
}

/// What is done before the first stint and at every stop, and what is on the kart under whom.
fn stops(view: &SwapView, lines: &SetupLines, ground: &GroundView) -> Page {
    let unit = view.screen.mass_unit();
    let matrix = lines.mounts.iter().map(|line| shared(&line.pieces)).collect::<Vec<_>>();
    let rows: usize = matrix.iter().map(Vec::len).sum();
    let listed = || std::iter::once(&lines.preparation).chain(lines.stops.iter().map(|stop| &stop.handover));
    // Lists stand beside each other, tables too.
    let lists: Vec<usize> = listed().map(|list| list.settings.len() + jobs::lines(&list.jobs) + 2).collect();
    let rows = rows + lines.adjusters.iter().map(|line| shared(&line.set).len()).sum::<usize>();
    let help = view.help.as_ref().map_or(0, |help| help.who().len() + help.would_help().len());
    let proofs = view.proofs(lines);
    // Sentences take two or three lines of a narrow column.
    let sentences = 3 * (lines.remarks.len() + view.borrowed.len() + help + proofs.len());
    let tables = (rows + lines.base.len() + 2).max(lines.drivers.len() + 2 + sentences);
    let all = in_two_columns(&lists) + tables;
    let first = view.order.first().map_or("", String::as_str);
    let body = html! {
        header {
            (title(view))
            p class={ "verdict " (parts::tone(lines.drivers.iter().flat_map(|driver| &driver.targets))) } { (view.verdict(lines)) }
            p { (lines.work()) "; " (lines.work_alone()) }
        }
        section class="lists" {
            section {
                h2 { "Before the first stint, for " (name(first)) ": " (lines.preparation.work()) }
                (jobs::in_order(&lines.preparation.settings, &lines.preparation.jobs, ground))
            }
            @for (number, stop) in (1..).zip(&lines.stops) {
                section {
                    h2 {
                        "Stop " (number) ", " (arrows([stop.from.as_str(), stop.to.as_str()].into_iter())) ": "
                        (stop.handover.work())
                    }
                    (jobs::in_order(&stop.handover.settings, &stop.handover.jobs, ground))
                }
            }
        }
        div class="beside" {
            div class="tables" {
                (mounts_by_driver(&lines.mounts, &matrix, lines, ground))
                (adjusters_by_driver(lines))
                (base(&lines.base, ground))
            }
            div class="tables" {
                (officials(lines, unit))
                (parts::sentences("To know", lines.remarks.iter().chain(borrowed(view)).map(String::as_str)))
                (helps(view))
                (parts::sentences("How sure this is", proofs.iter().map(String::as_str)))
            }
        }
        (parts::cautions(LEAD_CAUTIONS))
    };
    Page { density: parts::density(all.saturating_sub(INSTEAD_OF_PICTURE)), body }
}

/// Lines of lists that run through two columns and are not broken: the longer column of the best place to change over.
fn in_two_columns(lists: &[usize]) -> usize {
    let sum = |lists: &[usize]| lists.iter().sum::<usize>();
    let columns = (0..=lists.len()).map(|first| lists.split_at(first));
    columns.map(|(left, right)| sum(left).max(sum(right))).min().unwrap_or(0)
}

/// Drivers by what they have in one line of a matrix: those who have the same stand together, each group with its first.
fn shared(by_driver: &[String]) -> Vec<(usize, Vec<usize>)> {
    let mut groups: Vec<(usize, Vec<usize>)> = Vec::new();
    for (driver, own) in by_driver.iter().enumerate() {
        match groups.iter_mut().find(|(first, _)| by_driver.get(*first) == Some(own)) {
            Some((_, drivers)) => drivers.push(driver),
            None => groups.push((driver, vec![driver])),
        }
    }
    groups
}

/// The names of a group of drivers.
fn whom(lines: &SetupLines, drivers: &[usize]) -> Markup {
    let named = drivers.iter().filter_map(|driver| lines.drivers.get(*driver));
    html! {
        @if drivers.len() == lines.drivers.len() { span class="quiet" { "everybody" } }
        @else {
            @for (index, driver) in named.enumerate() {
                @if index > 0 { ", " }
                (name(&driver.name))
            }
        }
    }
}

fn mounts_by_driver(
    mounts: &[MatrixLine],
    matrix: &[Vec<(usize, Vec<usize>)>],
    lines: &SetupLines,
    ground: &GroundView,
) -> Markup {
    html! {
        table class="matrix" {
            caption { "Lead on the mounts, " (ground.screen.mass_unit()) "; \u{25cf} may change at a stop" }
            thead {
                tr {
                    th scope="col" { "Mount" }
                    th scope="col" { "Driver" }
                    th scope="col" { "Pieces" }
                    th scope="col" class="number" { "Lead" }
                }
            }
            tbody {
                @for ((line, groups), spot) in mounts.iter().zip(matrix).zip(&ground.spots) {
                    @for (index, (first, drivers)) in groups.iter().enumerate() {
                        tr {
                            @if index == 0 {
                                th scope="rowgroup" rowspan=(groups.len()) {
                                    (parts::lettered(spot)) @if line.quick { " \u{25cf}" }
                                }
                            }
                            td { (whom(lines, drivers)) }
                            td { (pieces(line, *first)) }
                            td class="number" { @if let Some(lead) = line.carries.get(*first) { (lead.number) } }
                        }
                    }
                }
            }
        }
    }
}

/// How every adjuster is set for whom; nothing where none may differ.
fn adjusters_by_driver(lines: &SetupLines) -> Markup {
    html! {
        @if !lines.adjusters.is_empty() {
            table class="settings" {
                caption { "Adjusters; \u{25cf} may be set at a stop" }
                thead {
                    tr {
                        th scope="col" { "Adjuster" }
                        th scope="col" { "Driver" }
                        th scope="col" { "Setting" }
                    }
                }
                tbody {
                    @for line in &lines.adjusters {
                        @let groups = shared(&line.set);
                        @for (index, (first, drivers)) in groups.iter().enumerate() {
                            tr {
                                @if index == 0 {
                                    th scope="rowgroup" rowspan=(groups.len()) {
                                        (name(&line.adjuster)) @if line.quick { " \u{25cf}" }
                                    }
                                }
                                td { (whom(lines, drivers)) }
                                td { @if let Some(set) = line.set.get(*first) { (name(set)) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn pieces(line: &MatrixLine, driver: usize) -> Markup {
    html! {
        @match line.pieces.get(driver).map(String::as_str) {
            Some("") | None => span class="quiet" { "empty" },
            Some(pieces) => (name(pieces)),
        }
    }
}

/// What every driver weighs, and what the officials want to see.
fn officials(lines: &SetupLines, unit: &str) -> Markup {
    html! {
        table class="officials" {
            caption { "At inspection, " (unit) }
            thead {
                tr {
                    th scope="col" { "Driver" }
                    th scope="col" class="number" { "wanted" }
                    th scope="col" class="number" { "planned" }
                    th scope="col" class="number" { "chance" br; "to pass" }
                    th scope="col" { "weighed" }
                }
            }
            tbody {
                @for driver in &lines.drivers {
                    tr {
                        th scope="row" { (name(&driver.name)) }
                        td class="number" { (driver.required.required.number) }
                        td class="number" {
                            (parts::sure(&driver.planned.total.number, &driver.planned.total_sure.number))
                        }
                        td class="number" { (driver.passing.chance) }
                        td class="blank" {}
                    }
                }
            }
        }
    }
}

fn base(base: &[Placement], ground: &GroundView) -> Markup {
    let full = || {
        ground.spots.iter().map(|spot| {
            let here = base.iter().filter(|piece| piece.mount == spot.name);
            (spot, here.collect::<Vec<&Placement>>())
        })
    };
    html! {
        @if base.is_empty() {
            p { "Nothing stays bolted for everybody." }
        } @else {
            table class="base" {
                caption { "Stays bolted for everybody" }
                thead { tr { th scope="col" { "Mount" } th scope="col" { "Pieces" } } }
                tbody {
                    @for (spot, here) in full().filter(|(_, here)| !here.is_empty()) {
                        tr {
                            th scope="row" { (parts::lettered(spot)) }
                            td {
                                @for piece in here {
                                    span class="piece" {
                                        @if piece.count > 1 { (piece.count) " \u{d7} " }
                                        (piece.each.number) " " (piece.each.unit) " " (name(&piece.piece))
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Everything that one driver's stint needs.
fn of_driver(
    view: &SwapView,
    lines: &SetupLines,
    driver: &DriverLines,
    ground: &GroundView,
    id: &str,
) -> Page {
    let weighed_at = driver.required.weighed_at;
    let arrivals = arrivals(view, lines, &driver.name);
    let listed: usize =
        arrivals.iter().map(|(_, _, list)| list.settings.len() + jobs::lines(&list.jobs) + 1).sum();
    let readings: usize = driver.targets.iter().map(|target| target.states.len()).sum();
    let left = driver.placements.len();
    let density = parts::density(listed + figures::WRAPPED + left.max(readings + 2 * driver.misses.len()));
    let beside = html! {
        (figures::corners(&driver.planned, &driver.before, weighed_at, ground))
        (figures::targets(&driver.targets, &[], weighed_at, ground.earlier()))
        (figures::inspection(&driver.required, &driver.planned, &driver.above_required, view.screen))
        (parts::sentences("Missed", driver.misses.iter().map(String::as_str)))
    };
    let body = html! {
        header {
            h1 { (name(&driver.name)) " on " (name(&view.kart)) ", " (name(&view.class)) }
            p class={ "verdict " (parts::tone(&driver.targets)) } { (driver.verdict()) }
            p {
                (parts::typeset(&driver.total_at_inspection())) "; " (driver.required.sum())
                "; chance to pass " (driver.passing.chance)
            }
            @if let (Subject::Stop(_), Some((_, from, _))) = (ground.subject, arrivals.first()) {
                p { "Before: what " (arrows(from.iter().copied())) " leaves on the kart." }
            }
        }
        section class="jobs in-order" {
            @for (stops, from, list) in &arrivals {
                h2 {
                    @match from {
                        Some(from) => { (arrows([*from, driver.name.as_str()].into_iter())) ", " (stops) ": " }
                        None => { "Before the first stint, from what is fitted now: " }
                    }
                    (list.work())
                }
                (jobs::in_order(&list.settings, &list.jobs, ground))
                @if list.settings.iter().any(|line| line.moves_washers) { p class="note" { (ALIGNMENT) } }
            }
            (jobs::then(["everything fixed and checked", "weighed again, as below"]))
        }
        (parts::beside_picture(
            Some(ground),
            id,
            &figures::mounts(&driver.placements, ground.spots.iter().map(|_| None), ground),
            &beside,
        ))
        (parts::cautions(LEAD_CAUTIONS))
    };
    Page { density, body }
}

/// `stop 1`, or `stops 1, 4`; who gets out; what is done.
type Arrival<'v> = (String, Option<&'v str>, &'v HandoverLines);

/// Every way in which a driver gets the kart, that of the first stint first; the same stop twice stands once.
fn arrivals<'v>(view: &SwapView, lines: &'v SetupLines, driver: &str) -> Vec<Arrival<'v>> {
    let mut from: Vec<(&str, Vec<String>, &HandoverLines)> = Vec::new();
    for (number, stop) in (1..).zip(&lines.stops).filter(|(_, stop): &(i32, _)| stop.to == driver) {
        match from.iter_mut().find(|(who, _, _)| *who == stop.from) {
            Some((_, stops, _)) => stops.push(number.to_string()),
            None => from.push((&stop.from, vec![number.to_string()], &stop.handover)),
        }
    }
    let starts = view.order.first().is_some_and(|first| first == driver);
    let first = starts.then_some((String::new(), None, &lines.preparation));
    let later = from.into_iter().map(|(who, stops, list)| {
        let word = if stops.len() == 1 { "stop" } else { "stops" };
        (format!("{word} {}", stops.join(", ")), Some(who), list)
    });
    first.into_iter().chain(later).collect()
}

fn borrowed(view: &SwapView) -> impl Iterator<Item = &String> {
    view.borrowed.iter().map(|line| &line.words)
}

/// Who costs the others what, and what would help.
fn helps(view: &SwapView) -> Markup {
    let (who, would_help) =
        view.help.as_ref().map(|help| (help.who(), help.would_help())).unwrap_or_default();
    html! {
        (parts::sentences("What each driver costs the others", who.iter().map(String::as_str)))
        (parts::sentences("What would help, each alone", would_help.iter().map(String::as_str)))
    }
}

/// Why there is no set-up, and the kart as it is now.
fn no_setup(view: &SwapView, ground: Option<&GroundView>) -> Page {
    let words = view.status.words();
    let (why, reasons): (Markup, Vec<&str>) = match &view.outcome {
        SwapOutcome::NotEvenAlone { driver, shortfall } => (
            html! {
                (words) " for " (name(driver)) ", even alone on the kart: " (parts::typeset(&shortfall.headline(&view.required)))
            },
            shortfall.limits.iter().map(String::as_str).collect(),
        ),
        SwapOutcome::NoCommonBase { reasons } => {
            (html! { (words) " for all of them" }, reasons.iter().map(String::as_str).collect())
        }
        SwapOutcome::OutOfTime | SwapOutcome::Setup(_) => (html! { (words) }, vec![NOTHING_FOUND]),
    };
    let facts = html! {
        @if let SwapOutcome::NotEvenAlone { shortfall, .. } = &view.outcome { (parts::there_is(shortfall)) }
    };
    let below = html! { @if let Some(ground) = ground { (figures::mounts_now(ground)) } };
    let body = html! {
        header {
            (title(view))
            p class="verdict missed" { (why) }
            p { (view.required.sum()) }
        }
        section { ul class="plain" { @for reason in reasons { li { (sentence(reason)) } } } }
        (helps(view))
        (parts::sentences("How sure this is", borrowed(view).map(String::as_str)))
        (parts::beside_picture(ground, "now", &below, &facts))
        (parts::cautions(LEAD_CAUTIONS))
    };
    Page { density: "", body }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_list_stays_as_long_beside_a_short_one() {
        assert_eq!(in_two_columns(&[12, 2]), 12);
        assert_eq!(in_two_columns(&[5, 5, 5]), 10);
        assert_eq!(in_two_columns(&[4, 3, 2, 5]), 7);
        assert_eq!(in_two_columns(&[]), 0);
    }
}
