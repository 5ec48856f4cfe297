//! What is to be done to a kart, and what then lies where.

use schemars::JsonSchema;
use serde::Serialize;

use crate::counts::Counts;
use crate::inspection;
use crate::plan::{Action, Job, Measured};
use crate::quantity::{Exact, Kg, Minutes, Mm, Percent, kg, minutes, mm, percent};
use crate::scenario::{Access, Figure, Kind, Lever, Scenario, usual};
use crate::tasks::binding::is_full;
use crate::units::{Length, Mass};

/// What is done with pieces, in the order in which it is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Doing {
    /// From a mount into the box.
    TakeOff,
    /// From mount to mount.
    Move,
    /// From the box onto a mount.
    PutOn,
}

/// Pieces of one kind that go one way.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Change {
    /// What is done.
    pub action: Doing,
    /// Name of the kind.
    pub piece: String,
    /// How many.
    pub count: u32,
    /// The mount they leave.
    pub from: Option<String>,
    /// The mount they enter.
    pub to: Option<String>,
    /// Mass of one.
    pub each: Exact<Kg>,
    /// Mass of all of them.
    pub mass: Exact<Kg>,
    /// Time that it takes.
    pub time: Exact<Minutes>,
}

/// One adjuster.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Setting {
    /// Its name.
    pub adjuster: String,
    /// How it is set now.
    pub now: String,
    /// How it is planned.
    pub planned: String,
    /// Changes that it takes.
    pub changes: u32,
    /// Time that it takes.
    pub time: Exact<Minutes>,
    /// Whether it may be set in a stop.
    pub quick: bool,
    /// Washers that go from below to above a spindle; negative the other way.
    pub washers_to_above: i32,
    /// Where the seat goes.
    pub seat_goes: Option<SeatGoes>,
}

/// A move of the seat.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SeatGoes {
    /// Negative to the back.
    pub forward: Exact<Mm>,
    /// Negative to the right.
    pub left: Exact<Mm>,
}

impl Setting {
    /// Whether anything is to be done.
    pub fn is_job(&self) -> bool {
        self.now != self.planned
    }

    /// Whether the kart is to be weighed after it, and before anything else: alignment or pedals are others then.
    pub fn is_to_be_weighed(&self) -> bool {
        self.washers_to_above != 0 || self.seat_goes.is_some()
    }
}

/// Pieces of one kind on one mount.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Placement {
    /// The mount.
    pub mount: String,
    /// The kind.
    pub piece: String,
    /// How many.
    pub count: u32,
    /// Mass of one.
    pub each: Exact<Kg>,
    /// Mass of all of them.
    pub mass: Exact<Kg>,
}

impl Placement {
    /// Of a kind, a mount and a number, as counts list them.
    pub fn new(scenario: &Scenario, (kind, mount, count): (usize, usize, u32)) -> Placement {
        let piece = &scenario.lead()[kind];
        Placement {
            mount: scenario.mounts()[mount].name.clone(),
            piece: piece.name.clone(),
            count,
            each: piece.mass.into(),
            mass: (piece.mass * count).into(),
        }
    }
}

/// What is on which mount.
pub fn placements(scenario: &Scenario, counts: &Counts) -> Vec<Placement> {
    counts.placed().map(|placed| Placement::new(scenario, placed)).collect()
}

/// The same by mount, as somebody walks round the kart.
pub fn placements_by_mount(scenario: &Scenario, counts: &Counts) -> Vec<Placement> {
    let mut placed: Vec<(usize, usize, u32)> = counts.placed().collect();
    placed.sort_by_key(|(kind, mount, _)| (*mount, *kind));
    placed.into_iter().map(|placed| Placement::new(scenario, placed)).collect()
}

/// What is done with lead, in order, from what other counts have on the mounts.
pub fn changes(scenario: &Scenario, before: &Counts, after: &Measured) -> Vec<Change> {
    let name = |mount: usize| Some(scenario.mounts()[mount].name.clone());
    let changes = after.jobs_from(scenario, before).into_iter().map(|job| {
        let kind = &scenario.lead()[job.kind];
        let (action, from, to) = match job.action {
            Action::TakeOff { from } => (Doing::TakeOff, name(from), None),
            Action::Move { from, to } => (Doing::Move, name(from), name(to)),
            Action::PutOn { to } => (Doing::PutOn, None, name(to)),
        };
        let (each, mass) = (kind.mass.into(), (kind.mass * job.count).into());
        let time = minutes(minutes_of(scenario, &job));
        Change { action, piece: kind.name.clone(), count: job.count, from, to, each, mass, time }
    });
    changes.collect()
}

/// The mounts where something is done, in the order of the work: those first from which something is taken.
pub fn places(changes: &[Change]) -> Vec<&str> {
    let mut places: Vec<&str> = Vec::new();
    for place in changes.iter().flat_map(|change| [&change.from, &change.to]).flatten() {
        if !places.contains(&place.as_str()) {
            places.push(place);
        }
    }
    let takes_off = |place: &&str| changes.iter().any(|change| change.from.as_deref() == Some(place));
    places.sort_by_key(|place| !takes_off(place));
    places
}

/// The kart if somebody stops after a job, as the officials weigh it; its ± are those of the kart when all is done.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct StopHere {
    /// The adjuster or the mount of the job.
    pub after: String,
    pub total: Exact<Kg>,
    /// What is missing to what is wanted.
    pub missing: Exact<Kg>,
    pub front: Exact<Percent>,
    pub left: Exact<Percent>,
    /// Outside the tolerances, summed over the targets.
    pub outside: Exact<Kg>,
}

/// After each job, in the order of the work; pieces on their way from mount to mount are in nobody's hand but off the kart.
pub fn stops(
    scenario: &Scenario,
    driver: Option<usize>,
    before: &Counts,
    after: &Measured,
    changes: &[Change],
) -> Vec<StopHere> {
    let required = inspection::required(scenario, driver);
    let now: Vec<u16> = scenario.adjusters().iter().map(|adjuster| adjuster.now as u16).collect();
    let mut counts = before.clone();
    let mut stops = Vec::new();
    let mut stop = |after: &str, counts: &Counts| {
        let measured = Measured::new(scenario, driver, counts.clone());
        let corners = measured.state(scenario.class().weighed_at).map(|state| state.load.corners);
        let share = |figure: Figure| percent(corners.as_ref().map_or(0.0, |corners| figure.of(corners)));
        stops.push(StopHere {
            after: after.to_owned(),
            total: measured.worth.total.into(),
            missing: (required - measured.worth.total).max(Mass::ZERO).into(),
            front: share(Figure::Front),
            left: share(Figure::Left),
            outside: kg(measured.worth.outside_kg),
        });
    };
    for (index, adjuster) in scenario.adjusters().iter().enumerate() {
        let planned = after.counts.setting(index, adjuster.now);
        if counts.setting(index, adjuster.now) != planned {
            counts = counts.with_setting(index, planned, &now);
            stop(&adjuster.name, &counts);
        }
    }
    for place in places(changes) {
        if let Some(mount) = scenario.mounts().iter().position(|mount| mount.name == place) {
            for kind in 0..scenario.lead().len() {
                *counts.get_mut(kind, mount) = after.counts.get(kind, mount);
            }
        }
        stop(place, &counts);
    }
    stops
}

/// As the file says, else as usual.
fn minutes_of(scenario: &Scenario, job: &Job) -> f64 {
    let (mounts, handled) = match job.action {
        Action::TakeOff { from } => ([Some(from), None], 1.0),
        Action::PutOn { to } => ([Some(to), None], 1.0),
        Action::Move { from, to } => ([Some(from), Some(to)], 2.0),
    };
    let is_quick = |mount: usize| {
        let (place, kind) = (&scenario.mounts()[mount], &scenario.lead()[job.kind]);
        place.quick && kind.quick && place.access == Access::Open
    };
    let told = scenario.pit().minutes;
    let each = if mounts.into_iter().flatten().all(is_quick) {
        told.map_or(handled * usual::QUICK, |told| match job.action {
            Action::TakeOff { .. } => told.take_off,
            Action::PutOn { .. } => told.put_on,
            Action::Move { .. } => told.move_over,
        })
    } else {
        told.and_then(|told| told.with_tools).unwrap_or(handled * usual::CHANGE)
    };
    each * f64::from(job.count)
}

/// All adjusters in the order of the scenario, from how other counts have them set.
pub fn settings(scenario: &Scenario, before: &Counts, after: &Measured) -> Vec<Setting> {
    let adjusters = scenario.adjusters().iter().enumerate();
    let settings = adjusters.map(|(index, adjuster)| {
        let now = before.setting(index, adjuster.now);
        let planned = after.counts.setting(index, adjuster.now);
        Setting {
            adjuster: adjuster.name.clone(),
            now: adjuster.settings[now].name.clone(),
            planned: adjuster.settings[planned].name.clone(),
            changes: adjuster.changes(now, planned),
            time: minutes(adjuster.minutes(now, planned)),
            quick: adjuster.quick,
            washers_to_above: match adjuster.lever {
                Lever::Spindle { .. } => adjuster.settings[planned].steps - adjuster.settings[now].steps,
                _ => 0,
            },
            seat_goes: (adjuster.lever == Lever::Seat && planned != now).then(|| {
                let [from, to] = [now, planned].map(|index| adjuster.settings[index].shift);
                SeatGoes {
                    forward: mm(to.forward.mm() - from.forward.mm()),
                    left: mm(to.left.mm() - from.left.mm()),
                }
            }),
        }
    });
    settings.collect()
}

/// Lead on one mount.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MountLoad {
    /// Its name.
    pub mount: String,
    /// What it carries.
    pub carried: Exact<Kg>,
    /// What it may carry.
    pub may_carry: Exact<Kg>,
    /// Whether it may be changed in a stop.
    pub quick: bool,
    /// What keeps more lead away.
    pub state: MountState,
    /// Bolts that hold its lead, as far as the file tells.
    pub bolts: Option<u32>,
    /// Thickness of its stack, if the file tells that of every piece.
    pub stack: Option<Exact<Mm>>,
}

/// What keeps more lead off a mount.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum MountState {
    /// Nothing, or nothing is left to put there.
    Open,
    /// No piece that is left fits.
    Full,
    /// The user has locked it.
    Locked,
}

/// Lead on every mount, in file order.
pub fn mounts(scenario: &Scenario, measured: &Measured) -> Vec<MountLoad> {
    let mounts = scenario.mounts().iter().enumerate().map(|(index, mount)| {
        let here: Vec<(&Kind, u32)> =
            measured.counts.on_mount(index).map(|(kind, count)| (&scenario.lead()[kind], count)).collect();
        let by_pieces = || here.iter().map(|(kind, _)| kind.bolts).max().flatten();
        let known = !here.is_empty() && here.iter().all(|(kind, _)| kind.thickness > Length::ZERO);
        let thick: f64 = here.iter().map(|(kind, count)| kind.thickness.mm() * f64::from(*count)).sum();
        MountLoad {
            mount: mount.name.clone(),
            carried: measured.lead_on(scenario, index).into(),
            may_carry: mount.may_carry(&scenario.class().rules).into(),
            quick: mount.quick,
            state: match mount.access {
                Access::Locked => MountState::Locked,
                Access::Open if is_full(scenario, measured, index) => MountState::Full,
                Access::Open => MountState::Open,
            },
            bolts: mount.bolts.or_else(by_pieces).filter(|_| !here.is_empty()),
            stack: known.then(|| mm(thick)),
        }
    });
    mounts.collect()
}
