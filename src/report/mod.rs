//! One view per command: what to show, rounded and labelled once; formats only lay it out.
//! Takes the scenario and what a command found; gives views, and from them text, JSON, sheets and drawings.
//! Does not solve, print or know a terminal; reports are leaves that nothing else imports.

pub mod alternatives;
pub mod amount;
pub mod borrowed;
pub mod card;
pub mod changes;
pub mod check;
pub mod doubts;
pub mod drawing;
pub mod forecast;
pub mod fragment;
pub mod ground;
pub mod headline;
pub mod height;
pub mod help;
mod hurdle;
pub mod imprint;
pub mod json;
pub mod learn;
mod lettering;
pub mod margin;
mod markup;
pub mod pack;
pub mod plan;
pub mod reach;
pub mod reach_drawing;
pub mod setting;
pub mod sheet;
pub mod shortfall;
pub mod state;
pub mod sure;
pub mod swap;
pub mod target;
pub mod team_help;
pub mod text;
pub mod title;
pub mod warp;
pub mod weigh;
