//! A file in which other lead is fitted and adjusters are set otherwise, and how to take that back.
//!
//! What was before stands in one remark above `fitted`, in the words of a weighing. The marks in it tell whether the file is still
//! as it was left.

use super::fragment;
use crate::counts::Counts;
use crate::document::{Document, Step, written_name};
use crate::scenario::{Aboard, Adjuster, FrontWheel, Lever, Scenario, Shift};

/// How the remark begins.
const REMARK: &str = "# done ";

/// The last plan that was written into a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Last {
    /// Its mark.
    pub mark: String,
    /// What was fitted and set before; none where the kart has changed since it was written.
    pub before: Option<Counts>,
}

/// The last plan that was written into the file, if it can tell.
pub fn last(document: &Document, scenario: &Scenario) -> Option<Last> {
    let [mark, left, before] = document.text().lines().find_map(remark)?;
    let before = (left == fragment::state_mark(scenario)).then(|| counts(scenario, before)).flatten();
    Some(Last { mark: mark.to_owned(), before })
}

/// The mark of the plan, that of the state it left, and what was before, if the line is such a remark.
fn remark(line: &str) -> Option<[&str; 3]> {
    let (mark, rest) = line.strip_prefix(REMARK)?.split_once(" left ")?;
    let (left, before) = rest.split_once(", before: ")?;
    Some([mark, left, before])
}

/// What such words say of lead and adjusters.
fn counts(scenario: &Scenario, words: &str) -> Option<Counts> {
    let document = Document::from_text(words).ok()?;
    let mut counts = scenario.fitted().without_pieces();
    let now: Vec<u16> = scenario.adjusters().iter().map(|adjuster| adjuster.now as u16).collect();
    let mut settings = now.clone();
    let mut hole = scenario.kart().seat.as_ref().map(|seat| seat.hole);
    let mut set = |is: &dyn Fn(&Adjuster) -> bool, to: &dyn Fn(&Adjuster) -> Option<usize>| {
        let index = scenario.adjusters().iter().position(is)?;
        settings[index] = u16::try_from(to(&scenario.adjusters()[index])?).ok()?;
        Some(())
    };
    for (path, word) in document.leaves() {
        match path.as_slice() {
            ["lead"] | ["spindles", _, "below"] => {}
            ["lead", mount, kind] => {
                let mount = scenario.mounts().iter().position(|one| one.name == *mount)?;
                let kind = scenario.lead().iter().position(|one| one.name == *kind)?;
                *counts.get_mut(kind, mount) = word.parse().ok()?;
            }
            ["seat_hole"] => hole.as_mut()?.along = word.parse().ok()?,
            ["seat_across"] => hole.as_mut()?.across = word.parse().ok()?,
            ["spindles", side, "above"] => {
                let is = |one: &Adjuster| matches!(one.lever, Lever::Spindle { side: of, .. } if side_word(of) == *side);
                set(&is, &|one| word.parse().ok().filter(|above| *above < one.settings.len()))?;
            }
            ["adjusters", name] => {
                set(&|one| one.name == *name, &|one| one.settings.iter().position(|to| to.name == word))?;
            }
            _ => return None,
        }
    }
    if let (Some(seat), Some(hole)) = (&scenario.kart().seat, hole) {
        let at = |one: &Adjuster| one.settings.iter().position(|to| seat.hole_after(to.shift) == hole);
        set(&|one| one.lever == Lever::Seat, &at)?;
    }
    Some(counts.with_settings(&settings))
}

/// The text in which that is fitted and set; after a plan its `mark`, with which it can be taken back.
pub fn written(
    document: &Document,
    scenario: &Scenario,
    counts: &Counts,
    mark: Option<&str>,
) -> Option<String> {
    let lines = document.text().split_inclusive('\n').filter(|line| remark(line).is_none());
    let mut text: String = lines.collect();
    for (index, adjuster) in scenario.adjusters().iter().enumerate() {
        let setting = counts.setting(index, adjuster.now);
        if setting != adjuster.now {
            text = with_setting(&text, scenario, adjuster, setting)?;
        }
    }
    text = with_lead(&text, scenario, counts)?;
    let (read, _) = Document::from_text(&text).and_then(|read| Scenario::from_document(&read)).ok()?;
    if read.fitted() != counts || !weighed_alike(&read, scenario) {
        return None;
    }
    let Some(mark) = mark else { return Some(text) };
    let (left, before) = (fragment::state_mark(&read), fragment::now(scenario));
    let line = Document::from_text(&text).ok()?.place_of("fitted")?.line - 1;
    let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
    let end = if lines.iter().any(|line| line.ends_with("\r\n")) { "\r\n" } else { "\n" };
    let line_before = format!("{REMARK}{mark} left {left}, before: {before}{end}");
    lines.insert(line, &line_before);
    Some(lines.concat())
}

/// Whether both files tell the same of every weighing.
fn weighed_alike(one: &Scenario, other: &Scenario) -> bool {
    let told = |scenario: &Scenario| {
        let all = scenario.weighings().iter().chain(scenario.own_weighings().iter().flatten()).cloned();
        // Of the seat a weighing tells its hole; that adjuster's setting is the one of now.
        let without_seat = |aboard: &mut Aboard| {
            if let Some(seat) = scenario.adjusters().iter().position(|one| one.lever == Lever::Seat) {
                let mut settings = aboard.lead.settings().to_vec();
                settings[seat] = 0;
                aboard.lead = aboard.lead.clone().with_settings(&settings);
            }
        };
        let all = all.map(|mut weighing| {
            without_seat(&mut weighing.aboard);
            weighing.taken.sets.iter_mut().for_each(|set| without_seat(&mut set.aboard));
            weighing
        });
        all.collect::<Vec<_>>()
    };
    told(one) == told(other)
}

/// With the lead on the mounts: line by line where each mount has its own, else as a whole.
fn with_lead(text: &str, scenario: &Scenario, counts: &Counts) -> Option<String> {
    let document = Document::from_text(text).ok()?;
    let on = |counts: &Counts, mount: usize| counts.on_mount(mount).collect::<Vec<_>>();
    let line_by_line = || {
        let mut text = text.to_owned();
        for (index, mount) in scenario.mounts().iter().enumerate() {
            if on(counts, index) != on(scenario.fitted(), index) {
                let pieces = fragment::pieces(scenario, counts, index);
                let value = (!on(counts, index).is_empty()).then_some(pieces.as_str());
                text = Document::from_text(&text).ok()?.with_entry("fitted", &mount.name, value)?;
            }
        }
        Some(text)
    };
    if counts.placed().next().is_some()
        && let Some(text) = line_by_line()
    {
        return Some(text);
    }
    let remark = document.place_of("fitted").and_then(|place| text.lines().nth(place.line - 1));
    let remark = remark
        .and_then(|line| line.split_once(" #"))
        .map_or_else(String::new, |(_, remark)| format!(" #{remark}"));
    // What somebody wrote between the mounts stays, whatever comes off them.
    let below = document.place_of("fitted").map_or(usize::MAX, |place| place.line);
    let inside =
        text.split_inclusive('\n').skip(below).take_while(|line| line.starts_with([' ', '\r', '\n']));
    let remarks: String =
        inside.filter(|line| line.starts_with(' ') && line.trim_start().starts_with('#')).collect();
    let block = fragment::fitted(scenario, counts, &remark) + &remarks.replace('\r', "");
    document.with_block("fitted", &block)
}

/// With an adjuster at another setting.
fn with_setting(text: &str, scenario: &Scenario, adjuster: &Adjuster, setting: usize) -> Option<String> {
    let then = &adjuster.settings[setting];
    let now = || [Step::Key("adjusters"), Step::Key(&adjuster.name), Step::Key("now")].to_vec();
    let words: Vec<(Vec<Step>, String)> = match adjuster.lever {
        Lever::Seat => return with_hole(text.to_owned(), scenario, then.shift),
        Lever::Spindle { side, .. } => {
            let at = |key| ["kart", "spindles", side_word(side), key].map(Step::Key).to_vec();
            let below = adjuster.settings.len() - 1 - setting;
            vec![(at("above"), then.steps.to_string()), (at("below"), below.to_string())]
        }
        Lever::Measured { .. } => vec![(now(), then.steps.to_string())],
        Lever::Part { .. } | Lever::Tank { .. } => vec![(now(), written_name(&then.name))],
    };
    words.into_iter().try_fold(text.to_owned(), |text, (steps, word)| {
        Document::from_text(&text).ok()?.with_word(&steps, &word)
    })
}

/// With the seat moved so far. The places of what rides on it were measured where it was, and the file keeps them.
fn with_hole(mut text: String, scenario: &Scenario, by: Shift) -> Option<String> {
    let seat = scenario.kart().seat.as_ref()?;
    let hole = seat.hole_after(by);
    if hole.across != seat.hole.across {
        text = with_across(text, scenario, seat.hole.across)?;
    }
    let along = ["kart", "seat"].map(Step::Key).to_vec();
    let across = ["kart", "seat", "across"].map(Step::Key).to_vec();
    for (at, from, to) in [(along, seat.hole.along, hole.along), (across, seat.hole.across, hole.across)] {
        if from == to {
            continue;
        }
        let key = |key| [at.as_slice(), &[Step::Key(key)]].concat();
        text = Document::from_text(&text).ok()?.with_word(&key("hole"), &to.to_string())?;
        let document = Document::from_text(&text).ok()?;
        if document.place_at(&key("measured_at")).is_none() {
            text = document.with_first(&at, &format!("measured_at: {from}"))?;
        }
    }
    Some(text)
}

/// With the hole across of now in every weighing that does not tell it: what the pads saw must not change with the seat.
fn with_across(mut text: String, scenario: &Scenario, across: i32) -> Option<String> {
    for aboard in all_aboard(&text, scenario)? {
        let document = Document::from_text(&text).ok()?;
        if document.place_at(&[aboard.as_slice(), &[Step::Key("seat_across")]].concat()).is_none() {
            text = document.with_first(&aboard, &format!("seat_across: {across}"))?;
        }
    }
    Some(text)
}

/// Where the text says what was aboard at a weighing.
fn all_aboard<'s>(text: &str, scenario: &'s Scenario) -> Option<Vec<Vec<Step<'s>>>> {
    let document = Document::from_text(text).ok()?;
    let is_there = |steps: &[Step]| document.place_at(steps).is_some();
    let mut weighings: Vec<Vec<Step>> = Vec::new();
    for key in ["weighing", "weighings"].map(Step::Key) {
        weighings.push(vec![key]);
        weighings.extend((0..).map(|item| vec![key, Step::Item(item)]).take_while(|steps| is_there(steps)));
    }
    for driver in scenario.drivers() {
        weighings.push(vec![Step::Key("drivers"), Step::Key(&driver.name), Step::Key("weighing")]);
    }
    let with = |steps: &[Step<'s>], more: &[Step<'s>]| [steps, more].concat();
    let mut all = Vec::new();
    for weighing in weighings {
        all.push(with(&weighing, &[Step::Key("aboard")]));
        let sets = (0..).map(|set| with(&weighing, &[Step::Key("repeats"), Step::Item(set)]));
        all.extend(sets.take_while(|set| is_there(set)).map(|set| with(&set, &[Step::Key("aboard")])));
    }
    all.retain(|steps| is_there(steps));
    Some(all)
}

const fn side_word(side: FrontWheel) -> &'static str {
    match side {
        FrontWheel::Left => "left",
        FrontWheel::Right => "right",
    }
}
