//! Writes 300 solved mid-size cases for a solver that shares nothing with this project.
//! Source of truth: HiGHS, which `benches/second_opinion.py` lets solve the same programs; `.ci/run` runs one after the
//! other. Here every answer is only checked against itself, the model and the judge.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::time::Instant;

use kentledge::scenario::Scenario;
use kentledge::solve::{Answer, Patience, solve};

#[path = "support/cases.rs"]
mod cases;
#[path = "../benches/support/programs.rs"]
mod programs;
#[path = "../benches/support/soundness.rs"]
mod soundness;

#[path = "support/adjusting.rs"]
mod adjusting;

use adjusting::{Levers, with_levers};
use cases::{Draw, Family, Lead};
use programs::{Case, Gap};

const CASES: usize = 300;

/// Further small cases with adjusters.
const CASES_WITH_LEVERS: usize = 60;

/// Of the four varieties, `i % 4` says which.
const VARIETIES: [&str; 4] = ["out of reach", "nearly full", "scarce", "many equal pieces"];

/// How large a case is, and so what can be asked of another solver.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Size {
    /// Closed by another solver to the last nanogram.
    Tiny,
    /// Closed by another solver at the resolution, in about a second.
    Middle,
    /// Left open by another solver more often than not; only the bounds are compared.
    Large,
}

impl Size {
    fn of(index: usize) -> Size {
        // Rounds of four: every variety comes in every size.
        match index / 4 {
            round if round % 5 == 4 => Size::Large,
            round if round % 3 == 0 => Size::Tiny,
            _ => Size::Middle,
        }
    }

    fn gap(self) -> Gap {
        if self == Size::Tiny { Gap::Zero } else { Gap::Resolution }
    }

    /// For another solver, for each goal.
    fn seconds(self) -> f64 {
        if self == Size::Large { 4.0 } else { 60.0 }
    }
}

/// All orders of the four goals that may be reordered; the first is the usual one.
fn orders() -> Vec<[&'static str; 4]> {
    let words = ["targets", "light", "work", "close"];
    let mut orders = Vec::new();
    for code in 0..256 {
        let places = [code / 64, code / 16 % 4, code / 4 % 4, code % 4];
        if (0..4).all(|place| places.contains(&place)) {
            orders.push(places.map(|place| words[place]));
        }
    }
    orders
}

fn drawn_family(draw: &mut Draw, index: usize, size: Size) -> Family {
    let lead = if draw.chance(0.5) { Lead::Catalogue } else { Lead::Weighed };
    let (pieces, mounts) = match size {
        Size::Tiny => (4 + draw.below(3), 3 + draw.below(2)),
        Size::Middle => (8 + draw.below(4), 5 + draw.below(4)),
        Size::Large => (15 + draw.below(3), 8 + draw.below(3)),
    };
    let mut family = if draw.chance(0.3) {
        Family::rich(lead, pieces, mounts)
    } else {
        let mut family = Family::plain(lead, pieces, mounts);
        family.four_targets = draw.chance(0.4);
        family.fuel = draw.chance(0.5);
        family.rules = draw.chance(0.3);
        family.fitted = draw.chance(0.5);
        family.locked = draw.chance(0.3);
        family
    };
    family.needed_kg = (2.0, 3.0 + pieces as f64);
    let orders = orders();
    family.order = orders[index / 4 % orders.len()];
    // Every resolution zero: value and bound meet, and another solver has to find that very number.
    family.exact = (size == Size::Tiny && draw.chance(0.5)).then(|| draw.rounded(0.0, 2.0, 1));
    match VARIETIES[index % 4] {
        "out of reach" => family.out_of_reach = true,
        "nearly full" => family.nearly_full = true,
        "scarce" => family.scarce = true,
        _ => {
            family.lead = Lead::Catalogue;
            // At least twice as many pieces as there are sizes.
            family.pieces = 16 + draw.below(5);
            family.mounts = if size == Size::Large { 8 } else { 3 + draw.below(2) };
        }
    }
    family
}

fn levers(draw: &mut Draw) -> Levers {
    let several = |draw: &mut Draw, most: usize| if draw.chance(0.7) { 1 + draw.below(most) } else { 1 };
    Levers {
        holes: (several(draw, 4), several(draw, 3)),
        washers: (draw.below(4), draw.below(4)),
        steps: several(draw, 4),
        battery: draw.chance(0.3),
        tank: draw.chance(0.3),
    }
}

fn folder() -> PathBuf {
    match std::env::var_os("KENTLEDGE_CROSSCHECK") {
        Some(folder) => PathBuf::from(folder),
        None => PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("crosscheck"),
    }
}

#[test]
#[ignore = "it writes 2,000 files for benches/second_opinion.py, which compares; .ci/run runs both"]
fn every_case_is_written_and_no_answer_contradicts_itself() {
    let folder = folder();
    let mut names = Vec::new();
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    for index in 0..CASES + CASES_WITH_LEVERS {
        let has_levers = index >= CASES;
        let size = if has_levers { Size::Tiny } else { Size::of(index) };
        let mut draw = Draw::new(index as u64 ^ 0xC0DE);
        let family = drawn_family(&mut draw, index, size);
        let drawn = cases::scenario(&family, index as u64);
        let text = if has_levers { with_levers(&drawn, levers(&mut draw), index as u64) } else { drawn };
        let (scenario, _) = match Scenario::from_yaml(&text) {
            Ok(read) => read,
            Err(problems) => panic!("{problems:?}\n{text}"),
        };
        let begin = Instant::now();
        let used = || if size == Size::Large { begin.elapsed().as_secs_f64() / 20.0 } else { 0.0 };
        let answer = solve(&scenario, scenario.driver(), Patience::new(&used))
            .unwrap_or_else(|disagreement| panic!("{disagreement}\n{text}"));
        let elapsed = begin.elapsed();
        soundness::check(&scenario, &answer).unwrap_or_else(|fault| panic!("{fault}\n{text}"));
        *seen
            .entry(match &answer {
                Answer::Plan(solved) if solved.is_best_possible() => "proved best",
                Answer::Plan(_) => "not proved",
                Answer::NoLegalPlan(_) => "no legal plan",
                Answer::OutOfTime => "out of time",
            })
            .or_insert(0) += 1;
        let case = Case {
            name: format!("{index:03}"),
            family: if has_levers { "adjusters" } else { VARIETIES[index % 4] },
            text: &text,
            gap: size.gap(),
            seconds: size.seconds(),
            elapsed,
        };
        programs::write_case(&folder, &case, &scenario, &answer).expect("the folder can be written to");
        names.push(case.name);
    }
    programs::write_list(&folder, &names).expect("the folder can be written to");
    println!("{} cases in {}: {seen:?}", names.len(), folder.display());
    // A comparison of bounds that are never proved, or of plans only, would check little.
    assert!(seen["proved best"] >= 150, "{seen:?}");
    assert!(seen["no legal plan"] >= 25, "{seen:?}");
}
