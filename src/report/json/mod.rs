//! Reports as JSON documents: always kilograms and millimetres, the unit in the key, whatever the screen
//! shows.
//! Takes views made for kilograms; gives one document with a schema number, the same every time except for
//! `elapsed_ms`.
//! Does not round: the views have done so.

mod alternatives;
mod borrowed;
mod card;
mod changes;
mod explain;
mod help;
mod learn;
mod messages;
mod pack;
mod plan;
mod reach;
mod sure;
mod swap;
mod team_help;
mod weigh;

use std::time::Duration;

use serde::Serialize;

pub use card::card;
pub use explain::{explanation, explanations};
pub use learn::learn;
pub use messages::{message, messages};
pub use pack::pack;
pub use plan::plan;
pub use reach::reach;
use sure::BudgetEntry;
pub use swap::swap;
pub use weigh::{how_to_weigh, weigh};

use super::amount::{Screen, Weight};
use super::check::CheckView;
use super::margin::{Passing, Required};
use super::target::{Standing, TargetLines, Wanted};
use crate::diagnosis::Summary;
use crate::scenario::Moment;
use crate::units::UnitSystem;

/// Number of the shape of the documents: a renamed or removed key raises it, an added one does not.
pub const SCHEMA: u32 = 1;

/// The units of every document.
pub const SCREEN: Screen = Screen { units: UnitSystem::KgMm };

/// What every document says besides its answer.
#[derive(Clone, Copy, Debug)]
pub struct Frame<'a> {
    /// The command that answers.
    pub command: &'a str,
    /// What the file may have got wrong.
    pub warnings: &'a [Summary],
    /// What the screen would show; none if the scenario could not be read.
    pub display_units: Option<UnitSystem>,
    /// Time that reading and solving took.
    pub elapsed: Duration,
}

#[derive(Serialize)]
struct Document<'a, T: Serialize> {
    schema: u32,
    tool_version: &'static str,
    command: &'a str,
    status: &'a str,
    #[serde(flatten)]
    answer: T,
    warnings: &'a [Summary],
    display_units: Option<&'static str>,
    elapsed_ms: u64,
}

impl Frame<'_> {
    fn document(self, status: &str, answer: impl Serialize) -> String {
        let document = Document {
            schema: SCHEMA,
            tool_version: env!("CARGO_PKG_VERSION"),
            command: self.command,
            status,
            answer,
            warnings: self.warnings,
            display_units: self.display_units.map(UnitSystem::word),
            elapsed_ms: u64::try_from(self.elapsed.as_millis()).unwrap_or(u64::MAX),
        };
        written(serde_json::to_string_pretty(&document))
    }
}

/// What was serialised, with a line's end.
fn written(serialised: serde_json::Result<String>) -> String {
    let mut text = serialised.expect("every key is text, and no value has a serialiser that can fail");
    text.push('\n');
    text
}

#[derive(Serialize)]
struct CornersEntry {
    lf: f64,
    rf: f64,
    lr: f64,
    rr: f64,
}

impl CornersEntry {
    fn new(corners: &[Weight; 4]) -> CornersEntry {
        let [lf, rf, lr, rr] = corners.each_ref().map(|corner| corner.kg);
        CornersEntry { lf, rf, lr, rr }
    }
}

/// One target in one state; `value`, `aim` and `within` are in `unit`.
#[derive(Serialize)]
struct ResidualEntry {
    target: &'static str,
    state: Option<&'static str>,
    unit: &'static str,
    value: f64,
    aim: f64,
    within: f64,
    distance_kg: f64,
    miss_kg: f64,
    in_band: bool,
    /// Two standard uncertainties of `value`, in `unit`.
    plus_minus: f64,
    /// The same of `distance_kg`, and of `miss_kg` as far as it is not cut off at the edge of the band.
    plus_minus_kg: f64,
    call: &'static str,
}

impl ResidualEntry {
    /// Of all targets, as they are afterwards.
    fn of_targets(targets: &[TargetLines]) -> Vec<ResidualEntry> {
        ResidualEntry::of_states(targets, |(_, _, after)| after)
    }

    /// Of all targets, as they are before.
    fn of_targets_before(targets: &[TargetLines]) -> Vec<ResidualEntry> {
        ResidualEntry::of_states(targets, |(_, before, _)| before)
    }

    fn of_states(
        targets: &[TargetLines],
        which: impl Fn(&(Moment, Standing, Standing)) -> &Standing,
    ) -> Vec<ResidualEntry> {
        let entries = targets.iter().flat_map(|target| {
            let entry = |state: &(Moment, Standing, Standing)| {
                ResidualEntry::new(&target.wanted, which(state), Some(state.0.word()))
            };
            target.states.iter().map(entry).collect::<Vec<_>>()
        });
        entries.collect()
    }

    fn new(wanted: &Wanted, standing: &Standing, state: Option<&'static str>) -> ResidualEntry {
        ResidualEntry {
            target: wanted.figure.key(),
            state,
            unit: wanted.unit(),
            value: standing.value,
            aim: wanted.aim,
            within: wanted.within,
            distance_kg: standing.distance.kg,
            miss_kg: standing.miss.kg,
            in_band: standing.in_band,
            plus_minus: standing.unsure,
            plus_minus_kg: standing.distance_sure.kg,
            call: standing.call.words(),
        }
    }
}

#[derive(Serialize)]
struct MarginEntry {
    minimum_kg: f64,
    margin_kg: f64,
    required_kg: f64,
    weighed_at: &'static str,
    above_required_kg: Option<f64>,
    /// What is required is a rule: all that is unsure is the total.
    above_required_plus_minus_kg: Option<f64>,
    /// For which the margin was computed; none if the file fixes the margin.
    wanted_chance_percent: Option<f64>,
    chance_percent: Option<f64>,
    budget: Option<BudgetEntry>,
}

impl MarginEntry {
    fn new(required: &Required, above: Option<&Weight>, passing: Option<&Passing>) -> MarginEntry {
        MarginEntry {
            minimum_kg: required.minimum.kg,
            margin_kg: required.margin.kg,
            required_kg: required.required.kg,
            weighed_at: required.weighed_at.word(),
            above_required_kg: above.map(|above| above.kg),
            above_required_plus_minus_kg: passing.map(|passing| passing.total_sure.kg),
            wanted_chance_percent: required.wanted_chance,
            chance_percent: passing.map(|passing| passing.chance_percent),
            budget: passing.map(BudgetEntry::new),
        }
    }
}

#[derive(Serialize)]
struct CheckAnswer<'v> {
    kart: &'v str,
    class: &'v str,
    targets: usize,
    mounts: usize,
    mounts_carry_kg: f64,
    pieces: u32,
    lead_kg: f64,
    pieces_fitted: u32,
    /// What all drivers share; of several whose margins differ each has its own.
    required_kg: Option<f64>,
    needs: Vec<NeedEntry<'v>>,
    diagnoses: [Summary; 0],
}

#[derive(Serialize)]
struct NeedEntry<'v> {
    driver: Option<&'v str>,
    required_kg: f64,
    lead_kg: f64,
    plus_minus_kg: f64,
}

/// The document of `check` for a file without errors.
pub fn check(view: &CheckView, frame: Frame) -> String {
    let needs = view.needs.iter();
    let answer = CheckAnswer {
        kart: &view.kart,
        class: &view.class,
        targets: view.targets,
        mounts: view.mounts,
        mounts_carry_kg: view.mounts_carry.kg,
        pieces: view.pieces,
        lead_kg: view.lead.kg,
        pieces_fitted: view.fitted,
        required_kg: view.required().map(|required| required.required.kg),
        needs: needs
            .map(|need| NeedEntry {
                driver: need.driver.as_deref(),
                required_kg: need.required.required.kg,
                lead_kg: need.lead.kg,
                plus_minus_kg: need.sure.kg,
            })
            .collect(),
        diagnoses: [],
    };
    let status = if frame.warnings.is_empty() { "nothing wrong" } else { "no errors" };
    frame.document(status, answer)
}

#[derive(Serialize)]
struct WrongAnswer<'a> {
    diagnoses: &'a [Summary],
}

/// The document of any command whose scenario cannot be used.
pub fn wrong_scenario(diagnoses: &[Summary], frame: Frame) -> String {
    frame.document("the scenario is wrong", WrongAnswer { diagnoses })
}

#[derive(Serialize)]
struct WithoutAnswer<'a> {
    message: &'a str,
    help: &'a str,
}

/// The document of a command that starts from a plan and has none.
pub fn without_plan(status: &str, message: &str, help: &str, frame: Frame) -> String {
    frame.document(status, WithoutAnswer { message, help })
}

#[derive(Serialize)]
struct DisagreedAnswer<'a> {
    message: &'a str,
}

/// The document of a plan that the judge refuses.
pub fn judge_disagreed(message: &str, frame: Frame) -> String {
    frame.document("the judge disagreed", DisagreedAnswer { message })
}
