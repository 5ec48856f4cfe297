//! A trip: for whom, in which classes and with which targets lead has to be packed, and what can be bought for it.

mod case;
mod hardware;
mod list;
mod read;
mod variations;

use super::{Class, Kind, Target};

pub use hardware::Hardware;

pub(super) use read::{Early, Parts};

/// What may have to be raced, and what may be bought for it. Kinds are counted over the lead of the scenario, then the list.
#[derive(Clone, Debug, PartialEq)]
pub struct Trip {
    /// Who drives; one nobody for a kart whose file lists no driver.
    pub drivers: Vec<Option<usize>>,
    /// Classes; the scenario's own if the file names none.
    pub classes: Vec<Class>,
    /// Variations of the targets; one without a name if the file names none.
    pub variations: Vec<Variation>,
    /// Sizes that can be bought.
    pub list: Vec<ForSale>,
    /// Pieces to take along beyond what any case needs, by kind.
    pub spares: Vec<u32>,
    /// What lead is fixed with, if the file says.
    pub hardware: Option<Hardware>,
}

/// Targets under a name.
#[derive(Clone, Debug, PartialEq)]
pub struct Variation {
    /// Name; empty for the targets of the scenario itself.
    pub name: String,
    /// All targets that count then.
    pub targets: Vec<Target>,
}

/// A size that can be bought.
#[derive(Clone, Debug, PartialEq)]
pub struct ForSale {
    /// The pieces; their count is the most that can be had.
    pub kind: Kind,
    /// What one piece costs; none if no size on the list has a price.
    pub price: Option<Price>,
    /// By mount, whether it may go there.
    pub takes: Vec<bool>,
}

/// A price in thousandths of whatever the file counts in, so that sums are exact.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Price(pub i64);

/// One combination of driver, class and targets; the last two are indices of the trip.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Case {
    /// Who drives, as an index of the scenario.
    pub driver: Option<usize>,
    pub class: usize,
    /// With which targets.
    pub variation: usize,
}

impl Trip {
    /// Whether the list has prices; without them each piece bought counts as one.
    pub fn is_priced(&self) -> bool {
        self.list.iter().any(|size| size.price.is_some())
    }

    /// Every case, drivers first.
    pub fn cases(&self) -> Vec<Case> {
        let of_class = |driver, class| {
            (0..self.variations.len()).map(move |variation| Case { driver, class, variation })
        };
        let of_driver = |driver| (0..self.classes.len()).flat_map(move |class| of_class(driver, class));
        self.drivers.iter().copied().flat_map(of_driver).collect()
    }
}
