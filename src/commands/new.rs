//! `new`: a first scenario, to stdout or to a file, with the schema for the user's editor beside it.

use std::fs;
use std::path::Path;

use kentledge::document::{Starter, starter_of};
use kentledge::scenario::schema;
use kentledge::units::UnitSystem;

use super::ask::asked;
use crate::files::{Replace, Target};
use crate::outcome::{Answer, Exit};
use crate::request::Refusal;
use crate::run::Run;

/// Which scenario is written.
#[derive(Clone, Copy)]
pub(crate) enum First {
    Known(Starter),
    /// That of answers to questions.
    Asked,
}

/// Writes a scenario, and the schema if it goes to a file.
pub(crate) fn answer(run: &Run, file: Option<&Path>, which: First, force: bool) -> Result<Answer, Refusal> {
    let streams = run.streams;
    // A file that cannot be written is told before anybody answers a question.
    let replace = if force { Replace::Anything } else { Replace::Nothing };
    let target = file.map(|path| Target::checked("`new`", path, None, replace)).transpose()?;
    let scenario = match which {
        First::Known(which) => starter_of(which, run.options.units.unwrap_or(UnitSystem::KgMm)).to_owned(),
        First::Asked => asked(run, run.options.units)?,
    };
    let Some((path, target)) = file.zip(target) else { return Ok(Answer::new(scenario, Exit::Good)) };
    // Editors look for this line; the path is relative to the scenario.
    let line = format!("# yaml-language-server: $schema=./{}\n", schema::FILE);
    target.write(&(line + &scenario))?;
    let next = match which {
        First::Known(Starter::Minimal) => "put in your own numbers",
        First::Known(Starter::Sprint | Starter::Oval) => "edit the lines marked `# <- yours`",
        First::Asked => "measure what you left as it was",
    };
    streams.talk(&format!("written: {target}\n{next}, then run `kentledge plan {target}`\n"));
    let written = Answer::new("", Exit::Good);
    // A device or a pipe has no folder of its own.
    if !path.is_file() {
        return Ok(written);
    }
    // The scenario is what was asked for; without the schema an editor helps less, and nothing else is lost.
    match beside(path) {
        Ok(Some(schema)) => streams.talk(&format!("written for your editor: {schema}\n")),
        Ok(None) => {}
        Err(refusal) => streams.talk(&format!("no help for your editor: {}\n", refusal.message)),
    }
    Ok(written)
}

/// Writes the schema into the folder of the scenario; not over a file that is somebody else's.
fn beside(scenario: &Path) -> Result<Option<Target>, Refusal> {
    let path = scenario.with_file_name(schema::FILE);
    let text = schema::json_schema();
    match fs::read_to_string(&path) {
        Ok(there) if there == text => return Ok(None),
        Ok(there) if !there.contains(schema::TITLE) => {
            return Err(Refusal::new(format!("{} is already there, and is not ours", schema::FILE), ""));
        }
        _ => {}
    }
    let target = Target::checked("`new`", &path, None, Replace::Anything)?;
    target.write(&text)?;
    Ok(Some(target))
}
