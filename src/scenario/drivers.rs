//! The part of a file about drivers: who they are, what they weigh, where they act.
//! Takes the settings under `drivers`; gives them resolved, or notes what is wrong.
//! Does not compare what a driver weighs with his weighing (`consistency`).

use super::aboard::Names;
use super::weighed::{self, ListedWeighing};
use super::{NONE, bounds, place};
use crate::diagnosis::Fault;
use crate::document::{Fields, Value};
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

/// Names under `drivers`, and the settings of each.
pub(super) fn driver_names<'r>(root: &Fields<'r>) -> Option<Vec<(String, Value<'r>)>> {
    let example = "drivers: {Sam: {mass: 70 kg}}";
    let value = root.required("drivers", example)?;
    let fields = value.settings("drivers", example)?;
    let entries = fields.entries();
    match entries.len() {
        0 => value.note_key(Fault::NoValue { key: "drivers".into() }),
        found if found > bounds::MOST_DRIVERS => {
            value.note_key(Fault::TooMany { what: "drivers", most: bounds::MOST_DRIVERS, found });
        }
        _ => {}
    }
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
    let fields = value.settings(name, "Sam: {mass: 70 kg, x: 380 mm, y: 15 mm}")?;
    let mass = fields.optional("mass", |mass| mass.mass(bounds::DRIVER));
    let acts = place::given(&fields, name);
    let height = place::height(&fields);
    let own = fields.optional("weighing", |value| weighed::weighing(value, names));
    fields.finish();
    if let (Ok(None), Ok(None)) = (&mass, &own) {
        value.note_key(Fault::DriverMassMissing { driver: name.into() });
    }
    if let (Some(place), Some(chassis)) = (acts, chassis) {
        place::on_the_kart(value.reading(), value, &format!("driver `{name}`"), place, chassis);
    }
    let (mass, weighing) = (mass.ok()?, own.ok()?);
    Some(ListedDriver { name: name.into(), value: value.clone(), mass, acts, height: height?, weighing })
}
