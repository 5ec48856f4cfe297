//! `learn`: what several weighings teach, shown, and written into a scenario if one is named.
//! Changes no file before it has read the changed text as a scenario again.

use std::path::Path;

use kentledge::answer::learn::Learned;
use kentledge::blocks;
use kentledge::diagnosis::{Diagnosis, Fault, Place};
use kentledge::document::{Document, Step as Way};
use kentledge::marks::written;
use kentledge::scenario::Scenario;
use kentledge::tasks::after::Followed;
use kentledge::tasks::learn::{self, Lessons, Odd, Origin, Unlearned, Verdict};

use crate::files::{self, Replace, Target};
use crate::request::{Input, Refusal};
use crate::run::{Answer, Exit, Failure, Reading, lead_of_after};

/// What was learned; into `into` if that is named.
pub(crate) fn answer(reading: &Reading, into: Option<&Path>) -> Result<Answer, Failure> {
    let scenario = &reading.scenario;
    let Followed { steps, .. } = reading.followed()?;
    let lessons = learn::learn(scenario, &steps).map_err(|unlearned| {
        let weighing = reading.document.place_of("weighings").or(reading.document.place_of("weighing"));
        let fault = match unlearned {
            Unlearned::OneWeighing => Fault::OneWeighing,
            Unlearned::AllAlike => Fault::WeighingsAlike,
            Unlearned::Unsettled => Fault::OtherKart,
        };
        reading.wrong(fault, weighing)
    })?;
    let mut learned = Learned::new(scenario, &steps, &lessons);
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

/// Where in the file that stands which fits worst.
fn odd_place(reading: &Reading, lessons: &Lessons) -> Option<Place> {
    let document = &reading.document;
    let Odd::Reading { sighting, .. } = lessons.odd else { return document.place_of("weighings") };
    match lessons.sightings[sighting].origin {
        Origin::Main => document.place_at(&[Way::Key("weighing"), Way::Key("scales")]),
        Origin::OfDriver(driver) => {
            let name = &reading.scenario.drivers()[driver].name;
            document.place_at(&[Way::Key("drivers"), Way::Key(name), Way::Key("weighing")])
        }
        Origin::Further(index) => {
            document.place_at(&[Way::Key("weighings"), Way::Item(index), Way::Key("scales")])
        }
        Origin::After(index) => {
            let item = document.is_list("after").then_some(Way::Item(index));
            let way: Vec<Way> =
                std::iter::once(Way::Key("after")).chain(item).chain([Way::Key("scales")]).collect();
            document.place_at(&way)
        }
    }
}

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
        let mut changed = before.clone();
        if own {
            for pin in &learned.fitted_as_planned {
                let way = lead_of_after(&changed, pin.after - 1);
                let text =
                    changed.with_word(&way, "as planned", &pin.lead, &pin.settings).ok_or_else(braces)?;
                changed = Document::from_text(&text).map_err(first)?;
            }
        }
        let block = learned.fragment.clone().unwrap_or_default();
        let text = changed.with_block("learned", &block).ok_or_else(braces)?;
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
