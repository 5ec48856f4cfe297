//! The parts of a file that describe kart, seat and tanks.

use super::pads::FrameTold;
use super::{Adjuster, Kart, NONE, Tank, adjusters, bounds, keys, place};
use crate::diagnosis::Fault;
use crate::document::block::Block;
use crate::document::{Given, Value, written_mass};
use crate::statics::{Chassis, RollShare, Stiffness};
use crate::units::Length;

/// A kart as listed, with the adjusters that are described under it.
pub(super) struct ListedKart {
    pub(super) kart: Kart,
    pub(super) adjusters: Vec<Adjuster>,
    pub(super) frame: FrameTold,
}

/// What `kart` says.
pub(super) fn kart(given: keys::Kart) -> Option<ListedKart> {
    if given.stiffness.value.is_some() {
        let both = |second| Fault::BothGiven { first: "stiffness", second };
        given.roll_share.note_key(both("roll_share"));
        given.twist_rate.note_key(both("twist_rate"));
    }
    let frame = FrameTold::by(&given);
    let stiffness = given.stiffness.then(stiffness).or(Stiffness::default());
    let roll_share = given.roll_share.then(|given| roll_share(&given)).optional();
    let seat = given.seat.then(adjusters::seat).optional();
    let spindles = given.spindles.then(adjusters::spindles).or(Vec::new());
    let mut chassis = Chassis::from_stiffness(
        given.wheelbase.read?,
        given.track_front.read?,
        given.track_rear.read?,
        stiffness.unwrap_or_default(),
    );
    chassis.roll_share = roll_share?.unwrap_or(chassis.roll_share);
    chassis.twist_rate_kg_per_mm = given.twist_rate.or(chassis.twist_rate_kg_per_mm)?;
    // Limits were lifted before anything was read.
    given.limits.optional()?;
    let (seat, seat_adjuster) = seat?.unzip();
    let adjusters = seat_adjuster.into_iter().chain(spindles?).collect();
    let kart =
        Kart { name: given.name.or("my kart".to_owned())?, chassis, mass: given.mass.optional()?, seat };
    Some(ListedKart { kart, adjusters, frame })
}

fn stiffness(given: keys::Stiffness) -> Option<Stiffness> {
    let usual = Stiffness::default();
    Some(Stiffness {
        tyre_front_n_per_mm: given.tyre_front.or(usual.tyre_front_n_per_mm)?,
        tyre_rear_n_per_mm: given.tyre_rear.or(usual.tyre_rear_n_per_mm)?,
        frame_nm_per_deg: given.frame.or(usual.frame_nm_per_deg)?,
    })
}

/// Shares of roll moments.
pub(super) fn roll_share(given: &keys::RollShare) -> Option<RollShare> {
    let (at_rear_axle, at_front_axle) = (given.rear_axle.read?, given.front_axle.read?);
    // Rigid bodies of any stiffness give shares that grow forward: the frame's own compliance only ever adds.
    if at_rear_axle > at_front_axle {
        given.value().note_key(Fault::RollShareFalls);
    }
    Some(RollShare { at_rear_axle, at_front_axle })
}

/// A tank as listed: its density is needed for volumes in weighings too.
pub(super) struct ListedTank {
    pub(super) name: String,
    pub(super) density: f64,
    pub(super) tank: Option<Tank>,
}

/// What `fuel` says: one tank, named tanks, or none.
pub(super) fn tanks(given: &Given<Value>, chassis: Option<&Chassis>) -> Option<Vec<ListedTank>> {
    let Some(value) = given.value.as_ref().filter(|value| value.word() != Some(NONE)) else {
        return Some(Vec::new());
    };
    let entries = value.named(keys::Tank::EXAMPLE)?;
    // Settings of one tank are numbers, tanks are settings of their own.
    if entries.iter().any(|entry| !entry.is_settings()) {
        return Some(vec![tank("tank", keys::Tank::read(value)?, chassis)]);
    }
    value.at_most(bounds::MOST_TANKS, "tanks", entries.len());
    let named = |value: Value| {
        let name = value.key_as_name("fuel")?;
        Some(tank(&name, keys::Tank::read(&value)?, chassis))
    };
    Some(entries.into_iter().take(bounds::MOST_TANKS).filter_map(named).collect())
}

fn tank(name: &str, given: keys::Tank, chassis: Option<&Chassis>) -> ListedTank {
    let (place, value) = (given.place.point(), given.value().clone());
    let density = given.density.or(bounds::DEFAULT_DENSITY);
    let usable = density.unwrap_or(bounds::DEFAULT_DENSITY);
    let [start, finish] = [given.start, given.finish].map(|amount| amount.read?.mass(usable));
    if let (Some(start), Some(finish)) = (start, finish)
        && finish > start
    {
        let units = value.units();
        let (start, finish) = (written_mass(start, units), written_mass(finish, units));
        value.note_key(Fault::FuelGrows { tank: name.into(), start, finish });
    }
    if let (Some(place), Some(chassis)) = (place, chassis) {
        place::on_the_kart(value.reading(), &value, &format!("tank `{name}`"), place, chassis);
    }
    let height = given.z.or(Length::ZERO);
    let tank = density.and_then(|_| {
        Some(Tank { name: name.into(), place: place?, height: height?, start: start?, finish: finish? })
    });
    ListedTank { name: name.into(), density: usable, tank }
}
