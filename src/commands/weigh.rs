//! `weigh`: what the pads say, of a scenario or of four readings; and how to weigh well.
//! Takes a scenario that was read, or readings; gives the weighing with its exit code.
//! Does not compute anything and does not lay anything out.

use std::time::Instant;

use kentledge::answer::Frame;
use kentledge::answer::doubts::HowTo;
use kentledge::answer::weigh::{WeighStatus, Weighing};
use kentledge::blocks::{self, Drawn};
use kentledge::drawing::amount::Screen;
use kentledge::drawing::ground::GroundView;
use kentledge::drawing::{drawing, drawn};
use kentledge::imprint::Imprint;
use kentledge::statics::Chassis;
use kentledge::tasks::after::as_weighed;
use kentledge::units::{Mass, UnitSystem};

use crate::laid_out::Form;
use crate::request::Options;
use crate::streams::Streams;
use crate::{Answer, Exit, Failure, Reading};

/// The weighing of a file, the last one after work.
pub(crate) fn answer(
    reading: &Reading,
    options: &Options,
    streams: &Streams,
    started: Instant,
) -> Result<Answer, Failure> {
    let followed = super::after::followed(reading, "weigh", options, streams, started)?;
    let weighing = Weighing::of_steps(&reading.scenario, &followed.steps);
    let form = reading.form(options, "weigh", started, exit(&weighing));
    shown(form, &weighing, |screen| {
        Some(GroundView::of_weighing(screen, &as_weighed(&reading.scenario, &followed.steps)))
    })
}

/// Four readings without a file.
pub(crate) fn of_readings(
    readings: [Mass; 4],
    chassis: Option<&Chassis>,
    units: UnitSystem,
    options: &Options,
    started: Instant,
) -> Result<Answer, Failure> {
    let weighing = Weighing::of_readings(readings, chassis);
    let form = without_file(options, "weigh", Some(units), started, exit(&weighing));
    shown(form, &weighing, |screen| chassis.map(|chassis| GroundView::of_readings(screen, readings, chassis)))
}

/// The order of a good weighing.
pub(crate) fn how_to(options: &Options, started: Instant) -> Result<Answer, Failure> {
    let form = without_file(options, "weigh", None, started, Exit::Good);
    let status = "common practice, no published source";
    Ok(form.answer(status, &HowTo::default(), |_| blocks::how_to(), |_| (Vec::new(), None))?)
}

/// How an answer is laid out that is about no file.
pub(crate) fn without_file<'a>(
    options: &'a Options,
    command: &'a str,
    display_units: Option<UnitSystem>,
    started: Instant,
    exit: Exit,
) -> Form<'a> {
    let elapsed = started.elapsed();
    let frame = Frame { command, exit_code: exit as u8, warnings: &[], display_units, elapsed };
    let units = display_units.unwrap_or(UnitSystem::KgMm);
    Form { options, units, imprint: &Imprint::TYPED, frame, exit }
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
    ground: impl FnOnce(Screen) -> Option<GroundView>,
) -> Result<Answer, Failure> {
    let page = |drawn: &[Drawn]| blocks::weigh(weighing, drawn.first());
    Ok(form.answer(weighing.status.words(), weighing, page, |units| {
        let ground = ground(Screen { units });
        let pictures = ground.iter().map(|ground| drawn(ground, "weighed")).collect();
        (pictures, ground.as_ref().map(drawing))
    })?)
}
