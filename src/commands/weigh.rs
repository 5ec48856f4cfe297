//! `weigh`: what the pads say, of a scenario or of four readings; and how to weigh well.

use kentledge::answer::doubts::{HOW_TO, HowTo};
use kentledge::answer::weigh::{WeighStatus, Weighing};
use kentledge::blocks::{self, Drawn};
use kentledge::drawing::ground::GroundView;
use kentledge::drawing::{drawing, drawn};
use kentledge::tasks::after::as_weighed;
use kentledge::units::UnitSystem;

use crate::laid_out::Form;
use crate::request::Readings;
use crate::run::{Answer, Exit, Failure, Reading, Run};

/// The weighing of a file, the last one after work.
pub(crate) fn answer(reading: &Reading) -> Result<Answer, Failure> {
    let followed = reading.followed()?;
    let weighing = Weighing::of_steps(&reading.scenario, &followed.steps);
    shown(reading.form(exit(&weighing)), &weighing, |units| {
        Some(GroundView::of_weighing(units, &as_weighed(&reading.scenario, &followed.steps)))
    })
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
