//! A change of a scenario file: shown, and made whole or not at all.

use std::path::Path;

use crate::files::{self, Replace, Source, Target};
use crate::outcome::Answer;
use crate::request::{Input, Refusal};
use crate::run::Run;

/// What a file is, and what it is to be.
pub(super) struct Change {
    target: Target,
    before: Source,
    after: String,
}

impl Change {
    /// Reads the file that `option` names, which has to be there and to be replaceable.
    pub(super) fn of(option: &str, path: &Path) -> Result<Change, Refusal> {
        let target = Target::checked(option, path, None, Replace::Anything)?;
        target.may_change()?;
        let before = files::read(&Input::File(path.to_owned())).map_err(|fault| Refusal::of_fault(&fault))?;
        Ok(Change { target, before, after: String::new() })
    }

    /// The same of a file that was read already: what becomes of it rests on that text.
    pub(super) fn of_text(option: &str, path: &Path, text: &str) -> Result<Change, Refusal> {
        let change = Change::of(option, path)?;
        let now = String::from_utf8_lossy(&change.before.bytes);
        if now.trim_start_matches('\u{feff}') == text { Ok(change) } else { Err(change.target.changed()) }
    }

    /// What it is.
    pub(super) fn before(&self) -> &Source {
        &self.before
    }

    /// Makes its text that one, which somebody has read again and found right.
    pub(super) fn becomes(&mut self, text: &str) {
        // A mark at the start of the file is no part of its text, but stays.
        let mark = if self.before.bytes.starts_with("\u{feff}".as_bytes()) { "\u{feff}" } else { "" };
        self.after = format!("{mark}{text}");
    }

    /// Lines that go and lines that come, with those around them.
    pub(super) fn diff(&self) -> String {
        let name = &self.before.name;
        let before = String::from_utf8_lossy(&self.before.bytes);
        let diff = similar::TextDiff::from_lines(&*before, &self.after);
        diff.unified_diff().context_radius(2).header(name, name).to_string()
    }

    /// Makes the change once the answer has been shown: whoever follows on the screen sees what is about to change.
    pub(super) fn made(self, run: &Run, answer: Answer) -> Result<Answer, Refusal> {
        let is_on_screen = run.options.output.is_none();
        let Answer { shown, exit, typeset } = answer;
        let exit = if is_on_screen { run.streams.show(&shown, exit) } else { exit };
        let is_as_before = || {
            let now = files::read(&Input::File(self.target.path().to_owned()));
            now.is_ok_and(|now| now.bytes == self.before.bytes)
        };
        self.target.write_if(&self.after, is_as_before)?;
        run.streams.talk(&format!("written: {}\n", self.target));
        Ok(Answer { shown: if is_on_screen { String::new() } else { shown }, exit, typeset })
    }
}
