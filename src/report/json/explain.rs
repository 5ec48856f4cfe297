//! The documents of `explain`: one code, or all of them.
//! Takes explanations; gives JSON.
//! Does not know how they look on a screen.

use serde::Serialize;

use super::Frame;
use crate::diagnosis::explained::{ALL, Explanation};

#[derive(Serialize)]
struct Entry {
    code: &'static str,
    name: &'static str,
    summary: &'static str,
    reason: &'static str,
    wrong: &'static str,
    right: &'static str,
}

impl Entry {
    fn new(explanation: &Explanation) -> Entry {
        let Explanation { code, name, summary, reason, example } = *explanation;
        Entry { code, name, summary, reason, wrong: example.wrong(), right: example.right() }
    }
}

#[derive(Serialize)]
struct AllAnswer {
    codes: Vec<Entry>,
}

/// The document of one code.
pub fn explanation(explanation: &Explanation, frame: Frame) -> String {
    frame.document("explained", Entry::new(explanation))
}

/// The document of all codes.
pub fn explanations(frame: Frame) -> String {
    frame.document("explained", AllAnswer { codes: ALL.iter().map(Entry::new).collect() })
}
