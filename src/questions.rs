//! A first scenario from a dozen questions.

use crate::diagnosis::Diagnosis;
use crate::document::written_name;
use crate::scenario::Scenario;
use crate::units::UnitSystem;

/// A question.
#[derive(Clone, Copy, Debug)]
pub struct Question {
    /// What is asked; `{W}` and `{L}` stand for the units of weights and lengths.
    asks: &'static str,
    /// The answer of whoever presses Enter, in kilograms and millimetres, and in pounds and inches.
    usual: [&'static str; 2],
    /// How many numbers it takes; any number of words if none.
    numbers: Option<usize>,
}

const fn one(asks: &'static str, usual: [&'static str; 2]) -> Question {
    Question { asks, usual, numbers: Some(1) }
}

/// All of them, in the order in which [`file()`] takes their answers.
pub const QUESTIONS: [Question; 11] = [
    one("Wheelbase, front axle to rear axle, {L}", ["1040", "41"]),
    one("Front track, between the middles of the front tyres, {L}", ["1080", "42 1/2"]),
    one("Rear track, the same at the rear, {L}", ["1120", "44"]),
    one("Class minimum, kart and dressed driver, by your rulebook, {W}", ["156", "344"]),
    Question {
        asks: "Drivers with what they weigh, dressed to race, {W}; first who sits on the pads",
        usual: ["Sam 70", "Sam 154"],
        numbers: None,
    },
    Question {
        asks: "The four pads, driver aboard, no lead on: LF RF LR RR, {W}",
        usual: ["31 32 43 45", "68.5 70.5 95 99"],
        numbers: Some(4),
    },
    Question {
        asks: "Fuel when weighed, at the start, at the finish, litres (0 0 0: no tank)",
        usual: ["3 4 2", "3 4 2"],
        numbers: Some(3),
    },
    one("Percent of the total wanted on the front pair", ["43", "43"]),
    one("Percent of the total wanted on the left", ["50", "50"]),
    Question {
        asks: "Places for lead, each NAME, {L} ahead of the rear axle, {L} to the left, most {W} there",
        usual: [
            "seat_left 260 215 6, seat_right 260 -165 6, floor_front 820 60 6, floor_left 560 190 6",
            "seat_left 10 8.5 13, seat_right 10 -6.5 13, floor_front 32 2 13, floor_left 22 7.5 13",
        ],
        numbers: None,
    },
    Question {
        asks: "What each piece of lead in the box weighs, {W}",
        usual: ["2.5 2.5 2.5 1 1 1 0.5 0.5", "5.5 5.5 5.5 2.2 2.2 2.2 1.1 1.1"],
        numbers: None,
    },
];

impl Question {
    /// What is asked.
    pub fn asks(&self, units: UnitSystem) -> String {
        let (mass, length) = if units == UnitSystem::KgMm { ("kg", "mm") } else { ("lb", "in") };
        self.asks.replace("{W}", mass).replace("{L}", length)
    }

    /// The answer of whoever presses Enter.
    pub fn usual(&self, units: UnitSystem) -> &'static str {
        self.usual[usize::from(units == UnitSystem::LbIn)]
    }
}

/// Why the last of some answers will not do, in words; nothing if it will, whatever is answered next.
pub fn wrong(units: UnitSystem, answers: &[String]) -> Option<String> {
    let (question, last) = (QUESTIONS.get(answers.len() - 1)?, answers.last()?);
    if let Some(odd) =
        last.chars().find(|letter| "{}[]#:&*!|>%@`\"'".contains(*letter) || letter.is_control())
    {
        return Some(format!("an answer has no `{}` in it", odd.escape_debug()));
    }
    let found = last.split_whitespace().count();
    if let Some(wanted @ 2..) = question.numbers
        && found != wanted
    {
        return Some(format!("{wanted} numbers are needed with spaces between them; found {found}"));
    }
    let later = QUESTIONS.iter().skip(answers.len()).map(|question| question.usual(units).to_owned());
    let all: Vec<String> = answers.iter().cloned().chain(later).collect();
    let faults: Vec<Diagnosis> = Scenario::from_yaml(&file(units, &all, None)).err()?;
    faults.first().map(|fault| format!("{}; {}", fault.kind, fault.kind.help()))
}

/// The scenario that an answer to every question makes; with the day of the weighing.
pub fn file(units: UnitSystem, answers: &[String], date: Option<&str>) -> String {
    // In a number a comma can be nothing but a dot.
    let number = |index: usize| answers[index].trim().replace(',', ".");
    let numbers = |index: usize| -> Vec<String> {
        let bare = |word: &str| word.trim_end_matches(',').replace(',', ".");
        answers[index].split_whitespace().map(bare).collect()
    };
    let drivers: Vec<[String; 2]> = answers[4].split(", ").map(|driver| named(driver.trim())).collect();
    let driver = drivers.first().map_or("", |[name, _]| name);
    let fuel = numbers(6);
    let litres = |index: usize| format!("{} L", fuel.get(index).map_or("", String::as_str));
    let has_tank = fuel.iter().any(|amount| amount.parse::<f64>().ok().is_none_or(|amount| amount != 0.0));
    let (aboard, tank) = if has_tank {
        let place = if units == UnitSystem::KgMm { "x: 560, y: 40" } else { "x: 22, y: 1 1/2" };
        let (start, finish) = (litres(1), litres(2));
        let tank = format!(
            "# The middle of the tank: measure yours.\nfuel: {{{place}, start: {start}, finish: {finish}}}\n\n"
        );
        (format!(", fuel: {}", litres(0)), tank)
    } else {
        (String::new(), String::new())
    };
    let mounts: String = answers[9].split(", ").map(|mount| written_mount(mount.trim())).collect();
    let date = date.map(|date| format!("date: {date}\n    ")).unwrap_or_default();
    let word = units.word();
    let [wheelbase, front, rear, minimum] = [0, 1, 2, 3].map(number);
    let (front_share, left_share) = (number(7), number(8));
    let (scales, lead) = (numbers(5).join(", "), numbers(10).join(", "));
    let lines = drivers.iter().map(|[name, mass]| format!("  {name}: {{mass: {mass}}}"));
    let drivers = lines.collect::<Vec<_>>().join("\n");
    format!(
        "# From the answers to `kentledge new --ask`. A number may carry its own unit (5 lb, 41 in); without one it is in these:\n\
         units: {word}\n\n\
         kart:\n  wheelbase: {wheelbase}\n  track_front: {front}\n  track_rear: {rear}\n\n\
         # Kart and dressed driver, by your rulebook.\nclass: {{minimum: {minimum}}}\n\n\
         # Percent of the total. Also possible: rear, cross, front_pair, rear_pair.\n\
         targets: {{front: {front_share}, left: {left_share}}}\n\n\
         # In time: the pads, LF RF LR RR, and all that was on the kart then. What was aboard stays as it is.\n\
         weighings:\n  - {date}scales: [{scales}]\n    aboard: {{driver: {driver}{aboard}, lead: none}}\n\n\
         # Dressed to race.\ndrivers:\n{drivers}\n\n\
         {tank}# Places of the lead itself, forward of the rear axle and to the left, and what they may carry.\n\
         mounts:\n{mounts}\n\
         # The lead in the box; weigh each piece if you can.\nlead: [{lead}]\n"
    )
}

/// A name of one word or more and the number behind it; what has none is left for the reader to refuse.
fn named(words: &str) -> [String; 2] {
    let (name, number) = words.rsplit_once(' ').unwrap_or((words, ""));
    [written_name(name.trim()), number.replace(',', ".")]
}

/// `  seat_left: {x: 260, y: 215, capacity: 6}`; what has other words is left for the reader to refuse.
fn written_mount(words: &str) -> String {
    let words: Vec<&str> = words.split_whitespace().collect();
    match words.as_slice() {
        [name @ .., x, y, capacity] if !name.is_empty() => {
            let name = written_name(&name.join(" "));
            format!("  {name}: {{x: {x}, y: {y}, capacity: {capacity}}}\n")
        }
        _ => format!("  {}: {{}}\n", written_name(&words.join(" "))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn usual_answers_make_a_file_without_a_warning_and_odd_ones_are_refused_where_they_are_given() {
        for units in [UnitSystem::KgMm, UnitSystem::LbIn] {
            let usual: Vec<String> =
                QUESTIONS.iter().map(|question| question.usual(units).to_owned()).collect();
            let (_, warnings) =
                Scenario::from_yaml(&file(units, &usual, Some("2026-11-30"))).expect("a scenario");
            assert!(warnings.is_empty(), "{warnings:?}");
            for (index, answers) in [
                (0, vec!["long", "0", "-1", "1040 kg", "10}"]),
                (3, vec!["heavy", "156 mm"]),
                (4, vec!["Sam", "none 70", "a: b 70", "Sam 70, Sam 62", "Sam 70, Jo"]),
                (5, vec!["31 32 43", "31 32 43 45 46", "31 32 43 x"]),
                (6, vec!["3 4", "3 4 none"]),
                (7, vec!["430"]),
                (9, vec!["seat", "seat 1 2", "seat 260 215 6, seat 260 -165 6"]),
                (10, vec!["much", "-1"]),
            ] {
                for answer in answers {
                    let given = [&usual[..index], &[answer.to_owned()]].concat();
                    assert!(wrong(units, &given).is_some(), "{index}: {answer}");
                }
                assert_eq!(wrong(units, &usual[..=index]), None);
            }
        }
        let mut answers: Vec<String> =
            QUESTIONS.iter().map(|question| question.usual(UnitSystem::KgMm).to_owned()).collect();
        (answers[5], answers[6], answers[10]) = ("31,5 32 43 45".into(), "0 0 0".into(), "2,5, 1 1".into());
        answers[4] = "Sam the first 70,5, Jo 62".into();
        let text = file(UnitSystem::KgMm, &answers, None);
        assert!(Scenario::from_yaml(&text).is_ok() && !text.contains("fuel"), "{text}");
        assert!(text.contains("[31.5, 32, 43, 45]") && text.contains("[2.5, 1, 1]"), "{text}");
        assert!(text.contains("  Sam the first: {mass: 70.5}\n  Jo: {mass: 62}\n"), "{text}");
    }
}
