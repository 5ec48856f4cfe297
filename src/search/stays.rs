//! What the undecided pieces contribute if they all stay where they are, and how far a few moves can change the mass.

use super::layout::{Group, Layout};
use super::support::Supports;
use crate::model::{Model, TargetRow};

/// Changes for which the mass that moves can add or remove is kept; with more left, all of it counts.
const MOST_COUNTED: usize = 16;

/// Suffix sums over the groups, each as if all pieces stayed.
#[derive(Clone, Debug)]
pub(super) struct Stays {
    mass_ng: Vec<i64>,
    must_leave: Vec<u32>,
    /// By `group * targets + target`.
    x_ng: Vec<i64>,
    tau_ng: Vec<i64>,
    targets: usize,
    /// One piece of each group staying, by `group * targets + target`.
    one_x_ng: Vec<i64>,
    one_tau_ng: Vec<i64>,
    /// Directional sums, rows of `len`.
    sums: Vec<i32>,
    len: usize,
    the_box: usize,
    /// By `group * (MOST_COUNTED + 2) + changes`.
    lift_ng: Vec<i64>,
    drop_ng: Vec<i64>,
}

impl Stays {
    pub(super) fn new(
        model: &Model,
        target_rows: &[TargetRow],
        layout: &Layout,
        supports: &Supports,
    ) -> Stays {
        let groups = layout.groups.len();
        let targets = target_rows.len();
        let len = supports.len;
        let mut stays = Stays {
            mass_ng: vec![0; groups + 2],
            must_leave: vec![0; groups + 2],
            x_ng: vec![0; (groups + 2) * targets],
            tau_ng: vec![0; (groups + 2) * targets],
            targets,
            one_x_ng: vec![0; groups * targets],
            one_tau_ng: vec![0; groups * targets],
            sums: vec![0; (groups + 2) * len],
            len,
            the_box: layout.the_box,
            lift_ng: vec![0; (groups + 1) * (MOST_COUNTED + 2)],
            drop_ng: vec![0; (groups + 1) * (MOST_COUNTED + 2)],
        };
        let mut in_box: Vec<i64> = Vec::new();
        let mut on_kart: Vec<i64> = Vec::new();
        for (index, group) in layout.groups.iter().enumerate().rev() {
            let fitted = group.source != layout.the_box;
            let count = if fitted { group.count } else { 0 };
            stays.mass_ng[index] = stays.mass_ng[index + 1] + group.mass_ng * i64::from(count);
            stays.must_leave[index] = stays.must_leave[index + 1] + group.must_leave;
            for (t, target) in target_rows.iter().enumerate() {
                let row = index * targets + t;
                if fitted {
                    stays.one_x_ng[row] = target.gain_ng[group.kind * model.mounts.len() + group.source];
                    stays.one_tau_ng[row] = target.slack_ng[group.kind];
                }
                stays.x_ng[row] = stays.x_ng[row + targets] + stays.one_x_ng[row] * i64::from(count);
                stays.tau_ng[row] = stays.tau_ng[row + targets] + stays.one_tau_ng[row] * i64::from(count);
            }
            for (v, gain) in supports.gain(group.kind, group.source).iter().enumerate() {
                stays.sums[index * len + v] = stays.sums[(index + 1) * len + v] + gain * count as i32;
            }
            // Groups come heaviest first, so the suffix in reverse meets ever heavier pieces.
            let list = if fitted { &mut on_kart } else { &mut in_box };
            for _ in 0..group.count {
                list.insert(0, group.mass_ng);
            }
            let row = &mut stays.lift_ng[index * (MOST_COUNTED + 2)..][..MOST_COUNTED + 2];
            fill_sums(row, &in_box);
            let row = &mut stays.drop_ng[index * (MOST_COUNTED + 2)..][..MOST_COUNTED + 2];
            fill_sums(row, &on_kart);
        }
        stays
    }

    /// Mass of all undecided pieces that lie on mounts, when `taken` of group `from` have moved.
    pub(super) fn mass_ng(&self, from: usize, taken: u32, groups: &[Group]) -> i64 {
        match groups.get(from) {
            Some(group) if group.source != self.the_box => {
                self.mass_ng[from] - group.mass_ng * i64::from(taken)
            }
            _ => self.mass_ng[from],
        }
    }

    /// Sums of gains and slacks of one target over all undecided pieces on mounts.
    pub(super) fn target_sums(&self, target: usize, from: usize, taken: u32, groups: &[Group]) -> (i64, i64) {
        let row = from * self.targets + target;
        let (x, tau) = (self.x_ng[row], self.tau_ng[row]);
        if from == groups.len() || taken == 0 {
            return (x, tau);
        }
        let taken = i64::from(taken);
        (x - self.one_x_ng[row] * taken, tau - self.one_tau_ng[row] * taken)
    }

    /// Whether an undecided piece lies where it may not stay.
    pub(super) fn someone_must_leave(&self, from: usize, taken: u32, groups: &[Group]) -> bool {
        let own = groups.get(from).map_or(0, |group| group.must_leave.min(taken));
        self.must_leave[from] > own
    }

    /// Directional sums of groups `from` on.
    pub(super) fn sums(&self, from: usize) -> &[i32] {
        &self.sums[from * self.len..][..self.len]
    }

    /// The most mass that `changes` moves from group `from` on can add, and the most they can remove.
    pub(super) fn lift_and_drop(&self, from: usize, changes: i64) -> (i64, i64) {
        let row = from * (MOST_COUNTED + 2) + changes.clamp(0, MOST_COUNTED as i64 + 1) as usize;
        (self.lift_ng[row], self.drop_ng[row])
    }
}

/// Sums of the first b of falling masses for b up to `MOST_COUNTED`, then of all.
fn fill_sums(row: &mut [i64], falling: &[i64]) {
    let (counted, all) = row.split_at_mut(MOST_COUNTED + 1);
    let mut sum = 0;
    for (changes, cell) in counted.iter_mut().enumerate().skip(1) {
        sum += falling.get(changes - 1).copied().unwrap_or(0);
        *cell = sum;
    }
    all[0] = falling.iter().sum();
}
