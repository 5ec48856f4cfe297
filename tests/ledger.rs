//! Drawn days at the track against a simple ledger: whatever is typed in whatever order, lead is counted once.
//! Source of truth: a ledger of what is on which mount, masses that add up and moments about the rear axle; nothing of the program.

#[path = "support/folders.rs"]
mod folders;
#[path = "support/run.rs"]
#[expect(dead_code, reason = "every step here has a file")]
mod program;
#[path = "support/simulated.rs"]
#[expect(dead_code, reason = "a ledger has no frame and no pads")]
mod simulated;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use folders::{empty_folder, names_in, shown};
use program::{Run, run};
use serde_json::Value;
use simulated::Chance;

const WHEELBASE: f64 = 1040.0;
/// Mass, kg, and place ahead of the rear axle, mm.
const KART: (f64, f64) = (78.0, 415.0);
const DRIVERS: [(&str, f64, f64); 2] = [("Sam", 70.0, 455.0), ("Jo", 62.0, 440.0)];
const TANK: f64 = 560.0;
/// Fuel at the finish, kg.
const FINISH: f64 = 1.0;
const MOUNTS: [(&str, f64); 3] = [("seat", 260.0), ("floor", 820.0), ("nose", 1150.0)];
const KINDS: [(&str, f64, u64); 2] = [("block", 2.5, 2), ("puck", 1.0, 4)];

const FILE: &str = "\
# a kart for a ledger
units: kg-mm
kart: {wheelbase: 1040, track_front: 1080, track_rear: 1120}
class: {minimum: 146, margin: 0}
targets: {front: {aim: 43, within: 0.5}}
weighings: # in time
  - {date: 2026-05-02, scales: [READ], aboard: {driver: Sam, fuel: 2 kg, lead: none}}
drivers: {Sam: {mass: 70, x: 455, y: 0}, Jo: {mass: 62, x: 440, y: 0}}
fuel: {x: 560, y: 0, start: 3 kg, finish: 1 kg}
mounts:
  seat: {x: 260, y: 0, capacity: 5}
  floor: {x: 820, y: 0, capacity: 5}
  nose: {x: 1150, y: 0, capacity: 3}
lead: {block: {mass: 2.5, count: 2}, puck: {mass: 1, count: 4}}
";

/// Pieces by mount and kind.
type Lead = BTreeMap<(String, String), u64>;

/// What is true of the kart.
#[derive(Clone)]
struct Ledger {
    fitted: Lead,
    driver: usize,
    /// What was fitted before the last plan, while it can be taken back.
    before: Option<Lead>,
}

impl Ledger {
    /// Total and load on the front axle, kg.
    fn load(&self, driver: usize, fuel: f64) -> [f64; 2] {
        let (_, driver_kg, driver_x) = DRIVERS[driver];
        let mut bodies = vec![KART, (driver_kg, driver_x), (fuel, TANK)];
        bodies.extend(self.fitted.iter().map(|((mount, kind), count)| {
            let (_, kg, _) = KINDS.iter().find(|(name, ..)| name == kind).expect("a kind");
            let (_, x) = MOUNTS.iter().find(|(name, _)| name == mount).expect("a mount");
            (kg * *count as f64, *x)
        }));
        [bodies.iter().map(|(kg, _)| kg).sum(), bodies.iter().map(|(kg, x)| kg * x / WHEELBASE).sum()]
    }

    /// What four pads show, to the gram.
    fn readings(&self, driver: usize, fuel: f64) -> [String; 4] {
        let [total, front] = self.load(driver, fuel);
        [front / 2.0, front / 2.0, (total - front) / 2.0, (total - front) / 2.0].map(|kg| format!("{kg:.3}"))
    }

    /// As the file says it.
    fn words(&self) -> String {
        let mut mounts: BTreeMap<&str, Vec<String>> = BTreeMap::new();
        for ((mount, kind), count) in &self.fitted {
            mounts.entry(mount).or_default().push(format!("{kind}: {count}"));
        }
        let mounts = mounts.iter().map(|(mount, pieces)| format!("{mount}: {{{}}}", pieces.join(", ")));
        let all = mounts.collect::<Vec<_>>().join(", ");
        if all.is_empty() { "none".to_owned() } else { format!("{{{all}}}") }
    }
}

fn on(path: &Path, command: &str, more: &[&str]) -> Run {
    run(&[&[command, shown(path), "--time", "600"], more].concat())
}

fn document(run: &Run) -> Value {
    assert!(matches!(run.code, Some(0 | 1)), "{}", run.stderr);
    serde_json::from_str(&run.stdout).expect("one document")
}

/// What a document says is on the mounts.
fn placed(document: &Value) -> Lead {
    let word = |one: &Value, key: &str| one[key].as_str().expect("a word").to_owned();
    let all = document["placements"].as_array().expect("a list").iter();
    all.map(|one| ((word(one, "mount"), word(one, "piece")), one["count"].as_u64().expect("a number")))
        .collect()
}

/// What fits on the mounts, drawn.
fn drawn_lead(chance: &mut Chance) -> Lead {
    let mut lead = Lead::new();
    for (kind, _, stock) in KINDS {
        for (mount, _) in MOUNTS {
            let count = (1.999 * chance.unit()) as u64;
            if count > 0
                && lead.iter().filter(|((_, of), _)| of == kind).count() < stock as usize
                && mount != "nose"
            {
                lead.insert((mount.to_owned(), kind.to_owned()), count);
            }
        }
    }
    lead
}

/// One day of several commands.
fn day(path: &PathBuf, seed: u64) {
    let mut chance = Chance::new(seed);
    let mut ledger = Ledger { fitted: Lead::new(), driver: 0, before: None };
    let first = ledger.readings(0, 2.0).join(", ");
    fs::write(path, FILE.replace("READ", &first)).expect("it can be written");
    let mut weighings = 1;
    for step in 0..3 {
        let date = format!("2026-05-{:02}", 10 + step);
        let before = fs::read_to_string(path).expect("a text");
        match (5.999 * chance.unit()) as u64 {
            0 | 1 => {
                // Weighed as it is, or with other lead bolted on first.
                let mut more = Vec::new();
                if chance.unit() < 0.4 {
                    ledger.fitted = drawn_lead(&mut chance);
                    more = vec!["--lead".to_owned(), ledger.words()];
                }
                ledger.driver = usize::from(chance.unit() < 0.4);
                ledger.before = None;
                let fuel = (chance.between(0.0, 3.0) * 10.0).round() / 10.0;
                let mut all = ledger.readings(ledger.driver, fuel).to_vec();
                let (name, ..) = DRIVERS[ledger.driver];
                all.extend(["--driver", name, "--date", &date, "--save", "--fuel"].map(str::to_owned));
                all.push(format!("{fuel} kg"));
                all.extend(more);
                let words: Vec<&str> = all.iter().map(String::as_str).collect();
                let run = on(path, "weigh", &words);
                assert!(matches!(run.code, Some(0 | 1)), "{seed}: {}", run.stderr);
                weighings += 1;
            }
            2 | 3 => {
                let plan = document(&on(path, "plan", &["--json"]));
                let mark = plan["mark"].as_str().expect("a plan").to_owned();
                let (but, _) = MOUNTS[(2.999 * chance.unit()) as usize];
                let except = chance.unit() < 0.3;
                let words = if except {
                    vec![mark.as_str(), "--except", but, "--json"]
                } else {
                    vec![&*mark, "--json"]
                };
                let done = placed(&document(&on(path, "done", &words)));
                let on_mount = |lead: &Lead| {
                    lead.clone().into_iter().filter(|((mount, _), _)| mount == but).collect::<Lead>()
                };
                if except {
                    assert_eq!(on_mount(&done), on_mount(&ledger.fitted), "{seed}: {but}");
                } else {
                    assert_eq!(done, placed(&plan), "{seed}");
                }
                ledger.before = Some(std::mem::replace(&mut ledger.fitted, done));
            }
            4 => {
                let back = on(path, "done", &["--undo"]);
                if let Some(lead) = ledger.before.take() {
                    assert_eq!(back.code, Some(0), "{seed}: {}", back.stderr);
                    ledger.fitted = lead;
                } else {
                    assert_eq!(back.code, Some(2), "{seed}: {}", back.stdout);
                    assert_eq!(fs::read_to_string(path).expect("a text"), before, "{seed}");
                }
            }
            _ => {
                let total = format!("{:.3}", ledger.load(ledger.driver, 1.5)[0]);
                let (name, ..) = DRIVERS[ledger.driver];
                let words =
                    ["--official", &total, "--driver", name, "--fuel", "1.5 kg", "--date", &date, "--save"];
                let run = on(path, "weigh", &words);
                assert!(matches!(run.code, Some(0 | 1)), "{seed}: {}", run.stderr);
                ledger.before = None;
            }
        }
    }
    let plan = document(&on(path, "plan", &["--json"]));
    let (name, ..) = DRIVERS[ledger.driver];
    assert_eq!(plan["driver"], name, "{seed}");
    let [total, front] = ledger.load(ledger.driver, FINISH);
    let now = &plan["now"]["corners_kg"]["finish"];
    let kg = |key: &str| now[key].as_f64().expect("a number");
    let told = [kg("lf") + kg("rf") + kg("lr") + kg("rr"), kg("lf") + kg("rf")];
    let text = fs::read_to_string(path).expect("a text");
    for (told, truth) in told.into_iter().zip([total, front]) {
        assert!((told - truth).abs() < 0.02, "{seed}: {told} kg told, {truth} true\n{text}");
    }
    assert_eq!(text.matches("scales:").count(), weighings, "{seed}: {text}");
    assert!(text.starts_with("# a kart for a ledger\n") && text.contains("# in time"), "{text}");
    assert_eq!(names_in(path.parent().expect("a folder")), ["kart.yaml"]);
}

fn days(seeds: std::ops::Range<u64>, folder: &str) {
    let path = empty_folder("ledger", folder).join("kart.yaml");
    for seed in seeds {
        day(&path, seed);
    }
}

// Two halves, so that two processors share them.
#[test]
fn lead_is_counted_once_on_the_first_half_of_five_hundred_drawn_days() {
    days(1..251, "first");
}

#[test]
fn lead_is_counted_once_on_the_second_half_of_five_hundred_drawn_days() {
    days(251..501, "second");
}
