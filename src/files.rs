//! The files at the edge: a scenario read whole, an answer written whole or not at all.
//! Belongs to the binary.

use std::ffi::OsString;
use std::fmt;
use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use kentledge::diagnosis::{Fault, visible};
use kentledge::document::MOST_BYTES;
use kentledge::imprint::GENERATOR;

use crate::request::{Input, Refusal};

/// Names differ by at most so many letters to be offered as similar.
const SIMILAR: usize = 2;
/// A change takes milliseconds; what is left of one after so long was cut off.
const CUT_OFF: Duration = Duration::from_secs(60);
/// Sheets and drawings name the program within so many bytes.
const MARK_WITHIN: u64 = 512;

/// A file that was read, with its name as messages show it.
pub(crate) struct Source {
    pub(crate) name: String,
    pub(crate) bytes: Vec<u8>,
}

/// Reads a scenario, at most a little more than is allowed: what is too long is refused by its length, not
/// read.
pub(crate) fn read(input: &Input) -> Result<Source, Fault> {
    let most = MOST_BYTES as u64 + 1;
    let mut bytes = Vec::new();
    let (name, outcome) = match input {
        Input::Stdin => ("stdin".to_owned(), io::stdin().take(most).read_to_end(&mut bytes)),
        Input::File(path) => {
            let name = path.display().to_string();
            let outcome = File::open(path).and_then(|file| file.take(most).read_to_end(&mut bytes));
            (name, outcome)
        }
    };
    match (outcome, input) {
        (Ok(_), Input::File(path)) if bytes.len() > MOST_BYTES => {
            // What is no file of its own, such as a device, says that it has no length.
            let bytes = fs::metadata(path).map_or(0, |about| about.len() as usize).max(bytes.len());
            Err(Fault::TooLong { bytes, most: MOST_BYTES })
        }
        (Ok(_), _) => Ok(Source { name, bytes }),
        (Err(error), Input::File(path)) if error.kind() == io::ErrorKind::NotFound => Err(missing(path)),
        (Err(error), _) => Err(Fault::FileUnreadable { file: name, reason: in_words(&error) }),
    }
}

fn missing(path: &Path) -> Fault {
    let folder = match path.parent() {
        Some(parent) if parent != Path::new("") => parent,
        _ => Path::new("."),
    };
    let wanted = path.file_name().unwrap_or_default().to_string_lossy().to_lowercase();
    let names = fs::read_dir(folder).into_iter().flatten().flatten();
    let similar = names
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .map(|name| (distance(&wanted, &name.to_lowercase()), name))
        .filter(|(distance, _)| *distance <= SIMILAR)
        .min()
        .map(|(_, name)| name);
    let folder = fs::canonicalize(folder).unwrap_or_else(|_| folder.to_path_buf());
    Fault::FileMissing { file: path.display().to_string(), folder: folder.display().to_string(), similar }
}

/// Letters to change; none at all if only the `.yaml` is missing.
fn distance(wanted: &str, name: &str) -> usize {
    let stem = [".yaml", ".yml"].into_iter().find_map(|ending| name.strip_suffix(ending)).unwrap_or(name);
    strsim::osa_distance(wanted, name).min(strsim::osa_distance(wanted, stem))
}

/// What the system says, without its error number.
pub(crate) fn in_words(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "the folder is not there".to_owned(),
        io::ErrorKind::PermissionDenied => "permission denied".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        io::ErrorKind::NotADirectory => "a part of its path is not a folder".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "the folder is read-only".to_owned(),
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        _ => {
            let said = error.to_string();
            said.split(" (os error").next().unwrap_or_default().to_lowercase()
        }
    }
}

/// Whether a file that is there may be replaced.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Replace {
    /// Never.
    Nothing,
    /// Reports may; a scenario, which somebody typed, never.
    Reports,
    /// Only what bears this program's mark near its beginning, as its sheets and drawings do; or nothing at all.
    Marked,
    Anything,
}

/// Where an answer goes.
pub(crate) struct Target {
    /// As the user named it.
    shown: String,
    path: PathBuf,
    /// A device or a pipe: it is written to, never replaced.
    special: bool,
}

impl Target {
    /// Looks whether the answer can be written there, before any long work.
    pub(crate) fn checked(
        option: &str,
        path: &Path,
        input: Option<&Input>,
        replace: Replace,
    ) -> Result<Target, Refusal> {
        let shown = path.display().to_string();
        // Through links, so that a link is kept and what it points to is replaced.
        let real = fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
        if let Some(Input::File(input)) = input
            && fs::canonicalize(input).is_ok_and(|input| input == real)
        {
            return Err(Refusal::new(
                format!("{option} names the scenario file itself, `{shown}`"),
                "choose another name; the scenario was not touched",
            ));
        }
        let there = fs::metadata(&real);
        let is_scenario = real.extension().is_some_and(|ending| ending == "yaml" || ending == "yml");
        if let Ok(about) = &there {
            if about.is_dir() {
                return Err(cannot_write(&shown, "it is a folder"));
            }
            if !about.is_file() {
                return Ok(Target { shown, path: real, special: true });
            }
            match replace {
                Replace::Nothing => {
                    return Err(Refusal::new(
                        format!("`{shown}` is already there"),
                        "choose another name, or add `--force` to replace it",
                    ));
                }
                Replace::Reports | Replace::Marked if is_scenario => {
                    return Err(Refusal::new(
                        format!("`{shown}` is already there and may be a scenario"),
                        "choose another name; a report replaces no `.yaml` file",
                    ));
                }
                Replace::Marked if about.len() > 0 && !is_marked(&real) => {
                    return Err(Refusal::new(
                        format!("`{shown}` is already there and was not written by {GENERATOR}"),
                        "choose another name, or remove that file first",
                    ));
                }
                Replace::Reports | Replace::Marked | Replace::Anything => {}
            }
        }
        let target = Target { shown: shown.clone(), path: real, special: false };
        let trial = target.beside();
        File::create_new(&trial)
            .and_then(|_| fs::remove_file(&trial))
            .map_err(|error| cannot_write(&shown, &in_words(&error)))?;
        Ok(target)
    }

    /// Where that is.
    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    /// Whether both would be written to one file.
    pub(crate) fn is(&self, other: &Target) -> bool {
        // A file that is not there yet has no real path, but its folder has.
        let real = |path: &Path| {
            let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
            (fs::canonicalize(folder.unwrap_or(Path::new("."))).ok(), path.file_name().map(OsString::from))
        };
        !self.special && real(&self.path) == real(&other.path)
    }

    /// Writes the whole text, or leaves what was there: to a new file beside it, which then takes its name.
    pub(crate) fn write(&self, text: &str) -> Result<(), Refusal> {
        let outcome = if self.special { fs::write(&self.path, text) } else { self.replace(text) };
        outcome.map_err(|error| cannot_write(&self.shown, &in_words(&error)))
    }

    fn replace(&self, text: &str) -> io::Result<()> {
        let beside = self.beside();
        self.fill(File::create_new(&beside)?, &beside, text)
    }

    /// Writes the text to a new file, which then takes the name.
    fn fill(&self, mut file: File, beside: &Path, text: &str) -> io::Result<()> {
        let mut write = || {
            if let Ok(about) = fs::metadata(&self.path) {
                file.set_permissions(about.permissions())?;
            }
            file.write_all(text.as_bytes())?;
            file.sync_all()?;
            fs::rename(beside, &self.path)
        };
        let written = write();
        if written.is_err() {
            // The reason why it could not be written is the one to tell, not that of a failed tidying.
            fs::remove_file(beside).ok();
        }
        written
    }

    /// Fails where somebody has made the file read-only, though its folder would let it be replaced.
    pub(crate) fn may_change(&self) -> Result<(), Refusal> {
        match fs::metadata(&self.path) {
            Ok(about) if about.permissions().readonly() => Err(Refusal::new(
                format!("`{}` is read-only", self.shown),
                "nothing was written; make it writable, or copy it under another name",
            )),
            _ => Ok(()),
        }
    }

    /// That somebody else was first.
    pub(crate) fn changed(&self) -> Refusal {
        Refusal::new(
            format!("`{}` was changed by another command in the meantime", self.shown),
            "nothing was written; run the command again",
        )
    }

    /// Writes the whole text if the file is still as it was; of two commands at once one is refused.
    ///
    /// The new file beside it has a name that both would use, so only one of them is between looking and writing.
    pub(crate) fn write_if(&self, text: &str, is_as_before: impl Fn() -> bool) -> Result<(), Refusal> {
        if self.special {
            return self.write(text);
        }
        let beside = self.named_beside(".part");
        let began = fs::metadata(&beside).and_then(|about| about.modified());
        if began.is_ok_and(|began| began.elapsed().is_ok_and(|since| since > CUT_OFF)) {
            fs::remove_file(&beside).ok();
        }
        let file = File::create_new(&beside).map_err(|error| match error.kind() {
            io::ErrorKind::AlreadyExists => self.changed(),
            _ => cannot_write(&self.shown, &in_words(&error)),
        })?;
        if !is_as_before() {
            fs::remove_file(&beside).ok();
            return Err(self.changed());
        }
        self.fill(file, &beside, text).map_err(|error| cannot_write(&self.shown, &in_words(&error)))
    }

    /// A name in the same folder that nobody else uses.
    fn beside(&self) -> PathBuf {
        self.named_beside(&format!(".{}.part", std::process::id()))
    }

    fn named_beside(&self, ending: &str) -> PathBuf {
        let mut name = OsString::from(".");
        name.push(self.path.file_name().unwrap_or_default());
        name.push(ending);
        self.path.with_file_name(name)
    }
}

/// Whether the beginning of a file says that this program wrote it; one that cannot be read was not.
fn is_marked(path: &Path) -> bool {
    let mut beginning = Vec::new();
    let read = File::open(path).and_then(|file| file.take(MARK_WITHIN).read_to_end(&mut beginning));
    read.is_ok() && String::from_utf8_lossy(&beginning).contains(GENERATOR)
}

impl fmt::Display for Target {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&visible(&self.shown))
    }
}

fn cannot_write(shown: &str, reason: &str) -> Refusal {
    Refusal::new(format!("cannot write `{shown}`: {reason}"), "choose another name or folder")
}
