//! Bookkeeping of what is aboard: readings to a trunk, a trunk to the corners of any state.
//!
//! A weighing is a state plus four readings. Subtract what was aboard then, add what is aboard in another state, and the
//! other state is known: nothing is ever weighed 'empty' by assumption.

use crate::counts::Counts;
use crate::scenario::{Figure, FixedTo, Lever, Moment, Scenario, Seat, Shift, Weighing};
use crate::statics::{Chassis, Corners, Point};
use crate::units::{Length, Mass};

/// Corners and their exact total.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// At the four corners, kg.
    pub corners: Corners,
    /// Their sum, exact where the corners are only as good as floating point.
    pub total: Mass,
}

impl Load {
    /// Nothing at all.
    pub const ZERO: Load = Load { corners: Corners::ZERO, total: Mass::ZERO };

    /// A mass acting at a place of this kart, on the ground.
    pub fn of(scenario: &Scenario, mass: Mass, place: Point) -> Load {
        Load::at_height(scenario, mass, place, Length::ZERO)
    }

    /// A mass acting at a place of this kart, so high above the ground.
    pub fn at_height(scenario: &Scenario, mass: Mass, place: Point, height: Length) -> Load {
        Load { corners: scenario.kart.chassis.influence_at(place, height) * mass.kg(), total: mass }
    }

    /// Both together.
    #[must_use]
    pub fn plus(self, other: Load) -> Load {
        Load { corners: self.corners + other.corners, total: self.total + other.total }
    }

    /// Without the other.
    #[must_use]
    pub fn minus(self, other: Load) -> Load {
        Load { corners: self.corners - other.corners, total: self.total - other.total }
    }
}

/// Readings as a load.
pub fn readings(weighing: &Weighing) -> Load {
    Load {
        corners: Corners::from_kg(weighing.readings.map(Mass::kg)),
        total: weighing.readings.into_iter().sum(),
    }
}

/// Kart and driver with everything set as it is now, without fuel and without lead.
///
/// From the driver's own weighing if there is one, else from the last weighing. When the driver was in the seat at that
/// weighing, the place where he acts cancels and need not be known.
pub fn trunk(scenario: &Scenario, driver: Option<usize>) -> Load {
    let own = driver.and_then(|index| scenario.drivers[index].weighing.as_ref());
    let weighing = own.unwrap_or(&scenario.weighing);
    let aboard = &weighing.aboard;
    // From where the seat is now to where it was then.
    let shift = scenario.kart.seat.as_ref().zip(aboard.seat_hole);
    let shift = shift.map_or_else(Shift::default, |(seat, then)| seat.shift(seat.hole, then));
    let mut load = readings(weighing).minus(lead_with_seat(scenario, &aboard.lead, shift));
    for (tank, fuel) in scenario.tanks.iter().zip(&aboard.fuel) {
        load = load.minus(Load::of(scenario, *fuel, tank.place));
    }
    let acts = |driver: Option<usize>| driver.and_then(|i| Some((i, driver_place(scenario, i)?)));
    let sat = |(driver, place): (usize, Point), shift: Shift| {
        Load::of(scenario, scenario.drivers[driver].mass, shift.of(place))
    };
    if aboard.driver != driver || shift != Shift::default() {
        if let Some(driver) = acts(aboard.driver) {
            load = load.minus(sat(driver, shift));
        }
        if let Some(driver) = acts(driver) {
            load = load.plus(sat(driver, Shift::default()));
        }
    }
    if let Some(seat) = scenario.kart.seat.as_ref().filter(|_| shift != Shift::default()) {
        load = load.minus(Load::of(scenario, seat.mass, shift.of(seat.place()))).plus(Load::of(
            scenario,
            seat.mass,
            seat.place(),
        ));
    }
    for (index, adjuster) in scenario.adjusters.iter().enumerate() {
        if adjuster.lever != Lever::Seat {
            let setting = aboard.lead.setting(index, adjuster.now);
            let then = effect(scenario, driver, &aboard.fuel, index, setting);
            load.corners = load.corners - then;
        }
    }
    load.corners = load.corners.raised(raised_trunk(scenario, driver, load.total));
    load
}

/// `Σ m·z/L` of that trunk, from the weighing at which the height was told; zero where nobody told it.
///
/// Washers and places of adjusters are taken to leave heights as they are: a washer lifts the kart by a fraction of a
/// millimetre, and no lift tells a height to that.
fn raised_trunk(scenario: &Scenario, driver: Option<usize>, total: Mass) -> f64 {
    let Some(heights) = &scenario.heights else { return 0.0 };
    let then = &heights.weighing;
    let load = |mass: Mass, height: Length| (mass, mass.kg() * height.mm());
    let readings: Mass = then.readings.into_iter().sum();
    let drivers = &scenario.drivers;
    let sat = |driver: Option<usize>| driver.map(|index| load(drivers[index].mass, drivers[index].height));
    let fuel = scenario.tanks.iter().zip(&then.aboard.fuel).map(|(tank, fuel)| load(*fuel, tank.height));
    let placed = then.aboard.lead.placed();
    let lead = placed.map(|(kind, mount, count)| {
        load(scenario.lead[kind].mass * count, scenario.mounts[mount].height_counted())
    });
    let changed = then.aboard.driver != driver;
    let off = fuel.chain(lead).chain(sat(then.aboard.driver).filter(|_| changed));
    let (mut mass, mut raised) = load(readings, heights.height);
    for (off, lower) in off {
        mass -= off;
        raised -= lower;
    }
    if let Some((on, higher)) = sat(driver).filter(|_| changed) {
        mass += on;
        raised += higher;
    }
    // What another weighing shows more than this is taken to be spread as the kart is.
    raised += (total - mass).kg() * heights.height.mm();
    raised / scenario.kart.chassis.wheelbase.mm()
}

/// The last weighing as a load: what the pads showed, and how high it is if that is known.
pub fn as_weighed(scenario: &Scenario) -> Load {
    let weighing = &scenario.weighing;
    let aboard = &weighing.aboard;
    let fuel = scenario.tanks.iter().zip(&aboard.fuel);
    let on_it = fuel.fold(lead(scenario, &aboard.lead), |sum, (tank, fuel)| {
        sum.plus(Load::at_height(scenario, *fuel, tank.place, tank.height))
    });
    let mut load = readings(weighing);
    let raised = trunk(scenario, aboard.driver).corners.raised_kg() + on_it.corners.raised_kg();
    load.corners = load.corners.raised(raised);
    load
}

/// Where a driver acts with the seat where it is now: as the file says, else the middle of the seat.
fn driver_place(scenario: &Scenario, driver: usize) -> Option<Point> {
    let seat = || scenario.kart.seat.as_ref().map(Seat::place);
    scenario.drivers[driver].acts.or_else(seat)
}

/// What an adjuster at one of its settings adds to the corners, against the setting of now; lead that rides on the seat
/// aside. `fuel` is what is in each tank.
pub fn effect(
    scenario: &Scenario,
    driver: Option<usize>,
    fuel: &[Mass],
    adjuster: usize,
    setting: usize,
) -> Corners {
    let chassis = &scenario.kart.chassis;
    let adjuster = &scenario.adjusters[adjuster];
    let (there, now) = (&adjuster.settings[setting], &adjuster.settings[adjuster.now]);
    let steps = f64::from(there.steps - now.steps);
    let moved =
        |mass: Mass, from: Point, to: Point| (chassis.influence(to) - chassis.influence(from)) * mass.kg();
    match adjuster.lever {
        Lever::Seat => {
            let seat = scenario.kart.seat.iter().map(|seat| (seat.mass, seat.place()));
            let seated = driver.and_then(|i| Some((scenario.drivers[i].mass, driver_place(scenario, i)?)));
            seat.chain(seated)
                .fold(Corners::ZERO, |sum, (mass, place)| sum + moved(mass, place, there.shift.of(place)))
        }
        Lever::Spindle { side, washer } => chassis.lower_wheel(side, washer) * steps,
        Lever::Measured { per_step } => per_step * steps,
        Lever::Part { mass } => moved(mass, now.place, there.place),
        Lever::Tank { tank } => {
            let from = scenario.tanks[tank].place;
            let to = Point::from_mm(
                from.x.mm() + there.place.x.mm() - now.place.x.mm(),
                from.y.mm() + there.place.y.mm() - now.place.y.mm(),
            );
            moved(fuel[tank], from, to)
        }
    }
}

/// All lead of the counts, where their setting of the seat puts it.
pub fn lead(scenario: &Scenario, counts: &Counts) -> Load {
    lead_with_seat(scenario, counts, seat_shift(scenario, counts))
}

/// How far the counts' setting of the seat is from where it is now.
pub fn seat_shift(scenario: &Scenario, counts: &Counts) -> Shift {
    let mut adjusters = scenario.adjusters.iter().enumerate();
    let seat = adjusters.find(|(_, adjuster)| adjuster.lever == Lever::Seat);
    seat.map(|(index, seat)| seat.settings[counts.setting(index, seat.now)].shift).unwrap_or_default()
}

fn lead_with_seat(scenario: &Scenario, counts: &Counts, shift: Shift) -> Load {
    counts.placed().fold(Load::ZERO, |load, (kind, mount, count)| {
        let place = mount_place(scenario, mount, shift);
        let height = scenario.mounts[mount].height_counted();
        load.plus(Load::at_height(scenario, scenario.lead[kind].mass * count, place, height))
    })
}

/// Where lead on a mount acts when the seat has moved so far from where it is now.
pub fn mount_place(scenario: &Scenario, mount: usize, shift: Shift) -> Point {
    let mount = &scenario.mounts[mount];
    match mount.fixed_to {
        FixedTo::Frame => mount.place,
        FixedTo::Seat => shift.of(mount.place),
    }
}

/// What one kilogram of lead on a mount adds when the seat has moved so far from where it is now.
pub fn mount_influence(scenario: &Scenario, mount: usize, shift: Shift) -> Corners {
    let place = mount_place(scenario, mount, shift);
    scenario.kart.chassis.influence_at(place, scenario.mounts[mount].height_counted())
}

/// All fuel at a moment.
pub fn fuel(scenario: &Scenario, moment: Moment) -> Load {
    scenario.tanks.iter().fold(Load::ZERO, |load, tank| {
        load.plus(Load::at_height(scenario, tank.fuel(moment), tank.place, tank.height))
    })
}

/// The corners of one state: a driver, a moment, lead on mounts and adjusters as they are set.
pub fn state(scenario: &Scenario, driver: Option<usize>, moment: Moment, counts: &Counts) -> Load {
    let mut load = trunk(scenario, driver).plus(fuel(scenario, moment)).plus(lead(scenario, counts));
    let amounts: Vec<Mass> = scenario.tanks.iter().map(|tank| tank.fuel(moment)).collect();
    for (index, adjuster) in scenario.adjusters.iter().enumerate() {
        load.corners += effect(scenario, driver, &amounts, index, counts.setting(index, adjuster.now));
    }
    load
}

impl Figure {
    /// The kilograms that the figure is about: the sum of two corners, the difference of two, or how high the masses are.
    pub fn kg(self, corners: &Corners) -> f64 {
        match self {
            Figure::Front => corners.front(),
            Figure::Rear => corners.rear(),
            Figure::Left => corners.left(),
            Figure::Cross => corners.cross(),
            Figure::FrontPair => corners.front_pair(),
            Figure::RearPair => corners.rear_pair(),
            Figure::Height => corners.raised_kg(),
        }
    }

    /// Whether it is a share of the total rather than a difference or a height.
    pub const fn is_share(self) -> bool {
        matches!(self, Figure::Front | Figure::Rear | Figure::Left | Figure::Cross)
    }

    /// The figure as people read it: percent of the total, kilograms for a pair. A height comes in percent of the wheelbase;
    /// [`Figure::read`] makes millimetres of it.
    pub fn of(self, corners: &Corners) -> f64 {
        match self {
            Figure::FrontPair | Figure::RearPair => self.kg(corners),
            _ => 100.0 * self.kg(corners) / corners.total(),
        }
    }

    /// The figure of a kart as people read it, a height in millimetres.
    pub fn read(self, chassis: &Chassis, corners: &Corners) -> f64 {
        if self == Figure::Height { chassis.cg_height(corners).mm() } else { self.of(corners) }
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;

    use super::*;
    use crate::statics::Corner;

    /// Far below a scale's last digit, far above the rounding of a few additions, kg.
    const NOTHING_KG: f64 = 1e-10;

    /// A kart with two drivers, a seat with holes, fuel and lead; `aboard` and `scales` are those of the one weighing.
    fn scenario(scales: [f64; 4], aboard: &str, seat_hole: i32, drivers: &str) -> Scenario {
        let [lf, rf, lr, rr] = scales;
        let text = format!(
            "units: kg-mm\n\
             kart:\n  name: kart\n  wheelbase: 1040\n  track_front: 1080\n  track_rear: 1120\n  \
             seat: {{mass: 4.5, x: 300, y: 20, pitch: 15, hole: {seat_hole}}}\n\
             class: {{name: class, minimum: 150}}\n\
             weighing: {{scales: {{lf: {lf}, rf: {rf}, lr: {lr}, rr: {rr}}}, aboard: {aboard}}}\n\
             drivers: {drivers}\n\
             driver: Sam\n\
             fuel: {{x: 500, y: 10, start: 4 kg, finish: 1 kg}}\n\
             mounts: {{seat_left: {{x: 250, y: 260, capacity: 9}}, nose: {{x: 1200, y: -30, capacity: 5}}}}\n\
             lead: {{block: {{mass: 2.5, count: 2}}, puck: {{mass: 1, count: 1}}}}\n"
        );
        match Scenario::from_yaml(&text) {
            Ok((scenario, _)) => scenario,
            Err(problems) => panic!("{problems:?}\n{text}"),
        }
    }

    const SCALES: [f64; 4] = [33.0, 32.0, 44.5, 43.0];
    const DRIVERS: &str = "{Sam: {mass: 75, x: 380, y: 15}, Alex: {mass: 62, x: 395, y: 10}}";
    const BARE: &str = "{driver: Sam, fuel: none, lead: none, seat_hole: 2}";

    fn assert_same(one: &Load, other: &Load) {
        assert_eq!(one.total, other.total);
        for corner in Corner::ALL {
            assert_abs_diff_eq!(one.corners[corner], other.corners[corner], epsilon = NOTHING_KG);
        }
    }

    #[test]
    fn what_was_aboard_at_the_weighing_comes_off_the_trunk() {
        let aboard =
            "{driver: Sam, fuel: 3 kg, lead: {seat_left: {block: 2}, nose: {puck: 1}}, seat_hole: 2}";
        let full = scenario(SCALES, aboard, 2, DRIVERS);
        let bare = scenario(SCALES, BARE, 2, DRIVERS);
        let mut aboard = Load::of(&bare, Mass::from_kg(3.0), Point::from_mm(500.0, 10.0));
        aboard = aboard.plus(Load::of(&bare, Mass::from_kg(5.0), Point::from_mm(250.0, 260.0)));
        aboard = aboard.plus(Load::of(&bare, Mass::from_kg(1.0), Point::from_mm(1200.0, -30.0)));
        assert_same(&trunk(&full, full.driver()), &trunk(&bare, bare.driver()).minus(aboard));
    }

    #[test]
    fn a_state_with_what_was_aboard_is_the_weighing() {
        let aboard = "{driver: Sam, fuel: finish, lead: {seat_left: {block: 1}}, seat_hole: 2}";
        let weighed = scenario(SCALES, aboard, 2, DRIVERS);
        let again =
            state(&weighed, weighed.driver(), Moment::Finish, &weighed.weighing().aboard.lead.clone());
        assert_same(&again, &readings(weighed.weighing()));
    }

    #[test]
    fn start_and_finish_differ_by_the_fuel_that_is_burnt() {
        let weighed = scenario(SCALES, BARE, 2, DRIVERS);
        let none = weighed.fitted().without_pieces();
        let at = |moment| state(&weighed, weighed.driver(), moment, &none);
        let burnt = Load::of(&weighed, Mass::from_kg(3.0), Point::from_mm(500.0, 10.0));
        assert_same(&at(Moment::Start), &at(Moment::Finish).plus(burnt));
    }

    #[test]
    fn another_driver_takes_the_place_of_the_one_who_was_weighed() {
        let weighed = scenario(SCALES, BARE, 2, DRIVERS);
        let sam = Load::of(&weighed, Mass::from_kg(75.0), Point::from_mm(380.0, 15.0));
        let alex = Load::of(&weighed, Mass::from_kg(62.0), Point::from_mm(395.0, 10.0));
        let with_sam = trunk(&weighed, Some(0));
        assert_same(&with_sam, &readings(weighed.weighing()));
        assert_same(&trunk(&weighed, Some(1)), &with_sam.minus(sam).plus(alex));
        assert_same(&trunk(&weighed, None), &with_sam.minus(sam));
    }

    #[test]
    fn a_driver_weighed_himself_needs_no_place() {
        let own = "{Sam: {mass: 75, x: 380, y: 15}, Alex: {mass: 62, weighing: \
                   {scales: {lf: 30, rf: 29, lr: 41, rr: 39.5}, aboard: {driver: Alex, fuel: none, lead: none, \
                   seat_hole: 2}}}}";
        let weighed = scenario(SCALES, BARE, 2, own);
        let expected =
            Load { corners: Corners::from_kg([30.0, 29.0, 41.0, 39.5]), total: Mass::from_kg(139.5) };
        assert_same(&trunk(&weighed, Some(1)), &expected);
    }

    /// The seat was a hole further back when it was weighed: seat and driver, 79.5 kg, have come 15 mm forward since.
    #[test]
    fn a_seat_moved_forward_since_the_weighing_takes_the_driver_with_it() {
        let then = "{driver: Sam, fuel: none, lead: none, seat_hole: 1}";
        let moved = scenario(SCALES, then, 2, DRIVERS);
        let load = trunk(&moved, moved.driver());
        assert_eq!(load.total, readings(moved.weighing()).total);
        let to_the_front = load.corners.front() - readings(moved.weighing()).corners.front();
        assert_abs_diff_eq!(to_the_front, 79.5 * 15.0 / 1040.0, epsilon = NOTHING_KG);
    }

    #[test]
    fn figures_are_read_as_the_trade_reads_them() {
        let corners = Corners::from_kg([30.0, 31.0, 40.0, 42.0]);
        for (figure, kg, read) in [
            (Figure::Front, 61.0, 6100.0 / 143.0),
            (Figure::Rear, 82.0, 8200.0 / 143.0),
            (Figure::Left, 70.0, 7000.0 / 143.0),
            (Figure::Cross, 71.0, 7100.0 / 143.0),
            (Figure::FrontPair, -1.0, -1.0),
            (Figure::RearPair, -2.0, -2.0),
        ] {
            assert_abs_diff_eq!(figure.kg(&corners), kg, epsilon = NOTHING_KG);
            assert_abs_diff_eq!(figure.of(&corners), read, epsilon = NOTHING_KG);
        }
    }
}
