//! Text in a picture, where nothing breaks lines by itself.
//! Letters are taken to be as wide as the widest usual ones, so lines end early rather than late.

use crate::wrapping;

/// Width of a letter, as a share of its size: Latin letters, and those that fill a square.
const LATIN: f64 = 0.62;
const SQUARE: f64 = 1.05;

/// Lines of words that are at most so wide; a word that is wider by itself is broken.
pub(crate) fn lines(text: &str, wide: f64, size: f64) -> Vec<String> {
    let width = |letter: char| size * if letter < '\u{1100}' { LATIN } else { SQUARE };
    wrapping::lines(text, |_| wide, width)
}

#[cfg(test)]
mod tests {
    use super::lines;

    #[test]
    fn words_stay_whole_where_they_can() {
        assert_eq!(lines("one two three", 10.0 * 0.62 * 8.0, 10.0), ["one two", "three"]);
        assert_eq!(lines("abcdefghij", 10.0 * 0.62 * 4.0, 10.0), ["abcd", "efgh", "ij"]);
        assert_eq!(lines("", 100.0, 10.0), [""]);
    }

    #[test]
    fn nothing_is_lost() {
        let text = "the mount behind the seat, where the old battery box stood until it was sawn off";
        for wide in [1.0, 20.0, 90.0, 300.0] {
            let kept: String = lines(text, wide, 11.0).concat();
            assert_eq!(kept.replace(' ', ""), text.replace(' ', ""));
        }
    }
}
