//! `learn`: what several weighings teach, shown, and written into a scenario if one is named.
//! Changes no file before it has read the changed text as a scenario again.

use std::path::Path;

use kentledge::answer::learn::Learned;
use kentledge::blocks;
use kentledge::diagnosis::{Diagnosis, Fault, Place};
use kentledge::document::{Document, Step as Way};
use kentledge::marks::written;
use kentledge::scenario::Scenario;
use kentledge::tasks::learn::{self, Lessons, Odd, Origin, Unlearned, Verdict};

use crate::files::{self, Replace, Target};
use crate::outcome::{Answer, Exit, Failure};
use crate::request::{Input, Refusal};
use crate::run::Reading;

/// What was learned; into `into` if that is named.
pub(crate) fn answer(reading: &Reading, into: Option<&Path>) -> Result<Answer, Failure> {
    let scenario = &reading.scenario;
    let lessons = learn::learn(scenario).map_err(|unlearned| {
        let weighing = place_of_weighings(&reading.document);
        let fault = match unlearned {
            Unlearned::OneWeighing => Fault::OneWeighing,
            Unlearned::AllAlike => Fault::WeighingsAlike,
            Unlearned::Unsettled => Fault::OtherKart,
        };
        reading.wrong(fault, weighing)
    })?;
    let mut learned = Learned::new(scenario, &lessons);
    if lessons.verdict == Verdict::Contradict {
        let odd = written(&learned.odd, scenario.units());
        return Err(reading.wrong(Fault::Contradiction { odd }, odd_place(reading, &lessons)).into());
    }
    let change = into.map(|path| Change::of(path, reading, &learned)).transpose()?;
    learned.diff = change.as_ref().map(|change| change.diff.clone());
    let form = reading.form(Exit::Good);
    let answer = form.words(learned.status, &learned, || blocks::learn(&learned))?;
    let Some(Change { target, text, .. }) = change else { return Ok(answer) };
    let (streams, is_on_screen) = (reading.run.streams, reading.run.options.output.is_none());
    // Shown before it is done: whoever follows on the screen sees what is about to change.
    let exit = if is_on_screen { streams.show(&answer.shown, Exit::Good) } else { Exit::Good };
    target.write(&text)?;
    streams.talk(&format!("written: {target}\n"));
    Ok(Answer::new(if is_on_screen { String::new() } else { answer.shown }, exit))
}

/// Where the weighings stand.
fn place_of_weighings(document: &Document) -> Option<Place> {
    KEYS.into_iter().find_map(|key| document.place_of(key))
}

/// Where in the file that stands which fits worst.
fn odd_place(reading: &Reading, lessons: &Lessons) -> Option<Place> {
    let document = &reading.document;
    let Odd::Reading { sighting, .. } = lessons.odd else { return place_of_weighings(document) };
    match lessons.sightings[sighting].origin {
        Origin::OfDriver(driver) => {
            let name = &reading.scenario.drivers()[driver].name;
            document.place_at(&[Way::Key("drivers"), Way::Key(name), Way::Key("weighing")])
        }
        Origin::Listed(index) => {
            KEYS.into_iter().find_map(|key| document.place_at(&[Way::Key(key), Way::Item(index)]))
        }
    }
}

/// Where weighings stand in a file.
const KEYS: [&str; 2] = ["weighings", "weighing"];

/// A change of a scenario file that has been read again and found right, but not yet been made.
struct Change {
    target: Target,
    text: String,
    diff: String,
}

impl Change {
    fn of(path: &Path, reading: &Reading, learned: &Learned) -> Result<Change, Refusal> {
        let target = Target::checked("`--into`", path, None, Replace::Anything)?;
        let file = files::read(&Input::File(path.to_owned())).map_err(|fault| Refusal::of_fault(&fault))?;
        let name = file.name.clone();
        let unusable = |fault: &Diagnosis| {
            Refusal::new(
                format!("`{name}` cannot take the lines: {}", fault.kind),
                "nothing was written; paste the lines that `learn` shows without `--into`",
            )
        };
        let first = |faults: Vec<Diagnosis>| {
            faults.first().map_or_else(
                || Refusal::new(format!("`{name}` cannot take the lines"), "paste them"),
                unusable,
            )
        };
        let before = Document::from_bytes(&file.bytes).map_err(first)?;
        let own = before.text() == reading.document.text();
        let braces = || {
            Refusal::new(
                format!("`{name}` is laid out in a way that cannot be changed safely"),
                "nothing was written; paste the lines that `learn` shows without `--into`",
            )
        };
        let block = learned.fragment.clone().unwrap_or_default();
        let text = before.with_block("learned", &block).ok_or_else(braces)?;
        let read_again =
            Document::from_text(&text).and_then(|text| Scenario::from_document(&text)).map_err(first)?;
        if own && read_again.0.measured() != reading.scenario.measured() {
            return Err(braces());
        }
        let diff = similar::TextDiff::from_lines(before.text(), &text)
            .unified_diff()
            .context_radius(2)
            .header(&name, &name)
            .to_string();
        // A mark at the start of the file is no part of its text, but stays.
        let mark = if file.bytes.starts_with("\u{feff}".as_bytes()) { "\u{feff}" } else { "" };
        Ok(Change { target, text: format!("{mark}{text}"), diff })
    }
}
