//! The part of a file about a trip: drivers, classes, targets, what can be bought, spares, hardware.
//! Takes the settings under `trip` and what else of the file it speaks of; gives the trip, or notes what is wrong.
//! Does not know which kits serve it.

use super::list::Listed;
use super::{ForSale, Trip, hardware, variations};
use crate::diagnosis::Fault;
use crate::document::{Fields, Noted, Value, no_such, written_mass};
use crate::scenario::lead::LeadBox;
use crate::scenario::mounts::Mounts;
use crate::scenario::{Access, Class, Kind, Rules, Target, aboard, bounds, class};
use crate::statics::Chassis;
use crate::units::Mass;

/// What of a trip is read before lead and mounts are: rules of its classes ask for numbers of theirs.
pub(in crate::scenario) struct Early<'r> {
    pub(in crate::scenario) value: Option<Value<'r>>,
    /// None if one of them could not be read; empty if the trip names none.
    classes: Option<Vec<Class>>,
    /// Rules that ask for everything that any class asks for; what has to be known hangs on them, not what is allowed.
    pub(in crate::scenario) rules: Option<Rules>,
}

/// What else of the file a trip speaks of.
pub(in crate::scenario) struct Parts<'p, 'r> {
    pub(in crate::scenario) drivers: Option<&'p [String]>,
    pub(in crate::scenario) class: Option<&'p Class>,
    pub(in crate::scenario) targets: &'p [Target],
    pub(in crate::scenario) chassis: Option<&'p Chassis>,
    pub(in crate::scenario) lead: &'p LeadBox<'r>,
    pub(in crate::scenario) mounts: &'p Mounts<'r>,
    pub(in crate::scenario) listed: &'p Listed<'r>,
}

impl<'r> Early<'r> {
    /// Reads the classes of the trip, each of which is as `usual` where it says nothing.
    pub(in crate::scenario) fn new(root: &Fields<'r>, usual: Option<&Class>) -> Early<'r> {
        let value = root.value("trip").filter(|value| !value.is_null());
        let classes = listed_classes(value.as_ref(), usual);
        let all = usual.into_iter().chain(classes.iter().flatten()).map(|class| &class.rules);
        let rules = all.cloned().reduce(|one, other| Rules {
            largest_piece: one.largest_piece.or(other.largest_piece),
            fewest_bolts_per_piece: one.fewest_bolts_per_piece.max(other.fewest_bolts_per_piece),
            most_mass_per_bolt: one.most_mass_per_bolt.or(other.most_mass_per_bolt),
            most_lead: one.most_lead.or(other.most_lead),
        });
        Early { value, classes, rules }
    }

    /// Reads the trip; none if there is none.
    pub(in crate::scenario) fn trip(self, parts: &Parts) -> Result<Option<Trip>, Noted> {
        match &self.value {
            Some(value) => read(value, self.classes, parts).map(Some).ok_or(Noted),
            None => Ok(None),
        }
    }
}

fn listed_classes(trip: Option<&Value>, usual: Option<&Class>) -> Option<Vec<Class>> {
    let Some(value) = trip.and_then(|trip| trip.peek("classes")).filter(|classes| !classes.is_null()) else {
        return Some(Vec::new());
    };
    let fields =
        value.settings("classes", "classes: {junior: {minimum: 140 kg}, senior: {minimum: 160 kg}}")?;
    let entries = fields.entries();
    if entries.is_empty() {
        value.note_key(Fault::NoCases { empty: "classes" });
        return None;
    }
    let classes: Vec<Option<Class>> = entries.iter().map(|value| class::class_like(value, usual)).collect();
    classes.into_iter().collect()
}

fn read(value: &Value, classes: Option<Vec<Class>>, parts: &Parts) -> Option<Trip> {
    let fields = value.settings("trip", "trip: {drivers: [Sam, Alex], front: {from: 42, to: 44}}")?;
    let drivers = match (fields.value("drivers"), parts.drivers) {
        (Some(list), known) => read_drivers(&list, known),
        (None, Some([])) => Some(vec![None]),
        (None, Some(known)) => Some((0..known.len()).map(Some).collect()),
        (None, None) => None,
    };
    // Classes and sizes have been read already; their keys are asked for so that they are known.
    let _classes = fields.value("classes");
    let _list = fields.value("buy");
    let named = fields.value("targets").filter(|targets| !targets.is_null());
    let range = fields.value("front").filter(|front| !front.is_null());
    let variations = variations::variations(named.as_ref(), range.as_ref(), parts.targets, parts.chassis);
    let spares = read_spares(&fields, parts);
    let given = fields.value("hardware").filter(|hardware| !hardware.is_null());
    let hardware =
        given.map(|given| hardware::hardware(&given, &parts.mounts.names).ok_or(Noted)).transpose();
    fields.finish();
    let list = sizes(parts);
    let classes = match classes {
        Some(none) if none.is_empty() => parts.class.map(|class| vec![class.clone()]),
        classes => classes,
    };
    let trip = Trip {
        drivers: drivers?,
        classes: classes?,
        variations: variations?,
        list: list?,
        spares: spares?,
        hardware: hardware.ok()?,
    };
    let found = trip.drivers.len() * trip.classes.len() * trip.variations.len();
    if found > bounds::MOST_CASES {
        value.note_key(Fault::TooMany { what: "cases", most: bounds::MOST_CASES, found });
        return None;
    }
    Some(trip)
}

fn read_drivers(value: &Value, known: Option<&[String]>) -> Option<Vec<Option<usize>>> {
    let items = value.list("drivers: [Sam, Alex]")?;
    if items.is_empty() {
        value.note_key(Fault::NoCases { empty: "drivers" });
        return None;
    }
    let mut drivers: Vec<Option<usize>> = Vec::new();
    let mut right = true;
    for item in &items {
        match aboard::driver_named(item, known) {
            Some(driver) if !drivers.contains(&Some(driver)) => drivers.push(Some(driver)),
            // Named twice is as good as named once.
            Some(_) => {}
            None => right = false,
        }
    }
    right.then_some(drivers)
}

/// Spares by kind: the lead of the scenario, then the list.
fn read_spares(fields: &Fields, parts: &Parts) -> Option<Vec<u32>> {
    let names: Vec<&String> = parts.lead.names.iter().chain(&parts.listed.sizes.names).collect();
    let mut spares = vec![0; names.len()];
    let Some(value) = fields.value("spares").filter(|spares| !spares.is_null()) else { return Some(spares) };
    let fields = value.settings("spares", "spares: {puck: 1}")?;
    if parts.lead.unreadable || parts.listed.sizes.unreadable {
        return None;
    }
    let mut right = true;
    for given in fields.entries() {
        let Some(kind) = names.iter().position(|name| *name == given.key()) else {
            given.note_key(no_such("piece of lead", given.key(), names.iter().map(|name| name.as_str())));
            right = false;
            continue;
        };
        let stock = stock(parts, kind);
        match given.count(0, bounds::MOST_PIECES) {
            Some(wanted) if stock.is_some_and(|stock| wanted > stock) => {
                let kind = names[kind].clone();
                given.note(Fault::NotInStock { kind, wanted, stock: stock.unwrap_or(0) });
                right = false;
            }
            Some(count) => spares[kind] = count,
            None => right = false,
        }
    }
    right.then_some(spares)
}

fn stock(parts: &Parts, kind: usize) -> Option<u32> {
    let kinds = parts.lead.kinds.iter().chain(&parts.listed.sizes.kinds);
    kinds.flatten().nth(kind).map(|kind| kind.count)
}

/// The sizes with the mounts that take them; a size that no mount takes is noted.
fn sizes(parts: &Parts) -> Option<Vec<ForSale>> {
    let sizes = &parts.listed.sizes;
    if sizes.unreadable {
        return None;
    }
    let kinds: Vec<Kind> = sizes.kinds.iter().cloned().collect::<Option<_>>()?;
    let mounts: Vec<_> = parts.mounts.read.iter().cloned().collect::<Option<_>>()?;
    let takes =
        |kind: usize| parts.mounts.takes_of_list.iter().map(|takes| takes[kind]).collect::<Vec<bool>>();
    let list: Vec<ForSale> = kinds
        .into_iter()
        .enumerate()
        .map(|(index, kind)| ForSale { kind, price: parts.listed.prices[index], takes: takes(index) })
        .collect();
    let mut right = true;
    for (index, size) in list.iter().enumerate() {
        let taking = || {
            let open = mounts
                .iter()
                .zip(&size.takes)
                .filter(|(mount, takes)| **takes && mount.access == Access::Open);
            open.map(|(mount, _)| mount)
        };
        let fits = |mount: &super::super::Mount| {
            size.kind.mass <= mount.capacity && mount.room.is_none_or(|room| size.kind.thickness <= room)
        };
        if !taking().any(fits) {
            right = false;
            let value = &sizes.family(index).value;
            let most: Option<Mass> = taking().map(|mount| mount.capacity).max();
            value.note_key(Fault::SizeFitsNowhere {
                size: size.kind.name.clone(),
                mass: written_mass(size.kind.mass, value.units()),
                most: most.map(|most| written_mass(most, value.units())),
            });
        }
    }
    right.then_some(list)
}
