//! The part of a file that describes kart and seat.

use super::pads::FrameTold;
use super::{Adjuster, Kart, adjusters, keys};
use crate::diagnosis::Fault;
use crate::document::block::Block;
use crate::statics::{Chassis, RollShare, Stiffness};

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
