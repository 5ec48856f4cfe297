//! Keys of the kart and of everything on it that can be set.

use super::{Place, bounds, within};
use crate::document::Value;
use crate::document::block::blocks;
use crate::document::form as a;
use crate::units::{Length, Mass};

const SEAT_HOLE: a::Whole<i32> = a::whole(-bounds::SEAT_HOLES, bounds::SEAT_HOLES);
const WASHER_COUNT: a::Whole<u32> = a::count(0, bounds::MOST_WASHERS);
/// A step of a measured adjuster.
pub(in crate::scenario) const STEP: a::Whole<i32> = a::whole(-bounds::MOST_STEPS, bounds::MOST_STEPS);
const EFFECT: a::Measured<Mass> = a::mass(bounds::EFFECT);

blocks! {
    pub(in crate::scenario),

    /// A kart.
    Kart like "{wheelbase: 1040 mm, track_front: 1080 mm, track_rear: 1120 mm}" {
        optional name: String = a::NAME, "its name on the report";
        required wheelbase: Length = a::length(bounds::WHEELBASE), "front axle to rear axle" like "1040 mm";
        required track_front: Length = a::length(bounds::TRACK), "between the middles of the front tyres" like "1080 mm";
        required track_rear: Length = a::length(bounds::TRACK), "between the middles of the rear tyres" like "1120 mm";
        optional mass: Mass = a::mass(within("a kart alone", 25.0, 400.0)), "the kart alone, if it was ever weighed";
        optional stiffness: Stiffness<'r> = a::settings::<Stiffness>(),
            "measured stiffnesses, instead of those of a usual kart";
        optional roll_share: RollShare<'r> = a::settings::<RollShare>(),
            "measured: how much of a roll moment the front carries";
        optional twist_rate: f64 = a::number(bounds::TWIST_RATE), "measured: kg per corner for 1 mm of spacer";
        optional seat: Seat<'r> = a::settings::<Seat>(), "a seat that can be bolted at several holes";
        optional spindles: Spindles<'r> = a::settings::<Spindles>(),
            "washers above and below the front wheels' spindles";
        optional limits: bool = a::Choice(&[("off", false), ("on", true)]),
            "off: accept numbers beyond those of usual karts";
    }

    /// Measured stiffnesses.
    Stiffness like "{tyre_front: 64.5, tyre_rear: 61.3, frame: 140}" {
        optional tyre_front: f64 = a::number(bounds::TYRE_STIFFNESS), "one front tyre, N/mm";
        optional tyre_rear: f64 = a::number(bounds::TYRE_STIFFNESS), "one rear tyre, N/mm";
        optional frame: f64 = a::number(within("stiffness", 20.0, 2000.0)), "twist of the frame, N m per degree";
    }

    /// Shares of roll moments.
    RollShare like "{rear_axle: 0.13, front_axle: 0.84}" {
        required rear_axle: f64 = a::number(bounds::ROLL_SHARE).always(),
            "for a mass above the rear axle, 0 to 1" like "0.13";
        required front_axle: f64 = a::number(bounds::ROLL_SHARE).always(),
            "for a mass above the front axle, 0 to 1" like "0.84";
    }

    /// What it takes to change an adjuster.
    Effort like "" {
        optional changes: u32 = a::count(0, bounds::MOST_CHANGES), "work of changing it, as pieces bolted";
        optional minutes: f64 = a::number(within("", 0.0, 600.0)), "the same in minutes, instead of `changes`";
        optional quick: bool = a::BOOLEAN, "true: can be changed in a pit stop, and be another for each driver";
    }

    /// A row of holes.
    Holes like "{from: 0, to: 8}" {
        required from: i32 = SEAT_HOLE, "the first that may be used" like "0";
        required to: i32 = SEAT_HOLE, "the last that may be used" like "8";
    }

    /// Where a seat is bolted in one direction.
    Across like "{pitch: 10 mm, hole: 0, holes: {from: -2, to: 2}}" {
        required pitch: Length = a::length(within("a seat", 1.0, 200.0)), "from one hole to the next" like "15 mm";
        required hole: i32 = SEAT_HOLE, "the hole in use, counted forward from x, or to the left from y" like "2";
        optional holes: Holes<'r> = a::settings::<Holes>(),
            "holes that a plan may choose; without it only the one in use";
        optional measured_at: i32 = SEAT_HOLE,
            "the hole at which the places of drivers and of mounts on the seat were measured; left out, the one in use";
    }

    /// A seat.
    Seat like "{mass: 4.5 kg, x: 330 mm, y: 20 mm, pitch: 15 mm, hole: 2}"
        with (place: Place<'r>, along: Across<'r>, effort: Effort<'r>) {
        required mass: Mass = a::mass(within("a seat", 0.5, 40.0)), "the seat alone" like "4.5 kg";
        optional across: Across<'r> = a::settings::<Across>(), "the same to the left and right";
    }

    /// Both spindles.
    Spindles like "{washer: 2 mm, left: {above: 2, below: 2}, right: {above: 2, below: 2}}" with (effort: Effort<'r>) {
        required washer: Length = a::length(within("a washer", 0.1, 20.0)), "thickness of one" like "2 mm";
        required left: Washers<'r> = a::settings::<Washers>(), "of the left front wheel";
        required right: Washers<'r> = a::settings::<Washers>(), "of the right front wheel";
    }

    /// Both spindles as they were at a weighing.
    SpindlesThen like "{left: {above: 2, below: 2}}" {
        optional left: Washers<'r> = a::settings::<Washers>(), "of the left front wheel";
        optional right: Washers<'r> = a::settings::<Washers>(), "of the right front wheel";
    }

    /// Washers of a spindle.
    Washers like "{above: 2, below: 2}" {
        required above: u32 = WASHER_COUNT, "washers above the spindle: they press the wheel down" like "2";
        required below: u32 = WASHER_COUNT, "washers below the spindle" like "2";
    }

    /// Whatever else can be set: by steps whose effect was measured, or a tank or a part at one of several places.
    Adjuster like "{mass: 3 kg, now: left, places: ...}" with (effort: Effort<'r>) {
        required[0] per_step: PerStep<'r> = a::settings::<PerStep>(), "what one step up changed on the pads";
        required[0] from: i32 = STEP, "the lowest step" like "-2";
        required[0] to: i32 = STEP, "the highest step" like "2";
        required[0] step as "now": i32 = STEP, "the step that is set now" like "0";
        required[1] tank: Value<'r> = a::Any(&[&a::NAME]), "the tank of `fuel` that can be moved";
        required[2] mass: Mass = a::mass(bounds::PART), "the part that can be moved" like "3 kg";
        required[1 2] places: Vec<Value<'r>>
            = a::Named(&a::settings::<Place>(), "{left: {x: 300 mm, y: 300 mm}, right: {x: 300 mm, y: -300 mm}}"),
            "where it can be, each under a name";
        required[1 2] now: Value<'r> = a::Any(&[&a::NAME]), "the place where it is now" like "left";
    }

    /// What one step changed.
    PerStep like "{lf: 0.4 kg, rf: -0.4 kg, lr: -0.4 kg, rr: 0.4 kg}" {
        required lf: Mass = EFFECT, "left front" like "0.4 kg";
        required rf: Mass = EFFECT, "right front" like "-0.4 kg";
        required lr: Mass = EFFECT, "left rear" like "-0.4 kg";
        required rr: Mass = EFFECT, "right rear" like "0.4 kg";
    }
}
