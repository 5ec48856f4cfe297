//! The page of `done`: what is on the kart now, and what that changes in the file.

use super::brief;
use crate::answer::done::Done;
use crate::marks::name;
use crate::page::{Block, Page, Tone};

/// The page of a plan that has been carried out.
pub fn done(done: &Done) -> Page {
    let whose = done.driver.as_ref().map(|driver| format!(" for {}", name(driver))).unwrap_or_default();
    let how = if done.taken_back { "taken back" } else { "bolted" };
    let title = format!("Plan {}{whose} is {how}", done.mark);
    let but = (!done.except.is_empty()).then(|| {
        Block::Line(format!(
            "but not: {}",
            done.except.iter().map(|one| name(one)).collect::<Vec<_>>().join(", ")
        ))
    });
    let mut blocks = vec![Block::Verdict(Tone::Good, title.clone())];
    blocks.extend(but);
    blocks.push(Block::Copy(done.diff.clone()));
    blocks.push(brief::next(if done.taken_back {
        "`plan`: the file says what was on the kart before"
    } else {
        "`weigh FILE LF RF LR RR --save` with what the pads say now; `done --undo` takes it back"
    }));
    Page { title, brief: Vec::new(), blocks, status: String::new() }
}
