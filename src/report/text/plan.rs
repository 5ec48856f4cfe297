//! The text of `plan`: what to unbolt first, then how it comes out, then how sure that is.
//! Takes the view; gives text.
//! Does not know the scenario.

use super::alternatives::alternatives;
use super::help::{would_cure, would_help};
use super::page::{Cell, Page, Table, Tone};
use super::{definitions, margin, verdict};
use crate::report::amount::Weight;
use crate::report::changes::{Doing, JobLine};
use crate::report::headline::{ALIGNMENT, MOST_IN_THE_WAY, NOTHING_FOUND};
use crate::report::plan::{MountState, Outcome, PlanLines, PlanView, Untargeted};
use crate::report::setting::SettingLine;
use crate::report::shortfall::ShortfallLines;
use crate::report::state::CornersLine;
use crate::report::target::{Standing, TargetLines};
use crate::uncertainty::verdict::Call;

/// Lays out a plan, or why there is none, for a screen of so many columns.
pub fn plan(view: &PlanView, width: usize) -> String {
    let mut page = Page::new(width);
    page.paragraph(0, Tone::Strong, &view.title().to_string());
    match &view.outcome {
        Outcome::Plan(lines) => legal_plan(&mut page, view, lines),
        Outcome::NoLegalPlan(lines) => no_legal_plan(&mut page, view, lines),
        Outcome::OutOfTime => {
            page.paragraph(0, Tone::Bad, view.status.words());
            page.paragraph(2, Tone::Plain, NOTHING_FOUND);
        }
    }
    page.into_text()
}

fn legal_plan(page: &mut Page, view: &PlanView, lines: &PlanLines) {
    let tone = if lines.misses.is_empty() { Tone::Good } else { Tone::Bad };
    page.paragraph(0, tone, &view.verdict(lines));
    page.paragraph(2, Tone::Plain, &view.totals(lines));
    let wanted = format!("{}; chance to pass {}", view.required.sum(), lines.passing.chance);
    page.paragraph(2, Tone::Plain, &wanted);
    settings(page, &lines.settings);
    jobs(page, lines);
    targets(page, view, lines);
    if !lines.misses.is_empty() {
        page.section(if lines.targets.iter().any(|target| target.call() == Call::Missed) {
            "Missed"
        } else {
            "Out of band, if the pads are right"
        });
        for sentence in &lines.misses {
            page.paragraph(2, Tone::Plain, sentence);
        }
        page.section("What stands in the way");
        for sentence in lines.in_the_way.iter().take(MOST_IN_THE_WAY) {
            page.paragraph(2, Tone::Plain, sentence);
        }
    }
    if let Some(help) = &view.help {
        would_help(page, help);
    }
    if let Some(lines) = &view.alternatives {
        alternatives(page, lines);
    }
    corners(page, view, &lines.planned.states);
    margin::passing(page, &lines.passing, view.screen.mass_unit());
    mounts(page, view, lines);
    proof(page, view, lines);
    care(page, lines.cautions());
}

/// What a tool that tells people to bolt lead to a kart must not leave unsaid.
pub(super) fn care<'c>(page: &mut Page, cautions: impl IntoIterator<Item = &'c str>) {
    page.section("Take care");
    for caution in cautions {
        page.paragraph(2, Tone::Plain, caution);
    }
}

/// `5 kg`, or `2 x 5 kg`.
pub(super) fn job_amount(job: &JobLine) -> String {
    match job.count {
        1 => job.each.to_string(),
        count => format!("{count} x {}", job.each),
    }
}

/// The mount, or both for a move.
pub(super) fn job_way(job: &JobLine) -> String {
    match (&job.from, &job.to) {
        (Some(from), Some(to)) => format!("{from} -> {to}"),
        (Some(mount), None) | (None, Some(mount)) => mount.clone(),
        (None, None) => String::new(),
    }
}

/// What is done, as one starts a line with it.
pub(super) const fn doing_word(doing: Doing) -> &'static str {
    match doing {
        Doing::TakeOff => "take off",
        Doing::Move => "move",
        Doing::PutOn => "put on",
    }
}

/// What is to be set, before any lead is bolted to it.
fn settings(page: &mut Page, settings: &[SettingLine]) {
    let to_be_set: Vec<&SettingLine> = settings.iter().filter(|line| line.is_job()).collect();
    if to_be_set.is_empty() {
        return;
    }
    page.section("Set");
    let way = |line: &SettingLine| format!("{} -> {}", line.now, line.planned);
    let row =
        |line: &&SettingLine| vec![Cell::word("[ ]"), Cell::word(&line.adjuster), Cell::word(&way(line))];
    if !page.table(&Table::new(2, to_be_set.iter().map(row).collect())) {
        for line in &to_be_set {
            page.paragraph(2, Tone::Plain, &format!("[ ] {}", line.adjuster));
            page.paragraph(6, Tone::Plain, &way(line));
        }
    }
    if to_be_set.iter().any(|line| line.moves_washers) {
        page.paragraph(2, Tone::Plain, ALIGNMENT);
    }
}

fn jobs(page: &mut Page, lines: &PlanLines) {
    if lines.jobs.is_empty() {
        page.section("Nothing to change: leave the lead as it is");
        return;
    }
    let rows = lines.jobs.iter().map(|job| {
        vec![
            Cell::word("[ ]"),
            Cell::number(&job_amount(job)),
            Cell::word(&job.piece),
            Cell::word(&job_way(job)),
        ]
    });
    let table = Table::new(2, rows.collect());
    for doing in Doing::ALL {
        let mut here = lines.jobs.iter().enumerate().filter(|(_, job)| job.action == doing).peekable();
        if here.peek().is_none() {
            continue;
        }
        page.section(match doing {
            Doing::TakeOff => "Take off",
            Doing::Move => "Move",
            Doing::PutOn => "Put on",
        });
        for (row, job) in here {
            if page.fits(&table) {
                page.row(&table, row);
            } else {
                page.paragraph(2, Tone::Plain, &format!("[ ] {} {}", job_amount(job), job.piece));
                page.paragraph(6, Tone::Plain, &job_way(job));
            }
        }
    }
}

/// One line per target and state; a target whose start and finish read alike has one line for both.
fn targets(page: &mut Page, view: &PlanView, lines: &PlanLines) {
    page.section("Balance: now -> planned, wanted");
    let readings: Vec<Vec<Reading>> = lines.targets.iter().map(readings).collect();
    let wide = Table::new(2, wide_rows(&lines.targets, &readings));
    if !page.table(&wide) {
        for (target, readings) in lines.targets.iter().zip(&readings) {
            let wanted = format!("{}, wanted {}", target.wanted.figure.name(), target.wanted.text);
            page.paragraph(2, Tone::Plain, &wanted);
            let row = |reading: &Reading| {
                vec![Cell::word(reading.when), Cell::number(&reading.change), verdict(reading.after)]
            };
            if !page.table(&Table::new(4, readings.iter().map(row).collect())) {
                for Reading { when, change, after } in readings {
                    page.paragraph(4, Tone::Plain, &format!("{when} {change}, {}", after.verdict()));
                }
            }
        }
    }
    if !lines.targets.is_empty() {
        // In the table the column of now has no room for it on a phone.
        let unsure = lines.targets.iter().map(TargetLines::unsure_before).collect::<Vec<_>>().join(", ");
        page.paragraph(2, Tone::Plain, &format!("now known to: {unsure}"));
    }
    let when = view.required.weighed_at.word();
    for Untargeted { figure, now: [now, now_sure], planned: [planned, planned_sure] } in &lines.untargeted {
        let text = format!(
            "{} {now} +- {now_sure} -> {planned} +- {planned_sure} at the {when}, no target",
            figure.name()
        );
        page.paragraph(2, Tone::Plain, &text);
    }
    let targeted = lines.targets.iter().map(|target| target.wanted.figure);
    definitions(page, targeted.chain(lines.untargeted.iter().map(|line| line.figure)));
}

/// One reading of a target: when, `41.91 -> 42.95`, and how it stands afterwards.
struct Reading<'v> {
    when: &'static str,
    change: String,
    after: &'v Standing,
}

/// The states of a target, or one reading for both where they read alike.
fn readings(target: &TargetLines) -> Vec<Reading<'_>> {
    let widest = target.states.iter().map(|(_, before, _)| before.number.len()).max().unwrap_or(0);
    let after_widest = target.states.iter().map(|(_, _, after)| after.number.len()).max().unwrap_or(0);
    let mut readings: Vec<Reading> = target
        .states
        .iter()
        .map(|(moment, before, after)| Reading {
            when: moment.word(),
            change: format!(
                "{:>widest$} -> {:>after_widest$} +- {}",
                before.number, after.number, after.plus_minus
            ),
            after,
        })
        .collect();
    if let [start, finish] = readings.as_slice()
        && start.change == finish.change
        && start.after.verdict() == finish.after.verdict()
    {
        readings.truncate(1);
        readings[0].when = "both";
    }
    readings
}

fn wide_rows(targets: &[TargetLines], readings: &[Vec<Reading>]) -> Vec<Vec<Cell>> {
    let mut rows = Vec::new();
    for (target, readings) in targets.iter().zip(readings) {
        for (index, Reading { when, change, after }) in readings.iter().enumerate() {
            let once = |text: &str| Cell::word(if index == 0 { text } else { "" });
            rows.push(vec![
                once(target.wanted.figure.name()),
                Cell::word(when),
                Cell::number(change),
                once(&target.wanted.text),
                verdict(after),
            ]);
        }
    }
    rows
}

/// Corners as they lie on the ground, start and finish beside each other.
fn corners(page: &mut Page, view: &PlanView, states: &[CornersLine]) {
    page.section(&format!("Corners with this plan, {}", view.screen.mass_unit()));
    let alike = matches!(states, [start, finish] if start.corners == finish.corners);
    let shown = if alike { &states[..1] } else { states };
    let mut rows: Vec<Vec<Cell>> = ["", "front", "  +-", "rear", "  +-", "total", "  +-"]
        .map(|heading| vec![Cell::word(heading)])
        .into();
    let mut heading = vec![Cell::word("")];
    for state in shown {
        let [lf, rf, lr, rr] = &state.corners;
        let [sure_lf, sure_rf, sure_lr, sure_rr] = &state.sure.corners;
        heading.extend([Cell::number(if alike { "" } else { state.moment.word() }), Cell::word("")]);
        rows[0].extend([Cell::number("left"), Cell::number("right")]);
        rows[1].extend([Cell::number(&lf.number), Cell::number(&rf.number)]);
        rows[2].extend([Cell::number(&sure_lf.number), Cell::number(&sure_rf.number)]);
        rows[3].extend([Cell::number(&lr.number), Cell::number(&rr.number)]);
        rows[4].extend([Cell::number(&sure_lr.number), Cell::number(&sure_rr.number)]);
        rows[5].extend([Cell::word(""), Cell::number(&state.total.number)]);
        rows[6].extend([Cell::word(""), Cell::number(&state.sure.total.number)]);
    }
    if !alike {
        rows.insert(0, heading);
    }
    let table = Table::new(2, rows);
    if !page.table(&table) {
        for state in shown {
            let numbers = state.corners.each_ref().map(|corner| corner.number.as_str()).join(" ");
            let sure = state.sure.corners.each_ref().map(|corner| corner.number.as_str()).join(" ");
            let text = format!("{}: LF RF LR RR {numbers}, +- {sure}", state.moment.word());
            page.paragraph(2, Tone::Plain, &text);
        }
    }
    for state in shown {
        let text = state.centre_of_gravity(alike);
        page.paragraph(2, Tone::Plain, &text);
    }
}

fn mounts(page: &mut Page, view: &PlanView, lines: &PlanLines) {
    page.section(&format!("Lead on the mounts, {}", view.screen.mass_unit()));
    let state = |state: MountState| match state {
        MountState::Open => "",
        MountState::Full => "full",
        MountState::Locked => "locked",
    };
    let load =
        |carries: &str, capacity: &str| [Cell::number(carries), Cell::word("of"), Cell::number(capacity)];
    let rows = lines.mounts.iter().map(|mount| {
        let [carries, of, capacity] = load(&mount.carries.number, &mount.capacity.number);
        vec![Cell::word(&mount.name), carries, of, capacity, Cell::word(state(mount.state))]
    });
    if !page.table(&Table::new(2, rows.collect())) {
        for mount in &lines.mounts {
            page.paragraph(2, Tone::Plain, &mount.name);
            let load =
                format!("{} of {} {}", mount.carries.number, mount.capacity.number, state(mount.state));
            page.paragraph(6, Tone::Plain, load.trim_end());
        }
    }
}

fn proof(page: &mut Page, view: &PlanView, lines: &PlanLines) {
    page.section("How sure this is");
    let borrowed = view.borrowed.iter().map(|line| &line.words);
    for sentence in view.proofs(lines).iter().chain(borrowed).chain(&lines.assumptions) {
        page.paragraph(2, Tone::Plain, sentence);
    }
}

fn no_legal_plan(page: &mut Page, view: &PlanView, lines: &ShortfallLines) {
    page.paragraph(0, Tone::Bad, view.status.words());
    page.paragraph(2, Tone::Plain, &view.shortfall(lines));
    limits_of_shortfall(page, lines);
    if let Some(help) = &view.help {
        would_cure(page, help);
    }
}

/// What is short, and what limits it.
pub(super) fn limits_of_shortfall(page: &mut Page, lines: &ShortfallLines) {
    page.gap();
    let plus_minus =
        |sure: &Option<Weight>| sure.as_ref().map_or_else(String::new, |sure| format!("+- {sure}"));
    let rows = lines.facts.iter().map(|(what, mass, sure)| {
        vec![Cell::word(what), Cell::number(&mass.to_string()), Cell::word(&plus_minus(sure))]
    });
    if !page.table(&Table::new(2, rows.collect())) {
        for (what, mass, sure) in &lines.facts {
            let text = format!("{what}: {mass} {}", plus_minus(sure));
            page.paragraph(2, Tone::Plain, text.trim_end());
        }
    }
    page.section("What limits it");
    for sentence in &lines.limits {
        page.paragraph(2, Tone::Plain, sentence);
    }
}
