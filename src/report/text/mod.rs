//! Reports as text for a screen, from 40 columns up, readable without colour, in ASCII except for the user's
//! own names.
//! Takes views; gives text with terminal styles in it, to be stripped where the stream wants none.
//! Does not decide what is shown nor how a number is rounded.

mod alternatives;
mod card;
mod check;
mod explain;
mod help;
mod howto;
mod learn;
mod margin;
mod pack;
mod page;
mod plan;
mod reach;
mod swap;
mod weigh;

pub use card::{Listed, card};
pub use check::check;
pub use explain::{explanation, explanations};
pub use howto::how_to;
pub use learn::{changes, learn};
pub use pack::pack;
pub use plan::plan;
pub use reach::reach;
pub use swap::swap;
pub use weigh::weigh;

use super::target::Standing;
use crate::scenario::Figure;
use crate::uncertainty::verdict::Call;
pub use page::PLAIN;
use page::{Cell, Page, Tone};

/// A complaint that belongs to no line of a file: `kind: message`, then what to do.
pub fn complaint(kind: &str, message: &str, help: &str, width: usize) -> String {
    let mut page = Page::new(width);
    page.paragraph(0, Tone::Bad, &format!("{kind}: {message}"));
    page.paragraph(0, Tone::Plain, &format!("help: {help}"));
    page.into_text()
}

/// Good only where it is sure; what nobody can tell stands out neither way.
fn tone_of(standing: &Standing) -> Tone {
    match standing.call {
        Call::Met => Tone::Good,
        Call::Missed => Tone::Bad,
        Call::TooClose => Tone::Plain,
    }
}

fn verdict(standing: &Standing) -> Cell {
    Cell::word(&standing.verdict()).toned(tone_of(standing))
}

/// What the shown figures are made of, once.
fn definitions(page: &mut Page, figures: impl Iterator<Item = Figure>) {
    let definitions: Vec<&str> = figures.filter_map(Figure::definition).collect();
    if !definitions.is_empty() {
        page.paragraph(2, Tone::Plain, &definitions.join("; "));
    }
}
