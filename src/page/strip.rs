//! How a figure lies to its tolerance, drawn in letters: `....o.[.--#-.]......`.
//! Takes numbers in one unit; gives a line of ASCII. Knows neither figures nor units.

use super::{Cell, Tone};

/// A figure before and after, and what is wanted of it.
#[derive(Clone, Debug)]
pub struct Strip {
    /// What it is called.
    pub name: String,
    /// As it is now.
    pub now: Option<f64>,
    /// As it is planned.
    pub planned: Option<f64>,
    /// Half of the width within which the last of these is known.
    pub known_to: f64,
    pub wanted: Wanted,
    /// How it is now, in words, where a picture shows it alone.
    pub earlier: String,
    /// The last of these in words, and how it stands.
    pub shown: [Cell; 2],
}

/// What is wanted of a figure.
#[derive(Clone, Copy, Debug)]
pub enum Wanted {
    /// From `aim − within` to `aim + within`: a box of the same width in every strip.
    Between { aim: f64, within: f64 },
    /// No less than this.
    AtLeast(f64),
}

/// What the letters mean.
pub(super) const LEGEND: &str = "o now, # planned, - known to";

impl Strip {
    /// The strip, of an odd number of letters. What lies beyond its ends stands at the end.
    pub fn drawn(&self, width: usize) -> String {
        let centre = width as f64 / 2.0 - 0.5;
        let half_box = (width / 7) as f64;
        let (from, per_letter) = match self.wanted {
            Wanted::Between { aim, within } => {
                let per_letter = if within > 0.0 { within / half_box } else { 1.0 };
                (aim - centre * per_letter, per_letter)
            }
            Wanted::AtLeast(least) => {
                let known = self
                    .planned
                    .or(self.now)
                    .map_or([least; 2], |known| [known - self.known_to, known + self.known_to]);
                let ends = known.into_iter().chain(self.now).chain([least]);
                let (low, high) = ends.fold((least, least), |(low, high), end| (low.min(end), high.max(end)));
                (low, (high - low).max(f64::MIN_POSITIVE) / (width - 1) as f64)
            }
        };
        let at = |value: f64| ((value - from) / per_letter).round().clamp(0.0, (width - 1) as f64) as usize;
        let mut letters = vec!['.'; width];
        if let Some(known) = self.planned.or(self.now) {
            letters[at(known - self.known_to)..=at(known + self.known_to)].fill('-');
        }
        match self.wanted {
            Wanted::Between { aim, within } => {
                letters[at(aim - within)] = '[';
                letters[at(aim + within)] = ']';
            }
            Wanted::AtLeast(least) => letters[at(least)] = '|',
        }
        for (value, letter) in [(self.now, 'o'), (self.planned, '#')] {
            if let Some(value) = value {
                letters[at(value)] = letter;
            }
        }
        letters.into_iter().collect()
    }

    /// The same as cells of one row.
    pub(super) fn row(&self, width: usize) -> Vec<Cell> {
        let [known, stands] = self.shown.clone();
        vec![Cell::words(&self.name).toned(Tone::Strong), Cell::words(self.drawn(width)), known, stands]
    }
}

/// Values of one figure in the order of time, each a letter of its own from the least to the most; brackets enclose what is wanted.
/// The later of two at one place is seen.
pub fn in_time(values: &[(char, f64)], wanted: Option<[f64; 2]>, width: usize) -> String {
    let all = || values.iter().map(|(_, value)| *value).chain(wanted.into_iter().flatten());
    let (low, high) = all().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
        (if value < low { value } else { low }, if value > high { value } else { high })
    });
    let last = (width - 1) as f64;
    let per_letter = if high > low { (high - low) / last } else { 1.0 };
    let at = |value: f64| ((value - low) / per_letter).round().clamp(0.0, last) as usize;
    let mut letters = vec!['.'; width];
    if let Some([from, to]) = wanted {
        (letters[at(from)], letters[at(to)]) = ('[', ']');
    }
    for (letter, value) in values {
        letters[at(*value)] = *letter;
    }
    letters.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strip(wanted: Wanted, now: f64, planned: f64) -> Strip {
        let shown = [Cell::default(), Cell::default()];
        Strip {
            name: String::new(),
            earlier: String::new(),
            now: Some(now),
            planned: Some(planned),
            known_to: 0.3,
            wanted,
            shown,
        }
    }

    #[test]
    fn the_box_is_as_wide_as_the_tolerance_and_what_lies_beyond_stands_at_the_end() {
        let wanted = Wanted::Between { aim: 43.0, within: 0.5 };
        // Three letters to half a point: the box goes from the eighth to the fourteenth.
        assert_eq!(strip(wanted, 42.25, 43.0).drawn(21), ".....o.[--#--].......");
        assert!(strip(wanted, 30.0, 43.0).drawn(21).starts_with('o'));
        assert!(strip(wanted, 60.0, 43.0).drawn(21).ends_with('o'));
    }

    #[test]
    fn where_only_the_least_is_wanted_the_strip_holds_everything() {
        assert_eq!(strip(Wanted::AtLeast(160.0), 148.0, 161.7).drawn(29), "o.......................|..#-");
    }

    #[test]
    fn values_in_time_stand_from_the_least_to_the_most() {
        let values = [('1', 42.0), ('2', 43.0), ('3', 44.0)];
        assert_eq!(in_time(&values, Some([42.5, 43.5]), 9), "1.[.2.].3");
        assert_eq!(in_time(&[('1', 1.0), ('2', 1.0)], None, 5), "2....");
    }

    #[test]
    fn a_tolerance_of_nothing_is_a_box_all_the_same() {
        let drawn = strip(Wanted::Between { aim: 1.0, within: 0.0 }, 1.0, 1.0).drawn(21);
        assert_eq!(drawn.len(), 21);
        assert!(drawn.contains('#'), "{drawn}");
    }
}
