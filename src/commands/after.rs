//! Weighings after work: gone through before any command that starts from the kart as it is now.
//! Takes a scenario that was read; gives the kart now with every forecast on the way, or why what was fitted is not known.
//! Does not compare forecast and truth.

use std::time::Instant;

use kentledge::diagnosis::{Diagnosis, Fault, Place};
use kentledge::document::{Document, Step as Way};
use kentledge::tasks::after::{self, Followed, Lost};

use crate::request::Options;
use crate::streams::Streams;
use crate::waiting::patiently;
use crate::{Exit, Failure, Reading, Trouble};

/// Goes through the weighings after work, for any command.
pub(crate) fn followed(
    reading: &Reading,
    command: &str,
    options: &Options,
    streams: &Streams,
    started: Instant,
) -> Result<Followed, Failure> {
    let lost =
        patiently(streams, started, options.time, |patience| after::followed(&reading.scenario, patience));
    lost.map_err(|lost| {
        let unknown = |after: usize, legal| {
            let place = reading.document.place_at(&lead_of_after(&reading.document, after));
            at(reading, Fault::PlanUnknown { after: after + 1, legal }, place, command, options, started)
        };
        Failure::Trouble(match lost {
            Lost::Disagreement(disagreement) => reading.disagreed(&disagreement, command, options, started),
            Lost::NoPlan { after } => unknown(after, false),
            Lost::NotProved { after } => Trouble { exit: Exit::NoAnswer, ..unknown(after, true) },
        })
    })
}

/// The way to `lead` of one weighing under `after`, which is a list or the one weighing itself.
pub(super) fn lead_of_after(document: &Document, after: usize) -> Vec<Way<'static>> {
    let item = document.is_list("after").then_some(Way::Item(after));
    std::iter::once(Way::Key("after")).chain(item).chain([Way::Key("aboard"), Way::Key("lead")]).collect()
}

/// A fault of the file that only a command finds.
pub(super) fn at(
    reading: &Reading,
    fault: Fault,
    place: Option<Place>,
    command: &str,
    options: &Options,
    started: Instant,
) -> Trouble {
    let diagnoses = [Diagnosis { kind: fault, place }];
    reading.wrong(&diagnoses, command, options, started)
}
