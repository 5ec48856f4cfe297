//! The sheet of `plan`: what to unbolt, how it comes out, what to write down after it is done.
//! Takes the view and the ground; gives the file.
//! Does not know the scenario.

use maud::{Markup, html};

use super::super::amount::Weight;
use super::super::ground::GroundView;
use super::super::headline::{ALIGNMENT, LEAD_CAUTIONS, MOST_IN_THE_WAY, NOTHING_FOUND};
use super::super::help::HelpLines;
use super::super::imprint::Imprint;
use super::super::markup::{name, sentence};
use super::super::plan::{Doing, JobLine, MountState, Outcome, PlanLines, PlanView, Status};
use super::super::setting::SettingLine;
use super::super::shortfall::ShortfallLines;
use super::parts::{self, OnMount};
use crate::solve::Proof;

/// With more lines than this everything is set smaller on paper, so that the sheet stays one page; with more than that, smaller
/// still.
const MANY_LINES: [usize; 2] = [16, 26];

/// The sheet of a plan, or of why there is none.
pub fn plan(view: &PlanView, ground: &GroundView, imprint: &Imprint) -> String {
    let body = html! {
        article class={ "page" (density(view)) } {
            @match &view.outcome {
                Outcome::Plan(lines) => (legal_plan(view, lines, ground)),
                Outcome::NoLegalPlan(lines) => (no_legal_plan(view, lines, ground)),
                Outcome::OutOfTime => {
                    header {
                        h1 { (parts::title(&view.title())) }
                        p class="verdict missed" { (view.status.words()) }
                        p { (sentence(NOTHING_FOUND)) }
                    }
                    (parts::beside_picture(Some(ground), "now", &mounts_now(ground), &html! {}))
                }
            }
        }
    };
    super::file(&format!("{}: plan", view.title()), &body, imprint, &status(view))
}

/// Lines of the mounts below the picture, and of the targets and what is missed beside it.
fn lines_of_columns(lines: &PlanLines) -> (usize, usize) {
    let empty = lines.mounts.iter().filter(|mount| mount.carries.kg <= 0.0).count();
    let empty = if lines.mounts.len() > parts::MANY_MOUNTS { empty / 2 } else { empty };
    let readings: usize = lines.targets.iter().map(|target| target.states.len()).sum();
    // Sentences take two or three lines of a narrow column.
    let sentences = 2 * lines.misses.len() + 3 * in_the_way(lines).count();
    (lines.placements.len() + empty, readings + sentences)
}

/// The class for how long the job list and the columns below it are.
fn density(view: &PlanView) -> &'static str {
    let Outcome::Plan(lines) = &view.outcome else { return "" };
    // Two jobs stand beside each other, and a line of them is nearly twice as high as any other; settings take two.
    let jobs = lines.jobs.len() + 3 * lines.settings.iter().filter(|line| line.is_job()).count();
    let (left, right) = lines_of_columns(lines);
    let helps = view.help.as_ref().map_or(0, |help| 2 * help.would_help().len());
    let all = jobs + left.max(right).max((left + right + helps) / 2);
    match MANY_LINES {
        [_, most] if all > most => " dense tight",
        [many, _] if all > many => " dense",
        _ => "",
    }
}

/// How it stands, and what of it is proved, for the footer.
fn status(view: &PlanView) -> String {
    let words = view.status.words();
    match &view.outcome {
        Outcome::Plan(lines) => {
            let of = |proof: Proof| {
                let goals = lines.goals.iter().filter(move |goal| goal.proved == proof);
                goals.map(|goal| goal.goal.word()).collect::<Vec<_>>().join(", ")
            };
            match view.status {
                Status::BestPossible => format!("{words}: proved for {}", of(Proof::Proved)),
                _ => {
                    format!("{words}; proved for: {}; stopped at: {}", of(Proof::Proved), of(Proof::Stopped))
                }
            }
        }
        Outcome::NoLegalPlan(_) => format!("{words}: proved"),
        Outcome::OutOfTime => format!("{words}: nothing is proved"),
    }
}

fn legal_plan(view: &PlanView, lines: &PlanLines, ground: &GroundView) -> Markup {
    let good = lines.misses.is_empty();
    let helps = view.help.as_ref().map(HelpLines::would_help).unwrap_or_default();
    let outlook = html! {
        (parts::sentences("What would help, each alone", helps.iter().map(String::as_str)))
        (parts::sentences("How sure this is", view.proofs(lines).iter().map(String::as_str)))
    };
    // Below the picture where the mounts leave more room than what has to be said beside it.
    let (left, right) = lines_of_columns(lines);
    let tables_are_short = left < right;
    let beside = html! {
        (corners(view, lines, ground))
        (targets(view, lines))
        (inspection(view, lines))
        (parts::sentences("Missed", lines.misses.iter().map(String::as_str)))
        (parts::sentences("What stands in the way", in_the_way(lines)))
        @if !tables_are_short { (outlook) }
    };
    let below = html! {
        (mounts(view, lines, ground))
        @if tables_are_short { (outlook) }
    };
    html! {
        header {
            h1 { (parts::title(&view.title())) }
            p class={ "verdict " (if good { "met" } else { "missed" }) } { (view.verdict(lines)) }
            p { (view.totals(lines)) "; " (view.required.sum()) "; chance to pass " (lines.passing.chance) }
        }
        (jobs(lines, ground))
        (parts::beside_picture(Some(ground), "plan", &below, &beside))
        (parts::cautions(lines.cautions()))
    }
}

fn in_the_way(lines: &PlanLines) -> impl Iterator<Item = &str> {
    lines.in_the_way.iter().take(MOST_IN_THE_WAY).map(String::as_str)
}

/// The work, in the order in which it can be done.
fn jobs(lines: &PlanLines, ground: &GroundView) -> Markup {
    let groups = Doing::ALL.map(|doing| lines.jobs.iter().filter(move |job| job.action == doing));
    html! {
        section class="jobs" {
            (settings(&lines.settings))
            @if lines.jobs.is_empty() {
                h2 { "Nothing to change: leave the lead as it is" }
            }
            @for (doing, jobs) in Doing::ALL.into_iter().zip(groups) {
                @let jobs: Vec<&JobLine> = jobs.collect();
                @if !jobs.is_empty() {
                    h2 { (match doing { Doing::TakeOff => "Take off", Doing::Move => "Move", Doing::PutOn => "Put on" }) }
                    ul class="ticks" { @for job in jobs { li { (job_line(job, ground)) } } }
                }
            }
            div class="then" {
                h2 { "Then" }
                @for after in ["every bolt and nut checked", "weighed again, as below"] {
                    label { input type="checkbox"; span { (after) } }
                }
            }
        }
    }
}

/// What is to be set, before any lead is bolted to it.
fn settings(all: &[SettingLine]) -> Markup {
    let to_be_set: Vec<&SettingLine> = all.iter().filter(|line| line.is_job()).collect();
    html! {
        @if !to_be_set.is_empty() {
            h2 { "Set" }
            ul class="ticks" {
                @for line in &to_be_set {
                    li {
                        label {
                            input type="checkbox";
                            span { b { (name(&line.adjuster)) } " " (name(&line.now)) " \u{2192} " (name(&line.planned)) }
                        }
                    }
                }
            }
            @if to_be_set.iter().any(|line| line.moves_washers) { p class="note" { (ALIGNMENT) } }
        }
    }
}

fn job_line(job: &JobLine, ground: &GroundView) -> Markup {
    let mount = |called: &str| {
        let spot = ground.spots.iter().find(|spot| spot.name == called);
        html! { @if let Some(spot) = spot { (parts::lettered(spot)) } @else { (name(called)) } }
    };
    html! {
        label {
            input type="checkbox";
            span {
                b { @if job.count > 1 { (job.count) " \u{d7} " } (job.each) } " " (name(&job.piece)) " "
                span class="way" {
                    @match (&job.from, &job.to) {
                        (Some(from), Some(to)) => { "from " (mount(from)) " \u{2192} " (mount(to)) }
                        (Some(from), None) => { "off " (mount(from)) }
                        (None, Some(to)) => { "\u{2192} " (mount(to)) }
                        (None, None) => {}
                    }
                }
            }
        }
    }
}

/// The table behind the picture: what is on which mount when the work is done.
fn mounts(view: &PlanView, lines: &PlanLines, ground: &GroundView) -> Markup {
    let state = |state: MountState| match state {
        MountState::Open => "",
        MountState::Full => "full",
        MountState::Locked => "locked",
    };
    let rows = ground.spots.iter().zip(&lines.mounts).map(|(spot, mount)| {
        let here = lines.placements.iter().filter(|placement| placement.mount == spot.name);
        OnMount {
            spot,
            pieces: here.map(|place| (place.count, place.piece.as_str(), Some(&place.each))).collect(),
            limit: Some((&mount.capacity, state(mount.state))),
        }
    });
    parts::mounts(&rows.collect::<Vec<_>>(), view.screen.mass_unit())
}

/// The mounts where nothing is planned.
fn mounts_now(ground: &GroundView) -> Markup {
    let rows = ground.spots.iter().map(|spot| OnMount { spot, pieces: Vec::new(), limit: None });
    let rows: Vec<OnMount> = rows.filter(|row| !row.spot.pieces.is_empty()).collect();
    html! {
        @if rows.is_empty() { p { "No lead is fitted now." } }
        @else { (bare_mounts(&rows, ground.screen.mass_unit())) }
    }
}

fn bare_mounts(rows: &[OnMount], unit: &str) -> Markup {
    html! {
        table {
            caption { "Lead fitted now, " (unit) }
            thead { tr { th scope="col" { "Mount" } th scope="col" class="number" { "Lead" } } }
            tbody {
                @for row in rows {
                    tr {
                        th scope="row" { (parts::lettered(row.spot)) }
                        td class="number" { (row.spot.lead.number) }
                    }
                }
            }
        }
    }
}

/// Corners now, planned, and a blank for what the pads say when the work is done.
fn corners(view: &PlanView, lines: &PlanLines, ground: &GroundView) -> Markup {
    let states = match lines.corners.as_slice() {
        [start, finish] if start.corners == finish.corners => &lines.corners[..1],
        all => all,
    };
    let alike = states.len() < lines.corners.len();
    let now =
        |corner: usize| ground.wheels[corner].before.as_ref().map_or("", |weight| weight.number.as_str());
    html! {
        table class="corners" {
            caption { "Corners, " (view.screen.mass_unit()) }
            thead {
                tr {
                    th scope="col" { "Wheel" }
                    th scope="col" class="number" { "now, " br; (view.required.weighed_at.word()) }
                    @for state in states {
                        th scope="col" class="number" {
                            "planned" @if !alike { ", " br; (state.moment.word()) }
                        }
                    }
                    th scope="col" { "weighed" }
                }
            }
            tbody {
                @for (index, corner) in ground.wheels.iter().map(|wheel| wheel.corner.word()).enumerate() {
                    tr {
                        th scope="row" { (corner) }
                        td class="number" { (now(index)) }
                        @for state in states { td class="number" { (state.corners[index].number) } }
                        td class="blank" {}
                    }
                }
                tr class="total" {
                    th scope="row" { "total" }
                    td class="number" { (two_decimals(&lines.total_before, view)) }
                    @for state in states { td class="number" { (state.total.number) } }
                    td class="blank" {}
                }
            }
        }
        (parts::written_by_hand())
    }
}

/// The total in the manner of the column above it.
fn two_decimals(weight: &Weight, view: &PlanView) -> String {
    view.screen.column(weight.kg).number
}

fn targets(view: &PlanView, lines: &PlanLines) -> Markup {
    let targeted = lines.targets.iter().map(|target| target.wanted.figure);
    let when = view.required.weighed_at.word();
    html! {
        div {
            table class="targets" {
                caption { "Balance" }
                thead {
                    tr {
                        th scope="col" { "Figure" }
                        th scope="col" { "fuel of" }
                        th scope="col" class="number" { "now" }
                        th scope="col" class="number" { "planned" }
                        th scope="col" { "stands" }
                    }
                }
                tbody {
                    @for target in &lines.targets {
                        @for (index, (moment, before, after)) in target.states.iter().enumerate() {
                            tr {
                                @if index == 0 {
                                    th scope="rowgroup" rowspan=(target.states.len()) {
                                        (target.wanted.figure.name())
                                        span class="under" { "wanted " (parts::wanted(&target.wanted)) }
                                    }
                                }
                                td { (moment.word()) }
                                td class="number" { (before.number) }
                                td class="number" { (after.number) " \u{b1} " (after.plus_minus) }
                                td { (parts::verdict(after)) }
                            }
                        }
                    }
                    @for (figure, before, after) in &lines.untargeted {
                        tr {
                            th scope="row" { (figure.name()) }
                            td { (when) }
                            td class="number" { (before) }
                            td class="number" { (after) }
                            td class="quiet" { "no target" }
                        }
                    }
                }
            }
            (parts::definitions(targeted.chain(lines.untargeted.iter().map(|(figure, _, _)| *figure))))
        }
    }
}

/// What the officials want, and what is left above it.
fn inspection(view: &PlanView, lines: &PlanLines) -> Markup {
    let required = &view.required;
    let rows = [
        ("minimum", &required.minimum),
        ("margin", &required.margin),
        ("wanted", &required.required),
        ("planned", &lines.total),
        ("above", &lines.above_required),
    ];
    html! {
        section class="inspection" {
            h2 { "At inspection, with the fuel of the " (required.weighed_at.word()) ", " (view.screen.mass_unit()) }
            dl class="facts" {
                @for (what, weight) in rows {
                    div { dt { (what) } dd { (weight.number) } }
                }
                div { dt { "official scale" } dd class="blank" {} }
            }
        }
    }
}

fn no_legal_plan(view: &PlanView, lines: &ShortfallLines, ground: &GroundView) -> Markup {
    let cures = view.help.as_ref().map(HelpLines::would_cure).unwrap_or_default();
    let there_is = html! {
        table {
            caption { "What there is" }
            tbody {
                @for (what, weight) in &lines.facts {
                    tr { th scope="row" { (what) } td class="number" { (weight) } }
                }
            }
        }
    };
    html! {
        header {
            h1 { (parts::title(&view.title())) }
            p class="verdict missed" { (view.status.words()) ": " (view.shortfall(lines)) }
            p { (view.required.sum()) }
        }
        (parts::sentences("What limits it", lines.limits.iter().map(String::as_str)))
        (parts::sentences("What would cure it, each alone", cures.iter().map(String::as_str)))
        (parts::beside_picture(Some(ground), "now", &mounts_now(ground), &there_is))
        (parts::cautions(LEAD_CAUTIONS))
    }
}
