//! How many pieces of each kind are on each mount, and how each adjuster is set.
//! The one table that the scenario (fitted now), the search (its answer) and the judge (its input) share.

/// Pieces of every kind on every mount, and the setting of every adjuster; all are numbered in file order.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Counts {
    mounts: usize,
    pieces: Vec<u32>,
    settings: Vec<u16>,
}

impl Counts {
    /// Nothing on any mount, adjusters as they are set now.
    pub fn none(kinds: usize, mounts: usize) -> Counts {
        Counts { mounts, pieces: vec![0; kinds * mounts], settings: Vec::new() }
    }

    /// The same pieces with the adjusters set so.
    #[must_use]
    pub fn with_settings(self, settings: &[u16]) -> Counts {
        Counts { settings: settings.to_vec(), ..self }
    }

    /// The same with one adjuster set otherwise; `now` is how all of them are set where the counts say nothing.
    #[must_use]
    pub fn with_setting(self, adjuster: usize, setting: usize, now: &[u16]) -> Counts {
        let mut settings = if self.settings.is_empty() { now.to_vec() } else { self.settings.clone() };
        settings[adjuster] = setting as u16;
        Counts { settings, ..self }
    }

    /// The setting of every adjuster, as indices.
    pub fn settings(&self) -> &[u16] {
        &self.settings
    }

    /// The setting of one adjuster, as an index; `now` for counts that say nothing of adjusters.
    pub fn setting(&self, adjuster: usize, now: usize) -> usize {
        self.settings.get(adjuster).map_or(now, |setting| *setting as usize)
    }

    /// The same settings with nothing on any mount.
    #[must_use]
    pub fn without_pieces(&self) -> Counts {
        Counts { pieces: vec![0; self.pieces.len()], ..self.clone() }
    }

    /// Pieces by kind, then by mount, in file order.
    pub fn pieces(&self) -> &[u32] {
        &self.pieces
    }

    /// Pieces of `kind` on `mount`.
    pub fn get(&self, kind: usize, mount: usize) -> u32 {
        self.pieces[kind * self.mounts + mount]
    }

    /// The same, to be changed.
    pub fn get_mut(&mut self, kind: usize, mount: usize) -> &mut u32 {
        &mut self.pieces[kind * self.mounts + mount]
    }

    /// Number of mounts.
    pub fn mounts(&self) -> usize {
        self.mounts
    }

    /// Number of kinds.
    pub fn kinds(&self) -> usize {
        self.pieces.len().checked_div(self.mounts).unwrap_or(0)
    }

    /// Pieces of `kind` on all mounts together.
    pub fn of_kind(&self, kind: usize) -> u32 {
        self.pieces[kind * self.mounts..][..self.mounts].iter().sum()
    }

    /// Every place where something is: kind, mount, count; in file order.
    pub fn placed(&self) -> impl Iterator<Item = (usize, usize, u32)> + '_ {
        self.pieces
            .iter()
            .enumerate()
            .filter(|(_, count)| **count > 0)
            .map(|(cell, count)| (cell / self.mounts, cell % self.mounts, *count))
    }

    /// What is on one mount: kind, count; in file order.
    pub fn on_mount(&self, mount: usize) -> impl Iterator<Item = (usize, u32)> + '_ {
        let counts = self.pieces.iter().skip(mount).step_by(self.mounts.max(1));
        counts.enumerate().map(|(kind, count)| (kind, *count)).filter(|(_, count)| *count > 0)
    }

    /// The same for a longer list of kinds, of which the new ones are nowhere.
    #[must_use]
    pub fn with_kinds(mut self, kinds: usize) -> Counts {
        self.pieces.resize(kinds * self.mounts, 0);
        self
    }

    /// Whether nothing is on any mount.
    pub fn is_empty(&self) -> bool {
        self.pieces.iter().all(|count| *count == 0)
    }

    /// Pieces of `kind` taken off and put on, mount by mount, when `self` becomes `other`.
    pub fn off_and_on(&self, other: &Counts, kind: usize) -> (u32, u32) {
        (0..self.mounts).fold((0, 0), |(off, on), mount| {
            let (before, after) = (self.get(kind, mount), other.get(kind, mount));
            (off + before.saturating_sub(after), on + after.saturating_sub(before))
        })
    }

    /// Changes of lead from `self` to `other`: per kind the larger of pieces off and pieces on, summed. A piece moved is one change.
    pub fn changes_to(&self, other: &Counts) -> u32 {
        (0..self.kinds())
            .map(|kind| {
                let (off, on) = self.off_and_on(other, kind);
                off.max(on)
            })
            .sum()
    }
}
