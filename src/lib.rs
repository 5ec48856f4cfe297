//! Which lead, on which mounts: makes a racing kart legal and balanced with the least work.
//!
//! The road of the data:
//!
//! 1. [`document`]: YAML text to what was written, which can be wrong
//! 2. [`scenario`]: the validated world, which cannot be wrong
//! 3. [`weighing`]: readings to a base, a base to the corners of any state, by [`statics`]
//! 4. [`model`]: the integer program as plain data
//! 5. [`search`] and [`solve`]: goals in order, counts and what was proved
//! 6. [`plan`]: the judge measures the counts again
//! 7. [`report`]: one view, several formats
//!
//! Beside the road: [`least_squares`], for what a kart's own weighings teach; and [`tasks`], the commands that need
//! more than one solve.

pub mod counts;
pub mod diagnosis;
pub mod document;
pub mod engine;
pub mod export;
pub mod goal;
pub mod least_squares;
pub mod model;
pub mod plan;
pub mod report;
pub mod scenario;
pub mod search;
pub mod solve;
pub mod statics;
pub mod tasks;
pub mod units;
pub mod weighing;
