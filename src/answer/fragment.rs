//! The lines that make a scenario believe what was learned.

use std::fmt::Write as _;

use crate::decimals::trimmed;
use crate::document::written_name;
use crate::scenario::{Beliefs, Scenario};
use crate::statics::{Point, RollShare};
use crate::tasks::learn::Lessons;
use crate::units::{Length, Mass, UnitSystem};

/// A place that stays within this is not worth a line, mm.
const SAME_MM: f64 = 0.5;
/// Nor a share or rate that stays within this.
const SAME_RATE: f64 = 5e-4;
/// Nor readings that stay within this, kg.
const SAME_KG: f64 = 5e-4;

/// The block `learned`.
pub(super) fn learned(scenario: &Scenario, lessons: &Lessons) -> String {
    let (before, now) = (scenario.measured(), &lessons.beliefs);
    let units = scenario.units();
    let mut text = format!(
        "learned: # by `kentledge learn` from {} weighings; delete it to forget\n  weighings: {}\n",
        lessons.sightings.len(),
        scenario.weighings().len()
    );
    if lessons.misread_kg.iter().any(|kg| kg.abs() >= SAME_KG) {
        let [lf, rf, lr, rr] = lessons.misread_kg.map(|kg| mass(kg, units));
        let _ = writeln!(text, "  misread: {{lf: {lf}, rf: {rf}, lr: {lr}, rr: {rr}}}");
    }
    twist(&mut text, before, now);
    let mount_names = scenario.mounts().iter().map(|mount| mount.name.as_str());
    let mounts = before.mounts.iter().copied().map(Some).zip(now.mounts.iter().copied().map(Some));
    places(&mut text, "mounts", mount_names, mounts, units);
    let driver_names = scenario.drivers().iter().map(|driver| driver.name.as_str());
    places(
        &mut text,
        "drivers",
        driver_names,
        before.drivers.iter().copied().zip(now.drivers.iter().copied()),
        units,
    );
    text
}

fn twist(text: &mut String, before: &Beliefs, now: &Beliefs) {
    let changed = |one: f64, other: f64| (one - other).abs() >= SAME_RATE;
    let RollShare { at_rear_axle: rear, at_front_axle: front } = now.roll_share;
    if changed(rear, before.roll_share.at_rear_axle) || changed(front, before.roll_share.at_front_axle) {
        let (rear, front) = (trimmed(rear, 4), trimmed(front, 4));
        let _ = writeln!(text, "  roll_share: {{rear_axle: {rear}, front_axle: {front}}}");
    }
    if changed(now.twist_rate_kg_per_mm, before.twist_rate_kg_per_mm) {
        let _ = writeln!(text, "  twist_rate: {}", trimmed(now.twist_rate_kg_per_mm, 4));
    }
}

fn places<'s>(
    text: &mut String,
    key: &str,
    names: impl Iterator<Item = &'s str>,
    places: impl Iterator<Item = (Option<Point>, Option<Point>)>,
    units: UnitSystem,
) {
    let moved = |one: Point, other: Point| {
        (one.x.mm() - other.x.mm()).abs().max((one.y.mm() - other.y.mm()).abs()) >= SAME_MM
    };
    let mut heading = Some(format!("  {key}:\n"));
    for (name, (before, now)) in names.zip(places) {
        if let Some(now) = now.filter(|now| before.is_none_or(|before| moved(before, *now))) {
            text.push_str(&heading.take().unwrap_or_default());
            let (x, y) = (length(now.x, units), length(now.y, units));
            let _ = writeln!(text, "    {}: {{x: {x}, y: {y}}}", written_name(name));
        }
    }
}

fn length(length: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::KgMm => format!("{} mm", trimmed(length.mm(), 1)),
        UnitSystem::LbIn => format!("{} in", trimmed(length.inches(), 3)),
    }
}

fn mass(kg: f64, units: UnitSystem) -> String {
    match units {
        UnitSystem::KgMm => format!("{} kg", trimmed(kg, 3)),
        UnitSystem::LbIn => format!("{} lb", trimmed(Mass::from_kg(kg).lb(), 3)),
    }
}
