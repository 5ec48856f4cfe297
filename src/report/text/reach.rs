//! The text of `reach`: for each driver a small picture, the corners, the wishes and where the kart stands.
//! Takes the view; gives text.
//! Does not know the scenario.

use super::page::{Cell, Page, Table, Tone};
use crate::report::reach::{Place, ReachView, RegionLines};
use crate::report::sure::SurePlace;

/// Columns and rows of the picture: half a phone.
const PICTURE: (usize, usize) = (37, 13);

/// Lays out what can be reached for a screen of so many columns.
pub fn reach(view: &ReachView, width: usize) -> String {
    let mut page = Page::new(width);
    page.paragraph(
        0,
        Tone::Strong,
        &format!("{}, {}: front % and left % within reach", view.kart, view.class),
    );
    page.paragraph(
        0,
        Tone::Plain,
        &format!("read at the {}, with all adjusters as they are set now", view.moment.word()),
    );
    for (name, wish) in [("front %", &view.front), ("left %", &view.left)] {
        if let Some(wish) = wish {
            page.paragraph(2, Tone::Plain, &format!("wanted {name}: {}", wish.text()));
        }
    }
    for region in &view.regions {
        region_lines(&mut page, view, region);
    }
    for (driver, sentence) in &view.without {
        page.section(driver.as_deref().unwrap_or("without a driver"));
        page.paragraph(2, Tone::Bad, sentence);
    }
    page.into_text()
}

fn region_lines(page: &mut Page, view: &ReachView, region: &RegionLines) {
    page.section(region.driver.as_deref().unwrap_or("Without a driver"));
    let (least, most) = &region.totals;
    page.paragraph(2, Tone::Plain, &format!("totals from {least} to {most}"));
    if let Some(verdict) = &region.verdict {
        page.paragraph(2, Tone::Plain, verdict);
    }
    let sure = &region.sure;
    let heading = ["", "front %", "+-", "left %", "+-"].map(Cell::number).into();
    let rows = vec![heading, row("now", region.today, &sure.today), row("planned", region.plan, &sure.plan)];
    let corners = region.corners.iter().zip(&sure.corners).enumerate();
    let corners = corners.map(|(index, (corner, sure))| row(&format!("corner {}", index + 1), *corner, sure));
    let table = Table::new(2, rows.into_iter().chain(corners).collect());
    if !page.table(&table) {
        for (name, place, sure) in [("now", region.today, &sure.today), ("planned", region.plan, &sure.plan)]
        {
            let text = format!(
                "{name} {:.2} +- {} and {:.2} +- {}",
                place.front, sure.front.number, place.left, sure.across.number
            );
            page.paragraph(2, Tone::Plain, &text);
        }
    }
    page.paragraph(2, Tone::Plain, &region.how_sure());
    page.gap();
    picture(page, view, region);
    page.paragraph(2, Tone::Plain, &region.how_near());
}

fn row(name: &str, place: Place, sure: &SurePlace) -> Vec<Cell> {
    vec![
        Cell::word(name),
        Cell::number(&format!("{:.2}", place.front)),
        Cell::number(&sure.front.number),
        Cell::number(&format!("{:.2}", place.left)),
        Cell::number(&sure.across.number),
    ]
}

/// Front % to the right, left % upwards; later marks cover earlier ones.
fn picture(page: &mut Page, view: &ReachView, region: &RegionLines) {
    let aims = view.front.as_ref().zip(view.left.as_ref());
    let aim = aims.map(|(front, left)| Place { front: front.aim, left: left.aim });
    let shown = || region.corners.iter().copied().chain([region.today, region.plan]).chain(aim);
    let ends = |of: &dyn Fn(Place) -> f64| {
        let least = shown().map(of).min_by(f64::total_cmp).unwrap_or(0.0);
        let most = shown().map(of).max_by(f64::total_cmp).unwrap_or(0.0);
        (least, if most - least > 0.01 { most } else { least + 0.01 })
    };
    let ((west, east), (south, north)) = (ends(&|place| place.front), ends(&|place| place.left));
    let (columns, rows) = PICTURE;
    let mut cells = vec![vec![' '; columns]; rows];
    let mut put = |place: Place, mark: char| {
        let column = ((place.front - west) / (east - west) * (columns - 1) as f64).round() as usize;
        let row = ((north - place.left) / (north - south) * (rows - 1) as f64).round() as usize;
        if let Some(cell) = cells.get_mut(row).and_then(|row| row.get_mut(column)) {
            *cell = mark;
        }
    };
    region.points.iter().for_each(|point| put(*point, '.'));
    region.corners.iter().for_each(|corner| put(*corner, 'o'));
    put(region.today, 'N');
    put(region.plan, 'P');
    if let Some(aim) = aim {
        put(aim, '+');
    }
    for row in cells {
        let line: String = row.into_iter().collect();
        page.verbatim(2, &format!("|{}", line.trim_end()));
    }
    page.verbatim(2, &format!("+{}", "-".repeat(columns)));
    page.paragraph(
        2,
        Tone::Plain,
        &format!(
            "front % {west:.2} to {east:.2} across, left % {south:.2} to {north:.2} upwards; o corner, . pieces, N now, P planned, + aims"
        ),
    );
}
