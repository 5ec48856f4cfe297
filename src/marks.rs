//! Amounts and names inside a sentence, kept as they are until somebody reads it: then in kilograms or in pounds.
//!
//! A mark stands between two characters that no name of a scenario can hold, as the reader of scenarios refuses them.

use std::fmt;
use std::marker::PhantomData;

use crate::decimals::{fixed, trimmed};
use crate::quantity::{Exact, Kg, Mm, Percent, Quantity, kg, mm, percent};
use crate::scenario::Figure;
use crate::units::{Length, Mass, UnitSystem};

const OPEN: char = '\u{1}';
const CLOSE: char = '\u{2}';

/// The unit of masses by itself.
pub const MASS_UNIT: &str = "\u{1}W\u{2}";
/// The unit of lengths by itself.
pub const LENGTH_UNIT: &str = "\u{1}L\u{2}";
/// What begins the mark of a name.
const NAME: char = 'N';

/// How a number is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Style {
    Column,
    Signed,
    Plain,
    Given,
    Place,
    Fine,
    Percent,
}

impl Style {
    const ALL: [Style; 7] =
        [Style::Column, Style::Signed, Style::Plain, Style::Given, Style::Place, Style::Fine, Style::Percent];

    fn unit(self, units: UnitSystem) -> &'static str {
        match (self, units) {
            (Style::Percent, _) => "%",
            (Style::Place | Style::Fine, UnitSystem::KgMm) => "mm",
            (Style::Place | Style::Fine, UnitSystem::LbIn) => "in",
            (_, units) => mass_unit(units),
        }
    }

    /// Decimals that are shown.
    fn decimals(self, units: UnitSystem) -> usize {
        let finer = usize::from(units == UnitSystem::LbIn);
        match self {
            Style::Column | Style::Signed | Style::Plain | Style::Percent => 2,
            Style::Given => 3,
            Style::Place => finer,
            Style::Fine => 1 + finer,
        }
    }

    fn in_units(self, value: f64, units: UnitSystem) -> f64 {
        match (self, units) {
            (Style::Percent, _) | (_, UnitSystem::KgMm) => value,
            (Style::Place | Style::Fine, UnitSystem::LbIn) => Length::from_mm(value).inches(),
            (_, UnitSystem::LbIn) => Mass::from_kg(value).lb(),
        }
    }

    fn number(self, value: f64, units: UnitSystem) -> String {
        let value = self.in_units(value, units);
        let decimals = self.decimals(units);
        match self {
            Style::Plain | Style::Given | Style::Place | Style::Fine => trimmed(value, decimals),
            Style::Column | Style::Percent => fixed(value, decimals),
            Style::Signed => {
                let number = fixed(value, decimals);
                if is_nothing(&number) || value < 0.0 { number } else { format!("+{number}") }
            }
        }
    }
}

fn is_nothing(number: &str) -> bool {
    number.bytes().all(|byte| matches!(byte, b'0' | b'.'))
}

/// The unit of masses.
pub const fn mass_unit(units: UnitSystem) -> &'static str {
    match units {
        UnitSystem::KgMm => "kg",
        UnitSystem::LbIn => "lb",
    }
}

/// A number with or without a ±, to be written as a mark.
#[derive(Clone, Copy, Debug)]
pub struct Amount {
    style: Style,
    value: f64,
    plus_minus: Option<f64>,
    with_unit: bool,
    is_seen: bool,
    is_alone: bool,
}

impl Amount {
    /// The same number without its ±, which stands elsewhere.
    #[must_use]
    pub const fn without_plus_minus(self) -> Amount {
        Amount { is_alone: true, ..self }
    }

    /// A ± that stands by itself, to its own digits.
    #[must_use]
    pub const fn as_plus_minus(self) -> Amount {
        Amount { plus_minus: Some(self.value), is_alone: true, ..self }
    }

    /// Never shown as nothing if it is something: it decides whether a kart is legal, or on target.
    #[must_use]
    pub const fn seen(self) -> Amount {
        Amount { is_seen: true, ..self }
    }

    /// The number without its unit, for columns whose heading has it.
    #[must_use]
    pub const fn bare(self) -> Amount {
        Amount { with_unit: false, ..self }
    }

    fn read(mark: &str) -> Option<Amount> {
        let mut parts = mark.split(';');
        let style = parts.next()?.parse::<usize>().ok()?;
        let style = *Style::ALL.get(style)?;
        let (value, plus_minus) = (parts.next()?.parse().ok()?, parts.next()?.parse().ok());
        let mut is_said = || parts.next().is_some_and(|part| part == "true");
        let (with_unit, is_seen, is_alone) = (is_said(), is_said(), is_said());
        Some(Amount { style, value, plus_minus, with_unit, is_seen, is_alone })
    }

    /// The number and its ±: this to one digit, to two where it begins with 1, the number to the same place (GUM, 7.2.6).
    fn numbers(self, units: UnitSystem) -> (String, Option<String>) {
        let Some(known) = self.plus_minus.filter(|known| *known > 0.0) else {
            return (self.number(self.style.number(self.value, units), self.style.decimals(units)), None);
        };
        let [value, known] = [self.value, known].map(|number| self.style.in_units(number, units));
        let first = known.log10().floor();
        let begins_with_one = known / 10.0_f64.powf(first) < 1.95;
        let decimals = (i32::from(begins_with_one) - first as i32).clamp(0, 3) as usize;
        let number = fixed(value, decimals);
        let sign = if self.style == Style::Signed && value > 0.0 && !is_nothing(&number) { "+" } else { "" };
        let known = (!self.is_alone).then(|| fixed(known, decimals));
        (self.number(format!("{sign}{number}"), decimals), known)
    }

    /// The number as written, but never as nothing where it is to be seen.
    fn number(self, number: String, decimals: usize) -> String {
        if self.is_seen && self.value > 0.0 && is_nothing(&number) {
            return format!("under {}", fixed(10.0_f64.powi(-(decimals as i32)), decimals));
        }
        number
    }
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Amount { style, value, plus_minus, with_unit, is_seen, is_alone } = self;
        let plus_minus = plus_minus.map_or_else(String::new, |plus_minus| plus_minus.to_string());
        let style = *style as usize;
        write!(f, "{OPEN}{style};{value};{plus_minus};{with_unit};{is_seen};{is_alone}{CLOSE}")
    }
}

/// A number of this unit, with its ± if it has one.
#[derive(Clone, Copy, Debug)]
pub struct Measure<U> {
    value: f64,
    plus_minus: Option<f64>,
    unit: PhantomData<U>,
}

impl<U> From<Exact<U>> for Measure<U> {
    fn from(exact: Exact<U>) -> Measure<U> {
        Measure { value: exact.value, plus_minus: None, unit: PhantomData }
    }
}

impl<U> From<Quantity<U>> for Measure<U> {
    fn from(known: Quantity<U>) -> Measure<U> {
        Measure { value: known.value, plus_minus: Some(known.plus_minus), unit: PhantomData }
    }
}

impl From<Mass> for Measure<Kg> {
    fn from(mass: Mass) -> Measure<Kg> {
        Exact::from(mass).into()
    }
}

impl From<Length> for Measure<Mm> {
    fn from(length: Length) -> Measure<Mm> {
        Exact::from(length).into()
    }
}

fn amount<U>(style: Style, measure: impl Into<Measure<U>>) -> Amount {
    let Measure { value, plus_minus, .. } = measure.into();
    Amount { style, value, plus_minus, with_unit: true, is_seen: false, is_alone: false }
}

/// A mass in a column: always two decimals, as fine as pads and tired eyes go; without its unit, which the heading has.
pub fn column(mass: impl Into<Measure<Kg>>) -> Amount {
    amount(Style::Column, mass).bare()
}

/// The same of a difference, always with its sign.
pub fn signed(mass: impl Into<Measure<Kg>>) -> Amount {
    amount(Style::Signed, mass).bare()
}

/// A mass in a sentence: at most two decimals, none that say nothing.
pub fn plain(mass: impl Into<Measure<Kg>>) -> Amount {
    amount(Style::Plain, mass)
}

/// A mass as somebody gave it: to the gram or the thousandth of a pound, none that say nothing.
pub fn given(mass: impl Into<Measure<Kg>>) -> Amount {
    amount(Style::Given, mass)
}

/// How far two masses are apart, to the gram.
pub fn apart(one: Mass, other: Mass) -> Amount {
    given((one - other).abs()).seen()
}

/// A place or a way on the kart: to the millimetre or the tenth of an inch.
pub fn place(length: impl Into<Measure<Mm>>) -> Amount {
    amount(Style::Place, length)
}

/// A small length, such as a spacer: to a tenth of a millimetre or the hundredth of an inch.
pub fn fine(length: impl Into<Measure<Mm>>) -> Amount {
    amount(Style::Fine, length)
}

/// A share, without its sign.
pub fn share(percent: impl Into<Measure<Percent>>) -> Amount {
    amount(Style::Percent, percent).bare()
}

/// A figure in its own unit, and that of its ±, without the unit.
pub fn figure(figure: Figure, value: f64, plus_minus: Option<f64>) -> Amount {
    let shown = match figure {
        Figure::Front | Figure::Rear | Figure::Left | Figure::Cross => share(percent(value)),
        Figure::FrontPair | Figure::RearPair => signed(kg(value)),
        Figure::Height => fine(mm(value)),
    };
    Amount { plus_minus, ..shown.bare() }
}

/// What is wanted of a figure: `43 ± 0.5`, in the figure's unit.
pub fn wanted(figure: Figure, aim: f64, within: f64) -> String {
    match figure {
        Figure::Front | Figure::Rear | Figure::Left | Figure::Cross => {
            format!("{} \u{b1} {}", trimmed(aim, 3), trimmed(within, 3))
        }
        Figure::FrontPair | Figure::RearPair => {
            format!("{} \u{b1} {}", given(kg(aim)).bare(), given(kg(within)).bare())
        }
        Figure::Height => format!("{} \u{b1} {}", fine(mm(aim)).bare(), fine(mm(within)).bare()),
    }
}

/// A name that does not stand in quotation marks.
pub fn name(name: &str) -> String {
    format!("{OPEN}{NAME}{name}{CLOSE}")
}

/// A piece of a sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Piece<'t> {
    /// Words of the program, and names in backticks.
    Words(&'t str),
    /// A name of the user.
    Name(&'t str),
    /// A number as it is read, that of its ±, and its unit if it is to be shown.
    Amount { number: String, plus_minus: Option<String>, unit: &'static str },
}

/// What stands before the next mark, the mark, and what stands after it.
fn next_mark(text: &str) -> Option<(&str, &str, &str)> {
    let (before, rest) = text.split_once(OPEN)?;
    let (mark, after) = rest.split_once(CLOSE)?;
    Some((before, mark, after))
}

/// The pieces of a sentence in the units of a reader.
pub fn pieces(text: &str, units: UnitSystem) -> Vec<Piece<'_>> {
    let mut pieces = Vec::new();
    let mut rest = text;
    while let Some((before, mark, after)) = next_mark(rest) {
        pieces.extend((!before.is_empty()).then_some(Piece::Words(before)));
        pieces.push(match (Amount::read(mark), mark.strip_prefix(NAME)) {
            (Some(amount), _) => {
                let (number, plus_minus) = amount.numbers(units);
                let unit = if amount.with_unit { amount.style.unit(units) } else { "" };
                Piece::Amount { number, plus_minus, unit }
            }
            (None, Some(name)) => Piece::Name(name),
            (None, None) if mark == "L" => Piece::Words(Style::Fine.unit(units)),
            (None, None) => Piece::Words(mass_unit(units)),
        });
        rest = after;
    }
    pieces.extend((!rest.is_empty()).then_some(Piece::Words(rest)));
    pieces
}

/// The sentence as plain text.
pub fn written(text: &str, units: UnitSystem) -> String {
    let pieces = pieces(text, units).into_iter().map(|piece| match piece {
        Piece::Words(words) | Piece::Name(words) => words.to_owned(),
        Piece::Amount { number, plus_minus, unit } => {
            let sure = plus_minus.map_or_else(String::new, |sure| format!(" \u{b1} {sure}"));
            let gap = if unit.is_empty() { "" } else { " " };
            format!("{number}{sure}{gap}{unit}")
        }
    });
    pieces.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Quantity;

    fn kg_text(amount: Amount) -> String {
        written(&amount.to_string(), UnitSystem::KgMm)
    }

    #[test]
    fn nothing_is_written_as_a_negative_zero() {
        let nothing = kg(-0.001);
        assert_eq!([column(nothing), signed(nothing), plain(nothing)].map(kg_text), ["0.00", "0.00", "0 kg"]);
    }

    #[test]
    fn a_difference_shows_its_direction() {
        assert_eq!([signed(kg(0.31)), signed(kg(-0.31))].map(kg_text), ["+0.31", "-0.31"]);
    }

    // Source: international yard and pound agreement of 1959, exact.
    #[test]
    fn a_sentence_is_read_in_kilograms_or_in_pounds() {
        let sentence =
            format!("{} on `nose`, {} long", given(Mass::from_lb(5.0)), place(Length::from_in(41.5)));
        assert_eq!(written(&sentence, UnitSystem::LbIn), "5 lb on `nose`, 41.5 in long");
        assert_eq!(written(&sentence, UnitSystem::KgMm), "2.268 kg on `nose`, 1054 mm long");
        assert_eq!(written(MASS_UNIT, UnitSystem::LbIn), "lb");
    }

    #[test]
    fn a_milligram_that_decides_is_never_shown_as_nothing() {
        let (one, other) = (Mass::from_kg(160.5), Mass::from_kg(160.499_999));
        let shown = [apart(one, other), apart(one, Mass::from_kg(160.499)), apart(one, one)].map(kg_text);
        assert_eq!(shown, ["under 0.001 kg", "0.001 kg", "0 kg"]);
    }

    // Source: GUM (JCGM 100:2008) 7.2.6, at most two digits of an uncertainty.
    #[test]
    fn a_number_is_no_finer_than_it_is_known() {
        let shown = |value, sure| kg_text(plain(Quantity::new(Kg, value, sure)));
        assert_eq!(shown(160.855, 0.5747), "160.9 \u{b1} 0.6 kg");
        assert_eq!(shown(-0.06, 1.17), "-0.1 \u{b1} 1.2 kg");
        assert_eq!(shown(42.953, 0.162), "42.95 \u{b1} 0.16 kg");
        assert_eq!(shown(446.6, 23.4), "447 \u{b1} 23 kg");
        assert_eq!(kg_text(figure(Figure::Height, 250.04, Some(12.36))), "250 \u{b1} 12");
        assert_eq!(shown(2.5, 0.0), "2.5 kg");
        let deciding = plain(Quantity::new(Kg, 0.02, 0.6)).seen();
        assert_eq!(kg_text(deciding), "under 0.1 \u{b1} 0.6 kg");
    }

    #[test]
    fn a_name_is_a_piece_of_its_own_and_what_looks_like_a_mark_is_none() {
        let sentence = format!("{} on kart 7", name("Sam"));
        let pieces = pieces(&sentence, UnitSystem::KgMm);
        assert_eq!(pieces, [Piece::Name("Sam"), Piece::Words(" on kart 7")]);
    }
}
