//! Bolts, washers and lock nuts for several plans of one kart: what has to be in the box so that any of them can be bolted on.
//! Every number is the user's, and nothing is added to it.
//!
//! The pieces on a mount are one stack. A bolt goes through the stack and what it is fixed to, with washers and a lock nut:
//! length = stack + plate + washers + nut + thread beyond the nut, and the next length that can be had.

use schemars::JsonSchema;
use serde::Serialize;

use crate::counts::Counts;
use crate::marks::{fine, given};
use crate::quantity::{Exact, Mm};
use crate::scenario::{Access, Hardware, Scenario};
use crate::units::{Length, Mass};

/// The check list of bolts, washers and nuts.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Fixings {
    /// Of the bolts.
    pub diameter: Exact<Mm>,
    /// How many of each length, the shortest first, spares included.
    pub bolts: Vec<Bolts>,
    /// Spares included.
    pub washers: u32,
    /// Spares included.
    pub lock_nuts: u32,
    /// How many of everything are spares.
    pub spares_of_each: u32,
    /// Mount by mount, in file order; those that are locked are bolted already.
    pub mounts: Vec<MountBolts>,
    /// What is not as it should be, or not known, one sentence each.
    pub remarks: Vec<String>,
}

/// Bolts of one length.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Bolts {
    /// How long.
    pub length: Exact<Mm>,
    /// How many.
    pub count: u32,
}

/// Bolts of one mount for one thickness of lead.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MountBolts {
    /// The mount.
    pub mount: String,
    /// How many.
    pub bolts: u32,
    /// How long; none if no bolt is long enough.
    pub length: Option<Exact<Mm>>,
    /// The thickest stack of lead that they go through.
    pub stack: Exact<Mm>,
    /// What that needs.
    pub needed: Exact<Mm>,
    /// In so many of the cases.
    pub cases: usize,
}

/// One mount.
struct Fastened {
    mount: usize,
    /// What its bolts have to be, one entry for each length and number, the shortest first.
    stacks: Vec<Stack>,
    /// Kinds that it carries and whose thickness nobody has said.
    unknown: Vec<usize>,
    /// The most lead that it carries, where that is more than its own number of bolts may hold, and how many would do.
    overloaded: Option<(Mass, u32)>,
    /// Whether nobody has said how many bolts it has.
    is_guessed: bool,
}

/// Plans in which a mount takes the same bolts.
struct Stack {
    /// The thickest stack of them.
    thickness: Length,
    /// What that needs.
    needed: Length,
    /// The length that can be had; none if all are too short.
    length: Option<Length>,
    bolts: u32,
    /// Plans, by their place in the list.
    plans: Vec<usize>,
}

/// What one plan has on one mount.
struct Here {
    stack: Length,
    mass: Mass,
    /// The most bolts that go through any of its pieces.
    through: u32,
    unknown: Vec<usize>,
}

impl Fixings {
    /// For any one of these plans at a time.
    pub fn new(hardware: &Hardware, plans: &[(&Scenario, &Counts)]) -> Fixings {
        let mounts = plans.first().map_or(0, |(scenario, _)| scenario.mounts().len());
        let mounts: Vec<Fastened> =
            (0..mounts).filter_map(|mount| fastened(hardware, plans, mount)).collect();
        // The most bolts that any one plan takes, of those lengths.
        let most = |is_counted: &dyn Fn(&Stack) -> bool| -> u32 {
            let of_plan = |plan: usize| -> u32 {
                let stacks = mounts.iter().flat_map(|mount| &mount.stacks);
                let own = stacks.filter(|stack| is_counted(stack) && stack.plans.contains(&plan));
                own.map(|stack| stack.bolts).sum()
            };
            (0..plans.len()).map(of_plan).max().unwrap_or(0)
        };
        let with_spares = |most: u32| if most > 0 { most + hardware.spares } else { 0 };
        let bolts = hardware.lengths.iter().map(|length| Bolts {
            length: (*length).into(),
            count: with_spares(most(&|stack| stack.length == Some(*length))),
        });
        let of_any_length = with_spares(most(&|_| true));
        let lines = mounts.iter().flat_map(|fastened| {
            fastened.stacks.iter().map(|stack| MountBolts {
                mount: plans[0].0.mounts()[fastened.mount].name.clone(),
                bolts: stack.bolts,
                length: stack.length.map(Exact::from),
                stack: stack.thickness.into(),
                needed: stack.needed.into(),
                cases: stack.plans.len(),
            })
        });
        Fixings {
            diameter: hardware.diameter.into(),
            bolts: bolts.filter(|bolts| bolts.count > 0).collect(),
            washers: of_any_length * hardware.washers_per_bolt,
            lock_nuts: of_any_length,
            spares_of_each: hardware.spares,
            mounts: lines.collect(),
            remarks: mounts.iter().flat_map(|fastened| remarks(plans[0].0, fastened)).collect(),
        }
    }
}

/// None for a mount that carries nothing in any plan, or that is locked.
fn fastened(hardware: &Hardware, plans: &[(&Scenario, &Counts)], mount: usize) -> Option<Fastened> {
    let mut fastened =
        Fastened { mount, stacks: Vec::new(), unknown: Vec::new(), overloaded: None, is_guessed: false };
    for (plan, (scenario, counts)) in plans.iter().enumerate() {
        let place = &scenario.mounts()[mount];
        let Some(here) = here(scenario, counts, mount).filter(|_| place.access == Access::Open) else {
            continue;
        };
        for kind in here.unknown {
            if !fastened.unknown.contains(&kind) {
                fastened.unknown.push(kind);
            }
        }
        let rules = &scenario.class().rules;
        let limits = [hardware.mass_per_bolt, rules.most_mass_per_bolt];
        let held = limits.into_iter().flatten().filter(|limit| *limit > Mass::ZERO);
        let by_mass = held.map(|limit| bolts_for(here.mass, limit)).max().unwrap_or(1);
        let by_rules = by_mass.max(here.through).max(rules.fewest_bolts_per_piece.unwrap_or(1));
        let bolts = match (place.bolts, hardware.bolts) {
            (Some(own), _) => own,
            (None, Some(usual)) => usual.max(by_rules),
            (None, None) => {
                fastened.is_guessed = true;
                by_rules
            }
        };
        if place.bolts.is_some_and(|own| by_mass > own)
            && fastened.overloaded.is_none_or(|(most, _)| here.mass > most)
        {
            fastened.overloaded = Some((here.mass, by_mass));
        }
        let fixings_mm = hardware.plates[mount].mm()
            + hardware.washer.mm() * f64::from(hardware.washers_per_bolt)
            + hardware.nut.mm()
            + hardware.beyond.mm();
        let needed = Length::from_mm(here.stack.mm() + fixings_mm);
        let length = hardware.lengths.iter().find(|length| length.nm() >= needed.nm()).copied();
        match fastened.stacks.iter_mut().find(|stack| stack.length == length && stack.bolts == bolts) {
            Some(stack) => {
                stack.plans.push(plan);
                if here.stack.nm() > stack.thickness.nm() {
                    (stack.thickness, stack.needed) = (here.stack, needed);
                }
            }
            None => fastened.stacks.push(Stack {
                thickness: here.stack,
                needed,
                length,
                bolts,
                plans: vec![plan],
            }),
        }
    }
    fastened.stacks.sort_by_key(|stack| (stack.needed.nm(), stack.bolts));
    (!fastened.stacks.is_empty()).then_some(fastened)
}

/// None where nothing is.
fn here(scenario: &Scenario, counts: &Counts, mount: usize) -> Option<Here> {
    let pieces: Vec<(usize, u32)> = counts.on_mount(mount).collect();
    if pieces.is_empty() {
        return None;
    }
    let kind = |index: usize| &scenario.lead()[index];
    let stack_mm = pieces.iter().map(|(index, count)| kind(*index).thickness.mm() * f64::from(*count)).sum();
    Some(Here {
        stack: Length::from_mm(stack_mm),
        mass: pieces.iter().map(|(index, count)| kind(*index).mass * *count).sum(),
        through: pieces.iter().filter_map(|(index, _)| kind(*index).bolts).max().unwrap_or(1),
        unknown: pieces
            .iter()
            .map(|(index, _)| *index)
            .filter(|index| kind(*index).thickness == Length::ZERO)
            .collect(),
    })
}

/// So many bolts hold a mass if each may hold so much.
fn bolts_for(mass: Mass, each: Mass) -> u32 {
    let (mass, each) = (mass.ng(), each.ng());
    u32::try_from((mass + each - 1) / each).unwrap_or(u32::MAX)
}

/// What is not as it should be about a mount.
fn remarks(scenario: &Scenario, fastened: &Fastened) -> Vec<String> {
    let mount = &scenario.mounts()[fastened.mount].name;
    let mut remarks = Vec::new();
    if let Some(too_long) = fastened.stacks.iter().find(|stack| stack.length.is_none()) {
        remarks.push(format!(
            "`{mount}` needs bolts of {}, longer than any that can be had",
            fine(too_long.needed)
        ));
    }
    if !fastened.unknown.is_empty() {
        let name = |kind: &usize| format!("`{}`", scenario.lead()[*kind].name);
        let names: Vec<String> = fastened.unknown.iter().map(name).collect();
        remarks.push(format!(
            "how thick {} {} is not said, so the bolts of `{mount}` are too short by that; add `thickness`",
            names.join(", "),
            if names.len() == 1 { "is" } else { "are" }
        ));
    }
    if let Some((most, bolts)) = fastened.overloaded {
        remarks.push(format!(
            "`{mount}` carries up to {}; by your rule that takes {bolts} bolts, and it has fewer",
            given(most)
        ));
    }
    if fastened.is_guessed {
        remarks.push(format!(
            "how many bolts `{mount}` has is not said; as few are counted as your rules allow: add `bolts` to it"
        ));
    }
    remarks
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "\
units: kg-mm
kart: {name: k, wheelbase: 1040, track_front: 1080, track_rear: 1120}
class: {name: c, minimum: 150, margin: 0.4}
weighing:
  scales: {lf: 30, rf: 30, lr: 42, rr: 42}
  aboard: {driver: Sam, fuel: none, lead: none}
drivers: {Sam: {mass: 70, x: 440, y: 20}}
mounts:
  seat: {x: 260, y: 270, capacity: 12, bolts: 2}
  nose: {x: 1230, y: 0, capacity: 6}
lead:
  slab: {mass: 2.5, count: 4, thickness: 22}
  coin: {mass: 0.5, count: 4}
trip:
  hardware:
    {diameter: 8, lengths: [60, 40, 50, 80], plate: 6, plates: {nose: 4}, washer: 1.6, nut: 8, beyond: 2,
      mass_per_bolt: 3, spares: 1}
";

    /// By hand: a slab on the seat is 22 + 6 + 2 x 1.6 + 8 + 2 = 41.2 mm, so 50; two are 63.2, so 80; on the nose 39.2, so 40.
    #[test]
    fn lengths_and_numbers_are_as_counted_by_hand() {
        let (scenario, _) = Scenario::from_yaml(TEXT).expect("the scenario is right");
        let counts = |on_seat: u32, on_nose: u32| {
            let mut counts = Counts::none(2, 2);
            *counts.get_mut(0, 0) = on_seat;
            *counts.get_mut(0, 1) = on_nose;
            counts
        };
        let hardware = scenario.trip().hardware.expect("the trip names it");
        let (one, two) = (counts(1, 1), counts(3, 0));
        let plans = [(&scenario, &one), (&scenario, &two)];
        let list = Fixings::new(&hardware, &plans);
        let on = |mount: usize| fastened(&hardware, &plans, mount).expect("it carries lead");
        let stacks = |mount: usize| -> Vec<(Option<f64>, u32, Vec<usize>)> {
            on(mount)
                .stacks
                .iter()
                .map(|stack| (stack.length.map(Length::mm), stack.bolts, stack.plans.clone()))
                .collect()
        };
        // Three slabs are 85.2 mm: no bolt is so long. They weigh 7.5 kg, and two bolts may hold 6.
        assert_eq!(stacks(0), [(Some(50.0), 2, vec![0]), (None, 2, vec![1])]);
        assert_eq!(on(0).overloaded, Some((Mass::from_kg(7.5), 3)));
        // Nobody says how many bolts the nose has; 2.5 kg may hang on one.
        assert_eq!(stacks(1), [(Some(40.0), 1, vec![0])]);
        assert!(on(1).is_guessed);
        let bolts: Vec<(f64, u32)> =
            list.bolts.iter().map(|bolts| (bolts.length.value, bolts.count)).collect();
        assert_eq!(bolts, [(40.0, 2), (50.0, 3)]);
        assert_eq!((list.washers, list.lock_nuts), (8, 4));
    }

    #[test]
    fn a_thickness_that_nobody_said_is_named() {
        let (scenario, _) = Scenario::from_yaml(TEXT).expect("the scenario is right");
        let hardware = scenario.trip().hardware.expect("the trip names it");
        let mut counts = Counts::none(2, 2);
        *counts.get_mut(1, 0) = 2;
        let list = Fixings::new(&hardware, &[(&scenario, &counts)]);
        assert!(
            list.remarks.iter().any(|remark| remark.starts_with("how thick `coin` is is not said")),
            "{list:?}"
        );
    }
}
