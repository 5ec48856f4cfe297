//! The words that faults are told with: how bad, of what kind, on which side, how many.

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Severity {
    /// The file cannot be used.
    Error,
    /// The file can be used, but look here.
    Warning,
}

impl Severity {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
        }
    }
}

/// What a number measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dimension {
    /// A mass, which the trade calls weight.
    Mass,
    /// A length.
    Length,
    /// A share of the total.
    Percent,
    /// An amount of fuel: a volume or a mass.
    Fuel,
    /// Mass per volume.
    Density,
    /// A number without a unit.
    Number,
}

impl Dimension {
    /// One of them, many of them, ways to write one, and a good value to show.
    const fn words(self) -> [&'static str; 4] {
        match self {
            Dimension::Mass => ["a weight", "weights", "weights: kg, g, lb, oz", "12.5 kg"],
            Dimension::Length => ["a length", "lengths", "lengths: mm, cm, m, in, ft", "1040 mm"],
            Dimension::Percent => ["a percentage", "percentages", "write `43` or `43 %`", "43 %"],
            Dimension::Fuel => [
                "an amount of fuel",
                "amounts of fuel",
                "fuel: L, mL, gal, or a weight in kg, g, lb, oz",
                "3 L",
            ],
            Dimension::Density => ["a density", "densities", "densities are in kg/L: write `0.745`", "0.745"],
            Dimension::Number => ["a plain number", "numbers", "write the number alone", "1"],
        }
    }

    /// One of them.
    pub(super) const fn word(self) -> &'static str {
        self.words()[0]
    }

    /// Many of them.
    pub(super) const fn plural(self) -> &'static str {
        self.words()[1]
    }

    /// Ways to write one.
    pub(super) const fn units(self) -> &'static str {
        self.words()[2]
    }

    /// A good value to show.
    pub(crate) const fn example(self) -> &'static str {
        self.words()[3]
    }
}

/// On which side of the kart something lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Behind the rear axle.
    Behind,
    /// Ahead of the front axle.
    Ahead,
    /// Left of the centre line.
    Left,
    /// Right of the centre line.
    Right,
}

impl std::fmt::Display for Side {
    /// Seen from what it is measured from.
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.write_str(match self {
            Side::Behind => "behind the rear axle",
            Side::Ahead => "ahead of the front axle",
            Side::Left => "left of the centre line",
            Side::Right => "right of the centre line",
        })
    }
}

/// `` `a`, `b` or `c` ``.
pub(super) fn alternatives(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
    match quoted.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
        None => String::new(),
    }
}

/// Names in a row, at most eight.
pub(super) fn list(names: &[String]) -> String {
    /// More names would push the sentence off a phone's screen.
    const MOST: usize = 8;
    if names.is_empty() {
        return "nothing".into();
    }
    let shown = names.iter().take(MOST).map(String::as_str).collect::<Vec<_>>().join(", ");
    match names.len().saturating_sub(MOST) {
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}
