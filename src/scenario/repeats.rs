//! One weighing from everything that was read: repeated sets, zeros before and after, a floor survey.

use super::{Aboard, FixedTo, Kind, Mount, Shift, Tank};
use crate::statics::{Chassis, Corners, Point};
use crate::units::{Length, Mass};

/// Which pad stands under LF RF LR RR, pads being numbered in this order, where nobody says otherwise.
pub(super) const USUAL_PADS: [usize; 4] = [0, 1, 2, 3];

/// To which side a kart is turned by a quarter, on pads that stay where they are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turned {
    /// Its nose points to where its left side was.
    Left,
    /// The same to the right.
    Right,
}

impl Turned {
    /// The pad under LF RF LR RR: turned to the left, the left front wheel stands where the left rear one was, and so round.
    pub const fn pads(self) -> [usize; 4] {
        match self {
            Turned::Left => [2, 0, 3, 1],
            Turned::Right => [1, 3, 0, 2],
        }
    }
}

/// One set of readings, with what was aboard.
#[derive(Clone, Debug, PartialEq)]
pub struct Set {
    /// As the pads showed them, LF RF LR RR being the wheels on them.
    pub readings: [Mass; 4],
    /// Which pad stood under LF RF LR RR, counted from 0.
    pub pads: [usize; 4],
    /// What was on the kart.
    pub aboard: Aboard,
}

/// Heights of the pads, LF RF LR RR, above any common plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Floor {
    /// Above the plane.
    pub heights: [Length; 4],
    /// Limit of the error of each.
    pub within: Length,
}

/// What was read, before anything was made of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Taken {
    /// At least one.
    pub sets: Vec<Set>,
    /// What the empty pads showed before and after, if anybody looked.
    pub zeros: Option<[[Mass; 4]; 2]>,
    /// Heights of the pads, if they were surveyed.
    pub floor: Option<Floor>,
    /// What the sets say about how well the pads repeat; none where no two stood on the same pads alike.
    pub spread: Option<Spread>,
}

/// How repeated sets differ.
///
/// A kart that is rolled off and on again differs in two ways: every pad shows something else, and the frame settles
/// otherwise, which moves the corners along the direction of twist. The three directions of statics tell the first, the
/// direction of twist both.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Standard deviation of one pad in one set, kg, from the directions of statics.
    pub pad_kg: f64,
    /// Standard deviation of one set along the direction of twist (as a vector of unit length), kg, among sets that stood on the
    /// same pads alike: turned, the floor twists the kart otherwise.
    pub along_twist_kg: f64,
    /// Sets beyond the first on the same pads.
    pub freedom: u32,
}

impl Taken {
    /// How much each set counts.
    pub fn weights(&self) -> Vec<f64> {
        weights(&self.sets)
    }

    /// What the floor adds to LF, as the mean over the sets: a kart turned on its pads stands on them otherwise, kg.
    pub fn twist_of_floor(&self, chassis: &Chassis, heights: [Length; 4]) -> f64 {
        let twist = |set: &Set| twist_of_floor(chassis, set.pads.map(|pad| heights[pad]));
        self.sets.iter().zip(self.weights()).map(|(set, weight)| twist(set) * weight).sum()
    }
}

/// Sets of each way to stand on the pads count alike together: what the floor does to a kart turned by a quarter is the opposite of
/// what it does to a straight one, so that it cancels.
fn weights(sets: &[Set]) -> Vec<f64> {
    let first = |index: &usize| !sets[..*index].iter().any(|other| other.pads == sets[*index].pads);
    let ways = (0..sets.len()).filter(first).count() as f64;
    let alike = |set: &Set| sets.iter().filter(|other| other.pads == set.pads).count() as f64;
    sets.iter().map(|set| 1.0 / (ways * alike(set))).collect()
}

/// Load that LF gains when the pads stand at those heights: only their twist counts,
/// `rate·((h_LF − h_RF) − (tf/tr)(h_LR − h_RR))`.
///
/// A pad under a rear wheel does what one under the opposite front wheel does, times the ratio of the tracks: the work of
/// the load is the same whichever corner is lifted.
pub fn twist_of_floor(chassis: &Chassis, heights: [Length; 4]) -> f64 {
    let [lf, rf, lr, rr] = heights.map(Length::mm);
    let ratio = chassis.track_front.mm() / chassis.track_rear.mm();
    chassis.twist_rate_kg_per_mm * ((lf - rf) - ratio * (lr - rr))
}

/// No correction is larger, kg: far above any kart, far within the range of a mass.
const MOST_KG: f64 = 50_000.0;

/// What sets of a weighing are made comparable with.
pub(super) struct Aids<'a> {
    pub(super) chassis: &'a Chassis,
    pub(super) tanks: &'a [Tank],
    pub(super) lead: &'a [Kind],
    pub(super) mounts: &'a [Mount],
    /// From where the seat is now to where it was in all sets.
    pub(super) seat: Shift,
}

impl Aids<'_> {
    /// Where lead on a mount was.
    fn place(&self, mount: usize) -> Point {
        let mount = &self.mounts[mount];
        match mount.fixed_to {
            FixedTo::Frame => mount.place,
            FixedTo::Seat => self.seat.of(mount.place),
        }
    }

    /// Fuel and lead that were aboard.
    fn load(&self, aboard: &Aboard) -> Corners {
        let fuel = self.tanks.iter().zip(&aboard.fuel).map(|(tank, fuel)| (tank.place, *fuel));
        let lead = aboard
            .lead
            .placed()
            .map(|(kind, mount, count)| (self.place(mount), self.lead[kind].mass * count));
        fuel.chain(lead)
            .fold(Corners::ZERO, |sum, (place, mass)| sum + self.chassis.influence(place) * mass.kg())
    }
}

/// The readings of level pads with a steady zero in the state of the first set, and the spread of the sets.
///
/// Zeros are taken to have moved evenly, so half of the difference is taken off. None where a correction is beyond what any
/// scale can carry, as with every bound lifted it may be.
pub(super) fn reduced(
    sets: &[Set],
    zeros: Option<[[Mass; 4]; 2]>,
    floor: Option<Floor>,
    aids: &Aids,
) -> Option<([Mass; 4], Option<Spread>)> {
    let first = aids.load(&sets[0].aboard);
    let alike: Vec<Corners> = sets
        .iter()
        .map(|set| Corners::from_kg(set.readings.map(Mass::kg)) - aids.load(&set.aboard) + first)
        .collect();
    let weights = weights(sets);
    let weighted = alike.iter().zip(&weights).map(|(set, weight)| *set * *weight);
    let mean = weighted.fold(Corners::ZERO, |sum, set| sum + set);
    let read = Corners::from_kg(sets[0].readings.map(Mass::kg));
    let mut correction = mean - read;
    for (set, part) in sets.iter().zip(weights) {
        if let Some([before, after]) = zeros {
            let middle = set.pads.map(|pad| f64::midpoint(before[pad].kg(), after[pad].kg()));
            correction = correction - Corners::from_kg(middle) * part;
        }
        if let Some(floor) = floor {
            let twist_kg = twist_of_floor(aids.chassis, set.pads.map(|pad| floor.heights[pad]));
            correction = correction - aids.chassis.twist_direction() * (twist_kg * part);
        }
    }
    // Written so that a correction that is not a number is refused.
    if !correction.kg().iter().all(|kg| kg.abs() <= MOST_KG) {
        return None;
    }
    // Added to the whole nanograms that were read: without a correction they stay as they are.
    let correction = correction.kg().map(Mass::from_kg);
    let readings = std::array::from_fn(|pad| sets[0].readings[pad] + correction[pad]);
    Some((readings, spread(sets, &alike, aids.chassis)))
}

/// How far sets are from the mean of those on the same pads.
fn spread(sets: &[Set], alike: &[Corners], chassis: &Chassis) -> Option<Spread> {
    let direction = chassis.twist_direction().kg();
    let length = direction.iter().map(|part| part * part).sum::<f64>().sqrt();
    let (mut all, mut along, mut freedom) = (0.0, 0.0, 0);
    for (index, set) in sets.iter().enumerate() {
        let same = || {
            sets.iter().zip(alike).filter(|(other, _)| other.pads == set.pads).map(|(_, corners)| *corners)
        };
        let mean = same().fold(Corners::ZERO, |sum, set| sum + set) * (1.0 / same().count() as f64);
        let apart = (alike[index] - mean).kg();
        all += apart.iter().map(|kg| kg * kg).sum::<f64>();
        let twist = apart.iter().zip(direction).map(|(kg, part)| kg * part / length).sum::<f64>();
        along += twist * twist;
        freedom += u32::from(sets[..index].iter().any(|other| other.pads == set.pads));
    }
    // Rounding may leave the rest of two equal sums below zero.
    let across = if all > along { all - along } else { 0.0 };
    (freedom > 0).then(|| Spread {
        pad_kg: (across / (3.0 * f64::from(freedom))).sqrt(),
        along_twist_kg: (along / f64::from(freedom)).sqrt(),
        freedom,
    })
}
