//! The part of a trip about what the tyres should carry: named variations, and a range of front %.

use super::Variation;
use crate::decimals::trimmed;
use crate::diagnosis::Fault;
use crate::document::block::Block;
use crate::document::{Given, Value, every};
use crate::scenario::{Aim, Figure, Target, When, bounds, class, keys};
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
    named: Given<Vec<Value>>,
    range: Given<keys::Front>,
    usual: &[Target],
    chassis: Option<&Chassis>,
) -> Option<Vec<Variation>> {
    let unnamed = Variation { name: String::new(), targets: usual.to_vec() };
    let names = named.at(|key, entries| variations_named(key, &entries, usual, chassis)).or(vec![unnamed]);
    let aims = range.read.and_then(range_of);
    let names = names?;
    let Some(value) = range.value else { return Some(names) };
    let aims = aims?;
    let mut all = Vec::new();
    for variation in &names {
        for aim in &aims.aims {
            let Some(targets) = aimed(&variation.targets, *aim, aims.within) else {
                value.note_missing("within", "within: 0.5".to_owned());
                return None;
            };
            let front = format!("front {}", trimmed(*aim, 2));
            let name = if variation.name.is_empty() { front } else { format!("{}, {front}", variation.name) };
            all.push(Variation { name, targets });
        }
    }
    Some(all)
}

fn variations_named(
    value: &Value,
    entries: &[Value],
    usual: &[Target],
    chassis: Option<&Chassis>,
) -> Option<Vec<Variation>> {
    if entries.is_empty() {
        value.note_key(Fault::NoCases { empty: "targets" });
        return None;
    }
    let variation = |value: &Value| {
        let name = value.key_as_name("targets")?;
        // Nothing under a name: the usual targets under it.
        let own = if value.is_null() { None } else { keys::Targets::read(value) };
        let own = own.map(|own| class::targets(own, chassis)).unwrap_or_default();
        Some(Variation { name, targets: replaced(usual, &own) })
    };
    every(entries.iter().map(variation))
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

fn range_of(given: keys::Front) -> Option<Range> {
    let value = given.value().clone();
    let (from, to, step) = (given.from.read?, given.to.read?, given.step.or(1.0)?);
    if to < from {
        value.note_key(Fault::RangeBackwards { from: trimmed(from, 2), to: trimmed(to, 2) });
        return None;
    }
    let steps = ((to - from) / step + HAIR).floor() as usize;
    if !value.at_most(bounds::MOST_CASES, "cases", steps.saturating_add(1)) {
        return None;
    }
    let aims = (0..=steps).map(|index| from + index as f64 * step).collect();
    Some(Range { aims, within: given.within.optional()? })
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
