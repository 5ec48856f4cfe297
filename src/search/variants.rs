//! Every combination of settings as a program of lead alone.
//! Does not search; knows nothing of what an adjuster is.
//!
//! With the settings fixed, an adjuster is a constant in every target. Two combinations that leave the targets alike differ
//! only in what they cost, so the cheapest of them stands for all: with washers at two spindles, where only the difference
//! counts, forty-nine combinations are thirteen.

use std::collections::HashMap;

use crate::model::{Ends, Model, TargetRow};

/// A combination of settings.
#[derive(Clone, Debug)]
pub(super) struct Variant {
    /// The setting of every adjuster.
    pub(super) settings: Vec<u16>,
    /// Changes that it takes.
    pub(super) work: i64,
    /// Which gains it has, as a position in [`Variants::families`].
    pub(super) family: usize,
    /// What it leaves of each target without lead.
    ends: Vec<Ends>,
}

impl Variant {
    /// Makes targets of this variant's family those of this variant.
    pub(super) fn apply(&self, targets: &mut [TargetRow]) {
        for (target, ends) in targets.iter_mut().zip(&self.ends) {
            target.ends = *ends;
        }
    }
}

/// All combinations worth trying.
#[derive(Clone, Debug)]
pub(super) struct Variants {
    /// By cost, then as everything is set now, then in the order of the settings; there is one at least.
    pub(super) all: Vec<Variant>,
    /// One combination for each set of gains: what moves the lead itself makes a family.
    pub(super) families: Vec<Vec<u16>>,
    /// The largest that the targets of any combination add up to without lead, ng.
    pub(super) headroom_ng: i64,
}

impl Variants {
    pub(super) fn new(model: &Model) -> Variants {
        let now: Vec<u16> = model.adjusters.iter().map(|row| row.now as u16).collect();
        let mut variants = Variants { all: Vec::new(), families: Vec::new(), headroom_ng: 0 };
        let mut family_of: HashMap<Vec<u16>, usize> = HashMap::new();
        let mut by_effect: HashMap<(usize, Vec<Ends>), usize> = HashMap::new();
        let mut combinations: Vec<(i64, Vec<u16>)> =
            combinations(model).map(|settings| (model.work_of(&settings), settings)).collect();
        // A stable sort: combinations of one cost keep their order, behind the one of now.
        combinations.sort_by_key(|(work, settings)| (*work, *settings != now));
        for (work, settings) in combinations {
            // Settings that change no gains are all alike to the family.
            let moving: Vec<u16> = std::iter::zip(&model.adjusters, &settings)
                .map(|(row, setting)| {
                    let changes_gains = !row.settings[*setting as usize].gains_ng.is_empty();
                    if changes_gains { *setting } else { row.now as u16 }
                })
                .collect();
            let families = &mut variants.families;
            let family = *family_of.entry(moving).or_insert_with_key(|moving| {
                families.push(moving.clone());
                families.len() - 1
            });
            let ends = model.ends_at(&settings);
            let all = &mut variants.all;
            by_effect.entry((family, ends)).or_insert_with_key(|(family, ends)| {
                all.push(Variant { settings, work, family: *family, ends: ends.clone() });
                all.len() - 1
            });
        }
        let sums = variants.all.iter().map(|variant| variant.ends.iter().map(|ends| ends.largest()).sum());
        variants.headroom_ng = sums.max().unwrap_or(0);
        variants
    }
}

/// Every choice of one setting for each adjuster, the last adjuster running fastest.
fn combinations(model: &Model) -> impl Iterator<Item = Vec<u16>> + '_ {
    let ways = model.adjusters.iter().map(|row| if row.is_free { row.settings.len() } else { 1 }).product();
    (0..ways).map(|index: usize| {
        let mut rest = index;
        let mut settings: Vec<u16> = model
            .adjusters
            .iter()
            .rev()
            .map(|row| {
                if !row.is_free {
                    return row.now as u16;
                }
                let setting = rest % row.settings.len();
                rest /= row.settings.len();
                setting as u16
            })
            .collect();
        settings.reverse();
        settings
    })
}
