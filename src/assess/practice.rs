//! What the trade says of the figures of a weighing for which nobody set a target; common practice, no published source.

use crate::marks::plain;
use crate::quantity::kg;
use crate::scenario::Figure;
use crate::statics::Corners;
use crate::units::Mass;

/// Remarks of the trade for the figures that have no target.
pub fn practice(corners: &Corners, targeted: &[Figure]) -> Vec<String> {
    let free = |figures: &[Figure]| figures.iter().all(|figure| !targeted.contains(figure));
    let lb = |number: f64| plain(Mass::from_lb(number));
    let apart = |mass: f64| plain(kg(mass.abs()));
    // In whole nanograms, so that 3 lb apart is within 3 lb.
    let within = |kg: f64, lb: f64| Mass::from_kg(kg).abs() <= Mass::from_lb(lb);
    let mut remarks = Vec::new();
    if free(&[Figure::Front, Figure::Rear]) {
        let front = Figure::Front.of(corners);
        let remark = match (front - 43.0).abs() {
            _ if front >= 48.0 => ": so much hides some other fault",
            far if far > 3.0 => ": more than 3 points from it is unusual",
            _ => "",
        };
        remarks.push(format!("front about 43 % is the usual start for a sprint kart{remark}"));
    }
    if free(&[Figure::FrontPair, Figure::Cross]) {
        let pair = corners.front_pair();
        let (verdict, limit) = match () {
            () if within(pair, 0.5) => ("very good", 0.5),
            () if within(pair, 1.0) => ("a baseline", 1.0),
            () => ("more than a baseline", 1.0),
        };
        remarks.push(format!("fronts {} apart: {verdict} (within {})", apart(pair), lb(limit)));
    }
    if free(&[Figure::RearPair, Figure::Cross]) {
        let pair = corners.rear_pair();
        let verdict = if within(pair, 3.0) { "as usual" } else { "more than usual" };
        remarks.push(format!("rears {} apart: {verdict} (within {})", apart(pair), lb(3.0)));
    }
    remarks
}

#[cfg(test)]
mod tests {
    use super::*;

    // Common practice, no published source: within 0.5 lb very good, within 1 lb a baseline; rears within 3
    // lb.
    #[test]
    fn the_limits_of_the_trade_are_within_themselves() {
        let remarks = |front: f64, rear: f64| {
            let readings = [90.0 + front, 90.0, 120.0, 120.0 + rear].map(Mass::from_lb);
            practice(&Corners::from_kg(readings.map(Mass::kg)), &[]).join("; ")
        };
        assert!(remarks(0.5, 3.0).contains("very good") && remarks(0.5, 3.0).contains("as usual"));
        assert!(remarks(1.0, 3.1).contains(": a baseline") && remarks(1.0, 3.1).contains("more than usual"));
        assert!(remarks(1.1, 0.0).contains("more than a baseline"));
    }
}
