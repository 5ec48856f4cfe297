//! The part of a file that describes kart and seat.
//! Takes the settings under `kart`; gives geometry and stiffness, or notes what is wrong.
//! Does not know what is aboard.

use super::{Adjuster, Kart, adjusters, bounds};
use crate::diagnosis::Fault;
use crate::document::Value;
use crate::statics::{Chassis, RollShare, Stiffness};

/// Whether the user accepts anything that can be computed.
pub(super) fn limits_are_lifted(kart: Option<Value>) -> bool {
    kart.and_then(|kart| kart.peek("limits")).and_then(|limits| limits.word()) == Some("off")
}

/// A kart as listed, with the adjusters that are described under it.
pub(super) struct ListedKart {
    pub(super) kart: Kart,
    pub(super) adjusters: Vec<Adjuster>,
}

/// Reads `kart`.
pub(super) fn kart(value: &Value) -> Option<ListedKart> {
    let fields = value.settings("kart", "kart: {name: kart 7, wheelbase: 1040 mm}")?;
    if let Some(limits) = fields.value("limits") {
        limits.choice(&[("off", ()), ("on", ())]);
    }
    let name = fields.required("name", "name: kart 7").and_then(|name| name.name());
    let wheelbase =
        fields.required("wheelbase", "wheelbase: 1040 mm").and_then(|v| v.length(bounds::WHEELBASE));
    let track = |key, example| fields.required(key, example).and_then(|v| v.length(bounds::TRACK));
    let track_front = track("track_front", "track_front: 1080 mm");
    let track_rear = track("track_rear", "track_rear: 1120 mm");
    let given = fields.value("stiffness");
    let stiffness = given.as_ref().and_then(stiffness);
    let shares = fields.value("roll_share");
    let roll_share = shares.as_ref().and_then(roll_share);
    let rate = fields.value("twist_rate");
    let twist_rate = rate.as_ref().and_then(|rate| rate.number(bounds::TWIST_RATE));
    if given.is_some() {
        for (second, key) in [(shares, "roll_share"), (rate, "twist_rate")] {
            if let Some(second) = second {
                second.note_key(Fault::BothGiven { first: "stiffness", second: key });
            }
        }
    }
    let mass = fields.value("mass").and_then(|mass| mass.mass(bounds::KART_MASS));
    let seat = fields.optional("seat", adjusters::seat);
    let spindles = fields.optional("spindles", adjusters::spindles);
    fields.finish();
    let mut chassis =
        Chassis::from_stiffness(wheelbase?, track_front?, track_rear?, stiffness.unwrap_or_default());
    chassis.roll_share = roll_share.unwrap_or(chassis.roll_share);
    chassis.twist_rate_kg_per_mm = twist_rate.unwrap_or(chassis.twist_rate_kg_per_mm);
    let (seat, seat_adjuster) = seat.ok()?.unzip();
    let adjusters = seat_adjuster.into_iter().chain(spindles.ok()?.into_iter().flatten()).collect();
    Some(ListedKart { kart: Kart { name: name?, chassis, mass, seat }, adjusters })
}

fn stiffness(value: &Value) -> Option<Stiffness> {
    let fields = value.settings("stiffness", "stiffness: {tyre_front: 64.5, tyre_rear: 61.3, frame: 140}")?;
    let standard = Stiffness::default();
    let read = |key, bounds, standard| fields.value(key).map_or(Some(standard), |value| value.number(bounds));
    let front = read("tyre_front", bounds::TYRE_STIFFNESS, standard.tyre_front_n_per_mm);
    let rear = read("tyre_rear", bounds::TYRE_STIFFNESS, standard.tyre_rear_n_per_mm);
    let frame = read("frame", bounds::FRAME_STIFFNESS, standard.frame_nm_per_deg);
    fields.finish();
    Some(Stiffness { tyre_front_n_per_mm: front?, tyre_rear_n_per_mm: rear?, frame_nm_per_deg: frame? })
}

/// Reads shares of roll moments.
pub(super) fn roll_share(value: &Value) -> Option<RollShare> {
    let fields = value.settings("roll_share", "roll_share: {rear_axle: 0.13, front_axle: 0.84}")?;
    let rear = fields.required("rear_axle", "rear_axle: 0.13");
    let front = fields.required("front_axle", "front_axle: 0.84");
    fields.finish();
    let share = |value: Option<&Value>| value.and_then(|value| value.number_always(bounds::ROLL_SHARE));
    let (at_rear_axle, at_front_axle) = (share(rear.as_ref()), share(front.as_ref()));
    let (at_rear_axle, at_front_axle) = (at_rear_axle?, at_front_axle?);
    // Rigid bodies of any stiffness give shares that grow forward: the frame's own compliance only ever adds.
    if at_rear_axle > at_front_axle {
        value.note_key(Fault::RollShareFalls);
    }
    Some(RollShare { at_rear_axle, at_front_axle })
}
