//! What is wanted of a kart: a figure, how much of it, how nearly, and when.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Moment, Scenario};
use crate::units::{Length, Mass};

/// A number that the corners are wanted to show.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
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
    /// Height of the centre of gravity above the ground, a length.
    Height,
}

impl Figure {
    /// All figures, in the order of reports.
    pub const ALL: [Figure; 7] = [
        Figure::Front,
        Figure::Rear,
        Figure::Left,
        Figure::Cross,
        Figure::FrontPair,
        Figure::RearPair,
        Figure::Height,
    ];

    /// The key in files and JSON.
    pub const fn key(self) -> &'static str {
        match self {
            Figure::Front => "front",
            Figure::Rear => "rear",
            Figure::Left => "left",
            Figure::Cross => "cross",
            Figure::FrontPair => "front_pair",
            Figure::RearPair => "rear_pair",
            Figure::Height => "height",
        }
    }
}

/// How a target is stated: aim and half-width of the tolerance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Aim {
    /// A share of the total, both numbers in percent of it.
    Percent {
        /// Wanted share.
        aim: f64,
        /// Half-width of the tolerance.
        within: f64,
    },
    /// A difference of two corners.
    Difference {
        /// Wanted difference.
        aim: Mass,
        /// Half-width of the tolerance.
        within: Mass,
    },
    /// A height above the ground. It counts as a share of the wheelbase does: a centre of gravity a millimetre too high misses
    /// by as many kilograms as one a millimetre too far forward.
    Height {
        /// Wanted height.
        aim: Length,
        /// Half-width of the tolerance.
        within: Length,
        /// What makes shares of both.
        wheelbase: Length,
    },
}

/// An aim as the program and the judge compare it: `|F − f·W − d| ≤ t·W + e`, with the figure's kilograms F and the total W.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// f, of one.
    pub share: f64,
    /// d, kg.
    pub difference_kg: f64,
    /// t, of one.
    pub within_share: f64,
    /// e, kg.
    pub within_kg: f64,
}

impl Aim {
    /// What is compared. A share is multiplied out, so that it is linear in the masses without approximation.
    pub fn line(self) -> Line {
        match self {
            Aim::Percent { aim, within } => {
                Line { share: aim / 100.0, difference_kg: 0.0, within_share: within / 100.0, within_kg: 0.0 }
            }
            Aim::Difference { aim, within } => {
                Line { share: 0.0, difference_kg: aim.kg(), within_share: 0.0, within_kg: within.kg() }
            }
            Aim::Height { aim, within, wheelbase } => Line {
                share: aim.mm() / wheelbase.mm(),
                difference_kg: 0.0,
                within_share: within.mm() / wheelbase.mm(),
                within_kg: 0.0,
            },
        }
    }
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

/// One wanted figure with its tolerance.
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

impl Target {
    /// A share that is wanted at one moment, percent.
    pub fn share(figure: Figure, aim: f64, within: f64, moment: Moment) -> Target {
        Target { figure, aim: Aim::Percent { aim, within }, when: When::At(moment), weight: 1.0 }
    }
}

impl Scenario {
    /// What is wanted of a share and how nearly, percent; front is also what a target for the rear leaves.
    pub fn wanted_share(&self, figure: Figure) -> Option<(f64, f64)> {
        wanted_share(self.targets(), figure)
    }
}

/// The same of targets alone.
pub(super) fn wanted_share(targets: &[Target], figure: Figure) -> Option<(f64, f64)> {
    targets.iter().find_map(|target| match (target.aim, target.figure, figure) {
        (Aim::Percent { aim, within }, wanted, _) if wanted == figure => Some((aim, within)),
        (Aim::Percent { aim, within }, Figure::Rear, Figure::Front) => Some((100.0 - aim, within)),
        _ => None,
    })
}
