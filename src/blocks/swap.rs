//! The page of `swap`: one side for the stops, then one for every driver, or one that says why there is no set-up.

use super::balance::{corners, inspection, targets};
use super::help::{not_settled, would_cure};
use super::plan::balance;
use super::{Drawn, NOTHING_FOUND, brief, trays, work};
use super::{
    cautions, cautions_of, chance, chance_to_pass, gaps, picture, proved, tone, too_light, too_light_with,
    wanted, what_there_is,
};
use crate::answer::kart::{Residual, verdict};
use crate::answer::swap::{Driver, Handover, Setup, Swap};
use crate::answer::team_help::Cost;
use crate::answer::{STOPPED, Status};
use crate::decimals::{counted, trimmed};
use crate::marks::{MASS_UNIT, column, given, name, plain};
use crate::page::{Block, Cell, Item, Page, Table, Tone};
use crate::quantity::{Exact, Minutes};

/// The page of a set-up for several drivers, or of why there is none; `drawn` are the drivers' karts in their order with a map of
/// what is always on the kart, or the kart as it is now.
pub fn swap(swap: &Swap, drawn: &[Drawn]) -> Page {
    let order = arrows(swap.order.iter().map(String::as_str));
    let title = format!("{order} on {}, {}", name(&swap.kart), name(&swap.class));
    let mut blocks = vec![Block::Title(title.clone())];
    let goals = swap.setup.as_ref().map_or(&[][..], |setup| &setup.goals);
    match &swap.setup {
        Some(setup) => {
            let (drivers, map) = drawn.split_at(drawn.len().min(setup.drivers.len()));
            stops(&mut blocks, swap, setup, drivers.first(), map.first());
            for (index, driver) in setup.drivers.iter().enumerate() {
                of_driver(&mut blocks, swap, setup, driver, drivers.get(index));
            }
        }
        None => no_setup(&mut blocks, swap, drawn.first()),
    }
    let brief = brief::swap(swap);
    Page { title: format!("{title}: swap"), brief, blocks, status: proved(swap.status, "set-up", goals) }
}

fn arrows<'n>(names: impl Iterator<Item = &'n str>) -> String {
    names.map(name).collect::<Vec<_>>().join(" \u{2192} ")
}

pub(super) fn in_minutes(time: Option<Exact<Minutes>>) -> String {
    time.map(|time| format!(", {} min", trimmed(time.value, 1))).unwrap_or_default()
}

/// `3 changes, 1.6 min`, or that nothing changes.
pub(super) fn work_of(handover: &Handover) -> String {
    if handover.jobs.is_empty() && handover.adjusters.is_empty() {
        return "nothing changes".to_owned();
    }
    format!("{}{}", counted(handover.changes, "change"), in_minutes(handover.time))
}

/// What is done before the first stint and at every stop, and what is on the kart under whom.
fn stops(blocks: &mut Vec<Block>, swap: &Swap, setup: &Setup, drawn: Option<&Drawn>, map: Option<&Drawn>) {
    let all: Vec<&[Residual]> = setup.drivers.iter().map(|driver| &driver.kart.residuals[..]).collect();
    let verdict = format!("{}; {}", balance("LEGAL for everybody", &all), swap.status.said("set-up"));
    let stops = counted(setup.stops.len(), "stop");
    let alone = &setup.planned_alone;
    blocks.extend([
        Block::Verdict(tone(self::verdict(all.into_iter().flatten())), verdict),
        Block::Line(format!("{} over {stops}{}", counted(setup.changes, "change"), in_minutes(setup.time))),
        Block::Line(format!(
            "planned for each driver alone it would be {}, with tools at {} of {}",
            counted(alone.changes, "change"),
            alone.stops_with_tools,
            counted(alone.stops, "stop")
        )),
    ]);
    let first = swap.order.first().map_or("", String::as_str);
    let preparation = (format!("Before the first stint, for {}", name(first)), &setup.preparation);
    let stops = (1..).zip(&setup.stops).map(|(number, stop)| {
        let who = arrows([stop.from.as_str(), stop.to.as_str()].into_iter());
        (format!("Stop {number}, {who}"), &stop.handover)
    });
    for (title, handover) in std::iter::once(preparation).chain(stops) {
        handed_over(blocks, &title, handover, drawn);
    }
    let handovers = std::iter::once(&setup.preparation).chain(setup.stops.iter().map(|stop| &stop.handover));
    blocks.push(cautions_of(handovers.flat_map(|handover| &handover.adjusters), false));
    let screen = vec![mounts(&setup.drivers)];
    blocks.extend([Block::Side, Block::Either { screen, paper: trays::trays(swap, setup, map) }]);
    blocks.extend(adjusters(&setup.drivers));
    let stays = Block::Either { screen: stays(setup), paper: Vec::new() };
    let left = [officials(&setup.drivers), stays];
    let remarks = swap.remarks.iter().chain(swap.estimated_places.iter().map(|place| &place.sentence));
    let right = [
        Block::section("To know", remarks.map(String::as_str)),
        helps(swap, usize::MAX),
        Block::section("How sure this is", proofs(swap, setup)),
    ];
    blocks.push(Block::Beside(vec![left.into(), right.concat()]));
}

/// What is done there; bolts and stacks are on the page, as at a stop there are pins.
pub(super) fn jobs(handover: &Handover, drawn: Option<&Drawn>, timed: bool) -> Vec<work::Job> {
    work::jobs(&handover.adjusters, None, &handover.jobs, &[], drawn, timed)
}

fn handed_over(blocks: &mut Vec<Block>, title: &str, handover: &Handover, drawn: Option<&Drawn>) {
    blocks.push(Block::Heading(format!("{title}: {}", work_of(handover))));
    if handover.jobs.is_empty() && handover.adjusters.is_empty() {
        return;
    }
    blocks.push(work::in_order(&jobs(handover, drawn, true)));
}

fn star(quick: bool) -> &'static str {
    if quick { " \u{25cf}" } else { "" }
}

/// One thing under every driver: a row of its name and what `cell` says of it.
fn by_driver(first: String, drivers: &[Driver], cell: impl Fn(&Driver) -> Cell) -> Vec<Cell> {
    std::iter::once(Cell::words(first)).chain(drivers.iter().map(cell)).collect()
}

fn under_drivers(name_of: &'static str, caption: String, drivers: &[Driver], rows: Vec<Vec<Cell>>) -> Block {
    let names = drivers.iter().map(|driver| name(&driver.driver));
    let head = std::iter::once(String::new()).chain(names).collect();
    Block::Table(Table { name: name_of, caption, head, rows, is_to_tick: false })
}

/// Mounts down, drivers across.
fn mounts(drivers: &[Driver]) -> Block {
    let loads = drivers.first().into_iter().flat_map(|first| &first.mounts).enumerate();
    let rows = loads.map(|(index, load)| {
        by_driver(format!("{}{}", name(&load.mount), star(load.quick)), drivers, |driver| {
            let carried = driver.mounts.get(index).map_or(load.carried, |own| own.carried);
            let pieces = driver.placements.iter().filter(|placement| placement.mount == load.mount);
            let pieces = pieces.map(|placement| match placement.count {
                1 => name(&placement.piece),
                count => format!("{count} {}", name(&placement.piece)),
            });
            let pieces = pieces.collect::<Vec<_>>().join(" + ");
            Cell::number(format!("{pieces} {}", column(carried)).trim_start())
        })
    });
    let caption = format!("Lead on the mounts, {MASS_UNIT}; \u{25cf} may change at a stop");
    under_drivers("matrix", caption, drivers, rows.collect())
}

/// How every adjuster is set for whom; nothing where none may differ.
fn adjusters(drivers: &[Driver]) -> Option<Block> {
    let adjusters = &drivers.first()?.adjusters;
    let rows = adjusters.iter().enumerate().map(|(index, one)| {
        by_driver(format!("{}{}", name(&one.adjuster), star(one.quick)), drivers, |driver| {
            Cell::words(driver.adjusters.get(index).map_or_else(String::new, |own| name(&own.planned)))
        })
    });
    let caption = "Adjusters; \u{25cf} may be set at a stop".to_owned();
    let is_shown = adjusters.iter().any(|one| one.quick);
    is_shown.then(|| under_drivers("settings", caption, drivers, rows.collect()))
}

fn stays(setup: &Setup) -> Vec<Block> {
    let loads = setup.drivers.first().into_iter().flat_map(|first| &first.mounts);
    let here = loads.map(|load| (&load.mount, work::on(&load.mount, &setup.base)));
    let rows = here.filter(|(_, pieces)| !pieces.is_empty());
    let rows = rows.map(|(called, pieces)| vec![Cell::words(name(called)), Cell::words(pieces)]);
    let rows: Vec<Vec<Cell>> = rows.collect();
    if rows.is_empty() {
        return Block::section("Stays bolted for everybody", ["nothing"]);
    }
    vec![Block::Table(Table::new("base", "Stays bolted for everybody", &[], rows))]
}

/// What every driver weighs, and what the officials want to see.
fn officials(drivers: &[Driver]) -> Block {
    let rows = drivers.iter().map(|driver| {
        vec![
            Cell::words(name(&driver.driver)),
            Cell::number(given(driver.margin.wanted.required).bare()),
            Cell::number(given(driver.kart.total).bare()),
            Cell::number(plain(driver.margin.above_required).without_plus_minus().bare()),
            Cell::number(chance(driver.margin.chance)),
            Cell::BLANK,
        ]
    });
    let head = ["", "wanted", "planned", "above", "chance", "weighed"];
    let caption = format!("At inspection, {MASS_UNIT}; chance to pass");
    Block::Table(Table::new("officials", caption, &head, rows.collect()))
}

/// Everything that one driver's stint needs, on a side of its own.
fn of_driver(blocks: &mut Vec<Block>, swap: &Swap, setup: &Setup, driver: &Driver, drawn: Option<&Drawn>) {
    let weighed_at = driver.margin.wanted.weighed_at;
    let own: &[&[Residual]] = &[&driver.kart.residuals];
    let title = format!("{} on {}, {}", name(&driver.driver), name(&swap.kart), name(&swap.class));
    blocks.extend([
        Block::Side,
        Block::Title(title),
        Block::Verdict(tone(verdict(&driver.kart.residuals)), balance("LEGAL", own)),
        Block::Line(format!(
            "{} at the {}; {}; {}",
            given(driver.kart.total),
            weighed_at.word(),
            wanted(&driver.margin.wanted),
            chance_to_pass(&driver.margin)
        )),
    ]);
    let mut arrivals: Vec<(&str, Vec<String>, &Handover)> = Vec::new();
    for (number, stop) in (1..).zip(&setup.stops).filter(|(_, stop): &(i32, _)| stop.to == driver.driver) {
        match arrivals.iter_mut().find(|(who, _, _)| *who == stop.from) {
            Some((_, stops, _)) => stops.push(number.to_string()),
            None => arrivals.push((&stop.from, vec![number.to_string()], &stop.handover)),
        }
    }
    if drawn.is_some() {
        if let Some((from, ..)) = arrivals.first().filter(|_| driver.relieves) {
            blocks.push(Block::Line(format!("Before: what {} leaves on the kart.", name(from))));
        }
        if swap.order.first() == Some(&driver.driver) {
            handed_over(blocks, "Before the first stint, from what is fitted now", &setup.preparation, drawn);
        }
        for (from, stops, handover) in &arrivals {
            let who = arrows([*from, driver.driver.as_str()].into_iter());
            let word = if stops.len() == 1 { "stop" } else { "stops" };
            handed_over(blocks, &format!("{who}, {word} {}", stops.join(", ")), handover, drawn);
        }
        blocks.push(work::then(["everything fixed and checked", "weighed again, written at the wheels"]));
    }
    let before = if driver.relieves { None } else { Some(&driver.before) };
    let stands = brief::balance_at(weighed_at, before, &driver.kart).into_iter();
    let stands = stands.chain([Block::ByHand(vec!["Fuel", "Date", "By", "Official scale"])]);
    let earlier = if driver.relieves { "before" } else { "now" };
    blocks.push(Block::Beside(vec![picture(drawn).into_iter().collect(), stands.collect()]));
    blocks.extend([cautions(), Block::Side, Block::Heading(format!("{} in figures", name(&driver.driver)))]);
    blocks.extend(targets(&driver.before, &driver.kart, earlier, weighed_at));
    let missed = driver.missed.iter().map(|miss| Item::from(miss.as_str()).toned(Tone::Bad));
    blocks.extend(Block::section("Missed", missed));
    blocks.push(Block::Beside(vec![
        corners(&driver.before, &driver.kart, earlier, weighed_at),
        inspection(&driver.margin, driver.kart.total),
    ]));
    blocks
        .extend(drawn.map(|_| work::mounts("Lead on the mounts", &driver.mounts, &driver.placements, drawn)));
}

/// Who costs the others what, and what would help; so many of each.
pub(super) fn helps(swap: &Swap, most: usize) -> Vec<Block> {
    let costs = who(&swap.costs).into_iter().take(most);
    let mut blocks = Block::section("What each driver costs the others", costs);
    if let Some(cures) = &swap.would_cure {
        blocks.extend(would_cure(cures, &swap.unsettled, most));
    } else if let Some(helps) = &swap.would_help {
        let nothing = "nothing alone: no bigger insert, no seat further forward or back, no mount or piece changed \
                       with pins, no piece more";
        let none = (helps.is_empty() && swap.unsettled.is_empty()).then(|| nothing.to_owned());
        let told = helps.iter().take(most).map(|help| format!("{}: {}", help.easing.sentence, help.gains));
        let told = none.into_iter().chain(told).chain(not_settled(&swap.unsettled));
        blocks.extend(Block::section("What would help, each alone", told));
    }
    blocks
}

/// Who is in the way, or that nobody is; nothing where nobody could be left out.
fn who(costs: &[Cost]) -> Vec<String> {
    let told = costs.iter().filter(|cost| cost.is_in_the_way || cost.outcome == "not known");
    let words: Vec<String> = told.map(|cost| cost.sentence.clone()).collect();
    match costs {
        [_, ..] if !words.is_empty() => words,
        [] => words,
        [one] => vec![one.sentence.clone()],
        _ if costs.iter().all(|cost| cost.with.is_some()) => {
            vec!["nobody alone: leaving out any one driver leaves the others where they are".to_owned()]
        }
        _ => {
            vec!["nobody alone: leaving out any one driver still leaves no set-up for the others".to_owned()]
        }
    }
}

/// What was proved, and what more time could do.
fn proofs(swap: &Swap, setup: &Setup) -> Vec<String> {
    if swap.status == Status::BestPossible {
        return vec![
            "no better set-up exists: proved for one goal after the other (each driver's own legal weight, tolerances of \
             the worst driver, changes over all stops, weight, nearness to the targets), no finer than pads read"
                .to_owned(),
        ];
    }
    let gaps = gaps(&setup.goals);
    let alone = "what a driver's plan alone may still gain".to_owned();
    let most = if gaps.is_empty() { alone } else { gaps.join(", ") };
    vec![format!("{}: nothing can beat it by more than {most}", swap.status.words()), STOPPED.to_owned()]
}

/// That there is no set-up, and for whom.
pub(super) fn no_setup_for(swap: &Swap) -> Block {
    let words = swap.status.words();
    let verdict = match (&swap.not_even_alone, swap.status) {
        (Some(driver), _) => format!("{words} for {}, even alone on the kart", name(driver)),
        (None, Status::NoLegalPlan) => format!("{words} for all of them"),
        (None, _) => words.to_owned(),
    };
    Block::Verdict(Tone::Bad, verdict)
}

/// Why there is no set-up, and the kart as it is now.
fn no_setup(blocks: &mut Vec<Block>, swap: &Swap, drawn: Option<&Drawn>) {
    blocks.push(no_setup_for(swap));
    match &swap.shortfall {
        Some(shortfall) => {
            blocks.push(Block::Line(too_light(shortfall)));
            blocks.extend(too_light_with(shortfall, &swap.wanted).map(Block::Line));
            blocks.push(Block::Line(wanted(&swap.wanted)));
            blocks.extend(what_there_is(shortfall));
        }
        None if swap.remarks.is_empty() => blocks.push(Block::Line(NOTHING_FOUND.to_owned())),
        None => blocks.extend(swap.remarks.iter().cloned().map(Block::Line)),
    }
    blocks.extend(helps(swap, usize::MAX));
    let borrowed = swap.estimated_places.iter().map(|place| place.sentence.as_str());
    blocks.extend(Block::section("How sure this is", borrowed));
    blocks.extend(picture(drawn));
    blocks.push(cautions());
}
