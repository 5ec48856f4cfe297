//! Trips drawn from a seed, as YAML text: a few pieces, a short list, one to four cases, so that every kit can be tried.
//! Uses nothing of the library; all data in it is invented.

use std::fmt::Write as _;

use crate::cases::{Draw, round};

/// What a trip is drawn from.
#[expect(
    clippy::struct_excessive_bools,
    reason = "independent properties of drawn cases, switched one by one"
)]
#[derive(Clone, Copy, Debug)]
pub(crate) struct Trip {
    pub(crate) drivers: usize,
    pub(crate) classes: usize,
    /// Front % for tuning.
    pub(crate) aims: usize,
    pub(crate) mounts: usize,
    /// Pieces that are owned.
    pub(crate) owned: usize,
    /// Sizes on the list.
    pub(crate) sizes: usize,
    /// The most of each size.
    pub(crate) most: usize,
    pub(crate) prices: bool,
    /// All resolutions zero.
    pub(crate) exact: bool,
    /// Mass that balance may cost, kg.
    pub(crate) spare: f64,
    /// One mount is locked with a piece on it.
    pub(crate) locked: bool,
    /// The margin is computed from a chance to pass, and pieces are unsure: what is required depends on what is along.
    pub(crate) chance: bool,
    /// One owned piece and one size have a spare.
    pub(crate) spares: bool,
    /// Kilograms that the first driver needs in the first class, least and most.
    pub(crate) needed_kg: (f64, f64),
    /// Kilograms between the first driver and the lightest, and between the first class and the heaviest.
    pub(crate) apart_kg: (f64, f64),
    /// Points of front % from one aim to the next.
    pub(crate) step: f64,
    /// The aim for front % lies so many points from where the kart is, at most.
    pub(crate) aim_off: f64,
    /// What is owned is light, what the shop has is heavy, and it takes one heavy piece on the first mount to be on target. With
    /// little spare it is too heavy for whoever has the light ones along.
    pub(crate) heavy_shop: bool,
}

impl Trip {
    /// As people have it: some lead in the box, each piece weighed, and a shop.
    pub(crate) fn usual(drivers: usize, classes: usize, aims: usize, sizes: usize) -> Trip {
        Trip {
            drivers,
            classes,
            aims,
            mounts: 7,
            owned: 6,
            sizes,
            most: 2,
            prices: true,
            exact: false,
            spare: 0.5,
            locked: false,
            chance: false,
            spares: false,
            needed_kg: (3.0, 6.0),
            apart_kg: (8.0, 6.0),
            step: 0.5,
            aim_off: 0.6,
            heavy_shop: false,
        }
    }
}

/// A heavy piece far in front.
struct Nose {
    kg: f64,
    x: f64,
    y: f64,
}

impl Nose {
    /// The shares of front and left with it on a kart of such a mass and such shares.
    fn shares(&self, bare_kg: f64, (front, left): (f64, f64)) -> (f64, f64) {
        let with = |share: f64, own: f64| (share * bare_kg + own * self.kg) / (bare_kg + self.kg);
        // The wheelbase, and the middle between both tracks, mm.
        (with(front, self.x / 1040.0), with(left, 0.5 + self.y / 1100.0))
    }
}

/// The text of one scenario with a trip.
pub(crate) fn trip(trip: &Trip, seed: u64) -> String {
    let mut draw = Draw::new(seed ^ 0x7219);
    let draw = &mut draw;
    let bare = draw.rounded(120.0, 140.0, 1);
    let needed = draw.rounded(trip.needed_kg.0, trip.needed_kg.1, 1);
    let minimum = round(bare + needed, 1);
    let (front, left) = (draw.rounded(0.41, 0.45, 3), draw.rounded(0.49, 0.51, 3));
    // Invented sizes, kg.
    let sizes = [0.5, 0.75, 1.0, 1.5, 2.0, 2.5];
    let (light, heavy) = if trip.heavy_shop { sizes.split_at(3) } else { (&sizes[..], &sizes[..]) };
    let nose = trip.heavy_shop.then(|| Nose {
        kg: heavy[draw.below(heavy.len())],
        x: draw.rounded(900.0, 1150.0, 0),
        y: draw.rounded(-200.0, 200.0, 0),
    });
    let (aim_front, aim_left) = nose.as_ref().map_or((front, left), |nose| nose.shares(bare, (front, left)));
    let corners = [front * left, front * (1.0 - left), (1.0 - front) * left, (1.0 - front) * (1.0 - left)]
        .map(|share| bare * share);
    let mut text = String::new();
    let out = &mut text;
    let margin = if trip.chance { "95 %".to_owned() } else { draw.rounded(0.0, 0.5, 1).to_string() };
    let _ = writeln!(
        out,
        "# drawn with seed {seed}\nunits: kg-mm\nkart: {{name: drawn, wheelbase: 1040, track_front: 1080, track_rear: 1120}}\n\
         class: {{name: drawn, minimum: {minimum}, margin: {margin}}}\n\
         targets:\n  front: {{aim: {}, within: {}}}\n  left: {{aim: {}, within: {}}}\n\
         weighing:\n  scales: {{lf: {:.1}, rf: {:.1}, lr: {:.1}, rr: {:.1}}}\n  aboard: {{driver: D0, fuel: none, lead: none}}\n\
         fuel: {{x: 500, y: 0, start: 1 L, finish: 0.5 L}}",
        round(aim_front * 100.0 + draw.between(-trip.aim_off, trip.aim_off), 1),
        draw.rounded(0.15, 0.6, 2),
        round(aim_left * 100.0 + draw.between(-0.4, 0.4), 1),
        draw.rounded(0.2, 0.6, 2),
        corners[0],
        corners[1],
        corners[2],
        corners[3],
    );
    let _ = writeln!(out, "drivers:");
    for driver in 0..trip.drivers {
        let mass = if driver == 0 { 65.0 } else { draw.rounded(65.0 - trip.apart_kg.0, 66.0, 1) };
        let _ = writeln!(out, "  D{driver}: {{mass: {mass}, x: {}, y: 10}}", 440 + driver);
    }
    let _ = writeln!(out, "driver: D0\nmounts:");
    for mount in 0..trip.mounts {
        let anywhere = (draw.rounded(0.0, 1150.0, 0), draw.rounded(-350.0, 350.0, 0));
        let (x, y) = nose.as_ref().filter(|_| mount == 0).map_or(anywhere, |nose| (nose.x, nose.y));
        let locked = if trip.locked && mount == 0 { ", locked: true" } else { "" };
        let _ =
            writeln!(out, "  m{mount}: {{x: {x}, y: {y}, capacity: {}{locked}}}", draw.rounded(3.0, 6.0, 1));
    }
    let _ = writeln!(out, "lead:");
    for piece in 0..trip.owned {
        let mass = round(light[draw.below(light.len())] * draw.between(0.97, 1.03), 3);
        let count = 1 + usize::from(draw.chance(0.2));
        let _ = writeln!(out, "  p{piece}: {{mass: {mass}, count: {count}{}}}", unsure(trip, draw));
    }
    if trip.locked {
        let _ = writeln!(out, "fitted: {{m0: {{p0: 1}}}}");
    }
    let resolution =
        if trip.exact { ", resolution: {legal: 0, targets: 0, light: 0, work: 0, close: 0}" } else { "" };
    let _ = writeln!(out, "goals: {{spare: {}{resolution}}}\ntrip:", trip.spare);
    if trip.classes > 1 {
        let _ = writeln!(out, "  classes:\n    c0: {{minimum: {minimum}}}");
        for class in 1..trip.classes {
            let heavier = round(minimum + draw.between(0.5, trip.apart_kg.1), 1);
            let _ = writeln!(out, "    c{class}: {{minimum: {heavier}}}");
        }
    }
    if trip.aims > 1 {
        let from = round(aim_front * 100.0 - draw.between(0.0, 0.8), 1);
        let to = round(from + trip.step * (trip.aims - 1) as f64, 1);
        let _ = writeln!(out, "  front: {{from: {from}, to: {to}, step: {}}}", trip.step);
    }
    let _ = writeln!(out, "  buy:");
    for size in 0..trip.sizes {
        let mass = match &nose {
            Some(nose) if size == 0 => nose.kg,
            // A long list has whatever fits every mount.
            _ if trip.sizes > 4 => 0.125 * (2 + draw.below(23)) as f64,
            _ => heavy[draw.below(heavy.len())],
        };
        let price =
            if trip.prices { format!(", price: {}", round(2.0 + 5.0 * mass, 1)) } else { String::new() };
        let most = 1 + draw.below(trip.most);
        let _ = writeln!(out, "    s{size}: {{mass: {mass}, most: {most}{price}{}}}", unsure(trip, draw));
    }
    if trip.spares {
        let _ = writeln!(out, "  spares: {{p0: 1, s0: 1}}");
    }
    text
}

/// How well the mass of a piece is known, where that matters.
fn unsure(trip: &Trip, draw: &mut Draw) -> String {
    if trip.chance && draw.chance(0.5) {
        format!(", within: {}", draw.rounded(0.0, 0.8, 2))
    } else {
        String::new()
    }
}
