//! Where the lead that is missing should act: the one place at which it would bring the kart to its minimum and onto target.
//! Does not know which pieces there are; `plan` spreads whole ones so that they act as near to it as they can.

use crate::counts::Counts;
use crate::inspection;
use crate::scenario::{Figure, Scenario};
use crate::statics::Point;
use crate::uncertainty::Estimate;
use crate::uncertainty::kart::{self, Kart};
use crate::units::{Length, Mass};
use crate::weighing;

/// Of less than this a place means nothing: the kart is balanced by moving what is on it, kg.
const LEAST_KG: f64 = 2.0;

/// A mass and where it should act.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeadPoint {
    /// What is missing at inspection.
    pub mass: Mass,
    /// Ahead of the rear axle, mm.
    pub ahead: Estimate,
    /// Left of the centre line, mm; none without a target of left %.
    pub left: Option<Estimate>,
}

/// Where the missing lead should act; none if little is missing, or nobody said how much the front should carry.
pub fn lead_point(scenario: &Scenario, driver: Option<usize>, counts: &Counts) -> Option<LeadPoint> {
    let moment = scenario.class().weighed_at;
    let total = weighing::state(scenario, driver, moment, counts).total;
    let mass = inspection::required(scenario, driver) - total;
    let wanted = |figure| scenario.wanted_share(figure).map(|(aim, _)| aim / 100.0);
    let front = wanted(Figure::Front).filter(|_| mass.kg() >= LEAST_KG)?;
    let kart = kart::state(scenario, driver, moment, counts);
    let ahead = |kart: &Kart| ahead_mm(kart, mass.kg(), front);
    let left = |share| kart.estimate(|kart| left_mm(kart, mass.kg(), ahead(kart), share));
    Some(LeadPoint { mass, ahead: kart.estimate(ahead), left: wanted(Figure::Left).map(left) })
}

impl LeadPoint {
    /// The place; on the centre line if nothing is wanted of the sides.
    pub fn place(&self) -> Point {
        Point {
            x: Length::from_mm(self.ahead.value),
            y: Length::from_mm(self.left.map_or(0.0, |left| left.value)),
        }
    }

    /// Whether mounts lie on all sides of it: else no lead on them acts there.
    pub fn is_among_mounts(&self, scenario: &Scenario) -> bool {
        let around = |of: fn(Point) -> Length| {
            let all = || scenario.mounts().iter().map(|mount| of(mount.place).mm());
            let here = of(self.place()).mm();
            all().any(|mm| mm <= here) && all().any(|mm| mm >= here)
        };
        around(|place| place.x) && (self.left.is_none() || around(|place| place.y))
    }
}

/// From `F + M·x/L = f·(W + M)`.
fn ahead_mm(kart: &Kart, mass_kg: f64, front: f64) -> f64 {
    let corners = &kart.corners;
    let load_kg = front * (corners.total() + mass_kg) - corners.front();
    kart.chassis.wheelbase.mm() * load_kg / mass_kg
}

/// From `Left + M·(1/2 + y·(φ/tf + (1 − φ)/tr)) = l·(W + M)`, φ at the station of the mass.
fn left_mm(kart: &Kart, mass_kg: f64, ahead_mm: f64, left: f64) -> f64 {
    let corners = &kart.corners;
    let load_kg = left * (corners.total() + mass_kg) - corners.left() - mass_kg / 2.0;
    load_kg / mass_kg / kart.chassis.left_per_mm(ahead_mm / kart.chassis.wheelbase.mm())
}
