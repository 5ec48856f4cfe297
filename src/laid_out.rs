//! An answer in whatever form was asked for: a document, a page on the screen, a page for paper.
//! Belongs to the binary.

use kentledge::answer::Frame;
use kentledge::blocks::Drawn;
use kentledge::drawing;
use kentledge::imprint::Imprint;
use kentledge::page::terminal::{self, Shown};
use kentledge::page::{Page, html};
use kentledge::units::UnitSystem;
use serde::Serialize;

use crate::outcome::{Answer, Exit, Failure};
use crate::request::Options;
use crate::screen::columns;
use crate::typeset::Typeset;

/// What it takes to lay out an answer.
pub(crate) struct Form<'a> {
    pub(crate) options: &'a Options,
    pub(crate) units: UnitSystem,
    pub(crate) imprint: &'a Imprint,
    pub(crate) frame: Frame<'a>,
    pub(crate) exit: Exit,
}

impl Form<'_> {
    /// The document or the page of an answer, and what was asked for besides: `drawn` gives what a page for paper has more, and
    /// the drawing as a file if there can be one.
    pub(crate) fn answer(
        self,
        status: &str,
        answer: &impl Serialize,
        page: impl Fn(&[Drawn]) -> Page,
        drawn: impl FnOnce(UnitSystem) -> (Vec<Drawn>, Option<String>),
    ) -> Result<Answer, Failure> {
        let Form { options, units, imprint, frame, exit } = self;
        let shown = if options.json {
            frame.document(status, answer)
        } else {
            let shown = if options.full { Shown::Full } else { Shown::Brief };
            terminal::text(&page(&[]), units, columns(), shown)
        };
        let typeset = Typeset::of(options, || {
            let (drawn, drawing) = drawn(units);
            (html::sheet(&page(&drawn), units, drawing::STYLE, imprint), drawing)
        })?;
        Ok(Answer { shown, exit, typeset })
    }

    /// The same of an answer that has no picture.
    pub(crate) fn words(
        self,
        status: &str,
        answer: &impl Serialize,
        page: impl Fn() -> Page,
    ) -> Result<Answer, Failure> {
        self.answer(status, answer, |_| page(), |_| (Vec::new(), None))
    }
}
