//! The table of `swap`: how long, and how much proved, over seeds and sizes of teams.
//! Takes the number of seeds and the seconds per team; prints the table.
//! Does not vouch for a set-up by having found it: the judge has measured every driver again, or the run ends.
//!
//! `cargo bench --bench teams -- 40 5 4/16/8` measures 40 seeds of that size, five seconds each at most. One thread; each team is
//! solved once, from the scenario in memory to the judged plans.

use std::io::{self, Write};
use std::sync::atomic::AtomicBool;
use std::time::{Duration, Instant};

use kentledge::scenario::Scenario;
use kentledge::solve::{Patience, Proof};
use kentledge::tasks::swap::{Answer, stints, swap};

#[expect(dead_code, reason = "of the cases only what draws numbers is needed here")]
#[path = "../tests/support/cases.rs"]
mod cases;
#[path = "../tests/support/teams.rs"]
mod teams;

use teams::Team;

const USAGE: &str = "usage: cargo bench --bench teams -- [SEEDS [SECONDS]] [DRIVERS/PIECES/MOUNTS]...";

/// Drivers, pieces, mounts.
const SIZES: [(usize, usize, usize); 9] = [
    (2, 16, 8),
    (3, 12, 6),
    (3, 16, 8),
    (3, 20, 10),
    (4, 12, 6),
    (4, 16, 8),
    (4, 20, 10),
    (6, 16, 8),
    (8, 16, 8),
];

fn main() -> Result<(), String> {
    // Cargo says `--bench` when it benches; without it, a test run only wants to see that the program works.
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let benches = arguments.iter().any(|argument| argument == "--bench");
    let words: Vec<String> = arguments.into_iter().filter(|argument| argument != "--bench").collect();
    let numbers: Vec<f64> = words.iter().filter_map(|word| word.parse().ok()).collect();
    if numbers.len() > 2 || words.iter().any(|word| word.starts_with('-')) {
        return Err(USAGE.into());
    }
    let seeds = numbers.first().copied().unwrap_or(if benches { 40.0 } else { 1.0 }) as u64;
    let patience = Duration::try_from_secs_f64(numbers.get(1).copied().unwrap_or(5.0)).map_err(|_| USAGE)?;
    let named = |size: &&(usize, usize, usize)| words.contains(&format!("{}/{}/{}", size.0, size.1, size.2));
    let all = if benches { &SIZES[..] } else { &SIZES[..1] };
    let asked: Vec<_> = all.iter().filter(named).copied().collect();
    run(seeds, patience, if asked.is_empty() { all } else { &asked })
        .map_err(|error| format!("the table cannot be written: {error}"))?
}

fn run(seeds: u64, patience: Duration, sizes: &[(usize, usize, usize)]) -> io::Result<Result<(), String>> {
    let mut out = io::stdout().lock();
    writeln!(
        out,
        "| drivers/pieces/mounts | median | worst | proved | stopped | changes | varying parts | other |"
    )?;
    writeln!(out, "|---|---|---|---|---|---|---|---|")?;
    for (drivers, pieces, mounts) in sizes {
        let team = Team::usual(*drivers, *pieces, *mounts);
        let (mut times, mut leaves, mut changes) = (Vec::new(), Vec::new(), Vec::new());
        let (mut proved, mut stopped, mut other) = (0, 0, 0);
        for seed in 0..seeds {
            let text = teams::scenario(&team, seed);
            let (scenario, _) = match Scenario::from_yaml(&text) {
                Ok(read) => read,
                Err(problems) => return Ok(Err(format!("{problems:?}\n{text}"))),
            };
            let order = match stints(&scenario, &[]) {
                Ok(order) => order,
                Err(fault) => return Ok(Err(format!("{fault}\n{text}"))),
            };
            let started = Instant::now();
            let stop = AtomicBool::new(false);
            let deadline = started.checked_add(patience);
            match swap(&scenario, &order, Patience { deadline, stop: &stop }) {
                Ok(Answer::Setup(found)) => {
                    let all = found.is_best_possible();
                    proved += u64::from(all);
                    stopped += u64::from(!all);
                    if std::env::var_os("TEAMS_VERBOSE").is_some() {
                        let goals: Vec<String> = found
                            .goals
                            .iter()
                            .map(|goal| {
                                format!(
                                    "{}{} {:.3}>={:.3} n{}",
                                    goal.goal.word(),
                                    if goal.proved == Proof::Proved { "" } else { "!" },
                                    goal.value as f64 / if goal.goal.word() == "work" { 1.0 } else { 1e12 },
                                    goal.bound as f64 / if goal.goal.word() == "work" { 1.0 } else { 1e12 },
                                    goal.nodes
                                )
                            })
                            .collect();
                        writeln!(
                            out,
                            "{drivers}/{pieces}/{mounts} seed {seed}: {:?} {}",
                            started.elapsed(),
                            goals.join(", ")
                        )?;
                    }
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
            "| {drivers}/{pieces}/{mounts} | {:.0} ms | {:.0} ms | {proved} | {stopped} | {} | {} | {other} |",
            times[times.len() / 2].as_secs_f64() * 1e3,
            times[times.len() - 1].as_secs_f64() * 1e3,
            changes.get(changes.len() / 2).copied().unwrap_or(0),
            middle(&leaves),
        )?;
    }
    Ok(Ok(()))
}
