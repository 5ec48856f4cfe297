//! The part of a file about a weighing: what the pads told, and what was aboard.
//! Takes the settings under `weighing`, with the names they may mention; gives the weighing, or notes what is wrong.
//! Does not compare one weighing with another (`consistency`).

use super::aboard::{Names, read_aboard};
use super::{NONE, Weighing, keys, sets};
use crate::document::Value;

/// A weighing as listed, with the settings to point at.
pub(super) struct ListedWeighing<'r> {
    pub(super) scales: Value<'r>,
    pub(super) aboard: Value<'r>,
    pub(super) weighing: Option<Weighing>,
}

/// What a weighing says: the main one, a driver's own, a further one or one after work.
pub(super) fn weighing<'r, const AFTER: bool>(
    given: keys::Weighing<'r, AFTER>,
    names: &Names,
) -> Option<ListedWeighing<'r>> {
    let (scales, aboard) = (given.repeats.value.or(given.scales.value.clone()), given.aboard.value);
    let corrections = sets::corrections(given.zero_before, given.zero_after, given.floor);
    let with_driver = aboard.as_ref().and_then(|a| a.peek("driver")).is_none_or(|d| d.word() != Some(NONE));
    let contents = given.aboard.read.and_then(|aboard| read_aboard(aboard, names));
    let sets = match (given.repeats.read, given.scales.read, &scales) {
        (Some(items), _, Some(value)) => {
            sets::repeats::<AFTER>(value, &items, contents.as_ref(), names, with_driver)
        }
        (_, Some(scales), _) => sets::single(scales, contents.as_ref(), with_driver),
        _ => None,
    };
    let weighing = sets.zip(corrections).and_then(|(sets, corrections)| {
        let (readings, taken) = corrections.applied(sets, names, scales.as_ref()?)?;
        Some(Weighing { readings, aboard: contents?, taken })
    });
    Some(ListedWeighing { scales: scales?, aboard: aboard?, weighing })
}
