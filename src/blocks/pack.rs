//! The page of `pack`: one side to tick off while packing and shopping, one with every case and what goes where in it.

mod grid;

use super::{MOST_IN_THE_WAY, NOTHING_FOUND, brief, cautions, definitions, tone, what_there_is, work};
use crate::answer::cases::CaseName;
use crate::answer::kart::{Residual, verdict as worst};
use crate::answer::pack::{Beyond, CaseFound, Kit, Pack, Pieces, ShortCase};
use crate::decimals::{counted, trimmed};
use crate::hardware::{Fixings, MountBolts};
use crate::marks::{MASS_UNIT, figure, fine, given, name, plain};
use crate::page::{Block, Cell, Item, Page, Table, Tone};
use crate::quantity::kg;
use crate::tasks::pack::DRIVER_STEP_KG;
use crate::uncertainty::verdict::Verdict;

pub(super) const HELPS_A_TRIP: &str =
    "what would help: more or heavier sizes under `buy`, stronger mounts, or the case left out of the trip";

/// The page of a kit, or of why there is none.
pub fn pack(pack: &Pack) -> Page {
    let title = format!("Trip with {}: {}", name(&pack.kart), pack.trip);
    let mut blocks = vec![Block::Title(title.clone())];
    match &pack.kit {
        Some(kit) => self::kit(&mut blocks, pack, kit),
        None if !pack.never_legal.is_empty() => never_legal(&mut blocks, pack),
        None => {
            blocks.push(Block::Verdict(Tone::Bad, pack.status.words().to_owned()));
            let tried = pack.kits_tried.unwrap_or(0);
            blocks.push(Block::Line(format!("{tried} kits were tried; {NOTHING_FOUND}")));
            blocks.extend(pack.bound.clone().map(Block::Line));
        }
    }
    let words = pack.status.said("kit");
    let proved = pack.kit.is_some() && pack.status == crate::answer::Status::BestPossible;
    let status = if proved { format!("{words}: price, then mass, then pieces proved") } else { words };
    Page { title, brief: brief::pack(pack), blocks, status }
}

fn kit(blocks: &mut Vec<Block>, pack: &Pack, kit: &Kit) {
    let (tone, verdict) = verdict_of_all(pack, kit);
    blocks.extend([Block::Verdict(tone, verdict), Block::Line(bought(pack, kit))]);
    let said: Vec<Verdict> = kit.cases.iter().map(CaseFound::verdict).collect();
    let close = said.iter().filter(|verdict| **verdict == Verdict::CannotConfirm).count();
    if close > 0 {
        let are = match close {
            all if all == said.len() => "not confirmed".to_owned(),
            1 => "1 case is not confirmed".to_owned(),
            several => format!("{several} of {} cases are not confirmed", said.len()),
        };
        blocks.push(Block::Line(format!("{are}: what is known of pads and kart cannot tell")));
    }
    let hardware = kit.hardware.as_ref();
    let borrowed = pack.estimated_places.iter().map(|place| place.sentence.as_str());
    let left = [
        pieces("Buy", &kit.buy),
        pieces("Take along", &kit.take),
        hardware.map(to_bolt).unwrap_or_default(),
        pieces("Leave at home", &kit.leave),
    ];
    let bolts = hardware.map(bolts_by_mount).unwrap_or_default();
    blocks.push(Block::Beside(vec![left.concat(), bolts]));
    blocks.extend([cautions(), Block::Side]);
    let sure = Block::section("How sure this is", kit.proof.iter().map(String::as_str).chain(borrowed));
    blocks.push(Block::Either { screen: needed(kit), paper: grid::grid(kit) });
    blocks.push(Block::Beside(vec![[one_less(kit), sure].concat(), beyond(&kit.beyond)]));
    blocks.push(Block::Side);
    cases(blocks, kit);
}

/// What each piece is for, once for all pieces that are for the same.
fn needed(kit: &Kit) -> Vec<Block> {
    let mut alike: Vec<(Vec<String>, &str)> = Vec::new();
    for line in &kit.pieces_for {
        let last = if line.count == 1 { String::new() } else { format!(" (the last of {})", line.count) };
        let called = format!("{}{last}", name(&line.piece));
        match alike.iter_mut().find(|(_, sentence)| *sentence == line.sentence) {
            Some((pieces, _)) => pieces.push(called),
            None => alike.push((vec![called], &line.sentence)),
        }
    }
    let lines = alike.into_iter().map(|(pieces, sentence)| format!("{}: {sentence}", pieces.join(", ")));
    Block::section("What each piece is needed for", lines)
}

/// What a piece less gives up, once for all cases side by side that lose the same.
fn one_less(kit: &Kit) -> Vec<Block> {
    let Some(less) = &kit.one_piece_less else { return Vec::new() };
    let alike = less.gives_up.chunk_by(|one, next| {
        !one.case.group.is_empty() && (&one.case.group, &one.how) == (&next.case.group, &next.how)
    });
    let lost = alike.map(|alike| {
        let case = &alike[0].case;
        let all = kit.cases.iter().filter(|found| found.case.group == case.group).count();
        let who = match alike {
            [_] => name(&case.short),
            several if several.len() == all => name(&case.group),
            several => {
                let within: Vec<String> = several.iter().map(|lost| name(&lost.case.within)).collect();
                format!("{}, {}", name(&case.group), within.join(" and "))
            }
        };
        format!("{who}: {}", alike[0].how)
    });
    let nothing = less.gives_up.is_empty().then(|| "nothing".to_owned());
    let heading = format!("One `{}` less saves {}, and gives up", less.piece, less.saves);
    Block::section(&heading, lost.chain(nothing))
}

/// How all cases come out together.
pub(super) fn verdict_of_all(pack: &Pack, kit: &Kit) -> (Tone, String) {
    let said: Vec<Verdict> = kit.cases.iter().map(CaseFound::verdict).collect();
    let missed = kit.cases.iter().filter(|case| !case.on_target).count();
    let close = said.iter().filter(|verdict| **verdict == Verdict::CannotConfirm).count();
    let serves = match (missed, close) {
        (0, 0) => "one kit serves every case, every target met".to_owned(),
        (0, close) if close == said.len() => {
            "one kit serves every case, none of them confirmed by the pads".to_owned()
        }
        (0, close) => format!("one kit serves every case, {close} of them not confirmed by the pads"),
        (1, _) => "one kit makes every case legal, but 1 misses a target".to_owned(),
        (several, _) => format!("one kit makes every case legal, but {several} miss a target"),
    };
    let tone = tone(worst(kit.cases.iter().flat_map(|case| &case.residuals)));
    (tone, format!("{serves}; {}", pack.status.said("kit")))
}

/// How much is bought and carried.
pub(super) fn bought(pack: &Pack, kit: &Kit) -> String {
    let bought = match kit.pieces_bought {
        0 => "nothing to buy".to_owned(),
        several => format!("{} to buy", counted(several, "piece")),
    };
    let is_paid = pack.priced && kit.pieces_bought > 0;
    let price = if is_paid { format!(" for {}", trimmed(kit.cost, 3)) } else { String::new() };
    format!("{bought}{price}; {} in {} to carry", given(kit.carried), counted(kit.pieces, "piece"))
}

fn pieces(title: &str, lines: &[Pieces]) -> Vec<Block> {
    if lines.is_empty() {
        return Vec::new();
    }
    let spares = |line: &Pieces| match line.spares {
        0 => String::new(),
        several => format!("{several} of them spare"),
    };
    let row = |line: &Pieces| {
        vec![
            Cell::number(format!("{} \u{d7} {}", line.count, given(line.each))),
            Cell::words(name(&line.piece)),
            Cell::number(line.price.map_or_else(String::new, |price| trimmed(price, 3))),
            Cell::words(spares(line)),
        ]
    };
    vec![Block::Heading(title.to_owned()), Block::Table(Table::to_tick(lines.iter().map(row).collect()))]
}

/// To be ticked off while packing.
fn to_bolt(list: &Fixings) -> Vec<Block> {
    let spares = if list.spares_of_each > 0 {
        format!(", {} spare of each", list.spares_of_each)
    } else {
        String::new()
    };
    let row = |count: u32, what: String| vec![Cell::number(count), Cell::words(what)];
    let bolts = list.bolts.iter().map(|bolts| row(bolts.count, format!("bolts {}", fine(bolts.length))));
    let others = [row(list.washers, "washers".to_owned()), row(list.lock_nuts, "lock nuts".to_owned())];
    vec![
        Block::Heading(format!("Bolts, washers, nuts: diameter {}{spares}", fine(list.diameter))),
        Block::Table(Table::to_tick(bolts.chain(others).collect())),
    ]
}

fn bolts_by_mount(list: &Fixings) -> Vec<Block> {
    let row = |(place, mount): (usize, &MountBolts)| {
        // A mount that has several lines is named at the first.
        let goes_on = place > 0 && list.mounts[place - 1].mount == mount.mount;
        vec![
            Cell::words(if goes_on { String::new() } else { name(&mount.mount) }),
            Cell::number(mount.bolts),
            Cell::number(
                mount.length.map_or_else(|| "too long".to_owned(), |length| fine(length).to_string()),
            ),
            Cell::number(fine(mount.stack)),
            Cell::number(mount.cases),
        ]
    };
    let head = ["", "bolts", "length", "lead", "cases"];
    let table =
        Table::new("bolts", "Bolts by mount", &head, list.mounts.iter().enumerate().map(row).collect());
    let note = "for one case at a time; by your own rules, not by a rulebook: look there too";
    let mut blocks = vec![Block::Table(table), Block::Line(note.to_owned())];
    let remarks = list.remarks.iter().map(|remark| Item::from(remark.as_str()).toned(Tone::Bad));
    blocks.extend(Block::section("Not as it should be", remarks));
    blocks
}

/// What the kit does for whoever comes unannounced.
fn beyond(lines: &[Beyond]) -> Vec<Block> {
    let words = |line: &Beyond| [line.driver_lighter, line.driver_heavier, line.front_less, line.front_more];
    let step = plain(kg(DRIVER_STEP_KG));
    let head = ["", &format!("\u{2212}{step}"), &format!("+{step}"), "front \u{2212}1", "front +1"];
    let legend = [
        ("on target", "yes", "legal, every target met"),
        ("off target", "no", "legal, but a target is missed"),
        ("no legal plan", "light", "no legal plan"),
        ("not decided", "?", "not decided"),
        ("not asked", "-", "cannot be asked"),
    ];
    let mark =
        |probed: &str| legend.iter().find(|(word, ..)| *word == probed).map_or("", |(_, mark, _)| mark);
    let cells = |line: &Beyond| words(line).map(|word| Cell::words(mark(word))).to_vec();
    let rows = by_group(lines, |line| &line.case, cells);
    if rows.is_empty() {
        return Vec::new();
    }
    let used = legend.iter().filter(|(word, ..)| lines.iter().flat_map(words).any(|probed| probed == *word));
    let used: Vec<String> = used.map(|(_, mark, meaning)| format!("{mark}: {meaning}")).collect();
    vec![
        Block::Table(Table::new("beyond", "Beyond the cases: still on target?", &head, rows)),
        Block::Line(format!("driver lighter or heavier, front a point either way; {}", used.join("; "))),
    ]
}

/// Each line under its name; lines side by side whose cases share a heading stand under it, a name without a line.
fn grouped<T>(lines: impl Iterator<Item = T>, name_of: impl Fn(&T) -> &CaseName) -> Vec<(String, Option<T>)> {
    let mut rows = Vec::new();
    let mut heading = String::new();
    for line in lines {
        let CaseName { group, within, .. } = name_of(&line);
        if *group != heading && !group.is_empty() {
            rows.push((name(group), None));
        }
        heading.clone_from(group);
        let below = if group.is_empty() { "" } else { "\u{2013} " };
        rows.push((format!("{below}{}", name(within)), Some(line)));
    }
    rows
}

/// The same as rows of a table, the name of each line before its cells.
fn by_group<T>(
    lines: &[T],
    name_of: impl Fn(&T) -> &CaseName,
    cells: impl Fn(&T) -> Vec<Cell>,
) -> Vec<Vec<Cell>> {
    let rows = grouped(lines.iter(), |line| name_of(line)).into_iter().map(|(name, line)| match line {
        None => vec![Cell::words(name).toned(Tone::Strong)],
        Some(line) => [vec![Cell::words(name)], cells(line)].concat(),
    });
    rows.collect()
}

/// How every case comes out, what stands in the way of those that miss, and what goes where.
fn cases(blocks: &mut Vec<Block>, kit: &Kit) {
    let figures = |case: &CaseFound| -> Vec<&'static str> {
        by_target(case).map(|states| states[0].target.name()).collect()
    };
    let names = kit.cases.first().map(figures).unwrap_or_default();
    let head: Vec<&str> = ["", "total"].into_iter().chain(names).collect();
    let is_alike = kit.cases.iter().all(|case| verdict(case) == verdict(&kit.cases[0]));
    let cells = |case: &CaseFound| {
        let readings = by_target(case).map(|states| Cell::number(reading(states)));
        let own = (!is_alike).then(|| Cell::words(verdict(case)).toned(tone(case.verdict())));
        let total = Cell::number(given(case.total).bare());
        std::iter::once(total).chain(readings).chain(own).collect()
    };
    let rows = by_group(&kit.cases, |case| &case.case, cells);
    let alike = kit.cases.first().filter(|_| is_alike).map(verdict);
    let alike = alike.map(|alike| format!("; each {alike}")).unwrap_or_default();
    let caption = format!("Cases, {MASS_UNIT}; figures at start and finish{alike}");
    blocks.push(Block::Table(Table::new("cases", caption, &head, rows)));
    let targets = kit.cases.first().into_iter().flat_map(by_target);
    blocks.extend(definitions(targets.map(|states| states[0].target)));
    blocks.extend(Block::section("Off target, and why", off_target(kit)));
    let rows = by_group(&kit.cases, |case| &case.case, |case| vec![Cell::words(goes(case))]);
    blocks.push(Block::Side);
    blocks.push(Block::Table(Table::new("goes", "Where it goes", &[], rows)));
}

/// The cases off target by what the kit was made to do for them; why, once for all side by side of which it is the same.
fn off_target(kit: &Kit) -> Vec<Item> {
    let reasons = [
        ("legal", "no kit of these pieces brings these onto target together with the other cases"),
        (
            "legal, given up in time",
            "no kit was found in this time that brings these onto target; that there is none is not proved",
        ),
        ("on target", ""),
    ];
    let mut items = Vec::new();
    for (asked, reason) in reasons {
        let missed: Vec<&CaseFound> =
            kit.cases.iter().filter(|case| !case.on_target && case.asked == asked).collect();
        items.extend((!missed.is_empty() && !reason.is_empty()).then(|| Item::from(reason)));
        for alike in missed.chunk_by(|one, next| one.in_the_way == next.in_the_way) {
            items.extend(alike.iter().map(|case| {
                let miss = format!("{}: {}", name(&case.case.short), case.missed.join("; "));
                Item::from(miss).toned(Tone::Bad)
            }));
            items.extend(
                alike[0].in_the_way.iter().take(MOST_IN_THE_WAY).map(|why| Item::under(why.as_str())),
            );
        }
    }
    items
}

fn by_target(case: &CaseFound) -> impl Iterator<Item = &[Residual]> {
    case.residuals.chunk_by(|one, next| one.target == next.target)
}

/// What a target shows at the start and at the finish, once if that is the same, with the larger ±.
fn reading(states: &[Residual]) -> String {
    let sure = states.iter().map(|state| state.plus_minus.0).fold(0.0, f64::max);
    let mut values: Vec<f64> = states.iter().map(|state| state.value.0).collect();
    values.dedup();
    let last = values.len().saturating_sub(1);
    let shown = values.iter().enumerate().map(|(index, value)| {
        let shown = figure(states[0].target, *value, Some(sure));
        if index == last { shown } else { shown.without_plus_minus() }.to_string()
    });
    shown.collect::<Vec<_>>().join(" ")
}

/// The worst that can be said of any target: by how much it is off, not confirmed, or on target.
pub(super) fn verdict(case: &CaseFound) -> String {
    brief::worst(&case.residuals)
}

/// What goes where, mount by mount.
fn goes(case: &CaseFound) -> String {
    let set = case.adjusters.iter().map(|set| format!("{}: {}", name(&set.adjuster), name(&set.planned)));
    let mounts = case.placements.chunk_by(|one, next| one.mount == next.mount);
    let lead = mounts.map(|here| format!("{}: {}", name(&here[0].mount), work::on(&here[0].mount, here)));
    set.chain(lead).collect::<Vec<_>>().join("; ")
}

fn never_legal(blocks: &mut Vec<Block>, pack: &Pack) {
    let cases = &pack.never_legal;
    let (status, many) = (pack.status.words(), counted(cases.len(), "case"));
    let verdict = format!("{status} for {many}, even with everything along");
    blocks.push(Block::Verdict(Tone::Bad, verdict));
    let called = |short: &ShortCase| {
        name(if short.case.group.is_empty() { &short.case.short } else { &short.case.group })
    };
    // Whatever the targets, as much is missing.
    for alike in cases.chunk_by(|one, next| called(one) == called(next)) {
        let short = given(alike[0].shortfall.short);
        blocks.push(Block::Line(format!("{}: {short} too light", called(&alike[0]))));
    }
    let worst =
        cases.iter().max_by(|one, other| one.shortfall.short.value.total_cmp(&other.shortfall.short.value));
    if let Some(worst) = worst {
        blocks.push(Block::Heading(format!("The worst of them: {}", called(worst))));
        blocks.extend(what_there_is(&worst.shortfall));
        blocks.push(Block::Line(HELPS_A_TRIP.to_owned()));
    }
    blocks.push(cautions());
}
