//! The sheet of `reach`: the region as a picture, and its numbers as tables.
//! Takes the view; gives the file.
//! Does not know the scenario.

use maud::{Markup, html};

use super::super::amount::fixed;
use super::super::headline::LEAD_CAUTIONS;
use super::super::imprint::Imprint;
use super::super::markup::{name, plain, sentence};
use super::super::reach::{Place, ReachView, RegionLines, Wish};
use super::super::reach_drawing;
use super::super::sure::SurePlace;
use super::{Page, parts};

/// So many lines stand beside and below the picture at the usual size.
const BESIDE_PICTURE: usize = 20;
/// Tables that stand beside each other on paper.
const COLUMNS: usize = 3;
/// Rows that a table has at least where one is cut into several.
const WORTH_A_TABLE: usize = 6;

/// The sheet of what is within reach.
pub fn reach(view: &ReachView, imprint: &Imprint) -> String {
    let title = format!("{}, {}: within reach", view.kart, view.class);
    let rows = |region: &RegionLines| (region.corners.len() + 2).div_ceil(parts_of(view, region)) + 1;
    let table = view.regions.iter().map(rows).max().unwrap_or(0) * view.regions.len().div_ceil(COLUMNS);
    let words = 5 * view.regions.len() + 2 * view.without.len();
    let density = parts::density((table + words).saturating_sub(BESIDE_PICTURE));
    let page = Page { density, body: body(view) };
    let status = if view.without.is_empty() { "regions found" } else { "some drivers have none" };
    super::file(&title, &[page], imprint, status)
}

fn body(view: &ReachView) -> Markup {
    html! {
        header {
            h1 { (name(&view.kart)) ", " (name(&view.class)) ": front % and left % within reach" }
            p { "Read at the " (view.moment.word()) ", with all adjusters as they are set now." }
        }
        div class="beside" {
            div class="tables" { figure { (reach_drawing::inline(view, "reach")) } }
            div class="tables" {
                (wanted(view))
                @for region in &view.regions { (in_words(region)) }
                @for (driver, why) in &view.without {
                    section { h2 { (who(driver.as_deref())) } p class="missed" { (sentence(why)) } }
                }
            }
        }
        section class="columns" {
            @for region in &view.regions { (places(region, parts_of(view, region))) }
        }
        (parts::cautions(LEAD_CAUTIONS))
    }
}

/// Tables of one region: as many as fill the columns, unless they would be shorter than a table is worth.
fn parts_of(view: &ReachView, region: &RegionLines) -> usize {
    let columns = COLUMNS / view.regions.len().max(1);
    columns.min((region.corners.len() + 2) / WORTH_A_TABLE).max(1)
}

fn who(driver: Option<&str>) -> Markup {
    html! { @if let Some(driver) = driver { (name(driver)) } @else { "Without a driver" } }
}

fn wanted(view: &ReachView) -> Markup {
    let wishes = [("front %", &view.front), ("left %", &view.left)];
    let row = |what: &str, wish: &Option<Wish>| {
        html! {
            tr {
                th scope="row" { (what) }
                td class="number" { @if let Some(wish) = wish { (parts::typeset(&wish.text())) } @else { "no target" } }
            }
        }
    };
    html! {
        table class="wishes" {
            caption { "Wanted" }
            tbody { @for (what, wish) in wishes { (row(what, wish)) } }
        }
    }
}

/// What the picture shows of one driver, in words.
fn in_words(region: &RegionLines) -> Markup {
    let (least, most) = &region.totals;
    html! {
        section {
            h2 { (who(region.driver.as_deref())) }
            p { "Totals from " (least) " to " (most) "." }
            @if let Some(verdict) = &region.verdict { p { b { (plain(verdict)) "." } } }
            p class="note" { (parts::typeset(&region.how_sure())) "; " (region.how_near()) "." }
        }
    }
}

/// The table behind the outline, cut into as many parts as fill three columns.
fn places(region: &RegionLines, parts: usize) -> Markup {
    let sure = &region.sure;
    let now =
        [("now".to_owned(), region.today, &sure.today), ("planned".to_owned(), region.plan, &sure.plan)];
    let corners = (1..).zip(std::iter::zip(&region.corners, &sure.corners));
    let corners = corners.map(|(number, (corner, sure))| (format!("corner {number}"), *corner, sure));
    let rows: Vec<(String, Place, &SurePlace)> = now.into_iter().chain(corners).collect();
    html! {
        @for (part, rows) in rows.chunks(rows.len().div_ceil(parts)).enumerate() {
            table class="places" {
                caption { (who(region.driver.as_deref())) @if part > 0 { ", continued" } }
                thead {
                    tr {
                        th scope="col" { "Place" }
                        th scope="col" class="number" { "front %" }
                        th scope="col" class="number" { "left %" }
                    }
                }
                tbody {
                    @for (what, place, sure) in rows {
                        tr {
                            th scope="row" { (what) }
                            td class="number" { (fixed(place.front, 2)) " \u{b1} " (sure.front.number) }
                            td class="number" { (fixed(place.left, 2)) " \u{b1} " (sure.across.number) }
                        }
                    }
                }
            }
        }
    }
}
