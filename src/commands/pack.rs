//! `pack`: the smallest kit for a trip.

use kentledge::answer::pack::Pack;
use kentledge::blocks;
use kentledge::decimals::{counted, trimmed};
use kentledge::marks::{given, written};
use kentledge::tasks::pack::{Progress, Worth, pack};
use kentledge::units::{Mass, UnitSystem};

use crate::outcome::{Answer, Exit, Failure};
use crate::run::Reading;

/// The kit.
pub(crate) fn answer(reading: &Reading) -> Result<Answer, Failure> {
    let scenario = &reading.scenario;
    let progress = Progress::default();
    let (units, priced) = (reading.units(), scenario.trip().is_priced());
    let told = || so_far(units, priced, &progress);
    let found = reading.search_telling(told, |patience| pack(scenario, patience, &progress))?;
    let pack = Pack::new(scenario, &found);
    let form = reading.form(Exit::of(pack.status, pack.on_target));
    form.words(pack.status.words(), &pack, || blocks::pack(&pack))
}

/// `40 kits tried; best so far 61.5, 22.25 kg; nothing beats 57, 22 kg`.
fn so_far(units: UnitSystem, priced: bool, progress: &Progress) -> String {
    let worth = |worth: Worth| {
        let cost = if priced {
            trimmed(worth.cost as f64 / 1e3, 3)
        } else {
            format!("{} bought", counted(worth.cost, "piece"))
        };
        format!("{cost}, {}", written(&given(Mass::from_ng(worth.mass_ng)).to_string(), units))
    };
    let (best, bound) = progress.best_and_bound();
    let best = best.map_or("none serves all yet".to_owned(), |best| format!("best so far {}", worth(best)));
    let bound = bound.map(|bound| format!("; nothing beats {}", worth(bound))).unwrap_or_default();
    format!("{} kits tried; {best}{bound}", progress.kits())
}
