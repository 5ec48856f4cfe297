//! The sheet: one page for the wall, the phone and the scrutineer, as HTML that needs nothing but itself.
//! Takes views, the ground and where they come from; gives the text of a file without scripts or links.
//! Does not decide what is shown nor how a number is rounded; the layout on paper is in `style.css`.

mod parts;
mod plan;
mod weigh;

use maud::{DOCTYPE, Markup, PreEscaped, html};

pub use plan::plan;
pub use weigh::weigh;

use super::drawing;
use super::imprint::{Imprint, generator};
use super::markup::{name, plain};

/// How the page looks, on a screen and on paper.
const STYLE: &str = include_str!("style.css");

/// A whole file: head, sheets, and under each of them where it comes from.
///
/// `status` is how the answer stands and what of it is proved, in one line.
fn file(title: &str, body: &Markup, imprint: &Imprint, status: &str) -> String {
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
                main { (body) }
                footer {
                    p {
                        @match &imprint.scenario {
                            Some((file, digest)) => { "Scenario " (name(file)) ", SHA-256 " (digest) "\u{2026}" }
                            None => { "Readings typed on the command line" }
                        }
                        " \u{b7} " (generator()) " \u{b7} " (status)
                    }
                }
            }
        }
    };
    page.into_string() + "\n"
}
