//! What a table over sizes is asked for: seeds, seconds, and which of its sizes.
//! Measures nothing.

use std::time::Duration;

/// What is to be measured.
pub(crate) struct Request<const N: usize> {
    pub(crate) seeds: u64,
    pub(crate) patience: Duration,
    pub(crate) sizes: Vec<[usize; N]>,
}

impl<const N: usize> Request<N> {
    /// `[SEEDS [SECONDS]] [SIZE]...`; what is left out is as usual, and without a size all are measured.
    pub(crate) fn from_arguments(
        arguments: impl Iterator<Item = String>,
        (seeds, seconds): (u64, f64),
        all: &[[usize; N]],
        usage: &str,
    ) -> Result<Request<N>, String> {
        // Cargo says `--bench` when it benches; without it, a test run only wants to see that the program works.
        let arguments: Vec<String> = arguments.collect();
        let benches = arguments.iter().any(|argument| argument == "--bench");
        let words: Vec<String> = arguments.into_iter().filter(|argument| argument != "--bench").collect();
        let numbers: Vec<f64> = words.iter().filter_map(|word| word.parse().ok()).collect();
        if numbers.len() > 2 || words.iter().any(|word| word.starts_with('-')) {
            return Err(usage.into());
        }
        let seconds = numbers.get(1).copied().unwrap_or(seconds);
        let all = if benches { all } else { &all[..1] };
        let word = |size: &[usize; N]| size.map(|number| number.to_string()).join("/");
        let asked: Vec<_> = all.iter().filter(|size| words.contains(&word(size))).copied().collect();
        Ok(Request {
            seeds: numbers.first().map_or(if benches { seeds } else { 1 }, |seeds| *seeds as u64),
            patience: Duration::try_from_secs_f64(seconds).map_err(|_| usage)?,
            sizes: if asked.is_empty() { all.to_vec() } else { asked },
        })
    }
}
