//! The part of a file about fuel: one tank or several, and what is in them at the start and at the finish.
//! Takes the settings under `fuel`; gives the tanks, or notes what is wrong.
//! Does not know how much was in them at a weighing (`aboard`).

use super::{NONE, Tank, bounds, place};
use crate::diagnosis::Fault;
use crate::document::{Fields, Value, written_mass};
use crate::statics::Chassis;

/// A tank as listed: its density is needed for volumes in weighings too.
pub(super) struct ListedTank {
    pub(super) name: String,
    pub(super) density: f64,
    pub(super) tank: Option<Tank>,
}

/// Reads `fuel`: one tank, named tanks, or none.
pub(super) fn tanks(value: Option<&Value>, chassis: Option<&Chassis>) -> Option<Vec<ListedTank>> {
    let Some(value) = value.filter(|value| !value.is_null() && value.word() != Some(NONE)) else {
        return Some(Vec::new());
    };
    let example = "fuel: {x: 500 mm, y: 0 mm, start: 5 L, finish: 2 L}";
    let fields = value.settings("fuel", example)?;
    // Settings of one tank are numbers, tanks are settings of their own.
    let one = fields.entries().iter().any(|entry| !entry.is_settings());
    if one {
        let only = tank("tank", value, &fields, chassis);
        fields.finish();
        return Some(vec![only]);
    }
    let entries = fields.entries();
    if entries.len() > bounds::MOST_TANKS {
        value.note_key(Fault::TooMany { what: "tanks", most: bounds::MOST_TANKS, found: entries.len() });
    }
    let mut tanks = Vec::new();
    for value in entries.into_iter().take(bounds::MOST_TANKS) {
        let Some(name) = value.key_as_name("fuel") else { continue };
        if let Some(fields) =
            value.settings(name.clone(), "main: {x: 500 mm, y: 0 mm, start: 5 L, finish: 2 L}")
        {
            tanks.push(tank(&name, &value, &fields, chassis));
            fields.finish();
        }
    }
    Some(tanks)
}

fn tank(name: &str, value: &Value, fields: &Fields, chassis: Option<&Chassis>) -> ListedTank {
    let place = place::required(fields);
    let height = place::height(fields);
    let density =
        fields.value("density").map_or(Some(bounds::DEFAULT_DENSITY), |v| v.density(bounds::DENSITY));
    let usable = density.unwrap_or(bounds::DEFAULT_DENSITY);
    let amount = |key, example| fields.required(key, example).and_then(|v| v.fuel(bounds::FUEL, usable));
    let start = amount("start", "start: 5 L");
    let finish = amount("finish", "finish: 2 L");
    if let (Some(start), Some(finish)) = (start, finish)
        && finish > start
    {
        let units = value.units();
        let (start, finish) = (written_mass(start, units), written_mass(finish, units));
        value.note_key(Fault::FuelGrows { tank: name.into(), start, finish });
    }
    if let (Some(place), Some(chassis)) = (place, chassis) {
        place::on_the_kart(value.reading(), value, &format!("tank `{name}`"), place, chassis);
    }
    let tank = place.zip(height).zip(start).zip(finish).filter(|_| density.is_some());
    let tank = tank.map(|(((place, height), start), finish)| Tank {
        name: name.into(),
        place,
        height,
        start,
        finish,
    });
    ListedTank { name: name.into(), density: usable, tank }
}
