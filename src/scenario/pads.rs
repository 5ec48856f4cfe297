//! The parts of a file about how sure its numbers are: the pads, what was measured how nearly, the officials' scale.

use super::keys::{self, Limit};
use crate::diagnosis::Fault;
use crate::document::Given;
use crate::scale::{Accuracy, Class};
use crate::units::{Length, Mass, UnitSystem};

/// The four pads; every limit means ±.
#[derive(Clone, Debug, PartialEq)]
pub struct Pads {
    /// One step of the display.
    pub step: Mass,
    /// Limit of each pad's own error.
    pub accuracy: Accuracy,
    /// Limit of the error that all four share since they were calibrated together, percent of the load.
    pub shared_percent: f64,
    /// Standard deviation of one pad's reading by itself when the kart is rolled off and on again.
    pub repeatability: Mass,
    /// Limit of what a pad's zero moves during a weighing.
    pub drift: Mass,
    /// Limit of each pad's height above or below the plane of the others.
    pub level: Length,
    /// Limit of how much higher a pad's own top is under one wheel than under the other of a kart that is turned a quarter.
    pub top_level: Length,
    /// Keys for which the file has no value.
    pub assumed: Vec<&'static str>,
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

/// What the file says, if anything, and the keys for which it has no value.
struct Told<B> {
    given: Option<B>,
    assumed: Vec<&'static str>,
}

impl<B> Told<B> {
    /// What the file says, or the default; what is wrong with it has been noted.
    fn or<T: Copy>(&mut self, key: &'static str, of: impl Fn(&B) -> &Given<T>, standard: T) -> T {
        let given = self.given.as_ref().map(of);
        if given.is_none_or(|given| given.value.is_none()) {
            self.assumed.push(key);
        }
        given.and_then(|given| given.read).unwrap_or(standard)
    }

    /// `class` or `accuracy`, which are two ways to say one thing; the default is called by one of them.
    fn accuracy(
        &mut self,
        key: &'static str,
        of: impl Fn(&B) -> &keys::Scale,
        standard: Accuracy,
    ) -> Accuracy {
        let scale = self.given.as_ref().map(of);
        match scale.map(|scale| (&scale.class, &scale.accuracy)) {
            Some((class, Given { value: Some(_), read })) => {
                class.note_key(Fault::BothGiven { first: "accuracy", second: "class" });
                match read {
                    Some(Limit::Mass(mass)) => Accuracy::Mass(*mass),
                    Some(Limit::Percent(percent)) => Accuracy::Percent(*percent),
                    None => standard,
                }
            }
            Some((Given { value: Some(_), read }, _)) => read.map_or(standard, Accuracy::Class),
            _ => {
                self.assumed.push(key);
                standard
            }
        }
    }
}

/// One step of a display in the units of a file: a tenth of a kilogram, or so many pounds.
fn step(units: UnitSystem, in_pounds: Mass) -> Mass {
    if units == UnitSystem::KgMm { Mass::from_ng(100_000_000_000) } else { in_pounds }
}

impl Default for Pads {
    fn default() -> Pads {
        Pads::told(None, UnitSystem::KgMm)
    }
}

impl Pads {
    /// Standard deviation at LF of how the kart settles along twist when it is rolled off and on again: taken to be as large as
    /// that of one pad. Assumed.
    pub fn settling_kg(&self) -> f64 {
        self.repeatability.kg()
    }

    /// What `pads` says. Where it is silent:
    /// A good set of four pads, levelled with a spirit level on a straight edge, read in the units of the file. Common practice, no
    /// published source.
    pub(super) fn told(given: Option<keys::Pads>, units: UnitSystem) -> Pads {
        let step = step(units, Mass::from_lb(0.2));
        let mut told = Told { given, assumed: Vec::new() };
        Pads {
            step: told.or("step", |given| &given.scale.step, step),
            accuracy: told.accuracy("accuracy", |given| &given.scale, Accuracy::Percent(0.1)),
            shared_percent: told.or("shared", |given| &given.shared, 0.1),
            repeatability: told.or("repeatability", |given| &given.repeatability, step),
            drift: told.or("drift", |given| &given.drift, step),
            level: told.or("level", |given| &given.level, Length::from_mm(0.5)),
            top_level: told.or("top_level", |given| &given.top_level, Length::from_mm(0.2)),
            assumed: told.assumed,
        }
    }
}

impl Default for Within {
    fn default() -> Within {
        Within::told(None, None)
    }
}

/// What the file says of how the frame twists; the usual frame is assumed for the rest.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct FrameTold {
    roll_share: bool,
    twist_rate: bool,
}

impl FrameTold {
    pub(super) fn by(kart: &keys::Kart) -> FrameTold {
        let stiffness = kart.stiffness.value.is_some();
        FrameTold {
            roll_share: stiffness || kart.roll_share.value.is_some(),
            twist_rate: stiffness || kart.twist_rate.value.is_some(),
        }
    }
}

impl Within {
    /// What is assumed where the file says how the frame twists, and not how nearly.
    pub fn measured() -> Within {
        Within::told(None, Some(FrameTold { roll_share: true, twist_rate: true }))
    }

    /// What `measured_within` says. Where it is silent:
    /// Tape measure, person scale, kitchen scale, marks on a tank. Common practice, no published source. How a frame twists is as
    /// wide as what is on the road (`Stiffness::default`) where the file says nothing of it, else as a mechanic measures it (assumed).
    pub(super) fn told(given: Option<keys::MeasuredWithin>, frame: Option<FrameTold>) -> Within {
        let frame = frame.unwrap_or_default();
        let roll_share = if frame.roll_share { 0.05 } else { 0.07 };
        let twist_rate = if frame.twist_rate { 20.0 } else { 50.0 };
        let mut told = Told { given, assumed: Vec::new() };
        Within {
            lengths: told.or("lengths", |given| &given.lengths, Length::from_mm(3.0)),
            places: told.or("places", |given| &given.places, Length::from_mm(10.0)),
            driver: told.or("driver", |given| &given.driver, Mass::from_ng(200_000_000_000)),
            driver_place: told.or("driver_place", |given| &given.driver_place, Length::from_mm(20.0)),
            fuel: told.or("fuel", |given| &given.fuel, Mass::from_ng(150_000_000_000)),
            weighed_lead: told.or("weighed_lead", |given| &given.weighed_lead, Mass::from_ng(5_000_000_000)),
            nominal_lead_percent: told.or("nominal_lead", |given| &given.nominal_lead, 1.0),
            roll_share: told.or("roll_share", |given| &given.roll_share, roll_share),
            twist_rate_percent: told.or("twist_rate", |given| &given.twist_rate, twist_rate),
            assumed: told.assumed,
        }
    }
}

impl Default for Inspection {
    fn default() -> Inspection {
        Inspection::told(None, UnitSystem::KgMm)
    }
}

impl Inspection {
    /// What `inspection` says. Where it is silent:
    /// A platform scale of class III with steps of 0.1 kg or 0.5 lb, at the end of a sprint race. Common practice, no published
    /// source.
    pub(super) fn told(given: Option<keys::Inspection>, units: UnitSystem) -> Inspection {
        let class = if units == UnitSystem::KgMm { Class::OimlIii } else { Class::NistIii };
        let mut told = Told { given, assumed: Vec::new() };
        Inspection {
            step: told.or("step", |given| &given.scale.step, step(units, Mass::from_lb(0.5))),
            accuracy: told.accuracy("class", |given| &given.scale, Accuracy::Class(class)),
            minutes: told.or("minutes", |given| &given.minutes, 15.0),
            clothing: told.or("clothing", |given| &given.clothing, Mass::from_ng(100_000_000_000)),
            assumed: told.assumed,
        }
    }
}
