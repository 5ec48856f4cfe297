//! Drivers whose place was taken from somebody else, as part of a JSON document.
//! Takes the lines; gives entries in mm.
//! Does not choose: documents have all of it.

use serde::Serialize;

use crate::report::borrowed::BorrowedLine;

#[derive(Serialize)]
pub(super) struct BorrowedEntry<'v> {
    driver: &'v str,
    /// Whose place it is.
    taken_from: &'v str,
    x_mm: f64,
    y_mm: f64,
    /// Limits of error, each way.
    x_within_mm: f64,
    y_within_mm: f64,
    sentence: &'v str,
}

impl<'v> BorrowedEntry<'v> {
    pub(super) fn of(lines: &'v [BorrowedLine]) -> Vec<BorrowedEntry<'v>> {
        let entry = |line: &'v BorrowedLine| {
            let ([x, y], [x_within, y_within]) = (&line.place, &line.within);
            BorrowedEntry {
                driver: &line.driver,
                taken_from: &line.from,
                x_mm: x.mm,
                y_mm: y.mm,
                x_within_mm: x_within.mm,
                y_within_mm: y_within.mm,
                sentence: &line.words,
            }
        };
        lines.iter().map(entry).collect()
    }
}
