//! What may be said of a target: met, on the edge, not to be confirmed, just off, off; and with what chance it is met.
//! Takes the judge's residual and the kart with its uncertainties; gives the verdict and the ± it rests on (JCGM 106:2012).

use schemars::JsonSchema;
use serde::Serialize;

use super::kart::{Kart, UnsureKart};
use super::{COVERAGE_FACTOR, Estimate, normal};
use crate::plan::Residual;

/// Guard of a tolerance, in standard uncertainties: one-sided 95 % (quantile of the normal distribution).
const GUARD: f64 = 1.645;

/// What may be said of a target; the better first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Inside the tolerance by the guard at least.
    OnTarget,
    /// Inside, but nearer to the edge than the guard.
    NearEdge,
    /// Inside a tolerance so narrow that no plan could be called sure.
    CannotConfirm,
    /// Outside by no more than the guard.
    JustOff,
    /// Outside by more.
    Off,
}

impl Verdict {
    /// From how far the figure is from its aim, and half of the tolerance, all in kg; `inside` is the judge's word.
    pub fn new(distance: Estimate, half_width_kg: f64, inside: bool) -> Verdict {
        let beyond_kg = distance.value.abs() - half_width_kg;
        let guard_kg = GUARD * distance.standard;
        match inside {
            true if half_width_kg < COVERAGE_FACTOR * distance.standard => Verdict::CannotConfirm,
            true if beyond_kg <= -guard_kg => Verdict::OnTarget,
            true => Verdict::NearEdge,
            false if beyond_kg <= guard_kg => Verdict::JustOff,
            false => Verdict::Off,
        }
    }
}

/// Chance that a figure is truly inside its tolerance: `Φ((T − y)/u) − Φ((−T − y)/u)` (JCGM 106:2012, 7.4).
pub fn chance(distance: Estimate, half_width_kg: f64) -> f64 {
    let Estimate { value, standard } = distance;
    if standard > 0.0 {
        let below = |edge: f64| normal::chance_below((edge - value) / standard);
        below(half_width_kg) - below(-half_width_kg)
    } else {
        f64::from(u8::from(value.abs() <= half_width_kg))
    }
}

/// Half of the tolerance on a kart, kg.
pub fn half_width_kg(residual: &Residual, kart: &UnsureKart) -> f64 {
    let line = residual.aim.line();
    line.within_share * kart.centre.corners.total() + line.within_kg
}

/// The distance of a residual from its aim with its ±, kg.
pub fn distance(residual: &Residual, kart: &UnsureKart) -> Estimate {
    kart.estimate(|kart| distance_on(residual, kart))
}

/// The same on one kart, kg.
pub fn distance_on(residual: &Residual, kart: &Kart) -> f64 {
    let line = residual.aim.line();
    residual.figure.kg(&kart.corners) - line.share * kart.corners.total() - line.difference_kg
}

/// The figure of a residual with its ±: percent, kg for a pair, mm for a height.
pub fn figure(residual: &Residual, kart: &UnsureKart) -> Estimate {
    kart.estimate(|kart| residual.figure.read(&kart.chassis, &kart.corners))
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;

    use super::*;

    fn at(value: f64, standard: f64) -> Estimate {
        Estimate { value, standard }
    }

    // Source: ILAC-G8:09/2019, table of false accepts for a guard of w = r·U, U = 2u (seen in part): r = 0 under 50 %, 0.83 under
    // 5 %, 1 under 2.5 %, 1.5 under 0.16 %, 3 under 1 ppm; RECOMP: Φ(−1.66), Φ(−2), Φ(−3), Φ(−6).
    #[test]
    fn a_guard_leaves_the_false_accepts_of_the_table() {
        let wide = 1000.0;
        for (guard, most, exact) in [
            (0.0, 0.5, 0.5),
            (1.66, 0.05, 0.048_46),
            (2.0, 0.025, 0.022_75),
            (3.0, 0.0016, 0.001_350),
            (6.0, 1e-6, 0.000_987e-6),
        ] {
            let wrong = 1.0 - chance(at(wide - guard, 1.0), wide);
            assert!(wrong <= most + 1e-12, "{guard}: {wrong}");
            assert_abs_diff_eq!(wrong, exact, epsilon = 6e-6);
        }
    }

    // Source: JCGM 106:2012, 7.4 (MEM); RECOMP with Φ(1) = 0.841345, Φ(3) = 0.998650.
    #[test]
    fn a_chance_counts_both_edges() {
        assert_abs_diff_eq!(chance(at(0.0, 1.0), 1.96), 0.95, epsilon = 1e-5);
        assert_abs_diff_eq!(chance(at(1.0, 1.0), 2.0), 0.841_345 - 0.001_350, epsilon = 2e-6);
        assert_abs_diff_eq!(chance(at(-1.0, 1.0), 2.0), chance(at(1.0, 1.0), 2.0), epsilon = 1e-12);
        assert_abs_diff_eq!(chance(at(0.5, 0.0), 0.5), 1.0);
        assert_abs_diff_eq!(chance(at(0.6, 0.0), 0.5), 0.0);
    }

    #[test]
    fn each_word_begins_where_the_last_one_ends() {
        let said = |value: f64, half: f64| Verdict::new(at(value, 1.0), half, value.abs() <= half);
        assert_eq!([said(1.35, 3.0), said(-1.35, 3.0)], [Verdict::OnTarget; 2]);
        assert_eq!([said(1.36, 3.0), said(-3.0, 3.0)], [Verdict::NearEdge; 2]);
        assert_eq!([said(3.01, 3.0), said(-4.64, 3.0)], [Verdict::JustOff; 2]);
        assert_eq!([said(4.65, 3.0), said(-9.0, 3.0)], [Verdict::Off; 2]);
        assert_eq!([said(0.0, 1.95), said(-1.9, 1.95)], [Verdict::CannotConfirm; 2]);
        assert_eq!([said(0.0, 1.96), said(2.0, 1.95)], [Verdict::OnTarget, Verdict::JustOff]);
    }
}
