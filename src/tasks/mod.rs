//! Commands that are more than one solve of one scenario: one file each.

pub mod alternatives;
pub mod binding;
pub mod card;
pub mod export;
pub mod forecast;
mod fractional_knapsack;
pub mod gate;
pub mod help;
pub mod learn;
pub mod misfit;
pub mod pack;
mod pursuit;
pub mod reach;
pub mod swap;
pub mod team_help;
pub mod watch;
