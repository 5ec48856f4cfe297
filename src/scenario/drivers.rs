//! The part of a file about drivers: who they are, what they weigh, where they act.

use super::aboard::Names;
use super::history::{self, ListedWeighing};
use super::{NONE, Weighing, bounds, keys, place};
use crate::diagnosis::Fault;
use crate::document::block::Block;
use crate::document::{Given, Value};
use crate::statics::{Chassis, Point};
use crate::units::{Length, Mass};

/// A driver as listed.
pub(super) struct ListedDriver<'r> {
    pub(super) name: String,
    pub(super) value: Value<'r>,
    /// Dressed mass, if given.
    pub(super) mass: Option<Mass>,
    pub(super) acts: Option<Point>,
    pub(super) height: Length,
    pub(super) weighing: Option<ListedWeighing<'r>>,
}

impl ListedDriver<'_> {
    /// What was weighed with nobody but him in mind.
    pub(super) fn own_weighing(&self) -> Option<Weighing> {
        self.weighing.as_ref()?.weighing.clone()
    }
}

/// Who stands under `drivers`, each with the settings.
#[derive(Default)]
pub(super) struct Entries<'r> {
    /// Those of whom the file tells something, in its order.
    pub(super) known: Vec<(String, Value<'r>)>,
    /// Those with neither mass nor weighing whom nothing else in the file mentions: needed only by who asks for them.
    pub(super) unweighed: Vec<(String, Value<'r>)>,
}

impl Entries<'_> {
    /// Names of those of whom the file tells something.
    pub(super) fn names(&self) -> Vec<String> {
        self.known.iter().map(|(name, _)| name.clone()).collect()
    }

    /// Whether a single driver is listed.
    pub(super) const fn is_one(&self) -> bool {
        self.known.len() + self.unweighed.len() == 1
    }
}

/// Names under `drivers` of the file `root`, and the settings of each.
pub(super) fn driver_names<'r>(given: Given<'r, Vec<Value<'r>>>, root: &Value<'r>) -> Option<Entries<'r>> {
    let (value, entries) = (given.value?, given.read?);
    if entries.is_empty() {
        value.note_key(Fault::NoValue { key: "drivers".into() });
    }
    value.at_most(bounds::MOST_DRIVERS, "drivers", entries.len());
    let mut named: Vec<(String, Value)> = Vec::new();
    for value in entries.into_iter().take(bounds::MOST_DRIVERS) {
        let Some(name) = value.key_as_name("drivers") else { continue };
        if name == NONE {
            value.note_key(Fault::NameReserved { what: "a driver", name });
            continue;
        }
        let alike = |other: &str| other.to_lowercase() == name.to_lowercase();
        if let Some((other, _)) = named.iter().find(|(other, _)| alike(other)) {
            value.note_key(Fault::DriversAlike { name: name.clone(), other: other.clone() });
        }
        named.push((name, value));
    }
    let told = |value: &Value| {
        !value.is_null()
            && (!value.is_settings() || ["mass", "weighing"].iter().any(|key| value.peek(key).is_some()))
    };
    // A trip is for all drivers, and a lone driver is in the seat.
    let all = named.len() == 1 || root.peek("trip").is_some();
    let (known, unweighed) =
        named.into_iter().partition(|(name, value)| all || told(value) || root.mentions(name) > 1);
    Some(Entries { known, unweighed })
}

/// Reads one driver. The name comes from [`driver_names`].
pub(super) fn driver<'r>(
    name: &str,
    value: &Value<'r>,
    names: &Names,
    chassis: Option<&Chassis>,
) -> Option<ListedDriver<'r>> {
    let given = keys::Driver::read(value)?;
    let acts = place::given(&given.x, &given.y, name);
    let weighing = given.weighing.then(|own| history::weighing(own, names));
    if let Some(own) = weighing.read.as_ref().filter(|own| !own.as_raced) {
        own.value.note_key(Fault::OnlyToLearn);
    }
    if let (Some(place), Some(chassis)) = (acts, chassis) {
        place::on_the_kart(value.reading(), value, &format!("driver `{name}`"), place, chassis);
    }
    // He has come with the seat since the tape was there.
    let come = |acts: Point| names.seat.map_or(acts, |seat| seat.since_measured().of(acts));
    Some(ListedDriver {
        name: name.into(),
        value: value.clone(),
        mass: given.mass.optional()?,
        acts: acts.map(come),
        height: given.z.or(Length::ZERO)?,
        weighing: weighing.optional()?,
    })
}
