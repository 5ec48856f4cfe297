//! The ± of what a report shows: for every corner, share, pair and centre of gravity, and where it comes from.
//! Takes a kart with its uncertainties; gives numbers rounded once and written once, in the units of the screen.
//! Does not compute an uncertainty itself.

use super::amount::{Distance, Screen, Weight, fixed, rounded_percent, trimmed};
use crate::scale::Class;
use crate::scenario::{Figure, Inspection, Pads, Within};
use crate::statics::Corner;
use crate::uncertainty::Estimate;
use crate::uncertainty::cause::Cause;
use crate::uncertainty::kart::{Kart, UnsureKart};
use crate::uncertainty::propagation::Propagation;
use crate::units::{Length, Mass};

/// A share of the cause with the largest part below which it is not worth naming alone.
const MOSTLY: f64 = 0.5;

/// The ± of a share of the total, at k = 2.
#[derive(Clone, Debug, PartialEq)]
pub struct SurePercent {
    /// Percent.
    pub percent: f64,
    /// The same as read on the screen.
    pub number: String,
}

impl SurePercent {
    pub(super) fn new(estimate: Estimate) -> SurePercent {
        let percent = estimate.expanded();
        SurePercent { percent: rounded_percent(percent), number: fixed(percent, 2) }
    }
}

/// The ± of a place in the plane of front % and left % (or cross %), at k = 2.
#[derive(Clone, Debug, PartialEq)]
pub struct SurePlace {
    /// Of front %.
    pub front: SurePercent,
    /// Of left % or cross %.
    pub across: SurePercent,
    /// Of the total.
    pub total: Weight,
}

impl SurePlace {
    /// Of whatever is made of the karts of `known`, such as their difference.
    pub(super) fn new<T>(
        screen: Screen,
        known: &Propagation<T, Cause>,
        across: Figure,
        of: impl Fn(&T, &dyn Fn(&Kart) -> f64) -> f64,
    ) -> SurePlace {
        let percent = |figure: Figure| {
            SurePercent::new(known.estimate(|karts| of(karts, &|kart| figure.of(&kart.corners))))
        };
        let total = known.estimate(|karts| of(karts, &|kart| kart.corners.total()));
        SurePlace {
            front: percent(Figure::Front),
            across: percent(across),
            total: screen.column(total.expanded()),
        }
    }

    /// The larger of each ±.
    pub(super) fn or_worse(self, other: SurePlace) -> SurePlace {
        let percent =
            |one: SurePercent, other: SurePercent| if other.percent > one.percent { other } else { one };
        SurePlace {
            front: percent(self.front, other.front),
            across: percent(self.across, other.across),
            total: if other.total.kg > self.total.kg { other.total } else { self.total },
        }
    }
}

/// The ± of everything that four corners say, at k = 2.
#[derive(Clone, Debug, PartialEq)]
pub struct SureKart {
    /// LF RF LR RR.
    pub corners: [Weight; 4],
    /// Of their sum.
    pub total: Weight,
    /// LF + RF.
    pub front: Weight,
    /// LR + RR.
    pub rear: Weight,
    /// LF + LR.
    pub left: Weight,
    /// RF + RR.
    pub right: Weight,
    /// Of front % and rear %, which are each other's rest.
    pub front_percent: SurePercent,
    /// Of left % and right %.
    pub left_percent: SurePercent,
    /// RF + LR, percent.
    pub cross_percent: SurePercent,
    /// LF - RF.
    pub front_pair: Weight,
    /// LR - RR.
    pub rear_pair: Weight,
    /// Centre of gravity, forward.
    pub cg_ahead: Distance,
    /// Centre of gravity, left.
    pub cg_left: Distance,
    /// Centre of gravity, up; nothing where nobody told a height.
    pub cg_height: Distance,
    /// Load at LF that no mass explains.
    pub warp: Weight,
}

impl SureKart {
    /// The ± of a kart.
    pub fn new(screen: Screen, kart: &UnsureKart) -> SureKart {
        let kg = |figure: &dyn Fn(&Kart) -> f64| screen.column(kart.estimate(figure).expanded());
        let percent =
            |figure: Figure| SurePercent::new(kart.estimate(|kart: &Kart| figure.of(&kart.corners)));
        let mm =
            |figure: &dyn Fn(&Kart) -> f64| screen.fine(Length::from_mm(kart.estimate(figure).expanded()));
        SureKart {
            corners: Corner::ALL.map(|corner| kg(&|kart| kart.corners[corner])),
            total: kg(&|kart| kart.corners.total()),
            front: kg(&|kart| kart.corners.front()),
            rear: kg(&|kart| kart.corners.rear()),
            left: kg(&|kart| kart.corners.left()),
            right: kg(&|kart| kart.corners.total() - kart.corners.left()),
            front_percent: percent(Figure::Front),
            left_percent: percent(Figure::Left),
            cross_percent: percent(Figure::Cross),
            front_pair: kg(&|kart| kart.corners.front_pair()),
            rear_pair: kg(&|kart| kart.corners.rear_pair()),
            cg_ahead: mm(&|kart| kart.chassis.cg(&kart.corners).x.mm()),
            cg_left: mm(&|kart| kart.chassis.cg(&kart.corners).y.mm()),
            cg_height: mm(&|kart| kart.chassis.cg_height(&kart.corners).mm()),
            warp: kg(&|kart| kart.chassis.split(&kart.corners).warp_kg),
        }
    }

    /// The ± of a figure as read on the screen.
    pub fn of(&self, figure: Figure) -> &str {
        match figure {
            Figure::Front | Figure::Rear => &self.front_percent.number,
            Figure::Left => &self.left_percent.number,
            Figure::Cross => &self.cross_percent.number,
            Figure::FrontPair => &self.front_pair.number,
            Figure::RearPair => &self.rear_pair.number,
            Figure::Height => &self.cg_height.number,
        }
    }
}

/// A figure with its name.
type Named<'a> = (&'static str, &'a dyn Fn(&Kart) -> f64);

/// What makes up most of the ± of the total, of front % and of the front pair, one sentence each.
pub fn origins(kart: &UnsureKart) -> Vec<String> {
    let figures: [Named; 3] = [
        ("total", &|kart| kart.corners.total()),
        ("front %", &|kart| Figure::Front.of(&kart.corners)),
        ("front pair", &|kart| kart.corners.front_pair()),
    ];
    let sentence = |(name, figure): Named| {
        let mut parts: Vec<(Cause, f64)> =
            kart.by_cause(figure).into_iter().map(|(cause, part)| (cause, part * part)).collect();
        let whole: f64 = parts.iter().map(|(_, part)| part).sum();
        parts.sort_by(|(_, one), (_, other)| other.total_cmp(one));
        let percent = |part: f64| fixed(100.0 * part / whole, 0);
        match parts.as_slice() {
            [(cause, part), ..] if *part > MOSTLY * whole => {
                Some(format!("{name}: {} ({} %)", cause.words(), percent(*part)))
            }
            [(first, one), (second, other), ..] if whole > 0.0 => Some(format!(
                "{name}: {} ({} %), {} ({} %)",
                first.words(),
                percent(*one),
                second.words(),
                percent(*other)
            )),
            _ => None,
        }
    };
    figures.into_iter().filter_map(sentence).collect()
}

/// What was assumed of the pads, as nobody said it; none if everything was said.
///
/// `surveyed` and `repeated` are weighings that say it better than any assumption.
pub fn assumed_pads(screen: Screen, pads: &Pads, surveyed: bool, repeated: bool) -> Option<String> {
    let standard = Pads::default();
    let share = screen.plain(standard.drift.kg());
    let said: Vec<String> = pads
        .assumed
        .iter()
        .filter_map(|key| {
            Some(match *key {
                "step" => format!("steps of {}", screen.plain(standard.step.kg())),
                "accuracy" => "each pad within 0.1 %".to_owned(),
                "shared" => "0.1 % shared by all".to_owned(),
                "repeatability" if !repeated => {
                    format!("repeats to {}", screen.plain(standard.repeatability.kg()))
                }
                "drift" => format!("zero within {share}"),
                "level" if !surveyed => format!("level within {}", screen.fine(standard.level)),
                _ => return None,
            })
        })
        .collect();
    (!said.is_empty()).then(|| format!("assumed of the pads, as the file does not say: {}", said.join(", ")))
}

/// What else was assumed, under the name of its setting; none if everything was said.
pub fn assumed_elsewhere(screen: Screen, within: &Within, inspection: &Inspection) -> Vec<String> {
    let mass = |mass: Mass| screen.plain(mass.kg()).to_string();
    let named = |section: &str, values: Vec<String>| {
        (!values.is_empty()).then(|| format!("assumed under `{section}`: {}", values.join(", ")))
    };
    let measured = within.assumed.iter().map(|key| {
        let value = match *key {
            "lengths" => screen.fine(within.lengths).to_string(),
            "places" => screen.fine(within.places).to_string(),
            "driver_place" => screen.fine(within.driver_place).to_string(),
            "driver" => mass(within.driver),
            "fuel" => mass(within.fuel),
            "weighed_lead" => screen.given(within.weighed_lead).to_string(),
            "nominal_lead" => format!("{} %", trimmed(within.nominal_lead_percent, 2)),
            "roll_share" => trimmed(within.roll_share, 3),
            _ => format!("{} %", trimmed(within.warp_rate_percent, 2)),
        };
        format!("{key} {value}")
    });
    let inspected = inspection.assumed.iter().map(|key| match *key {
        "step" => format!("step {}", mass(inspection.step)),
        "class" => format!("class {}", Class::OimlIii.words()),
        "minutes" => format!("minutes {}", trimmed(inspection.minutes, 1)),
        _ => format!("clothing {}", mass(inspection.clothing)),
    });
    [named("measured_within", measured.collect()), named("inspection", inspected.collect())]
        .into_iter()
        .flatten()
        .collect()
}
