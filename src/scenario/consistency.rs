//! What the parts of a file say about each other: weighings against masses, locks against limits, targets
//! against targets.

use super::bounds;
use super::drivers::ListedDriver;
use super::history::ListedWeighing;
use super::mounts::Mounts;
use super::target::wanted_share;
use super::{
    Access, Adjuster, Aim, Class, Driver, Figure, FrontWheel, Kart, Kind, Lever, Mount, Rules, Scenario,
    Target, Weighing,
};
use crate::counts::Counts;
use crate::diagnosis::Fault;
use crate::document::{Reading, Value, rounded_mass, written_length, written_mass};
use crate::statics::{Corners, Point};
use crate::units::{Length, Mass, UnitSystem};

/// Two weighings of one kart may differ by so much before they are called different karts, kg: twice the
/// in-service error of four class III pads, and a wet seat.
const APART_KG: f64 = 2.0;

/// Notes locked mounts whose lead breaks the mount's limits or the class's rules.
pub(super) fn locked(
    mounts: &Mounts,
    read: &[Mount],
    lead: &[Kind],
    fitted: &Counts,
    class: &Class,
    rules: Option<&Value>,
) {
    let mut locked_total = Mass::ZERO;
    for (index, mount) in read.iter().enumerate().filter(|(_, mount)| mount.access == Access::Locked) {
        let value = &mounts.values[index];
        let here: Vec<(usize, u32)> = (0..lead.len())
            .map(|kind| (kind, fitted.get(kind, index)))
            .filter(|(_, count)| *count > 0)
            .collect();
        locked_total += here.iter().map(|(kind, count)| lead[*kind].mass * *count).sum();
        for clash in clashes(mount, lead, &here, &class.rules, value.units()) {
            value.note_key(clash);
        }
    }
    if let (Some(most), Some(rules)) = (class.rules.most_lead, rules)
        && locked_total > most
    {
        let units = rules.units();
        let (lead, limit) = (written_mass(locked_total, units), written_mass(most, units));
        rules.note_key(Fault::LockedTotal { lead, limit });
    }
}

/// What is wrong with the lead that is locked on a mount.
fn clashes(
    mount: &Mount,
    lead: &[Kind],
    here: &[(usize, u32)],
    rules: &Rules,
    units: UnitSystem,
) -> Vec<Fault> {
    let mut clashes = Vec::new();
    let name = || mount.name.clone();
    let weight = |mass| written_mass(mass, units);
    let mass: Mass = here.iter().map(|(kind, count)| lead[*kind].mass * *count).sum();
    if mass > mount.capacity {
        let (lead, limit) = (weight(mass), weight(mount.capacity));
        clashes.push(Fault::LockedBeyondCapacity { mount: name(), lead, limit });
    }
    let stack: i64 = here.iter().map(|(kind, count)| lead[*kind].thickness.nm() * i64::from(*count)).sum();
    if let Some(room) = mount.room.filter(|room| stack > room.nm()) {
        let stack = written_length(Length::from_mm(stack as f64 / 1e6), units);
        clashes.push(Fault::LockedBeyondRoom { mount: name(), stack, limit: written_length(room, units) });
    }
    let pieces: u32 = here.iter().map(|(_, count)| count).sum();
    if let Some(limit) = mount.most_pieces.filter(|limit| pieces > *limit) {
        clashes.push(Fault::LockedTooMany { mount: name(), pieces, limit });
    }
    for (kind, _) in here.iter().filter(|(kind, _)| !mount.takes[*kind]) {
        clashes.push(Fault::LockedNotTaken { mount: name(), kind: lead[*kind].name.clone() });
    }
    for kind in here.iter().map(|(kind, _)| &lead[*kind]) {
        if let Some(limit) = rules.largest_piece.filter(|limit| kind.mass > *limit) {
            let (kind, limit) = (kind.name.clone(), weight(limit));
            clashes.push(Fault::LockedTooHeavy { mount: name(), kind, limit });
        }
        if let Some(least) = rules.fewest_bolts_per_piece.filter(|least| kind.bolts.unwrap_or(1) < *least) {
            clashes.push(Fault::LockedWithFewBolts { mount: name(), kind: kind.name.clone(), least });
        }
    }
    if let Some((most, bolts)) = rules.most_mass_per_bolt.zip(mount.bolts)
        && mass > most * bolts
    {
        let (lead, limit) = (weight(mass), weight(most));
        clashes.push(Fault::LockedBeyondBolts { mount: name(), lead, bolts, limit });
    }
    clashes
}

/// Warns of mounts at one place: one of them was probably copied and not changed.
pub(super) fn same_places(mounts: &Mounts, read: &[Mount]) {
    for (index, mount) in read.iter().enumerate() {
        let same = |other: &&Mount| other.place == mount.place && other.height == mount.height;
        if let Some(other) = read[..index].iter().find(same) {
            let fault = Fault::SamePlace { mount: mount.name.clone(), other: other.name.clone() };
            mounts.values[index].note_key(fault);
        }
    }
}

/// Mass of kart plus driver as a weighing shows them: the readings without fuel and lead.
fn kart_and_driver(weighing: &Weighing, lead: &[Kind]) -> Mass {
    weighing.readings.into_iter().sum::<Mass>() - fuel_and_lead(weighing, lead)
}

fn fuel_and_lead(weighing: &Weighing, lead: &[Kind]) -> Mass {
    let pieces = weighing.aboard.lead.placed().map(|(kind, _, count)| lead[kind].mass * count);
    weighing.aboard.fuel.iter().copied().sum::<Mass>() + pieces.sum()
}

/// Drivers with their masses, from the file or from two weighings; notes weighings that cannot be true
/// together. `weighings` are those of the list, the first of the kart as raced first.
pub(super) fn drivers(
    listed: &[ListedDriver],
    weighings: &[&Weighing],
    lead: &[Kind],
    reading: &Reading,
) -> Option<Vec<Driver>> {
    for driver in listed {
        if let Some(own) = driver.weighing.as_ref().and_then(|own| Some((own, own.weighing.as_ref()?))) {
            own_driver_aboard(driver, listed, own);
        }
    }
    let kart = kart_alone(listed, weighings, lead)?;
    let mut drivers = Vec::new();
    for (index, driver) in listed.iter().enumerate() {
        let own = driver.weighing.as_ref().and_then(|own| own.weighing.as_ref());
        let with_him = || weighings.iter().copied().find(|one| one.aboard.driver == Some(index));
        let shown = own.or_else(with_him).map(|weighing| kart_and_driver(weighing, lead) - kart);
        if let (Some(given), Some(shown), Some(_)) = (driver.mass, shown, own) {
            agree(driver, given, shown, reading);
        }
        let mass = driver.mass.or(shown);
        if mass.is_none() {
            driver.value.note_key(Fault::DriverMassMissing { driver: driver.name.clone() });
        }
        if driver.mass.is_none()
            && let Some(shown) = shown
        {
            derived_mass(driver, shown, reading);
        }
        drivers.push(mass.map(|mass| Driver {
            name: driver.name.clone(),
            mass,
            acts: driver.acts,
            place_of: None,
            height: driver.height,
            weighing: own.cloned(),
        }));
    }
    drivers.into_iter().collect()
}

fn own_driver_aboard(driver: &ListedDriver, listed: &[ListedDriver], own: (&ListedWeighing, &Weighing)) {
    let (settings, weighing) = own;
    let aboard = weighing.aboard.driver.map(|index| &listed[index].name);
    if aboard != Some(&driver.name) {
        let aboard = aboard.map_or("nobody", String::as_str).to_owned();
        let place = settings.aboard.peek("driver");
        place
            .as_ref()
            .unwrap_or(&settings.aboard)
            .note(Fault::OtherDriverAboard { driver: driver.name.clone(), aboard });
    }
}

/// The kart without driver, fuel and lead: from the first weighing with nobody aboard, or somebody whose mass is given.
fn kart_alone(listed: &[ListedDriver], weighings: &[&Weighing], lead: &[Kind]) -> Option<Mass> {
    let own = listed.iter().filter_map(|driver| driver.weighing.as_ref()?.weighing.as_ref());
    let found = weighings.iter().copied().chain(own).find_map(|weighing| {
        let driver = match weighing.aboard.driver {
            Some(index) => listed[index].mass?,
            None => Mass::ZERO,
        };
        Some(kart_and_driver(weighing, lead) - driver)
    });
    if found.is_none() {
        // Every weighing has somebody aboard whose mass nobody knows; the first of them must be given.
        for driver in listed.iter().filter(|driver| driver.mass.is_none()).take(1) {
            driver.value.note_key(Fault::DriverMassMissing { driver: driver.name.clone() });
        }
    }
    found
}

fn agree(driver: &ListedDriver, given: Mass, shown: Mass, reading: &Reading) {
    let apart = (given - shown).abs();
    if apart.kg() <= APART_KG || reading.lifted() {
        return;
    }
    let units = reading.units();
    let fault = Fault::WeighingsDisagree {
        driver: driver.name.clone(),
        given: written_mass(given, units),
        weighed: written_mass(shown, units),
        apart: written_mass(apart, units),
    };
    driver.value.note_key(fault);
}

fn derived_mass(driver: &ListedDriver, shown: Mass, reading: &Reading) {
    let plausible = (bounds::DRIVER.least..=bounds::DRIVER.most).contains(&shown.kg());
    if plausible || (reading.lifted() && shown > Mass::ZERO) {
        return;
    }
    let shown = written_mass(shown, reading.units());
    driver.value.note_key(Fault::DerivedMass { driver: driver.name.clone(), shown });
}

/// Notes weighings that leave too little or too much of a kart when everything aboard is taken off.
pub(super) fn parts_fit(
    weighings: &[(&ListedWeighing, &Weighing)],
    drivers: &[Driver],
    lead: &[Kind],
    reading: &Reading,
) {
    for (settings, weighing) in weighings {
        let driver = weighing.aboard.driver.map_or(Mass::ZERO, |index| drivers[index].mass);
        let sum: Mass = weighing.readings.into_iter().sum();
        let parts = driver + fuel_and_lead(weighing, lead);
        let kart = sum - parts;
        let (least, most) = bounds::BARE_KART;
        let plausible = (least..=most).contains(&kart.kg());
        let possible = reading.lifted() && kart > Mass::ZERO;
        if !(plausible || possible) {
            let units = reading.units();
            settings.scales.note_key(Fault::PartsTooHeavy {
                sum: written_mass(sum, units),
                parts: written_mass(parts, units),
                kart: written_mass(kart, units),
            });
        }
    }
}

/// Warns of targets that no corners can meet together.
///
/// `left − cross = (LF − RF)/total` and `left + cross − 1 = (LR − RR)/total`, from the definitions alone. The
/// total is taken as the class minimum; a plan is heavier by margin and spare, which the slack covers.
pub(super) fn targets_agree(targets: &[Target], class: Option<&Class>, value: Option<&Value>) {
    /// Kilograms by which a wish may miss before it is called impossible: one percent point on a total 10 kg
    /// off.
    const SLACK_KG: f64 = 0.2;
    let (Some(class), Some(value)) = (class, value) else { return };
    let wanted = [Figure::Left, Figure::Cross].map(|figure| wanted_share(targets, figure));
    let [Some((left, left_tolerance)), Some((cross, cross_tolerance))] = wanted else { return };
    let [left, left_tolerance, cross, cross_tolerance] =
        [left, left_tolerance, cross, cross_tolerance].map(|percent| percent / 100.0);
    let total = class.minimum.kg();
    let slack = SLACK_KG + (left_tolerance + cross_tolerance) * total;
    for target in targets {
        let Aim::Difference { aim, within } = target.aim else { continue };
        let (pair, implied) = match target.figure {
            Figure::FrontPair => ("front", (left - cross) * total),
            _ => ("rear", (left + cross - 1.0) * total),
        };
        if (implied - aim.kg()).abs() > slack + within.kg() {
            let units = value.units();
            value.note_key(Fault::TargetsDisagree {
                pair,
                aim: written_mass(aim, units),
                implied: format!("about {}", rounded_mass(Mass::from_kg(implied), units)),
            });
        }
    }
}

/// Notes adjusters whose settings can be combined in more ways than the search holds.
pub(super) fn combinations(adjusters: &[Adjuster], value: Option<&Value>) {
    let found = adjusters
        .iter()
        .try_fold(1_usize, |ways, adjuster| ways.checked_mul(adjuster.settings.len()))
        .unwrap_or(usize::MAX);
    if let Some(value) = value {
        value.at_most(bounds::MOST_COMBINATIONS, "combinations of settings", found);
    }
}

/// Notes a scenario whose sums the integer program could not hold.
pub(super) fn sums_in_range(scenario: &Scenario, value: Option<&Value>) {
    if let Some(value) = value.filter(|_| !sums_fit(scenario)) {
        value.note_key(Fault::TooLargeTogether);
    }
}

/// Whether the integer program can hold all sums of a scenario.
///
/// Every sum is a mass times a share of it, times a target's weight. A place's shares of one kilogram add up to at most the
/// sum of their magnitudes, and one more for the target's own share of the total; every mass of the file may be counted
/// twice, at a weighing and in a plan.
pub(super) fn sums_fit(scenario: &Scenario) -> bool {
    let kart = &scenario.kart;
    // A seat, whoever sits in it and what rides on it may stand at any hole.
    let shifts = kart.seat.as_ref().map_or([0.0; 2], |seat| {
        let holes = 2.0 * f64::from(bounds::SEAT_HOLES);
        [seat.at_hole_0.x.mm().abs() + holes * seat.pitch.mm().abs(), holes * seat.pitch_across.mm().abs()]
    });
    let mounts = scenario.mounts.iter().map(|mount| mount.place);
    let tanks = scenario.tanks.iter().map(|tank| tank.place);
    let drivers = scenario.drivers.iter().filter_map(|driver| driver.acts);
    let seats = kart.seat.iter().map(|seat| seat.at_hole_0);
    let set = scenario.adjusters.iter().flat_map(|a| a.settings.iter().map(|setting| setting.place));
    let shares = |place: Point| -> f64 {
        let magnitudes = |point: Point| -> f64 {
            kart.chassis.influence(point).kg().into_iter().map(f64::abs).sum::<f64>()
        };
        let [forward, left] = shifts;
        let corners = [(-1.0, -1.0), (-1.0, 1.0), (1.0, -1.0), (1.0, 1.0), (0.0, 0.0)];
        corners
            .map(|(x, y)| Point::from_mm(place.x.mm() + x * forward, place.y.mm() + y * left))
            .map(magnitudes)
            .into_iter()
            .fold(0.0, f64::max)
            + 1.0
    };
    let places = mounts.chain(tanks).chain(drivers).chain(seats).chain(set);
    // One kilogram on the scales themselves is one kilogram and its share of the total.
    let farthest = places.map(shares).max_by(f64::total_cmp).unwrap_or(0.0).max(2.0) + highest(scenario);
    let own = scenario.drivers.iter().filter_map(|driver| driver.weighing.as_ref());
    let weighed: Mass = std::iter::once(&scenario.weighing).chain(own).flat_map(|one| one.readings).sum();
    let drivers: Mass = scenario.drivers.iter().map(|driver| driver.mass).sum();
    let fuel: Mass = scenario.tanks.iter().map(|tank| tank.start + tank.finish).sum();
    let lead: Mass = scenario.lead.iter().map(|kind| kind.mass * kind.count).sum();
    let masses_kg = (weighed + drivers + fuel + lead).kg();
    let set_kg: f64 = scenario.adjusters.iter().map(|adjuster| most_moved_kg(adjuster, kart)).sum();
    let weights: f64 = scenario.targets.iter().map(|target| target.weight).sum::<f64>().max(1.0);
    let sums_kg = farthest * weights * 2.0 * (masses_kg + set_kg);
    // Written so that a sum that is not finite is refused.
    sums_kg <= bounds::ALL_SUMS_KG
}

/// The largest height of anything, as a part of the wheelbase.
fn highest(scenario: &Scenario) -> f64 {
    let mounts = scenario.mounts.iter().map(Mount::height_counted);
    let tanks = scenario.tanks.iter().map(|tank| tank.height);
    let drivers = scenario.drivers.iter().map(|driver| driver.height);
    let kart = scenario.heights.iter().map(|heights| heights.height);
    let all = mounts.chain(tanks).chain(drivers).chain(kart).map(|height| height.mm().abs());
    all.max_by(f64::total_cmp).unwrap_or(0.0) / scenario.kart.chassis.wheelbase.mm()
}

/// An upper bound on the mass that an adjuster moves about, or on what it changes at the corners, kg.
fn most_moved_kg(adjuster: &Adjuster, kart: &Kart) -> f64 {
    let sum = |corners: Corners| -> f64 { corners.kg().into_iter().map(f64::abs).sum() };
    let steps = adjuster.settings.len() as f64;
    match adjuster.lever {
        Lever::Seat => kart.seat.as_ref().map_or(0.0, |seat| seat.mass.kg()),
        // Fuel is counted with the tanks, the driver with the drivers.
        Lever::Tank { .. } => 0.0,
        Lever::Part { mass } => mass.kg(),
        Lever::Spindle { washer, .. } => sum(kart.chassis.lower_wheel(FrontWheel::Left, washer)) * steps,
        Lever::Measured { per_step } => sum(per_step) * steps,
    }
}
