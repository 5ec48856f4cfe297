//! What `swap` has found: the base, what is done at every change of driver, and how each driver comes out.

use schemars::JsonSchema;
use serde::Serialize;

use super::Status;
use super::assumed::{Borrowed, borrowed};
use super::help::{Eased, Help, eased, remedies};
use super::kart::Kart;
use super::margin::{Margin, Required};
use super::plan::GoalFound;
use super::shortfall::Shortfall;
use super::team_help::{Cost, TeamHelp};
use super::work::{self, Change, MountLoad, Placement, Setting, changes, placements_by_mount, settings};
use crate::assess::in_the_way::misses;
use crate::assess::team::{self, needs, nothing_is_quick};
use crate::counts::Counts;
use crate::plan::{Measured, Plan, work_between};
use crate::quantity::{Exact, Kg, Minutes, minutes};
use crate::scenario::Scenario;
use crate::solve::{Disagreement, Patience};
use crate::tasks;
use crate::tasks::swap::{Answer, Swap as Found};
use crate::tasks::team_help::{TeamHelps, team_would_help};
use crate::units::Mass;

/// Everything that `swap` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Swap {
    /// How it ended.
    #[serde(skip)]
    pub status: Status,
    /// The kart's name.
    pub kart: String,
    /// The class's name.
    pub class: String,
    /// Who drives each stint.
    pub order: Vec<String>,
    /// Whether there is a set-up that is legal for everybody.
    pub legal: bool,
    /// Whether every target is met for everybody.
    pub on_target: bool,
    /// What the officials want.
    pub wanted: Required,
    /// The set-up, if there is one.
    #[serde(flatten)]
    pub setup: Option<Box<Setup>>,
    /// What one driver costs the others, and what else should be known; one sentence each.
    pub remarks: Vec<String>,
    /// Drivers known only by what they weigh.
    pub estimated_places: Vec<Borrowed>,
    /// Who cannot be legal even alone, if that is why there is no set-up.
    pub not_even_alone: Option<String>,
    /// By how much, and why.
    pub shortfall: Option<Shortfall>,
    /// Who costs the others what; nothing where nothing is amiss.
    pub costs: Vec<Cost>,
    /// What would help, best first; none where nobody looked.
    pub would_help: Option<Vec<TeamHelp>>,
    /// Where somebody cannot be legal even alone: what would cure that.
    pub would_cure: Option<Vec<Help>>,
    /// What was not solved to the end, so that nothing is said of it.
    pub unsettled: Vec<Eased>,
}

/// A set-up for all drivers.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Setup {
    /// What was proved of every goal, in order.
    pub goals: Vec<GoalFound>,
    /// One entry per driver, in the order of their first stint.
    pub drivers: Vec<Driver>,
    /// What stays bolted for everybody.
    pub base: Vec<Placement>,
    /// From what is fitted now to the first stint.
    pub preparation: Handover,
    /// Every change of driver in order.
    pub stops: Vec<Stop>,
    /// Over all stops.
    pub changes: u32,
    /// Over all stops, if the file says how long each takes.
    pub time: Option<Exact<Minutes>>,
    /// The same order with every driver's plan made alone.
    pub planned_alone: Alone,
    /// Varying parts that were tried.
    pub nodes: u64,
}

/// One driver on the set-up.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Driver {
    /// Name.
    pub driver: String,
    /// The kart on the set-up.
    #[serde(flatten)]
    pub kart: Kart,
    /// How it stands to what the officials want of this driver.
    pub margin: Margin,
    /// Above the lightest legal total of this driver alone.
    pub above_own_minimum: Exact<Kg>,
    /// Whether every target is met.
    pub on_target: bool,
    /// What is on which mount.
    pub placements: Vec<Placement>,
    /// Lead on every mount, in file order.
    pub mounts: Vec<MountLoad>,
    /// How every adjuster is set, from how it is set now.
    pub adjusters: Vec<Setting>,
    /// Targets that are missed, one sentence each.
    pub missed: Vec<String>,
    /// The kart as the driver's first stint finds it.
    pub before: Kart,
    /// Whether that is what another driver leaves on it.
    pub relieves: bool,
}

/// What is done from one set-up to another.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Handover {
    /// Changes that this makes.
    pub changes: u32,
    /// Time that it takes, if the file says how long each change does.
    pub time: Option<Exact<Minutes>>,
    /// What is set otherwise; it comes before the lead.
    pub adjusters: Vec<Setting>,
    /// What is done with lead, in order.
    pub jobs: Vec<Change>,
}

/// One change of driver.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Stop {
    /// Who gets out.
    pub from: String,
    /// Who gets in.
    pub to: String,
    /// What is done.
    #[serde(flatten)]
    pub handover: Handover,
}

/// What the order would take if each driver's plan were made alone.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Alone {
    /// Over all stops.
    pub changes: u32,
    /// Stops that could not be made without tools.
    pub stops_with_tools: usize,
    /// All stops.
    pub stops: usize,
}

impl Swap {
    /// From what the task has found; `order` as it was asked for.
    pub fn new(scenario: &Scenario, order: &[usize], answer: &Answer) -> Swap {
        let name = |driver: usize| scenario.drivers()[driver].name.clone();
        let (mut setup, mut alone, mut shortfall, mut remarks) = (None, None, None, Vec::new());
        let status = match answer {
            Answer::Setup(found) => {
                setup = Some(Box::new(Setup::new(scenario, found)));
                remarks = team::remarks(scenario, found);
                if found.is_best_possible() { Status::BestPossible } else { Status::NotProvedBest }
            }
            Answer::NotEvenAlone { driver, shortfall: found } => {
                alone = Some(*driver);
                shortfall = Some(Shortfall::new(scenario, alone, found));
                Status::NoLegalPlan
            }
            Answer::NoCommonBase(found) => {
                remarks.push("each driver alone can be legal, but no base serves all of them".to_owned());
                remarks.extend(needs(scenario, &found.drivers));
                remarks.extend(nothing_is_quick(scenario));
                Status::NoLegalPlan
            }
            Answer::OutOfTime => Status::OutOfTime,
        };
        Swap {
            status,
            kart: scenario.kart().name.clone(),
            class: scenario.class().name.clone(),
            order: order.iter().map(|driver| name(*driver)).collect(),
            legal: setup.is_some(),
            on_target: setup.as_deref().is_some_and(Setup::all_on_target),
            // Where one driver stands in the way it is his margin that counts; else the first one's stands for all.
            wanted: Required::new(scenario, alone.or(order.first().copied())),
            setup,
            remarks,
            estimated_places: borrowed(scenario, |driver| order.contains(&driver)),
            not_even_alone: alone.map(name),
            shortfall,
            costs: Vec::new(),
            would_help: None,
            would_cure: None,
            unsettled: Vec::new(),
        }
    }
}

impl Setup {
    fn all_on_target(&self) -> bool {
        self.drivers.iter().all(|driver| driver.on_target)
    }

    fn new(scenario: &Scenario, swap: &Found) -> Setup {
        let name = |driver: usize| scenario.drivers()[driver].name.clone();
        let measured: Vec<&Measured> = swap.plans.iter().map(Plan::measured).collect();
        let stops = swap
            .order
            .windows(2)
            .filter_map(|pair| Some((pair, swap.plan_of(pair[0])?, swap.plan_of(pair[1])?)))
            .map(|(pair, before, after)| Stop {
                from: name(pair[0]),
                to: name(pair[1]),
                handover: Handover::new(scenario, &before.measured().counts, after.measured()),
            });
        let stops: Vec<Stop> = stops.collect();
        let drivers = swap.own_ng.iter().zip(&measured).map(|(own_ng, measured)| {
            let relieved = measured.driver.and_then(|driver| swap.relieves(driver));
            let before = relieved.map_or(scenario.fitted(), |plan| &plan.measured().counts);
            Driver::new(scenario, before, measured, Mass::from_ng(*own_ng), relieved.is_some())
        });
        let time = stops.iter().map(|stop| stop.handover.time.map(|time| time.value)).sum::<Option<f64>>();
        Setup {
            goals: swap.goals.iter().map(GoalFound::new).collect(),
            drivers: drivers.collect(),
            base: placements_by_mount(scenario, &common(&measured)),
            preparation: Handover::new(scenario, scenario.fitted(), measured[0]),
            changes: stops.iter().map(|stop| stop.handover.changes).sum(),
            time: time.map(minutes),
            stops,
            planned_alone: Alone::new(scenario, swap),
            nodes: swap.leaves,
        }
    }
}

fn driver_name(scenario: &Scenario, measured: &Measured) -> String {
    measured.driver.map_or_else(String::new, |driver| scenario.drivers()[driver].name.clone())
}

impl Driver {
    fn new(scenario: &Scenario, before: &Counts, measured: &Measured, own: Mass, relieves: bool) -> Driver {
        let total = measured.worth.total;
        Driver {
            driver: driver_name(scenario, measured),
            kart: Kart::new(scenario, measured),
            margin: Margin::new(scenario, measured.driver, &measured.counts, total),
            above_own_minimum: (total - own).into(),
            on_target: measured.all_on_target(),
            placements: placements_by_mount(scenario, &measured.counts),
            mounts: work::mounts(scenario, measured),
            adjusters: settings(scenario, scenario.fitted(), measured),
            missed: misses(measured),
            before: Kart::new(scenario, &Measured::new(scenario, measured.driver, before.clone())),
            relieves,
        }
    }
}

impl Handover {
    fn new(scenario: &Scenario, before: &Counts, after: &Measured) -> Handover {
        // A judged plan agrees with what is locked and with the stock, so that it can be what is fitted.
        let refitted = scenario.with_fitted(before);
        let refitted = refitted.as_ref().unwrap_or(scenario);
        let jobs = changes(refitted, refitted.fitted(), after);
        let mut adjusters = settings(scenario, before, after);
        adjusters.retain(Setting::is_job);
        let lead: u32 = jobs.iter().map(|job| job.count).sum();
        let each = jobs.iter().map(|job| job.time.value);
        let all: f64 = each.chain(adjusters.iter().map(|setting| setting.time.value)).sum();
        let time = scenario.pit().minutes.map(|_| minutes(all));
        Handover {
            changes: lead + adjusters.iter().map(|setting| setting.changes).sum::<u32>(),
            time,
            adjusters,
            jobs,
        }
    }
}

impl Alone {
    fn new(scenario: &Scenario, swap: &Found) -> Alone {
        let counts = |driver: usize| {
            let position = swap.drivers.iter().position(|known| *known == driver);
            position.map(|position| &swap.alone[position].plan.measured().counts)
        };
        let pairs: Vec<(&Counts, &Counts)> =
            swap.order.windows(2).filter_map(|pair| Some((counts(pair[0])?, counts(pair[1])?))).collect();
        let needs_tools = |(before, after): &&(&Counts, &Counts)| {
            (0..scenario.lead().len()).any(|kind| {
                (0..scenario.mounts().len()).any(|mount| {
                    let quick = scenario.mounts()[mount].quick && scenario.lead()[kind].quick;
                    !quick && before.get(kind, mount) != after.get(kind, mount)
                })
            })
        };
        Alone {
            changes: pairs.iter().map(|(before, after)| work_between(scenario, before, after)).sum(),
            stops_with_tools: pairs.iter().filter(needs_tools).count(),
            stops: pairs.len(),
        }
    }
}

/// What all drivers have in common.
pub(crate) fn common(measured: &[&Measured]) -> Counts {
    let first = &measured[0].counts;
    let mut common = Counts::none(first.kinds(), first.mounts());
    for kind in 0..first.kinds() {
        for mount in 0..first.mounts() {
            let least = measured.iter().map(|one| one.counts.get(kind, mount)).min().unwrap_or(0);
            *common.get_mut(kind, mount) = least;
        }
    }
    common
}

/// A set-up with what would help it, or its absence with what would cure that.
pub fn explained(
    scenario: &Scenario,
    order: &[usize],
    patience: Patience,
) -> Result<(Swap, Answer), Disagreement> {
    let found = tasks::swap::swap(scenario, order, patience)?;
    let helps = team_would_help(scenario, order, &found, patience.silent())?;
    let mut swap = Swap::new(scenario, order, &found);
    if let Some(helps) = &helps {
        add_help(&mut swap, scenario, helps);
    }
    Ok((swap, found))
}

fn add_help(swap: &mut Swap, scenario: &Scenario, helps: &TeamHelps) {
    swap.costs = helps.costs.iter().map(|cost| Cost::new(scenario, cost)).collect();
    swap.would_help = Some(helps.worth.iter().map(|help| TeamHelp::new(scenario, help)).collect());
    swap.would_cure = helps.alone.as_ref().map(|cures| remedies(scenario, cures));
    let alone = helps.alone.iter().flat_map(|cures| eased(scenario, &cures.unsettled));
    swap.unsettled = eased(scenario, &helps.unsettled).into_iter().chain(alone).collect();
}
