//! Nothing that is written in a file makes the reader panic, hang or take all memory.

use std::time::{Duration, Instant};

use kentledge::diagnosis::rendered;
use kentledge::document::MOST_BYTES;
use kentledge::scenario::Scenario;
use kentledge::solve::{Answer, Patience, solve};
use proptest::prelude::*;

use bits::BITS;
use small::{SMALL, accepted, refused, scenario_files, with};

#[path = "support/bits.rs"]
mod bits;
#[path = "support/small.rs"]
mod small;
#[path = "support/whole_road.rs"]
mod whole_road;

/// Numbers that are large in every respect at once: sixty mounts far out, heavy lead, heavy targets.
fn large(weight: u32) -> String {
    let mounts: Vec<String> =
        (0..60).map(|index| format!("  m{index}: {{x: {index}, y: -10 m, capacity: 50000}}\n")).collect();
    with("name: kart 7,", "name: kart 7, limits: off,")
        .replace("lead: none", "lead: {m0: {slab: 3, puck: 1}}")
        .replace(
            "  seat: {x: 260, y: 270, capacity: 5}\n  floor: {x: 820, y: 60, capacity: 5}\n",
            &mounts.concat(),
        )
        .replace("lf: 30.8, rf: 31.4, lr: 42.3, rr: 44.5", "lf: 900, rf: 900, lr: 900, rr: 900")
        .replace("mass: 2.5, count: 3", "mass: 25, count: 19")
        .replace("minimum: 160", "minimum: 3800")
        .replace("within: 0.5", &format!("within: 0.5, weight: {weight}"))
}

#[test]
fn the_largest_numbers_that_are_accepted_can_be_solved() {
    let scenario = accepted(&large(10));
    let begun = Instant::now();
    let used = || begun.elapsed().as_secs_f64() / 5.0;
    let answer = solve(&scenario, scenario.driver(), Patience::new(&used));
    assert!(matches!(answer, Ok(Answer::Plan(_))), "{answer:?}");
}

#[test]
fn numbers_too_large_to_be_added_up_are_refused() {
    let faults = Scenario::from_yaml(&large(1000)).expect_err("too large together");
    assert!(faults.iter().any(|fault| fault.to_string().contains("together are too large")), "{faults:?}");
}

/// Hostile files within the size limit, each of which would be slow or large if read without care.
#[test]
fn files_made_to_be_slow_are_refused_soon() {
    let many = |piece: &str| piece.repeat(MOST_BYTES / piece.len());
    let keys = (0..8000).map(|index| format!("{index}a: 1\n")).collect::<Vec<_>>().concat();
    let long_lists = format!("a: &a [{}]\nb: [{}]\n", "1, ".repeat(10_000), "*a, ".repeat(8000));
    let mounts = (0..6000).map(|index| format!("  {index}: {{}}\n")).collect::<Vec<_>>().concat();
    let pieces = format!("lead:\n  a: {{weighed: [{}]}}\n", "1,".repeat(20_000));
    let cases = [
        many("["),
        many("{"),
        many("- "),
        many("? "),
        many("[a,"),
        SMALL.replace("x: 260", &format!("x: 260, {}", "[".repeat(60_000))),
        many("&a "),
        many("'"),
        many("\n"),
        many("a: "),
        many("!"),
        many("{5,"),
        format!("a: [{}]", many("5,").split_at(60_000).0),
        keys,
        long_lists,
        SMALL.replace("mounts:\n", &format!("mounts:\n{mounts}")),
        SMALL.replace("lead:\n", &pieces),
    ];
    for text in cases {
        let started = std::time::Instant::now();
        let text = &text[..text.len().min(MOST_BYTES)];
        let errors = refused(text);
        assert!(!rendered(&errors, "file.yaml", text).is_empty());
        // Debug builds on a busy machine included; without the limits these take minutes or all memory.
        assert!(started.elapsed().as_secs() < 20, "{}... took {:?}", &text[..40], started.elapsed());
    }
}

/// Reads a text; if it is a scenario, reports on it and plans for it.
fn down_the_whole_road(bytes: &[u8]) {
    if let Some(scenario) = whole_road::read(bytes).accepted {
        whole_road::report(&scenario, Duration::from_millis(50));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn random_bytes_never_panic(bytes in proptest::collection::vec(any::<u8>(), 0..300)) {
        let journey = whole_road::read(&bytes);
        prop_assert!(!journey.faults.is_empty(), "three hundred bytes are no scenario");
    }

    #[test]
    fn random_bits_of_yaml_never_panic(bits in proptest::collection::vec(0..BITS.len(), 0..60)) {
        let text: String = bits.into_iter().map(|bit| BITS[bit]).collect();
        whole_road::read(text.as_bytes());
    }

    #[test]
    fn mutated_scenarios_never_panic(
        which in 0_usize..7,
        edits in proptest::collection::vec((any::<prop::sample::Index>(), 0_usize..12, 0..BITS.len()), 1..6),
    ) {
        let files = scenario_files();
        let mut text: Vec<char> = files[which % files.len()].1.chars().collect();
        for (place, cut, bit) in edits {
            let start = place.index(text.len());
            let end = (start + cut).min(text.len());
            text.splice(start..end, BITS[bit].chars());
        }
        down_the_whole_road(text.into_iter().collect::<String>().as_bytes());
    }
}
