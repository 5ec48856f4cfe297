//! What a command has found, as data: serialised as it is, it is the JSON document of the command.
//! One tree of types per command, in kilograms and millimetres.

pub mod alternatives;
pub mod assumed;
pub mod bolted;
pub mod card;
pub mod cases;
pub mod check;
pub mod done;
pub mod doubts;
pub mod explain;
pub mod forecast;
pub mod fragment;
pub mod gate;
pub mod help;
pub mod kart;
pub mod learn;
pub mod log;
pub mod margin;
pub mod official;
pub mod pack;
pub mod plan;
pub mod reach;
pub mod shortfall;
pub mod swap;
pub mod team_help;
pub mod trouble;
pub mod typed;
pub mod weigh;
pub mod work;

use std::time::Duration;

use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde::Serialize;
use serde_json::Value;

use crate::diagnosis::Summary;
use crate::marks::written;
use crate::quantity::{flat, flat_schema};
use crate::uncertainty::COVERAGE_FACTOR;
use crate::units::UnitSystem;

/// Number of the shape of the documents: a renamed or removed key raises it, an added one does not.
pub const SCHEMA: u32 = 3;

/// How the answer to a command that plans stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// Every goal is proved to its resolution.
    BestPossible,
    /// Legal, but the search was stopped before everything was proved.
    NotProvedBest,
    /// Proved: there is none.
    NoLegalPlan,
    /// Stopped before anything was found.
    OutOfTime,
}

impl Status {
    /// The words for it, in documents.
    pub const fn words(self) -> &'static str {
        match self {
            Status::BestPossible => "best possible",
            Status::NotProvedBest => "good, not proved best",
            Status::NoLegalPlan => "no legal plan",
            Status::OutOfTime => "out of time",
        }
    }

    /// The same for people, of a plan, a set-up or a kit.
    pub fn said(self, kind: &str) -> String {
        match self {
            Status::BestPossible => format!("no better {kind} exists"),
            _ => self.words().to_owned(),
        }
    }
}

/// How the program ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Legal, and on every target; or whatever was asked is done.
    Good = 0,
    /// Legal, but off a target.
    OffTarget = 1,
    /// The command line cannot be followed.
    CommandLine = 2,
    /// The scenario is wrong.
    Scenario = 3,
    /// Proved: there is no legal plan.
    NoLegalPlan = 4,
    /// Out of time without a plan, or the judge disagreed.
    NoAnswer = 5,
}

impl Exit {
    /// Of a command that ends in a plan, or in none.
    pub fn of(status: Status, all_on_target: bool) -> Exit {
        match status {
            Status::BestPossible | Status::NotProvedBest if all_on_target => Exit::Good,
            Status::BestPossible | Status::NotProvedBest => Exit::OffTarget,
            Status::NoLegalPlan => Exit::NoLegalPlan,
            Status::OutOfTime => Exit::NoAnswer,
        }
    }
}

/// Said of a search that did not prove its answer in time.
pub const STOPPED: &str = "the search was stopped; a longer `--time` may find or prove more";

/// What every document says besides its answer.
#[derive(Clone, Copy, Debug)]
pub struct Frame<'a> {
    /// The command that answers.
    pub command: &'a str,
    /// How the program ends.
    pub exit_code: u8,
    /// What the file may have got wrong.
    pub warnings: &'a [Summary],
    /// What the screen would show; none if the scenario could not be read.
    pub display_units: Option<UnitSystem>,
    /// Time that reading and solving took.
    pub elapsed: Duration,
}

/// The answer of a command with what every document says.
#[derive(Serialize, JsonSchema)]
struct Document<'a, A> {
    /// Number of the shape of this document.
    schema: u32,
    /// Version of the program.
    tool_version: &'a str,
    /// The command that answers.
    command: &'a str,
    /// How the answer stands, in words.
    status: &'a str,
    /// What the program ends with.
    exit_code: u8,
    #[serde(flatten)]
    answer: A,
    /// What the file may have got wrong.
    warnings: &'a [Summary],
    /// What the screen would show.
    display_units: Option<&'a str>,
    /// Every ± is so many standard uncertainties.
    coverage_factor: f64,
    /// Time that reading and solving took.
    elapsed_ms: u64,
}

impl Frame<'_> {
    /// The document of an answer, with a line's end.
    pub fn document(self, status: &str, answer: impl Serialize) -> String {
        let document = Document {
            schema: SCHEMA,
            tool_version: env!("CARGO_PKG_VERSION"),
            command: self.command,
            status,
            exit_code: self.exit_code,
            answer,
            warnings: self.warnings,
            display_units: self.display_units.map(UnitSystem::word),
            coverage_factor: COVERAGE_FACTOR,
            elapsed_ms: u64::try_from(self.elapsed.as_millis()).unwrap_or(u64::MAX),
        };
        lines(&read(flat(valued(&document))))
    }
}

/// A line of what is told by machine.
pub fn line(told: &impl Serialize) -> String {
    format!("{}\n", read(flat(valued(told))))
}

fn valued(document: &impl Serialize) -> Value {
    serde_json::to_value(document).expect("every key is text, and no value has a serialiser that can fail")
}

fn lines(value: &Value) -> String {
    format!("{value:#}\n")
}

/// Sentences as they are read in documents: in kilograms.
fn read(value: Value) -> Value {
    match value {
        Value::String(text) => Value::String(written(&text, UnitSystem::KgMm)),
        Value::Array(values) => values.into_iter().map(read).collect(),
        Value::Object(entries) => entries.into_iter().map(|(key, value)| (key, read(value))).collect(),
        other => other,
    }
}

/// Writes a schema.
pub type Schema = fn() -> String;

/// Commands that have a document, each with the schema of it.
pub const SCHEMAS: [(&str, Schema); 11] = [
    ("plan", schema_of::<plan::Plan>),
    ("done", schema_of::<done::Done>),
    ("weigh", schema_of::<weigh::Weighing>),
    ("swap", schema_of::<swap::Swap>),
    ("card", schema_of::<card::Card>),
    ("pack", schema_of::<pack::Pack>),
    ("reach", schema_of::<reach::Reach>),
    ("learn", schema_of::<learn::Learned>),
    ("log", schema_of::<log::Log>),
    ("check", schema_of::<check::Check>),
    ("explain", schema_of::<explain::Codes>),
];

/// The schema of the document of a command.
pub fn schema_of_command(command: &str) -> Option<String> {
    SCHEMAS.iter().find(|(name, _)| *name == command).map(|(_, schema)| schema())
}

fn schema_of<A: JsonSchema>() -> String {
    let generator = SchemaSettings::draft2020_12().into_generator();
    let mut schema = generator.into_root_schema_for::<Document<A>>().to_value();
    flat_schema(&mut schema);
    lines(&schema)
}
