//! The integer programs of all cases, with whatever is along.

use super::kits::Pieces;
use crate::inspection;
use crate::model::Model;
use crate::scenario::{Case, Margin, Scenario, Trip};

/// One case.
#[derive(Clone, Debug)]
pub(super) struct Program {
    pub(super) case: Case,
    /// With everything along.
    strict: Model,
    /// The same with every tolerance as wide as the judge takes it.
    wide: Model,
    /// No kit has to weigh less, ng: a chance to pass asks for more the less is known of the pieces.
    least_required_ng: i64,
}

/// Every case of a trip.
pub(super) struct Programs<'s> {
    pub(super) scenario: &'s Scenario,
    pub(super) trip: &'s Trip,
    pub(super) all: Vec<Program>,
}

/// Which tolerances a program has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tolerances {
    /// Those of the file.
    Strict,
    /// As wide as the judge takes them.
    Wide,
}

impl<'s> Programs<'s> {
    pub(super) fn new(scenario: &'s Scenario, trip: &'s Trip, pieces: &Pieces) -> Programs<'s> {
        let program = |case: Case| {
            let strict = Model::new(&scenario.packed(trip, case, &pieces.most), case.driver);
            let least_required_ng = match trip.classes[case.class].margin {
                Margin::Fixed(_) => strict.required_ng,
                Margin::Confidence { .. } => {
                    let unladen = scenario.packed(trip, case, &vec![0; pieces.len()]);
                    inspection::required(&unladen, case.driver).ng()
                }
            };
            let wide = widened(&strict, scenario, trip, case);
            Program { case, strict, wide, least_required_ng }
        };
        Programs { scenario, trip, all: trip.cases().into_iter().map(program).collect() }
    }

    pub(super) fn len(&self) -> usize {
        self.all.len()
    }

    /// What a kart of that case has to weigh with those pieces along, ng.
    pub(super) fn required_ng(&self, case: usize, kit: &[u32]) -> i64 {
        let program = &self.all[case];
        match self.trip.classes[program.case.class].margin {
            Margin::Fixed(_) => program.strict.required_ng,
            Margin::Confidence { .. } => {
                let packed = self.scenario.packed(self.trip, program.case, kit);
                inspection::required(&packed, program.case.driver).ng()
            }
        }
    }
}

impl Program {
    /// The program with those pieces along.
    pub(super) fn with(&self, kit: &[u32], tolerances: Tolerances, required_ng: i64) -> Model {
        let mut model = match tolerances {
            Tolerances::Strict => self.strict.clone(),
            Tolerances::Wide => self.wide.clone(),
        };
        for (row, count) in model.kinds.iter_mut().zip(kit) {
            row.count = *count;
        }
        model.required_ng = required_ng;
        model
    }

    /// Pieces of a kind with everything along.
    pub(super) fn most(&self, kind: usize) -> u32 {
        self.strict.kinds[kind].count
    }

    /// Everything there is.
    pub(super) fn everything(&self) -> Vec<u32> {
        self.strict.kinds.iter().map(|kind| kind.count).collect()
    }

    /// What every kit has to weigh at least, ng.
    pub(super) fn least_required_ng(&self) -> i64 {
        self.least_required_ng
    }

    /// Lead that every kit needs at least, ng.
    pub(super) fn least_lead_ng(&self) -> i64 {
        self.least_required_ng - self.strict.bare_ng
    }

    /// Whether a plan that is on every target, and within the spare of what is required, is proof enough that the plan that is
    /// found will be: `targets` comes first, and no miss counts less than it is.
    pub(super) fn trusts_tolerances(&self, trip: &Trip) -> bool {
        let first = self.strict.goals().get(1).copied();
        let weights = trip.variations[self.case.variation].targets.iter().map(|target| target.weight);
        first == Some(crate::goal::Goal::Targets) && weights.into_iter().all(|weight| weight >= 1.0)
    }
}

/// The judge takes a target for met if it is missed by no more than the resolution of `targets`.
fn widened(strict: &Model, scenario: &Scenario, trip: &Trip, case: Case) -> Model {
    let mut wide = strict.clone();
    let targets = &trip.variations[case.variation].targets;
    for (row, target) in wide.targets.iter_mut().zip(targets) {
        let by_ng = (scenario.preferences().targets.ng() as f64 * target.weight).ceil() as i64;
        row.widen(by_ng);
    }
    wide
}
