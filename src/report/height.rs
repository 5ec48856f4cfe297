//! The height of the centre of gravity as a report shows it.
//! Takes a scenario that tells a height; gives it with its ±, and how the lifts agree where there are any.
//! Does not compute a height itself.

use super::amount::{Distance, Screen};
use crate::scenario::{Means, Scenario};
use crate::uncertainty::{COVERAGE_FACTOR, inputs};
use crate::units::Length;

/// Height of the kart as weighed.
#[derive(Clone, Debug, PartialEq)]
pub struct HeightLine {
    /// Above the ground.
    pub height: Distance,
    /// Its ±, at k = 2.
    pub unsure: Distance,
    /// Whence it is known.
    pub means: LineMeans,
}

/// Whence a height is known.
#[derive(Clone, Debug, PartialEq)]
pub enum LineMeans {
    /// From lifts.
    Lifted {
        /// Standard deviation of the lifts about their line.
        scatter: Distance,
        /// How many lifts.
        lifts: usize,
    },
    /// The file says so.
    Given,
}

impl HeightLine {
    /// Of a scenario; none if it tells no height.
    pub fn of_scenario(screen: Screen, scenario: &Scenario) -> Option<HeightLine> {
        let known = inputs::height(scenario)?;
        let mm = |mm: f64| screen.place(Length::from_mm(mm));
        let means = match &scenario.heights()?.means {
            Means::Lifted(lifts) => LineMeans::Lifted {
                scatter: screen.fine(Length::from_mm(known.scatter_mm)),
                lifts: lifts.lifts.len(),
            },
            Means::Given { .. } => LineMeans::Given,
        };
        Some(HeightLine {
            height: mm(known.height_mm.value),
            unsure: mm(COVERAGE_FACTOR * known.height_mm.standard),
            means,
        })
    }

    /// Scatter and number of the lifts.
    pub fn lifted(&self) -> Option<(&Distance, usize)> {
        match &self.means {
            LineMeans::Lifted { scatter, lifts } => Some((scatter, *lifts)),
            LineMeans::Given => None,
        }
    }
}
