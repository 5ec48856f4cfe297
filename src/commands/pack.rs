//! `pack`: the smallest kit for a trip.
//! Takes a scenario that was read; gives the kit with its exit code, or why there is none.
//! Does not search and does not lay anything out.

use std::time::Instant;

use kentledge::answer::pack::Pack;
use kentledge::blocks;
use kentledge::decimals::trimmed;
use kentledge::marks::{given, written};
use kentledge::tasks::pack::{Progress, Worth, pack};
use kentledge::units::{Mass, UnitSystem};

use crate::request::Options;
use crate::streams::Streams;
use crate::waiting::patiently_telling;
use crate::{Answer, Exit, Failure, Reading};

/// The kit.
pub(crate) fn answer(
    reading: &Reading,
    options: &Options,
    streams: &Streams,
    started: Instant,
) -> Result<Answer, Failure> {
    let followed = super::after::followed(reading, "pack", options, streams, started)?;
    let scenario = &followed.now;
    let progress = Progress::default();
    let units = reading.units(options);
    let priced = scenario.trip().is_priced();
    let told = || so_far(units, priced, &progress);
    let found = patiently_telling(streams, started, options.time, told, |patience| {
        pack(scenario, patience, &progress)
    });
    let found = found.map_err(|disagreement| reading.disagreed(&disagreement, "pack", options, started))?;
    let pack = Pack::new(scenario, &found);
    let form = reading.form(options, "pack", started, Exit::of(pack.status, pack.on_target));
    Ok(form.answer(pack.status.words(), &pack, |_| blocks::pack(&pack), |_| (Vec::new(), None))?)
}

/// `40 kits tried; best so far 61.5, 22.25 kg; nothing beats 57, 22 kg`.
fn so_far(units: UnitSystem, priced: bool, progress: &Progress) -> String {
    let worth = |worth: Worth| {
        let cost = match (priced, worth.cost) {
            (true, cost) => trimmed(cost as f64 / 1e3, 3),
            (false, 1) => "1 piece bought".to_owned(),
            (false, cost) => format!("{cost} pieces bought"),
        };
        format!("{cost}, {}", written(&given(Mass::from_ng(worth.mass_ng)).to_string(), units))
    };
    let (best, bound) = progress.best_and_bound();
    let best = best.map_or("none serves all yet".to_owned(), |best| format!("best so far {}", worth(best)));
    let bound = bound.map(|bound| format!("; nothing beats {}", worth(bound))).unwrap_or_default();
    format!("{} kits tried; {best}{bound}; Ctrl-C shows the best so far\n", progress.kits())
}
