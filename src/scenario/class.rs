//! The parts of a file that say what is wanted: class, targets, goals.

use super::keys::{self, Limit};
use super::{Aim, Class, Figure, Margin, Moment, Rules, Target, When};
use crate::decimals::trimmed;
use crate::diagnosis::Fault;
use crate::document::block::Block;
use crate::document::{Given, Value};
use crate::goal::{Goal, Preferences};
use crate::statics::Chassis;
use crate::units::{Length, Mass};

/// Chance to pass that the margin is computed for unless the file says otherwise.
const DEFAULT_CONFIDENCE_PERCENT: f64 = 99.0;

/// Tolerance of a share where the file gives none, in points; assumed.
const SHARE_WITHIN: f64 = 0.5;
/// The same of the two pairs; common practice, no published source.
const FRONTS_WITHIN_LB: f64 = 1.0;
const REARS_WITHIN_LB: f64 = 3.0;
/// The same of a height; assumed.
const HEIGHT_WITHIN: Length = Length::from_mm(10.0);

/// What `class` says.
pub(super) fn class(given: keys::Class) -> Option<Class> {
    let (name, minimum) = (given.name.or("my class".to_owned())?, given.minimum.read?);
    let usual = (Moment::Finish, confidence(DEFAULT_CONFIDENCE_PERCENT), &Rules::default());
    on_terms(name, minimum, given.terms, usual)
}

/// Reads a class of a trip: it is called by its key, and what it does not say is as in `usual`.
pub(super) fn class_like(value: &Value, usual: Option<&Class>) -> Option<Class> {
    let name = value.key_as_name("classes");
    let (given, usual) = (keys::TripClass::read(value)?, usual?);
    let usual = (usual.weighed_at, usual.margin, &usual.rules);
    on_terms(name?, given.minimum.read?, given.terms, usual)
}

/// A class with what it says of itself, else the usual.
fn on_terms(
    name: String,
    minimum: Mass,
    given: keys::Terms,
    (weighed_at, margin, rules): (Moment, Margin, &Rules),
) -> Option<Class> {
    let own = given.margin.then(|margin| match margin {
        Limit::Mass(mass) => Some(Margin::Fixed(mass)),
        Limit::Percent(percent) => Some(confidence(percent)),
    });
    Some(Class {
        name,
        minimum,
        weighed_at: given.weighed_at.or(weighed_at)?,
        margin: own.or(margin)?,
        rules: given.rules.then(rules_of).or(rules.clone())?,
    })
}

fn confidence(percent: f64) -> Margin {
    Margin::Confidence { percent, less: Mass::ZERO }
}

fn rules_of(given: keys::Rules) -> Option<Rules> {
    Some(Rules {
        largest_piece: given.largest_piece.optional()?,
        fewest_bolts_per_piece: given.fewest_bolts_per_piece.optional()?,
        most_mass_per_bolt: given.most_mass_per_bolt.optional()?,
        most_lead: given.most_lead.optional()?,
    })
}

/// What `targets` of a kart says, in the order of the file, which is the order of the report.
pub(super) fn targets(given: keys::Targets, chassis: Option<&Chassis>) -> Vec<Target> {
    front_or_rear(&given);
    let shares = [
        (Figure::Front, given.front),
        (Figure::Rear, given.rear),
        (Figure::Left, given.left),
        (Figure::Cross, given.cross),
    ];
    let shares = shares.map(|(figure, given)| {
        let share = given.read?;
        let aim = Aim::Percent { aim: share.aim.read?, within: share.within.or(SHARE_WITHIN)? };
        Some((given.value?, target(figure, aim, share.counts)?))
    });
    let pairs = [
        (Figure::FrontPair, given.front_pair, FRONTS_WITHIN_LB),
        (Figure::RearPair, given.rear_pair, REARS_WITHIN_LB),
    ];
    let pairs = pairs.map(|(figure, given, within_lb)| {
        let pair = given.read?;
        let aim = Aim::Difference { aim: pair.aim.read?, within: pair.within.or(Mass::from_lb(within_lb))? };
        Some((given.value?, target(figure, aim, pair.counts)?))
    });
    let height = || {
        let (height, wheelbase) = (given.height.read?, chassis?.wheelbase);
        let aim = Aim::Height { aim: height.aim.read?, within: height.within.or(HEIGHT_WITHIN)?, wheelbase };
        Some((given.height.value?, target(Figure::Height, aim, height.counts)?))
    };
    let mut read: Vec<(Value, Target)> =
        shares.into_iter().chain(pairs).chain([height()]).flatten().collect();
    read.sort_by(|(one, _), (other, _)| one.order().cmp(other.order()));
    read.into_iter().map(|(_, target)| target).collect()
}

fn target(figure: Figure, aim: Aim, counts: keys::Counts) -> Option<Target> {
    Some(Target { figure, aim, when: counts.at.or(When::Both)?, weight: counts.weight.or(1.0)? })
}

fn front_or_rear(given: &keys::Targets) {
    if given.front.value.is_none() {
        return;
    }
    let percent = |share: &Given<keys::Share>| share.read.as_ref().and_then(|share| share.aim.read);
    given.rear.note_key(match percent(&given.front).zip(percent(&given.rear)) {
        Some((front, rear)) => Fault::FrontAndRear {
            front: trimmed(front, 2),
            rear: trimmed(rear, 2),
            sum: trimmed(front + rear, 2),
        },
        None => Fault::BothGiven { first: "front", second: "rear" },
    });
}

/// What `goals` says.
pub(super) fn preferences(given: keys::Goals) -> Option<Preferences> {
    let usual = Preferences::default();
    let order = given.order.at(|key, items| order(key, &items)).read;
    let mut preferences =
        Preferences { order: order.unwrap_or(usual.order), spare: given.spare.or(usual.spare)?, ..usual };
    if let Some(given) = given.resolution.read {
        preferences.legal = given.legal.or(preferences.legal)?;
        preferences.targets = given.targets.or(preferences.targets)?;
        preferences.light = given.light.or(preferences.light)?;
        preferences.work = given.work.or(preferences.work)?;
        preferences.close = given.close.or(preferences.close)?;
    }
    Some(preferences)
}

fn order(value: &Value, items: &[Value]) -> Option<[Goal; 4]> {
    let words: Vec<String> = items.iter().map(|item| item.word().unwrap_or("?").to_owned()).collect();
    let goals: Vec<Goal> = words.iter().filter_map(|word| Goal::from_word(word)).collect();
    let each_once = Goal::ALL.iter().skip(1).all(|goal| goals.contains(goal));
    match <[Goal; 4]>::try_from(goals) {
        Ok(order) if each_once && words.len() == order.len() => Some(order),
        _ => {
            value.note(Fault::GoalsNotFour { found: words });
            None
        }
    }
}
