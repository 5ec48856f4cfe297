//! `weigh`: what the pads say, of a scenario or of four readings; and how to weigh well.

use kentledge::answer::doubts::{HOW_TO, HowTo};
use kentledge::answer::typed::{Typed, added};
use kentledge::answer::weigh::Weighing;
use kentledge::blocks::{self, Drawn};
use kentledge::diagnosis::{Diagnosis, Fault};
use kentledge::drawing::ground::GroundView;
use kentledge::drawing::{drawing, drawn};
use kentledge::units::UnitSystem;

use super::change::Change;
use crate::files::Source;
use crate::laid_out::Form;
use crate::outcome::{Answer, Exit, Failure};
use crate::request::{Input, Readings, Refusal};
use crate::run::{Reading, Run};

/// The last weighing of a file, or the last one with a driver of it.
pub(crate) fn answer(driver: Option<String>) -> impl FnOnce(&Reading) -> Result<Answer, Failure> {
    move |reading| of_file(reading, driver.as_deref())
}

fn of_file(reading: &Reading, driver: Option<&str>) -> Result<Answer, Failure> {
    let whose = driver.map(|name| reading.scenario.driver_called(name)).transpose()?;
    let scenario = match whose {
        Some(driver) => reading.scenario.weighed_with(driver).ok_or_else(|| {
            let driver = reading.scenario.drivers()[driver].name.clone();
            reading.wrong(Fault::NeverWeighed { driver }, reading.document.place_of("drivers"))
        })?,
        None => reading.scenario.clone(),
    };
    let weighing = Weighing::of_scenario(&scenario);
    shown(reading.form(weighing.status.exit()), &weighing, |units| {
        Some(GroundView::of_weighing(units, &scenario))
    })
}

/// A file with a weighing more.
pub(crate) struct Looked<'a> {
    pub(crate) reading: Reading<'a>,
    /// The file, and with the weighing.
    before: String,
    text: String,
    lines: String,
}

/// A weighing as typed, after those of a file, and nothing written.
pub(crate) fn looked_at<'a>(
    run: &'a Run<'a>,
    input: &Input,
    typed: &Typed,
    saves: bool,
) -> Result<Looked<'a>, Failure> {
    let known = run.read(input)?;
    let weighing = typed.weighing(&known.scenario)?;
    let (lines, text) = added(&known.document, &known.scenario, &weighing);
    let text = text.ok_or_else(|| {
        Refusal::new(
            format!("the weighings of `{}` are laid out in a way that cannot be changed safely", known.name),
            format!("write each from a line of its own that begins with `-`, and this at the end:\n{lines}"),
        )
    })?;
    let (name, bytes) = (known.name.clone(), text.clone().into_bytes());
    let mut reading = run.read_text(Source { name, bytes })?;
    // The lines are the user's own words; whatever they are, they may add a weighing and nothing else.
    let [before, after] = [&known.scenario, &reading.scenario];
    let [on_pads, officials] = if typed.readings.is_empty() { [0, 1] } else { [1, 0] };
    let more = |before: usize, after: usize, by: usize| after == before + by;
    if !more(before.weighings().len(), after.weighings().len(), on_pads)
        || !more(before.official_totals().len(), after.official_totals().len(), officials)
        || !after.weighings().starts_with(before.weighings())
    {
        return Err(
            Refusal::new("that is more than one weighing", "look at what stands after the options").into()
        );
    }
    // Written down, readings in the other unit would be believed by everything that follows.
    let suspects = |reading: &Reading| {
        let is_one = |warning: &&Diagnosis| matches!(warning.kind, Fault::SuspectUnits { .. });
        reading.warnings.iter().filter(is_one).cloned().collect::<Vec<_>>()
    };
    if let (true, Some(new)) = (saves, suspects(&reading).get(suspects(&known).len())) {
        let help = "nothing was written; if the pads showed the other unit, add `kg` or `lb` to each reading";
        return Err(Refusal { help: help.to_owned(), ..Refusal::of_fault(&new.kind) }.into());
    }
    reading.tell_doubts();
    Ok(Looked { reading, before: known.document.text().to_owned(), text, lines })
}

/// The same, answered at once, and written into the file if that is wanted.
pub(crate) fn typed(
    run: &Run,
    input: &Input,
    typed: &Typed,
    [save, dry_run]: [bool; 2],
) -> Result<Answer, Failure> {
    let Looked { reading, before, text, lines } = looked_at(run, input, typed, save)?;
    // What the officials read of a driver is told beside his own weighing.
    let whose = typed.driver.as_deref().filter(|name| {
        let weighed = |driver| reading.scenario.weighed_with(driver).is_some();
        typed.readings.is_empty() && reading.scenario.driver_called(name).is_ok_and(weighed)
    });
    let answer = of_file(&reading, whose)?;
    let (true, Input::File(path)) = (save, input) else { return Ok(answer) };
    let mut change = Change::of_text("`--save`", path, &before)?;
    change.becomes(&text);
    let how = if dry_run { "would be added" } else { "added" };
    run.streams.talk(&format!("{how} to `{}`:\n{lines}", reading.name));
    if dry_run { Ok(answer) } else { Ok(change.made(run, answer)?) }
}

/// Four readings without a file.
pub(crate) fn of_readings(run: &Run, typed: &Readings) -> Result<Answer, Failure> {
    let Readings { pads, chassis, units } = typed;
    let weighing = Weighing::of_readings(*pads, chassis.as_ref(), *units).ok_or_else(|| {
        Failure::from(Refusal::new(
            "these four readings make no kart",
            "look at the readings and the lengths",
        ))
    })?;
    shown(run.form(Some(*units), weighing.status.exit()), &weighing, |units| {
        Some(GroundView::of_readings(units, *pads, chassis.as_ref()?))
    })
}

/// The order of a good weighing.
pub(crate) fn how_to(run: &Run) -> Result<Answer, Failure> {
    let status = "common practice, no published source";
    let page = |_: &[Drawn]| blocks::how_to();
    run.form(None, Exit::Good).answer(status, &HowTo { steps: HOW_TO }, page, |_| (Vec::new(), None))
}

fn shown(
    form: Form,
    weighing: &Weighing,
    ground: impl FnOnce(UnitSystem) -> Option<GroundView>,
) -> Result<Answer, Failure> {
    let page = |drawn: &[Drawn]| blocks::weigh(weighing, drawn.first());
    form.answer(weighing.status.words(), weighing, page, |units| {
        let ground = ground(units);
        let pictures = ground.iter().map(|ground| drawn(ground, "weighed")).collect();
        (pictures, ground.as_ref().map(drawing))
    })
}
