//! What is odd about a weighing: repeats that spread, sets that were misread, sums that do not fit, twist that is too much.
//! A finding that cries wolf is not read, so each asks for several times what good pads do.

use crate::orders::{self, Order, Usual};
use crate::scenario::{Aim, Figure, Moment, Scenario, Weighing};
use crate::statics::{Chassis, Corner, Corners};
use crate::uncertainty::{COVERAGE_FACTOR, combined, inputs, kart, normal, standard};
use crate::units::{KG_PER_LB, Mass};
use crate::weighing::{self, Load};

/// Spreads that good pads show less often than this are worth a word.
const UNLIKELY: f64 = 0.01;
/// Differences between two readings of one pad beyond so many of their standard deviations are no scatter.
const FAR: f64 = 5.0;
/// Differences within so many are scatter.
const NEAR: f64 = 3.0;
/// Twist beyond this is worth a word where nobody asked for cross, kg at LF: five millimetres of spacer on the usual kart.
const MUCH_TWIST_KG: f64 = 2.5;
/// A cross % this far from 50 is asked for on purpose.
const CROSS_ON_PURPOSE: f64 = 1.5;
/// Percent of the total on the front of a usual kart; common practice, no published source.
const USUAL_FRONT: f64 = 43.0;
/// Another unit explains twist only if it leaves less than this part of it.
const EXPLAINED: f64 = 0.2;

/// Two pads whose readings may have been written down for each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exchange {
    /// LF and RF.
    Fronts,
    /// LR and RR.
    Rears,
    /// Left and right.
    Sides,
    /// Front and rear.
    Ends,
}

impl Exchange {
    /// All exchanges, those of two pads first.
    pub const ALL: [Exchange; 4] = [Exchange::Fronts, Exchange::Rears, Exchange::Sides, Exchange::Ends];

    /// Corners with the readings exchanged.
    fn of(self, corners: &Corners) -> Corners {
        let [lf, rf, lr, rr] = corners.kg();
        Corners::from_kg(match self {
            Exchange::Fronts => [rf, lf, lr, rr],
            Exchange::Rears => [lf, rf, rr, lr],
            Exchange::Sides => [rf, lf, rr, lr],
            Exchange::Ends => [lr, rr, lf, rf],
        })
    }
}

/// What a difference in mass is as large as.
#[derive(Clone, Debug, PartialEq)]
pub enum Like {
    /// The fuel that is said to have been aboard.
    Fuel,
    /// The fuel of a full tank.
    FullTank,
    /// One piece of that kind.
    Piece(String),
}

/// One finding. Masses in kg; sets count from 1.
#[derive(Clone, Debug, PartialEq)]
pub enum Doubt {
    /// The pads repeat worse than they are said to: standard deviations of a pad over the sets.
    Spread { seen_kg: f64, stated_kg: f64 },
    /// The sets differ along twist far more than the pads do by themselves: standard deviation at LF.
    Settling { seen_kg: f64 },
    /// One set fits the others only with readings exchanged: off the others at the worst pad, as written and as exchanged.
    SetExchanged { set: usize, exchange: Exchange, apart_kg: f64, left_kg: f64 },
    /// One set fits the others only in the other unit: its sum as read, and as it may have been meant.
    SetUnit { set: usize, sum_kg: f64, meant_kg: f64 },
    /// One set has another total than the others: by so much more, and what that is as much as.
    SetTotal { set: usize, more_kg: f64, like: Option<Like> },
    /// One set has the same total as the others and another twist: so much more at LF.
    SetTwist { set: usize, more_kg: f64 },
    /// The corners do not add to kart, driver, fuel and lead, with what may lie between them.
    Sum { sum_kg: f64, parts_kg: f64, unsure_kg: f64, like: Option<Like> },
    /// The officials read another total than the pads, by more than both may be off together.
    Official { official_kg: f64, pads_kg: f64, unsure_kg: f64 },
    /// The readings make a usual kart in another order: which of them, as written, belongs to LF RF LR RR.
    Exchanged { order: Order },
    /// Twist that one reading in other units would explain: as read, and as it may have been meant.
    OtherUnit { corner: Corner, reading_kg: f64, meant_kg: f64 },
    /// Much twist at LF, and nothing in the numbers that explains it; a spacer or a pad so high does as much.
    MuchTwist { twist_kg: f64, height_mm: f64 },
}

/// Everything odd about the last weighing, in the order in which it should be looked at.
pub fn of(scenario: &Scenario) -> Vec<Doubt> {
    let sets = alike(scenario, scenario.weighing());
    let mut doubts = between_sets(scenario, &sets);
    if doubts.is_empty() {
        doubts.extend(spread(scenario));
    }
    doubts.extend(sum(scenario));
    doubts.extend(official(scenario));
    doubts.extend(twist(scenario));
    doubts
}

/// Sets as they would have been with what was aboard in the first.
fn alike(scenario: &Scenario, weighing: &Weighing) -> Vec<Corners> {
    let aboard = |index: usize| {
        let aboard = &weighing.taken.sets[index].aboard;
        let fuel = scenario.tanks().iter().zip(&aboard.fuel);
        fuel.fold(weighing::lead(scenario, &aboard.lead).corners, |sum, (tank, fuel)| {
            sum + Load::of(scenario, *fuel, tank.place).corners
        })
    };
    let chassis = &scenario.kart().chassis;
    let sets = weighing.taken.sets.iter().enumerate();
    let mut alike: Vec<Corners> = sets
        .map(|(index, set)| Corners::from_kg(set.readings.map(Mass::kg)) - aboard(index) + aboard(0))
        .collect();
    // Where the kart was turned, the floor twists it otherwise.
    let first = chassis.split(&alike[0]).twist_kg;
    for (set, taken) in alike.iter_mut().zip(&weighing.taken.sets) {
        if taken.pads != weighing.taken.sets[0].pads {
            let more = chassis.split(set).twist_kg - first;
            *set = *set - chassis.twist_direction() * more;
        }
    }
    alike
}

/// What one pad of one set scatters by, kg.
fn scatter(scenario: &Scenario) -> f64 {
    let pads = scenario.pads();
    combined([pads.repeatability.kg(), standard::of_step(pads.step.kg())])
}

fn largest_apart(one: &Corners, other: &Corners) -> f64 {
    (*one - *other).kg().map(f64::abs).into_iter().max_by(f64::total_cmp).unwrap_or(0.0)
}

/// Sets that do not fit the others.
fn between_sets(scenario: &Scenario, sets: &[Corners]) -> Vec<Doubt> {
    let scatter = scatter(scenario);
    let chassis = &scenario.kart().chassis;
    let mut doubts = Vec::new();
    // Of two sets nobody can say which is odd: the second is held against the first. Of more, each against the middle of all,
    // which a single odd one does not move.
    let taken = &scenario.weighing().taken.sets;
    let on_these = |index: &usize| taken[*index].pads == taken[0].pads;
    let straight: Vec<Corners> = (0..sets.len()).filter(on_these).map(|index| sets[index]).collect();
    let middle = match straight.as_slice() {
        [] | [_] => return doubts,
        [first, _] => *first,
        several => median(several),
    };
    // On other pads the floor twists a kart otherwise.
    for (index, set) in sets.iter().enumerate().filter(|(index, _)| on_these(index)) {
        if largest_apart(set, &middle) <= FAR * scatter {
            continue;
        }
        let number = index + 1;
        let apart_kg = largest_apart(set, &middle);
        let exchanged = Exchange::ALL.into_iter().find_map(|exchange| {
            let left_kg = largest_apart(&exchange.of(set), &middle);
            (left_kg <= NEAR * scatter).then_some((exchange, left_kg))
        });
        if let Some((exchange, left_kg)) = exchanged {
            doubts.push(Doubt::SetExchanged { set: number, exchange, apart_kg, left_kg });
            continue;
        }
        if let Some(doubt) = set_in_other_unit(scenario, index, set, &middle) {
            doubts.push(doubt);
            continue;
        }
        let apart = *set - middle;
        // Four pads together scatter twice as much as one.
        if apart.total().abs() > FAR * 2.0 * scatter {
            let like = likeness(
                scenario,
                &scenario.weighing().taken.sets[index].aboard.fuel,
                apart.total(),
                2.0 * NEAR * scatter,
            );
            doubts.push(Doubt::SetTotal { set: number, more_kg: apart.total(), like });
        } else {
            let twist = chassis.split(set).twist_kg - chassis.split(&middle).twist_kg;
            let rest = apart - chassis.twist_direction() * twist;
            if twist.abs() > FAR * scatter && largest_apart(&rest, &Corners::ZERO) <= FAR * scatter {
                doubts.push(Doubt::SetTwist { set: number, more_kg: twist });
            }
        }
    }
    // If most sets are odd, it is not known which are right.
    if 2 * doubts.len() > straight.len() { Vec::new() } else { doubts }
}

/// A set that was read in pounds among sets in kilograms, or the other way round.
fn set_in_other_unit(scenario: &Scenario, index: usize, set: &Corners, middle: &Corners) -> Option<Doubt> {
    let read = Corners::from_kg(scenario.weighing().taken.sets[index].readings.map(Mass::kg));
    let meant = [KG_PER_LB, 1.0 / KG_PER_LB].map(|factor| read * factor);
    // What was aboard is the same in any unit.
    let fits = |meant: &&Corners| largest_apart(&(*set - read + **meant), middle) <= FAR * scatter(scenario);
    let meant = meant.iter().find(fits)?;
    Some(Doubt::SetUnit { set: index + 1, sum_kg: read.total(), meant_kg: meant.total() })
}

/// Pad by pad the median, of an even number the lower one: a single odd set does not move it far.
fn median(sets: &[Corners]) -> Corners {
    let of_pad = |pad: usize| {
        let mut readings: Vec<f64> = sets.iter().map(|set| set.kg()[pad]).collect();
        readings.sort_by(f64::total_cmp);
        readings[(readings.len() - 1) / 2]
    };
    Corners::from_kg(std::array::from_fn(of_pad))
}

fn spread(scenario: &Scenario) -> Vec<Doubt> {
    let Some(spread) = &scenario.weighing().taken.spread else { return Vec::new() };
    let stated = scatter(scenario);
    let repeats = spread.freedom;
    let mut doubts = Vec::new();
    if normal::chance_of_spread(spread.pad_kg, stated, 3 * repeats) < UNLIKELY {
        doubts.push(Doubt::Spread { seen_kg: spread.pad_kg, stated_kg: stated });
    }
    // Neither what the pads do by themselves, as stated or as seen, whichever is more, nor what any kart does is odd.
    let pads = if spread.pad_kg > stated { spread.pad_kg } else { stated };
    let direction = scenario.kart().chassis.twist_direction();
    let length = combined(direction.kg());
    let usual = combined([pads, length * scenario.pads().settling_kg()]);
    if normal::chance_of_spread(spread.along_twist_kg, usual, repeats) < UNLIKELY {
        doubts.push(Doubt::Settling { seen_kg: spread.along_twist_kg / length });
    }
    doubts
}

/// The sum of the corners against kart, driver, fuel and lead, where the kart's own mass is known.
fn sum(scenario: &Scenario) -> Option<Doubt> {
    let kart_kg = scenario.kart().mass?.kg();
    let weighing = scenario.weighing();
    let aboard = &weighing.aboard;
    let within = scenario.within();
    let driver_kg = aboard.driver.map_or(0.0, |index| scenario.drivers()[index].mass.kg());
    let fuel_kg: f64 = aboard.fuel.iter().map(|fuel| fuel.kg()).sum();
    let lead = weighing::lead(scenario, &aboard.lead).total.kg();
    let sum_kg = weighing::readings(weighing).total.kg();
    let parts_kg = kart_kg + driver_kg + fuel_kg + lead;
    let pads = kart::weighed(scenario).estimate(|kart| kart.corners.total()).standard;
    let person = standard::of_limit(within.driver.kg());
    let fuel = standard::of_limit(within.fuel.kg());
    let unsure_kg = COVERAGE_FACTOR * combined([pads, person, person, fuel]);
    let more = sum_kg - parts_kg;
    (more.abs() > unsure_kg).then(|| Doubt::Sum {
        sum_kg,
        parts_kg,
        unsure_kg,
        like: likeness(scenario, &aboard.fuel, more, unsure_kg),
    })
}

/// The pads' total against the officials'.
fn official(scenario: &Scenario) -> Option<Doubt> {
    let read = scenario.as_read();
    let official_kg = read.weighing().official?.kg();
    let pads = kart::weighed(&read).estimate(|kart| kart.corners.total());
    let scale = read.inspection();
    let limit_kg = scale.accuracy.limit_kg(scale.step, Mass::from_kg(official_kg));
    let theirs = [standard::of_limit(limit_kg), standard::of_step(scale.step.kg())];
    let unsure_kg = COVERAGE_FACTOR * combined([pads.standard, theirs[0], theirs[1]]);
    let apart_kg = (official_kg - pads.value).abs();
    // What they read later is told as they read it, beside what was expected then.
    let since_kg = read.weighing().official_later.map_or(0.0, |later| later.kg() - official_kg);
    (apart_kg > unsure_kg).then_some(Doubt::Official {
        official_kg: official_kg + since_kg,
        pads_kg: pads.value + since_kg,
        unsure_kg,
    })
}

/// What so many kilograms more are as much as, within a tolerance.
fn likeness(scenario: &Scenario, fuel: &[Mass], more_kg: f64, within_kg: f64) -> Option<Like> {
    let aboard: f64 = fuel.iter().map(|fuel| fuel.kg()).sum();
    let full: f64 = scenario.tanks().iter().map(|tank| tank.fuel(Moment::Start).kg()).sum();
    let near = |kg: f64| kg.abs() > within_kg && (more_kg - kg).abs() <= within_kg;
    let piece = scenario.lead().iter().filter(|kind| near(kind.mass.kg()) || near(-kind.mass.kg())).min_by(
        |one, other| {
            let apart = |mass: Mass| (more_kg.abs() - mass.kg()).abs();
            apart(one.mass).total_cmp(&apart(other.mass))
        },
    );
    match () {
        () if near(-aboard) => Some(Like::Fuel),
        () if near(full - aboard) => Some(Like::FullTank),
        () => piece.map(|kind| Like::Piece(kind.name.clone())),
    }
}

/// Readings in another order, or twist that nobody asked for.
fn twist(scenario: &Scenario) -> Option<Doubt> {
    let on_purpose = scenario.targets().iter().any(|target| match target.aim {
        Aim::Percent { aim, .. } => target.figure == Figure::Cross && (aim - 50.0).abs() > CROSS_ON_PURPOSE,
        Aim::Difference { aim, .. } => aim.kg().abs() > MUCH_TWIST_KG,
        Aim::Height { .. } => false,
    });
    let chassis = &scenario.kart().chassis;
    let corners = weighing::readings(scenario.weighing()).corners;
    let wanted = |figure| scenario.wanted_share(figure).map(|(aim, _)| aim);
    let front = wanted(Figure::Front).or_else(|| Some(100.0 - wanted(Figure::Rear)?));
    let usual = Usual::new(front, wanted(Figure::Left), on_purpose);
    if let Some(order) = orders::likelier(&corners, chassis, &usual) {
        return Some(Doubt::Exchanged { order });
    }
    let twist_kg = chassis.split(&corners).twist_kg;
    if on_purpose || twist_kg.abs() <= MUCH_TWIST_KG {
        return None;
    }
    let much = Doubt::MuchTwist { twist_kg, height_mm: twist_kg.abs() / chassis.twist_rate_kg_per_mm };
    Some(other_unit(&corners, chassis, twist_kg).unwrap_or(much))
}

/// One reading that was written down in pounds among kilograms, or the other way round: no frame bends that far.
fn other_unit(corners: &Corners, chassis: &Chassis, twist_kg: f64) -> Option<Doubt> {
    /// Twist of a frame beyond which something else is wrong, kg.
    const NO_FRAME_KG: f64 = 8.0;
    if twist_kg.abs() <= NO_FRAME_KG {
        return None;
    }
    let candidates = Corner::ALL.into_iter().flat_map(|corner| {
        [KG_PER_LB, 1.0 / KG_PER_LB].map(|factor| {
            let mut meant = corners.kg();
            meant[corner as usize] *= factor;
            (corner, Corners::from_kg(meant))
        })
    });
    let fits = |meant: &Corners| {
        let pairs = |of: &Corners| of.front_pair().abs() + of.rear_pair().abs();
        chassis.split(meant).twist_kg.abs() <= EXPLAINED * twist_kg.abs() && pairs(meant) < pairs(corners)
    };
    // The other three in the wrong unit would fit as well; a kart's front share tells which it is.
    let unusual = |meant: &Corners| (Figure::Front.of(meant) - USUAL_FRONT).abs();
    candidates
        .filter(|(_, meant)| fits(meant))
        .min_by(|(_, one), (_, other)| unusual(one).total_cmp(&unusual(other)))
        .map(|(corner, meant)| Doubt::OtherUnit {
            corner,
            reading_kg: corners[corner],
            meant_kg: meant[corner],
        })
}

/// What makes every answer that rests on the weighing doubtful: parts that do not add up, readings in another order. Of sides or
/// ends exchanged as a whole the file is warned when it is read, if nobody said that the readings are right.
pub fn contradictions(scenario: &Scenario) -> Vec<Doubt> {
    let contradicts = |doubt: &Doubt| match doubt {
        Doubt::Exchanged { order } => !orders::is_whole(*order),
        doubt => matches!(doubt, Doubt::Sum { .. } | Doubt::Official { .. } | Doubt::OtherUnit { .. }),
    };
    of(scenario).into_iter().filter(contradicts).collect()
}

/// Whether the weighing that a driver's plan rests on is the main one, which is the one that is looked at.
pub fn concern(scenario: &Scenario, driver: Option<usize>) -> bool {
    std::ptr::eq(inputs::weighing_of(scenario, driver), scenario.weighing())
}
