//! What helps a team: who costs the others how much, and what would help, each solved again.
//!
//! All is measured against what each driver reaches alone on the kart as it is: kilograms carried beyond that driver's own
//! lightest legal total, and kilograms outside the tolerances. An easing is first asked for these two goals alone; what gains is
//! solved to the last goal, so that whoever eases the file gets just those numbers.

mod standing;
mod tries;

use super::help::{Remedies, WORTH_KG, remedies};
use super::swap::{Answer, Course, Swap, alone_of, not_denied, swap_so_far};
use crate::goal::Goal;
use crate::scenario::{Easing, Scenario};
use crate::solve::{Judged, Patience, Solved};

use standing::Own;
pub use standing::Standing;
use tries::{Rungs, tries};

/// A solve may take this part of the time that is left, so that a hard one leaves some to the others.
const SHARE: f64 = 0.25;

/// Goals that tell whether an easing gains.
const FIRST_GOALS: usize = 2;

/// Every goal.
const ALL_GOALS: usize = Course::WHOLE.goals;

/// Easings of the greatest gain that are solved to the last goal; nobody reads more.
const MOST_TOLD: usize = 8;

/// What a team without somebody, or on an eased kart, comes to.
#[derive(Clone, Debug, PartialEq)]
pub enum Reached {
    /// A set-up; whether it was proved to be the best stands with it.
    Setup(Standing),
    /// Somebody cannot be legal even alone.
    NotEvenAlone { driver: usize },
    /// No base serves all.
    NoCommonBase,
    /// Stopped before it was known.
    Unsettled,
}

/// What the others come to without one driver.
#[derive(Clone, Debug, PartialEq)]
pub struct Cost {
    /// Who is left out, as an index of the scenario.
    pub driver: usize,
    /// Everybody; none if there is no set-up.
    pub team: Option<Standing>,
    /// The others with everybody there; none if there is no set-up.
    pub with: Option<Standing>,
    /// Proved: whatever is done for them, one of the others carries at least so much beyond his own lightest legal total, kg.
    /// None where nobody asked, as they are no lighter without this driver.
    pub least_beyond_kg: Option<f64>,
    /// The others alone.
    pub without: Reached,
}

/// One thing eased, and what the team then comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct TeamHelp {
    pub easing: Easing,
    /// The goal that gains; none where any set-up is a gain.
    pub goal: Option<Goal>,
    /// Before; none if there is no set-up.
    pub before: Option<Standing>,
    pub after: Standing,
}

/// What costs and what would help.
#[derive(Clone, Debug, Default)]
pub struct TeamHelps {
    /// One entry per driver who could be left out, in the order of the team.
    pub costs: Vec<Cost>,
    /// What is worth it, best first.
    pub worth: Vec<TeamHelp>,
    /// Where somebody cannot be legal even alone: what would cure that.
    pub alone: Option<Remedies>,
    /// Easings whose solve was stopped; nothing is claimed of them.
    pub unsettled: Vec<Easing>,
}

impl Reached {
    /// Whether more time would not tell more.
    fn is_settled(&self) -> bool {
        match self {
            Reached::Setup(standing) => standing.proved,
            Reached::NotEvenAlone { .. } | Reached::NoCommonBase => true,
            Reached::Unsettled => false,
        }
    }
}

impl Cost {
    /// The goal in which the others are worse off with this driver by so much that it is worth a word; `spare_kg` is what
    /// everybody may carry anyway. None if they are not, or if it is not known.
    pub fn goal(&self, spare_kg: f64) -> Option<Goal> {
        let (Some(team), Some(with), Reached::Setup(without)) = (&self.team, &self.with, &self.without)
        else {
            return None;
        };
        let needs_kg = self.least_beyond_kg.unwrap_or(0.0);
        if needs_kg - without.beyond_kg.max(spare_kg) >= WORTH_KG {
            return Some(Goal::Legal);
        }
        // A set-up is made for whoever is worst off: if that is the driver himself, it does not say what the others need.
        let worst = with.outside_kg + WORTH_KG >= team.outside_kg;
        (worst && without.is_nearer_than(with)).then_some(Goal::Targets)
    }

    /// Whether the others have a set-up, and there is none with this driver.
    pub fn is_in_the_way(&self) -> bool {
        self.with.is_none() && matches!(self.without, Reached::Setup(_))
    }
}

/// Finds who costs the others, and what would help, where a team does not get what each driver reaches alone.
///
/// None where nothing is amiss: everybody legal within the spare of his own minimum and on every target. Fails only if a judge
/// disagrees with a search.
pub fn team_would_help(
    scenario: &Scenario,
    order: &[usize],
    answer: &Answer,
    patience: Patience,
) -> Judged<Option<TeamHelps>> {
    let (own, before) = match answer {
        Answer::Setup(swap) => {
            let own: Own = swap.drivers.iter().copied().zip(swap.own_ng.iter().copied()).collect();
            (own.clone(), Some(swap.as_ref()))
        }
        Answer::NoCommonBase(found) => {
            let own = found.alone.iter().map(|solved| alone_of(solved).own_ng);
            (found.drivers.iter().copied().zip(own).collect(), None)
        }
        Answer::NotEvenAlone { driver, .. } => {
            return not_even_alone(scenario, order, *driver, patience).map(Some);
        }
        Answer::OutOfTime => return Ok(None),
    };
    let spare_kg = scenario.preferences().spare.kg();
    let team = Inquiry { scenario, order, own, known: before, spare_kg, patience };
    let standing = before.map(|swap| Standing::of_swap(swap, &team.own, None));
    if standing.is_some_and(|standing| !standing.is_amiss(spare_kg)) {
        return Ok(None);
    }
    let mut helps = TeamHelps::default();
    let drivers = team.drivers();
    let costs = team.for_half_of_the_time();
    for driver in &drivers {
        let with = before.map(|swap| Standing::of_swap(swap, &team.own, Some(*driver)));
        let without = costs.without(*driver, answer)?;
        let least_beyond_kg = match (&standing, &without) {
            (Some(standing), Reached::Setup(rest)) if rest.is_lighter_than(standing, spare_kg) => {
                costs.least_beyond_kg(*driver)?
            }
            _ => None,
        };
        helps.costs.push(Cost { driver: *driver, team: standing, with, least_beyond_kg, without });
    }
    team.ease(&drivers, standing, &mut helps)?;
    Ok(Some(helps))
}

/// One driver in the way by himself: the others without him, and what would make him legal.
fn not_even_alone(
    scenario: &Scenario,
    order: &[usize],
    driver: usize,
    patience: Patience,
) -> Judged<TeamHelps> {
    let cures = remedies(scenario, Some(driver), patience)?;
    let spare_kg = scenario.preferences().spare.kg();
    let team = Inquiry { scenario, order, own: Own::default(), known: None, spare_kg, patience };
    let rest = remaining(order, driver);
    let mut costs = Vec::new();
    // A team needs two; whoever is left alone plans with `plan`.
    if rest.len() > 1 {
        let without = team.solved(scenario, &rest, ALL_GOALS)?;
        costs.push(Cost { driver, team: None, with: None, least_beyond_kg: None, without });
    }
    Ok(TeamHelps { costs, alone: Some(cures), ..TeamHelps::default() })
}

/// The stints of everybody else; who then follows himself stays in the seat.
fn remaining(order: &[usize], driver: usize) -> Vec<usize> {
    let mut rest: Vec<usize> = order.iter().copied().filter(|other| *other != driver).collect();
    rest.dedup();
    rest
}

/// A team whose troubles are looked into.
struct Inquiry<'q> {
    scenario: &'q Scenario,
    order: &'q [usize],
    /// The lightest legal total of each driver alone on the kart as it is.
    own: Own,
    /// The set-up of everybody there; none if there is none.
    known: Option<&'q Swap>,
    spare_kg: f64,
    patience: Patience<'q>,
}

impl Inquiry<'_> {
    /// The same with half of what is left of the time.
    fn for_half_of_the_time(&self) -> Inquiry<'_> {
        Inquiry { own: self.own.clone(), patience: self.patience.part(0.5), ..*self }
    }

    /// The drivers of the order of whom it is known how light they are alone, in the order of the team.
    fn drivers(&self) -> Vec<usize> {
        let drivers = self.own.iter().map(|(driver, _)| *driver);
        drivers.filter(|driver| self.order.contains(driver)).collect()
    }

    fn is_over(&self) -> bool {
        self.patience.is_over()
    }

    /// The others without a driver.
    fn without(&self, driver: usize, answer: &Answer) -> Judged<Reached> {
        let alone: &[Solved] = match answer {
            Answer::Setup(swap) => &swap.alone,
            Answer::NoCommonBase(found) => &found.alone,
            Answer::NotEvenAlone { .. } | Answer::OutOfTime => &[],
        };
        match remaining(self.order, driver).as_slice() {
            [one] => {
                let solved = self.drivers().iter().position(|known| known == one);
                let solved = solved.and_then(|position| alone.get(position));
                Ok(match solved {
                    Some(solved) => Reached::Setup(Standing::of_alone(solved, &self.own)),
                    None => Reached::Unsettled,
                })
            }
            rest => self.solved(self.scenario, rest, ALL_GOALS),
        }
    }

    /// What a part of the time finds for a team, or for some of it; fails if that denies what they have on the set-up there.
    fn answer(&self, scenario: &Scenario, order: &[usize], course: Course) -> Judged<Answer> {
        let answer = swap_so_far(scenario, order, course, self.patience.part(SHARE))?;
        self.known.map_or(Ok(()), |known| not_denied(scenario, known, &answer))?;
        Ok(answer)
    }

    /// A team solved to so many goals.
    fn solved(&self, scenario: &Scenario, order: &[usize], goals: usize) -> Judged<Reached> {
        if self.is_over() {
            return Ok(Reached::Unsettled);
        }
        let course = Course { goals, ..Course::WHOLE };
        Ok(match self.answer(scenario, order, course)? {
            Answer::Setup(swap) => {
                let own = if self.own.is_empty() {
                    swap.drivers.iter().copied().zip(swap.own_ng.iter().copied()).collect()
                } else {
                    self.own.clone()
                };
                let standing = Standing::of_swap(&swap, &own, None);
                Reached::Setup(if goals < ALL_GOALS { standing.so_far(&swap) } else { standing })
            }
            Answer::NotEvenAlone { driver, .. } => Reached::NotEvenAlone { driver },
            Answer::NoCommonBase(_) => Reached::NoCommonBase,
            Answer::OutOfTime => Reached::Unsettled,
        })
    }

    /// What one of the others carries at least with a driver there whose own weight does not matter, kg; none if it is not
    /// known.
    fn least_beyond_kg(&self, driver: usize) -> Judged<Option<f64>> {
        if self.is_over() {
            return Ok(None);
        }
        let course = Course { goals: 1, may_be_heavy: Some(driver), ..Course::WHOLE };
        Ok(match self.answer(self.scenario, self.order, course)? {
            Answer::Setup(swap) => Some(standing::bound_kg(&swap, Goal::Legal)),
            Answer::NotEvenAlone { .. } | Answer::NoCommonBase(_) | Answer::OutOfTime => None,
        })
    }

    /// Tries every easing, and keeps what gains.
    fn ease(&self, drivers: &[usize], before: Option<Standing>, helps: &mut TeamHelps) -> Judged<()> {
        let mut promising: Vec<(Easing, Standing)> = Vec::new();
        for rungs in tries(self.scenario, drivers) {
            match self.least(&rungs, before.as_ref())? {
                Least::Gains(easing, standing) => promising.push((easing, standing)),
                Least::NoGain => {}
                Least::Unknown(easing) => helps.unsettled.push(easing),
            }
        }
        promising.sort_by(|(_, one), (_, other)| one.compared(other, self.spare_kg));
        for (easing, _) in promising.into_iter().take(MOST_TOLD) {
            let Some(eased) = self.scenario.eased(easing) else { continue };
            match self.solved(&eased, self.order, ALL_GOALS)? {
                Reached::Setup(after) => match after.gain_over(before.as_ref(), self.spare_kg) {
                    Some(gain) => helps.worth.push(TeamHelp { easing, goal: gain.goal(), before, after }),
                    None if after.proved => {}
                    None => helps.unsettled.push(easing),
                },
                Reached::Unsettled => helps.unsettled.push(easing),
                Reached::NotEvenAlone { .. } | Reached::NoCommonBase => {}
            }
        }
        helps.worth.sort_by(|one, other| one.after.compared(&other.after, self.spare_kg));
        Ok(())
    }

    /// The least rung that does as much as the highest, or the best of rungs that do not include each other.
    fn least(&self, rungs: &Rungs, before: Option<&Standing>) -> Judged<Least> {
        let ask = |easing: Easing| match self.scenario.eased(easing) {
            Some(eased) => self.solved(&eased, self.order, FIRST_GOALS),
            None => Ok(Reached::NoCommonBase),
        };
        let gains = |reached: &Reached| match reached {
            Reached::Setup(standing) => standing.gain_over(before, self.spare_kg).map(|_| *standing),
            _ => None,
        };
        let (mut best, mut unknown): (Option<(Easing, Standing)>, Option<Easing>) = (None, None);
        match rungs {
            Rungs::Apart(easings) => {
                for easing in easings {
                    let reached = ask(*easing)?;
                    let Some(standing) = gains(&reached) else {
                        if !reached.is_settled() {
                            unknown = Some(*easing);
                        }
                        continue;
                    };
                    if best.is_none_or(|(_, best)| standing.compared(&best, self.spare_kg).is_lt()) {
                        best = Some((*easing, standing));
                    }
                }
            }
            Rungs::Growing(easings) => {
                let mut usable =
                    easings.iter().copied().filter(|easing| self.scenario.eased(*easing).is_some());
                let (Some(first), highest) = (usable.next(), usable.next_back()) else {
                    return Ok(Least::NoGain);
                };
                let highest = highest.unwrap_or(first);
                let reached = ask(highest)?;
                let Some(most) = gains(&reached) else {
                    return Ok(if reached.is_settled() { Least::NoGain } else { Least::Unknown(highest) });
                };
                best = Some((highest, most));
                // Does as much from `low + 1` on, as far as is known.
                let rung = |easing: Easing| easings.iter().position(|known| *known == easing).unwrap_or(0);
                let (mut low, mut high) = (0, rung(highest));
                while low < high {
                    let middle = usize::midpoint(low, high);
                    let reached = ask(easings[middle])?;
                    match gains(&reached).filter(|standing| standing.does_as_much_as(&most, self.spare_kg)) {
                        Some(standing) => {
                            best = Some((easings[middle], standing));
                            high = middle;
                        }
                        None => low = middle + 1,
                    }
                }
            }
        }
        Ok(match (best, unknown) {
            (Some((easing, standing)), _) => Least::Gains(easing, standing),
            (None, Some(easing)) => Least::Unknown(easing),
            (None, None) => Least::NoGain,
        })
    }
}

/// What a row of easings came to.
enum Least {
    Gains(Easing, Standing),
    NoGain,
    Unknown(Easing),
}
