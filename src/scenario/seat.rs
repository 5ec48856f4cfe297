//! The seat and the holes that it can be bolted at.

use super::{Setting, Shift, bounds};
use crate::statics::Point;
use crate::units::{Length, Mass};

/// A seat that can be bolted at several holes along and across the kart; the driver and lead that rides on it move with it.
#[derive(Clone, Debug, PartialEq)]
pub struct Seat {
    /// Mass of the seat itself.
    pub mass: Mass,
    /// Middle of the seat when it is at hole 0.
    pub at_hole_0: Point,
    /// From one hole to the next, forward.
    pub pitch: Length,
    /// From one hole to the next, to the left.
    pub pitch_across: Length,
    /// The hole it is bolted at now.
    pub hole: Hole,
    /// The hole at which the places of what rides on it were measured.
    pub measured_at: Hole,
}

impl Seat {
    /// How far the seat goes from one hole to another.
    pub fn shift(&self, from: Hole, to: Hole) -> Shift {
        Shift {
            forward: Length::from_mm(self.pitch.mm() * f64::from(to.along - from.along)),
            left: Length::from_mm(self.pitch_across.mm() * f64::from(to.across - from.across)),
        }
    }

    /// How far it has moved since the places of what rides on it were measured.
    pub fn since_measured(&self) -> Shift {
        self.shift(self.measured_at, self.hole)
    }

    /// The hole at which it is after such a shift from where it is now.
    pub fn hole_after(&self, shift: Shift) -> Hole {
        let holes = |way: Length, pitch: Length| {
            if pitch == Length::ZERO { 0 } else { (way.mm() / pitch.mm()).round() as i32 }
        };
        Hole {
            along: self.hole.along + holes(shift.forward, self.pitch),
            across: self.hole.across + holes(shift.left, self.pitch_across),
        }
    }

    /// Settings of an adjuster that put it at some holes.
    pub(super) fn settings_at(&self, holes: &[Hole]) -> Vec<Setting> {
        let name = |hole: &Hole| {
            if self.pitch_across == Length::ZERO {
                format!("hole {}", hole.along)
            } else {
                format!("hole {}, across {}", hole.along, hole.across)
            }
        };
        let setting = |hole: &Hole| Setting {
            name: name(hole),
            steps: 0,
            shift: self.shift(self.hole, *hole),
            place: Point::default(),
        };
        holes.iter().map(setting).collect()
    }

    /// One hole further at an end, in every row that leads there; none where nobody knows how far that is.
    pub(super) fn holes_beyond(&self, holes: &[Hole], end: SeatEnd) -> Option<Vec<Hole>> {
        let is_along = matches!(end, SeatEnd::Front | SeatEnd::Back);
        let pitch = if is_along { self.pitch } else { self.pitch_across };
        let number = |hole: &Hole| if is_along { hole.along } else { hole.across };
        let (first, last) = (holes.iter().map(number).min()?, holes.iter().map(number).max()?);
        // Numbers rise forward and to the left.
        let is_last = matches!(end, SeatEnd::Front | SeatEnd::Left);
        let (outermost, next) = if is_last { (last, last + 1) } else { (first, first - 1) };
        if pitch == Length::ZERO || next.abs() > bounds::SEAT_HOLES {
            return None;
        }
        let further = |hole: &Hole| {
            if is_along { Hole { along: next, ..*hole } } else { Hole { across: next, ..*hole } }
        };
        Some(holes.iter().filter(|hole| number(hole) == outermost).map(further).collect())
    }

    /// Middle of the seat where it is now.
    pub fn place(&self) -> Point {
        self.shift(Hole::default(), self.hole).of(self.at_hole_0)
    }
}

/// A hole of the seat.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Hole {
    /// Counted forward.
    pub along: i32,
    /// Counted to the left.
    pub across: i32,
}

/// An end of the rows of holes under a seat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SeatEnd {
    /// In front of the foremost hole.
    Front,
    /// Behind the rearmost hole.
    Back,
    /// Left of the leftmost hole.
    Left,
    /// Right of the rightmost hole.
    Right,
}

impl SeatEnd {
    /// All of them.
    pub const ALL: [SeatEnd; 4] = [SeatEnd::Front, SeatEnd::Back, SeatEnd::Left, SeatEnd::Right];
}
