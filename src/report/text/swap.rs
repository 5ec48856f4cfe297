//! The text of `swap`: what to prepare, what to do at each stop, then how each driver comes out.
//! Takes the view; gives text.
//! Does not know the scenario.

use super::help::team_help;
use super::page::{Cell, Page, Table, Tone};
use super::plan::{care, doing_word, job_amount, job_way, limits_of_shortfall};
use super::{definitions, verdict};
use crate::report::headline::{ALIGNMENT, LEAD_CAUTIONS, NOTHING_FOUND};
use crate::report::swap::{DriverLines, HandoverLines, SetupLines, SwapOutcome, SwapView};

/// Lays out a set-up for several drivers, or why there is none, for a screen of so many columns.
pub fn swap(view: &SwapView, width: usize) -> String {
    let mut page = Page::new(width);
    let title = format!("{} on {}, {}", view.order.join(" -> "), view.kart, view.class);
    page.paragraph(0, Tone::Strong, &title);
    match &view.outcome {
        SwapOutcome::Setup(lines) => setup(&mut page, view, lines),
        SwapOutcome::NotEvenAlone { driver, shortfall } => {
            page.paragraph(
                0,
                Tone::Bad,
                &format!("{} for {driver}, even alone on the kart", view.status.words()),
            );
            page.paragraph(2, Tone::Plain, &shortfall.headline(&view.required));
            limits_of_shortfall(&mut page, shortfall);
        }
        SwapOutcome::NoCommonBase { reasons } => {
            page.paragraph(0, Tone::Bad, &format!("{} for all of them", view.status.words()));
            for reason in reasons {
                page.paragraph(2, Tone::Plain, reason);
            }
        }
        SwapOutcome::OutOfTime => {
            page.paragraph(0, Tone::Bad, view.status.words());
            page.paragraph(2, Tone::Plain, NOTHING_FOUND);
        }
    }
    if !matches!(view.outcome, SwapOutcome::Setup(_)) {
        if let Some(help) = &view.help {
            team_help(&mut page, help);
        }
        if !view.borrowed.is_empty() {
            page.section("How sure this is");
        }
        for line in &view.borrowed {
            page.paragraph(2, Tone::Plain, &line.words);
        }
    }
    page.into_text()
}

fn setup(page: &mut Page, view: &SwapView, lines: &SetupLines) {
    let met = lines.drivers.iter().all(|driver| driver.misses.is_empty());
    page.paragraph(0, if met { Tone::Good } else { Tone::Bad }, &view.verdict(lines));
    page.paragraph(2, Tone::Plain, &lines.work());
    page.paragraph(2, Tone::Plain, &lines.work_alone());
    for remark in &lines.remarks {
        page.paragraph(2, Tone::Plain, remark);
    }
    for line in &view.borrowed {
        page.paragraph(2, Tone::Plain, &line.words);
    }
    let first = view.order.first().map_or("", String::as_str);
    jobs(page, &format!("Before the first stint, for {first}"), &lines.preparation);
    for stop in &lines.stops {
        jobs(page, &format!("{} -> {}", stop.from, stop.to), &stop.handover);
    }
    matrix(page, view, lines);
    adjusters(page, lines);
    stays(page, lines);
    for driver in &lines.drivers {
        outcome(page, driver);
    }
    let figures = lines.drivers.first().into_iter().flat_map(|driver| &driver.targets);
    if let Some(help) = &view.help {
        team_help(page, help);
    }
    definitions(page, figures.map(|target| target.wanted.figure));
    proof(page, view, lines);
    care(page, LEAD_CAUTIONS);
}

fn jobs(page: &mut Page, title: &str, handover: &HandoverLines) {
    page.section(&format!("{title}: {}", handover.work()));
    for line in &handover.settings {
        let what = format!("[ ] set {}: {} -> {}", line.adjuster, line.now, line.planned);
        page.paragraph(2, Tone::Plain, &what);
    }
    if handover.settings.iter().any(|line| line.moves_washers) {
        page.paragraph(2, Tone::Plain, ALIGNMENT);
    }
    if handover.jobs.is_empty() {
        return;
    }
    let rows = handover.jobs.iter().map(|job| {
        vec![
            Cell::word("[ ]"),
            Cell::word(doing_word(job.action)),
            Cell::number(&job_amount(job)),
            Cell::word(&job.piece),
            Cell::word(&job_way(job)),
        ]
    });
    let table = Table::new(2, rows.collect());
    if !page.table(&table) {
        for job in &handover.jobs {
            let what = format!("[ ] {} {} {}", doing_word(job.action), job_amount(job), job.piece);
            page.paragraph(2, Tone::Plain, &what);
            page.paragraph(6, Tone::Plain, &job_way(job));
        }
    }
}

/// Mounts down, drivers across; on a narrow screen each mount with its drivers below.
fn matrix(page: &mut Page, view: &SwapView, lines: &SetupLines) {
    page.section(&format!("Lead on the mounts, {}; * may change at a stop", view.screen.mass_unit()));
    let star = |quick: bool| if quick { "*" } else { "" };
    let mut heading = vec![Cell::word(""), Cell::word("")];
    heading.extend(lines.drivers.iter().map(|driver| Cell::number(&driver.name)));
    let mut rows = vec![heading];
    for line in &lines.mounts {
        let mut row = vec![Cell::word(&line.mount), Cell::word(star(line.quick))];
        row.extend(line.carries.iter().map(|carries| Cell::number(&carries.number)));
        rows.push(row);
    }
    if !page.table(&Table::new(2, rows)) {
        for line in &lines.mounts {
            page.paragraph(2, Tone::Plain, format!("{} {}", line.mount, star(line.quick)).trim_end());
            let carried = lines.drivers.iter().zip(&line.carries);
            let carried: Vec<String> =
                carried.map(|(driver, carries)| format!("{} {}", driver.name, carries.number)).collect();
            page.paragraph(6, Tone::Plain, &carried.join(", "));
        }
    }
}

/// Adjusters down, drivers across; on a narrow screen each adjuster with its drivers below.
fn adjusters(page: &mut Page, lines: &SetupLines) {
    if lines.adjusters.is_empty() {
        return;
    }
    page.section("Adjusters; * may be set at a stop");
    let star = |quick: bool| if quick { "*" } else { "" };
    let mut heading = vec![Cell::word(""), Cell::word("")];
    heading.extend(lines.drivers.iter().map(|driver| Cell::word(&driver.name)));
    let mut rows = vec![heading];
    for line in &lines.adjusters {
        let mut row = vec![Cell::word(&line.adjuster), Cell::word(star(line.quick))];
        row.extend(line.set.iter().map(|set| Cell::word(set)));
        rows.push(row);
    }
    if !page.table(&Table::new(2, rows)) {
        for line in &lines.adjusters {
            page.paragraph(2, Tone::Plain, format!("{} {}", line.adjuster, star(line.quick)).trim_end());
            let set = lines.drivers.iter().zip(&line.set);
            let set: Vec<String> = set.map(|(driver, set)| format!("{} {set}", driver.name)).collect();
            page.paragraph(6, Tone::Plain, &set.join("; "));
        }
    }
}

fn stays(page: &mut Page, lines: &SetupLines) {
    page.section("Stays bolted for everybody");
    if lines.base.is_empty() {
        page.paragraph(2, Tone::Plain, "nothing");
    }
    let rows = lines.base.iter().map(|piece| {
        let count = if piece.count == 1 { String::new() } else { format!("{} x ", piece.count) };
        vec![
            Cell::word(&piece.mount),
            Cell::number(&format!("{count}{}", piece.each)),
            Cell::word(&piece.piece),
        ]
    });
    if !page.table(&Table::new(2, rows.collect())) {
        for piece in &lines.base {
            page.paragraph(2, Tone::Plain, &piece.mount);
            page.paragraph(6, Tone::Plain, &format!("{} x {} {}", piece.count, piece.each, piece.piece));
        }
    }
}

fn outcome(page: &mut Page, driver: &DriverLines) {
    page.section(&format!(
        "{}: {} +- {}, {} above what is required; chance to pass {}",
        driver.name,
        driver.planned.total,
        driver.planned.total_sure.number,
        driver.above_required,
        driver.passing.chance
    ));
    let rows = driver.targets.iter().flat_map(|target| {
        target.states.iter().enumerate().map(|(index, (moment, _, after))| {
            let once = |text: &str| Cell::word(if index == 0 { text } else { "" });
            vec![
                once(target.wanted.figure.name()),
                Cell::word(moment.word()),
                Cell::number(&after.number),
                Cell::number(&format!("+- {}", after.plus_minus)),
                once(&target.wanted.text),
                verdict(after),
            ]
        })
    });
    if !page.table(&Table::new(2, rows.collect())) {
        for target in &driver.targets {
            let wanted = format!("{}, wanted {}", target.wanted.figure.name(), target.wanted.text);
            page.paragraph(2, Tone::Plain, &wanted);
            for (moment, _, after) in &target.states {
                let standing = format!(
                    "{} {} +- {}, {}",
                    moment.word(),
                    after.number,
                    after.plus_minus,
                    after.verdict()
                );
                page.paragraph(4, Tone::Plain, &standing);
            }
        }
    }
    for miss in &driver.misses {
        page.paragraph(2, Tone::Bad, miss);
    }
}

fn proof(page: &mut Page, view: &SwapView, lines: &SetupLines) {
    page.section("How sure this is");
    for sentence in view.proofs(lines) {
        page.paragraph(2, Tone::Plain, &sentence);
    }
}
