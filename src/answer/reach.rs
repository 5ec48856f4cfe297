//! What `reach` has found: which front % and left % the lead on these mounts can reach, driver by driver.

use schemars::JsonSchema;
use serde::Serialize;

use super::card::Shares as Known;
use crate::quantity::{Exact, Kg, Percent, Quantity, percent};
use crate::scenario::{Figure, Moment, Scenario};
use crate::tasks::reach::{Region, Shares, is_within, span};
use crate::uncertainty::kart::{self, UnsureKart};

/// Everything that `reach` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Reach {
    /// The kart's name.
    pub kart: String,
    /// The class's name.
    pub class: String,
    /// In which state the figures are read.
    pub state: Moment,
    /// Wished front %.
    pub front_wanted: Option<Wish>,
    /// Wished left %.
    pub left_wanted: Option<Wish>,
    /// Each driver's region.
    pub regions: Vec<Reachable>,
    /// Drivers without one.
    pub without: Vec<Nothing>,
}

/// A wished share.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Wish {
    /// Wanted.
    pub aim: Exact<Percent>,
    /// Half-width of the tolerance.
    pub within: Exact<Percent>,
}

impl Wish {
    /// From, to.
    pub fn ends(&self) -> (f64, f64) {
        (self.aim.value - self.within.value, self.aim.value + self.within.value)
    }
}

/// A driver without a region.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Nothing {
    /// Who.
    pub driver: Option<String>,
    /// Why.
    pub sentence: &'static str,
}

/// A place in the plane of front % and left %.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Place {
    /// Of the total.
    pub front: Quantity<Percent>,
    /// Of the total.
    pub left: Quantity<Percent>,
}

/// What one driver can reach.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Reachable {
    /// Who drives.
    pub driver: Option<String>,
    /// The lightest within reach.
    pub least_total: Exact<Kg>,
    /// The heaviest within reach.
    pub most_total: Exact<Kg>,
    /// Whether the targets lie within the region, where both or one are wished.
    pub verdict: Option<String>,
    /// The kart as it is fitted now.
    pub now: Place,
    /// The plan.
    pub planned: Place,
    /// Counterclockwise.
    pub corners: Vec<Place>,
    /// The ± that no place of the region exceeds: with a total that hardly varies the shift of a share is linear in the lead, so
    /// its size is largest at a corner.
    pub plus_minus_at_most: Sure,
    /// What whole pieces reach, as far as the search was asked.
    pub points: Vec<Place>,
    /// How far a place within is from what whole pieces reach: the median.
    pub gap_median: Option<Exact<Percent>>,
    /// The same at most.
    pub gap_most: Option<Exact<Percent>>,
    /// Places for which the search found nothing in its time.
    pub unanswered_places: usize,
}

/// The ± of a place.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Sure {
    /// Of front %.
    pub front: Exact<Percent>,
    /// Of left %.
    pub left: Exact<Percent>,
    /// Of the total.
    pub total: Exact<Kg>,
}

impl Reach {
    /// An empty answer, to which drivers are added.
    pub fn new(scenario: &Scenario) -> Reach {
        let wish = |figure| {
            let (aim, within) = scenario.wanted_share(figure)?;
            Some(Wish { aim: percent(aim), within: percent(within) })
        };
        Reach {
            kart: scenario.kart().name.clone(),
            class: scenario.class().name.clone(),
            state: scenario.class().weighed_at,
            front_wanted: wish(Figure::Front),
            left_wanted: wish(Figure::Left),
            regions: Vec::new(),
            without: Vec::new(),
        }
    }

    /// How it stands.
    pub fn status(&self) -> &'static str {
        if self.without.is_empty() { "regions found" } else { "some drivers have none" }
    }

    /// Adds what a driver can reach.
    pub fn add(&mut self, scenario: &Scenario, driver: Option<usize>, region: &Region) {
        let shares: Vec<Shares> = region.corners.iter().map(|corner| corner.shares).collect();
        let moment = region.moment;
        let known = |kart: &UnsureKart| Known::new(kart, Figure::Left, |kart, of| of(kart));
        let place = |at: Shares, known: Known| Place {
            front: percent(at.front).known_to(known.front.sure()),
            left: percent(at.left).known_to(known.across.sure()),
        };
        let now = known(&kart::state(scenario, driver, moment, scenario.fitted()));
        let planned = known(&kart::state(scenario, driver, moment, &region.planned));
        let corners = region
            .corners
            .iter()
            .map(|corner| (corner.shares, known(&kart::divisible(scenario, driver, moment, &corner.pieces))));
        let corners: Vec<(Shares, Known)> = corners.collect();
        let most = corners.iter().fold(now.or_worse(planned), |most, (_, known)| most.or_worse(*known));
        let points = region
            .points
            .iter()
            .map(|dot| place(dot.shares, known(&kart::state(scenario, driver, moment, &dot.counts))));
        let verdict = self.verdict(&shares);
        self.regions.push(Reachable {
            driver: driver.map(|index| scenario.drivers()[index].name.clone()),
            least_total: region.least.into(),
            most_total: region.most.into(),
            verdict,
            now: place(region.today, now),
            planned: place(region.plan, planned),
            corners: corners.into_iter().map(|(shares, known)| place(shares, known)).collect(),
            plus_minus_at_most: Sure {
                front: most.front.sure(),
                left: most.across.sure(),
                total: most.total.sure(),
            },
            points: points.collect(),
            gap_median: region.gaps.map(|(median, _)| percent(median)),
            gap_most: region.gaps.map(|(_, most)| percent(most)),
            unanswered_places: region.unanswered,
        });
    }

    /// Adds a driver without a region.
    pub fn add_without(&mut self, scenario: &Scenario, driver: Option<usize>, sentence: &'static str) {
        let driver = driver.map(|index| scenario.drivers()[index].name.clone());
        self.without.push(Nothing { driver, sentence });
    }

    fn verdict(&self, corners: &[Shares]) -> Option<String> {
        let (front, left) = (&self.front_wanted, &self.left_wanted);
        let one = |wish: &Wish, name: &str, ends: Option<(f64, f64)>| {
            let (least, most) = ends?;
            let (from, to) = wish.ends();
            Some(if (least..=most).contains(&wish.aim.value) {
                format!("the target for {name} lies within reach")
            } else if to >= least && from <= most {
                format!("the target for {name} is out of reach, but a part of its tolerance is within it")
            } else {
                format!("no lead on these mounts brings {name} into its tolerance")
            })
        };
        match (front, left) {
            (Some(front), Some(left)) => {
                let aims = Shares { front: front.aim.value, left: left.aim.value };
                if is_within(corners, aims, 0.0) {
                    return Some("both targets together lie within reach".to_owned());
                }
                let ((west, east), (south, north)) = (front.ends(), left.ends());
                let tolerance = [(west, south), (east, south), (east, north), (west, north)]
                    .map(|(front, left)| Shares { front, left });
                Some(if touch(corners, &tolerance) {
                    "both targets together are out of reach, but a part of their tolerances is within it"
                        .to_owned()
                } else {
                    "no lead on these mounts brings front % and left % into their tolerances together"
                        .to_owned()
                })
            }
            (Some(front), None) => one(front, "front %", span(corners.iter().map(|place| place.front))),
            (None, Some(left)) => one(left, "left %", span(corners.iter().map(|place| place.left))),
            (None, None) => None,
        }
    }
}

/// Whether two convex polygons have a point in common: no line along an edge of either parts them.
fn touch(one: &[Shares], other: &[Shares]) -> bool {
    let parts = |edges: &[Shares], others: &[Shares]| {
        let next = edges.iter().cycle().skip(1);
        edges.iter().zip(next).any(|(here, next)| {
            let normal = (next.left - here.left, here.front - next.front);
            let out =
                |place: &Shares| (place.front - here.front) * normal.0 + (place.left - here.left) * normal.1;
            // A side on which all of one and none of the other lie.
            let own = edges.iter().map(out).max_by(f64::total_cmp).unwrap_or(0.0);
            edges.len() > 1 && others.iter().map(out).all(|place| place > own)
        })
    };
    !parts(one, other) && !parts(other, one)
}
