//! The parts of a file about adjusters: seat holes, spindle washers, and whatever else the user can set.

use super::pit::usual;
use super::{Adjuster, Cost, FrontWheel, Hole, Lever, Seat, Setting, bounds, keys};
use crate::diagnosis::Fault;
use crate::document::block::Block;
use crate::document::form::Form;
use crate::document::{Given, Value, every, no_such, written_mass};
use crate::statics::Corners;
use crate::units::{Length, Mass};

/// Changes that moving a seat takes unless the file says otherwise: loosening, moving and tightening four bolts.
const SEAT_CHANGES: u32 = 4;

/// Changes that any other step takes unless the file says otherwise.
const STEP_CHANGES: u32 = 1;

/// What is known so far, for adjusters to name.
pub(super) struct Known<'a> {
    /// Adjusters of the seat and the spindles.
    pub(super) first: &'a [Adjuster],
    /// Names of the tanks; none if they could not be read.
    pub(super) tanks: Option<&'a [String]>,
}

/// A whole number from one value to another, one of which it has now.
struct Range {
    from: i32,
    to: i32,
    now: i32,
}

impl Range {
    fn numbers(&self) -> impl Iterator<Item = i32> + use<> {
        self.from..=self.to
    }
}

/// What `seat` says: the seat, and the adjuster that it is.
pub(super) fn seat(given: keys::Seat) -> Option<(Seat, Adjuster)> {
    let (along, across) = (holes(given.along), given.across.then(holes).or(no_holes()));
    let ((pitch, along, along_then), (pitch_across, across, across_then)) = (along?, across?);
    let (cost, minutes, quick) = effort(given.effort, SEAT_CHANGES, Some(usual::SEAT))?;
    let now = Hole { along: along.now, across: across.now };
    let at_hole_0 = given.place.point()?;
    let measured_at = Hole { along: along_then, across: across_then };
    let seat = Seat { mass: given.mass.read?, at_hole_0, pitch, pitch_across, hole: now, measured_at };
    let holes: Vec<Hole> = along
        .numbers()
        .flat_map(|along| across.numbers().map(move |across| Hole { along, across }))
        .collect();
    let settings = seat.settings_at(&holes);
    let adjuster = Adjuster {
        name: "seat".into(),
        lever: Lever::Seat,
        settings,
        now: holes.iter().position(|hole| *hole == now)?,
        cost: Cost::PerMove(cost),
        minutes,
        quick,
    };
    Some((seat, adjuster))
}

/// Distance between holes, the hole of now, the holes there are, only that one unless the file gives them, and the hole of the tape.
fn holes(given: keys::Across) -> Option<(Length, Range, i32)> {
    let now = given.hole.read;
    let range =
        given.holes.then(|holes| range(holes.value(), "hole", holes.from.read?, holes.to.read?, now?));
    let now = now?;
    Some((given.pitch.read?, range.or(Range { from: now, to: now, now })?, given.measured_at.or(now)?))
}

fn no_holes() -> (Length, Range, i32) {
    (Length::ZERO, Range { from: 0, to: 0, now: 0 }, 0)
}

/// A range that holds what is set now.
fn range(value: &Value, key: &'static str, from: i32, to: i32, now: i32) -> Option<Range> {
    if (from..=to).contains(&now) {
        return Some(Range { from, to, now });
    }
    value.note_key(Fault::NowOutside { key, now, from, to });
    None
}

/// What `spindles` says: how the washers stand at both front wheels.
pub(super) fn spindles(given: keys::Spindles) -> Option<Vec<Adjuster>> {
    let (cost, minutes, quick) = effort(given.effort, STEP_CHANGES, Some(usual::SPINDLE))?;
    let (washer, left, right) = (given.washer.read?, given.left.read?, given.right.read?);
    let spindle = |side, name: &str, (above, below): (u32, u32)| Adjuster {
        name: name.into(),
        lever: Lever::Spindle { side, washer },
        settings: (0..=above + below)
            .map(|washers| Setting {
                name: format!("{washers} above, {} below", above + below - washers),
                steps: washers as i32,
                ..Setting::default()
            })
            .collect(),
        now: above as usize,
        cost: Cost::PerStep(cost),
        minutes,
        quick,
    };
    Some(vec![
        spindle(FrontWheel::Left, "spindle left", washers(&left)?),
        spindle(FrontWheel::Right, "spindle right", washers(&right)?),
    ])
}

/// Washers above and below a spindle.
fn washers(given: &keys::Washers) -> Option<(u32, u32)> {
    Some((given.above.read?, given.below.read?))
}

/// What `adjusters` says, in the order of the file.
pub(super) fn adjusters(given: Given<Vec<Value>>, known: &Known) -> Option<Vec<Adjuster>> {
    let Some(value) = given.value else { return Some(Vec::new()) };
    let read = |entry: Value| {
        let name = entry.key_as_name("adjusters")?;
        if ["seat", "spindle left", "spindle right", "lead", "spacers"].contains(&name.as_str()) {
            entry.note_key(Fault::NameReserved { what: "an adjuster", name });
            return None;
        }
        adjuster(&entry, &name, known)
    };
    let adjusters: Vec<Option<Adjuster>> = given.read?.into_iter().map(read).collect();
    let found = adjusters.iter().flatten().count() + known.first.len();
    let fit = value.at_most(bounds::MOST_ADJUSTERS, "adjusters", found);
    adjusters.into_iter().collect::<Option<Vec<Adjuster>>>().filter(|_| fit)
}

fn adjuster(value: &Value, name: &str, known: &Known) -> Option<Adjuster> {
    let given = keys::Adjuster::read(value)?;
    let (lever, settings, now) = match given.per_step.value {
        Some(_) => measured(&given.per_step.read?, [given.from.read?, given.to.read?, given.step.read?]),
        None => placed(given.tank, given.mass.read, given.places.read, given.now.read, known),
    }?;
    let (cost, minutes, quick) = effort(given.effort, STEP_CHANGES, None)?;
    let cost = match lever {
        Lever::Measured { .. } => Cost::PerStep(cost),
        _ => Cost::PerMove(cost),
    };
    Some(Adjuster { name: name.into(), lever, settings, now, cost, minutes, quick })
}

/// An adjuster whose effect on the corners was measured.
fn measured(given: &keys::PerStep, [from, to, now]: [i32; 3]) -> Option<(Lever, Vec<Setting>, usize)> {
    let effect = given.value();
    let per_step = [given.lf.read?, given.rf.read?, given.lr.read?, given.rr.read?];
    let sum: Mass = per_step.into_iter().sum();
    if sum.abs().kg() > bounds::EFFECT_SUM_KG {
        effect.note_key(Fault::EffectUnbalanced { sum: written_mass(sum, effect.units()) });
        return None;
    }
    // An adjuster adds no mass: what the four numbers leave over is the pads' reading step, shared equally.
    let per_step = Corners::from_kg(per_step.map(|mass| mass.kg() - sum.kg() / 4.0));
    let range = range(effect, "now", from, to, now)?;
    let settings = range
        .numbers()
        .map(|step| Setting { name: step.to_string(), steps: step, ..Setting::default() })
        .collect();
    Some((Lever::Measured { per_step }, settings, (range.now - range.from) as usize))
}

/// A part or a tank that can be at one of several places.
fn placed(
    tank: Given<Value>,
    mass: Option<Mass>,
    places: Option<Vec<Value>>,
    now: Option<Value>,
    known: &Known,
) -> Option<(Lever, Vec<Setting>, usize)> {
    let tank = tank.then(|value| value.named_among("tank", known.tanks?));
    let place = |entry: &Value| {
        let name = entry.key_as_name("places")?;
        Some((name, keys::Place::read(entry)?.point()?))
    };
    let places = every(places?.iter().map(place))?;
    let names: Vec<&str> = places.iter().map(|(name, _)| name.as_str()).collect();
    let now = now.and_then(|value| value.named_among("place", &names));
    let lever = match tank.optional()? {
        Some(tank) => Lever::Tank { tank },
        None => Lever::Part { mass: mass? },
    };
    let settings =
        places.into_iter().map(|(name, place)| Setting { name, place, ..Setting::default() }).collect();
    Some((lever, settings, now?))
}

/// What it takes to change an adjuster, in changes and in minutes, and whether it is quick: `changes` and the usual minutes, or
/// `minutes` at so many a change.
fn effort(given: keys::Effort, standard: u32, usual_minutes: Option<f64>) -> Option<(u32, f64, bool)> {
    let quick = given.quick.or(false);
    if given.minutes.value.is_none() {
        let changes = given.changes.or(standard)?;
        return Some((changes, usual_minutes.unwrap_or(f64::from(changes) * usual::CHANGE), quick?));
    }
    if given.changes.value.is_some() {
        given.minutes.note_key(Fault::BothGiven { first: "changes", second: "minutes" });
    }
    let minutes = given.minutes.read?;
    Some(((minutes / usual::CHANGE).ceil() as u32, minutes, quick?))
}

/// Reads how adjusters other than the seat were set at a weighing; what it does not name was set as now.
pub(super) fn settings_then(
    aboard: &Value,
    spindles: Option<keys::SpindlesThen>,
    named: Option<&[Value]>,
    adjusters: Option<&[Adjuster]>,
) -> Option<Vec<u16>> {
    // What could not be read has said so; no name can then be called wrong.
    let adjusters = adjusters?;
    let mut settings: Vec<u16> = adjusters.iter().map(|adjuster| adjuster.now as u16).collect();
    let own = |adjuster: &Adjuster| !matches!(adjuster.lever, Lever::Seat | Lever::Spindle { .. });
    let set = |entry: &Value| {
        let Some(index) = adjusters.iter().position(|a| own(a) && a.name == entry.key()) else {
            let known = adjusters.iter().filter(|adjuster| own(adjuster)).map(|a| a.name.as_str());
            entry.note_key(no_such("adjuster", entry.key(), known));
            return None;
        };
        Some((index, setting_named(entry, &adjusters[index])?))
    };
    let of_spindles = spindles.map_or(Some(Vec::new()), |then| spindles_then(then, adjusters));
    let of_others = every(named.into_iter().flatten().map(set));
    // The seat is told by its hole.
    let mut told: Vec<bool> = adjusters.iter().map(|adjuster| adjuster.lever == Lever::Seat).collect();
    for (index, setting) in of_spindles?.into_iter().chain(of_others?) {
        (settings[index], told[index]) = (setting as u16, true);
    }
    if let Some(index) = told.iter().position(|told| !told) {
        aboard.note_key(Fault::SettingMissing { adjuster: adjusters[index].name.clone() });
        return None;
    }
    Some(settings)
}

fn setting_named(value: &Value, adjuster: &Adjuster) -> Option<usize> {
    let names: Vec<&str> = adjuster.settings.iter().map(|setting| setting.name.as_str()).collect();
    let Lever::Measured { .. } = adjuster.lever else { return value.named_among("setting", &names) };
    let step = keys::STEP.read(value)?;
    let found = adjuster.settings.iter().position(|setting| setting.steps == step);
    if found.is_none() {
        value.note(no_such("setting", &step.to_string(), names.iter().copied()));
    }
    found
}

/// The spindles that are told of, each with its setting.
fn spindles_then(given: keys::SpindlesThen, adjusters: &[Adjuster]) -> Option<Vec<(usize, usize)>> {
    let set = |(key, side, given): (&'static str, FrontWheel, Given<keys::Washers>)| {
        let (above, below) = given.read.as_ref().and_then(washers)?;
        let value = given.value?;
        let of_side = |a: &Adjuster| matches!(a.lever, Lever::Spindle { side: own, .. } if own == side);
        let Some(index) = adjusters.iter().position(of_side) else {
            value.note_key(Fault::NoSpindles);
            return None;
        };
        let there = adjusters[index].settings.len() as u32 - 1;
        if above + below != there {
            value.note_key(Fault::WashersDisagree { side: key, found: above + below, there });
            return None;
        }
        Some((index, above as usize))
    };
    let sides = [("left", FrontWheel::Left, given.left), ("right", FrontWheel::Right, given.right)];
    every(sides.into_iter().filter(|(_, _, given)| given.value.is_some()).map(set))
}
