//! The page of `plan`: what to unbolt first, then how it comes out, then how sure that is.

use super::balance::{budget, corners, inspection, targets};
use super::help::{alternatives, would_cure, would_help};
use super::{Drawn, MOST_IN_THE_WAY, NOTHING_FOUND, brief, work};
use super::{cautions, chance, gaps, picture, proved, title, tone, too_light, wanted, what_there_is};
use crate::answer::kart::{Residual, call};
use crate::answer::plan::{Plan, Planned};
use crate::answer::work::Setting;
use crate::answer::{STOPPED, Status};
use crate::decimals::counted;
use crate::marks::{given, plain};
use crate::page::{Block, Page, Tone};
use crate::uncertainty::verdict::Call;

/// The page of a plan, or of why there is none.
pub fn plan(plan: &Plan, drawn: Option<&Drawn>) -> Page {
    let title = title(plan.driver.as_deref(), &plan.kart, &plan.class);
    let mut blocks = vec![Block::Title(title.clone())];
    let goals = plan.plan.as_ref().map_or(&[][..], |planned| &planned.goals);
    match (&plan.plan, &plan.shortfall) {
        (Some(planned), _) => legal(&mut blocks, plan, planned, drawn),
        (None, Some(shortfall)) => {
            let verdict = format!("{}: {}", plan.status.words(), too_light(shortfall, &plan.wanted));
            blocks.extend([Block::Verdict(Tone::Bad, verdict), Block::Line(wanted(&plan.wanted))]);
            blocks.extend(what_there_is(shortfall));
            blocks.extend(
                plan.remedies.as_ref().map(|cures| would_cure(cures, &plan.unsettled)).unwrap_or_default(),
            );
            blocks.extend(picture(drawn));
            blocks.push(cautions(false));
        }
        (None, None) => {
            let verdict = Block::Verdict(Tone::Bad, plan.status.words().to_owned());
            blocks.extend([verdict, Block::Line(NOTHING_FOUND.to_owned())]);
            blocks.extend(picture(drawn));
        }
    }
    Page {
        title: format!("{title}: plan"),
        brief: brief::plan(plan),
        blocks,
        status: proved(plan.status, goals),
    }
}

/// `legal, but 1 target missed`; met and missed are said only where it is sure.
pub(super) fn balance(legal: &str, residuals: &[&[Residual]]) -> String {
    let targets = residuals.iter().flat_map(|own| own.chunk_by(|one, next| one.target == next.target));
    let calls: Vec<Call> = targets.map(call).collect();
    let count = |call: Call| calls.iter().filter(|one| **one == call).count();
    let several = |count: usize| counted(count, "target");
    match (count(Call::Missed), count(Call::TooClose)) {
        (0, 0) if calls.is_empty() => format!("{legal}; no targets are set"),
        (0, 0) => format!("{legal}, every target met"),
        (0, close) => format!("{legal}, {} too close to call", several(close)),
        (missed, 0) => format!("{legal}, but {} missed", several(missed)),
        (missed, close) => format!("{legal}, but {} missed, {close} too close to call", several(missed)),
    }
}

fn legal(blocks: &mut Vec<Block>, plan: &Plan, planned: &Planned, drawn: Option<&Drawn>) {
    let weighed_at = plan.wanted.weighed_at;
    let (now, after) = (&planned.now, &planned.kart);
    let verdict = format!("{}; {}", balance("legal", &[&after.residuals]), plan.status.words());
    let totals = format!("{} at the {}, now {}", given(after.total), weighed_at.word(), given(now.total));
    blocks.extend([
        Block::Verdict(tone(planned.call()), verdict),
        Block::Line(totals),
        Block::Line(format!("{}; chance to pass {}", wanted(&plan.wanted), chance(planned.margin.chance))),
    ]);
    blocks.extend(work::grouped(&planned.adjusters, &planned.changes, drawn));
    if !planned.changes.is_empty() || planned.adjusters.iter().any(Setting::is_job) {
        blocks.extend(work::then(["every bolt and nut checked", "weighed again, as below"]));
    }
    let missed = if planned.call() == Call::Missed { "Missed" } else { "Off target, if the pads are right" };
    let in_the_way = planned.in_the_way.iter().take(MOST_IN_THE_WAY).map(String::as_str);
    let stand = [
        targets(now, after, "now", weighed_at),
        Block::section(missed, planned.missed.iter().map(String::as_str)),
    ];
    let kart = picture(drawn).into_iter().chain(corners(now, after, "now", weighed_at));
    blocks.push(Block::Beside(vec![stand.concat(), kart.collect()]));
    blocks.push(cautions(planned.speaks_of_washers));
    blocks.push(Block::Side);
    blocks.extend(Block::section("What stands in the way", in_the_way));
    blocks.extend(would_help(&plan.would_help, &plan.unsettled));
    let borrowed = plan.estimated_places.iter().map(|place| place.sentence.clone());
    let sure = proofs(plan, planned).into_iter().chain(borrowed).chain(planned.assumptions.iter().cloned());
    let left = [
        inspection(&planned.margin, after.total),
        vec![work::mounts("Lead on the mounts", &planned.mounts, &planned.placements, drawn)],
        Block::section("How sure this is", sure),
    ];
    blocks.push(Block::Beside(vec![left.concat(), budget(&planned.margin)]));
    blocks.extend(plan.alternatives.as_ref().map(alternatives).unwrap_or_default());
}

/// What was proved, what more time could do, and what the sizes of the pieces cost.
fn proofs(plan: &Plan, planned: &Planned) -> Vec<String> {
    let mut sentences = Vec::new();
    if plan.status == Status::BestPossible {
        sentences.push("best possible: proved for every goal, to what the pads can read".to_owned());
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
            "if lead could be cut to any size: {} outside the tolerances and {} from the aims; with these pieces \
             {}{met} and {}",
            plain(divisible.outside),
            plain(divisible.close),
            plain(divisible.outside_with_pieces),
            plain(divisible.close_with_pieces)
        ));
    }
    sentences
}
