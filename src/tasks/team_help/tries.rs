//! What a person would think of where several drivers do not go together: inserts, seats, pins, lead.

use crate::scenario::{Access, Easing, Lever, Scenario, SeatEnd};
use crate::tasks::help::{Steps, is_open, sizes};
use crate::units::Length;

/// By so many steps at most is a mount made stronger: beyond that it is another mount.
const MOST_STEPS: u32 = 8;

/// By so many holes at most does a driver sit further forward or back.
const MOST_HOLES: u32 = 2;

/// Rows that are tried, the most usual first; files with hundreds of mounts and kinds are not helped by hundreds of hints.
const MOST_ROWS: usize = 60;

/// Easings of one kind.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Rungs {
    /// Each allows all that those before it do.
    Growing(Vec<Easing>),
    /// None includes another.
    Apart(Vec<Easing>),
}

/// Rows of easings, the most usual first: a bigger insert, another seat, pins instead of bolts, lead, then all mounts.
pub(super) fn tries(scenario: &Scenario, drivers: &[usize]) -> Vec<Rungs> {
    let steps = Steps::of(scenario.units());
    let open = |mount: &usize| is_open(scenario, *mount);
    let quick = |mount: &usize| scenario.mounts()[*mount].quick;
    let mounts = || (0..scenario.mounts().len()).filter(open);
    let carries = |mount: usize| {
        Rungs::Growing(
            (1..=MOST_STEPS).map(|step| Easing::MountCarries { mount, more: steps.mass * step }).collect(),
        )
    };
    let hole = scenario.kart().seat.as_ref().map_or(steps.hole, |seat| seat.pitch);
    let sits = |driver: usize, way: f64| {
        let holes = |holes: u32| Length::from_mm(way * f64::from(holes) * hole.mm());
        let easing = |count: u32| Easing::DriverSits { driver, forward: holes(count) };
        Rungs::Apart((1..=MOST_HOLES).map(easing).collect())
    };
    let one = |easing: Easing| Rungs::Apart(vec![easing]);
    let mut rows: Vec<Rungs> = mounts().filter(quick).map(carries).collect();
    // Only a seat that may be set for each driver helps by one hole more.
    if scenario.adjusters().iter().any(|adjuster| adjuster.lever == Lever::Seat && adjuster.quick) {
        rows.extend(SeatEnd::ALL.map(|end| one(Easing::SeatHole { end })));
    }
    for driver in drivers {
        rows.extend([1.0, -1.0].map(|way| sits(*driver, way)));
    }
    rows.extend(mounts().filter(|mount| !quick(mount)).map(|mount| one(Easing::MountQuick { mount })));
    rows.extend(sizes(scenario).into_iter().map(|kind| one(Easing::KindQuick { kind })));
    rows.extend(sizes(scenario).into_iter().map(|kind| one(Easing::Pieces { kind, more: 1 })));
    rows.extend(mounts().filter(|mount| !quick(mount)).map(carries));
    rows.extend(mounts().map(|mount| one(Easing::MountHasRoom { mount, more: steps.room })));
    rows.extend(mounts().map(|mount| one(Easing::MountTakes { mount, more: 1 })));
    rows.extend(mounts().map(|mount| one(Easing::MountBolts { mount, more: 1 })));
    let locked =
        (0..scenario.mounts().len()).filter(|mount| scenario.mounts()[*mount].access != Access::Open);
    rows.extend(locked.map(|mount| one(Easing::Unlock { mount })));
    // What there is nothing of to ease takes no place in the list.
    let is_there = |easing: &Easing| scenario.eased(*easing).is_some();
    rows.retain(|row| match row {
        Rungs::Growing(easings) | Rungs::Apart(easings) => easings.iter().any(is_there),
    });
    rows.truncate(MOST_ROWS);
    rows
}
