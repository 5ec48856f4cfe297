//! `reach` as a drawing: front % to the right, left % upwards, one outline per driver.
//! Takes the view; gives one self-contained SVG in black and white, with a title and a description in words.
//! Does not know the scenario, and trusts no name: every text is escaped.

use std::fmt::Write as _;

use super::reach::{Place, ReachView, RegionLines, Wish};

/// Size of the drawing and of the frame in it, in its own units.
const WIDTH: f64 = 720.0;
const HEIGHT: f64 = 560.0;
const LEFT: f64 = 70.0;
const RIGHT: f64 = 700.0;
const TOP: f64 = 60.0;
const BOTTOM: f64 = 430.0;

/// Outlines differ by their dashes, so that they do without colour.
const DASHES: [&str; 4] = ["none", "8 4", "2 3", "10 3 2 3"];

/// The drawing.
pub fn drawing(view: &ReachView) -> String {
    let plot = Plot::new(view);
    let mut svg = String::new();
    // Writing to a text cannot fail.
    let out = &mut svg;
    let _ = writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" role=\"img\" \
         aria-labelledby=\"reach-title reach-desc\" font-family=\"sans-serif\" font-size=\"14\">"
    );
    let title = escaped(&format!("{}, {}: front % and left % within reach", view.kart, view.class));
    let _ = writeln!(out, "<title id=\"reach-title\">{title}</title>");
    let _ = writeln!(out, "<desc id=\"reach-desc\">{}</desc>", escaped(&description(view)));
    let _ = writeln!(out, "<rect width=\"{WIDTH}\" height=\"{HEIGHT}\" fill=\"white\"/>");
    let _ = writeln!(out, "<text x=\"{LEFT}\" y=\"30\" font-size=\"18\">{title}</text>");
    plot.axes(out, view);
    plot.bands(out, view);
    for (index, region) in view.regions.iter().enumerate() {
        plot.region(out, index, region);
    }
    legend(out, view);
    svg.push_str("</svg>\n");
    svg
}

/// From percent to the drawing's units.
struct Plot {
    front: (f64, f64),
    left: (f64, f64),
}

impl Plot {
    fn new(view: &ReachView) -> Plot {
        let places = || {
            view.regions
                .iter()
                .flat_map(|region| region.corners.iter().copied().chain([region.today, region.plan]))
        };
        let ends = |wish: Option<&Wish>, of: &dyn Fn(Place) -> f64| {
            let wished = wish.map(Wish::ends);
            let all = || places().map(of).chain(wished.map(|(from, _)| from)).chain(wished.map(|(_, to)| to));
            let least = all().min_by(f64::total_cmp).unwrap_or(0.0);
            let most = all().max_by(f64::total_cmp).unwrap_or(100.0);
            let around = ((most - least) * 0.06).max(0.05);
            (least - around, most + around)
        };
        Plot {
            front: ends(view.front.as_ref(), &|place| place.front),
            left: ends(view.left.as_ref(), &|place| place.left),
        }
    }

    fn x(&self, front: f64) -> f64 {
        LEFT + (front - self.front.0) / (self.front.1 - self.front.0) * (RIGHT - LEFT)
    }

    fn y(&self, left: f64) -> f64 {
        BOTTOM - (left - self.left.0) / (self.left.1 - self.left.0) * (BOTTOM - TOP)
    }

    fn axes(&self, out: &mut String, view: &ReachView) {
        let (wide, high) = (RIGHT - LEFT, BOTTOM - TOP);
        let _ = writeln!(
            out,
            "<rect x=\"{LEFT}\" y=\"{TOP}\" width=\"{wide}\" height=\"{high}\" fill=\"none\" stroke=\"black\"/>"
        );
        for front in ticks(self.front) {
            let (x, tick) = (self.x(front), BOTTOM + 6.0);
            let _ = writeln!(out, "<path d=\"M{x:.1} {BOTTOM}V{tick}\" stroke=\"black\"/>");
            let label = BOTTOM + 22.0;
            let _ = writeln!(
                out,
                "<text x=\"{x:.1}\" y=\"{label}\" text-anchor=\"middle\">{}</text>",
                super::amount::trimmed(front, 2)
            );
        }
        for left in ticks(self.left) {
            let (y, tick) = (self.y(left), LEFT - 6.0);
            let _ = writeln!(out, "<path d=\"M{LEFT} {y:.1}H{tick}\" stroke=\"black\"/>");
            let (label, below) = (LEFT - 10.0, y + 5.0);
            let _ = writeln!(
                out,
                "<text x=\"{label}\" y=\"{below:.1}\" text-anchor=\"end\">{}</text>",
                super::amount::trimmed(left, 2)
            );
        }
        let (middle, below) = (f64::midpoint(LEFT, RIGHT), BOTTOM + 42.0);
        let moment = view.moment.word();
        let _ = writeln!(
            out,
            "<text x=\"{middle}\" y=\"{below}\" text-anchor=\"middle\">front % at the {moment}</text>"
        );
        let _ = writeln!(out, "<text x=\"{LEFT}\" y=\"{}\">left %</text>", TOP - 8.0);
    }

    /// The wished bands: a rectangle where both are wished, a strip where one is.
    fn bands(&self, out: &mut String, view: &ReachView) {
        if view.front.is_none() && view.left.is_none() {
            return;
        }
        let (west, east) = view.front.as_ref().map_or(self.front, Wish::ends);
        let (south, north) = view.left.as_ref().map_or(self.left, Wish::ends);
        let (x, y) = (self.x(west), self.y(north));
        let (wide, high) = (self.x(east) - x, self.y(south) - y);
        let _ = writeln!(
            out,
            "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{wide:.1}\" height=\"{high:.1}\" fill=\"#e8e8e8\" stroke=\"black\" \
             stroke-width=\"2\"/>"
        );
    }

    fn region(&self, out: &mut String, index: usize, region: &RegionLines) {
        let corners: Vec<String> = region
            .corners
            .iter()
            .map(|corner| format!("{:.1},{:.1}", self.x(corner.front), self.y(corner.left)))
            .collect();
        let dashes = DASHES[index % DASHES.len()];
        let _ = writeln!(
            out,
            "<polygon points=\"{}\" fill=\"none\" stroke=\"black\" stroke-width=\"1.5\" stroke-dasharray=\"{dashes}\"/>",
            corners.join(" ")
        );
        for point in &region.points {
            let (x, y) = (self.x(point.front), self.y(point.left));
            let _ = writeln!(out, "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"1.5\" fill=\"black\"/>");
        }
        let (x, y) = (self.x(region.today.front), self.y(region.today.left));
        let _ = writeln!(
            out,
            "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"10\" height=\"10\" fill=\"white\" stroke=\"black\" stroke-width=\"2\"/>",
            x - 5.0,
            y - 5.0
        );
        let (x, y) = (self.x(region.plan.front), self.y(region.plan.left));
        let _ = writeln!(
            out,
            "<path d=\"M{x:.1} {:.1}l6 11h-12z\" fill=\"white\" stroke=\"black\" stroke-width=\"2\"/>",
            y - 7.0
        );
        // Names stand at the highest corner.
        if let (Some(name), Some(top)) =
            (&region.driver, region.corners.iter().max_by(|one, other| one.left.total_cmp(&other.left)))
        {
            let (x, y) = (self.x(top.front), self.y(top.left) - 6.0);
            let _ = writeln!(
                out,
                "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"middle\">{}</text>",
                escaped(name)
            );
        }
    }
}

fn legend(out: &mut String, view: &ReachView) {
    let sentences = [
        "outline: lead cut to any size; dots: what whole pieces reach, found near a grid, not all there are",
        "square: the kart now; triangle: planned; grey with a frame: wanted",
    ];
    let mut y = BOTTOM + 70.0;
    for sentence in sentences {
        let _ = writeln!(out, "<text x=\"{LEFT}\" y=\"{y}\" font-size=\"12\">{sentence}</text>");
        y += 18.0;
    }
    for (driver, sentence) in view.without.iter().take(2) {
        let name = driver.as_deref().unwrap_or("without a driver");
        let text = escaped(&format!("{name}: {sentence}"));
        let _ = writeln!(out, "<text x=\"{LEFT}\" y=\"{y}\" font-size=\"12\">{text}</text>");
        y += 18.0;
    }
}

/// What the drawing shows, in words and numbers.
fn description(view: &ReachView) -> String {
    let mut sentences = Vec::new();
    for (name, wish) in [("front", &view.front), ("left", &view.left)] {
        if let Some(wish) = wish {
            sentences.push(format!("{name} is wanted at {} percent", wish.text()));
        }
    }
    for region in &view.regions {
        let driver = region.driver.as_deref().unwrap_or("without a driver");
        let corners: Vec<String> = region.corners.iter().map(|corner| corner.text()).collect();
        sentences.push(format!(
            "{driver}: now at {}, planned at {}, corners at {} (front and left percent)",
            region.today.text(),
            region.plan.text(),
            corners.join("; ")
        ));
    }
    for (driver, sentence) in &view.without {
        sentences.push(format!("{}: {sentence}", driver.as_deref().unwrap_or("without a driver")));
    }
    sentences.join(". ")
}

/// Round numbers within a range, five to ten of them.
fn ticks((least, most): (f64, f64)) -> impl Iterator<Item = f64> {
    let rough = (most - least) / 7.0;
    let power = 10_f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].map(|factor| factor * power).into_iter().find(|step| *step >= rough);
    let step = step.unwrap_or(10.0 * power);
    let first = (least / step).ceil() as i64;
    let last = (most / step).floor() as i64;
    (first..=last).map(move |tick| tick as f64 * step)
}

/// Text that may stand anywhere in a document: marks as entities, what no document may hold left out.
fn escaped(text: &str) -> String {
    text.chars()
        .filter(|character| !character.is_control())
        .map(|character| match character {
            '<' => "&lt;".to_owned(),
            '>' => "&gt;".to_owned(),
            '&' => "&amp;".to_owned(),
            '"' => "&quot;".to_owned(),
            '\'' => "&#39;".to_owned(),
            other => other.to_string(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_cannot_leave_the_text_they_stand_in() {
        assert_eq!(escaped("\"; alert(1) </script>\u{7}&'"), "&quot;; alert(1) &lt;/script&gt;&amp;&#39;");
    }

    #[test]
    fn ticks_are_round_and_few() {
        for range in [(42.3, 44.9), (49.01, 49.23), (20.0, 80.0), (0.0, 0.1)] {
            let ticks: Vec<f64> = ticks(range).collect();
            assert!((4..=8).contains(&ticks.len()), "{ticks:?}");
            assert!(ticks.iter().all(|tick| (range.0..=range.1).contains(tick)));
        }
    }
}
