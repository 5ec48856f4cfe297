//! Adjusters: whatever on a kart can be set, other than lead, and moves the corners.

use crate::statics::{Corners, FrontWheel, Point};
use crate::units::{Length, Mass};

/// Something other than lead with discrete settings, one of which it has now.
#[derive(Clone, Debug, PartialEq)]
pub struct Adjuster {
    /// Its name: `seat`, `spindle left`, or what the file calls it.
    pub name: String,
    /// What it does.
    pub lever: Lever,
    /// Settings in order; one that has a single setting stays as it is.
    pub settings: Vec<Setting>,
    /// The setting it has now, as an index.
    pub now: usize,
    /// What changing it costs.
    pub cost: Cost,
    /// Minutes of one move; of a spindle whatever is moved there; of one step of anything else where each step costs.
    pub minutes: f64,
    /// Whether it can be changed in a pit stop.
    pub quick: bool,
}

impl Adjuster {
    /// Changes that it takes to go from one setting to another.
    pub fn changes(&self, from: usize, to: usize) -> u32 {
        match self.cost {
            Cost::PerMove(_) if from == to => 0,
            Cost::PerMove(changes) => changes,
            Cost::PerStep(changes) => changes * self.steps_apart(from, to),
        }
    }

    /// Minutes that it takes to go from one setting to another.
    pub fn minutes(&self, from: usize, to: usize) -> f64 {
        match (self.cost, self.lever) {
            _ if from == to => 0.0,
            (Cost::PerStep(_), Lever::Measured { .. }) => {
                self.minutes * f64::from(self.steps_apart(from, to))
            }
            _ => self.minutes,
        }
    }

    fn steps_apart(&self, from: usize, to: usize) -> u32 {
        self.settings[from].steps.abs_diff(self.settings[to].steps)
    }
}

/// What an adjuster does to the kart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Lever {
    /// Moves the seat, its driver and the lead that rides on it.
    Seat,
    /// Moves washers from below to above the spindle of the left or the right front wheel, which sets the wheel lower and
    /// lets it carry more.
    Spindle {
        /// Which wheel.
        side: FrontWheel,
        /// Thickness of one washer.
        washer: Length,
    },
    /// Does what was measured, step by step; the four numbers sum to zero.
    Measured {
        /// Change of the corners by one step, kg.
        per_step: Corners,
    },
    /// Moves a part of the kart to another place.
    Part { mass: Mass },
    /// Moves a fuel tank to another place.
    Tank { tank: usize },
}

/// One setting of an adjuster.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Setting {
    /// What the job list calls it.
    pub name: String,
    /// Its position in steps: washers above the spindle, steps of a measured adjuster; 0 where places have no order.
    pub steps: i32,
    /// How far this setting is from the one of now: of the seat; zero for levers that move nothing.
    pub shift: Shift,
    /// Where a part or a tank is at this setting; the origin for levers without places.
    pub place: Point,
}

/// A move of the seat.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shift {
    pub forward: Length,
    pub left: Length,
}

impl Shift {
    /// A place after the move.
    pub fn of(self, place: Point) -> Point {
        Point::from_mm(place.x.mm() + self.forward.mm(), place.y.mm() + self.left.mm())
    }

    /// The move back.
    #[must_use]
    pub fn back(self) -> Shift {
        Shift { forward: Length::from_mm(-self.forward.mm()), left: Length::from_mm(-self.left.mm()) }
    }
}

/// What changing an adjuster costs, in changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cost {
    /// The same however far it is moved.
    PerMove(u32),
    /// So many for every step.
    PerStep(u32),
}
