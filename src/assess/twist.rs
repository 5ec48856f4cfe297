//! The part of the corners that the centre of gravity does not explain, and the washers that change it.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

use crate::counts::Counts;
use crate::marks::fine;
use crate::plan::Residual;
use crate::quantity::{Exact, Mm, Quantity, mm};
use crate::scenario::{Adjuster, Figure, FrontWheel, Lever, Scenario};
use crate::statics::{Corners, Point, Split};
use crate::uncertainty::kart::{Kart, UnsureKart};
use crate::uncertainty::verdict;

/// What a spindle's stack holds on either side of it where nobody says; common practice, no published source.
const USUAL_STACK_MM: f64 = 5.0;

/// Washers moved at the front spindles. Those above a spindle push its wheel down against the frame, and it carries more.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Spacer {
    /// Thickness moved from below to above the RF spindle and from above to below the LF one together; negative the other way.
    #[serde(rename = "spacer_at_rf")]
    pub at_rf: Quantity<Mm>,
    /// What is below the spindle of the wheel that is to carry more, and can go above it.
    pub washers_to_raise: Exact<Mm>,
    /// What is above the other spindle, and can go below it.
    pub washers_to_lower: Exact<Mm>,
}

/// Thickness of washers above and below the spindles of LF and RF.
pub type Stacks = [[f64; 2]; 2];

/// The stacks of a kart so set; those that are usual for a file that says nothing of washers.
pub fn stacks(scenario: &Scenario, counts: &Counts) -> Stacks {
    [FrontWheel::Left, FrontWheel::Right].map(|wheel| {
        let stack = |(index, adjuster): (usize, &Adjuster)| match adjuster.lever {
            Lever::Spindle { side, washer } if side == wheel => {
                let above = counts.setting(index, adjuster.now);
                Some([above, adjuster.settings.len() - 1 - above].map(|washers| washers as f64 * washer.mm()))
            }
            _ => None,
        };
        scenario.adjusters().iter().enumerate().find_map(stack).unwrap_or([USUAL_STACK_MM; 2])
    })
}

impl Spacer {
    /// The spacer that takes so much load off LF.
    pub fn against(kart: &UnsureKart, stacks: Stacks, lf_kg: impl Fn(&Kart) -> f64) -> Spacer {
        let at_rf = kart.estimate(|kart| lf_kg(kart) / kart.chassis.twist_rate_kg_per_mm);
        let [lf, rf] = stacks;
        let (more, less) = if at_rf.value > 0.0 { (rf, lf) } else { (lf, rf) };
        Spacer {
            at_rf: Quantity::estimated(Mm, at_rf),
            washers_to_raise: mm(more[1]),
            washers_to_lower: mm(less[0]),
        }
    }

    /// The spacer that brings a figure to its aim; none for figures that mass decides.
    pub fn for_residual(kart: &UnsureKart, stacks: Stacks, residual: &Residual) -> Option<Spacer> {
        is_for_twist(residual.figure).then(|| {
            Spacer::against(kart, stacks, |kart| {
                let per_kg = residual.figure.kg(&kart.chassis.twist_direction());
                verdict::distance_on(residual, kart) / per_kg
            })
        })
    }
}

impl fmt::Display for Spacer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (more, less) = if self.at_rf.value > 0.0 { ("RF", "LF") } else { ("LF", "RF") };
        let needed = Quantity::new(Mm, self.at_rf.value.abs(), self.at_rf.plus_minus);
        let [raise, lower] = [self.washers_to_raise.value, self.washers_to_lower.value];
        let (moved, thickness) = (format!("below to above the {more} spindle"), fine(needed));
        if needed.value > raise + lower {
            let there = fine(mm(raise + lower));
            write!(
                f,
                "{thickness} of washers, and the stacks hold {there} that way: look at floor, tyres, wheels and frame"
            )
        } else if needed.value > 2.0 * raise.min(lower) {
            write!(f, "{thickness} of washers in all, from {moved} and from above to below at {less}")
        } else {
            write!(f, "{thickness} of washers: half of it from {moved}, half from above to below at {less}")
        }
    }
}

/// Which wheels press harder than the centre of gravity explains, and which less.
pub const fn pressed(twist_kg: f64) -> (&'static str, &'static str) {
    if twist_kg > 0.0 { ("LF and RR", "RF and LR") } else { ("RF and LR", "LF and RR") }
}

/// Whether spacers rather than masses decide a figure.
pub const fn is_for_twist(figure: Figure) -> bool {
    matches!(figure, Figure::Cross | Figure::FrontPair | Figure::RearPair)
}

/// Corners of the same total and twist once mass has brought front and left onto target, where they have
/// any.
///
/// Left = W/2 + w(1 − tf/tr) + R(φ/tf + (1−φ)/tr) with total W, twist w and roll moment R; R is found from the
/// aim, and the corners are those of W as one mass at the front share and R/W, and of w.
pub fn at_aims(scenario: &Scenario, corners: &Corners) -> Corners {
    let chassis = &scenario.kart().chassis;
    let Split { total_kg, cg, twist_kg } = chassis.split(corners);
    let aim = |figure| scenario.wanted_share(figure).map(|(aim, _)| aim / 100.0);
    let front = aim(Figure::Front);
    let station = front.unwrap_or(cg.x.mm() / chassis.wheelbase.mm());
    let roll_moment = match aim(Figure::Left) {
        Some(left) => {
            let ratio = chassis.track_front.mm() / chassis.track_rear.mm();
            (total_kg * (left - 0.5) - twist_kg * (1.0 - ratio)) / chassis.left_per_mm(station)
        }
        None => chassis.roll_moment(corners),
    };
    let place = Point::from_mm(station * chassis.wheelbase.mm(), roll_moment / total_kg);
    chassis.influence(place) * total_kg + chassis.twist_direction() * twist_kg
}
