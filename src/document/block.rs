//! Blocks of settings, declared key by key in tables that drive the reading and make the schema.
//! Gives what a table expands to: a type with one field for each key, its reading and its JSON Schema.

use serde_json::{Map, Value as Json, json};

use super::fields::Fields;
use super::value::Value;

/// One key of a block.
#[derive(Clone, Copy)]
pub(crate) struct Key {
    /// Its name in the file.
    pub(crate) name: &'static str,
    /// Another name for it.
    pub(crate) other: Option<&'static str>,
    /// Whether it may be left out.
    pub(crate) need: Need,
    /// The ways of writing the block to which it belongs; empty if to all.
    pub(crate) ways: &'static [u8],
    /// One line for the user's editor.
    pub(crate) about: &'static str,
    /// A good value, for whoever left it out.
    pub(crate) like: &'static str,
}

/// Whether a key may be left out, and whether nothing after its colon is as good as that.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(non_camel_case_types, reason = "the words of the tables")]
pub(crate) enum Need {
    /// It must be there.
    required,
    /// It must be there, or left out for a reason; whoever reads it says so in words of his own.
    needed,
    /// It has a default, or is needed only together with others.
    optional,
    /// The same, and its value may be left out too.
    blank,
}

/// How a block may be written in fewer words.
#[derive(Clone, Copy)]
pub(crate) enum Short {
    /// Only key by key.
    None,
    /// What is no settings stands for the value of that key.
    Value(&'static str),
    /// A list stands for the values of so many keys, in the order of the table.
    List(usize),
}

impl Key {
    /// Whether it belongs to a way of writing the block.
    pub(super) fn is_of(&self, way: u8) -> bool {
        self.ways.is_empty() || self.ways.contains(&way)
    }

    pub(super) fn names(&self) -> impl Iterator<Item = &'static str> {
        [Some(self.name), self.other].into_iter().flatten()
    }
}

/// Settings under keys that a table declares.
pub(crate) trait Block<'r>: Sized {
    /// One way to write it, without its key.
    const EXAMPLE: &'static str;

    /// How it may be written in fewer words.
    const SHORT: Short;

    /// Its keys.
    fn keys() -> Vec<Key>;

    /// A schema, and bounds in words, for each of them.
    fn forms() -> Vec<(Json, Option<String>)>;

    /// The settings themselves.
    fn value(&self) -> &Value<'r>;

    /// Reads every key, in that order.
    fn of(fields: &Fields<'r>) -> Self;

    /// Reads all of it, and refuses keys that are not its own.
    fn read(value: &Value<'r>) -> Option<Self> {
        Self::read_like(value, Self::EXAMPLE)
    }

    /// The same with another way to write it.
    fn read_like(value: &Value<'r>, example: &str) -> Option<Self> {
        Fields::open(value, Self::keys(), example, Self::SHORT).map(|fields| Self::of(&fields))
    }

    /// All ways of writing it, as a JSON Schema.
    fn schema() -> Json {
        let (keys, forms) = (Self::keys(), Self::forms());
        let ways = keys.iter().flat_map(|key| key.ways).max().map_or(0, |last| last + 1);
        let of = |way: u8| schema_of(keys.iter().zip(&forms).filter(|(key, _)| key.is_of(way)));
        let mut all: Vec<Json> = (0..ways.max(1)).map(of).collect();
        match Self::SHORT {
            Short::None => {}
            Short::Value(short) => all.extend(
                keys.iter()
                    .zip(&forms)
                    .filter(|(key, _)| key.name == short)
                    .map(|(_, (form, _))| form.clone()),
            ),
            Short::List(count) => {
                let items: Vec<&Json> = forms.iter().take(count).map(|(form, _)| form).collect();
                all.push(
                    json!({ "type": "array", "prefixItems": items, "minItems": count, "maxItems": count }),
                );
            }
        }
        match alternatives(all).as_slice() {
            [only] => only.clone(),
            all => json!({ "anyOf": all }),
        }
    }
}

fn schema_of<'a>(keys: impl Iterator<Item = (&'a Key, &'a (Json, Option<String>))> + Clone) -> Json {
    let mut properties: Map<String, Json> = Map::new();
    for (key, (form, bounds)) in keys.clone() {
        let mut form = match key.need {
            Need::blank => json!({ "anyOf": alternatives([form.clone(), json!({ "type": "null" })]) }),
            _ => form.clone(),
        };
        let described = bounds.as_ref().map(|bounds| format!("{}; {bounds}", key.about));
        form["description"] = described.unwrap_or_else(|| key.about.to_owned()).into();
        properties.extend(key.names().map(|name| (name.to_owned(), form.clone())));
    }
    properties.insert("note".into(), json!({ "description": "anything you want to remember" }));
    let must = |need| matches!(need, Need::required | Need::needed);
    let (single, several): (Vec<&Key>, Vec<&Key>) =
        keys.map(|(key, _)| key).filter(|key| must(key.need)).partition(|key| key.other.is_none());
    let either = |key: &&Key| {
        let ways: Vec<Json> = key.names().map(|name| json!({ "required": [name] })).collect();
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

/// Alternatives, without alternatives among them.
pub(super) fn alternatives(forms: impl IntoIterator<Item = Json>) -> Vec<Json> {
    let flat = |form: Json| match form {
        Json::Object(mut only) if only.len() == 1 && only.contains_key("anyOf") => {
            only.remove("anyOf").and_then(|forms| forms.as_array().cloned()).unwrap_or_default()
        }
        form => vec![form],
    };
    forms.into_iter().flat_map(flat).collect()
}

/// Declares blocks of settings, key by key: how much it is needed, its name, what becomes of it, what it may be, and one line
/// about it; all of it seen as widely as the table says. `required[0]` belongs to the first of several ways of writing the block;
/// `short` says how it may be written in fewer words.
macro_rules! blocks {
    ($seen:vis, $(
        $(#[$about:meta])*
        $block:ident like $example:literal $(short $short:ident)? $(with ($($base:ident: $of_base:ty),+))? {
            $($need:ident $([$($way:literal)+])? $key:ident $(as $name:literal)? $(or $other:literal)?: $of:ty
                = $form:expr, $line:literal $(like $like:literal)?;)*
        }
    )*) => {$(
        $(#[$about])*
        $seen struct $block<'r> {
            own_value: $crate::document::Value<'r>,
            $($($seen $base: $of_base,)+)?
            $($seen $key: $crate::document::Given<'r, $of>,)*
        }

        impl<'r> $crate::document::block::Block<'r> for $block<'r> {
            const EXAMPLE: &'static str = $example;
            const SHORT: $crate::document::block::Short = [$($short,)? $crate::document::block::Short::None][0];
            fn keys() -> Vec<$crate::document::block::Key> {
                let mut keys: Vec<$crate::document::block::Key> = Vec::new();
                $($(keys.extend(<$of_base as $crate::document::block::Block>::keys());)+)?
                keys.extend([$($crate::document::block::Key {
                    name: [$($name,)? stringify!($key)][0],
                    other: [$(Some($other),)? None][0],
                    need: $crate::document::block::Need::$need,
                    ways: &[$($($way),+)?],
                    about: $line,
                    like: [$($like,)? ""][0],
                }),*]);
                keys
            }
            fn forms() -> Vec<(serde_json::Value, Option<String>)> {
                use $crate::document::form::Described;
                let mut forms: Vec<(serde_json::Value, Option<String>)> = Vec::new();
                $($(forms.extend(<$of_base as $crate::document::block::Block>::forms());)+)?
                $({
                    let form = &$form;
                    forms.push((form.schema(), Described::bounds(form)));
                })*
                forms
            }
            fn value(&self) -> &$crate::document::Value<'r> {
                &self.own_value
            }
            fn of(fields: &$crate::document::Fields<'r>) -> Self {
                $block {
                    own_value: fields.value().clone(),
                    $($($base: <$of_base as $crate::document::block::Block>::of(fields),)+)?
                    $($key: fields.given(&$form),)*
                }
            }
        }
    )*};
}

pub(crate) use blocks;
