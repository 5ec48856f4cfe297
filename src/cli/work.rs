//! What a command line asks for, as something that can be carried out.

use crate::outcome::{Answer, Exit, Failure};
use crate::request::{Input, Options};
use crate::run::{Reading, Run};

/// What is to be done.
pub(crate) struct Request {
    pub(crate) command: &'static str,
    pub(crate) options: Options,
    /// The scenario that is read, so that nothing is written over it.
    pub(crate) input: Option<Input>,
    pub(crate) work: Work,
}

/// Carries out a command.
pub(crate) type Work = Box<dyn FnOnce(&Run) -> Result<Answer, Failure>>;

/// A command that reads a scenario.
pub(super) fn on(
    input: Input,
    work: impl FnOnce(&Reading) -> Result<Answer, Failure> + 'static,
) -> (Option<Input>, Work) {
    let from = input.clone();
    (Some(input), Box::new(move |run| work(&run.reading(&from)?)))
}

/// A command that reads its file itself.
pub(super) fn of_file(
    input: Input,
    work: impl FnOnce(&Run, &Input) -> Result<Answer, Failure> + 'static,
) -> (Option<Input>, Work) {
    let from = input.clone();
    (Some(input), Box::new(move |run| work(run, &from)))
}

/// A command that reads none.
pub(super) fn alone(work: impl FnOnce(&Run) -> Result<Answer, Failure> + 'static) -> (Option<Input>, Work) {
    (None, Box::new(work))
}

/// A text that is known beforehand.
pub(super) fn text(text: String) -> (Option<Input>, Work) {
    alone(move |_| Ok(Answer::new(text, Exit::Good)))
}
