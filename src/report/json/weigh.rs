//! The JSON document of `weigh`.
//! Takes the view; gives the document, every key present whether a file or four readings were given.
//! Does not round and does not word anything.

use serde::Serialize;

use super::sure::SureEntry;
use super::{CornersEntry, Frame, MarginEntry, ResidualEntry};
use crate::report::doubts::HOW_TO;
use crate::report::forecast::ForecastLines;
use crate::report::weigh::{Share, WeighView};
use crate::uncertainty::COVERAGE_FACTOR;

#[derive(Serialize)]
struct WeighAnswer<'v> {
    kart: Option<&'v str>,
    class: Option<&'v str>,
    aboard: Option<AboardEntry<'v>>,
    corners_kg: CornersEntry,
    total_kg: f64,
    front_percent: f64,
    rear_percent: f64,
    left_percent: f64,
    right_percent: f64,
    cross_percent: f64,
    front_pair_kg: f64,
    rear_pair_kg: f64,
    centre_of_gravity: Option<PlaceEntry>,
    /// Two standard uncertainties of every figure.
    plus_minus: SureEntry,
    most_of_plus_minus: &'v [String],
    height: Option<HeightEntry>,
    doubts: Vec<DoubtEntry<'v>>,
    assumptions: &'v [String],
    residuals: Vec<ResidualEntry>,
    cures: Vec<CureEntry<'v>>,
    warp: Option<WarpEntry>,
    official: Option<OfficialEntry<'v>>,
    common_practice: &'v [String],
    after: Vec<ForecastEntry<'v>>,
}

/// What was foretold of a weighing after work, and how it came out.
#[derive(Serialize)]
struct ForecastEntry<'v> {
    as_forecast: bool,
    chance: f64,
    corners: Vec<CornerEntry>,
    causes: &'v [String],
}

#[derive(Serialize)]
struct CornerEntry {
    corner: &'static str,
    forecast_kg: f64,
    forecast_plus_minus_kg: f64,
    weighed_kg: f64,
    weighed_plus_minus_kg: f64,
    difference_kg: f64,
    /// Less than the others alone give, as the difference is free of what they share.
    difference_plus_minus_kg: f64,
    /// The same.
    expanded_uncertainty_kg: f64,
}

#[derive(Serialize)]
struct AboardEntry<'v> {
    driver: Option<&'v str>,
    driver_kg: Option<f64>,
    fuel_kg: f64,
    lead: Vec<LeadEntry<'v>>,
    lead_kg: f64,
    seat_hole: Option<i32>,
    seat_across: Option<i32>,
}

#[derive(Serialize)]
struct LeadEntry<'v> {
    mount: &'v str,
    piece: &'v str,
    count: u32,
}

/// Height of the centre of gravity, from lifts.
#[derive(Serialize)]
struct HeightEntry {
    z_mm: f64,
    plus_minus_mm: f64,
    /// Null for a height that the file gives.
    scatter_mm: Option<f64>,
    lifts: Option<usize>,
}

/// Something odd about the weighing.
#[derive(Serialize)]
struct DoubtEntry<'v> {
    name: &'static str,
    finding: &'v str,
    cure: &'static str,
}

/// Forward of the rear axle and left of the centre line.
#[derive(Serialize)]
struct PlaceEntry {
    x_mm: f64,
    y_mm: f64,
}

/// Load that must go forward or to the left, and the mass times way that does it.
#[derive(Serialize)]
struct CureEntry<'v> {
    target: &'static str,
    load_kg: f64,
    plus_minus_kg: f64,
    moment_kg_mm: f64,
    plus_minus_kg_mm: f64,
    sentence: &'v str,
}

#[derive(Serialize)]
struct WarpEntry {
    corners_kg: CornersEntry,
    rate_kg_per_mm: f64,
    /// Spacer at the right front spindle that takes all warp away; negative at the left one.
    spacer_at_rf_mm: f64,
    /// Two standard uncertainties of these.
    plus_minus: WarpSureEntry,
    corrections: Vec<CorrectionEntry>,
}

#[derive(Serialize)]
struct WarpSureEntry {
    coverage_factor: f64,
    corners_kg: CornersEntry,
    rate_kg_per_mm: f64,
    spacer_at_rf_mm: f64,
}

#[derive(Serialize)]
struct CorrectionEntry {
    #[serde(flatten)]
    then: ResidualEntry,
    spacer_at_rf_mm: f64,
    spacer_at_rf_plus_minus_mm: f64,
}

#[derive(Serialize)]
struct OfficialEntry<'v> {
    driver: Option<&'v str>,
    total_kg: f64,
    plus_minus_kg: f64,
    margin: MarginEntry,
}

fn forecast(lines: &ForecastLines) -> ForecastEntry<'_> {
    let corners = lines.corners.iter().map(|corner| CornerEntry {
        corner: corner.word,
        forecast_kg: corner.forecast.kg,
        forecast_plus_minus_kg: corner.forecast_sure.kg,
        weighed_kg: corner.weighed.kg,
        weighed_plus_minus_kg: corner.weighed_sure.kg,
        difference_kg: corner.difference.kg,
        difference_plus_minus_kg: corner.expanded.kg,
        expanded_uncertainty_kg: corner.expanded.kg,
    });
    ForecastEntry {
        as_forecast: lines.as_forecast,
        chance: lines.chance,
        corners: corners.collect(),
        causes: &lines.causes,
    }
}

#[derive(Serialize)]
struct HowToAnswer {
    steps: [&'static str; HOW_TO.len()],
}

/// The document of `weigh --howto`.
pub fn how_to_weigh(frame: Frame) -> String {
    frame.document("common practice, no published source", HowToAnswer { steps: HOW_TO })
}

/// The document of `weigh`.
pub fn weigh(view: &WeighView, frame: Frame) -> String {
    let picture = &view.picture;
    let about = view.about.as_ref();
    let percent = |share: &Share| share.percent;
    let residuals = view.targets.iter().map(|(wanted, standing)| ResidualEntry::new(wanted, standing, None));
    let cures = view.cures.iter().map(|cure| CureEntry {
        target: cure.figure.key(),
        load_kg: cure.load.kg,
        plus_minus_kg: cure.unsure.kg,
        moment_kg_mm: cure.moment_kg_mm,
        plus_minus_kg_mm: cure.moment_sure_kg_mm,
        sentence: &cure.sentence,
    });
    let answer = WeighAnswer {
        kart: about.map(|about| about.kart.as_str()),
        class: about.map(|about| about.class.as_str()),
        aboard: about.map(|about| AboardEntry {
            driver: about.driver.as_ref().map(|(name, _)| name.as_str()),
            driver_kg: about.driver.as_ref().map(|(_, mass)| mass.kg),
            fuel_kg: about.fuel.kg,
            lead: about
                .lead
                .iter()
                .map(|(count, piece, mount)| LeadEntry { mount, piece, count: *count })
                .collect(),
            lead_kg: about.lead_mass.kg,
            seat_hole: about.seat_hole.map(|hole| hole.along),
            seat_across: about.seat_hole.map(|hole| hole.across),
        }),
        corners_kg: CornersEntry::new(&picture.corners),
        total_kg: picture.total.kg,
        front_percent: percent(&picture.front),
        rear_percent: percent(&picture.rear),
        left_percent: percent(&picture.left),
        right_percent: percent(&picture.right),
        cross_percent: percent(&picture.cross),
        front_pair_kg: picture.front_pair.kg,
        rear_pair_kg: picture.rear_pair.kg,
        centre_of_gravity: view
            .warp
            .as_ref()
            .map(|lines| PlaceEntry { x_mm: lines.cg_ahead.mm, y_mm: lines.cg_left.mm }),
        plus_minus: SureEntry::new(&view.sure, view.warp.is_some()),
        most_of_plus_minus: &view.origins,
        height: view.height.as_ref().map(|line| HeightEntry {
            z_mm: line.height.mm,
            plus_minus_mm: line.unsure.mm,
            scatter_mm: line.lifted().map(|(scatter, _)| scatter.mm),
            lifts: line.lifted().map(|(_, lifts)| lifts),
        }),
        doubts: view
            .doubts
            .iter()
            .map(|doubt| DoubtEntry { name: doubt.name, finding: &doubt.finding, cure: doubt.cure })
            .collect(),
        assumptions: &view.assumptions,
        residuals: residuals.collect(),
        cures: cures.collect(),
        warp: view.warp.as_ref().map(|lines| WarpEntry {
            corners_kg: CornersEntry::new(&lines.corners),
            rate_kg_per_mm: lines.per_mm.kg,
            spacer_at_rf_mm: lines.to_none.at_rf_mm,
            plus_minus: WarpSureEntry {
                coverage_factor: COVERAGE_FACTOR,
                corners_kg: CornersEntry::new(&lines.corners_sure),
                rate_kg_per_mm: lines.per_mm_sure.kg,
                spacer_at_rf_mm: lines.to_none.sure.mm,
            },
            corrections: lines
                .corrections
                .iter()
                .map(|correction| CorrectionEntry {
                    then: ResidualEntry::new(&correction.wanted, &correction.then, None),
                    spacer_at_rf_mm: correction.spacer.at_rf_mm,
                    spacer_at_rf_plus_minus_mm: correction.spacer.sure.mm,
                })
                .collect(),
        }),
        official: about.map(|about| OfficialEntry {
            driver: about.official_driver.as_deref(),
            total_kg: about.official.kg,
            plus_minus_kg: about.official_unsure.kg,
            margin: MarginEntry::new(&about.required, Some(&about.above_required), Some(&about.passing)),
        }),
        common_practice: &view.practice,
        after: view.after.iter().map(forecast).collect(),
    };
    frame.document(view.status.words(), answer)
}
