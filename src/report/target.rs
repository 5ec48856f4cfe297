//! Targets for reports: what is wanted, how a state stands to it, and the words for both.
//! Takes targets and residuals of the judge; gives names, numbers and verdicts in the units of the screen.
//! Does not measure anything itself.

use super::amount::{Screen, Weight, fixed, rounded_kg, rounded_percent, trimmed};
use crate::plan::{Measured, Residual};
use crate::scenario::{Aim, Figure, Moment, Scenario};
use crate::uncertainty::kart::{self, UnsureKart};
use crate::uncertainty::verdict::{self, Call};

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
        }
    }

    /// What it is made of, for those that differ from place to place; printed once where it is shown.
    pub const fn definition(self) -> Option<&'static str> {
        match self {
            Figure::Front | Figure::Rear | Figure::Left => None,
            Figure::Cross => Some("cross % is (RF + LR) / total"),
            Figure::FrontPair => Some("front pair is LF - RF"),
            Figure::RearPair => Some("rear pair is LR - RR"),
        }
    }
}

/// The number of a figure as read on a screen: percent, or a signed difference.
pub fn number(screen: Screen, figure: Figure, value: f64) -> String {
    if figure.is_share() { fixed(value, 2) } else { screen.signed(value).number }
}

/// What is wanted of a figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// The figure.
    pub figure: Figure,
    /// Aim: percent, or kg for a pair.
    pub aim: f64,
    /// Half-width of the band: percent, or kg for a pair.
    pub within: f64,
    /// Both as read on the screen: `43 +- 0.5`, for a pair with its unit.
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
        }
    }
}

/// How a state stands to a target.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// The figure as it is: percent, or kg for a pair.
    pub value: f64,
    /// The same as read on the screen.
    pub number: String,
    /// Above (positive) or below the aim.
    pub distance: Weight,
    /// Outside the band.
    pub miss: Weight,
    /// Whether the target counts as met.
    pub in_band: bool,
    /// How sure that is.
    pub call: Call,
    /// The ± of the value, at k = 2: percent, or kg for a pair.
    pub unsure: f64,
    /// The same as read on the screen.
    pub plus_minus: String,
}

impl Standing {
    /// From the judge's residual and the kart that it was measured on.
    pub fn new(screen: Screen, scenario: &Scenario, residual: &Residual, kart: &UnsureKart) -> Standing {
        let share = residual.figure.is_share();
        let unsure = verdict::figure(residual, kart).expanded();
        Standing {
            value: if share { rounded_percent(residual.value) } else { rounded_kg(residual.value) },
            number: number(screen, residual.figure, residual.value),
            distance: screen.signed(residual.distance_kg),
            miss: screen.plain(residual.miss_kg),
            in_band: residual.in_band,
            call: Call::of(scenario, residual, kart),
            unsure: if share { rounded_percent(unsure) } else { rounded_kg(unsure) },
            plus_minus: if share { fixed(unsure, 2) } else { screen.column(unsure).number },
        }
    }

    /// `on target`, by how much it is off, or that nobody can tell.
    pub fn verdict(&self) -> String {
        match (self.call, self.miss.number.as_str()) {
            (Call::Met, _) => "on target".to_owned(),
            (Call::TooClose, _) => self.call.words().to_owned(),
            (Call::Missed, "0") => format!("off by under 0.01 {}", self.miss.unit),
            (Call::Missed, _) => format!("off by {}", self.miss),
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
}

/// All targets in file order. `before` and `after` are of the same scenario, so their residuals run in parallel; `unsure`
/// is what the plan makes of the kart at each moment.
pub fn target_lines(
    screen: Screen,
    scenario: &Scenario,
    before: &Measured,
    after: &Measured,
    unsure: &[(Moment, UnsureKart); 2],
) -> Vec<TargetLines> {
    let mut lines: Vec<TargetLines> = Vec::new();
    let mut target = None;
    let earlier = Moment::ALL.map(|moment| kart::state(scenario, before.driver, moment, &before.counts));
    for (then, now) in before.residuals.iter().zip(&after.residuals) {
        if target != Some(now.target) {
            target = Some(now.target);
            lines.push(TargetLines { wanted: Wanted::new(screen, now.figure, now.aim), states: Vec::new() });
        }
        let at_moment = std::iter::zip(&earlier, unsure).find(|(_, (moment, _))| *moment == now.moment);
        if let (Some(line), Some((kart_then, (_, kart_now)))) = (lines.last_mut(), at_moment) {
            let standing = |residual, kart| Standing::new(screen, scenario, residual, kart);
            line.states.push((now.moment, standing(then, kart_then), standing(now, kart_now)));
        }
    }
    lines
}
