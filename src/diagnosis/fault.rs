//! The kinds of fault and what each has to say for itself.
//! Takes the facts as named fields, quantities already written in the units of the file; gives code and
//! severity.
//! Does not know the words (`words`), nor where in the file the fault is.

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Severity {
    /// The file cannot be used.
    Error,
    /// The file can be used, but look here.
    Warning,
}

impl Severity {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
        }
    }
}

/// What a number measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dimension {
    /// A mass, which the trade calls weight.
    Mass,
    /// A length.
    Length,
    /// A share of the total.
    Percent,
    /// An amount of fuel: a volume or a mass.
    Fuel,
    /// Mass per volume.
    Density,
    /// A number without a unit.
    Number,
}

/// On which side of the kart something lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Behind the rear axle.
    Behind,
    /// Ahead of the front axle.
    Ahead,
    /// Left of the centre line.
    Left,
    /// Right of the centre line.
    Right,
}

impl Side {
    /// Seen from what it is measured from.
    pub(super) const fn words(self) -> &'static str {
        match self {
            Side::Behind => "behind the rear axle",
            Side::Ahead => "ahead of the front axle",
            Side::Left => "left of the centre line",
            Side::Right => "right of the centre line",
        }
    }
}

/// Why what is locked on a mount may not be there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LockedClash {
    /// More than the mount carries.
    Capacity {
        /// On it.
        lead: String,
        /// Its limit.
        limit: String,
    },
    /// Thicker than its room.
    Room {
        /// Thickness of the stack.
        stack: String,
        /// Its limit.
        limit: String,
    },
    /// More pieces than it takes.
    Pieces {
        /// On it.
        pieces: u32,
        /// Its limit.
        limit: u32,
    },
    /// A kind that the mount does not take.
    Takes {
        /// That kind.
        kind: String,
    },
    /// A piece heavier than the class allows.
    LargestPiece {
        /// That kind.
        kind: String,
        /// The rule.
        limit: String,
    },
    /// A piece with fewer bolts than the class wants.
    FewestBolts {
        /// That kind.
        kind: String,
        /// The rule.
        least: u32,
    },
    /// More mass on each bolt of the mount than the class allows.
    MassPerBolt {
        /// On the mount.
        lead: String,
        /// Its bolts.
        bolts: u32,
        /// The rule.
        limit: String,
    },
}

/// What breaks the grammar of YAML.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Syntax {
    /// `wheelbase:1040`.
    NoSpaceAfterColon {
        /// The key.
        key: String,
        /// The line as it should be.
        fixed: String,
    },
    /// A quote is opened and never closed.
    OpenQuote,
    /// A brace or bracket is opened and never closed, or holds something that cannot be there.
    OpenBracket {
        /// The bracket that is open.
        open: char,
        /// What should close it.
        close: char,
    },
    /// A line that stands between two levels.
    Indent {
        /// Spaces before it.
        found: usize,
        /// Spaces before its neighbour.
        neighbour: usize,
    },
    /// A name with ` #` in it lost its colon.
    CutByComment,
    /// A line without a colon where a setting is wanted.
    NoColon,
    /// Two colons in one line.
    TwoColons,
    /// A value that starts with a character that means something to YAML.
    ReservedStart {
        /// That character.
        character: char,
    },
    /// A list and settings in one block.
    ListAmongSettings,
    /// `*name` without `&name` before it.
    NoSuchAnchor,
    /// Brackets within brackets without end.
    TooDeep,
    /// Aliases that unfold to far more values than the file holds.
    Unfolds,
    /// `!word` before a value.
    Tag,
    /// A list or settings in place of a key.
    KeyNotText,
    /// A control character.
    ControlCharacter,
    /// A second document.
    SecondDocument,
    /// Anything else.
    Other,
}

/// One way in which an input can be wrong.
#[derive(Clone, Debug, PartialEq)]
#[expect(missing_docs, reason = "the fields are the blanks of the sentences in `words`, and are named so")]
pub enum Fault {
    /// K001
    FileMissing { file: String, folder: String, similar: Option<String> },
    /// K001
    FileUnreadable { file: String, reason: String },
    /// K002
    Empty,
    /// K003
    NotText { looks_like: Option<&'static str> },
    /// K003
    TooLong { bytes: usize, most: usize },
    /// K004
    TabIndent,
    /// K004
    OddCharacter { name: &'static str, looks_like: &'static str, code_point: u32 },
    /// K005
    DecimalComma { dimension: Dimension, instead: String, thousands: Option<String> },
    /// K006
    UnknownUnit { unit: String, dimension: Dimension },
    /// K006
    WrongUnit { key: String, dimension: Dimension, unit: String, unit_dimension: Dimension },
    /// K007
    UnitsMissing,
    /// K007
    UnitsUnknown { found: String },
    /// K008
    UnknownKey { key: String, within: String, similar: Option<String> },
    /// K008
    MergeKey,
    /// K009
    Twice { key: String, first_line: usize },
    /// K009
    TwoNamesForOne { key: String, other: String },
    /// K009
    KindTwice { name: String, family: String },
    /// K009
    SizeOwned { size: String },
    /// K010
    NotBoolean { key: String, found: String },
    /// K010
    NotWhole { key: String, found: String, instead: Option<u32> },
    /// K010
    NotAChoice { key: String, choices: Vec<&'static str>, found: String },
    /// K010
    NotAQuantity { key: String, dimension: Dimension, found: String },
    /// K010
    NotSettings { key: String, found: String, example: &'static str },
    /// K010
    NotAList { key: String, found: String, example: &'static str },
    /// K010
    NotAName { key: String, found: String },
    /// K010
    NameTooLong { key: String, characters: usize, most: usize },
    /// K010
    NameUnprintable { key: String },
    /// K010
    NameReserved { what: &'static str, name: String },
    /// K010
    GoalsNotFour { found: Vec<String> },
    /// K010
    PadsNotFour,
    /// K011
    NameCut { key: String, read: String, whole: String },
    /// K012
    Missing { within: String, key: &'static str, example: &'static str },
    /// K012
    NoValue { key: String },
    /// K012
    ReadingMissing { corner: &'static str },
    /// K012
    SeatHoleMissing,
    /// K012
    TankMissing { tank: String },
    /// K012
    HalfAPlace { within: String, key: &'static str },
    /// K012
    ThicknessMissing { kind: String, mount: String },
    /// K012
    KindBoltsMissing { kind: String },
    /// K012
    MountBoltsMissing { mount: String },
    /// K012
    DriverPlaceMissing { driver: String, aboard: Option<String> },
    /// K012
    AboardPlaceMissing { driver: String, needed_for: String },
    /// K012
    HeightUnknown,
    /// K012
    HowHigh { what: String },
    /// K012
    DriverMassMissing { driver: String },
    /// K012
    AfterWithoutDriver,
    /// K013
    OutOfBounds {
        key: String,
        of: &'static str,
        wanted: String,
        found: String,
        lifts: bool,
        other_unit: Option<String>,
    },
    /// K013
    TooMany { what: &'static str, most: usize, found: usize },
    /// K013
    TooManyWays { most: usize, found: usize },
    /// K013
    TooMuchLead { most: String },
    /// K013
    TooLargeTogether,
    /// K014
    SuspectUnits { sum: String, other_units: &'static str, other_sum: String },
    /// K015
    PartsTooHeavy { sum: String, parts: String, kart: String },
    /// K015
    WeighingsDisagree { driver: String, given: String, weighed: String, apart: String },
    /// K015
    DerivedMass { driver: String, shown: String },
    /// K015
    OtherDriverAboard { driver: String, aboard: String },
    /// K016
    PercentOutOfRange { key: String, range: String, found: String, instead: Option<String> },
    /// K017
    FrontAndRear { front: String, rear: String, sum: String },
    /// K017
    BothGiven { first: &'static str, second: &'static str },
    /// K017
    FuelGrows { tank: String, start: String, finish: String },
    /// K017
    RollShareFalls,
    /// K017
    NowOutside { key: &'static str, now: i32, from: i32, to: i32 },
    /// K017
    WashersDisagree { side: &'static str, found: u32, there: u32 },
    /// K017
    EffectUnbalanced { sum: String },
    /// K017
    PlannedBeforeLearned,
    /// K017
    LearnedFromMore { known: usize, listed: usize },
    /// K017
    TargetsDisagree { pair: &'static str, aim: String, implied: String },
    /// K018
    Outside { what: String, distance: String, side: Side },
    /// K018
    MountOutside { mount: String, distance: String, side: Side },
    /// K018
    SamePlace { mount: String, other: String },
    /// K019
    NoSuch { what: &'static str, name: String, known: Vec<String>, similar: Option<String> },
    /// K019
    NoSeat,
    /// Something is said of washers of a kart without spindles.
    NoSpindles,
    /// K019
    NoTank,
    /// K020
    NeverUsed { mount: String, reason: String },
    /// K020
    NoMountTakes { kind: String, mass: String, most: Option<String> },
    /// K021
    DriversAlike { name: String, other: String },
    /// K021
    NoDriverChosen { drivers: Vec<String> },
    /// K021
    DriverTwiceInARow { driver: String },
    /// K021
    NobodyToSwapWith { drivers: usize },
    /// K022
    OutOfReach {
        driver: Option<String>,
        needed: String,
        available: String,
        limit: &'static str,
        short: String,
    },
    /// K023
    NotInStock { kind: String, wanted: u32, stock: u32 },
    /// K023
    Locked { mount: String, clash: LockedClash },
    /// K023
    LockedTotal { lead: String, limit: String },
    /// K023
    FittedBeyond { mount: String, lead: String, limit: String },
    /// K027
    PlanUnknown { after: usize, legal: bool },
    /// K028
    OneWeighing,
    /// K028
    WeighingsAlike,
    /// K029
    Contradiction { odd: String },
    /// K029
    OtherKart,
    /// K024
    Syntax { problem: Syntax },
    /// K026
    FrontHeavy { front: String },
    /// K026
    SidesSwapped { left: String, aim: String },
    /// K026
    NamedForOtherSide { mount: String, distance: String, side: Side },
    /// K012
    PadMissing { key: String, corner: &'static str },
    /// K030
    OneRepeat { found: usize },
    /// K030
    RepeatsDiffer { what: &'static str },
    /// K030
    RepeatsAlike { sets: usize },
    /// K031
    OneAngle { lifts: usize },
    /// K031
    LiftAngle { found: String, least: String, most: String },
    /// K032
    NoCases { empty: &'static str },
    /// K032
    RangeBackwards { from: String, to: String },
    /// K032
    PriceMissing { size: String, with: String },
    /// K032
    SizeFitsNowhere { size: String, mass: String, most: Option<String> },
    /// K031
    HeightImpossible { found: String },
}

impl Fault {
    /// The stable code of its family.
    #[rustfmt::skip]
    pub fn code(&self) -> &'static str {
        use Fault as F;
        match self {
            F::FileMissing { .. } | F::FileUnreadable { .. } => "K001",
            F::Empty => "K002",
            F::NotText { .. } | F::TooLong { .. } => "K003",
            F::TabIndent | F::OddCharacter { .. } => "K004",
            F::DecimalComma { .. } => "K005",
            F::UnknownUnit { .. } | F::WrongUnit { .. } => "K006",
            F::UnitsMissing | F::UnitsUnknown { .. } => "K007",
            F::UnknownKey { .. } | F::MergeKey => "K008",
            F::Twice { .. } | F::TwoNamesForOne { .. } | F::KindTwice { .. } | F::SizeOwned { .. } => "K009",
            F::NotBoolean { .. } | F::NotWhole { .. } | F::NotAChoice { .. } | F::NotAQuantity { .. }
            | F::NotSettings { .. } | F::NotAList { .. } | F::NotAName { .. } | F::NameTooLong { .. }
            | F::NameUnprintable { .. } | F::NameReserved { .. } | F::GoalsNotFour { .. }
            | F::PadsNotFour => "K010",
            F::NameCut { .. } => "K011",
            F::Missing { .. } | F::NoValue { .. } | F::ReadingMissing { .. } | F::SeatHoleMissing
            | F::TankMissing { .. } | F::HalfAPlace { .. } | F::ThicknessMissing { .. }
            | F::KindBoltsMissing { .. }
            | F::MountBoltsMissing { .. } | F::DriverPlaceMissing { .. } | F::AboardPlaceMissing { .. }
            | F::HeightUnknown | F::HowHigh { .. }
            | F::DriverMassMissing { .. } | F::AfterWithoutDriver | F::PadMissing { .. } => "K012",
            F::OutOfBounds { .. } | F::TooMany { .. } | F::TooManyWays { .. } | F::TooMuchLead { .. } | F::TooLargeTogether => "K013",
            F::SuspectUnits { .. } => "K014",
            F::PartsTooHeavy { .. } | F::WeighingsDisagree { .. } | F::DerivedMass { .. }
            | F::OtherDriverAboard { .. } => "K015",
            F::PercentOutOfRange { .. } => "K016",
            F::FrontAndRear { .. } | F::BothGiven { .. } | F::FuelGrows { .. } | F::RollShareFalls
            | F::NowOutside { .. } | F::WashersDisagree { .. } | F::EffectUnbalanced { .. }
            | F::PlannedBeforeLearned | F::LearnedFromMore { .. } | F::TargetsDisagree { .. } => "K017",
            F::Outside { .. } | F::MountOutside { .. } | F::SamePlace { .. } => "K018",
            F::NoSuch { .. } | F::NoSeat | F::NoSpindles | F::NoTank => "K019",
            F::NeverUsed { .. } | F::NoMountTakes { .. } => "K020",
            F::DriversAlike { .. } | F::NoDriverChosen { .. } | F::DriverTwiceInARow { .. }
            | F::NobodyToSwapWith { .. } => "K021",
            F::OutOfReach { .. } => "K022",
            F::NotInStock { .. } | F::Locked { .. } | F::LockedTotal { .. } | F::FittedBeyond { .. } => "K023",
            F::Syntax { .. } => "K024",
            F::FrontHeavy { .. } | F::SidesSwapped { .. } | F::NamedForOtherSide { .. } => "K026",
            F::PlanUnknown { .. } => "K027",
            F::OneWeighing | F::WeighingsAlike => "K028",
            F::Contradiction { .. } | F::OtherKart => "K029",
            F::OneRepeat { .. } | F::RepeatsDiffer { .. } | F::RepeatsAlike { .. } => "K030",
            F::OneAngle { .. } | F::LiftAngle { .. } | F::HeightImpossible { .. } => "K031",
            F::NoCases { .. } | F::RangeBackwards { .. } | F::PriceMissing { .. }
            | F::SizeFitsNowhere { .. } => "K032",
        }
    }

    /// Whether the file can still be used.
    pub fn severity(&self) -> Severity {
        match self {
            Fault::NameCut { .. }
            | Fault::SuspectUnits { .. }
            | Fault::TargetsDisagree { .. }
            | Fault::MountOutside { .. }
            | Fault::SamePlace { .. }
            | Fault::NeverUsed { .. }
            | Fault::NoMountTakes { .. }
            | Fault::OutOfReach { .. }
            | Fault::FittedBeyond { .. }
            | Fault::FrontHeavy { .. }
            | Fault::SidesSwapped { .. }
            | Fault::NamedForOtherSide { .. }
            | Fault::RepeatsAlike { .. } => Severity::Warning,
            _ => Severity::Error,
        }
    }
}
