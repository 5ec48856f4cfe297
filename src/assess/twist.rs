//! The part of the corners that no mass explains, and the washers that change it.

use std::fmt;

use crate::marks::fine;
use crate::plan::Residual;
use crate::quantity::{Mm, Quantity};
use crate::scenario::{Figure, Scenario};
use crate::statics::{Corners, Point, Split};
use crate::uncertainty::kart::{Kart, UnsureKart};
use crate::uncertainty::verdict;

/// Washers moved at the front spindles. Those above a spindle push its wheel down against the frame, and it carries more.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spacer {
    /// Thickness moved from below to above the RF spindle; negative at LF.
    pub at_rf: Quantity<Mm>,
}

impl Spacer {
    /// The spacer that takes so much load off LF.
    pub fn against(kart: &UnsureKart, lf_kg: impl Fn(&Kart) -> f64) -> Spacer {
        let at_rf = kart.estimate(|kart| lf_kg(kart) / kart.chassis.twist_rate_kg_per_mm);
        Spacer { at_rf: Quantity::estimated(Mm, at_rf) }
    }

    /// The spacer that brings a figure to its aim; none for figures that mass decides.
    pub fn for_residual(kart: &UnsureKart, residual: &Residual) -> Option<Spacer> {
        is_for_twist(residual.figure).then(|| {
            Spacer::against(kart, |kart| {
                let per_kg = residual.figure.kg(&kart.chassis.twist_direction());
                verdict::distance_on(residual, kart) / per_kg
            })
        })
    }
}

impl fmt::Display for Spacer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (more, less) = if self.at_rf.value > 0.0 { ("RF", "LF") } else { ("LF", "RF") };
        let thickness = Quantity::new(Mm, self.at_rf.value.abs(), self.at_rf.plus_minus);
        write!(
            f,
            "{} of washers from below to above the {more} spindle (or the reverse at {less})",
            fine(thickness)
        )
    }
}

/// Which wheels press harder than any mass explains, and which less.
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
