//! Keys of a trip: cases, what can be bought, spares, hardware.

use super::{COUNT, Piece, Targets, Terms, bounds, within};
use crate::document::Value;
use crate::document::block::blocks;
use crate::document::form as a;
use crate::units::{Length, Mass};

/// What a bolt goes through.
pub(in crate::scenario) const THICKNESS_OF_PLATE: a::Measured<Length> = a::length(bounds::FASTENER);
/// How long a bolt is.
pub(in crate::scenario) const LENGTH_OF_BOLT: a::Measured<Length> = a::length(within("a bolt", 5.0, 500.0));
const FASTENER: a::Measured<Length> = THICKNESS_OF_PLATE;

blocks! {
    pub(in crate::scenario),

    /// A trip.
    Trip like "{drivers: [Sam, Alex], front: {from: 42, to: 44}}" {
        optional drivers: Vec<Value<'r>> = a::List(&a::NAME, "[Sam, Alex]"),
            "who drives; every driver of the file if it is left out";
        blank classes: Vec<Value<'r>>
            = a::Named(&a::settings::<TripClass>(), "{junior: {minimum: 140 kg}, senior: {minimum: 160 kg}}"),
            "classes, each under its name; what one does not say is as under `class`";
        blank targets: Vec<Value<'r>> = a::Named(
                &a::Any(&[&a::settings::<Targets>(), &a::Nothing]),
                "{dry: {front: {aim: 43, within: 0.5}}}",
            ), "variations: targets that replace those of the file";
        blank front: Front<'r> = a::settings::<Front>(), "a range of front % for tuning, with every variation";
        blank buy: Vec<Value<'r>>
            = a::Named(&a::settings::<Size>(), "{block: {mass: 5 kg, price: 20, most: 2}}"),
            "sizes that can be bought, each under a name";
        blank spares: Vec<Value<'r>> = a::Named(&COUNT, "{puck: 1}"), "pieces beyond what any case needs";
        blank hardware: Hardware<'r> = a::settings::<Hardware>(), "bolts, washers and nuts, for the check list";
    }

    /// A class of the trip; what it does not say is as under `class`.
    TripClass like "{minimum: 160 kg}" with (terms: Terms<'r>) {
        required minimum: Mass = a::mass(bounds::MINIMUM), "kart and dressed driver, by your rulebook" like "160 kg";
    }

    /// A range of front %.
    Front like "{from: 42, to: 44, step: 1}" {
        required from: f64 = a::share(bounds::SHARE), "the least, percent of the total" like "42";
        required to: f64 = a::share(bounds::SHARE), "the most, percent of the total" like "44";
        optional step: f64 = a::percent(within("", 0.05, 20.0)).always(), "from one to the next; 1 if left out";
        optional within: f64 = a::percent(bounds::SHARE_TOLERANCE),
            "this much more or less is as good; as in the targets if left out";
    }

    /// A size that can be bought.
    Size like "{mass: 5 kg, price: 20, most: 2}" with (piece: Piece<'r>) {
        required mass: Mass = a::mass(bounds::PIECE), "one piece" like "5 kg";
        optional price: f64 = a::number(bounds::PRICE), "of one piece; for all sizes or for none";
        required most: u32 = COUNT, "the most that would be bought" like "2";
    }

    /// What lead is fixed with.
    Hardware like "{diameter: 8 mm, lengths: [40 mm, 60 mm], plate: 4 mm, washer: 1.6 mm, nut: 8 mm}" {
        required diameter: Length = FASTENER, "of the bolts" like "8 mm";
        required lengths: Vec<Value<'r>> = a::List(&LENGTH_OF_BOLT, "[40 mm, 60 mm, 80 mm]"),
            "lengths that can be had";
        required plate: Length = FASTENER, "what a bolt goes through besides lead" like "4 mm";
        optional plates: Vec<Value<'r>> = a::Named(&THICKNESS_OF_PLATE, "{nose: 6 mm}"),
            "the same for single mounts, where it differs";
        required washer: Length = FASTENER, "thickness of one washer" like "1.6 mm";
        optional washers_per_bolt: u32 = a::count(0, bounds::MOST_WASHERS_PER_BOLT), "2 if it is left out";
        required nut: Length = FASTENER, "height of a lock nut" like "8 mm";
        optional beyond: Length = a::length(within("", 0.0, 50.0)), "thread that has to show beyond the nut";
        optional bolts: u32 = a::count(1, bounds::MOST_BOLTS), "bolts of a mount whose own number is not known";
        optional mass_per_bolt: Mass = a::mass(bounds::MASS_PER_BOLT), "most lead on one bolt";
        optional spares: u32 = a::count(0, bounds::MOST_BOLTS), "so many more of everything";
    }
}
