//! The part of a trip about bolts: what lead is fixed with, by the user's own rules.
//! Takes the settings under `hardware`, with the names of the mounts; gives them checked, or notes what is wrong.
//! Does not count bolts (`hardware` of the crate does); no number here has a default that a rulebook would decide.

use crate::diagnosis::Fault;
use crate::document::{Value, no_such};
use crate::scenario::bounds;
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

const EXAMPLE: &str =
    "hardware: {diameter: 8 mm, lengths: [40 mm, 60 mm], plate: 4 mm, washer: 1.6 mm, nut: 8 mm}";

/// Reads `hardware`; `mounts` are names.
pub(super) fn hardware(value: &Value, mounts: &[String]) -> Option<Hardware> {
    let fields = value.settings("hardware", EXAMPLE)?;
    let length =
        |key, example| fields.required(key, example).and_then(|length| length.length(bounds::FASTENER));
    let diameter = length("diameter", "diameter: 8 mm");
    let washer = length("washer", "washer: 1.6 mm");
    let nut = length("nut", "nut: 8 mm");
    let plate = length("plate", "plate: 4 mm");
    let lengths = fields
        .required("lengths", "lengths: [40 mm, 60 mm, 80 mm]")
        .and_then(|lengths| read_lengths(&lengths));
    let plates = fields.optional("plates", |plates| read_plates(plates, mounts));
    let beyond = fields.optional("beyond", |beyond| beyond.length(bounds::BEYOND));
    let washers =
        fields.optional("washers_per_bolt", |washers| washers.count(0, bounds::MOST_WASHERS_PER_BOLT));
    let bolts = fields.optional("bolts", |bolts| bolts.count(1, bounds::MOST_BOLTS));
    let mass_per_bolt = fields.optional("mass_per_bolt", |mass| mass.mass(bounds::MASS_PER_BOLT));
    let spares = fields.optional("spares", |spares| spares.count(0, bounds::MOST_BOLTS));
    fields.finish();
    let plate = plate?;
    let own = plates.ok()?.unwrap_or_default();
    let of_mount =
        |mount: usize| own.iter().find(|(known, _)| *known == mount).map_or(plate, |(_, own)| *own);
    Some(Hardware {
        diameter: diameter?,
        lengths: lengths?,
        plates: (0..mounts.len()).map(of_mount).collect(),
        washer: washer?,
        // One under the head and one under the nut: common practice, no published source.
        washers_per_bolt: washers.ok()?.unwrap_or(2),
        nut: nut?,
        beyond: beyond.ok()?.unwrap_or(Length::ZERO),
        bolts: bolts.ok()?,
        mass_per_bolt: mass_per_bolt.ok()?,
        spares: spares.ok()?.unwrap_or(0),
    })
}

fn read_lengths(value: &Value) -> Option<Vec<Length>> {
    let items = value.list("lengths: [40 mm, 60 mm, 80 mm]")?;
    if items.is_empty() || items.len() > bounds::MOST_LENGTHS {
        let (most, found) = (bounds::MOST_LENGTHS, items.len());
        value.note_key(if found == 0 {
            Fault::NoValue { key: "lengths".into() }
        } else {
            Fault::TooMany { what: "lengths", most, found }
        });
        return None;
    }
    let lengths: Vec<Option<Length>> = items.iter().map(|item| item.length(bounds::BOLT)).collect();
    let mut lengths: Vec<Length> = lengths.into_iter().collect::<Option<_>>()?;
    lengths.sort_by(|one, other| one.mm().total_cmp(&other.mm()));
    Some(lengths)
}

fn read_plates(value: &Value, mounts: &[String]) -> Option<Vec<(usize, Length)>> {
    let fields = value.settings("plates", "plates: {nose: 6 mm}")?;
    let mut plates = Vec::new();
    let mut right = true;
    for given in fields.entries() {
        let thickness = given.length(bounds::FASTENER);
        let mount = mounts.iter().position(|name| name == given.key());
        if mount.is_none() {
            given.note_key(no_such("mount", given.key(), mounts.iter().map(String::as_str)));
        }
        match mount.zip(thickness) {
            Some(plate) => plates.push(plate),
            None => right = false,
        }
    }
    right.then_some(plates)
}
