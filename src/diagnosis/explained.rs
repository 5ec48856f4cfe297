//! What every code means, for people without a network: one paragraph, one wrong and one right example.
//! Takes a code or its name; gives the text, or the nearest name.
//! Does not know how it is laid out. A test reads every example: the wrong one must yield its code, the right one none.

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

const fn lines(wrong: &'static str, right: &'static str) -> Example {
    Example { wrong, right, in_a_scenario: true }
}

const fn commands(wrong: &'static str, right: &'static str) -> Example {
    Example { wrong, right, in_a_scenario: false }
}

/// Every code there is, in order.
pub const ALL: &[Explanation] = &[
    Explanation {
        code: "K001",
        name: "file-not-found",
        summary: "The scenario file is not there, or may not be read.",
        reason: "The name is taken as typed, from the folder in which the command runs. If a file with a similar name \
                 is in that folder, the message names it.",
        example: commands("kentledge check kart.yml", "kentledge check kart.yaml"),
    },
    Explanation {
        code: "K002",
        name: "empty-file",
        summary: "The file holds no settings: it is empty, or holds remarks only.",
        reason: "Start from the file that `kentledge new kart.yaml` writes; it solves as it is.",
        example: commands("kentledge check empty.yaml", "kentledge check kart.yaml"),
    },
    Explanation {
        code: "K003",
        name: "not-plain-text",
        summary: "The file is not plain text in UTF-8, or is longer than 64 KiB.",
        reason: "A spreadsheet, a word-processor file or a picture cannot be a scenario, whatever its name ends in. \
                 Save it as plain text, UTF-8. A scenario is two or three KiB long.",
        example: commands("kentledge check kart.ods", "kentledge check kart.yaml"),
    },
    Explanation {
        code: "K004",
        name: "odd-character",
        summary: "A tab stands in an indent, or a character only looks like one of the keyboard's.",
        reason: "YAML indents with spaces. Editors and web pages like to put curly quotes, no-break spaces, dashes or \
                 full-width digits where plain ones are meant; they cannot be told apart by eye, so the message names \
                 them.",
        example: lines("\twheelbase: 1041", "  wheelbase: 1041"),
    },
    Explanation {
        code: "K005",
        name: "decimal-comma",
        summary: "A number has a comma where it needs a dot.",
        reason: "In YAML a comma divides values, so `2,5` could be two of them. Nothing is guessed, also not that a \
                 comma stands between thousands.",
        example: lines("  minimum: 156,5", "  minimum: 156.5"),
    },
    Explanation {
        code: "K006",
        name: "unknown-unit",
        summary: "A unit is not known, or is of the wrong kind.",
        reason: "Weights: kg, g, lb, oz. Lengths: mm, cm, m, in, ft. Fuel: L, mL, gal, or a weight. A number without a \
                 unit is in the units that the first line of the file names.",
        example: lines("  Sam: {mass: 11 stone}", "  Sam: {mass: 154 lb}"),
    },
    Explanation {
        code: "K007",
        name: "units-missing",
        summary: "Nothing says in which units bare numbers are.",
        reason: "41.5 may be inches or millimetres, and a plan for the wrong ones could hurt somebody. The first line \
                 of a file is `units: kg-mm` or `units: lb-in`; any value may carry its own unit besides. On the \
                 command line write the unit behind the number, or `--units`.",
        example: lines("units: metric", "units: kg-mm"),
    },
    Explanation {
        code: "K008",
        name: "unknown-setting",
        summary: "A setting is not known here: it is misspelt, or stands in the wrong place.",
        reason: "A setting that is silently ignored would be worse than one that is refused. For your own notes use \
                 `note:`, or a name that starts with `x-`; those are allowed everywhere.",
        example: lines("  wheelbse: 1041", "  wheelbase: 1041"),
    },
    Explanation {
        code: "K009",
        name: "listed-twice",
        summary: "One name is used twice where it must be unique.",
        reason: "Most programs quietly keep one of the two. Here neither is kept: rename one, or delete it.",
        example: lines(
            "  nose: {x: 900, y: 0, capacity: 2}\n  nose: {x: 800, y: 0, capacity: 5}",
            "  nose: {x: 900, y: 0, capacity: 2}\n  floor: {x: 800, y: 0, capacity: 5}",
        ),
    },
    Explanation {
        code: "K010",
        name: "wrong-kind-of-value",
        summary: "A value is of another kind than the setting takes.",
        reason: "Counts are written with digits. What can be true or false is written `true` or `false`: YAML programs \
                 disagree about `yes`, `no`, `on` and `off`. Names have at most 80 characters, all of them visible.",
        example: lines("  puck: {mass: 1, count: two}", "  puck: {mass: 1, count: 2}"),
    },
    Explanation {
        code: "K011",
        name: "cut-by-remark",
        summary: "A name was cut: YAML takes everything after ` #` for a remark.",
        reason: "The file is used, with the short name. Put the whole name in quotes.",
        example: lines("  name: kart #7", "  name: \"kart #7\""),
    },
    Explanation {
        code: "K012",
        name: "value-missing",
        summary: "Something that is needed is not there.",
        reason: "What was on the kart when it was weighed is never assumed, and neither is where a weight acts. The \
                 message says what to add; what may be left out has a default, which `kentledge new` shows as a remark.",
        example: lines(
            "  scales: {lf: 30.6, rf: 31.7, lr: 42}",
            "  scales:\n    {lf: 30.6, rf: 31.7, lr: 42, rr: 44}",
        ),
    },
    Explanation {
        code: "K013",
        name: "out-of-bounds",
        summary: "A number is beyond what a kart can have, or is no number at all.",
        reason: "The bounds are wide and only catch slips: a wrong unit, a lost dot, a sign. If yours is no usual kart, \
                 `limits: off` under `kart` leaves only those bounds without which nothing can be computed.",
        example: lines("  wheelbase: 10.41", "  wheelbase: 1041"),
    },
    Explanation {
        code: "K014",
        name: "suspect-units",
        summary: "The readings look as if the pads showed the other units.",
        reason: "The file is used as written. A kart with its driver weighs 85 to 260 kg on the pads (common practice, \
                 no published source). If the readings are right, add `sure: true` under `scales`.",
        example: lines(
            "  scales: {lf: 67, rf: 70, lr: 93, rr: 97}",
            "  scales: {lf: 67 lb, rf: 70 lb,\n           lr: 93 lb, rr: 97 lb}",
        ),
    },
    Explanation {
        code: "K015",
        name: "weights-disagree",
        summary: "Readings and the weights of what was aboard cannot both be true.",
        reason: "The readings without driver, fuel and lead must leave a kart of 25 to 400 kg, and two weighings of one \
                 kart must tell the same kart. Usually lead was still bolted on, or somebody else sat in the seat: look \
                 at `aboard`.",
        example: lines("  Sam: {mass: 139.9}", "  Sam: {mass: 69.9}"),
    },
    Explanation {
        code: "K016",
        name: "not-a-percentage",
        summary: "A share of the total is not given in percent.",
        reason: "Shares are percentages from 20 to 80. A fraction such as 0.43 is not turned into 43 quietly, since \
                 0.43 % could have been meant for a tolerance.",
        example: lines("  front: {aim: 0.43, within: 0.5}", "  front: {aim: 43, within: 0.5}"),
    },
    Explanation {
        code: "K017",
        name: "contradiction",
        summary: "Two settings cannot both hold.",
        reason: "Front and rear percent add to 100, a tank does not fill up during a race, and left, cross and a pair \
                 are tied to each other by what they mean. Give one of the two.",
        example: lines(
            "  front: {aim: 43, within: 0.5}\n  rear: {aim: 58, within: 0.5}",
            "  front: {aim: 43, within: 0.5}",
        ),
    },
    Explanation {
        code: "K018",
        name: "odd-place",
        summary: "A place lies outside of the kart, or two mounts are at one place.",
        reason: "x is measured forward from the rear axle, y to the left of the centre line (so the right side is \
                 negative), z up from the ground. For a mount this is a warning, for a driver or a tank an error; \
                 `limits: off` under `kart` accepts all of it.",
        example: lines("  nose: {x: 1900, y: 0, capacity: 2}", "  nose: {x: 1200, y: 0, capacity: 2}"),
    },
    Explanation {
        code: "K019",
        name: "no-such-name",
        summary: "A name is used that the file does not list.",
        reason: "Drivers, mounts, tanks and pieces of lead are known by the names under which they are listed, capitals \
                 included. The message lists them, or the one that is nearest.",
        example: lines(
            "  aboard: {driver: Sem, fuel: start,\n           lead: none}",
            "  aboard: {driver: Sam, fuel: start,\n           lead: none}",
        ),
    },
    Explanation {
        code: "K020",
        name: "cannot-be-used",
        summary: "No piece can go on a mount, or no mount takes a piece.",
        reason: "The file is used. Usually a limit has lost a digit, or a piece is heavier than anything the brackets \
                 may carry.",
        example: lines("  nose: {x: 900, y: 0, capacity: 0.2}", "  nose: {x: 900, y: 0, capacity: 2}"),
    },
    Explanation {
        code: "K021",
        name: "which-driver",
        summary: "Several drivers are listed and none is chosen, or two cannot be told apart.",
        reason: "Choose one with a line such as `driver: Sam` in the file, or with `--driver Sam`. Names must differ by \
                 more than capitals.",
        example: lines(
            "  Sam: {mass: 69.9, x: 442, y: 18}\n  sam: {mass: 61, x: 440, y: 10}",
            "  Sam: {mass: 69.9, x: 442, y: 18}\n  Alex: {mass: 68, x: 440, y: 10}",
        ),
    },
    Explanation {
        code: "K022",
        name: "out-of-reach",
        summary: "All the lead there is does not reach the class minimum.",
        reason: "`check` warns of it by adding up what there is; `plan` proves it, says by how much and what limits it, \
                 and ends with exit code 4. More lead, or mounts that may carry more, are the only cure.",
        example: lines("  minimum: 186", "  minimum: 156"),
    },
    Explanation {
        code: "K023",
        name: "over-a-limit",
        summary: "More is fitted than a limit, a rule or the box allows.",
        reason: "Where the mount is locked this is an error, since nothing may be changed there. Where it is not, it is \
                 a warning: the plan takes off what is too much.",
        example: lines("fitted:\n  seat_left: {slab: 4}", "fitted:\n  seat_left: {slab: 1}"),
    },
    Explanation {
        code: "K024",
        name: "not-yaml",
        summary: "A line cannot be read as YAML.",
        reason: "Usually it lacks the space after a colon, a closing quote or bracket, or it is indented differently from \
                 its neighbours. The message shows the line as it was probably meant.",
        example: lines("  track_front:1080", "  track_front: 1080"),
    },
    Explanation {
        code: "K025",
        name: "command-line",
        summary: "The command line cannot be followed.",
        reason: "Nothing was read or written. `kentledge plan --help` and its like show examples that work.",
        example: commands("kentledge plan kart.yaml --time 0", "kentledge plan kart.yaml --time 10"),
    },
    Explanation {
        code: "K026",
        name: "swapped-sides",
        summary: "Left and right, or front and rear, look swapped.",
        reason: "The file is used as written. Karts carry more than half of their weight on the rear (common practice, no \
                 published source), a kart set up for turning left does not weigh as one for turning right, and a mount \
                 with `left` in its name should be on the left. If readings are right, add `sure: true` under `scales`. Where \
                 left is wanted at 50 % no number tells the sides apart: press on the kart's left front corner and see \
                 whether LF answers.",
        example: lines(
            "  scales:\n    {lf: 42, rf: 44, lr: 30.6, rr: 31.7}",
            "  scales:\n    {lf: 30.6, rf: 31.7, lr: 42, rr: 44}",
        ),
    },
    Explanation {
        code: "K027",
        name: "plan-not-known",
        summary: "What was fitted `as planned` cannot be told.",
        reason: "`lead: as planned` stands for what `plan` answered before that weighing, so the plan is made again. If no \
                 legal plan exists, or it cannot be proved in the time given, nobody knows which one was fitted. List the \
                 lead instead, or give the search longer.",
        example: commands("kentledge plan no-plan.yaml", "kentledge plan four-weighings.yaml"),
    },
    Explanation {
        code: "K028",
        name: "nothing-to-learn",
        summary: "The weighings differ in nothing that is known.",
        reason: "A kart is learned from what changes when something known changes: a piece hung on a mount, the driver in and \
                 out, one washer moved, the seat at another hole. Weigh once more so, and list it under `weighings`.",
        example: commands("kentledge learn kart.yaml", "kentledge learn four-weighings.yaml"),
    },
    Explanation {
        code: "K029",
        name: "weighings-contradict",
        summary: "No kart could have shown all these weighings.",
        reason: "The readings differ by far more than pads, tape and frame explain. Most often a piece hung on another mount \
                 than the file says, somebody else sat in the seat, or two readings are swapped. Nothing is learned from \
                 such weighings, and nothing is written.",
        example: commands("kentledge learn swapped.yaml", "kentledge learn four-weighings.yaml"),
    },
    Explanation {
        code: "K030",
        name: "repeats",
        summary: "Repeated sets of readings cannot be compared, or were copied.",
        reason: "A single set says nothing of how well the pads repeat, and sets with different drivers are different \
                 weighings. Sets that are equal to the last digit are used, with a warning: usually one was copied.",
        example: lines(
            "  repeats:\n    - {lf: 30.6, rf: 31.7, lr: 42, rr: 44}",
            "  repeats:\n    - {lf: 30.6, rf: 31.7, lr: 42, rr: 44}\n    - {lf: 30.8, rf: 31.6, lr: 42, rr: 44}",
        ),
    },
    Explanation {
        code: "K031",
        name: "lifts",
        summary: "A height of the centre of gravity cannot be told from these lifts.",
        reason: "The height is the slope of a line through lifts at several angles: level ground lifts nothing, a kart on \
                 end has no load left on one axle, and lifts at one angle have no slope.",
        example: lines(
            "height:\n  radius_front: 125\n  radius_rear: 140\n  lifts:\n  - {raised: rear, angle: 0, load: 62}\n  - {raised: \
             rear, angle: 20, load: 69}\n# What the tyres should carry:",
            "height:\n  radius_front: 125\n  radius_rear: 140\n  lifts:\n  - {raised: rear, angle: 10, load: 66}\n  - {raised: \
             rear, angle: 20, load: 69}\n# What the tyres should carry:",
        ),
    },
    Explanation {
        code: "K032",
        name: "trip",
        summary: "A trip cannot be packed for as it is written.",
        reason: "Without a driver, a class or targets there is no case to serve; where some sizes have prices and others have \
                 none, nobody knows what is cheaper; and a size that fits no mount would be bought for nothing.",
        example: lines(
            "trip:\n  buy:\n    bar: {mass: 1.5, price: 9, most: 2}\n    coin: {mass: 0.5, most: 4}\n# What the tyres \
             should carry:",
            "trip:\n  buy:\n    bar: {mass: 1.5, price: 9, most: 2}\n    coin: {mass: 0.5, price: 4, most: 4}\n# What the \
             tyres should carry:",
        ),
    },
];
