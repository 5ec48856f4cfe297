//! The brief screen of `weigh`.

use super::{each_known_to, next, strips};
use crate::answer::weigh::{WeighStatus, Weighing};
use crate::blocks::weigh::{aboard, looks_exchanged, missing, read_by_officials, twist};
use crate::blocks::{chance, odd, title};
use crate::decimals::fixed;
use crate::marks::{given, name, plain};
use crate::page::{Block, Cell, Item, Table, Tone};
use crate::quantity::{Kg, Quantity};

/// Cures that are shown.
const MOST_CURES: usize = 2;

pub(in crate::blocks) fn weigh(weighing: &Weighing) -> Vec<Block> {
    // What is odd, or unlike what was expected, comes before everything that follows from it.
    let mut first: Vec<Item> = Vec::new();
    if let Some(doubt) = weighing.doubts.first() {
        let more = weighing.doubts.len() - 1;
        let more = if more > 0 { format!(" (and {more} more, under --full)") } else { String::new() };
        let [finding, cure] = odd(doubt);
        first.extend([Item { text: finding.text + &more, ..finding }, cure]);
    }
    let (expected, unlike): (Vec<Item>, Vec<Item>) =
        forecast(weighing).into_iter().partition(|item| item.tone == Tone::Good);
    first.extend(unlike);
    let mut blocks: Vec<Block> = (!first.is_empty()).then_some(Block::List(first)).into_iter().collect();
    if let Some(about) = &weighing.about {
        let tone = if weighing.status == WeighStatus::OnTarget { Tone::Good } else { Tone::Bad };
        let who = title(about.aboard.driver.as_deref(), &about.kart, &about.class);
        let (total, wanted) = (about.official.total, &about.official.margin.wanted);
        blocks.push(Block::Verdict(tone, format!("{}: {who}", weighing.status.words())));
        let other = about.official.driver.as_ref().filter(|who| about.aboard.driver.as_ref() != Some(who));
        let with = other.map(|who| format!(" with {}", name(who))).unwrap_or_default();
        blocks.push(Block::Line(format!(
            "{} at the {}{with}, {} wanted; chance to pass {}",
            plain(total),
            wanted.weighed_at.word(),
            given(wanted.required).bare(),
            chance(about.official.margin.chance)
        )));
        blocks.push(Block::Line(aboard(about)));
        blocks.extend(read_by_officials(about).into_iter().chain(missing(about)).map(Block::Line));
    }
    blocks.push(Block::Table(corners(weighing)));
    blocks.push(Block::Gap);
    let strips = strips(Some(&weighing.residuals), None);
    if !strips.is_empty() {
        blocks.push(Block::Strips(strips));
    }
    let missing = weighing.about.as_ref().is_some_and(|about| about.official.missing.is_some());
    let room = match weighing.doubts.as_slice() {
        // Lead that is missing cures more than what is on the kart.
        _ if missing => 0,
        [] => MOST_CURES,
        _ if looks_exchanged(weighing) => 0,
        _ => 1,
    };
    let cures = weighing.cures.iter().take(room).map(|cure| Item::from(cure.sentence.as_str()));
    // What takes it away; of how much there is, only where nothing is to be taken away.
    let twists = weighing.twist.iter().filter(|_| weighing.doubts.is_empty());
    // Without a file what the rears then are is said as well.
    let most = if weighing.about.is_some() { 2 } else { 3 };
    let twists = twists.flat_map(|found| {
        let all = twist(found);
        let from = usize::from(all.len() > 1);
        all.into_iter().take(most).skip(from)
    });
    let assumed = weighing.assumptions.first().filter(|_| weighing.about.is_none());
    let twists = twists.filter(|_| !weighing.residuals.is_empty() || weighing.about.is_some());
    let said = twists.chain(assumed.cloned()).map(Item::from);
    let turned = weighing.turned_would_bring.iter();
    let turned = turned.filter(|_| weighing.doubts.is_empty() && weighing.about.is_some());
    let turned = turned.map(|one| Item::from(one.as_str()));
    blocks.push(Block::List(cures.chain(said).chain(turned).chain(expected).collect()));
    let plan = if weighing.about.is_some() {
        "`kentledge plan` with this file, or --full"
    } else {
        "`kentledge new`: with a file `plan` says what to bolt where"
    };
    blocks.push(next(plan));
    blocks
}

/// As they lie on the ground, with the share of the total that each carries.
fn corners(weighing: &Weighing) -> Table {
    let figures = &weighing.figures;
    let cell = |load: Quantity<Kg>| {
        let percent = fixed(100.0 * load.value / figures.total.value, 1);
        Cell::number(format!("{} {percent}", plain(load).without_plus_minus().bare()))
    };
    let corner = |index: usize| cell(weighing.corners.part(|all| all.each()[index]));
    let rows = vec![
        vec![Cell::words("front"), corner(0), corner(1), cell(figures.front_load)],
        vec![Cell::words("rear"), corner(2), corner(3), cell(figures.rear_load)],
        vec![
            Cell::words("both"),
            cell(figures.left_load),
            cell(figures.right_load),
            Cell::number(plain(figures.total).without_plus_minus()),
        ],
    ];
    let caption = format!("On the pads, and % of the total; a corner {}", each_known_to(weighing.corners));
    Table::new("ground", caption, &["", "left", "right", "both"], rows)
}

/// How the last forecast came out.
fn forecast(weighing: &Weighing) -> Option<Item> {
    let found = weighing.forecasts.last()?;
    Some(match (found.as_forecast, found.causes.first()) {
        (true, _) => Item::from("as expected from the weighing before").toned(Tone::Good),
        (false, Some(cause)) => {
            let slip = &cause.sentence;
            Item::from(format!("not as expected: weigh once more; the likeliest slip: {slip}"))
                .toned(Tone::Bad)
        }
        (false, None) => {
            Item::from("not as expected, and no single slip explains it: weigh once more").toned(Tone::Bad)
        }
    })
}
