//! The judge: a plan exists only as placements measured again from masses and positions.

use std::fmt;

use crate::counts::Counts;
use crate::inspection;
use crate::scenario::{Access, Aim, Figure, Moment, Scenario, Target};
use crate::units::{Length, Mass};
use crate::weighing::{self, Load};

/// Half of the smallest difference that is ever shown, kg. The model rounds every coefficient to a nanogram and the judge
/// does not round at all; anything beyond this between them is a fault of the program.
pub const JUDGE_TOLERANCE_KG: f64 = 1e-6;

/// Corners of one state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StateLoad {
    /// Which state.
    pub moment: Moment,
    /// Its corners and exact total.
    pub load: Load,
}

/// One target in one state.
#[derive(Clone, Debug, PartialEq)]
pub struct Residual {
    /// Position of the target in the scenario.
    pub target: usize,
    /// What is wanted.
    pub figure: Figure,
    /// How much of it, and how nearly.
    pub aim: Aim,
    /// In which state.
    pub moment: Moment,
    /// The figure as it is: percent, kilograms for a pair, millimetres for a height.
    pub value: f64,
    /// Kilograms above (positive) or below the aim; a percentage, or a height as a share of the wheelbase, is multiplied out by
    /// this state's total.
    pub distance_kg: f64,
    /// Kilograms outside the tolerance, never negative.
    pub miss_kg: f64,
    /// Whether the target counts as met: the miss is within the resolution of the goal `targets`, as nothing finer than the
    /// pads can read is worth a bolt.
    pub on_target: bool,
}

/// What the goals are measured by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worth {
    /// Total as the officials weigh it.
    pub total: Mass,
    /// Weighted kilograms outside the tolerances, each target at its worst state.
    pub outside_kg: f64,
    /// Changes from what is fitted.
    pub work: u32,
    /// Weighted kilograms from the targets, each target at its worst state.
    pub close_kg: f64,
}

/// A kart with a driver and lead on its mounts, measured; legal or not.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// The driver, as an index.
    pub driver: Option<usize>,
    /// Pieces on mounts.
    pub counts: Counts,
    /// Corners at the start and at the finish.
    pub states: Vec<StateLoad>,
    /// Every target in every state where it counts, in file order.
    pub residuals: Vec<Residual>,
    /// What the goals are measured by.
    pub worth: Worth,
}

/// Lead taken off, moved or put on: one line of the job list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Job {
    /// What is done.
    pub action: Action,
    /// Kind of piece.
    pub kind: usize,
    /// How many.
    pub count: u32,
}

/// What is done with pieces.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Action {
    /// From a mount into the box.
    TakeOff {
        /// The mount.
        from: usize,
    },
    /// From one mount to another.
    Move {
        /// The mount that is left.
        from: usize,
        /// The mount that is entered.
        to: usize,
    },
    /// From the box onto a mount.
    PutOn {
        /// The mount.
        to: usize,
    },
}

impl Action {
    /// The mounts that pieces leave and enter.
    pub fn ends(self) -> (Option<usize>, Option<usize>) {
        match self {
            Action::TakeOff { from } => (Some(from), None),
            Action::Move { from, to } => (Some(from), Some(to)),
            Action::PutOn { to } => (None, Some(to)),
        }
    }
}

/// A legal plan: measured, and every rule found kept.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    measured: Measured,
}

/// A rule that counts break.
#[derive(Clone, Debug, PartialEq)]
pub enum Breach {
    /// More pieces of a kind than there are.
    Stock { kind: usize },
    /// A mount carries too much mass.
    Capacity { mount: usize, carries: Mass },
    /// A stack is too thick.
    Room {
        mount: usize,
        /// The stack.
        thickness: Length,
    },
    /// Too many pieces on a mount.
    Pieces { mount: usize },
    /// A mount has a kind that it does not take, or that a rule refuses.
    Kind { kind: usize, mount: usize },
    /// A locked mount was changed.
    Locked { mount: usize },
    /// An adjuster that may not be set for one driver alone was set otherwise than now.
    NotQuick { adjuster: usize },
    /// More lead than the rules allow.
    MostLead {
        /// All lead on the kart.
        lead: Mass,
    },
    /// Too light when the officials weigh it.
    TooLight {
        /// By how much.
        by: Mass,
    },
}

impl fmt::Display for Breach {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Breach::Stock { kind } => write!(f, "more pieces of kind {kind} than there are"),
            Breach::Capacity { mount, carries } => {
                write!(f, "mount {mount} carries {:.6} kg, more than it may", carries.kg())
            }
            Breach::Room { mount, thickness } => {
                write!(f, "the stack on mount {mount} is {:.3} mm thick, more than fits", thickness.mm())
            }
            Breach::Pieces { mount } => write!(f, "more pieces on mount {mount} than it may take"),
            Breach::Kind { kind, mount } => write!(f, "kind {kind} is refused on mount {mount}"),
            Breach::Locked { mount } => write!(f, "mount {mount} is locked and was changed"),
            Breach::NotQuick { adjuster } => {
                write!(f, "adjuster {adjuster} is not quick and was set otherwise than now")
            }
            Breach::MostLead { lead } => {
                write!(f, "{:.6} kg of lead is more than the rules allow", lead.kg())
            }
            Breach::TooLight { by } => write!(f, "{:.9} kg too light", by.kg()),
        }
    }
}

impl Residual {
    /// Measures a load, of whatever is aboard, against one target; `moment` only says when.
    pub fn new(scenario: &Scenario, target: usize, moment: Moment, load: &Load) -> Residual {
        let Target { figure, aim, .. } = scenario.targets()[target];
        let (distance_kg, half_width_kg) = distance(figure, aim, load);
        let outside_kg = distance_kg.abs() - half_width_kg;
        let miss_kg = if outside_kg <= 0.0 { 0.0 } else { outside_kg };
        Residual {
            target,
            figure,
            aim,
            moment,
            value: figure.read(&scenario.kart().chassis, &load.corners),
            distance_kg,
            miss_kg,
            on_target: miss_kg <= scenario.preferences().targets.kg() + JUDGE_TOLERANCE_KG,
        }
    }
}

impl Measured {
    /// Measures counts for a driver.
    pub fn new(scenario: &Scenario, driver: Option<usize>, counts: Counts) -> Measured {
        let states: Vec<StateLoad> = Moment::ALL
            .into_iter()
            .map(|moment| StateLoad { moment, load: weighing::state(scenario, driver, moment, &counts) })
            .collect();
        let mut residuals = Vec::new();
        let (mut outside_kg, mut close_kg) = (0.0, 0.0);
        for (index, target) in scenario.targets().iter().enumerate() {
            let first = residuals.len();
            for state in states.iter().filter(|state| target.when.includes(state.moment)) {
                residuals.push(Residual::new(scenario, index, state.moment, &state.load));
            }
            let here = &residuals[first..];
            outside_kg += target.weight * largest(here.iter().map(|residual| residual.miss_kg));
            close_kg += target.weight * largest(here.iter().map(|residual| residual.distance_kg.abs()));
        }
        let weighed_at = scenario.class().weighed_at;
        let total =
            states.iter().find(|state| state.moment == weighed_at).map_or(Mass::ZERO, |s| s.load.total);
        let work = work_between(scenario, scenario.fitted(), &counts);
        let worth = Worth { total, outside_kg, work, close_kg };
        Measured { driver, counts, states, residuals, worth }
    }

    /// The state in which the officials weigh, or any other.
    pub fn state(&self, moment: Moment) -> Option<&StateLoad> {
        self.states.iter().find(|state| state.moment == moment)
    }

    /// Whether every target is met in every state where it counts.
    pub fn all_on_target(&self) -> bool {
        self.residuals.iter().all(|residual| residual.on_target)
    }

    /// Lead on a mount.
    pub fn lead_on(&self, scenario: &Scenario, mount: usize) -> Mass {
        self.counts.on_mount(mount).map(|(kind, count)| scenario.lead()[kind].mass * count).sum()
    }

    /// The job list that leads here from what is fitted: off, then moves, then on; heaviest pieces first.
    pub fn jobs(&self, scenario: &Scenario) -> Vec<Job> {
        self.jobs_from(scenario, scenario.fitted())
    }

    /// The same from any other lead on the mounts.
    pub fn jobs_from(&self, scenario: &Scenario, fitted: &Counts) -> Vec<Job> {
        let mut jobs = Vec::new();
        let mut kinds: Vec<usize> = (0..scenario.lead().len()).collect();
        kinds.sort_by_key(|kind| std::cmp::Reverse(scenario.lead()[*kind].mass));
        for kind in kinds {
            let mut off = Vec::new();
            let mut on = Vec::new();
            for mount in 0..scenario.mounts().len() {
                let (before, after) = (fitted.get(kind, mount), self.counts.get(kind, mount));
                off.extend(std::iter::repeat_n(mount, before.saturating_sub(after) as usize));
                on.extend(std::iter::repeat_n(mount, after.saturating_sub(before) as usize));
            }
            let moved = off.len().min(on.len());
            let steps = std::iter::zip(&off, &on)
                .map(|(from, to)| Action::Move { from: *from, to: *to })
                .chain(off[moved..].iter().map(|from| Action::TakeOff { from: *from }))
                .chain(on[moved..].iter().map(|to| Action::PutOn { to: *to }));
            for action in steps {
                match jobs.last_mut() {
                    Some(Job { action: last, kind: same, count }) if *last == action && *same == kind => {
                        *count += 1;
                    }
                    _ => jobs.push(Job { action, kind, count: 1 }),
                }
            }
        }
        jobs.sort_by_key(|job| match job.action {
            Action::TakeOff { .. } => 0,
            Action::Move { .. } => 1,
            Action::PutOn { .. } => 2,
        });
        leave_before_entering(&mut jobs);
        jobs
    }

    /// The first rule that this kart breaks.
    pub fn breach(&self, scenario: &Scenario) -> Option<Breach> {
        let mut lead = Mass::ZERO;
        for (kind, piece) in scenario.lead().iter().enumerate() {
            if self.counts.of_kind(kind) > piece.count {
                return Some(Breach::Stock { kind });
            }
            lead += piece.mass * self.counts.of_kind(kind);
        }
        let rules = &scenario.class().rules;
        if rules.most_lead.is_some_and(|most| lead > most) {
            return Some(Breach::MostLead { lead });
        }
        let on_mounts = (0..scenario.mounts().len()).find_map(|mount| self.breach_on(scenario, mount));
        let short = inspection::required(scenario, self.driver) - self.worth.total;
        on_mounts.or((short > Mass::ZERO).then_some(Breach::TooLight { by: short }))
    }

    fn breach_on(&self, scenario: &Scenario, mount: usize) -> Option<Breach> {
        let place = &scenario.mounts()[mount];
        let here = || self.counts.on_mount(mount);
        let carries = self.lead_on(scenario, mount);
        let rules = &scenario.class().rules;
        if carries > place.may_carry(rules) {
            return Some(Breach::Capacity { mount, carries });
        }
        let stack_nm: i64 =
            here().map(|(kind, count)| scenario.lead()[kind].thickness.nm() * i64::from(count)).sum();
        if place.room.is_some_and(|room| stack_nm > room.nm()) {
            return Some(Breach::Room { mount, thickness: Length::from_mm(stack_nm as f64 / 1e6) });
        }
        let pieces: u32 = here().map(|(_, count)| count).sum();
        if place.most_pieces.is_some_and(|most| pieces > most) {
            return Some(Breach::Pieces { mount });
        }
        if place.access == Access::Locked {
            let changed = (0..scenario.lead().len())
                .any(|kind| self.counts.get(kind, mount) != scenario.fitted().get(kind, mount));
            return changed.then_some(Breach::Locked { mount });
        }
        let refused = here().find(|(kind, _)| {
            let piece = &scenario.lead()[*kind];
            !place.takes[*kind]
                || rules.largest_piece.is_some_and(|largest| piece.mass > largest)
                || rules.fewest_bolts_per_piece.is_some_and(|fewest| piece.bolts.unwrap_or(1) < fewest)
        });
        refused.map(|(kind, _)| Breach::Kind { kind, mount })
    }
}

impl Plan {
    /// Measures counts and lets them be a plan only if every rule is kept.
    pub fn judged(scenario: &Scenario, driver: Option<usize>, counts: Counts) -> Result<Plan, Breach> {
        let measured = Measured::new(scenario, driver, counts);
        match measured.breach(scenario) {
            Some(breach) => Err(breach),
            None => Ok(Plan { measured }),
        }
    }

    /// What was measured.
    pub fn measured(&self) -> &Measured {
        &self.measured
    }
}

/// Orders the moves so that a mount is left before it is entered; where moves go round in a circle, the heaviest goes first.
fn leave_before_entering(jobs: &mut [Job]) {
    let moves_of = |job: &Job| match job.action {
        Action::Move { from, to } => Some((from, to)),
        Action::TakeOff { .. } | Action::PutOn { .. } => None,
    };
    for first in 0..jobs.len() {
        let rest = &jobs[first..];
        let enters_a_free_mount = |job: &Job| {
            moves_of(job).is_some_and(|(_, to)| !rest.iter().filter_map(moves_of).any(|(from, _)| from == to))
        };
        if moves_of(&jobs[first]).is_some()
            && let Some(next) = rest.iter().position(enters_a_free_mount)
        {
            jobs[first..=first + next].rotate_right(1);
        }
    }
}

/// Signed distance from the aim and half-width of the tolerance in a state, both in kilograms.
///
/// A share f of the total W is compared as `F − f·W`, its tolerance as `tol·W`; a height h as the share h/L, L the wheelbase.
fn distance(figure: Figure, aim: Aim, load: &Load) -> (f64, f64) {
    let total_kg = load.total.kg();
    match aim {
        Aim::Percent { aim, within } => {
            (figure.kg(&load.corners) - aim / 100.0 * total_kg, within / 100.0 * total_kg)
        }
        Aim::Difference { aim, within } => (figure.kg(&load.corners) - aim.kg(), within.kg()),
        Aim::Height { aim, within, wheelbase } => {
            let share = |length: Length| length.mm() / wheelbase.mm() * total_kg;
            (figure.kg(&load.corners) - share(aim), share(within))
        }
    }
}

/// Changes of lead and of adjusters from one set-up to another.
pub fn work_between(scenario: &Scenario, before: &Counts, after: &Counts) -> u32 {
    let adjusters = scenario.adjusters().iter().enumerate();
    let settings = adjusters.map(|(index, adjuster)| {
        adjuster.changes(before.setting(index, adjuster.now), after.setting(index, adjuster.now))
    });
    before.changes_to(after) + settings.sum::<u32>()
}

/// The largest of the numbers, zero for none; a number that is not finite is never lost, as it would be with `f64::max`.
fn largest(numbers: impl Iterator<Item = f64>) -> f64 {
    numbers.max_by(f64::total_cmp).unwrap_or(0.0)
}
