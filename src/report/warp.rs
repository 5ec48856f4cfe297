//! The part of the corners that no mass explains, and the spacers that change it.
//! Takes a chassis, corners and targets; gives numbers and sentences in the units of the screen.
//! Does not know lead, drivers or files.

use super::amount::{Distance, Screen, Weight, fixed, rounded_mm};
use super::target::{Standing, Wanted};
use crate::plan::Residual;
use crate::scenario::{Aim, Figure, Scenario};
use crate::statics::{Corner, Corners, Split};
use crate::uncertainty::kart::{Kart, UnsureKart};
use crate::uncertainty::verdict::{self, Call};
use crate::units::{Length, UnitSystem};
use crate::weighing::Load;

/// Warp below this is nothing to cure, kg: a tenth of a millimetre of pad height, finer than pads read.
const WORTH_A_WORD_KG: f64 = 0.05;
/// A shift of left % below this is not shown by two decimals.
const SHOWN_PERCENT: f64 = 0.005;

/// Centre of gravity, warp, and what spacers can do.
#[derive(Clone, Debug, PartialEq)]
pub struct WarpLines {
    /// Centre of gravity ahead of the rear axle.
    pub cg_ahead: Distance,
    /// Centre of gravity left of the centre line; negative to the right.
    pub cg_left: Distance,
    /// Loads LF RF LR RR that masses do not explain.
    pub corners: [Weight; 4],
    /// The ± of them, at k = 2.
    pub corners_sure: [Weight; 4],
    /// What one millimetre of pad or spacer does to LF.
    pub per_mm: Weight,
    /// The ± of it, at k = 2.
    pub per_mm_sure: Weight,
    /// The spacer that takes all warp away.
    pub to_none: Spacer,
    /// For every target that warp decides: how it stands once mass has done its part, and the spacer for the
    /// rest.
    pub corrections: Vec<Correction>,
    /// What all that means, one sentence each.
    pub sentences: Vec<String>,
}

/// Washers moved at the front spindles. Those above a spindle push its wheel down against the frame, and it carries more.
#[derive(Clone, Debug, PartialEq)]
pub struct Spacer {
    /// Thickness moved from below to above one spindle, or from above to below the other.
    pub thickness: Distance,
    /// Where they go above.
    pub more: &'static str,
    /// Where they may go below instead.
    pub less: &'static str,
    /// Moved above at RF; negative if at LF, mm.
    pub at_rf_mm: f64,
    /// The ± of the thickness, at k = 2.
    pub sure: Distance,
}

impl Spacer {
    /// The spacer that takes so much load off LF.
    fn against(screen: Screen, kart: &UnsureKart, lf_kg: impl Fn(&Kart) -> f64) -> Spacer {
        let known = kart.estimate(|kart| lf_kg(kart) / kart.chassis.warp_rate_kg_per_mm);
        let at_rf_mm = known.value;
        let (more, less) = if at_rf_mm > 0.0 { ("RF", "LF") } else { ("LF", "RF") };
        let thickness = screen.fine(Length::from_mm(at_rf_mm.abs()));
        let sure = screen.fine(Length::from_mm(known.expanded()));
        Spacer { thickness, more, less, at_rf_mm: rounded_mm(at_rf_mm), sure }
    }

    /// The spacer that brings a figure to its aim; none for figures that mass decides.
    pub(super) fn for_residual(screen: Screen, kart: &UnsureKart, residual: &Residual) -> Option<Spacer> {
        is_for_warp(residual.figure).then(|| {
            Spacer::against(screen, kart, |kart| {
                let per_kg = residual.figure.kg(&kart.chassis.warp_direction());
                verdict::distance_on(residual, kart) / per_kg
            })
        })
    }
}

impl std::fmt::Display for Spacer {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Spacer { thickness, more, less, sure, .. } = self;
        write!(
            f,
            "{} +- {sure} of washers from below to above the {more} spindle (or the reverse at {less})",
            thickness.number
        )
    }
}

/// A target that warp decides, once mass has brought front and left to their aims.
#[derive(Clone, Debug, PartialEq)]
pub struct Correction {
    /// What mass has done: `with front and left at their aims`.
    pub once: &'static str,
    /// What is wanted.
    pub wanted: Wanted,
    /// How it then stands.
    pub then: Standing,
    /// The spacer that brings it to its aim.
    pub spacer: Spacer,
}

/// Whether spacers rather than masses decide a figure.
pub(super) fn is_for_warp(figure: Figure) -> bool {
    matches!(figure, Figure::Cross | Figure::FrontPair | Figure::RearPair)
}

impl WarpLines {
    /// Of four corners alone.
    pub fn of_corners(screen: Screen, kart: &UnsureKart) -> WarpLines {
        WarpLines::new(screen, kart, Vec::new())
    }

    /// To what the loads that no mass explains are known.
    pub fn how_sure(&self) -> String {
        let [front, _, rear, _] = &self.corners_sure;
        format!("warp is known to +- {front} at the front, +- {rear} at the rear")
    }

    /// Of a weighing whose scenario has targets.
    pub fn of_scenario(screen: Screen, scenario: &Scenario, load: &Load, kart: &UnsureKart) -> WarpLines {
        let aimed = Load { corners: at_aims(scenario, &load.corners), total: load.total };
        let aimed_kart = kart.map(|kart| Kart { corners: at_aims(scenario, &kart.corners), ..*kart });
        let moment = scenario.class().weighed_at;
        let has = |figure: Figure| scenario.targets().iter().any(|target| target.figure == figure);
        let once = match (has(Figure::Front) || has(Figure::Rear), has(Figure::Left)) {
            (true, true) => "with front and left at their aims",
            (true, false) => "with front at its aim",
            (false, true) => "with left at its aim",
            (false, false) => "as weighed",
        };
        let targets = scenario.targets().iter().enumerate();
        let corrections = targets.filter_map(|(index, target)| {
            let residual = Residual::new(scenario, index, moment, &aimed);
            Some(Correction {
                once,
                spacer: Spacer::for_residual(screen, &aimed_kart, &residual)?,
                wanted: Wanted::new(screen, target.figure, target.aim),
                then: Standing::new(screen, scenario, &residual, &aimed_kart),
            })
        });
        WarpLines::new(screen, kart, corrections.collect())
    }

    fn new(screen: Screen, kart: &UnsureKart, corrections: Vec<Correction>) -> WarpLines {
        let Kart { corners, chassis } = &kart.centre;
        let split = chassis.split(corners);
        let ratio = chassis.track_front.mm() / chassis.track_rear.mm();
        let warp_of = |kart: &Kart| kart.chassis.split(&kart.corners).warp_kg;
        let to_none = Spacer::against(screen, kart, warp_of);
        let corners_sure = Corner::ALL.map(|corner| {
            let at = |kart: &Kart| (kart.chassis.warp_direction() * warp_of(kart))[corner];
            screen.column(kart.estimate(at).expanded())
        });
        let per_mm_sure = kart.estimate(|kart| kart.chassis.warp_rate_kg_per_mm).expanded();
        let mut sentences = vec![size(screen, &split, ratio)];
        if corrections.is_empty() && split.warp_kg.abs() >= WORTH_A_WORD_KG {
            sentences.push(format!("to take it away: {to_none}"));
        }
        sentences.extend(corrections.iter().map(Correction::sentence));
        let millimetre = match screen.units {
            UnitSystem::KgMm => "1 mm",
            UnitSystem::LbIn => "1 mm (0.04 in)",
        };
        let per_mm = screen.plain(chassis.warp_rate_kg_per_mm);
        sentences.push(format!(
            "first check the floor: a pad {millimetre} too high moves each corner by {} +- {}, just as warp does",
            per_mm.number,
            screen.plain(per_mm_sure)
        ));
        let shift = (100.0 * split.warp_kg * (1.0 - ratio) / split.total_kg).abs();
        if shift >= SHOWN_PERCENT {
            sentences.push(format!(
                "left % is free of warp only where both tracks are equal; here this warp shifts it by {} %",
                fixed(shift, 2)
            ));
        }
        WarpLines {
            cg_ahead: screen.fine(split.cg.x),
            cg_left: screen.fine(split.cg.y),
            corners: (chassis.warp_direction() * split.warp_kg).kg().map(|kg| screen.signed(kg)),
            corners_sure,
            per_mm,
            per_mm_sure: screen.column(per_mm_sure),
            to_none,
            corrections,
            sentences,
        }
    }
}

fn size(screen: Screen, split: &Split, ratio: f64) -> String {
    let front = screen.plain(split.warp_kg.abs());
    if split.warp_kg.abs() < WORTH_A_WORD_KG {
        return format!("next to none: {front}");
    }
    let rear = screen.plain(split.warp_kg.abs() * ratio);
    let (more, less) =
        if split.warp_kg > 0.0 { ("LF and RR", "RF and LR") } else { ("RF and LR", "LF and RR") };
    format!(
        "{more} press harder than any mass explains: {front} at the front, {rear} at the rear; {less} as \
         much less"
    )
}

impl Correction {
    fn sentence(&self) -> String {
        let Correction { once, wanted, then, spacer } = self;
        let unit = if wanted.figure.is_share() { String::new() } else { format!(" {}", then.miss.unit) };
        let then_is = format!(
            "{once} {} is {} +- {}{unit}, {}",
            wanted.figure.name(),
            then.number,
            then.plus_minus,
            then.verdict()
        );
        match then.call {
            Call::Met => format!("{then_is}: leave the spacers"),
            Call::Missed => format!("{then_is}: {spacer}"),
            Call::TooClose => format!("{then_is}: weigh better before you touch the spacers"),
        }
    }
}

/// Corners of the same total and warp once mass has brought front and left to their aims, where they have
/// any.
///
/// Left = W/2 + w(1 − tf/tr) + R(φ/tf + (1−φ)/tr) with total W, warp w and roll moment R; R is found from the
/// aim, and the corners from W, the front share, R and w.
fn at_aims(scenario: &Scenario, corners: &Corners) -> Corners {
    let chassis = &scenario.kart().chassis;
    let Split { total_kg, cg, warp_kg } = chassis.split(corners);
    let aim = |figure: Figure| {
        scenario.targets().iter().find_map(|target| match target.aim {
            Aim::Percent { aim, .. } if target.figure == figure => Some(aim / 100.0),
            _ => None,
        })
    };
    let front = aim(Figure::Front).or(aim(Figure::Rear).map(|rear| 1.0 - rear));
    let station = front.unwrap_or(cg.x.mm() / chassis.wheelbase.mm());
    let share = chassis.roll_share_at(station);
    let (tf, tr) = (chassis.track_front.mm(), chassis.track_rear.mm());
    let roll_moment = match aim(Figure::Left) {
        Some(left) => {
            let beyond_half = total_kg * (left - 0.5) - warp_kg * (1.0 - tf / tr);
            beyond_half / (share / tf + (1.0 - share) / tr)
        }
        None => chassis.roll_moment(corners),
    };
    let front_half = total_kg * station / 2.0;
    let rear_half = total_kg * (1.0 - station) / 2.0;
    let (front_roll, rear_roll) = (roll_moment * share / tf, roll_moment * (1.0 - share) / tr);
    Corners::from_kg([
        front_half + front_roll,
        front_half - front_roll,
        rear_half + rear_roll,
        rear_half - rear_roll,
    ]) + chassis.warp_direction() * warp_kg
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::statics::FrontWheel;
    use crate::uncertainty::kart;
    use crate::weighing;

    const KG: Screen = Screen { units: UnitSystem::KgMm };

    /// A kart with unequal tracks, targets for everything, and plenty of warp.
    fn scenario() -> Scenario {
        let text = "units: kg-mm\n\
            kart: {name: k, wheelbase: 1040, track_front: 1080, track_rear: 1150}\n\
            class: {name: c, minimum: 150}\n\
            targets:\n  front: {aim: 44, within: 0.5}\n  left: {aim: 54, within: 0.3}\n  \
            front_pair: {aim: 3, within: 0.1}\n\
            weighing:\n  scales: {lf: 33, rf: 29, lr: 41, rr: 47}\n  \
            aboard: {driver: Sam, fuel: none, lead: none}\n\
            drivers: {Sam: {mass: 70}}\n\
            mounts: {seat: {x: 200, y: 200, capacity: 5}}\n";
        let (scenario, _) = Scenario::from_yaml(text).expect("the scenario is right");
        scenario
    }

    #[test]
    fn mass_at_its_aims_changes_neither_total_nor_warp() {
        let scenario = scenario();
        let chassis = &scenario.kart().chassis;
        let now = weighing::readings(scenario.weighing()).corners;
        let then = at_aims(&scenario, &now);
        assert_relative_eq!(then.total(), now.total(), max_relative = 1e-12);
        assert_relative_eq!(chassis.split(&then).warp_kg, chassis.split(&now).warp_kg, max_relative = 1e-9);
        assert_relative_eq!(Figure::Front.of(&then), 44.0, max_relative = 1e-12);
        assert_relative_eq!(Figure::Left.of(&then), 54.0, max_relative = 1e-12);
    }

    #[test]
    fn the_spacer_of_a_correction_brings_the_figure_to_its_aim() {
        let scenario = scenario();
        let chassis = &scenario.kart().chassis;
        let load = weighing::readings(scenario.weighing());
        let lines = WarpLines::of_scenario(KG, &scenario, &load, &kart::weighed(&scenario));
        let [correction] = lines.corrections.as_slice() else { panic!("one target is for warp") };
        let then = at_aims(&scenario, &load.corners);
        // A spacer at RF is the opposite of one at LF.
        let cured =
            then + chassis.lower_wheel(FrontWheel::Left, Length::from_mm(-correction.spacer.at_rf_mm));
        assert_relative_eq!(cured.front_pair(), 3.0, epsilon = 1e-3);
    }

    #[test]
    fn the_spacer_against_all_warp_leaves_none() {
        let scenario = scenario();
        let chassis = &scenario.kart().chassis;
        let now = weighing::readings(scenario.weighing()).corners;
        let lines = WarpLines::of_corners(KG, &kart::weighed(&scenario));
        let cured = now + chassis.lower_wheel(FrontWheel::Left, Length::from_mm(-lines.to_none.at_rf_mm));
        assert_relative_eq!(chassis.split(&cured).warp_kg, 0.0, epsilon = 1e-3);
    }
}
