//! What a page is told.

use maud::Markup;
use serde::Serialize;
use serde_json::value::RawValue;

use super::{Place, Planned};
use crate::diagnosis::{self, Diagnosis, Refusal};

/// An answer to a request.
#[derive(Debug, Serialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum Reply {
    /// The file is wrong: what, for people, and on which lines.
    Wrong {
        said: String,
        lines: Vec<usize>,
    },
    /// What was typed or asked cannot be followed.
    Refused {
        said: String,
        help: String,
    },
    Kart(Box<Kart>),
    Looked(Box<Looked>),
    Planned(Box<Plan>),
    Standing(Box<Standing>),
    /// A page that is only read.
    Page {
        html: String,
        document: Box<RawValue>,
    },
}

/// What a file says, as far as the page has a use for it.
#[derive(Debug, Serialize)]
pub struct Kart {
    /// The file with what was bolted and typed.
    pub(super) text: String,
    pub(super) name: String,
    pub(super) class: String,
    /// Of masses.
    pub(super) unit: &'static str,
    pub(super) drivers: Vec<String>,
    /// Who is meant to drive.
    pub(super) driver: Option<String>,
    /// Whether anything can be in a tank.
    pub(super) has_fuel: bool,
    pub(super) is_fitted: bool,
    /// The kart from above without numbers.
    pub(super) outline: String,
    /// What the file may have got wrong.
    pub(super) warnings: String,
    /// The last weighing on four pads.
    pub(super) weighed: [String; 4],
    /// Names of the mounts and of the adjusters, in the order of the file.
    pub(super) mounts: Vec<String>,
    pub(super) adjusters: Vec<String>,
    /// What of the file changes often.
    pub(super) settings: Vec<Setting>,
}

/// A word of the file, and where it stands.
#[derive(Debug, Serialize)]
pub(super) struct Setting {
    pub(super) path: Vec<String>,
    pub(super) word: String,
}

/// One field.
#[derive(Debug, Default, Serialize)]
pub(super) struct Field {
    /// What cannot be in what is typed.
    pub(super) wrong: Option<String>,
    /// What the pad should show.
    pub(super) expected: Option<String>,
    /// What it shows less that.
    pub(super) difference: Option<String>,
}

/// What the pads say.
#[derive(Debug, Serialize)]
pub struct Looked {
    pub(super) fields: Vec<Field>,
    /// Once every field is filled.
    pub(super) html: String,
    pub(super) refused: Option<String>,
    pub(super) document: Option<Box<RawValue>>,
}

/// What is to be done.
#[derive(Debug, Serialize)]
pub struct Plan {
    /// The file that the plan is for.
    pub(super) text: String,
    /// How it comes out.
    pub(super) html: String,
    /// The kart with the numbers of the jobs.
    pub(super) picture: String,
    /// The same to print.
    pub(super) sheet: String,
    pub(super) jobs: Vec<Job>,
    /// None if there is no plan.
    pub(super) planned: Option<Planned>,
    /// Whether a longer search may find or prove more.
    pub(super) is_open: bool,
    /// As `plan --json` has it.
    pub(super) document: Box<RawValue>,
}

/// One job.
#[derive(Debug, Serialize)]
pub(super) struct Job {
    /// None for a look at the pads.
    pub(super) at: Option<Place>,
    pub(super) html: String,
    pub(super) minutes: f64,
}

/// The kart between two jobs.
#[derive(Debug, Serialize)]
pub struct Standing {
    pub(super) html: String,
    /// LF RF LR RR with the fuel of the start.
    pub(super) expected: [String; 4],
    pub(super) total_kg: f64,
    pub(super) front_percent: f64,
    pub(super) left_percent: f64,
}

impl Reply {
    pub(super) fn refused(said: impl Into<String>, help: impl Into<String>) -> Reply {
        Reply::Refused { said: said.into(), help: help.into() }
    }

    pub(super) fn wrong(faults: &[Diagnosis], name: &str, text: &str) -> Reply {
        let lines = faults.iter().filter_map(|fault| Some(fault.place?.line)).collect();
        Reply::Wrong { said: diagnosis::rendered(faults, name, text), lines }
    }

    pub(super) fn page(html: Markup, document: String) -> Reply {
        Reply::Page { html: html.into_string(), document: raw(document) }
    }
}

impl From<Refusal> for Reply {
    fn from(refusal: Refusal) -> Reply {
        Reply::refused(refusal.message, refusal.help)
    }
}

/// A document as it is, digit by digit.
pub(super) fn raw(document: String) -> Box<RawValue> {
    RawValue::from_string(document).expect("a document is JSON")
}
