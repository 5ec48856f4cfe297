//! What an answer is besides the screen: a file of the answer itself, a page, a drawing.
//! Belongs to the binary.

use std::path::Path;

use crate::files::{Replace, Target};
use crate::request::{Input, Options, Refusal};

/// A page and a drawing, each if it was asked for.
#[derive(Default)]
pub(crate) struct Typeset {
    sheet: Option<String>,
    drawing: Option<String>,
}

impl Typeset {
    /// The page and the drawing that were asked for; neither is made for nothing.
    ///
    /// `made` gives the page, and the drawing if there can be one: one of the kart needs its lengths.
    pub(crate) fn of(
        options: &Options,
        made: impl FnOnce() -> (String, Option<String>),
    ) -> Result<Typeset, Refusal> {
        if options.sheet.is_none() && options.drawing.is_none() {
            return Ok(Typeset::default());
        }
        let (sheet, drawing) = made();
        if options.drawing.is_some() && drawing.is_none() {
            return Err(Refusal::new(
                "a drawing to scale needs the lengths of the kart",
                "add `--wheelbase`, `--track-front` and `--track-rear`",
            ));
        }
        Ok(Typeset {
            sheet: options.sheet.is_some().then_some(sheet),
            drawing: drawing.filter(|_| options.drawing.is_some()),
        })
    }
}

/// Where the parts of an answer go that do not go to stdout.
pub(crate) struct Targets {
    pub(crate) output: Option<Target>,
    sheet: Option<Target>,
    drawing: Option<Target>,
}

impl Targets {
    /// Looks whether all of them can be written, before any long work.
    pub(crate) fn checked(input: Option<&Input>, options: &Options) -> Result<Targets, Refusal> {
        let checked = |option: &str, path: Option<&Path>, replace| match path {
            Some(path) => Target::checked(option, path, input, replace).map(Some),
            None => Ok(None),
        };
        let output = checked("`--output`", options.output.as_deref(), Replace::Reports)?;
        let sheet = checked("`--sheet`", options.sheet.as_deref(), Replace::Marked)?;
        let drawing = checked("`--drawing`", options.drawing.as_deref(), Replace::Marked)?;
        let named = [("`--output`", &output), ("`--sheet`", &sheet), ("`--drawing`", &drawing)];
        for (index, (option, target)) in named.iter().enumerate() {
            let Some(target) = target else { continue };
            let same =
                named[..index].iter().find(|(_, other)| other.as_ref().is_some_and(|one| one.is(target)));
            if let Some((other, _)) = same {
                return Err(Refusal::new(
                    format!("{other} and {option} name the same file, `{target}`"),
                    "give each a name of its own",
                ));
            }
        }
        Ok(Targets { output, sheet, drawing })
    }

    /// Writes what there is, each file whole or not at all; gives the names of those written, or why one was not.
    /// Without an answer an earlier file stays as it is.
    pub(crate) fn write(self, shown: &str, typeset: Typeset) -> Vec<Result<Target, Refusal>> {
        let plain = anstream::adapter::strip_str(shown).to_string();
        let files = [
            (self.output, Some(plain).filter(|text| !text.is_empty())),
            (self.sheet, typeset.sheet),
            (self.drawing, typeset.drawing),
        ];
        let asked = files.into_iter().filter_map(|(target, text)| Some((target?, text?)));
        asked.map(|(target, text)| target.write(&text).map(|()| target)).collect()
    }
}
