//! The part of a file about how high things are: lifts of an axle, or a height that somebody found, and what a target of height
//! needs besides.

use super::drivers::ListedDriver;
use super::kart::ListedTank;
use super::mounts::Mounts;
use super::{Figure, Trip, Weighing, bounds, keys};
use crate::decimals::trimmed;
use crate::diagnosis::Fault;
use crate::document::block::Block;
use crate::document::{Value, every, written_length};
use crate::height::{Lift, Lifting};
use crate::statics::{Chassis, Corners};
use crate::units::{Length, Mass};

/// How high the centre of gravity of the kart is, with what was aboard at the first weighing of it as raced.
#[derive(Clone, Debug, PartialEq)]
pub struct Heights {
    /// Whence it is known.
    pub means: Means,
    /// The height itself.
    pub height: Length,
    /// The weighing whose kart it is of: the first of the file, whatever was weighed later.
    pub weighing: Weighing,
}

/// Whence a height is known.
#[derive(Clone, Debug, PartialEq)]
pub enum Means {
    /// From lifts of an axle.
    Lifted(Lifts),
    /// The file says so.
    Given {
        /// Limit of its error.
        within: Length,
    },
}

/// Lifts of one axle or the other.
#[derive(Clone, Debug, PartialEq)]
pub struct Lifts {
    /// Loaded radius of the front wheels.
    pub radius_front: Length,
    /// Loaded radius of the rear wheels.
    pub radius_rear: Length,
    /// Limit of each angle, degrees.
    pub angle_within_deg: f64,
    /// Lifts at two angles at least.
    pub lifts: Vec<Lift>,
}

impl Lifts {
    /// Everything that the height is computed from.
    pub fn lifting(&self, weighing: &Weighing, chassis: &Chassis) -> Lifting {
        let corners = Corners::from_kg(weighing.readings.map(Mass::kg));
        Lifting {
            wheelbase_mm: chassis.wheelbase.mm(),
            radius_front_mm: self.radius_front.mm(),
            radius_rear_mm: self.radius_rear.mm(),
            total_kg: corners.total(),
            front_kg: corners.front(),
            lifts: self.lifts.clone(),
        }
    }
}

/// `height` as listed, before it is known what was weighed.
pub(super) struct ListedHeight<'r> {
    value: Value<'r>,
    means: Means,
    /// The height, where the file says it.
    given: Option<Length>,
}

impl ListedHeight<'_> {
    /// The height of the kart of that weighing.
    pub(super) fn of(self, weighing: &Weighing, chassis: &Chassis) -> Heights {
        if let (Means::Lifted(lifts), Some(_)) = (&self.means, weighing.aboard.driver) {
            let angles = lifts.lifts.iter().map(|lift| lift.angle_deg);
            let most = angles.max_by(f64::total_cmp).unwrap_or_default();
            if most > MOST_ABOARD_DEG {
                let (found, most) = (trimmed(most, 2), trimmed(MOST_ABOARD_DEG, 0));
                self.value.note_key(Fault::LiftAboard { found, most });
            }
        }
        let height = match &self.means {
            Means::Given { .. } => self.given.unwrap_or_default(),
            Means::Lifted(lifts) => {
                let height = Length::from_mm(lifts.lifting(weighing, chassis).height_mm());
                let usual = bounds::HEIGHT_AIM.least..=bounds::HEIGHT_AIM.most;
                if !(usual.contains(&height.mm()) || self.value.reading().lifted()) {
                    let found = written_length(Length::from_mm(height.mm().round()), self.value.units());
                    self.value.note_key(Fault::HeightImpossible { found });
                }
                height
            }
        };
        Heights { means: self.means, height, weighing: weighing.clone() }
    }
}

/// Degrees that a protractor or a phone on the frame tells. Common practice, no published source.
const ANGLE_WITHIN_DEG: f64 = 0.3;
/// Below the first the loads hardly change, above the second the kart stands on end: no height can be told.
const ANGLES_DEG: (f64, f64) = (1.0, 60.0);
/// Beyond, nobody is lifted with a kart, degrees. Common practice, no published source.
const MOST_ABOARD_DEG: f64 = 10.0;
/// Angles nearer to each other than this are one angle, degrees.
const SAME_ANGLE_DEG: f64 = 1.0;

/// How nearly a height is known that somebody else found, mm. Common practice, no published source.
const GIVEN_WITHIN_MM: f64 = 20.0;

/// What `height` says.
pub(super) fn heights(given: keys::Height) -> Option<ListedHeight> {
    let value = given.value().clone();
    if given.given.value.is_some() {
        let within = given.within.or(Length::from_mm(GIVEN_WITHIN_MM))?;
        return Some(ListedHeight { value, means: Means::Given { within }, given: Some(given.given.read?) });
    }
    let lifts = given.lifts.at(|key, items| lifts(key, &items)).read;
    let lifts = Lifts {
        radius_front: given.radius_front.read?,
        radius_rear: given.radius_rear.read?,
        angle_within_deg: given.angle_within.or(ANGLE_WITHIN_DEG)?,
        lifts: lifts?,
    };
    Some(ListedHeight { value, means: Means::Lifted(lifts), given: None })
}

fn lifts(value: &Value, items: &[Value]) -> Option<Vec<Lift>> {
    if !value.at_most(bounds::MOST_REPEATS, "lifts", items.len()) {
        return None;
    }
    let lifts = every(items.iter().map(lift))?;
    let angles = || lifts.iter().map(|lift| lift.angle_deg);
    let least = angles().min_by(f64::total_cmp).unwrap_or(0.0);
    let most = angles().max_by(f64::total_cmp).unwrap_or(0.0);
    if most - least < SAME_ANGLE_DEG {
        value.note_key(Fault::OneAngle { lifts: lifts.len() });
        return None;
    }
    Some(lifts)
}

fn lift(value: &Value) -> Option<Lift> {
    let given = keys::Lift::read(value)?;
    let angle_deg = given.angle.read?;
    let (least, most) = ANGLES_DEG;
    if !(least..=most).contains(&angle_deg) {
        let (found, least, most) = (trimmed(angle_deg, 2), trimmed(least, 0), trimmed(most, 0));
        given.angle.value?.note(Fault::LiftAngle { found, least, most });
        return None;
    }
    Some(Lift { raised: given.raised.read?, angle_deg, other_axle_kg: given.load.read?.kg() })
}

/// Where a height is aimed at: among the targets, or by a variation of the trip.
pub(super) fn wished<'r>(
    targets: Option<&Value<'r>>,
    trip_value: Option<&Value<'r>>,
    trip: Option<&Trip>,
) -> Option<Value<'r>> {
    let usual = targets.and_then(|targets| targets.peek("height"));
    let mut targets = trip.into_iter().flat_map(|trip| &trip.variations).flat_map(|one| &one.targets);
    let varied = targets.any(|target| target.figure == Figure::Height);
    usual.or_else(|| trip_value.cloned().filter(|_| varied))
}

/// Notes everything that a target of height needs and the file does not say: the height of the kart, and how high all that
/// comes off or goes on acts.
pub(super) fn needed(
    wish: Option<&Value>,
    mounts: &Mounts,
    tanks: Option<&[ListedTank]>,
    drivers: Option<&[ListedDriver]>,
    first: Option<&Weighing>,
) {
    let (Some(wish), Some(drivers)) = (wish, drivers) else { return };
    let root = wish.reading().root();
    if root.peek("height").is_none() {
        wish.note_key(Fault::HeightUnknown { example: "240 mm".to_owned() });
    }
    let look_at = |value: &Value, what: String| {
        if (value.is_settings() || value.word().is_some()) && value.peek("z").is_none() {
            value.note_key(Fault::HowHigh { what, example: "250 mm".to_owned() });
        }
    };
    for (value, name) in mounts.values.iter().zip(&mounts.names) {
        look_at(value, format!("mount `{name}`"));
    }
    if let Some(fuel) = root.peek("fuel").filter(Value::is_settings) {
        // One tank is listed as settings of its own, several under their names.
        let one = fuel.peek("start").is_some();
        for tank in tanks.unwrap_or_default() {
            match fuel.peek(&tank.name) {
                Some(value) if !one => look_at(&value, format!("tank `{}`", tank.name)),
                _ => look_at(&fuel, "the tank".to_owned()),
            }
        }
    }
    // Whoever was weighed and is the only one to drive is a part of the kart whose height is known.
    let aboard = first.and_then(|first| first.aboard.driver);
    for (index, driver) in drivers.iter().enumerate() {
        if drivers.len() > 1 || aboard != Some(index) {
            look_at(&driver.value, format!("driver `{}`", driver.name));
        }
    }
}
