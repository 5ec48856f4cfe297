//! What a kart shows from above: wheels with their loads, mounts with their lead, centre of gravity, tolerances.

use std::fmt::Display;

use crate::answer::swap::common;
use crate::assess::lead_point::lead_point;
use crate::marks::written;
use crate::plan::{Action, Measured, Plan};
use crate::scenario::{Adjuster, Figure, Lever, Moment, Scenario, Shift};
use crate::solve::Answer;
use crate::statics::{Chassis, Corner, Corners, FrontWheel, Point};
use crate::tasks::swap::Swap;
use crate::units::{Length, Mass, UnitSystem};
use crate::weighing::{self, Load};

/// Letters that name mounts; without I and O, which look like 1 and 0.
const LETTERS: [char; 24] = [
    'A', 'B', 'C', 'D', 'E', 'F', 'G', 'H', 'J', 'K', 'L', 'M', 'N', 'P', 'Q', 'R', 'S', 'T', 'U', 'V', 'W',
    'X', 'Y', 'Z',
];

/// Everything that a drawing of a kart shows.
#[derive(Clone, Debug, PartialEq)]
pub struct GroundView {
    /// Units of its reader: a line of a picture breaks where its letters end.
    pub units: UnitSystem,
    /// The kart's name; none if four readings came without a file.
    pub kart: Option<String>,
    /// For whom, where several drivers share the kart.
    pub driver: Option<String>,
    /// What the numbers are: a comparison of now with a plan, or one weighing.
    pub subject: Subject,
    /// Geometry.
    pub chassis: Chassis,
    /// LF RF LR RR.
    pub wheels: [Wheel; 4],
    /// Mounts in file order.
    pub spots: Vec<Spot>,
    /// Adjusters that have a place on the kart.
    pub levers: Vec<LeverSpot>,
    /// Lead that goes from mount to mount, as indices of spots; each way once.
    pub moves: Vec<(usize, usize)>,
    /// Centre of gravity now; none if there is nothing to compare.
    pub cg_before: Option<Point>,
    /// Centre of gravity of what is shown.
    pub cg: Point,
    /// Where the centre of gravity is wanted.
    pub wanted: WantedPlace,
    /// Where the lead that is missing should act, and how much that is.
    pub missing: Option<(Point, Mass)>,
}

/// What the numbers of a drawing are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Subject {
    /// `planned`, `now` or `as weighed`.
    pub what: &'static str,
    /// With the fuel of this moment; none for a kart as it stood on the pads.
    pub moment: Option<Moment>,
    /// What the state is called that is compared with; none if nothing is.
    pub earlier: Option<&'static str>,
}

/// One wheel and its load.
#[derive(Clone, Debug, PartialEq)]
pub struct Wheel {
    pub corner: Corner,
    /// Centre of its contact patch.
    pub place: Point,
    /// Its load now, kg; none if there is nothing to compare.
    pub before: Option<f64>,
    /// Its load in what is shown, kg.
    pub load: f64,
}

/// One mount.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// The letter that stands for it in the drawing and in the tables.
    pub letter: String,
    pub name: String,
    /// Where it is, with the seat where it is in what is shown.
    pub place: Point,
    /// Lead on it, piece by piece.
    pub pieces: Vec<Piece>,
    /// All lead on it, kg.
    pub lead: f64,
    /// Lead that leaves it, kg.
    pub leaves: f64,
    /// The number of the job that is done here.
    pub job: Option<usize>,
}

/// An adjuster and where somebody kneels to set it.
#[derive(Clone, Debug, PartialEq)]
pub struct LeverSpot {
    pub name: String,
    pub place: Point,
    /// The number of the job that is done here.
    pub job: Option<usize>,
}

impl LeverSpot {
    /// None for what was measured without a place.
    fn new(scenario: &Scenario, adjuster: &Adjuster) -> Option<LeverSpot> {
        let chassis = &scenario.kart().chassis;
        let place = match adjuster.lever {
            Lever::Seat => scenario.kart().seat.as_ref()?.place(),
            Lever::Spindle { side, .. } => {
                let half = 0.3 * chassis.track_front.mm();
                let y = if side == FrontWheel::Left { half } else { -half };
                Point { x: chassis.wheelbase, y: Length::from_mm(y) }
            }
            Lever::Part { .. } | Lever::Tank { .. } => adjuster.settings.get(adjuster.now)?.place,
            Lever::Measured { .. } => return None,
        };
        Some(LeverSpot { name: adjuster.name.clone(), place, job: None })
    }
}

/// One piece on a mount.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    pub mass: Mass,
    /// Whether it was there before.
    pub origin: Origin,
}

/// Where a piece was before.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// It is there already.
    Stays,
    /// It comes from the box or from another mount.
    Comes,
}

/// The tolerances of front and left as lines on the ground, mm: where the centre of gravity would meet the target.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct WantedPlace {
    /// Ahead of the rear axle, from and to.
    pub ahead: Option<(f64, f64)>,
    /// Left of the centre line, from and to; for the twist and total of what is shown.
    pub left: Option<(f64, f64)>,
}

impl GroundView {
    /// From what a solve has found; without a plan, the kart as it is now.
    pub fn of_answer(
        units: UnitSystem,
        scenario: &Scenario,
        driver: Option<usize>,
        answer: &Answer,
    ) -> GroundView {
        let Answer::Plan(solved) = answer else { return GroundView::of_now(units, scenario, driver) };
        let before = Measured::new(scenario, driver, scenario.fitted().clone());
        GroundView::of_change(units, scenario, &before, solved.plan.measured())
    }

    /// A plan, or any other lead on the mounts, against what is fitted now or was before it.
    pub fn of_change(
        units: UnitSystem,
        scenario: &Scenario,
        before: &Measured,
        after: &Measured,
    ) -> GroundView {
        // Whoever has done the work weighs again before he drives, and writes beside what is foretold.
        let moment = Moment::Start;
        let mut view = GroundView::of_measured_at(units, scenario, after, moment);
        view.subject = Subject { what: "planned", moment: Some(moment), earlier: Some("now") };
        let shift = weighing::seat_shift(scenario, &after.counts);
        for (spot, mount) in view.spots.iter_mut().zip(0..) {
            *spot = Spot::new(scenario, mount, Some(before), after, shift);
        }
        for job in after.jobs_from(scenario, &before.counts) {
            if let Action::Move { from, to } = job.action
                && !view.moves.contains(&(from, to))
            {
                view.moves.push((from, to));
            }
        }
        if let Some(state) = before.state(moment) {
            let corners = &state.load.corners;
            for (wheel, kg) in view.wheels.iter_mut().zip(corners.kg()) {
                wheel.before = Some(kg);
            }
            view.cg_before = Some(scenario.kart().chassis.cg(corners));
        }
        view
    }

    /// Each driver of a set-up, in the order of their first stint, against what that stint begins with.
    pub fn of_swap(units: UnitSystem, scenario: &Scenario, swap: &Swap) -> Vec<GroundView> {
        let views = std::iter::zip(&swap.drivers, &swap.plans).map(|(driver, plan)| {
            let relieved = swap.relieves(*driver);
            let counts = relieved.map_or(scenario.fitted(), |before| &before.measured().counts);
            let before = Measured::new(scenario, Some(*driver), counts.clone());
            let mut view = GroundView::of_change(units, scenario, &before, plan.measured());
            if relieved.is_some() {
                view.subject.earlier = Some("before");
            }
            view.driver = Some(scenario.drivers()[*driver].name.clone());
            view
        });
        views.collect()
    }

    /// What all drivers of a set-up have on the kart, the seat where the first of them has it.
    pub fn of_base(units: UnitSystem, scenario: &Scenario, swap: &Swap) -> GroundView {
        let measured: Vec<&Measured> = swap.plans.iter().map(Plan::measured).collect();
        let first = measured[0];
        let base = common(&measured).with_settings(first.counts.settings());
        GroundView::of_measured(units, scenario, &Measured::new(scenario, first.driver, base))
    }

    /// The kart as it is now, with that driver.
    pub fn of_now(units: UnitSystem, scenario: &Scenario, driver: Option<usize>) -> GroundView {
        let now = Measured::new(scenario, driver, scenario.fitted().clone());
        GroundView::of_measured(units, scenario, &now)
    }

    /// What a card starts from: a plan, carried out.
    pub fn of_plan(units: UnitSystem, scenario: &Scenario, measured: &Measured) -> GroundView {
        let mut view = GroundView::of_measured(units, scenario, measured);
        view.subject.what = "planned";
        view
    }

    fn of_measured(units: UnitSystem, scenario: &Scenario, measured: &Measured) -> GroundView {
        GroundView::of_measured_at(units, scenario, measured, scenario.class().weighed_at)
    }

    fn of_measured_at(
        units: UnitSystem,
        scenario: &Scenario,
        measured: &Measured,
        moment: Moment,
    ) -> GroundView {
        let load = measured.state(moment).map_or(Load::ZERO, |state| state.load);
        let mut view = GroundView::of_load(units, Some(scenario), &scenario.kart().chassis, &load);
        view.subject = Subject { what: "now", moment: Some(moment), earlier: None };
        view.levers = scenario.adjusters().iter().filter_map(|one| LeverSpot::new(scenario, one)).collect();
        let shift = weighing::seat_shift(scenario, &measured.counts);
        view.spots = (0..scenario.mounts().len())
            .map(|mount| Spot::new(scenario, mount, None, measured, shift))
            .collect();
        view
    }

    /// The last weighing of a scenario, with the lead that was aboard, as the pads showed it; what is missing, as it counts.
    pub fn of_weighing(units: UnitSystem, counted: &Scenario) -> GroundView {
        let scenario = &counted.as_read();
        let aboard = &scenario.weighing().aboard;
        let measured = Measured::new(scenario, aboard.driver, aboard.lead.clone());
        let load = weighing::readings(scenario.weighing());
        let mut view = GroundView::of_load(units, Some(scenario), &scenario.kart().chassis, &load);
        // From where the seat is now to where it was then.
        let seat = scenario.kart().seat.as_ref().zip(aboard.seat_hole);
        let shift = seat.map_or_else(Shift::default, |(seat, then)| seat.shift(seat.hole, then));
        view.spots = (0..scenario.mounts().len())
            .map(|mount| Spot::new(scenario, mount, None, &measured, shift))
            .collect();
        let driver = scenario.driver().or(aboard.driver);
        let missing = lead_point(counted, driver, counted.fitted());
        view.missing = missing.map(|point| (point.place(), point.mass));
        view
    }

    /// Four readings LF RF LR RR with three lengths.
    pub fn of_readings(units: UnitSystem, readings: [Mass; 4], chassis: &Chassis) -> GroundView {
        let corners = Corners::from_kg(readings.map(Mass::kg));
        let load = Load { corners, total: readings.into_iter().sum() };
        GroundView::of_load(units, None, chassis, &load)
    }

    fn of_load(units: UnitSystem, scenario: Option<&Scenario>, chassis: &Chassis, load: &Load) -> GroundView {
        let corners = &load.corners;
        let wheels = Corner::ALL.map(|corner| Wheel {
            corner,
            place: contact_patch(chassis, corner),
            before: None,
            load: corners[corner],
        });
        let tolerance = |figure| {
            let (aim, within) = scenario?.wanted_share(figure)?;
            Some((aim - within, aim + within))
        };
        let (front, left) = (tolerance(Figure::Front), tolerance(Figure::Left));
        GroundView {
            units,
            kart: scenario.map(|scenario| scenario.kart().name.clone()),
            driver: None,
            subject: Subject { what: "as weighed", moment: None, earlier: None },
            chassis: *chassis,
            wheels,
            spots: Vec::new(),
            levers: Vec::new(),
            moves: Vec::new(),
            cg_before: None,
            cg: chassis.cg(corners),
            wanted: WantedPlace::new(chassis, corners, front, left),
            missing: None,
        }
    }

    /// Mounts and their letters.
    pub(super) fn letters(&self) -> Vec<(String, String)> {
        self.spots.iter().map(|spot| (spot.name.clone(), spot.letter.clone())).collect()
    }

    /// An amount as its reader reads it.
    pub(super) fn shown(&self, amount: impl Display) -> String {
        written(&amount.to_string(), self.units)
    }

    /// With the numbers of the jobs, by the names of the mounts and adjusters where they are done.
    #[must_use]
    pub fn numbered(mut self, jobs: &[(usize, String)]) -> GroundView {
        let of = |name: &str| jobs.iter().find(|(_, place)| place == name).map(|(number, _)| *number);
        self.spots.iter_mut().for_each(|spot| spot.job = of(&spot.name));
        self.levers.iter_mut().for_each(|lever| lever.job = of(&lever.name));
        self
    }

    /// Whether it has the numbers of jobs; mounts have letters otherwise.
    pub(super) fn has_jobs(&self) -> bool {
        let numbers = self.spots.iter().map(|spot| spot.job).chain(self.levers.iter().map(|lever| lever.job));
        numbers.flatten().next().is_some()
    }

    /// Whether two states of the kart are compared.
    pub fn compares(&self) -> bool {
        self.subject.earlier.is_some()
    }

    /// What the state is called that is compared with.
    pub fn earlier(&self) -> &'static str {
        self.subject.earlier.unwrap_or_default()
    }
}

fn contact_patch(chassis: &Chassis, corner: Corner) -> Point {
    let (x, track) = match corner {
        Corner::Lf | Corner::Rf => (chassis.wheelbase, chassis.track_front),
        Corner::Lr | Corner::Rr => (Length::ZERO, chassis.track_rear),
    };
    let side = match corner {
        Corner::Lf | Corner::Lr => 0.5,
        Corner::Rf | Corner::Rr => -0.5,
    };
    Point { x, y: Length::from_mm(side * track.mm()) }
}

impl WantedPlace {
    /// `front = x/L`, and `left = 1/2 + y(φ/tf + (1−φ)/tr) + w(1 − tf/tr)/W` with total W and twist w, solved
    /// for x and y; φ at the centre of gravity.
    fn new(
        chassis: &Chassis,
        corners: &Corners,
        front: Option<(f64, f64)>,
        left: Option<(f64, f64)>,
    ) -> WantedPlace {
        let split = chassis.split(corners);
        let (tf, tr) = (chassis.track_front.mm(), chassis.track_rear.mm());
        let per_mm = chassis.left_per_mm(split.cg.x.mm() / chassis.wheelbase.mm());
        let by_twist = split.twist_kg * (1.0 - tf / tr) / split.total_kg;
        let both = |(least, most): (f64, f64), place: &dyn Fn(f64) -> f64| (place(least), place(most));
        WantedPlace {
            ahead: front
                .map(|tolerance| both(tolerance, &|percent| chassis.wheelbase.mm() * percent / 100.0)),
            left: left
                .map(|tolerance| both(tolerance, &|percent| (percent / 100.0 - 0.5 - by_twist) / per_mm)),
        }
    }
}

impl Spot {
    /// A place with nothing on it.
    pub(super) fn empty(index: usize, name: &str, place: Point) -> Spot {
        let (letter, name, pieces) = (letter(index), name.to_owned(), Vec::new());
        Spot { letter, name, place, pieces, lead: 0.0, leaves: 0.0, job: None }
    }

    fn new(
        scenario: &Scenario,
        mount: usize,
        before: Option<&Measured>,
        after: &Measured,
        seat: Shift,
    ) -> Spot {
        let place = &scenario.mounts()[mount];
        let mut pieces = Vec::new();
        let mut leaves = Mass::ZERO;
        for (kind, piece) in scenario.lead().iter().enumerate() {
            let now = after.counts.get(kind, mount);
            let then = before.map_or(now, |before| before.counts.get(kind, mount));
            let stays = now.min(then);
            let of = |origin| Piece { mass: piece.mass, origin };
            pieces.extend(std::iter::repeat_n(of(Origin::Stays), stays as usize));
            pieces.extend(std::iter::repeat_n(of(Origin::Comes), (now - stays) as usize));
            leaves += piece.mass * (then - stays);
        }
        Spot {
            letter: letter(mount),
            name: place.name.clone(),
            place: weighing::mount_place(scenario, mount, seat),
            pieces,
            lead: after.lead_on(scenario, mount).kg(),
            leaves: leaves.kg(),
            job: None,
        }
    }
}

/// A to Z, then AA, AB and so on.
fn letter(index: usize) -> String {
    let digit = |index: usize| LETTERS[index % LETTERS.len()];
    match index / LETTERS.len() {
        0 => digit(index).to_string(),
        more => [digit(more - 1), digit(index)].iter().collect(),
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::statics::Stiffness;

    #[test]
    fn every_mount_has_a_letter_of_its_own_without_i_and_o() {
        let letters: Vec<String> = (0..60).map(letter).collect();
        let mut alone = letters.clone();
        alone.sort();
        alone.dedup();
        assert_eq!(alone.len(), 60);
        assert_eq!((letters[8].as_str(), letters[24].as_str()), ("J", "AA"));
        assert!(letters.iter().all(|letter| !letter.contains(['I', 'O'])));
    }

    #[test]
    fn a_centre_of_gravity_on_the_edge_of_a_tolerance_shows_the_share_of_that_edge() {
        let chassis = Chassis::from_stiffness(
            Length::from_mm(1040.0),
            Length::from_mm(1080.0),
            Length::from_mm(1150.0),
            Stiffness::default(),
        );
        let twist = chassis.lower_wheel(FrontWheel::Left, Length::from_mm(3.0));
        let corners = chassis.influence(Point::from_mm(447.2, 12.0)) * 160.0 + twist;
        let wanted = WantedPlace::new(&chassis, &corners, Some((42.5, 43.5)), Some((49.7, 50.3)));
        let (Some((_, ahead)), Some((right, left))) = (wanted.ahead, wanted.left) else {
            panic!("both are wanted")
        };
        assert_relative_eq!(ahead, 0.435 * 1040.0, max_relative = 1e-12);
        for (y, percent) in [(right, 49.7), (left, 50.3)] {
            let moved = chassis.influence(Point::from_mm(447.2, y)) * 160.0 + twist;
            assert_relative_eq!(Figure::Left.of(&moved), percent, epsilon = 1e-9);
        }
    }
}
