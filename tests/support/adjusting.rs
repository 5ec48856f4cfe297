//! Adjusters added to drawn scenarios: seat holes, spindle washers, a measured adjuster, a battery and a tank that can move.
//! Uses nothing of the library; all data in it is invented.

use std::fmt::Write as _;

use crate::cases::Draw;

#[path = "set_then.rs"]
mod set_then;

/// How many settings there are of each.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Levers {
    /// Seat holes fore and aft, and across; 1 for none to choose from.
    pub(crate) holes: (usize, usize),
    /// Washers at each spindle.
    pub(crate) washers: (usize, usize),
    /// Steps of a measured adjuster.
    pub(crate) steps: usize,
    pub(crate) battery: bool,
    pub(crate) tank: bool,
}

/// The scenario with these levers; every other mount rides on the seat if there is one.
pub(crate) fn with_levers(text: &str, levers: Levers, seed: u64) -> String {
    let mut draw = Draw::new(seed ^ 0x1EBE_1557);
    let mut kart = String::new();
    let (along, across) = levers.holes;
    let has_seat = along * across > 1;
    if has_seat {
        let (hole, across_hole) = (draw.below(along), draw.below(across));
        let _ = write!(
            kart,
            ", seat: {{mass: 4.2, x: 330, y: 10, pitch: 15, hole: {hole}, holes: {{from: 0, to: {}}}, \
             across: {{pitch: 10, hole: {across_hole}, holes: {{from: 0, to: {}}}}}, changes: {}}}",
            along - 1,
            across - 1,
            draw.below(4)
        );
    }
    let (left, right) = levers.washers;
    if left + right > 0 {
        let (above_left, above_right) = (draw.below(left + 1), draw.below(right + 1));
        let _ = write!(
            kart,
            ", spindles: {{washer: {}, left: {{above: {above_left}, below: {}}}, right: {{above: {above_right}, \
             below: {}}}, changes: {}}}",
            draw.rounded(0.8, 2.5, 1),
            left - above_left,
            right - above_right,
            draw.below(3)
        );
    }
    let mut adjusters = String::new();
    if levers.steps > 1 {
        let most = levers.steps as i64 - 1;
        let kg = draw.rounded(0.1, 0.6, 1);
        let _ = writeln!(
            adjusters,
            "  front_bar: {{per_step: {{lf: {kg}, rf: -{kg}, lr: -{kg}, rr: {kg}}}, from: 0, to: {most}, now: {}}}",
            draw.below(levers.steps)
        );
    }
    if levers.battery {
        let now = ["left", "right"][draw.below(2)];
        let _ = writeln!(
            adjusters,
            "  battery: {{mass: 3.1, now: {now}, places: {{left: {{x: 300, y: 310}}, right: {{x: 280, y: -330}}}}, minutes: 5}}"
        );
    }
    if levers.tank {
        adjusters += "  tank_place: {tank: tank, now: middle, places: {middle: {x: 500, y: 0}, nose: {x: 800, y: 60}}}\n";
    }
    let mut out = String::new();
    let mut in_mounts = false;
    for (number, line) in text.lines().enumerate() {
        in_mounts = line == "mounts:" || in_mounts && line.starts_with("  m");
        let mut line = line.to_owned();
        if line.starts_with("kart: {") {
            line.truncate(line.len() - 1);
            line += &kart;
            line += "}";
        } else if line.starts_with("  aboard: {") && has_seat {
            let then = draw.below(along);
            line = line.replace("lead: none}", &format!("lead: none, seat_hole: {then}}}"));
        } else if line.starts_with("drivers: {") {
            line = line.replace("}}", ", x: 380, y: 12}}");
        } else if in_mounts && line.starts_with("  m") && has_seat && number % 2 == 0 {
            line = line.replacen(": {", ": {on: seat, ", 1);
        }
        if line == "mounts:" && !adjusters.is_empty() {
            out += "adjusters:\n";
            out += &adjusters;
        }
        out += &line;
        out += "\n";
    }
    set_then::set_as_now(&out)
}
