//! The format of a scenario file, declared: every key, what it takes, whether it may be left out, one line about it.
//! Gives data, from which the JSON Schema is made; bounds and words are those that the reading uses.
//! Does not read: the parts of the scenario do. A test below holds the two together and says what to add where.

use super::bounds;
use crate::document::form::Form::{self, Any, List, Named, Nothing, Settings, Value, Word};
use crate::document::form::{Key, Kind, Need};

mod sure;
mod trip;

use sure::{AFTER, FURTHER, HEIGHT, INSPECTION, MARGIN, MEASURED_WITHIN, PADS, PIECE_WITHIN, WEIGHING};

const NAME: Form = Value(Kind::Name);
const BOOLEAN: Form = Value(Kind::Boolean);
const X: Key = Key::required("x", Value(Kind::Length(bounds::COORDINATE)), "forward from the rear axle");
const Y: Key = Key::required(
    "y",
    Value(Kind::Length(bounds::COORDINATE)),
    "to the left of the centre line; the right side is negative",
);
const Z: Key = Key::optional("z", Value(Kind::Length(bounds::HEIGHT)), "up from the ground");
const SEAT_HOLE: Form = Value(Kind::Whole(-bounds::SEAT_HOLES, bounds::SEAT_HOLES));
const BOLTS_OF_PIECE: Form = Value(Kind::Whole(0, bounds::MOST_BOLTS as i32));
const RESOLUTION: Form = Value(Kind::Mass(bounds::RESOLUTION));

/// A whole scenario.
pub(crate) const SCENARIO: Form = Settings(&[
    Key::required("units", Word(&["kg-mm", "lb-in"]), "units of numbers that do not carry their own"),
    Key::required("kart", KART, "the kart: geometry, and how stiff it is"),
    Key::required("class", CLASS, "the class minimum and your own rules for lead"),
    Key::optional("targets", Any(&[TARGETS, Nothing]), "what the tyres should carry, and how nearly"),
    Key::required("weighing", WEIGHING, "four readings, and everything that was on the kart"),
    Key::required("drivers", Named(&DRIVER), "drivers, dressed to race"),
    Key::optional("driver", NAME, "today's driver, if several are listed"),
    Key::optional("fuel", Any(&[Word(&["none"]), Nothing, TANK, Named(&TANK)]), "one tank, or named tanks"),
    Key::optional("mounts", Any(&[Named(&MOUNT), Nothing]), "places where lead may go"),
    Key::optional(
        "lead",
        Any(&[Named(&Any(&[WEIGHED, COUNTED])), Nothing]),
        "the lead in the box and on the kart",
    ),
    Key::optional("fitted", Any(&[Word(&["none"]), Nothing, ON_MOUNTS]), "lead that is bolted on now"),
    Key::optional(
        "adjusters",
        Any(&[Named(&Any(&[PART, FUEL_TANK, MEASURED])), Nothing]),
        "whatever else can be set",
    ),
    Key::optional("weighings", Any(&[List(&FURTHER), Nothing]), "further weighings, for `learn`"),
    Key::optional(
        "after",
        Any(&[AFTER, List(&AFTER), Nothing]),
        "the kart weighed again after a plan was carried out",
    ),
    Key::optional("learned", Any(&[LEARNED, Nothing]), "what `learn` has found; it writes this itself"),
    Key::optional("pit", Any(&[PIT, Nothing]), "changes of driver, for `swap`"),
    Key::optional("trip", Any(&[trip::TRIP, Nothing]), "what has to be raced and can be bought, for `pack`"),
    Key::optional("pads", Any(&[PADS, Nothing]), "how good the four pads are"),
    Key::optional("measured_within", Any(&[MEASURED_WITHIN, Nothing]), "how nearly all else was measured"),
    Key::optional(
        "inspection",
        Any(&[INSPECTION, Nothing]),
        "the officials' scale, and what happens before it",
    ),
    Key::optional("height", HEIGHT, "the height of the centre of gravity, or lifts of one axle that tell it"),
    Key::optional("goals", Any(&[GOALS, Nothing]), "order and resolution of the goals; seldom needed"),
]);

const MISREAD: Form = Value(Kind::Mass(bounds::MISREAD));
const PLACE: Form = Settings(&[X, Y]);

const LEARNED: Form = Settings(&[
    Key::optional(
        "after",
        Value(Kind::Whole(0, bounds::MOST_WEIGHINGS as i32)),
        "from so many weighings of `after`",
    ),
    Key::optional("roll_share", ROLL_SHARE, "how much of a roll moment the front carries"),
    Key::optional("twist_rate", Value(Kind::Number(bounds::TWIST_RATE)), "kg per corner for 1 mm of spacer"),
    Key::optional(
        "misread",
        Settings(&[
            Key::required("lf", MISREAD, "left front"),
            Key::required("rf", MISREAD, "right front"),
            Key::required("lr", MISREAD, "left rear"),
            Key::required("rr", MISREAD, "right rear"),
        ]),
        "what each pad shows too much",
    ),
    Key::optional("mounts", Named(&PLACE), "where lead on them really acts"),
    Key::optional("drivers", Named(&PLACE), "where drivers really act"),
]);

const KART: Form = Settings(&[
    Key::required("name", NAME, "its name on the report"),
    Key::required("wheelbase", Value(Kind::Length(bounds::WHEELBASE)), "front axle to rear axle"),
    Key::required(
        "track_front",
        Value(Kind::Length(bounds::TRACK)),
        "between the middles of the front tyres",
    ),
    Key::required("track_rear", Value(Kind::Length(bounds::TRACK)), "between the middles of the rear tyres"),
    Key::optional("mass", Value(Kind::Mass(bounds::KART_MASS)), "the kart alone, if it was ever weighed"),
    Key::optional("stiffness", STIFFNESS, "measured stiffnesses, instead of those of a usual kart"),
    Key::optional("roll_share", ROLL_SHARE, "measured: how much of a roll moment the front carries"),
    Key::optional(
        "twist_rate",
        Value(Kind::Number(bounds::TWIST_RATE)),
        "measured: kg per corner for 1 mm of spacer",
    ),
    Key::optional("seat", SEAT, "a seat that can be bolted at several holes"),
    Key::optional("spindles", SPINDLES, "washers above and below the front wheels' spindles"),
    Key::optional("limits", Word(&["off", "on"]), "off: accept numbers beyond those of usual karts"),
]);

const STIFFNESS: Form = Settings(&[
    Key::optional("tyre_front", Value(Kind::Number(bounds::TYRE_STIFFNESS)), "one front tyre, N/mm"),
    Key::optional("tyre_rear", Value(Kind::Number(bounds::TYRE_STIFFNESS)), "one rear tyre, N/mm"),
    Key::optional(
        "frame",
        Value(Kind::Number(bounds::FRAME_STIFFNESS)),
        "twist of the frame, N m per degree",
    ),
]);

const ROLL_SHARE: Form = Settings(&[
    Key::required(
        "rear_axle",
        Value(Kind::Number(bounds::ROLL_SHARE)),
        "for a mass above the rear axle, 0 to 1",
    ),
    Key::required(
        "front_axle",
        Value(Kind::Number(bounds::ROLL_SHARE)),
        "for a mass above the front axle, 0 to 1",
    ),
]);

const CHANGES: Key = Key::optional(
    "changes",
    Value(Kind::Whole(0, bounds::MOST_CHANGES as i32)),
    "work of changing it, as pieces bolted",
);
const MINUTES: Key = Key::optional(
    "minutes",
    Value(Kind::Number(bounds::MINUTES)),
    "the same in minutes, instead of `changes`",
);
const QUICK: Key =
    Key::optional("quick", BOOLEAN, "true: can be changed in a pit stop, and be another for each driver");
const PITCH: Key =
    Key::required("pitch", Value(Kind::Length(bounds::SEAT_PITCH)), "from one hole to the next");
const HOLES: Key = Key::optional(
    "holes",
    Settings(&[
        Key::required("from", SEAT_HOLE, "the first that may be used"),
        Key::required("to", SEAT_HOLE, "the last that may be used"),
    ]),
    "holes that a plan may choose; without it only the one in use",
);

const SEAT: Form = Settings(&[
    Key::required("mass", Value(Kind::Mass(bounds::SEAT_MASS)), "the seat alone"),
    X,
    Y,
    PITCH,
    Key::required("hole", SEAT_HOLE, "the hole in use, counted forward from the one at x"),
    HOLES,
    Key::optional("across", ACROSS, "the same to the left and right"),
    CHANGES,
    MINUTES,
    QUICK,
]);

const ACROSS: Form = Settings(&[
    PITCH,
    Key::required("hole", SEAT_HOLE, "the hole in use, counted to the left from the one at y"),
    HOLES,
]);

const SPINDLES: Form = Settings(&[
    Key::required("washer", Value(Kind::Length(bounds::WASHER)), "thickness of one"),
    Key::required("left", WASHERS, "of the left front wheel"),
    Key::required("right", WASHERS, "of the right front wheel"),
    CHANGES,
    MINUTES,
    QUICK,
]);

const WASHER_COUNT: Form = Value(Kind::Whole(0, bounds::MOST_WASHERS as i32));
const WASHERS: Form = Settings(&[
    Key::required("above", WASHER_COUNT, "washers above the spindle: they press the wheel down"),
    Key::required("below", WASHER_COUNT, "washers below the spindle"),
]);

const STEP: Form = Value(Kind::Whole(-bounds::MOST_STEPS, bounds::MOST_STEPS));
const EFFECT: Form = Value(Kind::Mass(bounds::EFFECT));
const PLACES: Key = Key::required("places", Named(&Settings(&[X, Y])), "where it can be, each under a name");
const NOW: Key = Key::required("now", NAME, "the place where it is now");

const PART: Form = Settings(&[
    Key::required("mass", Value(Kind::Mass(bounds::PART)), "the part that can be moved"),
    PLACES,
    NOW,
    CHANGES,
    MINUTES,
    QUICK,
]);

const FUEL_TANK: Form = Settings(&[
    Key::required("tank", NAME, "the tank of `fuel` that can be moved"),
    PLACES,
    NOW,
    CHANGES,
    MINUTES,
    QUICK,
]);

const MEASURED: Form = Settings(&[
    Key::required(
        "per_step",
        Settings(&[
            Key::required("lf", EFFECT, "left front"),
            Key::required("rf", EFFECT, "right front"),
            Key::required("lr", EFFECT, "left rear"),
            Key::required("rr", EFFECT, "right rear"),
        ]),
        "what one step up changed on the pads",
    ),
    Key::required("from", STEP, "the lowest step"),
    Key::required("to", STEP, "the highest step"),
    Key::required("now", STEP, "the step that is set now"),
    CHANGES,
    MINUTES,
    QUICK,
]);

const CLASS: Form = Settings(&[
    Key::required("name", NAME, "its name on the report"),
    Key::required("minimum", Value(Kind::Mass(bounds::MINIMUM)), "kart and dressed driver, by your rulebook"),
    Key::optional("weighed_at", Word(&["start", "finish"]), "with which fuel the officials weigh"),
    Key::optional(
        "margin",
        MARGIN,
        "added to the minimum: a mass, or the chance to pass that it is computed for",
    ),
    Key::optional("rules", CLASS_RULES, "how lead may be fixed, by your rulebook"),
]);

const CLASS_RULES: Form = Any(&[RULES, Nothing]);
const RULES: Form = Settings(&[
    Key::optional("largest_piece", Value(Kind::Mass(bounds::LARGEST_PIECE)), "no piece may be heavier"),
    Key::optional("fewest_bolts_per_piece", BOLTS_OF_PIECE, "bolts that go through every piece"),
    Key::optional(
        "most_mass_per_bolt",
        Value(Kind::Mass(bounds::MASS_PER_BOLT)),
        "lead on a mount per bolt of it",
    ),
    Key::optional("most_lead", Value(Kind::Mass(bounds::MOST_LEAD)), "all lead on the kart together"),
]);

const TARGETS: Form = Settings(&[
    Key::optional("front", SHARE, "(LF+RF)/total in percent"),
    Key::optional("rear", SHARE, "(LR+RR)/total in percent; instead of front"),
    Key::optional("left", SHARE, "(LF+LR)/total in percent"),
    Key::optional("cross", SHARE, "(RF+LR)/total in percent"),
    Key::optional("front_pair", PAIR, "LF-RF"),
    Key::optional("rear_pair", PAIR, "LR-RR"),
    Key::optional("height", HEIGHT_TARGET, "of the centre of gravity; needs `height` and every `z`"),
]);

const HEIGHT_TARGET: Form = Settings(&[
    Key::required("aim", Value(Kind::Length(bounds::HEIGHT_AIM)), "up from the ground"),
    Key::required(
        "within",
        Value(Kind::Length(bounds::HEIGHT_TOLERANCE)),
        "this much more or less is as good",
    ),
    AT,
    WEIGHT,
]);

const AT: Key =
    Key::optional("at", Word(&["both", "start", "finish"]), "with which fuel; both: the worse counts");
const WEIGHT: Key =
    Key::optional("weight", Value(Kind::Number(bounds::WEIGHT)), "factor on its misses, usually 1");

const SHARE_TOLERANCE: Form = Value(Kind::Percent(bounds::SHARE_TOLERANCE));
const SHARE: Form = Settings(&[
    Key::required("aim", Value(Kind::Share(bounds::SHARE)), "percent of the total"),
    Key::required("within", SHARE_TOLERANCE, "this much more or less is as good"),
    AT,
    WEIGHT,
]);

const PAIR: Form = Settings(&[
    Key::required("aim", Value(Kind::Mass(bounds::PAIR)), "left minus right"),
    Key::required("within", Value(Kind::Mass(bounds::PAIR_TOLERANCE)), "this much more or less is as good"),
    AT,
    WEIGHT,
]);

const READING: Form = Value(Kind::Mass(bounds::READING));

const SCALES: Form = Settings(&[
    Key::required("lf", READING, "left front").or("left_front"),
    Key::required("rf", READING, "right front").or("right_front"),
    Key::required("lr", READING, "left rear").or("left_rear"),
    Key::required("rr", READING, "right rear").or("right_rear"),
    Key::optional("sure", BOOLEAN, "true: these readings are right, however odd they look"),
]);

const AS_FITTED: Form = Any(&[Word(&["as fitted", "none"]), ON_MOUNTS]);
const AS_PLANNED: Form = Any(&[Word(&["as fitted", "none", "as planned"]), ON_MOUNTS]);
const ABOARD: Form = Settings(&aboard(AS_FITTED));
const ABOARD_AFTER: Form = Settings(&aboard(AS_PLANNED));

const fn aboard(lead: Form) -> [Key; 7] {
    [
        Key::required("driver", Any(&[Word(&["none"]), NAME]), "who sat in the seat, or none"),
        Key::required("fuel", FUEL_ABOARD, "what was in the tank, or none"),
        Key::required("lead", lead, "what was bolted on"),
        Key::optional("seat_hole", SEAT_HOLE, "where the seat was bolted, if `kart` describes a seat"),
        Key::optional("seat_across", SEAT_HOLE, "the same across, where it differs from now"),
        Key::optional("spindles", SPINDLES_THEN, "how the washers stood, where that differs from now"),
        Key::optional(
            "adjusters",
            Named(&Any(&[STEP, NAME])),
            "how others were set, where that differs from now",
        ),
    ]
}

const SPINDLES_THEN: Form = Settings(&[
    Key::optional("left", WASHERS, "of the left front wheel"),
    Key::optional("right", WASHERS, "of the right front wheel"),
]);

const FUEL: Form = Value(Kind::Fuel(bounds::FUEL));
const FUEL_ABOARD: Form =
    Any(&[Word(&["none", "start", "finish"]), FUEL, Named(&Any(&[Word(&["none"]), FUEL]))]);

const DRIVER: Form = Settings(&[
    Key::optional("mass", Value(Kind::Mass(bounds::DRIVER)), "dressed to race"),
    Key { need: Need::Optional, ..X },
    Key { need: Need::Optional, ..Y },
    Z,
    Key::optional("weighing", WEIGHING, "a weighing with this driver in the seat"),
]);

const TANK: Form = Settings(&[
    X,
    Y,
    Z,
    Key::optional("density", Value(Kind::Density(bounds::DENSITY)), "kg per litre; petrol if it is left out"),
    Key::required("start", FUEL, "what is in it at the start"),
    Key::required("finish", FUEL, "what is left when the officials weigh"),
]);

const MOUNT: Form = Settings(&[
    X,
    Y,
    Z,
    Key::required("capacity", Value(Kind::Mass(bounds::CAPACITY)), "most lead it may carry"),
    Key::optional("on", Word(&["frame", "seat"]), "what it is fixed to; on the seat it moves with it"),
    Key::optional("room", Value(Kind::Length(bounds::ROOM)), "thickness of the stack of pieces"),
    Key::optional("most_pieces", Value(Kind::Whole(1, bounds::MOST_PIECES as i32)), "most pieces"),
    Key::optional("bolts", Value(Kind::Whole(1, bounds::MOST_BOLTS as i32)), "bolts that hold its lead"),
    Key::optional("pattern", NAME, "its bolt pattern; pieces of another do not fit"),
    Key::optional("takes", List(&NAME), "the only kinds of lead that may go here"),
    Key::optional("locked", BOOLEAN, "true: what is fitted stays, nothing is added"),
    QUICK,
]);

const THICKNESS: Key = Key::optional("thickness", Value(Kind::Length(bounds::THICKNESS)), "of one piece");
const BOLTS: Key = Key::optional("bolts", BOLTS_OF_PIECE, "bolts that go through one piece");
const PATTERN: Key = Key::optional("pattern", NAME, "its bolt pattern");

const WEIGHED: Form = Settings(&[
    Key::required("weighed", List(&Value(Kind::Mass(bounds::PIECE))), "pieces weighed one by one"),
    PIECE_WITHIN,
    QUICK_PIECE,
    THICKNESS,
    BOLTS,
    PATTERN,
]);

const COUNTED: Form = Settings(&[
    Key::required("mass", Value(Kind::Mass(bounds::PIECE)), "one piece"),
    Key::required("count", COUNT, "pieces in the box and on the kart together"),
    PIECE_WITHIN,
    QUICK_PIECE,
    THICKNESS,
    BOLTS,
    PATTERN,
]);

const COUNT: Form = Value(Kind::Whole(0, bounds::MOST_PIECES as i32));
const ON_MOUNTS: Form = Named(&Named(&COUNT));

const QUICK_PIECE: Key = Key::optional("quick", BOOLEAN, "false: it cannot be changed in a pit stop");

const PIT: Form = Settings(&[
    Key::optional("order", List(&NAME), "who drives each stint"),
    Key::optional("minutes", Any(&[PIT_MINUTES, Nothing]), "how long each operation takes for one piece"),
]);

const OPERATION: Form = Value(Kind::Number(bounds::OPERATION_MINUTES));
const PIT_MINUTES: Form = Settings(&[
    Key::required("take_off", OPERATION, "from a quick mount into the box"),
    Key::required("put_on", OPERATION, "from the box onto a quick mount"),
    Key::optional("move", OPERATION, "from one quick mount to another"),
    Key::optional("with_tools", OPERATION, "any of them where something is not quick"),
]);

const GOALS: Form = Settings(&[
    Key::optional("order", List(&Word(&["targets", "light", "work", "close"])), "each of the four once"),
    Key::optional("spare", Value(Kind::Mass(bounds::SPARE)), "mass that a better balance may cost"),
    Key::optional("resolution", Any(&[RESOLUTIONS, Nothing]), "how exactly each goal is solved"),
]);

const RESOLUTIONS: Form = Settings(&[
    Key::optional("legal", RESOLUTION, "of the lightest legal total"),
    Key::optional("targets", RESOLUTION, "of the kilograms outside the tolerances"),
    Key::optional("light", RESOLUTION, "of the total among plans of that balance"),
    Key::optional("work", COUNT, "of the changes, a whole number"),
    Key::optional("close", RESOLUTION, "of the distance from the aims"),
]);

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;
    use std::fs;
    use std::path::Path;

    use super::*;
    use crate::diagnosis::rendered;
    use crate::document::in_step::{every_form, undeclared};
    use crate::document::{Document, Reading, starter};
    use crate::scenario::Scenario;
    use crate::units::UnitSystem;

    /// Every text of the project that is YAML, with its name.
    fn texts() -> Vec<(String, String)> {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
        let mut texts: Vec<(String, String)> = ["", "forms", "doubtful", "rejected"]
            .into_iter()
            .flat_map(|folder| fs::read_dir(root.join(folder)).expect("the folder is part of the project"))
            .map(|entry| entry.expect("its entries can be read").path())
            .filter(|path| path.extension().is_some_and(|ending| ending == "yaml"))
            .map(|path| (path.display().to_string(), fs::read_to_string(&path).expect("scenarios are text")))
            .collect();
        texts.sort();
        let starters =
            [UnitSystem::KgMm, UnitSystem::LbIn].map(|units| (units.word().into(), starter(units).into()));
        texts.extend(starters);
        texts
    }

    const WHERE: &str =
        "see \"To add a setting\" in DEVELOPERS.md; the format is declared in src/scenario/format.rs";

    #[test]
    fn whatever_is_read_is_declared_with_the_same_kind_and_bounds() {
        let mut faults = BTreeSet::new();
        for (_, text) in texts() {
            let Ok(document) = Document::from_text(&text) else { continue };
            let reading = Reading::new(&document);
            crate::scenario::validation::read_all(&reading);
            faults.extend(undeclared(&reading, &SCENARIO));
        }
        let faults: Vec<String> = faults.into_iter().collect();
        assert!(faults.is_empty(), "{}\n{WHERE}", faults.join("\n"));
    }

    #[test]
    fn whatever_is_declared_is_shown_by_a_file_that_is_accepted() {
        let mut shown = BTreeSet::new();
        for (name, text) in texts() {
            let Ok(document) = Document::from_text(&text) else { continue };
            match Scenario::from_document(&document) {
                Ok(_) => {
                    let forms = document.forms_shown(&SCENARIO);
                    shown.extend(forms.unwrap_or_else(|fault| panic!("{name}: {fault}\n{WHERE}")));
                }
                Err(faults) => assert!(!name.contains("forms"), "{}", rendered(&faults, &name, &text)),
            }
        }
        let unseen: Vec<String> = every_form(&SCENARIO).difference(&shown).cloned().collect();
        assert!(
            unseen.is_empty(),
            "declared, but no accepted file has it, so nobody knows that it is read; add it to a file in \
             scenarios/forms:\n{}\n{WHERE}",
            unseen.join("\n")
        );
    }
}
