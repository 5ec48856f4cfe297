//! Scenarios of several drivers on one kart, drawn from a seed, as YAML text.
//! Uses nothing of the library; all data in it is invented.

use std::fmt::Write as _;

use crate::cases::{Draw, Lead, round};

#[path = "set_then.rs"]
mod set_then;

/// What a team is drawn from.
#[derive(Clone, Debug)]
pub(crate) struct Team {
    pub(crate) drivers: usize,
    pub(crate) lead: Lead,
    pub(crate) pieces: usize,
    pub(crate) mounts: usize,
    /// How many of the mounts are quick.
    pub(crate) quick: usize,
    /// Kilograms between the lightest and the heaviest driver.
    pub(crate) apart_kg: f64,
    /// Kilograms that the heaviest driver needs, least and most.
    pub(crate) needed_kg: (f64, f64),
    /// What a mount carries, least and most, kg.
    pub(crate) capacity_kg: (f64, f64),
    /// Room, numbers of pieces, kinds refused, rules, pieces that are slow, locked mounts.
    pub(crate) limits: bool,
    /// Tolerances that some drivers cannot reach.
    pub(crate) out_of_reach: bool,
    /// All resolutions zero, and this much spare.
    pub(crate) exact: Option<f64>,
    /// Stints after every driver's first: drivers come back.
    pub(crate) returns: usize,
    pub(crate) levers: Levers,
    /// What is easily forgotten: kinds of which there is no piece or that no mount takes, mounts that take nothing, kinds of the
    /// same mass or of half of it, adjusters with one setting, locked quick mounts, lead fitted beyond what a mount carries, stacks
    /// that fill their room to a sixteenth of an inch, a target that weighs a hundredfold.
    pub(crate) odd: bool,
}

/// Adjusters of a team's kart: how many settings each has, 0 or 1 for none to choose from.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Levers {
    /// Holes of a quick seat, fore and aft.
    pub(crate) holes: usize,
    /// Whether mounts ride on the seat.
    pub(crate) rides: bool,
    /// Washers at the left spindle, which are quick; those at the right come with them.
    pub(crate) washers: usize,
    /// Steps of a quick bar whose effect was measured.
    pub(crate) steps: usize,
    /// A quick tank that can be at two places.
    pub(crate) tank: bool,
    /// A battery and a bar that are not quick.
    pub(crate) slow: bool,
}

impl Team {
    /// A team as people have it: everybody can be on target, trays carry what the drivers are apart.
    pub(crate) fn usual(drivers: usize, pieces: usize, mounts: usize) -> Team {
        Team {
            drivers,
            lead: Lead::Weighed,
            pieces,
            mounts,
            quick: mounts.div_ceil(2).min(3),
            apart_kg: 12.0,
            needed_kg: (3.0, 8.0),
            capacity_kg: (4.0, 8.0),
            limits: false,
            out_of_reach: false,
            exact: None,
            returns: 0,
            levers: Levers::default(),
            odd: false,
        }
    }
}

/// The text of one scenario.
#[expect(clippy::too_many_lines, reason = "one section of the file after the other, in its order")]
pub(crate) fn scenario(team: &Team, seed: u64) -> String {
    let mut draw = Draw::new(seed);
    let draw = &mut draw;
    let kart = 78.0;
    let mut lead = draw_lead(team, draw);
    let mut odd = team.odd.then(|| Odd::new(team, seed, &mut lead));
    let in_stock: f64 = lead.iter().map(|(_, mass, count)| mass * *count as f64).sum();
    let heaviest = draw.rounded(70.0, 84.0, 1);
    let needed =
        draw.between(team.needed_kg.0, team.needed_kg.1).min(in_stock * 0.9 - team.apart_kg).max(0.3);
    let minimum = round(kart + heaviest + needed, 1);
    let mut out = String::new();
    let _ = writeln!(
        out,
        "# drawn with seed {seed}\nunits: kg-mm\nkart: {{name: drawn, wheelbase: {}, track_front: {}, track_rear: {}{}{}}}",
        draw.rounded(1010.0, 1070.0, 0),
        draw.rounded(1040.0, 1120.0, 0),
        draw.rounded(1090.0, 1150.0, 0),
        set_on_the_kart(team.levers, seed),
        odd.as_ref().filter(|odd| odd.one_hole).map_or("", |_| ONE_HOLE)
    );
    let rules = if team.limits && draw.chance(0.4) {
        format!(", rules: {{most_lead: {}}}", round(needed + team.apart_kg + draw.between(0.0, 3.0), 2))
    } else {
        String::new()
    };
    let _ = writeln!(out, "class: {{name: drawn, minimum: {minimum}, margin: 0.5{rules}}}");
    let off = if team.out_of_reach { draw.between(-6.0, 6.0) } else { draw.between(-0.4, 0.4) };
    let _ = writeln!(
        out,
        "targets:\n  front: {{aim: {}, within: {}}}",
        round(42.5 + off, 1),
        draw.rounded(0.3, 0.7, 1)
    );
    let _ = writeln!(
        out,
        "  left: {{aim: {}, within: {}{}}}",
        round(50.0 + draw.between(-0.3, 0.3), 1),
        draw.rounded(0.3, 0.6, 1),
        odd.as_ref().filter(|odd| odd.weighs).map_or("", |_| ", weight: 100")
    );
    if team.levers.washers > 1 {
        out += "  front_pair: {aim: 0, within: 0.3}\n";
    }
    // The first driver was on the pads; he makes forty-two and a half per cent at the front, and half on the left.
    let masses: Vec<f64> = (0..team.drivers)
        .map(|number| match number {
            0 => heaviest,
            1 => round(heaviest - team.apart_kg, 1),
            _ => round(heaviest - draw.between(0.0, team.apart_kg), 1),
        })
        .collect();
    let total = kart + masses[0];
    let (front, twist) = (0.425, draw.between(-0.5, 0.5));
    let corners = [
        total * front / 2.0 + twist,
        total * front / 2.0 - twist,
        total * (1.0 - front) / 2.0 - twist,
        total * (1.0 - front) / 2.0 + twist,
    ];
    let _ = writeln!(
        out,
        "weighing:\n  scales: {{lf: {:.1}, rf: {:.1}, lr: {:.1}, rr: {:.1}}}\n  aboard: {{driver: D0, fuel: none, lead: none{}}}\ndrivers:",
        corners[0],
        corners[1],
        corners[2],
        corners[3],
        match &odd {
            _ if team.levers.holes > 1 => ", seat_hole: 1",
            Some(odd) if odd.one_hole => ", seat_hole: 0",
            _ => "",
        }
    );
    for (number, mass) in masses.iter().enumerate() {
        let (x, y) = (draw.rounded(425.0, 455.0, 0), draw.rounded(-12.0, 22.0, 0));
        let _ = writeln!(out, "  D{number}: {{mass: {mass}, x: {x}, y: {y}}}");
    }
    let _ = writeln!(out, "fuel: {{x: 540, y: 20, start: {} L, finish: 1 L}}", draw.rounded(1.0, 4.0, 1));
    draw_adjusters(team.levers, seed, odd.as_ref().is_some_and(|odd| odd.one_step), &mut out);
    draw_mounts(team, draw, &lead, odd.as_mut(), &mut out);
    let _ = writeln!(out, "lead:");
    for (kind, (name, mass, count)) in lead.iter().enumerate() {
        let slow = if team.limits && draw.chance(0.2) { ", quick: false" } else { "" };
        let thickness = match &odd {
            Some(odd) => format!("{}/16 in", odd.sixteenths[kind]),
            None => round(8.0 + 4.0 * mass, 1).to_string(),
        };
        let _ = writeln!(out, "  {name}: {{mass: {mass}, count: {count}, thickness: {thickness}{slow}}}");
    }
    let mut order: Vec<usize> = (0..team.drivers).collect();
    for place in (1..order.len()).rev() {
        order.swap(place, draw.below(place + 1));
    }
    for _ in 0..team.returns {
        let last = order[order.len() - 1];
        order.push((last + 1 + draw.below(team.drivers - 1)) % team.drivers);
    }
    let names: Vec<String> = order.iter().map(|driver| format!("D{driver}")).collect();
    let _ = writeln!(out, "pit: {{order: [{}]}}", names.join(", "));
    if let Some(spare) = team.exact {
        let _ = writeln!(
            out,
            "goals: {{spare: {spare}, resolution: {{legal: 0, targets: 0, light: 0, work: 0, close: 0}}}}"
        );
    }
    set_then::set_as_now(&out)
}

/// Names, kilograms and counts.
fn draw_lead(team: &Team, draw: &mut Draw) -> Vec<(String, f64, usize)> {
    // Invented sizes, kg.
    let sizes = [0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 5.0];
    let mut lead: Vec<(String, f64, usize)> = Vec::new();
    for number in 0..team.pieces {
        let nominal = sizes[draw.below(sizes.len())];
        let name = format!("size{}", (nominal * 100.0) as u32);
        match team.lead {
            Lead::Catalogue => match lead.iter_mut().find(|(known, _, _)| *known == name) {
                Some((_, _, count)) => *count += 1,
                None => lead.push((name, nominal, 1)),
            },
            Lead::Weighed => {
                let mass = round(nominal * draw.between(0.96, 1.04), 3);
                lead.push((format!("p{number}"), mass, 1));
            }
        }
    }
    lead
}

fn draw_mounts(
    team: &Team,
    draw: &mut Draw,
    lead: &[(String, f64, usize)],
    mut odd: Option<&mut Odd>,
    out: &mut String,
) {
    let _ = writeln!(out, "mounts:");
    for number in 0..team.mounts {
        // Trays lie about where a driver sits, so that they can take his place; the rest is anywhere.
        let quick = number < team.quick;
        let (x, y) = if quick {
            (draw.rounded(150.0, 750.0, 0), draw.rounded(-300.0, 300.0, 0))
        } else {
            (draw.rounded(-150.0, 1150.0, 0), draw.rounded(-380.0, 380.0, 0))
        };
        let capacity = draw.rounded(team.capacity_kg.0, team.capacity_kg.1, 1);
        let _ = write!(out, "  m{number}: {{x: {x}, y: {y}, capacity: {capacity}");
        if quick {
            let _ = write!(out, ", quick: true");
        }
        if team.levers.holes > 1 && team.levers.rides && number % 2 == 0 {
            let _ = write!(out, ", on: seat");
        }
        if team.limits {
            if draw.chance(0.3) {
                let _ = write!(out, ", room: {}", draw.rounded(20.0, 60.0, 0));
            }
            if draw.chance(0.3) {
                let _ = write!(out, ", most_pieces: {}", 1 + draw.below(3));
            }
            let takes: Vec<&str> =
                lead.iter().map(|(name, _, _)| name.as_str()).filter(|_| draw.chance(0.85)).collect();
            if !takes.is_empty() {
                let _ = write!(out, ", takes: [{}]", takes.join(", "));
            }
            if draw.chance(0.1) {
                let _ = write!(out, ", locked: true");
            }
        }
        if let Some(odd) = &mut odd {
            *out += &odd.mount(number, capacity, lead);
        }
        let _ = writeln!(out, "}}");
    }
    if let Some(odd) = odd {
        let _ = writeln!(out, "fitted: {{{}}}", odd.fitted.join(", "));
    }
}

/// What makes a file odd, with draws of its own, so that all others stay what they are.
struct Odd {
    draw: Draw,
    one_hole: bool,
    one_step: bool,
    weighs: bool,
    /// A mount without oddities, so that most karts can be legal at all.
    plain: Option<usize>,
    /// How thick each kind is, in sixteenths of an inch.
    sixteenths: Vec<usize>,
    /// Pieces of each kind that are not yet fitted, and what is.
    left: Vec<usize>,
    fitted: Vec<String>,
}

/// A seat and spindles at which there is nothing to choose.
const ONE_HOLE: &str = ", seat: {mass: 4.5, x: 320, y: 10, pitch: 20, hole: 0, holes: {from: 0, to: 0}, quick: true}, \
                        spindles: {washer: 1, left: {above: 0, below: 0}, right: {above: 0, below: 0}, quick: true}";

impl Odd {
    fn new(Team { levers, mounts, .. }: &Team, seed: u64, lead: &mut Vec<(String, f64, usize)>) -> Odd {
        let mut draw = Draw::new(seed ^ 0x0DD5_EED5);
        if draw.chance(0.5) {
            let twin = lead[draw.below(lead.len())].1;
            lead.push(("twin".into(), twin, 1));
        }
        if draw.chance(0.25) {
            let half = lead[draw.below(lead.len())].1 / 2.0;
            lead.push(("half".into(), round(half, 4), 2));
        }
        // Always there, so that mounts can take it alone.
        lead.push(("none".into(), draw.rounded(0.5, 2.0, 1), 0));
        Odd {
            one_hole: levers.holes < 2 && levers.washers < 2 && draw.chance(0.2),
            one_step: draw.chance(0.2),
            weighs: draw.chance(0.1),
            plain: draw.chance(0.9).then(|| draw.below(*mounts)),
            sixteenths: lead.iter().map(|_| 3 + draw.below(4)).collect(),
            left: lead.iter().map(|(_, _, count)| *count).collect(),
            fitted: Vec::new(),
            draw,
        }
    }

    /// What a mount takes, its room, whether it is locked, and what is on it.
    fn mount(&mut self, number: usize, capacity: f64, lead: &[(String, f64, usize)]) -> String {
        let draw = &mut self.draw;
        let is_plain = self.plain == Some(number);
        let taken: Vec<usize> = match draw.below(10) {
            _ if is_plain => (0..lead.len()).collect(),
            0 => Vec::new(),
            1..3 => vec![lead.len() - 1],
            3..5 => (0..lead.len()).filter(|_| draw.chance(0.6)).collect(),
            _ => (0..lead.len()).collect(),
        };
        let locked = !is_plain && draw.chance(0.2);
        // Room for just these pieces, or for others that are as thick together.
        let room: usize = taken.iter().filter(|_| draw.chance(0.6)).map(|kind| self.sixteenths[*kind]).sum();
        let is_tight = !is_plain && !locked && room > 0 && draw.chance(0.4);
        let (mut here, mut mass) = (Vec::new(), 0.0);
        for kind in taken.iter().copied() {
            let fits = !locked || mass + lead[kind].1 <= capacity;
            if self.left[kind] > 0 && fits && draw.chance(0.3) {
                self.left[kind] -= 1;
                mass += lead[kind].1;
                here.push(format!("{}: 1", lead[kind].0));
            }
        }
        if !here.is_empty() {
            self.fitted.push(format!("m{number}: {{{}}}", here.join(", ")));
        }
        let names: Vec<&str> = taken.iter().map(|kind| lead[*kind].0.as_str()).collect();
        let room = if is_tight { format!(", room: {room}/16 in") } else { String::new() };
        format!(", takes: [{}]{room}{}", names.join(", "), if locked { ", locked: true" } else { "" })
    }
}

/// Draws of its own, so that a team without adjusters stays what it is.
fn lever_draw(seed: u64) -> Draw {
    Draw::new(seed ^ 0x5EA7_B017)
}

/// What can be set on the kart itself: the seat's holes and the washers of the spindles.
fn set_on_the_kart(levers: Levers, seed: u64) -> String {
    let draw = &mut lever_draw(seed);
    let mut out = String::new();
    if levers.holes > 1 {
        let _ = write!(
            out,
            ", seat: {{mass: 4.5, x: 320, y: 10, pitch: {}, hole: {}, holes: {{from: 0, to: {}}}, changes: {}, quick: true}}",
            draw.rounded(8.0, 30.0, 0),
            draw.below(levers.holes),
            levers.holes - 1,
            draw.below(4)
        );
    }
    if levers.washers > 1 {
        let (most, above) = (levers.washers - 1, draw.below(levers.washers));
        let _ = write!(
            out,
            ", spindles: {{washer: {}, left: {{above: {above}, below: {}}}, right: {{above: {}, below: 0}}, changes: {}, \
             quick: true}}",
            draw.rounded(0.5, 1.5, 1),
            most - above,
            draw.below(2),
            draw.below(3)
        );
    }
    out
}

/// What has a place under `adjusters`.
fn draw_adjusters(levers: Levers, seed: u64, one_step: bool, out: &mut String) {
    let draw = &mut lever_draw(!seed);
    let mut adjusters = String::new();
    if one_step {
        adjusters += "  stuck: {per_step: {lf: 0.5, rf: 0.5, lr: -0.5, rr: -0.5}, from: 2, to: 2, now: 2, quick: true}\n";
    }
    if levers.steps > 1 {
        let kg = draw.rounded(0.2, 0.8, 1);
        let _ = writeln!(
            adjusters,
            "  bar: {{per_step: {{lf: {kg}, rf: {kg}, lr: -{kg}, rr: -{kg}}}, from: 0, to: {}, now: {}, quick: true}}",
            levers.steps - 1,
            draw.below(levers.steps)
        );
    }
    if levers.tank {
        let _ = writeln!(
            adjusters,
            "  tank_place: {{tank: tank, now: middle, places: {{middle: {{x: 500, y: 0}}, nose: {{x: {}, y: 60}}}}, \
             changes: {}, quick: true}}",
            draw.rounded(650.0, 900.0, 0),
            draw.below(3)
        );
    }
    if levers.slow {
        adjusters +=
            "  battery: {mass: 3.1, now: left, places: {left: {x: 300, y: 310}, right: {x: 280, y: -330}}}\n";
        adjusters +=
            "  rear_bar: {per_step: {lf: 0.5, rf: -0.5, lr: -0.5, rr: 0.5}, from: 0, to: 2, now: 1}\n";
    }
    if !adjusters.is_empty() {
        *out += "adjusters:\n";
        *out += &adjusters;
    }
}
