//! The part of a file about fuel: one tank or several, and what is in them at the start and at the finish.

use super::{NONE, Tank, bounds, keys, place};
use crate::diagnosis::Fault;
use crate::document::block::Block;
use crate::document::{Given, Value, written_mass};
use crate::statics::Chassis;
use crate::units::Length;

/// A tank as listed: its density is needed for volumes in weighings too.
pub(super) struct ListedTank {
    pub(super) name: String,
    pub(super) density: f64,
    pub(super) tank: Option<Tank>,
}

/// What `fuel` says: one tank, named tanks, or none.
pub(super) fn tanks(given: &Given<Value>, chassis: Option<&Chassis>) -> Option<Vec<ListedTank>> {
    let Some(value) = given.value.as_ref().filter(|value| value.word() != Some(NONE)) else {
        return Some(Vec::new());
    };
    let entries = value.named(keys::Tank::EXAMPLE)?;
    // Settings of one tank are numbers, tanks are settings of their own.
    if entries.iter().any(|entry| !entry.is_settings()) {
        return Some(vec![tank("tank", keys::Tank::read(value)?, chassis)]);
    }
    value.at_most(bounds::MOST_TANKS, "tanks", entries.len());
    let named = |value: Value| {
        let name = value.key_as_name("fuel")?;
        Some(tank(&name, keys::Tank::read(&value)?, chassis))
    };
    Some(entries.into_iter().take(bounds::MOST_TANKS).filter_map(named).collect())
}

fn tank(name: &str, given: keys::Tank, chassis: Option<&Chassis>) -> ListedTank {
    let (place, value) = (given.place.point(), given.value().clone());
    let density = given.density.or(bounds::DEFAULT_DENSITY);
    let usable = density.unwrap_or(bounds::DEFAULT_DENSITY);
    let [start, finish] = [given.start, given.finish].map(|amount| amount.read?.mass(usable));
    if let (Some(start), Some(finish)) = (start, finish)
        && finish > start
    {
        let units = value.units();
        let (start, finish) = (written_mass(start, units), written_mass(finish, units));
        value.note_key(Fault::FuelGrows { tank: name.into(), start, finish });
    }
    if let (Some(place), Some(chassis)) = (place, chassis) {
        place::on_the_kart(value.reading(), &value, &format!("tank `{name}`"), place, chassis);
    }
    let height = given.z.or(Length::ZERO);
    let tank = density.and_then(|_| {
        Some(Tank { name: name.into(), place: place?, height: height?, start: start?, finish: finish? })
    });
    ListedTank { name: name.into(), density: usable, tank }
}
