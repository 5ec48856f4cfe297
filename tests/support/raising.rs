//! Heights added to drawn scenarios: of the kart, of every mount and of the fuel, and a target of height.
//! Uses nothing of the library; all data in it is invented.

use std::fmt::Write as _;

use crate::cases::Draw;

/// The scenario with a target of height, mostly within reach.
pub(crate) fn with_height(text: &str, seed: u64) -> String {
    let mut draw = Draw::new(seed ^ 0x4E16);
    let height = draw.rounded(225.0, 265.0, 0);
    let aim = height + draw.rounded(-5.0, 5.0, 1);
    let within = draw.rounded(0.5, 3.0, 1);
    let mut raised = String::new();
    for line in text.lines() {
        if let Some((mount, rest)) = line.split_once(": {x: ").filter(|(name, _)| name.starts_with("  m")) {
            let _ = writeln!(raised, "{mount}: {{z: {}, x: {rest}", draw.rounded(30.0, 520.0, 0));
        } else if let Some(rest) = line.strip_prefix("fuel: {") {
            let _ = writeln!(raised, "fuel: {{z: {}, {rest}", draw.rounded(150.0, 280.0, 0));
        } else {
            let _ = writeln!(raised, "{line}");
        }
        if line == "targets:" {
            let _ = writeln!(raised, "  height: {{aim: {aim}, within: {within}}}");
        }
    }
    let _ = writeln!(raised, "height: {{given: {height}, within: 8}}");
    raised
}
