//! The part of a file about changes of driver: the order of the stints, and the minutes that each operation takes.
//! Does not know which pieces change; `quick` stands at each mount and each kind of lead.

use super::{bounds, keys};
use crate::diagnosis::Fault;
use crate::document::{Value, every, no_such};

/// Minutes of every operation where a file does not say; common practice, no published source.
pub mod usual {
    /// Loosened, moved to other holes, tightened, looked at: 20 to 40.
    pub const SEAT: f64 = 30.0;
    /// One spindle, however many of its washers are moved: 10 to 15.
    pub const SPINDLE: f64 = 12.0;
    /// A piece of lead bolted on or taken off; a step of anything else.
    pub const CHANGE: f64 = 3.0;
    /// A piece pinned into a tray or taken out of it, without tools.
    pub const QUICK: f64 = 1.0;
    /// A kart rolled onto pads that stand there, read and rolled off.
    pub const WEIGHING: f64 = 10.0;
}

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

/// What `pit` says. `drivers` is none if their names could not be read: then no name can be called wrong.
pub(super) fn pit(given: keys::Pit, drivers: Option<&[String]>) -> Option<Pit> {
    let order = given.order.at(|key, items| read_order(key, &items, drivers)).or(Vec::new());
    Some(Pit { order: order?, minutes: given.minutes.then(minutes).optional()? })
}

/// Stints by name; the same driver twice in a row is one stint and is refused.
fn read_order(value: &Value, items: &[Value], drivers: Option<&[String]>) -> Option<Vec<usize>> {
    if !value.at_most(bounds::MOST_STINTS, "stints", items.len()) {
        return None;
    }
    let mut last = None;
    let stint = |item: &Value| {
        let name = item.name()?;
        let drivers = drivers?;
        let Some(driver) = drivers.iter().position(|known| known.to_lowercase() == name.to_lowercase())
        else {
            item.note(no_such("driver", &name, drivers.iter().map(String::as_str)));
            return None;
        };
        if last.replace(driver) == Some(driver) {
            item.note(Fault::DriverTwiceInARow { driver: name });
            return None;
        }
        Some(driver)
    };
    every(items.iter().map(stint))
}

fn minutes(given: keys::Minutes) -> Option<Minutes> {
    let (take_off, put_on) = (given.take_off.read?, given.put_on.read?);
    // A move is one piece taken off and put on again, unless the file knows better.
    let move_over = given.move_over.or(take_off + put_on)?;
    Some(Minutes { take_off, put_on, move_over, with_tools: given.with_tools.optional()? })
}
