//! Drivers whose place was taken from somebody else, as lines: from whom, how uncertain, and what would settle it.
//! Takes a scenario and who is concerned; gives numbers for documents and one sentence each.
//! Does not know what the uncertainty does to a plan: that is in every ±.

use super::amount::{Distance, Screen};
use crate::scenario::{Driver, Scenario};

/// One driver known only by a dressed mass.
#[derive(Clone, Debug, PartialEq)]
pub struct BorrowedLine {
    /// Who.
    pub driver: String,
    /// Whose place it is.
    pub from: String,
    /// Ahead of the rear axle, and to the left.
    pub place: [Distance; 2],
    /// The ± of both, as a limit.
    pub within: [Distance; 2],
    /// The same in words.
    pub words: String,
}

/// Those of some drivers whose place was taken from another, in the order of the file.
pub fn borrowed_lines(
    screen: Screen,
    scenario: &Scenario,
    concerned: impl Fn(usize) -> bool,
) -> Vec<BorrowedLine> {
    let drivers = scenario.drivers().iter().enumerate().filter(|(index, _)| concerned(*index));
    let line = |driver: &Driver| {
        let (acts, from) = (driver.acts?, &scenario.drivers().get(driver.place_of?)?.name);
        let name = &driver.name;
        let place = [acts.x, acts.y].map(|length| screen.place(length));
        let within = Driver::borrowed_within().map(|length| screen.fine(length));
        let [forward, side] = &within;
        let words = format!(
            "nobody has told where the weight of {name} acts: it is taken to act where that of {from} does, give or \
             take {forward} forward or back and {side} to a side; weighing the kart with {name} in the seat would \
             settle it"
        );
        Some(BorrowedLine { driver: name.clone(), from: from.clone(), place, within, words })
    };
    drivers.filter_map(|(_, driver)| line(driver)).collect()
}
