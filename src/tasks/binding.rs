//! What binds a plan: full mounts, kinds used up, locks, rules, the spare, the resolutions.
//! Each fact is checked with the judge or read off the goals.

use schemars::JsonSchema;
use serde::Serialize;

use crate::plan::{Breach, Measured};
use crate::scenario::{Access, Scenario};
use crate::solve::Solved;
use crate::units::Mass;

/// Something that keeps a plan from changing further.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Binding {
    /// `mount_full`, `mount_locked`, `piece_used_up`, `most_lead`, `spare` or `resolution`.
    pub what: &'static str,
    /// The mount, the piece or the goal.
    pub name: Option<String>,
}

/// Everything that binds a plan, whether or not a target is missed: mounts and kinds in file order, then rules, then goals in
/// theirs.
pub fn bindings(scenario: &Scenario, solved: &Solved) -> Vec<Binding> {
    let measured = solved.plan.measured();
    let named = |what, name: &str| Binding { what, name: Some(name.to_owned()) };
    let rule = |what| Binding { what, name: None };
    let mounts = scenario.mounts().iter().enumerate().filter_map(|(index, mount)| match mount.access {
        Access::Locked => Some(named("mount_locked", &mount.name)),
        Access::Open => is_full(scenario, measured, index).then(|| named("mount_full", &mount.name)),
    });
    let kinds = scenario.lead().iter().enumerate();
    let used_up =
        kinds.filter(|(index, kind)| kind.count > 0 && measured.counts.of_kind(*index) == kind.count);
    let used_up = used_up.map(|(_, kind)| named("piece_used_up", &kind.name));
    let most_lead = is_bound_by_most_lead(scenario, measured).then(|| rule("most_lead"));
    let spare = is_bound_by_spare(scenario, solved).then(|| rule("spare"));
    // A goal was not searched any finer than its resolution.
    let coarse = solved.goals.iter().filter(|result| result.value > result.bound);
    let resolutions = coarse.map(|result| named("resolution", result.goal.word()));
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
