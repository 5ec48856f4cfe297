//! The parts of a weighing that the pads told: one set of readings or several, zeros, a floor survey.

use super::aboard::{Names, read_aboard};
use super::repeats::{Aids, Floor, Set, Taken, USUAL_PADS, reduced};
use super::{Aboard, Shift, bounds, keys};
use crate::diagnosis::Fault;
use crate::document::block::Block;
use crate::document::form::Form;
use crate::document::{Given, Value, every, rounded_mass, written_mass};
use crate::units::{Length, Mass, UnitSystem};

/// Limit of a surveyed height: what a ruler and a water level or a line laser tell. Common practice, no published source.
const FLOOR_WITHIN: Length = Length::from_mm(0.3);
/// The corners in words.
const CORNERS: [&str; 4] = ["left-front", "right-front", "left-rear", "right-rear"];

/// The only set.
pub(super) fn single(
    given: keys::Scales,
    pads: Option<[usize; 4]>,
    aboard: Option<&Aboard>,
    with_driver: bool,
) -> Option<Vec<Set>> {
    let (value, readings) = (given.value().clone(), readings(given.readings, pads));
    let sure = given.sure.or(false).unwrap_or(false);
    let (readings, pads) = readings?;
    if !sure && !value.reading().lifted() {
        suspect_units(&value, readings.into_iter().sum(), with_driver);
    }
    Some(vec![Set { readings, pads, aboard: aboard?.clone() }])
}

/// Several sets, written under `repeats`; each may say what was aboard then.
pub(super) fn repeats(
    value: &Value,
    items: &[Value],
    pads: Option<[usize; 4]>,
    aboard: Option<&Aboard>,
    names: &Names,
    with_driver: bool,
) -> Option<Vec<Set>> {
    match items.len() {
        found @ (0 | 1) => {
            value.note_key(Fault::OneRepeat { found });
            return None;
        }
        found if !value.at_most(bounds::MOST_REPEATS, "repeats", found) => return None,
        _ => {}
    }
    let sets = every(items.iter().map(|item| set(item, pads, aboard, names)))?;
    if !value.reading().lifted() {
        suspect_units(value, sets[0].readings.into_iter().sum(), with_driver);
    }
    for (set, item) in sets.iter().zip(items) {
        let (first, here) = (&sets[0].aboard, &set.aboard);
        let differ = match () {
            () if here.driver != first.driver => "drivers",
            () if here.seat_hole != first.seat_hole => "seat holes",
            () if (0..names.adjusters.map_or(0, <[_]>::len))
                .any(|index| here.lead.setting(index, 0) != first.lead.setting(index, 0)) =>
            {
                "settings of an adjuster"
            }
            () => continue,
        };
        item.peek("aboard").as_ref().unwrap_or(item).note(Fault::RepeatsDiffer { what: differ });
    }
    if sets.iter().all(|set| *set == sets[0]) {
        value.note_key(Fault::RepeatsAlike { sets: sets.len() });
    }
    Some(sets)
}

fn set(value: &Value, pads: Option<[usize; 4]>, aboard: Option<&Aboard>, names: &Names) -> Option<Set> {
    let given = keys::Set::read(value)?;
    let readings = readings(given.readings, pads);
    let aboard = match given.aboard.value {
        Some(_) => given.aboard.read.and_then(|own| read_aboard(own, names)),
        None => aboard.cloned(),
    };
    let (readings, pads) = readings?;
    Some(Set { readings, pads, aboard: aboard? })
}

/// Readings by wheel, and the pad that stood under each: the usual ones, those that the file lists, or those of a quarter turn.
fn readings(given: keys::Readings, pads: Option<[usize; 4]>) -> Option<([Mass; 4], [usize; 4])> {
    let missing = |corner| Fault::ReadingMissing { corner };
    if pads.is_some() {
        given.turned.note_key(Fault::BothGiven { first: "pads", second: "turned" });
    }
    let value = given.value().clone();
    let turned = given.turned.optional();
    let read = of_each_pad(&value, [given.lf, given.rf, given.lr, given.rr], missing)?;
    Some(match turned? {
        Some(turned) => (turned.pads().map(|pad| read[pad]), turned.pads()),
        None => (read, pads.unwrap_or(USUAL_PADS)),
    })
}

/// `pads: [2, 1, 3, 4]`: which pad stood under LF RF LR RR, as indices from 0.
pub(super) fn pads_under(value: &Value, items: &[Value]) -> Option<[usize; 4]> {
    let numbers: Vec<u32> = items.iter().map(|item| keys::PAD.read(item)).collect::<Option<_>>()?;
    let mut sorted = numbers.clone();
    sorted.sort_unstable();
    if sorted != [1, 2, 3, 4] {
        value.note(Fault::PadsNotFour);
        return None;
    }
    let pads: Vec<usize> = numbers.into_iter().map(|number| number as usize - 1).collect();
    pads.try_into().ok()
}

/// What is said of each pad; notes those that are not spoken of.
fn of_each_pad<T>(
    block: &Value,
    pads: [Given<T>; 4],
    missing: impl Fn(&'static str) -> Fault,
) -> Option<[T; 4]> {
    for (pad, corner) in pads.iter().zip(CORNERS) {
        match &pad.value {
            Some(value) if !value.is_null() => {}
            nothing => nothing.as_ref().unwrap_or(block).note_key(missing(corner)),
        }
    }
    let [lf, rf, lr, rr] = pads.map(|pad| pad.read);
    Some([lf?, rf?, lr?, rr?])
}

/// Warns where the readings are far from any kart, and would be near one in the other units.
fn suspect_units(value: &Value, sum: Mass, with_driver: bool) {
    /// A kart with a driver aboard weighs 85 to 260 kg on the pads, one without 40 to 130 kg; common
    /// practice, no published source. Wide, because the warning must not cry wolf.
    const WITH: std::ops::RangeInclusive<f64> = 85.0..=260.0;
    const WITHOUT: std::ops::RangeInclusive<f64> = 40.0..=130.0;
    let usual = if with_driver { WITH } else { WITHOUT };
    let units = value.units();
    let (other, meant) = match units {
        UnitSystem::KgMm => (UnitSystem::LbIn, Mass::from_lb(sum.kg())),
        UnitSystem::LbIn => (UnitSystem::KgMm, Mass::from_kg(sum.lb())),
    };
    if !usual.contains(&sum.kg()) && usual.contains(&meant.kg()) {
        value.note_key(Fault::SuspectUnits {
            sum: written_mass(sum, units),
            other_units: other.word(),
            other_sum: rounded_mass(meant, units),
        });
    }
}

/// What is known of the pads at one weighing besides their readings.
pub(super) struct Corrections {
    zeros: Option<[[Mass; 4]; 2]>,
    floor: Option<Floor>,
}

/// What `zero_before`, `zero_after` and `floor` say; pads without `zero_before` were set to zero.
pub(super) fn corrections(
    before: Given<keys::Zeros>,
    after: Given<keys::Zeros>,
    floor: Given<keys::Floor>,
) -> Option<Corrections> {
    let [before, after] = [before, after].map(|zeros| zeros.then(zeros_of).optional());
    let floor = floor.then(floor_of).optional();
    let zeros = match (before?, after?) {
        (None, None) => None,
        (before, after) => {
            let before = before.unwrap_or([Mass::ZERO; 4]);
            Some([before, after.unwrap_or(before)])
        }
    };
    Some(Corrections { zeros, floor: floor? })
}

fn zeros_of(given: keys::Zeros) -> Option<[Mass; 4]> {
    spoken_of(&given.value().clone(), [given.lf, given.rf, given.lr, given.rr])
}

fn floor_of(given: keys::Floor) -> Option<Floor> {
    let heights = spoken_of(&given.value().clone(), [given.lf, given.rf, given.lr, given.rr]);
    Some(Floor { heights: heights?, within: given.within.or(FLOOR_WITHIN)? })
}

fn spoken_of<T>(block: &Value, pads: [Given<T>; 4]) -> Option<[T; 4]> {
    of_each_pad(block, pads, |corner| Fault::PadMissing { key: block.key().into(), corner })
}

impl Corrections {
    /// The readings that are made of the sets, and what they were made from; none if the kart or what was aboard could not be
    /// read, which has been said.
    pub(super) fn applied(self, sets: Vec<Set>, names: &Names, value: &Value) -> Option<([Mass; 4], Taken)> {
        let tanks: Vec<_> = names.tanks?.iter().map(|listed| listed.tank.clone()).collect::<Option<_>>()?;
        let lead: Vec<_> = names.lead.kinds.iter().cloned().collect::<Option<_>>()?;
        let mounts: Vec<_> = names.mounts.read.iter().cloned().collect::<Option<_>>()?;
        let moved = names.seat.zip(sets[0].aboard.seat_hole);
        let seat = moved.map_or_else(Shift::default, |(seat, then)| seat.shift(seat.hole, then));
        let aids = Aids { chassis: names.chassis?, tanks: &tanks, lead: &lead, mounts: &mounts, seat };
        let Some((readings, spread)) = reduced(&sets, self.zeros, self.floor, &aids) else {
            value.note_key(Fault::TooLargeTogether);
            return None;
        };
        Some((readings, Taken { sets, zeros: self.zeros, floor: self.floor, spread }))
    }
}
