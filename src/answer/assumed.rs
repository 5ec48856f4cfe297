//! What the ± of an answer rest on without anybody having said it: pads, tapes, and drivers known only by what they weigh.

use schemars::JsonSchema;
use serde::Serialize;

use crate::decimals::{counted, trimmed};
use crate::doubts;
use crate::marks::{fine, given, plain};
use crate::quantity::{Exact, Mm};
use crate::scale::Accuracy;
use crate::scenario::{Inspection, Pads, Scenario, Within};
use crate::uncertainty::inputs;

/// A driver whose place was taken from another, or from how drivers usually sit.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Borrowed {
    /// Who.
    pub driver: String,
    /// Whose place it is; none if nobody's is known.
    pub taken_from: Option<String>,
    /// Ahead of the rear axle.
    pub x: Exact<Mm>,
    /// To the left.
    pub y: Exact<Mm>,
    /// Limit of error, each way.
    pub x_within: Exact<Mm>,
    /// The same to the sides.
    pub y_within: Exact<Mm>,
    /// The same in words.
    pub sentence: String,
}

/// Those of some drivers and of whoever lends them a place, if nobody told it, in the order of the file.
pub fn borrowed(scenario: &Scenario, concerned: impl Fn(usize) -> bool) -> Vec<Borrowed> {
    let drivers = scenario.drivers();
    let aboard = scenario.weighing().aboard.driver;
    let weighed = |index: usize| aboard == Some(index) || drivers[index].weighing.is_some();
    // Of whoever was weighed, the place counts only for those who borrow it.
    let rests_on = |index: usize| {
        let of = |other: usize| other == index || drivers[other].place_of == Some(index);
        (0..drivers.len()).any(|other| concerned(other) && !weighed(other) && of(other))
    };
    let borrowed = drivers.iter().enumerate().filter(|(index, _)| rests_on(*index));
    let borrowed = borrowed.filter_map(|(index, driver)| {
        let (acts, [forward, side]) = (driver.acts?, driver.place_within(index)?);
        let from = driver.place_of.filter(|lender| *lender != index).map(|lender| &drivers[lender].name);
        let name = &driver.name;
        let place = match from {
            Some(from) => format!("where that of {from} does"),
            None => format!("{} ahead of the rear axle, as is usual (assumed)", fine(acts.x)),
        };
        let weighing = format!("weighing the kart with {name} in the seat");
        let settled = if weighed(index) { "an `x` and `y`" } else { weighing.as_str() };
        let sentence = format!(
            "nobody has said where the weight of {name} acts: it is taken to act {place}, give or take {} forward or \
             back and {} to a side; {settled} would settle it",
            fine(forward),
            fine(side)
        );
        Some(Borrowed {
            driver: name.clone(),
            taken_from: from.cloned(),
            x: acts.x.into(),
            y: acts.y.into(),
            x_within: forward.into(),
            y_within: side.into(),
            sentence,
        })
    });
    borrowed.collect()
}

/// What every ± of a plan rests on without anybody having said it, one sentence each.
pub fn of_plan(scenario: &Scenario, driver: Option<usize>) -> Vec<String> {
    let taken = &inputs::weighing_of(scenario, driver).taken;
    let doubts = if doubts::concern(scenario, driver) { doubts::of(scenario).len() } else { 0 };
    let doubted = (doubts > 0)
        .then(|| format!("the weighing looks odd in {}: `kentledge weigh` tells", counted(doubts, "way")));
    doubted
        .into_iter()
        .chain(of_pads(scenario.pads(), taken.floor.is_some(), taken.spread.is_some()))
        .chain(elsewhere(scenario.within(), scenario.inspection()))
        .collect()
}

/// What was assumed of the pads, as nobody said it; none if everything was said.
///
/// `surveyed` and `repeated` are weighings that say it better than any assumption.
pub fn of_pads(pads: &Pads, surveyed: bool, repeated: bool) -> Option<String> {
    let said = pads.assumed.iter().filter_map(|key| {
        Some(match *key {
            "step" => format!("steps of {}", plain(pads.step)),
            "accuracy" => "each pad within 0.1 %".to_owned(),
            "shared" => "0.1 % shared by all".to_owned(),
            "repeatability" if !repeated => format!("repeats to {}", plain(pads.repeatability)),
            "drift" => format!("zero within {}", plain(pads.drift)),
            "level" if !surveyed => format!("level within {}", fine(pads.level)),
            _ => return None,
        })
    });
    let said: Vec<String> = said.collect();
    (!said.is_empty()).then(|| format!("assumed of the pads, as the file does not say: {}", said.join(", ")))
}

/// What else was assumed, under the name of its setting; none if everything was said.
fn elsewhere(within: &Within, inspection: &Inspection) -> impl Iterator<Item = String> {
    let named = |section: &str, values: Vec<String>| {
        (!values.is_empty()).then(|| format!("assumed under `{section}`: {}", values.join(", ")))
    };
    let measured = within.assumed.iter().map(|key| match *key {
        "lengths" => format!("{key} {}", fine(within.lengths)),
        "places" => format!("{key} {}", fine(within.places)),
        "driver_place" => format!("{key} {}", fine(within.driver_place)),
        "driver" => format!("{key} {}", plain(within.driver)),
        "fuel" => format!("{key} {}", plain(within.fuel)),
        "weighed_lead" => format!("{key} {}", given(within.weighed_lead)),
        "nominal_lead" => format!("{key} {} %", trimmed(within.nominal_lead_percent, 2)),
        "roll_share" => format!("{key} {}", trimmed(within.roll_share, 3)),
        _ => format!("{key} {} %", trimmed(within.twist_rate_percent, 2)),
    });
    let inspected = inspection.assumed.iter().map(|key| match *key {
        "step" => format!("{key} {}", plain(inspection.step)),
        "class" => match inspection.accuracy {
            Accuracy::Class(class) => format!("{key} {}", class.words()),
            _ => String::new(),
        },
        "minutes" => format!("{key} {}", trimmed(inspection.minutes, 1)),
        _ => format!("clothing {}", plain(inspection.clothing)),
    });
    [named("measured_within", measured.collect()), named("inspection", inspected.collect())]
        .into_iter()
        .flatten()
}
