//! Text of the user inside pages and pictures.
//! Names are nothing but text, whatever script they are in; escaping itself is done by the templates.

use maud::{Markup, html};

use crate::diagnosis::visible;
use crate::marks::{Piece, pieces};
use crate::units::UnitSystem;

/// A text for places where only characters may stand, such as a title: nothing hidden, nothing that XML forbids.
pub(crate) fn plain(text: &str) -> String {
    // The two noncharacters that XML 1.0 excludes although they are neither controls nor surrogates.
    visible(text).replace(['\u{fffe}', '\u{ffff}'], "\u{fffd}")
}

/// A word that is longer may be broken anywhere, lest it push a table off a phone.
const LONG_WORD: usize = 14;

/// A name: isolated, so that one that runs from right to left does not reorder what stands beside it.
pub(crate) fn name(text: &str) -> Markup {
    let text = plain(text);
    let long = text.split(' ').any(|word| word.chars().count() > LONG_WORD);
    html! { bdi class=[long.then_some("long")] { (text) } }
}

/// A sentence that may quote names in backticks; they are isolated like names and stand in quotation marks.
pub(crate) fn sentence(text: &str) -> Markup {
    // An odd backtick, which only a name can hold, begins no quotation.
    let quotations = text.matches('`').count() / 2;
    let parts = text.split('`').enumerate();
    html! {
        @for (index, part) in parts {
            @if index % 2 == 1 && index <= 2 * quotations {
                "\u{2018}" (name(part)) "\u{2019}"
            } @else if index > 2 * quotations {
                "`" (plain(part))
            } @else {
                // A screen has no sign for it that every terminal shows.
                (plain(part).replace("+-", "\u{b1}"))
            }
        }
    }
}

/// A sentence of an answer in the units of its reader: names are isolated, in quotation marks where the sentence has them in
/// backticks, a ± stands back.
pub(crate) fn marked(text: &str, units: UnitSystem) -> Markup {
    let all = pieces(text, units);
    let words = |index: Option<usize>| match index.and_then(|index| all.get(index)) {
        Some(Piece::Words(words)) => *words,
        _ => "",
    };
    let is_quoted = |index: usize| {
        matches!(all.get(index), Some(Piece::Name(_)))
            && words(index.checked_sub(1)).ends_with('`')
            && words(Some(index + 1)).starts_with('`')
    };
    html! {
        @for (index, piece) in all.iter().enumerate() {
            @match piece {
                Piece::Words(words) => {
                    @let words = if index > 0 && is_quoted(index - 1) { &words[1..] } else { words };
                    @let end = if is_quoted(index + 1) && !words.is_empty() { words.len() - 1 } else { words.len() };
                    (sentence(&words[..end]))
                }
                // A name that was written for a file, in words.
                Piece::Name(called) => {
                    @let called = called.replace('_', " ");
                    @if is_quoted(index) { "\u{2018}" (name(&called)) "\u{2019}" } @else { (name(&called)) }
                }
                Piece::Amount { number, plus_minus, unit } => {
                    (number)
                    @if let Some(plus_minus) = plus_minus {
                        " " span class="plus-minus" { "\u{b1} " (plus_minus) }
                    }
                    @if !unit.is_empty() { " " (unit) }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::marks;

    #[test]
    fn a_name_is_text_whatever_is_in_it() {
        assert_eq!(name("<b>&\"").into_string(), "<bdi>&lt;b&gt;&amp;&quot;</bdi>");
    }

    #[test]
    fn hidden_and_forbidden_characters_are_seen() {
        assert_eq!(plain("a\u{202e}b\u{ffff}"), "a\\u{202e}b\u{fffd}");
    }

    #[test]
    fn a_quoted_name_is_isolated_and_a_lone_backtick_kept() {
        let one = sentence("`nose` takes no more").into_string();
        assert_eq!(one, "\u{2018}<bdi>nose</bdi>\u{2019} takes no more");
        assert_eq!(sentence("one ` only").into_string(), "one ` only");
        let three = sentence("`a` and `").into_string();
        assert_eq!(three, "\u{2018}<bdi>a</bdi>\u{2019} and `");
    }

    #[test]
    fn a_marked_name_in_backticks_is_quoted_in_words() {
        let shown = |text: &str| marked(text, UnitSystem::KgMm).into_string();
        let one = format!("`{}` is full, `{}`", marks::name("floor_front"), marks::name("a"));
        assert_eq!(
            shown(&one),
            "\u{2018}<bdi>floor front</bdi>\u{2019} is full, \u{2018}<bdi>a</bdi>\u{2019}"
        );
        let keys = format!("{} by `measured_within`", marks::name("nose"));
        assert_eq!(
            shown(&keys),
            "<bdi>nose</bdi> by \u{2018}<bdi class=\"long\">measured_within</bdi>\u{2019}"
        );
    }
}
