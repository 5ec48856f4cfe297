//! What would help: one thing eased, solved again, and the gain measured; or every single remedy where no plan is legal.
//! There are no shadow prices here, and what was not solved to the end is not claimed.

use super::pursuit::{Pursued, Settled, Stage, pursue};
use crate::counts::Counts;
use crate::goal::Goal;
use crate::inspection;
use crate::model::Model;
use crate::plan::{JUDGE_TOLERANCE_KG, Plan, Worth};
use crate::scenario::{Access, Aim, Easing, Scenario, SeatEnd};
use crate::search::Limits;
use crate::solve::{
    Answer, Disagreement, GoalResult, Judged, Patience, Solved, not_below, solve_within_nodes,
};
use crate::units::{Length, Mass, UnitSystem};

/// A gain below this is not worth a bolt, a purchase or a word: the last digit of pads that show 0.1 kg.
pub const WORTH_KG: f64 = 0.1;

/// Nodes that one eased scenario may take. Usual scenarios take some hundred; the limit keeps a hard one from taking the
/// time of all others, on every machine the same.
const MOST_NODES: u64 = 20_000;

/// The same for the question whether any plan is legal: somebody who has none waits longer.
const MOST_NODES_FOR_A_CURE: u64 = 100_000;

/// Easings that are tried, the most usual first; files with hundreds of mounts and kinds are not helped by hundreds of
/// hints.
const MOST_TRIED: usize = 80;

/// Kinds whose masses differ by less are one size: nobody buys lead to the gram.
const SAME_SIZE: f64 = 0.95;

/// One thing eased, and what it gains.
#[derive(Clone, Debug)]
pub struct Help {
    pub easing: Easing,
    /// The first goal, in the user's order, that gains by it.
    pub goal: Goal,
    /// What that goal gains: kg, or changes.
    pub gain: f64,
    /// The plan that it allows, judged in the eased scenario.
    pub plan: Plan,
}

/// What would help a plan.
#[derive(Clone, Debug, Default)]
pub struct Helps {
    /// What is worth it: the most important goal first, then means before wishes, then the largest gain.
    pub worth: Vec<Help>,
    /// Easings that were solved to the end.
    pub settled: usize,
    /// Easings whose solve was stopped; nothing is claimed of them.
    pub unsettled: Vec<Easing>,
}

/// One thing eased by the least amount that makes a legal plan possible.
#[derive(Clone, Debug)]
pub struct Remedy {
    /// What is eased, and by how much at least.
    pub easing: Easing,
    /// A legal plan that it allows, judged in the eased scenario; the best one takes a whole solve.
    pub plan: Plan,
}

/// What would cure a scenario without a legal plan.
#[derive(Clone, Debug, Default)]
pub struct Remedies {
    /// Every single remedy, in the order in which they are easiest.
    pub cures: Vec<Remedy>,
    /// Easings of which it is not known whether, or how little of them, would do.
    pub unsettled: Vec<Easing>,
}

/// Amounts by which things are eased, round in the units of the file.
#[derive(Clone, Copy, Debug)]
pub(super) struct Steps {
    /// What a stronger bracket carries more, or a total is allowed more.
    pub(super) mass: Mass,
    /// By which a mount's need is found.
    fine: Mass,
    /// By which a margin's need is found.
    margin: Mass,
    pub(super) room: Length,
    pair: Mass,
    height: Length,
    /// One hole of a seat or an insert, where the file does not say how far they are apart.
    pub(super) hole: Length,
}

impl Steps {
    pub(super) fn of(units: UnitSystem) -> Steps {
        let [mass, fine, margin, room, pair, height, hole] = match units {
            UnitSystem::KgMm => [1.0, 0.5, 0.05, 10.0, 0.25, 5.0, 15.0],
            UnitSystem::LbIn => [2.0, 1.0, 0.1, 0.5, 0.5, 0.25, 0.5],
        };
        let [mass, fine, margin, pair] = [mass, fine, margin, pair].map(|number| units.mass(number));
        let [room, height, hole] = [room, height, hole].map(|number| units.length(number));
        Steps { mass, fine, margin, room, pair, height, hole }
    }
}

/// Solves again with one thing eased at a time, and keeps what gains.
///
/// A gain is real: the eased plan is better than what was proved to be out of reach without the easing, under the same
/// holds of the earlier goals. Fails only if the judge disagrees with the search.
pub fn would_help(
    scenario: &Scenario,
    driver: Option<usize>,
    solved: &Solved,
    patience: Patience,
) -> Judged<Helps> {
    let mut helps = Helps::default();
    for easing in usual_easings(scenario).into_iter().take(MOST_TRIED) {
        let Some(eased) = scenario.eased(easing) else { continue };
        if patience.is_over() {
            helps.unsettled.push(easing);
            continue;
        }
        let answer = solve_within_nodes(&eased, driver, patience, MOST_NODES)?;
        not_denied(&eased, driver, &solved.plan.measured().counts, &answer)?;
        match answer {
            Answer::Plan(better) if better.is_best_possible() => {
                helps.settled += 1;
                if let Some((goal, gain)) = first_gain(solved, &better.plan.measured().worth) {
                    helps.worth.push(Help { easing, goal, gain, plan: better.plan });
                }
            }
            Answer::Plan(_) | Answer::OutOfTime => helps.unsettled.push(easing),
            // Where more of what may be off comes along, a chance to pass can ask for more than there is.
            Answer::NoLegalPlan(_) => helps.settled += 1,
        }
    }
    let place = |goal: Goal| solved.goals.iter().position(|result| result.goal == goal);
    let key = |help: &Help| (place(help.goal), is_wish(help.easing));
    helps.worth.sort_by(|one, other| key(one).cmp(&key(other)).then(other.gain.total_cmp(&one.gain)));
    Ok(helps)
}

/// Fails if an answer denies a plan that the judge allows, or bounds the lightest total above it.
fn not_denied(scenario: &Scenario, driver: Option<usize>, known: &Counts, answer: &Answer) -> Judged<()> {
    let Ok(known) = Plan::judged(scenario, driver, known.clone()) else { return Ok(()) };
    let bound = match answer {
        Answer::Plan(solved) => solved.goals.iter().find(|result| result.goal == Goal::Legal),
        Answer::NoLegalPlan(_) => return Err(Disagreement::Denied),
        Answer::OutOfTime => None,
    };
    bound.map_or(Ok(()), |legal| not_below(Goal::Legal, known.measured().worth.total.ng(), legal.bound))
}

/// The first goal in which a plan is better than anything that was possible before, and by how much it beats the plan at
/// hand. None if it is not worth it, or if an earlier goal pays for it.
fn first_gain(solved: &Solved, eased: &Worth) -> Option<(Goal, f64)> {
    let before = solved.plan.measured().worth;
    for GoalResult { goal, bound, held_at, .. } in solved.goals.iter().filter(|g| g.goal != Goal::Legal) {
        let (old, new) = (value_of(&before, *goal), value_of(eased, *goal));
        let in_units_of_the_goal = |number: i64| match goal {
            Goal::Work => number as f64,
            _ => Mass::from_ng(number).kg(),
        };
        let worth = if *goal == Goal::Work { 1.0 } else { WORTH_KG };
        if new < in_units_of_the_goal(*bound) - JUDGE_TOLERANCE_KG && old - new >= worth {
            return Some((*goal, old - new));
        }
        if new > in_units_of_the_goal(*held_at) + JUDGE_TOLERANCE_KG {
            return None;
        }
    }
    None
}

/// A goal's value as the judge measures it: kg, or changes.
pub fn value_of(worth: &Worth, goal: Goal) -> f64 {
    match goal {
        Goal::Legal | Goal::Light => worth.total.kg(),
        Goal::Targets => worth.outside_kg,
        Goal::Work => f64::from(worth.work),
        Goal::Close => worth.close_kg,
    }
}

/// What a person would think of, by the usual amounts: lead, mounts, locks, a hole for the seat, the total, and the wishes last.
///
/// Washers are not among them: as many as a spindle holds are in the file, and every way to stand them is a setting.
fn usual_easings(scenario: &Scenario) -> Vec<Easing> {
    let steps = Steps::of(scenario.units());
    let mounts = || (0..scenario.mounts().len()).filter(|mount| is_open(scenario, *mount));
    let locked = (0..scenario.mounts().len()).filter(|mount| !is_open(scenario, *mount));
    let mut easings: Vec<Easing> =
        sizes(scenario).into_iter().map(|kind| Easing::Pieces { kind, more: 1 }).collect();
    easings.extend(mounts().map(|mount| Easing::MountCarries { mount, more: steps.mass }));
    easings.extend(mounts().map(|mount| Easing::MountHasRoom { mount, more: steps.room }));
    easings.extend(mounts().map(|mount| Easing::MountTakes { mount, more: 1 }));
    easings.extend(mounts().map(|mount| Easing::MountBolts { mount, more: 1 }));
    easings.extend(locked.map(|mount| Easing::Unlock { mount }));
    easings.extend(SeatEnd::ALL.map(|end| Easing::SeatHole { end }));
    easings.push(Easing::Spare { more: steps.mass });
    easings.extend(scenario.targets().iter().enumerate().map(|(target, wanted)| match wanted.aim {
        Aim::Percent { .. } => Easing::WiderTolerance { target, points: 0.5 },
        Aim::Difference { .. } => Easing::WiderPair { target, by: steps.pair },
        Aim::Height { .. } => Easing::WiderHeight { target, by: steps.height },
    }));
    easings
}

/// A wider tolerance mends the wish and not the kart.
fn is_wish(easing: Easing) -> bool {
    matches!(easing, Easing::WiderTolerance { .. } | Easing::WiderPair { .. } | Easing::WiderHeight { .. })
}

pub(super) fn is_open(scenario: &Scenario, mount: usize) -> bool {
    scenario.mounts()[mount].access == Access::Open
}

/// One kind of every size, the heaviest first; pieces weighed one by one are of one size if they nearly agree.
pub(super) fn sizes(scenario: &Scenario) -> Vec<usize> {
    let mut sizes: Vec<usize> = Vec::new();
    for kind in heaviest_first(scenario) {
        if !sizes.iter().any(|size| are_one_size(scenario, *size, kind)) {
            sizes.push(kind);
        }
    }
    sizes
}

fn heaviest_first(scenario: &Scenario) -> Vec<usize> {
    let mut kinds: Vec<usize> = (0..scenario.lead().len()).collect();
    kinds.sort_by_key(|kind| std::cmp::Reverse(scenario.lead()[*kind].mass));
    kinds
}

/// Whether two kinds differ by nothing but a few per cent of mass.
fn are_one_size(scenario: &Scenario, one: usize, other: usize) -> bool {
    let (a, b) = (&scenario.lead()[one], &scenario.lead()[other]);
    let (lighter, heavier) = if a.mass < b.mass { (a.mass, b.mass) } else { (b.mass, a.mass) };
    lighter.kg() >= SAME_SIZE * heavier.kg()
        && (a.thickness, a.bolts) == (b.thickness, b.bolts)
        && scenario.mounts().iter().all(|mount| mount.takes[one] == mount.takes[other])
}

/// Finds every single easing that makes a legal plan possible, each by the least amount that does.
///
/// Fails only if the judge refuses a plan of the search.
pub fn remedies(scenario: &Scenario, driver: Option<usize>, patience: Patience) -> Judged<Remedies> {
    let mut remedies = Remedies::default();
    for ladder in ladders(scenario, driver) {
        match ladder.least(scenario, driver, patience)? {
            Settled::Yes(remedy) => {
                if !remedies.cures.iter().any(|known| says_as_much(scenario, known.easing, remedy.easing)) {
                    remedies.cures.push(remedy);
                }
            }
            Settled::Never => {}
            Settled::Unknown => remedies.unsettled.push((ladder.rung)(1)),
        }
    }
    Ok(remedies)
}

/// Whether a remedy is another kind of the same size, and no more pieces of it.
fn says_as_much(scenario: &Scenario, known: Easing, remedy: Easing) -> bool {
    match (known, remedy) {
        (Easing::Pieces { kind: one, more: few }, Easing::Pieces { kind: other, more }) => {
            few <= more && are_one_size(scenario, one, other)
        }
        _ => false,
    }
}

/// One kind of easing by growing amounts, each of which allows all that a smaller one does.
struct Ladder {
    rung: Box<dyn Fn(u32) -> Easing>,
    highest: u32,
}

impl Ladder {
    fn new(highest: u32, rung: impl Fn(u32) -> Easing + 'static) -> Ladder {
        Ladder { rung: Box::new(rung), highest }
    }

    /// The lowest rung that cures: up in growing steps, as low rungs are settled sooner, then by bisection.
    fn least(
        &self,
        scenario: &Scenario,
        driver: Option<usize>,
        patience: Patience,
    ) -> Judged<Settled<Remedy>> {
        let plan_at = |rung: u32| match scenario.eased((self.rung)(rung)) {
            Some(eased) => any_legal_plan(&eased, driver, patience),
            None => Ok(Settled::Never),
        };
        // No plan at `fails`, a plan at `cures`.
        let mut fails = 0;
        let (mut cures, mut best) = loop {
            if fails == self.highest {
                return Ok(Settled::Never);
            }
            let next = (2 * fails).clamp(1, self.highest);
            match plan_at(next)? {
                Settled::Yes(plan) => break (next, plan),
                Settled::Never => fails = next,
                Settled::Unknown => return Ok(Settled::Unknown),
            }
        };
        while cures - fails > 1 {
            let middle = fails.midpoint(cures);
            match plan_at(middle)? {
                Settled::Yes(plan) => (cures, best) = (middle, plan),
                Settled::Never => fails = middle,
                Settled::Unknown => return Ok(Settled::Unknown),
            }
        }
        Ok(Settled::Yes(Remedy { easing: (self.rung)(cures), plan: best }))
    }
}

/// Every kind of easing that could cure, up to amounts beyond which it certainly does not.
fn ladders(scenario: &Scenario, driver: Option<usize>) -> Vec<Ladder> {
    let steps = Steps::of(scenario.units());
    let model = Model::new(scenario, driver);
    let needed = Mass::from_ng((model.required_ng - model.bare_ng).max(0));
    let stock: Mass = scenario.lead().iter().map(|kind| kind.mass * kind.count).sum();
    let pieces: u32 = scenario.lead().iter().map(|kind| kind.count).sum();
    let in_steps = |mass: Mass, step: Mass| u32::try_from(mass.ng() / step.ng() + 1).unwrap_or(u32::MAX);
    let mut ladders = Vec::new();
    for kind in heaviest_first(scenario) {
        // More than the missing lead made of this kind alone is of no use.
        let highest = in_steps(needed, scenario.lead()[kind].mass);
        let most = Easing::MOST_PIECES - scenario.lead()[kind].count;
        ladders.push(Ladder::new(highest.min(most), move |more| Easing::Pieces { kind, more }));
    }
    for mount in (0..scenario.mounts().len()).filter(|mount| is_open(scenario, *mount)) {
        let Steps { fine, room, .. } = steps;
        let carries = move |rung| Easing::MountCarries { mount, more: fine * rung };
        ladders.push(Ladder::new(in_steps(stock, fine), carries));
        let thickness: f64 =
            scenario.lead().iter().map(|kind| kind.thickness.mm() * f64::from(kind.count)).sum();
        let thicker =
            move |rung| Easing::MountHasRoom { mount, more: Length::from_mm(room.mm() * f64::from(rung)) };
        ladders.push(Ladder::new((thickness / room.mm()).ceil() as u32, thicker));
        ladders.push(Ladder::new(pieces, move |more| Easing::MountTakes { mount, more }));
        ladders.push(Ladder::new(pieces, move |more| Easing::MountBolts { mount, more }));
    }
    for mount in (0..scenario.mounts().len()).filter(|mount| !is_open(scenario, *mount)) {
        ladders.push(Ladder::new(1, move |_| Easing::Unlock { mount }));
    }
    let margin = inspection::margin(scenario, driver);
    let highest = u32::try_from(margin.ng() / steps.margin.ng()).unwrap_or(0);
    ladders.push(Ladder::new(highest, move |rung| Easing::Margin { less: steps.margin * rung }));
    ladders
}

/// Any legal plan, however good; a question that the search answers far sooner than which is best.
fn any_legal_plan(scenario: &Scenario, driver: Option<usize>, patience: Patience) -> Judged<Settled<Plan>> {
    let model = Model::new(scenario, driver);
    // Within such a resolution any plan is as good as the best.
    let any = Stage { goal: Goal::Legal, resolution: Limits::FREE / 2 };
    match pursue(&model, Limits::legal(&model), &[any], None, patience, MOST_NODES_FOR_A_CURE)? {
        Pursued::Best(found) | Pursued::Good(found) => {
            Plan::judged(scenario, driver, found.counts).map(Settled::Yes).map_err(Disagreement::Breach)
        }
        Pursued::Nothing => Ok(Settled::Never),
        Pursued::Unknown => Ok(Settled::Unknown),
    }
}
