//! The table of `pack`: how long, and how much proved, over seeds, cases and sizes on the list.
//! Takes the number of seeds and the seconds per trip; prints the table.
//! Does not vouch for a kit by having found it: the judge has measured the plan of every case, or the run ends.
//!
//! `cargo bench --bench pack -- 20 10 3/2/3/12` measures 20 seeds of that trip, ten seconds each at most. One thread; each trip is
//! packed once, from the scenario in memory to the judged plans and everything that is told of the kit.

use std::io::{self, Write};
use std::sync::atomic::AtomicBool;
use std::time::{Duration, Instant};

use kentledge::scenario::Scenario;
use kentledge::solve::Patience;
use kentledge::tasks::pack::{Answer, Progress, pack};

#[expect(dead_code, reason = "of the cases only what draws numbers is needed here")]
#[path = "../tests/support/cases.rs"]
mod cases;
#[path = "../tests/support/trips.rs"]
mod trips;

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

/// A trip as people have it: some lead in the box, each piece weighed, and a shop.
fn usual(drivers: usize, classes: usize, aims: usize, sizes: usize) -> Trip {
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
    }
}

fn main() -> Result<(), String> {
    // Cargo says `--bench` when it benches; without it, a test run only wants to see that the program works.
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let benches = arguments.iter().any(|argument| argument == "--bench");
    let words: Vec<String> = arguments.into_iter().filter(|argument| argument != "--bench").collect();
    let numbers: Vec<f64> = words.iter().filter_map(|word| word.parse().ok()).collect();
    if numbers.len() > 2 || words.iter().any(|word| word.starts_with('-')) {
        return Err(USAGE.into());
    }
    let seeds = numbers.first().copied().unwrap_or(if benches { 20.0 } else { 1.0 }) as u64;
    let patience = Duration::try_from_secs_f64(numbers.get(1).copied().unwrap_or(10.0)).map_err(|_| USAGE)?;
    let word = |size: &[usize; 4]| size.map(|number| number.to_string()).join("/");
    let all = if benches { &SIZES[..] } else { &SIZES[..1] };
    let asked: Vec<_> = all.iter().filter(|size| words.contains(&word(size))).copied().collect();
    let sizes = if asked.is_empty() { all } else { &asked };
    run(seeds, patience, sizes).map_err(|error| format!("the table cannot be written: {error}"))?
}

fn run(seeds: u64, patience: Duration, sizes: &[[usize; 4]]) -> io::Result<Result<(), String>> {
    let mut out = io::stdout().lock();
    writeln!(
        out,
        "| drivers/classes/aims/sizes | cases | median | worst | proved | stopped | in band | only legal | kits | other |"
    )?;
    writeln!(out, "|---|---|---|---|---|---|---|---|---|---|")?;
    for [drivers, classes, aims, sizes] in sizes.iter().copied() {
        let trip = usual(drivers, classes, aims, sizes);
        let (mut times, mut kits) = (Vec::new(), Vec::new());
        let (mut proved, mut stopped, mut in_band, mut only_legal, mut other) = (0, 0, 0, 0, 0);
        for seed in 0..seeds {
            let text = trips::trip(&trip, seed);
            let scenario = match Scenario::from_yaml(&text) {
                Ok((scenario, _)) => scenario,
                Err(problems) => return Ok(Err(format!("{problems:?}\n{text}"))),
            };
            let started = Instant::now();
            let stop = AtomicBool::new(false);
            let deadline = started.checked_add(patience);
            match pack(&scenario, Patience { deadline, stop: &stop }, &Progress::default()) {
                Ok(Answer::Packed(packed)) => {
                    let all = packed.is_best_possible();
                    *(if all { &mut proved } else { &mut stopped }) += 1;
                    *(if packed.all_in_band() { &mut in_band } else { &mut only_legal }) += 1;
                    kits.push(packed.kits);
                    if std::env::var_os("PACK_VERBOSE").is_some() {
                        let (worth, bound) = (packed.worth, packed.bound);
                        writeln!(
                            out,
                            "seed {seed}: {:?} {} {worth:?} {bound:?}",
                            started.elapsed(),
                            packed.kits
                        )?;
                    }
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
            "| {drivers}/{classes}/{aims}/{sizes} | {cases} | {median:.0?} | {worst:.0?} | {proved} | {stopped} | {in_band} | {only_legal} | {} | {other} |",
            kits.get(kits.len() / 2).copied().unwrap_or(0)
        )?;
        out.flush()?;
    }
    Ok(Ok(()))
}
