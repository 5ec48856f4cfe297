//! The page of `plan`: what to unbolt first, then how it comes out, then how sure that is.

use super::balance::{budget, corners, inspection, targets};
use super::help::{alternatives, would_cure, would_help};
use super::weigh::official_reading;
use super::work::ToDo;
use super::{Drawn, MOST_IN_THE_WAY, NOTHING_FOUND, brief, work};
use super::{
    cautions, cautions_of, chance_to_pass, gaps, odd, picture, proved, title, tone, too_light,
    too_light_with, wanted, what_there_is,
};
use crate::answer::kart::{Residual, verdict};
use crate::answer::plan::{Plan, Planned};
use crate::answer::{STOPPED, Status};
use crate::decimals::{counted, fixed};
use crate::marks::{given, plain};
use crate::page::{Block, Page, Tone};
use crate::scenario::Figure;
use crate::uncertainty::verdict::Verdict;

/// Said before anything that rests on such a weighing.
pub(super) const CONTRADICTS: &str = "First: the weighing contradicts itself";

/// The page of a plan, or of why there is none.
pub fn plan(plan: &Plan, drawn: Option<&Drawn>) -> Page {
    let title = title(plan.driver.as_deref(), &plan.kart, &plan.class);
    let mut blocks = vec![Block::Title(title.clone())];
    blocks.extend(Block::section(CONTRADICTS, plan.contradictions.iter().flat_map(odd)));
    blocks.extend(plan.official_alone.as_ref().map(|read| Block::Line(official_reading(read))));
    let goals = plan.plan.as_ref().map_or(&[][..], |planned| &planned.goals);
    match (&plan.plan, &plan.shortfall) {
        (Some(planned), _) => legal(&mut blocks, plan, planned, drawn),
        (None, Some(shortfall)) => {
            let verdict = format!("{}: {}", too_light(shortfall), plan.status.words());
            blocks.push(Block::Verdict(Tone::Bad, verdict));
            blocks.extend(too_light_with(shortfall, &plan.wanted).map(Block::Line));
            blocks.push(Block::Line(wanted(&plan.wanted)));
            blocks.extend(what_there_is(shortfall));
            blocks.extend(
                plan.remedies
                    .as_ref()
                    .map(|cures| would_cure(cures, &plan.unsettled, usize::MAX))
                    .unwrap_or_default(),
            );
            blocks.extend(picture(drawn));
            blocks.push(cautions());
        }
        (None, None) => {
            let verdict = Block::Verdict(Tone::Bad, plan.status.words().to_owned());
            blocks.extend([verdict, Block::Line(NOTHING_FOUND.to_owned())]);
            blocks.extend(picture(drawn));
        }
    }
    Page {
        title: format!("{title}: plan"),
        brief: brief::plan(plan, true),
        blocks,
        status: proved(plan.status, "plan", goals),
    }
}

/// `LEGAL, 1 of 3 targets off`: yes or no first, then what the pads cannot confirm.
pub(super) fn balance(legal: &str, residuals: &[&[Residual]]) -> String {
    let targets = residuals.iter().flat_map(|own| own.chunk_by(|one, next| one.target == next.target));
    let said: Vec<(Figure, Verdict)> = targets.map(|states| (states[0].target, verdict(states))).collect();
    let off = said.iter().filter(|(_, verdict)| *verdict >= Verdict::JustOff).count();
    let unsure = said.iter().filter(|(_, verdict)| *verdict == Verdict::CannotConfirm);
    let mut names: Vec<&str> = unsure.map(|(figure, _)| figure.name()).collect();
    names.sort_unstable();
    names.dedup();
    let unsure =
        if names.is_empty() { String::new() } else { format!("; {} not confirmed", names.join(", ")) };
    match (off, said.len()) {
        (_, 0) => format!("{legal}; no targets are set"),
        (0, _) => format!("{legal}, on every target{unsure}"),
        (off, all) => format!("{legal}, {off} of {} off{unsure}", counted(all, "target")),
    }
}

/// What a screen says of a plan besides its jobs.
pub fn outcome(plan: &Plan) -> Vec<Block> {
    brief::plan(plan, false)
}

/// The jobs in the order of the work.
pub fn to_do(planned: &Planned) -> Vec<ToDo> {
    let settings = planned.adjusters.iter().filter(|setting| setting.is_job()).count();
    let jobs = planned.jobs(None).into_iter().enumerate();
    jobs.map(|(index, job)| ToDo { is_setting: index < settings, cells: job.cells(), at: job.at }).collect()
}

/// The numbers of the jobs, with the mounts and adjusters where they are done.
pub fn numbers(plan: &Plan) -> Vec<(usize, String)> {
    let jobs = plan.plan.as_ref().map(|planned| planned.jobs(None)).unwrap_or_default();
    (1..).zip(jobs).filter_map(|(number, job)| Some((number, job.at?))).collect()
}

impl Planned {
    /// What is to be done, in order.
    pub(super) fn jobs(&self, drawn: Option<&Drawn>) -> Vec<work::Job> {
        work::jobs(&self.adjusters, self.gate.as_ref(), &self.changes, &self.mounts, drawn, true)
    }

    /// How much there is to do, with the minutes of all of it; nothing if there is nothing.
    pub(super) fn heading(&self) -> Option<String> {
        let set = self.adjusters.iter().map(|setting| setting.time.value);
        let lead = self.changes.iter().map(|change| change.time.value);
        let minutes: f64 = set.chain(self.gate.iter().map(|gate| gate.time.value)).chain(lead).sum();
        let about = if minutes > 0.0 { format!(", about {} min", fixed(minutes, 0)) } else { String::new() };
        let set = self.adjusters.iter().filter(|setting| setting.is_job()).map(|setting| setting.changes);
        let changes: u32 = set.chain(self.changes.iter().map(|change| change.count)).sum();
        (changes > 0).then(|| format!("Do in this order: {}{about}", counted(changes, "change")))
    }
}

/// How the verdict stands out: a poor chance to pass is never green.
pub(super) fn tone_of(planned: &Planned) -> Tone {
    match (tone(planned.verdict()), planned.margin.better) {
        (Tone::Good, Some(_)) => Tone::Unsure,
        (tone, _) => tone,
    }
}

/// What it would take to confirm what the pads cannot.
fn unconfirmed(residuals: &[Residual]) -> Option<String> {
    let mut unsure: Vec<&Residual> =
        residuals.iter().filter(|residual| residual.verdict == Verdict::CannotConfirm).collect();
    unsure.dedup_by_key(|residual| residual.target);
    let is_twist = |figure: Figure| matches!(figure, Figure::FrontPair | Figure::RearPair | Figure::Cross);
    let names: Vec<&str> = unsure.iter().map(|residual| residual.target.name()).collect();
    let better = if unsure.iter().any(|residual| is_twist(residual.target)) {
        "survey how high each pad stands (`floor`), and weigh three sets (`repeats`)"
    } else {
        "weigh three sets (`repeats`)"
    };
    (!names.is_empty()).then(|| {
        format!(
            "{} on target, the pads cannot confirm it: \u{b1} is wider than the tolerance; to know better, {better}",
            names.join(", ")
        )
    })
}

fn legal(blocks: &mut Vec<Block>, plan: &Plan, planned: &Planned, drawn: Option<&Drawn>) {
    let weighed_at = plan.wanted.weighed_at;
    let (now, after) = (&planned.now, &planned.kart);
    let verdict = format!("{}; {}", balance("LEGAL", &[&after.residuals]), plan.status.said("plan"));
    let totals = format!("{} at the {}, now {}", given(after.total), weighed_at.word(), given(now.total));
    blocks.extend([
        Block::Verdict(tone_of(planned), verdict),
        Block::Line(totals),
        Block::Line(format!("{}; {}", wanted(&plan.wanted), chance_to_pass(&planned.margin))),
    ]);
    let jobs = planned.jobs(drawn);
    let mut floor: Vec<Block> = planned.heading().map(Block::Heading).into_iter().collect();
    floor.push(work::in_order(&jobs));
    blocks.extend([
        Block::Strips(vec![brief::weight(now.total, after.total, &plan.wanted)]),
        Block::Beside(vec![picture(drawn).into_iter().collect(), floor]),
    ]);
    blocks.extend(planned.gate.as_ref().map(|_| Block::Line(work::OUTSIDE.to_owned())));
    if !jobs.is_empty() {
        blocks.push(work::then(["every bolt and nut checked", "weighed again, written at the wheels"]));
    }
    let [heading, plane, strips] = brief::balance_at(weighed_at, Some(now), after);
    blocks.extend([
        Block::Beside(vec![vec![heading, plane], vec![strips]]),
        Block::ByHand(vec!["Fuel", "Date", "By", "Official scale"]),
        cautions_of(planned.adjusters.iter(), planned.speaks_of_washers),
        Block::Side,
    ]);
    let missed =
        if planned.verdict() == Verdict::Off { "Off target" } else { "Off target, if the pads are right" };
    let in_the_way = planned.in_the_way.iter().take(MOST_IN_THE_WAY).map(String::as_str);
    blocks.extend(targets(now, after, "now", weighed_at));
    blocks.extend(Block::section(missed, planned.missed.iter().map(String::as_str)));
    blocks.push(Block::Beside(vec![
        corners(now, after, "now", weighed_at),
        inspection(&planned.margin, after.total),
    ]));
    blocks.extend(Block::section("What stands in the way", in_the_way));
    blocks.extend(would_help(&plan.would_help, &plan.unsettled));
    let borrowed = plan.estimated_places.iter().map(|place| place.sentence.clone());
    let sure = proofs(plan, planned)
        .into_iter()
        .chain(unconfirmed(&after.residuals))
        .chain(borrowed)
        .chain(planned.assumptions.iter().cloned());
    blocks.extend(work::stops(&jobs, &planned.stops));
    blocks.push(work::mounts("Lead on the mounts", &planned.mounts, &planned.placements, drawn));
    blocks.push(Block::Beside(vec![Block::section("How sure this is", sure), budget(&planned.margin)]));
    blocks.extend(plan.alternatives.as_ref().map(alternatives).unwrap_or_default());
}

/// What was proved, what more time could do, and what the sizes of the pieces cost.
fn proofs(plan: &Plan, planned: &Planned) -> Vec<String> {
    let mut sentences = Vec::new();
    if plan.status == Status::BestPossible {
        sentences.push(
            "no better plan exists: proved for one goal after the other, no finer than pads read".to_owned(),
        );
    } else {
        let most = gaps(&planned.goals).join(", ");
        sentences.push(format!("{}: nothing can beat it by more than {most}", plan.status.words()));
        sentences.push(STOPPED.to_owned());
    }
    if let Some(divisible) = &planned.divisible {
        // Told only where somebody could wonder: every target met, and yet something outside.
        let met = if planned.missed.is_empty() && divisible.outside_with_pieces.value > 0.0 {
            format!(" (up to {} per target counts as met)", plain(divisible.counts_as_met))
        } else {
            String::new()
        };
        sentences.push(format!(
            "if lead could be cut to any size: {} outside the tolerances and {} from the targets; with these pieces \
             {}{met} and {}",
            plain(divisible.outside),
            plain(divisible.close),
            plain(divisible.outside_with_pieces),
            plain(divisible.close_with_pieces)
        ));
    }
    sentences
}
