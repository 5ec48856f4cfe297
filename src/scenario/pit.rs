//! The part of a file about changes of driver: the order of the stints, and the minutes that each operation takes.
//! Takes the settings under `pit`, with the names of the drivers; gives them checked, or notes what is wrong.
//! Does not know which pieces change; `quick` stands at each mount and each kind of lead.

use super::bounds;
use crate::diagnosis::Fault;
use crate::document::{Value, no_such};

/// What is known about changes of driver.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pit {
    /// Who drives each stint, as indices; empty if the file does not say.
    pub order: Vec<usize>,
    /// How long the operations take; none if the file does not say.
    pub minutes: Option<Minutes>,
}

/// Minutes for one piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Minutes {
    /// From a quick mount into the box.
    pub take_off: f64,
    /// From the box onto a quick mount.
    pub put_on: f64,
    /// From one quick mount to another.
    pub move_over: f64,
    /// Any of the three on a mount or with a piece that is not quick; none if the file does not say.
    pub with_tools: Option<f64>,
}

const EXAMPLE: &str = "pit: {order: [Sam, Alex, Sam], minutes: {take_off: 0.4, put_on: 0.6}}";

/// Reads `pit`. `drivers` is none if their names could not be read: then no name can be called wrong.
pub(super) fn pit(value: Option<&Value>, drivers: Option<&[String]>) -> Option<Pit> {
    let Some(value) = value.filter(|value| !value.is_null()) else { return Some(Pit::default()) };
    let fields = value.settings("pit", EXAMPLE)?;
    let order = fields.value("order").map_or(Some(Vec::new()), |order| read_order(&order, drivers));
    let minutes = fields.value("minutes").filter(|minutes| !minutes.is_null());
    let minutes = minutes.map_or(Some(None), |minutes| read_minutes(&minutes).map(Some));
    fields.finish();
    Some(Pit { order: order?, minutes: minutes? })
}

/// Stints by name; the same driver twice in a row is one stint and is refused.
fn read_order(value: &Value, drivers: Option<&[String]>) -> Option<Vec<usize>> {
    let items = value.list("order: [Sam, Alex, Sam]")?;
    if items.len() > bounds::MOST_STINTS {
        value.note_key(Fault::TooMany { what: "stints", most: bounds::MOST_STINTS, found: items.len() });
        return None;
    }
    let mut order: Vec<usize> = Vec::new();
    let mut right = true;
    for item in &items {
        let Some(name) = item.name() else {
            right = false;
            continue;
        };
        let Some(drivers) = drivers else { continue };
        let Some(driver) = drivers.iter().position(|known| known.to_lowercase() == name.to_lowercase())
        else {
            item.note(no_such("driver", &name, drivers.iter().map(String::as_str)));
            right = false;
            continue;
        };
        if order.last() == Some(&driver) {
            item.note(Fault::DriverTwiceInARow { driver: name });
            right = false;
        }
        order.push(driver);
    }
    right.then_some(order)
}

fn read_minutes(value: &Value) -> Option<Minutes> {
    let fields = value.settings("minutes", "minutes: {take_off: 0.4, put_on: 0.6}")?;
    let needed = |key, example| {
        fields.required(key, example).and_then(|value| value.number(bounds::OPERATION_MINUTES))
    };
    let take_off = needed("take_off", "take_off: 0.4");
    let put_on = needed("put_on", "put_on: 0.6");
    let move_over = fields.optional("move", |value| value.number(bounds::OPERATION_MINUTES));
    let with_tools = fields.optional("with_tools", |value| value.number(bounds::OPERATION_MINUTES));
    fields.finish();
    let (take_off, put_on) = (take_off?, put_on?);
    // A move is one piece taken off and put on again, unless the file knows better.
    let move_over = move_over.ok()?.unwrap_or(take_off + put_on);
    Some(Minutes { take_off, put_on, move_over, with_tools: with_tools.ok()? })
}
