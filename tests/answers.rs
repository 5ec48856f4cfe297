//! Documents against the schemas that the program prints of them: every required key is there, and no other than those told.

#[path = "support/run.rs"]
#[expect(dead_code, reason = "nothing here is read from stdin")]
mod program;

use std::fs;
use std::path::Path;

use kentledge::answer::{SCHEMAS, schema_of_command};
use program::run;
use serde_json::{Map, Value};

/// What a schema says of one value: the keys it may have and must have, by way of references and alternatives.
fn resolved<'s>(schema: &'s Value, root: &'s Value) -> Vec<&'s Value> {
    let reference = schema["$ref"].as_str().and_then(|way| root.pointer(way.trim_start_matches('#')));
    let others = ["anyOf", "oneOf", "allOf"].iter().filter_map(|key| schema[*key].as_array()).flatten();
    let inner = reference.into_iter().chain(others).flat_map(|one| resolved(one, root));
    std::iter::once(schema).chain(inner).collect()
}

fn is_of(value: &Value, kind: &str) -> bool {
    match kind {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "number" => value.is_number(),
        "integer" => value.is_i64() || value.is_u64(),
        "boolean" => value.is_boolean(),
        "null" => value.is_null(),
        other => panic!("no kind `{other}`"),
    }
}

/// Everything in which a value differs from a schema.
fn differences(value: &Value, schema: &Value, root: &Value, way: &str, found: &mut Vec<String>) {
    let parts = resolved(schema, root);
    let kinds: Vec<&str> = parts
        .iter()
        .flat_map(|part| match &part["type"] {
            Value::String(kind) => vec![kind.as_str()],
            Value::Array(kinds) => kinds.iter().filter_map(Value::as_str).collect(),
            _ => Vec::new(),
        })
        .collect();
    if !kinds.is_empty() && !kinds.iter().any(|kind| is_of(value, kind)) {
        found.push(format!("{way} is no {kinds:?}: {value}"));
    }
    match value {
        Value::Object(entries) => {
            let properties: Vec<&Map<String, Value>> =
                parts.iter().filter_map(|part| part["properties"].as_object()).collect();
            for part in &parts {
                let required = part["required"].as_array().into_iter().flatten().filter_map(Value::as_str);
                let missing = required.filter(|key| !entries.contains_key(*key));
                found.extend(missing.map(|key| format!("{way} has no {key}")));
            }
            for (key, inner) in entries {
                match properties.iter().find_map(|known| known.get(key)) {
                    Some(schema) => differences(inner, schema, root, &format!("{way}.{key}"), found),
                    None => found.push(format!("{way}.{key} is not in the schema")),
                }
            }
        }
        Value::Array(values) => {
            let items = parts.iter().find_map(|part| part.get("items"));
            for inner in values {
                differences(inner, items.unwrap_or(&Value::Null), root, &format!("{way}[]"), found);
            }
        }
        _ => {}
    }
}

fn scenarios(stems: &[&str]) -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    if stems.is_empty() {
        let entries = fs::read_dir(folder).expect("the scenarios are there").flatten();
        let files = entries
            .map(|entry| entry.path())
            .filter(|path| path.extension().is_some_and(|end| end == "yaml"));
        return files.map(|path| path.display().to_string()).collect();
    }
    stems.iter().map(|stem| folder.join(format!("{stem}.yaml")).display().to_string()).collect()
}

/// A number that is none would be left out of a document, and a key that is missing is found here.
#[test]
fn every_document_is_as_the_schema_of_its_command_says() {
    let teams = ["two-drivers", "three-drivers", "seat-on-pins"];
    let commands: [(&[&str], &[&str]); 7] = [
        (&["plan", "--alternatives", "3"], &[]),
        (&["weigh"], &[]),
        (&["check"], &[]),
        (&["swap"], &teams),
        (&["card"], &teams),
        (&["reach", "--all-drivers"], &teams),
        (&["pack"], &["trip", "too-light"]),
    ];
    for (command, stems) in commands {
        let schema = schema_of_command(command[0]).expect("the command has a document");
        let schema: Value = serde_json::from_str(&schema).expect("a schema is JSON");
        for scenario in scenarios(stems) {
            let run = run(&[command, &[scenario.as_str(), "--json", "--quiet", "--time", "600"]].concat());
            if run.code == Some(3) {
                continue;
            }
            let document: Value = serde_json::from_str(&run.stdout).expect("a document");
            let mut found = Vec::new();
            differences(&document, &schema, &schema, command[0], &mut found);
            assert_eq!(found, Vec::<String>::new(), "{scenario}");
        }
    }
}

#[test]
fn a_missing_key_an_unknown_one_and_a_wrong_kind_are_found() {
    let schema = serde_json::json!({
        "$defs": {"place": {"type": "object", "properties": {"x_mm": {"type": "number"}}, "required": ["x_mm"]}},
        "type": "object",
        "properties": {"places": {"type": "array", "items": {"$ref": "#/$defs/place"}}},
        "required": ["places", "kart"],
    });
    let document = serde_json::json!({"places": [{"x_mm": "far"}, {"y_mm": 1.0}]});
    let mut found = Vec::new();
    differences(&document, &schema, &schema, "d", &mut found);
    assert_eq!(found.len(), 4, "{found:?}");
}

#[test]
fn every_command_that_has_a_document_prints_its_schema() {
    for (command, schema) in SCHEMAS {
        let printed = run(&["schema", "--answer", command]);
        assert_eq!((printed.code, printed.stdout), (Some(0), schema()), "{command}");
    }
    let refused = run(&["schema", "--answer", "new"]);
    assert!(refused.code == Some(2) && refused.stderr.contains("plan"), "{}", refused.stderr);
}
