//! The part of a file about a trip: drivers, classes, targets, what can be bought, spares, hardware.

use super::list::Listed;
use super::{ForSale, Trip, hardware, variations};
use crate::diagnosis::Fault;
use crate::document::block::Block;
use crate::document::form::Form;
use crate::document::{Given, Value, every, written_mass};
use crate::scenario::lead::LeadBox;
use crate::scenario::mounts::Mounts;
use crate::scenario::{Access, Class, Kind, Rules, Target, aboard, bounds, class, keys};
use crate::statics::Chassis;
use crate::units::Mass;

/// What of a trip is read before lead and mounts are: rules of its classes ask for numbers of theirs.
pub(in crate::scenario) struct Early<'r> {
    pub(in crate::scenario) given: Option<keys::Trip<'r>>,
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
    pub(in crate::scenario) fn new(trip: Given<'r, keys::Trip<'r>>, usual: Option<&Class>) -> Early<'r> {
        let given = trip.read;
        let classes = match given.as_ref().map(|trip| &trip.classes) {
            Some(Given { value: Some(value), read }) => {
                read.as_ref().and_then(|entries| classes(value, entries, usual))
            }
            _ => Some(Vec::new()),
        };
        let all = usual.into_iter().chain(classes.iter().flatten()).map(|class| &class.rules);
        let rules = all.cloned().reduce(|one, other| Rules {
            largest_piece: one.largest_piece.or(other.largest_piece),
            fewest_bolts_per_piece: one.fewest_bolts_per_piece.max(other.fewest_bolts_per_piece),
            most_mass_per_bolt: one.most_mass_per_bolt.or(other.most_mass_per_bolt),
            most_lead: one.most_lead.or(other.most_lead),
        });
        Early { given, classes, rules }
    }

    /// What the trip says; none if there is none, or if it is wrong, which has been noted.
    pub(in crate::scenario) fn trip(self, parts: &Parts) -> Option<Trip> {
        trip(self.given?, self.classes, parts)
    }
}

fn classes(value: &Value, entries: &[Value], usual: Option<&Class>) -> Option<Vec<Class>> {
    if entries.is_empty() {
        value.note_key(Fault::NoCases { empty: "classes" });
        return None;
    }
    every(entries.iter().map(|value| class::class_like(value, usual)))
}

fn trip(given: keys::Trip, classes: Option<Vec<Class>>, parts: &Parts) -> Option<Trip> {
    let value = given.value().clone();
    let drivers = match (given.drivers.value, parts.drivers) {
        (Some(list), known) => given.drivers.read.and_then(|items| read_drivers(&list, &items, known)),
        (None, Some([])) => Some(vec![None]),
        (None, Some(known)) => Some((0..known.len()).map(Some).collect()),
        (None, None) => None,
    };
    let variations = variations::variations(given.targets, given.front, parts.targets, parts.chassis);
    let spares = spares(given.spares, parts);
    let hardware = given.hardware.then(|given| hardware::hardware(given, &parts.mounts.names)).optional();
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
        hardware: hardware?,
    };
    let found = trip.drivers.len() * trip.classes.len() * trip.variations.len();
    value.at_most(bounds::MOST_CASES, "cases", found).then_some(trip)
}

fn read_drivers(value: &Value, items: &[Value], known: Option<&[String]>) -> Option<Vec<Option<usize>>> {
    if items.is_empty() {
        value.note_key(Fault::NoCases { empty: "drivers" });
        return None;
    }
    let mut drivers: Vec<Option<usize>> = Vec::new();
    for driver in every(items.iter().map(|item| aboard::driver_named(item, known)))? {
        // Named twice is as good as named once.
        if !drivers.contains(&Some(driver)) {
            drivers.push(Some(driver));
        }
    }
    Some(drivers)
}

/// Spares by kind: the lead of the scenario, then the list.
fn spares(given: Given<Vec<Value>>, parts: &Parts) -> Option<Vec<u32>> {
    let names: Vec<&String> = parts.lead.names.iter().chain(&parts.listed.sizes.names).collect();
    let mut spares = vec![0; names.len()];
    if given.value.is_none() {
        return Some(spares);
    }
    if parts.lead.unreadable || parts.listed.sizes.unreadable {
        return None;
    }
    let kinds = || parts.lead.kinds.iter().chain(&parts.listed.sizes.kinds).flatten();
    let spare = |given: &Value| {
        let kind = given.key_among("piece of lead", &names)?;
        let wanted = keys::COUNT.read(given)?;
        match kinds().nth(kind).map(|kind| kind.count) {
            Some(stock) if wanted > stock => {
                given.note(Fault::NotInStock { kind: names[kind].clone(), wanted, stock });
                None
            }
            _ => Some((kind, wanted)),
        }
    };
    for (kind, wanted) in every(given.read?.iter().map(spare))? {
        spares[kind] = wanted;
    }
    Some(spares)
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
            let mounts = mounts.iter().zip(&size.takes);
            mounts.filter(|(mount, takes)| **takes && mount.access == Access::Open).map(|(mount, _)| mount)
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
