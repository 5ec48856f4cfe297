//! Keys of a weighing: what the pads told, and what was aboard.

use super::kart::SpindlesThen;
use super::{AS_FITTED, AS_PLANNED, ON_MOUNTS, STEP, bounds, within};
use crate::document::Value;
use crate::document::block::blocks;
use crate::document::form as a;
use crate::scenario::NONE;
use crate::units::{Length, Mass};

/// An amount of fuel.
pub(in crate::scenario) const FUEL: a::Fuel = a::Fuel(within("fuel", 0.0, 40.0));
/// Which of the four pads, from 1.
pub(in crate::scenario) const PAD: a::Whole<u32> = a::count(1, 4);
const SEAT_HOLE: a::Whole<i32> = a::whole(-bounds::SEAT_HOLES, bounds::SEAT_HOLES);
const READING: a::Measured<Mass> = a::mass(bounds::READING);
const ZERO: a::Measured<Mass> = a::mass(bounds::ZERO);
const HEIGHT: a::Measured<Length> = a::length(within("a floor", -30.0, 30.0));

/// What may be said of lead in a word.
pub(in crate::scenario) const fn lead_words(after: bool) -> a::Choice<()> {
    a::Choice(if after {
        &[(AS_FITTED, ()), (NONE, ()), (AS_PLANNED, ())]
    } else {
        &[(AS_FITTED, ()), (NONE, ())]
    })
}

blocks! {
    pub(in crate::scenario),

    /// A weighing; after work, if so marked.
    Weighing<AFTER> like "{scales: ..., aboard: ...}" {
        required[0] repeats: Vec<Value<'r>> = a::List(
                &a::settings::<Set<AFTER>>(),
                "[{lf: 30.1, rf: 30.4, lr: 40.2, rr: 41}, {lf: 30.2, rf: 30.3, lr: 40.2, rr: 41}]",
            ), "several sets of readings, instead of `scales`";
        required[1] scales: Scales<'r> = a::settings::<Scales>(), "what the four pads showed";
        required aboard: Aboard<'r, AFTER> = a::settings::<Aboard<AFTER>>(),
            "all that was on the kart besides the kart";
        optional zero_before: Zeros<'r> = a::settings::<Zeros>(), "what the empty pads showed before";
        optional zero_after: Zeros<'r> = a::settings::<Zeros>(), "what the empty pads showed afterwards";
        optional floor: Floor<'r> = a::settings::<Floor>(), "heights of the pads above any common plane";
    }

    /// A further weighing, for `learn`.
    Further like "{scales: ..., aboard: ...}" with (weighing: Weighing<'r, false>) {
        optional pads: Vec<Value<'r>> = a::List(&PAD, "[2, 1, 3, 4]"), "which pad stood under LF RF LR RR";
    }

    /// Four readings.
    Readings like "{lf: 30.1 kg, rf: 30.4 kg, lr: 40.2 kg, rr: 41 kg}" {
        needed lf or "left_front": Mass = READING, "left front";
        needed rf or "right_front": Mass = READING, "right front";
        needed lr or "left_rear": Mass = READING, "left rear";
        needed rr or "right_rear": Mass = READING, "right rear";
    }

    /// The only set of readings.
    Scales like "{lf: 30.1 kg, rf: 30.4 kg, lr: 40.2 kg, rr: 41 kg}" with (readings: Readings<'r>) {
        optional sure: bool = a::Boolean, "true: these readings are right, however odd they look";
    }

    /// One of several sets.
    Set<AFTER> like "{lf: 30.1 kg, rf: 30.4 kg, lr: 40.2 kg, rr: 41 kg}" with (readings: Readings<'r>) {
        optional aboard: Aboard<'r, AFTER> = a::settings::<Aboard<AFTER>>(), "where it differs from the first set";
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

    /// What was aboard; lead may be `as planned` only after work.
    Aboard<AFTER> like "{driver: Sam, fuel: 3 L, lead: as fitted}" {
        required driver: Value<'r> = a::Any(&[&a::Words(&["none"]), &a::Name]), "who sat in the seat, or none" like "Sam";
        required fuel: Value<'r> = a::Any(&[
                &a::Words(&["none", "start", "finish"]),
                &FUEL,
                &a::Named(&a::Any(&[&a::Words(&["none"]), &FUEL]), ""),
            ]), "what was in the tank, or none" like "3 L";
        required lead: Value<'r> = a::Any(&[&lead_words(AFTER), &ON_MOUNTS]), "what was bolted on" like "as fitted";
        optional seat_hole: i32 = SEAT_HOLE, "where the seat was bolted, if `kart` describes a seat";
        optional seat_across: i32 = SEAT_HOLE, "the same across, where it differs from now";
        optional spindles: SpindlesThen<'r> = a::settings::<SpindlesThen>(),
            "how the washers stood, where that differs from now";
        optional adjusters: Vec<Value<'r>> = a::Named(&a::Any(&[&STEP, &a::Name]), "{battery: left}"),
            "how others were set, where that differs from now";
    }
}
