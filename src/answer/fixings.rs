//! The check list of bolts, washers and nuts of a kit.
//! Takes the kit's plans and the user's fixing rules; gives lengths and numbers.
//! Does not count (`hardware`).

use schemars::JsonSchema;
use serde::Serialize;

use crate::hardware::{CheckList, Fastened};
use crate::marks::{fine, given};
use crate::quantity::{Exact, Mm};
use crate::scenario::{self, Scenario};
use crate::tasks::pack::Packed;

/// The check list of bolts, washers and nuts.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Fixings {
    /// Of the bolts.
    pub diameter: Exact<Mm>,
    /// How many of each length, spares included.
    pub bolts: Vec<Bolts>,
    /// Spares included.
    pub washers: u32,
    /// Spares included.
    pub lock_nuts: u32,
    /// How many of everything are spares.
    pub spares_of_each: u32,
    /// Mount by mount.
    pub mounts: Vec<MountBolts>,
    /// What is not as it should be, or not known, one sentence each.
    pub remarks: Vec<String>,
}

/// Bolts of one length.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Bolts {
    /// How long.
    pub length: Exact<Mm>,
    /// How many.
    pub count: u32,
}

/// Bolts of one mount for one thickness of lead.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MountBolts {
    /// The mount.
    pub mount: String,
    /// How many.
    pub bolts: u32,
    /// How long; none if no bolt is long enough.
    pub length: Option<Exact<Mm>>,
    /// The thickest stack of lead that they go through.
    pub stack: Exact<Mm>,
    /// What that needs.
    pub needed: Exact<Mm>,
    /// In so many of the cases.
    pub cases: usize,
}

impl Fixings {
    /// For the cases of a trip, one at a time.
    pub fn new(scenario: &Scenario, hardware: &scenario::Hardware, packed: &Packed) -> Fixings {
        let plans: Vec<_> =
            packed.cases.iter().map(|served| (&served.scenario, &served.plan().measured().counts)).collect();
        let list = CheckList::new(hardware, &plans);
        let lines = list.mounts.iter().flat_map(|fastened| {
            fastened.stacks.iter().map(|stack| MountBolts {
                mount: scenario.mounts()[fastened.mount].name.clone(),
                bolts: stack.bolts,
                length: stack.length.map(Exact::from),
                stack: stack.thickness.into(),
                needed: stack.needed.into(),
                cases: stack.plans.len(),
            })
        });
        Fixings {
            diameter: hardware.diameter.into(),
            bolts: list
                .bolts
                .iter()
                .map(|(length, count)| Bolts { length: (*length).into(), count: *count })
                .collect(),
            washers: list.washers,
            lock_nuts: list.nuts,
            spares_of_each: hardware.spares,
            mounts: lines.collect(),
            remarks: list.mounts.iter().flat_map(|fastened| remarks(scenario, packed, fastened)).collect(),
        }
    }
}

fn remarks(scenario: &Scenario, packed: &Packed, fastened: &Fastened) -> Vec<String> {
    let mount = &scenario.mounts()[fastened.mount].name;
    let mut remarks = Vec::new();
    if let Some(too_long) = fastened.stacks.iter().find(|stack| stack.length.is_none()) {
        remarks.push(format!(
            "`{mount}` needs bolts of {}, longer than any that can be had",
            fine(too_long.needed)
        ));
    }
    if !fastened.unknown.is_empty() {
        let name = |kind: &usize| {
            packed.cases.first().map(|served| format!("`{}`", served.scenario.lead()[*kind].name))
        };
        let names: Vec<String> = fastened.unknown.iter().filter_map(name).collect();
        remarks.push(format!(
            "how thick {} {} is not said, so the bolts of `{mount}` are too short by that; add `thickness`",
            names.join(", "),
            if names.len() == 1 { "is" } else { "are" }
        ));
    }
    if let Some((most, bolts)) = fastened.overloaded {
        remarks.push(format!(
            "`{mount}` carries up to {}; by your rule that takes {bolts} bolts, and it has fewer",
            given(most)
        ));
    }
    if fastened.is_guessed {
        remarks.push(format!(
            "how many bolts `{mount}` has is not said; as few are counted as your rules allow: add `bolts` to it"
        ));
    }
    remarks
}
