//! The kart from above as a picture: SVG to scale, one user unit to the millimetre.
//! Says by shape and words what its colours only repeat.

mod callouts;
pub mod ground;
mod kart;
mod lead;
mod legend;
mod lens;
pub(crate) mod lettering;
pub mod map;
pub mod moved;
mod numerals;
mod pen;
pub mod reach;

use maud::{Markup, PreEscaped, html};

use crate::blocks::Drawn;
use crate::imprint::generator;
use crate::marks::{column, fine, mass_unit, place};
use crate::page::markup::plain;
use crate::quantity::{kg, mm};
use crate::statics::{Chassis, Point};
use crate::units::{Mass, UnitSystem};
use callouts::Callout;
use ground::{GroundView, Origin, Subject};
use legend::Legend;
use pen::{Area, Pen, number};

/// Colours and lines of the drawing, for the file and for the page around it.
pub const STYLE: &str = include_str!("style.css");

/// The drawing as a file of its own.
pub fn drawing(view: &GroundView) -> String {
    let layout = Layout::new(view, "drawing");
    let style = html! {
        style { (PreEscaped(STYLE)) }
        (paper(layout.view_box))
    };
    as_file(&picture(view, &layout, "drawing", None, Some(&style)))
}

/// Drawings for several drivers as one file: side by side, each under its driver's name, all to one scale.
pub fn drawings(views: &[GroundView]) -> String {
    if let [only] = views {
        return drawing(only);
    }
    let layouts: Vec<Layout> =
        (1..).zip(views).map(|(number, view)| Layout::new(view, &format!("drawing-{number}"))).collect();
    let Some(pen) = layouts.first().map(|layout| layout.area.pen) else { return String::new() };
    let mut left = 0.0;
    let columns = std::iter::zip(views, &layouts).map(|(view, layout)| {
        let column = left;
        left += layout.view_box[2];
        let name = plain(view.driver.as_deref().unwrap_or_default());
        (view, layout, column, lettering::lines(&name, layout.view_box[2] * 0.9, pen.px(NAME_PX)))
    });
    let columns: Vec<_> = columns.collect();
    let rows = columns.iter().map(|(_, _, _, names)| names.len()).max().unwrap_or(0);
    let top = pen.px(NAME_PX * (1.25 * rows as f64 + 0.75));
    let high = layouts.iter().map(|layout| layout.view_box[3]).fold(0.0, f64::max);
    let view_box = [0.0, 0.0, left, top + high];
    let kart = views.first().and_then(|view| view.kart.as_deref()).unwrap_or("The kart");
    as_file(&html! {
        svg xmlns="http://www.w3.org/2000/svg" class="drawing" viewBox=(view_box.map(number).join(" "))
            width=(720 * views.len()) aria-labelledby="drawings-title" font-family="system-ui, sans-serif" {
            title id="drawings-title" { (plain(kart)) " from above, for each driver" }
            style { (PreEscaped(STYLE)) }
            (paper(view_box))
            @for (index, (view, layout, left, names)) in columns.iter().enumerate() {
                @for (row, name) in names.iter().enumerate() {
                    text class="strong driver" text-anchor="middle" font-size=(pen.size(NAME_PX))
                        x=(number(left + layout.view_box[2] / 2.0))
                        y=(number(pen.px(NAME_PX * 1.25 * (row + 1) as f64))) { (name) }
                }
                (picture(view, layout, &format!("drawing-{}", index + 1), Some((*left, top)), None))
            }
        }
    })
}

/// Size of a driver's name above the drawing.
const NAME_PX: f64 = 17.0;

/// A picture as a file that says which program wrote it.
pub(crate) fn as_file(svg: &Markup) -> String {
    let declared = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
    format!("{declared}<!-- {} -->\n{}\n", generator(), svg.0)
}

fn paper([left, top, wide, high]: [f64; 4]) -> Markup {
    html! {
        rect class="paper" x=(number(left)) y=(number(top)) width=(number(wide)) height=(number(high)) {}
    }
}

/// The drawing as a part of a page; `id` tells several on one page apart.
pub(crate) fn inline(view: &GroundView, id: &str) -> Markup {
    picture(view, &Layout::new(view, id), id, None, None)
}

/// Frame and wheels alone: what stands at the wheels is somebody else's.
pub fn outline(chassis: &Chassis) -> Markup {
    let view = GroundView::of_readings(UnitSystem::KgMm, [Mass::ZERO; 4], chassis);
    let Area { pen, front, rear, .. } = Area::around(&view);
    let half =
        view.wheels.iter().map(|wheel| pen::across(wheel.place)).fold(0.0, f64::max) + pen::HALF_WHEEL_MM;
    html! {
        svg class="drawing" aria-hidden="true" stroke-width=(pen.size(1.0)) stroke-linejoin="round"
            viewBox=([-half, front, 2.0 * half, rear - front].map(number).join(" ")) {
            (kart::frame(&view, pen))
            (kart::tyres(&view, pen))
        }
    }
}

/// What a page shows of a kart; `id` tells several pictures on one page apart.
pub fn drawn(view: &GroundView, id: &str) -> Drawn {
    // Where the drawing has the numbers of jobs, tables have names alone.
    let letters = if view.has_jobs() { Vec::new() } else { view.letters() };
    Drawn { picture: inline(view, id), letters }
}

/// Where everything goes.
struct Layout {
    area: Area,
    callouts: Vec<Callout>,
    /// Upper edge of the legend.
    foot: f64,
    legend: Legend,
    /// Left, top, width, height.
    view_box: [f64; 4],
}

impl Layout {
    fn new(view: &GroundView, id: &str) -> Layout {
        let area = Area::around(view);
        let pen = area.pen;
        let callouts = callouts::place(view, &area);
        let foot = callouts.iter().map(|callout| callout.down + pen.px(12.0)).fold(area.rear, f64::max);
        let wheels =
            view.wheels.iter().map(|wheel| pen::down(wheel.place) + pen.px(52.0)).fold(foot, f64::max);
        let foot = wheels + pen.px(8.0);
        let legend = Legend::new(view, pen, id);
        let bottom = foot + legend.height;
        let view_box = [-area.half_width, area.front, 2.0 * area.half_width, bottom - area.front];
        Layout { area, callouts, foot, legend, view_box }
    }
}

/// A picture; of several in one file with its upper left corner there, as a file of its own with its style, else as a part of a
/// page, which says how wide it is.
fn picture(
    view: &GroundView,
    layout: &Layout,
    id: &str,
    corner: Option<(f64, f64)>,
    style: Option<&Markup>,
) -> Markup {
    let Layout { area, callouts, foot, legend, view_box } = layout;
    let pen = area.pen;
    let (title, description) = (format!("{id}-title"), format!("{id}-description"));
    let width = corner.map(|_| number(view_box[2])).or(style.map(|_| "720".to_owned()));
    html! {
        svg xmlns="http://www.w3.org/2000/svg" class="drawing" role="img"
            viewBox=(view_box.map(number).join(" "))
            x=[corner.map(|(left, _)| number(left))] y=[corner.map(|(_, top)| number(top))]
            width=[width] height=[corner.map(|_| number(view_box[3]))]
            aria-labelledby={ (title) " " (description) }
            font-family="system-ui, sans-serif" font-size=(pen.size(13.0))
            stroke-width=(pen.size(1.0)) stroke-linecap="round" stroke-linejoin="round" {
            title id=(title) { (plain(&heading(view))) }
            desc id=(description) { (plain(&in_words(view))) }
            @if let Some(style) = style { (style) }
            (defs(id, pen))
            (kart::frame(view, pen))
            (callouts::leaders(callouts, area))
            (lead::lead(view, pen, id))
            (kart::wheels(view, pen))
            (lens::on_the_kart(view, area))
            (callouts::words(callouts, view, area))
            (numerals::numerals(view, pen))
            (legend.drawn(view, pen, [pen.px(4.0) - area.half_width, *foot]))
        }
    }
}

/// The hatch of lead that stays, and the head of an arrow.
fn defs(id: &str, pen: Pen) -> Markup {
    html! {
        defs {
            pattern id={ (id) "-hatch" } patternUnits="userSpaceOnUse" patternTransform="rotate(45)"
                width=(pen.size(4.0)) height=(pen.size(4.0)) {
                rect class="paper" width=(pen.size(4.0)) height=(pen.size(4.0)) {}
                line class="hatch" x1="0" y1="0" x2="0" y2=(pen.size(4.0)) stroke-width=(pen.size(2.0)) {}
            }
            marker id={ (id) "-arrow" } viewBox="0 0 8 8" refX="7" refY="4" markerWidth="7"
                markerHeight="7" orient="auto" {
                path class="solid" d="M 0 0 L 8 4 L 0 8 z" {}
            }
        }
    }
}

/// Which state the loads belong to.
fn heading(view: &GroundView) -> String {
    let kart = view.kart.as_deref().unwrap_or("The kart");
    let whom = view.driver.as_ref().map(|driver| format!(" for {driver}")).unwrap_or_default();
    let Subject { what, moment, .. } = view.subject;
    let what = if what == "now" { "as it is now" } else { what };
    let at = moment.map(|moment| format!(", with the fuel of the {}", moment.word())).unwrap_or_default();
    format!("{kart} from above: {what}{whom}{at}")
}

/// The picture in words, for whoever cannot see it.
fn in_words(view: &GroundView) -> String {
    let unit = mass_unit(view.units);
    let number = |mass: f64| view.shown(column(kg(mass)));
    let earlier = view.earlier();
    let wheels = view.wheels.each_ref().map(|wheel| match &wheel.before {
        Some(before) => {
            let (load, before) = (number(wheel.load), number(*before));
            format!("{} {load} {unit}, {earlier} {before}", wheel.corner.word())
        }
        None => format!("{} {} {unit}", wheel.corner.word(), number(wheel.load)),
    });
    let spots = view.spots.iter().filter(|spot| !spot.pieces.is_empty() || spot.leaves > 0.0);
    let lead: Vec<String> = spots
        .map(|spot| {
            let comes = spot.pieces.iter().any(|piece| piece.origin == Origin::Comes);
            let news = match (view.compares() && comes, spot.leaves > 0.0) {
                (true, true) => ", some of it new, some taken away",
                (true, false) => ", some or all of it new",
                (false, true) => ", some taken away",
                (false, false) => "",
            };
            format!("{} {}, {} {unit}{news}", spot.letter, spot.name, number(spot.lead))
        })
        .collect();
    let lead = if lead.is_empty() { "none".to_owned() } else { lead.join("; ") };
    let centre = |cg: &Point| {
        let side = if cg.y.mm() < 0.0 { "right" } else { "left" };
        let beside = mm(cg.y.mm().abs());
        view.shown(format!(
            "{} ahead of the rear axle and {} {side} of the centre line",
            place(cg.x),
            fine(beside)
        ))
    };
    let now = view.cg_before.as_ref().map(|cg| format!("; {earlier} {}", centre(cg))).unwrap_or_default();
    format!(
        "Front is up. Wheels: {}. Lead on the mounts: {lead}. Centre of gravity: {}{now}.",
        wheels.join("; "),
        centre(&view.cg)
    )
}
