//! `weigh`: what the pads say, of a scenario or of four readings; and how to weigh well.

use kentledge::answer::doubts::{HOW_TO, HowTo};
use kentledge::answer::weigh::{WeighStatus, Weighing};
use kentledge::blocks::{self, Drawn};
use kentledge::diagnosis::Fault;
use kentledge::drawing::ground::GroundView;
use kentledge::drawing::{drawing, drawn};
use kentledge::units::UnitSystem;

use crate::laid_out::Form;
use crate::outcome::{Answer, Exit, Failure};
use crate::request::Readings;
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
    shown(reading.form(exit(&weighing)), &weighing, |units| Some(GroundView::of_weighing(units, &scenario)))
}

/// Four readings without a file.
pub(crate) fn of_readings(run: &Run, typed: &Readings) -> Result<Answer, Failure> {
    let Readings { pads, chassis, units } = typed;
    let weighing = Weighing::of_readings(*pads, chassis.as_ref());
    shown(run.form(Some(*units), exit(&weighing)), &weighing, |units| {
        Some(GroundView::of_readings(units, *pads, chassis.as_ref()?))
    })
}

/// The order of a good weighing.
pub(crate) fn how_to(run: &Run) -> Result<Answer, Failure> {
    let status = "common practice, no published source";
    run.form(None, Exit::Good).words(status, &HowTo { steps: HOW_TO }, blocks::how_to)
}

fn exit(weighing: &Weighing) -> Exit {
    match weighing.status {
        WeighStatus::OnTarget | WeighStatus::Measured => Exit::Good,
        WeighStatus::OffTarget | WeighStatus::TooLight => Exit::OffTarget,
    }
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
