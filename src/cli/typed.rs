//! Words that change a scenario file: a weighing typed behind it, a plan that has been bolted.

use clap::Args;
use kentledge::answer::typed::Typed;
use kentledge::units::UnitSystem;

use std::ffi::OsString;

use super::common::Scenario;
use super::work::{Work, alone, on};
use crate::commands;
use crate::commands::done::Which;
use crate::commands::plan::Asked;
use crate::request::{self, Input, Refusal};
use crate::waiting::today;

#[derive(Args)]
pub(super) struct Lengths {
    /// With four readings: between the axles
    #[arg(long, value_name = "LENGTH", allow_negative_numbers = true)]
    wheelbase: Option<String>,
    /// The same: between the middles of the fronts
    #[arg(long, value_name = "LENGTH", allow_negative_numbers = true)]
    track_front: Option<String>,
    /// The same at the rear
    #[arg(long, value_name = "LENGTH", allow_negative_numbers = true)]
    track_rear: Option<String>,
}

impl Lengths {
    /// As typed, in this order.
    pub(super) fn all(self) -> [Option<String>; 3] {
        [self.wheelbase, self.track_front, self.track_rear]
    }
}

#[derive(Args)]
pub(super) struct Weighed {
    /// Fuel that was aboard: start, finish, none or an amount such as 3L
    #[arg(long, hide_short_help = true, value_name = "FUEL")]
    fuel: Option<String>,
    /// Lead that was aboard: none, or as a file has it [default: what is fitted now]
    #[arg(long, hide_short_help = true, value_name = "LEAD")]
    lead: Option<String>,
    /// The last four readings are of the kart turned a quarter to that side, pad by pad
    #[arg(long, hide_short_help = true, value_name = "SIDE", value_parser = ["left", "right"])]
    turned: Option<String>,
    /// Whether the pads stand as at the weighing before [default: new on another day]
    #[arg(long, hide_short_help = true, value_name = "HOW", value_parser = ["same", "new"])]
    set_up: Option<String>,
    /// When, such as 2026-11-28 [default: today]
    #[arg(long, hide_short_help = true, value_name = "DATE")]
    date: Option<String>,
    /// What the officials' scale showed with the same aboard
    #[arg(long, hide_short_help = true, value_name = "MASS")]
    official: Option<String>,
    /// For people
    #[arg(long, hide_short_help = true, value_name = "TEXT")]
    note: Option<String>,
}

impl Weighed {
    /// The whole weighing.
    pub(super) fn typed(
        self,
        readings: Vec<String>,
        units: Option<UnitSystem>,
        driver: Option<String>,
    ) -> Typed {
        let Weighed { fuel, lead, turned, set_up, date, official, note } = self;
        let date = date.unwrap_or_else(today);
        Typed { readings, units, driver, fuel, lead, turned, set_up, date, official, note }
    }

    /// Something that was said, if anything was.
    fn said(&self) -> Option<&'static str> {
        let said = [
            ("--fuel", self.fuel.is_some()),
            ("--lead", self.lead.is_some()),
            ("--turned", self.turned.is_some()),
            ("--set-up", self.set_up.is_some()),
            ("--date", self.date.is_some()),
            ("--official", self.official.is_some()),
            ("--note", self.note.is_some()),
        ];
        said.into_iter().find_map(|(option, is_there)| is_there.then_some(option))
    }
}

/// The work of `weigh`: of a file, of readings behind one, or of readings alone.
pub(super) fn weigh(
    what: Vec<OsString>,
    lengths: Lengths,
    weighed: Weighed,
    keeps: [bool; 2],
    driver: Option<String>,
    units: Option<UnitSystem>,
) -> Result<(Option<Input>, Work), Refusal> {
    let about = request::weigh(what, lengths.all(), driver.as_deref(), units)?;
    // What the officials read is a weighing without readings.
    let about = match about {
        request::Weighed::InFile(input) if weighed.official.is_some() => {
            request::Weighed::Behind(input, Vec::new())
        }
        about => about,
    };
    Ok(match (about, weighed.said().or(keeps[0].then_some("--save"))) {
        (request::Weighed::Behind(input, readings), _) => {
            let (from, typed) = (input.clone(), weighed.typed(readings, units, driver));
            (Some(input), Box::new(move |run| commands::weigh::typed(run, &from, &typed, keeps)))
        }
        (_, Some(option)) => return Err(request::alone_without_readings(option)),
        (request::Weighed::InFile(input), None) => on(input, commands::weigh::answer(driver)),
        (request::Weighed::Typed(readings), None) => {
            alone(move |run| commands::weigh::of_readings(run, &readings))
        }
    })
}

/// The work of `plan`: of a file, or of a file and a weighing that is typed behind it and not kept.
pub(super) fn plan(
    input: Input,
    asked: Asked,
    readings: Vec<String>,
    weighed: Weighed,
    units: Option<UnitSystem>,
) -> Result<(Option<Input>, Work), Refusal> {
    if readings.is_empty() {
        return match weighed.said() {
            Some(option) => Err(request::alone_without_readings(option)),
            None => Ok(on(input, move |reading| commands::plan::answer(reading, &asked))),
        };
    }
    request::whole_sets(readings.len(), "`--readings`")?;
    let (from, typed) = (input.clone(), weighed.typed(readings, units, asked.driver.clone()));
    Ok((
        Some(input),
        Box::new(move |run| {
            let looked = commands::weigh::looked_at(run, &from, &typed, false)?.reading;
            commands::plan::answer(&looked, &Asked { is_kept: false, ..asked })
        }),
    ))
}

#[derive(Args)]
pub(super) struct Done {
    #[command(flatten)]
    scenario: Scenario,
    /// The four letters that `plan` shows
    #[arg(value_name = "MARK", required_unless_present = "undo")]
    mark: Option<String>,
    /// Take the last one back instead: the file says again what was on the kart before
    #[arg(long, conflicts_with_all = ["mark", "driver", "only", "except"])]
    undo: bool,
    /// If it was the plan for this driver instead of today's
    #[arg(long, value_name = "NAME")]
    driver: Option<String>,
    /// If it was a plan that changes nothing but these
    #[arg(long, value_name = "WHAT", value_delimiter = ',')]
    only: Vec<String>,
    /// Mounts and adjusters at which nothing was done
    #[arg(long, value_name = "NAMES", value_delimiter = ',')]
    except: Vec<String>,
    /// Show the change, and do not make it
    #[arg(long)]
    dry_run: bool,
}

impl Done {
    /// The file, and what of its plan was done.
    pub(super) fn which(self) -> (Input, Which) {
        let Done { scenario, mark, undo: _, driver, only, except, dry_run } = self;
        (scenario.input(), Which { mark, driver, only, except, dry_run })
    }
}
