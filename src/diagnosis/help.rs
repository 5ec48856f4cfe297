//! What to do about every fault.
//! Takes a fault; gives one help, in the same grammar as its sentence (`words`), often with the line as it
//! should be.
//! Does not know how wide the screen is.

use std::borrow::Cow;

use super::fault::{Dimension, Fault, LockedClash, Syntax};
use super::words::list;

impl Dimension {
    /// Ways to write one.
    const fn units(self) -> &'static str {
        match self {
            Dimension::Mass => "weights: kg, g, lb, oz",
            Dimension::Length => "lengths: mm, cm, m, in, ft",
            Dimension::Percent => "write `43` or `43 %`",
            Dimension::Fuel => "fuel: L, mL, gal, or a weight in kg, g, lb, oz",
            Dimension::Density => "densities are in kg/L: write `0.745`",
            Dimension::Number => "write the number alone",
        }
    }

    /// A good value to show.
    const fn example(self) -> &'static str {
        match self {
            Dimension::Mass => "12.5 kg",
            Dimension::Length => "1040 mm",
            Dimension::Percent => "43 %",
            Dimension::Fuel => "3 L",
            Dimension::Density => "0.745",
            Dimension::Number => "1",
        }
    }
}

impl Fault {
    /// What to do about it.
    #[expect(clippy::too_many_lines, reason = "all words in one place, one short arm each")]
    pub fn help(&self) -> String {
        match self {
            Fault::FileMissing { similar: Some(name), .. } => {
                format!("a file with a similar name is here: `{name}`")
            }
            Fault::FileMissing { similar: None, .. } => {
                "look at the name and the folder; `kentledge new` writes a first scenario".into()
            }
            Fault::FileUnreadable { .. } => "name a scenario file that you may read".into(),
            Fault::Empty => "start from the file that `kentledge new` writes".into(),
            Fault::NotText { .. } => "save it as plain text, UTF-8".into(),
            Fault::TooLong { .. } => "name a scenario file; keep long notes elsewhere".into(),
            Fault::TabIndent => "replace each tab with two spaces".into(),
            Fault::OddCharacter { looks_like, code_point, .. } => format!(
                "replace it with {looks_like}; many editors and web pages put it there (U+{code_point:04X})"
            ),
            Fault::DecimalComma { instead, thousands: None, .. } => {
                format!("write `{instead}`. If you meant two values, put them on two lines")
            }
            Fault::DecimalComma { instead, thousands: Some(thousands), .. } => {
                format!("write `{instead}`, or `{thousands}` if the comma was for thousands")
            }
            Fault::UnknownUnit { dimension, .. } | Fault::WrongUnit { dimension, .. } => {
                dimension.units().into()
            }
            Fault::UnitsMissing | Fault::UnitsUnknown { .. } => {
                "make the first line `units: kg-mm` or `units: lb-in`".into()
            }
            Fault::UnknownKey { similar: Some(name), .. } | Fault::NoSuch { similar: Some(name), .. } => {
                format!("a similar one is `{name}`")
            }
            Fault::UnknownKey { similar: None, .. } => {
                "for your own notes use `note:` or a name that starts with `x-`".into()
            }
            Fault::MergeKey => "write the settings out, or repeat one value with `&name` and `*name`".into(),
            Fault::Twice { .. } => "rename one or delete it; nothing was guessed".into(),
            Fault::TwoNamesForOne { key, .. } => format!("delete one of them, for instance `{key}`"),
            Fault::KindTwice { .. } => "rename one of the two kinds".into(),
            Fault::NotBoolean { found, .. } => {
                let word = found.trim_matches('`').to_lowercase();
                let meant = if ["yes", "on", "y", "1"].contains(&word.as_str()) { "true" } else { "false" };
                format!("write `{meant}`")
            }
            Fault::NotWhole { instead: Some(count), .. } => format!("write `{count}`"),
            Fault::NotWhole { instead: None, .. } => "write digits only, such as `2`".into(),
            Fault::NotAChoice { choices, .. } => format!("write one of: {}", choices.join(", ")),
            Fault::NotAQuantity { dimension, .. } => {
                format!("write a number, with its unit if you like: `{}`", dimension.example())
            }
            Fault::NotSettings { example, .. } | Fault::NotAList { example, .. } => {
                format!("write it like `{example}`")
            }
            Fault::NotAName { .. } => "write a word; put quotes around it if it looks like a number".into(),
            Fault::NameTooLong { .. } => "shorten it; the long form can stand in a `note:`".into(),
            Fault::NameUnprintable { .. } => "write it with letters, digits and spaces".into(),
            Fault::NameReserved { .. } => "that word has a meaning of its own here: choose another".into(),
            Fault::GoalsNotFour { .. } => {
                "write `order: [targets, light, work, close]` in the order you like; `legal` always comes first"
                    .into()
            }
            Fault::PadsNotFour => {
                "write each of 1, 2, 3 and 4 once, as the pads stood under LF RF LR RR".into()
            }
            Fault::NameCut { whole, .. } => format!("put it in quotes: `\"{whole}\"`"),
            Fault::Missing { example, .. } => format!("add a line such as `{example}`"),
            Fault::NoValue { key } => format!("write a value after `{key}:`, or delete the line"),
            Fault::ReadingMissing { .. } => "four readings are needed: `lf`, `rf`, `lr`, `rr`".into(),
            Fault::SeatHoleMissing => {
                "add `seat_hole:` with the number of the hole; nothing is assumed".into()
            }
            Fault::TankMissing { tank } => {
                format!("add `{tank}:` with its amount, or `none`; nothing is assumed")
            }
            Fault::HalfAPlace { key, .. } => format!("a place needs both `x` and `y`: add `{key}`"),
            Fault::ThicknessMissing { kind, .. } => {
                format!("add `thickness:` to `{kind}`, or take `room` off the mount")
            }
            Fault::KindBoltsMissing { kind } => {
                format!("add `bolts:` to `{kind}`: how many go through one piece")
            }
            Fault::MountBoltsMissing { mount } => {
                format!("add `bolts:` to `{mount}`: how many hold its lead")
            }
            Fault::DriverPlaceMissing { driver, aboard: Some(aboard) } => format!(
                "give `{aboard}`, who was weighed, an `x` and `y`, which then stand for `{driver}` too; or give \
                 `{driver}` their own, or a `weighing`"
            ),
            Fault::DriverPlaceMissing { driver, aboard: None } => format!(
                "the seat was empty when weighed: give `{driver}` an `x` and `y`, or a \
                 `weighing` of their own"
            ),
            Fault::HeightUnknown => {
                "lift an axle and list the lifts under `height`, or write `height: {given: 240 mm}`".into()
            }
            Fault::HowHigh { .. } => "say how high above the ground its weight acts: `z: 250 mm`".into(),
            Fault::AboardPlaceMissing { driver, needed_for } => {
                format!("give `{driver}` an `x` and `y`, or `{needed_for}` a `weighing` of their own")
            }
            Fault::DriverMassMissing { .. } => {
                "add `mass:`, dressed to race, as a person scale shows it".into()
            }
            Fault::AfterWithoutDriver => {
                "write `driver:` with the one who sat in it; a weighing of the empty kart belongs \
                 under `weighings`"
                    .into()
            }
            Fault::OutOfBounds { other_unit: Some(written), .. } => {
                format!("if that is the number you read, write `{written}")
            }
            Fault::OutOfBounds { lifts: true, .. } => {
                "these bounds only catch slips; `limits: off` under `kart` lifts them".into()
            }
            Fault::OutOfBounds { lifts: false, found, .. } if found.starts_with('-') => {
                "look at the number and its sign".into()
            }
            Fault::OutOfBounds { lifts: false, .. } => "look at the number again".into(),
            Fault::TooLargeTogether => "use target weights near 1 and the masses of one kart".into(),
            Fault::TooManyWays { .. } => {
                "mark only those `quick: true` that are set otherwise in a pit stop, or give them fewer settings".into()
            }
            Fault::TooMany { .. } | Fault::TooMuchLead { .. } => "list only what one kart can carry".into(),
            Fault::SuspectUnits { other_units, .. } => format!(
                "if the pads showed those, write `units: {other_units}`; if not, add `sure: true` \
                 under `scales`"
            ),
            Fault::PartsTooHeavy { .. } => {
                "was all of that aboard, and that driver in the seat? look at `aboard` and the masses".into()
            }
            Fault::WeighingsDisagree { .. } | Fault::DerivedMass { .. } => {
                "was lead still bolted on, or another driver in the seat? look at both `aboard`".into()
            }
            Fault::OtherDriverAboard { driver, .. } => {
                format!("write `driver: {driver}` there, or move the weighing to the other driver")
            }
            Fault::PercentOutOfRange { instead: Some(number), .. } => format!("write `{number}`"),
            Fault::PercentOutOfRange { instead: None, .. } => "give it in percent of the total".into(),
            Fault::FrontAndRear { .. } => "give one of the two; the other follows".into(),
            Fault::BothGiven { .. } => "give one of the two".into(),
            Fault::FuelGrows { .. } => "the tank empties from `start` to `finish`: swap the two".into(),
            Fault::NowOutside { .. } => "let `from` and `to` include how it is set now".into(),
            Fault::WashersDisagree { .. } => {
                "count them again: washers move from one side of the spindle to the other, none is added"
                    .into()
            }
            Fault::EffectUnbalanced { .. } => {
                "give the change of each corner from one step to the next, with its sign".into()
            }
            Fault::RollShareFalls => "the share grows from the rear axle to the front: swap the two".into(),
            Fault::PlannedBeforeLearned => "list the lead that was fitted: `{seat_left: {block: 1}}`".into(),
            Fault::LearnedFromMore { .. } => "delete `learned`, and run `learn` again".into(),
            Fault::TargetsDisagree { .. } => {
                "left minus cross is the front pair, left plus cross minus 100 % the \
                                              rear pair, both times the total: drop one target"
                    .into()
            }
            Fault::Outside { .. } => "x is measured forward from the rear axle, y to the left of the centre \
                                      line; `limits: off` under `kart` accepts it"
                .into(),
            Fault::MountOutside { .. } => "x is measured forward from the rear axle, y to the left of the \
                                           centre line; if it is right, nothing needs to be done"
                .into(),
            Fault::SamePlace { .. } => "if they are two, measure again; if they are one, delete one".into(),
            Fault::NoSuch { known, what, .. } if known.is_empty() => {
                format!("this file lists no {what}")
            }
            Fault::NoSuch { known, .. } => format!("listed are: {}", list(known)),
            Fault::NoSpindles => "describe the washers under `kart`, or delete the line".into(),
            Fault::NoSeat => "describe the seat under `kart`, or delete the line".into(),
            Fault::NoTank => "describe it under `fuel:`, or write `fuel: none`".into(),
            Fault::NeverUsed { .. } => "raise its limit, add a smaller piece, or delete the mount".into(),
            Fault::NoMountTakes { .. } => {
                "look at the weight, at `takes` and `pattern`, and at the limits of the mounts".into()
            }
            Fault::DriversAlike { .. } => "give them names that differ by more than capitals".into(),
            Fault::NoDriverChosen { drivers } => {
                let first = drivers.first().map_or("...", String::as_str);
                format!("name one, such as `--driver {first}`, or add a line such as `driver: {first}`")
            }
            Fault::OutOfReach { .. } => "`kentledge plan` tells what limits it".into(),
            Fault::DriverTwiceInARow { .. } => "name each stint's driver once".into(),
            Fault::NobodyToSwapWith { drivers: 0 | 1 } => {
                "list the others under `drivers`, each with a mass or a weighing".into()
            }
            Fault::NobodyToSwapWith { .. } => {
                "name a second driver, for example `kentledge swap kart.yaml --order Sam,Alex`".into()
            }
            Fault::NotInStock { kind, .. } => format!("raise the count of `{kind}`, or list fewer"),
            Fault::Locked { clash: LockedClash::Capacity { .. } | LockedClash::Room { .. }, .. } => {
                "unlock it, take a piece off, or raise the limit if the bracket is made for it".into()
            }
            Fault::Locked { .. } => "unlock the mount, take the piece off, or change the limit".into(),
            Fault::LockedTotal { .. } => "unlock a mount, or look at `most_lead` again".into(),
            Fault::FittedBeyond { .. } => {
                "the plan will take some off; look at the limit if the bracket is made for more".into()
            }
            Fault::PlanUnknown { legal: true, .. } => {
                "`--time` gives the search longer; or list the lead that was fitted".into()
            }
            Fault::PlanUnknown { legal: false, .. } => "list the lead that was fitted".into(),
            Fault::OneWeighing => {
                "add one under `weighings`, with a known piece hung on a mount, or the driver out".into()
            }
            Fault::WeighingsAlike => {
                "weigh once more with a known difference: a piece on a mount, the driver out".into()
            }
            Fault::Contradiction { .. } | Fault::OtherKart => {
                "look at the readings and at what was aboard; nothing was learned, nothing written".into()
            }
            Fault::PadMissing { .. } => "all four are needed: `lf`, `rf`, `lr`, `rr`".into(),
            Fault::OneRepeat { .. } => {
                "bounce the kart, roll it off and on and read again; or write the one set under `scales`"
                    .into()
            }
            Fault::RepeatsDiffer { .. } => {
                "repeats may differ in fuel and lead only; another driver has a `weighing` of their own"
                    .into()
            }
            Fault::OneAngle { .. } => {
                "lift to at least two angles, such as 10 and 20 degrees; three or more check each other"
                    .into()
            }
            Fault::LiftAngle { least, most, .. } => {
                format!("lift by {least} to {most} degrees, best between 10 and 25")
            }
            Fault::SizeOwned { .. } => "give the size on the list a name of its own, such as `new slab`".into(),
            Fault::NoCases { .. } => "name at least one, or leave the line away".into(),
            Fault::RangeBackwards { .. } => "write the smaller share under `from`".into(),
            Fault::PriceMissing { .. } => {
                "give every size a price, or none: then each piece bought counts as one".into()
            }
            Fault::SizeFitsNowhere { .. } => {
                "look at its mass and thickness, at `capacity`, `room` and `takes` of the mounts; or leave it away"
                    .into()
            }
            Fault::HeightImpossible { .. } => {
                "`load` is what the axle on the ground carries: it grows with the angle; look at the radii too".into()
            }
            Fault::RepeatsAlike { .. } => {
                "if they were copied, delete the copies; if the pads cannot show less, this is as it is"
                    .into()
            }
            Fault::Syntax { problem } => syntax_help(problem).into_owned(),
            Fault::FrontHeavy { .. } => {
                "lf and rf are the front pads; if the readings are right, add `sure: true` under `scales`"
                    .into()
            }
            Fault::SidesSwapped { .. } => {
                "lf and lr are the left pads, as the driver sees them; if the readings are right, add \
                 `sure: true` under `scales`"
                    .into()
            }
            Fault::NamedForOtherSide { .. } => {
                "y is measured to the left, so the right side is negative: look at its sign, or at the name"
                    .into()
            }
        }
    }
}

fn syntax_help(problem: &Syntax) -> Cow<'static, str> {
    match problem {
        Syntax::NoSpaceAfterColon { fixed, .. } => format!("write `{fixed}`").into(),
        Syntax::OpenQuote => "close it on the same line with the same kind of quote".into(),
        Syntax::OpenBracket { close, .. } => {
            format!("put `, ` between the values and `{close}` at the end").into()
        }
        Syntax::Indent { .. } => "settings of one block start in the same column".into(),
        Syntax::CutByComment => "put the name in quotes".into(),
        Syntax::NoColon => "write `name: value`, or start the line with `#` if it is a remark".into(),
        Syntax::TwoColons => {
            "put text with `: ` in quotes; indent settings below a line that ends in `:`".into()
        }
        Syntax::ReservedStart { .. } => "put it in quotes".into(),
        Syntax::ListAmongSettings => "write `name: value` here, or the list below its own name".into(),
        Syntax::NoSuchAnchor => "put text that starts with `*` in quotes".into(),
        Syntax::TooDeep | Syntax::Unfolds => "write the values out".into(),
        Syntax::Tag => "delete the word, or put it in quotes".into(),
        Syntax::KeyNotText => "write `name: value`".into(),
        Syntax::ControlCharacter => "delete it; retyping the line is the surest way".into(),
        Syntax::SecondDocument => "run them one by one: save the second as its own file".into(),
        Syntax::Other => "compare it with its neighbours: `name: value`, two spaces for each level".into(),
    }
}
