//! Every way to put pieces on mounts, one by one: what a search is compared with.
//! Looks for nothing: every combination is written down, so it is good for tiny karts only.

use kentledge::counts::Counts;
use kentledge::model::Model;

/// All counts of no more pieces than there are, each where it may be, whatever the mounts carry; none if more than `most` of them
/// had to be written down.
pub(crate) fn all_counts(model: &Model, most: usize) -> Option<Vec<Counts>> {
    let mut all = vec![model.fitted.without_pieces()];
    for kind in 0..model.kinds.len() {
        for mount in 0..model.mounts.len() {
            let mut extended = Vec::new();
            for counts in &all {
                let left = model.kinds[kind].count - counts.of_kind(kind);
                for count in (0..=left).filter(|count| model.cell(kind, mount).allows(*count)) {
                    let mut more = counts.clone();
                    *more.get_mut(kind, mount) = count;
                    extended.push(more);
                }
            }
            all = extended;
            if all.len() > most {
                return None;
            }
        }
    }
    Some(all)
}
