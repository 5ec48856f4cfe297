//! Numbers as decimals, written the same way in files and in every report.
//! Takes a number and how many decimals; gives text.
//! Does not know units, nor how many decimals anything deserves.

use std::fmt::Display;

/// What is nearer to the half of a last place than this is taken as a half: a thousandth of a milligram, far more than stored
/// numbers are off and far less than is ever shown.
const AS_GOOD_AS_HALF: f64 = 1e-9;

/// Always so many decimals, halves away from zero; never `-0.00`.
///
/// 163.1375 is stored as a little less than that, 163.4375 exactly. Rounded as they are stored the one would be shown too
/// small and the other too large, and sums on a screen would be a gram off.
pub fn fixed(number: f64, decimals: usize) -> String {
    let written = format!("{:.decimals$}", number + AS_GOOD_AS_HALF.copysign(number));
    match written.strip_prefix('-') {
        Some(zero) if zero.bytes().all(|byte| matches!(byte, b'0' | b'.')) => zero.to_owned(),
        _ => written,
    }
}

/// `1 change`, `3 changes`.
pub fn counted<T: Copy + From<u8> + PartialEq + Display>(count: T, what: &str) -> String {
    let plural = if count == T::from(1) { "" } else { "s" };
    format!("{count} {what}{plural}")
}

/// At most so many decimals, none that say nothing.
pub fn trimmed(number: f64, decimals: usize) -> String {
    let written = fixed(number, decimals);
    if written.contains('.') {
        written.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        written
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn halves_of_the_last_place_go_the_same_way_however_they_are_stored() {
        let shown = [163.1375, 163.4375, 0.0375, -0.0375].map(|number| fixed(number, 3));
        assert_eq!(shown, ["163.138", "163.438", "0.038", "-0.038"]);
        assert_eq!([fixed(157.385, 2), fixed(157.375, 2)], ["157.39", "157.38"]);
    }

    #[test]
    fn less_than_a_half_is_not_taken_as_one() {
        assert_eq!(fixed(0.037_499_99, 3), "0.037");
        assert_eq!(fixed(12.499_999, 0), "12");
    }

    #[test]
    fn nothing_is_neither_negative_nor_followed_by_zeros() {
        assert_eq!(
            [fixed(-0.0, 2), fixed(-0.001, 2), trimmed(-1e-12, 3), trimmed(2.50, 3)],
            ["0.00", "0.00", "0", "2.5"]
        );
    }
}
