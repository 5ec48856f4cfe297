//! The table of `swap`: how long, and how much proved, over seeds and sizes of teams.
//! Does not vouch for a set-up by having found it: the judge has measured every driver again, or the run ends.
//!
//! `cargo bench --bench teams -- 40 5 4/16/8` measures 40 seeds of that size, five seconds each at most. One thread; each team is
//! solved once, from the scenario in memory to the judged plans.

use std::io::{self, Write};
use std::time::Instant;

use kentledge::scenario::Scenario;
use kentledge::solve::Patience;
use kentledge::tasks::swap::{Answer, stints, swap};

#[expect(dead_code, reason = "of the cases only what draws numbers is needed here")]
#[path = "../tests/support/cases.rs"]
mod cases;
#[path = "support/sized.rs"]
mod sized;
#[path = "../tests/support/teams.rs"]
mod teams;

use sized::Request;
use teams::Team;

const USAGE: &str = "usage: cargo bench --bench teams -- [SEEDS [SECONDS]] [DRIVERS/PIECES/MOUNTS]...";

/// Drivers, pieces, mounts.
const SIZES: [[usize; 3]; 9] = [
    [2, 16, 8],
    [3, 12, 6],
    [3, 16, 8],
    [3, 20, 10],
    [4, 12, 6],
    [4, 16, 8],
    [4, 20, 10],
    [6, 16, 8],
    [8, 16, 8],
];

/// Four drivers, four pieces and three mounts: once it took a minute, and hardly anything is smaller.
const TINY: &str = include_str!("../tests/regression/swap-tiny-team-unproved.yaml");

fn main() -> Result<(), String> {
    let request = Request::from_arguments(std::env::args().skip(1), (40, 5.0), &SIZES, USAGE)?;
    run(&request).map_err(|error| format!("the table cannot be written: {error}"))?
}

fn run(request: &Request<3>) -> io::Result<Result<(), String>> {
    let mut out = io::stdout().lock();
    writeln!(
        out,
        "| drivers/pieces/mounts | median | worst | proved | stopped | changes | varying parts | other |"
    )?;
    writeln!(out, "|---|---|---|---|---|---|---|---|")?;
    let drawn = request.sizes.iter().map(|[drivers, pieces, mounts]| {
        let team = Team::usual(*drivers, *pieces, *mounts);
        let texts = (0..request.seeds).map(move |seed| teams::scenario(&team, seed));
        (format!("{drivers}/{pieces}/{mounts}"), texts.collect::<Vec<_>>())
    });
    let tiny = ("the tiny team".to_owned(), vec![TINY.to_owned()]);
    for (name, texts) in drawn.chain([tiny]) {
        let (mut times, mut leaves, mut changes) = (Vec::new(), Vec::new(), Vec::new());
        let (mut proved, mut stopped, mut other) = (0, 0, 0);
        for text in texts {
            let (scenario, _) = match Scenario::from_yaml(&text) {
                Ok(read) => read,
                Err(problems) => return Ok(Err(format!("{problems:?}\n{text}"))),
            };
            let order = match stints(&scenario, &[]) {
                Ok(order) => order,
                Err(fault) => return Ok(Err(format!("{fault}\n{text}"))),
            };
            let started = Instant::now();
            let used = || started.elapsed().div_duration_f64(request.patience);
            match swap(&scenario, &order, Patience::new(&used)) {
                Ok(Answer::Setup(found)) => {
                    let all = found.is_best_possible();
                    proved += u64::from(all);
                    stopped += u64::from(!all);
                    leaves.push(found.leaves);
                    changes.push(found.goals[2].value);
                }
                Ok(_) => other += 1,
                Err(disagreement) => return Ok(Err(format!("{disagreement}\n{text}"))),
            }
            times.push(started.elapsed());
        }
        times.sort();
        leaves.sort_unstable();
        changes.sort_unstable();
        let middle = |list: &[u64]| list.get(list.len() / 2).copied().unwrap_or(0);
        writeln!(
            out,
            "| {name} | {:.0} ms | {:.0} ms | {proved} | {stopped} | {} | {} | {other} |",
            times[times.len() / 2].as_secs_f64() * 1e3,
            times[times.len() - 1].as_secs_f64() * 1e3,
            changes.get(changes.len() / 2).copied().unwrap_or(0),
            middle(&leaves),
        )?;
    }
    Ok(Ok(()))
}
