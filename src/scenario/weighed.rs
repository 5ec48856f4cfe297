//! The part of a file about a weighing: what the pads told, and what was aboard.
//! Takes the settings under `weighing`, with the names they may mention; gives the weighing, or notes what is wrong.
//! Does not compare one weighing with another (`consistency`).

use super::aboard::{Names, read_aboard};
use super::{NONE, Weighing, sets};
use crate::diagnosis::Fault;
use crate::document::{Fields, Value};

/// A weighing as listed, with the settings to point at.
pub(super) struct ListedWeighing<'r> {
    pub(super) scales: Value<'r>,
    pub(super) aboard: Value<'r>,
    pub(super) weighing: Option<Weighing>,
}

/// Reads a weighing: the main one, or a driver's own.
pub(super) fn weighing<'r>(value: &Value<'r>, names: &Names) -> Option<ListedWeighing<'r>> {
    let fields = value.settings("weighing", "weighing: {scales: ..., aboard: ...}")?;
    let listed = weighing_within(&fields, names);
    fields.finish();
    listed
}

/// Reads `scales` and `aboard` among other settings, which the caller asks for before it finishes.
pub(super) fn weighing_within<'r>(fields: &Fields<'r>, names: &Names) -> Option<ListedWeighing<'r>> {
    let repeats = fields.value("repeats");
    let scales = match &repeats {
        Some(repeats) => {
            if let Some(scales) = fields.value("scales") {
                scales.note_key(Fault::BothGiven { first: "repeats", second: "scales" });
            }
            Some(repeats.clone())
        }
        None => fields.required("scales", "scales: {lf: 30.1 kg, rf: 30.4 kg, lr: 40.2 kg, rr: 41 kg}"),
    };
    let aboard = fields.required("aboard", "aboard: {driver: Sam, fuel: 3 L, lead: as fitted}");
    let corrections = sets::corrections(fields);
    let contents = aboard.as_ref().and_then(|aboard| read_aboard(aboard, names));
    let with_driver = aboard.as_ref().and_then(|a| a.peek("driver")).is_none_or(|d| d.word() != Some(NONE));
    let sets = match (&repeats, &scales) {
        (Some(repeats), _) => sets::repeats(repeats, contents.as_ref(), names, with_driver),
        (None, Some(scales)) => sets::single(scales, contents.as_ref(), with_driver),
        (None, None) => None,
    };
    let weighing = sets.zip(corrections).and_then(|(sets, corrections)| {
        let (readings, taken) = corrections.applied(sets, names, scales.as_ref()?)?;
        Some(Weighing { readings, aboard: contents?, taken })
    });
    Some(ListedWeighing { scales: scales?, aboard: aboard?, weighing })
}
