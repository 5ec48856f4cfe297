//! The part of the format that says how sure the file is: pads, tapes, the officials' scale, repeated readings, lifts.
//! Gives data; bounds and words are those that the reading uses.
//! Does not read; the tests of `format` hold it against the reading.

use super::{ABOARD, ABOARD_AFTER, SCALES};
use crate::document::form::Form::{self, Any, List, Settings, Value, Word};
use crate::document::form::{Key, Kind};
use crate::scenario::bounds;

const WITHIN_LENGTH: Form = Value(Kind::Length(bounds::WITHIN_LENGTH));
const WITHIN_MASS: Form = Value(Kind::Mass(bounds::WITHIN_MASS));
const STEP: Form = Value(Kind::Mass(bounds::STEP));
const READING: Form = Value(Kind::Mass(bounds::READING));
const CLASS: Key =
    Key::optional("class", Word(&["oiml III", "nist III"]), "accuracy class; instead of accuracy");
const ACCURACY: Key = Key::optional(
    "accuracy",
    Any(&[Value(Kind::Percent(bounds::ACCURACY_PERCENT)), Value(Kind::Mass(bounds::ACCURACY))]),
    "limit of the scale's own error, a mass or a percentage",
);

/// `margin` of the class.
pub(super) const MARGIN: Form =
    Any(&[Value(Kind::Mass(bounds::MARGIN)), Value(Kind::Percent(bounds::CONFIDENCE))]);

/// `within` of a kind of lead.
pub(super) const PIECE_WITHIN: Key = Key::optional("within", WITHIN_MASS, "how nearly one piece was weighed");

/// `pads`.
pub(super) const PADS: Form = Settings(&[
    Key::optional("step", STEP, "one step of the display"),
    CLASS,
    ACCURACY,
    Key::optional("shared", Value(Kind::Percent(bounds::ACCURACY_PERCENT)), "error that all four pads share"),
    Key::optional(
        "repeatability",
        Value(Kind::Mass(bounds::REPEATABILITY)),
        "standard deviation when the kart is rolled off and on",
    ),
    Key::optional("drift", Value(Kind::Mass(bounds::DRIFT)), "how far a zero moves during a weighing"),
    Key::optional(
        "level",
        Value(Kind::Length(bounds::LEVEL)),
        "how far a pad stands off the plane of the others",
    ),
]);

/// `measured_within`.
pub(super) const MEASURED_WITHIN: Form = Settings(&[
    Key::optional("lengths", WITHIN_LENGTH, "wheelbase and tracks"),
    Key::optional("places", WITHIN_LENGTH, "each coordinate of mounts and tanks"),
    Key::optional("driver", WITHIN_MASS, "a driver's dressed mass"),
    Key::optional("driver_place", WITHIN_LENGTH, "each coordinate at which a driver acts"),
    Key::optional("fuel", WITHIN_MASS, "fuel in a tank"),
    Key::optional("weighed_lead", WITHIN_MASS, "a piece weighed by itself"),
    Key::optional(
        "nominal_lead",
        Value(Kind::Percent(bounds::NOMINAL_PERCENT)),
        "a piece known by its nominal mass",
    ),
    Key::optional("roll_share", Value(Kind::Number(bounds::ROLL_SHARE)), "the roll share at either axle"),
    Key::optional("twist_rate", Value(Kind::Percent(bounds::TWIST_RATE_PERCENT)), "the twist rate"),
]);

/// `inspection`.
pub(super) const INSPECTION: Form = Settings(&[
    Key::optional("step", STEP, "one step of the official scale"),
    CLASS,
    ACCURACY,
    Key::optional("minutes", Value(Kind::Number(bounds::DRIVING_MINUTES)), "that the driver sweats"),
    Key::optional("clothing", Value(Kind::Mass(bounds::CLOTHING)), "clothing, dirt, tyre wear and water"),
]);

/// `height`.
pub(super) const HEIGHT: Form = Any(&[LIFTED, GIVEN]);

const GIVEN: Form = Settings(&[
    Key::required(
        "given",
        Value(Kind::Length(bounds::HEIGHT_AIM)),
        "of the kart as weighed, up from the ground",
    ),
    Key::optional("within", Value(Kind::Length(bounds::HEIGHT_TOLERANCE)), "how nearly it is known"),
]);

const LIFTED: Form = Settings(&[
    Key::required("radius_front", Value(Kind::Length(bounds::RADIUS)), "loaded radius of the front wheels"),
    Key::required("radius_rear", Value(Kind::Length(bounds::RADIUS)), "loaded radius of the rear wheels"),
    Key::optional(
        "angle_within",
        Value(Kind::Number(bounds::ANGLE_WITHIN)),
        "how nearly the angles are known, degrees",
    ),
    Key::required("lifts", List(&LIFT), "lifts at two angles at least"),
]);

const LIFT: Form = Settings(&[
    Key::required("raised", Word(&["rear", "front"]), "the axle that was lifted"),
    Key::required("angle", Value(Kind::Number(bounds::ANGLE)), "of the kart to the ground, degrees"),
    Key::required("load", Value(Kind::Mass(bounds::AXLE)), "on the other axle"),
]);

const EACH_ZERO: Form = Value(Kind::Mass(bounds::ZERO));
const ZEROS: Form = Settings(&[
    Key::required("lf", EACH_ZERO, "left front").or("left_front"),
    Key::required("rf", EACH_ZERO, "right front").or("right_front"),
    Key::required("lr", EACH_ZERO, "left rear").or("left_rear"),
    Key::required("rr", EACH_ZERO, "right rear").or("right_rear"),
]);

const EACH_HEIGHT: Form = Value(Kind::Length(bounds::FLOOR));
const FLOOR: Form = Settings(&[
    Key::required("lf", EACH_HEIGHT, "left front").or("left_front"),
    Key::required("rf", EACH_HEIGHT, "right front").or("right_front"),
    Key::required("lr", EACH_HEIGHT, "left rear").or("left_rear"),
    Key::required("rr", EACH_HEIGHT, "right rear").or("right_rear"),
    Key::optional("within", Value(Kind::Length(bounds::FLOOR_WITHIN)), "how nearly they are known"),
]);

const ZERO_BEFORE: Key = Key::optional("zero_before", ZEROS, "what the empty pads showed before");
const ZERO_AFTER: Key = Key::optional("zero_after", ZEROS, "what the empty pads showed afterwards");
const FLOOR_SURVEY: Key = Key::optional("floor", FLOOR, "heights of the pads above any common plane");
const SCALES_READ: Key = Key::required("scales", SCALES, "what the four pads showed");
const PADS_UNDER: Key =
    Key::optional("pads", List(&Value(Kind::Whole(1, 4))), "which pad stood under LF RF LR RR");
const ABOARD_THEN: Key = Key::required("aboard", ABOARD, "all that was on the kart besides the kart");
const ABOARD_AFTERWARDS: Key =
    Key::required("aboard", ABOARD_AFTER, "all that was on the kart besides the kart");
const SETS: Key = Key::required("repeats", List(&SET), "several sets of readings, instead of `scales`");
const SETS_AFTER: Key =
    Key::required("repeats", List(&SET_AFTER), "several sets of readings, instead of `scales`");

const LF: Key = Key::required("lf", READING, "left front").or("left_front");
const RF: Key = Key::required("rf", READING, "right front").or("right_front");
const LR: Key = Key::required("lr", READING, "left rear").or("left_rear");
const RR: Key = Key::required("rr", READING, "right rear").or("right_rear");
const SET: Form =
    Settings(&[LF, RF, LR, RR, Key::optional("aboard", ABOARD, "where it differs from the first set")]);
const SET_AFTER: Form =
    Settings(&[LF, RF, LR, RR, Key::optional("aboard", ABOARD_AFTER, "where it differs from the first set")]);

/// `weighing`.
pub(super) const WEIGHING: Form = Any(&[
    Settings(&[SCALES_READ, ABOARD_THEN, ZERO_BEFORE, ZERO_AFTER, FLOOR_SURVEY]),
    Settings(&[SETS, ABOARD_THEN, ZERO_BEFORE, ZERO_AFTER, FLOOR_SURVEY]),
]);

/// One of `weighings`.
pub(super) const FURTHER: Form = Any(&[
    Settings(&[SCALES_READ, ABOARD_THEN, ZERO_BEFORE, ZERO_AFTER, FLOOR_SURVEY, PADS_UNDER]),
    Settings(&[SETS, ABOARD_THEN, ZERO_BEFORE, ZERO_AFTER, FLOOR_SURVEY, PADS_UNDER]),
]);

/// One under `after`.
pub(super) const AFTER: Form = Any(&[
    Settings(&[SCALES_READ, ABOARD_AFTERWARDS, ZERO_BEFORE, ZERO_AFTER, FLOOR_SURVEY]),
    Settings(&[SETS_AFTER, ABOARD_AFTERWARDS, ZERO_BEFORE, ZERO_AFTER, FLOOR_SURVEY]),
]);
