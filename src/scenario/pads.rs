//! The parts of a file about how sure its numbers are: the pads, what was measured how nearly, the officials' scale.
//! Takes the settings under `pads`, `measured_within` and `inspection`; gives them with a default for what nobody said, and
//! remembers which those are, since a ± that rests on an assumption must say so.
//! Does not know how a ± is computed.

use super::bounds;
use super::heights::{self, ListedHeight};
use crate::document::{Fields, Value};
use crate::scale::{Accuracy, Class};
use crate::units::{Length, Mass};

/// The four pads; every limit means ±.
#[derive(Clone, Debug, PartialEq)]
pub struct Pads {
    /// One step of the display.
    pub step: Mass,
    /// Limit of each pad's own error.
    pub accuracy: Accuracy,
    /// Limit of the error that all four share since they were calibrated together, percent of the load.
    pub shared_percent: f64,
    /// Standard deviation of one pad's reading when the kart is rolled off and on again.
    pub repeatability: Mass,
    /// Limit of what a pad's zero moves during a weighing.
    pub drift: Mass,
    /// Limit of each pad's height above or below the plane of the others.
    pub level: Length,
    /// Keys for which the file has no value.
    pub assumed: Vec<&'static str>,
}

impl Default for Pads {
    /// A good set of four pads, levelled with a spirit level on a straight edge. Common practice, no published source.
    fn default() -> Pads {
        Pads {
            step: Mass::from_ng(100_000_000_000),
            accuracy: Accuracy::Percent(0.1),
            shared_percent: 0.1,
            repeatability: Mass::from_ng(100_000_000_000),
            drift: Mass::from_ng(100_000_000_000),
            level: Length::from_mm(0.5),
            assumed: vec!["step", "accuracy", "shared", "repeatability", "drift", "level"],
        }
    }
}

/// How nearly everything but the readings was measured; every limit means ±.
#[derive(Clone, Debug, PartialEq)]
pub struct Within {
    /// Of wheelbase and tracks.
    pub lengths: Length,
    /// Of each coordinate of mounts and tanks.
    pub places: Length,
    /// Of a driver's dressed mass.
    pub driver: Mass,
    /// Of each coordinate at which a driver acts.
    pub driver_place: Length,
    /// Of fuel in a tank, at the weighing and at the inspection.
    pub fuel: Mass,
    /// Of a piece weighed by itself.
    pub weighed_lead: Mass,
    /// Of a piece known by its nominal mass, percent of it; pieces of one kind err together.
    pub nominal_lead_percent: f64,
    /// Of the roll share at either axle.
    pub roll_share: f64,
    /// Of the twist rate, percent of it.
    pub twist_rate_percent: f64,
    /// Keys for which the file has no value.
    pub assumed: Vec<&'static str>,
}

impl Default for Within {
    /// Tape measure, person scale, kitchen scale, marks on a tank; stiffness taken from a model of another kart. Common
    /// practice, no published source.
    fn default() -> Within {
        Within {
            lengths: Length::from_mm(3.0),
            places: Length::from_mm(10.0),
            driver: Mass::from_ng(200_000_000_000),
            driver_place: Length::from_mm(20.0),
            fuel: Mass::from_ng(150_000_000_000),
            weighed_lead: Mass::from_ng(5_000_000_000),
            nominal_lead_percent: 1.0,
            roll_share: 0.05,
            twist_rate_percent: 20.0,
            assumed: vec![
                "lengths",
                "places",
                "driver",
                "driver_place",
                "fuel",
                "weighed_lead",
                "nominal_lead",
                "roll_share",
                "twist_rate",
            ],
        }
    }
}

/// What happens between the weighing and the officials' verdict; every limit means ±.
#[derive(Clone, Debug, PartialEq)]
pub struct Inspection {
    /// One step of the official scale.
    pub step: Mass,
    /// Limit of the official scale's error.
    pub accuracy: Accuracy,
    /// Minutes that the driver sweats before the kart is weighed.
    pub minutes: f64,
    /// Limit of what clothing, dirt, tyre wear and water make up.
    pub clothing: Mass,
    /// Keys for which the file has no value.
    pub assumed: Vec<&'static str>,
}

impl Default for Inspection {
    /// A platform scale of class III with steps of 0.1 kg, at the end of a sprint race. Common practice, no published source.
    fn default() -> Inspection {
        Inspection {
            step: Mass::from_ng(100_000_000_000),
            accuracy: Accuracy::Class(Class::OimlIii),
            minutes: 15.0,
            clothing: Mass::from_ng(100_000_000_000),
            assumed: vec!["step", "class", "minutes", "clothing"],
        }
    }
}

/// Settings that all have a default; a key that is read is no longer assumed.
struct Optional<'f, 'r> {
    fields: &'f Fields<'r>,
    assumed: Vec<&'static str>,
}

impl<'r> Optional<'_, 'r> {
    /// A setting, or its default; what is wrong with it has been noted.
    fn read<T>(&mut self, key: &'static str, standard: T, read: impl Fn(&Value<'r>) -> Option<T>) -> T {
        match self.fields.value(key) {
            Some(value) => {
                self.assumed.retain(|assumed| *assumed != key);
                read(&value).unwrap_or(standard)
            }
            None => standard,
        }
    }

    /// `class` or `accuracy`, which are two ways to say one thing.
    fn accuracy(&mut self, standard: Accuracy) -> Accuracy {
        let class = self.fields.value("class");
        let accuracy = self.fields.value("accuracy");
        if class.is_some() || accuracy.is_some() {
            self.assumed.retain(|assumed| !["class", "accuracy"].contains(assumed));
        }
        if let (Some(class), Some(_)) = (&class, &accuracy) {
            class.note_key(crate::diagnosis::Fault::BothGiven { first: "accuracy", second: "class" });
        }
        let classes = Class::ALL.map(|class| (class.words(), class));
        let class = class.and_then(|class| class.choice(&classes)).map(Accuracy::Class);
        class.or(accuracy.as_ref().and_then(accuracy_of)).unwrap_or(standard)
    }
}

/// `0.1 %`, or a mass.
fn accuracy_of(value: &Value) -> Option<Accuracy> {
    if in_percent(value) {
        value.percent(bounds::ACCURACY_PERCENT).map(Accuracy::Percent)
    } else {
        value.mass(bounds::ACCURACY).map(Accuracy::Mass)
    }
}

/// Whether the user wrote a percentage where a mass could stand as well.
pub(super) fn in_percent(value: &Value) -> bool {
    value.word().is_some_and(|word| word.ends_with('%'))
}

/// Reads `pads`, `measured_within`, `inspection` and `height`; none of each that is wrong, which has been said, nor of a
/// height that is not there.
pub(super) fn read<'r>(
    root: &Fields<'r>,
) -> (Option<Pads>, Option<Within>, Option<Inspection>, Option<ListedHeight<'r>>) {
    (
        pads(root.value("pads").as_ref()),
        within(root.value("measured_within").as_ref()),
        inspection(root.value("inspection").as_ref()),
        root.value("height").as_ref().and_then(heights::heights),
    )
}

/// Reads `pads`.
fn pads(value: Option<&Value>) -> Option<Pads> {
    let standard = Pads::default();
    let Some(value) = value.filter(|value| !value.is_null()) else { return Some(standard) };
    let fields = value.settings("pads", "pads: {step: 0.1 kg, accuracy: 0.1 %, level: 0.5 mm}")?;
    let mut optional = Optional { fields: &fields, assumed: standard.assumed };
    let pads = Pads {
        step: optional.read("step", standard.step, |value| value.mass(bounds::STEP)),
        accuracy: optional.accuracy(standard.accuracy),
        shared_percent: optional
            .read("shared", standard.shared_percent, |value| value.percent(bounds::ACCURACY_PERCENT)),
        repeatability: optional
            .read("repeatability", standard.repeatability, |value| value.mass(bounds::REPEATABILITY)),
        drift: optional.read("drift", standard.drift, |value| value.mass(bounds::DRIFT)),
        level: optional.read("level", standard.level, |value| value.length(bounds::LEVEL)),
        assumed: optional.assumed,
    };
    fields.finish();
    Some(pads)
}

/// Reads `measured_within`.
fn within(value: Option<&Value>) -> Option<Within> {
    let standard = Within::default();
    let Some(value) = value.filter(|value| !value.is_null()) else { return Some(standard) };
    let fields = value.settings("measured_within", "measured_within: {lengths: 2 mm, fuel: 0.1 kg}")?;
    let mut optional = Optional { fields: &fields, assumed: standard.assumed };
    let length = |value: &Value| value.length(bounds::WITHIN_LENGTH);
    let mass = |value: &Value| value.mass(bounds::WITHIN_MASS);
    let within = Within {
        lengths: optional.read("lengths", standard.lengths, length),
        places: optional.read("places", standard.places, length),
        driver: optional.read("driver", standard.driver, mass),
        driver_place: optional.read("driver_place", standard.driver_place, length),
        fuel: optional.read("fuel", standard.fuel, mass),
        weighed_lead: optional.read("weighed_lead", standard.weighed_lead, mass),
        nominal_lead_percent: optional.read("nominal_lead", standard.nominal_lead_percent, |value| {
            value.percent(bounds::NOMINAL_PERCENT)
        }),
        roll_share: optional
            .read("roll_share", standard.roll_share, |value| value.number(bounds::ROLL_SHARE)),
        twist_rate_percent: optional.read("twist_rate", standard.twist_rate_percent, |value| {
            value.percent(bounds::TWIST_RATE_PERCENT)
        }),
        assumed: optional.assumed,
    };
    fields.finish();
    Some(within)
}

/// Reads `inspection`.
fn inspection(value: Option<&Value>) -> Option<Inspection> {
    let standard = Inspection::default();
    let Some(value) = value.filter(|value| !value.is_null()) else { return Some(standard) };
    let fields = value.settings("inspection", "inspection: {step: 0.1 kg, class: oiml III, minutes: 15}")?;
    let mut optional = Optional { fields: &fields, assumed: standard.assumed };
    let inspection = Inspection {
        step: optional.read("step", standard.step, |value| value.mass(bounds::STEP)),
        accuracy: optional.accuracy(standard.accuracy),
        minutes: optional.read("minutes", standard.minutes, |value| value.number(bounds::DRIVING_MINUTES)),
        clothing: optional.read("clothing", standard.clothing, |value| value.mass(bounds::CLOTHING)),
        assumed: optional.assumed,
    };
    fields.finish();
    Some(inspection)
}
