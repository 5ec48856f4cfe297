//! The brief screen of `plan`.

use super::{CAUTION, estimated, expected, falls_short, next, numbered, strips, weight};
use crate::answer::help::{Eased, Help};
use crate::answer::plan::{Plan, Planned};
use crate::answer::shortfall::Shortfall;
use crate::blocks::help::{MOST_CURES, alternatives, not_settled, would_cure};
use crate::blocks::plan::{CONTRADICTS, balance, tone_of};
use crate::blocks::weigh::official_reading;
use crate::blocks::{NOTHING_FOUND, chance_to_pass, gaps, odd, title, too_light, wanted};
use crate::page::{Block, Item, Tone};
use crate::scenario::Moment;

/// The whole of it; without its jobs where they stand elsewhere, each to tick.
pub(in crate::blocks) fn plan(plan: &Plan, has_jobs: bool) -> Vec<Block> {
    let mut blocks = match (&plan.plan, &plan.shortfall) {
        (Some(planned), _) => legal(plan, planned, has_jobs),
        (None, Some(shortfall)) => none(plan, shortfall),
        (None, None) => stopped(plan),
    };
    // Whatever follows from a weighing that contradicts itself comes after that.
    let first: Vec<Item> = plan.contradictions.iter().flat_map(odd).collect();
    if !first.is_empty() {
        let heading = Item::from(CONTRADICTS).toned(Tone::Bad);
        blocks.insert(0, Block::List(std::iter::once(heading).chain(first).collect()));
    }
    // What is asked for by name is shown.
    let end = blocks.len() - 1;
    blocks.splice(end..end, plan.alternatives.as_ref().map(alternatives).unwrap_or_default());
    blocks
}

fn legal(plan: &Plan, planned: &Planned, has_jobs: bool) -> Vec<Block> {
    let (now, after) = (&planned.now, &planned.kart);
    let verdict = format!("{}; {}", balance("LEGAL", &[&after.residuals]), plan.status.said("plan"));
    let who = title(plan.driver.as_deref(), &plan.kart, &plan.class);
    let passes = format!("{who}; {}", chance_to_pass(&planned.margin));
    let gaps = gaps(&planned.goals).join(", ");
    let unproved = (!gaps.is_empty()).then(|| format!("nothing can beat it by more than {gaps}"));
    let jobs = planned.jobs(None);
    let weight = weight(now.total, after.total, &plan.wanted);
    let balance = strips(Some(&now.residuals), Some(&after.residuals));
    let mut blocks = vec![Block::Verdict(tone_of(planned), verdict), Block::Line(passes)];
    blocks.extend(unproved.map(Block::Line));
    blocks.extend(plan.official_alone.as_ref().map(|read| Block::Line(official_reading(read))));
    blocks.extend(estimated(&plan.estimated_places));
    if has_jobs {
        let heading = planned.heading().map(|heading| Item::from(heading).toned(Tone::Strong));
        blocks.extend(heading.map(|heading| Block::List(vec![heading])));
        blocks.extend([numbered(&jobs), Block::Gap]);
    }
    blocks.push(Block::Strips(std::iter::once(weight).chain(balance).collect()));
    if has_jobs && !jobs.is_empty() {
        let corners = expected(after, Moment::Start);
        blocks.push(Block::Line(format!("then weigh, fuel of the start: {corners}")));
    }
    blocks.extend(help(&planned.in_the_way, &plan.would_help, &plan.unsettled).map(Block::Line));
    blocks.push(Block::Line(CAUTION.to_owned()));
    blocks.push(match &planned.mark {
        None => next("`weigh FILE LF RF LR RR --save` keeps the readings; then `plan`"),
        Some(mark) if !jobs.is_empty() => {
            next(&format!("when bolted `done FILE {mark}`; --full, --sheet plan.html"))
        }
        Some(_) => next("--full, or --sheet plan.html to print"),
    });
    blocks
}

/// What helps most, or what is in the way, in one line.
fn help(in_the_way: &[String], helps: &[Help], unsettled: &[Eased]) -> Option<String> {
    let help = helps.first().map(|help| format!("helps: {}: {}", help.easing.sentence, help.gains));
    help.or_else(|| in_the_way.first().map(|way| format!("in the way: {way}")))
        .or_else(|| not_settled(unsettled))
}

fn none(plan: &Plan, shortfall: &Shortfall) -> Vec<Block> {
    let who = title(plan.driver.as_deref(), &plan.kart, &plan.class);
    let mut blocks = vec![
        Block::Verdict(Tone::Bad, format!("{}: {}", too_light(shortfall), plan.status.words())),
        Block::Line(format!("{who}; {}", wanted(&plan.wanted))),
    ];
    blocks.extend(falls_short(shortfall));
    let cures = plan.remedies.as_ref().map(|cures| would_cure(cures, &plan.unsettled, MOST_CURES));
    blocks.extend(cures.unwrap_or_default());
    blocks.push(next("--full; then change the file and plan again"));
    blocks
}

/// The search ended before it found anything.
fn stopped(plan: &Plan) -> Vec<Block> {
    let who = title(plan.driver.as_deref(), &plan.kart, &plan.class);
    vec![
        Block::Verdict(Tone::Bad, format!("{}: {who}", plan.status.words())),
        Block::Line(NOTHING_FOUND.to_owned()),
        next("the same with --time 60"),
    ]
}
