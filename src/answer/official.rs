//! How the officials would read a kart as it is, what they did read, and where the lead that is missing should act.

use schemars::JsonSchema;
use serde::Serialize;

use super::kart::Kart;
use super::margin::Margin;
use crate::assess::lead_point::lead_point;
use crate::plan::Measured;
use crate::quantity::{Exact, Kg, Mm, Quantity};
use crate::scenario::{Scenario, Weighing};
use crate::weighing;

/// What the officials would weigh.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Official {
    /// Who is meant to drive.
    pub driver: Option<String>,
    /// By one's own bookkeeping.
    pub total: Quantity<Kg>,
    /// How that stands to what they want.
    pub margin: Margin,
    /// Their reading with what was aboard at the weighing.
    pub read: Option<OfficialReading>,
    /// Where what is missing should act; none if little is missing.
    pub missing: Option<LeadPoint>,
}

/// What the officials' scale showed at a weighing: that is the total from then on, and the pads tell the shares.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OfficialReading {
    /// As it showed.
    pub official: Exact<Kg>,
    /// That much more than the pads, or than was expected from them.
    pub above_pads: Exact<Kg>,
    /// Whether it was read later, with other things aboard and without pads: it tells what the kart weighs, not its balance.
    pub alone: bool,
}

/// A mass and the one place at which it would bring front % and left % onto target.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LeadPoint {
    /// What is missing at inspection.
    pub mass: Exact<Kg>,
    /// Ahead of the rear axle.
    pub x: Quantity<Mm>,
    /// Left of the centre line; none without a target of left %.
    pub y: Option<Quantity<Mm>>,
    /// Whether there are mounts on all sides of it; if not, no lead on them acts there.
    pub among_mounts: bool,
}

impl OfficialReading {
    /// Of a weighing, if they have read it, or the kart with something else aboard since.
    pub fn of(weighing: &Weighing) -> Option<OfficialReading> {
        let above = weighing.official? - weighing::readings(weighing).total;
        let read = weighing.official_later.or(weighing.official)?;
        Some(OfficialReading {
            official: read.into(),
            above_pads: above.into(),
            alone: weighing.official_later.is_some(),
        })
    }
}

impl Official {
    /// With what is fitted now: `counted` as every other command counts it, `scenario` as the pads showed it.
    pub fn new(scenario: &Scenario, counted: &Scenario) -> Official {
        let driver = scenario.driver().or(scenario.weighing().aboard.driver);
        let fitted = scenario.fitted();
        let measured = Measured::new(counted, driver, fitted.clone());
        let margin = Margin::new(counted, driver, fitted, measured.worth.total);
        Official {
            driver: driver.map(|index| scenario.drivers()[index].name.clone()),
            total: Kart::new(counted, &measured).total,
            margin,
            read: OfficialReading::of(scenario.weighing()),
            missing: lead_point(counted, driver, fitted).map(|point| LeadPoint {
                mass: point.mass.into(),
                x: Quantity::estimated(Mm, point.ahead),
                y: point.left.map(|left| Quantity::estimated(Mm, left)),
                among_mounts: point.is_among_mounts(counted),
            }),
        }
    }
}
