//! Every way in which an input can be wrong, family by family: its code, its sentence and what to do about it.
//! Does not know where in the file the fault is, nor how wide the screen is; a family is explained in `explained`.

use super::table::{faults, text};
use super::terms::{alternatives, list};
use super::{Dimension, Severity, Side, Syntax};
use crate::decimals::counted;

faults! {
    /// One way in which an input can be wrong.
    Fault:

    "K001":
    Error FileMissing { file: String, folder: String, similar: Option<String> };
        "cannot find `{file}` in `{folder}`";
        { match similar {
            Some(name) => format!("a file with a similar name is here: `{name}`"),
            None => "look at the name and the folder; `kentledge new` writes a first scenario".into(),
        } };
    Error FileUnreadable { file: String, reason: String };
        "cannot read `{file}`: {reason}";
        "name a scenario file that you may read";

    "K002":
    Error Empty;
        "this file has no settings in it";
        "start from the file that `kentledge new` writes";

    "K003":
    Error NotText { looks_like: Option<&'static str> };
        { match looks_like {
            Some(thing) => format!("this is not a plain text file (it looks like {thing})"),
            None => "this is not a plain text file".into(),
        } };
        "save it as plain text, UTF-8";
    Error TooLong { bytes: usize, most: usize };
        { format!("this file is {} KiB; scenarios are at most {} KiB", bytes.div_ceil(1024), most / 1024) };
        "name a scenario file; keep long notes elsewhere";

    "K004":
    Error TabIndent;
        "this line starts with a tab; YAML indents with spaces";
        "replace each tab with two spaces";
    Error OddCharacter { name: &'static str, looks_like: &'static str, code_point: u32 };
        "this line holds a \"{name}\" that looks like {looks_like}";
        "replace it with {looks_like}; many editors and web pages put it there (U+{code_point:04X})";

    "K005":
    Error DecimalComma { dimension: Dimension, instead: String, thousands: Option<String> };
        { format!("{} need a dot, not a comma", dimension.plural()) };
        { match thousands {
            None => format!("write `{instead}`. If you meant two values, put them on two lines"),
            Some(thousands) => format!("write `{instead}`, or `{thousands}` if the comma was for thousands"),
        } };

    "K006":
    Error UnknownUnit { unit: String, dimension: Dimension };
        { format!("`{unit}` is not a unit of {} here", dimension.plural()) };
        { dimension.units().into() };
    Error WrongUnit { key: String, dimension: Dimension, unit: String, unit_dimension: Dimension };
        { format!("`{key}` is {}, but `{unit}` is {}", dimension.word(), unit_dimension.word()) };
        { dimension.units().into() };

    "K007":
    Error UnitsMissing;
        "this file does not say in which units its numbers are";
        "make the first line `units: kg-mm` or `units: lb-in`";
    Error UnitsUnknown { found: String };
        "`{found}` is not a pair of units";
        "make the first line `units: kg-mm` or `units: lb-in`";

    "K008":
    Error UnknownKey { key: String, within: String, similar: Option<String> };
        { match within.as_str() {
            "" => format!("`{key}` is not a setting of a scenario"),
            within => format!("`{key}` is not a setting of `{within}`"),
        } };
        { match similar {
            _ if (within.as_str(), key.as_str()) == ("", "after") => {
                "put it at the end of `weighings`, which is one list in time, with the lead that was fitted then".into()
            }
            _ if (within.as_str(), key.as_str()) == ("weighing", "turned") => {
                "it belongs to one of several sets: `repeats: [[…], {lf: …, turned: left}]`, the first one straight".into()
            }
            _ if (within.as_str(), key.as_str()) == ("learned", "after") => "delete `learned`, and run `learn` again".into(),
            Some(name) => format!("a similar one is `{name}`"),
            None => "for your own notes use `note:` or a name that starts with `x-`".into(),
        } };
    Error MergeKey;
        "`<<` (merging of settings) is not read here";
        "write the settings out, or repeat one value with `&name` and `*name`";

    "K009":
    Error Twice { key: String, first_line: usize };
        "`{key}` is listed twice; the first is on line {first_line}";
        "rename one or delete it; nothing was guessed";
    Error TwoNamesForOne { key: String, other: String };
        "`{key}` and `{other}` are two names for one value";
        { match key.as_str() {
            "weighing" | "weighings" => "make it one list in time under `weighings`; those made only to learn get `for: \
                                         learn`".into(),
            key => format!("delete one of them, for instance `{key}`"),
        } };
    Error KindTwice { name: String, family: String };
        "`{name}` is also what a piece of `{family}` is called";
        "rename one of the two kinds";
    Error SizeOwned { size: String };
        "`{size}` is both in the box of lead and on the list";
        "give the size on the list a name of its own, such as `new slab`";

    "K010":
    Error NotBoolean { key: String, found: String };
        "`{key}` must be `true` or `false`, found {found}";
        {
            let yes = ["yes", "on", "y", "1"].contains(&found.trim_matches('`').to_lowercase().as_str());
            format!("write `{yes}`")
        };
    Error NotWhole { key: String, found: String, instead: Option<u32> };
        "`{key}` must be a whole number, found {found}";
        { match instead {
            Some(count) => format!("write `{count}`"),
            None => "write digits only, such as `2`".into(),
        } };
    Error NotAChoice { key: String, choices: Vec<&'static str>, found: String };
        { format!("`{key}` must be {}, found {found}", alternatives(choices)) };
        { format!("write one of: {}", choices.join(", ")) };
    Error NotAQuantity { key: String, dimension: Dimension, found: String, example: String };
        { format!("`{key}` must be {}, found {found}", dimension.word()) };
        "write a number, with its unit if you like: `{example}`";
    Error NotSettings { key: String, found: String, example: String };
        { match key.as_str() {
            "" => format!("a scenario is made of settings, found {found}"),
            key => format!("`{key}` must be settings, found {found}"),
        } };
        "write it like `{example}`";
    Error NotAList { key: String, found: String, example: String };
        "`{key}` must be a list, found {found}";
        "write it like `{example}`";
    Error NotAName { key: String, found: String };
        "`{key}` must be a name, found {found}";
        "write a word; put quotes around it if it looks like a number";
    Error NameTooLong { key: String, characters: usize, most: usize };
        "a name in `{key}` has {characters} characters; at most {most} fit";
        "shorten it; the long form can stand in a `note:`";
    Error NameUnprintable { key: String };
        "a name in `{key}` holds a control character";
        "write it with letters, digits and spaces";
    Error NameReserved { what: &'static str, name: String };
        "{what} cannot be called `{name}`";
        "that word has a meaning of its own here: choose another";
    Error GoalsNotFour { found: Vec<String> };
        { format!("`order` must name each of targets, light, work and close once, found {}", list(found)) };
        "write `order: [targets, light, work, close]` in the order you like; `legal` always comes first";
    Error NotADate { key: String, found: String };
        "`{key}` must be a date, found {found}";
        "write it as year, month and day: `2026-11-28`";
    Error LeadThen { word: String };
        "`{word}` does not say what the pads saw: what is bolted on changes, what was on at a weighing does not";
        "write `none`, or what was on: `{{seat_left: {{slab: 1}}}}`";
    Error PadsNotFour;
        "`pads` must name each of the four pads once";
        "write each of 1, 2, 3 and 4 once, as the pads stood under LF RF LR RR";

    "K011":
    Warning NameCut { key: String, read: String, whole: String };
        "the name was read as `{read}`; YAML drops everything after ` #`";
        "put it in quotes: `\"{whole}\"`";

    "K012":
    Error Missing { within: String, key: &'static str, example: String, in_braces: bool };
        { match within.as_str() {
            "" => format!("the scenario has no `{key}`"),
            within => format!("`{within}` has no `{key}`"),
        } };
        { match in_braces {
            true => format!("add `{example}` between its braces"),
            false => format!("add a line such as `{example}`"),
        } };
    Error NoValue { key: String };
        "`{key}` has no value";
        "write a value after `{key}:`, or delete it";
    Error ReadingMissing { corner: &'static str };
        "`scales` has no {corner} reading";
        "four readings are needed: `lf`, `rf`, `lr`, `rr`";
    Error PadMissing { key: String, corner: &'static str };
        "`{key}` says nothing of the {corner} pad";
        "all four are needed: `lf`, `rf`, `lr`, `rr`";
    Error SeatHoleMissing;
        "`aboard` does not say at which hole the seat was";
        "add `seat_hole:` with the number of the hole; nothing is assumed";
    Error TankMissing { tank: String };
        "`fuel` says nothing of tank `{tank}`";
        "add `{tank}:` with its amount, or `none`; nothing is assumed";
    Error HalfAPlace { within: String, key: &'static str };
        "the place of `{within}` has no `{key}`";
        "a place needs both `x` and `y`: add `{key}`";
    Error ThicknessMissing { kind: String, mount: String };
        "mount `{mount}` limits room, but `{kind}` has no `thickness`";
        "add `thickness:` to `{kind}`, or take `room` off the mount";
    Error KindBoltsMissing { kind: String };
        "a rule counts bolts per piece, but `{kind}` has no `bolts`";
        "add `bolts:` to `{kind}`: how many go through one piece";
    Error MountBoltsMissing { mount: String };
        "a rule counts weight per bolt, but mount `{mount}` has no `bolts`";
        "add `bolts:` to `{mount}`: how many hold its lead";
    Error HeightUnknown { example: String };
        "a target of `height` needs the height of the kart as it was weighed";
        "lift an axle, driver out, and list the lifts under `height`; or write `height: {{given: {example}}}`";
    Error HowHigh { what: String, example: String };
        "a target of `height` needs to know how high {what} is: it has no `z`";
        "say how high above the ground its weight acts: `z: {example}`";
    Error DriverMassMissing { driver: String };
        "nothing says the weight of `{driver}`";
        "add `mass:`, dressed to race, as a person scale shows it";
    Error OnlyToLearn;
        "no weighing here is of the kart as it is raced";
        "take `for: learn` off the one that is, or weigh it so";
    Error SettingMissing { adjuster: String };
        "`aboard` does not say how `{adjuster}` was set";
        "add how it was: `spindles: {{left: {{above: 2, below: 2}}}}`, or its name under `adjusters`; nothing is assumed";

    "K013":
    Error OutOfBounds {
        key: String, of: &'static str, wanted: String, found: String, lifts: bool, other_unit: Option<String>
    };
        {
            let of = if of.is_empty() { String::new() } else { format!(" of {of}") };
            format!("`{key}`{of} must be {wanted}, found {found}")
        };
        { match other_unit {
            Some(written) => format!("if that is the number you read, write `{written}"),
            None if *lifts => "these bounds only catch slips; `limits: off` under `kart` lifts them".into(),
            None if found.starts_with('-') => "look at the number and its sign".into(),
            None => "look at the number again".into(),
        } };
    Error TooMany { what: &'static str, most: usize, found: usize };
        "at most {most} {what} fit, found {found}";
        { match *what {
            "values" => "write one for each wheel: LF RF LR RR".into(),
            _ => "list only what one kart can carry".into(),
        } };
    Error TooManyWays { most: usize, found: usize };
        "quick adjusters can be set in {found} ways for each driver; at most {most} can be compared";
        "mark only those `quick: true` that are set otherwise in a pit stop, or give them fewer settings";
    Error TooMuchLead { most: String };
        "all lead together is more than {most}";
        "list only what one kart can carry";
    Error TooLargeTogether;
        "masses, distances and weights of targets together are too large to be solved exactly";
        "use target weights near 1 and the masses of one kart";

    "K014":
    Warning SuspectUnits { sum: String, other_units: &'static str, other_sum: String };
        "the four readings add to {sum}; with `units: {other_units}` that would be {other_sum}";
        "if the pads showed those, write `units: {other_units}`; if not, add `sure: true` under `scales`";

    "K015":
    Error PartsTooHeavy { sum: String, parts: String, kart: String };
        "the corners add to {sum}, driver, fuel and lead aboard to {parts}: that leaves {kart} of kart";
        "was all of that aboard, and that driver in the seat? look at `aboard` and the masses";
    Error WeighingsDisagree { driver: String, given: String, weighed: String, apart: String };
        "`{driver}` is given as {given}, but the two weighings make it {weighed} ({apart} apart)";
        "was lead still bolted on, or another driver in the seat? look at both `aboard`";
    Error DerivedMass { driver: String, shown: String };
        "the two weighings make `{driver}` {shown}";
        "was lead still bolted on, or another driver in the seat? look at both `aboard`";
    Error OtherDriverAboard { driver: String, aboard: String };
        "the weighing of `{driver}` has `{aboard}` aboard";
        "write `driver: {driver}` there, or move the weighing to the other driver";
    Warning WeighingContradicts { finding: String, cure: &'static str };
        "{finding}";
        "{cure}";

    "K016":
    Error PercentOutOfRange { key: String, range: String, found: String, instead: Option<String> };
        "`{key}` is a percentage {range}, found {found}";
        { match instead {
            Some(number) => format!("write `{number}`"),
            None => "give it in percent of the total".into(),
        } };

    "K017":
    Error FrontAndRear { front: String, rear: String, sum: String };
        "front {front} % and rear {rear} % add to {sum} %";
        "give one of the two; the other follows";
    Error BothGiven { first: &'static str, second: &'static str };
        "`{first}` and `{second}` are both given";
        "give one of the two";
    Error FuelGrows { tank: String, start: String, finish: String };
        "`{tank}` has {finish} at the finish, but {start} at the start";
        "the tank empties from `start` to `finish`: swap the two";
    Error RollShareFalls;
        "`rear_axle` is a larger roll share than `front_axle`";
        "the share grows from the rear axle to the front: swap the two";
    Error NowOutside { key: &'static str, now: i32, from: i32, to: i32 };
        "`{key}` is {now} now, which is not between {from} and {to}";
        "let `from` and `to` include how it is set now";
    Error WashersDisagree { side: &'static str, found: u32, there: u32 };
        "the {side} spindle has {there} washers, not {found}";
        "count them again: washers move from one side of the spindle to the other, none is added";
    Error EffectUnbalanced { sum: String };
        "the four changes of `per_step` add up to {sum}, but an adjuster adds no weight";
        "give the change of each corner from one step to the next, with its sign";
    Error DatesBackwards { date: String, last: String };
        "this weighing is of {date}, but one before it is of {last}";
        "list weighings in the order in which they were made";
    Error WeighingTwice { first: usize };
        "date and readings are those of weighing number {first}";
        "delete the copy; if it was weighed again and read the same, give it a date";
    Error LearnedFromMore { known: usize, listed: usize };
        "`learned` knows {known} weighings, but there are {listed}";
        "delete `learned`, and run `learn` again";
    Warning TargetsDisagree { pair: &'static str, aim: String, implied: String };
        "`left` and `cross` make the {pair} pair {implied}, but {aim} is wanted: no plan meets all three";
        "left minus cross is the front pair, left plus cross minus 100 % the rear pair, both times the total: drop one \
         target";

    "K018":
    Error Outside { what: String, distance: String, side: Side };
        "{what} lies {distance} {side}";
        "x is measured forward from the rear axle, y to the left of the centre line; `limits: off` under `kart` accepts it";
    Warning MountOutside { mount: String, distance: String, side: Side };
        "mount `{mount}` lies {distance} {side}, beyond the usual kart";
        "x is measured forward from the rear axle, y to the left of the centre line; if it is right, nothing needs to be done";
    Warning SamePlace { mount: String, other: String };
        "mounts `{other}` and `{mount}` are at one place";
        "if they are two, measure again; if they are one, delete one";

    "K019":
    Error NoSuch { what: &'static str, name: String, known: Vec<String>, similar: Option<String> };
        "there is no {what} called `{name}`";
        { match similar {
            Some(name) => format!("a similar one is `{name}`"),
            None if known.is_empty() => format!("this file lists no {what}"),
            None => format!("listed are: {}", list(known)),
        } };
    Error NoSeat;
        "something is said of the seat, but `kart` describes no `seat`";
        "describe the seat under `kart`, or delete it";
    Error NoSpindles;
        "something is said of washers, but `kart` describes no `spindles`";
        "describe the washers under `kart`, or delete it";
    Error NoTank;
        "fuel is aboard, but the scenario describes no tank";
        "describe it under `fuel:`, or write `fuel: none`";

    "K020":
    Warning NeverUsed { mount: String, reason: String };
        "`{mount}` can never be used: {reason}";
        "raise its limit, add a smaller piece, or delete the mount";
    Warning NoMountTakes { kind: String, mass: String, most: Option<String> };
        { match most {
            Some(most) => format!("`{kind}` is {mass}, but no mount that takes it may carry more than {most}"),
            None => format!("no mount takes `{kind}`"),
        } };
        "look at the weight, at `takes` and `pattern`, and at the limits of the mounts";

    "K021":
    Error DriversAlike { name: String, other: String };
        "drivers `{other}` and `{name}` cannot be told apart";
        "give them names that differ by more than capitals";
    Error NoDriverChosen { drivers: Vec<String> };
        { format!("{} drivers are listed, none is chosen, and none sat in the kart last", drivers.len()) };
        { format!("add a line such as `driver: {}`", drivers.first().map_or("...", String::as_str)) };
    Error DriverTwiceInARow { driver: String };
        "`{driver}` drives two stints in a row; that is no change of driver";
        "name each stint's driver once";
    Error NeverWeighed { driver: String };
        "no weighing has `{driver}` in the seat";
        "name somebody who was weighed, or add a weighing with `driver: {driver}`";
    Error NobodyToSwapWith { drivers: usize };
        { match drivers {
            0 => "no driver is listed".into(),
            _ => "a change of driver takes two drivers, and there is one".into(),
        } };
        { match drivers {
            0 | 1 => "list the others under `drivers`, each with a mass or a weighing".into(),
            _ => "name a second driver, for example `kentledge swap kart.yaml --order Sam,Alex`".into(),
        } };

    "K022":
    Warning OutOfReach { driver: Option<String>, needed: String, available: String, limit: &'static str, short: String };
        {
            let who = driver.as_deref().map_or("the kart".into(), |name| format!("`{name}`"));
            format!("{who} needs {needed} of lead, but {limit} {available}: {short} short")
        };
        "`kentledge plan` tells what limits it";

    "K023":
    Error NotInStock { kind: String, wanted: u32, stock: u32 };
        {
            let are = |count: u32| if count == 1 { "is" } else { "are" };
            let (listed, there) = (are(*wanted), are(*stock));
            format!("{wanted} of `{kind}` {listed} listed on mounts, but there {there} {stock}")
        };
        "raise the count of `{kind}`, or list fewer";
    Error LockedBeyondCapacity { mount: String, lead: String, limit: String };
        "locked pieces put {lead} on `{mount}`, whose limit is {limit}";
        "unlock it, take a piece off, or raise the limit if the bracket is made for it";
    Error LockedBeyondRoom { mount: String, stack: String, limit: String };
        "locked pieces stack to {stack} on `{mount}`, whose room is {limit}";
        "unlock it, take a piece off, or raise the limit if the bracket is made for it";
    Error LockedTooMany { mount: String, pieces: u32, limit: u32 };
        "{pieces} pieces are locked on `{mount}`, which takes {limit}";
        "unlock the mount, take the piece off, or change the limit";
    Error LockedNotTaken { mount: String, kind: String };
        "`{kind}` is locked on `{mount}`, which does not take it";
        "unlock the mount, take the piece off, or change the limit";
    Error LockedTooHeavy { mount: String, kind: String, limit: String };
        "`{kind}` is locked on `{mount}`, but no piece may be over {limit}";
        "unlock the mount, take the piece off, or change the limit";
    Error LockedWithFewBolts { mount: String, kind: String, least: u32 };
        "`{kind}` is locked on `{mount}` with fewer bolts than {least}";
        "unlock the mount, take the piece off, or change the limit";
    Error LockedBeyondBolts { mount: String, lead: String, bolts: u32, limit: String };
        "{lead} is locked on `{mount}` with {bolts} bolts, but each may hold {limit}";
        "unlock the mount, take the piece off, or change the limit";
    Error LockedTotal { lead: String, limit: String };
        "locked lead is {lead} together, but the class allows {limit}";
        "unlock a mount, or look at `most_lead` again";
    Warning FittedBeyond { mount: String, lead: String, limit: String };
        "{lead} is fitted on `{mount}`, whose limit is {limit}";
        "the plan will take some off; look at the limit if the bracket is made for more";

    "K024":
    Error Syntax { problem: Syntax };
        "{problem}";
        { problem.help() };

    "K026":
    Warning FrontHeavy { front: String };
        "the readings put {front} % on the front; karts carry more on the rear";
        "lf and rf are the front pads; if the readings are right, add `sure: true` under `scales`";
    Warning SidesSwapped { left: String, aim: String };
        "the readings put {left} % on the left, but {aim} % is wanted: as if left and right were swapped";
        "lf and lr are the left pads, as the driver sees them; if the readings are right, add `sure: true` under `scales`";
    Warning NamedForOtherSide { mount: String, distance: String, side: Side };
        "mount `{mount}` lies {distance} {side}";
        "y is measured to the left, so the right side is negative: look at its sign, or at the name";

    "K028":
    Error OneWeighing;
        "one weighing alone teaches nothing";
        "add one to `weighings`, with a known piece hung on a mount, or the driver out, and `for: learn`";
    Error WeighingsAlike;
        "the same was aboard at all weighings, which teaches nothing";
        "weigh once more with a known difference: a piece on a mount, the driver out";

    "K029":
    Error Contradiction { odd: String };
        "the weighings contradict each other; most of it is {odd}";
        "look at the readings and at what was aboard; nothing was learned, nothing written";
    Error OtherKart;
        "no kart could have shown all these weighings";
        "look at the readings and at what was aboard; nothing was learned, nothing written";

    "K030":
    Error OneRepeat { found: usize };
        { format!("`repeats` holds {}: nothing to compare", counted(*found, "set")) };
        "bounce the kart, roll it off and on and read again; or write the one set under `scales`";
    Error RepeatsDiffer { what: &'static str };
        "these repeats have two {what}";
        "repeats may differ in fuel and lead only; another driver has a `weighing` of their own";
    Warning RepeatsAlike { sets: usize };
        "all {sets} repeats are the same to the last digit";
        "if they were copied, delete the copies; if the pads cannot show less, this is as it is";

    "K031":
    Error OneAngle { lifts: usize };
        { format!("{lifts} lift{} at one angle: no line to fit", if *lifts == 1 { "" } else { "s" }) };
        "lift to at least two angles, such as 10 and 20 degrees; three or more check each other";
    Error LiftAngle { found: String, least: String, most: String };
        "no height can be told from a lift by {found} degrees";
        "lift by {least} to {most} degrees, best between 10 and 25";
    Warning LiftAboard { found: String, most: String };
        "a lift by {found} degrees with a driver aboard: above {most} a kart may roll off or tip";
        "driver out: list a weighing with `driver: none` first, and lift that kart. Brake off, front wheels chocked, no hands \
         under it";
    Error HeightImpossible { found: String };
        "these lifts make the centre of gravity {found} high, where no kart has it";
        "`load` is what the axle on the ground carries: it grows with the angle; look at the radii too";

    "K032":
    Error NoCases { empty: &'static str };
        "`{empty}` of the trip names nothing, so there is no case to pack for";
        "name at least one, or leave the line away";
    Error RangeBackwards { from: String, to: String };
        "the range of front % goes from {from} down to {to}";
        "write the smaller share under `from`";
    Error PriceMissing { size: String, with: String };
        "`{size}` has no price, but `{with}` has one";
        "give every size a price, or none: then each piece bought counts as one";
    Error SizeFitsNowhere { size: String, mass: String, most: Option<String> };
        { match most {
            Some(most) => format!("`{size}` ({mass}) fits no mount that takes it; the strongest carries {most}"),
            None => format!("`{size}` is on the list, but no open mount takes it"),
        } };
        "look at its mass and thickness, at `capacity`, `room` and `takes` of the mounts; or leave it away";
}
