//! The families that are measured, in the order in which they are shown.
//! Measures nothing and uses nothing of the library.

use crate::adjusting::{Levers, with_levers};
use crate::cases::{self, Draw, Family, Lead};

/// Why a family is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Part {
    /// Of a size that people have; many seeds.
    Usual,
    /// To see where it stops; few seeds.
    Growth,
}

/// In which order the goals come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Order {
    Usual,
    /// Drawn with each case, so that no order is tuned for alone.
    Drawn,
}

/// A family of so many pieces and mounts.
type OfSize = fn(usize, usize) -> Family;

/// One row.
#[derive(Clone, Debug)]
pub(crate) struct Row {
    /// What kind of case, and its size as pieces/mounts.
    pub(crate) name: String,
    /// Why it is measured.
    pub(crate) part: Part,
    family: Family,
    order: Order,
    levers: Option<Levers>,
}

impl Row {
    /// The scenario of a seed, as text.
    pub(crate) fn case(&self, seed: u64) -> String {
        let mut family = self.family.clone();
        if self.order == Order::Drawn {
            let mut draw = Draw::new(!seed);
            for place in (1..family.order.len()).rev() {
                family.order.swap(place, draw.below(place + 1));
            }
        }
        let text = cases::scenario(&family, seed);
        self.levers.map_or(text.clone(), |levers| with_levers(&text, levers, seed))
    }
}

/// All rows.
pub(crate) fn rows() -> Vec<Row> {
    use Lead::{Catalogue, Weighed};
    let mut rows = Vec::new();
    for mounts in [6, 10, 14] {
        rows.push(row("catalogue", Family::plain(Catalogue, 17, mounts)));
    }
    for (pieces, mounts) in [(17, 6), (17, 10), (17, 14), (25, 10), (25, 14), (31, 10), (31, 14)] {
        rows.push(row("weighed", Family::plain(Weighed, pieces, mounts)));
    }
    for (name, lead) in [("catalogue, four targets", Catalogue), ("weighed, four targets", Weighed)] {
        rows.push(row(name, Family::rich(lead, 17, 10)));
    }
    for (name, family) in [
        ("weighed, any goal order", Family::plain(Weighed, 17, 10)),
        ("weighed, four targets, any goal order", Family::rich(Weighed, 17, 10)),
    ] {
        rows.push(Row { order: Order::Drawn, ..row(name, family) });
    }
    for (name, family) in [
        ("catalogue", Family::plain(Catalogue, 17, 10)),
        ("weighed", Family::plain(Weighed, 17, 10)),
        ("weighed", Family::plain(Weighed, 25, 14)),
        ("weighed, four targets", Family::rich(Weighed, 17, 10)),
    ] {
        let out_of_reach = Family { out_of_reach: true, ..family.clone() };
        rows.push(row(&format!("{name}, out of reach"), out_of_reach));
        rows.push(row(&format!("{name}, nearly full"), Family { nearly_full: true, ..family }));
    }
    let holes_and_washers = Levers { holes: (9, 5), washers: (6, 6), ..Levers::default() };
    for (name, family) in [
        ("weighed, seat and spacers", Family::plain(Weighed, 17, 10)),
        ("weighed, four targets, seat and spacers", Family::rich(Weighed, 17, 10)),
    ] {
        rows.push(Row { levers: Some(holes_and_washers), ..row(name, family) });
    }
    let growing: [(&str, OfSize); 4] = [
        ("growth, catalogue", |pieces, mounts| Family::plain(Catalogue, pieces, mounts)),
        ("growth, weighed", |pieces, mounts| Family::plain(Weighed, pieces, mounts)),
        ("growth, weighed, out of reach", |pieces, mounts| Family {
            out_of_reach: true,
            ..Family::plain(Weighed, pieces, mounts)
        }),
        ("growth, weighed, four targets", |pieces, mounts| Family::rich(Weighed, pieces, mounts)),
    ];
    for (name, family) in growing {
        for (pieces, mounts) in [(20, 10), (30, 12), (40, 14), (50, 16), (60, 20)] {
            rows.push(Row { part: Part::Growth, ..row(name, family(pieces, mounts)) });
        }
    }
    rows
}

fn row(name: &str, family: Family) -> Row {
    let name = format!("{name} {}/{}", family.pieces, family.mounts);
    Row { name, part: Part::Usual, family, order: Order::Usual, levers: None }
}
