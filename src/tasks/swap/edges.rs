//! What one change of driver takes for itself: where its sums must lie, its handovers, the fewest changes.
//! Does not know what lies between other drivers; `relay` goes through all of them together.

use std::collections::BTreeMap;
use std::ops::ControlFlow;

use super::TeamLimits;
use super::handover::{Handover, MOST_SUMS, Moves, Sums, Visited, Window};
use super::overlap::{Settled, halves, overlap, window};
use super::team::{Edge, Team};
use crate::model::Ends;
use crate::search::Guard;

/// Handovers that are listed for one edge (some 20 MiB); beyond, they are made anew at each node.
const MOST_LISTED: usize = 100_000;

/// What may happen at one edge.
pub(super) enum Source {
    /// Fewest changes first.
    Listed(Vec<Handover>),
    /// Too many to list.
    TooMany,
}

/// Changes of driver within limits.
#[derive(Clone, Copy)]
pub(super) struct Edges<'e> {
    pub(super) team: &'e Team,
    pub(super) moves: &'e Moves,
    pub(super) limits: &'e TeamLimits,
    pub(super) guard: &'e Guard<'e>,
}

/// No handover has more changes.
pub(super) fn most_changes(team: &Team, moves: &Moves) -> usize {
    moves.most_changes() + team.settings.most_work() as usize
}

impl Edges<'_> {
    /// Where the sums of an edge's handovers must lie within limits that concern its two drivers alone, by the changes that the
    /// settings take: for every pair of ways that is no more than `most` apart. One window for all of them where pairs are too
    /// many, or where nothing that a setting changes is limited.
    fn windows(&self, edge: &Edge, most: usize) -> BTreeMap<usize, Vec<Window>> {
        let Edge { earlier, later, .. } = *edge;
        let (team, limits) = (self.team, self.limits);
        let nothing = [0; MOST_SUMS];
        let between = |earlier_ends: &[Ends], ends: &[Ends]| {
            let settled = [Settled { driver: earlier, ends: earlier_ends, sums: nothing }];
            window(team, later, ends, &overlap(team, &settled, limits), limits)
        };
        let mut windows: BTreeMap<usize, Vec<Window>> = BTreeMap::new();
        let settings = &team.settings;
        if !settings.are_paired() || !limits.balance() {
            let widest = between(settings.least_ends(earlier), settings.least_ends(later));
            windows.extend(widest.map(|window| (0, vec![window])));
            return windows;
        }
        for from in 0..settings.len() {
            for (work, to) in settings.near(from, most as i64) {
                if let Some(window) = between(settings.ends(earlier, from), settings.ends(later, to)) {
                    windows.entry(work as usize).or_default().push(window);
                }
            }
        }
        windows
    }

    /// The handovers of an edge within limits that concern its two drivers alone; none if the guard ended it.
    pub(super) fn list(&self, edge: &Edge, most: usize) -> Option<Source> {
        let windows = self.windows(edge, most);
        let Some(window) = Window::around(windows.values().flatten()) else {
            return Some(Source::Listed(Vec::new()));
        };
        let mut listed: Vec<(i64, Handover)> = Vec::new();
        let visited = self.moves.each(most, &window, self.guard, &mut |handover| {
            if listed.len() == MOST_LISTED {
                return ControlFlow::Break(());
            }
            listed.push((self.apart(edge, &handover.sums), handover.clone()));
            ControlFlow::Continue(())
        });
        match visited {
            Visited::Stopped => None,
            Visited::Enough => Some(Source::TooMany),
            Visited::All => {
                // The nearest of the fewest changes first: they are the likeliest to be completed. Stable, so that equals keep
                // the order of the file.
                listed.sort_by_key(|(apart, handover)| (handover.moves.len(), *apart));
                Some(Source::Listed(listed.into_iter().map(|(_, handover)| handover).collect()))
            }
        }
    }

    /// The fewest changes of an edge within limits that concern its two drivers alone; `most + 1` if they are more than `most`.
    /// None if the guard ended it.
    pub(super) fn fewest_changes(&self, edge: &Edge, most: usize) -> Option<usize> {
        let mut groups: Vec<(usize, Window, Vec<Window>)> = Vec::new();
        for (settings, windows) in self.windows(edge, most) {
            let around = Window::around(&windows);
            if let Some(around) = around.filter(|around| self.divisible_suffices(around)) {
                groups.push((settings, around, windows));
            }
        }
        for changes in 0..=most {
            for (settings, around, windows) in groups.iter().filter(|(settings, _, _)| *settings <= changes) {
                let mut found = false;
                let visited = self.moves.each(changes - settings, around, self.guard, &mut |handover| {
                    found = windows.iter().any(|window| window.holds(&handover.sums));
                    if found { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
                });
                if visited == Visited::Stopped {
                    return None;
                }
                if found {
                    return Some(changes);
                }
            }
        }
        Some(most + 1)
    }

    /// Whether lead of any size on the quick mounts could bring every single sum into its window.
    fn divisible_suffices(&self, window: &Window) -> bool {
        let (least_ng, most_ng) = (window.least[0], window.most[0]);
        (0..=self.team.shared().targets.len()).all(|sum| {
            let highest = self.moves.divisible_reach(sum, 1, least_ng, most_ng);
            let lowest = self.moves.divisible_reach(sum, -1, least_ng, most_ng);
            highest.is_some_and(|highest| highest >= window.least[sum])
                && lowest.is_some_and(|lowest| -lowest <= window.most[sum])
        })
    }

    /// By how much two drivers' aims differ after a handover, the adjusters set as now, ng: what no common lead can close.
    fn apart(&self, edge: &Edge, sums: &Sums) -> i64 {
        let settled =
            |driver: usize, sums: Sums| Settled { driver, ends: self.team.settings.ends(driver, 0), sums };
        let settled = [settled(edge.earlier, [0; MOST_SUMS]), settled(edge.later, *sums)];
        halves(&overlap(self.team, &settled, self.limits).close).sum()
    }
}
