//! Whether every ± holds the truth, on karts drawn from what is on the road and not from the program's own default.
//! Source of truth: `support/road.rs`, statics with tyres that stiffen. Seeds were fixed before the code.

use kentledge::doubts;
use kentledge::scenario::Moment;
use kentledge::statics::Corners;
use kentledge::uncertainty::kart::{self, UnsureKart};
use kentledge::uncertainty::verdict;

#[path = "support/cells.rs"]
mod cells;
#[path = "support/road.rs"]
#[expect(dead_code, reason = "no mass is told here, and there is one weighing")]
mod road;
#[path = "support/simulated.rs"]
#[expect(dead_code, reason = "its linear frame and pads are for other tests")]
mod simulated;
#[path = "support/solving.rs"]
#[expect(dead_code, reason = "plans here are drawn, not solved")]
mod solving;

use cells::{Cell, FIGURES, LIMITS, drawn_plan, figures, third};
use road::{Aboard, Kart, Pads};
use simulated::{Chance, readings_text};
use solving::read;

const KARTS: u64 = 2000;
#[test]
fn every_plus_minus_holds_the_truth_on_karts_as_they_are_on_the_road() {
    let mut cells: Vec<Cell> = Vec::new();
    for seed in 1..=KARTS {
        let mut chance = Chance::new(seed);
        let chance = &mut chance;
        let kart = Kart::drawn(chance);
        let pads = Pads::drawn(chance);
        let third = third(&kart);
        let [rear, front] = kart.shares().map(|share| share + chance.within(0.05));
        let told = format!(
            ", twist_rate: {:.4}, roll_share: {{rear_axle: {:.4}, front_axle: {:.4}}}",
            kart.rate() * (1.0 + chance.within(0.2)),
            rear.max(0.0),
            front.min(1.0)
        );
        let mut cell = 0;
        for (frame_name, frame) in [("usual frame", ""), ("frame told", told.as_str())] {
            for sets in [1, 3] {
                let weighed = kart.as_weighed();
                let sets_read: Vec<[f64; 4]> =
                    (0..sets).map(|_| pads.read(chance, &kart, &weighed)).collect();
                let scenario = read(&kart.file(frame, &readings_text(&sets_read)));
                let mut ask = |name: &str, known: &UnsureKart, truth: [f64; 4]| {
                    if cells.len() == cell {
                        cells.push(Cell::new(format!("{frame_name}, {sets} sets, {name}")));
                    }
                    cells[cell].count(known, truth, third);
                    cell += 1;
                };
                ask("weighed", &kart::weighed(&scenario), kart.corners(&weighed, [0.0; 4]));
                for (name, washers) in [("lead moved", false), ("lead and washers", true)] {
                    let (counts, aboard) = drawn_plan(chance, &scenario, washers);
                    let known = kart::state(&scenario, scenario.driver(), Moment::Start, &counts);
                    let aboard = Aboard { fuel_kg: kart.fuel[1], ..aboard };
                    ask(name, &known, kart.corners(&aboard, [0.0; 4]));
                }
            }
        }
    }
    let judged: Vec<(String, Vec<String>)> = cells.iter().map(|cell| cell.judged(LIMITS)).collect();
    let table: String = judged.iter().map(|(table, _)| table.as_str()).collect();
    println!("{table}");
    let wrong: Vec<String> = judged.into_iter().flat_map(|(_, wrong)| wrong).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Of honest sets: whatever three of them show, they are no reason to know less than one would tell.
#[test]
fn three_sets_never_look_worse_than_one_and_seldom_look_odd() {
    let mut odd = 0;
    for seed in 1..=KARTS {
        let mut chance = Chance::new(seed);
        let kart = Kart::drawn(&mut chance);
        let pads = Pads::drawn(&mut chance);
        let sets = [(); 3].map(|()| pads.read(&mut chance, &kart, &kart.as_weighed()));
        let [one, three] = [&sets[..1], &sets[..]].map(|sets| read(&kart.file("", &readings_text(sets))));
        let [known, better] = [&one, &three].map(kart::weighed);
        for (figure, name) in FIGURES.into_iter().enumerate() {
            let [one, three] =
                [&known, &better].map(|kart| kart.estimate(|kart| figures(&kart.corners)[figure]).expanded());
            assert!(three < one, "kart {seed}, {name}: {three} after three sets, {one} after one");
        }
        odd += u64::from(!doubts::of(&three).is_empty());
    }
    let percent = 100.0 * odd as f64 / KARTS as f64;
    println!("{percent} % of honest weighings of three sets look odd");
    assert!(percent < 2.0, "{percent} %");
}

/// Targets as they are set, with aims anywhere within two tolerances of what a plan comes to.
#[test]
fn the_chance_that_a_target_is_met_is_the_share_of_karts_on_which_it_is() {
    // Front and left as parts of the total, the front pair in kg.
    let tolerances = [0.005, 0.004, 0.5];
    let (mut stated, mut inside) = ([0.0; 3], [0.0; 3]);
    for seed in 1..=KARTS {
        let mut chance = Chance::new(seed);
        let kart = Kart::drawn(&mut chance);
        let pads = Pads::drawn(&mut chance);
        let set = pads.read(&mut chance, &kart, &kart.as_weighed());
        let scenario = read(&kart.file("", &readings_text(&[set])));
        let (counts, aboard) = drawn_plan(&mut chance, &scenario, true);
        let known = kart::state(&scenario, scenario.driver(), Moment::Start, &counts);
        let truth = kart.corners(&Aboard { fuel_kg: kart.fuel[1], ..aboard }, [0.0; 4]);
        let truth = Corners::from_kg(truth);
        for (target, tolerance) in tolerances.into_iter().enumerate() {
            let centre = known.centre.corners;
            let off = tolerance * chance.within(2.0);
            let share = [centre.front(), centre.left(), 0.0][target] / centre.total() + off;
            let distance = |corners: &Corners| match target {
                0 => corners.front() - share * corners.total(),
                1 => corners.left() - share * corners.total(),
                _ => corners.front_pair() - centre.front_pair() - off,
            };
            let half_kg = if target == 2 { tolerance } else { tolerance * centre.total() };
            stated[target] += verdict::chance(known.estimate(|kart| distance(&kart.corners)), half_kg);
            inside[target] += f64::from(u8::from(distance(&truth).abs() <= half_kg));
        }
    }
    for (target, name) in ["front", "left", "front pair"].into_iter().enumerate() {
        let [stated, inside] = [stated, inside].map(|sum| 100.0 * sum[target] / KARTS as f64);
        println!("{name}: chance {stated:.1} %, truly inside {inside:.1} %");
        assert!((stated - inside).abs() <= 3.0, "{name}: {stated} % stated, {inside} % inside");
    }
}
