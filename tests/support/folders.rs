//! Folders of a test's own, and what lies in them.

use std::fs;
use std::path::{Path, PathBuf};

/// An empty folder of one test alone, among those of its file.
pub(crate) fn empty_folder(file: &str, test: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(file).join(test);
    if path.exists() {
        fs::remove_dir_all(&path).expect("the folder of an earlier run can be removed");
    }
    fs::create_dir_all(&path).expect("a folder can be made");
    path
}

/// A path as an argument.
pub(crate) fn shown(path: &Path) -> &str {
    path.to_str().expect("test folders have plain names")
}

/// Names of all that lies in a folder, sorted.
pub(crate) fn names_in(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("the folder is there");
    let mut names: Vec<String> =
        entries.flatten().map(|entry| entry.file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}
