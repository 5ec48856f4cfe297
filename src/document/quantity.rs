//! How people write a quantity: `12.5 kg`, `5lb`, `41 1/2 in`, `3 L`, `43 %`, or a bare number in the file's
//! unit.

use crate::decimals::trimmed;
use crate::diagnosis::{Dimension, Fault};
use crate::units::{Length, Mass, UnitSystem};

/// One US liquid gallon in litres, exact: 231 cubic inches of 25.4 mm.
const LITRES_PER_GALLON: f64 = 3.785_411_784;

/// A unit that may follow a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unit {
    Kilogram,
    Gram,
    Pound,
    Ounce,
    Millimetre,
    Centimetre,
    Metre,
    Inch,
    Foot,
    Litre,
    Millilitre,
    Gallon,
    Percent,
    KilogramPerLitre,
}

/// The words for each unit; letters may be capitals.
const WORDS: &[(Unit, &[&str])] = &[
    (Unit::Kilogram, &["kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"]),
    (Unit::Gram, &["g", "gram", "grams"]),
    (Unit::Pound, &["lb", "lbs", "pound", "pounds"]),
    (Unit::Ounce, &["oz", "ounce", "ounces"]),
    (Unit::Millimetre, &["mm"]),
    (Unit::Centimetre, &["cm"]),
    (Unit::Metre, &["m"]),
    (Unit::Inch, &["in", "\"", "inch", "inches"]),
    (Unit::Foot, &["ft", "'", "foot", "feet"]),
    (Unit::Litre, &["l", "litre", "litres", "liter", "liters"]),
    (Unit::Millilitre, &["ml"]),
    (Unit::Gallon, &["gal", "gallon", "gallons"]),
    (Unit::Percent, &["%"]),
    (Unit::KilogramPerLitre, &["kg/l"]),
];

/// The same text with weights, lengths and fuel in the units of a file: numbers near those, as people write them.
pub(super) fn in_units_of(units: UnitSystem, example: &str) -> String {
    let mut words: Vec<String> = example.split(' ').map(str::to_owned).collect();
    for index in 1..words.len() {
        let is_number = |letter: char| letter.is_ascii_digit() || matches!(letter, '.' | '-');
        let begin = words[index - 1].trim_end_matches(is_number).len();
        let rest = words[index].trim_start_matches(|letter: char| letter.is_ascii_alphabetic()).len();
        let end = words[index].len() - rest;
        let Ok(number) = words[index - 1][begin..].parse::<f64>() else { continue };
        let (number, unit) = match (units, &words[index][..end]) {
            (UnitSystem::LbIn, "kg") => (Mass::from_kg(number).lb(), "lb"),
            (UnitSystem::LbIn, "mm") => (Length::from_mm(number).inches(), "in"),
            (UnitSystem::LbIn, "L") => (number / LITRES_PER_GALLON, "gal"),
            _ => continue,
        };
        let (step, decimals) = match number.abs() {
            large if large >= 20.0 => (1.0, 0),
            middle if middle >= 1.0 => (0.25, 2),
            _ => (0.01, 2),
        };
        words[index - 1].replace_range(begin.., &trimmed((number / step).round() * step, decimals));
        words[index].replace_range(..end, unit);
    }
    words.join(" ")
}

/// All words for units that may follow a number of this dimension.
pub(crate) fn unit_words(dimension: Dimension) -> impl Iterator<Item = &'static str> {
    let fitting = WORDS.iter().filter(move |(unit, _)| unit.fits(dimension));
    fitting.flat_map(|(_, words)| words.iter().copied())
}

impl Unit {
    fn of_word(word: &str) -> Option<Unit> {
        let lower = word.to_lowercase();
        WORDS.iter().find(|(_, words)| words.contains(&lower.as_str())).map(|(unit, _)| *unit)
    }

    /// The unit of a bare number.
    pub(super) const fn of_file(units: UnitSystem, dimension: Dimension) -> Option<Unit> {
        match (dimension, units) {
            (Dimension::Mass | Dimension::Fuel, UnitSystem::KgMm) => Some(Unit::Kilogram),
            (Dimension::Mass | Dimension::Fuel, UnitSystem::LbIn) => Some(Unit::Pound),
            (Dimension::Length, UnitSystem::KgMm) => Some(Unit::Millimetre),
            (Dimension::Length, UnitSystem::LbIn) => Some(Unit::Inch),
            (Dimension::Percent, _) => Some(Unit::Percent),
            (Dimension::Density, _) => Some(Unit::KilogramPerLitre),
            (Dimension::Number, _) => None,
        }
    }

    const fn dimension(self) -> Dimension {
        match self {
            Unit::Kilogram | Unit::Gram | Unit::Pound | Unit::Ounce => Dimension::Mass,
            Unit::Millimetre | Unit::Centimetre | Unit::Metre | Unit::Inch | Unit::Foot => Dimension::Length,
            Unit::Litre | Unit::Millilitre | Unit::Gallon => Dimension::Fuel,
            Unit::Percent => Dimension::Percent,
            Unit::KilogramPerLitre => Dimension::Density,
        }
    }

    const fn fits(self, wanted: Dimension) -> bool {
        matches!(
            (wanted, self.dimension()),
            (Dimension::Mass | Dimension::Fuel, Dimension::Mass)
                | (Dimension::Length, Dimension::Length)
                | (Dimension::Percent, Dimension::Percent)
                | (Dimension::Density, Dimension::Density)
                | (Dimension::Fuel, Dimension::Fuel)
        )
    }

    /// Its usual word.
    pub(super) fn word(self) -> &'static str {
        match self {
            Unit::Litre => "L",
            Unit::Millilitre => "mL",
            Unit::KilogramPerLitre => "kg/L",
            other => WORDS.iter().find(|(unit, _)| *unit == other).map_or("", |(_, words)| words[0]),
        }
    }
}

/// A number with its unit; none only where the dimension has none.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Quantity {
    pub(super) number: f64,
    pub(super) unit: Option<Unit>,
    /// Whether the user wrote the unit.
    pub(super) own_unit: bool,
}

impl Quantity {
    /// As a mass; the number of the unit is turned into nanograms directly, so that pounds stay exact.
    pub(crate) fn mass(self) -> Mass {
        match self.unit {
            Some(Unit::Pound) => Mass::from_lb(self.number),
            Some(Unit::Ounce) => Mass::from_lb(self.number / 16.0),
            Some(Unit::Gram) => Mass::from_kg(self.number / 1e3),
            _ => Mass::from_kg(self.number),
        }
    }

    /// What bounds are held against: kg, mm, or the number itself, which is also what tells that it is not finite: a mass made
    /// of that is zero, or the end of its range.
    pub(super) fn amount(self, dimension: Dimension) -> f64 {
        match dimension {
            _ if !self.number.is_finite() => self.number,
            Dimension::Mass | Dimension::Fuel => self.mass().kg(),
            Dimension::Length => self.length().mm(),
            Dimension::Percent | Dimension::Density | Dimension::Number => self.number,
        }
    }

    /// As a length.
    pub(crate) fn length(self) -> Length {
        match self.unit {
            Some(Unit::Centimetre) => Length::from_mm(self.number * 10.0),
            Some(Unit::Metre) => Length::from_mm(self.number * 1e3),
            Some(Unit::Inch) => Length::from_in(self.number),
            Some(Unit::Foot) => Length::from_in(self.number * 12.0),
            _ => Length::from_mm(self.number),
        }
    }

    /// The same fuel as a mass, if it is a volume of so many kilograms per litre.
    pub(super) fn by_weight(self, density: f64) -> Quantity {
        let litres = match self.unit {
            Some(Unit::Litre) => self.number,
            Some(Unit::Millilitre) => self.number / 1e3,
            Some(Unit::Gallon) => self.number * LITRES_PER_GALLON,
            _ => return self,
        };
        Quantity { number: litres * density, unit: Some(Unit::Kilogram), ..self }
    }
}

/// The quantity that `text` writes. `key` is only for the message.
pub(super) fn quantity(
    text: &str,
    dimension: Dimension,
    units: UnitSystem,
    key: &str,
) -> Result<Quantity, Fault> {
    let text = text.trim();
    if let Some((_, fault)) = super::odd::odd_character(text) {
        return Err(fault);
    }
    let not_a_quantity = || Fault::NotAQuantity {
        key: key.into(),
        dimension,
        found: format!("`{}`", super::node::shortened(text)),
        example: dimension.example().to_owned(),
    };
    let (number, rest) = number_and_rest(text).ok_or_else(not_a_quantity)?;
    if rest.starts_with(',') && rest[1..].starts_with(|next: char| next.is_ascii_digit()) {
        return Err(decimal_comma(text, dimension));
    }
    let word = rest.trim();
    if word.is_empty() {
        return Ok(Quantity { number, unit: Unit::of_file(units, dimension), own_unit: false });
    }
    match Unit::of_word(word) {
        Some(unit) if unit.fits(dimension) => Ok(Quantity { number, unit: Some(unit), own_unit: true }),
        Some(unit) => Err(Fault::WrongUnit {
            key: key.into(),
            dimension,
            unit: word.into(),
            unit_dimension: unit.dimension(),
        }),
        None if word.chars().all(char::is_alphabetic) && dimension != Dimension::Number => {
            Err(Fault::UnknownUnit { unit: word.into(), dimension })
        }
        None => Err(not_a_quantity()),
    }
}

/// The number at the start, also `41 1/2` and `1/2`, and what follows it. `.nan` and `.inf` are numbers here:
/// that they are out of bounds is said with the bounds.
fn number_and_rest(text: &str) -> Option<(f64, &str)> {
    let unsigned = text.strip_prefix(['+', '-']).unwrap_or(text);
    let sign = if text.starts_with('-') { -1.0 } else { 1.0 };
    match unsigned.to_lowercase().as_str() {
        ".nan" => return Some((f64::NAN, "")),
        ".inf" => return Some((sign * f64::INFINITY, "")),
        _ => {}
    }
    let (whole, rest) = plain_number(unsigned)?;
    let integer = |word: &str| (!word.is_empty()).then(|| word.parse::<f64>().ok()).flatten();
    let digits = |text: &str| text.find(|next: char| !next.is_ascii_digit()).unwrap_or(text.len());
    if let Some(after) = rest.strip_prefix('/') {
        let end = digits(after);
        return Some((sign * whole / integer(&after[..end])?, &after[end..]));
    }
    let spaced = rest.trim_start();
    if spaced.len() < rest.len() {
        let (numerator, after) = spaced.split_at(digits(spaced));
        if let (Some(numerator), Some(after)) = (integer(numerator), after.strip_prefix('/')) {
            let end = digits(after);
            let denominator = integer(&after[..end])?;
            return Some((sign * (whole + numerator / denominator), &after[end..]));
        }
    }
    Some((sign * whole, rest))
}

/// Digits, at most one dot, and an exponent only if it has digits.
fn plain_number(text: &str) -> Option<(f64, &str)> {
    let bytes = text.as_bytes();
    let digits_from = |start: usize| {
        bytes[start..].iter().position(|byte| !byte.is_ascii_digit()).map_or(bytes.len(), |n| start + n)
    };
    let mut end = digits_from(0);
    if bytes.get(end) == Some(&b'.') {
        end = digits_from(end + 1);
    }
    if !bytes[..end].iter().any(u8::is_ascii_digit) {
        return None;
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let exponent = digits_from((end + 1 + sign).min(bytes.len()));
        if exponent > end + 1 + sign {
            end = exponent;
        }
    }
    Some((text[..end].parse().ok()?, &text[end..]))
}

/// What was probably meant by a number with a comma in it.
pub(super) fn decimal_comma(text: &str, dimension: Dimension) -> Fault {
    let after_comma = text.rsplit(',').next().unwrap_or_default();
    let group = after_comma.bytes().take_while(u8::is_ascii_digit).count();
    match (text.find('.'), text.rfind(',')) {
        (Some(dot), Some(comma)) if comma > dot => {
            let instead = text.replace('.', "").replace(',', ".");
            Fault::DecimalComma { dimension, instead, thousands: None }
        }
        (Some(_), _) => Fault::DecimalComma { dimension, instead: text.replace(',', ""), thousands: None },
        (None, _) => Fault::DecimalComma {
            dimension,
            instead: text.replace(',', "."),
            thousands: (group == 3).then(|| text.replace(',', "")),
        },
    }
}

/// Least and most of one quantity, in kg, mm, percent, kg/L or plain: they only catch slips, so a file may
/// lift them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Bounds {
    /// Of what, where the key alone does not tell: "a driver".
    pub(crate) of: &'static str,
    pub(crate) least: f64,
    pub(crate) most: f64,
}

impl Bounds {
    pub(crate) const fn new(of: &'static str, least: f64, most: f64) -> Bounds {
        Bounds { of, least, most }
    }

    /// Bounds that hold even when the user lifts the others: beyond them sums of masses would leave their
    /// range, and quotients their precision.
    pub(crate) fn lifted(self, dimension: Dimension) -> Bounds {
        let (floor, ceiling) = match dimension {
            // The heaviest published weighing that the checks use has 42 t; a hundred mounts of 50 t still
            // fit.
            Dimension::Mass | Dimension::Fuel => (1e-6, 50_000.0),
            Dimension::Length => (1e-3, 100_000.0),
            Dimension::Percent => (0.0, 100.0),
            Dimension::Density => (1e-3, 30.0),
            Dimension::Number => (1e-6, 1e6),
        };
        let least = match self.least {
            positive if positive > 0.0 => floor,
            negative if negative < 0.0 => -ceiling,
            _ => 0.0,
        };
        Bounds { of: self.of, least, most: ceiling }
    }

    /// Written so that a value that is not a number is outside.
    pub(super) fn hold(self, value: f64) -> bool {
        value >= self.least && value <= self.most
    }

    /// `between 500 and 2000 mm`, in the units of the file.
    pub(crate) fn wanted(self, dimension: Dimension, units: UnitSystem) -> String {
        let unit = Unit::of_file(units, dimension);
        let shown = |value: f64| {
            rounded(match (dimension, units) {
                (Dimension::Mass | Dimension::Fuel, UnitSystem::LbIn) => Mass::from_kg(value).lb(),
                (Dimension::Length, UnitSystem::LbIn) => Length::from_mm(value).inches(),
                _ => value,
            })
        };
        let word = unit.map_or(String::new(), |unit| format!(" {}", unit.word()));
        if self.least > 0.0 && self.most / self.least > 1e6 {
            return format!("more than 0 and at most {}{word}", shown(self.most));
        }
        format!("between {} and {}{word}", shown(self.least), shown(self.most))
    }
}

/// Three significant digits, or all digits before the dot, without trailing zeros.
fn rounded(value: f64) -> String {
    let magnitude = value.abs();
    let decimals = match () {
        () if magnitude >= 100.0 => 0,
        () if magnitude >= 10.0 => 1,
        () if magnitude >= 1.0 => 2,
        () if magnitude >= 0.01 => 3,
        () => 6,
    };
    trimmed(value, decimals)
}

/// A mass in the units of a file, to the gram or the thousandth of a pound.
pub fn written_mass(mass: Mass, units: UnitSystem) -> String {
    match units {
        UnitSystem::KgMm => format!("{} kg", trimmed(mass.kg(), 3)),
        UnitSystem::LbIn => format!("{} lb", trimmed(mass.lb(), 3)),
    }
}

/// A mass in the units of a file, to a tenth: for what follows from readings or percentages.
pub(crate) fn rounded_mass(mass: Mass, units: UnitSystem) -> String {
    match units {
        UnitSystem::KgMm => format!("{} kg", trimmed(mass.kg(), 1)),
        UnitSystem::LbIn => format!("{} lb", trimmed(mass.lb(), 1)),
    }
}

/// A length in the units of a file, to a tenth of a millimetre or a hundredth of an inch.
pub fn written_length(length: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::KgMm => format!("{} mm", trimmed(length.mm(), 1)),
        UnitSystem::LbIn => format!("{} in", trimmed(length.inches(), 2)),
    }
}
