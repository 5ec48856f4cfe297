//! The JSON document of `learn`.
//! Takes the view; gives the document, every number in the unit that it names.
//! Does not round and does not word anything.

use serde::Serialize;

use super::Frame;
use crate::report::learn::LearnView;
use crate::uncertainty::COVERAGE_FACTOR;

#[derive(Serialize)]
struct LearnAnswer<'v> {
    kart: &'v str,
    weighings: &'v [String],
    verdict: &'v str,
    chi_square: f64,
    degrees_of_freedom: usize,
    chance: f64,
    independent_numbers_told: usize,
    lessons: Vec<LessonEntry<'v>>,
    cannot_tell_apart: Vec<TwinsEntry<'v>>,
    next_weighing: Option<NextEntry<'v>>,
    fragment: Option<&'v str>,
    fitted_as_planned: Vec<PinEntry<'v>>,
    diff: Option<&'v str>,
}

#[derive(Serialize)]
struct LessonEntry<'v> {
    of: &'static str,
    name: Option<&'v str>,
    part: Option<&'static str>,
    unit: &'static str,
    before: f64,
    before_standard_uncertainty: f64,
    before_plus_minus: f64,
    estimate: f64,
    standard_uncertainty: f64,
    plus_minus: f64,
    told: &'static str,
}

#[derive(Serialize)]
struct TwinsEntry<'v> {
    one: &'v str,
    other: &'v str,
    correlation: f64,
}

#[derive(Serialize)]
struct NextEntry<'v> {
    sentence: &'v str,
    teaches: &'v [String],
    part_of_variance_removed: f64,
}

#[derive(Serialize)]
struct PinEntry<'v> {
    after: usize,
    lead: &'v str,
    settings: &'v [String],
}

/// The document of `learn`; `diff` is what was changed in a file, if one was named.
pub fn learn(view: &LearnView, diff: Option<&str>, frame: Frame) -> String {
    let answer = LearnAnswer {
        kart: &view.kart,
        weighings: &view.weighings,
        verdict: &view.verdict,
        chi_square: view.chi_square,
        degrees_of_freedom: view.freedom,
        chance: view.chance,
        independent_numbers_told: view.combinations,
        lessons: view
            .lessons
            .iter()
            .map(|line| {
                let [before, before_standard_uncertainty, estimate, standard_uncertainty] = line.numbers;
                LessonEntry {
                    of: line.of,
                    name: line.owner.as_deref(),
                    part: line.part,
                    unit: line.document_unit,
                    before,
                    before_standard_uncertainty,
                    before_plus_minus: COVERAGE_FACTOR * before_standard_uncertainty,
                    estimate,
                    standard_uncertainty,
                    plus_minus: COVERAGE_FACTOR * standard_uncertainty,
                    told: line.told.word(),
                }
            })
            .collect(),
        cannot_tell_apart: view
            .twins
            .iter()
            .map(|twins| TwinsEntry { one: &twins.one, other: &twins.other, correlation: twins.correlation })
            .collect(),
        next_weighing: view.next.as_ref().map(|next| NextEntry {
            sentence: &next.sentence,
            teaches: &next.teaches,
            part_of_variance_removed: next.part,
        }),
        fragment: view.fragment.as_deref(),
        fitted_as_planned: view
            .pins
            .iter()
            .map(|pin| PinEntry { after: pin.after + 1, lead: &pin.lead, settings: &pin.settings })
            .collect(),
        diff,
    };
    frame.document(view.status, answer)
}
