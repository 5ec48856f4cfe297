//! Commands at the edge: read, solve, report; one file each.
//! Takes a scenario that was read and the options; gives an answer with its exit code, or what failed.
//! Does not know how anything is computed or laid out. Belongs to the binary.

pub(crate) mod after;
pub(crate) mod export;
pub(crate) mod learn;
pub(crate) mod plan;
