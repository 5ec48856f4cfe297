//! The program as moves: groups of equal pieces that lie at one place now, and where each may go.
//!
//! A plan is a set of moves away from what is fitted. Equal pieces are interchangeable, so a kind's change is a multiset of
//! places left and a disjoint multiset of places entered, and its work is the number of pieces that move: pieces that leave
//! a mount plus pieces that leave the box, which is the larger of pieces off and pieces on, because a kind never both
//! leaves the box and enters it.

use crate::model::{Cell, Model, TargetRow};

/// A set of places as bits: mount m is bit m, the box is the bit after the last mount.
pub(super) type Places = u64;

/// Most mounts that a set of places can hold, the box aside.
pub const MOST_MOUNTS: usize = 63;

/// Equal pieces at one place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Group {
    pub(super) kind: usize,
    /// Place where they are now: a mount, or the box.
    pub(super) source: usize,
    pub(super) count: u32,
    /// Pieces that may not stay there.
    pub(super) must_leave: u32,
    pub(super) mass_ng: i64,
    pub(super) thickness_nm: i64,
}

/// What a mount carries.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Stack {
    pub(super) mass_ng: i64,
    pub(super) room_nm: i64,
    pub(super) pieces: u32,
}

impl Stack {
    /// So many pieces of one mass and thickness.
    pub(super) fn of(mass_ng: i64, thickness_nm: i64, count: u32) -> Stack {
        let times = |one: i64| one * i64::from(count);
        Stack { mass_ng: times(mass_ng), room_nm: times(thickness_nm), pieces: count }
    }

    pub(super) fn add(&mut self, group: &Group, count: u32) {
        self.join(&Stack::of(group.mass_ng, group.thickness_nm, count));
    }

    pub(super) fn remove(&mut self, group: &Group, count: u32) {
        self.part(&Stack::of(group.mass_ng, group.thickness_nm, count));
    }

    /// Adds what another stack holds.
    pub(super) fn join(&mut self, other: &Stack) {
        self.mass_ng += other.mass_ng;
        self.room_nm += other.room_nm;
        self.pieces += other.pieces;
    }

    /// Takes away what another stack holds.
    pub(super) fn part(&mut self, other: &Stack) {
        self.mass_ng -= other.mass_ng;
        self.room_nm -= other.room_nm;
        self.pieces -= other.pieces;
    }
}

/// Groups, and what never changes.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    /// Heaviest piece first, then file order; groups of one kind are neighbours, the box first.
    pub(super) groups: Vec<Group>,
    /// Where pieces of each kind may be put, by kind.
    pub(super) open: Vec<Places>,
    /// The box, as a place.
    pub(super) the_box: usize,
    /// Locked pieces as groups that stay.
    pub(super) locked: Vec<Group>,
    /// Whether every group starts in the box.
    pub(super) all_in_box: bool,
}

impl Layout {
    /// What a piece adds to a target's sum of gains at a place; nothing in the box.
    pub(super) fn gain_ng(&self, target: &TargetRow, kind: usize, place: usize) -> i64 {
        if place == self.the_box { 0 } else { target.gain_ng[kind * self.the_box + place] }
    }

    /// What the locked pieces put on each mount.
    pub(super) fn locked_stacks(&self) -> Vec<Stack> {
        let mut stacks = vec![Stack::default(); self.the_box];
        for group in &self.locked {
            stacks[group.source].add(group, group.count);
        }
        stacks
    }

    /// What the locked pieces add to a target's sums of gains and of slacks, ng.
    pub(super) fn locked_sums_ng(&self, target: &TargetRow) -> (i64, i64) {
        self.locked.iter().fold((0, 0), |(x, tau), group| {
            let count = i64::from(group.count);
            let gain_ng = self.gain_ng(target, group.kind, group.source);
            (x + gain_ng * count, tau + target.slack_ng[group.kind] * count)
        })
    }

    /// Whether pieces of a kind may be put at a place; the box always takes them.
    pub(super) fn is_open(&self, kind: usize, place: usize) -> bool {
        self.open[kind] & 1 << place != 0
    }

    pub(super) fn new(model: &Model) -> Layout {
        let the_box = model.mounts.len();
        let mut layout = Layout {
            groups: Vec::new(),
            open: vec![1 << the_box; model.kinds.len()],
            the_box,
            locked: Vec::new(),
            all_in_box: true,
        };
        let mut by_mass: Vec<usize> = (0..model.kinds.len()).collect();
        by_mass.sort_by_key(|kind| std::cmp::Reverse(model.kinds[*kind].mass_ng));
        for kind in by_mass {
            let row = &model.kinds[kind];
            let group = |source, count, must_leave| Group {
                kind,
                source,
                count,
                must_leave,
                mass_ng: row.mass_ng,
                thickness_nm: row.thickness_nm,
            };
            let spare = row.count - model.fitted.of_kind(kind);
            if spare > 0 {
                layout.groups.push(group(the_box, spare, 0));
            }
            for mount in 0..the_box {
                let fitted = model.fitted.get(kind, mount);
                let cell = model.cell(kind, mount);
                if let Cell::Locked(_) = cell {
                    layout.locked.push(group(mount, fitted, 0));
                    continue;
                }
                // A piece that does not fit on the empty mount is never tried there.
                if cell == Cell::Open && fits_alone(model, kind, mount) {
                    layout.open[kind] |= 1 << mount;
                }
                if fitted > 0 {
                    let must_leave = if cell == Cell::Closed { fitted } else { 0 };
                    layout.groups.push(group(mount, fitted, must_leave));
                    layout.all_in_box = false;
                }
            }
        }
        layout
    }
}

fn fits_alone(model: &Model, kind: usize, mount: usize) -> bool {
    let (piece, row) = (&model.kinds[kind], &model.mounts[mount]);
    piece.mass_ng <= row.capacity_ng && piece.thickness_nm <= row.room_nm && row.most_pieces > 0
}
