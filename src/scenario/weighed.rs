//! The part of a file about a weighing: when, what the pads told, and what was aboard.

use super::aboard::{Names, read_aboard};
use super::{NONE, OfficialTotal, Weighing, keys, sets};
use crate::date::Date;
use crate::document::Value;
use crate::document::block::Block;

/// A weighing as listed, with the settings to point at.
pub(super) struct ListedWeighing<'r> {
    pub(super) value: Value<'r>,
    pub(super) scales: Value<'r>,
    pub(super) aboard: Value<'r>,
    pub(super) date: Option<Date>,
    /// Whether it is of the kart as raced, rather than made to learn from.
    pub(super) as_raced: bool,
    pub(super) weighing: Option<Weighing>,
}

/// What the officials alone told, as listed.
pub(super) struct ListedTotal {
    pub(super) date: Option<Date>,
    pub(super) total: Option<OfficialTotal>,
}

/// What an entry without readings says, which comes after so many weighings; none, which has been noted, if it tells no total
/// either.
pub(super) fn total(given: keys::Weighing, names: &Names, after: usize) -> Option<ListedTotal> {
    let value = given.value().clone();
    if given.alone.value.is_none() || after == 0 {
        value.note_missing("scales", format!("scales: {}", keys::Scales::EXAMPLE));
        return None;
    }
    let aboard = given.aboard.read.and_then(|aboard| read_aboard(aboard, names));
    let (date, read) = (given.date.optional()?, given.alone.read);
    let told = |total| Some(OfficialTotal { date, after, total, aboard: aboard? });
    Some(ListedTotal { date, total: read.and_then(told) })
}

/// What a weighing says: one of the list, or a driver's own.
pub(super) fn weighing<'r>(given: keys::Weighing<'r>, names: &Names) -> Option<ListedWeighing<'r>> {
    let value = given.value().clone();
    let (scales, aboard) = (given.repeats.value.or(given.scales.value.clone()), given.aboard.value);
    let official = given.official.optional();
    let set_up = given.set_up.optional();
    let pads = given.pads.at(|key, items| sets::pads_under(key, &items)).optional();
    let corrections = sets::corrections(given.zero_before, given.zero_after, given.floor);
    let with_driver = aboard.as_ref().and_then(|a| a.peek("driver")).is_none_or(|d| d.word() != Some(NONE));
    let contents = given.aboard.read.and_then(|aboard| read_aboard(aboard, names));
    let pads = pads?;
    let sets = match (given.repeats.read, given.scales.read, &scales) {
        (Some(items), _, Some(value)) => {
            sets::repeats(value, &items, pads, contents.as_ref(), names, with_driver)
        }
        (_, Some(scales), _) => sets::single(scales, pads, contents.as_ref(), with_driver),
        _ => None,
    };
    let (date, as_raced) = (given.date.optional(), given.purpose.value.is_none());
    let weighing = sets.zip(corrections).and_then(|(sets, corrections)| {
        let (readings, taken) = corrections.applied(sets, names, scales.as_ref()?)?;
        let (official, as_official, as_learned) = (official?, false, false);
        Some(Weighing {
            date: date?,
            as_raced,
            set_up: set_up?,
            readings,
            official,
            official_later: None,
            as_official,
            as_learned,
            aboard: contents?,
            taken,
        })
    });
    let date = date.flatten();
    Some(ListedWeighing { value, scales: scales?, aboard: aboard?, date, as_raced, weighing })
}
