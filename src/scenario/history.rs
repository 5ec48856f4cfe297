//! The parts of a file about its weighings, in time, and what they have taught.

use super::aboard::{Names, read_aboard};
use super::beliefs::{Belief, Beliefs};
use super::{Aboard, FixedTo, NONE, OfficialTotal, Seat, Shift, Weighing, bounds, kart, keys, place, sets};
use crate::date::Date;
use crate::diagnosis::Fault;
use crate::document::block::Block;
use crate::document::{Given, Value, every};
use crate::statics::{Chassis, Corners, Point};
use crate::uncertainty::cause::Cause;
use crate::units::Mass;

/// What a weighing learned from read too much, by all of them together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Misread {
    /// How many weighings of the list were learned from; it is the last of them, of the kart as raced, that misread.
    pub weighings: usize,
    /// LF RF LR RR.
    pub by: [Mass; 4],
}

impl Misread {
    /// The weighing with that taken off its readings.
    pub fn corrected(&self, weighing: &Weighing) -> Weighing {
        let readings = std::array::from_fn(|corner| weighing.readings[corner] - self.by[corner]);
        Weighing { readings, as_learned: true, ..weighing.clone() }
    }
}

/// One independent error of what weighings have taught: all that errs together, by one standard uncertainty.
#[derive(Clone, Debug, PartialEq)]
pub struct Taught {
    /// What it is put down to.
    pub cause: Cause,
    /// Of the weighing that was corrected, LF RF LR RR.
    pub readings: Corners,
    /// mm, shares, kg/mm.
    pub beliefs: Vec<(Belief, f64)>,
    /// Of one piece of each kind.
    pub kinds_kg: Vec<(usize, f64)>,
    /// In each tank at that weighing.
    pub fuel_kg: Vec<(usize, f64)>,
}

impl Taught {
    pub(crate) fn of(cause: Cause) -> Taught {
        let (beliefs, kinds_kg, fuel_kg) = Default::default();
        Taught { cause, readings: Corners::ZERO, beliefs, kinds_kg, fuel_kg }
    }
}

/// What earlier weighings have taught.
pub(super) struct Learned {
    /// How many weighings of the list.
    pub(super) weighings: usize,
    pub(super) beliefs: Beliefs,
    pub(super) misread: Option<Misread>,
}

/// The weighings as listed; nothing if they could not be read.
#[derive(Default)]
pub(super) struct History<'r> {
    pub(super) listed: Vec<ListedWeighing<'r>>,
    totals: Vec<ListedTotal>,
}

impl<'r> History<'r> {
    /// Those of the kart as raced, which is the kart of today with the last of them.
    pub(super) fn raced(&self) -> impl DoubleEndedIterator<Item = &ListedWeighing<'r>> {
        self.listed.iter().filter(|one| one.as_raced)
    }

    /// The first of those, if it could be read.
    pub(super) fn first(&self) -> Option<&Weighing> {
        self.raced().next()?.weighing.as_ref()
    }

    /// The last.
    pub(super) fn last(&self) -> Option<&Weighing> {
        self.raced().next_back()?.weighing.as_ref()
    }

    /// What was aboard when the kart stood on any scale last.
    pub(super) fn last_aboard(&self) -> Option<&Aboard> {
        let total = self.totals.last().and_then(|one| one.total.as_ref());
        let raced = |index: usize| self.listed[index].as_raced;
        let last = (0..self.listed.len()).rev().find(|index| raced(*index))?;
        let later = total.filter(|total| total.after > last);
        later.map(|total| &total.aboard).or_else(|| Some(&self.last()?.aboard))
    }

    /// What the officials alone told.
    pub(super) fn totals(&self) -> Option<Vec<OfficialTotal>> {
        self.totals.iter().map(|one| one.total.clone()).collect()
    }

    /// All weighings of the list.
    pub(super) fn all(&self) -> Option<Vec<Weighing>> {
        self.listed.iter().map(|one| one.weighing.clone()).collect()
    }
}

/// What `weighing` or `weighings` says: one, or a list in the order in which they were made.
pub(super) fn history<'r>(given: Given<'r, Value<'r>>, names: &Names) -> Option<History<'r>> {
    let value = given.read?;
    let items =
        if value.is_settings() { vec![value.clone()] } else { value.list(keys::Weighing::EXAMPLE)? };
    if !value.at_most(bounds::MOST_WEIGHINGS, "weighings", items.len()) {
        return None;
    }
    let (mut history, mut right, mut last) = (History::default(), true, None);
    for item in &items {
        let Some(given) = keys::Weighing::read(item) else {
            right = false;
            continue;
        };
        let on_pads = given.scales.value.is_some() || given.repeats.value.is_some();
        let date = if on_pads {
            let read = weighing(given, names).map(|one| (one.date, history.listed.push(one)));
            read.map(|(date, ())| date)
        } else {
            let read = total(given, names, history.listed.len());
            read.map(|one| (one.date, history.totals.push(one))).map(|(date, ())| date)
        };
        right &= date.is_some();
        last = in_time(item, last, date.flatten());
    }
    if !right {
        return None;
    }
    if history.raced().next().is_none() {
        value.note_key(Fault::OnlyToLearn);
        return None;
    }
    copied(&history.listed);
    Some(history)
}

/// The latest date so far; notes one that is before it.
fn in_time(item: &Value, last: Option<Date>, date: Option<Date>) -> Option<Date> {
    if let (Some(last), Some(date)) = (last, date)
        && date < last
    {
        let (date, last) = (date.to_string(), last.to_string());
        item.peek("date").as_ref().unwrap_or(item).note(Fault::DatesBackwards { date, last });
    }
    last.max(date)
}

/// Notes weighings that were copied.
fn copied(all: &[ListedWeighing]) {
    for (index, one) in all.iter().enumerate() {
        let before = &all[..index];
        let read = |one: &ListedWeighing| {
            let sets = &one.weighing.as_ref()?.taken.sets;
            Some((one.date, sets.iter().map(|set| set.readings).collect::<Vec<_>>()))
        };
        if let Some(first) = before.iter().position(|other| read(one).is_some() && read(other) == read(one)) {
            one.scales.note(Fault::WeighingTwice { first: first + 1 });
        }
    }
}

/// What `learned` says, for a kart that is believed to be as `measured` where it says nothing.
pub(super) fn learned(
    given: keys::Learned,
    measured: &Beliefs,
    names: &Names,
    chassis: &Chassis,
    listed: usize,
) -> Option<Learned> {
    let misread = given.misread.then(|by| Some([by.lf.read?, by.rf.read?, by.lr.read?, by.rr.read?]));
    let places = |given: Given<Vec<Value>>, what: &'static str, known: &[String]| {
        let one = |entry: &Value| {
            let index = entry.key_among(what, known)?;
            let place = keys::Place::read(entry)?.point()?;
            place::on_the_kart(entry.reading(), entry, &format!("{what} `{}`", entry.key()), place, chassis);
            Some((index, place))
        };
        given.then(|entries| every(entries.iter().map(one))).or(Vec::<(usize, Point)>::new())
    };
    let mounts = places(given.mounts, "mount", &names.mounts.names);
    let drivers = places(given.drivers, "driver", names.drivers.unwrap_or_default());
    let roll_share = given.roll_share.then(|given| kart::roll_share(&given));
    let mut beliefs = measured.clone();
    beliefs.roll_share = roll_share.or(beliefs.roll_share)?;
    beliefs.twist_rate_kg_per_mm = given.twist_rate.or(beliefs.twist_rate_kg_per_mm)?;
    // Written down, as by hand, for the hole at which places were measured.
    let come = names.seat.map_or_else(Shift::default, Seat::since_measured);
    for (mount, place) in mounts? {
        let rides = names.mounts.read[mount].as_ref().is_some_and(|mount| mount.fixed_to == FixedTo::Seat);
        beliefs.mounts[mount] = if rides { come.of(place) } else { place };
    }
    for (driver, place) in drivers? {
        beliefs.drivers[driver] = Some(come.of(place));
    }
    let known = given.weighings.read.map(|count| count as usize);
    if let (Some(key), Some(known)) = (given.weighings.value, known.filter(|known| *known > listed)) {
        key.note(Fault::LearnedFromMore { known, listed });
    }
    let weighings = known.unwrap_or(listed);
    let misread = misread.optional()?.map(|by| Misread { weighings, by });
    Some(Learned { weighings, beliefs, misread })
}

/// A weighing as listed, with the settings to point at.
pub(super) struct ListedWeighing<'r> {
    pub(super) value: Value<'r>,
    pub(super) scales: Value<'r>,
    pub(super) aboard: Value<'r>,
    pub(super) date: Option<Date>,
    /// Whether it is of the kart as raced, rather than made to learn from.
    pub(super) as_raced: bool,
    pub(super) weighing: Option<Weighing>,
}

/// What the officials alone told, as listed.
pub(super) struct ListedTotal {
    pub(super) date: Option<Date>,
    pub(super) total: Option<OfficialTotal>,
}

/// What an entry without readings says, which comes after so many weighings; none, which has been noted, if it tells no total
/// either.
pub(super) fn total(given: keys::Weighing, names: &Names, after: usize) -> Option<ListedTotal> {
    let value = given.value().clone();
    if given.alone.value.is_none() || after == 0 {
        value.note_missing("scales", format!("scales: {}", keys::Scales::EXAMPLE));
        return None;
    }
    let aboard = given.aboard.read.and_then(|aboard| read_aboard(aboard, names));
    let (date, read) = (given.date.optional()?, given.alone.read);
    let told = |total| Some(OfficialTotal { date, after, total, aboard: aboard? });
    Some(ListedTotal { date, total: read.and_then(told) })
}

/// What a weighing says: one of the list, or a driver's own.
pub(super) fn weighing<'r>(given: keys::Weighing<'r>, names: &Names) -> Option<ListedWeighing<'r>> {
    let value = given.value().clone();
    let (scales, aboard) = (given.repeats.value.or(given.scales.value.clone()), given.aboard.value);
    let official = given.official.optional();
    let set_up = given.set_up.optional();
    let pads = given.pads.at(|key, items| sets::pads_under(key, &items)).optional();
    let corrections = sets::corrections(given.zero_before, given.zero_after, given.floor);
    let with_driver = aboard.as_ref().and_then(|a| a.peek("driver")).is_none_or(|d| d.word() != Some(NONE));
    let contents = given.aboard.read.and_then(|aboard| read_aboard(aboard, names));
    let pads = pads?;
    let sets = match (given.repeats.read, given.scales.read, &scales) {
        (Some(items), _, Some(value)) => {
            sets::repeats(value, &items, pads, contents.as_ref(), names, with_driver)
        }
        (_, Some(scales), _) => sets::single(scales, pads, contents.as_ref(), with_driver),
        _ => None,
    };
    let (date, as_raced) = (given.date.optional(), given.purpose.value.is_none());
    let weighing = sets.zip(corrections).and_then(|(sets, corrections)| {
        let (readings, taken) = corrections.applied(sets, names, scales.as_ref()?)?;
        let (official, as_official, as_learned) = (official?, false, false);
        Some(Weighing {
            date: date?,
            as_raced,
            set_up: set_up?,
            readings,
            official,
            official_later: None,
            as_official,
            as_learned,
            aboard: contents?,
            taken,
        })
    });
    let date = date.flatten();
    Some(ListedWeighing { value, scales: scales?, aboard: aboard?, date, as_raced, weighing })
}
