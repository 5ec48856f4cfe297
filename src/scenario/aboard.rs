//! The part of a weighing about what was aboard: who, how much fuel, which lead, and how seat and adjusters were set.

use super::kart::ListedTank;
use super::lead::LeadBox;
use super::mounts::{Mounts, on_mounts};
use super::{Aboard, Adjuster, Hole, Moment, NONE, Seat, adjusters, keys};
use crate::counts::Counts;
use crate::diagnosis::Fault;
use crate::document::block::Block;
use crate::document::form::Form;
use crate::document::{Given, Value, every};
use crate::statics::Chassis;
use crate::units::Mass;

/// Names that what is aboard may mention.
pub(super) struct Names<'a, 'r> {
    /// None if they could not be read: then no name can be called wrong.
    pub(super) drivers: Option<&'a [String]>,
    /// Whether a single driver is listed.
    pub(super) only_driver: bool,
    /// None if they could not be read.
    pub(super) tanks: Option<&'a [ListedTank]>,
    pub(super) lead: &'a LeadBox<'r>,
    pub(super) mounts: &'a Mounts<'r>,
    pub(super) has_seat: bool,
    /// None if it could not be read, or is not there.
    pub(super) seat: Option<&'a Seat>,
    /// None if they could not be read.
    pub(super) adjusters: Option<&'a [Adjuster]>,
    /// None if the kart could not be read.
    pub(super) chassis: Option<&'a Chassis>,
}

/// What was aboard.
pub(super) fn read_aboard(given: keys::Aboard, names: &Names) -> Option<Aboard> {
    let value = &given.value().clone();
    let driver = match given.driver.value {
        Some(driver) if driver.word() == Some(NONE) => Some(None),
        Some(driver) => driver_named(&driver, names.drivers).map(Some),
        // Who else should it have been?
        None if names.only_driver => Some(Some(0)),
        None => left_out(value, "driver", "Sam"),
    };
    let fuel = match given.fuel.value {
        Some(fuel) => fuel_aboard(&fuel, names.tanks),
        None if names.tanks?.is_empty() => Some(Vec::new()),
        None => left_out(value, "fuel", "3 L"),
    };
    let lead = given.lead.read.and_then(|lead| lead_aboard(&lead, names));
    let about_seat = given.seat_hole.value.clone().or(given.seat_across.value.clone());
    let seat_hole = match names.seat {
        Some(seat) => seat_then(value, &given.seat_hole, given.seat_across, seat.hole.across).map(Some),
        // What could not be read has said so; that the seat is there is enough to read on.
        None if names.has_seat => seat_then(value, &given.seat_hole, given.seat_across, 0).map(Some),
        None => no_seat_then(about_seat.as_ref()).then_some(None),
    };
    let settings = adjusters::settings_then(
        value,
        given.spindles.read,
        given.adjusters.read.as_deref(),
        names.adjusters,
    );
    let lead = lead?.with_settings(&settings?);
    Some(Aboard { driver: driver?, fuel: fuel?, lead, seat_hole: seat_hole? })
}

/// Notes what nobody can guess.
fn left_out<T>(aboard: &Value, key: &'static str, like: &str) -> Option<T> {
    aboard.note_missing(key, format!("{key}: {like}"));
    None
}

/// The hole at which the seat was: `seat_hole` along, `seat_across` only where that differs from now.
fn seat_then(aboard: &Value, along: &Given<i32>, across: Given<i32>, across_now: i32) -> Option<Hole> {
    if along.value.is_none() {
        aboard.note_key(Fault::SeatHoleMissing);
    }
    Some(Hole { along: along.read?, across: across.or(across_now)? })
}

/// Whether nothing is said of a seat that the scenario does not describe.
fn no_seat_then(given: Option<&Value>) -> bool {
    if let Some(given) = given {
        given.note_key(Fault::NoSeat);
    }
    given.is_none()
}

/// The driver whom a value names.
pub(super) fn driver_named(value: &Value, drivers: Option<&[String]>) -> Option<usize> {
    match drivers {
        Some(drivers) => value.named_among("driver", drivers),
        None => value.name().and(None),
    }
}

fn fuel_aboard(value: &Value, tanks: Option<&[ListedTank]>) -> Option<Vec<Mass>> {
    let tanks = tanks?;
    let of_moment =
        |moment| tanks.iter().map(|one| one.tank.as_ref().map(|tank| tank.fuel(moment))).collect();
    match value.word() {
        Some(NONE) => return Some(vec![Mass::ZERO; tanks.len()]),
        Some("start") if !tanks.is_empty() => return of_moment(Moment::Start),
        Some("finish") if !tanks.is_empty() => return of_moment(Moment::Finish),
        _ => {}
    }
    if value.is_settings() {
        return fuel_by_tank(value, tanks);
    }
    match tanks {
        [] => {
            value.note(Fault::NoTank);
            None
        }
        [one] => Some(vec![keys::FUEL.read(value)?.mass(one.density)?]),
        _ => {
            // Settings are what is missing here; reading it so says so.
            value.named("{main: 3 L, side: none}");
            None
        }
    }
}

fn fuel_by_tank(value: &Value, tanks: &[ListedTank]) -> Option<Vec<Mass>> {
    let mut amounts = vec![None; tanks.len()];
    let names: Vec<&str> = tanks.iter().map(|tank| tank.name.as_str()).collect();
    let amount = |given: &Value| {
        let index = given.key_among("tank", &names)?;
        match given.word() {
            Some(NONE) => Some((index, Mass::ZERO)),
            _ => Some((index, keys::FUEL.read(given)?.mass(tanks[index].density)?)),
        }
    };
    for (index, amount) in every(value.named("{main: 3 L}")?.iter().map(amount))? {
        amounts[index] = Some(amount);
    }
    if let Some(index) = amounts.iter().position(Option::is_none) {
        value.note_key(Fault::TankMissing { tank: tanks[index].name.clone() });
    }
    amounts.into_iter().collect()
}

fn lead_aboard(value: &Value, names: &Names) -> Option<Counts> {
    if value.word() == Some(NONE) {
        return Some(Counts::none(names.lead.names.len(), names.mounts.names.len()));
    }
    // What is bolted on today, or what a plan says, changes; what the pads saw does not.
    if let Some(word @ ("as fitted" | "as planned")) = value.word() {
        value.note(Fault::LeadThen { word: word.into() });
        return None;
    }
    on_mounts(value, names.lead, names.mounts)
}
