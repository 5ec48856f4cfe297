//! The answer of `explain`: all codes.

use schemars::JsonSchema;
use serde::Serialize;

use crate::diagnosis::explained::{ALL, Explanation};

/// All codes.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Codes {
    /// In order.
    pub codes: &'static [Explanation],
}

impl Codes {
    /// All there are.
    pub fn all() -> Codes {
        Codes { codes: ALL }
    }
}
