//! What the corners are wanted to show: figures, aims with their bands, and when they count.
//! Gives plain data that the scenario, the model, the judge and the reports share.
//! Does not know how a figure is measured (`weighing`), nor how it is named on a screen (`report::target`).

use super::Moment;
use crate::units::Mass;

/// A number that the corners are wanted to show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Figure {
    /// Front share of the total, percent.
    Front,
    /// Rear share of the total, percent.
    Rear,
    /// Left share of the total, percent.
    Left,
    /// Share of RF + LR, percent.
    Cross,
    /// LF − RF, a mass.
    FrontPair,
    /// LR − RR, a mass.
    RearPair,
}

impl Figure {
    /// All figures, in the order of reports.
    pub const ALL: [Figure; 6] =
        [Figure::Front, Figure::Rear, Figure::Left, Figure::Cross, Figure::FrontPair, Figure::RearPair];

    /// The key in files and JSON.
    pub const fn key(self) -> &'static str {
        match self {
            Figure::Front => "front",
            Figure::Rear => "rear",
            Figure::Left => "left",
            Figure::Cross => "cross",
            Figure::FrontPair => "front_pair",
            Figure::RearPair => "rear_pair",
        }
    }
}

/// How a target is stated: aim and half-width of the band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Aim {
    /// A share of the total, both numbers in percent of it.
    Percent {
        /// Wanted share.
        aim: f64,
        /// Half-width of the band.
        within: f64,
    },
    /// A difference of two corners.
    Difference {
        /// Wanted difference.
        aim: Mass,
        /// Half-width of the band.
        within: Mass,
    },
}

/// In which states a target counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    /// Only with the fuel of one moment.
    At(Moment),
    /// At the start and at the finish; the worse counts.
    Both,
}

impl When {
    /// Whether the target counts at `moment`.
    pub fn includes(self, moment: Moment) -> bool {
        match self {
            When::At(one) => one == moment,
            When::Both => true,
        }
    }
}

/// One wanted figure with its band.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    /// What is wanted.
    pub figure: Figure,
    /// How much of it, and how nearly.
    pub aim: Aim,
    /// In which states.
    pub when: When,
    /// Factor on its misses, 1 if the file does not say.
    pub weight: f64,
}
