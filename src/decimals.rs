//! Numbers as decimals, written the same way in files and in every report.

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

/// Round numbers within a range, about so many of them.
pub(crate) fn ticks((least, most): (f64, f64), about: usize) -> impl Iterator<Item = f64> {
    let rough = (most - least) / about.max(1) as f64;
    let power = 10_f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].map(|factor| factor * power).into_iter().find(|step| *step >= rough);
    let step = step.unwrap_or(10.0 * power);
    let first = (least / step).ceil() as i64;
    let last = (most / step).floor() as i64;
    (first..=last).map(move |tick| tick as f64 * step)
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

    #[test]
    fn ticks_are_round_and_few() {
        for range in [(42.3, 44.9), (49.01, 49.23), (20.0, 80.0), (0.0, 0.1)] {
            let ticks: Vec<f64> = ticks(range, 7).collect();
            assert!((4..=8).contains(&ticks.len()), "{ticks:?}");
            assert!(ticks.iter().all(|tick| (range.0..=range.1).contains(tick)));
        }
    }
}
