//! A look at the pads between two jobs stops slips and lets honest work go on, on karts drawn from what is on the road.
//! Source of truth: `support/road.rs`, statics with tyres that stiffen. Seeds were fixed before the code.

use kentledge::counts::Counts;
use kentledge::scenario::Scenario;
use kentledge::statics::Corners;
use kentledge::tasks::gate::Gate;

#[path = "support/road.rs"]
#[expect(dead_code, reason = "no mass is told and no frame is measured here")]
mod road;
#[path = "support/simulated.rs"]
#[expect(dead_code, reason = "its linear frame and pads are for other tests")]
mod simulated;
#[path = "support/solving.rs"]
#[expect(dead_code, reason = "plans here are drawn, not solved")]
mod solving;

use road::{Aboard, Kart, PIECES, Pads, drawn_lead};
use simulated::{Chance, readings_text};
use solving::read;

const KARTS: u64 = 2000;
/// Pieces that are missed, kg.
const TO_BE_MISSED_KG: f64 = 2.0;
/// The mount on the other side; the nose and the floor in front have none.
const OTHER_SIDE: [Option<usize>; 6] = [Some(1), Some(0), None, Some(4), Some(3), None];

/// Lead where chance says, and washers moved so that the front pair is expected to be even; at least one of them.
fn drawn_work(chance: &mut Chance, scenario: &Scenario) -> (Counts, Aboard) {
    let (counts, mut aboard, steps) = drawn_lead(chance, scenario);
    aboard.lowered = if steps == 0.0 { 1.0 } else { steps };
    // Five of ten are above the left spindle.
    let now: Vec<u16> = scenario.adjusters().iter().map(|adjuster| adjuster.now as u16).collect();
    (counts.with_setting(0, (5.0 + aboard.lowered) as usize, &now), aboard)
}

/// How many of so many readings were stopped.
#[derive(Clone, Copy, Default)]
struct Tally {
    stopped: u32,
    of: u32,
}

impl Tally {
    fn percent(self) -> f64 {
        100.0 * f64::from(self.stopped) / f64::from(self.of)
    }
}

#[test]
fn honest_work_goes_on_and_slips_are_stopped() {
    let names =
        ["honest", "washers not done", "washers reversed", "piece missing", "piece on the other side"];
    let mut tallies = [Tally::default(); 5];
    for seed in 1..=KARTS {
        let mut chance = Chance::new(seed);
        let kart = Kart::drawn(&mut chance);
        let pads = Pads::drawn(&mut chance);
        let scenario =
            read(&kart.file("", &readings_text(&[pads.read(&mut chance, &kart, &kart.as_weighed())])));
        let (counts, work) = drawn_work(&mut chance, &scenario);
        let gate = Gate::new(&scenario, scenario.driver(), scenario.fitted(), &counts);
        let done = Aboard { fuel_kg: kart.fuel[0], ..work };
        let piece = (0..PIECES.len())
            .rev()
            .find(|piece| PIECES[*piece] >= TO_BE_MISSED_KG && done.lead[*piece].is_some());
        let sided = (0..PIECES.len()).rev().find(|piece| {
            PIECES[*piece] >= TO_BE_MISSED_KG
                && done.lead[*piece].is_some_and(|mount| OTHER_SIDE[mount].is_some())
        });
        let with = |piece: usize, mount: Option<usize>| {
            let mut slipped = done.clone();
            slipped.lead[piece] = mount;
            slipped
        };
        let cases = [
            Some(done.clone()),
            Some(Aboard { lowered: 0.0, ..done.clone() }),
            Some(Aboard { lowered: -done.lowered, ..done.clone() }),
            piece.map(|piece| with(piece, None)),
            sided.map(|piece| with(piece, done.lead[piece].and_then(|mount| OTHER_SIDE[mount]))),
        ];
        for (tally, aboard) in tallies.iter_mut().zip(cases) {
            let Some(aboard) = aboard else { continue };
            let shown = Corners::from_kg(pads.read(&mut chance, &kart, &aboard));
            tally.of += 1;
            tally.stopped += u32::from(!gate.is_passed(&shown));
        }
    }
    for (name, tally) in names.into_iter().zip(tallies) {
        println!("{name}: {:.1} % of {} stopped", tally.percent(), tally.of);
    }
    assert!(tallies[0].percent() <= 5.0, "{} % of honest work", tallies[0].percent());
    for (name, tally) in names.into_iter().zip(tallies).skip(1) {
        assert!(tally.of > 1000 && tally.percent() >= 95.0, "{name}: {} % of {}", tally.percent(), tally.of);
    }
}
