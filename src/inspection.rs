//! The margin at inspection: what must be on board so that the officials' scale shows the class minimum.
//! Does not know the integer program: model and judge both ask here, so that they cannot disagree.
//!
//! The officials read `total − losses + errors`. Losses (sweat) have a mean; everything else errs either way. With the mean
//! loss s and the standard uncertainty u of all lines together, a kart that should weigh T passes with the chance
//! `Φ((T − s − minimum)/u)`; so a chance p requires the margin `s + u·Φ⁻¹(p)`.

use crate::counts::Counts;
use crate::scenario::{Margin, Moment, Scenario};
use crate::uncertainty::cause::Cause;
use crate::uncertainty::inputs;
use crate::uncertainty::{by_cause, combined_from_few, normal, standard};
use crate::units::{Mass, UnitSystem};
use crate::weighing;

/// Sweat of stock-car drivers, L/h: mean and standard deviation (Carlson 2018, J Strength Cond Res 32(7)); a litre of it is
/// taken as a kilogram.
pub const SWEAT_L_PER_H: (f64, f64) = (0.63, 0.4);

/// No margin is larger, kg: beyond it a mass leaves its range, and no kart has ever needed it.
const MOST_MARGIN_KG: f64 = 50_000.0;

/// Below a microgram is what rounding leaves of errors that cancel.
const NOTHING_KG: f64 = 1e-9;

/// One line of the budget.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// What makes the officials read something else than the plan says.
    pub what: &'static str,
    /// What is lost on average, kg.
    pub loss_kg: f64,
    /// Standard uncertainty, kg.
    pub standard_kg: f64,
    /// Degrees of freedom of that.
    pub freedom: f64,
}

/// Everything between a plan's total and the officials' reading.
#[derive(Clone, Debug, PartialEq)]
pub struct Budget {
    /// Lines in the order in which things happen; none that is nothing.
    pub lines: Vec<Line>,
    /// What is lost on average, kg.
    pub loss_kg: f64,
    /// Standard uncertainty of all lines together, kg.
    pub standard_kg: f64,
}

/// Minimum plus margin: what a driver's kart must weigh, by one's own bookkeeping, when the officials weigh it.
///
/// The same for every plan of that driver, so that the integer program can be stated; the lead that is not yet chosen is
/// taken as the least certain that there is.
pub fn required(scenario: &Scenario, driver: Option<usize>) -> Mass {
    scenario.class().minimum + margin(scenario, driver)
}

/// What is added to the class minimum: as the file says, or as much as the wanted chance to pass takes.
pub fn margin(scenario: &Scenario, driver: Option<usize>) -> Mass {
    match scenario.class().margin {
        Margin::Fixed(margin) => margin,
        Margin::Confidence { percent, less } => {
            let budget = Budget::before_planning(scenario, driver);
            let whole = budget.margin(percent / 100.0, scenario.units());
            if less < whole { whole - less } else { Mass::ZERO }
        }
    }
}

impl Budget {
    /// For a plan that is not made yet.
    pub fn before_planning(scenario: &Scenario, driver: Option<usize>) -> Budget {
        let aboard = &inputs::weighing_of(scenario, driver).aboard.lead;
        let as_weighed = weighing::state(scenario, driver, scenario.class().weighed_at, aboard).total;
        let lead_kg = unsure_lead(scenario, (scenario.class().minimum - as_weighed).abs());
        let mut own = own_lines(scenario, driver, aboard);
        own.push((Cause::Lead, lead_kg, f64::INFINITY));
        Budget::new(scenario, driver, own)
    }

    /// For a driver with that lead on the mounts.
    pub fn of_plan(scenario: &Scenario, driver: Option<usize>, counts: &Counts) -> Budget {
        Budget::new(scenario, driver, own_lines(scenario, driver, counts))
    }

    fn new(scenario: &Scenario, driver: Option<usize>, own: Vec<(Cause, f64, f64)>) -> Budget {
        let inspection = scenario.inspection();
        let line = |what, loss_kg, standard_kg| Line { what, loss_kg, standard_kg, freedom: f64::INFINITY };
        // The scale that gave the total is the one that decides: it errs alike both times.
        let official = if inputs::weighing_of(scenario, driver).as_official {
            0.0
        } else {
            standard::of_limit(inspection.accuracy.limit_kg(inspection.step, scenario.class().minimum))
        };
        let mut lines: Vec<Line> = own
            .into_iter()
            .map(|(cause, standard_kg, freedom)| Line { freedom, ..line(cause.words(), 0.0, standard_kg) })
            .collect();
        // Whoever is weighed before the start has not sweated yet.
        if scenario.class().weighed_at == Moment::Finish {
            let hours = inspection.minutes / 60.0;
            let (mean, deviation) = SWEAT_L_PER_H;
            lines.push(line("sweat", mean * hours, deviation * hours));
        }
        lines.extend([
            line("clothing, dirt, tyre wear", 0.0, standard::of_limit(inspection.clothing.kg())),
            line("official scale", 0.0, official),
            line("steps of the official scale", 0.0, standard::of_step(inspection.step.kg())),
        ]);
        lines.retain(|line| line.loss_kg > 0.0 || line.standard_kg > NOTHING_KG);
        Budget {
            loss_kg: lines.iter().map(|line| line.loss_kg).sum(),
            standard_kg: combined_from_few(lines.iter().map(|line| (line.standard_kg, line.freedom))),
            lines,
        }
    }

    /// The margin that passes with that chance, rounded up to what is worth writing down: 10 g, or 0.02 lb.
    pub fn margin(&self, chance: f64, units: UnitSystem) -> Mass {
        let margin_kg = self.loss_kg + self.standard_kg * normal::quantile(chance);
        let step = match units {
            UnitSystem::KgMm => Mass::from_kg(0.01),
            UnitSystem::LbIn => Mass::from_lb(0.02),
        };
        let steps = (margin_kg / step.kg()).ceil();
        let most = (MOST_MARGIN_KG / step.kg()).floor();
        match steps {
            many if many > most => Mass::from_ng(step.ng() * most as i64),
            some if some > 0.0 => Mass::from_ng(step.ng() * some as i64),
            _ => Mass::ZERO,
        }
    }

    /// Chance that a kart of that total, by one's own bookkeeping, passes.
    pub fn chance(&self, total: Mass, minimum: Mass) -> f64 {
        let above_kg = (total - minimum).kg() - self.loss_kg;
        match self.standard_kg {
            unsure if unsure > 0.0 => normal::chance_below(above_kg / unsure),
            _ if above_kg >= 0.0 => 1.0,
            _ => 0.0,
        }
    }
}

/// Standard uncertainty of a total as the officials weigh it, by one's own bookkeeping, kg.
pub fn unsure_total(scenario: &Scenario, driver: Option<usize>, counts: &Counts) -> f64 {
    combined_from_few(
        own_lines(scenario, driver, counts).into_iter().map(|(_, standard, freedom)| (standard, freedom)),
    )
}

/// Standard uncertainty of the total as the officials weigh it, by cause, with its degrees of freedom.
fn own_lines(scenario: &Scenario, driver: Option<usize>, counts: &Counts) -> Vec<(Cause, f64, f64)> {
    let moment = scenario.class().weighed_at;
    let inputs = inputs::of_pads(scenario, driver).into_iter().chain(inputs::of_masses(scenario, driver));
    // What the officials' scale is off by, it is off by again.
    by_cause(
        inputs.filter(|input| input.cause != Cause::OfficialScale).map(|input| {
            (input.cause, input.shift_of_total(scenario, driver, moment, counts), input.freedom)
        }),
    )
}

/// Standard uncertainty of so much lead, if it is made of the pieces that are known worst and all of them err to the same side,
/// kg. Pieces more along never make it less: `pack` relies on that.
fn unsure_lead(scenario: &Scenario, amount: Mass) -> f64 {
    let kinds = scenario.lead().iter().filter(|kind| kind.mass > Mass::ZERO);
    let mut kinds: Vec<(f64, f64)> = kinds
        .map(|kind| {
            let per_kg = standard::of_limit(kind.within.kg()) / kind.mass.kg();
            (per_kg, (kind.mass * kind.count).kg())
        })
        .collect();
    kinds.sort_by(|(one, _), (other, _)| other.total_cmp(one));
    let taken = kinds.into_iter().scan(amount.kg(), |missing, (per_kg, there_is)| {
        let taken = there_is.min(*missing);
        *missing -= taken;
        Some(taken * per_kg)
    });
    taken.sum()
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;

    use super::*;

    const TEXT: &str = "\
units: kg-mm
kart: {name: k, wheelbase: 1040, track_front: 1060, track_rear: 1190}
class: {name: c, minimum: 150}
weighing:
  scales: {lf: 33.5, rf: 31, lr: 45.5, rr: 44}
  floor: {lf: 0, rf: 1.4, lr: -0.8, rr: 0.3}
  aboard: {driver: Sam, fuel: 3 L, lead: {seat: {slab: 2}}}
drivers:
  Sam: {mass: 74, x: 430, y: 12}
  Alex: {mass: 62, x: 455, y: 18}
driver: Alex
fuel: {x: 560, y: 40, start: 5 L, finish: 2 L}
mounts: {seat: {x: 260, y: 270, capacity: 8}}
lead: {slab: {mass: 2.5, count: 3}, puck: {mass: 1, count: 4}}
";

    /// The sum against the whole bookkeeping, shifted input by input.
    #[test]
    fn the_total_shifts_as_the_bookkeeping_says() {
        let (scenario, _) = Scenario::from_yaml(TEXT).expect("the scenario is right");
        let mut counts = Counts::none(2, 1);
        *counts.get_mut(0, 0) = 1;
        *counts.get_mut(1, 0) = 3;
        for driver in [Some(0), Some(1), None] {
            for moment in Moment::ALL {
                for input in inputs::of_state(&scenario, driver) {
                    let mut shifted = scenario.clone();
                    let mut total = |by: f64| {
                        input.shift(&scenario, &mut shifted, driver, by);
                        weighing::state(&shifted, driver, moment, &counts).total.kg()
                    };
                    let expected = f64::midpoint(total(1.0), -total(-1.0));
                    let found = input.shift_of_total(&scenario, driver, moment, &counts);
                    // To the nanogram of each of four pads.
                    assert_abs_diff_eq!(found, expected, epsilon = 1e-11);
                }
            }
        }
    }

    #[test]
    fn pieces_more_along_never_make_the_margin_less() {
        let required = |lead: &str| {
            let text = TEXT
                .split("lead: {slab")
                .next()
                .expect("all before the lead")
                .replace("{seat: {slab: 2}}", "none");
            let (scenario, _) =
                Scenario::from_yaml(&format!("{text}lead: {{{lead}}}\n")).expect("the scenario is right");
            required(&scenario, Some(1))
        };
        let slab = "slab: {mass: 5, within: 0.5, count: 1}";
        let [alone, with_better, with_worse] = [
            slab.to_string(),
            format!("{slab}, puck: {{mass: 1, within: 0.01, count: 3}}"),
            format!("{slab}, puck: {{mass: 1, within: 0.3, count: 3}}"),
        ]
        .map(|lead| required(&lead));
        assert!(alone <= with_better && with_better < with_worse, "{alone:?} {with_better:?} {with_worse:?}");
    }
}
