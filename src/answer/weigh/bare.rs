//! Four readings without a file: held against what is usual, and every assumption said.

use super::{WeighStatus, Weighing};
use crate::answer::doubts::MUCH_TWIST;
use crate::marks::place;
use crate::scenario::{Figure, Scenario};
use crate::statics::{Chassis, Corners};
use crate::units::{Length, Mass, UnitSystem};

/// Wheelbase and tracks where nobody gives them: Lot & Dal Bianco 2016 (as transcribed; paper not seen).
const USUAL_LENGTHS_MM: [f64; 3] = [1045.0, 1055.0, 1200.0];
/// A kart whose left % is farther from 50 is taken to be set for an oval.
const LOOKS_EVEN_PERCENT: f64 = 3.0;
/// Fronts within a pound; common practice, no published source.
const COMMON_TARGETS: &str = "targets: {front: {aim: 43, within: 0.5}, left: {aim: 50, within: 0.5}, front_pair: {aim: 0 lb, within: 1 lb}}\n";

impl Weighing {
    /// From four readings alone, LF RF LR RR, in the units in which they are answered; lengths are the usual ones if none are given.
    /// Nothing where they make no kart at all.
    pub fn of_readings(
        readings: [Mass; 4],
        lengths: Option<&Chassis>,
        units: UnitSystem,
    ) -> Option<Weighing> {
        let usual = USUAL_LENGTHS_MM.map(Length::from_mm);
        let [wheelbase, front, rear] =
            lengths.map_or(usual, |own| [own.wheelbase, own.track_front, own.track_rear]).map(Length::mm);
        let corners = Corners::from_kg(readings.map(Mass::kg));
        let is_even = (Figure::Left.of(&corners) - 50.0).abs() <= LOOKS_EVEN_PERCENT;
        let targets = if is_even { COMMON_TARGETS } else { "" };
        let [lf, rf, lr, rr] = readings.map(Mass::kg);
        let text = format!(
            "units: {}\nkart: {{wheelbase: {wheelbase} mm, track_front: {front} mm, track_rear: {rear} mm, limits: off}}\n\
             class: {{minimum: 40 kg}}\n{targets}drivers: {{driver: 70 kg}}\n\
             mounts: {{seat: {{x: 200 mm, y: 0 mm, capacity: 1 kg}}}}\nlead: [1 kg]\n\
             weighing: {{scales: {{lf: {lf} kg, rf: {rf} kg, lr: {lr} kg, rr: {rr} kg, sure: true}}, \
             aboard: {{driver: none, fuel: none, lead: none}}}}\n",
            units.word()
        );
        let (scenario, _) = Scenario::from_yaml(&text).ok()?;
        let known = Weighing::of_scenario(&scenario);
        let wanted = if is_even {
            "front % 43, left % 50 and even fronts are wanted (common practice)"
        } else {
            "left % is meant to be so far from 50, as on an oval: a file says what is wanted"
        };
        let [wheelbase, front, rear] = usual.map(place);
        let usual = format!(
            "wheelbase {wheelbase}, tracks {front} and {rear} (--wheelbase, --track-front and --track-rear set them); "
        );
        let usual = if lengths.is_none() { usual } else { String::new() };
        let mut assumptions = vec![format!("assumed: {usual}{wanted}")];
        assumptions.extend(known.assumptions);
        Some(Weighing {
            status: WeighStatus::Measured,
            about: None,
            assumptions,
            // What is meant to be uneven is not odd for that.
            doubts: known.doubts.into_iter().filter(|doubt| is_even || doubt.name != MUCH_TWIST).collect(),
            common_practice: if is_even { known.common_practice } else { Vec::new() },
            ..known
        })
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    #[test]
    fn readings_alone_are_held_against_common_practice_unless_they_look_like_an_oval() {
        let of = |kg: [f64; 4]| {
            Weighing::of_readings(kg.map(Mass::from_kg), None, UnitSystem::KgMm).expect("a kart")
        };
        let level = of([30.0, 30.0, 43.0, 43.0]);
        assert_eq!(level.status, WeighStatus::Measured);
        let [front] = level.cures.as_slice() else { panic!("{:?}", level.cures) };
        // 43 % of 146 kg.
        assert_relative_eq!(front.load.value, 0.43 * 146.0 - 60.0, epsilon = 1e-6);
        assert!(level.assumptions[0].contains("wheelbase"), "{:?}", level.assumptions);
        let oval = of([33.0, 37.0, 58.0, 32.0]);
        assert!(oval.residuals.is_empty() && oval.cures.is_empty() && oval.common_practice.is_empty());
    }
}
