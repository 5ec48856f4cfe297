//! A kart weighed, worked on and weighed again: an honest weighing is called as expected, and a slip is found and named.
//! Source of truth: what the test did to karts drawn from what is on the road (`support/road.rs`), seeds fixed before the code.

#![expect(clippy::print_stdout, reason = "a campaign tells its table as it goes")]

use kentledge::marks::written;
use kentledge::scenario::Scenario;
use kentledge::tasks::forecast::steps;
use kentledge::tasks::misfit::{Comparison, compared};
use kentledge::units::UnitSystem;

#[path = "support/cells.rs"]
#[expect(dead_code, reason = "nothing is known here but whether a slip is found")]
mod cells;
#[path = "support/road.rs"]
#[expect(dead_code, reason = "no mass is told here")]
mod road;
#[path = "support/simulated.rs"]
#[expect(dead_code, reason = "its linear frame and pads are for other tests")]
mod simulated;
#[path = "support/solving.rs"]
#[expect(dead_code, reason = "plans here are drawn, not solved")]
mod solving;

use cells::drawn_plan;
use road::{Aboard, Kart, PIECES, Pads};
use simulated::{Chance, readings_text};
use solving::read;

/// Two readings this far apart show that they were exchanged, kg.
const APART_KG: f64 = 0.5;
const CORNERS: [&str; 4] = ["LF", "RF", "LR", "RR"];
const MOUNTS: [&str; 6] = ["seat_left", "seat_right", "floor_front", "floor_left", "floor_right", "nose"];

/// How a kart is weighed again.
#[derive(Clone, Copy)]
struct Way {
    sets: usize,
    set_up_anew: bool,
}

const WAYS: [Way; 4] = [
    Way { sets: 1, set_up_anew: false },
    Way { sets: 3, set_up_anew: false },
    Way { sets: 1, set_up_anew: true },
    Way { sets: 3, set_up_anew: true },
];

/// A kart that was weighed and worked on.
struct Case {
    kart: Kart,
    pads: Pads,
    chance: Chance,
    way: Way,
    first: String,
    /// What was to be done, and was done if nobody slipped.
    work: Aboard,
}

impl Case {
    fn drawn(seed: u64, way: Way) -> Case {
        let mut chance = Chance::new(seed);
        let mut kart = Kart::drawn(&mut chance);
        let pads = Pads::drawn(&mut chance);
        let aboard = kart.as_weighed();
        let sets: Vec<[f64; 4]> = (0..way.sets).map(|_| pads.read(&mut chance, &kart, &aboard)).collect();
        let first =
            format!("weighings:\n  - {}\n    aboard: {}\n", readings_text(&sets).trim(), aboard.text());
        let scenario = read(&kart.file_of("", &first));
        let (_, mut work) = drawn_plan(&mut chance, &scenario, true);
        let pads = if way.set_up_anew { pads.set_up(&mut chance) } else { pads };
        if way.set_up_anew {
            kart.fuel[0] = 2.0 + chance.within(0.15);
        }
        work.fuel_kg = kart.fuel[0];
        Case { kart, pads, chance, way, first, work }
    }

    /// Any of the pieces that were to be bolted.
    fn fitted(&mut self) -> Option<usize> {
        let fitted: Vec<usize> = (0..PIECES.len()).filter(|piece| self.work.lead[*piece].is_some()).collect();
        fitted.get((self.chance.unit() * fitted.len() as f64) as usize).copied()
    }

    /// What the pads show with that aboard.
    fn sets(&mut self, aboard: &Aboard) -> Vec<[f64; 4]> {
        (0..self.way.sets).map(|_| self.pads.read(&mut self.chance, &self.kart, aboard)).collect()
    }

    /// What the program makes of such readings, if the file says that the work was done.
    fn compared(&self, sets: &[[f64; 4]]) -> Comparison {
        let set_up = if self.way.set_up_anew { "new" } else { "same" };
        let again = format!(
            "  - {}\n    aboard: {}\n    set_up: {set_up}\n",
            readings_text(sets).trim(),
            self.work.text()
        );
        let scenario: Scenario = read(&self.kart.file_of("", &format!("{}{again}", self.first)));
        compared(&steps(&scenario)[0])
    }
}

/// A slip: what it is called, and how it is made. None where this kart gives no occasion.
type Slip = (&'static str, fn(&mut Case) -> Option<(Vec<[f64; 4]>, String)>);

const SLIPS: [Slip; 5] = [
    ("two readings exchanged", |case| {
        let mut sets = case.sets(&case.work.clone());
        let pairs = [(0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3)];
        let (one, other) = pairs[(case.chance.unit() * 6.0) as usize];
        if (sets[0][one] - sets[0][other]).abs() < APART_KG {
            return None;
        }
        for set in &mut sets {
            set.swap(one, other);
        }
        let named =
            format!("the readings were written down with {} and {} exchanged", CORNERS[one], CORNERS[other]);
        Some((sets, named))
    }),
    ("a piece on another mount", |case| {
        let mut slipped = case.work.clone();
        let piece = case.fitted()?;
        let is = slipped.lead[piece]?;
        let seems = (is + 1 + (case.chance.unit() * 5.0) as usize) % MOUNTS.len();
        slipped.lead[piece] = Some(seems);
        let named = format!("`piece{piece}` is on `{}`, not on `{}`", MOUNTS[seems], MOUNTS[is]);
        Some((case.sets(&slipped), named))
    }),
    ("a piece forgotten", |case| {
        let mut slipped = case.work.clone();
        let piece = case.fitted()?;
        let is = slipped.lead[piece].take()?;
        let named = format!("`piece{piece}` is not on `{}`, nor anywhere on the kart", MOUNTS[is]);
        Some((case.sets(&slipped), named))
    }),
    ("washers reversed", |case| {
        let lowered = case.work.lowered;
        if lowered == 0.0 {
            return None;
        }
        let slipped = Aboard { lowered: -lowered, ..case.work.clone() };
        let stand = format!("{} above, {} below", 5.0 - lowered, 5.0 + lowered);
        Some((case.sets(&slipped), format!("the washers of the spindle left went the wrong way: {stand}")))
    }),
    ("one pad in pounds", |case| {
        let mut sets = case.sets(&case.work.clone());
        let pad = (case.chance.unit() * 4.0) as usize;
        for set in &mut sets {
            set[pad] /= 0.453_592_37;
        }
        Some((sets, format!("{} was read in pounds", CORNERS[pad])))
    }),
];

/// Of so many cases.
#[derive(Clone, Copy, Default)]
struct Tally {
    of: u32,
    found: u32,
    first: u32,
}

impl Tally {
    fn count(&mut self, found: &Comparison, named: &str) {
        self.of += 1;
        self.found += u32::from(!found.as_forecast());
        let said = found.causes.first().map(|(sentence, _)| written(sentence, UnitSystem::KgMm));
        self.first += u32::from(said.is_some_and(|said| said == named));
    }

    fn add(&mut self, other: Tally) {
        let Tally { of, found, first } = other;
        (self.of, self.found, self.first) = (self.of + of, self.found + found, self.first + first);
    }

    /// Percent found, and percent named first.
    fn percent(self) -> [f64; 2] {
        [self.found, self.first].map(|part| 100.0 * f64::from(part) / f64::from(self.of))
    }
}

/// Karts from a first seed on, in every way: honest weighings, then each slip, on the same pads and on pads set up anew.
fn campaign(first: u64, karts: u64) -> [[Tally; SLIPS.len() + 1]; 2] {
    let mut all = [[Tally::default(); SLIPS.len() + 1]; 2];
    for way in WAYS {
        let mut these = [Tally::default(); SLIPS.len() + 1];
        for seed in first..first + karts {
            let mut case = Case::drawn(seed, way);
            let sets = case.sets(&case.work.clone());
            these[0].count(&case.compared(&sets), "");
            for ((_, slip), tally) in SLIPS.iter().zip(&mut these[1..]) {
                if let Some((sets, named)) = slip(&mut case) {
                    tally.count(&case.compared(&sets), &named);
                }
            }
        }
        println!("{} sets, {}", way.sets, if way.set_up_anew { "pads set up anew" } else { "same pads" });
        let names = ["honest"].into_iter().chain(SLIPS.map(|(name, _)| name));
        for ((name, tally), sum) in names.zip(these).zip(&mut all[usize::from(way.set_up_anew)]) {
            let [found, first] = tally.percent();
            println!("  {name}: {found:.1} % of {} called unlike, {first:.1} % named first", tally.of);
            sum.add(tally);
        }
    }
    all
}

/// Percent found and percent named first that are asked of each slip, all ways together. Of washers on the same pads: set up anew,
/// pads err by more than one washer does. Of another mount 85 % were wanted; pieces of 1.5 and 2 kg on the same two mounts are told
/// apart by half a kilogram, which one set does not show.
const ASKED: [[f64; 2]; SLIPS.len()] = [[95.0, 85.0], [97.0, 79.0], [97.0, 85.0], [97.0, 85.0], [99.0, 85.0]];

/// What is not as asked, with so much left to chance.
fn judged([same, anew]: [[Tally; SLIPS.len() + 1]; 2], left_to_chance: f64) -> Vec<String> {
    let mut wrong = Vec::new();
    for (index, (mut tally, anew)) in same.into_iter().zip(anew).enumerate() {
        let (name, asked) = match index.checked_sub(1) {
            Some(slip) => (SLIPS[slip].0, ASKED[slip]),
            None => ("honest", [0.0; 2]),
        };
        if name != "washers reversed" {
            tally.add(anew);
        }
        let [found, first] = tally.percent();
        println!("{name}: {found:.1} % called unlike, {first:.1} % named first");
        let right = match index {
            0 => found <= 6.5 + left_to_chance,
            _ => found >= asked[0] - left_to_chance && first >= asked[1] - left_to_chance,
        };
        if !right {
            wrong.push(format!("{name}: {found} % called unlike, {first} % named first"));
        }
    }
    wrong
}

#[test]
fn honest_weighings_are_as_expected_and_slips_are_named() {
    let wrong = judged(campaign(30_001, 100), 4.0);
    assert!(wrong.is_empty(), "{wrong:?}");
}

#[test]
#[ignore = "minutes: the campaign of benches/README.md"]
fn three_thousand_honest_weighings_are_as_expected() {
    let wrong = judged(campaign(40_001, 750), 0.0);
    assert!(wrong.is_empty(), "{wrong:?}");
}
