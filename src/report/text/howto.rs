//! The text of `weigh --howto`: the order of a good weighing.
//! Takes nothing but the width of the screen; gives text.
//! Does not know any scenario.

use super::page::{Page, Tone};
use crate::report::doubts::HOW_TO;
use crate::report::headline::FRAME_CAUTION;

/// Lays out the steps for a screen of so many columns.
pub fn how_to(width: usize) -> String {
    let mut page = Page::new(width);
    page.paragraph(0, Tone::Strong, "A good weighing (common practice, no published source)");
    page.gap();
    for (number, step) in (1..).zip(HOW_TO) {
        page.paragraph(0, Tone::Plain, &format!("{number}. {step}"));
    }
    page.gap();
    page.paragraph(0, Tone::Plain, FRAME_CAUTION);
    page.into_text()
}
