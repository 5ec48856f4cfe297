//! The check list of bolts, washers and nuts for reports.
//! Takes the kit's plans and the user's fixing rules; gives lines in the units of the screen.
//! Does not lay anything out and does not count.

use crate::hardware::{CheckList, Fastened};
use crate::report::amount::{Distance, Screen};
use crate::scenario::{Hardware, Scenario};
use crate::tasks::pack::Packed;

/// The check list.
#[derive(Clone, Debug, PartialEq)]
pub struct HardwareLines {
    /// Diameter of the bolts.
    pub diameter: Distance,
    /// How many of each length, spares included.
    pub bolts: Vec<(Distance, u32)>,
    /// Washers, spares included.
    pub washers: u32,
    /// Lock nuts, spares included.
    pub nuts: u32,
    /// How many of everything are spares.
    pub spares: u32,
    /// Mount by mount.
    pub mounts: Vec<MountBolts>,
    /// What is not as it should be, or not known, one sentence each.
    pub remarks: Vec<String>,
}

/// Bolts of one mount for one thickness of lead.
#[derive(Clone, Debug, PartialEq)]
pub struct MountBolts {
    /// The mount.
    pub mount: String,
    /// How many.
    pub bolts: u32,
    /// How long; none if no bolt is long enough.
    pub length: Option<Distance>,
    /// The thickest stack of lead that they go through.
    pub stack: Distance,
    /// What that needs to the tenth of a millimetre.
    pub needed: Distance,
    /// In so many of the cases.
    pub cases: usize,
}

impl HardwareLines {
    pub(super) fn new(
        screen: Screen,
        scenario: &Scenario,
        hardware: &Hardware,
        packed: &Packed,
    ) -> HardwareLines {
        let plans: Vec<_> =
            packed.cases.iter().map(|served| (&served.scenario, &served.plan().measured().counts)).collect();
        let list = CheckList::new(hardware, &plans);
        let lines = list.mounts.iter().flat_map(|fastened| {
            fastened.stacks.iter().map(|stack| MountBolts {
                mount: scenario.mounts()[fastened.mount].name.clone(),
                bolts: stack.bolts,
                length: stack.length.map(|length| screen.fine(length)),
                stack: screen.fine(stack.thickness),
                needed: screen.fine(stack.needed),
                cases: stack.plans.len(),
            })
        });
        HardwareLines {
            diameter: screen.fine(hardware.diameter),
            bolts: list.bolts.iter().map(|(length, count)| (screen.fine(*length), *count)).collect(),
            washers: list.washers,
            nuts: list.nuts,
            spares: hardware.spares,
            mounts: lines.collect(),
            remarks: list
                .mounts
                .iter()
                .flat_map(|fastened| remarks(screen, scenario, packed, fastened))
                .collect(),
        }
    }
}

fn remarks(screen: Screen, scenario: &Scenario, packed: &Packed, fastened: &Fastened) -> Vec<String> {
    let mount = &scenario.mounts()[fastened.mount].name;
    let mut remarks = Vec::new();
    if let Some(too_long) = fastened.stacks.iter().find(|stack| stack.length.is_none()) {
        remarks.push(format!(
            "`{mount}` needs bolts of {}, longer than any that can be had",
            screen.fine(too_long.needed)
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
            screen.given(most)
        ));
    }
    if fastened.is_guessed {
        remarks.push(format!(
            "how many bolts `{mount}` has is not said; as few are counted as your rules allow: add `bolts` to it"
        ));
    }
    remarks
}
