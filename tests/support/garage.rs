//! A kart that nobody knows exactly, on pads that are not exact either: what the file says of it, and what it really does.
//! Written from statics alone, with tyres that stiffen and a frame that is bent; uses nothing of the library. All data in it is
//! invented.

use std::fmt::Write as _;

use super::cases::{Draw, round};

/// Standard gravity, m/s², exact by definition.
const GRAVITY: f64 = 9.806_65;

/// A place seen from above: mm ahead of the rear axle, mm left of the centre line.
pub(crate) type Place = [f64; 2];

/// A mount: what the file says and where it really is.
#[derive(Clone, Debug)]
pub(crate) struct Mount {
    pub(crate) name: &'static str,
    pub(crate) said: Place,
    real: Place,
    capacity: f64,
}

/// Everything true of one kart and its driver.
#[derive(Clone, Debug)]
pub(crate) struct Kart {
    pub(crate) wheelbase: f64,
    pub(crate) track_front: f64,
    pub(crate) track_rear: f64,
    /// N/mm at no load, front and rear; every tyre stiffens by `stiffening` per mm.
    tyre: [f64; 2],
    stiffening: f64,
    /// N·mm per radian.
    frame: f64,
    /// Angle by which the front axle stands rolled against the rear one, unloaded.
    bent: f64,
    /// Frame, engine, wheels: mass and place.
    bare: (f64, Place),
    driver_kg: f64,
    driver_said: Place,
    driver: Place,
    tank: Place,
    pub(crate) mounts: Vec<Mount>,
    /// Name and mass.
    pub(crate) pieces: Vec<(String, f64)>,
    minimum: f64,
}

/// What is on a kart.
#[derive(Clone, Debug, Default)]
pub(crate) struct Aboard {
    pub(crate) fuel_kg: f64,
    /// Mount and mass of every piece.
    pub(crate) lead: Vec<(usize, f64)>,
    pub(crate) without_driver: bool,
    /// How far the front wheels are set lower against the frame than at the first weighing, left and right, mm.
    pub(crate) lowered: [f64; 2],
}

/// Four pads as they stand in the workshop. Nothing that is weighed on them tells how level they are: what is true of a kart is
/// what it presses on them as they stand.
#[derive(Clone, Debug)]
pub(crate) struct Pads {
    /// Relative error of each.
    gain: [f64; 4],
    /// What each reads unloaded, kg.
    zero: [f64; 4],
    /// Too high, mm.
    pub(crate) level: [f64; 4],
}

/// How far mounts and the driver are from where the file has them, as one standard deviation, mm.
const PLACED_MM: f64 = 12.0;
const SEATED_MM: Place = [30.0, 15.0];
/// Thickness of a washer; as many stand above each spindle as below it at the first weighing.
pub(crate) const WASHER_MM: f64 = 1.0;
/// The same as a file lists it.
pub(crate) const MIDDLE: &str = "left: {above: 3, below: 3}, right: {above: 3, below: 3}";
/// Washers at one side of a spindle at the first weighing.
pub(crate) const WASHERS: u16 = 3;

/// One step of the display, kg.
pub(crate) const PAD_STEP: f64 = 0.1;
/// Standard deviation of what comes back after rolling off and on again, kg.
const PAD_REPEATS: f64 = 0.04;
/// An unloaded pad reads at most so much, kg.
const PAD_ZERO: f64 = 0.025;

/// A number from a bell-shaped distribution of standard deviation 1: twelve equal chances summed.
fn bell(draw: &mut Draw) -> f64 {
    (0..12).map(|_| draw.unit()).sum::<f64>() - 6.0
}

impl Pads {
    pub(crate) fn new(draw: &mut Draw) -> Pads {
        Pads {
            gain: std::array::from_fn(|_| 0.0004 * bell(draw)),
            zero: std::array::from_fn(|_| draw.between(-PAD_ZERO, PAD_ZERO)),
            level: std::array::from_fn(|_| 0.1 * bell(draw)),
        }
    }

    /// What they show, LF RF LR RR.
    pub(crate) fn read(&self, kart: &Kart, aboard: &Aboard, draw: &mut Draw) -> [f64; 4] {
        let loads = kart.corners(aboard, self.level);
        std::array::from_fn(|pad| {
            let shown = loads[pad] * (1.0 + self.gain[pad]) + self.zero[pad] + PAD_REPEATS * bell(draw);
            round((shown / PAD_STEP).round() * PAD_STEP, 3)
        })
    }
}

impl Kart {
    pub(crate) fn new(seed: u64) -> Kart {
        let mut draw = Draw::new(seed);
        let draw = &mut draw;
        let wheelbase = draw.rounded(1030.0, 1060.0, 0);
        let track_front = draw.rounded(1050.0, 1110.0, 0);
        let track_rear = draw.rounded(1090.0, 1150.0, 0);
        let near = |draw: &mut Draw, place: Place, by: Place| {
            [place[0] + by[0] * bell(draw), place[1] + by[1] * bell(draw)]
        };
        let places: [(&'static str, Place, f64); 8] = [
            ("seat_left", [draw.rounded(240.0, 300.0, 0), 270.0], 6.0),
            ("seat_right", [draw.rounded(240.0, 300.0, 0), -270.0], 6.0),
            ("seat_back", [draw.rounded(90.0, 140.0, 0), 0.0], 5.0),
            ("floor_front", [draw.rounded(780.0, 860.0, 0), 60.0], 10.0),
            ("floor_left", [draw.rounded(520.0, 600.0, 0), 190.0], 6.0),
            ("floor_right", [draw.rounded(520.0, 600.0, 0), -150.0], 6.0),
            ("nose", [draw.rounded(1180.0, 1260.0, 0), 0.0], 5.0),
            ("rear_bar", [draw.rounded(-180.0, -120.0, 0), 90.0], 3.0),
        ];
        let mounts = places
            .into_iter()
            .map(|(name, said, capacity)| Mount {
                name,
                said,
                real: near(draw, said, [PLACED_MM; 2]),
                capacity,
            })
            .collect();
        let nominal = [4.0, 3.0, 2.5, 2.0, 2.0, 2.0, 1.5, 1.5, 1.5, 1.0, 1.0, 1.0, 0.5, 0.5, 0.25, 0.25];
        let pieces = nominal
            .iter()
            .enumerate()
            .map(|(index, mass)| (format!("piece {}", index + 1), round(mass * draw.between(0.97, 1.03), 3)))
            .collect();
        let driver_said = [draw.rounded(410.0, 450.0, 0), draw.rounded(10.0, 30.0, 0)];
        let driver_kg = draw.rounded(62.0, 74.0, 1);
        let bare_kg = draw.rounded(72.0, 80.0, 1);
        let fuel_kg = 1.5;
        Kart {
            wheelbase,
            track_front,
            track_rear,
            tyre: std::array::from_fn(|_| draw.between(58.0, 95.0)),
            stiffening: draw.between(0.0, 0.02),
            frame: draw.between(90.0, 280.0) * 1e3 * 180.0 / std::f64::consts::PI,
            bent: draw.between(-1.5, 1.5) / track_front,
            bare: (bare_kg, [draw.between(410.0, 450.0), draw.between(-35.0, -5.0)]),
            driver_kg,
            driver_said,
            driver: near(draw, driver_said, SEATED_MM),
            tank: [560.0, 40.0],
            mounts,
            pieces,
            minimum: round(bare_kg + driver_kg + fuel_kg + draw.between(7.0, 14.0), 1),
        }
    }

    /// True loads, kg, LF RF LR RR, with each wheel on a pad so much too high, mm.
    ///
    /// Moments about the rear axle give the load on each axle. A roll torque at station s of the bar between the axles, which
    /// stand rolled by θf and θr, leaves it at its ends as Tf and Tr: Tf + Tr = Σ τ and θf − θr = bent + (Σ τ s − Tf)/frame.
    /// An axle's pair of tyres carries its load and its torque with deflections d, each of force k d (1 + β d), and stands
    /// rolled by ((d − h) left − (d − h) right)/track, h the height of the pad. The Tf that fits is found by halving.
    pub(crate) fn corners(&self, aboard: &Aboard, height: [f64; 4]) -> [f64; 4] {
        let height = [height[0] + aboard.lowered[0], height[1] + aboard.lowered[1], height[2], height[3]];
        let mut masses = vec![self.bare, (aboard.fuel_kg, self.tank)];
        if !aboard.without_driver {
            masses.push((self.driver_kg, self.driver));
        }
        masses.extend(aboard.lead.iter().map(|(mount, mass)| (*mass, self.mounts[*mount].real)));
        let newton = |mass: f64| mass * GRAVITY;
        let total: f64 = masses.iter().map(|(mass, _)| newton(*mass)).sum();
        let front: f64 = masses.iter().map(|(mass, place)| newton(*mass) * place[0] / self.wheelbase).sum();
        let torque: f64 = masses.iter().map(|(mass, place)| newton(*mass) * place[1]).sum();
        let forward: f64 = masses
            .iter()
            .map(|(mass, place)| newton(*mass) * place[1] * (place[0] / self.wheelbase).clamp(0.0, 1.0))
            .sum();
        let pair =
            |load: f64, torque: f64, track: f64| [load / 2.0 + torque / track, load / 2.0 - torque / track];
        let rolled = |forces: [f64; 2], tyre: f64, track: f64, height: [f64; 2]| {
            let sunk = |force: f64| {
                // β → 0 is the linear spring.
                if self.stiffening < 1e-9 {
                    force / tyre
                } else {
                    ((1.0 + 4.0 * self.stiffening * force / tyre).sqrt() - 1.0) / (2.0 * self.stiffening)
                }
            };
            (sunk(forces[0]) - height[0] - sunk(forces[1]) + height[1]) / track
        };
        let gap = |front_torque: f64| {
            let forces = [
                pair(front, front_torque, self.track_front),
                pair(total - front, torque - front_torque, self.track_rear),
            ];
            let front_roll = rolled(forces[0], self.tyre[0], self.track_front, [height[0], height[1]]);
            let rear_roll = rolled(forces[1], self.tyre[1], self.track_rear, [height[2], height[3]]);
            (front_roll - rear_roll - self.bent - (forward - front_torque) / self.frame, forces)
        };
        // Far more torque than lifts a wheel either way would be no kart on four wheels.
        let (mut low, mut high) =
            (-0.9 * front * self.track_front / 2.0, 0.9 * front * self.track_front / 2.0);
        for _ in 0..200 {
            let middle = f64::midpoint(low, high);
            if gap(middle).0 < 0.0 { low = middle } else { high = middle }
        }
        let (left_over, [front, rear]) = gap(f64::midpoint(low, high));
        assert!(left_over.abs() < 1e-9, "the kart stands on four wheels: {left_over}");
        [front[0], front[1], rear[0], rear[1]].map(|force| force / GRAVITY)
    }

    /// The file that its mechanic writes: what he measured, the first weighing, those `after` it as items of a list, how the
    /// washers are now, and `more`.
    pub(crate) fn file(&self, first: [f64; 4], after: &str, washers: &str, more: &str) -> String {
        let mut text = format!(
            "units: kg-mm\n\
             kart: {{name: kart 7, wheelbase: {}, track_front: {}, track_rear: {}, \
             spindles: {{washer: {WASHER_MM} mm, {washers}}}}}\n\
             class: {{name: club, minimum: {}, margin: 0.5}}\n\
             goals: {{resolution: {{targets: 0}}}}\n\
             measured_within: {{places: {}, driver_place: {}}}\n\
             pads: {{step: {PAD_STEP}, repeatability: {PAD_REPEATS}, drift: {PAD_ZERO}}}\n\
             targets:\n  front: {{aim: 43, within: 0.5}}\n  left: {{aim: 50, within: 0.3}}\n  \
             front_pair: {{aim: 0, within: 0.5 kg}}\n\
             weighings:\n  - scales: {}\n    aboard: {{fuel: 2 kg, lead: none, spindles: {{{MIDDLE}}}}}\n{after}\
             drivers: {{Sam: {{mass: {}, x: {}, y: {}}}}}\n\
             fuel: {{x: {}, y: {}, start: 3 kg, finish: 1.5 kg}}\nmounts:\n",
            self.wheelbase,
            self.track_front,
            self.track_rear,
            self.minimum,
            PLACED_MM * 3.0_f64.sqrt(),
            SEATED_MM[0] * 3.0_f64.sqrt(),
            scales(first),
            self.driver_kg,
            self.driver_said[0],
            self.driver_said[1],
            self.tank[0],
            self.tank[1],
        );
        for Mount { name, said, capacity, .. } in &self.mounts {
            let _ = writeln!(text, "  {name}: {{x: {}, y: {}, capacity: {capacity}}}", said[0], said[1]);
        }
        text.push_str("lead:\n");
        for (name, mass) in &self.pieces {
            let _ = writeln!(text, "  {name}: {{mass: {mass}, count: 1}}");
        }
        text + more
    }
}

/// Readings as a file has them.
pub(crate) fn scales([lf, rf, lr, rr]: [f64; 4]) -> String {
    format!("{{lf: {lf}, rf: {rf}, lr: {lr}, rr: {rr}}}")
}
