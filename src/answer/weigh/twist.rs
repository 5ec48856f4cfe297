//! What of four corners the centre of gravity does not explain, and what washers, lead and the shares then do to it.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Residual, example};
use crate::answer::kart::wheels;
use crate::assess::twist::{Spacer, Stacks, at_aims, stacks};
use crate::plan;
use crate::quantity::{Exact, Kg, KgPerMm, Mm, Percent, Quantity, Wheels, kg, mm, percent};
use crate::scenario::{Figure, Scenario};
use crate::statics::{Chassis, Point};
use crate::uncertainty::kart::{Kart, UnsureKart};
use crate::units::Mass;
use crate::weighing::Load;

/// Loads that the centre of gravity does not explain, and what washers and lead set diagonally can do.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Twist {
    /// LF RF LR RR.
    pub corners: Quantity<Kg, Wheels>,
    /// What one millimetre of pad or spacer does to LF.
    pub rate: Quantity<KgPerMm>,
    /// What takes all twist away.
    #[serde(flatten)]
    pub spacer: Spacer,
    /// What lead set diagonally does.
    pub lead_across: LeadAcross,
    /// Difference of the rears once front, left and the front pair are on target; nothing without a target for that pair, or
    /// with one for this.
    pub rear_pair_then: Option<Quantity<Kg>>,
    /// How far it shifts left %, which is free of it only where both tracks are equal.
    pub left_shift: Exact<Percent>,
    /// For every target that twist decides: how it stands once mass has done its part.
    pub corrections: Vec<Correction>,
}

/// A target that twist decides, once mass has brought front and left onto target.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Correction {
    /// What mass has done.
    pub once: &'static str,
    /// How it then stands.
    #[serde(flatten)]
    pub then: Residual,
    /// What brings it to its aim.
    #[serde(flatten)]
    pub spacer: Spacer,
}

/// A mass moved across in front, and as much the other way behind, as far off the middle as a seat is wide.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LeadAcross {
    /// Of each of the two.
    pub mass: Exact<Kg>,
    /// How far off the middle, before and after.
    pub off_middle: Exact<Mm>,
    /// What it changes of LF - RF.
    pub front_pair: Exact<Kg>,
    /// Washers that do the same.
    pub washers: Exact<Mm>,
}

impl Twist {
    pub(super) fn new(scenario: &Scenario, load: &Load, kart: &UnsureKart) -> Twist {
        let Kart { corners, chassis } = &kart.centre;
        let split = chassis.split(corners);
        let twist_of = |kart: &Kart| kart.chassis.split(&kart.corners).twist_kg;
        let ratio = chassis.track_front.mm() / chassis.track_rear.mm();
        let stacks = stacks(scenario, &scenario.weighing().aboard.lead);
        // What mass can do has been done.
        let aimed = kart.map(|kart| Kart { corners: at_aims(scenario, &kart.corners), ..*kart });
        let pair = |wanted: Figure| scenario.targets().iter().find(|target| target.figure == wanted);
        let rear_pair_then =
            pair(Figure::FrontPair).filter(|_| pair(Figure::RearPair).is_none()).map(|target| {
                let fronts = target.aim.line().difference_kg;
                let left = scenario.wanted_share(Figure::Left).map(|(aim, _)| aim / 100.0);
                let rears = |Kart { corners, chassis }: &Kart| {
                    // LR = left - LF, RR = right - RF.
                    if let Some(left) = left {
                        return corners.total() * (2.0 * left - 1.0) - fronts;
                    }
                    let ratio = chassis.track_front.mm() / chassis.track_rear.mm();
                    corners.rear_pair() + (corners.front_pair() - fronts) * ratio
                };
                Quantity::estimated(Kg, aimed.estimate(rears))
            });
        Twist {
            corners: wheels(kart, |kart, corner| (kart.chassis.twist_direction() * twist_of(kart))[corner]),
            rate: Quantity::estimated(KgPerMm, kart.estimate(|kart| kart.chassis.twist_rate_kg_per_mm)),
            spacer: Spacer::against(kart, stacks, twist_of),
            lead_across: LeadAcross::new(chassis, example(scenario.units())),
            rear_pair_then,
            left_shift: percent((100.0 * split.twist_kg * (1.0 - ratio) / split.total_kg).abs()),
            corrections: corrections(scenario, load, &aimed, stacks),
        }
    }
}

impl LeadAcross {
    /// Over the axles, where it does most.
    pub fn new(chassis: &Chassis, mass: Mass) -> LeadAcross {
        let off_middle_mm = 267.0;
        let across = |x: f64, y: f64| {
            let at = |y: f64| chassis.influence(Point::from_mm(x, y));
            (at(-y) - at(y)) * mass.kg()
        };
        let change = across(chassis.wheelbase.mm(), off_middle_mm) + across(0.0, -off_middle_mm);
        let front_pair = change.front_pair().abs();
        LeadAcross {
            mass: mass.into(),
            off_middle: mm(off_middle_mm),
            front_pair: kg(front_pair),
            // A millimetre takes its rate off one front wheel and puts it on the other.
            washers: mm(front_pair / (2.0 * chassis.twist_rate_kg_per_mm)),
        }
    }
}

/// How every target that twist decides stands once mass has brought front and left onto target.
fn corrections(scenario: &Scenario, load: &Load, aimed_kart: &UnsureKart, stacks: Stacks) -> Vec<Correction> {
    let aimed = Load { corners: at_aims(scenario, &load.corners), total: load.total };
    let has = |figure: Figure| scenario.targets().iter().any(|target| target.figure == figure);
    let once = match (has(Figure::Front) || has(Figure::Rear), has(Figure::Left)) {
        (true, true) => "with front and left on target",
        (true, false) => "with front on target",
        (false, true) => "with left on target",
        (false, false) => "as weighed",
    };
    let corrections = (0..scenario.targets().len()).filter_map(|target| {
        let judged = plan::Residual::new(scenario, target, scenario.class().weighed_at, &aimed);
        let spacer = Spacer::for_residual(aimed_kart, stacks, &judged)?;
        let then = Residual { state: None, ..Residual::new(&judged, aimed_kart) };
        Some(Correction { once, then, spacer })
    });
    corrections.collect()
}
