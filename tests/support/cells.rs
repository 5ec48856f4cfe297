//! How truths lie to what was stated of them, figure by figure, on many karts; and plans that chance draws.

use std::fmt::Write as _;

use kentledge::counts::Counts;
use kentledge::scenario::{Figure, Scenario};
use kentledge::statics::Corners;
use kentledge::uncertainty::Estimate;
use kentledge::uncertainty::kart::UnsureKart;

use super::road::{Aboard, Kart, drawn_lead};
use super::simulated::Chance;

pub(crate) const FIGURES: [&str; 6] = ["total", "front", "left", "cross", "front pair", "rear pair"];

pub(crate) fn figures(corners: &Corners) -> [f64; 6] {
    let share = |figure: Figure| figure.of(corners);
    [
        corners.total(),
        share(Figure::Front),
        share(Figure::Left),
        share(Figure::Cross),
        corners.front_pair(),
        corners.rear_pair(),
    ]
}

/// What a tally must keep to: percent within, root mean square of error over u, percent within in each third of the frames.
#[derive(Clone, Copy)]
pub(crate) struct Limits {
    pub(crate) within: f64,
    pub(crate) ratio: [f64; 2],
    pub(crate) third: f64,
}

/// Of two thousand karts.
pub(crate) const LIMITS: Limits = Limits { within: 93.5, ratio: [0.85, 1.05], third: 88.0 };

/// How truths lie to what was stated of them: one figure of one cell.
#[derive(Clone, Copy, Default)]
pub(crate) struct Tally {
    within: [f64; 3],
    of: [f64; 3],
    squares: f64,
}

impl Tally {
    /// One more; `third` is that of the kart's frame in the range.
    pub(crate) fn count(&mut self, known: Estimate, truth: f64, third: usize) {
        let error = known.value - truth;
        self.of[third] += 1.0;
        self.within[third] += f64::from(u8::from(error.abs() <= known.expanded()));
        self.squares += (error / known.standard).powi(2);
    }

    /// Its line of the table, and whether it is as it must be.
    pub(crate) fn judged(&self, name: &str, figure: &str, limits: Limits) -> (String, bool) {
        let all: f64 = self.of.iter().sum();
        let held = 100.0 * self.within.iter().sum::<f64>() / all;
        let ratio = (self.squares / all).sqrt();
        let thirds: [f64; 3] = std::array::from_fn(|third| 100.0 * self.within[third] / self.of[third]);
        let [soft, middle, stiff] = thirds;
        let line = format!(
            "{name:<42} {figure:<10} {held:5.1} % within, rms/u {ratio:.2}, thirds {soft:.0} {middle:.0} {stiff:.0}"
        );
        let Limits { within, ratio: [least, most], third } = limits;
        let right =
            held >= within && (least..=most).contains(&ratio) && thirds.iter().all(|held| *held >= third);
        (line, right)
    }
}

/// A question that is asked of every kart.
pub(crate) struct Cell {
    name: String,
    tallies: [Tally; 6],
}

impl Cell {
    pub(crate) fn new(name: String) -> Cell {
        Cell { name, tallies: [Tally::default(); 6] }
    }

    /// One more kart; `third` is that of its frame in the range.
    pub(crate) fn count(&mut self, known: &UnsureKart, truth: [f64; 4], third: usize) {
        let truth = figures(&Corners::from_kg(truth));
        for (figure, tally) in self.tallies.iter_mut().enumerate() {
            let estimate = known.estimate(|kart| figures(&kart.corners)[figure]);
            tally.count(estimate, truth[figure], third);
        }
    }

    /// A line of the table for each figure, and what is not as it must be.
    pub(crate) fn judged(&self, limits: Limits) -> (String, Vec<String>) {
        let (mut table, mut wrong) = (String::new(), Vec::new());
        for (figure, tally) in FIGURES.into_iter().zip(&self.tallies) {
            let (line, right) = tally.judged(&self.name, figure, limits);
            if !right {
                wrong.push(line.clone());
            }
            let _ = writeln!(table, "{line}");
        }
        (table, wrong)
    }
}

/// Lead put where chance says and washers moved so that the front pair is expected to be even, as a plan would.
pub(crate) fn drawn_plan(chance: &mut Chance, scenario: &Scenario, washers: bool) -> (Counts, Aboard) {
    let (mut counts, mut aboard, steps) = drawn_lead(chance, scenario);
    if washers {
        let now: Vec<u16> = scenario.adjusters().iter().map(|adjuster| adjuster.now as u16).collect();
        let adjuster = &scenario.adjusters()[0];
        let at_now = adjuster.settings[adjuster.now].steps;
        let found = adjuster
            .settings
            .iter()
            .position(|setting| (f64::from(setting.steps - at_now) - steps).abs() < 0.5);
        counts = counts.with_setting(0, found.expect("five washers each way"), &now);
        aboard.lowered = steps;
    }
    (counts, aboard)
}

/// The third of the range of frames in which a kart lies.
pub(crate) fn third(kart: &Kart) -> usize {
    (((kart.frame - 90.0) / 190.0 * 3.0) as usize).min(2)
}
