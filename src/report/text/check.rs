//! The text of `check` for a file without errors: one line that says so, and what the file holds.
//! Takes the view; gives text.
//! Does not know diagnoses, which have words of their own.

use super::page::{Page, Tone};
use crate::report::check::{CheckView, Need};
use crate::report::margin::Required;

/// Lays out what a file holds for a screen of so many columns.
pub fn check(view: &CheckView, warnings: usize, width: usize) -> String {
    let mut page = Page::new(width);
    let verdict = match warnings {
        0 => format!("nothing wrong in {}", view.file),
        1 => format!("no errors in {}, but 1 warning", view.file),
        several => format!("no errors in {}, but {several} warnings", view.file),
    };
    page.paragraph(0, if warnings == 0 { Tone::Good } else { Tone::Bad }, &verdict);
    let several = |count: usize, one: &str| format!("{count} {one}{}", if count == 1 { "" } else { "s" });
    page.paragraph(
        2,
        Tone::Plain,
        &format!("{}, {}, {}", view.kart, view.class, several(view.targets, "target")),
    );
    let mounts = several(view.mounts, "mount");
    page.paragraph(2, Tone::Plain, &format!("{mounts} that may carry {}", view.mounts_carry));
    let pieces = several(view.pieces as usize, "piece");
    page.paragraph(2, Tone::Plain, &format!("{pieces} of lead, {}; {} fitted now", view.lead, view.fitted));
    let shared = view.required();
    for Need { driver, required, lead, sure } in &view.needs {
        let who = driver.as_deref().map(|name| format!(" with {name}")).unwrap_or_default();
        let needed = if lead.kg > 0.0 {
            format!("lead needed{who}: {} +- {sure}", lead.number)
        } else {
            format!(
                "no lead needed{who}: {} +- {sure} more than required",
                lead.number.trim_start_matches('-')
            )
        };
        let own = if shared.is_none() { format!(", for {}", wanted(required)) } else { String::new() };
        page.paragraph(2, Tone::Plain, &format!("{needed}{own}"));
    }
    if let Some(required) = shared {
        page.paragraph(2, Tone::Plain, &format!("for {}", wanted(required)));
    }
    page.into_text()
}

fn wanted(required: &Required) -> String {
    format!("{} at the {}", required.required, required.weighed_at.word())
}
