//! The parts of a file about adjusters: seat holes, spindle washers, and whatever else the user can set.
//! Takes the settings under `seat`, `spindles` and `adjusters`; gives adjusters with all their settings, or notes what is
//! wrong.
//! Does not know what a setting does to the corners, nor weighings, which say by name how a kart was set.

use super::{Adjuster, Cost, FrontWheel, Hole, Lever, Seat, Setting, Shift, bounds, place};
use crate::diagnosis::Fault;
use crate::document::{Fields, Value, no_such, written_mass};
use crate::statics::{Corners, Point};
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

/// Reads `seat`: the seat, and the adjuster that it is.
pub(super) fn seat(value: &Value) -> Option<(Seat, Adjuster)> {
    let fields =
        value.settings("seat", "seat: {mass: 4.5 kg, x: 330 mm, y: 20 mm, pitch: 15 mm, hole: 2}")?;
    let mass = fields.required("mass", "mass: 4.5 kg").and_then(|mass| mass.mass(bounds::SEAT_MASS));
    let place = place::required(&fields);
    let along = holes(&fields);
    let across = fields.optional("across", |value| {
        let fields = value.settings("across", "across: {pitch: 10 mm, hole: 0, holes: {from: -2, to: 2}}")?;
        let across = holes(&fields);
        fields.finish();
        across
    });
    let cost = cost(&fields, SEAT_CHANGES);
    let quick = quick(&fields);
    fields.finish();
    let (cost, minutes) = cost?;
    let ((pitch, along), (pitch_across, across)) = (along?, across.ok()?.unwrap_or_else(no_holes));
    let now = Hole { along: along.now, across: across.now };
    let seat = Seat { mass: mass?, at_hole_0: place?, pitch, pitch_across, hole: now };
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
        quick: quick?,
    };
    Some((seat, adjuster))
}

/// Distance between holes, the hole of now, and the holes there are: only that one unless the file gives them.
fn holes(fields: &Fields) -> Option<(Length, Range)> {
    let pitch = fields.required("pitch", "pitch: 15 mm").and_then(|pitch| pitch.length(bounds::SEAT_PITCH));
    let now = fields.required("hole", "hole: 2").and_then(|hole| hole_number(&hole));
    let given = fields.optional("holes", |value| {
        let fields = value.settings("holes", "holes: {from: 0, to: 8}")?;
        let from = fields.required("from", "from: 0").and_then(|from| hole_number(&from));
        let to = fields.required("to", "to: 8").and_then(|to| hole_number(&to));
        fields.finish();
        range(value, "hole", from?, to?, now?)
    });
    let now = now?;
    let range = given.ok()?.unwrap_or(Range { from: now, to: now, now });
    Some((pitch?, range))
}

fn no_holes() -> (Length, Range) {
    (Length::ZERO, Range { from: 0, to: 0, now: 0 })
}

/// A hole number.
pub(super) fn hole_number(value: &Value) -> Option<i32> {
    value.whole(-bounds::SEAT_HOLES, bounds::SEAT_HOLES)
}

/// A range that holds what is set now.
fn range(value: &Value, key: &'static str, from: i32, to: i32, now: i32) -> Option<Range> {
    if (from..=to).contains(&now) {
        return Some(Range { from, to, now });
    }
    value.note_key(Fault::NowOutside { key, now, from, to });
    None
}

/// Reads `spindles`: how the washers stand at both front wheels.
pub(super) fn spindles(value: &Value) -> Option<Vec<Adjuster>> {
    let example = "spindles: {washer: 2 mm, left: {above: 2, below: 2}, right: {above: 2, below: 2}}";
    let fields = value.settings("spindles", example)?;
    let washer = fields.required("washer", "washer: 2 mm").and_then(|v| v.length(bounds::WASHER));
    let side = |key, example| fields.required(key, example).and_then(|value| washers(&value));
    let left = side("left", "left: {above: 2, below: 2}");
    let right = side("right", "right: {above: 2, below: 2}");
    let cost = cost(&fields, STEP_CHANGES);
    let quick = quick(&fields);
    fields.finish();
    let (washer, (cost, minutes), quick) = (washer?, cost?, quick?);
    let spindle = |side, name: &str, (above, below): (u32, u32)| Adjuster {
        name: name.into(),
        lever: Lever::Spindle { side, washer },
        settings: (0..=above + below)
            .map(|washers| Setting {
                name: format!("{washers} above, {} below", above + below - washers),
                steps: washers as i32,
                shift: Shift::default(),
                place: Point::default(),
            })
            .collect(),
        now: above as usize,
        cost: Cost::PerStep(cost),
        minutes,
        quick,
    };
    Some(vec![
        spindle(FrontWheel::Left, "spindle left", left?),
        spindle(FrontWheel::Right, "spindle right", right?),
    ])
}

/// Washers above and below a spindle.
pub(super) fn washers(value: &Value) -> Option<(u32, u32)> {
    let fields = value.settings("spindle", "left: {above: 2, below: 2}")?;
    let above = fields.required("above", "above: 2").and_then(|above| above.count(0, bounds::MOST_WASHERS));
    let below = fields.required("below", "below: 2").and_then(|below| below.count(0, bounds::MOST_WASHERS));
    fields.finish();
    Some((above?, below?))
}

/// Reads `adjusters`, in the order of the file.
pub(super) fn adjusters(value: &Value, known: &Known) -> Option<Vec<Adjuster>> {
    let example = "adjusters: {battery: {mass: 3 kg, now: left, places: ...}}";
    let fields = value.settings("adjusters", example)?;
    let mut right = true;
    let mut adjusters = Vec::new();
    for entry in fields.entries() {
        let Some(name) = entry.key_as_name("adjusters") else {
            right = false;
            continue;
        };
        if ["seat", "spindle left", "spindle right", "lead", "spacers"].contains(&name.as_str()) {
            entry.note_key(Fault::NameReserved { what: "an adjuster", name });
            right = false;
            continue;
        }
        match adjuster(&entry, &name, known) {
            Some(adjuster) => adjusters.push(adjuster),
            None => right = false,
        }
    }
    let found = adjusters.len() + known.first.len();
    if found > bounds::MOST_ADJUSTERS {
        value.note_key(Fault::TooMany { what: "adjusters", most: bounds::MOST_ADJUSTERS, found });
        return None;
    }
    right.then_some(adjusters)
}

fn adjuster(value: &Value, name: &str, known: &Known) -> Option<Adjuster> {
    let fields = value.settings(name, "battery: {mass: 3 kg, now: left, places: ...}")?;
    let cost = cost(&fields, STEP_CHANGES);
    let quick = quick(&fields);
    let effect = fields.value("per_step");
    let read = if let Some(effect) = effect { measured(&effect, &fields) } else { placed(&fields, known) };
    fields.finish();
    let (lever, settings, now) = read?;
    let (cost, minutes) = cost?;
    let cost = match lever {
        Lever::Measured { .. } => Cost::PerStep(cost),
        _ => Cost::PerMove(cost),
    };
    Some(Adjuster { name: name.into(), lever, settings, now, cost, minutes, quick: quick? })
}

/// An adjuster whose effect on the corners was measured.
fn measured(effect: &Value, fields: &Fields) -> Option<(Lever, Vec<Setting>, usize)> {
    let number = |key, example| {
        let most = bounds::MOST_STEPS;
        fields.required(key, example).and_then(|value| value.whole(-most, most))
    };
    let (from, to, now) = (number("from", "from: -2"), number("to", "to: 2"), number("now", "now: 0"));
    let per_step = {
        let example = "per_step: {lf: 0.4 kg, rf: -0.4 kg, lr: -0.4 kg, rr: 0.4 kg}";
        let fields = effect.settings("per_step", example)?;
        let corner = |key| fields.required(key, example).and_then(|kg| kg.mass(bounds::EFFECT));
        let corners = ["lf", "rf", "lr", "rr"].map(corner);
        fields.finish();
        let [lf, rf, lr, rr] = corners;
        [lf?, rf?, lr?, rr?]
    };
    let sum: Mass = per_step.into_iter().sum();
    if sum.abs().kg() > bounds::EFFECT_SUM_KG {
        effect.note_key(Fault::EffectUnbalanced { sum: written_mass(sum, effect.units()) });
        return None;
    }
    // An adjuster adds no mass: what the four numbers leave over is the pads' reading step, shared equally.
    let per_step = Corners::from_kg(per_step.map(|mass| mass.kg() - sum.kg() / 4.0));
    let range = range(effect, "now", from?, to?, now?)?;
    let settings = range
        .numbers()
        .map(|step| Setting {
            name: step.to_string(),
            steps: step,
            shift: Shift::default(),
            place: Point::default(),
        })
        .collect();
    Some((Lever::Measured { per_step }, settings, (range.now - range.from) as usize))
}

/// A part or a tank that can be at one of several places.
fn placed(fields: &Fields, known: &Known) -> Option<(Lever, Vec<Setting>, usize)> {
    let tank = fields.optional("tank", |value| {
        let (name, tanks) = (value.name()?, known.tanks?);
        let found = tanks.iter().position(|tank| *tank == name);
        if found.is_none() {
            value.note(no_such("tank", &name, tanks.iter().map(String::as_str)));
        }
        found
    });
    let mass = match &tank {
        Ok(None) => fields.required("mass", "mass: 3 kg").and_then(|mass| mass.mass(bounds::PART)),
        _ => None,
    };
    let example = "places: {left: {x: 300 mm, y: 300 mm}, right: {x: 300 mm, y: -300 mm}}";
    let places = fields.required("places", example).and_then(|value| {
        let fields = value.settings("places", example)?;
        let places: Option<Vec<(String, Point)>> = fields
            .entries()
            .iter()
            .map(|entry| {
                let name = entry.key_as_name("places")?;
                let fields = entry.settings(name.clone(), "left: {x: 300 mm, y: 300 mm}")?;
                let place = place::required(&fields);
                fields.finish();
                Some((name, place?))
            })
            .collect();
        places
    });
    let now = fields.required("now", "now: left").and_then(|value| {
        let name = value.name()?;
        let places = places.as_ref()?;
        let found = places.iter().position(|(place, _)| *place == name);
        if found.is_none() {
            value.note(no_such("place", &name, places.iter().map(|(name, _)| name.as_str())));
        }
        found
    });
    let lever = match tank.ok()? {
        Some(tank) => Lever::Tank { tank },
        None => Lever::Part { mass: mass? },
    };
    let settings = places?
        .into_iter()
        .map(|(name, place)| Setting { name, steps: 0, shift: Shift::default(), place })
        .collect();
    Some((lever, settings, now?))
}

/// What it takes to change an adjuster, in changes and in minutes: `changes`, or `minutes` at so many minutes a change.
fn cost(fields: &Fields, standard: u32) -> Option<(u32, f64)> {
    let changes = fields.value("changes");
    let minutes = fields.value("minutes");
    if let (Some(_), Some(second)) = (&changes, &minutes) {
        second.note_key(Fault::BothGiven { first: "changes", second: "minutes" });
    }
    if let Some(minutes) = minutes {
        let minutes = minutes.number(bounds::MINUTES)?;
        return Some(((minutes / bounds::MINUTES_PER_CHANGE).ceil() as u32, minutes));
    }
    let changes = changes.map_or(Some(standard), |value| value.count(0, bounds::MOST_CHANGES))?;
    Some((changes, f64::from(changes) * bounds::MINUTES_PER_CHANGE))
}

fn quick(fields: &Fields) -> Option<bool> {
    fields.value("quick").map_or(Some(false), |value| value.boolean())
}

/// Reads how adjusters other than the seat were set at a weighing; what it does not name was set as now.
pub(super) fn settings_then(
    spindles: Option<&Value>,
    named: Option<&Value>,
    adjusters: Option<&[Adjuster]>,
) -> Option<Vec<u16>> {
    // What could not be read has said so; no name can then be called wrong.
    let adjusters = adjusters?;
    let mut settings: Vec<u16> = adjusters.iter().map(|adjuster| adjuster.now as u16).collect();
    let mut right = true;
    if let Some(value) = spindles {
        right &= spindles_then(value, adjusters, &mut settings).is_some();
    }
    if let Some(fields) = named.and_then(|value| value.settings("adjusters", "adjusters: {battery: left}")) {
        let own = |adjuster: &Adjuster| !matches!(adjuster.lever, Lever::Seat | Lever::Spindle { .. });
        for entry in fields.entries() {
            let known = adjusters.iter().filter(|adjuster| own(adjuster)).map(|a| a.name.as_str());
            let found = adjusters.iter().position(|a| own(a) && a.name == entry.key());
            let Some(index) = found else {
                entry.note_key(no_such("adjuster", entry.key(), known));
                right = false;
                continue;
            };
            match setting_named(&entry, &adjusters[index]) {
                Some(setting) => settings[index] = setting as u16,
                None => right = false,
            }
        }
    }
    right.then_some(settings)
}

fn setting_named(value: &Value, adjuster: &Adjuster) -> Option<usize> {
    let name = match adjuster.lever {
        Lever::Measured { .. } => value.whole(-bounds::MOST_STEPS, bounds::MOST_STEPS)?.to_string(),
        _ => value.name()?,
    };
    let found = adjuster.settings.iter().position(|setting| setting.name == name);
    if found.is_none() {
        let known = adjuster.settings.iter().map(|setting| setting.name.as_str());
        value.note(no_such("setting", &name, known));
    }
    found
}

fn spindles_then(value: &Value, adjusters: &[Adjuster], settings: &mut [u16]) -> Option<()> {
    let fields = value.settings("spindles", "spindles: {left: {above: 2, below: 2}}")?;
    let mut right = true;
    for (key, side) in [("left", FrontWheel::Left), ("right", FrontWheel::Right)] {
        let Some(value) = fields.value(key) else { continue };
        let Some((above, below)) = washers(&value) else {
            right = false;
            continue;
        };
        let of_side = |a: &Adjuster| matches!(a.lever, Lever::Spindle { side: own, .. } if own == side);
        let Some(index) = adjusters.iter().position(of_side) else {
            value.note_key(Fault::NoSpindles);
            right = false;
            continue;
        };
        let there = adjusters[index].settings.len() as u32 - 1;
        if above + below == there {
            settings[index] = above as u16;
        } else {
            value.note_key(Fault::WashersDisagree { side: key, found: above + below, there });
            right = false;
        }
    }
    fields.finish();
    right.then_some(())
}
