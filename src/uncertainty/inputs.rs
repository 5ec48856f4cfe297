//! Every number of a scenario that may be off, by how much, and what the scenario would be if it were.
//! Does not compute anything from a shifted scenario: that is done by the same code as for the scenario itself, so that no
//! sensitivity is written down twice.

use super::cause::Cause;
use super::pads::{self, PadError};
use super::{Estimate, combined, standard};
use crate::counts::Counts;
use crate::height::{Height, Limits};
use crate::scenario::{Axis, Belief, Means, Moment, Scenario, SetUp, Taught, Weighing, Within};
use crate::statics::Corners;
use crate::units::{Length, Mass};

/// A number of the scenario.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Number {
    /// The four readings together, by this for each unit of shift.
    Readings(Corners),
    /// What no scale shows; with the twist rate goes what was taken off the readings for the floor, this for each unit of shift.
    Believed(Belief, Corners),
    /// One of [`Scenario::taught`].
    Taught(usize),
    Wheelbase,
    TrackFront,
    TrackRear,
    Tank(usize, Axis),
    KindMass(usize),
    FuelThen(usize),
    Fuel(usize, Moment),
    DriverMass(usize),
    CgHeight,
    TankZ(usize),
    MountZ(usize),
    DriverZ(usize),
}

/// A number of the scenario that may be off, independently of all others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Input {
    number: Number,
    /// Where its error comes from.
    pub cause: Cause,
    /// One standard uncertainty, in kg, mm or plain.
    standard: f64,
    /// Degrees of freedom of that.
    pub freedom: f64,
}

/// The weighing that a driver's corners rest on: the driver's own, else the main one.
pub fn weighing_of(scenario: &Scenario, driver: Option<usize>) -> &Weighing {
    driver.and_then(|index| scenario.drivers()[index].weighing.as_ref()).unwrap_or(scenario.weighing())
}

fn weighing_mut(scenario: &mut Scenario, driver: Option<usize>) -> &mut Weighing {
    let own = driver.and_then(|index| scenario.drivers.get_mut(index)?.weighing.as_mut());
    own.unwrap_or(&mut scenario.weighing)
}

/// A shift as a mass; files that lift every bound may ask for one that no sum of masses could hold.
fn shift_of(kg: f64) -> Mass {
    /// Far above any kart, far within the range of a mass.
    const MOST_KG: f64 = 100_000.0;
    Mass::from_kg(kg.clamp(-MOST_KG, MOST_KG))
}

impl Input {
    fn new(number: Number, cause: Cause, standard: f64) -> Input {
        Input { number, cause, standard, freedom: f64::INFINITY }
    }

    fn believed(belief: Belief, cause: Cause, standard: f64) -> Input {
        Input::new(Number::Believed(belief, Corners::ZERO), cause, standard)
    }

    /// What one standard uncertainty does to the total of a state, kg. The total is a plain sum, and the judge asks for it too
    /// often to weigh the kart again for each input; a test compares the two.
    pub fn shift_of_total(
        &self,
        scenario: &Scenario,
        driver: Option<usize>,
        moment: Moment,
        counts: &Counts,
    ) -> f64 {
        let aboard = &weighing_of(scenario, driver).aboard;
        let times = match self.number {
            Number::Readings(shift) | Number::Believed(_, shift) => shift.total(),
            Number::Taught(index) => {
                let taught = &scenario.taught()[index];
                let more =
                    |kind: usize| f64::from(counts.of_kind(kind)) - f64::from(aboard.lead.of_kind(kind));
                let lead = taught.kinds_kg.iter().map(|(kind, kg)| kg * more(*kind)).sum::<f64>();
                let fuel = taught.fuel_kg.iter().map(|(_, kg)| kg).sum::<f64>();
                let is_whole = is_learned(scenario, driver);
                if is_whole { readings_taught(scenario, driver, taught).total() + lead - fuel } else { 0.0 }
            }
            Number::KindMass(kind) => f64::from(counts.of_kind(kind)) - f64::from(aboard.lead.of_kind(kind)),
            Number::FuelThen(_) => -1.0,
            Number::Fuel(_, then) if then == moment => 1.0,
            Number::DriverMass(index) => {
                let sits = |seat: Option<usize>| f64::from(u8::from(seat == Some(index)));
                sits(driver) - sits(aboard.driver)
            }
            _ => 0.0,
        };
        times * self.standard
    }

    /// Sets the number in `shifted` to what it is in `base` plus `by` standard uncertainties.
    pub fn shift(&self, base: &Scenario, shifted: &mut Scenario, driver: Option<usize>, by: f64) {
        let by = by * self.standard;
        let mass = |base: Mass| base + shift_of(by);
        let length = |base: Length| Length::from_mm(base.mm() + by);
        let chassis = &base.kart.chassis;
        match self.number {
            Number::Readings(shift) => shift_readings(base, shifted, driver, shift * by),
            Number::Believed(belief, shift) => {
                shifted.shift_belief(base, belief, by);
                if belief == Belief::TwistRate {
                    shift_readings(base, shifted, driver, shift * by);
                }
            }
            Number::Taught(index) => {
                let taught = &base.taught[index];
                for (belief, each) in &taught.beliefs {
                    shifted.shift_belief(base, *belief, each * by);
                }
                shift_readings(base, shifted, driver, readings_taught(base, driver, taught) * by);
                if is_learned(base, driver) {
                    for (kind, kg) in &taught.kinds_kg {
                        shifted.lead[*kind].mass = base.lead[*kind].mass + shift_of(kg * by);
                    }
                    for (tank, kg) in &taught.fuel_kg {
                        let then = weighing_of(base, driver).aboard.fuel[*tank];
                        weighing_mut(shifted, driver).aboard.fuel[*tank] = then + shift_of(kg * by);
                    }
                }
            }
            Number::Wheelbase => shifted.kart.chassis.wheelbase = length(chassis.wheelbase),
            Number::TrackFront => shifted.kart.chassis.track_front = length(chassis.track_front),
            Number::TrackRear => shifted.kart.chassis.track_rear = length(chassis.track_rear),
            Number::Tank(tank, axis) => {
                *axis.of_mut(&mut shifted.tanks[tank].place) = length(axis.of(base.tanks[tank].place));
            }
            Number::KindMass(kind) => shifted.lead[kind].mass = mass(base.lead[kind].mass),
            Number::FuelThen(tank) => {
                let then = weighing_of(base, driver).aboard.fuel[tank];
                weighing_mut(shifted, driver).aboard.fuel[tank] = mass(then);
            }
            Number::Fuel(tank, Moment::Start) => shifted.tanks[tank].start = mass(base.tanks[tank].start),
            Number::Fuel(tank, Moment::Finish) => shifted.tanks[tank].finish = mass(base.tanks[tank].finish),
            Number::CgHeight => {
                if let (Some(from), Some(to)) = (&base.heights, &mut shifted.heights) {
                    to.height = length(from.height);
                }
            }
            Number::TankZ(tank) => shifted.tanks[tank].height = length(base.tanks[tank].height),
            Number::MountZ(mount) => shifted.mounts[mount].height = base.mounts[mount].height.map(length),
            Number::DriverZ(index) => shifted.drivers[index].height = length(base.drivers[index].height),
            Number::DriverMass(index) => shifted.drivers[index].mass = mass(base.drivers[index].mass),
        }
    }
}

/// Sets LF RF LR RR of a driver's weighing to what they are in `base` plus a shift.
fn shift_readings(base: &Scenario, shifted: &mut Scenario, driver: Option<usize>, shift: Corners) {
    let (from, to) = (weighing_of(base, driver), weighing_mut(shifted, driver));
    let shift = shift.kg();
    to.readings = std::array::from_fn(|pad| from.readings[pad] + shift_of(shift[pad]));
}

/// What one of the errors that learning left does to a driver's readings. Of a weighing that was not learned from, it is only what
/// was taken off for the floor, which is as good as the twist rate: at a higher rate more should have been taken off.
fn readings_taught(scenario: &Scenario, driver: Option<usize>, taught: &Taught) -> Corners {
    let weighing = weighing_of(scenario, driver);
    if is_learned(scenario, driver) {
        let readings = taught.readings;
        let shares = Corners::from_kg(weighing.readings.map(Mass::kg));
        let official = if weighing.as_official { readings.total() / shares.total() } else { 0.0 };
        return readings - shares * official;
    }
    let rates = taught.beliefs.iter().filter(|(belief, _)| *belief == Belief::TwistRate);
    floor_per_rate(scenario, driver) * rates.map(|(_, by)| by).sum::<f64>()
}

/// What a driver's readings would change by for each kg/mm of a higher twist rate.
fn floor_per_rate(scenario: &Scenario, driver: Option<usize>) -> Corners {
    let (taken, chassis) = (&weighing_of(scenario, driver).taken, &scenario.kart().chassis);
    let floor = taken.floor.map_or(0.0, |floor| taken.twist_of_floor(chassis, floor.heights));
    chassis.twist_direction() * (-floor / chassis.twist_rate_kg_per_mm)
}

/// Standard uncertainty of the twist rate now, as a part of it.
pub(crate) fn spread_now(scenario: &Scenario) -> f64 {
    if scenario.taught().is_empty() {
        return twist_rate_spread(scenario.within());
    }
    let rates = scenario.taught().iter().flat_map(|taught| &taught.beliefs);
    let rates = rates.filter(|(belief, _)| *belief == Belief::TwistRate).map(|(_, by)| *by);
    combined(rates) / scenario.kart().chassis.twist_rate_kg_per_mm
}

/// Standard uncertainty of the twist rate, as a part of it.
pub fn twist_rate_spread(within: &Within) -> f64 {
    standard::of_limit(within.twist_rate_percent / 100.0)
}

/// Whether a driver's corners rest on the weighing that what was learned has been taken off.
fn is_learned(scenario: &Scenario, driver: Option<usize>) -> bool {
    weighing_of(scenario, driver).as_learned && !scenario.taught().is_empty()
}

/// What the pads may have got wrong at the weighing of a driver; with what was learned of it, as far as that errs with it.
pub fn of_pads(scenario: &Scenario, driver: Option<usize>) -> Vec<Input> {
    let weighing = weighing_of(scenario, driver);
    let share = spread_now(scenario);
    let errors = pads::errors(scenario, weighing, share);
    let errors = if weighing.as_official {
        pads::sharing(weighing.readings, scenario.inspection(), errors)
    } else {
        errors
    };
    let whole = is_learned(scenario, driver);
    // What never comes anew all weighings have in common, so that they do not tell it.
    let errors = errors.into_iter().filter(|error| !whole || !pads::is_anew(error.cause, SetUp::New));
    let input = |error: PadError| Input {
        freedom: error.freedom,
        ..Input::new(Number::Readings(error.shift), error.cause, 1.0)
    };
    let mut inputs: Vec<Input> = errors.map(input).collect();
    if scenario.taught().is_empty() {
        let rate = Number::Believed(Belief::TwistRate, floor_per_rate(scenario, driver));
        inputs.push(Input::new(rate, Cause::TwistRate, scenario.kart().chassis.twist_rate_kg_per_mm * share));
    } else {
        let taught = scenario.taught().iter().enumerate();
        inputs.extend(taught.map(|(index, taught)| Input::new(Number::Taught(index), taught.cause, 1.0)));
    }
    inputs
}

/// Wheelbase and tracks.
pub fn of_lengths(scenario: &Scenario) -> Vec<Input> {
    let standard = standard::of_limit(scenario.within().lengths.mm());
    [Number::Wheelbase, Number::TrackFront, Number::TrackRear]
        .map(|number| Input::new(number, Cause::Lengths, standard))
        .into()
}

/// The height of the kart as weighed, with its ±; none if the file tells none. The loads of a lift are as sure as the front
/// pair of pads is. That the same pads weighed the kart is left out: heights are known to millimetres, what pads have in common
/// with their lifts is less.
pub fn height(scenario: &Scenario) -> Option<Height> {
    let heights = scenario.heights()?;
    let chassis = &scenario.kart().chassis;
    let value = heights.height.mm();
    Some(match &heights.means {
        Means::Given { within } => Height {
            height_mm: Estimate { value, standard: standard::of_limit(within.mm()) },
            scatter_mm: 0.0,
        },
        Means::Lifted(lifts) => {
            let then = &heights.weighing;
            let pads = pads::errors(scenario, then, spread_now(scenario));
            let front_kg = combined(pads.iter().map(|error| error.shift.front()));
            let limits = Limits {
                // A limit whose standard uncertainty is that of the axle's load.
                axle_kg: front_kg * 3.0_f64.sqrt(),
                angle_deg: lifts.angle_within_deg,
                length_mm: scenario.within().lengths.mm(),
            };
            lifts.lifting(then, chassis).height(limits)
        }
    })
}

/// How high things are; nothing where no height is told, as then none is asked for.
pub fn of_heights(scenario: &Scenario) -> Vec<Input> {
    let Some(known) = height(scenario) else { return Vec::new() };
    let place = standard::of_limit(scenario.within().places.mm());
    let acts = standard::of_limit(scenario.within().driver_place.mm());
    let mut inputs = vec![Input::new(Number::CgHeight, Cause::Height, known.height_mm.standard)];
    let tanks = (0..scenario.tanks().len()).map(Number::TankZ);
    let mounts = (0..scenario.mounts().len()).map(Number::MountZ);
    inputs.extend(tanks.chain(mounts).map(|number| Input::new(number, Cause::Places, place)));
    let drivers = (0..scenario.drivers().len()).map(Number::DriverZ);
    inputs.extend(drivers.map(|number| Input::new(number, Cause::Driver, acts)));
    inputs
}

/// Masses between a weighing and another state: lead, fuel, drivers.
pub fn of_masses(scenario: &Scenario, driver: Option<usize>) -> Vec<Input> {
    let within = scenario.within();
    let mut inputs = Vec::new();
    let whole = is_learned(scenario, driver);
    for (index, kind) in scenario.lead().iter().enumerate().filter(|_| !whole) {
        inputs.push(Input::new(Number::KindMass(index), Cause::Lead, standard::of_limit(kind.within.kg())));
    }
    // An empty tank is empty.
    let fuel = |mass: Mass| if mass > Mass::ZERO { standard::of_limit(within.fuel.kg()) } else { 0.0 };
    for (index, tank) in scenario.tanks().iter().enumerate() {
        let then = weighing_of(scenario, driver).aboard.fuel[index];
        if !whole {
            inputs.push(Input::new(Number::FuelThen(index), Cause::FuelThen, fuel(then)));
        }
        for moment in Moment::ALL {
            inputs.push(Input::new(Number::Fuel(index, moment), Cause::Fuel, fuel(tank.fuel(moment))));
        }
    }
    let aboard = weighing_of(scenario, driver).aboard.driver;
    for index in [aboard, driver].into_iter().flatten().filter(|_| aboard != driver) {
        let standard = standard::of_limit(within.driver.kg());
        inputs.push(Input::new(Number::DriverMass(index), Cause::Driver, standard));
    }
    inputs
}

/// Everything that the corners of a driver's state rest on.
pub fn of_state(scenario: &Scenario, driver: Option<usize>) -> Vec<Input> {
    let within = scenario.within();
    let mut inputs = of_pads(scenario, driver);
    inputs.extend(of_lengths(scenario));
    let place = standard::of_limit(within.places.mm());
    let both = |count: usize| (0..count).flat_map(|index| Axis::BOTH.map(|axis| (index, axis)));
    let tanks = both(scenario.tanks().len()).map(|(tank, axis)| Number::Tank(tank, axis));
    inputs.extend(tanks.map(|number| Input::new(number, Cause::Places, place)));
    inputs.extend(of_masses(scenario, driver));
    // What was learned has its errors with it.
    if scenario.taught().is_empty() {
        inputs.extend(of_beliefs(scenario, driver));
    }
    inputs.extend(of_heights(scenario));
    inputs
}

/// What no scale shows, as measured by hand or assumed; the twist rate aside, which goes with the pads.
fn of_beliefs(scenario: &Scenario, driver: Option<usize>) -> Vec<Input> {
    let within = scenario.within();
    let share = standard::of_limit(within.roll_share);
    let shares = [Belief::RollShareRear, Belief::RollShareFront];
    let mut inputs = Vec::from(shares.map(|belief| Input::believed(belief, Cause::RollShare, share)));
    let place = standard::of_limit(within.places.mm());
    let mounts =
        (0..scenario.mounts().len()).flat_map(|mount| Axis::BOTH.map(|axis| Belief::Mount(mount, axis)));
    inputs.extend(mounts.map(|belief| Input::believed(belief, Cause::Places, place)));
    let aboard = weighing_of(scenario, driver).aboard.driver;
    // A driver who was weighed in the seat cancels, unless the seat has moved since.
    let seated: std::collections::BTreeSet<usize> = [aboard, driver].into_iter().flatten().collect();
    let lenders = seated.iter().filter_map(|index| scenario.drivers()[*index].place_of);
    for index in lenders.chain(seated.iter().copied()).collect::<std::collections::BTreeSet<usize>>() {
        let limits = scenario.drivers()[index].place_within(index).unwrap_or([within.driver_place; 2]);
        inputs.extend(Axis::BOTH.into_iter().zip(limits).map(|(axis, limit)| {
            Input::believed(Belief::Driver(index, axis), Cause::Driver, standard::of_limit(limit.mm()))
        }));
    }
    inputs
}
