//! The part of a trip about bolts: what lead is fixed with, by the user's own rules.
//! Does not count bolts (`hardware` of the crate does); no number here has a default that a rulebook would decide.

use crate::diagnosis::Fault;
use crate::document::form::Form;
use crate::document::{Value, every};
use crate::scenario::{bounds, keys};
use crate::units::{Length, Mass};

/// What lead is fixed with.
#[derive(Clone, Debug, PartialEq)]
pub struct Hardware {
    /// Diameter of the bolts.
    pub diameter: Length,
    /// Lengths that can be had, the shortest first.
    pub lengths: Vec<Length>,
    /// What a bolt goes through besides lead, by mount: seat, plate or bracket.
    pub plates: Vec<Length>,
    /// Thickness of one washer.
    pub washer: Length,
    /// Washers for each bolt.
    pub washers_per_bolt: u32,
    /// Height of a lock nut.
    pub nut: Length,
    /// Thread that has to show beyond the nut.
    pub beyond: Length,
    /// Bolts of a mount whose own number the file does not say.
    pub bolts: Option<u32>,
    /// Most lead on one bolt, if there is such a rule; beside the class's own.
    pub mass_per_bolt: Option<Mass>,
    /// So many more of everything.
    pub spares: u32,
}

/// What `hardware` says; `mounts` are names.
pub(super) fn hardware(given: keys::Hardware, mounts: &[String]) -> Option<Hardware> {
    let lengths = given.lengths.at(|key, items| lengths(key, &items)).read;
    let own = given.plates.then(|entries| plates(&entries, mounts)).or(Vec::new())?;
    let plate = given.plate.read?;
    let of_mount =
        |mount: usize| own.iter().find(|(known, _)| *known == mount).map_or(plate, |(_, own)| *own);
    Some(Hardware {
        diameter: given.diameter.read?,
        lengths: lengths?,
        plates: (0..mounts.len()).map(of_mount).collect(),
        washer: given.washer.read?,
        // One under the head and one under the nut: common practice, no published source.
        washers_per_bolt: given.washers_per_bolt.or(2)?,
        nut: given.nut.read?,
        beyond: given.beyond.or(Length::ZERO)?,
        bolts: given.bolts.optional()?,
        mass_per_bolt: given.mass_per_bolt.optional()?,
        spares: given.spares.or(0)?,
    })
}

fn lengths(value: &Value, items: &[Value]) -> Option<Vec<Length>> {
    if items.is_empty() {
        value.note_key(Fault::NoValue { key: "lengths".into() });
    }
    if items.is_empty() || !value.at_most(bounds::MOST_LENGTHS, "lengths", items.len()) {
        return None;
    }
    let mut lengths = every(items.iter().map(|item| keys::LENGTH_OF_BOLT.read(item)))?;
    lengths.sort_by(|one, other| one.mm().total_cmp(&other.mm()));
    Some(lengths)
}

fn plates(entries: &[Value], mounts: &[String]) -> Option<Vec<(usize, Length)>> {
    every(entries.iter().map(|given| {
        let (mount, thickness) = (given.key_among("mount", mounts), keys::THICKNESS_OF_PLATE.read(given));
        mount.zip(thickness)
    }))
}
