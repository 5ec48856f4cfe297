//! Scenarios drawn from a seed, as YAML text: the families of the oracle tests, the cross-checks and the benchmarks.
//! Uses nothing of the library; all data in it is invented.

use std::fmt::Write as _;

/// A small, seeded, portable generator of random numbers (splitmix64), so that a seed means the same case everywhere.
#[derive(Clone, Debug)]
pub(crate) struct Draw {
    state: u64,
}

impl Draw {
    pub(crate) fn new(seed: u64) -> Draw {
        Draw { state: seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5851_F42D_4C95_7F2D }
    }

    pub(crate) fn bits(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Between 0 and 1.
    pub(crate) fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    pub(crate) fn below(&mut self, end: usize) -> usize {
        (self.unit() * end as f64) as usize
    }

    pub(crate) fn chance(&mut self, probability: f64) -> bool {
        self.unit() < probability
    }

    /// A number of so many decimals.
    pub(crate) fn rounded(&mut self, low: f64, high: f64, decimals: i32) -> f64 {
        round(self.between(low, high), decimals)
    }
}

pub(crate) fn round(number: f64, decimals: i32) -> f64 {
    let scale = 10_f64.powi(decimals);
    (number * scale).round() / scale
}

/// How the lead is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Lead {
    /// Sizes as sold, several of each.
    Catalogue,
    /// Every piece weighed to the gram.
    Weighed,
}

/// What a case is drawn from.
#[expect(
    clippy::struct_excessive_bools,
    reason = "independent properties of drawn cases, switched one by one"
)]
#[derive(Clone, Debug)]
pub(crate) struct Family {
    pub(crate) lead: Lead,
    pub(crate) pieces: usize,
    pub(crate) mounts: usize,
    /// Front and left, or front, left, cross and front pair.
    pub(crate) four_targets: bool,
    /// Fuel at start and finish.
    pub(crate) fuel: bool,
    /// Room, bolts and most mass per bolt.
    pub(crate) rules: bool,
    pub(crate) fitted: bool,
    /// Some mounts locked.
    pub(crate) locked: bool,
    /// Aims that no lead reaches.
    pub(crate) out_of_reach: bool,
    /// Capacities that barely hold what is needed.
    pub(crate) nearly_full: bool,
    /// Lead that is needed, kg: most karts carry between a few and some twenty kilograms (invented range).
    pub(crate) needed_kg: (f64, f64),
    /// Need more than there is, or barely: often no legal plan exists.
    pub(crate) scarce: bool,
    pub(crate) order: [&'static str; 4],
    /// All resolutions zero, and this much spare.
    pub(crate) exact: Option<f64>,
}

impl Family {
    pub(crate) fn plain(lead: Lead, pieces: usize, mounts: usize) -> Family {
        Family {
            lead,
            pieces,
            mounts,
            four_targets: false,
            fuel: false,
            rules: false,
            fitted: false,
            locked: false,
            out_of_reach: false,
            nearly_full: false,
            needed_kg: (5.0, 22.0),
            scarce: false,
            order: ["targets", "light", "work", "close"],
            exact: None,
        }
    }

    pub(crate) fn rich(lead: Lead, pieces: usize, mounts: usize) -> Family {
        Family {
            four_targets: true,
            fuel: true,
            rules: true,
            fitted: true,
            ..Family::plain(lead, pieces, mounts)
        }
    }
}

struct Piece {
    name: String,
    mass: f64,
    count: usize,
    thickness: f64,
}

/// The text of one scenario.
#[expect(clippy::too_many_lines, reason = "one section of the file after the other, in its order")]
pub(crate) fn scenario(family: &Family, seed: u64) -> String {
    let mut draw = Draw::new(seed);
    let draw = &mut draw;
    let wheelbase = draw.rounded(1010.0, 1070.0, 0);
    let track_front = draw.rounded(1040.0, 1120.0, 0);
    let track_rear = draw.rounded(1090.0, 1150.0, 0);
    let lead = draw_lead(family, draw);
    let in_stock: f64 = lead.iter().map(|piece| piece.mass * piece.count as f64).sum();
    let needed = draw.between(family.needed_kg.0, family.needed_kg.1).min(in_stock * 0.75);
    let needed = if family.scarce { in_stock * draw.between(0.9, 1.05) } else { needed };
    let bare = draw.rounded(118.0, 150.0, 1);
    let minimum = round(bare + needed, 1);
    let heaviest = lead.iter().map(|piece| piece.mass).fold(0.0, f64::max);

    let mut capacities: Vec<f64> = (0..family.mounts).map(|_| draw.rounded(3.0, 8.0, 1)).collect();
    if family.nearly_full {
        let all: f64 = capacities.iter().sum();
        let wanted = (needed + 0.5) * draw.between(1.03, 1.12);
        for capacity in &mut capacities {
            *capacity = round((*capacity * wanted / all).max(heaviest * 0.55), 2);
        }
    }
    let mut text = String::new();
    let out = &mut text;
    let _ = writeln!(
        out,
        "# drawn with seed {seed}\nunits: kg-mm\nkart: {{name: drawn, wheelbase: {wheelbase}, track_front: {track_front}, track_rear: {track_rear}}}"
    );
    let _ = write!(out, "class: {{name: drawn, minimum: {minimum}, margin: 0.5");
    if family.rules {
        let _ = write!(
            out,
            ", rules: {{most_mass_per_bolt: {}, fewest_bolts_per_piece: 1",
            draw.rounded(3.0, 4.5, 1)
        );
        if draw.chance(0.2) {
            let _ = write!(out, ", largest_piece: {}", round(heaviest * 0.9, 3));
        }
        if draw.chance(0.2) {
            let _ = write!(out, ", most_lead: {}", round(needed + 1.0, 2));
        }
        let _ = write!(out, "}}");
    }
    let _ = writeln!(out, "}}");

    let front = draw.rounded(41.0, 45.0, 1);
    let left = draw.rounded(49.0, 51.0, 1);
    let off = if family.out_of_reach {
        draw.between(4.0, 9.0) * if draw.chance(0.5) { 1.0 } else { -1.0 }
    } else {
        draw.between(-0.8, 0.8)
    };
    let off_left = draw.between(-0.8, 0.8);
    let twist = if family.four_targets { draw.between(-0.6, 0.6) } else { draw.between(-2.0, 2.0) };
    let _ = writeln!(
        out,
        "targets:\n  front: {{aim: {}, within: {}}}",
        round(front + off, 1),
        draw.rounded(0.2, 0.5, 1)
    );
    let _ = writeln!(
        out,
        "  left: {{aim: {}, within: {}}}",
        round(left + off_left, 1),
        draw.rounded(0.2, 0.4, 1)
    );
    if family.four_targets {
        let _ = writeln!(
            out,
            "  cross: {{aim: {}, within: {}}}",
            draw.rounded(49.6, 50.4, 1),
            draw.rounded(0.2, 0.5, 1)
        );
        let _ = writeln!(
            out,
            "  front_pair: {{aim: {}, within: {}}}",
            draw.rounded(-0.5, 0.5, 1),
            draw.rounded(0.3, 0.8, 1)
        );
    }

    let (front, left) = (front / 100.0, left / 100.0);
    let corners = [
        bare * front * left + twist,
        bare * front * (1.0 - left) - twist,
        bare * (1.0 - front) * left - twist,
        bare * (1.0 - front) * (1.0 - left) + twist,
    ];
    // The readings are those of the bare kart; what is fitted was put on afterwards.
    let _ = writeln!(
        out,
        "weighing:\n  scales: {{lf: {:.1}, rf: {:.1}, lr: {:.1}, rr: {:.1}}}\n  aboard: {{driver: Sam, fuel: none, lead: none}}",
        corners[0], corners[1], corners[2], corners[3]
    );
    let _ = writeln!(out, "drivers: {{Sam: {{mass: {:.1}}}}}", bare * 0.5);
    if family.fuel {
        let _ = writeln!(
            out,
            "fuel: {{x: {}, y: {}, start: {} L, finish: {} L}}",
            draw.rounded(450.0, 650.0, 0),
            draw.rounded(-20.0, 20.0, 0),
            draw.rounded(2.0, 4.0, 1),
            draw.rounded(0.5, 1.5, 1)
        );
    } else {
        // A dry tank keeps `aboard` complete.
        let _ = writeln!(out, "fuel: {{x: 500, y: 0, start: 0 L, finish: 0 L}}");
    }
    let mounts: Vec<Mount> =
        capacities.iter().map(|capacity| draw_mount(family, *capacity, &lead, draw)).collect();
    let fitted =
        if family.fitted { draw_fitted(&lead, &mounts, draw) } else { vec![Vec::new(); mounts.len()] };
    let _ = writeln!(out, "mounts:");
    for (number, mount) in mounts.iter().enumerate() {
        let _ = write!(out, "  m{number}: {{{}", mount.settings);
        // What a locked mount carries has to be within its limits; only plain mounts carry nothing questionable.
        if family.locked && draw.chance(0.3) && !family.rules {
            let _ = write!(out, ", locked: true");
        }
        let _ = writeln!(out, "}}");
    }
    let _ = writeln!(out, "lead:");
    for piece in &lead {
        let _ = writeln!(
            out,
            "  {}: {{mass: {}, count: {}, thickness: {}, bolts: 1}}",
            piece.name, piece.mass, piece.count, piece.thickness
        );
    }
    if fitted.iter().any(|pieces| !pieces.is_empty()) {
        let _ = writeln!(out, "fitted:");
        for (number, pieces) in fitted.iter().enumerate().filter(|(_, pieces)| !pieces.is_empty()) {
            let _ = writeln!(out, "  m{number}: {{{}}}", pieces.join(", "));
        }
    }
    let _ = write!(out, "goals: {{order: [{}]", family.order.join(", "));
    if let Some(spare) = family.exact {
        let _ = write!(
            out,
            ", spare: {spare}, resolution: {{legal: 0, targets: 0, light: 0, work: 0, close: 0}}"
        );
    }
    let _ = writeln!(out, "}}");
    text
}

fn draw_lead(family: &Family, draw: &mut Draw) -> Vec<Piece> {
    // Invented sizes, kg.
    let sizes = [0.25, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 5.0];
    let mut lead: Vec<Piece> = Vec::new();
    for number in 0..family.pieces {
        let nominal = sizes[draw.below(sizes.len())];
        match family.lead {
            Lead::Catalogue => match lead.iter_mut().find(|piece| piece.mass.total_cmp(&nominal).is_eq()) {
                Some(piece) => piece.count += 1,
                None => lead.push(Piece {
                    name: format!("size{}", (nominal * 100.0) as u32),
                    mass: nominal,
                    count: 1,
                    thickness: 8.0 + 4.0 * nominal,
                }),
            },
            Lead::Weighed => {
                let mass = round(nominal * draw.between(0.96, 1.04), 3);
                lead.push(Piece {
                    name: format!("p{number}"),
                    mass,
                    count: 1,
                    thickness: round(8.0 + 4.0 * nominal, 1),
                });
            }
        }
    }
    lead
}

struct Mount {
    settings: String,
    capacity: f64,
    room: f64,
    most_pieces: usize,
}

fn draw_mount(family: &Family, capacity: f64, lead: &[Piece], draw: &mut Draw) -> Mount {
    let (x, y) = (draw.rounded(-150.0, 1150.0, 0), draw.rounded(-380.0, 380.0, 0));
    let mut settings = format!("x: {x}, y: {y}, capacity: {capacity}");
    let (mut room, mut most_pieces) = (f64::INFINITY, usize::MAX);
    if family.rules {
        room = draw.rounded(40.0, 90.0, 0);
        let _ = write!(settings, ", room: {room}, bolts: {}", 1 + draw.below(2));
        if draw.chance(0.3) {
            most_pieces = 1 + draw.below(3);
            let _ = write!(settings, ", most_pieces: {most_pieces}");
        }
        let takes: Vec<&str> =
            lead.iter().map(|piece| piece.name.as_str()).filter(|_| draw.chance(0.85)).collect();
        if !takes.is_empty() {
            let _ = write!(settings, ", takes: [{}]", takes.join(", "));
        }
    }
    Mount { settings, capacity, room, most_pieces }
}

/// What is on the kart now, by mount; within its mass, room and number, though not always of a kind that is allowed.
fn draw_fitted(lead: &[Piece], mounts: &[Mount], draw: &mut Draw) -> Vec<Vec<String>> {
    let mut on: Vec<Vec<String>> = vec![Vec::new(); mounts.len()];
    let mut carried: Vec<(f64, f64)> = vec![(0.0, 0.0); mounts.len()];
    for piece in lead {
        let number = draw.below(mounts.len());
        let mount = &mounts[number];
        let (mass, thick) = (carried[number].0 + piece.mass, carried[number].1 + piece.thickness);
        let fits =
            mass <= mount.capacity.min(3.0) && thick <= mount.room && on[number].len() < mount.most_pieces;
        if draw.chance(0.4) && fits {
            carried[number] = (mass, thick);
            on[number].push(format!("{}: 1", piece.name));
        }
    }
    on
}
