//! A look at the pads between two jobs: what they should show if everything so far was done, and how far that may be off.
//!
//! The pads stand as they stood at the weighing, and the fuel is as it was, so that what is wrong with both is wrong twice and
//! cancels: far less is enough to stop than between two days.

use super::forecast::{Step, forecast};
use super::misfit::usual_covariance;
use crate::counts::Counts;
use crate::scenario::{Adjuster, Figure, Lever, Scenario, SetUp, Weighing};
use crate::statics::Corners;
use crate::uncertainty::Estimate;
use crate::uncertainty::inputs::weighing_of;
use crate::weighing;

/// Each of four ranges is passed by 99.2 of 100 karts that are as expected (quantile of the normal distribution), so that 95 pass all
/// of them, with room for the one that those lose whose range ends half way.
const ALL_FOUR: f64 = 2.652;

/// A shift of a corner by which slopes are found, kg: figures are nearly straight.
const SLOPE_KG: f64 = 0.1;

/// The figures: LF and RF each alone err with the twist of the frame, so that a mass on the other side would hide in it; these
/// four keep total, ends, sides and twist apart.
const FIGURES: [fn(&Corners) -> f64; 4] = [
    |corners| corners.total(),
    |corners| Figure::Front.of(corners),
    |corners| Figure::Left.of(corners),
    |corners| Figure::Cross.of(corners),
];

/// Within which every figure goes on; in kg, then in percent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gate {
    pub least: [f64; 4],
    pub most: [f64; 4],
}

/// Figures of a kart so set, each with its standard uncertainty against the weighing before.
type Known = [Estimate; 4];

impl Gate {
    /// For that driver, with lead and settings of those counts; `before` is how seat and washers were set.
    ///
    /// Each range is as wide as the figure's ±. Where that would reach what shows if seat or washers were left as they were, it
    /// ends between the two, as many standard uncertainties from the one as from the other.
    pub fn new(scenario: &Scenario, driver: Option<usize>, before: &Counts, counts: &Counts) -> Gate {
        let done = known(scenario, driver, counts);
        let mut below = done.map(|figure| ALL_FOUR * figure.standard);
        let mut above = below;
        let adjusters = scenario.adjusters();
        let now: Vec<u16> = adjusters.iter().map(|adjuster| adjuster.now as u16).collect();
        for (index, adjuster) in adjusters.iter().enumerate() {
            let left = before.setting(index, adjuster.now);
            let is_told = matches!(adjuster.lever, Lever::Seat | Lever::Spindle { .. });
            if !is_told || counts.setting(index, adjuster.now) == left {
                continue;
            }
            let undone = known(scenario, driver, &counts.clone().with_setting(index, left, &now));
            let apart = |figure: &usize| {
                let (done, undone) = (done[*figure], undone[*figure]);
                (done.value - undone.value).abs() / (done.standard + undone.standard)
            };
            let telling = (0..4).max_by(|one, other| apart(one).total_cmp(&apart(other))).unwrap_or(0);
            let side = if undone[telling].value < done[telling].value { &mut below } else { &mut above };
            side[telling] = side[telling].min(apart(&telling) * done[telling].standard);
        }
        Gate {
            least: std::array::from_fn(|figure| done[figure].value - below[figure]),
            most: std::array::from_fn(|figure| done[figure].value + above[figure]),
        }
    }

    /// Whether four readings go on.
    pub fn is_passed(&self, readings: &Corners) -> bool {
        (0..4).all(|figure| (self.least[figure]..=self.most[figure]).contains(&FIGURES[figure](readings)))
    }
}

/// What four readings should show on the pads and with the fuel of the weighing.
fn known(scenario: &Scenario, driver: Option<usize>, counts: &Counts) -> Known {
    let base = weighing_of(scenario, driver);
    let mut weighing = Weighing { set_up: Some(SetUp::Same), ..base.clone() };
    let (aboard, seat) = (&mut weighing.aboard, scenario.kart().seat.as_ref());
    aboard.driver = driver;
    aboard.seat_hole = seat.map(|seat| seat.hole_after(weighing::seat_shift(scenario, counts)));
    let set = |(index, adjuster): (usize, &Adjuster)| match adjuster.lever {
        // The seat is told by its hole.
        Lever::Seat => adjuster.now as u16,
        _ => counts.setting(index, adjuster.now) as u16,
    };
    let settings: Vec<u16> = scenario.adjusters().iter().enumerate().map(set).collect();
    aboard.lead = counts.clone().with_settings(&settings);
    let load = forecast(scenario, &weighing);
    let step = Step { listed: 0, before: scenario.clone(), weighing, forecast: load };
    let covariance = usual_covariance(&step);
    FIGURES.map(|figure| {
        let slope: [f64; 4] = std::array::from_fn(|corner| {
            let at = |by: f64| {
                let mut kg = load.corners.kg();
                kg[corner] += by;
                figure(&Corners::from_kg(kg))
            };
            (at(SLOPE_KG) - at(-SLOPE_KG)) / (2.0 * SLOPE_KG)
        });
        let square: f64 = (0..16).map(|cell| slope[cell / 4] * covariance[cell] * slope[cell % 4]).sum();
        Estimate { value: figure(&load.corners), standard: square.sqrt() }
    })
}
