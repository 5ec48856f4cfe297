//! The text of `pack`: what to buy and to take, how each case comes out, what each piece is for, and the check list.
//! Takes the view; gives text.
//! Does not know the scenario.

use super::definitions;
use super::page::{Cell, Page, Table, Tone};
use super::plan::{care, limits_of_shortfall};
use crate::report::headline::{LEAD_CAUTIONS, NOTHING_FOUND, probed_legend, probed_word, probes};
use crate::report::pack::{
    BeyondLine, CaseLines, CaseName, HardwareLines, KitLines, PackOutcome, PackView, PieceLine, ShortCase,
};
use crate::tasks::pack::Asked;
use crate::uncertainty::verdict::Call;

/// Lays out a kit for a trip, or why there is none, for a screen of so many columns.
pub fn pack(view: &PackView, width: usize) -> String {
    let mut page = Page::new(width);
    page.paragraph(0, Tone::Strong, &format!("Trip with {}: {}", view.kart, view.trip));
    match &view.outcome {
        PackOutcome::Kit(lines) => kit(&mut page, view, lines),
        PackOutcome::NeverLegal(cases) => never_legal(&mut page, view, cases),
        PackOutcome::OutOfTime { bound, tried } => {
            page.paragraph(0, Tone::Bad, view.status.words());
            page.paragraph(2, Tone::Plain, &format!("{tried} kits were tried; {NOTHING_FOUND}"));
            if let Some(bound) = bound {
                page.paragraph(2, Tone::Plain, bound);
            }
        }
    }
    page.into_text()
}

fn never_legal(page: &mut Page, view: &PackView, cases: &[ShortCase]) {
    let count = cases.len();
    page.paragraph(
        0,
        Tone::Bad,
        &format!(
            "{} for {count} case{}, even with everything along",
            view.status.words(),
            if count == 1 { "" } else { "s" }
        ),
    );
    let name = |short: &ShortCase| {
        if short.case.group.is_empty() { short.case.short.clone() } else { short.case.group.clone() }
    };
    let mut told = String::new();
    for short in cases {
        // Whatever the targets, as much is missing.
        if name(short) != told {
            told = name(short);
            page.paragraph(2, Tone::Plain, &format!("{told}: {} too light", short.shortfall.too_light()));
        }
    }
    if let Some(worst) =
        cases.iter().max_by(|one, other| one.shortfall.short.kg.total_cmp(&other.shortfall.short.kg))
    {
        page.section(&format!("The worst of them: {}", name(worst)));
        limits_of_shortfall(page, &worst.shortfall);
        page.paragraph(
            2,
            Tone::Plain,
            "what would help: more or heavier sizes under `buy`, stronger mounts, or the case left out of the trip",
        );
    }
}

fn kit(page: &mut Page, view: &PackView, lines: &KitLines) {
    let met = lines.cases.iter().all(|case| case.misses.is_empty());
    page.paragraph(0, if met { Tone::Good } else { Tone::Bad }, &view.verdict(lines));
    page.paragraph(2, Tone::Plain, &view.to_carry(lines));
    let unsure = lines.cases.iter().filter(|case| case.verdict().0 == Call::TooClose).count();
    if unsure > 0 {
        let text = format!(
            "{unsure} of {} cases {} too close to call: what is known of pads and kart cannot tell",
            lines.cases.len(),
            if unsure == 1 { "is" } else { "are" }
        );
        page.paragraph(2, Tone::Plain, &text);
    }
    pieces(page, "Buy", &lines.buy);
    pieces(page, "Take along", &lines.take);
    pieces(page, "Leave at home", &lines.leave);
    cases(page, view, lines);
    let figures = lines.cases.first().into_iter().flat_map(|case| &case.targets);
    definitions(page, figures.map(|target| target.wanted.figure));
    misses(page, lines);
    page.section("Where it goes");
    for group in grouped(&lines.cases, |case| &case.case) {
        let indent = group.first().map_or(2, |first| heading(page, &first.case));
        for case in group {
            let text = format!("{}: {}", case.case.within, case.where_it_goes().join(", "));
            page.paragraph(indent, Tone::Plain, &text);
        }
    }
    forced(page, lines);
    smaller(page, lines);
    beyond(page, view, &lines.beyond);
    if let Some(list) = &lines.hardware {
        hardware(page, list);
    }
    page.section("How sure this is");
    for sentence in lines.proof.iter().chain(view.borrowed.iter().map(|line| &line.words)) {
        page.paragraph(2, Tone::Plain, sentence);
    }
    care(page, LEAD_CAUTIONS);
}

fn pieces(page: &mut Page, title: &str, lines: &[PieceLine]) {
    if lines.is_empty() {
        return;
    }
    page.section(title);
    let spares = |line: &PieceLine| match line.spares {
        0 => String::new(),
        1 => "1 of them spare".to_owned(),
        several => format!("{several} of them spare"),
    };
    let rows = lines.iter().map(|line| {
        vec![
            Cell::word("[ ]"),
            Cell::number(&format!("{} x", line.count)),
            Cell::number(&line.each.to_string()),
            Cell::word(&line.piece),
            Cell::number(line.price.as_ref().map_or("", |(price, _)| price)),
            Cell::word(&spares(line)),
        ]
    });
    if !page.table(&Table::new(2, rows.collect())) {
        for line in lines {
            let price = line.price.as_ref().map(|(price, _)| format!(", {price}")).unwrap_or_default();
            let text = format!("[ ] {} x {} {}{price} {}", line.count, line.each, line.piece, spares(line));
            page.paragraph(2, Tone::Plain, text.trim_end());
        }
    }
}

const fn tone_of(call: Call) -> Tone {
    match call {
        Call::Met => Tone::Good,
        Call::Missed => Tone::Bad,
        Call::TooClose => Tone::Plain,
    }
}

/// What a target shows at the start and at the finish, once if that is the same.
fn readings(case: &CaseLines) -> Vec<String> {
    let of_target = case.targets.iter().map(|target| {
        let mut numbers: Vec<&str> =
            target.states.iter().map(|(_, _, after)| after.number.as_str()).collect();
        numbers.dedup();
        numbers.join(" ")
    });
    of_target.collect()
}

/// The ± of the total and of every target, the largest of some cases.
fn plus_minus(cases: &[CaseLines]) -> Vec<String> {
    let most = |unsure: &dyn Fn(&CaseLines) -> Option<(f64, String)>| {
        let all = cases.iter().filter_map(unsure);
        all.max_by(|(one, _), (other, _)| one.total_cmp(other)).map_or_else(String::new, |(_, number)| number)
    };
    let total = |case: &CaseLines| Some((case.passing.total_sure.kg, case.passing.total_sure.number.clone()));
    let targets = cases.first().map_or(0, |case| case.targets.len());
    let of_target = (0..targets).map(|target| {
        most(&|case| {
            let standing = case.targets.get(target)?.unsure_after()?;
            Some((standing.unsure, standing.plus_minus.clone()))
        })
    });
    std::iter::once(most(&total)).chain(of_target).collect()
}

/// Lines side by side that share a heading.
fn grouped<T>(lines: &[T], name: impl Fn(&T) -> &CaseName) -> impl Iterator<Item = &[T]> {
    let alike = move |one: &T, other: &T| !name(one).group.is_empty() && name(one).group == name(other).group;
    lines.chunk_by(alike)
}

/// The heading that cases share, if they do; gives the indent of what stands below.
fn heading(page: &mut Page, name: &CaseName) -> usize {
    if name.group.is_empty() {
        return 2;
    }
    page.paragraph(2, Tone::Plain, &name.group);
    4
}

/// A name below its heading.
fn below(name: &CaseName) -> String {
    if name.group.is_empty() { name.within.clone() } else { format!("  {}", name.within) }
}

/// Cases down, figures across; on a narrow screen each case with its figures below.
fn cases(page: &mut Page, view: &PackView, lines: &KitLines) {
    page.section(&format!("Cases, {}; figures at start and finish", view.screen.mass_unit()));
    let names =
        |case: &CaseLines| case.targets.iter().map(|target| target.wanted.figure.name()).collect::<Vec<_>>();
    let alike = lines.cases.windows(2).all(|pair| names(&pair[0]) == names(&pair[1]));
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for group in grouped(&lines.cases, |case| &case.case) {
        let Some(first) = group.first() else { continue };
        if rows.is_empty() {
            let mut row = vec![Cell::word(&first.case.group), Cell::number("total")];
            row.extend(names(first).into_iter().map(Cell::number));
            rows.push(row);
        } else if !first.case.group.is_empty() {
            rows.push(vec![Cell::word(&first.case.group)]);
        }
        for case in group {
            let (call, words) = case.verdict();
            let mut row = vec![Cell::word(&below(&case.case)), Cell::number(&case.total.number)];
            row.extend(readings(case).iter().map(|reading| Cell::number(reading)));
            row.push(Cell::word(&words).toned(tone_of(call)));
            rows.push(row);
        }
        // Cases that share a driver and a class are about as sure as each other.
        let mut row = vec![Cell::word(if first.case.group.is_empty() { "  +-" } else { "    +-" })];
        row.extend(plus_minus(group).iter().map(|number| Cell::number(number)));
        rows.push(row);
    }
    if alike && page.table(&Table::new(2, rows)) {
        return;
    }
    for group in grouped(&lines.cases, |case| &case.case) {
        let indent = group.first().map_or(2, |first| heading(page, &first.case));
        for case in group {
            let (call, words) = case.verdict();
            let mut sure = plus_minus(std::slice::from_ref(case)).into_iter();
            let total_sure = sure.next().unwrap_or_default();
            let total =
                format!("{}: {} +- {total_sure} {}", case.case.within, case.total.number, case.total.unit);
            page.paragraph(indent, Tone::Plain, &total);
            let figures = names(case).into_iter().zip(readings(case)).zip(sure);
            let figures: Vec<String> =
                figures.map(|((name, reading), sure)| format!("{name} {reading} +- {sure}")).collect();
            page.paragraph(indent + 2, Tone::Plain, &figures.join(", "));
            page.paragraph(indent + 2, tone_of(call), &words);
        }
    }
}

fn misses(page: &mut Page, lines: &KitLines) {
    /// The first are the most telling; documents have all of it.
    const MOST_IN_THE_WAY: usize = 2;
    let missed: Vec<&CaseLines> = lines.cases.iter().filter(|case| !case.misses.is_empty()).collect();
    if missed.is_empty() {
        return;
    }
    page.section("Out of band, and why");
    for case in missed {
        page.paragraph(2, Tone::Bad, &format!("{}: {}", case.case.short, case.misses.join("; ")));
        match case.asked {
            Asked::InBand => {}
            Asked::Legal => page.paragraph(
                4,
                Tone::Plain,
                "no kit of these pieces brings it into band together with the other cases",
            ),
            Asked::GivenUp => page.paragraph(
                4,
                Tone::Plain,
                "no kit was found in this time that brings it into band; that there is none is not proved",
            ),
        }
        for sentence in case.in_the_way.iter().take(MOST_IN_THE_WAY) {
            page.paragraph(4, Tone::Plain, sentence);
        }
    }
}

fn forced(page: &mut Page, lines: &KitLines) {
    if lines.forced.is_empty() {
        return;
    }
    page.section("What each piece is needed for");
    for line in &lines.forced {
        let count = if line.count == 1 { String::new() } else { format!(" (the last of {})", line.count) };
        page.paragraph(2, Tone::Plain, &format!("{}{count}: {}", line.piece, line.sentence));
    }
}

fn smaller(page: &mut Page, lines: &KitLines) {
    let Some(smaller) = &lines.smaller else { return };
    page.section(&smaller.heading());
    if smaller.lost.is_empty() {
        page.paragraph(2, Tone::Plain, "nothing");
    }
    for (case, sentence) in &smaller.lost {
        page.paragraph(2, Tone::Plain, &format!("{}: {sentence}", case.short));
    }
}

/// What the kit does for whoever comes unannounced.
fn beyond(page: &mut Page, view: &PackView, lines: &[BeyondLine]) {
    page.section("Beyond the cases: still in band?");
    let headings = probes(view.screen);
    let mut rows = vec![vec![Cell::word("")]];
    rows[0].extend(headings.iter().map(|heading| Cell::word(heading)));
    for group in grouped(lines, |line| &line.case) {
        if let Some(first) = group.first().filter(|first| !first.case.group.is_empty()) {
            rows.push(vec![Cell::word(&first.case.group)]);
        }
        for line in group {
            let mut row = vec![Cell::word(&below(&line.case))];
            row.extend(line.probed.iter().map(|probed| Cell::word(probed_word(*probed))));
            rows.push(row);
        }
    }
    if !page.table(&Table::new(2, rows)) {
        for line in lines {
            let words = line.probed.iter().map(|probed| probed_word(*probed));
            let said: Vec<String> =
                headings.iter().zip(words).map(|(heading, word)| format!("{heading} {word}")).collect();
            page.paragraph(2, Tone::Plain, &line.case.short);
            page.paragraph(4, Tone::Plain, &said.join(", "));
        }
    }
    page.paragraph(2, Tone::Plain, &probed_legend(lines));
}

/// To be ticked off while packing.
fn hardware(page: &mut Page, list: &HardwareLines) {
    let spares = if list.spares > 0 { format!(", {} spare of each", list.spares) } else { String::new() };
    page.section(&format!("Bolts, washers, nuts: diameter {}{spares}", list.diameter));
    let mut rows: Vec<Vec<Cell>> = list
        .bolts
        .iter()
        .map(|(length, count)| {
            vec![Cell::word("[ ]"), Cell::number(&count.to_string()), Cell::word(&format!("bolts {length}"))]
        })
        .collect();
    rows.push(vec![Cell::word("[ ]"), Cell::number(&list.washers.to_string()), Cell::word("washers")]);
    rows.push(vec![Cell::word("[ ]"), Cell::number(&list.nuts.to_string()), Cell::word("lock nuts")]);
    let table = Table::new(2, rows);
    // Narrow as it is, a length with many digits may not fit.
    if !page.table(&table) {
        for (length, count) in &list.bolts {
            page.paragraph(2, Tone::Plain, &format!("[ ] {count} bolts {length}"));
        }
        page.paragraph(2, Tone::Plain, &format!("[ ] {} washers, {} lock nuts", list.washers, list.nuts));
    }
    page.gap();
    let in_cases =
        |cases: usize| if cases == 1 { "in 1 case".to_owned() } else { format!("in {cases} cases") };
    let length = |length: Option<&str>| length.map_or("too long".to_owned(), |length| format!("x {length}"));
    let rows = list.mounts.iter().map(|mount| {
        vec![
            Cell::word(&mount.mount),
            Cell::number(&mount.bolts.to_string()),
            Cell::word(&length(mount.length.as_ref().map(|length| length.number.as_str()))),
            Cell::word(&format!("lead {}", mount.stack)),
            Cell::word(&in_cases(mount.cases)),
        ]
    });
    if !page.table(&Table::new(2, rows.collect())) {
        for mount in &list.mounts {
            page.paragraph(2, Tone::Plain, &mount.mount);
            let length = length(mount.length.as_ref().map(|length| length.number.as_str()));
            let text = format!("{} {length}, lead {}, {}", mount.bolts, mount.stack, in_cases(mount.cases));
            page.paragraph(4, Tone::Plain, &text);
        }
    }
    for remark in &list.remarks {
        page.paragraph(2, Tone::Bad, remark);
    }
    page.paragraph(
        2,
        Tone::Plain,
        "for one case at a time; by your own rules, not by a rulebook: look there too",
    );
}
