//! What four pads may have got wrong: every independent error as a shift of the four readings.
//! Takes readings, what is known of the pads and of the floor, and the chassis; gives shifts of one standard uncertainty
//! each.
//! Does not know what is aboard, nor what the readings are used for.

use super::cause::Cause;
use super::standard;
use crate::scale::Accuracy;
use crate::scenario::{Pads, Spread, Taken, twist_of_floor};
use crate::statics::{Chassis, Corners};
use crate::units::{Length, Mass};

/// Every independent error of a weighing: its cause, and the shift of LF RF LR RR by one standard uncertainty, kg.
///
/// `taken` is what is known beyond a single set of readings on pads whose zeros nobody watched.
pub fn shifts(
    readings: [Mass; 4],
    pads: &Pads,
    taken: Option<&Taken>,
    chassis: &Chassis,
) -> Vec<(Cause, Corners)> {
    let load_kg = readings.map(Mass::kg);
    let mut shifts = Vec::new();
    let mut each = |cause: Cause, standard_kg: [f64; 4]| {
        for (pad, kg) in standard_kg.into_iter().enumerate() {
            let mut shift = [0.0; 4];
            shift[pad] = kg;
            shifts.push((cause, Corners::from_kg(shift)));
        }
    };
    let spread = taken.and_then(|taken| taken.spread.as_ref());
    if let Some(spread) = spread {
        each(Cause::Repeats, [pad_of_mean(spread, pads.step); 4]);
    } else {
        each(Cause::Repeats, [pads.repeatability.kg(); 4]);
        each(Cause::Step, [standard::of_step(pads.step.kg()); 4]);
    }
    let own = readings.map(|reading| standard::of_limit(pads.accuracy.limit_kg(pads.step, reading)));
    each(Cause::Accuracy, own);
    each(
        Cause::Drift,
        match taken.and_then(|taken| taken.zeros) {
            // Half of what the zero moved was taken off; how much was right lies evenly between nothing and all of it.
            Some([before, after]) => {
                std::array::from_fn(|pad| standard::of_step((after[pad] - before[pad]).abs().kg()))
            }
            None => [standard::of_limit(pads.drift.kg()); 4],
        },
    );
    let shared =
        standard::of_limit(Accuracy::Percent(pads.shared_percent).limit_kg(pads.step, Mass::from_kg(1.0)));
    shifts.push((Cause::Shared, Corners::from_kg(load_kg) * shared));
    let floor = taken.and_then(|taken| taken.floor);
    let (cause, height_mm) = match floor {
        Some(floor) => (Cause::Survey, standard::of_limit(floor.within.mm())),
        None => (Cause::Level, standard::of_limit(pads.level.mm())),
    };
    for pad in 0..4 {
        let mut heights = [Length::ZERO; 4];
        heights[pad] = Length::from_mm(height_mm);
        let twist_kg = taken
            .map_or_else(|| twist_of_floor(chassis, heights), |taken| taken.twist_of_floor(chassis, heights));
        shifts.push((cause, chassis.twist_direction() * twist_kg));
    }
    if let Some(spread) = spread {
        let direction = chassis.twist_direction();
        let length = direction.kg().iter().map(|part| part * part).sum::<f64>().sqrt();
        shifts.push((Cause::Settling, direction * (twist_of_mean(spread) / length)));
    }
    shifts
}

/// Standard uncertainty of LF RF LR RR, kg, by what errs anew whenever a kart is weighed: what does not come back, the steps of
/// the display, the zeros. What pads that stay where they are do alike at every weighing is not in it: their accuracy, their
/// levels. Settling shifts all four at once and is counted at each as if it were alone, which makes it a little too large.
pub fn anew(readings: [Mass; 4], pads: &Pads, taken: &Taken, chassis: &Chassis) -> [f64; 4] {
    let mut variance = [0.0; 4];
    for (cause, shift) in shifts(readings, pads, Some(taken), chassis) {
        if matches!(cause, Cause::Repeats | Cause::Step | Cause::Drift | Cause::Settling) {
            for (variance, kg) in variance.iter_mut().zip(shift.kg()) {
                *variance += kg * kg;
            }
        }
    }
    variance.map(f64::sqrt)
}

/// Standard uncertainty of one pad's mean over the sets, kg; never less than what the display hides.
fn pad_of_mean(spread: &Spread, step: Mass) -> f64 {
    let seen = standard::widened(spread.pad_kg, f64::from(3 * spread.sets.saturating_sub(1)));
    let hidden = standard::of_step(step.kg());
    let one = if seen > hidden { seen } else { hidden };
    one / f64::from(spread.sets).sqrt()
}

/// Standard uncertainty of the mean along the direction of twist, as a vector of unit length, beyond what the pads do by
/// themselves, kg.
fn twist_of_mean(spread: &Spread) -> f64 {
    let excess = spread.along_twist_kg * spread.along_twist_kg - spread.pad_kg * spread.pad_kg;
    if excess > 0.0 { (excess / f64::from(spread.sets)).sqrt() } else { 0.0 }
}
