//! How sure a kart is once it has been learned: all that the weighings leave open, with what errs together.
//! Does not learn anything: it looks again at those weighings.

use super::faults::Source;
use super::{Guess, KART, Learner, Unknown, settled};
use crate::least_squares::Fit;
use crate::scenario::{Belief, Scenario, Taught};
use crate::statics::Corners;
use crate::uncertainty::cause::Cause;

/// Nothing where the weighings cannot be learned from: then every ± is what it was before.
pub(crate) fn taught(scenario: &Scenario, weighings: usize) -> Vec<Taught> {
    let mut then = scenario.clone();
    then.weighings.truncate(weighings);
    #[expect(clippy::redundant_closure_for_method_calls, reason = "the method is of one lifetime only")]
    settled(&then, |learner, guess, fit| learner.taught(guess, fit)).unwrap_or_default()
}

impl Learner<'_> {
    /// Everything of which a state depends: beliefs, what was aboard at the last weighing, then the kart itself, so that what errs
    /// with a place or a rate is put down to that.
    fn taught(&self, guess: &Guess, fit: &Fit) -> Vec<Taught> {
        let (last, fault_at) = (self.last_raced(), KART + self.unknowns.len());
        let believed = (KART..fault_at).filter(|at| matches!(self.unknowns[at - KART], Unknown::Believed(_)));
        let aboard = self.faults.iter().enumerate().filter(|(_, fault)| match fault.source {
            Source::Kind(_) => true,
            Source::Fuel { .. } => fault.shifts[last].iter().any(|kg| kg.abs() > 0.0),
            _ => false,
        });
        let unknowns: Vec<usize> =
            believed.chain(aboard.map(|(index, _)| fault_at + index)).chain(0..KART).collect();
        let slopes = self.slopes(&self.sightings[last], guess);
        let columns = fit.independent(&unknowns).unwrap_or_default();
        let column = |(first, column): (usize, Vec<f64>)| {
            let mut taught = Taught::of(self.cause(unknowns[first]));
            for (at, by) in unknowns.iter().copied().zip(column) {
                let shift = if at < KART {
                    std::array::from_fn(|corner| if corner == at { 1.0 } else { 0.0 })
                } else if at < fault_at {
                    if let Unknown::Believed(belief) = self.unknowns[at - KART] {
                        taught.beliefs.push((belief, by));
                    }
                    slopes[at - KART]
                } else {
                    let fault = &self.faults[at - fault_at];
                    match fault.source {
                        Source::Kind(kind) => taught.kinds_kg.push((kind, by * fault.unit_kg)),
                        Source::Fuel { tank, .. } => taught.fuel_kg.push((tank, by * fault.unit_kg)),
                        _ => {}
                    }
                    fault.shifts[last]
                };
                taught.readings += Corners::from_kg(shift) * by;
            }
            taught
        };
        columns.into_iter().enumerate().map(column).collect()
    }

    /// Of one unknown of the equations.
    fn cause(&self, at: usize) -> Cause {
        let unknown = at.checked_sub(KART).and_then(|at| self.unknowns.get(at));
        let fault = at.checked_sub(KART + self.unknowns.len()).map(|at| self.faults[at].source);
        match (unknown, fault) {
            (Some(Unknown::Believed(Belief::TwistRate)), _) => Cause::TwistRate,
            (Some(Unknown::Believed(Belief::RollShareRear | Belief::RollShareFront)), _) => Cause::RollShare,
            (Some(Unknown::Believed(Belief::Driver(..))), _) => Cause::Driver,
            (Some(_), _) => Cause::Places,
            (_, Some(Source::Kind(_))) => Cause::Lead,
            (_, Some(_)) => Cause::FuelThen,
            _ => Cause::Weighings,
        }
    }
}
