//! The part of a file about drivers: who they are, what they weigh, where they act.
//! Takes the settings under `drivers`; gives them resolved, or notes what is wrong.
//! Does not compare what a driver weighs with his weighing (`consistency`).

use super::aboard::Names;
use super::weighed::{self, ListedWeighing};
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

/// Names under `drivers`, and the settings of each.
pub(super) fn driver_names<'r>(given: Given<'r, Vec<Value<'r>>>) -> Option<Vec<(String, Value<'r>)>> {
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
    Some(named)
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
    let weighing = given.weighing.then(|own| weighed::weighing(own, names));
    if let Some(own) = weighing.read.as_ref().filter(|own| !own.as_raced) {
        own.value.note_key(Fault::OnlyToLearn);
    }
    if given.mass.value.is_none() && weighing.value.is_none() {
        value.note_key(Fault::DriverMassMissing { driver: name.into() });
    }
    if let (Some(place), Some(chassis)) = (acts, chassis) {
        place::on_the_kart(value.reading(), value, &format!("driver `{name}`"), place, chassis);
    }
    Some(ListedDriver {
        name: name.into(),
        value: value.clone(),
        mass: given.mass.optional()?,
        acts,
        height: given.z.or(Length::ZERO)?,
        weighing: weighing.optional()?,
    })
}
