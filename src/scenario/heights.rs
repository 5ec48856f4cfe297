//! The part of a file about lifts: radii, angles, loads on the axle that stays down.
//! Takes the settings under `height`; gives lifts with their limits, or notes what is wrong.
//! Does not compute a height.

use super::bounds;
use crate::diagnosis::Fault;
use crate::document::{Value, decimal};
use crate::height::{Axle, Lift};
use crate::units::{Length, Mass};

/// Lifts of the kart with what was aboard at the main weighing.
#[derive(Clone, Debug, PartialEq)]
pub struct Heights {
    /// Loaded radius of the front wheels.
    pub radius_front: Length,
    /// Loaded radius of the rear wheels.
    pub radius_rear: Length,
    /// Limit of each angle, degrees.
    pub angle_within_deg: f64,
    /// Lifts at two angles at least.
    pub lifts: Vec<Lift>,
}

/// Degrees that a protractor or a phone on the frame tells. Common practice, no published source.
const ANGLE_WITHIN_DEG: f64 = 0.3;
/// Below the first the loads hardly change, above the second the kart stands on end: no height can be told.
const ANGLES_DEG: (f64, f64) = (1.0, 60.0);
/// Angles nearer to each other than this are one angle, degrees.
const SAME_ANGLE_DEG: f64 = 1.0;

/// Reads `height`.
pub(super) fn heights(value: &Value) -> Option<Heights> {
    const EXAMPLE: &str =
        "lifts: [{raised: rear, angle: 10, load: 66.4 kg}, {raised: rear, angle: 20, load: 69.8 kg}]";
    let fields =
        value.settings("height", "height: {radius_front: 125 mm, radius_rear: 140 mm, lifts: [...]}")?;
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
    fields.finish();
    Some(Heights {
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
        found: decimal(degrees, 2),
        least: decimal(least, 0),
        most: decimal(most, 0),
    });
    None
}
