//! The table of the search: how long, how many nodes and how much proved, over many seeds of every family.
//! Does not vouch for a plan by having found it: every answer is checked, and one that fails ends the run.
//!
//! `cargo bench --bench families -- 300 5 weighed` measures 300 seeds of the families with `weighed` in their names, five
//! seconds by the wall each at most. One thread; each case is solved once, from the scenario in memory to the judged plan,
//! and what counts is processor time.

use std::io::{self, Write};
use std::path::PathBuf;
use std::time::{Duration, Instant};

use kentledge::scenario::Scenario;
use kentledge::solve::{Answer, Patience, Solved, solve};

#[path = "../tests/support/adjusting.rs"]
mod adjusting;
#[path = "../tests/support/cases.rs"]
mod cases;
#[path = "support/clock.rs"]
mod clock;
#[path = "support/programs.rs"]
mod programs;
#[path = "support/soundness.rs"]
mod soundness;
#[path = "support/table.rs"]
mod table;

use clock::Stopwatch;
use programs::{Case, Gap};
use table::{Part, Row};

/// Growth is shown on one seed in this many: its cases may all run into the limit.
const SEEDS_PER_GROWTH_SEED: u64 = 15;

const USAGE: &str = "usage: cargo bench --bench families -- [SEEDS [SECONDS]] [WORD]... [--write FOLDER]";

/// What is to be measured.
struct Request {
    seeds: u64,
    patience: Duration,
    words: Vec<String>,
    write: Option<PathBuf>,
}

/// What was measured of one family.
#[derive(Default)]
struct Measured {
    times: Vec<Duration>,
    nodes: Vec<u64>,
    proved: usize,
    unproved: usize,
    no_plan: usize,
    out_of_time: usize,
    on_target: usize,
}

fn main() -> Result<(), String> {
    let request = Request::from_arguments(std::env::args().skip(1))?;
    run(&request).map_err(|error| format!("the table or a case cannot be written: {error}"))?
}

impl Request {
    fn from_arguments(arguments: impl Iterator<Item = String>) -> Result<Request, String> {
        // Cargo says `--bench` when it benches; without it, a test run only wants to see that the program works.
        let arguments: Vec<String> = arguments.collect();
        let usual = if arguments.iter().any(|argument| argument == "--bench") { 300 } else { 1 };
        let mut request =
            Request { seeds: usual, patience: Duration::from_secs(5), words: Vec::new(), write: None };
        let mut numbers = 0;
        let mut arguments = arguments.into_iter().filter(|argument| argument != "--bench");
        while let Some(argument) = arguments.next() {
            match (argument.parse::<f64>(), numbers) {
                (Ok(seeds), 0) if seeds >= 1.0 => request.seeds = seeds as u64,
                (Ok(seconds), 1) => {
                    request.patience = Duration::try_from_secs_f64(seconds).map_err(|_| USAGE)?;
                }
                (Ok(_), _) => return Err(USAGE.into()),
                (Err(_), _) if argument == "--write" => {
                    request.write = Some(arguments.next().ok_or(USAGE)?.into());
                }
                (Err(_), _) if argument.starts_with('-') => return Err(USAGE.into()),
                (Err(_), _) => request.words.push(argument.clone()),
            }
            numbers += u32::from(argument.parse::<f64>().is_ok());
        }
        Ok(request)
    }

    fn wants(&self, row: &Row) -> bool {
        self.words.iter().all(|word| row.name.contains(word.as_str()))
    }

    fn seeds_of(&self, row: &Row) -> u64 {
        match row.part {
            Part::Usual => self.seeds,
            Part::Growth => self.seeds.div_ceil(SEEDS_PER_GROWTH_SEED),
        }
    }
}

fn run(request: &Request) -> io::Result<Result<(), String>> {
    let mut out = io::stdout().lock();
    writeln!(
        out,
        "at most {} s per solve; {} in ms; nodes in thousands; plans that were not proved best, and out of time, by number",
        request.patience.as_secs_f64(),
        clock::COUNTS
    )?;
    writeln!(
        out,
        "{:<44} {:>4} {:>9} {:>9} {:>9} {:>9} {:>9} {:>6} {:>6} {:>7} {:>7} {:>7}",
        "family pieces/mounts",
        "n",
        "median",
        "p90",
        "worst",
        "k-nodes",
        "worst",
        "proved",
        "not",
        "no plan",
        "no time",
        "on target"
    )?;
    let mut names = Vec::new();
    for row in table::rows().iter().filter(|row| request.wants(row)) {
        let mut measured = Measured::default();
        for seed in 0..request.seeds_of(row) {
            match measure(row, seed, request, &mut measured, &mut names)? {
                Ok(()) => {}
                Err(fault) => return Ok(Err(fault)),
            }
        }
        writeln!(out, "{}", measured.line(&row.name))?;
        out.flush()?;
    }
    if let Some(folder) = &request.write {
        programs::write_list(folder, &names)?;
    }
    Ok(Ok(()))
}

/// Solves one case, checks the answer and adds it up; the inner error is an answer that is wrong.
fn measure(
    row: &Row,
    seed: u64,
    request: &Request,
    measured: &mut Measured,
    names: &mut Vec<String>,
) -> io::Result<Result<(), String>> {
    let text = row.case(seed);
    let scenario = match Scenario::from_yaml(&text) {
        Ok((scenario, _)) => scenario,
        Err(problems) => return Ok(Err(format!("{}, seed {seed}: {problems:?}\n{text}", row.name))),
    };
    let begun = Instant::now();
    let used = || begun.elapsed().div_duration_f64(request.patience);
    let patience = Patience::new(&used);
    let stopwatch = Stopwatch::start();
    let answer = solve(&scenario, scenario.driver(), patience);
    let elapsed = stopwatch.elapsed();
    let checked = answer
        .map_err(|disagreement| disagreement.to_string())
        .and_then(|answer| soundness::check(&scenario, &answer).map(|()| answer));
    let answer = match checked {
        Ok(answer) => answer,
        Err(fault) => return Ok(Err(format!("{}, seed {seed}: {fault}\n{text}", row.name))),
    };
    measured.add(elapsed, &answer);
    if let Some(folder) = &request.write {
        let case = Case {
            name: format!("{}-{seed:03}", row.name.replace([' ', ',', '/'], "-")),
            family: &row.name,
            text: &text,
            gap: Gap::Resolution,
            seconds: request.patience.as_secs_f64(),
            elapsed,
        };
        programs::write_case(folder, &case, &scenario, &answer)?;
        names.push(case.name);
    }
    Ok(Ok(()))
}

impl Measured {
    fn add(&mut self, elapsed: Duration, answer: &Answer) {
        self.times.push(elapsed);
        match answer {
            Answer::Plan(solved) => self.add_plan(solved),
            Answer::NoLegalPlan(_) => self.no_plan += 1,
            Answer::OutOfTime => self.out_of_time += 1,
        }
    }

    fn add_plan(&mut self, solved: &Solved) {
        self.nodes.push(solved.nodes);
        if solved.is_best_possible() {
            self.proved += 1;
        } else {
            self.unproved += 1;
        }
        self.on_target += usize::from(solved.plan.measured().all_on_target());
    }

    fn line(mut self, name: &str) -> String {
        self.times.sort_unstable();
        self.nodes.sort_unstable();
        let ms = |per_mille| share(&self.times, per_mille).map_or(0.0, |time| time.as_secs_f64() * 1e3);
        let k_nodes = |per_mille| share(&self.nodes, per_mille).map_or(0.0, |nodes| nodes as f64 * 1e-3);
        format!(
            "{name:<44} {:>4} {:>9.3} {:>9.3} {:>9.3} {:>9.2} {:>9.1} {:>6} {:>6} {:>7} {:>7} {:>7}",
            self.times.len(),
            ms(500),
            ms(900),
            ms(1000),
            k_nodes(500),
            k_nodes(1000),
            self.proved,
            self.unproved,
            self.no_plan,
            self.out_of_time,
            self.on_target
        )
    }
}

/// The smallest of sorted values that so many thousandths of them do not exceed.
fn share<T: Copy>(sorted: &[T], per_mille: usize) -> Option<T> {
    let last = (sorted.len() * per_mille).div_ceil(1000).saturating_sub(1);
    sorted.get(last).copied()
}
