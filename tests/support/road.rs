//! Karts as they are on the road, and what pads show of them: each of another frame, with tyres that stiffen, twisted as found.
//! Written from statics alone; uses nothing of the library. All data in it is invented.

use std::fmt::Write as _;

use kentledge::counts::Counts;
use kentledge::scenario::{Moment, Scenario};
use kentledge::uncertainty::kart;

use super::simulated::{Chance, Stated, rounded};

/// Standard gravity, m/s², exact by definition.
const GRAVITY: f64 = 9.806_65;

/// A place seen from above: mm ahead of the rear axle, mm left of the centre line.
type Place = [f64; 2];

/// Name, capacity in kg and place of the mounts as the file has them.
const MOUNTS: [(&str, Place); 6] = [
    ("seat_left", [260.0, 260.0]),
    ("seat_right", [260.0, -260.0]),
    ("floor_front", [820.0, 40.0]),
    ("floor_left", [560.0, 180.0]),
    ("floor_right", [560.0, -180.0]),
    ("nose", [1220.0, 0.0]),
];
/// Pieces of lead, kg; each is a kind of its own.
pub(crate) const PIECES: [f64; 5] = [4.0, 3.0, 2.5, 2.0, 1.5];
/// Fuel that the file has at the weighing, at the start and at the finish, kg.
const FUEL: [f64; 3] = [2.0, 3.0, 1.5];
/// Pads of the rig.
pub(crate) const STATED: Stated =
    Stated { step: 0.1, accuracy: 0.1, shared: 0.1, repeatability: 0.1, drift: 0.1, level: 0.5 };

/// What is on a kart: which piece is on which mount, washers of a millimetre that lower the left front wheel, fuel.
#[derive(Clone, Debug, Default)]
pub(crate) struct Aboard {
    /// By piece.
    pub(crate) lead: [Option<usize>; PIECES.len()],
    pub(crate) lowered: f64,
    pub(crate) fuel_kg: f64,
}

impl Aboard {
    /// As a file has it; the fuel is what the file has at every weighing.
    pub(crate) fn text(&self) -> String {
        let on = |mount: usize| {
            let pieces = (0..PIECES.len()).filter(|piece| self.lead[*piece] == Some(mount));
            pieces.map(|piece| format!("piece{piece}: 1")).collect::<Vec<_>>().join(", ")
        };
        let mounts = (0..MOUNTS.len()).filter(|mount| !on(*mount).is_empty());
        let lead: Vec<String> =
            mounts.map(|mount| format!("{}: {{{}}}", MOUNTS[mount].0, on(mount))).collect();
        let lead = if lead.is_empty() { "none".to_owned() } else { format!("{{{}}}", lead.join(", ")) };
        let left = format!("{{above: {}, below: {}}}", 5.0 + self.lowered, 5.0 - self.lowered);
        let spindles = format!("{{left: {left}, right: {{above: 5, below: 5}}}}");
        format!("{{driver: Sam, fuel: {}, lead: {lead}, spindles: {spindles}}}", FUEL[0])
    }
}

/// Everything true of a kart with its driver, and what its mechanic measured.
#[derive(Clone, Debug)]
pub(crate) struct Kart {
    /// Wheelbase and tracks, mm: true, and as the tape said.
    lengths: [f64; 3],
    told_lengths: [f64; 3],
    /// N/mm at no load, front and rear, and how a tyre stiffens per mm.
    tyres: [f64; 2],
    stiffening: f64,
    /// Frame, N·m per degree.
    pub(crate) frame: f64,
    /// By how much the right front wheel stands too high, unloaded, mm.
    bent: f64,
    /// Kart and driver: mass and place.
    bodies: [(f64, Place); 2],
    tank: Place,
    pub(crate) mounts: [Place; MOUNTS.len()],
    pieces: [f64; PIECES.len()],
    /// Fuel at the weighing, the start and the finish.
    pub(crate) fuel: [f64; 3],
}

impl Kart {
    pub(crate) fn drawn(chance: &mut Chance) -> Kart {
        let told_lengths =
            [chance.between(1030.0, 1060.0), chance.between(1040.0, 1110.0), chance.between(1090.0, 1210.0)];
        let near =
            |chance: &mut Chance, place: Place, limit: f64| place.map(|told| told + chance.within(limit));
        Kart {
            lengths: told_lengths.map(|told| told + chance.within(3.0)),
            told_lengths,
            tyres: std::array::from_fn(|_| chance.between(58.0, 95.0)),
            stiffening: chance.between(0.0, 0.02),
            frame: chance.between(90.0, 280.0),
            bent: chance.within(2.5),
            bodies: [
                (chance.between(70.0, 80.0), [chance.between(400.0, 440.0), chance.within(20.0)]),
                (chance.between(60.0, 80.0), [chance.between(410.0, 470.0), chance.between(0.0, 25.0)]),
            ],
            tank: near(chance, [560.0, 40.0], 10.0),
            mounts: MOUNTS.map(|(_, told)| near(chance, told, 10.0)),
            pieces: PIECES.map(|told| told * (1.0 + chance.within(0.01))),
            fuel: FUEL.map(|told| told + chance.within(0.15)),
        }
    }

    /// True loads on LF RF LR RR, kg, with each wheel on a pad so much too high, mm.
    ///
    /// The front axle takes a torque T and the rear the rest; each end of the frame turns with its axle, and the frame between
    /// them is wound by what every mass on it does at its station. T is found where the two ends fit.
    pub(crate) fn corners(&self, aboard: &Aboard, heights: [f64; 4]) -> [f64; 4] {
        let [wheelbase, track_front, track_rear] = self.lengths;
        let mut masses: Vec<(f64, Place)> = self.bodies.to_vec();
        masses.push((aboard.fuel_kg, self.tank));
        let lead = aboard.lead.iter().zip(self.pieces);
        masses.extend(lead.filter_map(|(mount, kg)| Some((kg, self.mounts[(*mount)?]))));
        let force = |kg: f64| kg * GRAVITY;
        let all: f64 = masses.iter().map(|(kg, _)| force(*kg)).sum();
        let front: f64 = masses.iter().map(|(kg, [x, _])| force(*kg) * x / wheelbase).sum();
        let torque: f64 = masses.iter().map(|(kg, [_, y])| force(*kg) * y).sum();
        let wound: f64 =
            masses.iter().map(|(kg, [x, y])| force(*kg) * y * (x / wheelbase).clamp(0.0, 1.0)).sum();
        // Of k·d·(1 + β·d) = F.
        let sunk = |force: f64, tyre: f64| match self.stiffening {
            stiffening if stiffening > 1e-9 => {
                ((1.0 + 4.0 * stiffening * force / tyre).sqrt() - 1.0) / (2.0 * stiffening)
            }
            _ => force / tyre,
        };
        let axle = |load: f64, torque: f64, track: f64, tyre: f64, [left, right]: [f64; 2]| {
            let wheels = [load / 2.0 + torque / track, load / 2.0 - torque / track];
            let roll = (sunk(wheels[0], tyre) - left - sunk(wheels[1], tyre) + right) / track;
            (wheels, roll)
        };
        let stiffness = self.frame * 1e3 * 180.0 / std::f64::consts::PI;
        let lowered = [heights[0] + aboard.lowered, heights[1] + self.bent];
        let at = |share: f64| {
            let (front_wheels, front_roll) = axle(front, share, track_front, self.tyres[0], lowered);
            let (rear_wheels, rear_roll) =
                axle(all - front, torque - share, track_rear, self.tyres[1], [heights[2], heights[3]]);
            (front_roll - rear_roll - (wound - share) / stiffness, front_wheels, rear_wheels)
        };
        let most = 0.95 * front * track_front / 2.0;
        let (mut low, mut high) = (-most, most);
        for _ in 0..100 {
            let middle = f64::midpoint(low, high);
            if at(middle).0 < 0.0 { low = middle } else { high = middle }
        }
        let (gap, front_wheels, rear_wheels) = at(f64::midpoint(low, high));
        assert!(gap.abs() < 1e-9, "the kart stands on four wheels: {gap}");
        [front_wheels[0], front_wheels[1], rear_wheels[0], rear_wheels[1]].map(|newton| newton / GRAVITY)
    }

    /// Wheelbase, front and rear track, mm.
    pub(crate) fn lengths(&self) -> [f64; 3] {
        self.lengths
    }

    /// What kart and driver weigh, kg.
    pub(crate) fn masses(&self) -> [f64; 2] {
        self.bodies.map(|(kg, _)| kg)
    }

    /// The same once its driver has got out and sits again, some millimetres off.
    pub(crate) fn sat_again(&self, chance: &mut Chance) -> Kart {
        let mut again = self.clone();
        let (_, [x, y]) = &mut again.bodies[1];
        *x += chance.normal(0.0, 3.0);
        *y += chance.normal(0.0, 2.0);
        again
    }

    /// The same with nobody in the seat.
    pub(crate) fn without_driver(&self) -> Kart {
        let mut alone = self.clone();
        alone.bodies[1].0 = 0.0;
        alone
    }

    /// As it stood when it was weighed first.
    pub(crate) fn as_weighed(&self) -> Aboard {
        Aboard { fuel_kg: self.fuel[0], ..Aboard::default() }
    }

    /// Load that LF gains per millimetre by which its wheel is lowered, kg/mm.
    pub(crate) fn rate(&self) -> f64 {
        let at = |lowered: f64| self.corners(&Aboard { lowered, ..self.as_weighed() }, [0.0; 4])[0];
        at(0.5) - at(-0.5)
    }

    /// The front's share of the roll moment of a small mass above the rear and the front axle.
    pub(crate) fn shares(&self) -> [f64; 2] {
        let [wheelbase, track_front, _] = self.lengths;
        [0.0, wheelbase].map(|x| {
            let pair = |y: f64| {
                let mut with = self.clone();
                with.mounts[0] = [x, y];
                with.pieces[0] = 0.1;
                let mut aboard = self.as_weighed();
                aboard.lead[0] = Some(0);
                let [lf, rf, ..] = with.corners(&aboard, [0.0; 4]);
                lf - rf
            };
            (pair(100.0) - pair(-100.0)) * track_front / (4.0 * 0.1 * 100.0)
        })
    }

    /// The file of its mechanic; `frame` is what he says of how it twists, `weighing` its readings.
    pub(crate) fn file(&self, frame: &str, weighing: &str) -> String {
        let aboard = Aboard::default().text();
        self.file_of(frame, &format!("weighing:\n{weighing}  aboard: {aboard}\n"))
    }

    /// The same with all of his weighings.
    pub(crate) fn file_of(&self, frame: &str, weighings: &str) -> String {
        let [wheelbase, track_front, track_rear] = self.told_lengths;
        let mut text = format!(
            "units: kg-mm\nkart: {{name: drawn, wheelbase: {wheelbase:.3}, track_front: {track_front:.3}, \
             track_rear: {track_rear:.3}{frame}, \
             spindles: {{washer: 1, left: {{above: 5, below: 5}}, right: {{above: 5, below: 5}}}}}}\n\
             class: {{name: drawn, minimum: 150, margin: 0}}\n\
             {weighings}\
             drivers: {{Sam: {{mass: 70}}}}\nfuel: {{x: 560, y: 40, start: {}, finish: {}}}\nmounts:\n",
            FUEL[1], FUEL[2]
        );
        for (name, [x, y]) in MOUNTS {
            let _ = writeln!(text, "  {name}: {{x: {x}, y: {y}, capacity: 20}}");
        }
        text.push_str("lead:\n");
        for (piece, kg) in PIECES.iter().enumerate() {
            let _ = writeln!(text, "  piece{piece}: {{mass: {kg}, count: 1}}");
        }
        text + &STATED.text()
    }
}

/// Four pads as they were set down once.
#[derive(Clone, Debug)]
pub(crate) struct Pads {
    gain: [f64; 4],
    zero: [f64; 4],
    pub(crate) heights: [f64; 4],
    /// How much higher each pad is under the wheel of a turned kart.
    tops: [f64; 4],
}

/// Limit of that, mm: what is assumed where a file says nothing.
const TOP_LEVEL: f64 = 0.2;

impl Pads {
    pub(crate) fn drawn(chance: &mut Chance) -> Pads {
        let shared = chance.within(STATED.shared / 100.0);
        Pads {
            gain: std::array::from_fn(|_| shared + chance.within(STATED.accuracy / 100.0)),
            ..Pads { gain: [0.0; 4], zero: [0.0; 4], heights: [0.0; 4], tops: [0.0; 4] }.set_up(chance)
        }
    }

    /// The same, with tops that are not level.
    pub(crate) fn topped(self, chance: &mut Chance) -> Pads {
        Pads { tops: std::array::from_fn(|_| chance.within(TOP_LEVEL)), ..self }
    }

    /// The same pads on another day's floor, zeroed anew.
    pub(crate) fn set_up(&self, chance: &mut Chance) -> Pads {
        Pads {
            gain: self.gain,
            zero: std::array::from_fn(|_| chance.within(STATED.drift)),
            heights: std::array::from_fn(|_| chance.within(STATED.level)),
            tops: self.tops,
        }
    }

    /// What they show of a kart rolled on once more: it settles otherwise, and each pad repeats as it does.
    pub(crate) fn read(&self, chance: &mut Chance, kart: &Kart, aboard: &Aboard) -> [f64; 4] {
        self.read_under(chance, kart, aboard, [0, 1, 2, 3], self.heights)
    }

    /// The same of a kart turned a quarter to the left, pad by pad: its left front wheel stands where the left rear one stood, and so
    /// round; each pad's top is higher or lower there.
    pub(crate) fn read_turned(&self, chance: &mut Chance, kart: &Kart, aboard: &Aboard) -> [f64; 4] {
        let heights = std::array::from_fn(|pad| self.heights[pad] + self.tops[pad]);
        self.read_under(chance, kart, aboard, [2, 0, 3, 1], heights)
    }

    /// Pad by pad, with these pads under LF RF LR RR.
    fn read_under(
        &self,
        chance: &mut Chance,
        kart: &Kart,
        aboard: &Aboard,
        under: [usize; 4],
        heights: [f64; 4],
    ) -> [f64; 4] {
        let [_, track_front, track_rear] = kart.lengths;
        let settled = chance.normal(0.0, STATED.repeatability);
        let rear = settled * track_front / track_rear;
        let there = kart.corners(aboard, under.map(|pad| heights[pad]));
        let twist = [settled, -settled, -rear, rear];
        let mut shown = [0.0; 4];
        for (wheel, pad) in under.into_iter().enumerate() {
            let noise = chance.normal(0.0, STATED.repeatability);
            let pressed = (there[wheel] + twist[wheel]) * (1.0 + self.gain[pad]);
            shown[pad] = rounded(pressed + self.zero[pad] + noise, STATED.step);
        }
        shown
    }
}

/// Lead put where chance says, and the washers to be moved so that the front pair is expected to be even.
pub(crate) fn drawn_lead(chance: &mut Chance, scenario: &Scenario) -> (Counts, Aboard, f64) {
    let mut counts = Counts::none(PIECES.len(), scenario.mounts().len());
    let mut aboard = Aboard::default();
    for piece in 0..PIECES.len() {
        if chance.unit() < 0.8 {
            let mount = (chance.unit() * scenario.mounts().len() as f64) as usize;
            *counts.get_mut(piece, mount) += 1;
            aboard.lead[piece] = Some(mount);
        }
    }
    let expected = kart::state(scenario, scenario.driver(), Moment::Start, &counts).centre.corners;
    let rate = scenario.kart().chassis.twist_rate_kg_per_mm;
    let steps = (-expected.front_pair() / (2.0 * rate)).round().clamp(-5.0, 5.0);
    (counts, aboard, steps)
}
