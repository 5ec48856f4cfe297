//! Simulated karts on simulated pads and an official scale: what is true, and what a person would read.
//! Written from statics alone, not from the program's own functions, so that it can disagree with them.

/// A small, seeded, portable generator of random numbers (splitmix64), so that a seed means the same case everywhere.
#[derive(Clone, Debug)]
pub(crate) struct Chance {
    state: u64,
}

impl Chance {
    pub(crate) fn new(seed: u64) -> Chance {
        Chance { state: seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x94D0_49BB_1331_11EB }
    }

    /// Between 0 and 1.
    pub(crate) fn unit(&mut self) -> f64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        ((z >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// Anywhere within ±limit alike.
    pub(crate) fn within(&mut self, limit: f64) -> f64 {
        self.between(-limit, limit)
    }

    /// Normal, by Box and Muller.
    pub(crate) fn normal(&mut self, mean: f64, deviation: f64) -> f64 {
        let radius = (-2.0 * self.unit().ln()).sqrt();
        mean + deviation * radius * (std::f64::consts::TAU * self.unit()).cos()
    }
}

pub(crate) fn rounded(value: f64, step: f64) -> f64 {
    (value / step).round() * step
}

/// Lengths in mm, roll shares, load per millimetre of twist in kg.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Frame {
    pub(crate) wheelbase: f64,
    pub(crate) track_front: f64,
    pub(crate) track_rear: f64,
    pub(crate) share_rear: f64,
    pub(crate) share_front: f64,
    pub(crate) rate: f64,
}

impl Frame {
    /// The usual one of the tests; tyres of 83 N/mm and a frame of 178 N·m/deg, the means of what is on the road.
    pub(crate) fn usual() -> Frame {
        let (wheelbase, track_front, track_rear) = (1040.0, 1080.0, 1120.0);
        let metres = |mm: f64| mm / 1000.0;
        let front = 2.0 / (83_000.0 * metres(track_front) * metres(track_front));
        let rear = 2.0 / (83_000.0 * metres(track_rear) * metres(track_rear));
        let frame = 1.0 / (178.0 * 180.0 / std::f64::consts::PI);
        let all = front + rear + frame;
        Frame {
            wheelbase,
            track_front,
            track_rear,
            share_rear: rear / all,
            share_front: (rear + frame) / all,
            rate: 0.001 / (metres(track_front) * metres(track_front) * all * 9.806_65),
        }
    }

    /// Corners of masses `(kg, x, y)`: moments about the rear axle and the centre line, the roll moment shared by station.
    pub(crate) fn corners(&self, bodies: &[(f64, f64, f64)]) -> [f64; 4] {
        let mut corners = [0.0; 4];
        for (kg, x, y) in bodies {
            let station = (x / self.wheelbase).clamp(0.0, 1.0);
            let share = self.share_rear + (self.share_front - self.share_rear) * station;
            let front = kg * x / self.wheelbase;
            let rear = kg - front;
            let front_difference = 2.0 * kg * y * share / self.track_front;
            let rear_difference = 2.0 * kg * y * (1.0 - share) / self.track_rear;
            corners[0] += f64::midpoint(front, front_difference);
            corners[1] += (front - front_difference) / 2.0;
            corners[2] += f64::midpoint(rear, rear_difference);
            corners[3] += (rear - rear_difference) / 2.0;
        }
        corners
    }

    /// The same corners with so much load more on LF, and on the others what keeps total and both moments.
    pub(crate) fn twisted(&self, corners: [f64; 4], kg: f64) -> [f64; 4] {
        let rear = kg * self.track_front / self.track_rear;
        [corners[0] + kg, corners[1] - kg, corners[2] - rear, corners[3] + rear]
    }

    /// Load that pads at those heights put on LF: the twist of the ground under the front against that under the rear.
    pub(crate) fn twist_of(&self, heights: [f64; 4]) -> f64 {
        let twist_front = (heights[0] - heights[1]) / self.track_front;
        let twist_rear = (heights[2] - heights[3]) / self.track_rear;
        self.rate * self.track_front * (twist_front - twist_rear)
    }
}

/// What the pads are stated to be: percent of the load, kg, mm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stated {
    pub(crate) step: f64,
    pub(crate) accuracy: f64,
    pub(crate) shared: f64,
    pub(crate) repeatability: f64,
    pub(crate) drift: f64,
    pub(crate) level: f64,
}

impl Stated {
    pub(crate) fn text(&self) -> String {
        format!(
            "pads: {{step: {}, accuracy: {} %, shared: {} %, repeatability: {}, drift: {}, level: {}}}\n",
            self.step, self.accuracy, self.shared, self.repeatability, self.drift, self.level
        )
    }
}

/// Four pads as they are.
#[derive(Clone, Debug)]
pub(crate) struct Pads {
    stated: Stated,
    gain: [f64; 4],
    zero: [f64; 4],
    pub(crate) heights: [f64; 4],
}

impl Pads {
    /// Pads that keep what is stated of them.
    pub(crate) fn drawn(chance: &mut Chance, stated: Stated) -> Pads {
        let shared = chance.within(stated.shared / 100.0);
        let mut four = |limit: f64| -> [f64; 4] { std::array::from_fn(|_| chance.within(limit)) };
        let own = four(stated.accuracy / 100.0);
        let gain = own.map(|own| shared + own);
        Pads { stated, gain, zero: four(stated.drift), heights: four(stated.level) }
    }

    /// What they show of a kart that has been rolled on once more, and has settled otherwise.
    pub(crate) fn read(&self, chance: &mut Chance, frame: &Frame, corners: [f64; 4]) -> [f64; 4] {
        let settled = chance.normal(0.0, self.stated.repeatability);
        let there = frame.twisted(corners, frame.twist_of(self.heights) + settled);
        std::array::from_fn(|pad| {
            let noise = chance.normal(0.0, self.stated.repeatability);
            rounded(there[pad] * (1.0 + self.gain[pad]) + self.zero[pad] + noise, self.stated.step)
        })
    }
}

/// A kart as it truly is on level ground: corners of a kart with its driver, kg.
pub(crate) fn true_corners(chance: &mut Chance, frame: &Frame) -> [f64; 4] {
    let kart = (chance.between(70.0, 80.0), chance.between(410.0, 430.0), chance.between(-10.0, 10.0));
    let driver = (chance.between(60.0, 80.0), chance.between(410.0, 470.0), chance.between(0.0, 25.0));
    let twist = chance.within(2.0);
    frame.twisted(frame.corners(&[kart, driver]), twist)
}

/// A weighing as people write it: `scales` for one set, `repeats` for several.
pub(crate) fn readings_text(sets: &[[f64; 4]]) -> String {
    let one = |[lf, rf, lr, rr]: &[f64; 4]| format!("{{lf: {lf:.4}, rf: {rf:.4}, lr: {lr:.4}, rr: {rr:.4}}}");
    match sets {
        [set] => format!("  scales: {}\n", one(set)),
        several => {
            let sets: Vec<String> = several.iter().map(one).collect();
            format!("  repeats: [{}]\n", sets.join(", "))
        }
    }
}
