//! What binds a plan and what would help it, or cure a scenario that has none: what is eased, and what that gains.

use schemars::JsonSchema;
use serde::Serialize;

use super::kart::InUnit;
use super::margin::total_sure;
use crate::decimals::{counted, trimmed};
use crate::goal::Goal;
use crate::marks::{fine, given, name, plain};
use crate::plan::{Measured, Plan};
use crate::quantity::{Exact, Kg, Quantity, kg, mm};
use crate::scenario::{Aim, Easing, Margin, Scenario, Seat, SeatEnd};
use crate::tasks::help::{self, Helps, Remedies, Remedy, value_of};
use crate::units::{Length, Mass};

/// One thing that could be eased.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Eased {
    /// `mount_carries`, `mount_room`, `mount_pieces`, `mount_bolts`, `unlock`, `pieces`, `seat_hole`, `mount_quick`,
    /// `piece_quick`, `driver_sits`, `spare`, `margin` or `targets`.
    pub eased: &'static str,
    /// The mount, the kind of piece, the driver, or the target.
    pub name: Option<String>,
    /// By how much.
    pub by: InUnit,
    /// Of `by`: `kg`, `mm`, `count` or `percent`.
    pub unit: &'static str,
    /// The same in words.
    pub sentence: String,
}

/// What one easing gains.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Help {
    /// What is eased.
    #[serde(flatten)]
    pub easing: Eased,
    /// The goal that gains; none where any legal plan is a gain.
    pub goal: Option<Goal>,
    /// Of `before` and `after`.
    pub goal_unit: Option<&'static str>,
    /// That goal's value now.
    pub before: Option<InUnit>,
    /// That goal's value then.
    pub after: Option<InUnit>,
    /// Of the plan that it allows.
    pub total: Quantity<Kg>,
    /// Whether that plan meets every target.
    pub on_target: bool,
    /// What is gained, in words.
    pub gains: String,
}

/// What is worth it, best first.
pub fn helps(scenario: &Scenario, before: &Measured, helps: &Helps) -> Vec<Help> {
    helps.worth.iter().map(|help| Help::new(scenario, before, help)).collect()
}

/// Every single remedy.
pub fn remedies(scenario: &Scenario, remedies: &Remedies) -> Vec<Help> {
    let remedy =
        |Remedy { easing, plan }: &Remedy| Help::allowing(scenario, *easing, plan, "a legal plan".to_owned());
    remedies.cures.iter().map(remedy).collect()
}

/// Easings in words and as data.
pub fn eased(scenario: &Scenario, easings: &[Easing]) -> Vec<Eased> {
    easings.iter().map(|easing| Eased::new(scenario, *easing)).collect()
}

impl Help {
    fn allowing(scenario: &Scenario, easing: Easing, plan: &Plan, gains: String) -> Help {
        let Measured { worth, driver, counts, .. } = plan.measured();
        Help {
            easing: Eased::new(scenario, easing),
            goal: None,
            goal_unit: None,
            before: None,
            after: None,
            total: Exact::from(worth.total).known_to(total_sure(scenario, *driver, counts)),
            on_target: plan.measured().all_on_target(),
            gains,
        }
    }

    fn new(scenario: &Scenario, before: &Measured, help: &help::Help) -> Help {
        let after = help.plan.measured();
        let (old, new) = (value_of(&before.worth, help.goal), value_of(&after.worth, help.goal));
        let (from, to) = (plain(kg(old)), plain(kg(new)));
        let gains = match help.goal {
            Goal::Targets if after.all_on_target() && !before.all_on_target() => {
                "every target met".to_owned()
            }
            Goal::Targets => format!("{to} outside the tolerances instead of {from}"),
            Goal::Legal | Goal::Light => format!("{} lighter", plain(kg(old - new))),
            Goal::Work => format!("{} instead of {}", counted(after.worth.work, "change"), before.worth.work),
            Goal::Close => format!("{to} from the targets instead of {from}"),
        };
        Help {
            goal: Some(help.goal),
            goal_unit: Some(help.goal.unit()),
            before: Some(InUnit::new(old)),
            after: Some(InUnit::new(new)),
            ..Help::allowing(scenario, help.easing, &help.plan, gains)
        }
    }
}

/// How much more of what, and both amounts in words.
fn more_length(now: Length, by: Length) -> (String, String) {
    (fine(Length::from_mm(now.mm() + by.mm())).to_string(), fine(now).to_string())
}

fn more_mass(now: Mass, by: Mass) -> (String, String) {
    (given(now + by).to_string(), given(now).to_string())
}

impl Eased {
    /// In words and as data.
    pub fn new(scenario: &Scenario, easing: Easing) -> Eased {
        let mount_named = |mount: usize| &scenario.mounts()[mount];
        let line = |eased, called: &str, by: f64, unit, sentence| Eased {
            eased,
            name: (!called.is_empty()).then(|| called.to_owned()),
            by: InUnit::new(by),
            unit,
            sentence,
        };
        let one = |eased, called, sentence| line(eased, called, 1.0, "count", sentence);
        let several =
            |eased, called, more: u32, sentence| line(eased, called, f64::from(more), "count", sentence);
        match easing {
            Easing::MountCarries { mount, more } => {
                let mount = mount_named(mount);
                let (then, now) = more_mass(mount.capacity, more);
                let words = format!("`{}` carrying {then} instead of {now}", name(&mount.name));
                line("mount_carries", &mount.name, more.kg(), "kg", words)
            }
            Easing::MountHasRoom { mount, more } => {
                let mount = mount_named(mount);
                let (then, now) = more_length(mount.room.unwrap_or(Length::ZERO), more);
                let words = format!("`{}` with {then} of room instead of {now}", name(&mount.name));
                line("mount_room", &mount.name, more.mm(), "mm", words)
            }
            Easing::MountTakes { mount, more } => {
                let mount = mount_named(mount);
                let now = mount.most_pieces.unwrap_or(0);
                let words = format!("`{}` taking {} pieces instead of {now}", name(&mount.name), now + more);
                several("mount_pieces", &mount.name, more, words)
            }
            Easing::MountBolts { mount, more } => {
                let mount = mount_named(mount);
                let now = mount.bolts.unwrap_or(0);
                let words = format!("`{}` held by {} bolts instead of {now}", name(&mount.name), now + more);
                several("mount_bolts", &mount.name, more, words)
            }
            Easing::Unlock { mount } => {
                let called = &mount_named(mount).name;
                one("unlock", called, format!("`{}` unlocked", name(called)))
            }
            Easing::Pieces { kind, more } => {
                let kind = &scenario.lead()[kind];
                let words = format!(
                    "{} of {}, like `{}`",
                    counted(more, "more piece"),
                    given(kind.mass),
                    name(&kind.name)
                );
                several("pieces", &kind.name, more, words)
            }
            Easing::SeatHole { end } => {
                let (by, words) = seat_hole(scenario, end);
                line("seat_hole", "seat", by.mm(), "mm", words)
            }
            Easing::MountQuick { mount } => {
                let called = &mount_named(mount).name;
                one("mount_quick", called, format!("`{}` changed with pins, `quick: true`", name(called)))
            }
            Easing::KindQuick { kind } => {
                let called = &scenario.lead()[kind].name;
                one(
                    "piece_quick",
                    called,
                    format!("pieces `{}` changed with pins, `quick: true`", name(called)),
                )
            }
            Easing::DriverSits { driver, forward } => {
                let called = &scenario.drivers()[driver].name;
                let way = if forward < Length::ZERO { "back" } else { "forward" };
                let by = fine(Length::from_mm(forward.mm().abs()));
                let words = format!("{} sitting {by} further {way}, on another insert", name(called));
                line("driver_sits", called, forward.mm(), "mm", words)
            }
            Easing::Spare { more } => {
                let (then, now) = more_mass(scenario.preferences().spare, more);
                line("spare", "", more.kg(), "kg", format!("a `spare` of {then} instead of {now}"))
            }
            Easing::Margin { less } => {
                let words = match scenario.class().margin {
                    Margin::Fixed(now) => {
                        format!("a margin of {} instead of {}", given(now - less), given(now))
                    }
                    Margin::Confidence { .. } => format!("a margin smaller by {}", given(less)),
                };
                line("margin", "", less.kg(), "kg", words)
            }
            Easing::WiderTolerance { target, points } => wider(scenario, target, points, "percent"),
            Easing::WiderPair { target, by } => wider(scenario, target, by.kg(), "kg"),
            Easing::WiderHeight { target, by } => wider(scenario, target, by.mm(), "mm"),
        }
    }
}

/// A wider tolerance of a target, by so much in its own unit.
fn wider(scenario: &Scenario, target: usize, by: f64, unit: &'static str) -> Eased {
    let target = &scenario.targets()[target];
    let (now, written): (f64, fn(f64) -> String) = match target.aim {
        Aim::Percent { within, .. } => (within, |within| trimmed(within, 3)),
        Aim::Difference { within, .. } => (within.kg(), |within| given(kg(within)).to_string()),
        Aim::Height { within, .. } => (within.mm(), |within| fine(mm(within)).to_string()),
    };
    let sentence =
        format!("{} within {} instead of {}", target.figure.name(), written(now + by), written(now));
    let name = Some(target.figure.key().to_owned());
    Eased { eased: "targets", name, by: InUnit::new(by), unit, sentence }
}

/// How far one more seat hole is from the last, and what it is called.
fn seat_hole(scenario: &Scenario, end: SeatEnd) -> (Length, String) {
    let seat = scenario.kart().seat.as_ref();
    let pitch = |of: fn(&Seat) -> Length| seat.map_or(Length::ZERO, of);
    let (by, whither) = match end {
        SeatEnd::Front => (pitch(|seat| seat.pitch), "in front of the foremost"),
        SeatEnd::Back => (pitch(|seat| seat.pitch), "behind the rearmost"),
        SeatEnd::Left => (pitch(|seat| seat.pitch_across), "left of the leftmost"),
        SeatEnd::Right => (pitch(|seat| seat.pitch_across), "right of the rightmost"),
    };
    (by, format!("a seat hole {} {whither}", fine(by)))
}
