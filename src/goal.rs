//! The five goals, their order and the resolution to which each is solved.

use schemars::JsonSchema;
use serde::Serialize;

use crate::units::Mass;

/// One goal of the program; design order is the order of declaration.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Goal {
    /// The lightest legal total.
    Legal,
    /// Kilograms outside the tolerances, summed over the targets.
    Targets,
    /// Total mass again, among plans of that balance.
    Light,
    /// Changes from what is fitted now.
    Work,
    /// Kilograms from the targets, summed over the targets.
    Close,
}

impl Goal {
    /// All goals in their usual order.
    pub const ALL: [Goal; 5] = [Goal::Legal, Goal::Targets, Goal::Light, Goal::Work, Goal::Close];

    /// The word for it, in files, on screens and in JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Goal::Legal => "legal",
            Goal::Targets => "targets",
            Goal::Light => "light",
            Goal::Work => "work",
            Goal::Close => "close",
        }
    }

    /// In which it is measured.
    pub const fn unit(self) -> &'static str {
        if matches!(self, Goal::Work) { "count" } else { "kg" }
    }

    /// The goal of that word.
    pub fn from_word(word: &str) -> Option<Goal> {
        Goal::ALL.into_iter().find(|goal| goal.word() == word)
    }
}

/// How a user wants the goals: their order, their resolutions, and the mass that balance may cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Preferences {
    /// Goals after `legal`, in order; each of targets, light, work and close exactly once.
    pub order: [Goal; 4],
    /// Resolution of `legal`.
    pub legal: Mass,
    /// Resolution of `targets`.
    pub targets: Mass,
    /// Resolution of `light`.
    pub light: Mass,
    /// Resolution of `work`, in changes.
    pub work: u32,
    /// Resolution of `close`.
    pub close: Mass,
    /// The total may exceed the lightest legal one by this much, never more.
    pub spare: Mass,
}

impl Preferences {
    /// All five goals in the order in which they are solved.
    pub fn goals(&self) -> [Goal; 5] {
        let [second, third, fourth, fifth] = self.order;
        [Goal::Legal, second, third, fourth, fifth]
    }
}

impl Default for Preferences {
    fn default() -> Preferences {
        Preferences {
            order: [Goal::Targets, Goal::Light, Goal::Work, Goal::Close],
            legal: Mass::from_kg(0.05),
            targets: Mass::from_kg(0.05),
            light: Mass::from_kg(0.25),
            work: 0,
            close: Mass::from_kg(0.05),
            spare: Mass::from_kg(1.0),
        }
    }
}
