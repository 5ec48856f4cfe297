//! Options that several commands have: how to answer, and what else to write.

use std::path::PathBuf;

use clap::Args;
use clap::builder::{PossibleValuesParser, TypedValueParser};
use kentledge::document::Starter;
use kentledge::units::UnitSystem;

use crate::commands::new::First;
use crate::request::{Color, Input, MessageFormat, Options, Refusal};

/// A choice of words, each with what it means.
pub(super) fn one_of<T: Copy + Send + Sync + 'static>(
    words: &'static [(&'static str, T)],
) -> impl TypedValueParser<Value = T> {
    PossibleValuesParser::new(words.iter().map(|(word, _)| *word)).map(|typed| {
        let meant = words.iter().find(|(word, _)| *word == typed);
        meant.expect("clap lets none but these words through").1
    })
}

/// One of the names between commas.
pub(super) fn name_of_a_driver(text: &str) -> Result<String, &'static str> {
    if text.trim().is_empty() { Err("the name of a driver is missing") } else { Ok(text.to_owned()) }
}

/// Which first scenario.
pub(super) const fn first(minimal: bool, oval: bool, ask: bool) -> First {
    match (minimal, oval, ask) {
        (_, _, true) => First::Asked,
        (true, ..) => First::Known(Starter::Minimal),
        (_, true, _) => First::Known(Starter::Oval),
        _ => First::Known(Starter::Sprint),
    }
}

/// The scenario that a command is about.
#[derive(Args)]
pub(super) struct Scenario {
    /// The scenario file, `-` for stdin
    #[arg(value_name = "FILE")]
    file: PathBuf,
}

impl Scenario {
    pub(super) fn of(file: PathBuf) -> Scenario {
        Scenario { file }
    }

    pub(super) fn input(&self) -> Input {
        Input::new(self.file.clone())
    }
}

const FORMATS: &[(&str, MessageFormat)] =
    &[("human", MessageFormat::Human), ("short", MessageFormat::Short), ("json", MessageFormat::Json)];

#[derive(Args)]
#[expect(clippy::struct_excessive_bools, reason = "options without a value, each by itself")]
#[command(next_help_heading = "Common options")]
pub(super) struct Common {
    /// One JSON document on stdout and nothing else
    ///
    /// Its masses are in kg and its lengths in mm whatever --units says; the unit is in every key. Without
    /// the time it took, the same file always gives the same document:
    ///
    ///   kentledge plan kart.yaml --json | jq '.placements'
    #[arg(long, global = true)]
    pub(super) json: bool,
    /// Write the answer to this file, whole or not at all
    #[arg(short, long, global = true, value_name = "FILE")]
    pub(super) output: Option<PathBuf>,
    /// Units of the screen and of bare numbers: kg-mm, lb-in
    ///
    /// Without it the screen shows the units of the file. JSON is always in kg and mm.
    #[arg(short, long, global = true, value_name = "UNITS", hide_possible_values = true,
        value_parser = one_of(&[("kg-mm", UnitSystem::KgMm), ("lb-in", UnitSystem::LbIn)]))]
    pub(super) units: Option<UnitSystem>,
    /// Colour on the screen
    #[arg(long, global = true, hide_short_help = true, value_name = "WHEN", default_value = "auto",
        value_parser = one_of(&[("auto", Color::Auto), ("always", Color::Always), ("never", Color::Never)]))]
    pub(super) color: Color,
    /// No talk on stderr, only what is wrong
    #[arg(short, long, global = true, hide_short_help = true)]
    pub(super) quiet: bool,
    /// Everything that is known, not only what fits one screen
    #[arg(long, global = true)]
    pub(super) full: bool,
    /// One row a line, cells divided by tabs, nothing wrapped
    #[arg(long, global = true, hide_short_help = true)]
    pub(super) plain: bool,
    /// How errors and warnings are shown: in full, one line each, or one JSON object a line
    ///
    /// `short` is `file:line:column: error[K005]: sentence`, as editors read it.
    #[arg(long, global = true, hide_short_help = true, value_name = "FORMAT", default_value = "human",
        value_parser = one_of(FORMATS))]
    pub(super) message_format: MessageFormat,
    /// Seconds that a search may take, 0.1 to 3600 [default: 5]
    ///
    /// Ctrl-C ends it earlier with the best plan so far; a second Ctrl-C ends the program.
    #[arg(long, global = true, value_name = "SECONDS", allow_hyphen_values = true)]
    pub(super) time: Option<String>,
}

/// Where a command may also write its answer for people away from the screen.
#[derive(Args)]
pub(super) struct Typeset {
    /// Also write a page to print or for a phone
    ///
    /// Drawing, job list, tables, blanks, cautions: one HTML file that needs no network; what is done beside the kart
    /// prints on one side of A4 or Letter, the figures on its back.
    #[arg(long, value_name = "FILE.html")]
    pub(super) sheet: Option<PathBuf>,
    /// Also write the drawing alone
    ///
    /// SVG: the kart from above to scale, for `reach` the region;
    /// `swap` draws the kart once for every driver, side by side.
    #[arg(long, value_name = "FILE.svg", hide_short_help = true)]
    pub(super) drawing: Option<PathBuf>,
}

/// The same where there is no drawing.
#[derive(Args)]
pub(super) struct SheetAlone {
    /// Also write a page to print or for a phone
    ///
    /// One HTML file that needs no network; it prints on one side of A4 or Letter.
    #[arg(long, value_name = "FILE.html")]
    pub(super) sheet: Option<PathBuf>,
    /// Known only so that it can be refused with a reason.
    #[arg(long, value_name = "FILE.svg", hide = true)]
    drawing: Option<PathBuf>,
}

impl Options {
    /// A sheet or a drawing on stdout would mix with the answer.
    pub(super) fn also_write(&mut self, Typeset { sheet, drawing }: Typeset) -> Result<(), Refusal> {
        for (option, path) in [("`--sheet`", &sheet), ("`--drawing`", &drawing)] {
            if path.as_ref().is_some_and(|path| path.as_os_str() == "-") {
                return Err(Refusal::new(
                    format!("{option} needs a file; stdout has the answer itself"),
                    "for example `--sheet plan.html`",
                ));
            }
        }
        (self.sheet, self.drawing) = (sheet, drawing);
        Ok(())
    }

    /// A sheet of a command without a drawing; `why` there is none.
    pub(super) fn also_write_sheet(
        &mut self,
        SheetAlone { sheet, drawing }: SheetAlone,
        why: &str,
    ) -> Result<(), Refusal> {
        if drawing.is_some() {
            return Err(Refusal::new(why, "leave `--drawing` away, or ask for `--sheet FILE.html`"));
        }
        self.also_write(Typeset { sheet, drawing })
    }
}
