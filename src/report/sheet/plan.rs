//! The sheet of `plan`: what to unbolt, how it comes out, what to write down after it is done.
//! Takes the view and the ground; gives the file.
//! Does not know the scenario.

use maud::{Markup, html};

use super::super::amount::Weight;
use super::super::ground::GroundView;
use super::super::headline::{LEAD_CAUTIONS, MOST_IN_THE_WAY, NOTHING_FOUND};
use super::super::help::HelpLines;
use super::super::imprint::Imprint;
use super::super::markup::sentence;
use super::super::plan::{MountState, Outcome, PlanLines, PlanView};
use super::super::shortfall::ShortfallLines;
use super::{Page, figures, jobs, parts};

/// The sheet of a plan, or of why there is none.
pub fn plan(view: &PlanView, ground: &GroundView, imprint: &Imprint) -> String {
    let body = match &view.outcome {
        Outcome::Plan(lines) => legal_plan(view, lines, ground),
        Outcome::NoLegalPlan(lines) => no_legal_plan(view, lines, ground),
        Outcome::OutOfTime => html! {
            header {
                h1 { (parts::title(&view.title())) }
                p class="verdict missed" { (view.status.words()) }
                p { (sentence(NOTHING_FOUND)) }
            }
            (parts::beside_picture(Some(ground), "now", &figures::mounts_now(ground), &html! {}))
        },
    };
    let page = Page { density: density(view), body };
    super::file(&format!("{}: plan", view.title()), &[page], imprint, &status(view))
}

/// Lines of the mounts below the picture, and of the targets and what is missed beside it.
fn lines_of_columns(lines: &PlanLines) -> (usize, usize) {
    let empty = lines.mounts.iter().filter(|mount| mount.carries.kg <= 0.0).count();
    let empty = if lines.mounts.len() > parts::MANY_MOUNTS { empty / 2 } else { empty };
    let readings: usize = lines.targets.iter().map(|target| target.states.len()).sum();
    // Sentences take two or three lines of a narrow column.
    let sentences = 2 * lines.misses.len() + 3 * in_the_way(lines).count();
    (lines.placements.len() + empty, readings + sentences)
}

/// The class for how long the job list and the columns below it are.
fn density(view: &PlanView) -> &'static str {
    let Outcome::Plan(lines) = &view.outcome else { return "" };
    // Two jobs stand beside each other, and a line of them is nearly twice as high as any other; settings take two.
    let jobs = lines.jobs.len() + 3 * lines.settings.iter().filter(|line| line.is_job()).count();
    let (left, right) = lines_of_columns(lines);
    let helps = view.help.as_ref().map_or(0, |help| 2 * help.would_help().len());
    parts::density(jobs + figures::WRAPPED + left.max(right).max((left + right + helps) / 2))
}

/// How it stands, and what of it is proved, for the footer.
fn status(view: &PlanView) -> String {
    match &view.outcome {
        Outcome::Plan(lines) => parts::proved(view.status, &lines.goals),
        Outcome::NoLegalPlan(_) | Outcome::OutOfTime => parts::proved(view.status, &[]),
    }
}

fn legal_plan(view: &PlanView, lines: &PlanLines, ground: &GroundView) -> Markup {
    let weighed_at = view.required.weighed_at;
    let helps = view.help.as_ref().map(HelpLines::would_help).unwrap_or_default();
    let borrowed = view.borrowed.iter().map(|line| &line.words);
    let outlook = html! {
        (parts::sentences("What would help, each alone", helps.iter().map(String::as_str)))
        (parts::sentences("How sure this is", view.proofs(lines).iter().chain(borrowed).map(String::as_str)))
    };
    // Below the picture where the mounts leave more room than what has to be said beside it.
    let (left, right) = lines_of_columns(lines);
    let tables_are_short = left < right;
    let beside = html! {
        (figures::corners(&lines.planned, &lines.now, weighed_at, ground))
        (figures::targets(&lines.targets, &lines.untargeted, weighed_at, ground.earlier()))
        (figures::inspection(&view.required, &lines.planned, &lines.above_required, view.screen))
        (parts::sentences("Missed", lines.misses.iter().map(String::as_str)))
        (parts::sentences("What stands in the way", in_the_way(lines)))
        @if !tables_are_short { (outlook) }
    };
    let below = html! {
        (figures::mounts(&lines.placements, limits(lines), ground))
        @if tables_are_short { (outlook) }
    };
    html! {
        header {
            h1 { (parts::title(&view.title())) }
            p class={ "verdict " (parts::tone(&lines.targets)) } { (view.verdict(lines)) }
            p { (parts::typeset(&view.totals(lines))) "; " (view.required.sum()) "; chance to pass " (lines.passing.chance) }
        }
        section class="jobs" {
            (jobs::grouped(&lines.settings, &lines.jobs, ground))
            (jobs::then(["every bolt and nut checked", "weighed again, as below"]))
        }
        (parts::beside_picture(Some(ground), "plan", &below, &beside))
        (parts::cautions(lines.cautions()))
    }
}

fn in_the_way(lines: &PlanLines) -> impl Iterator<Item = &str> {
    lines.in_the_way.iter().take(MOST_IN_THE_WAY).map(String::as_str)
}

/// What the mounts may carry, and the word for what keeps more lead away.
fn limits(lines: &PlanLines) -> impl Iterator<Item = Option<(&Weight, &'static str)>> {
    let word = |state: MountState| match state {
        MountState::Open => "",
        MountState::Full => "full",
        MountState::Locked => "locked",
    };
    lines.mounts.iter().map(move |mount| Some((&mount.capacity, word(mount.state))))
}

fn no_legal_plan(view: &PlanView, lines: &ShortfallLines, ground: &GroundView) -> Markup {
    let cures = view.help.as_ref().map(HelpLines::would_cure).unwrap_or_default();
    html! {
        header {
            h1 { (parts::title(&view.title())) }
            p class="verdict missed" { (view.status.words()) ": " (parts::typeset(&view.shortfall(lines))) }
            p { (view.required.sum()) }
        }
        (parts::sentences("What limits it", lines.limits.iter().map(String::as_str)))
        (parts::sentences("What would cure it, each alone", cures.iter().map(String::as_str)))
        (parts::beside_picture(Some(ground), "now", &figures::mounts_now(ground), &parts::there_is(lines)))
        (parts::cautions(LEAD_CAUTIONS))
    }
}
