//! The sheet: one page for the wall, the phone and the scrutineer, as HTML that needs nothing but itself.
//! Takes views, the ground and where they come from; gives the text of a file without scripts or links.
//! Does not decide what is shown nor how a number is rounded; the layout on paper is in `style.css`.

mod card;
mod figures;
mod jobs;
mod pack;
mod parts;
mod plan;
mod reach;
mod swap;
mod weigh;

use maud::{DOCTYPE, Markup, PreEscaped, html};

pub use card::card;
pub use pack::pack;
pub use plan::plan;
pub use reach::reach;
pub use swap::swap;
pub use weigh::weigh;

use super::drawing;
use super::imprint::{Imprint, generator};
use super::markup::{name, plain};

/// How the page looks, on a screen and on paper.
const STYLE: &str = include_str!("style.css");

/// One side of paper, if what is on it fits.
struct Page {
    /// Classes for how much is on it, with a space before each.
    density: &'static str,
    body: Markup,
}

/// A whole file: head, pages, and under each of them where it comes from.
///
/// `status` is how the answer stands and what of it is proved, in one line.
fn file(title: &str, pages: &[Page], imprint: &Imprint, status: &str) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content=(generator());
                meta name="color-scheme" content="light dark";
                title { (plain(title)) }
                style { (PreEscaped(drawing::STYLE)) (PreEscaped(STYLE)) }
            }
            body {
                main {
                    @for page in pages {
                        article class={ "page" (page.density) } { (page.body) (origin(imprint, status)) }
                    }
                }
            }
        }
    };
    page.into_string() + "\n"
}

fn origin(imprint: &Imprint, status: &str) -> Markup {
    html! {
        footer {
            @match &imprint.scenario {
                Some((file, digest)) => { "Scenario " (name(file)) ", SHA-256 " (digest) "\u{2026}" }
                None => { "Readings typed on the command line" }
            }
            " \u{b7} " (generator()) " \u{b7} " (status)
        }
    }
}
