//! The schema and the accepted files know the same keys.
//! Does not judge values: `.ci/validate.py` does, with an independent validator.

use std::collections::BTreeSet;

use kentledge::scenario::Scenario;
use kentledge::scenario::schema::json_schema;
use serde_json::Value as Json;
use serde_yaml::Value as Yaml;

use small::scenario_files;

#[path = "support/small.rs"]
#[expect(dead_code, reason = "only the list of files is needed here")]
mod small;

/// The schema with every part written out where it is referred to.
fn written_out(part: &Json, defs: &Json) -> Json {
    match part {
        Json::Object(entries) => {
            let name = entries.get("$ref").and_then(Json::as_str).and_then(|way| way.rsplit('/').next());
            if let Some(name) = name {
                return written_out(&defs[name], defs);
            }
            let below = entries.iter().filter(|(key, _)| *key != "$defs");
            below
                .map(|(key, part)| (key.clone(), written_out(part, defs)))
                .collect::<serde_json::Map<_, _>>()
                .into()
        }
        Json::Array(items) => items.iter().map(|part| written_out(part, defs)).collect(),
        other => other.clone(),
    }
}

/// The forms that a schema allows in one place.
fn forms_of(schema: &Json) -> Vec<&Json> {
    schema["anyOf"].as_array().map_or_else(|| vec![schema], |any| any.iter().flat_map(forms_of).collect())
}

/// A key of a block, which is called by all its keys.
fn named_in(block: &Json, key: &str) -> String {
    let keys = block["properties"].as_object().expect("a block has keys").keys();
    format!("{key} of {{{}}}", keys.cloned().collect::<Vec<_>>().join(" "))
}

fn all_keys(schema: &Json, all: &mut BTreeSet<String>) {
    for form in forms_of(schema) {
        all_keys_below(form, all);
    }
}

fn all_keys_below(form: &Json, all: &mut BTreeSet<String>) {
    for (key, below) in form["properties"].as_object().into_iter().flatten().filter(|(key, _)| *key != "note")
    {
        // Settings under a key are called by their own keys.
        if forms_of(below).iter().any(|form| form["type"] != "object") {
            all.insert(named_in(form, key));
        }
        all_keys(below, all);
    }
    for below in [&form["additionalProperties"], &form["items"]].into_iter().filter(|below| below.is_object())
    {
        all_keys(below, all);
    }
}

/// Whether a form of the schema has all keys of a value; notes them.
fn shows(schema: &Json, value: &Yaml, shown: &mut BTreeSet<String>) -> bool {
    forms_of(schema).into_iter().any(|form| match value {
        Yaml::Mapping(entries) if form["type"] == "object" => {
            // Of ways to write a block, the one whose keys must be there.
            let must = form["required"].as_array().into_iter().flatten().filter_map(Json::as_str);
            if must.into_iter().any(|key| !entries.contains_key(key)) {
                return false;
            }
            let mut here = BTreeSet::new();
            let known = entries.iter().all(|(key, value)| {
                let key = serde_yaml::to_string(key).expect("a key is written").trim().replace('\'', "");
                match (form["properties"].get(&key), &form["additionalProperties"]) {
                    _ if key == "note" || key.starts_with("x-") => true,
                    (Some(below), _) => here.insert(named_in(form, &key)) | shows(below, value, &mut here),
                    (None, below) => below.is_object() && shows(below, value, &mut here),
                }
            });
            if known {
                shown.append(&mut here);
            }
            known
        }
        Yaml::Sequence(items) if form["type"] == "array" => items.iter().enumerate().all(|(index, item)| {
            let own = form["prefixItems"].get(index).unwrap_or(&form["items"]);
            shows(own, item, shown)
        }),
        Yaml::Mapping(_) | Yaml::Sequence(_) => false,
        _ => form["type"] != "object" && form["type"] != "array",
    })
}

/// A key that no accepted file has might as well not be read.
#[test]
fn every_key_of_the_schema_stands_in_an_accepted_file_and_no_other_does() {
    let text = json_schema();
    assert!(text.len() < 120_000, "{} bytes", text.len());
    let schema: Json = serde_json::from_str(&text).expect("a schema is JSON");
    let schema = written_out(&schema, &schema["$defs"]);
    let forms = std::fs::read_dir("scenarios/forms").expect("the folder is part of the project");
    let forms = forms.map(|entry| std::fs::read_to_string(entry.expect("an entry").path()).expect("a text"));
    let (mut all, mut shown) = (BTreeSet::new(), BTreeSet::new());
    all_keys(&schema, &mut all);
    assert!(all.len() > 150, "{}", all.len());
    for text in scenario_files().into_iter().map(|(_, text)| text).chain(forms) {
        assert!(Scenario::from_yaml(&text).is_ok(), "{text}");
        let value: Yaml = serde_yaml::from_str(&text).expect("an accepted file is YAML");
        assert!(shows(&schema, &value, &mut shown), "the schema lacks a key of\n{text}");
    }
    let unseen: Vec<&String> = all.difference(&shown).collect();
    assert!(unseen.is_empty(), "add to a file in scenarios/forms: {unseen:#?}");
}
