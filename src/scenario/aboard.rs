//! The part of a weighing about what was aboard: who, how much fuel, which lead, and how seat and adjusters were set.
//! Takes the settings under `aboard`, with the names they may mention; gives what was aboard, or notes what is wrong.
//! Does not know what the pads told (`sets`).

use super::lead::LeadBox;
use super::mounts::{Mounts, on_mounts};
use super::tanks::ListedTank;
use super::{Aboard, Adjuster, Hole, Moment, NONE, Seat, adjusters, bounds};
use crate::counts::Counts;
use crate::diagnosis::Fault;
use crate::document::{Fields, Noted, Value, no_such};
use crate::statics::Chassis;
use crate::units::Mass;

/// Names that what is aboard may mention.
pub(super) struct Names<'a, 'r> {
    /// None if they could not be read: then no name can be called wrong.
    pub(super) drivers: Option<&'a [String]>,
    /// None if they could not be read.
    pub(super) tanks: Option<&'a [ListedTank]>,
    pub(super) lead: &'a LeadBox<'r>,
    pub(super) mounts: &'a Mounts<'r>,
    pub(super) fitted: Option<&'a Counts>,
    pub(super) has_seat: bool,
    /// None if it could not be read, or is not there.
    pub(super) seat: Option<&'a Seat>,
    /// None if they could not be read.
    pub(super) adjusters: Option<&'a [Adjuster]>,
    /// None if the kart could not be read.
    pub(super) chassis: Option<&'a Chassis>,
    pub(super) lead_words: LeadWords,
}

/// What may be said of lead in a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum LeadWords {
    /// `as fitted` or `none`.
    Usual,
    /// Also `as planned`, which makes sense only after a plan.
    AlsoAsPlanned,
}

/// The words for what the plan had answered.
pub(super) const AS_PLANNED: &str = "as planned";

pub(super) fn read_aboard(value: &Value, names: &Names) -> Option<Aboard> {
    let fields = value.settings("aboard", "aboard: {driver: Sam, fuel: 3 L, lead: as fitted}")?;
    let driver = fields
        .required("driver", "driver: Sam")
        .and_then(|driver| driver_or_none(&driver, names.drivers).ok());
    let fuel = fields.required("fuel", "fuel: 3 L").and_then(|fuel| fuel_aboard(&fuel, names.tanks));
    let lead = fields.required("lead", "lead: as fitted").and_then(|lead| lead_aboard(&lead, names));
    let planned = fields.peek("lead") == Some(AS_PLANNED) && names.lead_words == LeadWords::AlsoAsPlanned;
    let seat_hole = match names.seat {
        _ if planned => set_as_planned(&fields).then_some(None),
        Some(seat) => seat_then(&fields, seat.hole.across).map(Some),
        // What could not be read has said so; that the seat is there is enough to read on.
        None if names.has_seat => seat_then(&fields, 0).map(Some),
        None => no_seat_then(&fields).then_some(None),
    };
    let settings = adjusters::settings_then(
        fields.value("spindles").as_ref(),
        fields.value("adjusters").as_ref(),
        names.adjusters,
    );
    fields.finish();
    let lead = lead?.with_settings(&settings?);
    Some(Aboard { driver: driver?, fuel: fuel?, lead, seat_hole: seat_hole? })
}

/// Whether nothing but `as planned` says how the adjusters were set.
fn set_as_planned(fields: &Fields) -> bool {
    let mut alone = true;
    for second in ["seat_hole", "seat_across", "spindles", "adjusters"] {
        if let Some(value) = fields.value(second) {
            value.note_key(Fault::BothGiven { first: AS_PLANNED, second });
            alone = false;
        }
    }
    alone
}

/// The hole at which the seat was: `seat_hole` along, `seat_across` only where that differs from now.
fn seat_then(fields: &Fields, across_now: i32) -> Option<Hole> {
    let (along, across) = (fields.value("seat_hole"), fields.value("seat_across"));
    if along.is_none() {
        fields.note(Fault::SeatHoleMissing);
    }
    let along = along.and_then(|along| adjusters::hole_number(&along));
    let across = across.map_or(Some(across_now), |across| adjusters::hole_number(&across));
    Some(Hole { along: along?, across: across? })
}

/// Whether nothing is said of a seat that the scenario does not describe.
fn no_seat_then(fields: &Fields) -> bool {
    let given = fields.value("seat_hole").or(fields.value("seat_across"));
    if let Some(given) = &given {
        given.note_key(Fault::NoSeat);
    }
    given.is_none()
}

fn driver_or_none(value: &Value, drivers: Option<&[String]>) -> Result<Option<usize>, Noted> {
    if value.word() == Some(NONE) {
        return Ok(None);
    }
    driver_named(value, drivers).map(Some).ok_or(Noted)
}

/// The driver whom a value names.
pub(super) fn driver_named(value: &Value, drivers: Option<&[String]>) -> Option<usize> {
    let (name, drivers) = (value.name()?, drivers?);
    let found = drivers.iter().position(|driver| *driver == name);
    if found.is_none() {
        value.note(no_such("driver", &name, drivers.iter().map(String::as_str)));
    }
    found
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
        [one] => Some(vec![value.fuel(bounds::FUEL, one.density)?]),
        _ => {
            // Settings are what is missing here; reading it so says so.
            value.settings("fuel", "fuel: {main: 3 L, side: none}");
            None
        }
    }
}

fn fuel_by_tank(value: &Value, tanks: &[ListedTank]) -> Option<Vec<Mass>> {
    let fields = value.settings("fuel", "fuel: {main: 3 L}")?;
    let mut amounts = vec![None; tanks.len()];
    let mut right = true;
    for given in fields.entries() {
        let Some(index) = tanks.iter().position(|tank| tank.name == given.key()) else {
            given.note_key(no_such("tank", given.key(), tanks.iter().map(|tank| tank.name.as_str())));
            right = false;
            continue;
        };
        let amount = match given.word() {
            Some(NONE) => Some(Mass::ZERO),
            _ => given.fuel(bounds::FUEL, tanks[index].density),
        };
        right &= amount.is_some();
        amounts[index] = amount;
    }
    if right && let Some(index) = amounts.iter().position(Option::is_none) {
        value.note_key(Fault::TankMissing { tank: tanks[index].name.clone() });
    }
    amounts.into_iter().collect::<Option<Vec<Mass>>>().filter(|_| right)
}

fn lead_aboard(value: &Value, names: &Names) -> Option<Counts> {
    match value.word() {
        Some("as fitted") => names.fitted.cloned(),
        Some(NONE) => Some(Counts::none(names.lead.names.len(), names.mounts.names.len())),
        Some(AS_PLANNED) if names.lead_words == LeadWords::AlsoAsPlanned => names.fitted.cloned(),
        Some(_) => {
            let words = [("as fitted", ()), (NONE, ()), (AS_PLANNED, ())];
            let allowed = if names.lead_words == LeadWords::Usual { &words[..2] } else { &words };
            value.choice::<()>(allowed);
            None
        }
        None => on_mounts(value, "lead", names.lead, names.mounts),
    }
}
