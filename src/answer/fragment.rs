//! Lines for a scenario file: what was learned, and a weighing as it was typed.

use std::fmt::Write as _;

use crate::counts::Counts;
use crate::decimals::trimmed;
use crate::document::{written_mass, written_name};
use crate::imprint;
use crate::plan::Measured;
use crate::scenario::{Beliefs, FixedTo, FrontWheel, Lever, Moment, Scenario, Shift, Tank};
use crate::statics::{Point, RollShare};
use crate::tasks::learn::Lessons;
use crate::units::{Length, Mass, UnitSystem};

/// A weighing as typed on a command line; numbers as they were typed, and as they have been read.
pub struct TypedWeighing {
    /// As `2026-11-30`.
    pub date: String,
    /// LF RF LR RR of each set.
    pub sets: Vec<[String; 4]>,
    /// Whether the last set is of the kart turned a quarter, and to which side.
    pub turned: Option<String>,
    /// In the seat; nobody, or who is meant to drive if nothing was said.
    pub driver: Option<usize>,
    /// In the tanks; none if the kart has none.
    pub fuel: Option<String>,
    /// On the mounts; what is fitted now if nothing was said.
    pub lead: Option<String>,
    /// Whether the pads stand as at the weighing before.
    pub set_up: Option<String>,
    /// What the officials' scale showed.
    pub official: Option<String>,
    /// For people.
    pub note: Option<String>,
}

/// An item of `weighings`, whole in itself: seat and adjusters as they are set now.
pub fn weighing(scenario: &Scenario, typed: &TypedWeighing) -> String {
    let mut text = format!("date: {}\n", typed.date);
    let mut line = |key: &str, value: Option<&String>| {
        if let Some(value) = value {
            let _ = writeln!(text, "{key}: {value}");
        }
    };
    line("set_up", typed.set_up.as_ref());
    let sets: Vec<String> = typed.sets.iter().map(|set| format!("[{}]", set.join(", "))).collect();
    match (sets.as_slice(), &typed.turned, typed.sets.last()) {
        ([straight @ .., _], Some(side), Some([lf, rf, lr, rr])) => {
            let turned = format!("{{lf: {lf}, rf: {rf}, lr: {lr}, rr: {rr}, turned: {side}}}");
            line("repeats", Some(&format!("[{}, {turned}]", straight.join(", "))));
        }
        // What the officials read is a weighing by itself.
        ([], ..) => {}
        ([one], ..) => line("scales", Some(one)),
        (all, ..) => line("repeats", Some(&format!("[{}]", all.join(", ")))),
    }
    line("aboard", Some(&aboard(scenario, typed)));
    line("official", typed.official.as_ref());
    line("note", typed.note.as_ref().map(|note| written_name(note)).as_ref());
    text
}

fn aboard(scenario: &Scenario, typed: &TypedWeighing) -> String {
    let driver =
        typed.driver.map_or("none".to_owned(), |index| written_name(&scenario.drivers()[index].name));
    let mut all = vec![format!("driver: {driver}")];
    all.extend(typed.fuel.as_ref().map(|typed| format!("fuel: {}", fuel(scenario, typed))));
    let lead = typed.lead.clone().unwrap_or_else(|| lead(scenario, scenario.fitted()));
    all.push(format!("lead: {lead}"));
    all.extend(set_now(scenario));
    format!("{{{}}}", all.join(", "))
}

/// How seat and adjusters are set now, as a weighing has it.
fn set_now(scenario: &Scenario) -> Vec<String> {
    let mut all = Vec::new();
    if let Some(seat) = &scenario.kart().seat {
        all.push(format!("seat_hole: {}", seat.hole.along));
        let slides = seat.pitch_across != Length::ZERO;
        all.extend(slides.then(|| format!("seat_across: {}", seat.hole.across)));
    }
    let mut spindles = Vec::new();
    let mut others = Vec::new();
    for adjuster in scenario.adjusters() {
        let now = &adjuster.settings[adjuster.now];
        match adjuster.lever {
            Lever::Seat => {}
            Lever::Spindle { side, .. } => {
                let below = adjuster.settings.len() - 1 - adjuster.now;
                let side = if side == FrontWheel::Left { "left" } else { "right" };
                spindles.push(format!("{side}: {{above: {}, below: {below}}}", now.steps));
            }
            Lever::Measured { .. } => others.push(format!("{}: {}", written_name(&adjuster.name), now.steps)),
            Lever::Part { .. } | Lever::Tank { .. } => {
                others.push(format!("{}: {}", written_name(&adjuster.name), written_name(&now.name)));
            }
        }
    }
    for (key, entries) in [("spindles", spindles), ("adjusters", others)] {
        if !entries.is_empty() {
            all.push(format!("{key}: {{{}}}", entries.join(", ")));
        }
    }
    all
}

/// What was in the tanks then, which no later change of `start` or `finish` may change.
fn fuel(scenario: &Scenario, typed: &str) -> String {
    let moment = match typed {
        "start" => Moment::Start,
        "finish" => Moment::Finish,
        amount => return amount.to_owned(),
    };
    let amount = |tank: &Tank| written_mass(tank.fuel(moment), scenario.units());
    match scenario.tanks() {
        [one] => amount(one),
        several => {
            let named = several.iter().map(|tank| format!("{}: {}", written_name(&tank.name), amount(tank)));
            format!("{{{}}}", named.collect::<Vec<_>>().join(", "))
        }
    }
}

/// Pieces on mounts: `{seat: {block: 1}}`, or `none`.
fn lead(scenario: &Scenario, counts: &Counts) -> String {
    let mounts = (0..scenario.mounts().len()).filter(|mount| counts.on_mount(*mount).next().is_some());
    let on = |mount: usize| {
        format!("{}: {}", written_name(&scenario.mounts()[mount].name), pieces(scenario, counts, mount))
    };
    let mounts: Vec<String> = mounts.map(on).collect();
    if mounts.is_empty() { "none".to_owned() } else { format!("{{{}}}", mounts.join(", ")) }
}

/// Pieces on one mount: `{block: 1, puck: 2}`.
pub(super) fn pieces(scenario: &Scenario, counts: &Counts, mount: usize) -> String {
    let piece =
        |(kind, count): (usize, u32)| format!("{}: {count}", written_name(&scenario.lead()[kind].name));
    let pieces: Vec<String> = counts.on_mount(mount).map(piece).collect();
    format!("{{{}}}", pieces.join(", "))
}

/// Four letters that stand for a plan: whose it is, and what it makes of what is fitted and set now.
pub fn mark(scenario: &Scenario, measured: &Measured) -> String {
    let driver = measured.driver.map_or("", |index| &scenario.drivers()[index].name);
    let side = |counts: &Counts| {
        let settings = scenario.adjusters().iter().enumerate().map(|(index, adjuster)| {
            let setting = &adjuster.settings[counts.setting(index, adjuster.now)];
            format!("{}: {}", adjuster.name, setting.name)
        });
        format!("{} {}", lead(scenario, counts), settings.collect::<Vec<_>>().join(", "))
    };
    imprint::mark(&format!("{driver}: {} -> {}", side(scenario.fitted()), side(&measured.counts)))
}

/// What is fitted and set now, as a weighing has it.
pub fn now(scenario: &Scenario) -> String {
    let lead = format!("lead: {}", lead(scenario, scenario.fitted()));
    format!("{{{}}}", [vec![lead], set_now(scenario)].concat().join(", "))
}

/// Four letters that stand for what is fitted and set now, and for how often the kart has been weighed.
pub fn state_mark(scenario: &Scenario) -> String {
    let weighings = scenario.weighings().len() + scenario.official_totals().len();
    imprint::mark(&format!("{} after {weighings}", now(scenario)))
}

/// The block `fitted`, with what somebody wrote behind its key.
pub fn fitted(scenario: &Scenario, counts: &Counts, remark: &str) -> String {
    let mut text = format!("fitted:{remark}");
    let mounts = (0..scenario.mounts().len()).filter(|mount| counts.on_mount(*mount).next().is_some());
    for mount in mounts {
        let _ = write!(
            text,
            "\n  {}: {}",
            written_name(&scenario.mounts()[mount].name),
            pieces(scenario, counts, mount)
        );
    }
    if counts.placed().next().is_none() {
        text = format!("fitted: none{remark}");
    }
    text + "\n"
}

/// A place that stays within this is not worth a line, mm.
const SAME_MM: f64 = 0.5;
/// Nor a share or rate that stays within this.
const SAME_RATE: f64 = 5e-4;
/// Nor readings that stay within this, kg.
const SAME_KG: f64 = 5e-4;

/// The block `learned`; none if there is nothing that the file does not say already.
pub(super) fn learned(scenario: &Scenario, lessons: &Lessons) -> Option<String> {
    let (before, now) = (scenario.measured(), &lessons.beliefs);
    let units = scenario.units();
    let mut text = format!(
        "learned: # by `kentledge learn` from {} weighings; delete it to forget\n  weighings: {}\n",
        lessons.sightings.len(),
        scenario.weighings().len()
    );
    let heading = text.len();
    if lessons.misread_kg.iter().any(|kg| kg.abs() >= SAME_KG) {
        let [lf, rf, lr, rr] = lessons.misread_kg.map(|kg| written_mass(Mass::from_kg(kg), units));
        let _ = writeln!(text, "  misread: {{lf: {lf}, rf: {rf}, lr: {lr}, rr: {rr}}}");
    }
    twist(&mut text, before, now);
    // A file has places for the hole at which they were measured.
    let seat = scenario.kart().seat.as_ref();
    let back = seat.map_or_else(Shift::default, |seat| seat.since_measured().back());
    let mount_names = scenario.mounts().iter().map(|mount| mount.name.as_str());
    let mounts = scenario.mounts().iter().zip(before.mounts.iter().zip(&now.mounts));
    let mounts = mounts.map(|(mount, places)| {
        let back = if mount.fixed_to == FixedTo::Seat { back } else { Shift::default() };
        (Some(back.of(*places.0)), Some(back.of(*places.1)))
    });
    places(&mut text, "mounts", mount_names, mounts, units);
    let driver_names = scenario.drivers().iter().map(|driver| driver.name.as_str());
    let drivers = before.drivers.iter().zip(&now.drivers);
    let drivers = drivers.map(|(before, now)| (before.map(|at| back.of(at)), now.map(|at| back.of(at))));
    places(&mut text, "drivers", driver_names, drivers, units);
    (text.len() > heading).then_some(text)
}

fn twist(text: &mut String, before: &Beliefs, now: &Beliefs) {
    let changed = |one: f64, other: f64| (one - other).abs() >= SAME_RATE;
    let RollShare { at_rear_axle: rear, at_front_axle: front } = now.roll_share;
    if changed(rear, before.roll_share.at_rear_axle) || changed(front, before.roll_share.at_front_axle) {
        let (rear, front) = (trimmed(rear, 4), trimmed(front, 4));
        let _ = writeln!(text, "  roll_share: {{rear_axle: {rear}, front_axle: {front}}}");
    }
    if changed(now.twist_rate_kg_per_mm, before.twist_rate_kg_per_mm) {
        let _ = writeln!(text, "  twist_rate: {}", trimmed(now.twist_rate_kg_per_mm, 4));
    }
}

fn places<'s>(
    text: &mut String,
    key: &str,
    names: impl Iterator<Item = &'s str>,
    places: impl Iterator<Item = (Option<Point>, Option<Point>)>,
    units: UnitSystem,
) {
    let moved = |one: Point, other: Point| {
        (one.x.mm() - other.x.mm()).abs().max((one.y.mm() - other.y.mm()).abs()) >= SAME_MM
    };
    let mut heading = Some(format!("  {key}:\n"));
    for (name, (before, now)) in names.zip(places) {
        if let Some(now) = now.filter(|now| before.is_none_or(|before| moved(before, *now))) {
            text.push_str(&heading.take().unwrap_or_default());
            let (x, y) = (length(now.x, units), length(now.y, units));
            let _ = writeln!(text, "    {}: {{x: {x}, y: {y}}}", written_name(name));
        }
    }
}

fn length(length: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::KgMm => format!("{} mm", trimmed(length.mm(), 1)),
        UnitSystem::LbIn => format!("{} in", trimmed(length.inches(), 3)),
    }
}
