//! The text of alternatives: what each gives for what, then what to do for it.
//! Takes their lines; gives one section per alternative.
//! Does not know how they were found.

use super::page::{Page, Tone};
use crate::report::alternatives::{AlternativeLine, AlternativeLines};
use crate::report::changes::{Doing, JobLine};
use crate::report::setting::SettingLine;

/// All alternatives, then why others are missing.
pub(super) fn alternatives(page: &mut Page, alternatives: &AlternativeLines) {
    for (number, line) in (1..).zip(&alternatives.lines) {
        alternative(page, number, line);
    }
    if alternatives.lines.is_empty() {
        page.section("No plan of another kind is worth a look");
    } else if !alternatives.without.is_empty() {
        page.section("No alternative of these kinds");
    }
    for (_, sentence) in &alternatives.without {
        page.paragraph(2, Tone::Plain, sentence);
    }
}

fn alternative(page: &mut Page, number: usize, line: &AlternativeLine) {
    page.section(&format!("Alternative {number}, {}", line.name));
    page.paragraph(2, Tone::Good, &format!("gives: {}", line.gives.join("; ")));
    let pays =
        if line.pays.is_empty() { "nothing that can be measured".to_owned() } else { line.pays.join("; ") };
    page.paragraph(2, Tone::Plain, &format!("for: {pays}"));
    for target in &line.targets {
        for (moment, _, after) in target.states.iter().filter(|(_, _, after)| !after.in_band) {
            let name = target.wanted.figure.name();
            page.paragraph(2, Tone::Bad, &format!("{name} {} at the {}", after.verdict(), moment.word()));
        }
    }
    to_do(page, 2, &line.settings, &line.jobs);
}

/// What is to be set, then what is to be done with lead, a box before each.
pub(super) fn to_do(page: &mut Page, indent: usize, settings: &[SettingLine], jobs: &[JobLine]) {
    let settings = settings.iter().filter(|line| line.is_job());
    let settings = settings.map(|line| format!("set {}: {} -> {}", line.adjuster, line.now, line.planned));
    let sentences: Vec<String> = settings.chain(jobs.iter().map(job_sentence)).collect();
    for sentence in &sentences {
        page.paragraph(indent, Tone::Plain, &format!("[ ] {sentence}"));
    }
    if sentences.is_empty() {
        page.paragraph(indent, Tone::Plain, "nothing to change");
    }
}

/// `move 2 x 1.5 kg puck: seat -> nose`.
fn job_sentence(job: &JobLine) -> String {
    let doing = match job.action {
        Doing::TakeOff => "take off",
        Doing::Move => "move",
        Doing::PutOn => "put on",
    };
    let many = if job.count == 1 { String::new() } else { format!("{} x ", job.count) };
    let way = [&job.from, &job.to].into_iter().flatten().map(String::as_str).collect::<Vec<_>>().join(" -> ");
    format!("{doing} {many}{} {}: {way}", job.each, job.piece)
}
