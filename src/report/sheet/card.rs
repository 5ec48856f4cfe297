//! The sheet of `card`: a table to tape to the trailer, the kart that it starts from, and what to do for every cell.
//! Takes the view and the ground of today's plan; gives the file.
//! Does not know the scenario.

use maud::{Markup, html};

use super::super::card::{CardRow, CardView, CellLine, CellPlan, RULES_OF_THUMB, WayLine};
use super::super::ground::GroundView;
use super::super::headline::{ALIGNMENT, FRAME_CAUTION, LEAD_CAUTIONS};
use super::super::imprint::Imprint;
use super::super::markup::plain;
use super::super::setting::SettingLine;
use super::{Page, figures, jobs, parts};

/// So many lines stand on one side at the usual size besides what [`parts::density`] counts with.
const ONE_SIDE: usize = 16;
/// Lines that the picture is high, and what stands below the table beside it.
const PICTURE: usize = 24;
const RULES: usize = 9;

/// The sheet of a tuning card. Cells that change both figures are listed on a page of their own if `all` are.
pub fn card(view: &CardView, all: bool, ground: &GroundView, imprint: &Imprint) -> String {
    let title = format!("Tuning card: {}", view.title());
    let cells = || view.rows.iter().flat_map(|row| &row.cells).filter_map(listed);
    let (one, both): (Vec<Listed>, Vec<Listed>) = cells().partition(|(cell, _)| is_of_one_figure(cell));
    let to_do: usize = view.first.len() + view.first_settings.iter().filter(|line| line.is_job()).count();
    // A row of the table is higher than a line; jobs stand two beside each other.
    let rows = view.rows.len() * 3 / 2 + RULES + view.marks.len();
    let lines = lists(&one) + to_do.div_ceil(2) + rows.max(PICTURE + mounts(view, ground));
    let mut pages = vec![Page {
        density: parts::density(lines.saturating_sub(ONE_SIDE)),
        body: html! {
            header {
                h1 { "Tuning card: " (parts::title(&view.title())) }
                p {
                    (parts::typeset(&view.start()))
                    @if let Some(sentence) = view.how_sure_steps_are() { "; " (parts::typeset(&sentence)) }
                }
            }
            (first(view, ground))
            div class="beside card-and-kart" {
                div class="tables" {
                    (table(view))
                    (parts::sentences("Common practice, no published source", rules()))
                }
                div class="tables" {
                    figure { (super::super::drawing::inline(ground, "card")) }
                    (figures::mounts(&view.placements, ground.spots.iter().map(|_| None), ground))
                }
            }
            (cells_to_do(view, &one, ground, if all { 0 } else { both.len() }))
            (parts::cautions(cautions(view)))
        },
    }];
    if all && !both.is_empty() {
        pages.push(Page {
            density: " dense tight",
            body: html! {
                header { h1 { "Both figures at once: " (parts::title(&view.title())) } }
                (cells_to_do(view, &both, ground, 0))
            },
        });
    }
    super::file(&title, &pages, imprint, view.status.words())
}

/// A cell that something is done for.
type Listed<'v> = (&'v CellLine, &'v CellPlan);

fn listed(cell: &CellLine) -> Option<Listed<'_>> {
    match &cell.way {
        WayLine::Plan(plan) if plan.changes > 0 => Some((cell, plan)),
        WayLine::Plan(_) | WayLine::None { .. } => None,
    }
}

fn is_of_one_figure(cell: &CellLine) -> bool {
    cell.steps.0 == 0.0 || cell.steps.1 == 0.0
}

/// Lines of lists that stand three beside each other; settings take two.
fn lists(cells: &[Listed]) -> usize {
    let lines = cells.iter().map(|(_, plan)| 1 + plan.jobs.len() + 2 * set(&plan.settings).count());
    lines.sum::<usize>().div_ceil(3)
}

/// Rows of the table of mounts.
fn mounts(view: &CardView, ground: &GroundView) -> usize {
    view.placements.len().max(ground.spots.len().min(parts::MANY_MOUNTS))
}

fn set(settings: &[SettingLine]) -> impl Iterator<Item = &SettingLine> {
    settings.iter().filter(|line| line.is_job())
}

/// What has to be bolted on before the first step.
fn first(view: &CardView, ground: &GroundView) -> Markup {
    html! {
        @if !view.first.is_empty() || set(&view.first_settings).next().is_some() {
            section class="jobs compact" {
                h2 { "First carry out today\u{2019}s plan" }
                (jobs::in_order(&view.first_settings, &view.first, ground))
            }
        }
    }
}

/// Steps of front % down, of the other figure across; what a cell takes, or why it is empty.
fn table(view: &CardView) -> Markup {
    let figure = view.figure.name();
    html! {
        table class="card" {
            caption { "Changes: front % down, " (figure) " across" }
            thead {
                tr {
                    th scope="col" { "front %" }
                    @for column in &view.columns { th scope="col" { (signed(column)) } }
                }
            }
            tbody { @for row in &view.rows { (table_row(row)) } }
        }
        ul class="plain marks" {
            @for (mark, words) in &view.marks { li { b { (mark) } " " (plain(words)) } }
            @if let Some(definition) = view.figure.definition() { li { (definition) } }
        }
    }
}

fn table_row(row: &CardRow) -> Markup {
    html! {
        tr {
            th scope="row" { (signed(&row.step)) }
            @for cell in &row.cells {
                @let is_today = cell.steps == (0.0, 0.0);
                td class={ @if is_today { "today" } @else if !matches!(cell.way, WayLine::Plan(_)) { "quiet" } } {
                    @match &cell.way {
                        WayLine::Plan(plan) => (plan.changes),
                        WayLine::None { mark, .. } => (mark),
                    }
                }
            }
        }
    }
}

/// A step with the minus of print.
fn signed(step: &str) -> String {
    step.replace('-', "\u{2212}")
}

fn cells_to_do(view: &CardView, cells: &[Listed], ground: &GroundView, left_out: usize) -> Markup {
    let figure = view.figure.name();
    let sure = view.least_sure();
    html! {
        @if !cells.is_empty() {
            section {
                h2 { "What to do from today\u{2019}s plan" }
                p class="note" {
                    "Behind each step the front %, " (figure) " and total (" (view.screen.mass_unit())
                    ") it leads to, known to \u{b1} " (sure.front.number) ", \u{b1} " (sure.across.number) " and \u{b1} "
                    (sure.total.number) " or better; letters are mounts."
                    @match left_out {
                        0 => {}
                        1 => " One more cell changes both figures: --all lists it.",
                        several => { " " (several) " more cells change both figures: --all lists them." }
                    }
                }
                div class="cells" {
                    @for (cell, plan) in cells {
                        section class="cell" {
                            h3 {
                                "front " (signed(&cell.written.0)) ", " (figure.trim_end_matches(" %")) " "
                                (signed(&cell.written.1)) " "
                                span class="leads-to" {
                                    (plan.front.1) " \u{b7} " (plan.across.1) " \u{b7} " (plan.total.number)
                                }
                            }
                            ul class="plain" {
                                @for line in set(&plan.settings) { li { "Set " (jobs::setting(line)) } }
                                @for job in &plan.jobs { li { (jobs::short(job, ground)) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn rules() -> impl Iterator<Item = &'static str> {
    RULES_OF_THUMB.into_iter().chain(["the chassis maker's word counts more than any of them"])
}

fn cautions(view: &CardView) -> Vec<&'static str> {
    let plans = view.rows.iter().flat_map(|row| &row.cells).filter_map(listed);
    let mut settings = plans.flat_map(|(_, plan)| &plan.settings).chain(&view.first_settings);
    let washers = settings.any(|line| line.moves_washers);
    LEAD_CAUTIONS
        .into_iter()
        .chain(washers.then_some(ALIGNMENT))
        .chain(washers.then_some(FRAME_CAUTION))
        .collect()
}
