//! The format of a scenario file as a JSON Schema (draft 2020-12), for editors and validators.
//! Says what is certain without reading the whole file: bounds that `limits: off` may lift are told, not demanded.

use std::collections::BTreeMap;

use serde_json::{Map, Value as Json, json};

use super::keys::File;
use crate::document::block::Block;
use crate::document::form::written_quantities;

/// The name of the file that `new` writes beside a scenario.
pub const FILE: &str = "kentledge.schema.json";

/// Its title, by which a file that `new` has written before is known again.
pub const TITLE: &str = "kentledge scenario";

/// What is shorter than this is repeated rather than referred to, bytes.
const SHORT: usize = 150;

/// The schema, as the text of a file.
pub fn json_schema() -> String {
    let whole = File::schema();
    let mut shared = Shared { times: BTreeMap::new(), names: BTreeMap::new(), defs: written_quantities() };
    shared.count(&whole);
    let mut schema = shared.within(&whole, "");
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema".into();
    schema["title"] = TITLE.into();
    schema["$defs"] = shared.defs.into();
    format!("{schema:#}\n")
}

/// Parts that occur more than once, each of which is written once and referred to by a name.
struct Shared {
    times: BTreeMap<String, u32>,
    names: BTreeMap<String, String>,
    defs: Map<String, Json>,
}

/// A part without what only one place says of it; none if it is too short to be shared.
fn bare(part: &Json) -> Option<(Json, String)> {
    let mut bare = part.clone();
    bare.as_object_mut()?.remove("description");
    let text = bare.to_string();
    let is_schema = ["type", "anyOf"].iter().any(|key| bare.get(key).is_some_and(|value| !value.is_object()));
    (is_schema && text.len() > SHORT).then_some((bare, text))
}

fn below(part: &Json) -> Box<dyn Iterator<Item = (&str, &Json)> + '_> {
    match part {
        Json::Object(entries) => Box::new(entries.iter().map(|(key, value)| (key.as_str(), value))),
        Json::Array(items) => Box::new(items.iter().map(|item| ("", item))),
        _ => Box::new(std::iter::empty()),
    }
}

impl Shared {
    fn count(&mut self, part: &Json) {
        if let Some((_, text)) = bare(part) {
            *self.times.entry(text).or_insert(0) += 1;
        }
        below(part).for_each(|(_, part)| self.count(part));
    }

    /// The part that stands under that key, or a reference to it.
    fn of(&mut self, part: &Json, key: &str) -> Json {
        let Some((bare, text)) = bare(part).filter(|(_, text)| self.times[text] > 1) else {
            return self.within(part, key);
        };
        let name = self.names.get(&text).cloned().unwrap_or_else(|| {
            let alike =
                self.names.values().filter(|name| name.rsplit_once('-').is_some_and(|(of, _)| of == key));
            let name = format!("{key}-{}", alike.count() + 1);
            self.names.insert(text, name.clone());
            let written = self.within(&bare, key);
            self.defs.insert(name.clone(), written);
            name
        });
        let mut reference = json!({ "$ref": format!("#/$defs/{name}") });
        if let Some(description) = part.get("description") {
            reference["description"] = description.clone();
        }
        reference
    }

    /// The same with references for what is below.
    fn within(&mut self, part: &Json, key: &str) -> Json {
        match part {
            Json::Object(entries) => {
                let called = |below: &str| {
                    if ["type", "anyOf"].iter().any(|is| entries.contains_key(*is)) { key } else { below }
                        .to_owned()
                };
                let part = |(below, value): (&String, &Json)| (below.clone(), self.of(value, &called(below)));
                entries.iter().map(part).collect::<Map<_, _>>().into()
            }
            Json::Array(items) => items.iter().map(|item| self.of(item, key)).collect(),
            other => other.clone(),
        }
    }
}
