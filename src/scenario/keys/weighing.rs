//! Keys of a weighing: what the pads told, and what was aboard.

use super::kart::SpindlesThen;
use super::{ON_MOUNTS, STEP, bounds, within};
use crate::date::Date;
use crate::document::Value;
use crate::document::block::{Short, blocks};
use crate::document::form as a;
use crate::scenario::{NONE, SetUp, Turned};
use crate::units::{Length, Mass};

/// An amount of fuel.
pub(in crate::scenario) const FUEL: a::Fuel = a::Fuel(within("fuel", 0.0, 40.0));
/// Which of the four pads, from 1.
pub(in crate::scenario) const PAD: a::Whole<u32> = a::count(1, 4);
const SEAT_HOLE: a::Whole<i32> = a::whole(-bounds::SEAT_HOLES, bounds::SEAT_HOLES);
const READING: a::Measured<Mass> = a::mass(bounds::READING);
const ZERO: a::Measured<Mass> = a::mass(bounds::ZERO);
const HEIGHT: a::Measured<Length> = a::length(within("a floor", -30.0, 30.0));

const READINGS: Short = Short::List(4);

blocks! {
    pub(in crate::scenario),

    /// A weighing.
    Weighing like "{scales: [30.1, 30.4, 40.2, 41], aboard: {driver: Sam, fuel: none, lead: none}}" {
        required[0] repeats: Vec<Value<'r>> = a::List(
                &a::settings::<Set>(),
                "[[30.1, 30.4, 40.2, 41], [30.2, 30.3, 40.2, 41]]",
            ), "several sets of readings, instead of `scales`";
        required[1] scales: Scales<'r> = a::settings::<Scales>(), "what the four pads showed";
        required aboard: Aboard<'r> = a::settings::<Aboard>(), "all that was on the kart then, besides the kart";
        needed[2] alone as "official": Mass = a::mass(bounds::OFFICIAL),
            "what the officials' scale showed, where no pads stood under the kart: decides what it weighs, not how it is balanced";
        optional date: Date = a::DAY, "when, as 2026-11-28";
        optional[0 1] purpose as "for": () = a::Choice(&[("learn", ())]),
            "learn: not the kart as raced, but with the driver out or a known piece hung on; only `learn` uses it";
        optional[0 1] set_up: SetUp = a::Choice(&[("same", SetUp::Same), ("new", SetUp::New)]),
            "whether the pads stand as at the weighing before; left out, they do on the same date";
        optional[0 1] official: Mass = a::mass(bounds::OFFICIAL),
            "what the officials' scale showed with the same aboard: it corrects the error that all pads share";
        optional[0 1] pads: Vec<Value<'r>> = a::List(&PAD, "[2, 1, 3, 4]"),
            "which pad stood under LF RF LR RR; pads are numbered as they stood at the first weighing";
        optional[0 1] zero_before: Zeros<'r> = a::settings::<Zeros>(), "what the empty pads showed before";
        optional[0 1] zero_after: Zeros<'r> = a::settings::<Zeros>(), "what the empty pads showed afterwards";
        optional[0 1] floor: Floor<'r> = a::settings::<Floor>(), "heights of the pads above any common plane";
    }

    /// Four readings.
    Readings like "{lf: 30.1 kg, rf: 30.4 kg, lr: 40.2 kg, rr: 41 kg}" {
        needed lf or "left_front": Mass = READING, "left front";
        needed rf or "right_front": Mass = READING, "right front";
        needed lr or "left_rear": Mass = READING, "left rear";
        needed rr or "right_rear": Mass = READING, "right rear";
        optional turned: Turned = a::Choice(&[("left", Turned::Left), ("right", Turned::Right)]),
            "the kart stood a quarter turn to that side on the same pads; readings by pad, as the displays stand";
    }

    /// The only set of readings.
    Scales like "[30.1 kg, 30.4 kg, 40.2 kg, 41 kg]" short READINGS with (readings: Readings<'r>) {
        optional sure: bool = a::BOOLEAN, "true: these readings are right, however odd they look";
    }

    /// One of several sets.
    Set like "[30.1 kg, 30.4 kg, 40.2 kg, 41 kg]" short READINGS with (readings: Readings<'r>) {
        optional aboard: Aboard<'r> = a::settings::<Aboard>(), "where it differs from the first set";
    }

    /// What empty pads showed.
    Zeros like "{lf: 0.1 kg, rf: 0 kg, lr: 0 kg, rr: -0.1 kg}" {
        needed lf or "left_front": Mass = ZERO, "left front";
        needed rf or "right_front": Mass = ZERO, "right front";
        needed lr or "left_rear": Mass = ZERO, "left rear";
        needed rr or "right_rear": Mass = ZERO, "right rear";
    }

    /// A floor survey.
    Floor like "{lf: 0 mm, rf: 1.5 mm, lr: -0.5 mm, rr: 0 mm, within: 0.2 mm}" {
        needed lf or "left_front": Length = HEIGHT, "left front";
        needed rf or "right_front": Length = HEIGHT, "right front";
        needed lr or "left_rear": Length = HEIGHT, "left rear";
        needed rr or "right_rear": Length = HEIGHT, "right rear";
        optional within: Length = a::length(within("a floor", 0.01, 5.0)), "how nearly they are known";
    }

    /// What was aboard.
    Aboard like "{driver: Sam, fuel: 3 L, lead: none}" {
        optional driver: Value<'r> = a::Any(&[&a::Words(&[NONE]), &a::NAME]),
            "who sat in the seat, or none; may be left out if one driver is listed";
        optional fuel: Value<'r> = a::Any(&[
                &a::Words(&[NONE, "start", "finish"]),
                &FUEL,
                &a::Named(&a::Any(&[&a::Words(&[NONE]), &FUEL]), ""),
            ]), "what was in the tank, or none; may be left out where no tank is described";
        required lead: Value<'r> = a::Any(&[&a::Words(&[NONE]), &ON_MOUNTS]), "what was bolted on then, or none" like "none";
        optional seat_hole: i32 = SEAT_HOLE, "where the seat was bolted, if `kart` describes a seat";
        optional seat_across: i32 = SEAT_HOLE, "the same across, where it differs from now";
        optional spindles: SpindlesThen<'r> = a::settings::<SpindlesThen>(),
            "how the washers stood, where that differs from now";
        optional adjusters: Vec<Value<'r>> = a::Named(&a::Any(&[&STEP, &a::NAME]), "{battery: left}"),
            "how others were set, where that differs from now";
    }
}
