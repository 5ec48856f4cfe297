//! The words that options choose from.
//! Gives closed choices to the grammar, which spells them in its help.
//! Does not know what they lead to. Belongs to the binary.

use clap::ValueEnum;

/// Units of the screen.
#[derive(Clone, Copy, ValueEnum)]
pub(super) enum Units {
    KgMm,
    LbIn,
}

/// How errors and warnings are told.
#[derive(Clone, Copy, ValueEnum)]
pub(super) enum Format {
    Human,
    Short,
    Json,
}

/// The second figure of a card.
#[derive(Clone, Copy, ValueEnum)]
pub(super) enum AcrossWord {
    Left,
    Cross,
}

/// When the screen is coloured.
#[derive(Clone, Copy, ValueEnum)]
pub(super) enum When {
    Auto,
    Always,
    Never,
}
