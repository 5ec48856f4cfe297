//! Commands that are more than one solve of one scenario: one file each.
//! Takes a validated scenario and what is asked of it; gives plain data for a report, or a text for another program.
//! Does not read files, print or choose units of display.

pub mod after;
pub mod alternatives;
pub mod binding;
pub mod card;
pub mod export;
pub mod help;
pub mod learn;
mod liquid;
pub mod misfit;
pub mod pack;
mod pursuit;
pub mod reach;
pub mod swap;
pub mod team_help;
