//! Stints by trays: what is always on a kart that several drivers share, and what lies in each tray at every stint.

use super::work::named;
use super::{Drawn, mount, picture};
use crate::answer::swap::{Handover, Setup, Swap};
use crate::answer::work::{Change, Placement};
use crate::marks::name;
use crate::page::{Block, Fate, LeadTable, Lying, Pieces};

/// Stints that fit beside each other on paper.
const STINTS_ABREAST: usize = 4;
/// Side of the square of a kilogram, pixels: five kilograms are as high as three lines.
const SIDE_PX: f64 = 17.0;

/// The map with what is always on the kart, then the trays from stint to stint.
pub(super) fn trays(swap: &Swap, setup: &Setup, map: Option<&Drawn>) -> Vec<Block> {
    let loads = || setup.drivers.first().into_iter().flat_map(|first| &first.mounts);
    let base = loads().filter_map(|load| {
        let here: Vec<Pieces> = at(&load.mount, &setup.base)
            .map(|placement| of(placement, placement.count, Fate::Stays))
            .collect();
        (!here.is_empty())
            .then(|| (mount(&load.mount, map), vec![Lying { pieces: here, text: String::new() }]))
    });
    let base: Vec<_> = base.collect();
    let mut always = vec![Block::Heading("Always on the kart".to_owned())];
    always.push(if base.is_empty() {
        Block::Line("nothing".to_owned())
    } else {
        table(String::new(), Vec::new(), base)
    });
    let quick: Vec<&str> = loads().filter(|load| load.quick).map(|load| load.mount.as_str()).collect();
    let handovers = std::iter::once(&setup.preparation).chain(setup.stops.iter().map(|stop| &stop.handover));
    let stints: Vec<(usize, &str, &Handover)> = (1..)
        .zip(&swap.order)
        .zip(handovers)
        .map(|((number, driver), handover)| (number, driver.as_str(), handover))
        .collect();
    if !quick.is_empty() {
        always.push(Block::Line(
            "Black: put in before this stint. Hatched: there already. Outline: taken out. A square is as large as its piece."
                .to_owned(),
        ));
    }
    let mut blocks = vec![Block::Beside(vec![picture(map).into_iter().collect(), always])];
    for (part, some) in stints.chunks(STINTS_ABREAST).enumerate().filter(|_| !quick.is_empty()) {
        let caption = if part == 0 { "In the trays, stint by stint" } else { "" };
        let head = some.iter().map(|(number, driver, _)| format!("{number} {}", name(driver))).collect();
        let rows = quick.iter().map(|tray| {
            let lying = some.iter().map(|(_, driver, handover)| in_tray(setup, tray, driver, handover));
            (mount(tray, map), lying.collect())
        });
        blocks.push(table(caption.to_owned(), head, rows.collect()));
    }
    blocks
}

fn table(caption: String, head: Vec<String>, rows: Vec<(String, Vec<Lying>)>) -> Block {
    Block::Lead(LeadTable { caption, head, rows, side_px: SIDE_PX })
}

fn at<'p>(mount: &str, placements: &'p [Placement]) -> impl Iterator<Item = &'p Placement> {
    placements.iter().filter(move |placement| placement.mount == mount)
}

fn of(placement: &Placement, count: u32, fate: Fate) -> Pieces {
    let words = named(count, placement.each, &placement.piece);
    Pieces { kg: placement.each.value, count, fate, words }
}

/// What one driver has in a tray: what was there, what is put in, what is taken out.
fn in_tray(setup: &Setup, tray: &str, driver: &str, handover: &Handover) -> Lying {
    let driven = setup.drivers.iter().find(|one| one.driver == driver);
    let moved = |piece: &str, end: fn(&Change) -> Option<&String>| -> u32 {
        let jobs =
            handover.jobs.iter().filter(|job| job.piece == piece && end(job).is_some_and(|end| end == tray));
        jobs.map(|job| job.count).sum()
    };
    let lying = driven.into_iter().flat_map(|one| at(tray, &one.placements)).flat_map(|placement| {
        let comes = moved(&placement.piece, |job| job.to.as_ref());
        [(placement.count - comes.min(placement.count), Fate::Stays), (comes, Fate::Comes)]
            .map(|(count, fate)| of(placement, count, fate))
    });
    let leaves = handover.jobs.iter().filter(|job| job.from.as_deref() == Some(tray)).map(|job| Pieces {
        kg: job.each.value,
        count: job.count,
        fate: Fate::Leaves,
        words: format!("out: {}", named(job.count, job.each, &job.piece)),
    });
    let mut pieces: Vec<Pieces> = lying.filter(|pieces| pieces.count > 0).collect();
    let text = if pieces.is_empty() { "empty".to_owned() } else { String::new() };
    pieces.extend(leaves);
    Lying { pieces, text }
}
