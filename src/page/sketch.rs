//! Places in a plane drawn in letters, as wide as there is room, with ticks along both edges and a box for what is wanted.
//! Takes numbers in one unit; gives lines of ASCII. Knows neither figures nor units.

use crate::decimals::{ticks, trimmed};

/// Rows of the picture, so that it fits a screen with what is said of it.
const ROWS: usize = 12;
/// Before each row: a number and the edge.
const LABEL: usize = 6;

/// Places, in the order in which they are drawn: later ones cover earlier ones.
#[derive(Clone, Debug)]
pub struct Sketch {
    /// How far to the right, how far up, and the letter.
    pub places: Vec<(f64, f64, char)>,
    /// From where to where it is as wanted, to the right and upwards; none where anything will do.
    pub wanted: [Option<(f64, f64)>; 2],
    /// What the letters mean.
    pub legend: String,
}

impl Sketch {
    /// The lines of a picture of so many columns.
    pub fn drawn(&self, width: usize) -> Vec<String> {
        let columns = width.saturating_sub(LABEL + 2).max(10);
        let [wide, high] = self.wanted;
        let across = Edge::new(self.places.iter().map(|place| place.0).chain(ends(wide)), columns);
        let up = Edge::new(self.places.iter().map(|place| place.1).chain(ends(high)), ROWS);
        let mut rows = vec![vec![' '; columns]; ROWS];
        for value in ends(wide) {
            let (from, to) = high.map_or((0, ROWS - 1), |(from, to)| (up.at(from), up.at(to)));
            rows[from..=to].iter_mut().for_each(|row| row[across.at(value)] = ':');
        }
        for value in ends(high) {
            let (from, to) = wide.map_or((0, columns - 1), |(from, to)| (across.at(from), across.at(to)));
            rows[up.at(value)][from..=to].fill('-');
        }
        for (x, y, letter) in &self.places {
            rows[up.at(*y)][across.at(*x)] = *letter;
        }
        let mut labels = vec![String::new(); ROWS];
        for tick in ticks((up.from, up.to), ROWS / 4) {
            labels[up.at(tick)] = trimmed(tick, 2);
        }
        let mut lines: Vec<String> = labels
            .iter()
            .zip(&rows)
            .rev()
            .map(|(label, row)| {
                let row: String = row.iter().collect();
                format!("{label:>LABEL$} |{row}").trim_end().to_owned()
            })
            .collect();
        let mut axis = vec!['-'; columns];
        let mut numbers = " ".repeat(LABEL + 2);
        for tick in ticks((across.from, across.to), columns / 9) {
            let (at, number) = (across.at(tick), trimmed(tick, 2));
            axis[at] = '+';
            // Below its tick; where there is no room left the tick goes without.
            let begin = (LABEL + 2 + at).saturating_sub(number.len() / 2);
            if begin > numbers.trim_end().len() && begin + number.len() <= width {
                numbers.truncate(numbers.trim_end().len());
                numbers = format!("{numbers:begin$}{number}");
            }
        }
        lines.push(format!("{:>LABEL$} +{}", "", axis.into_iter().collect::<String>()));
        lines.push(numbers);
        lines
    }
}

fn ends(span: Option<(f64, f64)>) -> impl Iterator<Item = f64> {
    span.into_iter().flat_map(|(from, to)| [from, to])
}

/// From numbers to letters along one edge.
struct Edge {
    from: f64,
    to: f64,
    letters: usize,
}

impl Edge {
    fn new(values: impl Iterator<Item = f64>, letters: usize) -> Edge {
        let ends = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), value| {
            (least.min(value), most.max(value))
        });
        let (from, to) = if ends.0 <= ends.1 { ends } else { (0.0, 1.0) };
        Edge { from, to: to.max(from + 0.01), letters }
    }

    fn at(&self, value: f64) -> usize {
        let part = ((value - self.from) / (self.to - self.from)).clamp(0.0, 1.0);
        (part * (self.letters - 1) as f64).round() as usize
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sketch() -> Sketch {
        let places = vec![(40.0, 48.0, 'o'), (44.0, 51.0, 'o'), (43.0, 50.0, '+')];
        Sketch { places, wanted: [Some((42.5, 43.5)), Some((49.5, 50.5))], legend: String::new() }
    }

    #[test]
    fn it_is_as_wide_as_its_room_and_has_ticks_at_round_numbers() {
        for width in [40, 60, 98] {
            let lines = sketch().drawn(width);
            assert_eq!(lines.iter().map(|line| line.chars().count()).max(), Some(width));
            assert_eq!(lines.len(), ROWS + 2);
            let numbers = lines.last().expect("the numbers").split_whitespace();
            assert!(numbers.clone().count() > 1 && numbers.clone().any(|number| number == "42"), "{lines:?}");
            let axis = &lines[ROWS];
            let places: Vec<usize> = axis.match_indices('+').map(|(at, _)| at).collect();
            // The edge, 40, ... 44: the last one at the end.
            assert_eq!((places[1], places.last()), (LABEL + 2, Some(&(width - 1))), "{axis}");
        }
    }

    #[test]
    fn the_box_is_where_both_are_as_wanted() {
        let lines = sketch().drawn(60);
        let sides: Vec<&String> = lines.iter().filter(|line| line.contains(':')).collect();
        let target = lines[..ROWS].iter().find(|line| line.contains('+')).expect("the target has a row");
        let [left, right] = [target.find(':'), target.rfind(':')].map(|at| at.expect("a side"));
        let at = target.find('+').expect("the target");
        assert!(left < at && at < right, "{target}");
        assert!(!sides.is_empty() && sides.len() < 5, "{lines:?}");
        let all = Sketch { wanted: [Some((42.5, 43.5)), None], ..sketch() }.drawn(60);
        assert_eq!(all.iter().filter(|line| line.contains(':')).count(), ROWS, "{all:?}");
    }

    #[test]
    fn one_place_alone_is_a_picture_too() {
        let alone = Sketch { places: vec![(43.0, 50.0, 'N')], wanted: [None, None], legend: String::new() };
        assert_eq!(alone.drawn(60).iter().filter(|line| line.contains('N')).count(), 1);
    }
}
