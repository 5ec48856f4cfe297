//! The next weighing that would teach most.
//! Nothing it suggests is meant to stay on the kart.

use super::evidence::{Origin, Sighting};
use super::faults::Source;
use super::unknowns::Guess;
use super::{KART, Learner, row};
use crate::counts::Counts;
use crate::least_squares::Fit;
use crate::marks::{self, given};
use crate::scenario::{Access, Hole, Lever, Scenario, Weighing};
use crate::uncertainty::cause::Cause;

/// A weighing that takes less than this part off the sum of doubts is not worth the work.
const WORTH_IT: f64 = 0.02;
/// At most so many numbers are named.
const NAMED: usize = 3;

/// What a weighing would be worth.
#[derive(Clone, Debug, PartialEq)]
pub struct Worth {
    /// Part of the sum of all variances, each in its doubt, that it takes away: the weighing chosen has the largest.
    pub part: f64,
    /// The numbers of which it teaches most, by position among the lessons, with the uncertainty that they would then have.
    pub teaches: Vec<(usize, f64)>,
}

/// The trial that leaves the smallest sum of variances, each number counted in its doubt (A-optimal); the first of equals in
/// the order of [`trials`].
pub(super) fn best(learner: &Learner, guess: &Guess, fit: &Fit) -> Option<(String, Worth)> {
    let listed = |one: &Sighting| matches!(one.origin, Origin::Listed(_));
    let last_index = learner.sightings.iter().rposition(listed)?;
    let last = &learner.sightings[last_index];
    // On the pads as they stand; only the frame settles anew.
    let settles = Source::Anew { cause: Cause::Settling, sighting: last_index, number: 0 };
    let settling = learner.faults.iter().find(|fault| fault.source == settles);
    let variance =
        |fit: &Fit, index: usize| fit.covariance(KART + index, KART + index) / learner.doubt(index).powi(2);
    let indices = 0..learner.unknowns.len();
    let now: f64 = indices.clone().map(|index| variance(fit, index)).sum();
    let mut best: Option<(f64, String, Fit)> = None;
    for (trial, weighing) in trials(learner.scenario, &last.weighing) {
        let sighting = Sighting { weighing, ..last.clone() };
        let slopes = learner.slopes(&sighting, guess);
        let rows: Vec<(Vec<f64>, f64)> = (0..4)
            .map(|corner| {
                let settles = settling.map_or(0.0, |fault| fault.shifts[last_index][corner]);
                let faults = learner.faults.iter().map(|fault| match fault.source {
                    Source::Anew { .. } => 0.0,
                    _ => fault.shifts[last_index][corner],
                });
                (row(&slopes, faults, corner), last.within_kg[corner].hypot(settles))
            })
            .collect();
        let then = fit.foreseeing(&rows);
        let left: f64 = indices.clone().map(|index| variance(&then, index)).sum();
        if best.as_ref().is_none_or(|(least, _, _)| left < *least) {
            best = Some((left, trial, then));
        }
    }
    let (left, trial, then) = best?;
    let part = (now - left) / now;
    let mut teaches: Vec<usize> = indices.collect();
    let gain = |index: usize| variance(fit, index) - variance(&then, index);
    teaches.sort_by(|one, other| gain(*other).total_cmp(&gain(*one)));
    let named = teaches.into_iter().take(NAMED).filter(|index| gain(*index) > WORTH_IT);
    let teaches = named.map(|index| (index, then.uncertainty(KART + index))).collect();
    (part >= WORTH_IT).then_some((trial, Worth { part, teaches }))
}

/// Everything that can be changed alone, in words, with the weighing that would follow; its readings mean nothing yet.
fn trials(scenario: &Scenario, last: &Weighing) -> Vec<(String, Weighing)> {
    let aboard = |change: &dyn Fn(&mut Weighing)| {
        let mut weighing = last.clone();
        change(&mut weighing);
        weighing
    };
    let piece = |kind: usize| {
        let kind = &scenario.lead()[kind];
        format!("`{}` ({})", kind.name, given(kind.mass))
    };
    let name = |mount: usize| marks::name(&scenario.mounts()[mount].name);
    let lead = &last.aboard.lead;
    let mut trials = Vec::new();
    if last.aboard.driver.is_some() {
        let out = aboard(&|weighing| weighing.aboard.driver = None);
        trials.push(("the driver out of the seat".to_owned(), out));
    }
    for mount in 0..scenario.mounts().len() {
        // The heaviest piece speaks loudest; a lighter one on the same mount says the same less clearly.
        let fits = (0..scenario.lead().len()).filter(|kind| may_hang(scenario, lead, *kind, mount));
        if let Some(kind) = fits.rev().max_by_key(|kind| scenario.lead()[*kind].mass) {
            let hung = aboard(&|weighing| *weighing.aboard.lead.get_mut(kind, mount) += 1);
            // Only for the weighing.
            trials.push((format!("{} hung on `{}`", piece(kind), name(mount)), hung));
        }
    }
    for (kind, mount, _) in
        lead.placed().filter(|(_, mount, _)| scenario.mounts()[*mount].access == Access::Open)
    {
        let off = aboard(&|weighing| *weighing.aboard.lead.get_mut(kind, mount) = 0);
        trials.push((format!("{} taken off `{}`", piece(kind), name(mount)), off));
    }
    if let (Some(hole), Some(_)) = (last.aboard.seat_hole, &scenario.kart().seat) {
        for along in [hole.along - 1, hole.along + 1] {
            let hole = Hole { along, ..hole };
            let moved = aboard(&|weighing| weighing.aboard.seat_hole = Some(hole));
            trials.push((format!("the seat at hole {along}"), moved));
        }
    }
    let now: Vec<u16> = scenario.adjusters().iter().map(|adjuster| adjuster.now as u16).collect();
    for (adjuster, described) in scenario.adjusters().iter().enumerate() {
        let Lever::Spindle { .. } = described.lever else { continue };
        let here = lead.setting(adjuster, described.now);
        let neighbours = [here.checked_sub(1), Some(here + 1)].into_iter().flatten();
        for setting in neighbours.filter(|setting| *setting < described.settings.len()) {
            let set = aboard(&|weighing| {
                weighing.aboard.lead = lead.clone().with_setting(adjuster, setting, &now);
            });
            let stand = &described.settings[setting].name;
            trials.push((format!("washers at the {}: {stand}", described.name), set));
        }
    }
    trials
}

/// Whether one more piece fits a mount and the box still holds one.
fn may_hang(scenario: &Scenario, lead: &Counts, kind: usize, mount: usize) -> bool {
    let (piece, place) = (&scenario.lead()[kind], &scenario.mounts()[mount]);
    let on_it = || lead.placed().filter(|(_, there, _)| *there == mount);
    let carries = on_it().map(|(kind, _, count)| scenario.lead()[kind].mass * count).sum();
    let stack_nm: i64 =
        on_it().map(|(kind, _, count)| scenario.lead()[kind].thickness.nm() * i64::from(count)).sum();
    let pieces: u32 = on_it().map(|(_, _, count)| count).sum();
    place.access == Access::Open
        && place.takes[kind]
        && lead.of_kind(kind) < piece.count
        && piece.mass <= place.may_carry(&scenario.class().rules) - carries
        && place.room.is_none_or(|room| stack_nm + piece.thickness.nm() <= room.nm())
        && place.most_pieces.is_none_or(|most| pieces < most)
}
