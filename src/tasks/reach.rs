//! `reach`: which front % and left % this lead on these mounts can reach, cut to any size and with the pieces there are.
//! Adjusters stay as they are set now, and both figures are read as the officials weigh.
//!
//! The region holds every legal plan whose total is at most the lightest legal one plus `spare`. Shares of a total that is not
//! fixed are quotients of linear functions; the set that they map a polytope to is a convex polygon all the same, and the
//! linear program of its extreme points is that of Charnes and Cooper (1962, Programming with linear fractional functionals;
//! from memory): with T the inverse of the total and z = n·T all rows are linear again.

use crate::counts::Counts;
use crate::engine::{self, SharePlane};
use crate::goal::Goal;
use crate::model::Model;
use crate::model::linear::Linear;
use crate::plan::Measured;
use crate::scenario::{Figure, Freedom, Moment, Scenario, Target};
use crate::search::{Found, Guard, Limits};
use crate::solve::{Answer, GoalResult, Judged, Patience, Solved, solve_first, solve_within};
use crate::statics::Corners;
use crate::units::Mass;
use crate::weighing;

use super::pursuit::{Stage, pursue};

/// Corners nearer to an edge than this are on it, points of percent: a hundredth of what a pad can tell.
const ON_THE_EDGE: f64 = 1e-5;

/// More corners than any region of so few mounts has; beyond them only rounding makes new ones.
const MOST_CORNERS: usize = 400;

/// Real plans are looked for around so many points along the longer side of the region.
const GRID: usize = 14;

/// Nodes for each of them: the nearest plan found is a real one whether or not a nearer one exists.
const MOST_NODES: u64 = 2_000;

/// Of the time that is left the plan may use so much, which is one point of many.
const SHARE_OF_PLAN: f64 = 0.4;

/// A place in the plane of the two figures, percent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shares {
    /// Front %.
    pub front: f64,
    /// Left %.
    pub left: f64,
}

impl Shares {
    /// Those of four corners.
    pub fn of(corners: &Corners) -> Shares {
        Shares { front: Figure::Front.of(corners), left: Figure::Left.of(corners) }
    }

    /// How far apart two places are, points of percent.
    pub fn distance(self, other: Shares) -> f64 {
        (self.front - other.front).hypot(self.left - other.left)
    }
}

/// A corner of the region, and the divisible lead that attains it.
#[derive(Clone, Debug, PartialEq)]
pub struct Corner {
    /// Where it is.
    pub shares: Shares,
    /// Pieces, not whole, by `kind * mounts + mount`.
    pub pieces: Vec<f64>,
}

/// A place that whole pieces reach, and the pieces.
#[derive(Clone, Debug)]
pub struct Dot {
    /// Where it is.
    pub shares: Shares,
    /// What is on the mounts.
    pub counts: Counts,
}

/// Everything that can be reached by one driver.
#[derive(Clone, Debug)]
pub struct Region {
    /// In which state the figures are read.
    pub moment: Moment,
    /// Least total: what the class requires.
    pub least: Mass,
    /// Most total: the lightest legal one plus `spare`.
    pub most: Mass,
    /// Corners, counterclockwise with front % to the right and left % upwards; one or two where nothing has two dimensions.
    pub corners: Vec<Corner>,
    /// Points that whole pieces reach, found by the search around a grid: not all there are.
    pub points: Vec<Dot>,
    /// How far the points of that grid are from the nearest plan that was found: the median and the most.
    pub gaps: Option<(f64, f64)>,
    /// Points of that grid that were not asked for, as the time was up.
    pub unanswered: usize,
    /// The kart as it is fitted now.
    pub today: Shares,
    /// The plan, with the adjusters as they are.
    pub plan: Shares,
    /// What the plan has on the mounts.
    pub planned: Counts,
}

/// What came of the question.
#[derive(Clone, Debug)]
pub enum Reached {
    Region(Box<Region>),
    /// There is no legal plan, or none was found.
    NoPlan(Box<Answer>),
    /// The engine of the relaxation gave no answer, although there is a plan.
    EngineFailed,
    /// There is a plan, but working out the corners took too long.
    OutOfTime,
}

/// Works out what one driver can reach: a third of the time is for the plan, what is left for the corners and then the points.
///
/// Fails only if the judge disagrees with the search, or a goal ends below its bound.
pub fn reach(scenario: &Scenario, driver: Option<usize>, patience: Patience) -> Judged<Reached> {
    let freedom = Freedom { lead: true, adjusters: vec![false; scenario.adjusters().len()] };
    // The region needs no more than how light a legal plan is: it comes first, so that it is there whenever time ends.
    let first = |patience| solve_first(scenario, driver, &freedom, 1, patience);
    let legal = match first(patience.part(SHARE_OF_PLAN))? {
        Answer::OutOfTime => first(patience)?,
        known => known,
    };
    let legal = match legal {
        Answer::Plan(legal) => legal,
        other => return Ok(Reached::NoPlan(Box::new(other))),
    };
    let around = Around::new(scenario, driver, &freedom, &legal);
    // Corners take a moment on any real kart, also where somebody has asked to end.
    let corners = match around.corners(patience.with_overtime()) {
        Ok(corners) => corners,
        Err(why_not) => return Ok(why_not),
    };
    let solved = match solve_within(scenario, driver, &freedom, patience.part(SHARE_OF_PLAN))? {
        Answer::Plan(solved) if solved.plan.measured().worth.total.ng() <= around.most_ng => solved,
        // Time has ended before it was as light again.
        _ => legal,
    };
    let measured = solved.plan.measured();
    let RealPoints { points, gaps, unanswered } = around.real_points(&corners, &measured.counts, patience)?;
    let now = Measured::new(scenario, driver, scenario.fitted().clone());
    let shares =
        |measured: &Measured| measured.state(around.moment).map(|state| Shares::of(&state.load.corners));
    let plan = shares(measured).unwrap_or(around.bare);
    Ok(Reached::Region(Box::new(Region {
        moment: around.moment,
        least: Mass::from_ng(around.model.required_ng.max(around.model.bare_ng)),
        most: Mass::from_ng(around.most_ng),
        corners,
        points,
        gaps,
        unanswered,
        today: shares(&now).unwrap_or(plan),
        plan,
        planned: measured.counts.clone(),
    })))
}

/// What the search found around the points of a grid; all as in `Region`.
struct RealPoints {
    points: Vec<Dot>,
    gaps: Option<(f64, f64)>,
    unanswered: usize,
}

struct Around<'s> {
    scenario: &'s Scenario,
    driver: Option<usize>,
    freedom: &'s Freedom,
    model: Model,
    moment: Moment,
    most_ng: i64,
    plane: SharePlane,
    bare: Shares,
}

impl<'s> Around<'s> {
    fn new(
        scenario: &'s Scenario,
        driver: Option<usize>,
        freedom: &'s Freedom,
        solved: &Solved,
    ) -> Around<'s> {
        let model = Model::new(scenario, driver).restricted(freedom);
        let moment = scenario.class().weighed_at;
        let none = scenario.fitted().without_pieces();
        let bare = weighing::state(scenario, driver, moment, &none);
        let chassis = &scenario.kart().chassis;
        let pieces = scenario.lead().iter().flat_map(|kind| {
            scenario.mounts().iter().map(move |mount| {
                let corners = chassis.influence(mount.place) * kind.mass.kg();
                [Figure::Front.kg(&corners), Figure::Left.kg(&corners), kind.mass.kg()]
            })
        });
        // The lightest legal plan is no heavier than the one that was found.
        let beyond = |legal: &GoalResult| legal.held_at.max(legal.value + model.preferences.spare.ng());
        let most_ng = solved.goals.first().map_or(model.required_ng, beyond);
        Around {
            scenario,
            driver,
            freedom,
            moment,
            most_ng,
            plane: SharePlane {
                bare_kg: [Figure::Front.kg(&bare.corners), Figure::Left.kg(&bare.corners), bare.total.kg()],
                pieces_kg: pieces.collect(),
            },
            bare: Shares::of(&bare.corners),
            model,
        }
    }

    /// Extreme points in ever more directions: an edge is one when nothing lies beyond it.
    fn corners(&self, patience: Patience) -> Result<Vec<Corner>, Reached> {
        let guard = Guard::new(patience);
        let linear = Linear::new(&self.model, Goal::Legal, &[(Goal::Legal, self.most_ng)]);
        let farthest = |front: f64, left: f64| -> Result<Corner, Reached> {
            if guard.is_over() {
                return Err(Reached::OutOfTime);
            }
            let pieces =
                engine::farthest(&linear, &self.plane, [front, left]).ok_or(Reached::EngineFailed)?;
            Ok(Corner { shares: self.shares_of(&pieces), pieces })
        };
        let mut open: Vec<Corner> = Vec::new();
        for (front, left) in [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)] {
            let corner = farthest(front, left)?;
            if open.iter().all(|other| other.shares.distance(corner.shares) > ON_THE_EDGE) {
                open.push(corner);
            }
        }
        let first = open.first().ok_or(Reached::EngineFailed)?;
        let mut closed = vec![first.clone()];
        // The polygon closes where it began.
        let mut ahead: Vec<Corner> = open.iter().skip(1).rev().cloned().collect();
        ahead.insert(0, first.clone());
        while let (Some(here), Some(next)) = (closed.last().cloned(), ahead.last().cloned()) {
            let (along, up) = (next.shares.front - here.shares.front, next.shares.left - here.shares.left);
            let length = along.hypot(up);
            if length > ON_THE_EDGE && closed.len() + ahead.len() < MOST_CORNERS {
                // Outward, as corners run counterclockwise.
                let (front, left) = (up / length, -along / length);
                let beyond = farthest(front, left)?;
                let out = (beyond.shares.front - here.shares.front) * front
                    + (beyond.shares.left - here.shares.left) * left;
                let is_new = beyond.shares.distance(next.shares) > ON_THE_EDGE
                    && beyond.shares.distance(here.shares) > ON_THE_EDGE;
                if out > ON_THE_EDGE && is_new {
                    ahead.push(beyond);
                    continue;
                }
            }
            ahead.pop();
            closed.push(next);
        }
        // The last one is the first again.
        closed.pop();
        if closed.is_empty() {
            closed = open;
        }
        Ok(closed)
    }

    /// The figures with divisible lead, measured from places.
    fn shares_of(&self, pieces: &[f64]) -> Shares {
        let mut sums = self.plane.bare_kg;
        for (count, piece) in pieces.iter().zip(&self.plane.pieces_kg) {
            for (sum, kg) in sums.iter_mut().zip(piece) {
                *sum += count * kg;
            }
        }
        let [front, left, total] = sums;
        Shares { front: 100.0 * front / total, left: 100.0 * left / total }
    }

    /// Real plans around a grid, each once; and how far the grid's points are from them.
    fn real_points(&self, corners: &[Corner], planned: &Counts, patience: Patience) -> Judged<RealPoints> {
        let corners: Vec<Shares> = corners.iter().map(|corner| corner.shares).collect();
        let asked = grid(&corners);
        let mut points: Vec<Dot> = Vec::new();
        let mut gaps: Vec<f64> = Vec::new();
        let guard = Guard::new(patience);
        for place in asked.iter().take_while(|_| !guard.is_over()) {
            let Some(dot) = self.nearest_plan(*place, planned, patience)? else { continue };
            gaps.push(place.distance(dot.shares));
            if points.iter().all(|known| known.shares.distance(dot.shares) > ON_THE_EDGE) {
                points.push(dot);
            }
        }
        gaps.sort_by(f64::total_cmp);
        let median = gaps.get(gaps.len() / 2).copied();
        let unanswered = asked.len() - gaps.len();
        Ok(RealPoints { points, gaps: median.zip(gaps.last().copied()), unanswered })
    }

    /// The legal plan that the search finds nearest to a place; at worst the one that is planned.
    fn nearest_plan(&self, place: Shares, planned: &Counts, patience: Patience) -> Judged<Option<Dot>> {
        let wanted = |figure, aim| Target::share(figure, aim, 0.0, self.moment);
        let targets = vec![wanted(Figure::Front, place.front), wanted(Figure::Left, place.left)];
        let Some(aimed) = self.scenario.with_targets(targets) else { return Ok(None) };
        let model = Model::new(&aimed, self.driver).restricted(self.freedom);
        let limits = Limits { most_mass_ng: self.most_ng, ..Limits::legal(&model) };
        let close = Stage { goal: Goal::Close, resolution: model.resolution(Goal::Close) };
        let start = Found { counts: planned.clone(), values: model.values(planned) };
        let pursued = pursue(&model, limits, &[close], Some(start), patience, MOST_NODES)?;
        let measured = pursued.found().map(|found| Measured::new(self.scenario, self.driver, found.counts));
        let dot = |measured: Measured| {
            let shares = measured.state(self.moment).map(|state| Shares::of(&state.load.corners))?;
            Some(Dot { shares, counts: measured.counts })
        };
        Ok(measured.filter(|measured| measured.breach(self.scenario).is_none()).and_then(dot))
    }
}

/// The least and the most of some numbers; none of none.
pub fn span(numbers: impl Iterator<Item = f64> + Clone) -> Option<(f64, f64)> {
    numbers.clone().min_by(f64::total_cmp).zip(numbers.max_by(f64::total_cmp))
}

/// Places within a polygon, evenly spread.
fn grid(corners: &[Shares]) -> Vec<Shares> {
    let (west, east) = span(corners.iter().map(|place| place.front)).unwrap_or_default();
    let (south, north) = span(corners.iter().map(|place| place.left)).unwrap_or_default();
    let longer = if east - west > north - south { east - west } else { north - south };
    let pitch = longer / GRID as f64;
    if pitch <= ON_THE_EDGE {
        return corners.iter().take(1).copied().collect();
    }
    let steps = |from: f64, to: f64| {
        // The pitch is a whole part of the longer side, which must not depend on the last digit of the engine's answer.
        let count = ((to - from) / pitch + ON_THE_EDGE).floor() as u32;
        let first = from + (to - from - f64::from(count) * pitch) / 2.0;
        (0..=count).map(move |step| first + f64::from(step) * pitch)
    };
    steps(west, east)
        .flat_map(|front| steps(south, north).map(move |left| Shares { front, left }))
        .filter(|place| is_within(corners, *place, 0.0))
        .collect()
}

/// Whether a place lies in a convex polygon, or no further than `out` from it; corners run counterclockwise.
pub fn is_within(corners: &[Shares], place: Shares, out: f64) -> bool {
    match corners {
        [] => false,
        [only] => only.distance(place) <= out,
        [one, other] => from_segment(*one, *other, place) <= out,
        _ => {
            let next = corners.iter().cycle().skip(1);
            corners.iter().zip(next).all(|(here, next)| {
                let (along, up) = (next.front - here.front, next.left - here.left);
                let across = (place.front - here.front) * up - (place.left - here.left) * along;
                across / along.hypot(up) <= out
            })
        }
    }
}

fn from_segment(one: Shares, other: Shares, place: Shares) -> f64 {
    let length = one.distance(other);
    let (along, up) = ((other.front - one.front) / length, (other.left - one.left) / length);
    let way = (place.front - one.front) * along + (place.left - one.left) * up;
    let foot = way.clamp(0.0, length);
    place.distance(Shares { front: one.front + foot * along, left: one.left + foot * up })
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use super::*;

    #[test]
    fn places_that_time_leaves_without_an_answer_are_counted() {
        let text = include_str!("../../scenarios/club-sprint.yaml");
        let (scenario, _) = Scenario::from_yaml(text).expect("a valid scenario");
        let freedom = Freedom { lead: true, adjusters: vec![false; scenario.adjusters().len()] };
        let used = Cell::new(0.0);
        let clock = || used.get();
        let patience = Patience::new(&clock);
        let driver = scenario.driver();
        let answer = solve_within(&scenario, driver, &freedom, patience).expect("the judge agrees");
        let Answer::Plan(solved) = answer else { panic!("a plan") };
        let around = Around::new(&scenario, driver, &freedom, &solved);
        let Ok(corners) = around.corners(Patience::ENDLESS) else { panic!("corners") };
        let planned = &solved.plan.measured().counts;
        let all = around.real_points(&corners, planned, patience).expect("no disagreement");
        assert_eq!(all.unanswered, 0);
        assert!(all.points.len() > 10 && all.gaps.is_some(), "{} points", all.points.len());
        used.set(1.0);
        let none = around.real_points(&corners, planned, patience).expect("no disagreement");
        assert!(none.points.is_empty() && none.gaps.is_none());
        assert!(none.unanswered >= all.points.len(), "{} unanswered", none.unanswered);
        // Whoever asks while corners are sought ends that.
        assert!(matches!(around.corners(patience), Err(Reached::OutOfTime)));
    }
}
