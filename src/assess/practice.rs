//! What the trade says of the figures of a kart; common practice, no published source.

use crate::marks::plain;
use crate::quantity::{Kg, Quantity};
use crate::scenario::{Figure, Scenario};
use crate::statics::Corners;
use crate::uncertainty::kart::UnsureKart;
use crate::units::Mass;

/// A left % or cross % farther from 50 is meant for turns to one side.
const EVEN_WITHIN: f64 = 2.0;

/// Whether the kart is set for turns to one side.
pub fn is_for_oval(scenario: &Scenario) -> bool {
    let aims = [Figure::Left, Figure::Cross].map(|figure| scenario.wanted_share(figure));
    aims.into_iter().flatten().any(|(aim, _)| (aim - 50.0).abs() > EVEN_WITHIN)
}

/// What people do with shares.
pub fn rules_of_thumb(scenario: &Scenario) -> [&'static str; 5] {
    if is_for_oval(scenario) {
        [
            "the side inside the turns carries more than half: left % of 54 to 58 where all turns are to the left",
            "more on the diagonal of inside rear and outside front (cross % RF + LR, turns to the left): the front slides \
             first; less: the rear does",
            "more front for less rear grip, less front for more",
            "fronts and rears are not meant to be even: left % and cross % decide",
            "the chassis maker's word counts more than any of them",
        ]
    } else {
        [
            "about 43 % front is the usual start for a sprint kart where the chassis maker gives no figure",
            "more front, towards 45 %, for less rear grip; less front for more",
            "more than about 3 points from the start is unusual",
            "near 50 % front, look for another fault before moving more lead",
            "the chassis maker's word counts more than any of them",
        ]
    }
}

/// How far apart a pair is, and what the trade says of it as far as it is known: within the limits in pounds it is what their
/// words say, beyond the last it is `else`.
fn pair(
    kart: &UnsureKart,
    wheels: &str,
    of: impl Fn(&Corners) -> f64,
    limits: &[(f64, &str)],
    beyond: &str,
) -> String {
    let known = Quantity::estimated(Kg, kart.estimate(|kart| of(&kart.corners)));
    let (apart, sure) = (known.value.abs(), known.plus_minus);
    // In whole nanograms, so that 3 lb apart is within 3 lb.
    let within = |kg: f64, lb: f64| Mass::from_kg(kg).abs() <= Mass::from_lb(lb);
    let most = limits.last().map_or(0.0, |(lb, _)| *lb);
    let verdict = match limits.iter().find(|(lb, _)| within(apart + sure, *lb)) {
        Some((_, words)) => words,
        None if within((apart - sure).max(0.0), most) => "these pads cannot tell",
        None => beyond,
    };
    let limits: Vec<String> =
        limits.iter().map(|(lb, words)| format!("{words} within {}", plain(Mass::from_lb(*lb)))).collect();
    format!("{wheels} {} apart: {verdict} ({})", plain(Quantity::new(Kg, apart, sure)), limits.join(", "))
}

/// Remarks of the trade for the figures that have no target; none for a kart that is meant to be uneven.
pub fn practice(kart: &UnsureKart, targeted: &[Figure], is_for_oval: bool) -> Vec<String> {
    let free = |figures: &[Figure]| !is_for_oval && figures.iter().all(|figure| !targeted.contains(figure));
    let mut remarks = Vec::new();
    if free(&[Figure::Front, Figure::Rear]) {
        let front = Figure::Front.of(&kart.centre.corners);
        let remark = match (front - 43.0).abs() {
            _ if front >= 48.0 => ": look for another fault before moving more lead",
            far if far > 3.0 => ": more than 3 points from it is unusual",
            _ => "",
        };
        remarks.push(format!("front about 43 % is the usual start for a sprint kart{remark}"));
    }
    if free(&[Figure::FrontPair, Figure::Cross]) {
        let limits = [(0.5, "very good"), (1.0, "a baseline")];
        remarks.push(pair(kart, "fronts", Corners::front_pair, &limits, "more than a baseline"));
    }
    if free(&[Figure::RearPair, Figure::Cross]) {
        remarks.push(pair(kart, "rears", Corners::rear_pair, &[(3.0, "as usual")], "more than usual"));
    }
    remarks
}
