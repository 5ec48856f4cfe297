//! A campaign of hostile texts: scenario files with a few bytes, words, lines or numbers changed, by the million.
//! What campaigns have found is in DEVELOPERS.md.
//!
//! `nice -n 19 cargo bench --bench fuzz -- 10000000 1` runs ten million texts from the seed 1. One thread. A text that names
//! a new set of faults joins the corpus, so that later texts go on from there.

use std::collections::BTreeSet;
use std::fs;
use std::io::{self, Write};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use std::time::{Duration, Instant};

use kentledge::document::starter;
use kentledge::units::UnitSystem;

#[path = "../tests/support/bits.rs"]
mod bits;
#[path = "support/mutation.rs"]
mod mutation;
#[path = "../tests/support/whole_road.rs"]
mod whole_road;

use mutation::Mutator;

const USAGE: &str = "usage: cargo bench --bench fuzz -- [TEXTS [SEED [MINUTES]]]";

/// One accepted text in this many is also planned for: a plan takes a hundred times as long as a reading.
const TEXTS_PER_PLAN: u64 = 40;
/// Time for one plan; enough that nearly all are solved to the end.
const TIME_PER_PLAN: Duration = Duration::from_millis(30);
/// Most texts are read and worded in a third of a millisecond, the worst in half a second; more is a hang.
const SLOW: Duration = Duration::from_secs(10);
/// Kilobytes that the whole campaign may hold, its corpus included.
const MOST_MEMORY_KB: u64 = 500_000;
/// Texts in the corpus; a campaign finds far fewer sets of faults worth keeping.
const MOST_KEPT: usize = 4000;

#[derive(Default)]
struct Tally {
    texts: u64,
    accepted: u64,
    planned: u64,
    bytes: u64,
    slowest: Duration,
    slowest_text: Vec<u8>,
    faults: BTreeSet<String>,
    ways: BTreeSet<BTreeSet<String>>,
}

fn main() -> Result<(), String> {
    campaign(&mut io::stdout()).map_err(|error| format!("a line or a file cannot be written: {error}"))?
}

/// The inner failure is what a text did, the outer one that it cannot be told.
fn campaign(out: &mut impl Write) -> io::Result<Result<(), String>> {
    let Some([texts, seed, minutes]) = request() else { return Ok(Err(USAGE.into())) };
    let (mut corpus, right) = corpus()?;
    let mut mutator = Mutator::new(seed);
    let mut tally = Tally::default();
    let started = Instant::now();
    while tally.texts < texts && started.elapsed().as_secs() < minutes.saturating_mul(60) {
        let text = mutator.mutated(&corpus, right);
        match catch_unwind(AssertUnwindSafe(|| one(&text, &mut tally))) {
            Ok(true) if corpus.len() < MOST_KEPT => corpus.push(text),
            Ok(_) => {}
            Err(_) => {
                let path = written_down(&text, seed, tally.texts)?;
                return Ok(Err(format!("text {} of seed {seed} fails; see {}", tally.texts, path.display())));
            }
        }
        if tally.texts.is_power_of_two() || tally.texts.is_multiple_of(500_000) {
            writeln!(out, "{}", line(&tally, corpus.len(), started.elapsed()))?;
        }
    }
    writeln!(out, "{}", line(&tally, corpus.len(), started.elapsed()))?;
    writeln!(out, "faults seen: {}", tally.faults.iter().cloned().collect::<Vec<_>>().join(" "))?;
    let slowest = written_down(&tally.slowest_text, seed, 0)?;
    writeln!(out, "the slowest text is in {}", slowest.display())?;
    match most_memory_kb() {
        Some(kb) if kb > MOST_MEMORY_KB => return Ok(Err(format!("{kb} KiB of memory were held"))),
        Some(kb) => writeln!(out, "most memory held: {kb} KiB")?,
        None => writeln!(out, "this system does not tell how much memory was held")?,
    }
    Ok(Ok(()))
}

fn request() -> Option<[u64; 3]> {
    // Cargo says `--bench` when it benches; without it, a test run only wants to see that the program works.
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let usual = if arguments.iter().any(|argument| argument == "--bench") { 1_000_000 } else { 2_000 };
    let mut numbers = [usual, 1, u64::from(u32::MAX)];
    for (index, argument) in arguments.iter().filter(|argument| *argument != "--bench").enumerate() {
        *numbers.get_mut(index)? = argument.parse().ok()?;
    }
    Some(numbers)
}

/// Every scenario of the project, and how many of the first are right.
fn corpus() -> io::Result<(Vec<Vec<u8>>, usize)> {
    let mut texts = vec![starter(UnitSystem::KgMm).into(), starter(UnitSystem::LbIn).into()];
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut right = 0;
    for folder in ["scenarios", "tests/regression", "scenarios/doubtful", "scenarios/rejected"] {
        let entries = fs::read_dir(root.join(folder))?;
        let mut paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
        paths.sort();
        for path in paths.iter().filter(|path| path.extension().is_some_and(|ending| ending == "yaml")) {
            texts.push(fs::read(path)?);
        }
        if folder != "scenarios/rejected" {
            right = texts.len();
        }
    }
    Ok((texts, right))
}

/// Takes one text down the whole road; whether it found a new set of faults.
fn one(text: &[u8], tally: &mut Tally) -> bool {
    tally.texts += 1;
    tally.bytes += text.len() as u64;
    let started = worked();
    let journey = whole_road::read(text);
    let took = worked().saturating_sub(started);
    assert!(took < SLOW, "reading took {took:?}");
    if took > tally.slowest {
        tally.slowest = took;
        tally.slowest_text = text.to_vec();
    }
    if let Some(scenario) = &journey.accepted {
        tally.accepted += 1;
        if tally.accepted.is_multiple_of(TEXTS_PER_PLAN) {
            tally.planned += 1;
            whole_road::report(scenario, TIME_PER_PLAN);
        }
    }
    tally.faults.extend(journey.faults.iter().cloned());
    // Long sets of faults are heaps of the same: they would fill the corpus with wreckage.
    journey.faults.len() <= 3 && tally.ways.insert(journey.faults)
}

fn line(tally: &Tally, corpus: usize, elapsed: Duration) -> String {
    format!(
        "{} texts, {} MB, {:.0} s: {} accepted, {} planned, {} kinds of fault in {} sets, corpus {corpus}, slowest {} ms",
        tally.texts,
        tally.bytes / 1_000_000,
        elapsed.as_secs_f64(),
        tally.accepted,
        tally.planned,
        tally.faults.len(),
        tally.ways.len(),
        tally.slowest.as_millis(),
    )
}

fn written_down(text: &[u8], seed: u64, number: u64) -> io::Result<PathBuf> {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("fuzz-{seed}-{number}.yaml"));
    fs::write(&path, text)?;
    Ok(path)
}

/// Time that the processor has spent on this process, where the system says so, else time by the clock: a campaign runs beside
/// other work, and waits for it.
fn worked() -> Duration {
    static START: OnceLock<Instant> = OnceLock::new();
    let start = START.get_or_init(Instant::now);
    let told = fs::read_to_string("/proc/self/schedstat").ok();
    let nanoseconds = told.and_then(|told| told.split(' ').next()?.parse().ok());
    nanoseconds.map_or_else(|| start.elapsed(), Duration::from_nanos)
}

/// The most memory that this process has held, where the system says so.
fn most_memory_kb() -> Option<u64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.split_whitespace().next()?.parse().ok()
}
