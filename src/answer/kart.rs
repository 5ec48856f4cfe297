//! A kart as weighed or as the judge measured it: every figure of four corners with its ±, and how it stands to the targets.

use schemars::JsonSchema;
use serde::Serialize;

use crate::plan::{self, Measured};
use crate::quantity::{Exact, Kg, Mm, PerState, Percent, Quantity, Shape, Wheels, mm};
use crate::scenario::{Aim, Figure, Moment, Scenario};
use crate::statics::Corner;
use crate::uncertainty::kart::{self, Kart as Sure, UnsureKart};
use crate::uncertainty::verdict::{self, Verdict};

/// Seen from above.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Place {
    /// Ahead of the rear axle.
    pub x: Quantity<Mm>,
    /// Left of the centre line; negative to the right.
    pub y: Quantity<Mm>,
}

/// What four corners say.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Figures {
    /// All corners.
    pub total: Quantity<Kg>,
    /// LF + RF.
    pub front_load: Quantity<Kg>,
    /// LR + RR.
    pub rear_load: Quantity<Kg>,
    /// LF + LR.
    pub left_load: Quantity<Kg>,
    /// RF + RR.
    pub right_load: Quantity<Kg>,
    /// Of the total.
    pub front: Quantity<Percent>,
    /// Of the total.
    pub rear: Quantity<Percent>,
    /// Of the total.
    pub left: Quantity<Percent>,
    /// Of the total.
    pub right: Quantity<Percent>,
    /// RF + LR of the total.
    pub cross: Quantity<Percent>,
    /// LF - RF.
    pub front_pair: Quantity<Kg>,
    /// LR - RR.
    pub rear_pair: Quantity<Kg>,
    /// Known where the lengths are.
    pub centre_of_gravity: Option<Place>,
    /// Load at LF that the centre of gravity does not explain; known where the lengths are.
    pub twist_at_lf: Option<Quantity<Kg>>,
}

impl Figures {
    /// Of a kart; `lengths_known` tells whether anybody gave wheelbase and tracks.
    pub fn new(kart: &UnsureKart, lengths_known: bool) -> Figures {
        let kg = |of: &dyn Fn(&Sure) -> f64| Quantity::estimated(Kg, kart.estimate(of));
        let mm = |of: &dyn Fn(&Sure) -> f64| Quantity::estimated(Mm, kart.estimate(of));
        let share = |of: &dyn Fn(&Sure) -> f64| {
            Quantity::estimated(Percent, kart.estimate(|kart| 100.0 * of(kart) / kart.corners.total()))
        };
        let right = |kart: &Sure| kart.corners.total() - kart.corners.left();
        Figures {
            total: kg(&|kart| kart.corners.total()),
            front_load: kg(&|kart| kart.corners.front()),
            rear_load: kg(&|kart| kart.corners.rear()),
            left_load: kg(&|kart| kart.corners.left()),
            right_load: kg(&right),
            front: share(&|kart| kart.corners.front()),
            rear: share(&|kart| kart.corners.rear()),
            left: share(&|kart| kart.corners.left()),
            right: share(&right),
            cross: share(&|kart| kart.corners.cross()),
            front_pair: kg(&|kart| kart.corners.front_pair()),
            rear_pair: kg(&|kart| kart.corners.rear_pair()),
            centre_of_gravity: lengths_known
                .then(|| Place { x: mm(&|kart| kart.cg()[0].mm()), y: mm(&|kart| kart.cg()[1].mm()) }),
            twist_at_lf: lengths_known.then(|| kg(&|kart| kart.chassis.split(&kart.corners).twist_kg)),
        }
    }

    /// One figure with its ±, in its own unit; none for what four corners do not say.
    pub fn of(&self, figure: Figure) -> Option<(f64, f64)> {
        let share = |share: &Quantity<Percent>| Some((share.value, share.plus_minus));
        let pair = |pair: &Quantity<Kg>| Some((pair.value, pair.plus_minus));
        match figure {
            Figure::Front => share(&self.front),
            Figure::Rear => share(&self.rear),
            Figure::Left => share(&self.left),
            Figure::Cross => share(&self.cross),
            Figure::FrontPair => pair(&self.front_pair),
            Figure::RearPair => pair(&self.rear_pair),
            Figure::Height => None,
        }
    }
}

/// A load at every wheel, each with its ±.
pub fn wheels(kart: &UnsureKart, load: impl Fn(&Sure, Corner) -> f64) -> Quantity<Kg, Wheels> {
    let each = Corner::ALL.map(|corner| kart.estimate(|kart| load(kart, corner)));
    let [values, plus_minus] =
        [each.map(|estimate| estimate.value), each.map(|estimate| estimate.expanded())];
    Quantity::new(Kg, values.into(), plus_minus.into())
}

/// LF RF LR RR, each with its ±.
pub fn corners(kart: &UnsureKart) -> Quantity<Kg, Wheels> {
    wheels(kart, |kart, corner| kart.corners[corner])
}

/// A number in the unit that stands beside it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct InUnit(pub f64);

impl InUnit {
    /// Rounded as documents are.
    pub fn new(value: f64) -> InUnit {
        InUnit(value.rounded(1e6))
    }
}

/// One target in one state.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Residual {
    /// The figure.
    pub target: Figure,
    /// With which fuel; none for a weighing.
    pub state: Option<Moment>,
    /// Of `value`, `plus_minus`, `aim` and `within`: `percent`, `kg` or `mm`.
    pub unit: &'static str,
    /// The figure as it is.
    pub value: InUnit,
    /// Its ±.
    pub plus_minus: InUnit,
    /// As wanted.
    pub aim: InUnit,
    /// Half-width of the tolerance.
    pub within: InUnit,
    /// Above (positive) or below its target.
    pub distance: Quantity<Kg>,
    /// Outside the tolerance.
    pub miss: Quantity<Kg>,
    /// The same of a height.
    pub height_miss: Option<Exact<Mm>>,
    /// Whether it counts as met: what is outside is no more than the pads can read.
    pub on_target: bool,
    /// Chance that the true figure is inside the tolerance.
    pub chance: f64,
    /// What may be said of it.
    pub verdict: Verdict,
}

impl Residual {
    /// From the judge's residual and the kart that it was measured on.
    pub fn new(residual: &plan::Residual, kart: &UnsureKart) -> Residual {
        let (unit, aim, within) = match residual.aim {
            Aim::Percent { aim, within } => ("percent", aim, within),
            Aim::Difference { aim, within } => ("kg", aim.kg(), within.kg()),
            Aim::Height { aim, within, .. } => ("mm", aim.mm(), within.mm()),
        };
        let known = verdict::distance(residual, kart);
        let half_width_kg = verdict::half_width_kg(residual, kart);
        let distance = Quantity::estimated(Kg, known);
        Residual {
            target: residual.figure,
            state: Some(residual.moment),
            unit,
            value: InUnit::new(residual.value),
            plus_minus: InUnit::new(verdict::figure(residual, kart).expanded()),
            aim: InUnit::new(aim),
            within: InUnit::new(within),
            distance,
            miss: Quantity::new(Kg, residual.miss_kg, distance.plus_minus),
            height_miss: match residual.aim {
                Aim::Height { wheelbase, .. } => {
                    Some(mm(wheelbase.mm() * residual.miss_kg / kart.centre.corners.total()))
                }
                _ => None,
            },
            on_target: residual.on_target,
            chance: verdict::chance(known, half_width_kg).rounded(1e4),
            verdict: Verdict::new(known, half_width_kg, residual.on_target),
        }
    }
}

/// What can be said of several targets or states: the worst that is said of any.
pub fn verdict<'r>(residuals: impl IntoIterator<Item = &'r Residual>) -> Verdict {
    residuals.into_iter().map(|residual| residual.verdict).max().unwrap_or(Verdict::OnTarget)
}

/// A kart with the fuel of the start and of the finish.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Kart {
    /// As the officials weigh it.
    pub total: Quantity<Kg>,
    /// LF RF LR RR.
    pub corners: Quantity<Kg, PerState<Wheels>>,
    /// What they say.
    pub states: PerState<Figures>,
    /// Every target in every state where it counts, in file order.
    pub residuals: Vec<Residual>,
}

impl Kart {
    /// What the judge measured.
    pub fn new(scenario: &Scenario, measured: &Measured) -> Kart {
        let unsure = PerState::of(|moment| kart::state(scenario, measured.driver, moment, &measured.counts));
        let each = PerState::of(|moment| corners(unsure.at(moment)));
        let states = PerState::of(|moment| Figures::new(unsure.at(moment), true));
        let residual = |residual: &plan::Residual| Residual::new(residual, unsure.at(residual.moment));
        Kart {
            total: Exact::from(measured.worth.total)
                .known_to(states.at(scenario.class().weighed_at).total.sure()),
            corners: Quantity::new(
                Kg,
                PerState::of(|moment| each.at(moment).value),
                PerState::of(|moment| each.at(moment).plus_minus),
            ),
            states,
            residuals: measured.residuals.iter().map(residual).collect(),
        }
    }
}
