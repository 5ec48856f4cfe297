//! The parts of a weighing that the pads told: one set of readings or several, zeros, a floor survey.
//! Takes the settings under `weighing`; gives sets with their corrections, or notes what is wrong.
//! Does not know what makes sets comparable (`repeats`).

use super::aboard::{Names, read_aboard};
use super::repeats::{Aids, Floor, Set, Taken, reduced};
use super::{Aboard, Shift, bounds};
use crate::diagnosis::Fault;
use crate::document::{Fields, Value, rounded_mass, written_mass};
use crate::units::{Length, Mass, UnitSystem};

/// Limit of a surveyed height: what a ruler and a water level or a line laser tell. Common practice, no published source.
const FLOOR_WITHIN: Length = Length::from_mm(0.3);
/// Two names for each corner, and the corner in words.
const CORNERS: [([&str; 2], &str); 4] = [
    (["lf", "left_front"], "left-front"),
    (["rf", "right_front"], "right-front"),
    (["lr", "left_rear"], "left-rear"),
    (["rr", "right_rear"], "right-rear"),
];
const SCALES: &str = "scales: {lf: 30.1 kg, rf: 30.4 kg, lr: 40.2 kg, rr: 41 kg}";

/// One set, written under `scales`.
pub(super) fn single(value: &Value, aboard: Option<&Aboard>, with_driver: bool) -> Option<Vec<Set>> {
    let fields = value.settings("scales", SCALES)?;
    let readings = readings(&fields);
    let sure = fields.value("sure").and_then(|sure| sure.boolean()).unwrap_or(false);
    fields.finish();
    let readings = readings?;
    if !sure && !value.reading().lifted() {
        suspect_units(value, readings.into_iter().sum(), with_driver);
    }
    Some(vec![Set { readings, aboard: aboard?.clone() }])
}

/// Several sets, written under `repeats`; each may say what was aboard then.
pub(super) fn repeats(
    value: &Value,
    aboard: Option<&Aboard>,
    names: &Names,
    with_driver: bool,
) -> Option<Vec<Set>> {
    const EXAMPLE: &str =
        "repeats: [{lf: 30.1, rf: 30.4, lr: 40.2, rr: 41}, {lf: 30.2, rf: 30.3, lr: 40.2, rr: 41}]";
    let items = value.list(EXAMPLE)?;
    match items.len() {
        found @ (0 | 1) => {
            value.note_key(Fault::OneRepeat { found });
            return None;
        }
        found if found > bounds::MOST_REPEATS => {
            value.note_key(Fault::TooMany { what: "repeats", most: bounds::MOST_REPEATS, found });
            return None;
        }
        _ => {}
    }
    let sets: Vec<Option<Set>> = items.iter().map(|item| set(item, aboard, names)).collect();
    let sets: Vec<Set> = sets.into_iter().collect::<Option<_>>()?;
    if !value.reading().lifted() {
        suspect_units(value, sets[0].readings.into_iter().sum(), with_driver);
    }
    for (set, item) in sets.iter().zip(&items) {
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

fn set(value: &Value, aboard: Option<&Aboard>, names: &Names) -> Option<Set> {
    let fields = value.settings("repeats", "{lf: 30.1 kg, rf: 30.4 kg, lr: 40.2 kg, rr: 41 kg}")?;
    let readings = readings(&fields);
    let own = fields.value("aboard");
    fields.finish();
    let aboard = match own {
        Some(own) => read_aboard(&own, names),
        None => aboard.cloned(),
    };
    Some(Set { readings: readings?, aboard: aboard? })
}

fn readings(fields: &Fields) -> Option<[Mass; 4]> {
    let readings = CORNERS.map(|(keys, corner)| {
        let given = fields.value_of(&keys);
        match &given {
            None => fields.note(Fault::ReadingMissing { corner }),
            Some(given) if given.is_null() => given.note_key(Fault::ReadingMissing { corner }),
            Some(_) => {}
        }
        given.filter(|given| !given.is_null()).and_then(|given| given.mass(bounds::READING))
    });
    let [lf, rf, lr, rr] = readings;
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

/// Reads `zero_before`, `zero_after` and `floor`; pads without `zero_before` were set to zero.
pub(super) fn corrections(fields: &Fields) -> Option<Corrections> {
    let zero = |key: &'static str| fields.optional(key, zeros);
    let (before, after) = (zero("zero_before"), zero("zero_after"));
    let floor = fields.optional("floor", floor);
    let zeros = match (before.ok()?, after.ok()?) {
        (None, None) => None,
        (before, after) => {
            let before = before.unwrap_or([Mass::ZERO; 4]);
            Some([before, after.unwrap_or(before)])
        }
    };
    Some(Corrections { zeros, floor: floor.ok()? })
}

fn zeros(value: &Value) -> Option<[Mass; 4]> {
    let fields = value.settings(value.key(), "zero_after: {lf: 0.1 kg, rf: 0 kg, lr: 0 kg, rr: -0.1 kg}")?;
    let zeros = of_each_pad(&fields, value.key()).map(|zero| zero?.mass(bounds::ZERO));
    fields.finish();
    let [lf, rf, lr, rr] = zeros;
    Some([lf?, rf?, lr?, rr?])
}

/// What is said of each pad; a pad that is not spoken of is noted.
fn of_each_pad<'r>(fields: &Fields<'r>, within: &str) -> [Option<Value<'r>>; 4] {
    CORNERS.map(|(keys, corner)| {
        let given = fields.value_of(&keys);
        if given.is_none() {
            fields.note(Fault::PadMissing { key: within.into(), corner });
        }
        given
    })
}

fn floor(value: &Value) -> Option<Floor> {
    let fields =
        value.settings("floor", "floor: {lf: 0 mm, rf: 1.5 mm, lr: -0.5 mm, rr: 0 mm, within: 0.2 mm}")?;
    let heights = of_each_pad(&fields, "floor").map(|height| height?.length(bounds::FLOOR));
    let within =
        fields.value("within").map_or(Some(FLOOR_WITHIN), |within| within.length(bounds::FLOOR_WITHIN));
    fields.finish();
    let [lf, rf, lr, rr] = heights;
    Some(Floor { heights: [lf?, rf?, lr?, rr?], within: within? })
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
