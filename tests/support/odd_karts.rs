//! Tiny karts of odd boxes, mounts and adjusters: where sums are equal on paper, counts are zero, limits are broken already.
//! Takes a seed; gives the text of a scenario file and what `--only` names. All data is invented.

use crate::cases::Draw;

/// A drawn file, and the names that may be changed; none for everything.
pub(crate) struct OddKart {
    pub(crate) text: String,
    pub(crate) only: Option<&'static str>,
}

/// Kinds whose sums meet: halves, doubles, equal masses under two names.
const KILOGRAMS: [&[&str]; 4] =
    [&["5", "2.5", "2.5"], &["2", "1", "1"], &["1.5", "0.5", "1"], &["2.513", "1.004", "2.513"]];
const POUNDS: [&[&str]; 3] =
    [&["5 lb", "2.5 lb", "2.5 lb"], &["5.5 lb", "3 lb", "2.5 lb"], &["1.1 lb", "0.3 lb", "2.2 lb"]];
const INCHES: [&str; 4] = ["5/16 in", "1/4 in", "3/16 in", "7/16 in"];
const ROOMS: [&str; 4] = ["5/8 in", "1/2 in", "3/4 in", "15/16 in"];

pub(crate) fn odd_kart(seed: u64) -> OddKart {
    let mut draw = Draw::new(seed ^ 0x0DD_0DD);
    let draw = &mut draw;
    let pick = |draw: &mut Draw, from: &[&'static str]| from[draw.below(from.len())];
    let masses = if draw.chance(0.3) { POUNDS[draw.below(3)] } else { KILOGRAMS[draw.below(4)] };
    let stacks = draw.chance(0.4);
    let kinds = 1 + draw.below(3);
    let names = ["slab", "puck", "disc"];
    let mut lead = String::new();
    let mut counts = Vec::new();
    for kind in 0..kinds {
        let count = if draw.chance(0.2) { 0 } else { 1 + draw.below(2) };
        let thick = if stacks { format!(", thickness: {}", pick(draw, &INCHES)) } else { String::new() };
        lead += &format!("  {}: {{mass: {}, count: {count}{thick}}}\n", names[kind], masses[kind]);
        counts.push(count);
    }
    let places = ["nose", "seat", "back"];
    let number = 1 + draw.below(3);
    let has_seat = draw.chance(0.3);
    let (mut mounts, mut fitted) = (String::new(), String::new());
    for mount in 0..number {
        // Places that mirror each other and stand at equal distances.
        let (x, y) = ([100, 300, 500, 700][draw.below(4)], [-200, 0, 200][draw.below(3)]);
        let mut more = String::new();
        if stacks && draw.chance(0.6) {
            more += &format!(", room: {}", pick(draw, &ROOMS));
        }
        if draw.chance(0.15) {
            more += &format!(", takes: [{}]", names[draw.below(kinds)]);
        }
        if has_seat && draw.chance(0.4) {
            more += ", on: seat";
        }
        let capacity = pick(draw, &["1", "2", "2.5", "4", "7.5"]);
        mounts += &format!("  {}: {{x: {x}, y: {y}, capacity: {capacity}{more}}}\n", places[mount]);
        for kind in 0..kinds {
            if counts[kind] > 0 && draw.chance(0.3) {
                let here = 1 + draw.below(counts[kind]);
                counts[kind] -= here;
                fitted += &format!("  {}: {{{}: {here}}}\n", places[mount], names[kind]);
                break;
            }
        }
    }
    let fitted = if fitted.is_empty() { fitted } else { format!("fitted:\n{fitted}") };
    let washers = draw.chance(0.3).then(|| [draw.below(2), draw.below(2), draw.below(2), draw.below(2)]);
    let mut kart = String::from("name: k, wheelbase: 1040, track_front: 1080, track_rear: 1120");
    let mut aboard = String::from("driver: Sam, fuel: none, lead: none");
    if has_seat {
        let holes = draw.below(3);
        kart += &format!(
            ", seat: {{mass: 4, x: 300, y: 0, pitch: 15, hole: 1, holes: {{from: 1, to: {}}}}}",
            1 + holes
        );
        aboard += ", seat_hole: 1";
    }
    if let Some([a, b, c, d]) = washers {
        kart += &format!(
            ", spindles: {{washer: 1.5, left: {{above: {a}, below: {b}}}, right: {{above: {c}, below: {d}}}}}"
        );
    }
    let bar = draw.chance(0.3).then(|| draw.below(2));
    let bar_text = bar.map_or_else(String::new, |to| {
        let step = "{lf: 0.4, rf: -0.4, lr: -0.4, rr: 0.4}";
        format!("adjusters:\n  bar: {{per_step: {step}, from: 0, to: {to}, now: 0}}\n")
    });
    let mut targets = String::new();
    for (figure, low, high, within) in [
        ("front", 41.0, 44.0, 0.3),
        ("left", 48.0, 51.0, 0.3),
        ("cross", 48.0, 52.0, 0.5),
        ("front_pair", -2.0, 2.0, 0.5),
    ] {
        if draw.chance(0.5) {
            let weight = if draw.chance(0.2) { ", weight: 3" } else { "" };
            let aim = draw.rounded(low, high, 1);
            targets += &format!("  {figure}: {{aim: {aim}, within: {within}{weight}}}\n");
        }
    }
    let targets = if targets.is_empty() { targets } else { format!("targets:\n{targets}") };
    let mut rules = String::new();
    if draw.chance(0.2) {
        rules = format!(", rules: {{largest_piece: {}}}", pick(draw, &["2", "2.5", "3"]));
    } else if draw.chance(0.2) {
        rules = format!(", rules: {{most_lead: {}}}", pick(draw, &["2.5", "4", "6"]));
    }
    let minimum = 149.0 + [0.0, 1.0, 2.0, 3.5, 5.0][draw.below(5)];
    let exact = if draw.chance(0.3) {
        "goals: {resolution: {legal: 0, band: 0, light: 0, work: 0, close: 0}}\n".to_owned()
    } else {
        String::new()
    };
    let only = match draw.below(8) {
        0 => Some("lead"),
        1 if washers.is_some() => Some("spacers"),
        2 if has_seat => Some("seat"),
        3 if bar.is_some() => Some("bar"),
        _ => None,
    };
    let text = format!(
        "units: kg-mm\nkart: {{{kart}}}\nclass: {{name: c, minimum: {minimum}, margin: 0{rules}}}\n{targets}weighing:\n  \
         scales: {{lf: 30.8, rf: 31.4, lr: 42.3, rr: 44.5}}\n  aboard: {{{aboard}}}\ndrivers: {{Sam: {{mass: 70, x: 440, y: 20}}}}\n\
         {bar_text}mounts:\n{mounts}lead:\n{lead}{fitted}{exact}"
    );
    OddKart { text, only }
}
