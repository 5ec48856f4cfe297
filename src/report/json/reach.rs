//! The JSON document of `reach`.
//! Takes the view; gives the document, places in percent, masses in kg.
//! Does not round and does not word anything.

use serde::Serialize;

use super::Frame;
use crate::report::reach::{Place, ReachView, RegionLines, Wish};

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

#[derive(Serialize)]
struct RegionEntry<'v> {
    driver: Option<&'v str>,
    least_total_kg: f64,
    most_total_kg: f64,
    verdict: Option<&'v str>,
    now: PlaceEntry,
    planned: PlaceEntry,
    /// Counterclockwise.
    corners: Vec<PlaceEntry>,
    /// Found by the search around a grid; not all there are.
    points: Vec<PlaceEntry>,
    gap_median_percent: Option<f64>,
    gap_most_percent: Option<f64>,
}

impl<'v> RegionEntry<'v> {
    fn new(region: &'v RegionLines) -> RegionEntry<'v> {
        RegionEntry {
            driver: region.driver.as_deref(),
            least_total_kg: region.totals.0.kg,
            most_total_kg: region.totals.1.kg,
            verdict: region.verdict.as_deref(),
            now: PlaceEntry::new(region.today),
            planned: PlaceEntry::new(region.plan),
            corners: region.corners.iter().map(|corner| PlaceEntry::new(*corner)).collect(),
            points: region.points.iter().map(|point| PlaceEntry::new(*point)).collect(),
            gap_median_percent: region.gaps.map(|(median, _)| median),
            gap_most_percent: region.gaps.map(|(_, most)| most),
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
