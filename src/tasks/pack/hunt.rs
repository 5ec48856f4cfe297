//! The hunt for the best kit: the most promising one is asked about, until one does as much as it promises.

use std::sync::atomic::Ordering;

use super::ask::{Asking, May, Verdict};
use super::beyond::MOST_NODES;
use super::kits::{Kit, Pieces, Rank, Refuted};
use super::master::{Master, Next};
use super::{Asked, Progress};
use crate::solve::{Disagreement, Judged};

/// A kit with which every case is legal.
#[derive(Clone, Debug)]
struct Best {
    kit: Kit,
    rank: Rank,
    /// Cases that it is not known to bring onto target.
    lost: Vec<bool>,
}

/// How far it has come.
pub(super) struct Hunt<'p> {
    pieces: &'p Pieces,
    master: Master<'p>,
    may: May,
    /// What is asked of the cases.
    asked: Vec<Asked>,
    best: Option<Best>,
    /// What could not be decided; the bound stays below it.
    undecided: Option<Rank>,
    /// Whether no kit is left that could be better.
    has_ended: bool,
}

impl<'p> Hunt<'p> {
    /// Begins with everything along, and leaves at home what the cases do not need that it serves: a first answer for whoever
    /// cannot wait.
    pub(super) fn new(pieces: &'p Pieces, asking: &mut Asking) -> Judged<Hunt<'p>> {
        asking.undecided.clear();
        let mut hunt = Hunt {
            pieces,
            master: Master::new(pieces, asking.least_lead_ng()),
            may: May::BeLost,
            asked: vec![Asked::OnTarget; asking.cases()],
            best: None,
            undecided: None,
            has_ended: false,
        };
        asking.asked.clone_from(&hunt.asked);
        let lost = if asking.ask(&pieces.most, May::NotBeLost)? == Verdict::Serves {
            vec![false; asking.cases()]
        } else {
            hunt.lost_with_everything(asking)?
        };
        asking.asked = asked_but(&lost, |_| Asked::GivenUp);
        if asking.is_legal(&pieces.most, MOST_NODES) {
            hunt.best = Some(hunt.descend(asking, lost)?);
        }
        Ok(hunt)
    }

    /// Everything along is a kit that makes every case legal, as has been found out: better than none.
    pub(super) fn take_everything(&mut self, asking: &mut Asking) -> Judged<()> {
        asking.asked.clone_from(&self.asked);
        let lost = self.lost_with_everything(asking)?;
        self.best = Some(self.ranked(self.pieces.most.clone(), lost));
        Ok(())
    }

    fn lost_with_everything(&self, asking: &mut Asking) -> Judged<Vec<bool>> {
        let all = 0..asking.cases();
        all.map(|case| Ok(asking.ask_case(case, &self.pieces.most, true)? != Verdict::Serves)).collect()
    }

    fn ranked(&self, kit: Kit, lost: Vec<bool>) -> Best {
        let rank = Rank { lost: count(&lost), worth: self.pieces.worth(&kit) };
        Best { kit, rank, lost }
    }

    fn descend(&self, asking: &mut Asking, lost: Vec<bool>) -> Judged<Best> {
        let mut kit = self.pieces.most.clone();
        for kind in self.pieces.dearest_first() {
            let (mut enough, mut too_few) = (kit[kind], self.pieces.least[kind].checked_sub(1));
            while enough > too_few.map_or(0, |few| few + 1) && !asking.is_over() {
                let middle = too_few.map_or(enough / 2, |few| few.midpoint(enough));
                let mut fewer = kit.clone();
                fewer[kind] = middle;
                if asking.ask(&fewer, May::NotBeLost)? == Verdict::Serves {
                    (enough, kit) = (middle, fewer);
                } else {
                    too_few = Some(middle);
                }
            }
        }
        Ok(self.ranked(kit, lost))
    }

    /// The kit that the boxes promise most of is asked about, until one does as much as it promises.
    pub(super) fn go_on(&mut self, asking: &mut Asking, progress: &Progress) -> Judged<()> {
        asking.asked.clone_from(&self.asked);
        while !self.has_ended && !asking.is_over() {
            let known = self.best.as_ref().map(|best| best.rank);
            let next = self.master.next(&asking.boxes(self.may), known, asking.patience());
            progress.kits.store(asking.kits(), Ordering::Relaxed);
            // Of kits that serve more nothing is told: the bound is for one that serves as much.
            let bound = Some(self.bound()).filter(|bound| known.is_none_or(|known| known.lost == bound.lost));
            progress.tell(known.map(|rank| rank.worth), bound.map(|bound| bound.worth));
            let kit = match next {
                Next::Kit(kit) => kit,
                Next::Stopped => break,
                Next::NoneLeft => {
                    self.has_ended = true;
                    break;
                }
            };
            match asking.ask(&kit, self.may)? {
                Verdict::Serves => {
                    let lost = match self.may {
                        May::BeLost => asking.lost(&kit),
                        May::NotBeLost => vec![false; asking.cases()],
                    };
                    self.best = Some(self.ranked(kit, lost));
                }
                Verdict::Fails => {}
                Verdict::Unknown => {
                    let rank = self.master.bound();
                    self.undecided = Some(self.undecided.map_or(rank, |other| other.min(rank)));
                    asking.undecided.push(Refuted::alone(&kit));
                }
            }
        }
        self.not_below(asking)
    }

    /// Fails if the best kit ranks before the bound, or is refuted.
    fn not_below(&self, asking: &Asking) -> Judged<()> {
        let Some(best) = &self.best else { return Ok(()) };
        let boxes = asking.boxes(self.may);
        let holds = |boxes: &[&Refuted]| boxes.iter().any(|refuted| refuted.holds(&best.kit));
        let lost = boxes.soft.iter().filter(|boxes| holds(boxes)).count();
        let refuted = if holds(&boxes.hard) { boxes.soft.len() + 1 } else { lost };
        let bound = self.bound().max(Rank { lost: refuted, ..best.rank });
        if best.rank < bound {
            let [found, bound] = [best.rank, bound]
                .map(|Rank { lost, worth }| [lost as i64, worth.cost, worth.mass_ng, worth.pieces]);
            return Err(Disagreement::Kit { found, bound });
        }
        Ok(())
    }

    /// No kit ranks before this.
    pub(super) fn bound(&self) -> Rank {
        let master = match &self.best {
            Some(best) if self.has_ended => best.rank,
            _ => self.master.bound(),
        };
        self.undecided.map_or(master, |undecided| undecided.min(master))
    }

    /// Whether it is proved that no kit makes every case legal.
    pub(super) fn has_none(&self) -> bool {
        self.has_ended && self.best.is_none() && self.undecided.is_none()
    }

    /// Cases that the best kit loses.
    pub(super) fn lost(&self) -> Option<usize> {
        self.best.as_ref().map(|best| best.rank.lost)
    }

    /// The best kit.
    pub(super) fn kit(&self) -> Option<&Kit> {
        self.best.as_ref().map(|best| &best.kit)
    }

    /// Whether the memory that open kits may take is full.
    pub(super) fn is_full(&self) -> bool {
        self.master.is_full()
    }

    /// What is asked of the cases from here on. Where it is not known whether fewer can be lost, the hunt begins anew for kits
    /// that serve what the best one serves; false then.
    pub(super) fn settle(&mut self, asking: &mut Asking) -> bool {
        let bound = self.bound();
        let Some(best) = &mut self.best else { return true };
        let is_settled = self.may == May::NotBeLost || best.rank.lost == bound.lost;
        if !is_settled {
            self.asked = asked_but(&best.lost, |case| {
                if asking.is_lost_with_any(case, self.pieces) { Asked::Legal } else { Asked::GivenUp }
            });
            (self.may, self.undecided, self.has_ended) = (May::NotBeLost, None, false);
            best.rank.lost = 0;
            best.lost.fill(false);
            asking.undecided.clear();
            self.master = Master::new(self.pieces, asking.least_lead_ng());
        }
        asking.asked = match self.may {
            May::BeLost => asked_but(&best.lost, |_| Asked::Legal),
            May::NotBeLost => self.asked.clone(),
        };
        is_settled
    }
}

fn count(lost: &[bool]) -> usize {
    lost.iter().filter(|lost| **lost).count()
}

/// What is asked where some cases are lost.
fn asked_but(lost: &[bool], of_lost: impl Fn(usize) -> Asked) -> Vec<Asked> {
    let all = lost.iter().enumerate();
    all.map(|(case, lost)| if *lost { of_lost(case) } else { Asked::OnTarget }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tasks::pack::kits::Worth;

    #[test]
    fn a_kit_that_was_not_decided_keeps_the_bound_down_and_nothing_is_called_impossible() {
        let pieces = Pieces { mass_ng: vec![10], cost: vec![7], least: vec![0], most: vec![2] };
        let mut hunt = Hunt {
            pieces: &pieces,
            master: Master::new(&pieces, 15),
            may: May::NotBeLost,
            asked: Vec::new(),
            best: None,
            undecided: None,
            has_ended: true,
        };
        assert!(hunt.has_none());
        let best = hunt.ranked(vec![2], Vec::new());
        hunt.best = Some(best.clone());
        assert_eq!(hunt.bound(), best.rank);
        let undecided = Rank { lost: 0, worth: Worth { cost: 7, mass_ng: 10, pieces: 1 } };
        hunt.undecided = Some(undecided);
        assert_eq!(hunt.bound(), undecided);
        hunt.best = None;
        assert!(!hunt.has_none());
    }
}
