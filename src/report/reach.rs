//! What `reach` has to show: the region's corners, what real pieces reach, the wishes, today's kart, for each driver.
//! Takes the scenario and what the task has found; gives a view, rounded and in the units of the screen.
//! Does not lay anything out and does not draw.

use super::amount::{Screen, Weight, fixed, rounded_percent, trimmed};
use super::sure::SurePlace;
use crate::scenario::{Aim, Figure, Moment, Scenario};
use crate::tasks::reach::{Region, Shares, is_within};
use crate::uncertainty::kart::{self, UnsureKart};

/// A place in the plane of front % and left %.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Front %.
    pub front: f64,
    /// Left %.
    pub left: f64,
}

impl Place {
    fn new(shares: Shares) -> Place {
        Place { front: rounded_percent(shares.front), left: rounded_percent(shares.left) }
    }

    /// `43.12 and 49.95`.
    pub fn text(self) -> String {
        format!("{} and {}", fixed(self.front, 2), fixed(self.left, 2))
    }
}

/// A wished share.
#[derive(Clone, Debug, PartialEq)]
pub struct Wish {
    /// Wanted, percent.
    pub aim: f64,
    /// Half-width of the band, percent.
    pub within: f64,
}

impl Wish {
    /// `43 +- 0.5`.
    pub fn text(&self) -> String {
        format!("{} +- {}", trimmed(self.aim, 3), trimmed(self.within, 3))
    }

    /// From, to.
    pub fn ends(&self) -> (f64, f64) {
        (self.aim - self.within, self.aim + self.within)
    }
}

/// The ± of the places that a region names.
#[derive(Clone, Debug, PartialEq)]
pub struct RegionSure {
    /// Of the kart as it is fitted now.
    pub today: SurePlace,
    /// Of the plan.
    pub plan: SurePlace,
    /// Of every corner.
    pub corners: Vec<SurePlace>,
    /// Of every point.
    pub points: Vec<SurePlace>,
    /// The largest of all. With a total that hardly varies the shift of a share is linear in the lead, so its size is largest at
    /// a corner: no place within the region is less sure.
    pub most: SurePlace,
}

/// What one driver can reach.
#[derive(Clone, Debug, PartialEq)]
pub struct RegionLines {
    /// Who drives.
    pub driver: Option<String>,
    /// Least and most total.
    pub totals: (Weight, Weight),
    /// Corners, counterclockwise.
    pub corners: Vec<Place>,
    /// What whole pieces reach, as far as the search was asked.
    pub points: Vec<Place>,
    /// How far a place within is from what whole pieces reach: the median and the most, points of percent.
    pub gaps: Option<(f64, f64)>,
    /// Places for which the search found nothing in its time.
    pub unanswered: usize,
    /// The kart as it is fitted now.
    pub today: Place,
    /// The plan.
    pub plan: Place,
    /// How sure these places are.
    pub sure: RegionSure,
    /// Whether the aims lie within the region, where both or one are wished.
    pub verdict: Option<String>,
}

/// Everything that `reach` shows.
#[derive(Clone, Debug, PartialEq)]
pub struct ReachView {
    /// Units of the screen.
    pub screen: Screen,
    /// The kart's name.
    pub kart: String,
    /// The class's name.
    pub class: String,
    /// In which state the figures are read.
    pub moment: Moment,
    /// Wished front %.
    pub front: Option<Wish>,
    /// Wished left %.
    pub left: Option<Wish>,
    /// Each driver's region.
    pub regions: Vec<RegionLines>,
    /// Drivers without one: name and sentence.
    pub without: Vec<(Option<String>, String)>,
}

impl ReachView {
    /// An empty view, to which drivers are added.
    pub fn new(screen: Screen, scenario: &Scenario) -> ReachView {
        let wish = |wanted: &dyn Fn(Figure) -> bool| {
            scenario.targets().iter().find(|target| wanted(target.figure)).and_then(|target| {
                match target.aim {
                    // Front is what rear leaves.
                    Aim::Percent { aim, within } if target.figure == Figure::Rear => {
                        Some(Wish { aim: rounded_percent(100.0 - aim), within: rounded_percent(within) })
                    }
                    Aim::Percent { aim, within } => {
                        Some(Wish { aim: rounded_percent(aim), within: rounded_percent(within) })
                    }
                    Aim::Difference { .. } | Aim::Height { .. } => None,
                }
            })
        };
        ReachView {
            screen,
            kart: scenario.kart().name.clone(),
            class: scenario.class().name.clone(),
            moment: scenario.class().weighed_at,
            front: wish(&|figure| matches!(figure, Figure::Front | Figure::Rear)),
            left: wish(&|figure| figure == Figure::Left),
            regions: Vec::new(),
            without: Vec::new(),
        }
    }

    /// Adds what a driver can reach.
    pub fn add(&mut self, scenario: &Scenario, driver: Option<usize>, region: &Region) {
        let corners: Vec<Place> = region.corners.iter().map(|corner| Place::new(corner.shares)).collect();
        let shares: Vec<Shares> = region.corners.iter().map(|corner| corner.shares).collect();
        let moment = region.moment;
        let sure = |kart: &UnsureKart| SurePlace::new(self.screen, kart, Figure::Left, |kart, of| of(kart));
        let today = sure(&kart::state(scenario, driver, moment, scenario.fitted()));
        let plan = sure(&kart::state(scenario, driver, moment, &region.planned));
        let sure_corners: Vec<SurePlace> = region
            .corners
            .iter()
            .map(|corner| sure(&kart::divisible(scenario, driver, moment, &corner.pieces)))
            .collect();
        let sure_points =
            region.points.iter().map(|dot| sure(&kart::state(scenario, driver, moment, &dot.counts)));
        let sure_points: Vec<SurePlace> = sure_points.collect();
        let most =
            sure_corners.iter().cloned().fold(today.clone().or_worse(plan.clone()), SurePlace::or_worse);
        self.regions.push(RegionLines {
            driver: driver.map(|index| scenario.drivers()[index].name.clone()),
            totals: (self.screen.given(region.least), self.screen.given(region.most)),
            verdict: self.verdict(&shares),
            corners,
            points: region.points.iter().map(|dot| Place::new(dot.shares)).collect(),
            gaps: region.gaps.map(|(median, most)| (rounded_percent(median), rounded_percent(most))),
            unanswered: region.unanswered,
            today: Place::new(region.today),
            plan: Place::new(region.plan),
            sure: RegionSure { today, plan, corners: sure_corners, points: sure_points, most },
        });
    }

    /// Adds a driver without a region.
    pub fn add_without(&mut self, scenario: &Scenario, driver: Option<usize>, sentence: &str) {
        let name = driver.map(|index| scenario.drivers()[index].name.clone());
        self.without.push((name, sentence.to_owned()));
    }

    fn verdict(&self, corners: &[Shares]) -> Option<String> {
        let (front, left) = (self.front.as_ref(), self.left.as_ref());
        let ends = |of: &dyn Fn(&Shares) -> f64| {
            let least = corners.iter().map(of).min_by(f64::total_cmp);
            let most = corners.iter().map(of).max_by(f64::total_cmp);
            least.zip(most)
        };
        let one = |wish: &Wish, name: &str, ends: Option<(f64, f64)>| {
            let (least, most) = ends?;
            let (from, to) = wish.ends();
            Some(if (least..=most).contains(&wish.aim) {
                format!("the aim for {name} lies within reach")
            } else if to >= least && from <= most {
                format!("the aim for {name} is out of reach, but a part of its band is within it")
            } else {
                format!("no lead on these mounts brings {name} into its band")
            })
        };
        match (front, left) {
            (Some(front), Some(left)) => {
                let aims = Shares { front: front.aim, left: left.aim };
                if is_within(corners, aims, 0.0) {
                    return Some("both aims together lie within reach".to_owned());
                }
                let ((west, east), (south, north)) = (front.ends(), left.ends());
                let band = [(west, south), (east, south), (east, north), (west, north)]
                    .map(|(front, left)| Shares { front, left });
                Some(if touch(corners, &band) {
                    "both aims together are out of reach, but a part of their bands is within it".to_owned()
                } else {
                    "no lead on these mounts brings front % and left % into their bands together".to_owned()
                })
            }
            (Some(front), None) => one(front, "front %", ends(&|place| place.front)),
            (None, Some(left)) => one(left, "left %", ends(&|place| place.left)),
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
