//! What `log` tells: every weighing of a kart in time with its figures, and what has changed on the kart itself.

use schemars::JsonSchema;
use serde::Serialize;

use super::kart::Figures;
use crate::quantity::{Exact, Kg, Percent, Quantity, kg, percent};
use crate::scenario::{Aim, Figure, OfficialTotal, Scenario, Weighing};
use crate::tasks::watch::{self, watch};
use crate::uncertainty::{COVERAGE_FACTOR, combined, kart, standard};

/// All weighings of a file.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Log {
    /// The kart's name.
    pub kart: String,
    /// In time; those that stand under a driver come first.
    pub weighings: Vec<Logged>,
    /// What is wanted of the shares.
    pub targets: Vec<Share>,
    /// What has changed on the kart itself, in time.
    pub changes: Vec<FrameChange>,
    /// A change of LF + RR since the last weighing but one shows from there on; none if there are not two to compare.
    pub shows_from: Option<Exact<Kg>>,
}

/// One weighing with what was aboard, as it was read.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Logged {
    /// Its number among those on pads in the list; none of a driver's own, and where no pads stood under the kart.
    pub weighing: Option<usize>,
    /// When, if the file tells.
    pub date: Option<String>,
    /// In the seat.
    pub driver: Option<String>,
    /// Whether the kart stood as it is raced.
    pub as_raced: bool,
    /// As the pads showed it, or as the officials read it where no pads did.
    pub total: Quantity<Kg>,
    /// Of the total.
    pub front: Option<Quantity<Percent>>,
    /// Of the total.
    pub left: Option<Quantity<Percent>>,
    /// Of the total.
    pub cross: Option<Quantity<Percent>>,
    /// Load at LF that the centre of gravity does not explain.
    pub twist_at_lf: Option<Quantity<Kg>>,
    /// What the officials' scale showed.
    pub official: Option<Exact<Kg>>,
}

/// What is wanted of a share.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Share {
    /// Which.
    pub target: Figure,
    /// Of the total.
    pub aim: Exact<Percent>,
    /// Half-width of the tolerance.
    pub within: Exact<Percent>,
}

/// A change of the kart itself.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FrameChange {
    /// The first weighing that shows it.
    pub since_weighing: usize,
    /// When that was.
    pub since: Option<String>,
    /// What LF and RR together gained; what they lost, if negative.
    pub lf_and_rr: Quantity<Kg>,
    /// Whether no floor explains it.
    pub not_the_floor: bool,
}

impl Log {
    /// Of every weighing of a file.
    pub fn new(scenario: &Scenario) -> Log {
        let own = scenario.own_weighings().iter().flatten();
        let mut weighings: Vec<Logged> = own.map(|own| Logged::on_pads(scenario, own, None)).collect();
        let totals_after = |count: usize| {
            let totals = scenario.official_totals().iter().filter(move |total| total.after == count);
            totals.map(|total| Logged::official(scenario, total))
        };
        for (index, weighing) in scenario.weighings().iter().enumerate() {
            weighings.push(Logged::on_pads(scenario, weighing, Some(index + 1)));
            weighings.extend(totals_after(index + 1));
        }
        let targets = scenario.targets().iter().filter_map(|target| match target.aim {
            Aim::Percent { aim, within } => {
                Some(Share { target: target.figure, aim: percent(aim), within: percent(within) })
            }
            _ => None,
        });
        let watched = watch(scenario);
        let change = |change: &watch::Change| FrameChange {
            since_weighing: change.listed + 1,
            since: scenario.weighings()[change.listed].date.map(|date| date.to_string()),
            lf_and_rr: Quantity::estimated(Kg, change.gained_kg),
            not_the_floor: change.not_the_floor,
        };
        Log {
            kart: scenario.kart().name.clone(),
            weighings,
            targets: targets.collect(),
            changes: watched.iter().flat_map(|watch| &watch.changes).map(change).collect(),
            shows_from: watched.map(|watch| kg(watch.shows_from_kg)),
        }
    }
}

impl Logged {
    fn on_pads(scenario: &Scenario, weighing: &Weighing, number: Option<usize>) -> Logged {
        let kart = kart::weighed(&scenario.weighed_as(weighing));
        let figures = Figures::new(&kart, true);
        Logged {
            weighing: number,
            date: weighing.date.map(|date| date.to_string()),
            driver: weighing.aboard.driver.map(|index| scenario.drivers()[index].name.clone()),
            as_raced: weighing.as_raced,
            total: figures.total,
            front: Some(figures.front),
            left: Some(figures.left),
            cross: Some(figures.cross),
            twist_at_lf: figures.twist_at_lf,
            official: weighing.official.map(Exact::from),
        }
    }

    fn official(scenario: &Scenario, read: &OfficialTotal) -> Logged {
        let scale = scenario.inspection();
        let limit = scale.accuracy.limit_kg(scale.step, read.total);
        let unsure = combined([standard::of_limit(limit), standard::of_step(scale.step.kg())]);
        Logged {
            weighing: None,
            date: read.date.map(|date| date.to_string()),
            driver: read.aboard.driver.map(|index| scenario.drivers()[index].name.clone()),
            as_raced: true,
            total: Quantity::new(Kg, read.total.kg(), COVERAGE_FACTOR * unsure),
            front: None,
            left: None,
            cross: None,
            twist_at_lf: None,
            official: Some(read.total.into()),
        }
    }
}
