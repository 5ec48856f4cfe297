//! `page`: the whole tool as one file for a phone, or as a folder for a web host.

use std::fmt::Write as _;
use std::path::PathBuf;

use kentledge::answer::plan::explained;
use kentledge::blocks;
use kentledge::document::starter;
use kentledge::drawing::drawn;
use kentledge::drawing::ground::GroundView;
use kentledge::page::html::sides;
use kentledge::phone::{self, Contents};
use kentledge::units::UnitSystem;

use crate::files::{Replace, Source, Target, in_words};
use crate::outcome::{Answer, Exit, Failure};
use crate::request::Refusal;
use crate::run::{Reading, Run};

/// The library as WebAssembly, packed, in base 64.
#[cfg(feature = "page")]
const MODULE: Option<&str> = Some(include_str!(env!("KENTLEDGE_MODULE")));
#[cfg(not(feature = "page"))]
const MODULE: Option<&str> = None;

/// Where the page goes.
pub(crate) enum To {
    /// Or to the file of `-o`.
    Screen,
    /// For a web host.
    Folder(PathBuf),
    /// Phones beside this machine, or a browser on it.
    Phones { lan: bool },
}

#[cfg(feature = "page")]
fn serve(reading: &Reading, page: &str, lan: bool) -> Result<Answer, Failure> {
    super::serve::serve(page, lan, reading.run.streams)
}

/// Without the page nobody comes here.
#[cfg(not(feature = "page"))]
#[expect(clippy::unnecessary_wraps, reason = "the other one can fail")]
fn serve(_: &Reading, _: &str, _: bool) -> Result<Answer, Failure> {
    Ok(Answer::new("", Exit::Good))
}

/// The page of a scenario.
pub(crate) fn of_file(reading: &Reading, to: &To) -> Result<Answer, Failure> {
    let Some(module) = MODULE else {
        return Err(Refusal::new(
            "this program was built without the page",
            "from its sources, `sh src/page/phone/build.sh install --path .` builds it in",
        )
        .into());
    };
    let scenario = &reading.scenario;
    let driver = scenario.driver();
    let (plan, answer) = reading.search(|patience| explained(scenario, driver, None, 0, patience))?;
    let ground = GroundView::of_answer(reading.units(), scenario, driver, &answer);
    let ground = ground.numbered(&blocks::numbers(&plan));
    let sheet = sides(&blocks::plan(&plan, Some(&drawn(&ground, "plan"))), reading.units());
    let page = |site: bool| {
        phone::page(&Contents {
            name: &reading.name,
            text: reading.document.text(),
            sheet: &sheet,
            module,
            site,
        })
    };
    let folder = match to {
        To::Screen => return Ok(Answer::new(page(false), Exit::Good)),
        To::Phones { lan } => return serve(reading, &page(false), *lan),
        To::Folder(folder) => folder,
    };
    let folder_as_told = folder.display();
    std::fs::create_dir_all(folder).map_err(|error| {
        Refusal::new(
            format!("the folder `{folder_as_told}` cannot be made: {}", in_words(&error)),
            "name another one",
        )
    })?;
    let mut written = String::new();
    for (name, text) in phone::site(&page(true)) {
        let target = Target::checked("`--site`", &folder.join(name), None, Replace::Marked)?;
        target.write(&text)?;
        writeln!(written, "written: {target}").expect("a text takes any line");
    }
    Ok(Answer::new(
        written + "Copy the folder to any web host; its address is where phones install it from.\n",
        Exit::Good,
    ))
}

/// The same of the scenario that everybody begins with.
pub(crate) fn of_starter(run: &Run, to: &To) -> Result<Answer, Failure> {
    let units = run.options.units.unwrap_or(UnitSystem::KgMm);
    let bytes = starter(units).as_bytes().to_vec();
    of_file(&run.read_text(Source { name: "kart.yaml".to_owned(), bytes })?, to)
}
