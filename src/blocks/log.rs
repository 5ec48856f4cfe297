//! The page of `log`: what has changed on the kart itself, the figures of every weighing, and where they wander.

use super::brief;
use crate::answer::log::{FrameChange, Log, Logged};
use crate::date::Date;
use crate::marks::{Amount, MASS_UNIT, column, figure, name, plain, share, signed};
use crate::page::{Block, Cell, Item, Page, Panel, Season, Seen, Shown, Table, Tone, When, in_time};
use crate::quantity::{Kg, Percent, Quantity, kg, percent};
use crate::scenario::Figure;

/// Weighings that a brief screen lists.
const MOST_LISTED: usize = 3;
/// Letters of a strip; with the longest name it fits a phone held upright.
const STRIP: usize = 27;
/// What a weighing is called in a strip, in time.
const LETTERS: &[u8; 35] = b"123456789abcdefghijklmnopqrstuvwxyz";

/// What is drawn and listed of a weighing, besides its total.
const SHARES: [(Figure, Of<Percent>); 3] = [
    (Figure::Front, |logged| logged.front),
    (Figure::Left, |logged| logged.left),
    (Figure::Cross, |logged| logged.cross),
];

type Of<U> = fn(&Logged) -> Option<Quantity<U>>;

/// The page of all weighings.
pub fn log(log: &Log) -> Page {
    let title = format!("Weighings of {}", name(&log.kart));
    let (tone, verdict) = watched(log);
    let head = vec![Block::Title(title.clone()), Block::Verdict(tone, verdict.clone())];
    let changes: Vec<Item> = log.changes.iter().map(|change| Item::from(sentence(change))).collect();
    let mut blocks = head;
    blocks.extend(Block::section("Changed on the kart itself", changes.clone()));
    blocks.push(Block::Heading(format!("In time, {MASS_UNIT}; twist at LF")));
    blocks.push(Block::Table(table(log)));
    blocks.push(Block::Either { screen: strips(log), paper: season(log) });
    blocks.extend(Block::section("How this is known", [KNOWN]));
    let mut brief = vec![Block::Verdict(tone, verdict)];
    brief.extend(changes.last().cloned().map(|change| Block::List(vec![change])));
    brief.push(Block::Table(last(log)));
    brief.extend(strips(log));
    brief.push(brief::next("--full has all; --plain for a spreadsheet, --sheet log.html to print"));
    Page { title, brief, blocks, status: String::new() }
}

const KNOWN: &str = "each weighing is held against what the first would have shown with the same driver, fuel, lead and settings; \
                     what is left beyond pads, floor and tape is the kart";

/// Every number in a column of its own, for a spreadsheet.
pub fn log_rows(log: &Log) -> Page {
    let share_head = |name: &str| [format!("{name} %"), format!("{name} +- %")];
    let mass_head = |name: &str| [format!("{name} {MASS_UNIT}"), format!("{name} +- {MASS_UNIT}")];
    let mut head: Vec<String> = ["date", "weighing", "driver"].map(str::to_owned).into();
    head.extend(mass_head("total"));
    head.extend(["front", "left", "cross"].into_iter().flat_map(share_head));
    head.extend(mass_head("twist at LF"));
    head.push(format!("official {MASS_UNIT}"));
    let both = |value: Option<[Cell; 2]>| value.unwrap_or_default();
    let mass = |of: Quantity<Kg>| [column(kg(of.value)), column(kg(of.plus_minus))].map(Cell::number);
    let row = |logged: &Logged| {
        let number = logged.weighing.map(|number| number.to_string()).unwrap_or_default();
        let words = [logged.date.clone().unwrap_or_default(), number, who(logged)];
        let mut row: Vec<Cell> = words.map(Cell::words).into();
        row.extend(mass(logged.total));
        for (_, of) in SHARES {
            let two = |of: Quantity<Percent>| {
                [share(percent(of.value)), share(percent(of.plus_minus))].map(Cell::number)
            };
            row.extend(both(of(logged).map(two)));
        }
        row.extend(both(logged.twist_at_lf.map(mass)));
        row.push(logged.official.map(|read| Cell::number(column(read))).unwrap_or_default());
        row
    };
    let rows = log.weighings.iter().map(row).collect();
    let table = Table { name: "log", head, rows, ..Table::default() };
    Page {
        title: log.kart.clone(),
        brief: Vec::new(),
        blocks: vec![Block::Table(table)],
        status: String::new(),
    }
}

/// Whether the kart is still the kart it was, in one line.
fn watched(log: &Log) -> (Tone, String) {
    match (log.changes.as_slice(), log.shows_from) {
        ([_, ..], _) => (Tone::Bad, "the kart itself has changed".to_owned()),
        ([], Some(from)) => {
            let from = plain(from).without_plus_minus();
            let known = format!("a change of LF + RR by {from} would show at the last weighing");
            (Tone::Good, format!("the kart itself is as it was; {known}"))
        }
        ([], None) => (Tone::Plain, "one weighing tells no change of the kart itself".to_owned()),
    }
}

/// `since 2026-05-02 LF + RR gained 1.8 ± 0.5 kg: frame, spindle or a tyre`.
fn sentence(change: &FrameChange) -> String {
    let since = change.since.clone().unwrap_or_else(|| format!("weighing {}", change.since_weighing));
    let way = if change.lf_and_rr.value < 0.0 { "lost" } else { "gained" };
    let gained = Quantity::new(Kg, change.lf_and_rr.value.abs(), change.lf_and_rr.plus_minus);
    let cause = if change.not_the_floor {
        "frame, spindle or a tyre, not the floor"
    } else {
        "frame, spindle or a tyre, if the pads stood level"
    };
    format!("since {since} LF + RR {way} {}: {cause}", plain(gained))
}

fn who(logged: &Logged) -> String {
    logged.driver.as_deref().map_or_else(|| "nobody".to_owned(), name)
}

const HEAD: [&str; 8] = ["", "", "", "total", "front %", "left %", "cross %", "twist"];

/// The figures of all weighings, each with its ±.
fn table(log: &Log) -> Table {
    let rows = log.weighings.iter().enumerate().map(|(index, logged)| row(index, logged, |amount| amount));
    Table::new("log", "", &HEAD, rows.collect())
}

/// Those of the last few, with the ± of the last.
fn last(log: &Log) -> Table {
    let from = log.weighings.len().saturating_sub(MOST_LISTED);
    let rows = log.weighings.iter().enumerate().skip(from);
    let rows = rows.map(|(index, logged)| row(index, logged, Amount::without_plus_minus)).collect();
    let on_pads = log.weighings.iter().rev().find_map(|one| Some((one.total, one.front?, one.twist_at_lf?)));
    let known = on_pads.map_or_else(String::new, |(total, front, twist)| {
        let mass =
            |of: Quantity<Kg>| plain(Quantity::new(Kg, of.plus_minus, of.plus_minus)).without_plus_minus();
        let front = figure(Figure::Front, front.plus_minus, Some(front.plus_minus)).without_plus_minus();
        format!("; the last \u{b1} {}, \u{b1} {front} %, twist \u{b1} {}", mass(total), mass(twist))
    });
    Table::new("log", format!("In time, {MASS_UNIT}{known}"), &HEAD, rows)
}

/// One weighing.
fn row(index: usize, logged: &Logged, shown: fn(Amount) -> Amount) -> Vec<Cell> {
    let number = |amount: Option<Amount>| amount.map(|one| Cell::number(shown(one))).unwrap_or_default();
    let words = [letter(index).to_string(), logged.date.clone().unwrap_or_default(), who(logged)];
    let mut row: Vec<Cell> = words.map(Cell::words).into();
    row.push(number(Some(plain(logged.total).bare())));
    for (which, of) in SHARES {
        row.push(number(of(logged).map(|of| figure(which, of.value, Some(of.plus_minus)))));
    }
    row.push(number(logged.twist_at_lf.map(signed)));
    row
}

fn letter(index: usize) -> char {
    LETTERS.get(index).map_or('+', |letter| char::from(*letter))
}

/// Where each figure was, from weighing to weighing.
fn strips(log: &Log) -> Vec<Block> {
    type Value = fn(&Logged) -> Option<f64>;
    let figures: [(&str, Option<Figure>, Value); 5] = [
        ("total", None, |logged| Some(logged.total.value)),
        ("front %", Some(Figure::Front), |logged| Some(logged.front?.value)),
        ("left %", Some(Figure::Left), |logged| Some(logged.left?.value)),
        ("cross %", Some(Figure::Cross), |logged| Some(logged.cross?.value)),
        ("twist", None, |logged| Some(logged.twist_at_lf?.value)),
    ];
    if log.weighings.len() < 2 {
        return Vec::new();
    }
    let strip = |(called, which, of): (&str, Option<Figure>, Value)| {
        let at = log.weighings.iter().enumerate();
        let values: Vec<(char, f64)> =
            at.filter_map(|(index, logged)| Some((letter(index), of(logged)?))).collect();
        let wanted = which.and_then(|which| wanted(log, which)).map(|(from, to)| [from, to]);
        vec![Cell::words(called).toned(Tone::Strong), Cell::words(in_time(&values, wanted, STRIP))]
    };
    let caption = "From the least to the most; [ ] the tolerance";
    vec![Block::Table(Table::new("strips", caption, &[], figures.map(strip).into()))]
}

/// The same to scale of time, each figure with its ±.
fn season(log: &Log) -> Vec<Block> {
    let all = || log.weighings.iter().enumerate();
    if log.weighings.len() < 2 {
        return Vec::new();
    }
    let date = |logged: &Logged| logged.date.as_deref().and_then(Date::from_text);
    let weighings = all().map(|(index, logged)| When {
        day: date(logged).map(Date::day_number),
        label: date(logged).map_or_else(|| letter(index).to_string(), Date::in_short),
    });
    let shares = SHARES.map(|(which, of)| Panel {
        name: which.name(),
        is_mass: false,
        points: points(log, of),
        wanted: wanted(log, which),
        shows_changes: which == Figure::Cross,
    });
    let mass =
        |name, points, shows_changes| Panel { name, is_mass: true, points, wanted: None, shows_changes };
    let total = mass("total", points(log, |logged| Some(logged.total)), false);
    let twist = mass("twist at LF", points(log, |logged| logged.twist_at_lf), true);
    let panels = std::iter::once(total).chain(shares).chain([twist]).filter(|panel| !panel.points.is_empty());
    // A weighing of the list has its number there.
    let place = |change: &FrameChange| {
        log.weighings.iter().position(|one| one.weighing == Some(change.since_weighing))
    };
    let season = Season {
        weighings: weighings.collect(),
        changed: log.changes.iter().filter_map(place).collect(),
        panels: panels.collect(),
    };
    let ends = || log.weighings.iter().filter_map(|one| one.date.as_deref());
    let when = match (ends().next(), ends().next_back()) {
        (Some(first), Some(last)) if first != last => format!(", {first} to {last}"),
        _ => String::new(),
    };
    vec![Block::Heading(format!("The season{when}; total and twist in {MASS_UNIT}")), Block::Season(season)]
}

/// A figure at every weighing that shows it.
fn points<U>(log: &Log, of: Of<U>) -> Vec<Seen> {
    let point = |(weighing, logged): (usize, &Logged)| {
        let by = match (logged.front, logged.as_raced) {
            (None, _) => Shown::Official,
            (Some(_), true) => Shown::AsRaced,
            (Some(_), false) => Shown::ToLearn,
        };
        of(logged).map(|of| Seen { weighing, value: of.value, plus_minus: of.plus_minus, by })
    };
    log.weighings.iter().enumerate().filter_map(point).collect()
}

/// What is wanted of a share, from where to where; of the front where the target is of the rear.
fn wanted(log: &Log, which: Figure) -> Option<(f64, f64)> {
    let of = |figure: Figure| log.targets.iter().find(|share| share.target == figure);
    let rear = of(Figure::Rear)
        .filter(|_| which == Figure::Front)
        .map(|rear| (100.0 - rear.aim.value, rear.within.value));
    let (aim, within) = of(which).map(|share| (share.aim.value, share.within.value)).or(rear)?;
    Some((aim - within, aim + within))
}
