//! A reader of free MPS, written from the format alone: what another solver would understand of an exported program.
//! Anything unexpected is a panic.
//! Shares nothing with the writer but the unit of its numbers.

use std::collections::BTreeMap;

/// One, in units of 10⁻¹².
const ONE: i128 = 1_000_000_000_000;

#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Column {
    pub(crate) whole: bool,
    pub(crate) objective: i128,
    pub(crate) least: i128,
    pub(crate) most: Option<i128>,
    /// Factors by row; those of zero are not there.
    pub(crate) factors: BTreeMap<String, i128>,
}

#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Read {
    pub(crate) comments: Vec<String>,
    /// Least and most of the sums, by name.
    pub(crate) rows: BTreeMap<String, (Option<i128>, Option<i128>)>,
    pub(crate) columns: BTreeMap<String, Column>,
    /// Names in the order of the file.
    pub(crate) row_names: Vec<String>,
    pub(crate) column_names: Vec<String>,
    pub(crate) constant: i128,
}

pub(crate) fn read(text: &str) -> Read {
    let mut read = Read::default();
    let (mut section, mut whole, mut objective) = ("", false, "");
    let mut senses: BTreeMap<String, char> = BTreeMap::new();
    let mut ended = false;
    for line in text.lines() {
        assert!(!ended, "`{line}` comes after the end");
        let words: Vec<&str> = line.split_whitespace().collect();
        if let Some(comment) = line.strip_prefix('*') {
            read.comments.push(comment.trim_start().to_owned());
        } else if !line.starts_with(' ') {
            section = words[0];
            ended = section == "ENDATA";
        } else {
            match (section, words.as_slice()) {
                ("ROWS", ["N", name]) => objective = name,
                ("ROWS", [sense, name]) => {
                    let sense = sense.chars().next().expect("a word");
                    assert!(senses.insert((*name).to_owned(), sense).is_none(), "two rows `{name}`");
                    let zero = Some(0);
                    let range = match sense {
                        'L' => (None, zero),
                        'G' => (zero, None),
                        'E' => (zero, zero),
                        other => panic!("sense {other}"),
                    };
                    read.rows.insert((*name).to_owned(), range);
                    read.row_names.push((*name).to_owned());
                }
                ("COLUMNS", [_, "'MARKER'", marker]) => {
                    whole = match *marker {
                        "'INTORG'" => true,
                        "'INTEND'" => false,
                        other => panic!("marker {other}"),
                    };
                }
                ("COLUMNS", [name, row, factor]) => read.add_factor(name, row, factor, whole, objective),
                ("RHS", [_, row, side]) if *row == objective => read.constant = -number(side),
                ("RHS", [_, row, side]) => {
                    let range = read.rows.get_mut(*row).expect("a known row");
                    let moved = |end: Option<i128>| end.map(|_| number(side));
                    *range = (moved(range.0), moved(range.1));
                }
                ("RANGES", [_, row, width]) => {
                    let range = read.rows.get_mut(*row).expect("a known row");
                    let width = number(width);
                    *range = match senses[*row] {
                        'G' => (range.0, range.0.map(|least| least + width)),
                        'L' => (range.1.map(|most| most - width), range.1),
                        other => panic!("a range on a row of sense {other}"),
                    };
                }
                ("BOUNDS", [kind, _, name, bound @ ..]) => {
                    let column = read.columns.get_mut(*name).expect("a known column");
                    match (*kind, bound) {
                        ("UP", [most]) => column.most = Some(number(most)),
                        ("LO", [least]) => column.least = number(least),
                        ("FX", [value]) => (column.least, column.most) = (number(value), Some(number(value))),
                        ("PL", []) => column.most = None,
                        _ => panic!("`{line}` is no bound"),
                    }
                }
                _ => panic!("`{line}` in section {section}"),
            }
        }
    }
    assert!(ended, "no end");
    read
}

impl Read {
    fn add_factor(&mut self, name: &str, row: &str, factor: &str, whole: bool, objective: &str) {
        if !self.columns.contains_key(name) {
            self.column_names.push(name.to_owned());
        }
        let fresh = Column { whole, ..Column::default() };
        let column = self.columns.entry(name.to_owned()).or_insert(fresh);
        assert_eq!(column.whole, whole, "the marker changes inside `{name}`");
        if row == objective {
            column.objective = number(factor);
        } else {
            assert!(self.rows.contains_key(row), "no row `{row}`");
            let twice = column.factors.insert(row.to_owned(), number(factor));
            assert!(twice.is_none(), "two factors of `{name}` in `{row}`");
        }
    }
}

/// A decimal as a whole number of 10⁻¹²; more decimals than that are a panic.
fn number(text: &str) -> i128 {
    let (sign, digits) = text.strip_prefix('-').map_or((1, text), |digits| (-1, digits));
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    assert!(part.len() <= 12 && !whole.is_empty(), "`{text}`");
    let part: i128 = format!("{part:0<12}").parse().expect("decimals");
    sign * (whole.parse::<i128>().expect("a whole number") * ONE + part)
}
