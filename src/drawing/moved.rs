//! Where mounts and drivers act as weighed, against where the file has them. Millimetres are lost on a kart, so ways and ellipses
//! are drawn larger than the kart, all by the same.

use maud::{Markup, html};

use super::ground::{GroundView, Spot};
use super::map;
use super::pen::{Pen, across, down, number};
use crate::answer::learn::{Learned, Lesson};
use crate::blocks::Drawn;
use crate::statics::Point;
use crate::tasks::learn::Told;

/// How often a way may be enlarged; the largest that keeps the farthest beside its place.
const TIMES: [f64; 6] = [50.0, 20.0, 10.0, 5.0, 2.0, 1.0];
/// How far the farthest may reach, mm on the kart.
const MOST_MM: f64 = 260.0;
/// Radius of the symbols, smaller than elsewhere lest they hide the ellipses, pixels.
const SYMBOL_PX: f64 = 3.0;

/// One mount or driver: forward and to the left, mm.
struct Way {
    name: String,
    before: [f64; 2],
    before_to: [f64; 2],
    after: [f64; 2],
    after_to: [f64; 2],
}

impl Way {
    /// None of what the weighings say nothing of.
    fn new(learned: &Learned, first: &Lesson) -> Option<Way> {
        let own = |part| {
            let same = |lesson: &&Lesson| {
                (lesson.of, &lesson.name, lesson.part) == (first.of, &first.name, Some(part))
            };
            learned.lessons.iter().find(same)
        };
        let both = [own("x")?, own("y")?];
        let is_told = both.iter().any(|lesson| lesson.told != Told::NotAtAll.word());
        is_told.then(|| Way {
            name: first.name.clone().unwrap_or_default(),
            before: both.map(|lesson| lesson.before.0),
            before_to: both.map(|lesson| lesson.before_plus_minus.0),
            after: both.map(|lesson| lesson.estimate.0),
            after_to: both.map(|lesson| lesson.plus_minus.0),
        })
    }

    /// How far from the place of the file anything of it reaches, mm.
    fn reach(&self) -> f64 {
        let far = |axis: usize| {
            ((self.after[axis] - self.before[axis]).abs() + self.after_to[axis]).max(self.before_to[axis])
        };
        far(0).max(far(1))
    }

    fn drawn(&self, times: f64, pen: Pen) -> Markup {
        let [x, y] = self.before;
        let after: [f64; 2] =
            std::array::from_fn(|axis| self.before[axis] + times * (self.after[axis] - self.before[axis]));
        let (from, to) = (Point::from_mm(x, y), Point::from_mm(after[0], after[1]));
        let ellipse = |class: &str, at: Point, sure: [f64; 2]| {
            html! {
                ellipse class=(class) cx=(number(across(at))) cy=(number(down(at))) rx=(number(times * sure[1]))
                    ry=(number(times * sure[0])) {}
            }
        };
        let symbol = |class: &str, at: Point| {
            html! {
                circle class=(class) cx=(number(across(at))) cy=(number(down(at))) r=(pen.size(SYMBOL_PX)) {}
            }
        };
        html! {
            g class="way" data-of=(self.name) {
                (ellipse("known now", from, self.before_to))
                (ellipse("known", to, self.after_to))
                path class="leap" stroke-width=(pen.size(1.5)) d={ "M " (number(across(from))) " " (number(down(from))) " L "
                    (number(across(to))) " " (number(down(to))) } {}
                (symbol("ring", from))
                (symbol("dot", to))
            }
        }
    }
}

/// The kart with what has moved on it; none where the weighings say nothing of any place.
pub fn moved(mut view: GroundView, learned: &Learned) -> Option<Drawn> {
    let placed = |lesson: &&Lesson| matches!(lesson.of, "mount" | "driver") && lesson.part == Some("x");
    let ways: Vec<Way> =
        learned.lessons.iter().filter(placed).filter_map(|lesson| Way::new(learned, lesson)).collect();
    let reach = ways.iter().map(Way::reach).fold(0.0, f64::max);
    if ways.is_empty() {
        return None;
    }
    let times = TIMES.into_iter().find(|times| times * reach <= MOST_MM).unwrap_or(1.0);
    view.spots = (0..)
        .zip(&ways)
        .map(|(index, way)| Spot::empty(index, &way.name, Point::from_mm(way.before[0], way.before[1])))
        .collect();
    let kart = view.kart.as_deref().unwrap_or("The kart");
    let title = format!("{kart} from above: where mounts and drivers act");
    let larger =
        if times > 1.0 { format!("Ways and ellipses are enlarged {times} times.") } else { String::new() };
    let notes =
        ["Ring: as the file has it. Dot: as weighed.", "Ellipse: how well it is known (95 of 100).", &larger];
    let picture = map::around(
        &view,
        "moved",
        &title,
        |_, pen, _| html! { @for way in &ways { (way.drawn(times, pen)) } },
        &notes,
    );
    Some(Drawn { picture, letters: view.letters() })
}
