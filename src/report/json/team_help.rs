//! Who costs a team what, and what would help it, as parts of a JSON document.
//! Takes the lines; gives entries in kg and counts.
//! Does not choose: documents have all of it.

use serde::Serialize;

use super::help::{EasingEntry, HelpEntry};
use crate::goal::Goal;
use crate::report::team_help::{CostLine, StandingLine, TeamHelpLine, TeamHelpLines};

#[derive(Serialize)]
struct StandingEntry {
    most_above_own_minimum_kg: f64,
    outside_bands_kg: f64,
    drivers_out_of_band: usize,
    changes: i64,
    stops: usize,
    proved: bool,
}

#[derive(Serialize)]
struct CostEntry<'v> {
    driver: &'v str,
    /// The others with everybody there.
    with: Option<StandingEntry>,
    /// The others alone.
    without: Option<StandingEntry>,
    outcome: &'static str,
    /// With this driver there, one of the others carries at least so much more than alone, whatever is done.
    at_least_above_own_minimum_kg: Option<f64>,
    is_in_the_way: bool,
    sentence: &'v str,
}

#[derive(Serialize)]
struct TeamHelpEntry<'v> {
    #[serde(flatten)]
    easing: EasingEntry<'v>,
    goal: Option<&'static str>,
    before: Option<StandingEntry>,
    after: StandingEntry,
    gains: &'v str,
}

/// What a document of `swap` says of help; empty where nothing is amiss.
#[derive(Default, Serialize)]
pub(super) struct TeamHelpEntries<'v> {
    costs: Vec<CostEntry<'v>>,
    would_help: Vec<TeamHelpEntry<'v>>,
    would_cure: Vec<HelpEntry<'v>>,
    unsettled: Vec<EasingEntry<'v>>,
}

impl<'v> TeamHelpEntries<'v> {
    pub(super) fn new(lines: &'v TeamHelpLines) -> TeamHelpEntries<'v> {
        let cures = lines.alone.iter();
        TeamHelpEntries {
            costs: lines.costs.iter().map(CostEntry::new).collect(),
            would_help: lines.lines.iter().map(TeamHelpEntry::new).collect(),
            would_cure: cures.clone().flat_map(|cures| &cures.lines).map(HelpEntry::new).collect(),
            unsettled: lines
                .unsettled
                .iter()
                .chain(cures.flat_map(|cures| &cures.unsettled))
                .map(EasingEntry::new)
                .collect(),
        }
    }
}

impl StandingEntry {
    fn new(line: &StandingLine) -> StandingEntry {
        StandingEntry {
            most_above_own_minimum_kg: line.beyond.kg,
            outside_bands_kg: line.outside.kg,
            drivers_out_of_band: line.out_of_band,
            changes: line.changes,
            stops: line.stops,
            proved: line.proved,
        }
    }
}

impl<'v> CostEntry<'v> {
    fn new(line: &'v CostLine) -> CostEntry<'v> {
        CostEntry {
            driver: &line.driver,
            with: line.with.as_ref().map(StandingEntry::new),
            without: line.without.as_ref().map(StandingEntry::new),
            outcome: line.outcome,
            at_least_above_own_minimum_kg: line.least_beyond.as_ref().map(|least| least.kg),
            is_in_the_way: line.is_in_the_way,
            sentence: &line.words,
        }
    }
}

impl<'v> TeamHelpEntry<'v> {
    fn new(line: &'v TeamHelpLine) -> TeamHelpEntry<'v> {
        TeamHelpEntry {
            easing: EasingEntry::new(&line.easing),
            goal: line.goal.map(Goal::word),
            before: line.before.as_ref().map(StandingEntry::new),
            after: StandingEntry::new(&line.after),
            gains: &line.gains,
        }
    }
}
