//! A kart as the judge measured it: its total, and in every state its corners and centre of gravity, each with its ±.
//! Takes the scenario and what was measured; gives lines in the units of the screen.
//! Does not know whether that is a plan or what stood before it.

use super::amount::{Distance, Screen, Weight};
use super::sure::SureKart;
use crate::plan::Measured;
use crate::scenario::{Moment, Scenario};
use crate::uncertainty::kart::{self, UnsureKart};

/// Corners of one state.
#[derive(Clone, Debug, PartialEq)]
pub struct CornersLine {
    /// Which state.
    pub moment: Moment,
    /// LF RF LR RR.
    pub corners: [Weight; 4],
    /// Their sum.
    pub total: Weight,
    /// Centre of gravity: ahead of the rear axle, left of the centre line.
    pub cg: [Distance; 2],
    /// The ± of all of it, and of the shares.
    pub sure: SureKart,
}

/// One kart, whatever is on it.
#[derive(Clone, Debug, PartialEq)]
pub struct KartLines {
    /// Total as the officials weigh it.
    pub total: Weight,
    /// The ± of it.
    pub total_sure: Weight,
    /// Every state.
    pub states: Vec<CornersLine>,
}

/// What was measured, and how sure that is at every moment.
pub(super) struct Known<'m> {
    pub(super) measured: &'m Measured,
    unsure: [(Moment, UnsureKart); 2],
}

impl<'m> Known<'m> {
    pub(super) fn new(scenario: &Scenario, measured: &'m Measured) -> Known<'m> {
        let at = |moment| (moment, kart::state(scenario, measured.driver, moment, &measured.counts));
        Known { measured, unsure: Moment::ALL.map(at) }
    }

    /// The kart with its errors.
    pub(super) fn at(&self, moment: Moment) -> Option<&UnsureKart> {
        self.unsure.iter().find(|(when, _)| *when == moment).map(|(_, kart)| kart)
    }

    /// What there is to show of it; `weighed_at` is when the officials weigh.
    pub(super) fn lines(&self, screen: Screen, weighed_at: Moment) -> KartLines {
        let states = std::iter::zip(&self.measured.states, &self.unsure);
        let states: Vec<CornersLine> = states
            .map(|(state, (_, kart))| CornersLine {
                moment: state.moment,
                corners: state.load.corners.kg().map(|kg| screen.column(kg)),
                total: screen.column(state.load.total.kg()),
                cg: kart.centre.cg().map(|way| screen.fine(way)),
                sure: SureKart::new(screen, kart),
            })
            .collect();
        KartLines {
            total: screen.given(self.measured.worth.total),
            total_sure: at(&states, weighed_at)
                .map_or_else(|| screen.column(0.0), |state| state.sure.total.clone()),
            states,
        }
    }
}

/// The state of a moment.
pub(super) fn at(states: &[CornersLine], moment: Moment) -> Option<&CornersLine> {
    states.iter().find(|state| state.moment == moment)
}
