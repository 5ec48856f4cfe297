//! Lead that could be cut to any size: never worse than the pieces, whatever the targets, rules, order of goals or adjusters.
//! Source of truth: the plan that whole pieces were found for, measured by the judge.

use kentledge::solve::Answer;

use crate::adjusting::{Levers, with_levers};
use crate::answer;
use crate::cases::{self, Draw, Family, Lead};
use crate::drawn;

/// The engine's rows are good to 1e-7 kg, and what is held is held a milligram above its value.
const SAME_KG: f64 = 1e-5;

fn text(seed: u64) -> String {
    let mut draw = Draw::new(seed ^ 0xD1B);
    let lead = if draw.chance(0.5) { Lead::Catalogue } else { Lead::Weighed };
    let mut family = Family::rich(lead, 3 + draw.below(6), 2 + draw.below(4));
    family.four_targets = draw.chance(0.5);
    family.rules = draw.chance(0.5);
    family.fitted = draw.chance(0.5);
    family.locked = draw.chance(0.3);
    family.out_of_reach = draw.chance(0.3);
    family.nearly_full = draw.chance(0.2);
    family.needed_kg = (0.3, 8.0);
    family.exact = draw.chance(0.3).then(|| draw.rounded(0.0, 1.0, 1));
    for place in (1..4).rev() {
        family.order.swap(place, draw.below(place + 1));
    }
    let text = cases::scenario(&family, seed);
    let levers = Levers { holes: (2, 1), washers: (1, 1), ..Levers::default() };
    if draw.chance(0.3) { with_levers(&text, levers, seed) } else { text }
}

#[test]
fn lead_cut_to_any_size_is_never_worse_than_the_pieces() {
    let seeds = std::env::var("PLANS").map_or(400, |plans| plans.parse().expect("a number of plans"));
    let (mut plans, mut better) = (0, 0);
    for case in drawn((0..seeds).map(text)) {
        let Answer::Plan(solved) = answer(&case.scenario, case.driver) else { continue };
        plans += 1;
        let worth = &solved.plan.measured().worth;
        let divisible = solved.divisible(&case.scenario);
        let divisible = divisible.unwrap_or_else(|| panic!("the engine has no answer\n{}", case.text));
        assert!(divisible.outside_kg <= worth.outside_kg + SAME_KG, "{divisible:?} {worth:?}\n{}", case.text);
        assert!(divisible.close_kg <= worth.close_kg + SAME_KG, "{divisible:?} {worth:?}\n{}", case.text);
        better += u64::from(divisible.close_kg < worth.close_kg - 0.1);
    }
    assert!(plans > seeds / 2 && better > plans / 4, "{plans} plans, {better} better if cut");
}
