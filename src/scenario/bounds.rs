//! Least and most of quantities of a scenario, where more than one key or the code itself asks; others stand beside their key.
//!
//! They only catch slips such as a wrong unit or a lost dot, and `limits: off` lifts them; karts from the
//! smallest children's class to two-seaters and hire karts lie within. Common practice, no published source.

use crate::document::Bounds;

pub(super) const WHEELBASE: Bounds = Bounds::new("", 500.0, 2000.0);
pub(super) const TRACK: Bounds = Bounds::new("", 500.0, 2000.0);
/// N/mm.
pub(super) const TYRE_STIFFNESS: Bounds = Bounds::new("stiffness", 20.0, 300.0);
/// A share of one, not in percent.
pub(super) const ROLL_SHARE: Bounds = Bounds::new("roll_share", 0.0, 1.0);
/// kg per mm.
pub(super) const TWIST_RATE: Bounds = Bounds::new("", 0.02, 5.0);
/// Holes count from the one called 0 either way.
pub(super) const SEAT_HOLES: i32 = 50;
/// At one side of a spindle.
pub(super) const MOST_WASHERS: u16 = 12;
/// A part of the kart that can be moved, such as a battery.
pub(super) const PART: Bounds = Bounds::new("a part", 0.05, 60.0);
/// One step's change of one corner.
pub(super) const EFFECT: Bounds = Bounds::new("an effect", -20.0, 20.0);
/// Four measured changes may add up to this much, kg: rounding to 0.1 kg on four pads, and their noise.
pub(super) const EFFECT_SUM_KG: f64 = 0.4;
/// Steps of a measured adjuster, either way.
pub(super) const MOST_STEPS: i32 = 50;
pub(super) const MOST_ADJUSTERS: usize = 12;
/// Combinations of settings: the search holds a few numbers for each.
pub(super) const MOST_COMBINATIONS: usize = 20_000;
pub(super) const MOST_CHANGES: u16 = 100;

/// Any x or y on a kart; what lies outside of the kart itself is said with better words.
pub(super) const COORDINATE: Bounds = Bounds::new("a place", -5000.0, 5000.0);
pub(super) const HEIGHT: Bounds = Bounds::new("a mount", 0.0, 2000.0);
/// A centre of gravity that somebody aims for, or has found.
pub(super) const HEIGHT_AIM: Bounds = Bounds::new("height", 50.0, 1000.0);
pub(super) const HEIGHT_TOLERANCE: Bounds = Bounds::new("height", 0.0, 200.0);
/// How far behind the rear axle and ahead of the front axle a kart ends, mm.
pub(super) const OVERHANG: (f64, f64) = (450.0, 600.0);
/// How far beyond the centre of the wider track's contact patches a kart ends, mm.
pub(super) const SIDE: f64 = 200.0;
/// A mount may lie this much farther out, mm, and is only warned of: some brackets reach far, none reaches a metre.
pub(super) const FAR_BRACKET: f64 = 1000.0;

pub(super) const MINIMUM: Bounds = Bounds::new("a class", 40.0, 600.0);
pub(super) const MASS_PER_BOLT: Bounds = Bounds::new("", 0.05, 50.0);

/// Percent: a share of the total that somebody aims for.
pub(super) const SHARE: Bounds = Bounds::new("", 20.0, 80.0);
/// Percent.
pub(super) const SHARE_TOLERANCE: Bounds = Bounds::new("a target", 0.0, 20.0);

pub(super) const READING: Bounds = Bounds::new("the scales", 0.5, 300.0);
/// What a kart with or without its driver weighs.
pub(super) const OFFICIAL: Bounds = Bounds::new("the official scale", 25.0, 600.0);
/// Kilograms of a kart alone, without driver, fuel and lead.
pub(super) const BARE_KART: (f64, f64) = (25.0, 400.0);
pub(super) const DRIVER: Bounds = Bounds::new("a driver", 15.0, 200.0);
/// kg per litre; petrol, methanol and their mixtures.
pub(super) const DENSITY: Bounds = Bounds::new("fuel", 0.6, 1.0);
/// Petrol, kg per litre: the middle of the 0.720 to 0.775 that EN 228 allows at 15 °C (from memory).
pub(super) const DEFAULT_DENSITY: f64 = 0.745;

pub(super) const PIECE: Bounds = Bounds::new("a piece", 0.01, 50.0);

/// So many fit in one scenario; more would be another kind of file, and sums over them would leave the range
/// of a mass.
pub(super) const MOST_MOUNTS: usize = 60;
/// Kinds of lead, each individually weighed piece being one.
pub(super) const MOST_KINDS: usize = 200;
pub(super) const MOST_DRIVERS: usize = 50;
pub(super) const MOST_STINTS: usize = 50;
/// For one piece, minutes.
pub(super) const OPERATION_MINUTES: Bounds = Bounds::new("an operation", 0.0, 120.0);
pub(super) const MOST_TANKS: usize = 10;
/// What a pad can read too much without being broken, kg.
pub(super) const MISREAD: Bounds = Bounds::new("a pad", -3.0, 3.0);
/// Weighings of one file.
pub(super) const MOST_WEIGHINGS: usize = 50;
pub(super) const MOST_PIECES: u16 = 1000;
pub(super) const MOST_BOLTS: u16 = 100;
/// All sums of the integer program together, kg: its whole nanograms then stay within a quarter of 64 bits, so that limits and
/// thresholds can be added to them.
pub(super) const ALL_SUMS_KG: f64 = 2e6;
/// All pieces together, kg; a hundred times what a lorry carries, and within the range of a mass.
pub(super) const ALL_LEAD_KG: f64 = 1e6;

/// Scales with finer steps than a tenth of a gram do not carry karts.
pub(super) const STEP: Bounds = Bounds::new("a scale", 0.0001, 2.0);
/// Percent.
pub(super) const ACCURACY_PERCENT: Bounds = Bounds::new("a scale", 0.0, 5.0);
/// No pad repeats perfectly: a spread of nothing would make every ± a boast.
pub(super) const REPEATABILITY: Bounds = Bounds::new("a pad", 0.001, 5.0);
/// A limit either way, so never negative.
pub(super) const DRIFT: Bounds = Bounds::new("a pad", 0.0, 5.0);
/// What an empty pad shows, of either sign.
pub(super) const ZERO: Bounds = Bounds::new("an empty pad", -5.0, 5.0);
/// Sets of readings of one weighing.
pub(super) const MOST_REPEATS: usize = 50;
pub(super) const WITHIN_MASS: Bounds = Bounds::new("", 0.0, 10.0);
/// Percent: a chance to pass that somebody wants.
pub(super) const CONFIDENCE: Bounds = Bounds::new("", 50.0, 99.9);

/// What one piece costs, in whatever money the user counts.
pub(super) const PRICE: Bounds = Bounds::new("", 0.0, 100_000.0);
/// Combinations of driver, class and targets; each is solved several times.
pub(super) const MOST_CASES: usize = 500;
/// A diameter, a washer, a nut, or what a bolt goes through.
pub(super) const FASTENER: Bounds = Bounds::new("", 0.1, 200.0);
pub(super) const MOST_WASHERS_PER_BOLT: u16 = 20;
/// Stock lengths of bolts.
pub(super) const MOST_LENGTHS: usize = 50;

pub(super) const RADIUS: Bounds = Bounds::new("a wheel", 50.0, 400.0);
/// Degrees; which of them can be used is said with better words.
pub(super) const ANGLE: Bounds = Bounds::new("a lift", -360.0, 360.0);
