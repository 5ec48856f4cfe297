//! The sheet of `weigh`: what the pads said, how it stands to the targets, what lead and what spacers can cure.
//! Takes the view, and the ground if the lengths are known; gives the file.
//! Does not know the scenario.

use maud::{Markup, html};

use super::super::amount::Weight;
use super::super::ground::GroundView;
use super::super::headline::{FRAME_CAUTION, LEAD_CAUTIONS, READY_TO_RACE};
use super::super::imprint::Imprint;
use super::super::markup::{plain, sentence};
use super::super::sure::SurePercent;
use super::super::target::{Standing, Wanted};
use super::super::weigh::{About, Picture, Share, WeighStatus, WeighView};
use super::Page;
use super::parts::{self, OnMount};
use crate::scenario::Figure;

/// What a sheet is called whose readings came without a file.
const FOUR_READINGS: &str = "Four readings";

/// The sheet of a weighing.
pub fn weigh(view: &WeighView, ground: Option<&GroundView>, imprint: &Imprint) -> String {
    let title = view
        .about
        .as_ref()
        .map_or_else(|| FOUR_READINGS.to_owned(), |about| format!("As weighed: {}", about.title()));
    let below = html! {
        @if let (Some(about), Some(ground)) = (&view.about, ground) { (aboard(about, ground)) }
    };
    let beside = html! {
        (corners(view))
        (parts::written_by_hand())
        (figures(view))
    };
    let body = html! {
            header {
                h1 {
                    @match &view.about {
                        Some(about) => { "As weighed: " (parts::title(&about.title())) }
                        None => (FOUR_READINGS),
                    }
                }
                @if let Some(about) = &view.about {
                    p class={ "verdict " (if view.status == WeighStatus::OnTarget { "met" } else { "missed" }) } {
                        (view.status.words())
                    }
                    p { (plain(&about.aboard())) }
                    p { (parts::typeset(&plain(&view.official(about)))) }
                }
            }
            (parts::beside_picture(ground, "weighed", &below, &beside))
            @if !view.targets.is_empty() { (cures(view)) }
            @match &view.warp {
                Some(lines) => {
                    (parts::sentences(
                        "What is warp: no lead and no seat cures it",
                        lines.sentences.iter().chain([&lines.how_sure()]).map(String::as_str),
                    ))
                }
                None => (parts::sentences("What is warp", [
                    "centre of gravity, warp and the drawing need three lengths: add --wheelbase, --track-front \
                     and --track-rear",
                ])),
            }
            (parts::sentences("Common practice, no published source", view.practice.iter().map(String::as_str)))
            (parts::cautions(cautions(view)))
    };
    super::file(&title, &[Page { density: "", body }], imprint, view.status.words())
}

fn cautions(view: &WeighView) -> Vec<&'static str> {
    let spacers = view.warp.as_ref().map(|_| FRAME_CAUTION);
    [READY_TO_RACE].into_iter().chain(LEAD_CAUTIONS).chain(spacers).collect()
}

/// Corners, pairs of corners and their shares, and a blank for the next weighing.
fn corners(view: &WeighView) -> Markup {
    let Picture { corners, total, front, rear, left, right, .. } = &view.picture;
    let sure = &view.sure;
    let words = ["LF", "RF", "LR", "RR"];
    let pairs: [(&str, &Share, &Weight, &SurePercent); 4] = [
        ("front", front, &sure.front, &sure.front_percent),
        ("rear", rear, &sure.rear, &sure.front_percent),
        ("left", left, &sure.left, &sure.left_percent),
        ("right", right, &sure.right, &sure.left_percent),
    ];
    html! {
        table class="corners" {
            caption { "Corners, " (view.screen.mass_unit()) }
            thead {
                tr {
                    th scope="col" { "Wheels" }
                    th scope="col" class="number" { "load" }
                    th scope="col" class="number" { "share, %" }
                    th scope="col" { "weighed again" }
                }
            }
            tbody {
                @for (word, (corner, unsure)) in words.iter().zip(corners.iter().zip(&sure.corners)) {
                    tr {
                        th scope="row" { (word) }
                        td class="number" { (parts::sure(&corner.number, &unsure.number)) }
                        td {}
                        td class="blank" {}
                    }
                }
                @for (word, share, load_sure, share_sure) in pairs {
                    tr {
                        th scope="row" { (word) }
                        td class="number" { (parts::sure(&share.load.number, &load_sure.number)) }
                        td class="number" { (parts::sure(&share.number, &share_sure.number)) }
                        td class="blank" {}
                    }
                }
                tr class="total" {
                    th scope="row" { "total" }
                    td class="number" { (parts::sure(&total.number, &sure.total.number)) }
                    td {}
                    td class="blank" {}
                }
            }
        }
    }
}

/// The lead that was on it, as in the picture.
fn aboard(about: &About, ground: &GroundView) -> Markup {
    let rows = ground.spots.iter().filter(|spot| !spot.pieces.is_empty()).map(|spot| {
        let here = about.lead.iter().filter(|(_, _, mount)| *mount == spot.name);
        OnMount {
            spot,
            pieces: here.map(|(count, piece, _)| (*count, piece.as_str(), None)).collect(),
            limit: None,
        }
    });
    let rows: Vec<OnMount> = rows.collect();
    html! {
        @if rows.is_empty() { p { "No lead was aboard." } }
        @else { (parts::mounts(&rows, ground.screen.mass_unit())) }
    }
}

/// The ± of a figure, with or without a target.
fn unsure<'v>(view: &'v WeighView, figure: Figure, target: Option<&'v (Wanted, Standing)>) -> &'v str {
    target.map_or_else(|| view.sure.of(figure), |(_, standing)| standing.plus_minus.as_str())
}

/// A figure, its number, and what is wanted of it.
type Shown<'v> = (Figure, &'v str, Option<&'v (Wanted, Standing)>);

/// Every figure, with its target where it has one.
fn figures(view: &WeighView) -> Markup {
    let picture = &view.picture;
    let shown = Figure::ALL.into_iter().filter_map(|figure| -> Option<Shown> {
        let target = view.targets.iter().find(|(wanted, _)| wanted.figure == figure);
        let number = match figure {
            Figure::Front => &picture.front.number,
            Figure::Rear => &picture.rear.number,
            Figure::Left => &picture.left.number,
            Figure::Cross => &picture.cross.number,
            Figure::FrontPair => &picture.front_pair.number,
            Figure::RearPair => &picture.rear_pair.number,
            Figure::Height => &target?.1.number,
        };
        Some((figure, number.as_str(), target))
    });
    let shown: Vec<Shown> = shown.collect();
    html! {
        div {
            table class="targets" {
                caption { "Figures; pairs in " (view.screen.mass_unit()) }
                thead {
                    tr {
                        th scope="col" { "Figure" }
                        th scope="col" class="number" { "as weighed" }
                        th scope="col" { "stands" }
                    }
                }
                tbody {
                    @for (figure, number, target) in &shown {
                        tr {
                            th scope="row" {
                                (figure.name())
                                @if let Some((wanted, _)) = target {
                                    span class="under" { "wanted " (parts::wanted(wanted)) }
                                }
                            }
                            td class="number" { (number) " \u{b1} " (unsure(view, *figure, *target)) }
                            @match target {
                                Some((_, standing)) => { td { (parts::verdict(standing)) } }
                                None => { td class="quiet" { "no target" } }
                            }
                        }
                    }
                }
            }
            (parts::definitions(shown.iter().map(|(figure, _, _)| *figure)))
            @if let Some(lines) = &view.warp { p class="note" { (sentence(&lines.centre_of_gravity(&view.sure))) "." } }
        }
    }
}

fn cures(view: &WeighView) -> Markup {
    let nothing = "nothing: no target for front, rear or left is missed";
    let cures = view.cures.iter().map(|cure| cure.sentence.as_str());
    let none = view.cures.is_empty().then_some(nothing);
    parts::sentences("What lead or the seat can cure", cures.chain(none))
}
