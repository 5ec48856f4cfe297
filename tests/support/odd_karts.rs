//! Tiny karts of odd boxes, mounts and adjusters: where sums are equal on paper, counts are zero, limits are broken already.
//! All data is invented.

use crate::cases::Draw;

#[path = "set_then.rs"]
mod set_then;

/// A drawn file, and the name of what may be changed; none for everything.
pub(crate) struct OddKart {
    pub(crate) text: String,
    pub(crate) only: Option<&'static str>,
}

/// Kinds whose sums meet: halves, doubles, equal masses under two names.
const MASSES: [[&str; 3]; 7] = [
    ["5", "2.5", "2.5"],
    ["2", "1", "1"],
    ["1.5", "0.5", "1"],
    ["2.513", "1.004", "2.513"],
    ["5 lb", "2.5 lb", "2.5 lb"],
    ["5.5 lb", "3 lb", "2.5 lb"],
    ["1.1 lb", "0.3 lb", "2.2 lb"],
];
const INCHES: [&str; 4] = ["5/16 in", "1/4 in", "3/16 in", "7/16 in"];
const ROOMS: [&str; 4] = ["5/8 in", "1/2 in", "3/4 in", "15/16 in"];
const KINDS: [&str; 3] = ["slab", "puck", "disc"];
const MOUNTS: [&str; 3] = ["nose", "rail", "back"];

fn pick(draw: &mut Draw, from: &[&'static str]) -> &'static str {
    from[draw.below(from.len())]
}

/// The box, and how many of each kind are in it.
fn lead(draw: &mut Draw, stacks: bool) -> (String, Vec<usize>) {
    let masses = MASSES[draw.below(MASSES.len())];
    let mut counts = Vec::new();
    let lines: Vec<String> = std::iter::zip(KINDS, masses)
        .take(1 + draw.below(3))
        .map(|(kind, mass)| {
            let count = if draw.chance(0.2) { 0 } else { 1 + draw.below(2) };
            let thick = if stacks { format!(", thickness: {}", pick(draw, &INCHES)) } else { String::new() };
            counts.push(count);
            format!("  {kind}: {{mass: {mass}, count: {count}{thick}}}\n")
        })
        .collect();
    (lines.concat(), counts)
}

/// Mounts that mirror each other or stand at equal distances, and what is fitted on them, within their limits or not.
fn mounts(draw: &mut Draw, stacks: bool, has_seat: bool, mut counts: Vec<usize>) -> (String, String) {
    let (mut mounts, mut fitted) = (Vec::new(), Vec::new());
    for mount in MOUNTS.into_iter().take(1 + draw.below(3)) {
        let (x, y) = ([100, 300, 500, 700][draw.below(4)], [-200, 0, 200][draw.below(3)]);
        let capacity = pick(draw, &["1", "2", "2.5", "4", "7.5"]);
        let room = if stacks && draw.chance(0.6) {
            format!(", room: {}", pick(draw, &ROOMS))
        } else {
            String::new()
        };
        let takes = if draw.chance(0.15) {
            format!(", takes: [{}]", KINDS[draw.below(counts.len())])
        } else {
            String::new()
        };
        let on = if has_seat && draw.chance(0.4) { ", on: seat" } else { "" };
        mounts.push(format!("  {mount}: {{x: {x}, y: {y}, capacity: {capacity}{room}{takes}{on}}}\n"));
        let kind = draw.below(counts.len());
        if counts[kind] > 0 && draw.chance(0.5) {
            let here = 1 + draw.below(counts[kind]);
            counts[kind] -= here;
            fitted.push(format!("  {mount}: {{{}: {here}}}\n", KINDS[kind]));
        }
    }
    let fitted = if fitted.is_empty() { String::new() } else { format!("fitted:\n{}", fitted.concat()) };
    (mounts.concat(), fitted)
}

fn targets(draw: &mut Draw) -> String {
    let figures = [
        ("front", 41.0, 44.0, 0.3),
        ("left", 48.0, 51.0, 0.3),
        ("cross", 48.0, 52.0, 0.5),
        ("front_pair", -2.0, 2.0, 0.5),
    ];
    let lines: Vec<String> = figures
        .into_iter()
        .filter_map(|(figure, low, high, within)| {
            let weight = if draw.chance(0.2) { ", weight: 3" } else { "" };
            let aim = draw.rounded(low, high, 1);
            draw.chance(0.5).then(|| format!("  {figure}: {{aim: {aim}, within: {within}{weight}}}\n"))
        })
        .collect();
    if lines.is_empty() { String::new() } else { format!("targets:\n{}", lines.concat()) }
}

pub(crate) fn odd_kart(seed: u64) -> OddKart {
    let mut draw = Draw::new(seed ^ 0x0DD_0DD);
    let draw = &mut draw;
    let (stacks, has_seat) = (draw.chance(0.4), draw.chance(0.3));
    let (lead, counts) = lead(draw, stacks);
    let (mounts, fitted) = mounts(draw, stacks, has_seat, counts);
    let mut kart = String::from("name: k, wheelbase: 1040, track_front: 1080, track_rear: 1120");
    if has_seat {
        let last = 1 + draw.below(3);
        kart.push_str(", seat: {mass: 4, x: 300, y: 0, pitch: 15, hole: 1, holes: {from: 1, to: ");
        kart.push_str(&last.to_string());
        kart.push_str("}}");
    }
    let has_washers = draw.chance(0.3);
    if has_washers {
        let side = |draw: &mut Draw| format!("{{above: {}, below: {}}}", draw.below(2), draw.below(2));
        let (left, right) = (side(draw), side(draw));
        kart.push_str(", spindles: {washer: 1.5, left: ");
        kart.push_str(&[left, ", right: ".into(), right, "}".into()].concat());
    }
    let bar = draw.chance(0.3).then(|| draw.below(2));
    let adjusters = bar.map_or_else(String::new, |to| {
        let step = "{lf: 0.4, rf: -0.4, lr: -0.4, rr: 0.4}";
        format!("adjusters:\n  bar: {{per_step: {step}, from: 0, to: {to}, now: 0}}\n")
    });
    let targets = targets(draw);
    let rules = match draw.below(6) {
        0 => format!(", rules: {{largest_piece: {}}}", pick(draw, &["2", "2.5", "3"])),
        1 => format!(", rules: {{most_lead: {}}}", pick(draw, &["2.5", "4", "6"])),
        _ => String::new(),
    };
    let minimum = 149.0 + [0.0, 1.0, 2.0, 3.5, 5.0][draw.below(5)];
    let finest = "goals: {resolution: {legal: 0, targets: 0, light: 0, work: 0, close: 0}}\n";
    let goals = if draw.chance(0.3) { finest } else { "" };
    let only = match draw.below(8) {
        0 => Some("lead"),
        1 if has_washers => Some("spacers"),
        2 if has_seat => Some("seat"),
        3 if bar.is_some() => Some("bar"),
        _ => None,
    };
    let hole = if has_seat { ", seat_hole: 1" } else { "" };
    let text = format!(
        "units: kg-mm\nkart: {{{kart}}}\nclass: {{name: c, minimum: {minimum}, margin: 0{rules}}}\n{targets}\
         weighing:\n  scales: {{lf: 30.8, rf: 31.4, lr: 42.3, rr: 44.5}}\n  \
         aboard: {{driver: Sam, fuel: none, lead: none{hole}}}\ndrivers: {{Sam: {{mass: 70, x: 440, y: 20}}}}\n\
         {adjusters}mounts:\n{mounts}lead:\n{lead}{fitted}{goals}"
    );
    OddKart { text: set_then::set_as_now(&text), only }
}
