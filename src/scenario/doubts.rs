//! What is legal but looks wrong: swapped sides, lead that fits nowhere, lead beyond a limit on a mount that may be changed.
//! A warning that cries wolf is not read: thresholds are wide.

use super::history::ListedWeighing;
use super::lead::LeadBox;
use super::mounts::Mounts;
use super::target::wanted_share;
use super::{Access, Figure, Kind, Mount, Target};
use crate::counts::Counts;
use crate::decimals::trimmed;
use crate::diagnosis::{Fault, Side};
use crate::document::{written_length, written_mass};
use crate::units::{Length, Mass};

/// Percent of the total on the front beyond which the pads were probably read back to front. About 43 is usual, about 50 means
/// that some fault is being hidden (common practice, no published source); back to front, 43 reads 57.
const FRONT_HEAVY: f64 = 52.0;
/// Percent points by which the left share must miss its aim before a swap is thought of: an honest kart before its first plan
/// may well be three or four away.
const FAR_FROM_AIM: f64 = 6.0;
/// Percent points by which the swapped share may miss it.
const NEAR_AIM: f64 = 2.5;
/// A mount this near the centre line may be called by either side, mm.
const MIDDLE: f64 = 20.0;

/// Warns of readings that would be usual if front and rear, or left and right, were exchanged.
pub(super) fn readings_look_swapped(listed: &ListedWeighing, targets: &[Target]) {
    let scales = &listed.scales;
    let sure = scales.peek("sure").and_then(|sure| sure.word()) == Some("true");
    let Some(weighing) = listed.weighing.as_ref().filter(|_| !sure && !scales.reading().lifted()) else {
        return;
    };
    let [lf, rf, lr, rr] = weighing.readings.map(Mass::kg);
    let percent = |part: f64| 100.0 * part / (lf + rf + lr + rr);
    let aim = |figure| wanted_share(targets, figure).map(|(aim, _)| aim);
    let front = percent(lf + rf);
    if front > FRONT_HEAVY && aim(Figure::Front).unwrap_or(0.0) < FRONT_HEAVY - NEAR_AIM {
        scales.note_key(Fault::FrontHeavy { front: trimmed(front, 1) });
    }
    let left = percent(lf + lr);
    if let Some(aim) = aim(Figure::Left)
        && (left - aim).abs() > FAR_FROM_AIM
        && (left - (100.0 - aim)).abs() < NEAR_AIM
    {
        scales.note_key(Fault::SidesSwapped { left: trimmed(left, 1), aim: trimmed(aim, 1) });
    }
}

/// Warns of a mount whose name says one side and whose place is on the other.
pub(super) fn sides_in_names(mounts: &Mounts, read: &[Mount]) {
    for (mount, value) in read.iter().zip(&mounts.values) {
        let name = mount.name.to_lowercase();
        let says =
            |words: [&str; 3]| name.split(|c: char| !c.is_alphabetic()).any(|word| words.contains(&word));
        let (left, right) = (says(["left", "lf", "lr"]), says(["right", "rf", "rr"]));
        let y = mount.place.y.mm();
        let side = if left && !right && y < -MIDDLE {
            Side::Right
        } else if right && !left && y > MIDDLE {
            Side::Left
        } else {
            continue;
        };
        let distance = written_length(Length::from_mm(y.abs()), value.units());
        value.note_key(Fault::NamedForOtherSide { mount: mount.name.clone(), distance, side });
    }
}

/// Warns of a kind that can go on no mount that is open: too heavy for all of them, or taken by none.
pub(super) fn every_kind_fits(lead: &LeadBox, kinds: &[Kind], read: &[Mount]) {
    let open = || read.iter().filter(|mount| mount.access == Access::Open);
    if open().next().is_none() {
        return;
    }
    for (index, kind) in kinds.iter().enumerate().filter(|(_, kind)| kind.count > 0) {
        let most = open().filter(|mount| mount.takes[index]).map(|mount| mount.capacity).max();
        if most.is_some_and(|most| kind.mass <= most) {
            continue;
        }
        let value = &lead.family(index).value;
        value.note_key(Fault::NoMountTakes {
            kind: kind.name.clone(),
            mass: written_mass(kind.mass, value.units()),
            most: most.map(|most| written_mass(most, value.units())),
        });
    }
}

/// Warns of an open mount that carries more than it may.
pub(super) fn fitted_within_limits(mounts: &Mounts, read: &[Mount], kinds: &[Kind], fitted: &Counts) {
    for (index, mount) in read.iter().enumerate().filter(|(_, mount)| mount.access == Access::Open) {
        let here: Mass =
            kinds.iter().enumerate().map(|(kind, piece)| piece.mass * fitted.get(kind, index)).sum();
        if here > mount.capacity {
            let value = &mounts.values[index];
            value.note_key(Fault::FittedBeyond {
                mount: mount.name.clone(),
                lead: written_mass(here, value.units()),
                limit: written_mass(mount.capacity, value.units()),
            });
        }
    }
}
