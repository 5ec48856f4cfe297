//! What `plan` has to show: jobs, targets, corners, lead per mount, what was proved; or why there is no plan.
//! Takes the scenario, the driver and the answer of the solve; gives a view, rounded and in the units of the
//! screen.
//! Does not lay anything out.

use super::alternatives::AlternativeLines;
use super::amount::{Screen, Weight, rounded_kg};
use super::borrowed::{BorrowedLine, borrowed_lines};
use super::changes::{JobLine, Placement, job_lines, placements};
use super::help::{BindingLine, HelpLines, binding_lines};
use super::hurdle;
use super::margin::{Passing, Required};
use super::setting::{SettingLine, setting_lines};
use super::shortfall::ShortfallLines;
use super::state::{KartLines, Known};
use super::sure::{self, SureKart};
use super::target::{TargetLines, number, target_lines};
use super::warp::is_for_warp;
use crate::doubts;
use crate::goal::Goal;
use crate::inspection;
use crate::plan::Measured;
use crate::scenario::{Access, Figure, Scenario};
use crate::solve::{Answer, GoalResult, Proof, Solved};
use crate::tasks::binding::is_full;
use crate::uncertainty::inputs;
use crate::uncertainty::kart::UnsureKart;
use crate::units::Mass;

/// How a plan stands, in the same words on the screen and in documents.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// Every goal is proved to its resolution.
    BestPossible,
    /// Legal, but the search was stopped before everything was proved.
    NotProvedBest,
    /// Proved: there is none.
    NoLegalPlan,
    /// Stopped before anything was found.
    OutOfTime,
}

impl Status {
    /// The words for it.
    pub const fn words(self) -> &'static str {
        match self {
            Status::BestPossible => "best possible",
            Status::NotProvedBest => "good, not proved best",
            Status::NoLegalPlan => "no legal plan",
            Status::OutOfTime => "out of time",
        }
    }
}

/// Everything that `plan` shows.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanView {
    /// Units of the screen.
    pub screen: Screen,
    /// How it ended.
    pub status: Status,
    /// Who drives; none for a kart without driver.
    pub driver: Option<String>,
    /// The kart's name.
    pub kart: String,
    /// The class's name.
    pub class: String,
    /// What the officials want.
    pub required: Required,
    /// The driver, if his place was taken from another.
    pub borrowed: Vec<BorrowedLine>,
    /// The plan, or why there is none.
    pub outcome: Outcome,
    /// What would help the plan, or cure a scenario without one; none if nobody looked.
    pub help: Option<HelpLines>,
    /// Plans of another kind; none if nobody asked.
    pub alternatives: Option<AlternativeLines>,
}

/// How it ended, with everything there is to show.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// A legal plan.
    Plan(Box<PlanLines>),
    /// There is none.
    NoLegalPlan(Box<ShortfallLines>),
    /// Not known in this time.
    OutOfTime,
}

/// A legal plan.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanLines {
    /// The kart with what is fitted now.
    pub now: KartLines,
    /// The kart with the plan.
    pub planned: KartLines,
    /// Above minimum and margin.
    pub above_required: Weight,
    /// Chance to pass, and its budget.
    pub passing: Passing,
    /// All adjusters; those to be set come before the lead.
    pub settings: Vec<SettingLine>,
    /// What is done with lead, in order.
    pub jobs: Vec<JobLine>,
    /// Targets before and after.
    pub targets: Vec<TargetLines>,
    /// Shares that nobody set a target for, as the officials weigh.
    pub untargeted: Vec<Untargeted>,
    /// What every ± rests on without anybody having said it, one sentence each.
    pub assumptions: Vec<String>,
    /// Lead on every mount.
    pub mounts: Vec<MountLine>,
    /// What is on which mount.
    pub placements: Vec<Placement>,
    /// What was proved of every goal, in order.
    pub goals: Vec<GoalLine>,
    /// What could be reached if lead could be cut to any size.
    pub divisible: Option<DivisibleLine>,
    /// Targets that are missed, largest miss first, one sentence each.
    pub misses: Vec<String>,
    /// What stands in the way of the missed targets, one sentence each.
    pub in_the_way: Vec<String>,
    /// Everything that binds the plan, whether or not a target is missed.
    pub binds: Vec<BindingLine>,
    /// Whether a spacer is named among them.
    pub speaks_of_spacers: bool,
    /// Nodes that the search visited.
    pub nodes: u64,
}

/// A share without a target, as read on the screen: now and planned, each with its ±.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Untargeted {
    /// Which share.
    pub figure: Figure,
    /// With what is fitted now.
    pub now: [String; 2],
    /// With the plan.
    pub planned: [String; 2],
}

/// Lead on one mount.
#[derive(Clone, Debug, PartialEq)]
pub struct MountLine {
    /// Its name.
    pub name: String,
    /// What it carries.
    pub carries: Weight,
    /// What it may carry.
    pub capacity: Weight,
    /// Whether something keeps more lead away.
    pub state: MountState,
}

/// What keeps more lead off a mount.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MountState {
    /// Nothing, or nothing is left to put there.
    Open,
    /// No piece that is left fits.
    Full,
    /// The user has locked it.
    Locked,
}

/// What is known of one goal; numbers in kg, or changes for `work`.
#[derive(Clone, Debug, PartialEq)]
pub struct GoalLine {
    /// The goal.
    pub goal: Goal,
    /// Its value when it was solved.
    pub value: f64,
    /// Under the earlier holds nothing is smaller.
    pub bound: f64,
    /// What later goals kept to.
    pub held_at: f64,
    /// Value and bound may be this far apart.
    pub resolution: f64,
    /// Whether they were proved to be.
    pub proved: Proof,
    /// `0.12 kg outside the bands`: by how much, at most, it can be beaten.
    pub gap: String,
}

/// What could be reached if lead could be cut to any size.
#[derive(Clone, Debug, PartialEq)]
pub struct DivisibleLine {
    /// Outside the bands, and the same with the pieces there are.
    pub band: (Weight, Weight),
    /// From the aims, and the same with the pieces there are.
    pub close: (Weight, Weight),
    /// A target whose miss is no larger counts as met.
    pub counts_as_met: Weight,
    /// Lead on every mount, in file order.
    pub lead: Vec<(String, Weight)>,
}

impl PlanView {
    /// From what a solve has found.
    pub fn new(screen: Screen, scenario: &Scenario, driver: Option<usize>, answer: &Answer) -> PlanView {
        let (status, outcome) = match answer {
            Answer::Plan(solved) => {
                let best = solved.is_best_possible();
                let status = if best { Status::BestPossible } else { Status::NotProvedBest };
                (status, Outcome::Plan(Box::new(PlanLines::new(screen, scenario, driver, solved))))
            }
            Answer::NoLegalPlan(shortfall) => {
                let lines = ShortfallLines::new(screen, scenario, driver, shortfall);
                (Status::NoLegalPlan, Outcome::NoLegalPlan(Box::new(lines)))
            }
            Answer::OutOfTime => (Status::OutOfTime, Outcome::OutOfTime),
        };
        PlanView {
            screen,
            status,
            driver: driver.map(|index| scenario.drivers()[index].name.clone()),
            kart: scenario.kart().name.clone(),
            class: scenario.class().name.clone(),
            required: Required::new(screen, scenario, driver),
            borrowed: borrowed_lines(screen, scenario, |index| driver == Some(index)),
            outcome,
            help: None,
            alternatives: None,
        }
    }

    /// The same with what would help or cure.
    #[must_use]
    pub fn with_help(self, help: HelpLines) -> PlanView {
        PlanView { help: Some(help), ..self }
    }

    /// The same with alternatives.
    #[must_use]
    pub fn with_alternatives(self, alternatives: AlternativeLines) -> PlanView {
        PlanView { alternatives: Some(alternatives), ..self }
    }

    /// Whether there is a plan and every target is in its band.
    pub fn all_in_band(&self) -> bool {
        matches!(&self.outcome, Outcome::Plan(lines) if lines.misses.is_empty())
    }
}

impl PlanLines {
    fn new(screen: Screen, scenario: &Scenario, driver: Option<usize>, solved: &Solved) -> PlanLines {
        let after = solved.plan.measured();
        let before = Measured::new(scenario, driver, scenario.fitted().clone());
        let worth = &after.worth;
        let (now, planned) = (Known::new(scenario, &before), Known::new(scenario, after));
        let weighed_at = scenario.class().weighed_at;
        let divisible = solved.divisible(scenario);
        let in_the_way = hurdle::in_the_way(screen, scenario, solved, divisible.as_ref());
        let divisible = divisible.map(|divisible| DivisibleLine {
            band: (screen.plain(divisible.band_kg), screen.plain(worth.band_kg)),
            close: (screen.plain(divisible.close_kg), screen.plain(worth.close_kg)),
            counts_as_met: screen.plain(scenario.preferences().band.kg()),
            lead: std::iter::zip(scenario.mounts(), &divisible.lead_kg)
                .map(|(mount, kg)| (mount.name.clone(), screen.column(*kg)))
                .collect(),
        });
        PlanLines {
            now: now.lines(screen, weighed_at),
            planned: planned.lines(screen, weighed_at),
            above_required: screen.plain((worth.total - inspection::required(scenario, driver)).kg()),
            passing: Passing::new(screen, scenario, driver, &after.counts, worth.total),
            settings: setting_lines(scenario, after),
            jobs: job_lines(screen, scenario, after),
            targets: target_lines(screen, scenario, &now, &planned),
            untargeted: untargeted(screen, scenario, &now, &planned),
            assumptions: assumptions(screen, scenario, driver),
            mounts: mount_lines(screen, scenario, after),
            placements: placements(screen, scenario, &after.counts),
            goals: solved.goals.iter().map(|result| GoalLine::new(screen, result)).collect(),
            divisible,
            misses: hurdle::misses(screen, after),
            in_the_way,
            binds: binding_lines(scenario, solved),
            speaks_of_spacers: hurdle::worst_states(after).iter().any(|missed| is_for_warp(missed.figure)),
            nodes: solved.nodes,
        }
    }
}

/// Front, left and cross tell where a kart stands; those without a target are shown all the same.
fn untargeted(screen: Screen, scenario: &Scenario, now: &Known, planned: &Known) -> Vec<Untargeted> {
    let targeted = |figure: Figure| {
        scenario.targets().iter().any(|target| {
            target.figure == figure || (figure == Figure::Front && target.figure == Figure::Rear)
        })
    };
    let moment = scenario.class().weighed_at;
    let Some((now, planned)) = now.at(moment).zip(planned.at(moment)) else { return Vec::new() };
    let shares = [Figure::Front, Figure::Left, Figure::Cross].into_iter().filter(|figure| !targeted(*figure));
    let sure = [now, planned].map(|kart| SureKart::new(screen, kart));
    shares
        .map(|figure| {
            let shown = |kart: &UnsureKart, sure: &SureKart| {
                let value = figure.of(&kart.centre.corners);
                [number(screen, figure, value), sure.of(figure).to_owned()]
            };
            Untargeted { figure, now: shown(now, &sure[0]), planned: shown(planned, &sure[1]) }
        })
        .collect()
}

/// What every ± of a plan rests on without anybody having said it.
fn assumptions(screen: Screen, scenario: &Scenario, driver: Option<usize>) -> Vec<String> {
    let taken = &inputs::weighing_of(scenario, driver).taken;
    let pads = sure::assumed_pads(screen, scenario.pads(), taken.floor.is_some(), taken.spread.is_some());
    let doubts = if doubts::concern(scenario, driver) { doubts::of(scenario).len() } else { 0 };
    let doubted = match doubts {
        0 => None,
        1 => Some("the weighing looks odd in 1 way: `kentledge weigh` tells".to_owned()),
        several => Some(format!("the weighing looks odd in {several} ways: `kentledge weigh` tells")),
    };
    doubted
        .into_iter()
        .chain(pads)
        .chain(sure::assumed_elsewhere(screen, scenario.within(), scenario.inspection()))
        .collect()
}

fn mount_lines(screen: Screen, scenario: &Scenario, measured: &Measured) -> Vec<MountLine> {
    let lines = scenario.mounts().iter().enumerate().map(|(index, mount)| {
        let capacity = mount.may_carry(&scenario.class().rules);
        let state = match mount.access {
            Access::Locked => MountState::Locked,
            Access::Open if is_full(scenario, measured, index) => MountState::Full,
            Access::Open => MountState::Open,
        };
        MountLine {
            name: mount.name.clone(),
            carries: screen.column(measured.lead_on(scenario, index).kg()),
            capacity: screen.given(capacity),
            state,
        }
    });
    lines.collect()
}

impl GoalLine {
    pub(super) fn new(screen: Screen, result: &GoalResult) -> GoalLine {
        let GoalResult { goal, value, bound, held_at, resolution, proved, .. } = *result;
        let number = |ng: i64| match goal {
            Goal::Work => ng as f64,
            _ => rounded_kg(Mass::from_ng(ng).kg()),
        };
        let apart = screen.plain(Mass::from_ng(value - bound).kg());
        let gap = match (goal, value - bound) {
            (Goal::Legal | Goal::Light, _) => format!("{apart} of total weight"),
            (Goal::Band, _) => format!("{apart} outside the bands"),
            (Goal::Close, _) => format!("{apart} from the aims"),
            (Goal::Work, 1) => "1 change".to_owned(),
            (Goal::Work, changes) => format!("{changes} changes"),
        };
        GoalLine {
            goal,
            value: number(value),
            bound: number(bound),
            held_at: number(held_at),
            resolution: number(resolution),
            proved,
            gap,
        }
    }
}
