//! What a scale may err by: its class, or what its maker says.
//! Knows class III, in which shop and track scales are; does not know whose scale it is.

use crate::units::Mass;

/// Whose table of class III limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Class {
    /// OIML R 76-1, as in UK SI 1995 No. 1907, Schedule 2, Table 3.
    OimlIii,
    /// NIST Handbook 44, section 2.20, Table 6.
    NistIii,
}

impl Class {
    /// All classes.
    pub const ALL: [Class; 2] = [Class::OimlIii, Class::NistIii];

    /// The words for it.
    pub const fn words(self) -> &'static str {
        match self {
            Class::OimlIii => "oiml III",
            Class::NistIii => "nist III",
        }
    }
}

/// Whether a scale has just been verified.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Age {
    /// On initial verification, or acceptance.
    New,
    /// In service, or maintenance.
    InService,
}

/// What limits a scale's error.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Accuracy {
    /// Percent of the load, as makers say it.
    Percent(f64),
    /// A mass, whatever the load.
    Mass(Mass),
    /// A class, in service.
    Class(Class),
}

impl Class {
    /// The error that a scale of this class with that interval may have at a load, either way.
    ///
    /// OIML: 0.5 e up to 500 e, 1 e to 2,000 e, 1.5 e beyond, twice that in service. NIST: 1 d up to 500 d, 2 d to 2,000 d,
    /// 3 d to 4,000 d, 5 d beyond, half of that on acceptance.
    pub fn limit(self, interval: Mass, load: Mass, age: Age) -> Mass {
        let up_to = |intervals: u32| load.abs() <= interval * intervals;
        let halves = match self {
            Class::OimlIii => {
                let new = if up_to(500) {
                    1
                } else if up_to(2000) {
                    2
                } else {
                    3
                };
                if age == Age::New { new } else { 2 * new }
            }
            Class::NistIii => {
                let acceptance = if up_to(500) {
                    1
                } else if up_to(2000) {
                    2
                } else if up_to(4000) {
                    3
                } else {
                    5
                };
                if age == Age::New { acceptance } else { 2 * acceptance }
            }
        };
        Mass::from_ng((interval * halves).ng() / 2)
    }
}

impl Accuracy {
    /// The error that a scale with that interval may have at a load, either way, in kg.
    pub fn limit_kg(self, interval: Mass, load: Mass) -> f64 {
        match self {
            Accuracy::Percent(percent) => percent / 100.0 * load.abs().kg(),
            Accuracy::Mass(mass) => mass.kg(),
            Accuracy::Class(class) => class.limit(interval, load, Age::InService).kg(),
        }
    }
}
