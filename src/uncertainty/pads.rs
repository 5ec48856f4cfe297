//! What four pads may have got wrong: every independent error as a shift of the four readings.
//! Takes readings, what is known of the pads and of the floor, and the chassis; gives shifts of one standard uncertainty
//! each.
//! Does not know what is aboard, nor what the readings are used for.

use super::cause::Cause;
use super::{combined, standard};
use crate::scale::Accuracy;
use crate::scenario::{Inspection, Pads, SetUp, Spread, Taken, twist_of_floor};
use crate::statics::{Chassis, Corners};
use crate::units::{Length, Mass};

/// Degrees of freedom of a stated repeatability: whoever states it has rolled a kart on some nine times. Assumed.
const STATED_FREEDOM: f64 = 8.0;

/// One independent error of a weighing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PadError {
    /// Where it comes from.
    pub cause: Cause,
    /// What one standard uncertainty of it does to LF RF LR RR, kg.
    pub shift: Corners,
    /// Degrees of freedom of that.
    pub freedom: f64,
}

/// Every independent error of a weighing.
///
/// `taken` is what is known beyond a single set of readings on pads whose zeros nobody watched. `spread` of the twist rate, as
/// a part of it, makes pads out of level do more: `E(rate²)` is more than `(E rate)²`.
pub fn errors(
    readings: [Mass; 4],
    pads: &Pads,
    taken: Option<&Taken>,
    chassis: &Chassis,
    spread: f64,
) -> Vec<PadError> {
    let load_kg = readings.map(Mass::kg);
    let repeats = Repeats::of(pads, taken.and_then(|taken| taken.spread.as_ref()), chassis);
    let mut errors = Vec::new();
    let mut each = |cause: Cause, standard_kg: [f64; 4], freedom: f64| {
        for (pad, kg) in standard_kg.into_iter().enumerate() {
            let mut shift = [0.0; 4];
            shift[pad] = kg;
            errors.push(PadError { cause, shift: Corners::from_kg(shift), freedom });
        }
    };
    each(Cause::Repeats, [repeats.pad_kg; 4], repeats.pad_freedom);
    each(Cause::Step, [repeats.step_kg; 4], f64::INFINITY);
    let own = readings.map(|reading| standard::of_limit(pads.accuracy.limit_kg(pads.step, reading)));
    each(Cause::Accuracy, own, f64::INFINITY);
    let drift = match taken.and_then(|taken| taken.zeros) {
        // Half of what the zero moved was taken off; how much was right lies evenly between nothing and all of it.
        Some([before, after]) => {
            std::array::from_fn(|pad| standard::of_step((after[pad] - before[pad]).abs().kg()))
        }
        None => [standard::of_limit(pads.drift.kg()); 4],
    };
    each(Cause::Drift, drift, f64::INFINITY);
    let mut together =
        |cause: Cause, shift: Corners, freedom: f64| errors.push(PadError { cause, shift, freedom });
    let shared =
        standard::of_limit(Accuracy::Percent(pads.shared_percent).limit_kg(pads.step, Mass::from_kg(1.0)));
    together(Cause::Shared, Corners::from_kg(load_kg) * shared, f64::INFINITY);
    let (cause, height_mm) = match taken.and_then(|taken| taken.floor) {
        Some(floor) => (Cause::Survey, standard::of_limit(floor.within.mm())),
        None => (Cause::Level, standard::of_limit(pads.level.mm())),
    };
    for pad in 0..4 {
        let mut heights = [Length::ZERO; 4];
        heights[pad] = Length::from_mm(height_mm * (1.0 + spread * spread).sqrt());
        let twist_kg = taken
            .map_or_else(|| twist_of_floor(chassis, heights), |taken| taken.twist_of_floor(chassis, heights));
        together(cause, chassis.twist_direction() * twist_kg, f64::INFINITY);
    }
    together(Cause::Settling, chassis.twist_direction() * repeats.settling_kg, repeats.settling_freedom);
    errors
}

/// The errors of readings that share a total which the officials read: theirs of the total, the pads' own of the shares.
pub fn sharing(readings: [Mass; 4], official: &Inspection, errors: Vec<PadError>) -> Vec<PadError> {
    let load = Corners::from_kg(readings.map(Mass::kg));
    let total = Mass::from_kg(load.total());
    let shares = load * (1.0 / load.total());
    let theirs = [
        (Cause::OfficialScale, standard::of_limit(official.accuracy.limit_kg(official.step, total))),
        (Cause::OfficialStep, standard::of_step(official.step.kg())),
    ];
    let theirs = theirs.map(|(cause, kg)| PadError { cause, shift: shares * kg, freedom: f64::INFINITY });
    let of_shares = |error: PadError| PadError { shift: error.shift - shares * error.shift.total(), ..error };
    errors.into_iter().map(of_shares).chain(theirs).collect()
}

/// Whether an error comes anew between two weighings, or is the same at both.
pub fn is_anew(cause: Cause, set_up: SetUp) -> bool {
    match cause {
        Cause::Repeats | Cause::Step | Cause::Settling => true,
        Cause::Drift | Cause::Level | Cause::Survey => set_up == SetUp::New,
        _ => false,
    }
}

/// What does not come back when a kart is rolled off and on again, of the mean over all sets: each pad by itself, and the kart,
/// which settles otherwise along twist.
struct Repeats {
    pad_kg: f64,
    pad_freedom: f64,
    step_kg: f64,
    /// At LF.
    settling_kg: f64,
    settling_freedom: f64,
}

impl Repeats {
    /// As stated, pooled with what the sets show, each by its degrees of freedom.
    fn of(pads: &Pads, spread: Option<&Spread>, chassis: &Chassis) -> Repeats {
        let step_kg = standard::of_step(pads.step.kg());
        let (pad_kg, settling_kg) = (pads.repeatability.kg(), pads.settling_kg());
        let Some(spread) = spread else {
            let freedom = STATED_FREEDOM;
            return Repeats { pad_kg, pad_freedom: freedom, step_kg, settling_kg, settling_freedom: freedom };
        };
        let sets = f64::from(spread.sets);
        let pooled = |stated: f64, seen: f64, freedom: f64| {
            (STATED_FREEDOM * stated + freedom * seen * seen) / (STATED_FREEDOM + freedom)
        };
        let length_squared = combined(chassis.twist_direction().kg()).powi(2);
        // What sets show has the steps of the display in it.
        let one_pad = pad_kg * pad_kg + step_kg * step_kg;
        let one_kart = one_pad + settling_kg * settling_kg * length_squared;
        let pad = pooled(one_pad, spread.pad_kg, 3.0 * (sets - 1.0));
        let freedom = f64::from(spread.along_twist_freedom);
        let beyond = pooled(one_kart, spread.along_twist_kg, freedom) - pad;
        let settling = if beyond > 0.0 { beyond / length_squared } else { 0.0 };
        Repeats {
            pad_kg: (pad / sets).sqrt(),
            pad_freedom: STATED_FREEDOM + 3.0 * (sets - 1.0),
            step_kg: 0.0,
            settling_kg: (settling / sets).sqrt(),
            settling_freedom: STATED_FREEDOM + freedom,
        }
    }
}
