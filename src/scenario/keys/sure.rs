//! Keys that say how sure the file is: pads, tapes, the officials' scale, lifts.

use serde_json::Value as Json;

use super::{bounds, within};
use crate::document::Value;
use crate::document::block::blocks;
use crate::document::form::{self as a, Described, Form};
use crate::height::Axle;
use crate::scale::Class;
use crate::units::{Length, Mass};

const WITHIN_LENGTH: a::Measured<Length> = a::length(within("", 0.0, 200.0));
const WITHIN_MASS: a::Measured<Mass> = a::mass(bounds::WITHIN_MASS);

/// A mass or a percentage.
#[derive(Clone, Copy)]
pub(in crate::scenario) enum Limit {
    Mass(Mass),
    Percent(f64),
}

/// The form of a mass or a percentage: what ends in `%` is the second.
pub(in crate::scenario) struct MassOrPercent(a::Measured<Mass>, a::Measured<f64>);

/// A mass or a percentage: what ends in `%` is the second.
pub(in crate::scenario) const fn mass_or_percent(
    mass: a::Measured<Mass>,
    percent: a::Measured<f64>,
) -> MassOrPercent {
    MassOrPercent(mass, percent)
}

impl Described for MassOrPercent {
    fn schema(&self) -> Json {
        a::Any(&[&self.0, &self.1]).schema()
    }
}

impl<'r> Form<'r> for MassOrPercent {
    type Out = Limit;
    fn read(&self, value: &Value<'r>) -> Option<Limit> {
        match value.word() {
            Some(word) if word.ends_with('%') => self.1.read(value).map(Limit::Percent),
            _ => self.0.read(value).map(Limit::Mass),
        }
    }
}

blocks! {
    pub(in crate::scenario),

    /// What every scale says of itself.
    Scale like "" {
        optional step: Mass = a::mass(bounds::STEP), "one step of the display";
        optional class: Class = a::Choice(&[("oiml III", Class::OimlIii), ("nist III", Class::NistIii)]),
            "accuracy class; instead of accuracy";
        optional accuracy: Limit = mass_or_percent(a::mass(within("a scale", 0.0, 5.0)), a::percent(bounds::ACCURACY_PERCENT)),
            "limit of the scale's own error, a mass or a percentage";
    }

    /// The four pads.
    Pads like "{step: 0.1 kg, accuracy: 0.1 %, level: 0.5 mm}" with (scale: Scale<'r>) {
        optional shared: f64 = a::percent(bounds::ACCURACY_PERCENT), "error that all four pads share";
        optional repeatability: Mass = a::mass(bounds::REPEATABILITY),
            "standard deviation when the kart is rolled off and on";
        optional drift: Mass = a::mass(bounds::DRIFT), "how far a zero moves during a weighing";
        optional level: Length = a::length(within("a pad", 0.0, 30.0)), "how far a pad stands off the plane of the others";
        optional top_level: Length = a::length(within("a pad", 0.0, 30.0)),
            "how far a pad's own top is higher where one wheel stands than where the other does, of a kart turned a quarter";
    }

    /// How nearly all else was measured.
    MeasuredWithin like "{lengths: 2 mm, fuel: 0.1 kg}" {
        optional lengths: Length = WITHIN_LENGTH, "wheelbase and tracks";
        optional places: Length = WITHIN_LENGTH, "each coordinate of mounts and tanks";
        optional driver: Mass = WITHIN_MASS, "a driver's dressed mass";
        optional driver_place: Length = WITHIN_LENGTH, "each coordinate at which a driver acts";
        optional fuel: Mass = WITHIN_MASS, "fuel in a tank";
        optional weighed_lead: Mass = WITHIN_MASS, "a piece weighed by itself";
        optional nominal_lead: f64 = a::percent(within("", 0.0, 20.0)), "a piece known by its nominal mass";
        optional roll_share: f64 = a::number(bounds::ROLL_SHARE), "the roll share at either axle";
        optional twist_rate: f64 = a::percent(within("", 0.0, 80.0)), "the twist rate";
    }

    /// The officials' scale, and what happens before it.
    Inspection like "{step: 0.1 kg, class: oiml III, minutes: 15}" with (scale: Scale<'r>) {
        optional minutes: f64 = a::number(within("", 0.0, 1440.0)), "that the driver sweats";
        optional clothing: Mass = a::mass(within("", 0.0, 5.0)), "clothing, dirt, tyre wear and water";
    }

    /// The height of the centre of gravity.
    Height like "{radius_front: 125 mm, radius_rear: 140 mm, lifts: [...]}" {
        required[0] given: Length = a::length(bounds::HEIGHT_AIM), "of the kart as weighed, up from the ground";
        optional[0] within: Length = a::length(bounds::HEIGHT_TOLERANCE), "how nearly it is known";
        required[1] radius_front: Length = a::length(bounds::RADIUS), "loaded radius of the front wheels" like "125 mm";
        required[1] radius_rear: Length = a::length(bounds::RADIUS), "loaded radius of the rear wheels" like "140 mm";
        optional[1] angle_within: f64 = a::number(within("a lift", 0.0, 10.0)).always(),
            "how nearly the angles are known, degrees";
        required[1] lifts: Vec<Value<'r>> = a::List(
                &a::settings::<Lift>(),
                "[{raised: rear, angle: 10, load: 66.4 kg}, {raised: rear, angle: 20, load: 69.8 kg}]",
            ), "lifts at two angles at least";
    }

    /// A lift of one axle.
    Lift like "{raised: rear, angle: 10, load: 66.4 kg}" {
        required raised: Axle = a::Choice(&[("rear", Axle::Rear), ("front", Axle::Front)]),
            "the axle that was lifted" like "rear";
        required angle: f64 = a::number(bounds::ANGLE).always(), "of the kart to the ground, degrees" like "10";
        required load: Mass = a::mass(within("an axle", 0.5, 600.0)), "on the other axle" like "66.4 kg";
    }
}
