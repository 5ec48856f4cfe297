//! What binds a plan: full mounts, kinds used up, locks, rules, the spare, the resolutions.
//! Takes a scenario and what a solve has found; gives facts, each checked with the judge or read off the goals.
//! Does not say what easing any of them would gain: `help` solves again to know.

use crate::goal::Goal;
use crate::plan::{Breach, Measured};
use crate::scenario::{Access, Scenario};
use crate::solve::Solved;
use crate::units::Mass;

/// Something that keeps a plan from changing further. Mounts and kinds are indices.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Binding {
    /// No piece that is left in the box fits on the mount.
    MountFull {
        /// The mount.
        mount: usize,
    },
    /// The mount is locked.
    MountLocked {
        /// The mount.
        mount: usize,
    },
    /// Every piece of the kind is on the kart.
    UsedUp {
        /// The kind.
        kind: usize,
    },
    /// The most lead that the class allows leaves out every piece that is left in the box.
    MostLead,
    /// The most that the total may be leaves out every piece that is left in the box.
    Spare,
    /// A goal was not searched any finer than its resolution.
    Resolution {
        /// The goal.
        goal: Goal,
    },
}

/// Everything that binds a plan: mounts and kinds in file order, then rules, then goals in theirs.
pub fn bindings(scenario: &Scenario, solved: &Solved) -> Vec<Binding> {
    let measured = solved.plan.measured();
    let mounts = (0..scenario.mounts().len()).filter_map(|mount| match scenario.mounts()[mount].access {
        Access::Locked => Some(Binding::MountLocked { mount }),
        Access::Open => is_full(scenario, measured, mount).then_some(Binding::MountFull { mount }),
    });
    let used_up = (0..scenario.lead().len())
        .filter(|kind| {
            let there_are = scenario.lead()[*kind].count;
            there_are > 0 && measured.counts.of_kind(*kind) == there_are
        })
        .map(|kind| Binding::UsedUp { kind });
    let most_lead = is_bound_by_most_lead(scenario, measured).then_some(Binding::MostLead);
    let spare = is_bound_by_spare(scenario, solved).then_some(Binding::Spare);
    let coarse = solved.goals.iter().filter(|result| result.value > result.bound);
    let resolutions = coarse.map(|result| Binding::Resolution { goal: result.goal });
    mounts.chain(used_up).chain(most_lead).chain(spare).chain(resolutions).collect()
}

/// Whether the class allows too little lead for any piece that is left in the box.
fn is_bound_by_most_lead(scenario: &Scenario, measured: &Measured) -> bool {
    let carried: Mass =
        measured.counts.placed().map(|(kind, _, count)| scenario.lead()[kind].mass * count).sum();
    let lightest = left_in_box(scenario, measured).map(|kind| scenario.lead()[kind].mass).min();
    scenario.class().rules.most_lead.zip(lightest).is_some_and(|(most, lightest)| carried + lightest > most)
}

/// Whether a piece is left that fits somewhere, but the total may not grow by any such piece.
pub fn is_bound_by_spare(scenario: &Scenario, solved: &Solved) -> bool {
    let measured = solved.plan.measured();
    let Some(most) = solved.goals.first().map(|legal| Mass::from_ng(legal.held_at)) else { return false };
    let mut fitting = left_in_box(scenario, measured)
        .filter(|kind| {
            (0..scenario.mounts().len()).any(|mount| fits_on(scenario, measured, *kind, None, mount))
        })
        .peekable();
    fitting.peek().is_some() && fitting.all(|kind| measured.worth.total + scenario.lead()[kind].mass > most)
}

/// Whether no piece that is left in the box fits on a mount; an empty box fills nothing.
pub fn is_full(scenario: &Scenario, measured: &Measured, mount: usize) -> bool {
    let mut left = left_in_box(scenario, measured).peekable();
    left.peek().is_some() && !left.any(|kind| fits_on(scenario, measured, kind, None, mount))
}

/// Kinds of which a piece is not on the kart.
pub fn left_in_box<'a>(scenario: &'a Scenario, measured: &'a Measured) -> impl Iterator<Item = usize> + 'a {
    (0..scenario.lead().len()).filter(|kind| measured.counts.of_kind(*kind) < scenario.lead()[*kind].count)
}

/// Whether the judge would accept the plan with one more piece on a mount, from the box or from another mount.
pub fn fits_on(
    scenario: &Scenario,
    measured: &Measured,
    kind: usize,
    from: Option<usize>,
    onto: usize,
) -> bool {
    // What is plainly too heavy need not trouble the judge, who would measure the whole kart each time.
    if measured.lead_on(scenario, onto) + scenario.lead()[kind].mass > scenario.mounts()[onto].capacity {
        return false;
    }
    let mut counts = measured.counts.clone();
    if let Some(from) = from {
        *counts.get_mut(kind, from) -= 1;
    }
    *counts.get_mut(kind, onto) += 1;
    let changed = Measured::new(scenario, measured.driver, counts);
    matches!(changed.breach(scenario), None | Some(Breach::TooLight { .. }))
}
