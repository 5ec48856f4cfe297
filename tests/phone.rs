//! What a page for a phone is told, request by request, against what the program says of the same file.
//! Does not know how a browser shows it: `.ci/page.mjs` looks at that.

#[expect(dead_code, reason = "the others take more of it")]
#[path = "support/run.rs"]
mod program;
#[expect(dead_code, reason = "the others take more of it")]
#[path = "support/small.rs"]
mod small;

use std::time::Duration;

use kentledge::phone;
use program::run;
use serde_json::{Value, json};
use small::scenario_files;

/// All replies to a request.
fn replies(request: &Value) -> Vec<Value> {
    let mut replies = Vec::new();
    phone::answer(&request.to_string(), &|| Duration::ZERO, &mut |reply| {
        replies.push(serde_json::to_value(reply).expect("a reply is JSON"));
    });
    replies
}

fn last(text: &str, asks: &Value, more: &Value) -> Value {
    let mut request = json!({ "name": "kart.yaml", "text": text, "asks": asks });
    let more = more.as_object().expect("settings").clone();
    request.as_object_mut().expect("a request").extend(more);
    replies(&request).pop().expect("every request has a reply")
}

fn pads(readings: &[&str]) -> Value {
    json!({ "readings": readings, "driver": null, "fuel": "start", "lead": null, "turned": null,
        "set_up": null, "date": "2026-11-30", "note": null })
}

fn text_of(path: &str) -> String {
    std::fs::read_to_string(path).expect("a scenario")
}

fn plan(text: &str, more: &Value) -> Value {
    last(text, &json!({ "plan": { "leave": [], "seconds": 60.0 } }), more)
}

/// All places where a plan has a job.
fn places(plan: &Value) -> Vec<Value> {
    let jobs = plan["jobs"].as_array().expect("jobs").iter();
    jobs.map(|job| job["at"].clone()).filter(|at| !at.is_null()).collect()
}

#[test]
fn a_plan_is_the_document_of_the_command_line_whatever_the_scenario() {
    for (path, text) in scenario_files() {
        let mut ours = plan(&text, &json!({}))["document"].clone();
        let theirs = run(&["plan", &path, "--json", "--time", "600"]);
        let mut theirs: Value = serde_json::from_str(&theirs.stdout).expect("one document");
        for document in [&mut ours, &mut theirs] {
            document["elapsed_ms"] = Value::Null;
            // Of a search of many parts the visits depend on how long each may take.
            document["nodes"] = Value::Null;
        }
        assert_eq!(ours, theirs, "{path}");
    }
}

#[test]
fn each_field_says_what_cannot_be_in_it() {
    let text = text_of("scenarios/club-sprint.yaml");
    let look = |readings: &[&str]| last(&text, &json!("look"), &json!({ "pads": pads(readings) }));
    let looked = look(&["30,8", "stone", "", "44.5"]);
    let wrong: Vec<bool> =
        looked["fields"].as_array().expect("fields").iter().map(|field| !field["wrong"].is_null()).collect();
    assert_eq!(wrong, [false, true, false, false], "{looked}");
    assert_eq!(looked["html"], "", "nothing is said of readings that are not whole");
    let [comma, point] =
        [["30,8", "31.4", "42.3", "44.5"], ["30.8", "31.4", "42.3", "44.5"]].map(|set| look(&set));
    assert!(comma["html"].as_str().expect("markup").contains("strip"), "{comma}");
    assert_eq!(comma, point);
    let five = look(&["30.8", "31.4", "42.3", "44.5", "1"]);
    assert!(five["refused"].is_string() || five["html"] == "", "{five}");
}

#[test]
fn a_weighing_is_added_once_and_a_note_adds_nothing_else() {
    let text = text_of("scenarios/club-sprint.yaml");
    let with = |pads: Value| last(&text, &json!("kart"), &json!({ "pads": pads }));
    let kart = with(pads(&["31", "32", "43", "45"]));
    let grown = kart["text"].as_str().expect("a text");
    assert_eq!(grown.matches("scales:").count(), 2, "{grown}");
    assert_eq!(kart["weighed"], json!(["31.0", "32.0", "43.0", "45.0"]));
    let mut noted = pads(&["31", "32", "43", "45"]);
    noted["note"] = json!("fine\nfitted: {seat_left: {block: 1}}");
    let kart = with(noted);
    assert!(kart["is"] == "refused" || kart["is_fitted"] == false, "{kart}");
    let mut elsewhere = pads(&["31", "32", "43", "45"]);
    elsewhere["lead"] = json!("none}, fuel: none}\nclass: {minimum: 1");
    assert_ne!(with(elsewhere)["is"], "kart");
}

#[test]
fn what_is_bolted_is_fitted_and_how_it_stands_is_what_the_plan_foretold() {
    for path in ["scenarios/club-sprint.yaml", "scenarios/seat-and-spacers.yaml", "scenarios/oval.yaml"] {
        let text = text_of(path);
        let planned = plan(&text, &json!({}));
        let places = places(&planned);
        let stops = planned["document"]["stops"].as_array().expect("stops").clone();
        assert_eq!(places.len(), stops.len(), "{path}");
        for done in 1..=places.len() {
            let bolted = json!({ "bolted": { "planned": planned["planned"], "done": places[..done] } });
            let stand = last(&text, &json!("stand"), &bolted);
            for (key, of) in [
                ("total_kg", "total_kg"),
                ("front_percent", "front_percent"),
                ("left_percent", "left_percent"),
            ] {
                let [ours, theirs] =
                    [&stand[key], &stops[done - 1][of]].map(|number| number.as_f64().expect("a number"));
                // A document has shares to a thousandth.
                assert!((ours - theirs).abs() < 6e-4, "{path}, {done} jobs: {key} {ours}, not {theirs}");
            }
        }
        let bolted = json!({ "bolted": { "planned": planned["planned"], "done": places } });
        let then = plan(&text, &bolted);
        assert_eq!(then["document"]["placements"], planned["document"]["placements"], "{path}");
        assert_eq!(then["jobs"], json!([]), "{path}: all is done");
    }
}

#[test]
fn a_piece_on_its_way_is_in_the_box_and_never_twice_on_the_kart() {
    let text = text_of("scenarios/second-weighing.yaml");
    let planned = plan(&text, &json!({}));
    let total = |done: &[Value]| {
        let bolted = json!({ "bolted": { "planned": planned["planned"], "done": done } });
        let kart = last(&text, &json!("kart"), &bolted);
        assert_eq!(kart["is"], "kart", "{kart}");
        last(&text, &json!("stand"), &bolted)["total_kg"].as_f64().expect("a total")
    };
    let places = places(&planned);
    let most = total(&[]).max(total(&places)) + 1e-9;
    for one in &places {
        assert!(total(std::slice::from_ref(one)) <= most + 20.0);
    }
}

#[test]
fn what_cannot_be_done_is_left_as_it_is() {
    let text = text_of("scenarios/club-sprint.yaml");
    let planned = plan(&text, &json!({}));
    for place in places(&planned) {
        let asks = json!({ "plan": { "leave": [place], "seconds": 60.0 } });
        let other = last(&text, &asks, &json!({}));
        assert!(!places(&other).contains(&place), "{other}");
    }
}

#[test]
fn a_word_of_the_file_can_be_changed_and_what_is_wrong_is_said_at_its_line() {
    let text = text_of("scenarios/club-sprint.yaml");
    let set = |word: &str| {
        last(&text, &json!({ "set": { "path": ["class", "minimum"], "word": word } }), &json!({}))
    };
    let heavier = set("162");
    assert!(heavier["text"].as_str().expect("a text").contains("minimum: 162"), "{heavier}");
    let wrong = set("heavy");
    assert_eq!((&wrong["is"], &wrong["lines"]), (&json!("wrong"), &json!([13])), "{wrong}");
}

#[test]
fn a_request_that_cannot_be_followed_ends_in_a_sentence() {
    let text = text_of("scenarios/club-sprint.yaml");
    let refused = |request: Value| {
        let reply = replies(&request).pop().expect("a reply");
        assert!(reply["is"] == "refused" || reply["is"] == "wrong", "{reply}");
        assert!(reply["said"].as_str().is_some_and(|said| said.len() > 8), "{reply}");
    };
    refused(json!("nothing"));
    refused(json!({ "name": "a", "text": "units: kg", "asks": "kart" }));
    refused(json!({ "name": "a", "text": text, "asks": "look" }));
    let bolted = |planned: Value| json!({ "name": "a", "text": text, "asks": "stand", "bolted": { "planned": planned, "done": [] } });
    refused(bolted(json!({ "lead": [[99, 0, 1]], "settings": [] })));
    refused(bolted(json!({ "lead": [[0, 99, 1]], "settings": [] })));
    refused(bolted(json!({ "lead": [], "settings": [7] })));
    // More pieces than there are.
    let most = json!({ "planned": { "lead": [[0, 0, 4_000_000_000_u32]], "settings": [] }, "done": [{ "mount": 0 }] });
    refused(json!({ "name": "a", "text": text, "asks": "kart", "bolted": most }));
    assert!(replies(&json!({ "name": "a", "text": text, "asks": "log" }))[0]["html"].is_string());
}
