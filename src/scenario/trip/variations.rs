//! The part of a trip about what the tyres should carry: named variations, and a range of front %.
//! Takes the settings under `targets` and `front`; gives whole sets of targets, or notes what is wrong.
//! Does not know who drives, nor in which class.

use super::Variation;
use crate::decimals::trimmed;
use crate::diagnosis::Fault;
use crate::document::Value;
use crate::scenario::{Aim, Figure, Target, When, bounds, class};
use crate::statics::Chassis;

/// A range of front %.
struct Range {
    aims: Vec<f64>,
    within: Option<f64>,
}

/// A hair, so that three steps of 0.1 reach 0.3, points of percent.
const HAIR: f64 = 1e-9;

/// Every variation of `usual`: each named one with each aim of the range. None if something is wrong, which has been noted.
pub(super) fn variations(
    named: Option<&Value>,
    range: Option<&Value>,
    usual: &[Target],
    chassis: Option<&Chassis>,
) -> Option<Vec<Variation>> {
    let names = named.map(|named| read_named(named, usual, chassis));
    let aims = range.map(read_range);
    let names = match names {
        Some(names) => names?,
        None => vec![Variation { name: String::new(), targets: usual.to_vec() }],
    };
    let (Some(aims), Some(value)) = (aims, range) else { return Some(names) };
    let aims = aims?;
    let mut all = Vec::new();
    for variation in &names {
        for aim in &aims.aims {
            let Some(targets) = aimed(&variation.targets, *aim, aims.within) else {
                value.note_key(Fault::Missing {
                    within: "front".into(),
                    key: "within",
                    example: "within: 0.5".into(),
                });
                return None;
            };
            let front = format!("front {}", trimmed(*aim, 2));
            let name = if variation.name.is_empty() { front } else { format!("{}, {front}", variation.name) };
            all.push(Variation { name, targets });
        }
    }
    Some(all)
}

fn read_named(value: &Value, usual: &[Target], chassis: Option<&Chassis>) -> Option<Vec<Variation>> {
    let fields = value.settings("targets", "targets: {dry: {front: {aim: 43, within: 0.5}}}")?;
    let entries = fields.entries();
    if entries.is_empty() {
        value.note_key(Fault::NoCases { empty: "targets" });
        return None;
    }
    let variation = |value: &Value| {
        let name = value.key_as_name("targets")?;
        Some(Variation { name, targets: replaced(usual, &class::targets(value, chassis)) })
    };
    // Each is read whatever the others are, so that all faults are listed.
    let variations: Vec<Option<Variation>> = entries.iter().map(variation).collect();
    variations.into_iter().collect()
}

/// The usual targets, each replaced by its like if there is one; front and rear are one figure.
fn replaced(usual: &[Target], own: &[Target]) -> Vec<Target> {
    let like = |one: Figure, other: Figure| {
        let lengthwise = |figure| matches!(figure, Figure::Front | Figure::Rear);
        one == other || lengthwise(one) && lengthwise(other)
    };
    let kept = |target: &&Target| !own.iter().any(|other| like(other.figure, target.figure));
    let (in_place, added): (Vec<Target>, Vec<Target>) =
        own.iter().cloned().partition(|other| usual.iter().any(|target| like(target.figure, other.figure)));
    let mut targets: Vec<Target> = Vec::new();
    for target in usual {
        match in_place.iter().find(|other| like(other.figure, target.figure)) {
            Some(other) => targets.push(other.clone()),
            None => targets.extend(Some(target).filter(kept).cloned()),
        }
    }
    targets.extend(added);
    targets
}

fn read_range(value: &Value) -> Option<Range> {
    let fields = value.settings("front", "front: {from: 42, to: 44, step: 1}")?;
    let share =
        |key, example| fields.required(key, example).and_then(|share| share.share("front", bounds::SHARE));
    let (from, to) = (share("from", "from: 42"), share("to", "to: 44"));
    let step = fields.optional("step", |step| step.percent_always(bounds::FRONT_STEP));
    let within = fields.optional("within", |within| within.percent(bounds::SHARE_TOLERANCE));
    fields.finish();
    let (from, to, step) = (from?, to?, step.ok()?.unwrap_or(1.0));
    if to < from {
        value.note_key(Fault::RangeBackwards { from: trimmed(from, 2), to: trimmed(to, 2) });
        return None;
    }
    let steps = ((to - from) / step + HAIR).floor() as usize;
    if steps >= bounds::MOST_CASES {
        value.note_key(Fault::TooMany { what: "cases", most: bounds::MOST_CASES, found: steps + 1 });
        return None;
    }
    let aims = (0..=steps).map(|index| from + index as f64 * step).collect();
    Some(Range { aims, within: within.ok()? })
}

/// The targets with front % at `aim`; none if nothing says how nearly.
fn aimed(targets: &[Target], aim: f64, within: Option<f64>) -> Option<Vec<Target>> {
    let mut targets = targets.to_vec();
    for target in &mut targets {
        if let (Figure::Front | Figure::Rear, Aim::Percent { within: usual, .. }) =
            (target.figure, target.aim)
        {
            let aim = if target.figure == Figure::Front { aim } else { 100.0 - aim };
            target.aim = Aim::Percent { aim, within: within.unwrap_or(usual) };
            return Some(targets);
        }
    }
    let aim = Aim::Percent { aim, within: within? };
    targets.push(Target { figure: Figure::Front, aim, when: When::Both, weight: 1.0 });
    Some(targets)
}
