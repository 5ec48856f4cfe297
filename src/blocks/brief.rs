//! What of an answer fits one screen: the verdict, what to do, how it then stands, what to type next. The rest is on the page.

mod plan;
mod several;
mod weigh;

pub(super) use plan::plan;
pub(super) use several::{card, learn, pack, reach, swap};
pub(super) use weigh::weigh;

use super::work::Job;
use super::{MOST_IN_THE_WAY, stands, tone};
use crate::answer::assumed::Borrowed;
use crate::answer::kart::{Figures, Kart, Residual, verdict};
use crate::answer::margin::Required;
use crate::answer::shortfall::Shortfall;
use crate::marks::{figure, given, plain};
use crate::page::{Block, Cell, Item, Plane, Strip, Tone, Wanted};
use crate::quantity::{Kg, Quantity, Wheels, kg};
use crate::scenario::{Figure, Moment};
use crate::statics::Corner;

/// One line of what `cautions` say.
const CAUTION: &str = "Lead: gloves, lock nuts, check every run. Rulebook and official scale decide.";

/// What to type next.
pub(super) fn next(what: &str) -> Block {
    Block::Next(what.to_owned())
}

/// Jobs as a numbered list, or that there is nothing to do.
fn numbered(jobs: &[Job]) -> Block {
    if jobs.is_empty() {
        return Block::List(vec![Item::from("Nothing to change: leave the lead as it is")]);
    }
    Block::List(
        (1..).zip(jobs).map(|(number, job)| Item::from(format!("{number}. {}", job.text()))).collect(),
    )
}

/// What there is where it is too little, what limits it, and in short what would cure it.
fn falls_short(shortfall: &Shortfall) -> Vec<Block> {
    let have = [
        Some(format!("lead needed {}", plain(shortfall.needed))),
        Some(format!("in the box {}", given(shortfall.lead_in_stock))),
        Some(format!("mounts may carry {}", given(shortfall.mounts_carry))),
        shortfall.most_lead.map(|most| format!("the class allows {}", given(most))),
    ];
    let have = have.into_iter().flatten().collect::<Vec<_>>().join(", ");
    // Where a rule is broken it is not mass that is missing.
    let mut blocks: Vec<Block> =
        shortfall.broken.is_none().then_some(Block::Line(have)).into_iter().collect();
    let limits = shortfall.limits.iter().take(MOST_IN_THE_WAY).map(String::as_str);
    blocks.extend(Block::section("What limits it", limits));
    blocks
}

/// The first few of them, and how many more there are.
fn first_few(all: Vec<Item>, most: usize) -> impl Iterator<Item = Item> {
    let more = all.len().saturating_sub(most);
    let more = (more > 0).then(|| Item::from(format!("and {more} more")));
    all.into_iter().take(most).chain(more)
}

/// Of drivers known only by what they weigh: from whom their place was taken.
fn estimated(places: &[Borrowed]) -> impl Iterator<Item = Block> {
    places.iter().map(|place| Block::Line(place.sentence.clone()))
}

/// The weight against what is wanted.
pub(super) fn weight(now: Quantity<Kg>, planned: Quantity<Kg>, wanted: &Required) -> Strip {
    let above = planned.value - wanted.required.value;
    let stands = if above < 0.0 {
        Cell::words(format!("{} too light", plain(kg(-above)).seen())).toned(Tone::Bad)
    } else {
        Cell::words(format!("{} wanted", given(wanted.required).bare())).toned(Tone::Good)
    };
    Strip {
        name: "weight".to_owned(),
        earlier: format!("now {}", plain(now)),
        now: Some(now.value),
        planned: Some(planned.value),
        known_to: planned.plus_minus,
        wanted: Wanted::AtLeast(wanted.required.value),
        shown: [Cell::number(plain(planned).bare()), stands],
    }
}

/// One strip a target, in the state where it stands worst.
pub(super) fn strips(now: Option<&[Residual]>, planned: Option<&[Residual]>) -> Vec<Strip> {
    let known = planned.or(now).unwrap_or_default();
    let mut strips = Vec::new();
    let mut before = 0;
    for target in known.chunk_by(|one, next| one.target == next.target) {
        let worst = target.iter().enumerate().max_by(|(_, one), (_, other)| {
            let far = |residual: &Residual| residual.distance.value.abs();
            far(one).total_cmp(&far(other))
        });
        let Some((index, residual)) = worst else { continue };
        let value = |residuals: &[Residual]| residuals.get(before + index).map(|residual| residual.value.0);
        let shown = figure(residual.target, residual.value.0, Some(residual.plus_minus.0));
        strips.push(Strip {
            name: residual.target.name().to_owned(),
            earlier: String::new(),
            now: now.and_then(value),
            planned: planned.and_then(value),
            known_to: residual.plus_minus.0,
            wanted: Wanted::Between { aim: residual.aim.0, within: residual.within.0 },
            shown: [Cell::number(shown), Cell::words(stands(residual)).toned(tone(residual.verdict))],
        });
        before += target.len();
    }
    strips
}

/// Where the balance is and where it is wanted, and a strip for each target: a heading, the plane, the strips.
pub(super) fn balance(
    heading: String,
    now: Option<&Figures>,
    planned: Option<&Figures>,
    residuals: &[Residual],
    strips: Vec<Strip>,
) -> [Block; 3] {
    let shares = |of: &Figures| [Figure::Front, Figure::Left].map(|figure| of.of(figure).unwrap_or_default());
    let wanted = |figure: Figure| {
        residuals.iter().find_map(|residual| match (figure, residual.target) {
            (Figure::Front, Figure::Rear) => Some((100.0 - residual.aim.0, residual.within.0)),
            (figure, target) => (figure == target).then_some((residual.aim.0, residual.within.0)),
        })
    };
    let wanted = [wanted(Figure::Front), wanted(Figure::Left)];
    let plane = Plane { now: now.map(shares), planned: planned.map(shares), wanted };
    [Block::Heading(heading), Block::Plane(plane), Block::Strips(strips)]
}

/// The same of a kart before and planned, with the fuel of that moment.
pub(super) fn balance_at(moment: Moment, now: Option<&Kart>, planned: &Kart) -> [Block; 3] {
    let heading = format!("Balance at the {}", moment.word());
    let strips = strips(now.map(|now| &now.residuals[..]), Some(&planned.residuals));
    let now = now.map(|now| now.states.at(moment));
    balance(heading, now, Some(planned.states.at(moment)), &planned.residuals, strips)
}

/// What the pads should say once it is done: `LF 35.1, RF 35.1, LR 46.0, RR 46.8, ± 0.6 kg`.
fn expected(kart: &Kart, moment: Moment) -> String {
    let wheels = kart.corners.at(moment);
    let of = |index: usize| wheels.part(|all| all.each()[index]);
    let corners = Corner::ALL.into_iter().enumerate();
    let corners = corners
        .map(|(index, corner)| format!("{} {}", corner.word(), plain(of(index)).without_plus_minus().bare()));
    format!("{}, {}", corners.collect::<Vec<_>>().join(", "), each_known_to(wheels))
}

/// `± 0.6 kg`: the widest of four.
fn each_known_to(wheels: Quantity<Kg, Wheels>) -> String {
    let most = wheels.plus_minus.each().into_iter().fold(0.0, f64::max);
    format!("\u{b1} {}", plain(kg(most)).as_plus_minus())
}

/// Of all targets the one that stands worst: `off by 0.84 kg`, `on target`.
pub(super) fn worst(residuals: &[Residual]) -> String {
    let said = verdict(residuals);
    let worst = residuals.iter().filter(|residual| residual.verdict == said);
    let worst = worst.max_by(|one, other| one.miss.value.total_cmp(&other.miss.value));
    worst.map_or_else(|| "legal".to_owned(), stands)
}
