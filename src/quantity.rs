//! The numbers of answers: exact ones and those with a ±, the unit a part of the type.
//! Values serialise as `x_kg` beside `x_plus_minus_kg`, rounded once.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::ser::{Serialize, SerializeMap, Serializer};
use serde_json::{Map, Value, json};

use crate::scenario::Moment;
use crate::uncertainty::Estimate;
use crate::units::{Length, Mass};

/// A unit, by which keys end.
pub trait Unit: Copy {
    /// The end of the key.
    const KEY: &'static str;
    /// Documents round to the unit by so many: below anything that is measured, above what differs between machines.
    const STEPS: f64;
}

macro_rules! unit {
    ($doc:literal, $name:ident, $key:literal, $steps:literal) => {
        #[doc = $doc]
        #[derive(Clone, Copy, Debug, PartialEq)]
        pub struct $name;

        impl Unit for $name {
            const KEY: &'static str = $key;
            const STEPS: f64 = $steps;
        }
    };
}

unit!("Kilograms.", Kg, "kg", 1e6);
unit!("Millimetres.", Mm, "mm", 1e3);
unit!("Hundredths.", Percent, "percent", 1e6);
unit!("Masses times ways.", KgMm, "kg_mm", 1e3);
unit!("Load per way.", KgPerMm, "kg_per_mm", 1e6);
unit!("Minutes of work.", Minutes, "minutes", 1e3);

/// One number, or several that are measured together.
pub trait Shape: Serialize + JsonSchema {
    /// Every number rounded to so many steps.
    #[must_use]
    fn rounded(&self, steps: f64) -> Self;
}

impl Shape for f64 {
    fn rounded(&self, steps: f64) -> f64 {
        // Adding zero turns a negative zero into zero.
        (self * steps).round() / steps + 0.0
    }
}

/// One number for each wheel.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize, JsonSchema)]
pub struct Wheels {
    pub lf: f64,
    pub rf: f64,
    pub lr: f64,
    pub rr: f64,
}

impl Wheels {
    /// In the order LF RF LR RR.
    pub const fn each(&self) -> [f64; 4] {
        [self.lf, self.rf, self.lr, self.rr]
    }
}

impl From<[f64; 4]> for Wheels {
    fn from([lf, rf, lr, rr]: [f64; 4]) -> Wheels {
        Wheels { lf, rf, lr, rr }
    }
}

impl Shape for Wheels {
    fn rounded(&self, steps: f64) -> Wheels {
        self.each().map(|number| number.rounded(steps)).into()
    }
}

/// The same with the fuel of the start and of the finish.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize, JsonSchema)]
pub struct PerState<T> {
    pub start: T,
    pub finish: T,
}

impl<T> PerState<T> {
    /// Made for each.
    pub fn of(made: impl Fn(Moment) -> T) -> PerState<T> {
        PerState { start: made(Moment::Start), finish: made(Moment::Finish) }
    }

    /// That of one state.
    pub const fn at(&self, moment: Moment) -> &T {
        match moment {
            Moment::Start => &self.start,
            Moment::Finish => &self.finish,
        }
    }
}

impl<V: Shape> Shape for PerState<V> {
    fn rounded(&self, steps: f64) -> PerState<V> {
        PerState { start: self.start.rounded(steps), finish: self.finish.rounded(steps) }
    }
}

/// A number that nobody measured: what the user wrote, a rule, what a goal of the program comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exact<U, V = f64> {
    /// In the unit.
    pub value: V,
    unit: U,
}

/// What was measured, or follows from it, with its ± (95 %) in the same unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quantity<U, V = f64> {
    /// The best value.
    pub value: V,
    /// Half-width of the interval that holds 95 of 100 truths.
    pub plus_minus: V,
    unit: U,
}

/// So many kilograms.
pub const fn kg(value: f64) -> Exact<Kg> {
    Exact { value, unit: Kg }
}

/// So many millimetres.
pub const fn mm(value: f64) -> Exact<Mm> {
    Exact { value, unit: Mm }
}

/// So many hundredths.
pub const fn percent(value: f64) -> Exact<Percent> {
    Exact { value, unit: Percent }
}

/// So many minutes.
pub const fn minutes(value: f64) -> Exact<Minutes> {
    Exact { value, unit: Minutes }
}

impl From<Mass> for Exact<Kg> {
    fn from(mass: Mass) -> Exact<Kg> {
        kg(mass.kg())
    }
}

impl From<Length> for Exact<Mm> {
    fn from(length: Length) -> Exact<Mm> {
        mm(length.mm())
    }
}

impl<U: Unit> Exact<U> {
    /// With the ± that it has after all.
    pub fn known_to(self, plus_minus: Exact<U>) -> Quantity<U> {
        Quantity { value: self.value, plus_minus: plus_minus.value, unit: self.unit }
    }
}

impl<U: Unit, V: Copy> Quantity<U, V> {
    /// A value and its ±.
    pub const fn new(unit: U, value: V, plus_minus: V) -> Quantity<U, V> {
        Quantity { value, plus_minus, unit }
    }

    /// The value alone.
    pub const fn alone(&self) -> Exact<U, V> {
        Exact { value: self.value, unit: self.unit }
    }

    /// The ± alone.
    pub const fn sure(&self) -> Exact<U, V> {
        Exact { value: self.plus_minus, unit: self.unit }
    }

    /// One of several numbers.
    pub fn part<W>(&self, of: impl Fn(&V) -> W) -> Quantity<U, W> {
        Quantity { value: of(&self.value), plus_minus: of(&self.plus_minus), unit: self.unit }
    }
}

impl<U: Unit> Quantity<U> {
    /// An estimate in this unit.
    pub fn estimated(unit: U, estimate: Estimate) -> Quantity<U> {
        Quantity::new(unit, estimate.value, estimate.expanded())
    }
}

impl<U: Unit, V: Copy> Quantity<U, PerState<V>> {
    /// That of one state.
    pub fn at(&self, moment: Moment) -> Quantity<U, V> {
        self.part(|states| *states.at(moment))
    }
}

/// What begins so ends the key under which it stands: see [`flat`].
const ENDING: char = '_';

fn endings<U: Unit>() -> [String; 2] {
    [format!("{ENDING}{}", U::KEY), format!("{ENDING}plus_minus_{}", U::KEY)]
}

impl<U: Unit, V: Shape> Serialize for Exact<U, V> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(1))?;
        map.serialize_entry(&endings::<U>()[0], &self.value.rounded(U::STEPS))?;
        map.end()
    }
}

impl<U: Unit, V: Shape> Serialize for Quantity<U, V> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(2))?;
        for (ending, shape) in endings::<U>().iter().zip([&self.value, &self.plus_minus]) {
            map.serialize_entry(ending, &shape.rounded(U::STEPS))?;
        }
        map.end()
    }
}

fn schema<V: Shape>(generator: &mut SchemaGenerator, endings: &[String]) -> Schema {
    let numbers: Map<String, Value> =
        endings.iter().map(|ending| (ending.clone(), generator.subschema_for::<V>().to_value())).collect();
    let schema = json!({"type": "object", "properties": numbers, "required": endings});
    schema.try_into().unwrap_or_default()
}

impl<U: Unit, V: Shape> JsonSchema for Exact<U, V> {
    fn schema_name() -> Cow<'static, str> {
        "Exact".into()
    }
    fn inline_schema() -> bool {
        true
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        schema::<V>(generator, &endings::<U>()[..1])
    }
}

impl<U: Unit, V: Shape> JsonSchema for Quantity<U, V> {
    fn schema_name() -> Cow<'static, str> {
        "Quantity".into()
    }
    fn inline_schema() -> bool {
        true
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        schema::<V>(generator, &endings::<U>())
    }
}

/// A document, or its schema, as it is read: what stands under `_kg` below `total` stands as `total_kg` beside it, and what is not
/// known does not stand there at all.
pub fn flat(value: Value) -> Value {
    match value {
        Value::Object(entries) => Value::Object(flat_entries(entries)),
        Value::Array(values) => Value::Array(values.into_iter().map(flat).collect()),
        other => other,
    }
}

fn flat_entries(entries: Map<String, Value>) -> Map<String, Value> {
    let mut flattened = Map::new();
    for (key, value) in entries {
        match value {
            Value::Null => {}
            Value::Object(inner) if are_endings(&inner) => {
                flattened
                    .extend(inner.into_iter().map(|(ending, value)| (key.clone() + &ending, flat(value))));
            }
            other => {
                flattened.insert(key, flat(other));
            }
        }
    }
    flattened
}

fn are_endings(entries: &Map<String, Value>) -> bool {
    !entries.is_empty() && entries.keys().all(|key| key.starts_with(ENDING))
}

/// The same of a schema: its properties, and which of them are required.
pub fn flat_schema(value: &mut Value) {
    if let Value::Array(values) = value {
        values.iter_mut().for_each(flat_schema);
    }
    let Value::Object(schema) = value else { return };
    schema.values_mut().for_each(flat_schema);
    let Some(Value::Object(properties)) = schema.get("properties").cloned() else { return };
    let required: Vec<Value> = schema.get("required").and_then(Value::as_array).cloned().unwrap_or_default();
    let (mut flattened, mut needed) = (Map::new(), Vec::new());
    for (key, property) in properties {
        let is_needed = required.contains(&Value::from(key.as_str()));
        let inner = property.get("properties").and_then(Value::as_object).filter(|inner| are_endings(inner));
        let entries: Vec<(String, Value)> = match inner {
            Some(inner) => inner
                .iter()
                .map(|(ending, number)| {
                    let mut number = number.clone();
                    if let (Some(number), Some(words)) = (number.as_object_mut(), property.get("description"))
                    {
                        number.insert("description".to_owned(), words.clone());
                    }
                    (format!("{key}{ending}"), number)
                })
                .collect(),
            None => vec![(key, property)],
        };
        for (key, property) in entries {
            if is_needed {
                needed.push(Value::from(key.as_str()));
            }
            flattened.insert(key, property);
        }
    }
    schema.insert("properties".to_owned(), Value::Object(flattened));
    schema.insert("required".to_owned(), Value::Array(needed));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(serde::Serialize, JsonSchema)]
    struct Example {
        total: Quantity<Kg>,
        corners: Quantity<Kg, PerState<Wheels>>,
        minimum: Exact<Kg>,
        most_lead: Option<Exact<Kg>>,
    }

    fn example() -> Example {
        let wheels = Wheels::from([1.0, 2.0, 3.0, 4.0]);
        let states = PerState { start: wheels, finish: wheels };
        Example {
            total: Quantity::new(Kg, 0.1 + 0.2, 0.5),
            corners: Quantity::new(Kg, states, states),
            minimum: kg(-1e-9),
            most_lead: None,
        }
    }

    #[test]
    fn a_quantity_is_two_keys_that_end_in_its_unit_and_an_exact_number_one() {
        let document = flat(serde_json::to_value(example()).expect("it serialises"));
        let keys: Vec<&str> = document.as_object().expect("an object").keys().map(String::as_str).collect();
        let expected =
            ["total_kg", "total_plus_minus_kg", "corners_kg", "corners_plus_minus_kg", "minimum_kg"];
        assert_eq!(keys, expected);
        assert_eq!(document["total_kg"].to_string(), "0.3", "the shortest decimal");
        assert_eq!(document["minimum_kg"].to_string(), "0.0", "no negative zero");
        assert_eq!(document["corners_kg"]["finish"]["rr"], 4.0);
    }

    #[test]
    fn the_schema_has_the_keys_of_the_document() {
        let mut schema = schemars::schema_for!(Example).to_value();
        flat_schema(&mut schema);
        let document = flat(serde_json::to_value(example()).expect("it serialises"));
        let document = document.as_object().expect("an object");
        let required: Vec<&str> =
            schema["required"].as_array().expect("a list").iter().filter_map(Value::as_str).collect();
        assert_eq!(required, document.keys().map(String::as_str).collect::<Vec<_>>());
        assert!(schema["properties"]["most_lead_kg"].is_object(), "{schema}");
    }
}
