//! Missed targets and what stands in their way, as sentences made from facts at hand.
//! Single pieces are tried elsewhere with the judge, and the plan is compared with lead that could be cut to any size.

use super::twist::{Spacer, pressed, stacks};
use crate::decimals::trimmed;
use crate::engine::Divisible;
use crate::marks::{fine, name, plain};
use crate::plan::{Measured, Residual};
use crate::quantity::{kg, mm};
use crate::scenario::{Access, Aim, Figure, Freedom, Lever, Scenario, Shift, When};
use crate::solve::Solved;
use crate::tasks::binding::{fits_on, is_bound_by_spare, is_full, left_in_box};
use crate::uncertainty::kart;
use crate::units::Mass;
use crate::weighing;

/// Two mounts whose effects per kilogram differ by less are the same to a target: a tenth of a millimetre of
/// place.
const SAME_EFFECT: f64 = 1e-4;

/// One sentence for every missed target, at its worst state, the largest miss first.
pub fn misses(measured: &Measured) -> Vec<String> {
    worst_states(measured)
        .into_iter()
        .map(|residual| {
            let side = if residual.distance_kg > 0.0 { "above" } else { "below" };
            let total_kg = measured.state(residual.moment).map_or(0.0, |state| state.load.total.kg());
            let miss = match residual.aim {
                Aim::Percent { .. } => {
                    let percent = trimmed(100.0 * residual.miss_kg / total_kg, 2);
                    format!("{} ({percent} % of the total)", plain(kg(residual.miss_kg)))
                }
                Aim::Difference { .. } => plain(kg(residual.miss_kg)).to_string(),
                Aim::Height { wheelbase, .. } => {
                    let way = mm(wheelbase.mm() * residual.miss_kg / total_kg);
                    format!("{} ({})", fine(way), plain(kg(residual.miss_kg)))
                }
            };
            let moment = residual.moment.word();
            format!("{} is {miss} {side} its tolerance at the {moment}", residual.figure.name())
        })
        .collect()
}

/// The worst state of every missed target, the largest miss first; equal misses in file order.
pub fn worst_states(measured: &Measured) -> Vec<&Residual> {
    let mut worst: Vec<&Residual> = Vec::new();
    for residual in measured.residuals.iter().filter(|residual| !residual.on_target) {
        match worst.last_mut() {
            Some(last) if last.target == residual.target => {
                if residual.miss_kg > last.miss_kg {
                    *last = residual;
                }
            }
            _ => worst.push(residual),
        }
    }
    worst.sort_by(|one, other| other.miss_kg.total_cmp(&one.miss_kg));
    worst
}

/// Why the missed targets are missed, as far as single pieces and divisible lead can tell; nothing if none is
/// missed.
pub fn in_the_way(scenario: &Scenario, solved: &Solved, divisible: Option<&Divisible>) -> Vec<String> {
    let measured = solved.plan.measured();
    let missed = worst_states(measured);
    if missed.is_empty() {
        return Vec::new();
    }
    let mut sentences: Vec<String> =
        missed.iter().filter_map(|residual| fuel_alone(scenario, measured, residual)).collect();
    sentences.extend(missed.iter().filter_map(|residual| twist(scenario, solved, residual)));
    sentences.extend(missed.iter().filter_map(|residual| pieces_cannot_follow(scenario, measured, residual)));
    sentences.extend(stock_and_mounts(scenario, measured));
    sentences.extend(spare(scenario, solved));
    sentences.extend(divisible.map(|divisible| sizes(solved, divisible)));
    sentences
}

/// Burning the fuel moves the figure by more than its tolerance is wide, whatever the lead does.
fn fuel_alone(scenario: &Scenario, measured: &Measured, missed: &Residual) -> Option<String> {
    if scenario.targets()[missed.target].when != When::Both {
        return None;
    }
    let mut states = measured.residuals.iter().filter(|residual| residual.target == missed.target);
    let (start, finish) = (states.next()?, states.next()?);
    let half_width_kg = |residual: &Residual| {
        let line = residual.aim.line();
        let total_kg = measured.state(residual.moment).map_or(0.0, |state| state.load.total.kg());
        line.within_share * total_kg + line.within_kg
    };
    let swing_kg = (start.distance_kg - finish.distance_kg).abs();
    let width_kg = half_width_kg(start) + half_width_kg(finish);
    (swing_kg > width_kg).then(|| {
        format!(
            "{}: the fuel alone moves it by {} from start to finish, and its tolerance is only {} wide; a wider \
             tolerance or `at: finish` would do",
            missed.figure.name(),
            plain(kg(swing_kg)),
            plain(kg(width_kg))
        )
    })
}

/// Cross and pairs are changed far more by spacers than by lead. Where the plan might change everything, had washers to set and it
/// is proved that they cannot do it, only the frame is left, which is never planned.
fn twist(scenario: &Scenario, solved: &Solved, missed: &Residual) -> Option<String> {
    let chassis = &scenario.kart().chassis;
    let Measured { driver, counts, .. } = solved.plan.measured();
    let planned = kart::state(scenario, *driver, missed.moment, counts);
    let spacer = Spacer::for_residual(&planned, stacks(scenario, counts), missed)?;
    let washers = scenario.adjusters().iter().any(|adjuster| matches!(adjuster.lever, Lever::Spindle { .. }));
    let held = solved.freedom != Freedom::all(scenario);
    if washers && !held && solved.is_best_possible() {
        let twist_kg = missed.distance_kg / missed.figure.kg(&chassis.twist_direction());
        let (more, less) = pressed(twist_kg);
        return Some(format!(
            "{}: {} of twist is left, {more} against {less}, more than lead, seat and washers of this kart take \
             away: look at floor, tyres and frame; tweaking a frame is never planned",
            missed.figure.name(),
            plain(kg(twist_kg.abs())),
        ));
    }
    let more = if washers && held {
        "not everything was allowed to be changed"
    } else {
        "`kentledge weigh` tells more"
    };
    Some(format!(
        "{} is a matter of twist more than of lead; to bring it there: {spacer}; {more}",
        missed.figure.name()
    ))
}

/// No piece on the kart can go to any mount where it would do more for the missed target.
fn pieces_cannot_follow(scenario: &Scenario, measured: &Measured, missed: &Residual) -> Option<String> {
    let wanted = -missed.distance_kg.signum();
    let effect = |mount: usize| {
        let influence = weighing::mount_influence(scenario, mount, Shift::default());
        wanted * (missed.figure.kg(&influence) - missed.aim.line().share)
    };
    let mut blocked: Vec<usize> = Vec::new();
    let mut movable = false;
    for (kind, from, _) in measured.counts.placed() {
        if scenario.mounts()[from].access == Access::Locked {
            continue;
        }
        movable = true;
        for to in 0..scenario.mounts().len() {
            if effect(to) - effect(from) < SAME_EFFECT || scenario.mounts()[to].access == Access::Locked {
                continue;
            }
            if fits_on(scenario, measured, kind, Some(from), to) {
                return None;
            }
            blocked.push(to);
        }
    }
    if !movable {
        return None;
    }
    blocked.sort_unstable();
    blocked.dedup();
    let as_far = match (missed.figure, missed.distance_kg > 0.0) {
        (Figure::Front, false) | (Figure::Rear, true) => "no single piece fits further forward".to_owned(),
        (Figure::Front, true) | (Figure::Rear, false) => "no single piece fits further back".to_owned(),
        (Figure::Left, false) => "no single piece fits further left".to_owned(),
        (Figure::Height, false) => "no single piece fits higher".to_owned(),
        (Figure::Height, true) => "no single piece fits lower".to_owned(),
        (Figure::Left, true) => "no single piece fits further right".to_owned(),
        (figure, _) => format!("no piece fits on a mount that would do more for {}", figure.name()),
    };
    let names: Vec<&str> = blocked.iter().map(|mount| scenario.mounts()[*mount].name.as_str()).collect();
    Some(match names.as_slice() {
        [] => format!("{as_far}: there is no such mount"),
        [one] => format!("{as_far}: `{}` takes no more", name(one)),
        several => format!("{as_far}: {} take no more", quoted(several)),
    })
}

/// The box is empty, or no mount takes anything that is left in it.
fn stock_and_mounts(scenario: &Scenario, measured: &Measured) -> Option<String> {
    if left_in_box(scenario, measured).next().is_none() {
        return Some("no lead is left in the box".to_owned());
    }
    let open = |mount: &usize| scenario.mounts()[*mount].access == Access::Open;
    let mut mounts = (0..scenario.mounts().len()).filter(open);
    mounts
        .all(|mount| is_full(scenario, measured, mount))
        .then(|| "every mount is full for the pieces that are left in the box".to_owned())
}

/// A piece is left that fits somewhere, but the total may not grow by it.
fn spare(scenario: &Scenario, solved: &Solved) -> Option<String> {
    let most = Mass::from_ng(solved.goals.first()?.held_at);
    is_bound_by_spare(scenario, solved).then(|| {
        format!(
            "the total may be {} at most, which leaves out every piece that is still in the box; `spare` \
             under `goals` sets that",
            plain(most)
        )
    })
}

/// Whether lead that could be cut to any size would do better.
fn sizes(solved: &Solved, divisible: &Divisible) -> String {
    let outside_kg = solved.plan.measured().worth.outside_kg;
    let resolution_kg = solved
        .goals
        .iter()
        .find(|result| result.goal == crate::goal::Goal::Targets)
        .map_or(0.0, |result| Mass::from_ng(result.resolution).kg());
    if divisible.outside_kg <= resolution_kg {
        "lead cut to any size would meet every target: it is the sizes of the pieces".to_owned()
    } else if divisible.outside_kg >= outside_kg - resolution_kg {
        "even lead cut to any size would do no better: it is the places and limits of the mounts, or targets \
         that pull against each other"
            .to_owned()
    } else {
        format!(
            "lead cut to any size would be {} outside the tolerances instead of {}: the sizes of the pieces are \
             part of it",
            plain(kg(divisible.outside_kg)),
            plain(kg(outside_kg))
        )
    }
}

/// `` `a`, `b` and `c` ``.
fn quoted(names: &[&str]) -> String {
    let quoted: Vec<String> = names.iter().map(|called| format!("`{}`", name(called))).collect();
    match quoted.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::marks::written;
    use crate::solve::{Answer, Patience, solve};
    use crate::units::UnitSystem;

    /// A kart of 140 kg, ten kilograms short, forty per cent at the front, with the given targets, mounts and
    /// lead.
    fn sentences(targets: &str, fuel: &str, mounts: &str, lead: &str) -> String {
        sentences_of(&text(targets, fuel, mounts, lead))
    }

    fn text(targets: &str, fuel: &str, mounts: &str, lead: &str) -> String {
        format!(
            "units: kg-mm\nkart: {{name: k, wheelbase: 1000, track_front: 1100, track_rear: 1100}}\n\
             class: {{name: c, minimum: 150, margin: 0}}\ntargets: {targets}\n\
             weighing:\n  scales: {{lf: 28, rf: 28, lr: 42, rr: 42}}\n  \
             aboard: {{driver: Sam, fuel: none, lead: none}}\n\
             drivers: {{Sam: {{mass: 70}}}}\n{fuel}mounts: {mounts}\nlead: {lead}\n"
        )
    }

    fn sentences_of(text: &str) -> String {
        let (scenario, _) = Scenario::from_yaml(text).expect("the scenario is right");
        let driver = scenario.driver();
        let Ok(Answer::Plan(solved)) = solve(&scenario, driver, Patience::ENDLESS) else {
            panic!("there is a plan")
        };
        let sentences = in_the_way(&scenario, &solved, solved.divisible(&scenario).as_ref());
        written(&sentences.join("; "), UnitSystem::KgMm)
    }

    const NOSE_AND_SEAT: &str = "{nose: {x: 1200, y: 0, capacity: 2}, seat: {x: 200, y: 0, capacity: 30}}";

    #[test]
    fn nothing_stands_in_the_way_of_targets_that_are_met() {
        let met =
            sentences("{front: {aim: 40, within: 5}}", "", NOSE_AND_SEAT, "{block: {mass: 1, count: 12}}");
        assert_eq!(met, "");
    }

    #[test]
    fn a_full_mount_that_would_help_is_named() {
        let way =
            sentences("{front: {aim: 44, within: 0.1}}", "", NOSE_AND_SEAT, "{block: {mass: 1, count: 12}}");
        assert!(way.contains("no single piece fits further forward: `nose` takes no more"), "{way}");
        assert!(!way.contains("no lead is left"), "{way}");
    }

    #[test]
    fn an_empty_box_is_told() {
        let way =
            sentences("{front: {aim: 44, within: 0.1}}", "", NOSE_AND_SEAT, "{block: {mass: 1, count: 10}}");
        assert!(way.contains("no lead is left in the box"), "{way}");
    }

    #[test]
    fn fuel_that_swings_further_than_the_tolerance_is_wide_is_told() {
        let fuel = "fuel: {x: 1000, y: 0, density: 0.75, start: 8 kg, finish: 0.5 kg}\n";
        let way = sentences(
            "{front: {aim: 43, within: 0.2}}",
            fuel,
            NOSE_AND_SEAT,
            "{block: {mass: 1, count: 12}}",
        );
        assert!(way.contains("the fuel alone moves it by 4.2"), "{way}");
    }

    // By hand: each washer of 1 mm takes one millimetre; the pair is 9 kg off its aim, and one washer moves it by a kilogram.
    #[test]
    fn twist_beyond_the_washers_is_left_to_the_frame_which_is_never_planned() {
        let spindles =
            "spindles: {washer: 1 mm, left: {above: 0, below: 1}, right: {above: 1, below: 0}}, wheelbase";
        let way = sentences_of(
            &text("{front_pair: {aim: 9, within: 0.2}}", "", NOSE_AND_SEAT, "{block: {mass: 1, count: 12}}")
                .replace("wheelbase", spindles)
                .replace(
                    "lead: none",
                    "lead: none, spindles: {left: {above: 0, below: 1}, right: {above: 1, below: 0}}",
                ),
        );
        assert!(way.contains("of twist is left, RF and LR against LF and RR"), "{way}");
        assert!(way.contains("tweaking a frame is never planned"), "{way}");
        // Both washers moved the wheels by 1 mm each: 9 kg less twice a kilogram and a bit, halved over both wheels.
        let left: f64 = way
            .split(": ")
            .nth(1)
            .and_then(|rest| rest.split(' ').next())
            .and_then(|number| number.parse().ok())
            .expect("the twist is told in kilograms");
        let per_mm = crate::statics::Chassis::from_stiffness(
            crate::units::Length::from_mm(1000.0),
            crate::units::Length::from_mm(1100.0),
            crate::units::Length::from_mm(1100.0),
            crate::statics::Stiffness::default(),
        )
        .twist_rate_kg_per_mm;
        assert!((left - (4.5 - 2.0 * per_mm)).abs() < 0.006, "{way}");
    }

    #[test]
    fn a_pair_far_off_is_left_to_spacers() {
        let way = sentences(
            "{front_pair: {aim: 9, within: 0.2}}",
            "",
            NOSE_AND_SEAT,
            "{block: {mass: 1, count: 12}}",
        );
        assert!(
            way.contains("half of it from below to above the LF spindle, half from above to below at RF"),
            "{way}"
        );
    }
}
