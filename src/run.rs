//! One command being carried out: what it reads, how long it may search, and how it fails.
//! Belongs to the binary.

use std::sync::Mutex;
use std::time::Instant;

use kentledge::answer::doubts::contradictions;
use kentledge::answer::trouble::{Without, Wrong};
use kentledge::answer::{Frame, Status};
use kentledge::blocks::so_far;
use kentledge::diagnosis::{Diagnosis, Fault, Place, Summary};
use kentledge::document::Document;
use kentledge::imprint::Imprint;
use kentledge::page::terminal;
use kentledge::scenario::Scenario;
use kentledge::solve::{Disagreement, Judged, News, Patience};
use kentledge::units::UnitSystem;

use crate::files::{self, Source};
use crate::laid_out::Form;
use crate::messages::faults_worded;
use crate::outcome::{Exit, Failure, Trouble};
use crate::request::{Input, Options};
use crate::screen::columns;
use crate::streams::Streams;
use crate::waiting;

/// A command with its options.
pub(crate) struct Run<'a> {
    pub(crate) command: &'static str,
    pub(crate) options: &'a Options,
    pub(crate) streams: &'a Streams,
    pub(crate) started: Instant,
}

impl Run<'_> {
    /// How an answer is laid out that is about no file.
    pub(crate) fn form(&self, display_units: Option<UnitSystem>, exit: Exit) -> Form<'_> {
        let units = display_units.unwrap_or(UnitSystem::KgMm);
        let frame = self.frame(&[], display_units, exit);
        Form { options: self.options, units, imprint: &Imprint::TYPED, frame, exit }
    }

    fn frame<'a>(&self, warnings: &'a [Summary], display_units: Option<UnitSystem>, exit: Exit) -> Frame<'a> {
        let Run { command, started, .. } = *self;
        Frame { command, exit_code: exit as u8, warnings, display_units, elapsed: started.elapsed() }
    }

    /// Reads and validates a scenario, or tells everything that is wrong with it.
    pub(crate) fn read(&self, input: &Input) -> Result<Reading<'_>, Trouble> {
        let wrong = |faults: Vec<Diagnosis>, file: &str, source: &str| {
            self.faulty(self.frame(&[], None, Exit::Scenario), &faults, file, source)
        };
        self.read_text(files::read(input).map_err(|fault| wrong(vec![Diagnosis::nowhere(fault)], "", ""))?)
    }

    /// The same of a text that is there already.
    pub(crate) fn read_text(&self, file: Source) -> Result<Reading<'_>, Trouble> {
        let wrong = |faults: Vec<Diagnosis>, file: &str, source: &str| {
            self.faulty(self.frame(&[], None, Exit::Scenario), &faults, file, source)
        };
        // What is not UTF-8 is refused as a whole; there is no line of it to show.
        let source = std::str::from_utf8(&file.bytes).unwrap_or_default();
        let document =
            Document::from_bytes(&file.bytes).map_err(|faults| wrong(faults, &file.name, source))?;
        let read = Scenario::from_document(&document);
        let (scenario, warnings) = read.map_err(|faults| wrong(faults, &file.name, document.text()))?;
        let imprint = Imprint::of_file(&file.name, &file.bytes);
        let summaries = summaries(&warnings);
        Ok(Reading { run: self, name: file.name, document, scenario, warnings, summaries, imprint })
    }

    /// What is wrong with a file, for people and as a document.
    fn faulty(&self, frame: Frame, faults: &[Diagnosis], file: &str, source: &str) -> Trouble {
        Trouble {
            complaint: faults_worded(faults, file, source, self.options.messages),
            document: frame.document(Wrong::STATUS, Wrong { diagnoses: summaries(faults) }),
            exit: Exit::Scenario,
        }
    }

    /// Reads a scenario; what is doubtful in it is told at once.
    pub(crate) fn reading(&self, input: &Input) -> Result<Reading<'_>, Trouble> {
        let mut reading = self.read(input)?;
        reading.tell_doubts();
        Ok(reading)
    }
}

/// A scenario as read, and what messages about its file need.
pub(crate) struct Reading<'a> {
    pub(crate) run: &'a Run<'a>,
    pub(crate) name: String,
    pub(crate) document: Document,
    pub(crate) scenario: Scenario,
    pub(crate) warnings: Vec<Diagnosis>,
    summaries: Vec<Summary>,
    imprint: Imprint,
}

impl Reading<'_> {
    /// Tells what is doubtful in the file, and in the weighing that all answers rest on.
    pub(crate) fn tell_doubts(&mut self) {
        self.add_warnings(contradictions(&self.scenario), "weighing");
        self.run.streams.talk(&self.worded_warnings());
    }

    /// Warnings, in the form asked for.
    pub(crate) fn worded_warnings(&self) -> String {
        faults_worded(&self.warnings, &self.name, self.document.text(), self.run.options.messages)
    }

    /// Adds what only some commands warn of, at a setting of the file.
    pub(crate) fn add_warnings(&mut self, faults: Vec<Fault>, setting: &str) {
        let place = self.document.place_of(setting);
        self.warnings.extend(faults.into_iter().map(|kind| Diagnosis { kind, place }));
        self.warnings.sort_by_key(|warning| warning.place);
        self.summaries = summaries(&self.warnings);
    }

    /// Those of the screen.
    pub(crate) fn units(&self) -> UnitSystem {
        self.run.options.units.unwrap_or(self.scenario.units())
    }

    /// Whom to plan for: the driver of that name, or today's.
    pub(crate) fn driver(&self, name: Option<&str>) -> Result<Option<usize>, Failure> {
        match name {
            Some(name) => Ok(Some(self.scenario.driver_called(name)?)),
            None => Ok(self.scenario.driver()),
        }
    }

    /// Searches for as long as the user allows.
    pub(crate) fn search<T>(&self, search: impl FnOnce(Patience) -> Judged<T>) -> Result<T, Failure> {
        let last = Mutex::new(None);
        let goes_on = || {
            let news: Option<News> = last.lock().map_or(None, |news| *news);
            news.map_or_else(|| "nothing found yet".to_owned(), |news| so_far(news, self.units()))
        };
        let listener = |news| {
            if let Ok(mut last) = last.lock() {
                *last = Some(news);
            }
        };
        self.search_telling(goes_on, |patience| search(patience.telling(&listener)))
    }

    /// The same, telling whoever waits how it goes on.
    pub(crate) fn search_telling<T>(
        &self,
        goes_on: impl Fn() -> String + Sync,
        search: impl FnOnce(Patience) -> Judged<T>,
    ) -> Result<T, Failure> {
        let Run { options, streams, started, .. } = *self.run;
        let found = waiting::patiently(streams, started, options.time, goes_on, search);
        found.map_err(|disagreement| self.disagreed(&disagreement))
    }

    /// Something in the file that only this command cannot use.
    pub(crate) fn wrong(&self, kind: Fault, place: Option<Place>) -> Trouble {
        let frame = self.frame(Exit::Scenario);
        self.run.faulty(frame, &[Diagnosis { kind, place }], &self.name, self.document.text())
    }

    /// The judge disagreed with the search.
    fn disagreed(&self, disagreement: &Disagreement) -> Failure {
        let message = disagreement.to_string();
        let help = "this is a fault of the program; please report it together with the scenario file";
        let complaint = terminal::complaint("error", &message, help, columns());
        let answer = Without { message, help: None };
        let document = self.frame(Exit::NoAnswer).document("the judge disagreed", answer);
        Trouble { complaint, document, exit: Exit::NoAnswer }.into()
    }

    /// A command that starts from a legal plan has none: one sentence, with what to do where none exists, and where none was
    /// found.
    pub(crate) fn no_plan(&self, status: Status, so: &str, [proved, stopped]: [&'static str; 2]) -> Failure {
        let (no_plan, help) = match status {
            Status::NoLegalPlan => ("no legal plan exists", proved),
            _ => ("no legal plan was found in this time", stopped),
        };
        let message = format!("{no_plan}, so {so}");
        let exit = Exit::of(status, false);
        let complaint = terminal::complaint("error", &message, help, columns());
        let answer = Without { message, help: Some(help) };
        Trouble { complaint, document: self.frame(exit).document(status.words(), answer), exit }.into()
    }

    /// How an answer about this scenario is laid out.
    pub(crate) fn form(&self, exit: Exit) -> Form<'_> {
        let (options, units) = (self.run.options, self.units());
        Form { options, units, imprint: &self.imprint, frame: self.frame(exit), exit }
    }

    fn frame(&self, exit: Exit) -> Frame<'_> {
        self.run.frame(&self.summaries, Some(self.units()), exit)
    }
}

fn summaries(diagnoses: &[Diagnosis]) -> Vec<Summary> {
    diagnoses.iter().map(Diagnosis::summary).collect()
}
