//! The format of a scenario file as a JSON Schema (draft 2020-12), for editors and validators.
//! Takes the declaration of the format; gives one document, the same every time.
//! Says what is certain without reading the whole file: bounds that `limits: off` may lift are told, not demanded.

use serde_json::{Map, Value as Json, json};

use super::format::SCENARIO;
use crate::diagnosis::Dimension;
use crate::document::form::{Form, Key, Kind, Need};
use crate::document::{Bounds, unit_words};
use crate::units::UnitSystem;

/// The name of the file that `new` writes beside a scenario.
pub const FILE: &str = "kentledge.schema.json";

/// Its title, by which a file that `new` has written before is known again.
pub const TITLE: &str = "kentledge scenario";

/// The schema, as the text of a file.
pub fn json_schema() -> String {
    let quantities =
        [Dimension::Mass, Dimension::Length, Dimension::Fuel, Dimension::Percent, Dimension::Density];
    let written: Map<String, Json> =
        quantities.into_iter().map(|dimension| (name(dimension).to_owned(), written(dimension))).collect();
    let mut schema = of(&SCENARIO);
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema".into();
    schema["title"] = TITLE.into();
    schema["$defs"] = Json::Object(written);
    format!("{schema:#}\n")
}

fn of(form: &Form) -> Json {
    match form {
        Form::Value(kind) => of_kind(*kind),
        Form::Word(words) => json!({ "enum": words }),
        Form::Nothing => json!({ "type": "null" }),
        Form::List(item) => json!({ "type": "array", "items": of(item) }),
        Form::Any(forms) => json!({ "anyOf": forms.iter().map(of).collect::<Vec<_>>() }),
        Form::Named(inner) => json!({
            "type": "object",
            "properties": { "note": true },
            "patternProperties": { "^x-": true },
            "additionalProperties": of(inner),
        }),
        Form::Settings(keys) => settings(keys),
    }
}

fn settings(keys: &[Key]) -> Json {
    let names = |key: &Key| [Some(key.name), key.other].into_iter().flatten().collect::<Vec<_>>();
    let mut properties: Map<String, Json> = Map::new();
    for key in keys {
        let mut form = of(&key.form);
        form["description"] = described(key).into();
        properties.extend(names(key).into_iter().map(|name| (name.to_owned(), form.clone())));
    }
    properties.insert("note".into(), json!({ "description": "anything you want to remember" }));
    let (single, several): (Vec<&Key>, Vec<&Key>) =
        keys.iter().filter(|key| key.need == Need::Required).partition(|key| key.other.is_none());
    let either = |key: &&Key| {
        let ways: Vec<Json> = names(key).into_iter().map(|name| json!({ "required": [name] })).collect();
        json!({ "oneOf": ways })
    };
    let mut schema = json!({
        "type": "object",
        "properties": properties,
        "patternProperties": { "^x-": true },
        "additionalProperties": false,
        "required": single.iter().map(|key| key.name).collect::<Vec<_>>(),
    });
    if !several.is_empty() {
        schema["allOf"] = several.iter().map(either).collect();
    }
    schema
}

/// The line about a key, with its bounds if it has any.
fn described(key: &Key) -> String {
    let bounds = match &key.form {
        Form::Value(Kind::Mass(bounds)) => bounds.wanted(Dimension::Mass, UnitSystem::KgMm),
        Form::Value(Kind::Length(bounds)) => bounds.wanted(Dimension::Length, UnitSystem::KgMm),
        Form::Value(Kind::Fuel(bounds)) => bounds.wanted(Dimension::Fuel, UnitSystem::KgMm),
        Form::Value(Kind::Density(bounds)) => bounds.wanted(Dimension::Density, UnitSystem::KgMm),
        Form::Value(Kind::Percent(bounds) | Kind::Share(bounds)) => {
            bounds.wanted(Dimension::Percent, UnitSystem::KgMm)
        }
        Form::Value(Kind::Number(bounds)) => bounds.wanted(Dimension::Number, UnitSystem::KgMm),
        _ => return key.about.to_owned(),
    };
    format!("{}; {bounds}", key.about)
}

fn of_kind(kind: Kind) -> Json {
    match kind {
        Kind::Mass(bounds) => quantity(Dimension::Mass, bounds),
        Kind::Length(bounds) => quantity(Dimension::Length, bounds),
        Kind::Fuel(bounds) => quantity(Dimension::Fuel, bounds),
        Kind::Density(bounds) => quantity(Dimension::Density, bounds),
        Kind::Percent(bounds) | Kind::Share(bounds) => quantity(Dimension::Percent, bounds),
        Kind::Number(bounds) => number(Dimension::Number, bounds),
        Kind::Whole(least, most) => json!({ "type": "integer", "minimum": least, "maximum": most }),
        Kind::Boolean => json!({ "type": "boolean" }),
        // YAML takes `7` and `true` for a number and a boolean; they are names all the same.
        Kind::Name => json!({ "type": ["string", "number", "boolean"] }),
    }
}

/// A bare number, or one with its unit.
fn quantity(dimension: Dimension, bounds: Bounds) -> Json {
    json!({ "anyOf": [number(dimension, bounds), { "$ref": format!("#/$defs/{}", name(dimension)) }] })
}

/// A bare number. Whether it is kilograms or pounds stands elsewhere in the file, so only its sign is certain.
fn number(dimension: Dimension, bounds: Bounds) -> Json {
    let lifted = bounds.lifted(dimension);
    match lifted.least {
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

/// A quantity as text: `12.5 kg`, `5lb`, `41 1/2 in`. Expressions of a schema know no case, so each letter is in both.
fn written(dimension: Dimension) -> Json {
    let either = |letter: char| match letter {
        letter if letter.is_alphabetic() => format!("[{letter}{}]", letter.to_uppercase()),
        letter => letter.to_string(),
    };
    let units: Vec<String> = unit_words(dimension).map(|word| word.chars().map(either).collect()).collect();
    let number = r"[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?(/[0-9]+| +[0-9]+/[0-9]+)?";
    json!({ "type": "string", "pattern": format!(r"^\s*{number}\s*({})?\s*$", units.join("|")) })
}
