//! The format of a scenario file: every key with what it takes, whether it may be left out, and one line about it.

use super::bounds;
use super::{FixedTo, Moment, When};
use crate::document::block::{Short, blocks};
use crate::document::form as a;
use crate::document::{Bounds, Value};
use crate::units::{Length, Mass};

mod kart;
mod sure;
mod trip;
mod weighing;

pub(super) use kart::{
    Across, Adjuster, Effort, Kart, PerStep, RollShare, STEP, Seat, Spindles, SpindlesThen, Stiffness,
    Washers,
};
pub(super) use sure::{Height, Inspection, Lift, Limit, MeasuredWithin, Pads, Scale, mass_or_percent};
pub(super) use trip::{Front, Hardware, LENGTH_OF_BOLT, Size, THICKNESS_OF_PLATE, Trip, TripClass};
pub(super) use weighing::{Aboard, FUEL, Floor, PAD, Readings, Scales, Set, Weighing, Zeros};

/// The least and the most of one thing; in kilograms, millimetres, percent or plain. They only catch slips, as `bounds` does.
const fn within(of: &'static str, least: f64, most: f64) -> Bounds {
    Bounds::new(of, least, most)
}

/// A number of pieces.
pub(super) const COUNT: a::Whole<u32> = a::count(0, bounds::MOST_PIECES);
/// One of several pieces that were weighed one by one.
pub(super) const PIECE: a::Measured<Mass> = a::mass(bounds::PIECE);
const BOLTS_OF_PIECE: a::Whole<u32> = a::count(0, bounds::MOST_BOLTS);
const RESOLUTION: a::Measured<Mass> = a::mass(within("a resolution", 0.0, 20.0));
const MISREAD: a::Measured<Mass> = a::mass(bounds::MISREAD);
const OPERATION: a::Measured<f64> = a::number(bounds::OPERATION_MINUTES);
const MOMENTS: &[(&str, Moment)] = &[("start", Moment::Start), ("finish", Moment::Finish)];
const WHEN: &[(&str, When)] =
    &[("both", When::Both), ("start", When::At(Moment::Start)), ("finish", When::At(Moment::Finish))];
/// The aim alone is short for a target, the mass alone for a driver.
const AIM: Short = Short::Value("aim");
const MASS: Short = Short::Value("mass");
/// Pieces on one mount.
pub(super) const ON_MOUNT: a::Named = a::Named(&COUNT, "{block: 1}");
/// Pieces on mounts.
pub(super) const ON_MOUNTS: a::Named = a::Named(&ON_MOUNT, "{seat_left: {block: 1}}");

blocks! {
    pub(in crate::scenario),

    /// A whole scenario.
    File like "units: kg-mm" {
        needed units: Value<'r> = a::Any(&[&a::Words(&["kg-mm", "lb-in", "kg", "lb"])]), "units of numbers that do not carry their own";
        required kart: Kart<'r> = a::settings::<Kart>(), "the kart: geometry, and how stiff it is";
        required class: Class<'r> = a::settings::<Class>(), "the class minimum and your own rules for lead";
        blank targets: Targets<'r> = a::settings::<Targets>(), "what the tyres should carry, and how nearly";
        required weighing or "weighings": Value<'r>
            = a::Any(&[&a::settings::<Weighing>(), &a::List(&a::settings::<Weighing>(), "")]),
            "the weighings, in time: readings, and everything that was on the kart then" like "{scales: [30.1 kg, 30.4 kg, 40.2 kg, 41 kg], aboard: {driver: Sam, fuel: none, lead: none}}";
        required drivers: Vec<Value<'r>> = a::Named(&a::settings::<Driver>(), "{Sam: {mass: 70 kg}}"),
            "drivers, dressed to race";
        optional driver: Value<'r> = a::Any(&[&a::NAME]), "today's driver, if it is not who sat in the kart last";
        blank fuel: Value<'r>
            = a::Any(&[&a::Words(&["none"]), &a::settings::<Tank>(), &a::Named(&a::settings::<Tank>(), "")]),
            "one tank, or named tanks";
        blank mounts: Vec<Value<'r>>
            = a::Named(&a::settings::<Mount>(), "{seat_left: {x: 250 mm, y: 260 mm, capacity: 6 kg}}"),
            "places where lead may go";
        blank lead: Value<'r> = a::Any(&[&a::Named(&a::settings::<Lead>(), ""), &a::List(&PIECE, "")]),
            "the lead in the box and on the kart; or a list of masses, by which pieces are then called";
        blank fitted: Value<'r> = a::Any(&[&a::Words(&["none"]), &ON_MOUNTS]), "lead that is bolted on now; if left out, what was on at the last weighing";
        blank adjusters: Vec<Value<'r>>
            = a::Named(&a::settings::<Adjuster>(), "{battery: {mass: 3 kg, now: left, places: ...}}"),
            "whatever else can be set";
        blank learned: Learned<'r> = a::settings::<Learned>(), "what `learn` has found; it writes this itself";
        blank pit: Pit<'r> = a::settings::<Pit>(), "changes of driver, for `swap`";
        blank trip: Trip<'r> = a::settings::<Trip>(), "what has to be raced and can be bought, for `pack`";
        blank pads: Pads<'r> = a::settings::<Pads>(), "how good the four pads are";
        blank measured_within: MeasuredWithin<'r> = a::settings::<MeasuredWithin>(), "how nearly all else was measured";
        blank inspection: Inspection<'r> = a::settings::<Inspection>(), "the officials' scale, and what happens before it";
        optional height: Height<'r> = a::settings::<Height>(),
            "the height of the centre of gravity, or lifts of one axle that tell it";
        blank goals: Goals<'r> = a::settings::<Goals>(), "order and resolution of the goals; seldom needed";
    }

    /// A place, seen from above.
    Place like "{x: 250 mm, y: 260 mm}" {
        required x: Length = a::length(bounds::COORDINATE), "forward from the rear axle" like "250 mm";
        required y: Length = a::length(bounds::COORDINATE),
            "to the left of the centre line; the right side is negative" like "260 mm";
    }

    /// What `learn` has found.
    Learned like "{twist_rate: 0.5}" {
        optional weighings: u32 = a::count(1, bounds::MOST_WEIGHINGS as u16), "from the first so many";
        optional roll_share: RollShare<'r> = a::settings::<RollShare>(), "how much of a roll moment the front carries";
        optional twist_rate: f64 = a::number(bounds::TWIST_RATE), "kg per corner for 1 mm of spacer";
        optional misread: Misread<'r> = a::settings::<Misread>(), "what each pad shows too much";
        optional mounts: Vec<Value<'r>> = a::Named(&a::settings::<Place>(), "{seat_left: {x: 250 mm, y: 260 mm}}"),
            "where lead on them really acts";
        optional drivers: Vec<Value<'r>> = a::Named(&a::settings::<Place>(), "{Sam: {x: 380 mm, y: 15 mm}}"),
            "where drivers really act";
    }

    /// Four pads.
    Misread like "{lf: 0.02 kg, rf: 0 kg, lr: -0.03 kg, rr: 0 kg}" {
        required lf: Mass = MISREAD, "left front" like "0.02 kg";
        required rf: Mass = MISREAD, "right front" like "0.02 kg";
        required lr: Mass = MISREAD, "left rear" like "0.02 kg";
        required rr: Mass = MISREAD, "right rear" like "0.02 kg";
    }

    /// When and with which margin the officials weigh, and the rules.
    Terms like "" {
        optional weighed_at: Moment = a::Choice(MOMENTS), "with which fuel the officials weigh";
        optional margin: Limit = mass_or_percent(a::mass(within("", 0.0, 20.0)), a::percent(bounds::CONFIDENCE).always()),
            "added to the minimum: a mass, or the chance to pass that it is computed for";
        blank rules: Rules<'r> = a::settings::<Rules>(), "how lead may be fixed, by your rulebook";
    }

    /// The class that is raced in.
    Class like "{minimum: 160 kg}" with (terms: Terms<'r>) {
        optional name: String = a::NAME, "its name on the report";
        required minimum: Mass = a::mass(bounds::MINIMUM), "kart and dressed driver, by your rulebook" like "160 kg";
    }

    /// Rules of a class.
    Rules like "{largest_piece: 5 kg}" {
        optional largest_piece: Mass = a::mass(within("", 0.05, 50.0)), "no piece may be heavier";
        optional fewest_bolts_per_piece: u32 = BOLTS_OF_PIECE, "bolts that go through every piece";
        optional most_mass_per_bolt: Mass = a::mass(bounds::MASS_PER_BOLT), "lead on a mount per bolt of it";
        optional most_lead: Mass = a::mass(within("", 0.0, 200.0)), "all lead on the kart together";
    }

    /// Targets.
    Targets like "{front: {aim: 43, within: 0.5}}" {
        optional front: Share<'r> = a::settings::<Share>(), "(LF+RF)/total in percent";
        optional rear: Share<'r> = a::settings::<Share>().like("{aim: 57, within: 0.5}"),
            "(LR+RR)/total in percent; instead of front";
        optional left: Share<'r> = a::settings::<Share>().like("{aim: 50, within: 0.3}"), "(LF+LR)/total in percent";
        optional cross: Share<'r> = a::settings::<Share>().like("{aim: 50, within: 0.5}"), "(RF+LR)/total in percent";
        optional front_pair: Pair<'r> = a::settings::<Pair>(), "LF-RF";
        optional rear_pair: Pair<'r> = a::settings::<Pair>().like("{aim: 0, within: 1.5 kg}"), "LR-RR";
        optional height: AimedHeight<'r> = a::settings::<AimedHeight>(), "of the centre of gravity; needs `height` and every `z`";
    }

    /// What every target may say besides.
    Counts like "" {
        optional at: When = a::Choice(WHEN), "with which fuel; both: the worse counts";
        optional weight: f64 = a::number(within("a target", 0.001, 1000.0)), "factor on its misses, usually 1";
    }

    /// A share that is aimed at.
    Share like "{aim: 43, within: 0.5}" short AIM with (counts: Counts<'r>) {
        required aim: f64 = a::share(bounds::SHARE), "percent of the total" like "43";
        optional within: f64 = a::percent(bounds::SHARE_TOLERANCE), "this much more or less is as good; 0.5 if left out";
    }

    /// A difference that is aimed at.
    Pair like "{aim: 0, within: 0.5 kg}" short AIM with (counts: Counts<'r>) {
        required aim: Mass = a::mass(within("a pair", -100.0, 100.0)), "left minus right" like "0";
        optional within: Mass = a::mass(within("a target", 0.0, 50.0)),
            "this much more or less is as good; if left out, 1 lb for the fronts and 3 lb for the rears";
    }

    /// A height that is aimed at.
    AimedHeight like "{aim: 240 mm, within: 10 mm}" short AIM with (counts: Counts<'r>) {
        required aim: Length = a::length(bounds::HEIGHT_AIM), "up from the ground" like "240 mm";
        optional within: Length = a::length(bounds::HEIGHT_TOLERANCE),
            "this much more or less is as good; 10 mm if left out";
    }

    /// A driver.
    Driver like "{mass: 70 kg, x: 380 mm, y: 15 mm}" short MASS {
        optional mass: Mass = a::mass(bounds::DRIVER), "dressed to race";
        optional x: Length = a::length(bounds::COORDINATE), "forward from the rear axle";
        optional y: Length = a::length(bounds::COORDINATE), "to the left of the centre line; the right side is negative";
        optional z: Length = a::length(bounds::HEIGHT), "up from the ground";
        optional weighing: Weighing<'r> = a::settings::<Weighing>(),
            "a weighing with this driver in the seat";
    }

    /// A tank.
    Tank like "{x: 500 mm, y: 0 mm, start: 5 L, finish: 2 L}" with (place: Place<'r>) {
        optional z: Length = a::length(bounds::HEIGHT), "up from the ground";
        optional density: f64 = a::density(bounds::DENSITY), "kg per litre; petrol if it is left out";
        required start: a::Amount<'r> = FUEL, "what is in it at the start" like "5 L";
        required finish: a::Amount<'r> = FUEL, "what is left when the officials weigh" like "2 L";
    }

    /// A mount.
    Mount like "{x: 250 mm, y: 260 mm, capacity: 6 kg}" with (place: Place<'r>) {
        optional z: Length = a::length(bounds::HEIGHT), "up from the ground";
        required capacity: Mass = a::mass(within("a mount", 0.05, 200.0)), "most lead it may carry" like "6 kg";
        optional on: FixedTo = a::Choice(&[("frame", FixedTo::Frame), ("seat", FixedTo::Seat)]),
            "what it is fixed to; on the seat it moves with it";
        optional room: Length = a::length(within("a mount", 1.0, 1000.0)), "thickness of the stack of pieces";
        optional most_pieces: u32 = a::count(1, bounds::MOST_PIECES), "most pieces";
        optional bolts: u32 = a::count(1, bounds::MOST_BOLTS), "bolts that hold its lead";
        optional pattern: String = a::NAME, "its bolt pattern; pieces of another do not fit";
        optional takes: Vec<Value<'r>> = a::List(&a::NAME, "[block, puck]"), "the only kinds of lead that may go here";
        optional locked: bool = a::BOOLEAN, "true: what is fitted stays, nothing is added";
        optional quick: bool = a::BOOLEAN, "true: can be changed in a pit stop, and be another for each driver";
    }

    /// What a piece of lead is like.
    Piece like "" {
        optional within: Mass = a::mass(bounds::WITHIN_MASS), "how nearly one piece was weighed";
        optional thickness: Length = a::length(within("a piece", 0.1, 500.0)), "of one piece";
        optional bolts: u32 = BOLTS_OF_PIECE, "bolts that go through one piece";
        optional pattern: String = a::NAME, "its bolt pattern";
    }

    /// A kind of lead, or pieces weighed one by one.
    Lead like "{mass: 5 kg, count: 2}" with (piece: Piece<'r>) {
        required[0] weighed: Vec<Value<'r>> = a::List(&PIECE, "[2.013 kg, 1.987 kg]"), "pieces weighed one by one";
        required[1] mass: Mass = PIECE, "one piece" like "5 kg";
        optional[1] count: u32 = COUNT, "pieces in the box and on the kart together; 1 if left out";
        optional quick: bool = a::BOOLEAN, "false: it cannot be changed in a pit stop";
    }

    /// Changes of driver.
    Pit like "{order: [Sam, Alex, Sam], minutes: {take_off: 0.4, put_on: 0.6}}" {
        optional order: Vec<Value<'r>> = a::List(&a::NAME, "[Sam, Alex, Sam]"), "who drives each stint";
        blank minutes: Minutes<'r> = a::settings::<Minutes>(), "how long each operation takes for one piece";
    }

    /// Minutes of an operation.
    Minutes like "{take_off: 0.4, put_on: 0.6}" {
        required take_off: f64 = OPERATION, "from a quick mount into the box" like "0.4";
        required put_on: f64 = OPERATION, "from the box onto a quick mount" like "0.6";
        optional move_over as "move": f64 = OPERATION, "from one quick mount to another";
        optional with_tools: f64 = OPERATION, "any of them where something is not quick";
    }

    /// How the goals are wanted.
    Goals like "{order: [targets, light, work, close]}" {
        optional order: Vec<Value<'r>>
            = a::List(&a::Words(&["targets", "light", "work", "close"]), "[targets, light, work, close]"),
            "each of the four once";
        optional spare: Mass = a::mass(within("", 0.0, 50.0)), "mass that a better balance may cost";
        blank resolution: Resolutions<'r> = a::settings::<Resolutions>(), "how exactly each goal is solved";
    }

    /// How exactly each goal is solved.
    Resolutions like "{legal: 0.05 kg}" {
        optional legal: Mass = RESOLUTION, "of the lightest legal total";
        optional targets: Mass = RESOLUTION, "of the kilograms outside the tolerances";
        optional light: Mass = RESOLUTION, "of the total among plans of that balance";
        optional work: u32 = COUNT, "of the changes, a whole number";
        optional close: Mass = RESOLUTION, "of the distance from the targets";
    }
}
