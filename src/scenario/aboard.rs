//! The parts of a file about what was aboard: drivers, fuel tanks, weighings.
//! Takes the settings under those keys, with the names of lead and mounts; gives them resolved, or notes what
//! is wrong.
//! Does not compare one weighing with another (`consistency`).

use super::bounds;
use super::lead::LeadBox;
use super::mounts::{Mounts, on_mounts};
use super::{Aboard, Adjuster, Hole, Moment, Seat, Tank, Weighing, adjusters, kart, sets};
use crate::counts::Counts;
use crate::diagnosis::Fault;
use crate::document::{Fields, Noted, Value, no_such, rounded_mass, written_mass};
use crate::statics::{Chassis, Point};
use crate::units::{Length, Mass, UnitSystem};

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

/// A weighing as listed, with the settings to point at.
pub(super) struct ListedWeighing<'r> {
    pub(super) scales: Value<'r>,
    pub(super) aboard: Value<'r>,
    pub(super) weighing: Option<Weighing>,
}

/// A tank as listed: its density is needed for volumes in weighings too.
pub(super) struct ListedTank {
    pub(super) name: String,
    density: f64,
    pub(super) tank: Option<Tank>,
}

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

/// The word for nobody or nothing.
const NONE: &str = "none";
/// The words for what the plan had answered.
pub(super) const AS_PLANNED: &str = "as planned";

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
    let acts = place(&fields, name);
    let height = height(&fields);
    let own = fields.optional("weighing", |value| weighing(value, names));
    fields.finish();
    if let (Ok(None), Ok(None)) = (&mass, &own) {
        value.note_key(Fault::DriverMassMissing { driver: name.into() });
    }
    if let (Some(place), Some(chassis)) = (acts, chassis) {
        kart::on_the_kart(value.reading(), value, &format!("driver `{name}`"), place, chassis);
    }
    let (mass, weighing) = (mass.ok()?, own.ok()?);
    Some(ListedDriver { name: name.into(), value: value.clone(), mass, acts, height: height?, weighing })
}

/// `z`, which only a target of height needs.
fn height(fields: &Fields) -> Option<Length> {
    fields.value("z").map_or(Some(Length::ZERO), |z| z.length(bounds::HEIGHT))
}

/// `x` and `y`, both or neither.
fn place(fields: &Fields, within: &str) -> Option<Point> {
    let (x, y) = (fields.value("x"), fields.value("y"));
    let half = |given: &Value, key| given.note_key(Fault::HalfAPlace { within: within.into(), key });
    match (&x, &y) {
        (Some(x), None) => half(x, "y"),
        (None, Some(y)) => half(y, "x"),
        _ => {}
    }
    let x = x.and_then(|x| x.length(bounds::COORDINATE));
    let y = y.and_then(|y| y.length(bounds::COORDINATE));
    Some(Point { x: x?, y: y? })
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
    let place = kart::required_place(fields);
    let height = height(fields);
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
        kart::on_the_kart(value.reading(), value, &format!("tank `{name}`"), place, chassis);
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

/// Reads a weighing: the main one, or a driver's own.
pub(super) fn weighing<'r>(value: &Value<'r>, names: &Names) -> Option<ListedWeighing<'r>> {
    let fields = value.settings("weighing", "weighing: {scales: ..., aboard: ...}")?;
    let listed = weighing_within(&fields, names);
    fields.finish();
    listed
}

/// Reads `scales` and `aboard` among other settings, which the caller asks for before it finishes.
pub(super) fn weighing_within<'r>(fields: &Fields<'r>, names: &Names) -> Option<ListedWeighing<'r>> {
    let repeats = fields.value("repeats");
    let scales = match &repeats {
        Some(repeats) => {
            if let Some(scales) = fields.value("scales") {
                scales.note_key(Fault::BothGiven { first: "repeats", second: "scales" });
            }
            Some(repeats.clone())
        }
        None => fields.required("scales", "scales: {lf: 30.1 kg, rf: 30.4 kg, lr: 40.2 kg, rr: 41 kg}"),
    };
    let aboard = fields.required("aboard", "aboard: {driver: Sam, fuel: 3 L, lead: as fitted}");
    let corrections = sets::corrections(fields);
    let contents = aboard.as_ref().and_then(|aboard| read_aboard(aboard, names));
    let with_driver = aboard.as_ref().and_then(|a| a.peek("driver")).is_none_or(|d| d.word() != Some(NONE));
    let sets = match (&repeats, &scales) {
        (Some(repeats), _) => sets::repeats(repeats, contents.as_ref(), names, with_driver),
        (None, Some(scales)) => sets::single(scales, contents.as_ref(), with_driver),
        (None, None) => None,
    };
    let weighing = sets.zip(corrections).and_then(|(sets, corrections)| {
        let (readings, taken) = corrections.applied(sets, names, scales.as_ref()?)?;
        Some(Weighing { readings, aboard: contents?, taken })
    });
    Some(ListedWeighing { scales: scales?, aboard: aboard?, weighing })
}

/// Warns where the readings are far from any kart, and would be near one in the other units.
pub(super) fn suspect_units(value: &Value, sum: Mass, with_driver: bool) {
    /// A kart with a driver aboard weighs 85 to 260 kg on the pads, one without 40 to 130 kg; common
    /// practice, no published source. Wide, because the warning must not cry wolf.
    const WITH: std::ops::RangeInclusive<f64> = 85.0..=260.0;
    const WITHOUT: std::ops::RangeInclusive<f64> = 40.0..=130.0;
    let usual = if with_driver { WITH } else { WITHOUT };
    let units = value.units();
    let (other, meant) = match units {
        UnitSystem::KgMm => (UnitSystem::LbIn, Mass::from_lb(sum.kg())),
        UnitSystem::LbIn => (UnitSystem::KgMm, Mass::from_kg(sum.lb())),
    };
    if !usual.contains(&sum.kg()) && usual.contains(&meant.kg()) {
        value.note_key(Fault::SuspectUnits {
            sum: written_mass(sum, units),
            other_units: other.word(),
            other_sum: rounded_mass(meant, units),
        });
    }
}

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
