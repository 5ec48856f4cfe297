//! Lead to scale on its mounts: what stays, what comes, what leaves, and what goes from mount to mount.
//! Areas compare as the masses do.

use maud::{Markup, html};

use super::ground::{GroundView, Origin, Spot};
use super::pen::{Pen, across, down, number};
use crate::units::Length;

/// Lead, kg/mm³: 11.34 g/cm³, the usual handbook value (from memory).
const DENSITY_KG_PER_MM3: f64 = 11.34e-6;
/// All lead is drawn as if it lay so thick, whatever its own thickness: so areas compare as masses do, mm.
pub(super) const DRAWN_THICKNESS: Length = Length::from_mm(25.0);

/// Side of a square block of that thickness, mm.
pub(super) fn side_mm(kg: f64) -> f64 {
    (kg / (DENSITY_KG_PER_MM3 * DRAWN_THICKNESS.mm())).sqrt()
}

/// Every mount with its lead; ways from mount to mount on top.
pub(super) fn lead(view: &GroundView, pen: Pen, id: &str) -> Markup {
    html! {
        g class="mounts" {
            @for spot in &view.spots {
                (one_mount(spot, pen, id))
            }
        }
        g class="moves" fill="none" stroke-width=(pen.size(1.5)) {
            @for (from, to) in &view.moves {
                @let (from, to) = (&view.spots[*from], &view.spots[*to]);
                path class="move" data-from=(from.letter) data-to=(to.letter)
                    stroke-dasharray={ (pen.size(4.0)) " " (pen.size(3.0)) }
                    marker-end={ "url(#" (id) "-arrow)" }
                    d=(way(from, to, pen)) {}
            }
        }
    }
}

fn one_mount(spot: &Spot, pen: Pen, id: &str) -> Markup {
    let (x, y) = (across(spot.place), down(spot.place));
    let all_kg: f64 = spot.pieces.iter().map(|piece| piece.mass.kg()).sum();
    let side = side_mm(all_kg);
    let gone = side_mm(spot.leaves).max(if spot.leaves > 0.0 { pen.px(6.0) } else { 0.0 });
    // A square cut into strips, one to the piece, each as wide as its mass.
    let mut left = x - side / 2.0;
    let strips: Vec<(f64, f64, Origin)> = spot
        .pieces
        .iter()
        .map(|piece| {
            let wide = side * piece.mass.kg() / all_kg;
            left += wide;
            (left - wide, wide, piece.origin)
        })
        .collect();
    html! {
        g class="mount" data-letter=(spot.letter) {
            @if gone > 0.0 {
                rect class="gone" x=(number(x - gone / 2.0)) y=(number(y - gone / 2.0)) width=(number(gone))
                    height=(number(gone)) stroke-dasharray=(pen.size(2.5)) stroke-width=(pen.size(1.25)) {}
            }
            @for (left, wide, origin) in strips {
                rect class=(match origin { Origin::Comes => "comes", Origin::Stays => "stays" })
                    fill=[(origin == Origin::Stays).then(|| format!("url(#{id}-hatch)"))]
                    x=(number(left)) y=(number(y - side / 2.0)) width=(number(wide)) height=(number(side))
                    stroke-width=(pen.size(1.0)) {}
            }
            circle class=(if spot.pieces.is_empty() { "place empty" } else { "place" }) cx=(number(x))
                cy=(number(y)) r=(pen.size(2.25)) stroke-width=(pen.size(1.25)) {}
        }
    }
}

/// A bow, so that ways there and back do not hide each other; it ends short of the mount.
fn way(from: &Spot, to: &Spot, pen: Pen) -> String {
    let (x1, y1, x2, y2) = (across(from.place), down(from.place), across(to.place), down(to.place));
    let (dx, dy) = (x2 - x1, y2 - y1);
    let far = dx.hypot(dy).max(f64::MIN_POSITIVE);
    let short = pen.px(5.0).min(far / 3.0);
    let bow = 0.12;
    let (middle_x, middle_y) = (x1 + dx / 2.0 - bow * dy, y1 + dy / 2.0 + bow * dx);
    let (end_x, end_y) = (x2 - dx / far * short, y2 - dy / far * short);
    let points = [x1, y1, middle_x, middle_y, end_x, end_y].map(number);
    format!("M {} {} Q {} {} {} {}", points[0], points[1], points[2], points[3], points[4], points[5])
}
