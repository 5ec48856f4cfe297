//! Bookkeeping of what is aboard: readings to a trunk, a trunk to the corners of any state.
//! Takes a scenario; gives corners in kilograms and totals to the nanogram for a driver, a moment and lead on mounts.
//! Does not judge the result and does not know the integer program.
//!
//! A weighing is a state plus four readings. Subtract what was aboard then, add what is aboard in another state, and the
//! other state is known: nothing is ever weighed 'empty' by assumption.

use crate::counts::Counts;
use crate::scenario::{Figure, Moment, Scenario, Weighing};
use crate::statics::{Corners, Point};
use crate::units::{Length, Mass};

/// Corners and their exact total.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// At the four corners, kg.
    pub corners: Corners,
    /// Their sum, exact where the corners are only as good as floating point.
    pub total: Mass,
}

impl Load {
    /// Nothing at all.
    pub const ZERO: Load = Load { corners: Corners::ZERO, total: Mass::ZERO };

    /// A mass acting at a place of this kart.
    pub fn of(scenario: &Scenario, mass: Mass, place: Point) -> Load {
        Load { corners: scenario.kart.chassis.influence(place) * mass.kg(), total: mass }
    }

    #[must_use]
    fn plus(self, other: Load) -> Load {
        Load { corners: self.corners + other.corners, total: self.total + other.total }
    }

    #[must_use]
    fn minus(self, other: Load) -> Load {
        Load { corners: self.corners - other.corners, total: self.total - other.total }
    }
}

/// Readings as a load.
pub fn readings(weighing: &Weighing) -> Load {
    Load {
        corners: Corners::from_kg(weighing.readings.map(Mass::kg)),
        total: weighing.readings.into_iter().sum(),
    }
}

/// Kart and driver with the seat where it is now, without fuel and without lead.
///
/// From the driver's own weighing if there is one, else from the main weighing. When the driver was in the seat at that
/// weighing, the place where he acts cancels and need not be known.
pub fn trunk(scenario: &Scenario, driver: Option<usize>) -> Load {
    let own = driver.and_then(|index| scenario.drivers[index].weighing.as_ref());
    let weighing = own.unwrap_or(&scenario.weighing);
    let aboard = &weighing.aboard;
    let mut load = readings(weighing).minus(lead(scenario, &aboard.lead));
    for (tank, fuel) in scenario.tanks.iter().zip(&aboard.fuel) {
        load = load.minus(Load::of(scenario, *fuel, tank.place));
    }
    // Holes from where the seat was at the weighing to where it is now.
    let holes = scenario.kart.seat.as_ref().zip(aboard.seat_hole).map_or(0, |(seat, then)| seat.hole - then);
    if aboard.driver == driver {
        if holes != 0
            && let Some((index, place)) =
                driver.and_then(|index| Some((index, driver_place(scenario, index)?)))
        {
            let mass = scenario.drivers[index].mass;
            load = load
                .minus(Load::of(scenario, mass, moved(scenario, place, -holes)))
                .plus(Load::of(scenario, mass, place));
        }
    } else {
        if let Some((index, place)) = aboard.driver.and_then(|i| Some((i, driver_place(scenario, i)?))) {
            let then = moved(scenario, place, -holes);
            load = load.minus(Load::of(scenario, scenario.drivers[index].mass, then));
        }
        if let Some((index, place)) = driver.and_then(|i| Some((i, driver_place(scenario, i)?))) {
            load = load.plus(Load::of(scenario, scenario.drivers[index].mass, place));
        }
    }
    if let Some(seat) = scenario.kart.seat.as_ref().filter(|_| holes != 0) {
        let now = moved(scenario, seat.at_hole_0, seat.hole);
        load = load
            .minus(Load::of(scenario, seat.mass, moved(scenario, now, -holes)))
            .plus(Load::of(scenario, seat.mass, now));
    }
    load
}

/// Where a driver acts with the seat where it is now: as the file says, else the middle of the seat.
fn driver_place(scenario: &Scenario, driver: usize) -> Option<Point> {
    let seat = || scenario.kart.seat.as_ref().map(|seat| moved(scenario, seat.at_hole_0, seat.hole));
    scenario.drivers[driver].acts.or_else(seat)
}

/// A place of the seat, so many holes further forward.
fn moved(scenario: &Scenario, place: Point, holes: i32) -> Point {
    let pitch = scenario.kart.seat.as_ref().map_or(0.0, |seat| seat.pitch.mm());
    Point { x: Length::from_mm(place.x.mm() + pitch * f64::from(holes)), y: place.y }
}

/// All lead of the counts.
pub fn lead(scenario: &Scenario, counts: &Counts) -> Load {
    counts.placed().fold(Load::ZERO, |load, (kind, mount, count)| {
        load.plus(Load::of(scenario, scenario.lead[kind].mass * count, scenario.mounts[mount].place))
    })
}

/// All fuel at a moment.
pub fn fuel(scenario: &Scenario, moment: Moment) -> Load {
    scenario
        .tanks
        .iter()
        .fold(Load::ZERO, |load, tank| load.plus(Load::of(scenario, tank.fuel(moment), tank.place)))
}

/// The corners of one state: a driver, a moment and lead on mounts.
pub fn state(scenario: &Scenario, driver: Option<usize>, moment: Moment, counts: &Counts) -> Load {
    trunk(scenario, driver).plus(fuel(scenario, moment)).plus(lead(scenario, counts))
}

impl Figure {
    /// The kilograms that the figure is about: the sum of two corners, or the difference of two.
    pub fn kg(self, corners: &Corners) -> f64 {
        match self {
            Figure::Front => corners.front(),
            Figure::Rear => corners.rear(),
            Figure::Left => corners.left(),
            Figure::Cross => corners.cross(),
            Figure::FrontPair => corners.front_pair(),
            Figure::RearPair => corners.rear_pair(),
        }
    }

    /// Whether it is a share of the total rather than a difference.
    pub const fn is_share(self) -> bool {
        matches!(self, Figure::Front | Figure::Rear | Figure::Left | Figure::Cross)
    }

    /// The figure as people read it: percent of the total, or kilograms for a pair.
    pub fn of(self, corners: &Corners) -> f64 {
        if self.is_share() { 100.0 * self.kg(corners) / corners.total() } else { self.kg(corners) }
    }
}
