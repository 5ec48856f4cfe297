//! Scenario texts rewritten into scenarios of which a law says how the answer must differ: mirrored, in other units, in
//! another order, with pieces or tanks divided.
//! Uses nothing of the library, so that the laws do not rest on what they test.

#![expect(clippy::unwrap_used, reason = "a test's own text that cannot be rewritten is a failed test")]

use serde_yaml::{Mapping, Value};

fn parsed(text: &str) -> Value {
    serde_yaml::from_str(text).unwrap_or_else(|error| panic!("{error}\n{text}"))
}

fn written(value: &Value) -> String {
    serde_yaml::to_string(value).unwrap()
}

fn settings(value: &mut Value) -> &mut Mapping {
    value.as_mapping_mut().unwrap()
}

/// Changes every number whose key is named, with the key above it; `change` sees both keys and the number.
fn change_numbers(value: &mut Value, above: &str, change: &dyn Fn(&str, &str, f64) -> Option<f64>) {
    let Value::Mapping(entries) = value else { return };
    for (key, entry) in entries.iter_mut() {
        let key = key.as_str().unwrap_or_default().to_owned();
        match entry.as_f64() {
            Some(number) => {
                if let Some(changed) = change(above, &key, number) {
                    *entry = Value::Number(changed.into());
                }
            }
            None => change_numbers(entry, &key, change),
        }
    }
}

/// Left becomes right.
pub(crate) fn mirrored(text: &str) -> String {
    let mut value = parsed(text);
    change_numbers(&mut value, "", &|above, key, number| match (above, key) {
        (_, "y") | ("front_pair" | "rear_pair", "aim") => Some(0.0 - number),
        ("left" | "cross", "aim") => Some(100.0 - number),
        _ => None,
    });
    let scales = settings(&mut value["weighing"]["scales"]);
    for (left, right) in [("lf", "rf"), ("lr", "rr")] {
        let (on_left, on_right) = (scales[left].clone(), scales[right].clone());
        scales[left] = on_right;
        scales[right] = on_left;
    }
    written(&value)
}

/// What a number under a key measures.
enum Measures {
    Mass,
    Length,
    Neither,
}

fn measures(above: &str, key: &str) -> Measures {
    match (above, key) {
        ("front_pair" | "rear_pair", "aim" | "within")
        | ("scales", _)
        | (
            _,
            "minimum" | "margin" | "largest_piece" | "most_mass_per_bolt" | "most_lead" | "capacity"
            | "spare" | "mass",
        ) => Measures::Mass,
        (
            _,
            "wheelbase" | "track_front" | "track_rear" | "x" | "y" | "z" | "room" | "thickness" | "pitch",
        ) => Measures::Length,
        _ => Measures::Neither,
    }
}

/// Thousandths of a pound and hundredths of an inch: numbers that both unit systems can write down exactly.
fn steps(number: f64, steps_per_unit: f64) -> i64 {
    (number * steps_per_unit).round() as i64
}

/// The kilogram scenario rounded to whole thousandths of a pound and hundredths of an inch, written in both unit systems:
/// first `kg-mm`, then `lb-in`.
pub(crate) fn in_both_units(text: &str) -> (String, String) {
    // A pound is 453 592 370 000 ng, an inch 25.4 mm, both exactly.
    let lb_steps = |kg: f64| steps(kg / 0.453_592_37, 1e3);
    let in_steps = |mm: f64| steps(mm / 25.4, 1e2);
    let mut metric = parsed(text);
    change_numbers(&mut metric, "", &|above, key, number| match measures(above, key) {
        Measures::Mass => Some((lb_steps(number) * 453_592_370) as f64 / 1e12),
        Measures::Length => Some((in_steps(number) * 254) as f64 / 1e3),
        Measures::Neither => None,
    });
    let mut imperial = parsed(text);
    change_numbers(&mut imperial, "", &|above, key, number| match measures(above, key) {
        Measures::Mass => Some(lb_steps(number) as f64 / 1e3),
        Measures::Length => Some(in_steps(number) as f64 / 1e2),
        Measures::Neither => None,
    });
    imperial["units"] = "lb-in".into();
    (written(&metric), written(&imperial))
}

/// The entries under `key` in an order given by `order`, which holds each position once.
pub(crate) fn reordered(text: &str, key: &str, order: &[usize]) -> String {
    let mut value = parsed(text);
    let entries: Vec<(Value, Value)> = std::mem::take(settings(&mut value[key])).into_iter().collect();
    assert_eq!(entries.len(), order.len(), "an order of other entries\n{text}");
    *settings(&mut value[key]) = order.iter().map(|place| entries[*place].clone()).collect();
    written(&value)
}

/// The tank as two tanks at its place; the second holds `share` of the fuel, to the tenth of a litre.
pub(crate) fn with_two_tanks(text: &str, share: f64) -> String {
    let mut value = parsed(text);
    let tank = value["fuel"].clone();
    let (mut main, mut side) = (tank.clone(), tank.clone());
    for moment in ["start", "finish"] {
        let litres = tank[moment].as_str().and_then(|amount| amount.strip_suffix(" L")).unwrap();
        let tenths = steps(litres.parse().unwrap(), 10.0);
        let in_side = (tenths as f64 * share).round() as i64;
        let amount = |tenths: i64| Value::from(format!("{}.{} L", tenths / 10, tenths % 10));
        main[moment] = amount(tenths - in_side);
        side[moment] = amount(in_side);
    }
    value["fuel"] = [("main", main), ("side", side)]
        .into_iter()
        .map(|(name, tank)| (Value::from(name), tank))
        .collect::<Mapping>()
        .into();
    written(&value)
}

/// Every kind as twice as many pieces of half the mass, and twice as many of them wherever something is fitted.
pub(crate) fn halved(text: &str) -> String {
    let mut value = parsed(text);
    change_numbers(&mut value["lead"], "", &|_, key, number| match key {
        "mass" => Some(number / 2.0),
        _ => None,
    });
    let twice = |count: &mut Value| *count = (count.as_u64().unwrap() * 2).into();
    for (_, kind) in settings(&mut value["lead"]) {
        twice(&mut kind["count"]);
    }
    if let Some(fitted) = value.get_mut("fitted") {
        for (_, mount) in settings(fitted) {
            for (_, count) in settings(mount) {
                twice(count);
            }
        }
    }
    written(&value)
}

/// One number of the scenario replaced: `path` leads to it from the root.
pub(crate) fn with_value(text: &str, path: &[&str], replacement: impl Into<Value>) -> String {
    let mut value = parsed(text);
    let mut place = &mut value;
    for key in path {
        place = &mut place[*key];
    }
    *place = replacement.into();
    written(&value)
}
