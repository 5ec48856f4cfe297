//! What binds a plan and what would help it, as lines: what is eased in words, and what that gains.
//! Takes what the tasks have solved; gives keys and numbers for documents, and sentences for people.
//! Does not solve, and does not choose what is worth telling.

use super::amount::{Screen, rounded_kg, rounded_mm, trimmed};
use super::margin::total_sure;
use crate::goal::Goal;
use crate::plan::{Measured, Plan};
use crate::scenario::{Aim, Easing, Margin, Scenario, Seat, SeatEnd};
use crate::solve::Solved;
use crate::tasks::binding::{Binding, bindings};
use crate::tasks::help::{Help, Helps, Remedies, Remedy, value_of};
use crate::units::{Length, Mass};

/// Something that binds a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BindingLine {
    /// `mount_full`, `mount_locked`, `piece_used_up`, `most_lead`, `spare` or `resolution`.
    pub what: &'static str,
    /// The mount, the piece or the goal.
    pub name: Option<String>,
}

/// One thing that could be eased, in words and as data.
#[derive(Clone, Debug, PartialEq)]
pub struct EasingLine {
    /// `mount_carries`, `mount_room`, `mount_pieces`, `mount_bolts`, `unlock`, `pieces`, `seat_hole`, `mount_quick`,
    /// `piece_quick`, `driver_sits`, `spare`, `margin` or `band`.
    pub what: &'static str,
    /// The mount, the kind of piece, the driver, or the target.
    pub name: Option<String>,
    /// By how much, in `unit`.
    pub by: f64,
    /// `kg`, `mm`, `count` or `percent`.
    pub unit: &'static str,
    /// `` `nose` carrying 3.5 kg instead of 2.5 kg ``.
    pub words: String,
}

/// What one easing gains.
#[derive(Clone, Debug, PartialEq)]
pub struct HelpLine {
    /// What is eased.
    pub easing: EasingLine,
    /// The goal that gains; none where any legal plan is a gain.
    pub goal: Option<Goal>,
    /// That goal's value now and then: kg, or changes.
    pub values: Option<(f64, f64)>,
    /// Total of the plan that it allows, kg.
    pub total_kg: f64,
    /// The ± of it, at k = 2, kg.
    pub total_sure_kg: f64,
    /// Whether that plan meets every target.
    pub all_in_band: bool,
    /// What is gained, in words.
    pub gains: String,
}

/// Everything that would help, or cure.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HelpLines {
    /// What is worth it, best first; for a scenario without a legal plan every single remedy.
    pub lines: Vec<HelpLine>,
    /// Easings whose solve was stopped.
    pub unsettled: Vec<EasingLine>,
}

/// What binds a plan, for documents.
pub(super) fn binding_lines(scenario: &Scenario, solved: &Solved) -> Vec<BindingLine> {
    let mount_name = |mount: usize| Some(scenario.mounts()[mount].name.clone());
    let line = |binding: Binding| match binding {
        Binding::MountFull { mount } => BindingLine { what: "mount_full", name: mount_name(mount) },
        Binding::MountLocked { mount } => BindingLine { what: "mount_locked", name: mount_name(mount) },
        Binding::UsedUp { kind } => {
            BindingLine { what: "piece_used_up", name: Some(scenario.lead()[kind].name.clone()) }
        }
        Binding::MostLead => BindingLine { what: "most_lead", name: None },
        Binding::Spare => BindingLine { what: "spare", name: None },
        Binding::Resolution { goal } => {
            BindingLine { what: "resolution", name: Some(goal.word().to_owned()) }
        }
    };
    bindings(scenario, solved).into_iter().map(line).collect()
}

impl HelpLines {
    /// What would help a plan.
    pub fn new(screen: Screen, scenario: &Scenario, before: &Measured, helps: &Helps) -> HelpLines {
        HelpLines {
            lines: helps.worth.iter().map(|help| gain_line(screen, scenario, before, help)).collect(),
            unsettled: unsettled(screen, scenario, &helps.unsettled),
        }
    }

    /// What would cure a scenario without a legal plan.
    pub fn of_remedies(screen: Screen, scenario: &Scenario, remedies: &Remedies) -> HelpLines {
        let line = |Remedy { easing, plan }: &Remedy| {
            help_line(screen, scenario, *easing, plan, "a legal plan".to_owned())
        };
        HelpLines {
            lines: remedies.cures.iter().map(line).collect(),
            unsettled: unsettled(screen, scenario, &remedies.unsettled),
        }
    }
}

fn unsettled(screen: Screen, scenario: &Scenario, easings: &[Easing]) -> Vec<EasingLine> {
    easings.iter().map(|easing| EasingLine::new(screen, scenario, *easing)).collect()
}

fn help_line(screen: Screen, scenario: &Scenario, easing: Easing, plan: &Plan, gains: String) -> HelpLine {
    let measured = plan.measured();
    HelpLine {
        easing: EasingLine::new(screen, scenario, easing),
        goal: None,
        values: None,
        total_kg: rounded_kg(measured.worth.total.kg()),
        total_sure_kg: total_sure(screen, scenario, measured.driver, &measured.counts).kg,
        all_in_band: measured.all_in_band(),
        gains,
    }
}

fn gain_line(screen: Screen, scenario: &Scenario, before: &Measured, help: &Help) -> HelpLine {
    let after = help.plan.measured();
    let (old, new) = (value_of(&before.worth, help.goal), value_of(&after.worth, help.goal));
    let weights = || (screen.plain(new), screen.plain(old));
    let gains = match help.goal {
        Goal::Band if after.all_in_band() && !before.all_in_band() => "every target met".to_owned(),
        Goal::Band => {
            let (new, old) = weights();
            format!("{new} outside the bands instead of {old}")
        }
        Goal::Legal | Goal::Light => format!("{} lighter", screen.plain(old - new)),
        Goal::Work => format!("{} instead of {}", changes(after.worth.work), before.worth.work),
        Goal::Close => {
            let (new, old) = weights();
            format!("{new} from the aims instead of {old}")
        }
    };
    HelpLine {
        goal: Some(help.goal),
        values: Some((rounded_kg(old), rounded_kg(new))),
        ..help_line(screen, scenario, help.easing, &help.plan, gains)
    }
}

/// `1 change`, `3 changes`.
pub(super) fn changes(count: u32) -> String {
    if count == 1 { "1 change".to_owned() } else { format!("{count} changes") }
}

impl EasingLine {
    /// In words and as data.
    pub(super) fn new(screen: Screen, scenario: &Scenario, easing: Easing) -> EasingLine {
        let mount_named = |mount: usize| &scenario.mounts()[mount];
        let line = |what, name: &str, by, unit, words| EasingLine {
            what,
            name: Some(name.to_owned()),
            by,
            unit,
            words,
        };
        let kg = |mass: Mass| rounded_kg(mass.kg());
        match easing {
            Easing::MountCarries { mount, more } => {
                let mount = mount_named(mount);
                let (then, now) = (screen.given(mount.capacity + more), screen.given(mount.capacity));
                let words = format!("`{}` carrying {then} instead of {now}", mount.name);
                line("mount_carries", &mount.name, kg(more), "kg", words)
            }
            Easing::MountHasRoom { mount, more } => {
                let mount = mount_named(mount);
                let room = mount.room.unwrap_or(Length::ZERO);
                let then = screen.fine(Length::from_mm(room.mm() + more.mm()));
                let words = format!("`{}` with {then} of room instead of {}", mount.name, screen.fine(room));
                line("mount_room", &mount.name, rounded_mm(more.mm()), "mm", words)
            }
            Easing::MountTakes { mount, more } => {
                let mount = mount_named(mount);
                let now = mount.most_pieces.unwrap_or(0);
                let words = format!("`{}` taking {} pieces instead of {now}", mount.name, now + more);
                line("mount_pieces", &mount.name, f64::from(more), "count", words)
            }
            Easing::MountBolts { mount, more } => {
                let mount = mount_named(mount);
                let now = mount.bolts.unwrap_or(0);
                let words = format!("`{}` held by {} bolts instead of {now}", mount.name, now + more);
                line("mount_bolts", &mount.name, f64::from(more), "count", words)
            }
            Easing::Unlock { mount } => {
                let name = &mount_named(mount).name;
                line("unlock", name, 1.0, "count", format!("`{name}` unlocked"))
            }
            Easing::Pieces { kind, more } => {
                let kind = &scenario.lead()[kind];
                let pieces = if more == 1 { "piece" } else { "pieces" };
                let words =
                    format!("{more} more {pieces} of {}, like `{}`", screen.given(kind.mass), kind.name);
                line("pieces", &kind.name, f64::from(more), "count", words)
            }
            Easing::SeatHole { end } => {
                let (by, words) = seat_hole(screen, scenario, end);
                line("seat_hole", "seat", rounded_mm(by.mm()), "mm", words)
            }
            Easing::MountQuick { mount } => {
                let name = &mount_named(mount).name;
                line("mount_quick", name, 1.0, "count", format!("`{name}` changed with pins, `quick: true`"))
            }
            Easing::KindQuick { kind } => {
                let name = &scenario.lead()[kind].name;
                line(
                    "piece_quick",
                    name,
                    1.0,
                    "count",
                    format!("pieces `{name}` changed with pins, `quick: true`"),
                )
            }
            Easing::DriverSits { driver, forward } => EasingLine::sitting(screen, scenario, driver, forward),
            Easing::Spare { more } => {
                let now = scenario.preferences().spare;
                let words =
                    format!("a `spare` of {} instead of {}", screen.given(now + more), screen.given(now));
                EasingLine { what: "spare", name: None, by: kg(more), unit: "kg", words }
            }
            Easing::Margin { less } => EasingLine::margin(screen, scenario, less),
            Easing::WiderBand { target, points } => {
                let now = match scenario.targets()[target].aim {
                    Aim::Percent { within, .. } => within,
                    Aim::Difference { .. } | Aim::Height { .. } => 0.0,
                };
                let words = (trimmed(now + points, 3), trimmed(now, 3));
                EasingLine::wider(scenario, target, (points, "percent"), words)
            }
            Easing::WiderPair { target, by } => {
                let now = match scenario.targets()[target].aim {
                    Aim::Difference { within, .. } => within,
                    Aim::Percent { .. } | Aim::Height { .. } => Mass::ZERO,
                };
                let words = (screen.given(now + by).to_string(), screen.given(now).to_string());
                EasingLine::wider(scenario, target, (kg(by), "kg"), words)
            }
            Easing::WiderHeight { target, by } => {
                let now = match scenario.targets()[target].aim {
                    Aim::Height { within, .. } => within,
                    Aim::Percent { .. } | Aim::Difference { .. } => Length::ZERO,
                };
                let then = screen.fine(Length::from_mm(now.mm() + by.mm()));
                let words = (then.to_string(), screen.fine(now).to_string());
                EasingLine::wider(scenario, target, (rounded_mm(by.mm()), "mm"), words)
            }
        }
    }

    /// A driver on another insert.
    fn sitting(screen: Screen, scenario: &Scenario, driver: usize, forward: Length) -> EasingLine {
        let name = &scenario.drivers()[driver].name;
        let way = if forward < Length::ZERO { "back" } else { "forward" };
        let by = screen.fine(Length::from_mm(forward.mm().abs()));
        EasingLine {
            what: "driver_sits",
            name: Some(name.clone()),
            by: rounded_mm(forward.mm()),
            unit: "mm",
            words: format!("{name} sitting {by} further {way}, on another insert"),
        }
    }

    /// A smaller margin.
    fn margin(screen: Screen, scenario: &Scenario, less: Mass) -> EasingLine {
        let words = match scenario.class().margin {
            Margin::Fixed(now) => {
                format!("a margin of {} instead of {}", screen.given(now - less), screen.given(now))
            }
            Margin::Confidence { .. } => format!("a margin smaller by {}", screen.given(less)),
        };
        EasingLine { what: "margin", name: None, by: rounded_kg(less.kg()), unit: "kg", words }
    }

    /// A wider band of a target: by how much, and the half-width then and now in words.
    fn wider(
        scenario: &Scenario,
        target: usize,
        (by, unit): (f64, &'static str),
        (then, now): (String, String),
    ) -> EasingLine {
        let figure = scenario.targets()[target].figure;
        EasingLine {
            what: "band",
            name: Some(figure.key().to_owned()),
            by,
            unit,
            words: format!("{} within {then} instead of {now}", figure.name()),
        }
    }
}

/// How far one more seat hole is from the last, and what it is called.
fn seat_hole(screen: Screen, scenario: &Scenario, end: SeatEnd) -> (Length, String) {
    let seat = scenario.kart().seat.as_ref();
    let pitch = |of: fn(&Seat) -> Length| seat.map_or(Length::ZERO, of);
    let (by, whither) = match end {
        SeatEnd::Front => (pitch(|seat| seat.pitch), "in front of the foremost"),
        SeatEnd::Back => (pitch(|seat| seat.pitch), "behind the rearmost"),
        SeatEnd::Left => (pitch(|seat| seat.pitch_across), "left of the leftmost"),
        SeatEnd::Right => (pitch(|seat| seat.pitch_across), "right of the rightmost"),
    };
    (by, format!("a seat hole {} {whither}", screen.fine(by)))
}
