//! The parts of a file about other weighings of the same kart, and what they have taught.
//! Takes the settings under `weighings`, `after` and `learned`; gives them with all names resolved, or notes what is wrong.
//! Does not compare weighings with each other (`consistency`), nor learn from them.

use super::aboard::Names;
use super::beliefs::Beliefs;
use super::weighed::{self, ListedWeighing};
use super::{Hole, Lever, Setting, Weighing, bounds, kart, keys, place};
use crate::diagnosis::Fault;
use crate::document::block::Block;
use crate::document::form::Form;
use crate::document::{Given, Value, every};
use crate::statics::{Chassis, Point};
use crate::units::Mass;

/// Another weighing, told only to learn from.
#[derive(Clone, Debug, PartialEq)]
pub struct Further {
    /// Readings and what was aboard.
    pub weighing: Weighing,
    /// Which pad stood under LF RF LR RR; pads are numbered as they stood at the main weighing.
    pub pads: [usize; 4],
}

/// A weighing after work was done.
#[derive(Clone, Debug, PartialEq)]
pub struct After {
    /// Readings and what was aboard; its lead says nothing where that is [`Fitted::AsPlanned`].
    pub weighing: Weighing,
    /// Whence one knows what was fitted.
    pub fitted: Fitted,
}

/// Whence one knows what was fitted after the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fitted {
    /// The file lists it.
    Listed,
    /// It is what `plan` had answered before that weighing.
    AsPlanned,
}

/// What the last weighing of those learned from read too much, by all of them together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Misread {
    /// How many weighings after work were learned from; with none it is the main weighing that misread.
    pub after: usize,
    /// LF RF LR RR.
    pub by: [Mass; 4],
}

impl Misread {
    /// The weighing with that taken off its readings.
    pub fn corrected(&self, weighing: &Weighing) -> Weighing {
        let readings = std::array::from_fn(|corner| weighing.readings[corner] - self.by[corner]);
        Weighing { readings, ..weighing.clone() }
    }
}

/// One of them as listed.
struct Listed<'r, T> {
    settings: ListedWeighing<'r>,
    read: T,
}

/// What earlier weighings have taught.
struct Learned<'r> {
    beliefs: Beliefs,
    /// The value that says how many weighings under `after` it knows, and that number.
    after: Option<(Value<'r>, usize)>,
    misread: Option<[Mass; 4]>,
}

impl Learned<'_> {
    fn misread(&self) -> Option<Misread> {
        let after = self.after.as_ref().map_or(0, |(_, count)| *count);
        self.misread.map(|by| Misread { after, by })
    }
}

/// Everything under the three keys, as listed.
pub(super) struct History<'r> {
    further: Option<Vec<Listed<'r, Option<Further>>>>,
    after: Option<Vec<Listed<'r, Option<After>>>>,
    learned: Given<'r, keys::Learned<'r>>,
}

/// The same, resolved.
pub(super) struct Told {
    pub(super) further: Vec<Further>,
    pub(super) after: Vec<After>,
    pub(super) beliefs: Option<Beliefs>,
    pub(super) misread: Option<Misread>,
}

impl<'r> History<'r> {
    /// Reads the weighings, and keeps what was learned until it is known of what.
    pub(super) fn listed(
        further: Given<'r, Vec<Value<'r>>>,
        after: Given<'r, Value<'r>>,
        learned: Given<'r, keys::Learned<'r>>,
        names: &Names,
    ) -> History<'r> {
        History { further: further_of(further, names), after: after_of(after, names), learned }
    }

    /// The settings of all weighings.
    pub(super) fn settings(&self) -> impl Iterator<Item = &ListedWeighing<'r>> {
        let further = self.further.iter().flatten().map(|one| &one.settings);
        further.chain(self.after.iter().flatten().map(|one| &one.settings))
    }

    /// Reads what was learned of a kart measured so, and weighed so at the main weighing.
    pub(super) fn told(
        self,
        measured: &Beliefs,
        names: &Names,
        chassis: &Chassis,
        main: &Weighing,
    ) -> Option<Told> {
        let learned = self.learned.then(|given| learned(given, measured, names, chassis)).optional()?;
        let (further, after) = (self.further?, self.after?);
        after_can_be_gone_on_from(&after, main, learned.as_ref(), names);
        Some(Told {
            further: further.into_iter().map(|one| one.read).collect::<Option<_>>()?,
            after: after.into_iter().map(|one| one.read).collect::<Option<_>>()?,
            misread: learned.as_ref().and_then(Learned::misread),
            beliefs: learned.map(|learned| learned.beliefs),
        })
    }
}

/// What `weighings` says.
fn further_of<'r>(
    given: Given<'r, Vec<Value<'r>>>,
    names: &Names,
) -> Option<Vec<Listed<'r, Option<Further>>>> {
    let Some(value) = given.value else { return Some(Vec::new()) };
    let items = given.read?;
    if !value.at_most(bounds::MOST_WEIGHINGS, "weighings", items.len()) {
        return None;
    }
    every(items.iter().map(|item| one_further(item, names)))
}

fn one_further<'r>(item: &Value<'r>, names: &Names) -> Option<Listed<'r, Option<Further>>> {
    let given = keys::Further::read(item)?;
    let pads = given.pads.at(|key, items| pads_under(key, &items)).or([0, 1, 2, 3]);
    let settings = weighed::weighing(given.weighing, names)?;
    let read = settings.weighing.clone().zip(pads).map(|(weighing, pads)| Further { weighing, pads });
    Some(Listed { settings, read })
}

/// `pads: [2, 1, 3, 4]`: which pad stood under LF RF LR RR, as indices from 0.
fn pads_under(value: &Value, items: &[Value]) -> Option<[usize; 4]> {
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

/// What `after` says: one weighing, or a list of them in the order in which they were taken.
fn after_of<'r>(given: Given<'r, Value<'r>>, names: &Names) -> Option<Vec<Listed<'r, Option<After>>>> {
    let Some(value) = given.value else { return Some(Vec::new()) };
    let items =
        if value.is_settings() { vec![value.clone()] } else { value.list("[{scales: ..., aboard: ...}]")? };
    if !value.at_most(bounds::MOST_WEIGHINGS, "weighings", items.len()) {
        return None;
    }
    let one = |item: &Value<'r>| {
        let settings = weighed::weighing(keys::Weighing::<true>::read(item)?, names)?;
        let planned = settings.aboard.peek("lead").and_then(|lead| lead.word()) == Some(keys::AS_PLANNED);
        let fitted = if planned { Fitted::AsPlanned } else { Fitted::Listed };
        let read = settings.weighing.clone().map(|weighing| After { weighing, fitted });
        Some(Listed { settings, read })
    };
    every(items.iter().map(one))
}

/// What `learned` says, for a kart that is believed to be as `measured` where it says nothing.
fn learned<'r>(
    given: keys::Learned<'r>,
    measured: &Beliefs,
    names: &Names,
    chassis: &Chassis,
) -> Option<Learned<'r>> {
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
    for (mount, place) in mounts? {
        beliefs.mounts[mount] = place;
    }
    for (driver, place) in drivers? {
        beliefs.drivers[driver] = Some(place);
    }
    let after = given.after.value.zip(given.after.read.map(|count| count as usize));
    Some(Learned { beliefs, after, misread: misread.optional()? })
}

/// Notes weighings of `after` from which nobody could go on.
///
/// `aboard` at the main weighing decides: a driver whose place is not known is known only as long as he sits in the kart.
fn after_can_be_gone_on_from(
    after: &[Listed<Option<After>>],
    main: &Weighing,
    learned: Option<&Learned>,
    names: &Names,
) {
    for (index, listed) in after.iter().enumerate() {
        let Some(read) = &listed.read else { continue };
        if let (Some(hole), Some(value)) =
            (read.weighing.aboard.seat_hole, listed.settings.aboard.peek("seat_hole"))
        {
            among_the_holes(hole, &value, names);
        }
        if read.weighing.aboard.driver.is_none() && main.aboard.driver.is_some() {
            let place = listed.settings.aboard.peek("driver");
            place.as_ref().unwrap_or(&listed.settings.aboard).note(Fault::AfterWithoutDriver);
        }
        // With the values of `learned` the earlier plans would be others.
        let known = learned.and_then(|learned| learned.after.as_ref()).map_or(0, |(_, count)| *count);
        if index < known
            && read.fitted == Fitted::AsPlanned
            && let Some(lead) = listed.settings.aboard.peek("lead")
        {
            lead.note(Fault::PlannedBeforeLearned);
        }
    }
    if let Some((value, count)) = learned.and_then(|learned| learned.after.as_ref())
        && *count > after.len()
    {
        value.note(Fault::LearnedFromMore { known: *count, listed: after.len() });
    }
}

/// Notes a seat that stands at a hole which it does not have: nobody could plan on from there.
fn among_the_holes(hole: Hole, value: &Value, names: &Names) {
    let (Some(seat), Some(adjusters)) = (names.seat, names.adjusters) else { return };
    let Some(adjuster) = adjusters.iter().find(|adjuster| adjuster.lever == Lever::Seat) else { return };
    let shift = seat.shift(seat.hole, hole);
    if adjuster.settings.iter().any(|setting| setting.shift == shift) {
        return;
    }
    let along =
        |setting: &Setting| (setting.shift.forward.mm() / seat.pitch.mm()).round() as i32 + seat.hole.along;
    let holes = || adjuster.settings.iter().map(along);
    if let (Some(from), Some(to)) = (holes().min(), holes().max()) {
        value.note(Fault::NowOutside { key: "seat_hole", now: hole.along, from, to });
    }
}
