//! Whole solves under a measuring harness that warms up, repeats and shows the spread: for comparing two versions of the code.
//! Does not check answers and says nothing of the worst case: that is what `families` is for.
//!
//! `cargo bench --bench solve -- weighed` measures the families with `weighed` in their names. One thread, no time limit:
//! the same batch is the same work on every machine. Growth is left out, as its worst cases may not end.

use divan::Bencher;
use divan::counter::ItemsCount;
use kentledge::scenario::Scenario;
use kentledge::solve::{Patience, solve};
use std::sync::OnceLock;

#[path = "../tests/support/adjusting.rs"]
mod adjusting;
#[path = "../tests/support/cases.rs"]
mod cases;
#[path = "support/table.rs"]
mod table;

use table::{Part, Row};

/// Seeds in one batch: enough that no single case decides, few enough that a batch is short.
const BATCH: u64 = 20;

fn main() {
    divan::main();
}

fn names() -> impl Iterator<Item = &'static str> {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    let rows = ROWS.get_or_init(table::rows);
    rows.iter().filter(|row| row.part == Part::Usual).map(|row| row.name.as_str())
}

fn batch(name: &str) -> Vec<Scenario> {
    let rows = table::rows();
    let of_name = rows.iter().filter(|row| row.name == name);
    of_name
        .flat_map(|row| (0..BATCH).map(|seed| row.case(seed)))
        .map(|text| match Scenario::from_yaml(&text) {
            Ok((scenario, _)) => scenario,
            Err(problems) => panic!("{problems:?}\n{text}"),
        })
        .collect()
}

/// A batch of one family, from scenarios in memory to judged plans.
#[divan::bench(args = names(), sample_count = 20, sample_size = 1, max_time = 10)]
fn solves(bencher: Bencher, name: &str) {
    let batch = batch(name);
    bencher.counter(ItemsCount::new(batch.len())).bench_local(|| {
        for scenario in &batch {
            let answer = solve(scenario, scenario.driver(), Patience::ENDLESS);
            divan::black_box(answer.expect("`families` finds no disagreement on these seeds"));
        }
    });
}
