//! What `swap` has to show: the base, the job list of every change of driver, and how each driver comes out.
//! Takes the scenario and the answer of the task; gives a view, rounded and in the units of the screen.
//! Does not lay anything out and does not solve.

use super::amount::{Screen, Weight};
use super::borrowed::{BorrowedLine, borrowed_lines};
use super::changes::{JobLine, Placement, job_lines};
use super::hurdle;
use super::margin::{Passing, Required};
use super::plan::{GoalLine, Status};
use super::setting::{SettingLine, SettingsLine, setting_lines_from, settings_lines};
use super::shortfall::ShortfallLines;
use super::state::{KartLines, Known};
use super::target::{TargetLines, target_lines};
use super::team_help::TeamHelpLines;
use crate::counts::Counts;
use crate::inspection;
use crate::plan::{Action, Job, Measured, Plan};
use crate::scenario::{Access, Minutes, Scenario};
use crate::tasks::swap::{Answer, Swap};
use crate::units::Mass;

/// Everything that `swap` shows.
#[derive(Clone, Debug, PartialEq)]
pub struct SwapView {
    /// Units of the screen.
    pub screen: Screen,
    /// How it ended.
    pub status: Status,
    /// The kart's name.
    pub kart: String,
    /// The class's name.
    pub class: String,
    /// What the officials want.
    pub required: Required,
    /// Who drives each stint.
    pub order: Vec<String>,
    /// Drivers whose place was taken from another.
    pub borrowed: Vec<BorrowedLine>,
    /// The set-up, or why there is none.
    pub outcome: SwapOutcome,
    /// Who costs the others what, and what would help; none where nothing is amiss.
    pub help: Option<TeamHelpLines>,
}

/// How it ended, with everything there is to show.
#[derive(Clone, Debug, PartialEq)]
pub enum SwapOutcome {
    /// A set-up that is legal for everybody.
    Setup(Box<SetupLines>),
    /// One driver cannot be legal even alone.
    NotEvenAlone {
        /// Who.
        driver: String,
        /// By how much, and why.
        shortfall: Box<ShortfallLines>,
    },
    /// Everybody can be legal alone, but no base serves all.
    NoCommonBase {
        /// What is known of it, one sentence each.
        reasons: Vec<String>,
    },
    /// Not known in this time.
    OutOfTime,
}

/// A set-up for all drivers.
#[derive(Clone, Debug, PartialEq)]
pub struct SetupLines {
    /// One entry per driver, in the order of their first stint.
    pub drivers: Vec<DriverLines>,
    /// Every mount by every driver.
    pub mounts: Vec<MatrixLine>,
    /// Every adjuster by every driver; none if none of them may differ.
    pub adjusters: Vec<SettingsLine>,
    /// What stays for everybody.
    pub base: Vec<Placement>,
    /// From what is fitted now to the first stint.
    pub preparation: HandoverLines,
    /// Every change of driver in order.
    pub stops: Vec<StopLines>,
    /// Changes over all stops.
    pub changes: u32,
    /// Minutes over all stops, if the file says how long each takes.
    pub minutes: Option<f64>,
    /// The same order with every driver's plan made alone.
    pub alone: AloneLines,
    /// What was proved of every goal, in order.
    pub goals: Vec<GoalLine>,
    /// What one driver costs the others, and what else should be known; one sentence each.
    pub remarks: Vec<String>,
    /// Varying parts that were tried.
    pub tried: u64,
}

/// One driver on the set-up.
#[derive(Clone, Debug, PartialEq)]
pub struct DriverLines {
    /// Name.
    pub name: String,
    /// The kart on the set-up.
    pub planned: KartLines,
    /// Above minimum and margin.
    pub above_required: Weight,
    /// What the officials want of this driver.
    pub required: Required,
    /// The chance to pass.
    pub passing: Passing,
    /// Above the lightest legal total of this driver alone.
    pub above_own: Weight,
    /// The kart with what the first stint begins with.
    pub before: KartLines,
    /// Targets with what the first stint begins with and on the set-up.
    pub targets: Vec<TargetLines>,
    /// What is on which mount.
    pub placements: Vec<Placement>,
    /// Targets that are missed, one sentence each.
    pub misses: Vec<String>,
}

/// One mount: what it carries under every driver.
#[derive(Clone, Debug, PartialEq)]
pub struct MatrixLine {
    /// The mount.
    pub mount: String,
    /// Whether it may be changed in a stop.
    pub quick: bool,
    /// What is on it, by driver.
    pub carries: Vec<Weight>,
    /// Its pieces, by driver: `slab + 2 puck`.
    pub pieces: Vec<String>,
}

/// Jobs from one set-up to another.
#[derive(Clone, Debug, PartialEq)]
pub struct HandoverLines {
    /// What is set otherwise; it comes before the lead.
    pub settings: Vec<SettingLine>,
    /// What is done, in order.
    pub jobs: Vec<JobLine>,
    /// Changes that this makes.
    pub changes: u32,
    /// Minutes, if the file says how long each takes.
    pub minutes: Option<f64>,
}

/// One change of driver.
#[derive(Clone, Debug, PartialEq)]
pub struct StopLines {
    /// Who gets out.
    pub from: String,
    /// Who gets in.
    pub to: String,
    /// What is done.
    pub handover: HandoverLines,
}

/// What the order would take if each driver's plan were made alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AloneLines {
    /// Changes over all stops.
    pub changes: u32,
    /// Stops that could not be made without tools.
    pub stops_with_tools: usize,
    /// All stops.
    pub stops: usize,
}

impl SwapView {
    /// From what the task has found; `order` as it was asked for.
    pub fn new(screen: Screen, scenario: &Scenario, order: &[usize], answer: &Answer) -> SwapView {
        let name = |driver: usize| scenario.drivers()[driver].name.clone();
        let (status, outcome) = match answer {
            Answer::Setup(swap) => {
                let best = swap.is_best_possible();
                let status = if best { Status::BestPossible } else { Status::NotProvedBest };
                (status, SwapOutcome::Setup(Box::new(SetupLines::new(screen, scenario, swap))))
            }
            Answer::NotEvenAlone { driver, shortfall } => {
                let lines = ShortfallLines::new(screen, scenario, Some(*driver), shortfall);
                let outcome = SwapOutcome::NotEvenAlone { driver: name(*driver), shortfall: Box::new(lines) };
                (Status::NoLegalPlan, outcome)
            }
            Answer::NoCommonBase(found) => {
                let mut reasons =
                    vec!["each driver alone can be legal, but no base serves all of them".to_owned()];
                reasons.extend(needs(screen, scenario, &found.drivers));
                reasons.extend(nothing_is_quick(scenario));
                (Status::NoLegalPlan, SwapOutcome::NoCommonBase { reasons })
            }
            Answer::OutOfTime => (Status::OutOfTime, SwapOutcome::OutOfTime),
        };
        // Where one driver stands in the way it is his margin that counts; else the first one's stands for all.
        let concerned = match answer {
            Answer::NotEvenAlone { driver, .. } => Some(*driver),
            _ => order.first().copied(),
        };
        SwapView {
            screen,
            status,
            kart: scenario.kart().name.clone(),
            class: scenario.class().name.clone(),
            required: Required::new(screen, scenario, concerned),
            order: order.iter().map(|driver| name(*driver)).collect(),
            borrowed: borrowed_lines(screen, scenario, |driver| order.contains(&driver)),
            outcome,
            help: None,
        }
    }

    /// The same with who costs what, and what would help.
    #[must_use]
    pub fn with_help(self, help: Option<TeamHelpLines>) -> SwapView {
        SwapView { help, ..self }
    }

    /// Whether there is a set-up and every target is met for everybody.
    pub fn all_in_band(&self) -> bool {
        matches!(&self.outcome, SwapOutcome::Setup(lines)
            if lines.drivers.iter().all(|driver| driver.misses.is_empty()))
    }
}

impl SetupLines {
    fn new(screen: Screen, scenario: &Scenario, swap: &Swap) -> SetupLines {
        let measured: Vec<&Measured> = swap.plans.iter().map(Plan::measured).collect();
        let stops: Vec<StopLines> = swap
            .order
            .windows(2)
            .filter_map(|pair| Some((pair, swap.plan_of(pair[0])?, swap.plan_of(pair[1])?)))
            .map(|(pair, before, after)| StopLines {
                from: scenario.drivers()[pair[0]].name.clone(),
                to: scenario.drivers()[pair[1]].name.clone(),
                handover: HandoverLines::new(
                    screen,
                    scenario,
                    &before.measured().counts,
                    after.measured(),
                    true,
                ),
            })
            .collect();
        let minutes = stops.iter().map(|stop| stop.handover.minutes).sum::<Option<f64>>();
        SetupLines {
            drivers: swap
                .own_ng
                .iter()
                .zip(&measured)
                .map(|(own_ng, measured)| {
                    let relieved = measured.driver.and_then(|driver| swap.relieves(driver));
                    let before = relieved.map_or(scenario.fitted(), |plan| &plan.measured().counts);
                    DriverLines::new(screen, scenario, before, measured, Mass::from_ng(*own_ng))
                })
                .collect(),
            mounts: matrix(screen, scenario, &measured),
            adjusters: settings_lines(scenario, &measured),
            base: placements(screen, scenario, &common(&measured)),
            preparation: HandoverLines::new(screen, scenario, scenario.fitted(), measured[0], false),
            changes: stops.iter().map(|stop| stop.handover.changes).sum(),
            minutes,
            stops,
            alone: AloneLines::new(scenario, swap),
            goals: swap.goals.iter().map(|result| GoalLine::new(screen, result)).collect(),
            remarks: remarks(screen, scenario, swap),
            tried: swap.leaves,
        }
    }
}

impl DriverLines {
    fn new(
        screen: Screen,
        scenario: &Scenario,
        before: &Counts,
        measured: &Measured,
        own: Mass,
    ) -> DriverLines {
        let before = Measured::new(scenario, measured.driver, before.clone());
        let total = measured.worth.total;
        let weighed_at = scenario.class().weighed_at;
        let (then, planned) = (Known::new(scenario, &before), Known::new(scenario, measured));
        DriverLines {
            name: measured.driver.map_or_else(String::new, |driver| scenario.drivers()[driver].name.clone()),
            planned: planned.lines(screen, weighed_at),
            before: then.lines(screen, weighed_at),
            required: Required::new(screen, scenario, measured.driver),
            above_required: screen.plain((total - inspection::required(scenario, measured.driver)).kg()),
            passing: Passing::new(screen, scenario, measured.driver, &measured.counts, total),
            above_own: screen.plain((total - own).kg()),
            targets: target_lines(screen, scenario, &then, &planned),
            placements: placements(screen, scenario, &measured.counts),
            misses: hurdle::misses(screen, measured),
        }
    }
}

impl HandoverLines {
    /// `quick` where everything that changes is quick.
    fn new(
        screen: Screen,
        scenario: &Scenario,
        before: &Counts,
        after: &Measured,
        quick: bool,
    ) -> HandoverLines {
        // A judged plan agrees with what is locked and with the stock, so that it can be what is fitted.
        let refitted = scenario.with_fitted(before);
        let refitted = refitted.as_ref().unwrap_or(scenario);
        let jobs = job_lines(screen, refitted, after);
        let mut settings = setting_lines_from(scenario, before, after);
        settings.retain(SettingLine::is_job);
        let lead: u32 = jobs.iter().map(|job| job.count).sum();
        let changes = lead + settings.iter().map(|line| line.changes).sum::<u32>();
        let with_tools = |job: &Job| {
            let mounts = match job.action {
                Action::TakeOff { from } => [Some(from), None],
                Action::Move { from, to } => [Some(from), Some(to)],
                Action::PutOn { to } => [Some(to), None],
            };
            let is_quick = |mount: usize| {
                let (place, kind) = (&scenario.mounts()[mount], &scenario.lead()[job.kind]);
                place.quick && kind.quick && place.access == Access::Open
            };
            !quick && !mounts.into_iter().flatten().all(is_quick)
        };
        let minutes = scenario.pit().minutes.and_then(|minutes| {
            let lead = after.jobs(refitted);
            let lead: Option<f64> = lead.iter().map(|job| minutes_of(job, &minutes, with_tools(job))).sum();
            Some(lead? + settings.iter().map(|line| line.minutes).sum::<f64>())
        });
        HandoverLines { settings, jobs, changes, minutes }
    }
}

/// None where tools are needed and the file does not say how long that takes.
fn minutes_of(job: &Job, minutes: &Minutes, with_tools: bool) -> Option<f64> {
    let each = match (with_tools, job.action) {
        (true, _) => minutes.with_tools?,
        (false, Action::TakeOff { .. }) => minutes.take_off,
        (false, Action::Move { .. }) => minutes.move_over,
        (false, Action::PutOn { .. }) => minutes.put_on,
    };
    Some(each * f64::from(job.count))
}

impl AloneLines {
    fn new(scenario: &Scenario, swap: &Swap) -> AloneLines {
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
        AloneLines {
            changes: pairs.iter().map(|(before, after)| changes(scenario, before, after)).sum(),
            stops_with_tools: pairs.iter().filter(needs_tools).count(),
            stops: pairs.len(),
        }
    }
}

/// Changes of lead and of adjusters from one set-up to another.
fn changes(scenario: &Scenario, before: &Counts, after: &Counts) -> u32 {
    let adjusters = scenario.adjusters().iter().enumerate();
    let settings = adjusters.map(|(index, adjuster)| {
        adjuster.changes(before.setting(index, adjuster.now), after.setting(index, adjuster.now))
    });
    before.changes_to(after) + settings.sum::<u32>()
}

/// What all drivers have in common.
fn common(measured: &[&Measured]) -> Counts {
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

fn matrix(screen: Screen, scenario: &Scenario, measured: &[&Measured]) -> Vec<MatrixLine> {
    let pieces = |counts: &Counts, mount: usize| {
        let here = counts.placed().filter(|(_, place, _)| *place == mount);
        let words = here.map(|(kind, _, count)| match count {
            1 => scenario.lead()[kind].name.clone(),
            count => format!("{count} {}", scenario.lead()[kind].name),
        });
        words.collect::<Vec<_>>().join(" + ")
    };
    let lines = scenario.mounts().iter().enumerate().map(|(mount, place)| MatrixLine {
        mount: place.name.clone(),
        quick: place.quick,
        carries: measured.iter().map(|one| screen.column(one.lead_on(scenario, mount).kg())).collect(),
        pieces: measured.iter().map(|one| pieces(&one.counts, mount)).collect(),
    });
    lines.collect()
}

/// What each driver needs, where that differs: the reason why anything has to change at all.
fn needs(screen: Screen, scenario: &Scenario, drivers: &[usize]) -> Vec<String> {
    let none = Counts::none(scenario.lead().len(), scenario.mounts().len());
    let mut sentences = Vec::new();
    for driver in drivers {
        let required = inspection::required(scenario, Some(*driver));
        let bare = Measured::new(scenario, Some(*driver), none.clone()).worth.total;
        if bare > required {
            let name = &scenario.drivers()[*driver].name;
            let over = screen.given(bare - required);
            sentences.push(format!(
                "{name} is {over} over the minimum without any lead: every kilogram that stays on the kart \
                 is one too many under {name}"
            ));
        }
    }
    sentences
}

fn nothing_is_quick(scenario: &Scenario) -> Option<String> {
    let quick = (0..scenario.mounts().len()).any(|mount| {
        let place = &scenario.mounts()[mount];
        let takes = place.takes.iter().zip(scenario.lead()).any(|(takes, kind)| *takes && kind.quick);
        place.quick && place.access == Access::Open && takes
    });
    let set = scenario.adjusters().iter().any(|adjuster| adjuster.quick);
    (!quick).then(|| {
        let changes = if set { "no lead" } else { "nothing" };
        format!(
            "no mount is marked `quick: true`, so {changes} may change at a stop: what differs between the drivers \
             stays wrong for one of them"
        )
    })
}

fn remarks(screen: Screen, scenario: &Scenario, swap: &Swap) -> Vec<String> {
    let mut remarks = needs(screen, scenario, &swap.drivers);
    remarks.extend(nothing_is_quick(scenario));
    let preferences = scenario.preferences();
    let heavier = Mass::from_ng(swap.values.excess_ng);
    if heavier > preferences.spare {
        remarks.push(format!(
            "with one base somebody carries {} more than the lightest alone; the spare allows {}",
            screen.plain(heavier.kg()),
            screen.given(preferences.spare)
        ));
    }
    let outside = Mass::from_ng(swap.values.band_ng);
    if outside > preferences.band {
        remarks.push(format!(
            "with one base the worst driver is {} further outside the bands than alone",
            screen.plain(outside.kg())
        ));
    }
    for ((driver, plan), alone) in swap.drivers.iter().zip(&swap.plans).zip(&swap.alone) {
        let name = &scenario.drivers()[*driver].name;
        let alone = alone.plan.measured();
        if !alone.all_in_band() {
            remarks.push(format!("{name} cannot be brought into every band even alone on this kart"));
        } else if !plan.measured().all_in_band() {
            remarks.push(format!("{name} alone could be in every band; what the others need keeps it out"));
        }
    }
    let adjusters = scenario.adjusters();
    let slow: Vec<&str> =
        adjusters.iter().filter(|adjuster| !adjuster.quick).map(|adjuster| adjuster.name.as_str()).collect();
    if !slow.is_empty() && slow.len() == adjusters.len() {
        remarks.push("seats, spacers and other adjusters stay as they are set now".to_owned());
    } else if !slow.is_empty() {
        remarks.push(format!("not marked `quick: true`, so set as now for everybody: {}", slow.join(", ")));
    }
    remarks
}

fn placements(screen: Screen, scenario: &Scenario, counts: &Counts) -> Vec<Placement> {
    let mut placed: Vec<(usize, usize, u32)> = counts.placed().collect();
    // By mount, as somebody walks round the kart.
    placed.sort_by_key(|(kind, mount, _)| (*mount, *kind));
    placed.into_iter().map(|placed| Placement::new(screen, scenario, placed)).collect()
}
