//! Tables of numbers that a plan comes with: corners, balance, what the officials want, what is on which mount.
//! Takes lines of views and the ground; gives markup with blanks for what will be weighed.
//! Does not know which command asked.

use maud::{Markup, html};

use super::super::amount::{Screen, Weight};
use super::super::changes::Placement;
use super::super::ground::GroundView;
use super::super::margin::Required;
use super::super::plan::Untargeted;
use super::super::state::{self, CornersLine, KartLines};
use super::super::target::TargetLines;
use super::parts::{self, OnMount};
use crate::scenario::Moment;

/// Lines that a page has more because of the ±: what is said of the total wraps, and the facts of the inspection take a second row
/// of words and numbers under a longer title.
pub(super) const WRAPPED: usize = 4;

/// Corners before, planned, and a blank for what the pads say when the work is done.
pub(super) fn corners(
    planned: &KartLines,
    before: &KartLines,
    weighed_at: Moment,
    ground: &GroundView,
) -> Markup {
    let states = match planned.states.as_slice() {
        [start, finish] if start.corners == finish.corners => std::slice::from_ref(start),
        all => all,
    };
    let alike = states.len() < planned.states.len();
    let before = state::at(&before.states, weighed_at);
    let shown: Vec<&CornersLine> = before.into_iter().chain(states).collect();
    let screen = ground.screen;
    html! {
        table class="corners" {
            caption { "Corners, " (screen.mass_unit()) }
            thead {
                tr {
                    th scope="col" { "Wheel" }
                    th scope="col" class="number" { (ground.earlier()) ", " br; (weighed_at.word()) }
                    @for state in states {
                        th scope="col" class="number" {
                            "planned" @if !alike { ", " br; (state.moment.word()) }
                        }
                    }
                    th scope="col" { "weighed" }
                }
            }
            tbody {
                @for (wheel, index) in ground.wheels.iter().zip(0..) {
                    tr {
                        th scope="row" { (wheel.corner.word()) }
                        @for state in &shown { td class="number" { (corner(state, index)) } }
                        td class="blank" {}
                    }
                }
                tr class="total" {
                    th scope="row" { "total" }
                    @for state in &shown { td class="number" { (sure(&state.total, &state.sure.total)) } }
                    td class="blank" {}
                }
            }
        }
        (parts::written_by_hand())
    }
}

fn corner(state: &CornersLine, index: usize) -> Markup {
    let load = state.corners.get(index).zip(state.sure.corners.get(index));
    html! { @if let Some((load, unsure)) = load { (sure(load, unsure)) } }
}

/// A load with its ±.
fn sure(load: &Weight, unsure: &Weight) -> Markup {
    parts::sure(&load.number, &unsure.number)
}

/// Every target before and planned, with its ± and how it stands; `untargeted` are figures without a target, before and planned.
pub(super) fn targets(
    lines: &[TargetLines],
    untargeted: &[Untargeted],
    weighed_at: Moment,
    earlier: &str,
) -> Markup {
    let targeted = lines.iter().map(|target| target.wanted.figure);
    html! {
        div {
            table class="targets" {
                caption { "Balance" }
                thead {
                    tr {
                        th scope="col" { "Figure, " br; "wanted" }
                        th scope="col" { "fuel of" }
                        th scope="col" class="number" { (earlier) }
                        th scope="col" class="number" { "planned" }
                        th scope="col" { "stands" }
                    }
                }
                tbody {
                    @for target in lines {
                        @for (index, (moment, before, after)) in target.states.iter().enumerate() {
                            tr {
                                @if index == 0 {
                                    th scope="rowgroup" rowspan=(target.states.len()) {
                                        (target.wanted.figure.name())
                                        span class="under" { (parts::wanted(&target.wanted)) }
                                    }
                                }
                                td { (moment.word()) }
                                @for standing in [before, after] {
                                    td class="number" { (parts::sure(&standing.number, &standing.plus_minus)) }
                                }
                                td { (parts::verdict(after)) }
                            }
                        }
                    }
                    @for line in untargeted {
                        tr {
                            th scope="row" { (line.figure.name()) }
                            td { (weighed_at.word()) }
                            @for [number, plus_minus] in [&line.now, &line.planned] {
                                td class="number" { (parts::sure(number, plus_minus)) }
                            }
                            td class="quiet" { "no target" }
                        }
                    }
                }
            }
            (parts::definitions(targeted.chain(untargeted.iter().map(|line| line.figure))))
        }
    }
}

/// What the officials want, and what is left above it.
pub(super) fn inspection(required: &Required, planned: &KartLines, above: &Weight, screen: Screen) -> Markup {
    let rows = [
        ("minimum", &required.minimum, None),
        ("margin", &required.margin, None),
        ("wanted", &required.required, None),
        ("planned", &planned.total, Some(&planned.total_sure)),
        // What is wanted is a rule: all that is unsure is the total.
        ("above", above, Some(&planned.total_sure)),
    ];
    html! {
        section class="inspection" {
            h2 { "At inspection, with the fuel of the " (required.weighed_at.word()) ", " (screen.mass_unit()) }
            dl class="facts" {
                @for (what, weight, unsure) in rows {
                    div {
                        dt { (what) }
                        dd { @if let Some(unsure) = unsure { (sure(weight, unsure)) } @else { (weight.number) } }
                    }
                }
                div { dt { "official scale" } dd class="blank" {} }
            }
        }
    }
}

/// What is on which mount when the work is done; `limit` says what each may carry, in the order of the mounts, as far as it is
/// to be shown.
pub(super) fn mounts<'v>(
    placements: &'v [Placement],
    limits: impl IntoIterator<Item = Option<(&'v Weight, &'static str)>>,
    ground: &'v GroundView,
) -> Markup {
    let rows = ground.spots.iter().zip(limits).map(|(spot, limit)| {
        let here = placements.iter().filter(|placement| placement.mount == spot.name);
        OnMount {
            spot,
            pieces: here.map(|place| (place.count, place.piece.as_str(), Some(&place.each))).collect(),
            limit,
        }
    });
    parts::mounts(&rows.collect::<Vec<_>>(), ground.screen.mass_unit())
}

/// What is fitted now, where nothing is planned.
pub(super) fn mounts_now(ground: &GroundView) -> Markup {
    let full = || ground.spots.iter().filter(|spot| !spot.pieces.is_empty());
    html! {
        @if full().next().is_none() { p { "No lead is fitted now." } }
        @else {
            table {
                caption { "Lead fitted now, " (ground.screen.mass_unit()) }
                thead { tr { th scope="col" { "Mount" } th scope="col" class="number" { "Lead" } } }
                tbody {
                    @for spot in full() {
                        tr {
                            th scope="row" { (parts::lettered(spot)) }
                            td class="number" { (spot.lead.number) }
                        }
                    }
                }
            }
        }
    }
}
