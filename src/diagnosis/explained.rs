//! What every code means, for people without a network: one paragraph, one wrong and one right example.
//! A test reads every example: the wrong one must yield its code, the right one none.

use schemars::JsonSchema;
use serde::Serialize;

/// One code explained.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[schemars(rename = "Code")]
pub struct Explanation {
    /// `K001` and so on; stable.
    pub code: &'static str,
    /// The same in words, joined by hyphens; stable too.
    pub name: &'static str,
    /// What is wrong, in one sentence.
    pub summary: &'static str,
    /// Why that matters and what helps.
    pub reason: &'static str,
    /// One wrong and one right way to write it.
    #[serde(flatten)]
    pub example: Example,
}

/// An example of a code. Lines are short enough for a phone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Example {
    /// One wrong way to write it.
    pub wrong: &'static str,
    /// One right way to write it.
    pub right: &'static str,
    /// Whether the examples are lines of a scenario rather than command lines.
    pub in_a_scenario: bool,
}

/// Why a code cannot be explained.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoSuchCode {
    /// The nearest one, if any is near.
    pub similar: Option<&'static str>,
}

/// The explanation of a code or name, in capitals or not.
pub fn explained(word: &str) -> Result<&'static Explanation, NoSuchCode> {
    /// Letters that may differ; codes themselves differ by one, so only names are compared.
    const MOST_DIFFERENT: usize = 3;
    let wanted = word.trim().to_lowercase().replace([' ', '_'], "-");
    let found = ALL.iter().find(|one| one.code.to_lowercase() == wanted || one.name == wanted);
    found.ok_or_else(|| {
        let distances = ALL.iter().map(|one| (strsim::osa_distance(&wanted, one.name), one.name));
        let nearest = distances.min().filter(|(distance, _)| *distance <= MOST_DIFFERENT);
        NoSuchCode { similar: nearest.map(|(_, name)| name) }
    })
}

/// Makes the table of explanations: code and name, summary, reason, and a wrong and a right example.
macro_rules! explanations {
    (Lines) => { true };
    (Commands) => { false };
    ($($code:literal $name:literal: $summary:literal $reason:literal $kind:ident $wrong:literal => $right:literal;)+) => {
        /// Every code there is, in order.
        pub const ALL: &[Explanation] = &[$(Explanation {
            code: $code,
            name: $name,
            summary: $summary,
            reason: $reason,
            example: Example { wrong: $wrong, right: $right, in_a_scenario: explanations!($kind) },
        }),+];
    };
}

explanations! {
    "K001" "file-not-found": "The scenario file is not there, or may not be read."
        "The name is taken as typed, from the folder in which the command runs. If a file with a similar name \
         is in that folder, the message names it."
        Commands "kentledge check kart.yml" => "kentledge check kart.yaml";

    "K002" "empty-file": "The file holds no settings: it is empty, or holds comments only."
        "Start from the file that `kentledge new kart.yaml` writes; it solves as it is."
        Commands "kentledge check empty.yaml" => "kentledge check kart.yaml";

    "K003" "not-plain-text": "The file is not plain text in UTF-8, or is longer than 64 KiB."
        "A spreadsheet, a word-processor file or a picture cannot be a scenario, whatever its name ends in. \
         Save it as plain text, UTF-8. A scenario is two or three KiB long."
        Commands "kentledge check kart.ods" => "kentledge check kart.yaml";

    "K004" "odd-character": "A tab stands in an indent, or a character only looks like one of the keyboard's."
        "YAML indents with spaces. Editors and web pages like to put curly quotes, no-break spaces, dashes or \
         full-width digits where plain ones are meant; they cannot be told apart by eye, so the message names \
         them."
        Lines "\twheelbase: 1041" => "  wheelbase: 1041";

    "K005" "decimal-comma": "A number has a comma where it needs a dot."
        "In YAML a comma divides values, so `2,5` could be two of them. Nothing is guessed, also not that a \
         comma stands between thousands."
        Lines "  minimum: 156,5" => "  minimum: 156.5";

    "K006" "unknown-unit": "A unit is not known, or is of the wrong kind."
        "Weights: kg, g, lb, oz. Lengths: mm, cm, m, in, ft. Fuel: L, mL, gal, or a weight. A number without a \
         unit is in the units that the first line of the file names."
        Lines "  Sam: {mass: 11 stone}" => "  Sam: {mass: 154 lb}";

    "K007" "units-missing": "Nothing says in which units bare numbers are."
        "41.5 may be inches or millimetres, and a plan for the wrong ones could hurt somebody. The first line \
         of a file is `units: kg-mm` or `units: lb-in`; any value may carry its own unit besides. On the \
         command line write the unit behind the number, or `--units`."
        Lines "units: metric" => "units: kg-mm";

    "K008" "unknown-setting": "A setting is not known here: it is misspelt, or stands in the wrong place."
        "A setting that is silently ignored would be worse than one that is refused. For your own notes use \
         `note:`, or a name that starts with `x-`; those are allowed everywhere."
        Lines "  wheelbse: 1041" => "  wheelbase: 1041";

    "K009" "listed-twice": "One name is used twice where it must be unique."
        "Most programs quietly keep one of the two. Here neither is kept: rename one, or delete it."
        Lines "  nose: {x: 900, y: 0, capacity: 2}\n  nose: {x: 800, y: 0, capacity: 5}"
        => "  nose: {x: 900, y: 0, capacity: 2}\n  floor: {x: 800, y: 0, capacity: 5}";

    "K010" "wrong-kind-of-value": "A value is of another kind than the setting takes."
        "Counts are written with digits. What can be true or false is written `true` or `false`: YAML programs \
         disagree about `yes`, `no`, `on` and `off`. Names have at most 80 characters, all of them visible."
        Lines "  puck: {mass: 1, count: two}" => "  puck: {mass: 1, count: 2}";

    "K011" "cut-by-comment": "A name was cut: YAML takes everything after ` #` for a comment."
        "The file is used, with the short name. Put the whole name in quotes."
        Lines "  name: kart #7" => "  name: \"kart #7\"";

    "K012" "value-missing": "Something that is needed is not there."
        "What was on the kart when it was weighed is never assumed. The \
         message says what to add; what may be left out has a default, which `kentledge new` shows as a comment."
        Lines "  scales: {lf: 30.6, rf: 31.7, lr: 42}"
        => "  scales:\n    {lf: 30.6, rf: 31.7, lr: 42, rr: 44}";

    "K013" "out-of-bounds": "A number is beyond what a kart can have, or is no number at all."
        "The bounds are wide and only catch slips: a wrong unit, a lost dot, a sign. If yours is no usual kart, \
         `limits: off` under `kart` leaves only those bounds without which nothing can be computed."
        Lines "  wheelbase: 10.41" => "  wheelbase: 1041";

    "K014" "suspect-units": "The readings look as if the pads showed the other units."
        "The file is used as written. A kart with its driver weighs 85 to 260 kg on the pads (common practice, \
         no published source). If the readings are right, add `sure: true` under `scales`."
        Lines "  scales: {lf: 67, rf: 70, lr: 93, rr: 97}"
        => "  scales: {lf: 67 lb, rf: 70 lb,\n           lr: 93 lb, rr: 97 lb}";

    "K015" "weights-disagree": "Readings and the weights of what was aboard cannot both be true."
        "The readings without driver, fuel and lead must leave a kart of 25 to 400 kg, and two weighings of one \
         kart must tell the same kart. Usually lead was still bolted on, or somebody else sat in the seat: look \
         at `aboard`."
        Lines "  Sam: {mass: 139.9}" => "  Sam: {mass: 69.9}";

    "K016" "not-a-percentage": "A share of the total is not given in percent."
        "Shares are percentages from 20 to 80. A fraction such as 0.43 is not turned into 43 quietly, since \
         0.43 % could have been meant for a tolerance."
        Lines "  front: {aim: 0.43, within: 0.5}" => "  front: {aim: 43, within: 0.5}";

    "K017" "contradiction": "Two settings cannot both hold."
        "Front and rear percent add to 100, a tank does not fill up during a race, and left, cross and a pair \
         are tied to each other by what they mean. Give one of the two."
        Lines "  front: {aim: 43, within: 0.5}\n  rear: {aim: 58, within: 0.5}"
        => "  front: {aim: 43, within: 0.5}";

    "K018" "odd-place": "A place lies outside of the kart, or two mounts are at one place."
        "x is measured forward from the rear axle, y to the left of the centre line (so the right side is \
         negative), z up from the ground. For a mount this is a warning, for a driver or a tank an error; \
         `limits: off` under `kart` accepts all of it."
        Lines "  nose: {x: 1900, y: 0, capacity: 2}" => "  nose: {x: 1200, y: 0, capacity: 2}";

    "K019" "no-such-name": "A name is used that the file does not list."
        "Drivers, mounts, tanks and pieces of lead are known by the names under which they are listed, capitals \
         included. The message lists them, or the one that is nearest."
        Lines "  aboard: {driver: Sem, fuel: start,\n           lead: none}"
        => "  aboard: {driver: Sam, fuel: start,\n           lead: none}";

    "K020" "cannot-be-used": "No piece can go on a mount, or no mount takes a piece."
        "The file is used. Usually a limit has lost a digit, or a piece is heavier than anything the brackets \
         may carry."
        Lines "  nose: {x: 900, y: 0, capacity: 0.2}" => "  nose: {x: 900, y: 0, capacity: 2}";

    "K021" "which-driver": "Nobody can tell which driver is meant."
        "A plan is for who sat in the kart last, unless a line such as `driver: Sam` in the file, or `--driver Sam`, says \
         otherwise; with several listed and an empty seat on the pads the file has to say it. Names must differ by more \
         than capitals."
        Lines "  Sam: {mass: 69.9, x: 442, y: 18}\n  sam: {mass: 61, x: 440, y: 10}"
        => "  Sam: {mass: 69.9, x: 442, y: 18}\n  Alex: {mass: 68, x: 440, y: 10}";

    "K022" "out-of-reach": "All the lead there is does not reach the class minimum."
        "`check` warns of it by adding up what there is; `plan` proves it, says by how much and what limits it, \
         and ends with exit code 4. More lead, or mounts that may carry more, are the only cure."
        Lines "  minimum: 186" => "  minimum: 156";

    "K023" "over-a-limit": "More is fitted than a limit, a rule or the box allows."
        "Where the mount is locked this is an error, since nothing may be changed there. Where it is not, it is \
         a warning: the plan takes off what is too much."
        Lines "fitted:\n  seat_left: {slab: 4}" => "fitted:\n  seat_left: {slab: 1}";

    "K024" "not-yaml": "A line cannot be read as YAML."
        "Usually it lacks the space after a colon, a closing quote or bracket, or it is indented differently from \
         its neighbours. The message shows the line as it was probably meant."
        Lines "  track_front:1080" => "  track_front: 1080";

    "K025" "command-line": "The command line cannot be followed."
        "Nothing was read or written. `kentledge plan --help` and its like show examples that work."
        Commands "kentledge plan kart.yaml --time 0" => "kentledge plan kart.yaml --time 10";

    "K026" "swapped-sides": "Left and right, or front and rear, look swapped."
        "The file is used as written. Karts carry more than half of their weight on the rear (common practice, no \
         published source), a kart set up for turning left does not weigh as one for turning right, and a mount \
         with `left` in its name should be on the left. If readings are right, add `sure: true` under `scales`. Where \
         left is wanted at 50 % no number tells the sides apart: press on the kart's left front corner and see \
         whether LF answers."
        Lines "  scales:\n    {lf: 42, rf: 44, lr: 30.6, rr: 31.7}"
        => "  scales:\n    {lf: 30.6, rf: 31.7, lr: 42, rr: 44}";

    "K028" "nothing-to-learn": "The weighings differ in nothing that is known."
        "A kart is learned from what changes when something known changes: a piece hung on a mount, the driver in and \
         out, one washer moved, the seat at another hole. Weigh once more so, and add it to `weighings` with `for: learn`."
        Commands "kentledge learn kart.yaml" => "kentledge learn four-weighings.yaml";

    "K029" "weighings-contradict": "No kart could have shown all these weighings."
        "The readings differ by far more than pads, tape and frame explain. Most often a piece hung on another mount \
         than the file says, somebody else sat in the seat, or two readings are swapped. Nothing is learned from \
         such weighings, and nothing is written."
        Commands "kentledge learn swapped.yaml" => "kentledge learn four-weighings.yaml";

    "K030" "repeats": "Repeated sets of readings cannot be compared, or were copied."
        "A single set says nothing of how well the pads repeat, and sets with different drivers are different \
         weighings. Sets that are equal to the last digit are used, with a warning: usually one was copied."
        Lines "  repeats:\n    - {lf: 30.6, rf: 31.7, lr: 42, rr: 44}"
        => "  repeats:\n    - {lf: 30.6, rf: 31.7, lr: 42, rr: 44}\n    - {lf: 30.8, rf: 31.6, lr: 42, rr: 44}";

    "K031" "lifts": "A height of the centre of gravity cannot be told from these lifts, or not safely."
        "The height is the slope of a line through lifts at several angles: level ground lifts nothing, a kart on \
         end has no load left on one axle, and lifts at one angle have no slope. With a driver aboard 10 degrees are \
         taken to be the most (common practice, no published source): driver out, brake off, front wheels chocked, no \
         hands under the kart."
        Lines "height:\n  radius_front: 125\n  radius_rear: 140\n  lifts:\n  - {raised: rear, angle: 0, load: 62}\n  - {raised: \
         rear, angle: 20, load: 69}\n# What the tyres should carry:"
        => "height:\n  radius_front: 125\n  radius_rear: 140\n  lifts:\n  - {raised: rear, angle: 5, load: 65}\n  - {raised: \
         rear, angle: 10, load: 66.5}\n# What the tyres should carry:";

    "K032" "trip": "A trip cannot be packed for as it is written."
        "Without a driver, a class or targets there is no case to serve; where some sizes have prices and others have \
         none, nobody knows what is cheaper; and a size that fits no mount would be bought for nothing."
        Lines "trip:\n  buy:\n    bar: {mass: 1.5, price: 9, most: 2}\n    coin: {mass: 0.5, most: 4}\n# What the tyres \
         should carry:"
        => "trip:\n  buy:\n    bar: {mass: 1.5, price: 9, most: 2}\n    coin: {mass: 0.5, price: 4, most: 4}\n# What the \
         tyres should carry:";
}
