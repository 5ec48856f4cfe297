//! The parts of a file that say what is wanted: class, targets, goals.
//! Takes the settings under those keys; gives them checked, or notes what is wrong.
//! Does not know the kart nor its lead.

use super::bounds;
use super::pads::in_percent;
use super::{Aim, Class, Figure, Margin, Moment, Rules, Target, When};
use crate::decimals::trimmed;
use crate::diagnosis::Fault;
use crate::document::{Fields, Value};
use crate::goal::{Goal, Preferences};
use crate::statics::Chassis;
use crate::units::Mass;

/// Chance to pass that the margin is computed for unless the file says otherwise.
const DEFAULT_CONFIDENCE_PERCENT: f64 = 99.0;

/// Reads `class`.
pub(super) fn class(value: &Value) -> Option<Class> {
    let fields = value.settings("class", "class: {name: senior, minimum: 160 kg}")?;
    let name = fields.required("name", "name: club senior").and_then(|name| name.name());
    let minimum = fields.required("minimum", "minimum: 160 kg").and_then(|v| v.mass(bounds::MINIMUM));
    let terms = read_terms(&fields);
    fields.finish();
    let (weighed_at, margin, rules) = terms?;
    Some(Class {
        name: name?,
        minimum: minimum?,
        weighed_at: weighed_at.unwrap_or(Moment::Finish),
        margin: margin.unwrap_or_else(|| confidence(DEFAULT_CONFIDENCE_PERCENT)),
        rules: rules.unwrap_or_default(),
    })
}

/// Reads a class of a trip: it is called by its key, and what it does not say is as in `usual`.
pub(super) fn class_like(value: &Value, usual: Option<&Class>) -> Option<Class> {
    let name = value.key_as_name("classes");
    let fields = value.settings(value.key(), "senior: {minimum: 160 kg}")?;
    let minimum = fields.required("minimum", "minimum: 160 kg").and_then(|v| v.mass(bounds::MINIMUM));
    let own = read_terms(&fields);
    fields.finish();
    let (weighed_at, margin, rules) = own?;
    let usual = usual?;
    Some(Class {
        name: name?,
        minimum: minimum?,
        weighed_at: weighed_at.unwrap_or(usual.weighed_at),
        margin: margin.unwrap_or(usual.margin),
        rules: rules.unwrap_or_else(|| usual.rules.clone()),
    })
}

/// When and with which margin the officials weigh, and the rules: what of it the file says.
type Terms = (Option<Moment>, Option<Margin>, Option<Rules>);

/// None if something is wrong.
fn read_terms(fields: &Fields) -> Option<Terms> {
    let moments = [("start", Moment::Start), ("finish", Moment::Finish)];
    let weighed_at = fields.optional("weighed_at", |at| at.choice(&moments));
    let margin = fields.optional("margin", |margin| {
        if in_percent(margin) {
            margin.percent_always(bounds::CONFIDENCE).map(confidence)
        } else {
            margin.mass(bounds::MARGIN).map(Margin::Fixed)
        }
    });
    let rules = fields.value("rules").filter(|rules| !rules.is_null());
    let rules = rules.map_or(Some(None), |rules| read_rules(&rules).map(Some));
    Some((weighed_at.ok()?, margin.ok()?, rules?))
}

fn confidence(percent: f64) -> Margin {
    Margin::Confidence { percent, less: Mass::ZERO }
}

fn read_rules(value: &Value) -> Option<Rules> {
    let fields = value.settings("rules", "rules: {largest_piece: 5 kg}")?;
    let mass = |key, bounds| fields.value(key).and_then(|value| value.mass(bounds));
    let rules = Rules {
        largest_piece: mass("largest_piece", bounds::LARGEST_PIECE),
        fewest_bolts_per_piece: fields
            .value("fewest_bolts_per_piece")
            .and_then(|value| value.count(0, bounds::MOST_BOLTS)),
        most_mass_per_bolt: mass("most_mass_per_bolt", bounds::MASS_PER_BOLT),
        most_lead: mass("most_lead", bounds::MOST_LEAD),
    };
    fields.finish();
    Some(rules)
}

/// Reads `targets` of a kart.
pub(super) fn targets(value: &Value, chassis: Option<&Chassis>) -> Vec<Target> {
    if value.is_null() {
        return Vec::new();
    }
    let Some(fields) = value.settings("targets", "targets: {front: {aim: 43, within: 0.5}}") else {
        return Vec::new();
    };
    let mut given: Vec<(Value, Target)> = Vec::new();
    for figure in Figure::ALL {
        if let Some(value) = fields.value(figure.key())
            && let Some(target) = target(figure, &value, chassis)
        {
            given.push((value, target));
        }
    }
    front_or_rear(&fields, &given);
    fields.finish();
    // The order of the file is the order of the report.
    given.sort_by(|(one, _), (other, _)| one.order().cmp(other.order()));
    given.into_iter().map(|(_, target)| target).collect()
}

fn front_or_rear(fields: &Fields, given: &[(Value, Target)]) {
    let (front, rear) = (fields.value("front"), fields.value("rear"));
    let (Some(_), Some(rear)) = (front, rear) else { return };
    let percent = |figure| {
        given.iter().find_map(|(_, target)| match target.aim {
            Aim::Percent { aim, .. } if target.figure == figure => Some(aim),
            _ => None,
        })
    };
    match (percent(Figure::Front), percent(Figure::Rear)) {
        (Some(front), Some(back)) => rear.note_key(Fault::FrontAndRear {
            front: trimmed(front, 2),
            rear: trimmed(back, 2),
            sum: trimmed(front + back, 2),
        }),
        _ => rear.note_key(Fault::BothGiven { first: "front", second: "rear" }),
    }
}

fn target(figure: Figure, value: &Value, chassis: Option<&Chassis>) -> Option<Target> {
    let example = match figure {
        Figure::Front => "front: {aim: 43, within: 0.5}",
        Figure::Rear => "rear: {aim: 57, within: 0.5}",
        Figure::Left => "left: {aim: 50, within: 0.3}",
        Figure::Cross => "cross: {aim: 50, within: 0.5}",
        Figure::FrontPair => "front_pair: {aim: 0, within: 0.5 kg}",
        Figure::RearPair => "rear_pair: {aim: 0, within: 1.5 kg}",
        Figure::Height => "height: {aim: 240 mm, within: 10 mm}",
    };
    let fields = value.settings(figure.key(), example)?;
    let aim = match figure {
        Figure::Front | Figure::Rear | Figure::Left | Figure::Cross => {
            let aim = fields.required("aim", "aim: 43");
            let within = fields.required("within", "within: 0.5");
            let aim = aim.and_then(|aim| aim.share(figure.key(), bounds::SHARE));
            let within = within.and_then(|within| within.percent(bounds::SHARE_TOLERANCE));
            aim.zip(within).map(|(aim, within)| Aim::Percent { aim, within })
        }
        Figure::FrontPair | Figure::RearPair => {
            let aim = fields.required("aim", "aim: 0");
            let within = fields.required("within", "within: 0.5 kg");
            let aim = aim.and_then(|aim| aim.mass(bounds::PAIR));
            let within = within.and_then(|within| within.mass(bounds::PAIR_TOLERANCE));
            aim.zip(within).map(|(aim, within)| Aim::Difference { aim, within })
        }
        Figure::Height => {
            let aim = fields.required("aim", "aim: 240 mm");
            let within = fields.required("within", "within: 10 mm");
            let aim = aim.and_then(|aim| aim.length(bounds::HEIGHT_AIM));
            let within = within.and_then(|within| within.length(bounds::HEIGHT_TOLERANCE));
            let wheelbase = chassis.map(|chassis| chassis.wheelbase);
            aim.zip(within).zip(wheelbase).map(|((aim, within), wheelbase)| Aim::Height {
                aim,
                within,
                wheelbase,
            })
        }
    };
    let moments =
        [("both", When::Both), ("start", When::At(Moment::Start)), ("finish", When::At(Moment::Finish))];
    let when = fields.value("at").map_or(Some(When::Both), |at| at.choice(&moments));
    let weight = fields.value("weight").map_or(Some(1.0), |weight| weight.number(bounds::WEIGHT));
    fields.finish();
    Some(Target { figure, aim: aim?, when: when?, weight: weight? })
}

/// Reads `goals`.
pub(super) fn preferences(value: &Value) -> Option<Preferences> {
    let mut preferences = Preferences::default();
    if value.is_null() {
        return Some(preferences);
    }
    let fields = value.settings("goals", "goals: {order: [targets, light, work, close]}")?;
    if let Some(order) = fields.value("order") {
        preferences.order = read_order(&order).unwrap_or(preferences.order);
    }
    if let Some(spare) = fields.value("spare") {
        preferences.spare = spare.mass(bounds::SPARE).unwrap_or(preferences.spare);
    }
    let resolution = fields.value("resolution").filter(|value| !value.is_null());
    if let Some(fields) =
        resolution.and_then(|value| value.settings("resolution", "resolution: {legal: 0.05 kg}"))
    {
        let mass = |key, standard| {
            fields.value(key).and_then(|value| value.mass(bounds::RESOLUTION)).unwrap_or(standard)
        };
        preferences.legal = mass("legal", preferences.legal);
        preferences.targets = mass("targets", preferences.targets);
        preferences.light = mass("light", preferences.light);
        preferences.close = mass("close", preferences.close);
        if let Some(work) = fields.value("work") {
            preferences.work = work.count(0, bounds::MOST_PIECES).unwrap_or(preferences.work);
        }
        fields.finish();
    }
    fields.finish();
    Some(preferences)
}

fn read_order(value: &Value) -> Option<[Goal; 4]> {
    let items = value.list("order: [targets, light, work, close]")?;
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
