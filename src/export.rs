//! A goal's integer program in free MPS format, for any solver.
//! Does not solve and does not know karts; names of kinds and mounts reach it as comment lines.
//!
//! MPS says nothing of the direction of the objective; it is to be minimised, which is every reader's default.

use std::fmt::Write as _;

use crate::model::linear::{Column, Fixed, Linear, ONE};

/// The program as free MPS, with comment lines on top.
pub fn mps(linear: &Linear, comments: &[String]) -> String {
    let mut text = String::new();
    for comment in comments {
        // A comment is one line; user text may hold anything.
        let line: String = comment.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        push(&mut text, format_args!("* {line}"));
    }
    push(&mut text, format_args!("NAME kentledge\nROWS\n N value"));
    for row in &linear.rows {
        let sense = match (row.least, row.most) {
            (Some(least), Some(most)) if least == most => 'E',
            (Some(_), _) => 'G',
            (None, _) => 'L',
        };
        push(&mut text, format_args!(" {sense} {}", row.name));
    }
    push(&mut text, format_args!("COLUMNS"));
    let mut factors: Vec<Vec<(&str, Fixed)>> = vec![Vec::new(); linear.columns.len()];
    for row in &linear.rows {
        for (column, factor) in &row.terms {
            factors[*column].push((&row.name, *factor));
        }
    }
    let mut among_whole = false;
    for (column, factors) in linear.columns.iter().zip(&factors) {
        if column.whole != among_whole {
            among_whole = column.whole;
            let marker = if among_whole { "INTORG" } else { "INTEND" };
            push(&mut text, format_args!(" whole 'MARKER' '{marker}'"));
        }
        // A column without a factor must still be named once, or readers do not know it.
        push(&mut text, format_args!(" {} value {}", column.quantity, Decimal(column.objective)));
        for (row, factor) in factors.iter().filter(|(_, factor)| *factor != 0) {
            push(&mut text, format_args!(" {} {row} {}", column.quantity, Decimal(*factor)));
        }
    }
    if among_whole {
        push(&mut text, format_args!(" whole 'MARKER' 'INTEND'"));
    }
    push(&mut text, format_args!("RHS"));
    // By convention the right-hand side of the objective is minus its constant.
    if linear.constant != 0 {
        push(&mut text, format_args!(" rhs value {}", Decimal(-linear.constant)));
    }
    for row in &linear.rows {
        let side = row.least.or(row.most).unwrap_or(0);
        if side != 0 {
            push(&mut text, format_args!(" rhs {} {}", row.name, Decimal(side)));
        }
    }
    let ranges = linear.rows.iter().filter_map(|row| {
        let width = row.most? - row.least?;
        (width != 0).then_some((&row.name, width))
    });
    for (position, (row, width)) in ranges.enumerate() {
        if position == 0 {
            push(&mut text, format_args!("RANGES"));
        }
        push(&mut text, format_args!(" range {row} {}", Decimal(width)));
    }
    push(&mut text, format_args!("BOUNDS"));
    for Column { quantity, least, most, .. } in &linear.columns {
        match most {
            // Readers differ on an upper bound of zero without a lower one; a fixed column leaves no doubt.
            Some(most) if most == least => {
                push(&mut text, format_args!(" FX bound {quantity} {}", Decimal(*most)));
                continue;
            }
            Some(most) => push(&mut text, format_args!(" UP bound {quantity} {}", Decimal(*most))),
            None => push(&mut text, format_args!(" PL bound {quantity}")),
        }
        if *least != 0 {
            push(&mut text, format_args!(" LO bound {quantity} {}", Decimal(*least)));
        }
    }
    push(&mut text, format_args!("ENDATA"));
    text
}

fn push(text: &mut String, line: std::fmt::Arguments<'_>) {
    // Writing to a string cannot fail.
    let _ = writeln!(text, "{line}");
}

/// A number in units of 10⁻¹² as an exact decimal.
#[derive(Clone, Copy, Debug)]
pub struct Decimal(pub Fixed);

impl std::fmt::Display for Decimal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let magnitude = self.0.unsigned_abs();
        let (whole, part) = (magnitude / ONE.unsigned_abs(), magnitude % ONE.unsigned_abs());
        let sign = if self.0 < 0 { "-" } else { "" };
        if part == 0 {
            write!(f, "{sign}{whole}")
        } else {
            write!(f, "{sign}{whole}.{}", format!("{part:012}").trim_end_matches('0'))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_exact() {
        let shown: Vec<String> =
            [0, ONE, -ONE / 4, 453_592_370_000, 1].map(|number| Decimal(number).to_string()).to_vec();
        assert_eq!(shown, ["0", "1", "-0.25", "0.45359237", "0.000000000001"]);
    }
}
