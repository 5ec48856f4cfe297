//! The part of a trip about what can be bought: sizes with prices and limits.

use super::{Early, Price};
use crate::diagnosis::Fault;
use crate::document::Value;
use crate::scenario::Within;
use crate::scenario::lead::{self, LeadBox};

/// What is for sale: the sizes as a box of lead, and the price of each.
#[derive(Default)]
pub(in crate::scenario) struct Listed<'r> {
    pub(in crate::scenario) sizes: LeadBox<'r>,
    /// By kind; none where there is no price, or none that could be read.
    pub(super) prices: Vec<Option<Price>>,
}

impl<'r> Early<'r> {
    /// What `buy` says, wanted before mounts are read, as they may name sizes in what they take.
    pub(in crate::scenario) fn for_sale(&self, owned: &LeadBox, within: &Within) -> Listed<'r> {
        let Some(trip) = &self.given else { return Listed::default() };
        let mut prices = Vec::new();
        let mut prices_seen: Vec<(Value, bool)> = Vec::new();
        let sizes = lead::sizes(&trip.buy, self.rules.as_ref(), within, |value, price| {
            prices_seen.push((value.clone(), price.as_ref().is_some_and(|price| price.value.is_some())));
            let price = price.and_then(|price| price.read);
            prices.push(price.map(|price| Price((price * 1e3).round() as i64)));
        });
        for family in &sizes.families {
            if owned.all_names().any(|name| name == family.name) {
                family.value.note_key(Fault::SizeOwned { size: family.name.clone() });
            }
        }
        if let Some((with, _)) = prices_seen.iter().find(|(_, has_price)| *has_price) {
            for (without, _) in prices_seen.iter().filter(|(_, has_price)| !has_price) {
                without.note_key(Fault::PriceMissing { size: without.key().into(), with: with.key().into() });
            }
        }
        Listed { sizes, prices }
    }
}
