//! What may stand under a key: each kind of value knows how it is read and how an editor is told of it.
//! Takes a value; gives what it says, typed and within bounds, or notes what is wrong; and a JSON Schema of what it may be.
//! Does not know any key: the scenario's tables declare them.

use std::marker::PhantomData;

use serde_json::{Map, Value as Json, json};

use super::block::{Block, alternatives};
use super::quantity::{Bounds, Quantity, unit_words};
use super::value::Value;
use crate::date::Date;
use crate::diagnosis::Dimension;
use crate::units::{Length, Mass, UnitSystem};

/// What may be told of a form without a document.
pub(crate) trait Described {
    /// As a JSON Schema. It says what is certain without reading the whole file: bounds that `limits: off` may lift are told,
    /// not demanded.
    fn schema(&self) -> Json;

    /// Its bounds in words, if it has any.
    fn bounds(&self) -> Option<String> {
        None
    }

    /// One way to write it, for whoever left it out; none if each key has its own.
    fn example(&self) -> &'static str {
        ""
    }
}

/// What is read under a key.
pub(crate) trait Form<'r>: Described {
    /// What it becomes.
    type Out;

    /// Reads it; none after noting what is wrong.
    fn read(&self, value: &Value<'r>) -> Option<Self::Out>;
}

/// A quantity within bounds.
pub(crate) struct Measured<T> {
    dimension: Dimension,
    bounds: Bounds,
    read: fn(&Value, Dimension, Bounds) -> Option<T>,
}

/// A mass, bounds in kg.
pub(crate) const fn mass(bounds: Bounds) -> Measured<Mass> {
    let read = |value: &Value, of, bounds| value.within(of, bounds, true).map(Quantity::mass);
    Measured { dimension: Dimension::Mass, bounds, read }
}

/// A length, bounds in mm.
pub(crate) const fn length(bounds: Bounds) -> Measured<Length> {
    let read = |value: &Value, of, bounds| value.within(of, bounds, true).map(Quantity::length);
    Measured { dimension: Dimension::Length, bounds, read }
}

/// A plain number.
pub(crate) const fn number(bounds: Bounds) -> Measured<f64> {
    let read = |value: &Value, of, bounds| value.within(of, bounds, true).map(|quantity| quantity.number);
    Measured { dimension: Dimension::Number, bounds, read }
}

/// A width in percent.
pub(crate) const fn percent(bounds: Bounds) -> Measured<f64> {
    Measured { dimension: Dimension::Percent, ..number(bounds) }
}

/// Kilograms per litre.
pub(crate) const fn density(bounds: Bounds) -> Measured<f64> {
    Measured { dimension: Dimension::Density, ..number(bounds) }
}

/// A share of the total, in percent; a fraction of one is refused, never guessed.
pub(crate) const fn share(bounds: Bounds) -> Measured<f64> {
    Measured { dimension: Dimension::Percent, bounds, read: |value, _, bounds| value.share(bounds) }
}

impl Measured<f64> {
    /// The same within bounds that no user can lift.
    pub(crate) const fn always(self) -> Measured<f64> {
        let read =
            |value: &Value, of, bounds| value.within(of, bounds, false).map(|quantity| quantity.number);
        Measured { read, ..self }
    }
}

impl<T> Described for Measured<T> {
    fn schema(&self) -> Json {
        let number = number_schema(self.dimension, self.bounds);
        if self.dimension == Dimension::Number { number } else { or_written(&number, self.dimension) }
    }
    fn bounds(&self) -> Option<String> {
        Some(self.bounds.wanted(self.dimension, UnitSystem::KgMm))
    }
}

impl<'r, T> Form<'r> for Measured<T> {
    type Out = T;
    fn read(&self, value: &Value<'r>) -> Option<T> {
        (self.read)(value, self.dimension, self.bounds)
    }
}

/// Fuel, a mass or a volume; bounds in kg.
pub(crate) struct Fuel(pub(crate) Bounds);

/// An amount of fuel, of which nobody has said yet how dense it is.
pub(crate) struct Amount<'r> {
    value: Value<'r>,
    bounds: Bounds,
}

impl Amount<'_> {
    /// How much it is, at so many kilograms per litre.
    pub(crate) fn mass(&self, density: f64) -> Option<Mass> {
        self.value.fuel(self.bounds, density)
    }
}

impl Described for Fuel {
    fn schema(&self) -> Json {
        or_written(&number_schema(Dimension::Fuel, self.0), Dimension::Fuel)
    }
    fn bounds(&self) -> Option<String> {
        Some(self.0.wanted(Dimension::Fuel, UnitSystem::KgMm))
    }
}

impl<'r> Form<'r> for Fuel {
    type Out = Amount<'r>;
    fn read(&self, value: &Value<'r>) -> Option<Amount<'r>> {
        Some(Amount { value: value.clone(), bounds: self.0 })
    }
}

/// A whole number from the first to the second.
pub(crate) struct Whole<T>(i32, i32, fn(i32) -> T);

/// A whole number from the first to the second.
pub(crate) const fn whole(least: i32, most: i32) -> Whole<i32> {
    Whole(least, most, std::convert::identity)
}

/// A count from the first to the second.
pub(crate) const fn count(least: u16, most: u16) -> Whole<u32> {
    Whole(least as i32, most as i32, i32::cast_unsigned)
}

impl<T> Described for Whole<T> {
    fn schema(&self) -> Json {
        json!({ "type": "integer", "minimum": self.0, "maximum": self.1 })
    }
}

impl<'r, T> Form<'r> for Whole<T> {
    type Out = T;
    fn read(&self, value: &Value<'r>) -> Option<T> {
        value.whole(self.0, self.1).map(self.2)
    }
}

/// What has no bounds and no choices.
pub(crate) struct Plain<T> {
    schema: fn() -> Json,
    read: fn(&Value) -> Option<T>,
}

/// `true` or `false`.
pub(crate) const BOOLEAN: Plain<bool> =
    Plain { schema: || json!({ "type": "boolean" }), read: |value| value.boolean() };

/// A date.
pub(crate) const DAY: Plain<Date> = Plain {
    schema: || json!({ "type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$" }),
    read: |value| value.date(),
};

/// A name that the user chose. YAML takes `7` and `true` for a number and a boolean; they are names all the same.
pub(crate) const NAME: Plain<String> =
    Plain { schema: || json!({ "type": ["string", "number", "boolean"] }), read: |value| value.name() };

impl<T> Described for Plain<T> {
    fn schema(&self) -> Json {
        (self.schema)()
    }
}

impl<'r, T> Form<'r> for Plain<T> {
    type Out = T;
    fn read(&self, value: &Value<'r>) -> Option<T> {
        (self.read)(value)
    }
}

/// One of these words, with what each means.
pub(crate) struct Choice<T: 'static>(pub(crate) &'static [(&'static str, T)]);

impl<T> Described for Choice<T> {
    fn schema(&self) -> Json {
        json!({ "enum": self.0.iter().map(|(word, _)| *word).collect::<Vec<_>>() })
    }
}

impl<'r, T: Copy> Form<'r> for Choice<T> {
    type Out = T;
    fn read(&self, value: &Value<'r>) -> Option<T> {
        value.choice(self.0)
    }
}

/// One of these words, as one of several forms.
pub(crate) struct Words(pub(crate) &'static [&'static str]);

impl Described for Words {
    fn schema(&self) -> Json {
        json!({ "enum": self.0 })
    }
}

/// Nothing after the colon, as one of several forms.
pub(crate) struct Nothing;

impl Described for Nothing {
    fn schema(&self) -> Json {
        json!({ "type": "null" })
    }
}

/// Any of these; which of them is for somebody else to find out.
pub(crate) struct Any<'f>(pub(crate) &'f [&'f dyn Described]);

impl Described for Any<'_> {
    fn schema(&self) -> Json {
        match self.0 {
            [only] => only.schema(),
            forms => json!({ "anyOf": alternatives(forms.iter().map(|form| form.schema())) }),
        }
    }
}

impl<'r> Form<'r> for Any<'_> {
    type Out = Value<'r>;
    fn read(&self, value: &Value<'r>) -> Option<Value<'r>> {
        Some(value.clone())
    }
}

/// A list of these, with one way to write it.
pub(crate) struct List<'f>(pub(crate) &'f dyn Described, pub(crate) &'static str);

impl Described for List<'_> {
    fn schema(&self) -> Json {
        json!({ "type": "array", "items": self.0.schema() })
    }
    fn example(&self) -> &'static str {
        self.1
    }
}

impl<'r> Form<'r> for List<'_> {
    type Out = Vec<Value<'r>>;
    fn read(&self, value: &Value<'r>) -> Option<Vec<Value<'r>>> {
        value.list(self.1)
    }
}

/// These under names that the user chooses, with one way to write it.
pub(crate) struct Named<'f>(pub(crate) &'f dyn Described, pub(crate) &'static str);

impl Described for Named<'_> {
    fn schema(&self) -> Json {
        json!({
            "type": "object",
            "properties": { "note": true },
            "patternProperties": { "^x-": true },
            "additionalProperties": self.0.schema(),
        })
    }
    fn example(&self) -> &'static str {
        self.1
    }
}

impl<'r> Form<'r> for Named<'_> {
    type Out = Vec<Value<'r>>;
    fn read(&self, value: &Value<'r>) -> Option<Vec<Value<'r>>> {
        value.named(self.1)
    }
}

/// A block of settings.
pub(crate) struct Settings<B> {
    schema: fn() -> Json,
    example: &'static str,
    block: PhantomData<fn() -> B>,
}

/// A block of settings.
pub(crate) fn settings<'r, B: Block<'r>>() -> Settings<B> {
    Settings { schema: B::schema, example: B::EXAMPLE, block: PhantomData }
}

impl<B> Settings<B> {
    /// The same with another way to write it.
    pub(crate) const fn like(self, example: &'static str) -> Settings<B> {
        Settings { schema: self.schema, example, block: PhantomData }
    }
}

impl<B> Described for Settings<B> {
    fn schema(&self) -> Json {
        (self.schema)()
    }
    fn example(&self) -> &'static str {
        self.example
    }
}

impl<'r, B: Block<'r>> Form<'r> for Settings<B> {
    type Out = B;
    fn read(&self, value: &Value<'r>) -> Option<B> {
        B::read_like(value, self.example)
    }
}

/// A number, or a quantity with its unit.
fn or_written(number: &Json, dimension: Dimension) -> Json {
    json!({ "anyOf": [number, { "$ref": format!("#/$defs/{}", name(dimension)) }] })
}

/// A bare number. Whether it is kilograms or pounds stands elsewhere in the file, so only its sign is certain.
fn number_schema(dimension: Dimension, bounds: Bounds) -> Json {
    match bounds.lifted(dimension).least {
        least if least > 0.0 => json!({ "type": "number", "exclusiveMinimum": 0 }),
        least if least < 0.0 => json!({ "type": "number" }),
        _ => json!({ "type": "number", "minimum": 0 }),
    }
}

const fn name(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Mass => "mass",
        Dimension::Length => "length",
        Dimension::Percent => "percent",
        Dimension::Fuel => "fuel",
        Dimension::Density => "density",
        Dimension::Number => "number",
    }
}

/// Quantities as text, by name: `12.5 kg`, `5lb`, `41 1/2 in`.
pub(crate) fn written_quantities() -> Map<String, Json> {
    let quantities =
        [Dimension::Mass, Dimension::Length, Dimension::Fuel, Dimension::Percent, Dimension::Density];
    quantities.into_iter().map(|dimension| (name(dimension).to_owned(), written(dimension))).collect()
}

/// Expressions of a schema know no case, so each letter is in both.
fn written(dimension: Dimension) -> Json {
    let either = |letter: char| match letter {
        letter if letter.is_alphabetic() => format!("[{letter}{}]", letter.to_uppercase()),
        letter => letter.to_string(),
    };
    let units: Vec<String> = unit_words(dimension).map(|word| word.chars().map(either).collect()).collect();
    let number = r"[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?(/[0-9]+| +[0-9]+/[0-9]+)?";
    json!({ "type": "string", "pattern": format!(r"^\s*{number}\s*({})?\s*$", units.join("|")) })
}
