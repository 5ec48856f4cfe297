//! The declared format of a trip: cases, what can be bought, spares, hardware.
//! Gives data for the format of the whole file.
//! Does not read.

use super::{
    BOLTS, CLASS_RULES, COUNT, MARGIN, NAME, PATTERN, PIECE_WITHIN, SHARE_TOLERANCE, TARGETS, THICKNESS,
    bounds,
};
use crate::document::form::Form::{self, Any, List, Named, Nothing, Settings, Value, Word};
use crate::document::form::{Key, Kind};

/// A trip.
pub(super) const TRIP: Form = Settings(&[
    Key::optional("drivers", List(&NAME), "who drives; every driver of the file if it is left out"),
    Key::optional("classes", Any(&[Named(&CLASS), Nothing]), "classes, each under its name"),
    Key::optional(
        "targets",
        Any(&[Named(&Any(&[TARGETS, Nothing])), Nothing]),
        "variations: targets that replace those of the file",
    ),
    Key::optional("front", Any(&[FRONT, Nothing]), "a range of front % for tuning, with every variation"),
    Key::optional("buy", Any(&[Named(&SIZE), Nothing]), "sizes that can be bought, each under a name"),
    Key::optional("spares", Any(&[Named(&COUNT), Nothing]), "pieces beyond what any case needs"),
    Key::optional("hardware", Any(&[HARDWARE, Nothing]), "bolts, washers and nuts, for the check list"),
]);

const CLASS: Form = Settings(&[
    Key::required("minimum", Value(Kind::Mass(bounds::MINIMUM)), "kart and dressed driver, by your rulebook"),
    Key::optional("weighed_at", Word(&["start", "finish"]), "as under `class`, where it differs"),
    Key::optional("margin", MARGIN, "as under `class`, where it differs"),
    Key::optional("rules", CLASS_RULES, "as under `class`, where they differ"),
]);

const FRONT: Form = Settings(&[
    Key::required("from", Value(Kind::Share(bounds::SHARE)), "the least, percent of the total"),
    Key::required("to", Value(Kind::Share(bounds::SHARE)), "the most, percent of the total"),
    Key::optional("step", Value(Kind::Percent(bounds::FRONT_STEP)), "from one to the next; 1 if left out"),
    Key::optional(
        "within",
        SHARE_TOLERANCE,
        "this much more or less is as good; as in the targets if left out",
    ),
]);

const SIZE: Form = Settings(&[
    Key::required("mass", Value(Kind::Mass(bounds::PIECE)), "one piece"),
    Key::optional("price", Value(Kind::Number(bounds::PRICE)), "of one piece; for all sizes or for none"),
    Key::required("most", COUNT, "the most that would be bought"),
    PIECE_WITHIN,
    THICKNESS,
    BOLTS,
    PATTERN,
]);

const FASTENER: Form = Value(Kind::Length(bounds::FASTENER));
const HARDWARE: Form = Settings(&[
    Key::required("diameter", FASTENER, "of the bolts"),
    Key::required("lengths", List(&Value(Kind::Length(bounds::BOLT))), "lengths that can be had"),
    Key::required("plate", FASTENER, "what a bolt goes through besides lead"),
    Key::optional("plates", Named(&FASTENER), "the same for single mounts, where it differs"),
    Key::required("washer", FASTENER, "thickness of one washer"),
    Key::optional(
        "washers_per_bolt",
        Value(Kind::Whole(0, bounds::MOST_WASHERS_PER_BOLT as i32)),
        "2 if it is left out",
    ),
    Key::required("nut", FASTENER, "height of a lock nut"),
    Key::optional("beyond", Value(Kind::Length(bounds::BEYOND)), "thread that has to show beyond the nut"),
    Key::optional(
        "bolts",
        Value(Kind::Whole(1, bounds::MOST_BOLTS as i32)),
        "bolts of a mount whose own number is not known",
    ),
    Key::optional("mass_per_bolt", Value(Kind::Mass(bounds::MASS_PER_BOLT)), "most lead on one bolt"),
    Key::optional("spares", Value(Kind::Whole(0, bounds::MOST_BOLTS as i32)), "so many more of everything"),
]);
