//! How a drawn kart was set when it was weighed: as it is now, written out.
//! Uses nothing of the library.

/// The text with settings of today for all that its only weighing does not name; the seat is told by its hole.
pub(crate) fn set_as_now(text: &str) -> String {
    let between = |line: &str, from: &str, to: &str| {
        let rest = &line[line.find(from)? + from.len()..];
        Some(rest[..rest.find(to)?].to_owned())
    };
    let spindles = text.lines().find_map(|line| {
        let rest = &line[line.find("spindles: {washer")?..];
        let sides = ["left", "right"].map(|side| between(rest, &format!("{side}: {{"), "}"));
        let [left, right] = sides.map(|side| side.expect("washers of both sides"));
        Some(format!(", spindles: {{left: {{{left}}}, right: {{{right}}}}}"))
    });
    let mut others = Vec::new();
    if let Some((_, rest)) = text.split_once("\nadjusters:\n") {
        for line in rest.lines().take_while(|line| line.starts_with(' ')) {
            let now = between(line, "now: ", ",").or(between(line, "now: ", "}")).expect("it is set");
            let name = line.trim_start().split(':').next().unwrap_or_default();
            others.push(format!("{name}: {}", now.trim_end_matches('}')));
        }
    }
    let mut then = spindles.unwrap_or_default();
    if !others.is_empty() {
        then += &[", adjusters: {", &others.join(", "), "}"].concat();
    }
    text.replacen("lead: none", &format!("lead: none{then}"), 1)
}
