//! The part of a file about how high things are: lifts of an axle, or a height that somebody found, and what a target of height
//! needs besides.
//! Takes the settings under `height`; gives the height with its limits, or notes what is wrong or missing.
//! Does not fit lifts: `crate::height` does.

use super::drivers::ListedDriver;
use super::mounts::Mounts;
use super::tanks::ListedTank;
use super::weighed::ListedWeighing;
use super::{Figure, Trip, Weighing, bounds};
use crate::decimals::trimmed;
use crate::diagnosis::Fault;
use crate::document::{Fields, Noted, Value, written_length};
use crate::height::{Axle, Lift, Lifting};
use crate::statics::{Chassis, Corners};
use crate::units::{Length, Mass};

/// How high the centre of gravity of the kart is, with what was aboard at the main weighing.
#[derive(Clone, Debug, PartialEq)]
pub struct Heights {
    /// Whence it is known.
    pub means: Means,
    /// The height itself.
    pub height: Length,
    /// The weighing whose kart it is of: the main one of the file, whatever was weighed later.
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
/// Angles nearer to each other than this are one angle, degrees.
const SAME_ANGLE_DEG: f64 = 1.0;

/// How nearly a height is known that somebody else found, mm. Common practice, no published source.
const GIVEN_WITHIN_MM: f64 = 20.0;

/// Reads `height`.
pub(super) fn heights<'r>(value: &Value<'r>) -> Option<ListedHeight<'r>> {
    let fields =
        value.settings("height", "height: {radius_front: 125 mm, radius_rear: 140 mm, lifts: [...]}")?;
    let given = fields.value("given");
    let both = given.is_some() && value.peek("lifts").is_some();
    let lifts = if given.is_none() || both { lifted(&fields) } else { None };
    let known = match given {
        Some(given) => {
            if let Some(lifts) = fields.value("lifts") {
                lifts.note_key(Fault::BothGiven { first: "given", second: "lifts" });
            }
            let given = given.length(bounds::HEIGHT_AIM);
            let standard = Length::from_mm(GIVEN_WITHIN_MM);
            let within = fields.value("within");
            let within = within.map_or(Some(standard), |within| within.length(bounds::HEIGHT_TOLERANCE));
            given.zip(within).map(|(given, within)| (Means::Given { within }, Some(given)))
        }
        None => lifts.map(|lifts| (Means::Lifted(lifts), None)),
    };
    fields.finish();
    known.map(|(means, given)| ListedHeight { value: value.clone(), means, given })
}

fn lifted(fields: &Fields) -> Option<Lifts> {
    const EXAMPLE: &str =
        "lifts: [{raised: rear, angle: 10, load: 66.4 kg}, {raised: rear, angle: 20, load: 69.8 kg}]";
    let radius = |key, example| fields.required(key, example).and_then(|value| value.length(bounds::RADIUS));
    let radius_front = radius("radius_front", "radius_front: 125 mm");
    let radius_rear = radius("radius_rear", "radius_rear: 140 mm");
    let within = fields
        .value("angle_within")
        .map_or(Some(ANGLE_WITHIN_DEG), |value| value.number_always(bounds::ANGLE_WITHIN));
    let lifts = fields.required("lifts", EXAMPLE).and_then(|value| {
        let items = value.list(EXAMPLE)?;
        if items.len() > bounds::MOST_REPEATS {
            value.note_key(Fault::TooMany { what: "lifts", most: bounds::MOST_REPEATS, found: items.len() });
            return None;
        }
        let read: Vec<Option<Lift>> = items.iter().map(lift).collect();
        let lifts: Vec<Lift> = read.into_iter().collect::<Option<_>>()?;
        let angles = || lifts.iter().map(|lift| lift.angle_deg);
        let least = angles().min_by(f64::total_cmp).unwrap_or(0.0);
        let most = angles().max_by(f64::total_cmp).unwrap_or(0.0);
        if most - least < SAME_ANGLE_DEG {
            value.note_key(Fault::OneAngle { lifts: lifts.len() });
            return None;
        }
        Some(lifts)
    });
    Some(Lifts {
        radius_front: radius_front?,
        radius_rear: radius_rear?,
        angle_within_deg: within?,
        lifts: lifts?,
    })
}

fn lift(value: &Value) -> Option<Lift> {
    let fields = value.settings("lifts", "{raised: rear, angle: 10, load: 66.4 kg}")?;
    let axles = [("rear", Axle::Rear), ("front", Axle::Front)];
    let raised = fields.required("raised", "raised: rear").and_then(|value| value.choice(&axles));
    let angle = fields.required("angle", "angle: 10").and_then(|value| angle(&value));
    let load = fields.required("load", "load: 66.4 kg").and_then(|value| value.mass(bounds::AXLE));
    fields.finish();
    Some(Lift { raised: raised?, angle_deg: angle?, other_axle_kg: load.map(Mass::kg)? })
}

fn angle(value: &Value) -> Option<f64> {
    let degrees = value.number_always(bounds::ANGLE)?;
    let (least, most) = ANGLES_DEG;
    if (least..=most).contains(&degrees) {
        return Some(degrees);
    }
    value.note(Fault::LiftAngle {
        found: trimmed(degrees, 2),
        least: trimmed(least, 0),
        most: trimmed(most, 0),
    });
    None
}

/// Where a height is aimed at: among the targets, or by a variation of the trip.
pub(super) fn wished<'r>(
    targets: Option<&Value<'r>>,
    trip_value: Option<&Value<'r>>,
    trip: &Result<Option<Trip>, Noted>,
) -> Option<Value<'r>> {
    let usual = targets.and_then(|targets| targets.peek("height"));
    let trip = trip.as_ref().ok().and_then(Option::as_ref);
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
    main: Option<&ListedWeighing>,
) {
    let (Some(wish), Some(drivers)) = (wish, drivers) else { return };
    let Some(root) = wish.reading().root() else { return };
    if root.value("height").is_none() {
        wish.note_key(Fault::HeightUnknown);
    }
    let look_at = |value: &Value, what: String| {
        if value.is_settings() && value.peek("z").is_none() {
            value.note_key(Fault::HowHigh { what });
        }
    };
    for (value, name) in mounts.values.iter().zip(&mounts.names) {
        look_at(value, format!("mount `{name}`"));
    }
    if let Some(fuel) = root.value("fuel").filter(Value::is_settings) {
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
    let aboard = main.and_then(|main| main.weighing.as_ref()).and_then(|main| main.aboard.driver);
    for (index, driver) in drivers.iter().enumerate() {
        if drivers.len() > 1 || aboard != Some(index) {
            look_at(&driver.value, format!("driver `{}`", driver.name));
        }
    }
}
