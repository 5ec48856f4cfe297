//! The pages of `check` for a file without errors, and of `explain`.

use crate::answer::check::{Check, Need};
use crate::answer::explain::Codes;
use crate::answer::margin::Required;
use crate::decimals::counted;
use crate::diagnosis::explained::Explanation;
use crate::marks::{given, name};
use crate::page::{Block, Cell, Page, Table, Tone};
use crate::quantity::{Kg, Quantity};

/// The page of a file with that many warnings.
pub fn check(check: &Check, warnings: usize) -> Page {
    let file = name(&check.file);
    let (tone, verdict) = match warnings {
        0 => (Tone::Good, format!("nothing wrong in {file}")),
        _ => (Tone::Bad, format!("no errors in {file}, but {}", counted(warnings, "warning"))),
    };
    let (targets, pieces) = (counted(check.targets, "target"), counted(check.pieces, "piece"));
    let mut lines = vec![
        format!("{}, {}, {targets}", name(&check.kart), name(&check.class)),
        format!("{} that may carry {}", counted(check.mounts, "mount"), given(check.mounts_carry)),
        format!("{pieces} of lead, {}; {} fitted now", given(check.all_lead), check.pieces_fitted),
    ];
    let wanted =
        |wanted: &Required| format!("for {} at the {}", given(wanted.required), wanted.weighed_at.word());
    let shared = check.needs.iter().all(|need| need.wanted == check.needs[0].wanted);
    for Need { driver, wanted: own, lead } in &check.needs {
        let who = driver.as_deref().map(|who| format!(" with {}", name(who))).unwrap_or_default();
        let apart = given(Quantity::new(Kg, lead.value.abs(), lead.plus_minus));
        let needed = if lead.value > 0.0 {
            format!("lead needed{who}: {apart}")
        } else {
            format!("no lead needed{who}: {apart} more than required")
        };
        lines.push(if shared { needed } else { format!("{needed}, {}", wanted(own)) });
    }
    lines.extend(check.needs.first().filter(|_| shared).map(|need| wanted(&need.wanted)));
    let lines = lines.into_iter().map(Block::Line);
    let blocks = std::iter::once(Block::Verdict(tone, verdict)).chain(lines).collect();
    Page { title: "check".to_owned(), brief: Vec::new(), blocks, status: String::new() }
}

/// The page of one code.
pub fn explanation(code: &Explanation) -> Page {
    let title = format!("{} {}", code.code, code.name);
    let of = if code.example.in_a_scenario { "in a scenario" } else { "as typed" };
    let example = |word: &str, lines: &str| {
        let lines = format!("  {}", lines.replace('\n', "\n  "));
        [Block::Heading(format!("{word}, {of}")), Block::Copy(lines)]
    };
    let mut blocks = vec![
        Block::Title(title.clone()),
        Block::Verdict(Tone::Plain, code.summary.to_owned()),
        Block::Line(code.reason.to_owned()),
    ];
    blocks
        .extend(example("Wrong", code.example.wrong).into_iter().chain(example("Right", code.example.right)));
    Page { title, brief: Vec::new(), blocks, status: String::new() }
}

/// The page of all codes.
pub fn explanations(codes: &Codes) -> Page {
    let row = |code: &Explanation| {
        let named = format!("{} {}", code.code, code.name);
        vec![Cell::words(named).toned(Tone::Strong), Cell::words(code.summary)]
    };
    let table = Table::new("codes", "", &[], codes.codes.iter().map(row).collect());
    let more = "More of one: kentledge explain K005, or kentledge explain decimal-comma";
    let blocks = vec![Block::Table(table), Block::Heading(more.to_owned())];
    Page { title: "Codes".to_owned(), brief: Vec::new(), blocks, status: String::new() }
}
