//! Letters and weights beside the kart, each joined to its mount by a thin line.

use maud::{Markup, html};

use super::ground::{GroundView, Spot};
use super::pen::{Area, Pen, across, down, number};
use crate::marks::column;
use crate::quantity::kg;

/// From one row to the next.
const ROW_PX: f64 = 16.0;
/// Above and below an axle, where the numbers of the wheels stand.
const ABOVE_WHEEL_PX: f64 = 44.0;
const BELOW_WHEEL_PX: f64 = 55.0;
/// From the edge of the picture to where a line begins.
const COLUMN_PX: f64 = 56.0;

/// One mount's words beside the kart.
pub(super) struct Callout {
    /// Index of the spot.
    spot: usize,
    /// Left of the kart, -1, or right of it, 1.
    side: f64,
    /// Where its row is.
    pub(super) down: f64,
    /// Where its line ends.
    mount: (f64, f64),
}

/// A row for every mount: those on one side of the kart beside it there, those in the middle where there is more room.
pub(super) fn place(view: &GroundView, area: &Area) -> Vec<Callout> {
    // Jobs have their numbers on the kart, and their places in words beside it.
    if view.has_jobs() {
        return Vec::new();
    }
    let mut sides: [Vec<usize>; 2] = [Vec::new(), Vec::new()];
    let mut middle = Vec::new();
    for (index, spot) in view.spots.iter().enumerate() {
        match across(spot.place) {
            x if x < 0.0 => sides[0].push(index),
            x if x > 0.0 => sides[1].push(index),
            _ => middle.push(index),
        }
    }
    for index in middle {
        let emptier = usize::from(sides[1].len() < sides[0].len());
        sides[emptier].push(index);
    }
    let mut callouts = Vec::new();
    for (mut spots, side) in sides.into_iter().zip([-1.0, 1.0]) {
        // From front to rear, so that no two lines cross more than they must.
        spots.sort_by(|one, other| down(view.spots[*one].place).total_cmp(&down(view.spots[*other].place)));
        let wanted: Vec<f64> = spots.iter().map(|spot| down(view.spots[*spot].place)).collect();
        let rows = nearest_rows(&wanted, &free_rows(view, area, spots.len()));
        callouts.extend(spots.into_iter().zip(rows).map(|(spot, down)| {
            let place = view.spots[spot].place;
            Callout { spot, side, down, mount: (across(place), super::pen::down(place)) }
        }));
    }
    callouts
}

/// Rows from front to rear that no wheel's numbers stand in; at least `needed`, below the kart if they must.
fn free_rows(view: &GroundView, area: &Area, needed: usize) -> Vec<f64> {
    let pen = area.pen;
    let [row, above, below] = [ROW_PX, ABOVE_WHEEL_PX, BELOW_WHEEL_PX].map(|px| pen.px(px));
    let front_axle = -view.chassis.wheelbase.mm();
    // Ahead of the front wheels, between the axles, behind the rear wheels; one row at least at either end.
    let stretches = [
        ((area.front + pen.px(10.0)).min(front_axle - above), front_axle - above),
        (front_axle + below, -above),
        (below, (area.rear - pen.px(6.0)).max(below)),
    ];
    let mut rows: Vec<f64> = Vec::new();
    for (from, to) in stretches {
        let steps = ((to - from) / row).floor();
        if steps >= 0.0 {
            let first = from + (to - from - steps * row) / 2.0;
            rows.extend((0..=steps as usize).map(|step| first + row * step as f64));
        }
    }
    while rows.len() < needed {
        let last = rows.last().copied().unwrap_or(area.rear);
        rows.push(last + row);
    }
    rows
}

/// The choice of rows, in order, whose distances from what is wanted are least in sum.
///
/// `best[i][r]`: the least sum for the first `i` labels on the first `r` rows; a row is used or left out.
fn nearest_rows(wanted: &[f64], rows: &[f64]) -> Vec<f64> {
    let (labels, count) = (wanted.len(), rows.len());
    let mut best = vec![vec![0.0; count + 1]; labels + 1];
    for label in 1..=labels {
        best[label][..label].fill(f64::INFINITY);
        for row in label..=count {
            let used = best[label - 1][row - 1] + (rows[row - 1] - wanted[label - 1]).abs();
            best[label][row] = if row > label { used.min(best[label][row - 1]) } else { used };
        }
    }
    let mut chosen = vec![0.0; labels];
    let mut row = count;
    for label in (1..=labels).rev() {
        while row > label && best[label][row - 1] <= best[label][row] {
            row -= 1;
        }
        chosen[label - 1] = rows[row - 1];
        row -= 1;
    }
    chosen
}

/// The lines.
pub(super) fn leaders(callouts: &[Callout], area: &Area) -> Markup {
    let pen = area.pen;
    html! {
        g class="leaders" fill="none" stroke-width=(pen.size(0.75)) {
            @for callout in callouts {
                path d={ "M " (number(callout.mount.0)) " " (number(callout.mount.1)) " L "
                    (number(callout.elbow(area.half_width, pen))) " " (number(callout.down)) } {}
            }
        }
    }
}

impl Callout {
    fn elbow(&self, half_width: f64, pen: Pen) -> f64 {
        self.side * (half_width - pen.px(COLUMN_PX + 3.0))
    }
}

/// The letters with what is on the mounts.
pub(super) fn words(callouts: &[Callout], view: &GroundView, area: &Area) -> Markup {
    let pen = area.pen;
    html! {
        g class="letters" {
            @for callout in callouts {
                @let spot = &view.spots[callout.spot];
                text x=(number(callout.side * (area.half_width - pen.px(COLUMN_PX))))
                    y=(number(callout.down + pen.px(4.5)))
                    text-anchor=(if callout.side < 0.0 { "end" } else { "start" }) {
                    (label(view, spot, callout.side))
                }
            }
        }
    }
}

/// The letter is nearest to the kart on either side.
fn label(view: &GroundView, spot: &Spot, side: f64) -> Markup {
    let carries = spot.lead > 0.0 || spot.leaves > 0.0;
    let lead = view.shown(column(kg(spot.lead)));
    html! {
        @if carries && side < 0.0 { (lead) " " }
        tspan class=(if carries { "strong" } else { "quiet" }) { (spot.letter) }
        @if carries && side > 0.0 { " " (lead) }
    }
}

#[cfg(test)]
mod tests {
    use super::nearest_rows;

    #[test]
    fn labels_take_the_rows_nearest_to_them_in_their_order() {
        assert_eq!(
            nearest_rows(&[10.0, 11.0, 50.0], &[0.0, 10.0, 20.0, 30.0, 40.0, 50.0]),
            [10.0, 20.0, 50.0]
        );
        assert_eq!(nearest_rows(&[50.0, 50.0], &[0.0, 10.0, 20.0]), [10.0, 20.0]);
        assert_eq!(nearest_rows(&[], &[0.0]), [0.0; 0]);
    }
}
