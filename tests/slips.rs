//! Slips at a weighing are named, before anything is worked out from it, and honest weighings are left in peace.
//! Source of truth: what the test did to the readings of karts drawn from what is on the road (`support/road.rs`), seeds fixed; and
//! three files in `regression` whose answers once were nonsense.

use kentledge::diagnosis::Fault;
use kentledge::doubts::{self, Doubt};
use kentledge::scenario::Scenario;
use kentledge::units::KG_PER_LB;
use serde_json::Value;

#[path = "support/run.rs"]
#[expect(dead_code, reason = "nothing here is read from stdin")]
mod program;
#[path = "support/road.rs"]
#[expect(dead_code, reason = "no plan is compared with the truth here")]
mod road;
#[path = "support/simulated.rs"]
#[expect(dead_code, reason = "its linear frame and pads are for other tests")]
mod simulated;
#[path = "support/solving.rs"]
#[expect(dead_code, reason = "nothing is solved here")]
mod solving;

use program::run;
use road::{Aboard, Kart, Pads};
use simulated::{Chance, readings_text};
use solving::read;

const KARTS: u64 = 1000;

/// A kart with its pads, and the numbers that a slip is drawn from.
fn drawn(seed: u64) -> (Kart, Pads, Chance) {
    let mut chance = Chance::new(seed);
    let kart = Kart::drawn(&mut chance);
    let pads = Pads::drawn(&mut chance);
    (kart, pads, chance)
}

/// The file of a kart whose own mass and whose driver's are known, weighed once.
fn text(kart: &Kart, set: [f64; 4]) -> String {
    let [bare, driver] = kart.masses();
    let text = kart.file("", &readings_text(&[set]));
    let text = text.replace("name: drawn, wheelbase", &format!("name: drawn, mass: {bare:.1}, wheelbase"));
    text.replace("Sam: {mass: 70}", &format!("Sam: {{mass: {driver:.1}}}"))
}

fn weighed(kart: &Kart, set: [f64; 4]) -> Scenario {
    read(&text(kart, set))
}

/// In how many of a hundred karts readings changed so raise a doubt of that kind.
fn percent(slip: impl Fn([f64; 4], &mut Chance) -> [f64; 4], is: impl Fn(&Doubt) -> bool) -> f64 {
    let named = (1..=KARTS).filter(|seed| {
        let (kart, pads, mut chance) = drawn(*seed);
        let set = pads.read(&mut chance, &kart, &kart.as_weighed());
        doubts::of(&weighed(&kart, slip(set, &mut chance))).iter().any(&is)
    });
    100.0 * named.count() as f64 / KARTS as f64
}

#[test]
fn honest_first_weighings_raise_no_doubt() {
    let alarms = percent(|set, _| set, |_| true);
    println!("honest: {alarms} %");
    assert!(alarms <= 2.0, "{alarms} %");
}

#[test]
fn a_front_exchanged_with_a_rear_is_named() {
    for (front, rear) in [(0, 2), (0, 3), (1, 2), (1, 3)] {
        let mut order = [0, 1, 2, 3];
        order.swap(front, rear);
        let exchange = |mut set: [f64; 4], _: &mut Chance| {
            set.swap(front, rear);
            set
        };
        let named = percent(exchange, |doubt| *doubt == Doubt::Exchanged { order });
        println!("{front} with {rear}: {named} %");
        assert!(named >= 99.0, "{front} with {rear}: {named} %");
    }
}

/// Neither is claimed: such a kart is as usual as the other, and its front pair, or its left, shows the difference.
#[test]
fn two_fronts_that_are_alike_are_not_called_exchanged() {
    let named =
        percent(|[lf, rf, lr, rr], _| [rf, lf, lr, rr], |doubt| matches!(doubt, Doubt::Exchanged { .. }));
    assert!(named <= 2.0, "{named} %");
}

#[test]
fn one_pad_in_the_other_unit_is_found() {
    let pounds = |mut set: [f64; 4], chance: &mut Chance| {
        set[(chance.unit() * 4.0) as usize] /= KG_PER_LB;
        set
    };
    let found = percent(pounds, |doubt| matches!(doubt, Doubt::OtherUnit { .. } | Doubt::Sum { .. }));
    println!("other unit: {found} %");
    assert!(found >= 99.0, "{found} %");
}

/// In how many of a hundred karts it is found that something weighed less than the file has aboard.
fn percent_too_light(really: impl Fn(&Kart) -> (Kart, Aboard)) -> f64 {
    let mut found = 0;
    for seed in 1..=KARTS {
        let (kart, pads, mut chance) = drawn(seed);
        let (stands, aboard) = really(&kart);
        let light = pads.read(&mut chance, &stands, &aboard);
        found += u64::from(match Scenario::from_yaml(&text(&kart, light)) {
            Ok((scenario, _)) => doubts::of(&scenario).iter().any(|doubt| matches!(doubt, Doubt::Sum { .. })),
            // So much too little that hardly anything is left of the kart.
            Err(faults) => faults.iter().any(|fault| matches!(fault.kind, Fault::PartsTooHeavy { .. })),
        });
    }
    100.0 * found as f64 / KARTS as f64
}

#[test]
fn fuel_or_driver_forgotten_is_found_where_the_mass_of_the_kart_is_known() {
    let dry = percent_too_light(|kart| (kart.clone(), Aboard::default()));
    let alone = percent_too_light(|kart| (kart.without_driver(), kart.as_weighed()));
    println!("fuel: {dry} %, driver: {alone} %");
    assert!(dry >= 99.0 && alone >= 99.0, "fuel: {dry} %, driver: {alone} %");
}

fn path(name: &str) -> String {
    format!("{}/tests/regression/{name}.yaml", env!("CARGO_MANIFEST_DIR"))
}

/// First on the page of `plan`, and a warning of every command.
#[test]
fn a_weighing_that_contradicts_itself_is_said_first_everywhere() {
    for (file, says) in [
        ("weighing-contradicts-mass", "20.02 lb too little"),
        ("pads-lf-lr-exchanged", "with LF and LR exchanged"),
        ("pads-read-lf-lr-rf-rr", "with RF and LR exchanged"),
    ] {
        let joined = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        let plan = run(&["plan", &path(file), "--quiet"]);
        let page = joined(&plan.stdout);
        let at = |words: &str| page.find(words).unwrap_or_else(|| panic!("{file}: no `{words}` in {page}"));
        assert!(at("contradicts itself") < at("LEGAL") && at(says) < at("LEGAL"), "{page}");
        let check = run(&["check", &path(file)]);
        assert!(
            joined(&check.stdout).contains(says) && check.stdout.contains("warning[K015]"),
            "{}",
            check.stdout
        );
        for command in ["plan", "weigh", "check"] {
            let document: Value =
                serde_json::from_str(&run(&[command, &path(file), "--json", "--quiet"]).stdout)
                    .expect("a document");
            let warnings = document["warnings"].as_array().expect("a list");
            assert!(warnings.iter().any(|one| one["code"] == "K015"), "{command} {file}: {warnings:?}");
        }
    }
}

#[test]
fn no_cure_is_worked_out_from_readings_at_the_wrong_wheels() {
    for file in ["pads-lf-lr-exchanged", "pads-read-lf-lr-rf-rr"] {
        let page = run(&["weigh", &path(file), "--quiet"]).stdout;
        for nonsense in ["moved", "washers from", "must go"] {
            assert!(!page.contains(nonsense), "{file}: {page}");
        }
    }
}
