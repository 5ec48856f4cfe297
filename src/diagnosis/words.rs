//! The words of every fault: one sentence each.
//! Takes a fault; gives text without places, colours or line breaks.
//! Does not know how wide the screen is, nor what to do about the fault (`help`).
//!
//! Grammar: lower case, the user's own words in backticks, numbers with units, no full stop; only the help
//! says what to do.

use std::fmt;

use super::fault::{Dimension, Fault, LockedClash, Syntax};

impl Dimension {
    /// One of them.
    const fn word(self) -> &'static str {
        match self {
            Dimension::Mass => "a weight",
            Dimension::Length => "a length",
            Dimension::Percent => "a percentage",
            Dimension::Fuel => "an amount of fuel",
            Dimension::Density => "a density",
            Dimension::Number => "a plain number",
        }
    }

    /// Many of them.
    const fn plural(self) -> &'static str {
        match self {
            Dimension::Mass => "weights",
            Dimension::Length => "lengths",
            Dimension::Percent => "percentages",
            Dimension::Fuel => "amounts of fuel",
            Dimension::Density => "densities",
            Dimension::Number => "numbers",
        }
    }
}

impl fmt::Display for Fault {
    #[expect(clippy::too_many_lines, reason = "all words in one place, one short arm each")]
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Fault::FileMissing { file, folder, .. } => write!(f, "cannot find `{file}` in `{folder}`"),
            Fault::FileUnreadable { file, reason } => write!(f, "cannot read `{file}`: {reason}"),
            Fault::Empty => write!(f, "this file has no settings in it"),
            Fault::NotText { looks_like: Some(thing) } => {
                write!(f, "this is not a plain text file (it looks like {thing})")
            }
            Fault::NotText { looks_like: None } => write!(f, "this is not a plain text file"),
            Fault::TooLong { bytes, most } => write!(
                f,
                "this file is {} KiB; scenarios are at most {} KiB",
                bytes.div_ceil(1024),
                most / 1024
            ),
            Fault::TabIndent => write!(f, "this line starts with a tab; YAML indents with spaces"),
            Fault::OddCharacter { name, looks_like, .. } => {
                write!(f, "this line holds a \"{name}\" that looks like {looks_like}")
            }
            Fault::DecimalComma { dimension, .. } => {
                write!(f, "{} need a dot, not a comma", dimension.plural())
            }
            Fault::UnknownUnit { unit, dimension } => {
                write!(f, "`{unit}` is not a unit of {} here", dimension.plural())
            }
            Fault::WrongUnit { key, dimension, unit, unit_dimension } => {
                write!(f, "`{key}` is {}, but `{unit}` is {}", dimension.word(), unit_dimension.word())
            }
            Fault::UnitsMissing => write!(f, "this file does not say in which units its numbers are"),
            Fault::UnitsUnknown { found } => write!(f, "`{found}` is not a pair of units"),
            Fault::UnknownKey { key, within, .. } if within.is_empty() => {
                write!(f, "`{key}` is not a setting of a scenario")
            }
            Fault::UnknownKey { key, within, .. } => write!(f, "`{key}` is not a setting of `{within}`"),
            Fault::MergeKey => write!(f, "`<<` (merging of settings) is not read here"),
            Fault::Twice { key, first_line } => {
                write!(f, "`{key}` is listed twice; the first is on line {first_line}")
            }
            Fault::TwoNamesForOne { key, other } => {
                write!(f, "`{key}` and `{other}` are two names for one value")
            }
            Fault::KindTwice { name, family } => {
                write!(f, "`{name}` is also what a piece of `{family}` is called")
            }
            Fault::SizeOwned { size } => {
                write!(f, "`{size}` is both in the box of lead and on the list")
            }
            Fault::NotBoolean { key, found } => {
                write!(f, "`{key}` must be `true` or `false`, found {found}")
            }
            Fault::NotWhole { key, found, .. } => write!(f, "`{key}` must be a whole number, found {found}"),
            Fault::NotAChoice { key, choices, found } => {
                write!(f, "`{key}` must be {}, found {found}", alternatives(choices))
            }
            Fault::NotAQuantity { key, dimension, found } => {
                write!(f, "`{key}` must be {}, found {found}", dimension.word())
            }
            Fault::NotSettings { key, found, .. } if key.is_empty() => {
                write!(f, "a scenario is made of settings, found {found}")
            }
            Fault::NotSettings { key, found, .. } => write!(f, "`{key}` must be settings, found {found}"),
            Fault::NotAList { key, found, .. } => write!(f, "`{key}` must be a list, found {found}"),
            Fault::NotAName { key, found } => write!(f, "`{key}` must be a name, found {found}"),
            Fault::NameTooLong { key, characters, most } => {
                write!(f, "a name in `{key}` has {characters} characters; at most {most} fit")
            }
            Fault::NameUnprintable { key } => write!(f, "a name in `{key}` holds a control character"),
            Fault::NameReserved { what, name } => write!(f, "{what} cannot be called `{name}`"),
            Fault::GoalsNotFour { found } => {
                write!(
                    f,
                    "`order` must name each of targets, light, work and close once, found {}",
                    list(found)
                )
            }
            Fault::PadsNotFour => write!(f, "`pads` must name each of the four pads once"),
            Fault::NameCut { read, .. } => {
                write!(f, "the name was read as `{read}`; YAML drops everything after ` #`")
            }
            Fault::Missing { within, key, .. } if within.is_empty() => {
                write!(f, "the scenario has no `{key}`")
            }
            Fault::Missing { within, key, .. } => write!(f, "`{within}` has no `{key}`"),
            Fault::NoValue { key } => write!(f, "`{key}` has no value"),
            Fault::ReadingMissing { corner } => write!(f, "`scales` has no {corner} reading"),
            Fault::SeatHoleMissing => {
                write!(f, "`aboard` does not say at which hole the seat was")
            }
            Fault::TankMissing { tank } => write!(f, "`fuel` says nothing of tank `{tank}`"),
            Fault::HalfAPlace { within, key } => write!(f, "the place of `{within}` has no `{key}`"),
            Fault::ThicknessMissing { kind, mount } => {
                write!(f, "mount `{mount}` limits room, but `{kind}` has no `thickness`")
            }
            Fault::KindBoltsMissing { kind } => {
                write!(f, "a rule counts bolts per piece, but `{kind}` has no `bolts`")
            }
            Fault::MountBoltsMissing { mount } => {
                write!(f, "a rule counts weight per bolt, but mount `{mount}` has no `bolts`")
            }
            Fault::DriverPlaceMissing { driver, .. } => {
                write!(f, "nothing tells where the weight of `{driver}` acts")
            }
            Fault::AboardPlaceMissing { driver, needed_for } => write!(
                f,
                "`{driver}` was weighed, but where that weight acts is not known; `{needed_for}` needs it"
            ),
            Fault::HeightUnknown => {
                write!(f, "a target of `height` needs the height of the kart as it was weighed")
            }
            Fault::HowHigh { what } => {
                write!(f, "a target of `height` needs to know how high {what} is: it has no `z`")
            }
            Fault::AfterWithoutDriver => write!(f, "after the work the kart was weighed without a driver"),
            Fault::DriverMassMissing { driver } => write!(f, "nothing tells the weight of `{driver}`"),
            Fault::OutOfBounds { key, of: "", wanted, found, .. } => {
                write!(f, "`{key}` must be {wanted}, found {found}")
            }
            Fault::OutOfBounds { key, of, wanted, found, .. } => {
                write!(f, "`{key}` of {of} must be {wanted}, found {found}")
            }
            Fault::TooMany { what, most, found } => write!(f, "at most {most} {what} fit, found {found}"),
            Fault::TooManyWays { most, found } => write!(
                f,
                "quick adjusters can be set in {found} ways for each driver; at most {most} can be compared"
            ),
            Fault::TooLargeTogether => {
                write!(
                    f,
                    "masses, distances and weights of targets together are too large to be solved exactly"
                )
            }
            Fault::TooMuchLead { most } => write!(f, "all lead together is more than {most}"),
            Fault::SuspectUnits { sum, other_units, other_sum, .. } => write!(
                f,
                "the four readings add to {sum}; with `units: {other_units}` that would be {other_sum}"
            ),
            Fault::PartsTooHeavy { sum, parts, kart } => write!(
                f,
                "the corners add to {sum}, driver, fuel and lead aboard to {parts}: that leaves {kart} \
                 of kart"
            ),
            Fault::WeighingsDisagree { driver, given, weighed, apart } => write!(
                f,
                "`{driver}` is given as {given}, but the two weighings make it {weighed} ({apart} apart)"
            ),
            Fault::DerivedMass { driver, shown } => write!(f, "the two weighings make `{driver}` {shown}"),
            Fault::OtherDriverAboard { driver, aboard } => {
                write!(f, "the weighing of `{driver}` has `{aboard}` aboard")
            }
            Fault::PercentOutOfRange { key, range, found, .. } => {
                write!(f, "`{key}` is a percentage {range}, found {found}")
            }
            Fault::FrontAndRear { front, rear, sum } => {
                write!(f, "front {front} % and rear {rear} % add to {sum} %")
            }
            Fault::BothGiven { first, second } => write!(f, "`{first}` and `{second}` are both given"),
            Fault::FuelGrows { tank, start, finish } => {
                write!(f, "`{tank}` has {finish} at the finish, but {start} at the start")
            }
            Fault::NowOutside { key, now, from, to } => {
                write!(f, "`{key}` is {now} now, which is not between {from} and {to}")
            }
            Fault::WashersDisagree { side, found, there } => {
                write!(f, "the {side} spindle has {there} washers, not {found}")
            }
            Fault::EffectUnbalanced { sum } => {
                write!(f, "the four changes of `per_step` add up to {sum}, but an adjuster adds no weight")
            }
            Fault::RollShareFalls => {
                write!(f, "`rear_axle` is a larger roll share than `front_axle`")
            }
            Fault::PlannedBeforeLearned => {
                write!(f, "that plan was made before `learned`, with which it would be another")
            }
            Fault::LearnedFromMore { known, listed } => {
                write!(f, "`learned` knows {known} weighings after work, but `after` lists {listed}")
            }
            Fault::TargetsDisagree { pair, aim, implied } => write!(
                f,
                "`left` and `cross` make the {pair} pair {implied}, but {aim} is wanted: no plan meets \
                 all three"
            ),
            Fault::Outside { what, distance, side } => write!(f, "{what} lies {distance} {}", side.words()),
            Fault::MountOutside { mount, distance, side } => {
                write!(f, "mount `{mount}` lies {distance} {}, beyond the usual kart", side.words())
            }
            Fault::SamePlace { mount, other } => write!(f, "mounts `{other}` and `{mount}` are at one place"),
            Fault::NoSuch { what, name, .. } => write!(f, "there is no {what} called `{name}`"),
            Fault::NoSpindles => {
                write!(f, "something is said of washers, but `kart` describes no `spindles`")
            }
            Fault::NoSeat => write!(f, "something is said of the seat, but `kart` describes no `seat`"),
            Fault::NoTank => write!(f, "fuel is aboard, but the scenario describes no tank"),
            Fault::NeverUsed { mount, reason } => write!(f, "`{mount}` can never be used: {reason}"),
            Fault::NoMountTakes { kind, mass, most: Some(most) } => {
                write!(f, "`{kind}` is {mass}, but no mount that takes it may carry more than {most}")
            }
            Fault::NoMountTakes { kind, most: None, .. } => write!(f, "no mount takes `{kind}`"),
            Fault::DriversAlike { name, other } => {
                write!(f, "drivers `{other}` and `{name}` cannot be told apart")
            }
            Fault::NoDriverChosen { drivers } => {
                write!(f, "{} drivers are listed and none is chosen", drivers.len())
            }
            Fault::OutOfReach { driver, needed, available, limit, short } => {
                let who = driver.as_deref().map_or("the kart".into(), |name| format!("`{name}`"));
                write!(f, "{who} needs {needed} of lead, but {limit} {available}: {short} short")
            }
            Fault::DriverTwiceInARow { driver } => {
                write!(f, "`{driver}` drives two stints in a row; that is no change of driver")
            }
            Fault::NobodyToSwapWith { drivers: 0 } => write!(f, "no driver is listed"),
            Fault::NobodyToSwapWith { .. } => {
                write!(f, "a change of driver takes two drivers, and there is one")
            }
            Fault::NotInStock { kind, wanted, stock } => {
                let (listed, there) =
                    (if *wanted == 1 { "is" } else { "are" }, if *stock == 1 { "is" } else { "are" });
                write!(f, "{wanted} of `{kind}` {listed} listed on mounts, but there {there} {stock}")
            }
            Fault::Locked { mount, clash } => locked(f, mount, clash),
            Fault::LockedTotal { lead, limit } => {
                write!(f, "locked lead is {lead} together, but the class allows {limit}")
            }
            Fault::FittedBeyond { mount, lead, limit } => {
                write!(f, "{lead} is fitted on `{mount}`, whose limit is {limit}")
            }
            Fault::PlanUnknown { after, legal: true } => write!(
                f,
                "the plan before number {after} of `after` was not proved in this time, so what was fitted is not known"
            ),
            Fault::PlanUnknown { after, legal: false } => {
                write!(f, "before number {after} of `after` no legal plan exists that could have been fitted")
            }
            Fault::OneWeighing => write!(f, "one weighing alone teaches nothing"),
            Fault::WeighingsAlike => write!(f, "the same was aboard at all weighings, which teaches nothing"),
            Fault::Contradiction { odd } => {
                write!(f, "the weighings contradict each other; most of it is {odd}")
            }
            Fault::OtherKart => write!(f, "no kart could have shown all these weighings"),
            Fault::PadMissing { key, corner } => write!(f, "`{key}` says nothing of the {corner} pad"),
            Fault::OneRepeat { found } => {
                write!(f, "`repeats` holds {}: nothing to compare", sets(*found))
            }
            Fault::RepeatsDiffer { what } => write!(f, "these repeats have two {what}"),
            Fault::OneAngle { lifts } => {
                write!(f, "{lifts} lift{} at one angle: no line to fit", if *lifts == 1 { "" } else { "s" })
            }
            Fault::LiftAngle { found, .. } => {
                write!(f, "no height can be told from a lift by {found} degrees")
            }
            Fault::NoCases { empty } => {
                write!(f, "`{empty}` of the trip names nothing, so there is no case to pack for")
            }
            Fault::RangeBackwards { from, to } => {
                write!(f, "the range of front % goes from {from} down to {to}")
            }
            Fault::PriceMissing { size, with } => {
                write!(f, "`{size}` has no price, but `{with}` has one")
            }
            Fault::SizeFitsNowhere { size, mass, most: Some(most) } => {
                write!(f, "`{size}` ({mass}) fits no mount that takes it; the strongest carries {most}")
            }
            Fault::SizeFitsNowhere { size, .. } => {
                write!(f, "`{size}` is on the list, but no open mount takes it")
            }
            Fault::HeightImpossible { found } => {
                write!(f, "these lifts make the centre of gravity {found} high, where no kart has it")
            }
            Fault::RepeatsAlike { sets } => {
                write!(f, "all {sets} repeats are the same to the last digit")
            }
            Fault::Syntax { problem } => syntax(f, problem),
            Fault::FrontHeavy { front } => {
                write!(f, "the readings put {front} % on the front; karts carry more on the rear")
            }
            Fault::SidesSwapped { left, aim } => write!(
                f,
                "the readings put {left} % on the left, but {aim} % is wanted: as if left and right were swapped"
            ),
            Fault::NamedForOtherSide { mount, distance, side } => {
                write!(f, "mount `{mount}` lies {distance} {}", side.words())
            }
        }
    }
}

fn locked(f: &mut fmt::Formatter, mount: &str, clash: &LockedClash) -> fmt::Result {
    match clash {
        LockedClash::Capacity { lead, limit } => {
            write!(f, "locked pieces put {lead} on `{mount}`, whose limit is {limit}")
        }
        LockedClash::Room { stack, limit } => {
            write!(f, "locked pieces stack to {stack} on `{mount}`, whose room is {limit}")
        }
        LockedClash::Pieces { pieces, limit } => {
            write!(f, "{pieces} pieces are locked on `{mount}`, which takes {limit}")
        }
        LockedClash::Takes { kind } => write!(f, "`{kind}` is locked on `{mount}`, which does not take it"),
        LockedClash::LargestPiece { kind, limit } => {
            write!(f, "`{kind}` is locked on `{mount}`, but no piece may be over {limit}")
        }
        LockedClash::FewestBolts { kind, least } => {
            write!(f, "`{kind}` is locked on `{mount}` with fewer bolts than {least}")
        }
        LockedClash::MassPerBolt { lead, bolts, limit } => {
            write!(f, "{lead} is locked on `{mount}` with {bolts} bolts, but each may hold {limit}")
        }
    }
}

fn syntax(f: &mut fmt::Formatter, problem: &Syntax) -> fmt::Result {
    match problem {
        Syntax::NoSpaceAfterColon { key, .. } => write!(f, "there must be a space after `{key}:`"),
        Syntax::OpenQuote => write!(f, "the quote opened here is never closed"),
        Syntax::OpenBracket { open, .. } => write!(f, "the `{open}` opened here is not closed well"),
        Syntax::Indent { found, neighbour } => {
            write!(f, "this line is indented by {}, its neighbour by {neighbour}", spaces(*found))
        }
        Syntax::CutByComment => write!(f, "YAML drops everything after ` #`, here the colon too"),
        Syntax::NoColon => write!(f, "this line has no `: ` between a name and its value"),
        Syntax::TwoColons => write!(f, "this line has a second `: `, or settings follow a value"),
        Syntax::ReservedStart { character } => write!(f, "a value cannot start with `{character}`"),
        Syntax::ListAmongSettings => write!(f, "a list item stands among settings"),
        Syntax::NoSuchAnchor => write!(f, "`*` repeats a value that no `&` has named"),
        Syntax::TooDeep => write!(f, "values stand within values more than a hundred deep"),
        Syntax::Unfolds => write!(f, "the `*` repetitions unfold to far too many values"),
        Syntax::Tag => write!(f, "a word that starts with `!` is not read here"),
        Syntax::KeyNotText => write!(f, "a list or settings stand where a name should be"),
        Syntax::ControlCharacter => write!(f, "this line holds a control character"),
        Syntax::SecondDocument => write!(f, "this file holds two scenarios; the second starts here"),
        Syntax::Other => write!(f, "this line cannot be read as YAML"),
    }
}

/// `no set`, `1 set`.
fn sets(count: usize) -> String {
    match count {
        0 => "no set".to_owned(),
        1 => "1 set".to_owned(),
        several => format!("{several} sets"),
    }
}

/// `1 space`, `2 spaces`.
fn spaces(count: usize) -> String {
    format!("{count} space{}", if count == 1 { "" } else { "s" })
}

/// `` `a`, `b` or `c` ``.
fn alternatives(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
    match quoted.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
        None => String::new(),
    }
}

/// Names in a row, at most eight.
pub(super) fn list(names: &[String]) -> String {
    /// More names would push the sentence off a phone's screen.
    const MOST: usize = 8;
    if names.is_empty() {
        return "nothing".into();
    }
    let shown = names.iter().take(MOST).map(String::as_str).collect::<Vec<_>>().join(", ");
    match names.len().saturating_sub(MOST) {
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}
