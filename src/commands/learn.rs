//! `learn`: what several weighings teach, shown, and written into a scenario if one is named.
//! Changes no file before it has read the changed text as a scenario again.

use std::path::Path;

use kentledge::answer::learn::Learned;
use kentledge::blocks;
use kentledge::diagnosis::{Diagnosis, Fault, Place};
use kentledge::document::{Document, Step as Way};
use kentledge::drawing::ground::GroundView;
use kentledge::drawing::moved::moved;
use kentledge::marks::written;
use kentledge::scenario::Scenario;
use kentledge::tasks::learn::{self, Lessons, Odd, Origin, Unlearned, Verdict};

use super::change::Change;
use crate::outcome::{Answer, Exit, Failure};
use crate::request::Refusal;
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
    let change = into.map(|path| lines_into(path, reading, &learned)).transpose()?;
    learned.diff = change.as_ref().map(Change::diff);
    let page = |drawn: &[_]| blocks::learn(&learned, drawn);
    let answer = reading.form(Exit::Good).answer(learned.status, &learned, page, |units| {
        let view = GroundView::of_now(units, scenario, scenario.driver());
        (moved(view, &learned).into_iter().collect(), None)
    })?;
    match change {
        Some(change) => Ok(change.made(reading.run, answer)?),
        None => Ok(answer),
    }
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
            // What the officials read alone stands in the same list.
            let before = reading.scenario.official_totals().iter().filter(|total| total.after <= index);
            let item = index + before.count();
            KEYS.into_iter().find_map(|key| document.place_at(&[Way::Key(key), Way::Item(item)]))
        }
    }
}

/// Where weighings stand in a file.
const KEYS: [&str; 2] = ["weighings", "weighing"];

/// The change of a scenario file that writes what was learned into it, read again and found right.
fn lines_into(path: &Path, reading: &Reading, learned: &Learned) -> Result<Change, Refusal> {
    let mut change = Change::of("`--into`", path)?;
    let name = change.before().name.clone();
    let paste = "nothing was written; paste the lines that `learn` shows without `--into`";
    let Some(block) = &learned.fragment else {
        return Err(Refusal::new("nothing was learned", "nothing was written; weigh as `learn` advises"));
    };
    let unusable = |faults: Vec<Diagnosis>| {
        let why = faults.first().map(|fault| format!(": {}", fault.kind)).unwrap_or_default();
        Refusal::new(format!("`{name}` cannot take the lines{why}"), paste)
    };
    let before = Document::from_bytes(&change.before().bytes).map_err(unusable)?;
    let own = before.text() == reading.document.text();
    let odd = || Refusal::new(format!("`{name}` is laid out in a way that cannot be changed safely"), paste);
    let text = before.with_block("learned", block).ok_or_else(odd)?;
    let read_again =
        Document::from_text(&text).and_then(|text| Scenario::from_document(&text)).map_err(unusable)?;
    if own && read_again.0.measured() != reading.scenario.measured() {
        return Err(odd());
    }
    change.becomes(&text);
    Ok(change)
}
