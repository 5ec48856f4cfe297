//! Job lists, a box to tick before every line; and what lies where when they are done.

use super::{Drawn, mount};
use crate::answer::gate::Gate;
use crate::answer::work::{Change, MountLoad, MountState, Placement, Setting, StopHere, places};
use crate::decimals::{counted, trimmed};
use crate::document::written_mass;
use crate::marks::{MASS_UNIT, column, fine, given, name, place, plain, share};
use crate::page::{Block, Cell, Table, Tone};
use crate::quantity::{Exact, Kg, Mm, kg, mm};
use crate::units::{Mass, UnitSystem};

/// `5 kg block`; only `2 × 2.5 kg` of pieces that are called by what they weigh.
pub(super) fn named(count: u32, each: Exact<Kg>, piece: &str) -> String {
    let weighs = |units| written_mass(Mass::from_kg(each.value), units) == piece;
    let pieces = pieces(count, each);
    if weighs(UnitSystem::KgMm) || weighs(UnitSystem::LbIn) {
        pieces
    } else {
        format!("{pieces} {}", name(piece))
    }
}

/// `5 kg`, or `2 × 5 kg`.
fn pieces(count: u32, each: Exact<Kg>) -> String {
    if count == 1 { given(each).to_string() } else { format!("{count} \u{d7} {}", given(each)) }
}

/// One job: where, what is done there, and what goes with it.
#[derive(Clone, Debug)]
pub(super) struct Job {
    /// The adjuster or the mount; none for a look at the pads.
    pub at: Option<String>,
    /// The same as it is called on the page.
    place: String,
    done: String,
    /// Bolts, the height of the stack, minutes.
    details: Vec<String>,
}

impl Job {
    fn new(at: Option<&str>, place: String, done: String, details: Vec<String>) -> Job {
        Job { at: at.map(str::to_owned), place, done, details }
    }

    fn detail(&self) -> String {
        if self.details.is_empty() { String::new() } else { format!(" ({})", self.details.join(", ")) }
    }

    /// `floor_front: put on 5 kg block (2 bolts, stack 40 mm, 3 min)`.
    pub(super) fn text(&self) -> String {
        format!("{}: {}{}", self.place, self.done, self.detail())
    }

    /// The same in cells: where, what, and what goes with it.
    pub(super) fn cells(&self) -> [Cell; 3] {
        let place = Cell::words(format!("{}:", self.place)).toned(Tone::Strong);
        [place, Cell::words(&self.done), Cell::words(self.detail().trim_start()).toned(Tone::Quiet)]
    }

    /// The same after its number.
    fn row(&self, number: usize) -> Vec<Cell> {
        std::iter::once(Cell::number(format!("{number}."))).chain(self.cells()).collect()
    }
}

/// A job of its own.
pub struct ToDo {
    /// The adjuster or the mount; none for a look at the pads.
    pub at: Option<String>,
    /// Whether that is an adjuster.
    pub is_setting: bool,
    /// Where, what, and what goes with it.
    pub cells: [Cell; 3],
}

/// What is set otherwise, in the words of the hand that does it, and what is looked at after it; common practice, no published
/// source.
fn set(setting: &Setting) -> String {
    if let Some(goes) = setting.seat_goes {
        let way = |way: Exact<Mm>, [ahead, back]: [&str; 2]| {
            let side = if way.value > 0.0 { ahead } else { back };
            (way.value != 0.0).then(|| format!("{} {side}", place(mm(way.value.abs()))))
        };
        let ways =
            way(goes.forward, ["forward", "back"]).into_iter().chain(way(goes.left, ["left", "right"]));
        // `hole 3, across 0` and `hole 5, across 0`: hole 3 → 5.
        let holes = std::iter::zip(setting.now.split(", "), setting.planned.split(", "));
        let holes = holes.filter(|(now, planned)| now != planned);
        let holes = holes.map(|(now, planned)| {
            format!("{now} \u{2192} {}", planned.split(' ').next_back().unwrap_or(planned))
        });
        let all: Vec<String> = ways.chain(holes).collect();
        return format!("{}; check pedals, lock, clearance", all.join(", "));
    }
    if setting.washers_to_above != 0 {
        let way = if setting.washers_to_above > 0 { "below \u{2192} above" } else { "above \u{2192} below" };
        let washers = counted(setting.washers_to_above.unsigned_abs() as usize, "washer");
        return format!("{washers} {way}; check toe, caster, camber");
    }
    format!("{} \u{2192} {}", name(&setting.now), name(&setting.planned))
}

/// The same in as few words as a card has room for, a piece that is moved being one line: what is looked at afterwards stands on
/// the card once.
pub(super) fn in_short(settings: &[Setting], changes: &[Change]) -> Vec<String> {
    let to_set = settings.iter().filter(|setting| setting.is_job()).map(|setting| {
        let whole = set(setting);
        format!("{}: {}", name(&setting.adjuster), whole.split("; check").next().unwrap_or(&whole))
    });
    let moved = changes.iter().map(|change| {
        let what = named(change.count, change.each, &change.piece);
        match (&change.from, &change.to) {
            (Some(from), Some(to)) => format!("move {what}: {} \u{2192} {}", name(from), name(to)),
            (Some(from), None) => format!("take off {what}: {}", name(from)),
            (None, to) => format!("put on {what}: {}", name(to.as_deref().unwrap_or_default())),
        }
    });
    to_set.chain(moved).collect()
}

/// What is done where a look at the pads is outside.
pub(super) const OUTSIDE: &str =
    "Outside one of these: stop, look at what was moved last, weigh once more; if it stays so, plan again.";

/// `go on only at 166.0-167.4 kg, front 42.80-43.20, …`.
fn gate(gate: &Gate) -> String {
    // To a tenth, as pads show it.
    let total = |total: Exact<Kg>| plain(total.known_to(kg(0.5))).without_plus_minus();
    format!(
        "go on only at {}-{}, front {}-{}, left {}-{}, cross {}-{} %",
        total(gate.total_least).bare(),
        total(gate.total_most),
        share(gate.front_least),
        share(gate.front_most),
        share(gate.left_least),
        share(gate.left_most),
        share(gate.cross_least),
        share(gate.cross_most)
    )
}

/// The jobs in the order of the work: what is set, a look at the pads, then place by place, those first from which something is
/// taken; with the minutes of each if it is to be `timed`.
pub(super) fn jobs(
    settings: &[Setting],
    looked_at: Option<&Gate>,
    changes: &[Change],
    mounts: &[MountLoad],
    drawn: Option<&Drawn>,
    timed: bool,
) -> Vec<Job> {
    let in_minutes = |minutes: f64| (timed && minutes > 0.0).then(|| format!("{} min", trimmed(minutes, 1)));
    let to_set = settings.iter().filter(|setting| setting.is_job()).map(|setting| {
        let called = &setting.adjuster;
        Job::new(
            Some(called),
            name(called),
            set(setting),
            in_minutes(setting.time.value).into_iter().collect(),
        )
    });
    let looked_at = looked_at.map(|found| {
        let minutes = in_minutes(found.time.value).into_iter().collect();
        Job::new(None, "weigh, same pads and fuel".to_owned(), gate(found), minutes)
    });
    let at = places(changes).into_iter().map(|place| {
        let called = |end: &str| mount(end, drawn);
        let done = changes.iter().filter_map(|change| {
            let what = named(change.count, change.each, &change.piece);
            match (change.from.as_deref(), change.to.as_deref()) {
                (Some(from), Some(to)) if to == place => {
                    Some(("put on", format!("{what} from {}", called(from))))
                }
                (Some(from), Some(to)) if from == place => {
                    Some(("take off", format!("{what} for {}", called(to))))
                }
                (Some(from), None) if from == place => Some(("take off", what)),
                (None, Some(to)) if to == place => Some(("put on", what)),
                _ => None,
            }
        });
        let (off, on): (Vec<_>, Vec<_>) = done.partition(|(verb, _)| *verb == "take off");
        let verbs = [off, on].into_iter().filter(|done| !done.is_empty()).map(|done| {
            let what: Vec<&str> = done.iter().map(|(_, what)| what.as_str()).collect();
            format!("{} {}", done[0].0, what.join(", "))
        });
        let done = verbs.collect::<Vec<_>>().join("; ");
        let held = mounts.iter().find(|load| load.mount == place).filter(|load| load.carried.value > 0.0);
        let bolts = held.and_then(|load| load.bolts).map(|bolts| counted(bolts as usize, "bolt"));
        let stack = held.and_then(|load| load.stack).map(|stack| format!("stack {}", fine(stack)));
        // A move is done where it ends.
        let ends_here =
            |change: &&Change| change.to.as_ref().or(change.from.as_ref()).is_some_and(|end| end == place);
        let minutes: f64 = changes.iter().filter(ends_here).map(|change| change.time.value).sum();
        let details = bolts.into_iter().chain(stack).chain(in_minutes(minutes)).collect();
        Job::new(Some(place), called(place), done, details)
    });
    to_set.chain(looked_at).chain(at).collect()
}

/// How the kart stands if somebody stops after one of the jobs.
pub(super) fn stops(jobs: &[Job], stops: &[StopHere]) -> Option<Block> {
    let rows = (1..).zip(jobs).filter_map(|(number, job)| {
        let stop = stops.iter().find(|stop| Some(&stop.after) == job.at.as_ref())?;
        let short = if stop.missing.value > 0.0 {
            Cell::words(format!("{} too light", plain(stop.missing).seen())).toned(Tone::Bad)
        } else {
            Cell::words("legal").toned(Tone::Good)
        };
        Some(vec![
            Cell::words(format!("{number}. {}", job.place)),
            Cell::number(column(stop.total)),
            Cell::number(share(stop.front)),
            Cell::number(share(stop.left)),
            Cell::number(column(stop.outside)),
            short,
        ])
    });
    let rows: Vec<Vec<Cell>> = rows.collect();
    let head = ["", "total", "front %", "left %", "outside", ""];
    let caption = format!("If you stop after a job, {MASS_UNIT}");
    (rows.len() > 1).then(|| Block::Table(Table::new("stops", caption, &head, rows)))
}

/// The same, each numbered and to be ticked.
pub(super) fn in_order(jobs: &[Job]) -> Block {
    to_tick((1..).zip(jobs).map(|(number, job)| job.row(number)).collect())
}

/// Sentences in the order of the work, each numbered and to be ticked.
pub(super) fn in_order_short(jobs: &[String]) -> Block {
    to_tick((1..).zip(jobs).map(|(number, job)| vec![Cell::words(format!("{number}. {job}"))]).collect())
}

fn to_tick(rows: Vec<Vec<Cell>>) -> Block {
    if rows.is_empty() {
        return Block::Line("Nothing to change: leave the lead as it is".to_owned());
    }
    Block::Table(Table::to_tick(rows))
}

/// What comes after any work.
pub(super) fn then(what: [&str; 2]) -> Block {
    let rows = what.map(|sentence| vec![Cell::words(format!("then {sentence}"))]);
    Block::Table(Table::to_tick(rows.to_vec()))
}

/// Pieces on a mount: `2 × 2.5 kg slab, 1 kg puck`.
pub(super) fn on(mount: &str, placements: &[Placement]) -> String {
    let here = placements.iter().filter(|placement| placement.mount == mount);
    let pieces = here.map(|place| named(place.count, place.each, &place.piece));
    pieces.collect::<Vec<_>>().join(", ")
}

/// What is on which mount, with what it is held by as far as the file tells; empty ones only where it matters that they are.
pub(super) fn mounts(
    caption: &str,
    mounts: &[MountLoad],
    placements: &[Placement],
    drawn: Option<&Drawn>,
) -> Block {
    let (bolts, stacks) =
        (mounts.iter().any(|load| load.bolts.is_some()), mounts.iter().any(|load| load.stack.is_some()));
    let head = ["", "lead", "may carry", "", "bolts", "stack", "pieces"];
    let is_shown = |column: usize| (column != 4 || bolts) && (column != 5 || stacks);
    let rows = mounts.iter().map(|load| {
        let state = match load.state {
            MountState::Open => "",
            MountState::Full => "full",
            MountState::Locked => "locked",
        };
        let cells = [
            Cell::words(mount(&load.mount, drawn)),
            Cell::number(column(load.carried)),
            Cell::number(given(load.may_carry).bare()),
            Cell::words(state),
            Cell::number(load.bolts.map_or_else(String::new, |bolts| bolts.to_string())),
            Cell::number(load.stack.map_or_else(String::new, |stack| fine(stack).to_string())),
            Cell::words(on(&load.mount, placements)).toned(Tone::Quiet),
        ];
        (0..).zip(cells).filter(|(column, _)| is_shown(*column)).map(|(_, cell)| cell).collect()
    });
    let head: Vec<&str> =
        (0..).zip(head).filter(|(column, _)| is_shown(*column)).map(|(_, head)| head).collect();
    Block::Table(Table::new("mounts", format!("{caption}, {MASS_UNIT}"), &head, rows.collect()))
}
