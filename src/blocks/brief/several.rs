//! The brief screens of the commands that answer for several drivers, cells, cases or weighings.

use super::{CAUTION, estimated, falls_short, first_few, next, worst};
use crate::answer::card::Card;
use crate::answer::kart::verdict as worst_of;
use crate::answer::learn::{Learned, Lesson};
use crate::answer::pack::{Kit, Pack, Pieces};
use crate::answer::reach::Reach;
use crate::answer::swap::{Driver, Handover, Setup, Swap};
use crate::blocks::help::not_settled;
use crate::blocks::work::named;
use crate::blocks::{self, NOTHING_FOUND, chance, title, tone, too_light, wanted};
use crate::decimals::counted;
use crate::marks::{given, name, plain, share};
use crate::page::{Block, Item, Tone};
use crate::tasks::learn::Told;

/// Reasons why nothing serves everybody, costs and cures that are shown.
const MOST_REMARKS: usize = 4;
const MOST_HELPS: usize = 3;

/// Cases off target that are shown.
const MOST_MISSED: usize = 4;

/// What happens at every stop, and how the kart stands with whoever then drives.
pub(in crate::blocks) fn swap(swap: &Swap) -> Vec<Block> {
    let Some(setup) = &swap.setup else { return no_setup(swap) };
    let residuals: Vec<_> = setup.drivers.iter().map(|driver| &driver.kart.residuals[..]).collect();
    let verdict = format!(
        "{}; {}",
        blocks::plan::balance("LEGAL for everybody", &residuals),
        swap.status.said("set-up")
    );
    let (kart, stops) = (name(&swap.kart), counted(setup.stops.len(), "stop"));
    let over = match setup.changes {
        0 => format!("{kart}: no changes over {stops}"),
        several => {
            let minutes = blocks::swap::in_minutes(setup.time);
            format!("{kart}: {} (a piece is one) over {stops}{minutes}", counted(several, "change"))
        }
    };
    let first = swap.order.first().map_or("", String::as_str);
    let mut items = stint(setup, &format!("First, for {}", name(first)), first, &setup.preparation);
    for (number, stop) in (1..).zip(&setup.stops) {
        let who = format!("Stop {number}, {} \u{2192} {}", name(&stop.from), name(&stop.to));
        items.extend(stint(setup, &who, &stop.to, &stop.handover));
    }
    let mut blocks = vec![
        Block::Verdict(tone(worst_of(residuals.into_iter().flatten())), verdict),
        Block::Line(over),
        Block::List(items),
    ];
    blocks.extend(estimated(&swap.estimated_places));
    let help = swap.would_help.iter().flatten().next();
    // What it gives; what that costs is on the page.
    blocks.extend(help.map(|help| {
        let gain = help.gains.split("; ").next().unwrap_or_default();
        Block::Line(format!("helps: {}: {gain}", help.easing.sentence))
    }));
    blocks.extend(not_settled(&swap.unsettled).filter(|_| help.is_none()).map(Block::Line));
    blocks.extend([Block::Line(CAUTION.to_owned()), next("--full, or --sheet stops.html")]);
    blocks
}

/// Why nothing serves all of them, and what would.
fn no_setup(swap: &Swap) -> Vec<Block> {
    let mut blocks = vec![blocks::swap::no_setup_for(swap)];
    match &swap.shortfall {
        Some(shortfall) => {
            blocks.push(Block::Line(format!("{}; {}", too_light(shortfall), wanted(&swap.wanted))));
            blocks.extend(falls_short(shortfall));
        }
        None if swap.remarks.is_empty() => blocks.push(Block::Line(NOTHING_FOUND.to_owned())),
        None => blocks.extend(swap.remarks.iter().take(MOST_REMARKS).cloned().map(Block::Line)),
    }
    blocks.extend(blocks::swap::helps(swap, MOST_HELPS));
    blocks.extend(estimated(&swap.estimated_places));
    blocks.push(next("--full; then change the file and swap again"));
    blocks
}

/// What is done for one stint, and how it comes out.
fn stint(setup: &Setup, title: &str, driver: &str, handover: &Handover) -> Vec<Item> {
    let driver = setup.drivers.iter().find(|one| one.driver == driver);
    let stands = driver.map_or_else(String::new, |driver| format!("; then {}", stands(driver)));
    let head =
        Item::from(format!("{title}: {}{stands}", blocks::swap::work_of(handover))).toned(Tone::Strong);
    let jobs = (1..)
        .zip(blocks::swap::jobs(handover, None, false))
        .map(|(number, job)| Item::under(format!("{number}. {}", job.text())));
    std::iter::once(head).chain(jobs).collect()
}

/// `160.8 ± 0.6 kg, 97.5 %, on target`.
fn stands(driver: &Driver) -> String {
    let total = plain(driver.kart.total);
    format!("{total}, passes with {}, {}", chance(driver.margin.chance), worst(&driver.kart.residuals))
}

/// The table, and what its marks mean.
pub(in crate::blocks) fn card(found: &Card, table: Block, marks: Block) -> Vec<Block> {
    let who = title(found.driver.as_deref(), &found.kart, &found.class);
    let start = &found.start;
    let figure = found.across_figure.name();
    let from = format!(
        "from today\u{2019}s plan, {} at the {}: front % {}, {figure} {}",
        plain(start.total),
        found.state.word(),
        share(start.front),
        share(start.across)
    );
    let (set, lead) = (&found.adjusters_before_the_first_step, &found.changes_before_the_first_step);
    let first = blocks::work::jobs(set, None, lead, &[], None, true).len();
    let first =
        (first > 0).then(|| format!("first carry out today\u{2019}s plan: {}", counted(first, "job")));
    let mut blocks = vec![Block::Title(format!("Tuning card: {who}")), Block::Line(from)];
    blocks.extend(first.map(Block::Line));
    blocks.extend([table, marks, Block::Line(CAUTION.to_owned())]);
    blocks.push(next("--full for the jobs, --sheet card.html to print"));
    blocks
}

/// What to buy and to take along, and which cases are off target even so.
pub(in crate::blocks) fn pack(found: &Pack) -> Vec<Block> {
    let Some(kit) = &found.kit else { return never_legal(found) };
    let (tone, verdict) = blocks::pack::verdict_of_all(found, kit);
    let mut blocks = vec![
        Block::Verdict(tone, verdict),
        Block::Line(format!("trip with {}: {}", name(&found.kart), found.trip)),
        Block::Line(blocks::pack::bought(found, kit)),
    ];
    blocks.extend(estimated(&found.estimated_places));
    blocks.extend(list("Buy", &kit.buy));
    blocks.extend(list("Take along", &kit.take));
    let bolts = kit.hardware.as_ref().map(|list| {
        let bolts =
            list.bolts.iter().map(|bolts| format!("{} of {}", bolts.count, crate::marks::fine(bolts.length)));
        let bolts = bolts.collect::<Vec<_>>().join(", ");
        format!("bolts: {bolts}; {} washers, {} lock nuts", list.washers, list.lock_nuts)
    });
    blocks.extend(bolts.map(Block::Line));
    blocks.extend(missed(kit));
    blocks.push(Block::Line(CAUTION.to_owned()));
    blocks.push(next("--full, or --sheet trip.html to print"));
    blocks
}

/// How much the worst cases are short.
fn never_legal(found: &Pack) -> Vec<Block> {
    if found.never_legal.is_empty() {
        return Vec::new();
    }
    let many = counted(found.never_legal.len(), "case");
    let mut short: Vec<_> = found.never_legal.iter().collect();
    short.sort_by(|one, other| other.shortfall.short.value.total_cmp(&one.shortfall.short.value));
    let rows = short.iter().map(|short| {
        let (who, by) = (name(&short.case.short), plain(short.shortfall.short));
        Item::from(format!("{who}: {by} too light"))
    });
    let verdict = format!("{} for {many}, even with everything along", found.status.words());
    vec![
        Block::Verdict(Tone::Bad, verdict),
        Block::List(first_few(rows.collect(), MOST_MISSED).collect()),
        Block::Line(blocks::pack::HELPS_A_TRIP.to_owned()),
        next("--full; then change the file and pack again"),
    ]
}

fn list(heading: &str, lines: &[Pieces]) -> Vec<Block> {
    let lines = lines.iter().map(|line| named(line.count, line.each, &line.piece));
    let all = lines.collect::<Vec<_>>().join(", ");
    Block::section(heading, (!all.is_empty()).then_some(all))
}

fn missed(kit: &Kit) -> Vec<Block> {
    let missed = kit.cases.iter().filter(|case| !case.on_target).map(|case| {
        Item::from(format!("{}: {}", name(&case.case.short), blocks::pack::verdict(case))).toned(Tone::Bad)
    });
    Block::section("Off target even so", first_few(missed.collect(), MOST_MISSED))
}

/// Where the targets lie to what can be reached.
pub(in crate::blocks) fn reach(found: &Reach) -> Vec<Block> {
    let kart = name(&found.kart);
    let mut blocks = vec![Block::Title(format!("Within reach of {kart} at the {}", found.state.word()))];
    for region in &found.regions {
        blocks.push(Block::Line(format!(
            "{}: totals from {} to {}",
            blocks::reach::who(region.driver.as_deref()),
            given(region.least_total),
            given(region.most_total)
        )));
        blocks.extend(region.verdict.clone().map(Block::Line));
        blocks.push(blocks::reach::small_picture(found, region));
    }
    blocks.extend(found.without.iter().map(|nothing| {
        Block::Line(format!("{}: {}", blocks::reach::who(nothing.driver.as_deref()), nothing.sentence))
    }));
    blocks.push(next("--full, or --sheet reach.html to print"));
    blocks
}

/// What the weighings tell, and which to take next.
pub(in crate::blocks) fn learn(learned: &Learned) -> Vec<Block> {
    let told: Vec<&Lesson> =
        learned.lessons.iter().filter(|lesson| lesson.told != Told::NotAtAll.word()).collect();
    let tone = if learned.fragment.is_some() { Tone::Plain } else { Tone::Bad };
    let mut blocks = vec![
        Block::Verdict(
            tone,
            format!("{}: {} weighings of {}", learned.status, learned.weighings.len(), name(&learned.kart)),
        ),
        Block::List(vec![Item::from(learned.verdict.as_str()).toned(tone)]),
    ];
    blocks.extend(blocks::learn::told(&told, None));
    blocks
        .extend(learned.next_weighing.iter().map(|one| Block::Line(format!("weigh next: {}", one.sentence))));
    if let Some(diff) = &learned.diff {
        blocks.extend([Block::Heading("Changes to the file".to_owned()), Block::Copy(diff.clone())]);
        return blocks;
    }
    let next_step = if learned.fragment.is_some() {
        "--into FILE writes it into the file, --full shows the lines"
    } else {
        "--full tells everything"
    };
    blocks.push(next(next_step));
    blocks
}
