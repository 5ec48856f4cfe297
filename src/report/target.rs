//! Targets for reports: what is wanted, how a state stands to it, and the words for both.
//! Takes targets and residuals of the judge; gives names, numbers and verdicts in the units of the screen.
//! Does not measure anything itself.

use super::amount::{Screen, Weight, fixed, rounded_kg, rounded_mm, rounded_percent, trimmed};
use super::state::Known;
use crate::plan::Residual;
use crate::scenario::{Aim, Figure, Moment, Scenario};
use crate::uncertainty::kart::UnsureKart;
use crate::uncertainty::verdict::{self, Call};
use crate::units::Length;

impl Figure {
    /// Its name on a screen.
    pub const fn name(self) -> &'static str {
        match self {
            Figure::Front => "front %",
            Figure::Rear => "rear %",
            Figure::Left => "left %",
            Figure::Cross => "cross %",
            Figure::FrontPair => "front pair",
            Figure::RearPair => "rear pair",
            Figure::Height => "height",
        }
    }

    /// What it is made of, for those that differ from place to place; printed once where it is shown.
    pub const fn definition(self) -> Option<&'static str> {
        match self {
            Figure::Front | Figure::Rear | Figure::Left => None,
            Figure::Cross => Some("cross % is (RF + LR) / total"),
            Figure::FrontPair => Some("front pair is LF - RF"),
            Figure::RearPair => Some("rear pair is LR - RR"),
            Figure::Height => Some("height is that of the centre of gravity above the ground"),
        }
    }
}

/// The number of a figure as read on a screen: percent, a signed difference, or a height.
pub fn number(screen: Screen, figure: Figure, value: f64) -> String {
    match figure {
        Figure::Front | Figure::Rear | Figure::Left | Figure::Cross => fixed(value, 2),
        Figure::FrontPair | Figure::RearPair => screen.signed(value).number,
        Figure::Height => screen.fine(Length::from_mm(value)).number,
    }
}

/// A figure or its ± for documents: percent, kg or mm.
fn rounded(figure: Figure, value: f64) -> f64 {
    match figure {
        Figure::Front | Figure::Rear | Figure::Left | Figure::Cross => rounded_percent(value),
        Figure::FrontPair | Figure::RearPair => rounded_kg(value),
        Figure::Height => rounded_mm(value),
    }
}

/// What is wanted of a figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// The figure.
    pub figure: Figure,
    /// Aim: percent, kg for a pair, mm for a height.
    pub aim: f64,
    /// Half-width of the band: percent, kg for a pair, mm for a height.
    pub within: f64,
    /// Both as read on the screen: `43 +- 0.5`, for a pair or a height with its unit.
    pub text: String,
}

impl Wanted {
    /// What a target wants.
    pub fn new(screen: Screen, figure: Figure, aim: Aim) -> Wanted {
        match aim {
            Aim::Percent { aim, within } => Wanted {
                figure,
                aim: rounded_percent(aim),
                within: rounded_percent(within),
                text: format!("{} +- {}", trimmed(aim, 3), trimmed(within, 3)),
            },
            Aim::Difference { aim, within } => Wanted {
                figure,
                aim: rounded_kg(aim.kg()),
                within: rounded_kg(within.kg()),
                text: format!("{} +- {}", screen.given(aim).number, screen.given(within)),
            },
            Aim::Height { aim, within, .. } => Wanted {
                figure,
                aim: rounded_mm(aim.mm()),
                within: rounded_mm(within.mm()),
                text: format!("{} +- {}", screen.fine(aim).number, screen.fine(within)),
            },
        }
    }
}

impl Wanted {
    /// The unit of [`Wanted::aim`] and of every number beside it in documents.
    pub const fn unit(&self) -> &'static str {
        match self.figure {
            Figure::Front | Figure::Rear | Figure::Left | Figure::Cross => "percent",
            Figure::FrontPair | Figure::RearPair => "kg",
            Figure::Height => "mm",
        }
    }
}

/// How a state stands to a target.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// The figure as it is: percent, kg for a pair, mm for a height.
    pub value: f64,
    /// The same as read on the screen.
    pub number: String,
    /// Above (positive) or below the aim.
    pub distance: Weight,
    /// The ± of the distance, at k = 2.
    pub distance_sure: Weight,
    /// Outside the band.
    pub miss: Weight,
    /// The same as read on the screen, a height in the units of a height.
    pub off: String,
    /// Whether the target counts as met.
    pub in_band: bool,
    /// How sure that is.
    pub call: Call,
    /// The ± of the value, at k = 2: percent, kg for a pair, mm for a height.
    pub unsure: f64,
    /// The same as read on the screen.
    pub plus_minus: String,
}

impl Standing {
    /// From the judge's residual and the kart that it was measured on.
    pub fn new(screen: Screen, scenario: &Scenario, residual: &Residual, kart: &UnsureKart) -> Standing {
        let figure = residual.figure;
        let unsure = verdict::figure(residual, kart).expanded();
        let miss = screen.plain(residual.miss_kg);
        let off = match residual.aim {
            Aim::Height { wheelbase, .. } => {
                let share = residual.miss_kg / kart.centre.corners.total();
                let way = screen.fine(Length::from_mm(wheelbase.mm() * share));
                if way.number == "0" { format!("under 0.1 {}", way.unit) } else { way.to_string() }
            }
            _ if miss.number == "0" => format!("under 0.01 {}", miss.unit),
            _ => miss.to_string(),
        };
        Standing {
            value: rounded(figure, residual.value),
            number: number(screen, residual.figure, residual.value),
            distance: screen.signed(residual.distance_kg),
            distance_sure: screen.column(verdict::distance(residual, kart).expanded()),
            miss,
            off,
            in_band: residual.in_band,
            call: Call::of(scenario, residual, kart),
            unsure: rounded(figure, unsure),
            plus_minus: match figure {
                Figure::FrontPair | Figure::RearPair => screen.column(unsure).number,
                _ => number(screen, figure, unsure),
            },
        }
    }

    /// `on target`, by how much it is off, or that nobody can tell.
    pub fn verdict(&self) -> String {
        match self.call {
            Call::Met => "on target".to_owned(),
            Call::TooClose => self.call.words().to_owned(),
            Call::Missed => format!("off by {}", self.off),
        }
    }
}

/// One target: what is wanted, and how it stands before and after in each state where it counts.
#[derive(Clone, Debug, PartialEq)]
pub struct TargetLines {
    /// What is wanted.
    pub wanted: Wanted,
    /// State, before, after.
    pub states: Vec<(Moment, Standing, Standing)>,
}

impl TargetLines {
    /// What can be said of it as a whole: missed if it is in any state, else too close to call if it is in any.
    pub fn call(&self) -> Call {
        let called = |call| self.states.iter().any(|(_, _, after)| after.call == call);
        [Call::Missed, Call::TooClose].into_iter().find(|call| called(*call)).unwrap_or(Call::Met)
    }

    /// The state that is known worst after the change, for its ±.
    pub fn unsure_after(&self) -> Option<&Standing> {
        least_sure(self.states.iter().map(|(_, _, after)| after))
    }

    /// `front % +- 0.16`: to what the figure is known before, where start and finish differ the larger.
    pub fn unsure_before(&self) -> String {
        let most = least_sure(self.states.iter().map(|(_, before, _)| before));
        let most = most.map_or_else(String::new, |standing| format!(" +- {}", standing.plus_minus));
        format!("{}{most}", self.wanted.figure.name())
    }
}

fn least_sure<'s>(states: impl Iterator<Item = &'s Standing>) -> Option<&'s Standing> {
    states.max_by(|one, other| one.unsure.total_cmp(&other.unsure))
}

/// All targets in file order. `before` and `after` are of the same scenario, so their residuals run in parallel.
pub(super) fn target_lines(
    screen: Screen,
    scenario: &Scenario,
    before: &Known,
    after: &Known,
) -> Vec<TargetLines> {
    let mut lines: Vec<TargetLines> = Vec::new();
    let mut target = None;
    for (then, now) in before.measured.residuals.iter().zip(&after.measured.residuals) {
        if target != Some(now.target) {
            target = Some(now.target);
            lines.push(TargetLines { wanted: Wanted::new(screen, now.figure, now.aim), states: Vec::new() });
        }
        let karts = before.at(now.moment).zip(after.at(now.moment));
        if let (Some(line), Some((kart_then, kart_now))) = (lines.last_mut(), karts) {
            let standing = |residual, kart| Standing::new(screen, scenario, residual, kart);
            line.states.push((now.moment, standing(then, kart_then), standing(now, kart_now)));
        }
    }
    lines
}
