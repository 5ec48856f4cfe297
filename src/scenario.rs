//! The validated world: kart, class, targets, weighing, drivers, fuel, mounts, lead, what is fitted.
//! Made only by `Scenario::from_document`, which lists everything wrong at once; afterwards nothing in it can be wrong.

mod aboard;
mod adjuster;
mod adjusters;
mod beliefs;
mod bounds;
mod choice;
mod class;
mod consistency;
mod doubts;
mod drivers;
mod easing;
mod estimate;
mod heights;
mod history;
mod kart;
mod keys;
mod later;
mod lead;
pub mod line;
mod mounts;
mod pads;
mod pit;
mod place;
mod repeats;
pub mod schema;
mod seat;
mod sets;
mod target;
mod trip;
mod validation;

pub use beliefs::{Axis, Belief, Beliefs};
pub use history::{Misread, Taught};
pub use pit::{Minutes, Pit, usual};

use schemars::JsonSchema;
use serde::Serialize;

use crate::counts::Counts;
use crate::date::Date;
use crate::goal::Preferences;
use crate::statics::{Chassis, Point};
use crate::units::{Length, Mass, UnitSystem};

pub use crate::statics::FrontWheel;
pub use adjuster::{Adjuster, Cost, Lever, Setting, Shift};
pub use choice::Freedom;
pub use easing::Easing;
pub use heights::{Heights, Lifts, Means};
pub use pads::{Inspection, Pads, Within};
pub use repeats::{Floor, Set, Spread, Taken, Turned, twist_of_floor};
pub use seat::{Hole, Seat, SeatEnd};
pub use target::{Aim, Figure, Line, Target, When};
pub use trip::{Case, ForSale, Hardware, Price, Trip, Variation};

/// The word of a file for nobody or nothing.
const NONE: &str = "none";

/// Everything a file says, checked. Read it through the accessors; it cannot be changed, so it cannot become invalid.
#[derive(Clone, Debug)]
pub struct Scenario {
    pub(crate) units: UnitSystem,
    pub(crate) kart: Kart,
    pub(crate) class: Class,
    pub(crate) targets: Vec<Target>,
    pub(crate) weighing: Weighing,
    pub(crate) drivers: Vec<Driver>,
    pub(crate) unweighed: Vec<String>,
    pub(crate) driver: Option<usize>,
    pub(crate) tanks: Vec<Tank>,
    pub(crate) adjusters: Vec<Adjuster>,
    pub(crate) mounts: Vec<Mount>,
    pub(crate) lead: Vec<Kind>,
    pub(crate) fitted: Counts,
    pub(crate) preferences: Preferences,
    pub(crate) weighings: Vec<Weighing>,
    pub(crate) official_totals: Vec<OfficialTotal>,
    pub(crate) own_weighings: Vec<Option<Weighing>>,
    pub(crate) measured: Box<Beliefs>,
    pub(crate) misread: Option<Misread>,
    pub(crate) taught: Vec<Taught>,
    pub(crate) pads: Pads,
    pub(crate) within: Within,
    pub(crate) inspection: Inspection,
    pub(crate) heights: Option<Heights>,
    pub(crate) pit: Pit,
    pub(crate) trip: Option<Trip>,
}

impl Scenario {
    /// Units of the file, in which the screen answers unless asked otherwise.
    pub fn units(&self) -> UnitSystem {
        self.units
    }
    /// The kart.
    pub fn kart(&self) -> &Kart {
        &self.kart
    }
    /// The class and its rules.
    pub fn class(&self) -> &Class {
        &self.class
    }
    /// What the tyres should carry, in file order.
    pub fn targets(&self) -> &[Target] {
        &self.targets
    }
    /// The last weighing of the kart as raced, which is the kart now; what was learned of its readings is taken off them.
    pub fn weighing(&self) -> &Weighing {
        &self.weighing
    }
    /// Drivers in file order, but for those of [`Scenario::unweighed`].
    pub fn drivers(&self) -> &[Driver] {
        &self.drivers
    }
    /// Names of the drivers of whom nothing tells the weight.
    pub fn unweighed(&self) -> &[String] {
        &self.unweighed
    }
    /// Today's driver, as an index into [`Scenario::drivers`]: the one whom the file names, else the only one, else who sat in the
    /// kart at the last weighing; none for a kart without drivers.
    pub fn driver(&self) -> Option<usize> {
        self.driver
    }
    /// Fuel tanks in file order.
    pub fn tanks(&self) -> &[Tank] {
        &self.tanks
    }
    /// Adjusters: the seat, the spindles, then those of the file in its order.
    pub fn adjusters(&self) -> &[Adjuster] {
        &self.adjusters
    }
    /// Mounts in file order.
    pub fn mounts(&self) -> &[Mount] {
        &self.mounts
    }
    /// Kinds of lead in file order.
    pub fn lead(&self) -> &[Kind] {
        &self.lead
    }
    /// What is fitted now.
    pub fn fitted(&self) -> &Counts {
        &self.fitted
    }
    /// All weighings of the list as they were read, in time.
    pub fn weighings(&self) -> &[Weighing] {
        &self.weighings
    }
    /// What the officials read of the kart without pads under it, in time.
    pub fn official_totals(&self) -> &[OfficialTotal] {
        &self.official_totals
    }
    /// What the file tells of weighings under each driver, as it was read.
    pub fn own_weighings(&self) -> &[Option<Weighing>] {
        &self.own_weighings
    }
    /// What was learned of the readings themselves.
    pub fn misread(&self) -> Option<&Misread> {
        self.misread.as_ref()
    }
    /// How sure what was learned is: independent errors; none where nothing was learned.
    pub fn taught(&self) -> &[Taught] {
        &self.taught
    }
    /// Order and resolution of the goals.
    pub fn preferences(&self) -> &Preferences {
        &self.preferences
    }
    /// The pads of every weighing.
    pub fn pads(&self) -> &Pads {
        &self.pads
    }
    /// How nearly everything else was measured.
    pub fn within(&self) -> &Within {
        &self.within
    }
    /// How high the centre of gravity is, if anybody told.
    pub fn heights(&self) -> Option<&Heights> {
        self.heights.as_ref()
    }
    /// What stands between the weighing and the officials' verdict.
    pub fn inspection(&self) -> &Inspection {
        &self.inspection
    }
    /// Stints, and the minutes of a change of driver.
    pub fn pit(&self) -> &Pit {
        &self.pit
    }
}

/// A kart.
#[derive(Clone, Debug, PartialEq)]
pub struct Kart {
    /// Its name on the report.
    pub name: String,
    /// Geometry and stiffness.
    pub chassis: Chassis,
    /// What it weighs without driver, fuel and lead, if known from elsewhere: a check on the weighing, never used in its place.
    pub mass: Option<Mass>,
    /// The seat, if its holes are described.
    pub seat: Option<Seat>,
}

/// When during a run something is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Moment {
    /// With the fuel of the start.
    Start,
    /// With the fuel that is left at the finish.
    Finish,
}

impl Moment {
    /// Start, then finish.
    pub const ALL: [Moment; 2] = [Moment::Start, Moment::Finish];

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Moment::Start => "start",
            Moment::Finish => "finish",
        }
    }
}

/// Class minimum and the user's own rules.
#[derive(Clone, Debug, PartialEq)]
pub struct Class {
    /// Its name on the report.
    pub name: String,
    /// Least mass of kart and dressed driver.
    pub minimum: Mass,
    /// With which fuel the officials weigh.
    pub weighed_at: Moment,
    /// What is added to the minimum; `inspection::required` makes a mass of it.
    pub margin: Margin,
    /// How lead may be fixed.
    pub rules: Rules,
}

/// What is added to the class minimum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Margin {
    /// That much, whatever the chance to pass.
    Fixed(Mass),
    /// As much as it takes to pass with that chance.
    Confidence {
        /// Of 100 inspections, so many pass.
        percent: f64,
        /// Given up of it to see what that would help; nothing in any file.
        less: Mass,
    },
}

/// Rules for fixing lead. Every number is the user's, from the rulebook in force; none has a default.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rules {
    /// No piece may be heavier.
    pub largest_piece: Option<Mass>,
    /// Every piece has at least so many bolts through it.
    pub fewest_bolts_per_piece: Option<u32>,
    /// The lead on a mount, divided by the mount's bolts, may not exceed this.
    pub most_mass_per_bolt: Option<Mass>,
    /// All lead on the kart together may not exceed this.
    pub most_lead: Option<Mass>,
}

/// Four readings and everything that was aboard when they were taken.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighing {
    /// When, if the file tells.
    pub date: Option<Date>,
    /// Whether it is of the kart as raced, rather than made to learn from.
    pub as_raced: bool,
    /// What the file says of the pads since the weighing before.
    pub set_up: Option<SetUp>,
    /// What level pads with a steady zero would have shown, LF RF LR RR: the readings themselves unless the file has more to
    /// say (`taken`).
    pub readings: [Mass; 4],
    /// What the officials' scale showed with the same aboard.
    pub official: Option<Mass>,
    /// What it showed later with something else aboard, if `official` was reckoned back from that.
    pub official_later: Option<Mass>,
    /// Whether the readings add up to that, so that their error is the officials'.
    pub as_official: bool,
    /// Whether what was learned has been taken off the readings, so that their error is what learning left.
    pub as_learned: bool,
    /// What was on the kart, in the first set if there are several.
    pub aboard: Aboard,
    /// What was read, before anything was made of it.
    pub taken: Taken,
}

/// Whether the pads were set down and zeroed anew between two weighings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SetUp {
    /// They stood where they stand: level and zero err as they did.
    Same,
    /// Another day is another floor: level and zero err anew.
    New,
}

impl Weighing {
    /// The readings with the share of the officials' total that each has of its own: what counts is what they read.
    fn counted(&self) -> Weighing {
        let sum: Mass = self.readings.into_iter().sum();
        let factor = match self.official {
            Some(official) if sum > Mass::ZERO => official.kg() / sum.kg(),
            _ => return self.clone(),
        };
        let readings = self.readings.map(|reading| Mass::from_kg(reading.kg() * factor));
        Weighing { readings, as_official: true, ..self.clone() }
    }

    /// Whether the pads were set up anew since an earlier weighing: as the file says, else unless both are of the same day.
    pub fn set_up_since(&self, earlier: &Weighing) -> SetUp {
        let same_day = self.date.is_some() && self.date == earlier.date;
        self.set_up.unwrap_or(if same_day { SetUp::Same } else { SetUp::New })
    }
}

/// What the officials' scale showed while no pads stood under the kart: what it weighs, and nothing of its balance.
#[derive(Clone, Debug, PartialEq)]
pub struct OfficialTotal {
    /// When, if the file tells.
    pub date: Option<Date>,
    /// How many weighings of the list came before it.
    pub after: usize,
    /// What it showed.
    pub total: Mass,
    /// What was on the kart.
    pub aboard: Aboard,
}

/// What is on a kart besides the kart.
#[derive(Clone, Debug, PartialEq)]
pub struct Aboard {
    /// The driver in the seat, as an index; none for an empty seat.
    pub driver: Option<usize>,
    /// Fuel in each tank.
    pub fuel: Vec<Mass>,
    /// Lead on the mounts, and the settings of the adjusters.
    pub lead: Counts,
    /// The hole at which the seat was bolted; none where the scenario describes no seat.
    pub seat_hole: Option<Hole>,
}

/// A driver, dressed to race.
#[derive(Clone, Debug, PartialEq)]
pub struct Driver {
    /// Name.
    pub name: String,
    /// Dressed mass.
    pub mass: Mass,
    /// Where the mass acts with the seat where it is now, if known.
    pub acts: Option<Point>,
    /// Whose place that is, as an index, where nobody told this driver's own; the driver's own index where nobody told any place.
    pub place_of: Option<usize>,
    /// How high it acts above the ground; zero unless a target of height needs it.
    pub height: Length,
    /// The last weighing with this driver in the seat, if that of the scenario is not it.
    pub weighing: Option<Weighing>,
}

/// A fuel tank.
#[derive(Clone, Debug, PartialEq)]
pub struct Tank {
    /// Name.
    pub name: String,
    /// Middle of the tank.
    pub place: Point,
    /// Height of the fuel above the ground; zero unless a target of height needs it.
    pub height: Length,
    /// Fuel at the start.
    pub start: Mass,
    /// Fuel left when the officials weigh.
    pub finish: Mass,
}

impl Tank {
    /// Fuel in it at `moment`.
    pub fn fuel(&self, moment: Moment) -> Mass {
        match moment {
            Moment::Start => self.start,
            Moment::Finish => self.finish,
        }
    }
}

/// Whether the lead on a mount may be changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Access {
    /// Anything may come off or go on.
    Open,
    /// What is fitted stays, nothing is added.
    Locked,
}

/// What a mount is fixed to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FixedTo {
    /// The frame, or something that stays where it is.
    Frame,
    /// The seat, with which it moves.
    Seat,
}

/// A place where lead may be fixed.
#[derive(Clone, Debug, PartialEq)]
pub struct Mount {
    /// Name.
    pub name: String,
    /// Where lead on it acts, seen from above, with the seat where it is now.
    pub place: Point,
    /// Height above the ground, if known; a target of height needs it.
    pub height: Option<Length>,
    /// Most lead it may carry.
    pub capacity: Mass,
    /// Most thickness of stacked pieces, if limited.
    pub room: Option<Length>,
    /// Most pieces, if limited.
    pub most_pieces: Option<u32>,
    /// Bolts that hold its lead, if known.
    pub bolts: Option<u32>,
    /// Whether it may be changed.
    pub access: Access,
    /// Whether it can be changed in a pit stop.
    pub quick: bool,
    /// What it is fixed to.
    pub fixed_to: FixedTo,
    /// Kinds it takes, by kind index: what the file allows here and whose bolt pattern fits.
    pub takes: Vec<bool>,
}

impl Mount {
    /// Its height where heights are summed: a target of height asks for all of them, and nothing else asks.
    pub fn height_counted(&self) -> Length {
        self.height.unwrap_or(Length::ZERO)
    }

    /// Most lead that it may carry under the rules: its capacity, or what its bolts may hold if that is less.
    pub fn may_carry(&self, rules: &Rules) -> Mass {
        let by_bolts = rules.most_mass_per_bolt.zip(self.bolts).map(|(per_bolt, bolts)| per_bolt * bolts);
        by_bolts.map_or(self.capacity, |by_bolts| by_bolts.min(self.capacity))
    }
}

/// A kind of lead: pieces that share mass and shape. Pieces weighed one by one are kinds of one piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Kind {
    /// Name.
    pub name: String,
    /// Mass of one piece.
    pub mass: Mass,
    /// Pieces in the box and on the kart together.
    pub count: u32,
    /// Thickness of one piece; needed where a mount limits room.
    pub thickness: Length,
    /// Bolts that go through one piece, if known.
    pub bolts: Option<u32>,
    /// Limit of the error of `mass`, either way; pieces of one kind err together.
    pub within: Mass,
    /// Whether it can be changed in a pit stop, on a mount where that is possible.
    pub quick: bool,
}
