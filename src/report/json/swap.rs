//! The JSON document of `swap`.
//! Takes the view; gives the document, every key present whatever the outcome.
//! Does not round and does not word anything.

use serde::Serialize;

use super::borrowed::BorrowedEntry;
use super::changes::{AdjusterEntry, ChangeEntry, PlacementEntry};
use super::plan::{EarlierEntry, GoalEntry, ShortfallEntry, StatesEntry, SureStatesEntry, shortfall};
use super::team_help::TeamHelpEntries;
use super::{Frame, MarginEntry, ResidualEntry};
use crate::report::setting::SettingsLine;
use crate::report::swap::{DriverLines, HandoverLines, MatrixLine, SetupLines, SwapOutcome, SwapView};

#[derive(Serialize)]
struct SwapAnswer<'v> {
    kart: &'v str,
    class: &'v str,
    order: &'v [String],
    goals: Vec<GoalEntry>,
    margin: MarginEntry,
    drivers: Vec<DriverEntry<'v>>,
    /// What stays bolted for everybody.
    base: Vec<PlacementEntry<'v>>,
    mounts: Vec<MountEntry<'v>>,
    /// How every adjuster is set for whom; empty if none of them may differ between drivers.
    adjusters: Vec<SetEntry<'v>>,
    preparation: Option<HandoverEntry<'v>>,
    stops: Vec<StopEntry<'v>>,
    changes: Option<u32>,
    minutes: Option<f64>,
    planned_alone: Option<AloneEntry>,
    remarks: &'v [String],
    /// Drivers known only by a dressed mass.
    estimated_places: Vec<BorrowedEntry<'v>>,
    /// Who cannot be legal even alone, if that is why there is no set-up.
    not_even_alone: Option<&'v str>,
    shortfall: Option<ShortfallEntry<'v>>,
    #[serde(flatten)]
    help: TeamHelpEntries<'v>,
    nodes: Option<u64>,
}

#[derive(Serialize)]
struct DriverEntry<'v> {
    driver: &'v str,
    total_kg: f64,
    margin: MarginEntry,
    above_own_minimum_kg: f64,
    in_band: bool,
    placements: Vec<PlacementEntry<'v>>,
    residuals: Vec<ResidualEntry>,
    corners_kg: StatesEntry,
    /// Two standard uncertainties of every figure, per state.
    plus_minus: SureStatesEntry,
    /// The kart as the driver's first stint finds it, in the same keys.
    before: EarlierEntry,
}

#[derive(Serialize)]
struct MountEntry<'v> {
    mount: &'v str,
    quick: bool,
    carries: Vec<CarriesEntry<'v>>,
}

#[derive(Serialize)]
struct CarriesEntry<'v> {
    driver: &'v str,
    mass_kg: f64,
    pieces: &'v str,
}

#[derive(Serialize)]
struct SetEntry<'v> {
    adjuster: &'v str,
    quick: bool,
    set: Vec<SetForEntry<'v>>,
}

#[derive(Serialize)]
struct SetForEntry<'v> {
    driver: &'v str,
    setting: &'v str,
}

#[derive(Serialize)]
struct HandoverEntry<'v> {
    changes: u32,
    minutes: Option<f64>,
    /// What is set otherwise; it comes before the lead.
    adjusters: Vec<AdjusterEntry<'v>>,
    jobs: Vec<ChangeEntry<'v>>,
}

#[derive(Serialize)]
struct StopEntry<'v> {
    from: &'v str,
    to: &'v str,
    #[serde(flatten)]
    handover: HandoverEntry<'v>,
}

#[derive(Serialize)]
struct AloneEntry {
    changes: u32,
    stops_with_tools: usize,
    stops: usize,
}

/// The document of `swap`.
pub fn swap(view: &SwapView, frame: Frame) -> String {
    let mut answer = SwapAnswer {
        kart: &view.kart,
        class: &view.class,
        order: &view.order,
        goals: Vec::new(),
        margin: MarginEntry::new(&view.required, None, None),
        drivers: Vec::new(),
        base: Vec::new(),
        mounts: Vec::new(),
        adjusters: Vec::new(),
        preparation: None,
        stops: Vec::new(),
        changes: None,
        minutes: None,
        planned_alone: None,
        remarks: &[],
        estimated_places: BorrowedEntry::of(&view.borrowed),
        not_even_alone: None,
        shortfall: None,
        help: view.help.as_ref().map(TeamHelpEntries::new).unwrap_or_default(),
        nodes: None,
    };
    match &view.outcome {
        SwapOutcome::Setup(lines) => fill(&mut answer, lines),
        SwapOutcome::NotEvenAlone { driver, shortfall: lines } => {
            answer.not_even_alone = Some(driver);
            answer.shortfall = Some(shortfall(lines));
        }
        SwapOutcome::NoCommonBase { reasons } => answer.remarks = reasons,
        SwapOutcome::OutOfTime => {}
    }
    frame.document(view.status.words(), answer)
}

fn fill<'v>(answer: &mut SwapAnswer<'v>, lines: &'v SetupLines) {
    answer.goals = lines.goals.iter().map(GoalEntry::new).collect();
    answer.drivers = lines.drivers.iter().map(DriverEntry::new).collect();
    answer.base = lines.base.iter().map(PlacementEntry::new).collect();
    answer.mounts = lines.mounts.iter().map(|mount| MountEntry::new(mount, &lines.drivers)).collect();
    answer.adjusters = lines.adjusters.iter().map(|line| SetEntry::new(line, &lines.drivers)).collect();
    answer.preparation = Some(HandoverEntry::new(&lines.preparation));
    answer.stops = lines
        .stops
        .iter()
        .map(|stop| StopEntry {
            from: &stop.from,
            to: &stop.to,
            handover: HandoverEntry::new(&stop.handover),
        })
        .collect();
    answer.changes = Some(lines.changes);
    answer.minutes = lines.minutes.map(rounded_minutes);
    answer.planned_alone = Some(AloneEntry {
        changes: lines.alone.changes,
        stops_with_tools: lines.alone.stops_with_tools,
        stops: lines.alone.stops,
    });
    answer.remarks = &lines.remarks;
    answer.nodes = Some(lines.tried);
}

impl<'v> DriverEntry<'v> {
    fn new(driver: &'v DriverLines) -> DriverEntry<'v> {
        DriverEntry {
            driver: &driver.name,
            total_kg: driver.planned.total.kg,
            margin: MarginEntry::new(&driver.required, Some(&driver.above_required), Some(&driver.passing)),
            above_own_minimum_kg: driver.above_own.kg,
            in_band: driver.misses.is_empty(),
            placements: driver.placements.iter().map(PlacementEntry::new).collect(),
            residuals: ResidualEntry::of_targets(&driver.targets),
            corners_kg: StatesEntry::new(&driver.planned.states),
            plus_minus: SureStatesEntry::new(&driver.planned.states),
            before: EarlierEntry::new(&driver.before, &driver.targets),
        }
    }
}

impl<'v> MountEntry<'v> {
    fn new(line: &'v MatrixLine, drivers: &'v [DriverLines]) -> MountEntry<'v> {
        let carries = drivers.iter().zip(line.carries.iter().zip(&line.pieces));
        MountEntry {
            mount: &line.mount,
            quick: line.quick,
            carries: carries
                .map(|(driver, (carries, pieces))| CarriesEntry {
                    driver: &driver.name,
                    mass_kg: carries.kg,
                    pieces,
                })
                .collect(),
        }
    }
}

impl<'v> SetEntry<'v> {
    fn new(line: &'v SettingsLine, drivers: &'v [DriverLines]) -> SetEntry<'v> {
        let set = drivers.iter().zip(&line.set);
        let set = set.map(|(driver, setting)| SetForEntry { driver: &driver.name, setting });
        SetEntry { adjuster: &line.adjuster, quick: line.quick, set: set.collect() }
    }
}

impl<'v> HandoverEntry<'v> {
    fn new(lines: &'v HandoverLines) -> HandoverEntry<'v> {
        HandoverEntry {
            changes: lines.changes,
            minutes: lines.minutes.map(rounded_minutes),
            adjusters: lines.settings.iter().map(AdjusterEntry::new).collect(),
            jobs: lines.jobs.iter().map(ChangeEntry::new).collect(),
        }
    }
}

/// To a thousandth: sums of what people write have no more.
fn rounded_minutes(minutes: f64) -> f64 {
    (minutes * 1e3).round() / 1e3
}
