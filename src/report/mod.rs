//! One view per command: what to show, rounded and labelled once; formats only lay it out.
//! Takes the scenario and what a command found; gives views, and from them text and JSON.
//! Does not solve, print or know a terminal; reports are leaves that nothing else imports.

pub mod amount;
pub mod check;
pub mod help;
mod hurdle;
pub mod json;
pub mod plan;
pub mod setting;
pub mod shortfall;
pub mod target;
pub mod text;
pub mod warp;
pub mod weigh;
