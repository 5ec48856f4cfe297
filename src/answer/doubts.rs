//! What is odd about a weighing, in words: one sentence with its numbers, and what to do about it.

use schemars::JsonSchema;
use serde::Serialize;

use crate::assess::twist::pressed;
use crate::diagnosis::Fault;
use crate::doubts::{self, Doubt, Exchange, Like};
use crate::marks::{Amount, fine, plain, written};
use crate::orders;
use crate::quantity::{kg, mm};
use crate::scenario::Scenario;

/// One finding.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Finding {
    /// Its stable name in documents.
    pub name: &'static str,
    /// What was found.
    pub finding: String,
    /// What to do about it.
    pub cure: &'static str,
}

/// All findings on the last weighing of a scenario.
pub fn findings(scenario: &Scenario) -> Vec<Finding> {
    doubts::of(scenario).iter().map(finding).collect()
}

/// Which readings were exchanged.
const fn exchanged(exchange: Exchange) -> &'static str {
    match exchange {
        Exchange::Fronts => "LF and RF",
        Exchange::Rears => "LR and RR",
        Exchange::Sides => "left and right",
        Exchange::Ends => "front and rear",
    }
}

/// What makes every answer doubtful, as warnings at the weighing.
pub fn contradictions(scenario: &Scenario) -> Vec<Fault> {
    let units = scenario.units();
    let told = |doubt: &Doubt| {
        let Finding { finding, cure, .. } = finding(doubt);
        Fault::WeighingContradicts { finding: written(&finding, units), cure }
    };
    doubts::contradictions(scenario).iter().map(told).collect()
}

/// The same for a page.
pub fn contradicting(scenario: &Scenario) -> Vec<Finding> {
    doubts::contradictions(scenario).iter().map(finding).collect()
}

/// Name of readings in another order.
pub const EXCHANGED: &str = "exchanged";
/// Name of more twist than there should be.
pub const MUCH_TWIST: &str = "much_twist";

/// `, as much as the fuel`.
fn as_much_as(like: Option<&Like>) -> String {
    match like {
        Some(Like::Fuel) => ", as much as the fuel that is listed".to_owned(),
        Some(Like::FullTank) => ", as if the tank had been full".to_owned(),
        Some(Like::Piece(name)) => format!(", as much as one `{name}`"),
        None => String::new(),
    }
}

/// The officials' total, which the pads contradict.
fn official(official_kg: f64, pads_kg: f64, unsure_kg: f64) -> Finding {
    let [official, pads, unsure] = [official_kg, pads_kg, unsure_kg].map(|mass_kg| plain(kg(mass_kg)));
    Finding {
        name: "official",
        finding: format!("the officials read {official}, the pads {pads}; \u{b1} {unsure} would explain it"),
        cure: "was the same aboard at both? the officials' total is taken, so write down only what they read with this aboard",
    }
}

fn finding(doubt: &Doubt) -> Finding {
    let plain = |mass_kg: f64| -> Amount { plain(kg(mass_kg)) };
    let size = |kg: f64| plain(kg.abs());
    let side = |kg: f64, more, less| if kg > 0.0 { more } else { less };
    let (name, finding, cure) = match doubt {
        Doubt::Spread { seen_kg, stated_kg } => (
            "spread",
            format!(
                "the pads spread by {} from set to set (one standard deviation), good ones by {}",
                plain(*seen_kg),
                plain(*stated_kg)
            ),
            "bounce each corner, roll the kart off and on, let the pads settle before you read; then add sets",
        ),
        Doubt::Settling { seen_kg } => (
            "settling",
            format!("the sets differ by {} along twist, far more than the pads do", plain(*seen_kg)),
            "the frame or the tyres settle differently: bounce harder, free the steering, check the tyre pressures",
        ),
        Doubt::SetExchanged { set, exchange, apart_kg, left_kg } => (
            "set_exchanged",
            format!(
                "set {set} is up to {} off the others at a pad; with {} exchanged {}",
                plain(*apart_kg),
                exchanged(*exchange),
                plain(*left_kg)
            ),
            "look at what was written down, then correct the set or delete it",
        ),
        Doubt::SetUnit { set, sum_kg, meant_kg } => (
            "set_unit",
            format!("set {set} adds to {}; as {} it would fit the others", plain(*sum_kg), plain(*meant_kg)),
            "the pads may have shown the other unit then: write the unit beside each number, such as `68.2 lb`",
        ),
        Doubt::SetTotal { set, more_kg, like } => (
            "set_total",
            format!(
                "set {set} is {} {} than the others{}",
                size(*more_kg),
                side(*more_kg, "heavier", "lighter"),
                as_much_as(like.as_ref())
            ),
            "say under its `aboard` what was on the kart then, or delete the set",
        ),
        Doubt::SetTwist { set, more_kg } => (
            "set_twist",
            format!(
                "set {set} weighs the same as the others, but {} press {} harder",
                pressed(*more_kg).0,
                size(*more_kg)
            ),
            "was the wheel turned, or a pad moved? point it straight ahead and read again",
        ),
        Doubt::Sum { sum_kg, parts_kg, unsure_kg, like } => (
            "sum",
            format!(
                "the corners add to {}, kart, driver, fuel and lead to {}: {} {}, where \u{b1} {} would be usual{}",
                plain(*sum_kg),
                plain(*parts_kg),
                size(sum_kg - parts_kg),
                side(sum_kg - parts_kg, "too much", "too little"),
                plain(*unsure_kg).as_plus_minus(),
                as_much_as(like.as_ref())
            ),
            "was all of it aboard, and nothing else? look at `aboard`, at the fuel and at the driver's gear",
        ),
        Doubt::Official { official_kg, pads_kg, unsure_kg } => {
            return official(*official_kg, *pads_kg, *unsure_kg);
        }
        Doubt::Exchanged { order } => (
            EXCHANGED,
            format!(
                "with {} the readings make a usual kart, as written they make none",
                orders::said(*order)
            ),
            "press on one corner and see which pad answers; correct the readings before you move lead or washers",
        ),
        Doubt::OtherUnit { corner, reading_kg, meant_kg } => (
            "other_unit",
            format!(
                "{} shows {}; as {} it would fit the other three",
                corner.word(),
                plain(*reading_kg),
                plain(*meant_kg)
            ),
            "one pad may show pounds and the others kilograms: set them alike and read again",
        ),
        Doubt::MuchTwist { twist_kg, height_mm } => (
            MUCH_TWIST,
            format!(
                "{} press {} harder than the centre of gravity explains, as much as a pad {} too high",
                pressed(*twist_kg).0,
                size(*twist_kg),
                fine(mm(*height_mm))
            ),
            "in this order: wheel straight ahead, pads level, tyre pressures, then the frame",
        ),
    };
    Finding { name, finding, cure }
}

/// The order of a good weighing; common practice, no published source.
pub const HOW_TO: [&str; 15] = [
    "Race trim: bodywork on, alignment done, fuel as you will write it down, lead bolted on.",
    "Tyres: left and right equal in pressure and in circumference. Brake and clutch free, so that the wheels can settle.",
    "Stand the pads where the wheels come, on a hard floor; level them with each other to half a millimetre, or \
     write their heights under `floor`.",
    "No spring (bathroom) scales: they give way under load, and the frame hands the load to the others.",
    "Switch the pads on, let them warm up, set all four to the same unit and to zero.",
    "Press on one pad after the other: its own display must answer, LF for LF. Left and right exchanged show in no number \
     where the kart is wanted level.",
    "Roll the kart on with nobody in it; wheels in the middle of the pads. Never lift it with the driver aboard.",
    "Driver in, in full gear, hands on the wheel, feet on the pedals, looking ahead.",
    "Wheel straight ahead: a turned wheel lifts one front corner.",
    "Bounce each corner once and let it settle. Nobody touches the kart, or leans over it to read.",
    "Read all four in the order LF RF LR RR and write them down at once.",
    "Driver out, roll off, look at the zeros (`zero_after`), roll on, driver in: three sets at least (`repeats`).",
    "To know the pairs and cross far better, turn the kart a quarter and stand it on the same four pads: driver out first, two people, \
     one at each end; wheels in the middle of the pads, brake off, wheel straight; driver in. Write four more readings as the displays \
     stand, pad by pad, with `turned: left` or `right`: what the floor twists, it now twists the other way.",
    "Write down what was aboard: driver, fuel, lead, seat hole.",
    "Before the race, weigh on the officials' scale: that one counts.",
];

/// The steps of a good weighing.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct HowTo {
    /// In order.
    pub steps: [&'static str; HOW_TO.len()],
}
