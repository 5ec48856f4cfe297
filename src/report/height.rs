//! The height of the centre of gravity as a report shows it.
//! Takes a scenario with lifts; gives the height with its ±, and how the lifts agree.
//! Does not compute a height itself.

use super::amount::{Distance, Screen};
use crate::height::{Lifting, Limits};
use crate::scenario::Scenario;
use crate::uncertainty::COVERAGE_FACTOR;
use crate::uncertainty::kart::UnsureKart;
use crate::units::Length;
use crate::weighing;

/// Height of the kart as weighed.
#[derive(Clone, Debug, PartialEq)]
pub struct HeightLine {
    /// Above the ground.
    pub height: Distance,
    /// Its ±, at k = 2.
    pub unsure: Distance,
    /// Standard deviation of the lifts about their line.
    pub scatter: Distance,
    /// How many lifts.
    pub lifts: usize,
}

impl HeightLine {
    /// From the lifts of a scenario; none if it has none. The loads of a lift are as sure as the front pair of pads is.
    pub fn of_scenario(screen: Screen, scenario: &Scenario, kart: &UnsureKart) -> Option<HeightLine> {
        let heights = scenario.heights()?;
        let corners = weighing::readings(scenario.weighing()).corners;
        let lifting = Lifting {
            wheelbase_mm: scenario.kart().chassis.wheelbase.mm(),
            radius_front_mm: heights.radius_front.mm(),
            radius_rear_mm: heights.radius_rear.mm(),
            total_kg: corners.total(),
            front_kg: corners.front(),
            lifts: heights.lifts.clone(),
        };
        // A limit whose standard uncertainty is that of the axle's load.
        let axle_kg = kart.estimate(|kart| kart.corners.front()).standard * 3.0_f64.sqrt();
        let limits = Limits {
            axle_kg,
            angle_deg: heights.angle_within_deg,
            length_mm: scenario.within().lengths.mm(),
        };
        let height = lifting.height(limits);
        let mm = |mm: f64| screen.place(Length::from_mm(mm));
        Some(HeightLine {
            height: mm(height.height_mm.value),
            unsure: mm(COVERAGE_FACTOR * height.height_mm.standard),
            scatter: screen.fine(Length::from_mm(height.scatter_mm)),
            lifts: heights.lifts.len(),
        })
    }
}
