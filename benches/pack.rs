//! The table of `pack`: how long, and how much proved, over seeds, cases and sizes on the list.
//! Does not vouch for a kit by having found it: the judge has measured the plan of every case, or the run ends.
//!
//! `cargo bench --bench pack -- 20 10 3/2/3/12` measures 20 seeds of that trip, ten seconds each at most. One thread; each trip is
//! packed once, from the scenario in memory to the judged plans and everything that is told of the kit.

use std::io::{self, Write};
use std::time::Instant;

use kentledge::scenario::Scenario;
use kentledge::solve::Patience;
use kentledge::tasks::pack::{Answer, Progress, pack};

#[expect(dead_code, reason = "of the cases only what draws numbers is needed here")]
#[path = "../tests/support/cases.rs"]
mod cases;
#[path = "support/sized.rs"]
mod sized;
#[path = "../tests/support/trips.rs"]
mod trips;

use sized::Request;
use trips::Trip;

const USAGE: &str = "usage: cargo bench --bench pack -- [SEEDS [SECONDS]] [DRIVERS/CLASSES/AIMS/SIZES]...";

/// Drivers, classes, front % aims, sizes on the list.
const SIZES: [[usize; 4]; 11] = [
    [1, 1, 3, 6],
    [2, 1, 3, 12],
    [3, 1, 3, 12],
    [3, 2, 3, 4],
    [3, 2, 3, 8],
    [3, 2, 3, 12],
    [3, 2, 3, 20],
    [3, 2, 3, 30],
    [4, 3, 5, 12],
    [6, 3, 5, 12],
    [8, 3, 5, 20],
];

fn main() -> Result<(), String> {
    let request = Request::from_arguments(std::env::args().skip(1), (20, 10.0), &SIZES, USAGE)?;
    run(&request).map_err(|error| format!("the table cannot be written: {error}"))?
}

fn run(request: &Request<4>) -> io::Result<Result<(), String>> {
    let mut out = io::stdout().lock();
    writeln!(
        out,
        "| drivers/classes/aims/sizes | cases | median | worst | proved | stopped | on target | only legal | kits | other |"
    )?;
    writeln!(out, "|---|---|---|---|---|---|---|---|---|---|")?;
    for [drivers, classes, aims, sizes] in request.sizes.iter().copied() {
        let trip = Trip::usual(drivers, classes, aims, sizes);
        let (mut times, mut kits) = (Vec::new(), Vec::new());
        let (mut proved, mut stopped, mut on_target, mut only_legal, mut other) = (0, 0, 0, 0, 0);
        for seed in 0..request.seeds {
            let text = trips::trip(&trip, seed);
            let scenario = match Scenario::from_yaml(&text) {
                Ok((scenario, _)) => scenario,
                Err(problems) => return Ok(Err(format!("{problems:?}\n{text}"))),
            };
            let started = Instant::now();
            let used = || started.elapsed().div_duration_f64(request.patience);
            match pack(&scenario, Patience::new(&used), &Progress::default()) {
                Ok(Answer::Packed(packed)) => {
                    let all = packed.is_best_possible();
                    *(if all { &mut proved } else { &mut stopped }) += 1;
                    *(if packed.all_on_target() { &mut on_target } else { &mut only_legal }) += 1;
                    kits.push(packed.kits);
                }
                Ok(_) => other += 1,
                Err(disagreement) => return Ok(Err(format!("{disagreement}\n{text}"))),
            }
            times.push(started.elapsed());
        }
        times.sort();
        kits.sort_unstable();
        let cases = drivers * classes * aims;
        let (median, worst) = (times[times.len() / 2], times[times.len() - 1]);
        writeln!(
            out,
            "| {drivers}/{classes}/{aims}/{sizes} | {cases} | {median:.0?} | {worst:.0?} | {proved} | {stopped} | {on_target} | {only_legal} | {} | {other} |",
            kits.get(kits.len() / 2).copied().unwrap_or(0)
        )?;
        out.flush()?;
    }
    Ok(Ok(()))
}
