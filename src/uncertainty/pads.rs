//! What four pads may have got wrong: every independent error as a shift of the four readings.

use super::cause::Cause;
use super::{combined, standard};
use crate::scale::Accuracy;
use crate::scenario::{Inspection, Pads, Scenario, Set, SetUp, Taken, Weighing, twist_of_floor};
use crate::statics::{Chassis, Corners, Point};
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
/// `spread` of the twist rate, as a part of it, makes pads out of level do more: `E(rate²)` is more than `(E rate)²`.
pub fn errors(scenario: &Scenario, weighing: &Weighing, spread: f64) -> Vec<PadError> {
    let (pads, chassis) = (scenario.pads(), &scenario.kart().chassis);
    let Weighing { readings, taken, .. } = weighing;
    let repeats = Repeats::of(pads, taken, chassis);
    let mut errors = Vec::new();
    // Of one pad, wherever it stood: in as many of the sets under each wheel.
    let stood = |pad: usize, wheel: usize| -> f64 {
        let sets = taken.sets.iter().zip(taken.weights());
        sets.filter(|(set, _)| set.pads[wheel] == pad).map(|(_, weight)| weight).sum()
    };
    let mut each = |cause: Cause, freedom: f64, standard_kg: &dyn Fn(usize, usize) -> f64| {
        for pad in 0..4 {
            let shift = Corners::from_kg(std::array::from_fn(|wheel| standard_kg(pad, wheel)));
            errors.push(PadError { cause, shift, freedom });
        }
    };
    let alone = |kg: f64| move |pad: usize, wheel: usize| if pad == wheel { kg } else { 0.0 };
    each(Cause::Repeats, repeats.pad_freedom, &alone(repeats.pad_kg));
    each(Cause::Step, f64::INFINITY, &alone(repeats.step_kg));
    let own = readings.map(|reading| standard::of_limit(pads.accuracy.limit_kg(pads.step, reading)));
    each(Cause::Accuracy, f64::INFINITY, &|pad, wheel| own[wheel] * stood(pad, wheel));
    let drift = match taken.zeros {
        // Half of what the zero moved was taken off; how much was right lies evenly between nothing and all of it.
        Some([before, after]) => {
            std::array::from_fn(|pad| standard::of_step((after[pad] - before[pad]).abs().kg()))
        }
        None => [standard::of_limit(pads.drift.kg()); 4],
    };
    each(Cause::Drift, f64::INFINITY, &|pad, wheel| drift[pad] * stood(pad, wheel));
    let mut together =
        |cause: Cause, shift: Corners, freedom: f64| errors.push(PadError { cause, shift, freedom });
    let shared =
        standard::of_limit(Accuracy::Percent(pads.shared_percent).limit_kg(pads.step, Mass::from_kg(1.0)));
    together(Cause::Shared, Corners::from_kg(readings.map(Mass::kg)) * shared, f64::INFINITY);
    let (cause, height_mm) = match taken.floor {
        Some(floor) => (Cause::Survey, standard::of_limit(floor.within.mm())),
        None => (Cause::Level, standard::of_limit(pads.level.mm())),
    };
    for pad in 0..4 {
        let mut heights = [Length::ZERO; 4];
        heights[pad] = Length::from_mm(height_mm * (1.0 + spread * spread).sqrt());
        let twist_kg = taken.twist_of_floor(chassis, heights);
        together(cause, chassis.twist_direction() * twist_kg, f64::INFINITY);
    }
    for (cause, shift) in turning(*readings, pads, taken, chassis) {
        together(cause, shift, f64::INFINITY);
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
        Cause::Repeats | Cause::Step | Cause::Settling | Cause::Driver => true,
        Cause::Drift | Cause::Level | Cause::Tops | Cause::Survey => set_up == SetUp::New,
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
    fn of(pads: &Pads, taken: &Taken, chassis: &Chassis) -> Repeats {
        // Of a mean of sets that count so, the variance is this part of that of one.
        let part: f64 = taken.weights().iter().map(|one| one * one).sum();
        let step_kg = standard::of_step(pads.step.kg());
        let (pad_kg, settling_kg) = (pads.repeatability.kg(), pads.settling_kg());
        let Some(spread) = taken.spread else {
            let (pad_freedom, settling_freedom) = (STATED_FREEDOM, STATED_FREEDOM);
            let [pad_kg, step_kg, settling_kg] = [pad_kg, step_kg, settling_kg].map(|kg| kg * part.sqrt());
            return Repeats { pad_kg, pad_freedom, step_kg, settling_kg, settling_freedom };
        };
        let seen = f64::from(spread.freedom);
        let pooled = |stated: f64, seen: f64, freedom: f64| {
            (STATED_FREEDOM * stated + freedom * seen * seen) / (STATED_FREEDOM + freedom)
        };
        let length_squared = combined(chassis.twist_direction().kg()).powi(2);
        // What sets show has the steps of the display in it.
        let one_pad = pad_kg * pad_kg + step_kg * step_kg;
        let one_kart = one_pad + settling_kg * settling_kg * length_squared;
        let pad = pooled(one_pad, spread.pad_kg, 3.0 * seen);
        let beyond = pooled(one_kart, spread.along_twist_kg, seen) - pad;
        let settling = if beyond > 0.0 { beyond / length_squared } else { 0.0 };
        Repeats {
            pad_kg: (pad * part).sqrt(),
            pad_freedom: STATED_FREEDOM + 3.0 * seen,
            step_kg: 0.0,
            settling_kg: (settling * part).sqrt(),
            settling_freedom: STATED_FREEDOM + seen,
        }
    }
}

/// A driver who sits again after the kart was turned acts so far from where he did, forward or to a side, mm, as one standard
/// deviation. Assumed.
const SITS_AGAIN_MM: [f64; 2] = [3.0, 2.0];

/// What sets of a kart that stood otherwise on its pads err by besides: tops of pads that are not level, so that a pad is higher under
/// one wheel than under the other, and a driver who got out for it.
fn turning(readings: [Mass; 4], pads: &Pads, taken: &Taken, chassis: &Chassis) -> Vec<(Cause, Corners)> {
    let straight = taken.sets[0].pads;
    let sets = || taken.sets.iter().zip(taken.weights()).filter(|(set, _)| set.pads != straight);
    let turned: f64 = sets().map(|(_, weight)| weight).sum();
    let top = Length::from_mm(standard::of_limit(pads.top_level.mm()));
    let tops = (0..4).map(|pad| {
        let on = |set: &Set| {
            twist_of_floor(chassis, set.pads.map(|there| if there == pad { top } else { Length::ZERO }))
        };
        let twist_kg: f64 = sets().map(|(set, weight)| on(set) * weight).sum();
        (Cause::Tops, chassis.twist_direction() * twist_kg)
    });
    // About half of what stands on the pads is the driver.
    let driver_kg = match taken.sets[0].aboard.driver {
        Some(_) => readings.into_iter().sum::<Mass>().kg() / 2.0,
        None => 0.0,
    };
    let usual = chassis.cg(&Corners::from_kg(readings.map(Mass::kg)));
    let sits = [(SITS_AGAIN_MM[0], 0.0), (0.0, SITS_AGAIN_MM[1])].map(|(x, y)| {
        let there = Point::from_mm(usual.x.mm() + x, usual.y.mm() + y);
        (Cause::Driver, (chassis.influence(there) - chassis.influence(usual)) * (driver_kg * turned))
    });
    if turned > 0.0 { tops.chain(sits).collect() } else { Vec::new() }
}
