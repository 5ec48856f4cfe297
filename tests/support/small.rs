//! A small valid scenario that tests change one thing in, and the shipped ones as texts.

use std::path::Path;

use kentledge::diagnosis::{Diagnosis, rendered};
use kentledge::scenario::Scenario;

/// A small valid file; tests change one thing in it.
pub(crate) const SMALL: &str = "\
units: kg-mm
kart: {name: kart 7, wheelbase: 1040, track_front: 1080, track_rear: 1120}
class: {name: club senior, minimum: 160}
targets:
  front: {aim: 43, within: 0.5}
weighing:
  scales: {lf: 30.8, rf: 31.4, lr: 42.3, rr: 44.5}
  aboard: {driver: Sam, fuel: 3 L, lead: none}
drivers:
  Sam: {mass: 70.5, x: 440, y: 20}
fuel: {x: 560, y: 40, start: 5 L, finish: 2 L}
mounts:
  seat: {x: 260, y: 270, capacity: 5}
  floor: {x: 820, y: 60, capacity: 5}
lead:
  slab: {mass: 2.5, count: 3}
  puck: {mass: 1, count: 6}
";

pub(crate) fn with(old: &str, new: &str) -> String {
    assert_eq!(SMALL.matches(old).count(), 1, "`{old}` is not there once");
    SMALL.replace(old, new)
}

pub(crate) fn accepted(text: &str) -> Scenario {
    match Scenario::from_yaml(text) {
        Ok((scenario, warnings)) => {
            assert!(warnings.is_empty(), "{}", rendered(&warnings, "file.yaml", text));
            scenario
        }
        Err(errors) => panic!("{}", rendered(&errors, "file.yaml", text)),
    }
}

pub(crate) fn refused(text: &str) -> Vec<Diagnosis> {
    Scenario::from_yaml(text).map(|_| ()).expect_err(text)
}

/// The shipped scenarios: path and text, in order.
pub(crate) fn scenario_files() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let paths = std::fs::read_dir(folder)
        .expect("the folder is part of the project")
        .map(|entry| entry.expect("its entries can be read").path());
    let mut files: Vec<(String, String)> = paths
        .filter(|path| path.extension().is_some_and(|extension| extension == "yaml"))
        .map(|path| (path.display().to_string(), std::fs::read_to_string(&path).expect("scenarios are text")))
        .collect();
    files.sort();
    files
}
