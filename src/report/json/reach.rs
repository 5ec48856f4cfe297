//! The JSON document of `reach`.
//! Takes the view; gives the document, places in percent, masses in kg.
//! Does not round and does not word anything.

use serde::Serialize;

use super::Frame;
use crate::report::reach::{Place, ReachView, RegionLines, Wish};
use crate::report::sure::SurePlace;

#[derive(Serialize)]
struct ReachAnswer<'v> {
    kart: &'v str,
    class: &'v str,
    state: &'static str,
    front_wanted: Option<WishEntry>,
    left_wanted: Option<WishEntry>,
    regions: Vec<RegionEntry<'v>>,
    without: Vec<WithoutEntry<'v>>,
}

#[derive(Serialize)]
struct WishEntry {
    aim_percent: f64,
    within_percent: f64,
}

impl WishEntry {
    fn new(wish: &Wish) -> WishEntry {
        WishEntry { aim_percent: wish.aim, within_percent: wish.within }
    }
}

#[derive(Serialize)]
struct PlaceEntry {
    front_percent: f64,
    left_percent: f64,
}

impl PlaceEntry {
    fn new(place: Place) -> PlaceEntry {
        PlaceEntry { front_percent: place.front, left_percent: place.left }
    }
}

/// A place with two standard uncertainties of it.
#[derive(Serialize)]
struct SurePlaceEntry {
    #[serde(flatten)]
    place: PlaceEntry,
    front_plus_minus_percent: f64,
    left_plus_minus_percent: f64,
}

impl SurePlaceEntry {
    fn new(place: Place, sure: &SurePlace) -> SurePlaceEntry {
        SurePlaceEntry {
            place: PlaceEntry::new(place),
            front_plus_minus_percent: sure.front.percent,
            left_plus_minus_percent: sure.across.percent,
        }
    }
}

/// Two standard uncertainties that no place within exceeds.
#[derive(Serialize)]
struct MostUnsureEntry {
    coverage_factor: f64,
    front_percent: f64,
    left_percent: f64,
    total_kg: f64,
}

#[derive(Serialize)]
struct RegionEntry<'v> {
    driver: Option<&'v str>,
    least_total_kg: f64,
    most_total_kg: f64,
    verdict: Option<&'v str>,
    now: SurePlaceEntry,
    planned: SurePlaceEntry,
    /// Counterclockwise.
    corners: Vec<SurePlaceEntry>,
    plus_minus_at_most: MostUnsureEntry,
    /// Found by the search around a grid; not all there are.
    points: Vec<SurePlaceEntry>,
    gap_median_percent: Option<f64>,
    gap_most_percent: Option<f64>,
    /// Of the grid, in the time there was.
    unanswered_places: usize,
}

impl<'v> RegionEntry<'v> {
    fn new(region: &'v RegionLines) -> RegionEntry<'v> {
        let with_sure = |places: &[Place], sure: &[SurePlace]| {
            let both = places.iter().zip(sure);
            both.map(|(place, sure)| SurePlaceEntry::new(*place, sure)).collect()
        };
        RegionEntry {
            driver: region.driver.as_deref(),
            least_total_kg: region.totals.0.kg,
            most_total_kg: region.totals.1.kg,
            verdict: region.verdict.as_deref(),
            now: SurePlaceEntry::new(region.today, &region.sure.today),
            planned: SurePlaceEntry::new(region.plan, &region.sure.plan),
            corners: with_sure(&region.corners, &region.sure.corners),
            plus_minus_at_most: MostUnsureEntry {
                coverage_factor: crate::uncertainty::COVERAGE_FACTOR,
                front_percent: region.sure.most.front.percent,
                left_percent: region.sure.most.across.percent,
                total_kg: region.sure.most.total.kg,
            },
            points: with_sure(&region.points, &region.sure.points),
            gap_median_percent: region.gaps.map(|(median, _)| median),
            gap_most_percent: region.gaps.map(|(_, most)| most),
            unanswered_places: region.unanswered,
        }
    }
}

#[derive(Serialize)]
struct WithoutEntry<'v> {
    driver: Option<&'v str>,
    sentence: &'v str,
}

/// The document of `reach`.
pub fn reach(view: &ReachView, frame: Frame) -> String {
    let without = view.without.iter();
    let answer = ReachAnswer {
        kart: &view.kart,
        class: &view.class,
        state: view.moment.word(),
        front_wanted: view.front.as_ref().map(WishEntry::new),
        left_wanted: view.left.as_ref().map(WishEntry::new),
        regions: view.regions.iter().map(RegionEntry::new).collect(),
        without: without
            .map(|(driver, sentence)| WithoutEntry { driver: driver.as_deref(), sentence })
            .collect(),
    };
    let status = if view.without.is_empty() { "regions found" } else { "some drivers have none" };
    frame.document(status, answer)
}
