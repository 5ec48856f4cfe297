//! The kart as a map: where each mount is, without loads at the wheels.

use maud::{Markup, html};

use super::ground::GroundView;
use super::pen::{Area, Pen, number};
use super::{callouts, defs, kart, lead};
use crate::blocks::Drawn;
use crate::page::markup::plain;

/// What is always on a kart that several drivers share, with the letters of its mounts; `id` tells pictures on one page apart.
pub fn map(view: &GroundView, id: &str) -> Drawn {
    let kart = view.kart.as_deref().unwrap_or("The kart");
    let picture = around(view, id, &format!("{kart} from above: what is always on it"), lead::lead, &[]);
    Drawn { picture, letters: view.letters() }
}

/// From one line of notes to the next.
const NOTE_PX: f64 = 16.0;

/// A kart with something on it, the letters of its mounts beside it, and notes below.
pub(super) fn around(
    view: &GroundView,
    id: &str,
    title: &str,
    on_it: impl Fn(&GroundView, Pen, &str) -> Markup,
    notes: &[&str],
) -> Markup {
    let area = Area::around(view);
    let pen = area.pen;
    let callouts = callouts::place(view, &area);
    let foot = callouts.iter().map(|callout| callout.down + pen.px(12.0)).fold(area.rear, f64::max);
    let bottom = foot + pen.px(NOTE_PX * notes.len() as f64);
    let view_box = [-area.half_width, area.front, 2.0 * area.half_width, bottom - area.front].map(number);
    let title_id = format!("{id}-title");
    html! {
        svg xmlns="http://www.w3.org/2000/svg" class="drawing" role="img" viewBox=(view_box.join(" ")) aria-labelledby=(title_id)
            font-family="system-ui, sans-serif" font-size=(pen.size(13.0)) stroke-width=(pen.size(1.0))
            stroke-linecap="round" stroke-linejoin="round" {
            title id=(title_id) { (plain(title)) }
            (defs(id, pen))
            (kart::frame(view, pen))
            (callouts::leaders(&callouts, &area))
            (kart::tyres(view, pen))
            (on_it(view, pen, id))
            (callouts::words(&callouts, view, &area))
            @for (row, note) in (1..).zip(notes) {
                text font-size=(pen.size(12.5)) x=(number(pen.px(4.0) - area.half_width))
                    y=(number(foot + pen.px(NOTE_PX * f64::from(row) - 4.0))) { (note) }
            }
        }
    }
}
